//! Work plan: what begins and ends when, what must not slip, and whether each coat meets its recoat window.

mod chart;
mod checks;
mod hours;
mod network;
mod read;

use crate::caution::{ALONE, COATING, DUST, MONOXIDE, RAGS, SOLVENT};
use crate::input::{self, Input};
use crate::number::{erf, of_count, sqrt};
use crate::outcome::Answers;
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{common_practice, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

use hours::{Hours, Runs};
use network::{Link, Network, Span, Stuck, Task};
use read::{Coat, Read};

/// Returns the time to expect of a task whose shortest, usual and longest time are known.
///
/// ```text
/// E = (a + 4 m + b)/6
/// ```
///
/// # Units
///
/// - `a`, `m`, `b`: shortest, usual and longest time, any one unit
/// - returns: the same unit
///
/// # Errors
///
/// None: any three times have one.
///
/// # Source
///
/// The usual three-point estimate; the standard deviation beside it is (b − a)/6.
///
/// # Examples
///
/// ```
/// assert!((garboard_reckon::plan::expected(2.0, 3.5, 8.0) - 4.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn expected(a: f64, m: f64, b: f64) -> f64 {
    (a + 4.0 * m + b) / 6.0
}

/// Returns the chance that a sum of many independent times stays within a limit.
///
/// ```text
/// P = (1 + erf((t − E)/(s √2)))/2
/// ```
///
/// # Units
///
/// - `limit`, `mean`, `deviation`: any one unit of time; the deviation above 0
/// - returns: a pure number from 0 to 1
///
/// # Errors
///
/// None: every allowed deviation gives a chance.
///
/// # Source
///
/// The normal distribution.
///
/// # Examples
///
/// ```
/// assert!((garboard_reckon::plan::chance(47.0, 44.0, 3.0) - 0.841_34).abs() < 5e-6);
/// ```
#[must_use]
pub fn chance(limit: f64, mean: f64, deviation: f64) -> f64 {
    (1.0 + erf((limit - mean) / (deviation * std::f64::consts::SQRT_2))) / 2.0
}

const TIMES: &[&str] = &["h", "min", "d", "wk"];

const TASK: &[Input] = &[
    input::words("name", "Task", "A short name that no other task has, without commas."),
    input::amount("duration", "Takes", "How long it usually takes.", TIMES, "0", "8760"),
    input::choice(
        "runs",
        "Goes on",
        "Whether people must be there: curing and drying go on by themselves, day and night.",
        &[
            ("worked", "in working hours, may be left overnight"),
            ("in-one-go", "in working hours of one day"),
            ("by-itself", "by itself, day and night"),
        ],
    )
    .or("worked", "most work may be left overnight"),
    input::words(
        "after",
        "After",
        "The tasks that must have ended before, with commas between.",
    )
    .optional(),
    input::words(
        "coat_over",
        "Coat over",
        "The coat or layer that this one goes over; it waits for that, within the window below.",
    )
    .optional(),
    input::amount(
        "earliest",
        "Earliest recoat",
        "From the end of that coat, by the data sheet at your temperature.",
        TIMES,
        "0",
        "8760",
    )
    .optional(),
    input::amount(
        "latest",
        "Latest recoat",
        "From the end of that coat, by the data sheet at your temperature; later it must be sanded.",
        TIMES,
        "0",
        "8760",
    )
    .optional(),
    input::words(
        "not_before",
        "Not before",
        "So long after the beginning, like 30 h, or a date and time: when help, parts or weather come.",
    )
    .optional(),
    input::words(
        "begins_at",
        "Begins exactly at",
        "So long after the beginning, like 8 h, or a date and time that is fixed.",
    )
    .optional(),
    input::amount(
        "shortest",
        "Shortest time",
        "If all goes well; with the longest it gives the time to expect.",
        TIMES,
        "0",
        "8760",
    )
    .optional(),
    input::amount(
        "longest",
        "Longest time",
        "If much goes wrong; with the shortest it gives the time to expect.",
        TIMES,
        "0",
        "8760",
    )
    .optional(),
];

const INPUTS: &[Input] = &[
    input::rows("tasks", "Tasks", "What is to be done, a row each.", TASK, 1, 60),
    input::when(
        "start",
        "The plan begins",
        "A day, or a day and time; without it the times count from the beginning.",
    )
    .optional(),
    input::choice(
        "work_days",
        "Days of work",
        "The days on which somebody works; what goes on by itself does so on all.",
        &[
            ("day-and-night", "day and night"),
            ("every-day", "every day"),
            ("monday-to-saturday", "Monday to Saturday"),
            ("monday-to-friday", "Monday to Friday"),
            ("weekend", "Saturday and Sunday"),
        ],
    )
    .or("day-and-night", "no working hours, the shortest plan there is"),
    input::words("day_from", "Work begins", "The time of day, like 08:00.")
        .or("08:00", "common practice, no source"),
    input::words("day_to", "Work ends", "The time of day, like 17:00; breaks are not taken off.")
        .or("17:00", "common practice, no source"),
    input::words(
        "days_off",
        "Days off",
        "Dates on which nobody works, like 2026-05-14, with commas between.",
    )
    .optional(),
    input::choice(
        "missed",
        "When a window cannot be met",
        "Plan sanding before the late coat, or refuse and say which window it is.",
        &[
            ("sand", "sand before the late coat"),
            ("refuse", "refuse the plan"),
        ],
    )
    .or("sand", "common practice, no source"),
    input::amount(
        "sanding",
        "Sanding takes",
        "How long sanding before a late coat takes, cleaning included.",
        TIMES,
        "0",
        "168",
    )
    .or("2 h", "an assumption without a source: put in your own"),
    input::amount(
        "limit",
        "To be done within",
        "From the beginning; says whether the plan keeps it, and how likely where shortest and longest times are given.",
        TIMES,
        "0",
        "87600",
    )
    .optional(),
];

const YES_NO: &[(&str, &str)] = &[("yes", "yes"), ("no", "no")];

const TASKS_OUT: &[Output] = &[
    output::words("name", "Task"),
    output::verdict("critical", "Must not slip", YES_NO),
    output::figure("earliest_begin", "Begins, after the beginning", "h", 2),
    output::figure("earliest_end", "Ends", "h", 2),
    output::figure("latest_begin", "Begins at the latest", "h", 2),
    output::figure("latest_end", "Ends at the latest", "h", 2),
    output::figure("slack", "May slip by", "h", 2),
    output::words("waits_for", "Waits for"),
    output::when("begins", "Begins on").sometimes(),
    output::when("ends", "Ends on").sometimes(),
];

const WINDOWS_OUT: &[Output] = &[
    output::words("first", "Coat"),
    output::words("second", "Next coat"),
    output::figure("earliest", "Window opens after", "h", 2),
    output::figure("latest", "Window closes after", "h", 2).sometimes(),
    output::figure("gap", "Planned after", "h", 2),
    output::verdict(
        "verdict",
        "Window",
        &[
            ("inside", "inside the window"),
            ("open", "no latest time was given"),
            ("missed", "too late: sand first"),
        ],
    ),
    output::when("opens", "Opens on").sometimes(),
    output::when("closes", "Closes on").sometimes(),
];

const RESULTS: &[Output] = &[
    output::verdict(
        "windows_kept",
        "Recoat windows",
        &[
            ("none", "no recoat window was given"),
            ("kept", "every recoat window is met"),
            ("missed", "a recoat window cannot be met: sand first"),
        ],
    ),
    output::figure("length", "From beginning to end", "h", 2),
    output::figure("length_days", "The same in days", "d", 2),
    output::words("path", "What sets the end"),
    output::when("begins", "Begins on").sometimes(),
    output::when("ends", "Ends on").sometimes(),
    output::verdict("within_limit", "Within the time allowed", YES_NO).sometimes(),
    output::figure("deviation", "Standard deviation of the end", "h", 2).sometimes(),
    output::figure("chance", "Chance to be done in time", "%", 2).sometimes(),
    output::table("tasks", "Tasks", TASKS_OUT),
    output::table("windows", "Windows", WINDOWS_OUT),
    output::drawing("chart", "The plan along the time"),
];

/// Seconds as hours.
fn in_hours(seconds: i64) -> f64 {
    let size = of_count(usize::try_from(seconds.unsigned_abs()).unwrap_or(usize::MAX)) / 3600.0;
    if seconds < 0 { -size } else { size }
}

/// A plan that keeps what can be kept.
struct Plan {
    network: Network,
    spans: Vec<Span>,
    latest: Vec<i64>,
    coats: Vec<Coat>,
    variances: Vec<Option<f64>>,
    dated: bool,
    remarks: Vec<String>,
}

impl Plan {
    fn name(&self, task: usize) -> &str {
        name(&self.network, task)
    }

    /// How far a task may slip, in its own hours.
    fn slack(&self, at: usize) -> i64 {
        let (Some(task), Some(span), Some(latest)) = (
            self.network.tasks.get(at),
            self.spans.get(at),
            self.latest.get(at),
        ) else {
            return 0;
        };
        let (runs, work) = (task.runs, task.work);
        self.network.hours.between(runs, work, span.begin, *latest)
    }

    fn finish(&self) -> i64 {
        self.spans
            .iter()
            .map(|span| span.end)
            .fold(self.network.start, i64::max)
    }

    fn waits_for(&self, at: usize) -> String {
        let (Some(task), Some(span)) = (self.network.tasks.get(at), self.spans.get(at)) else {
            return String::new();
        };
        let Some(push) = span.because else {
            return if task.fixed.is_some() {
                "its fixed time".to_owned()
            } else if task.not_before > self.network.start {
                "its earliest time".to_owned()
            } else {
                "the beginning".to_owned()
            };
        };
        let pusher = self.network.pusher(push).unwrap_or(at);
        let least = self
            .network
            .links
            .get(push.link)
            .map_or(0, |link| link.least);
        if push.drawn {
            format!("{}, to stay within its window", self.name(pusher))
        } else if least > 0 {
            format!("the window after {}", self.name(pusher))
        } else {
            self.name(pusher).to_owned()
        }
    }
}

fn name(network: &Network, task: usize) -> &str {
    network
        .tasks
        .get(task)
        .map_or("", |task| task.name.as_str())
}

/// Which task cannot be where it must, and what moved it, in words.
fn told(network: &Network, stuck: &Stuck) -> String {
    let steps: Vec<String> = stuck
        .chain
        .iter()
        .filter_map(|push| {
            let link = network.links.get(push.link)?;
            let (first, second) = (name(network, link.first), name(network, link.second));
            Some(match (push.drawn, link.most) {
                (true, Some(most)) => {
                    format!("{second} follows {first} within {} h", in_hours(most))
                }
                _ if link.least > 0 => {
                    format!(
                        "{second} begins at least {} h after {first}",
                        in_hours(link.least)
                    )
                }
                _ => format!("{second} comes after {first}"),
            })
        })
        .collect();
    let task = name(network, stuck.task);
    let begin = if stuck.fixed {
        format!("{task} has a fixed time and cannot be moved")
    } else {
        format!("{task} would move later and later")
    };
    format!("{begin}: {}", steps.join("; "))
}

/// The earliest plan; a window that cannot be met is named, and gets sanding where that is wanted.
///
/// Windows are taken up one by one, in the order of their rows: the first that cannot be met beside those before it is the one.
fn planned(given: &Given) -> Result<Plan, Unreckoned> {
    let Read {
        mut network,
        dated,
        mut variances,
        mut coats,
    } = read::read(given)?;
    let sanding = read::seconds(given, "sanding")?;
    let refuse = given.choice("missed")? == "refuse";
    let mut remarks = Vec::new();
    for link in &mut network.links {
        link.most = None;
    }
    let mut spans = network
        .earliest(&[])
        .map_err(|stuck| too_early(&network, &stuck))?;
    for coat in &mut coats {
        if coat.most.is_none() {
            continue;
        }
        if let Some(link) = network.links.get_mut(coat.link) {
            link.most = coat.most;
        }
        let stuck = match network.earliest(&spans) {
            Ok(found) => {
                spans = found;
                continue;
            }
            Err(stuck) => stuck,
        };
        let why = missed(&network, coat, &stuck);
        if refuse {
            return Err(Unreckoned::impossible(
                "latest",
                format!("this window cannot be met: {why}"),
                "sand before the coat, move the coat before it, or take out what stands between",
            )
            .in_row("tasks", coat.row));
        }
        coat.missed = true;
        let second = sand_between(&mut network, coat.link, sanding);
        variances.push(None);
        remarks.push(format!(
            "The window before {second} cannot be met, and sanding is planned before it: {why}. Sand shortly before the coat, and clean off the dust."
        ));
        spans = network
            .earliest(&spans)
            .map_err(|stuck| too_early(&network, &stuck))?;
    }
    let latest = network.latest(&spans);
    Ok(Plan {
        network,
        spans,
        latest,
        coats,
        variances,
        dated,
        remarks,
    })
}

/// A fixed time that comes before what the task waits for.
fn too_early(network: &Network, stuck: &Stuck) -> Unreckoned {
    let row = network.tasks.get(stuck.task).and_then(|task| task.row);
    Unreckoned::impossible(
        "begins_at",
        told(network, stuck),
        "give it a later time, or shorten what comes before",
    )
    .in_row("tasks", row.unwrap_or(0))
}

/// Why a window cannot be met: what moved the coats, where that goes through the window itself.
fn missed(network: &Network, coat: &Coat, stuck: &Stuck) -> String {
    let through = stuck.chain.iter().any(|push| push.link == coat.link);
    let link = network.links.get(coat.link).filter(|_| !through);
    link.map_or_else(
        || told(network, stuck),
        |link| {
            format!(
                "{} cannot follow {} within {} h beside the windows before it, in these working hours",
                name(network, link.second),
                name(network, link.first),
                in_hours(link.most.unwrap_or(0)),
            )
        },
    )
}

/// Puts sanding between two coats in place of the window's end; the second coat's name.
fn sand_between(network: &mut Network, link: usize, sanding: i64) -> String {
    let at = network.tasks.len();
    let start = network.start;
    let Some(window) = network.links.get_mut(link) else {
        return String::new();
    };
    window.most = None;
    let (first, second, least) = (window.first, window.second, window.least);
    let second_name = name(network, second).to_owned();
    network.tasks.push(Task {
        name: format!("sanding before {second_name}"),
        work: sanding,
        runs: Runs::Worked,
        not_before: start,
        fixed: None,
        row: None,
    });
    for (first, second, least) in [(first, at, least), (at, second, 0)] {
        network.links.push(Link {
            first,
            second,
            least,
            most: None,
        });
    }
    second_name
}

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let plan = planned(given)?;
    let mut out = Outcome::new(RESULTS);
    let windowed = plan.coats.iter().any(|coat| coat.most.is_some());
    let missed = plan.coats.iter().any(|coat| coat.missed);
    out.answers.verdict(
        "windows_kept",
        match (windowed, missed) {
            (_, true) => "missed",
            (true, false) => "kept",
            (false, false) => "none",
        },
    )?;
    let start = plan.network.start;
    let finish = plan.finish();
    let length = finish - start;
    out.say("length", in_hours(length))?;
    out.say("length_days", in_hours(length) / 24.0)?;
    let last = plan
        .spans
        .iter()
        .position(|span| span.end == finish)
        .unwrap_or(0);
    let (_, mut path) = plan.network.behind(last, &plan.spans);
    path.reverse();
    let names: Vec<&str> = path.iter().map(|task| plan.name(*task)).collect();
    out.answers.words("path", names.join(" – "))?;
    if plan.dated {
        for (name, time) in [("begins", start), ("ends", finish)] {
            on_date(&mut out.answers, name, time)?;
        }
        out.remark("Times are those of the clock on the wall; where the clocks change in between, count the hour.");
    }
    chances(given, &plan, &path, length, &mut out)?;
    for at in 0..plan.network.tasks.len() {
        let row = task_row(&plan, at, out.answers.row("tasks"))?;
        out.answers.push("tasks", row)?;
    }
    let windows = plan
        .coats
        .iter()
        .map(|coat| window_row(&plan, coat, out.answers.row("windows")))
        .collect::<Result<Vec<_>, _>>()?;
    out.answers.table("windows", &windows)?;
    out.answers.drawing("chart", &chart::chart(&plan))?;
    out.remarks.extend(plan.remarks.iter().cloned());
    if windowed {
        out.remark("A window holds for one temperature: look it up again when the weather changes, and measure the surface.");
    }
    Ok(out)
}

/// Whether a limit is kept, and how likely, where the times are not sure.
fn chances(
    given: &Given,
    plan: &Plan,
    path: &[usize],
    length: i64,
    out: &mut Outcome,
) -> Result<(), Unreckoned> {
    let limit = given
        .has("limit")
        .then(|| read::seconds(given, "limit"))
        .transpose()?;
    if let Some(limit) = limit {
        let within = if length <= limit { "yes" } else { "no" };
        out.answers.verdict("within_limit", within)?;
    }
    if plan.variances.iter().all(Option::is_none) {
        return Ok(());
    }
    if plan.network.hours != Hours::Always {
        out.remark("The chance is reckoned only where work goes on day and night; the times to expect are used all the same.");
        return Ok(());
    }
    let variance: f64 = path
        .iter()
        .filter_map(|task| plan.variances.get(*task).copied().flatten())
        .sum();
    let deviation = sqrt(variance) / 3600.0;
    out.say("deviation", deviation)?;
    match limit {
        Some(limit) if deviation > 0.0 => {
            let within = chance(in_hours(limit), in_hours(length), deviation);
            out.say("chance", 100.0 * within)?;
            out.remark("The chance looks at what sets the end alone, takes its tasks as independent, and is on the hopeful side.");
        }
        _ => {}
    }
    Ok(())
}

fn on_date(answers: &mut Answers, name: &str, time: i64) -> Result<(), Unreckoned> {
    let when = read::wall_time(time).ok_or_else(|| {
        Unreckoned::impossible(
            "start",
            "the plan leaves the calendar",
            "begin between 1970 and 9000",
        )
    })?;
    answers.when(name, &when)
}

fn task_row(plan: &Plan, at: usize, mut row: Answers) -> Result<Answers, Unreckoned> {
    let start = plan.network.start;
    let (Some(task), Some(span), Some(latest)) = (
        plan.network.tasks.get(at),
        plan.spans.get(at),
        plan.latest.get(at),
    ) else {
        return Ok(row);
    };
    let slack = plan.slack(at);
    row.words("name", task.name.clone())?;
    row.verdict("critical", if slack == 0 { "yes" } else { "no" })?;
    let end = plan.network.hours.end(task.runs, task.work, *latest);
    for (name, time) in [
        ("earliest_begin", span.begin),
        ("earliest_end", span.end),
        ("latest_begin", *latest),
        ("latest_end", end),
    ] {
        row.figure(name, in_hours(time - start))?;
    }
    row.figure("slack", in_hours(slack))?;
    row.words("waits_for", plan.waits_for(at))?;
    if plan.dated {
        on_date(&mut row, "begins", span.begin)?;
        on_date(&mut row, "ends", span.end)?;
    }
    Ok(row)
}

fn window_row(plan: &Plan, coat: &Coat, mut row: Answers) -> Result<Answers, Unreckoned> {
    let Some(link) = plan.network.links.get(coat.link) else {
        return Ok(row);
    };
    let (Some(first), Some(second)) = (plan.spans.get(link.first), plan.spans.get(link.second))
    else {
        return Ok(row);
    };
    row.words("first", plan.name(link.first))?;
    row.words("second", plan.name(link.second))?;
    row.figure("earliest", in_hours(link.least))?;
    if let Some(most) = coat.most {
        row.figure("latest", in_hours(most))?;
    }
    row.figure("gap", in_hours(second.begin - first.end))?;
    row.verdict(
        "verdict",
        match (coat.missed, coat.most) {
            (true, _) => "missed",
            (false, Some(_)) => "inside",
            (false, None) => "open",
        },
    )?;
    if plan.dated {
        on_date(&mut row, "opens", first.end + link.least)?;
        if let Some(most) = coat.most {
            on_date(&mut row, "closes", first.end + most)?;
        }
    }
    Ok(row)
}

/// Work plans.
pub static WORK_PLAN: Reckoning = Reckoning {
    name: "work-plan",
    title: "Work plan",
    purpose: "When each task begins and ends, what must not slip, and whether each coat meets its recoat window.",
    topic: Topic::Plan,
    revision: 2,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
b(j) ≥ e(i)                      j comes after i
e(i) + min ≤ b(j) ≤ e(i) + max   j is a coat over i
e(i) = b(i) + duration           counted in working hours where people must be there
earliest: the least b that keeps all of it; latest: the greatest that ends no later
slack = latest b − earliest b, in the task's own hours; without slack a task must not slip
E = (a + 4 m + b)/6; s² = Σ ((b − a)/6)² over what sets the end; P = Φ((limit − E)/s)
b: beginning; e: end; a, m, b in the last line: shortest, usual and longest time",
    sources: &[
        definition(
            "Critical path: forward and backward pass over what waits for what; windows as differences with an upper and a lower bound (longest path, Bellman–Ford)",
        ),
        published(
            "Taylor, Introduction to Management Science, solutions to chapter 8, problem 1: the network that the earliest and latest times are checked on",
            "critical-path",
        ),
        memory(
            "Hillier and Lieberman, Introduction to Operations Research, the example Reliable Construction: durations and three-point data as remembered, the result worked again",
        ),
        common_practice("A coat that missed its window is sanded before the next one"),
    ],
    limits: &[
        "How many hands there are: tasks that do not wait for each other go on at once.",
        "Windows at another temperature or film than the ones you entered.",
        "Breaks, night work, clock changes and holidays that you did not enter.",
        "The chance looks at one path; others that are nearly as long make it smaller.",
    ],
    cautions: &[&COATING, &SOLVENT, &DUST, &RAGS, &MONOXIDE, &ALONE],
    reckon,
    begin: None,
    checks: checks::CHECKS,
};

#[cfg(test)]
mod tests;
