//! From what was given to tasks and links.

use garboard_record::{Quantity, When, when::Precision};

use super::hours::{DAY, Hours, Runs, Week};
use super::network::{Link, Network, Task};
use crate::{Given, Unreckoned, number};

/// What was given, as a network.
pub(super) struct Read {
    /// Tasks and links.
    pub(super) network: Network,
    /// Whether the times are those of a calendar; otherwise they count from the beginning.
    pub(super) dated: bool,
    /// How far each duration may be off: the variance in square seconds, where a shortest and a longest time were given.
    pub(super) variances: Vec<Option<f64>>,
    /// The row and links of each coat over another.
    pub(super) coats: Vec<Coat>,
}

/// One coat over another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Coat {
    /// Its link.
    pub(super) link: usize,
    /// The row of the second coat.
    pub(super) row: usize,
    /// The longest time between them as it was given.
    pub(super) most: Option<i64>,
    /// Whether it cannot be kept, so that there is sanding between.
    pub(super) missed: bool,
}

/// An amount of time in whole seconds.
pub(super) fn seconds(given: &Given, name: &str) -> Result<i64, Unreckoned> {
    let amount = given.amount(name, "s")?;
    Ok(i64::try_from(number::count_of(amount)).unwrap_or(i64::MAX))
}

fn seconds_if(given: &Given, name: &str) -> Result<Option<i64>, Unreckoned> {
    given.has(name).then(|| seconds(given, name)).transpose()
}

/// The seconds of the clock on the wall since 1970.
fn on_the_wall(when: &When) -> i64 {
    let text = when.as_str();
    let local: Option<When> = text.get(..16).and_then(|text| text.parse().ok());
    local.as_ref().unwrap_or(when).sort_key().div_euclid(1000)
}

/// A time of the clock on the wall, to the minute.
pub(super) fn wall_time(seconds: i64) -> Option<When> {
    let millis = u64::try_from(seconds.checked_mul(1000)?).ok()?;
    When::from_unix_millis(millis)
        .as_str()
        .get(..16)?
        .parse()
        .ok()
}

fn time_of_day(given: &Given, name: &str) -> Result<i64, Unreckoned> {
    let text = given.words(name);
    let unreadable = || Unreckoned::Unreadable {
        input: name.to_owned(),
        found: text.to_owned(),
        mend: "a time of day is written 08:00; the end of a day may be 24:00".to_owned(),
    };
    let (hours, minutes) = text.split_once(':').ok_or_else(unreadable)?;
    let two = |digits: &str| {
        let plain = (1..=2).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
        plain
            .then(|| digits.parse::<i64>().ok())
            .flatten()
            .ok_or_else(unreadable)
    };
    let seconds = two(hours)? * 3600 + two(minutes)? * 60;
    if two(minutes)? > 59 || seconds > DAY {
        return Err(unreadable());
    }
    Ok(seconds)
}

fn hours(given: &Given) -> Result<Hours, Unreckoned> {
    let days = match given.choice("work_days")? {
        "every-day" => [true; 7],
        "monday-to-saturday" => [true, true, true, true, true, true, false],
        "monday-to-friday" => [true, true, true, true, true, false, false],
        "weekend" => [false, false, false, false, false, true, true],
        _ => return Ok(Hours::Always),
    };
    let (from, to) = (
        time_of_day(given, "day_from")?,
        time_of_day(given, "day_to")?,
    );
    if to <= from {
        return Err(Unreckoned::impossible(
            "day_to",
            "work ends before it begins",
            "give a later time than that at which work begins; night work is not covered",
        ));
    }
    let off = listed(given.words("days_off"))
        .map(|text| {
            let day: Option<When> = text.parse().ok();
            day.filter(|day| day.precision() == Precision::Day)
                .map(|day| on_the_wall(&day).div_euclid(DAY))
                .ok_or_else(|| Unreckoned::Unreadable {
                    input: "days_off".to_owned(),
                    found: text.to_owned(),
                    mend: "write the days as 2026-05-09, with commas between".to_owned(),
                })
        })
        .collect::<Result<_, _>>()?;
    Ok(Hours::Week(Week {
        days,
        from,
        to,
        off,
    }))
}

fn listed(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
}

/// A time after the beginning: so long after it, or a date and time.
fn time(given: &Given, name: &str, start: i64, dated: bool) -> Result<Option<i64>, Unreckoned> {
    let text = given.words(name);
    if text.is_empty() {
        return Ok(None);
    }
    let unreadable = |mend: &str| Unreckoned::Unreadable {
        input: name.to_owned(),
        found: text.to_owned(),
        mend: mend.to_owned(),
    };
    if let Ok(when) = text.parse::<When>()
        && when.precision() >= Precision::Day
    {
        if !dated {
            return Err(unreadable(
                "a date needs the date on which the plan begins; or say how long after the beginning, like 30 h",
            ));
        }
        let time = on_the_wall(&when);
        if time < start {
            return Err(Unreckoned::out_of_range(
                name,
                text,
                "a time after the plan begins",
            ));
        }
        return Ok(Some(time));
    }
    let form = "say how long after the beginning, like 30 h or 2 d, or a date and time like 2026-05-09T14:22";
    let quantity = Quantity::from_written(text, "").map_err(|_other| unreadable(form))?;
    let amount = quantity
        .converted("s")
        .map(|amount| number::of_decimal(amount.value))
        .ok_or_else(|| unreadable(form))?;
    if !(0.0..=315_360_000.0).contains(&amount) {
        return Err(Unreckoned::out_of_range(
            name,
            text,
            "0 h to 10 years after the beginning",
        ));
    }
    let after = i64::try_from(number::count_of(amount)).unwrap_or(i64::MAX);
    Ok(Some(start + after))
}

/// Tasks and links from what was given; whatever contradicts itself is refused with its row.
pub(super) fn read(given: &Given) -> Result<Read, Unreckoned> {
    let hours = hours(given)?;
    let dated = given.has("start");
    let start = if dated {
        let when = given.when("start")?;
        match (when.precision(), &hours) {
            (Precision::Year | Precision::Month, _) => {
                return Err(Unreckoned::Unreadable {
                    input: "start".to_owned(),
                    found: when.to_string(),
                    mend: "say the day, and the time if you know it, like 2026-05-09T08:00"
                        .to_owned(),
                });
            }
            (Precision::Day, Hours::Week(week)) => on_the_wall(when) + week.from,
            _ => on_the_wall(when),
        }
    } else if hours == Hours::Always {
        0
    } else {
        return Err(Unreckoned::Missing {
            input: "start".to_owned(),
            help: "working days need a date to count from, like 2026-05-09T08:00".to_owned(),
        });
    };
    let rows = given.rows("tasks");
    let mut tasks: Vec<Task> = Vec::new();
    let mut variances = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let (task, variance) =
            task(row, at, &hours, start, dated).map_err(|cause| cause.in_row("tasks", at))?;
        if tasks.iter().any(|other| same(&other.name, &task.name)) {
            return Err(Unreckoned::impossible(
                "name",
                format!("two tasks are called {:?}", task.name),
                "give each task a name of its own",
            )
            .in_row("tasks", at));
        }
        tasks.push(task);
        variances.push(variance);
    }
    let mut links = Vec::new();
    let mut coats = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        link(row, at, &tasks, &mut links, &mut coats).map_err(|cause| cause.in_row("tasks", at))?;
    }
    let network = Network {
        tasks,
        links,
        hours,
        start,
    };
    if let Some(circle) = network.circle() {
        let names: Vec<&str> = circle
            .iter()
            .chain(circle.first())
            .filter_map(|task| network.tasks.get(*task))
            .map(|task| task.name.as_str())
            .collect();
        return Err(Unreckoned::impossible(
            "after",
            format!(
                "these wait for each other in a circle: {}",
                names.join(", ")
            ),
            "take one of them out",
        )
        .in_row("tasks", circle.first().copied().unwrap_or(0)));
    }
    Ok(Read {
        network,
        dated,
        variances,
        coats,
    })
}

fn same(a: &str, b: &str) -> bool {
    a.to_lowercase() == b.to_lowercase()
}

fn task(
    row: &Given,
    at: usize,
    hours: &Hours,
    start: i64,
    dated: bool,
) -> Result<(Task, Option<f64>), Unreckoned> {
    let name = row.words("name").to_owned();
    if name.contains([',', ';']) {
        return Err(Unreckoned::Unreadable {
            input: "name".to_owned(),
            found: name,
            mend: "leave commas and semicolons out: they stand between names".to_owned(),
        });
    }
    let usual = row.amount("duration", "s")?;
    let (work, variance) = match (
        row.amount_if("shortest", "s")?,
        row.amount_if("longest", "s")?,
    ) {
        (None, None) => (usual, None),
        (Some(shortest), Some(longest)) => {
            if shortest > usual || usual > longest {
                return Err(Unreckoned::impossible(
                    "shortest",
                    "the usual time does not lie between the shortest and the longest",
                    "look at the three times",
                ));
            }
            let spread = (longest - shortest) / 6.0;
            (
                super::expected(shortest, usual, longest),
                Some(spread * spread),
            )
        }
        (Some(_), None) => return Err(other_bound("longest")),
        (None, Some(_)) => return Err(other_bound("shortest")),
    };
    let work = i64::try_from(number::count_of(work)).unwrap_or(i64::MAX);
    let runs = match row.choice("runs")? {
        "in-one-go" => Runs::InOneGo,
        "by-itself" => Runs::Clock,
        _ => Runs::Worked,
    };
    if !hours.fits(runs, work) {
        return Err(Unreckoned::impossible(
            "duration",
            "it takes longer than a working day and is to be done in one go",
            "make the working day longer, split the task, or let it be left overnight",
        ));
    }
    let not_before = time(row, "not_before", start, dated)?.unwrap_or(start);
    let fixed = time(row, "begins_at", start, dated)?;
    if let Some(fixed) = fixed
        && hours.begin_from(runs, work, fixed) != fixed
    {
        return Err(Unreckoned::impossible(
            "begins_at",
            "that is outside the working hours, or too late in the day for this task",
            "choose a time within them, or let the task run by itself",
        ));
    }
    if fixed.is_some_and(|fixed| fixed < not_before) {
        return Err(Unreckoned::impossible(
            "begins_at",
            "the task is to begin before it may",
            "look at both times",
        ));
    }
    Ok((
        Task {
            name,
            work,
            runs,
            not_before,
            fixed,
            row: Some(at),
        },
        variance,
    ))
}

fn other_bound(input: &str) -> Unreckoned {
    Unreckoned::Missing {
        input: input.to_owned(),
        help: "the shortest and the longest time belong together".to_owned(),
    }
}

fn link(
    row: &Given,
    at: usize,
    tasks: &[Task],
    links: &mut Vec<Link>,
    coats: &mut Vec<Coat>,
) -> Result<(), Unreckoned> {
    let named = |input: &str, name: &str| -> Result<usize, Unreckoned> {
        let found = tasks
            .iter()
            .position(|task| same(&task.name, name))
            .ok_or_else(|| {
                let names: Vec<&str> = tasks.iter().map(|task| task.name.as_str()).collect();
                Unreckoned::impossible(
                    input,
                    format!("there is no task {name:?}"),
                    format!("the tasks are: {}", names.join(", ")),
                )
            })?;
        if found == at {
            return Err(Unreckoned::impossible(
                input,
                "the task waits for itself",
                "name another",
            ));
        }
        Ok(found)
    };
    for name in listed(row.words("after")) {
        links.push(Link {
            first: named("after", name)?,
            second: at,
            least: 0,
            most: None,
        });
    }
    let over = row.words("coat_over");
    let (least, most) = (seconds_if(row, "earliest")?, seconds_if(row, "latest")?);
    if over.is_empty() {
        let lone = [("earliest", least), ("latest", most)]
            .into_iter()
            .find_map(|(name, value)| value.map(|_| name));
        return match lone {
            Some(_) => Err(Unreckoned::Missing {
                input: "coat_over".to_owned(),
                help: "a recoat window runs from another coat: name it".to_owned(),
            }),
            None => Ok(()),
        };
    }
    let first = named("coat_over", over)?;
    let least = least.unwrap_or(0);
    if most.is_some_and(|most| most < least) {
        return Err(Unreckoned::impossible(
            "latest",
            "the window closes before it opens",
            "look at both times on the product's data sheet",
        ));
    }
    coats.push(Coat {
        link: links.len(),
        row: at,
        most,
        missed: false,
    });
    links.push(Link {
        first,
        second: at,
        least,
        most,
    });
    Ok(())
}
