//! Laws of the work plan: what is promised is kept, nothing could be earlier, and working hours are counted right.

use std::collections::BTreeSet;

use proptest::prelude::*;
use serde_json::{Value, json};

use super::checks::TAYLOR_INPUTS;
use super::hours::{DAY, Week};
use super::*;

/// Monday to Friday from 8 to 17, and Tuesday 12 May 2026 (day 20,585) off.
fn week() -> Week {
    Week {
        days: [true, true, true, true, true, false, false],
        from: 8 * 3600,
        to: 17 * 3600,
        off: BTreeSet::from([20_585]),
    }
}

/// Minute by minute, as somebody would count it on the wall.
fn counted(week: &Week, from: i64, to: i64) -> i64 {
    (from / 60..to / 60)
        .filter(|minute| {
            let t = minute * 60;
            let day = t.div_euclid(DAY);
            let weekday = usize::try_from((day + 3).rem_euclid(7)).unwrap();
            let time = t.rem_euclid(DAY);
            week.days[weekday] && !week.off.contains(&day) && time >= week.from && time < week.to
        })
        .count()
        .try_into()
        .unwrap()
}

const RUNS: [Runs; 3] = [Runs::Worked, Runs::InOneGo, Runs::Clock];

fn runs() -> impl Strategy<Value = Runs> {
    prop::sample::select(RUNS.to_vec())
}

proptest! {
    #[test]
    fn law_working_hours_are_those_on_the_wall(run in runs(), hours in 1_i64..=9, at in 0_i64..20_160) {
        let week = week();
        let calendar = Hours::Week(week.clone());
        let (work, t) = (hours * 3600, 20_578 * DAY + at * 60);
        let begin = calendar.begin_from(run, work, t);
        let end = calendar.end(run, work, begin);
        prop_assert!(begin >= t);
        match run {
            Runs::Worked => {
                prop_assert_eq!(counted(&week, begin, end) * 60, work);
                prop_assert_eq!(counted(&week, t, begin), 0);
            }
            Runs::InOneGo => {
                prop_assert_eq!(counted(&week, begin, end) * 60, work);
                prop_assert_eq!(end - begin, work);
            }
            Runs::Clock => prop_assert_eq!((begin, end), (t, t + work)),
        }
        // Backwards is the other way round.
        prop_assert_eq!(calendar.begin_to_end(run, work, end), begin);
        prop_assert_eq!(calendar.begin_to_end_after(run, work, end), begin);
        prop_assert_eq!(calendar.begin_until(run, work, begin), begin);
        prop_assert!(calendar.begin_to_end(run, work, end - 1) < begin);
        prop_assert!(calendar.begin_to_end_after(run, work, end + 1) > begin);
        let before = calendar.begin_until(run, work, t);
        prop_assert!(before <= t && calendar.begin_from(run, work, before) == before);
        let between = calendar.between(run, work, t, t + 7 * DAY);
        let expected = if run == Runs::Clock { 7 * DAY } else { 60 * counted(&week, t, t + 7 * DAY) };
        prop_assert_eq!(between, expected);
    }

    #[test]
    fn law_a_plan_keeps_what_it_promises_and_is_the_earliest(network in networks()) {
        let Ok(spans) = network.earliest(&[]) else {
            return Ok(());
        };
        let latest = network.latest(&spans);
        let finish = spans.iter().map(|span| span.end).max().unwrap();
        let early: Vec<i64> = spans.iter().map(|span| span.begin).collect();
        prop_assert_eq!(broken(&network, &early, finish), None);
        prop_assert_eq!(broken(&network, &latest, finish), None, "latest");
        for (at, task) in network.tasks.iter().enumerate() {
            prop_assert!(early[at] <= latest[at], "{} slips to before it begins", task.name);
        }
        // No task can begin earlier while the others stay: it would break what it waits for.
        for (at, task) in network.tasks.iter().enumerate() {
            let mut sooner = early.clone();
            sooner[at] = network.hours.begin_until(task.runs, task.work, early[at] - 1);
            prop_assert!(broken(&network, &sooner, finish).is_some(), "{} could begin sooner", task.name);
        }
    }

    #[test]
    fn law_one_window_after_the_other_gives_the_same_plan(network in networks()) {
        let mut bare = network.clone();
        for link in &mut bare.links {
            link.most = None;
        }
        let mut spans = bare.earliest(&[]).unwrap();
        let mut met = true;
        for (at, link) in network.links.iter().enumerate() {
            bare.links[at].most = link.most;
            match bare.earliest(&spans) {
                Ok(found) => spans = found,
                Err(_) => {
                    met = false;
                    break;
                }
            }
        }
        let begins = |spans: Vec<Span>| spans.iter().map(|span| span.begin).collect::<Vec<_>>();
        prop_assert_eq!(network.earliest(&[]).ok().map(begins), met.then(|| begins(spans)));
    }

    #[test]
    fn law_a_plan_is_refused_only_if_it_never_comes_to_rest(network in networks()) {
        prop_assert_eq!(network.earliest(&[]).is_ok(), comes_to_rest(&network));
    }

    #[test]
    fn law_day_and_night_agrees_with_every_path_counted(network in networks()) {
        let mut network = network;
        network.hours = Hours::Always;
        network.start = 0;
        for task in &mut network.tasks {
            (task.not_before, task.fixed) = (0, None);
        }
        for link in &mut network.links {
            link.most = None;
        }
        let spans = network.earliest(&[]).unwrap();
        for (at, span) in spans.iter().enumerate() {
            prop_assert_eq!(span.begin, longest(&network, at));
        }
    }

    #[test]
    fn law_what_is_refused_cannot_be_met(network in small_networks()) {
        let met = network.earliest(&[]);
        prop_assert_eq!(met.is_ok(), tried(&network), "{:?}", met);
    }

    #[test]
    fn law_units_do_not_matter(quarters in proptest::collection::vec(0_u32..600, 2..8)) {
        let plan = |unit: &str, factor: f64| {
            let tasks: Vec<Value> = quarters
                .iter()
                .enumerate()
                .map(|(at, n)| {
                    let duration = format!("{} {unit}", f64::from(*n) * factor);
                    let after = if at >= 2 { format!("task {}", at - 2) } else { String::new() };
                    json!({ "name": format!("task {at}"), "duration": duration, "after": after })
                })
                .collect();
            WORK_PLAN.run(&json!({ "tasks": tasks })).unwrap().outcome
        };
        prop_assert_eq!(plan("min", 360.0), plan("h", 6.0));
        prop_assert_eq!(plan("d", 0.25), plan("h", 6.0));
    }
}

/// Moves whatever is too early, again and again, for years of the calendar.
fn comes_to_rest(network: &Network) -> bool {
    let hours = &network.hours;
    let tasks = &network.tasks;
    let mut begins: Vec<i64> = tasks
        .iter()
        .map(|task| hours.begin_from(task.runs, task.work, task.not_before.max(network.start)))
        .collect();
    for _ in 0..2000 {
        let mut moved = false;
        for link in &network.links {
            let (first, second) = (&tasks[link.first], &tasks[link.second]);
            let end = hours.end(first.runs, first.work, begins[link.first]);
            let gap = begins[link.second] - end;
            if gap < link.least {
                begins[link.second] = hours.begin_from(second.runs, second.work, end + link.least);
                moved = true;
            } else if let Some(most) = link.most.filter(|most| gap > *most) {
                let by = begins[link.second] - most;
                begins[link.first] = hours.begin_to_end_after(first.runs, first.work, by);
                moved = true;
            }
        }
        if !moved {
            return true;
        }
    }
    false
}

/// The longest way of waiting that leads to a task.
fn longest(network: &Network, task: usize) -> i64 {
    network
        .links
        .iter()
        .filter(|link| link.second == task)
        .map(|link| longest(network, link.first) + network.tasks[link.first].work + link.least)
        .max()
        .unwrap_or(0)
}

/// What a set of beginnings breaks, said without the planner's own test of a link.
fn broken(network: &Network, begins: &[i64], finish: i64) -> Option<String> {
    let hours = &network.hours;
    let end = |at: usize| hours.end(network.tasks[at].runs, network.tasks[at].work, begins[at]);
    for (at, task) in network.tasks.iter().enumerate() {
        let begin = begins[at];
        if begin < network.start || begin < task.not_before {
            return Some(format!("{} begins too early", task.name));
        }
        if task.fixed.is_some_and(|fixed| fixed != begin) {
            return Some(format!("{} is not at its fixed time", task.name));
        }
        if hours.begin_from(task.runs, task.work, begin) != begin {
            return Some(format!("{} begins outside working hours", task.name));
        }
        if end(at) > finish {
            return Some(format!("{} ends after the plan", task.name));
        }
    }
    for link in &network.links {
        let gap = begins[link.second] - end(link.first);
        if gap < link.least || link.most.is_some_and(|most| gap > most) {
            return Some(format!("{link:?}: {gap}"));
        }
    }
    None
}

/// Whether any set of beginnings by whole hours keeps a small network, by trying them all.
fn tried(network: &Network) -> bool {
    let n = network.tasks.len();
    let mut begins = vec![0_i64; n];
    loop {
        if broken(network, &begins, i64::MAX).is_none() {
            return true;
        }
        let mut at = 0;
        loop {
            if at == n {
                return false;
            }
            begins[at] += 3600;
            if begins[at] <= 24 * 3600 {
                break;
            }
            begins[at] = 0;
            at += 1;
        }
    }
}

/// Up to three tasks of whole hours, day and night, all of it over within a day where it is possible at all.
fn small_networks() -> impl Strategy<Value = Network> {
    let task = (0_i64..3, 0_i64..6, proptest::option::of(0_i64..8));
    let link = (
        0_usize..3,
        0_usize..3,
        0_i64..3,
        proptest::option::of(0_i64..3),
    );
    (
        proptest::collection::vec(task, 3),
        proptest::collection::vec(link, 0..4),
    )
        .prop_map(|(tasks, links)| Network {
            tasks: tasks
                .into_iter()
                .enumerate()
                .map(|(at, (work, before, fixed))| Task {
                    name: format!("task {at}"),
                    work: work * 3600,
                    runs: Runs::Clock,
                    not_before: before.min(fixed.unwrap_or(before)) * 3600,
                    fixed: fixed.map(|hours| hours * 3600),
                    row: Some(at),
                })
                .collect(),
            links: links
                .into_iter()
                .filter(|(first, second, ..)| first < second)
                .map(|(first, second, least, most)| Link {
                    first,
                    second,
                    least: least * 3600,
                    most: most.map(|more| (least + more) * 3600),
                })
                .collect(),
            hours: Hours::Always,
            start: 0,
        })
}

fn networks() -> impl Strategy<Value = Network> {
    let task = (runs(), 0_i64..=32, 0_i64..100);
    let link = (
        0_usize..8,
        0_usize..8,
        0_i64..30,
        proptest::option::of(0_i64..60),
    );
    (
        proptest::collection::vec(task, 2..9),
        proptest::collection::vec(link, 0..12),
        any::<bool>(),
    )
        .prop_map(|(tasks, links, always)| {
            let n = tasks.len();
            let start = 20_581 * DAY + 13 * 3600;
            Network {
                tasks: tasks
                    .into_iter()
                    .enumerate()
                    .map(|(at, (run, quarters, before))| Task {
                        name: format!("task {at}"),
                        work: quarters * 900,
                        runs: run,
                        not_before: start + before * 1800,
                        fixed: None,
                        row: Some(at),
                    })
                    .collect(),
                links: links
                    .into_iter()
                    .filter(|(first, second, ..)| first < second && *second < n)
                    .map(|(first, second, least, most)| Link {
                        first,
                        second,
                        least: least * 3600,
                        most: most.map(|more| (least + more) * 3600),
                    })
                    .collect(),
                hours: if always {
                    Hours::Always
                } else {
                    Hours::Week(week())
                },
                start,
            }
        })
}

#[test]
fn a_window_that_cannot_be_met_is_named_with_what_moved_it() {
    let inputs = json!({"missed": "refuse", "tasks": [
        {"name": "base", "duration": "2 h", "begins_at": "0 h"},
        {"name": "tent", "duration": "40 h", "runs": "by-itself"},
        {"name": "top", "duration": "2 h", "coat_over": "base", "earliest": "6 h", "latest": "24 h", "after": "tent"}]});
    let told = WORK_PLAN.run(&inputs).unwrap_err().to_string();
    for part in [
        "tasks, row 3, latest",
        "base has a fixed time",
        "top follows base within 24 h",
        "top comes after tent",
        "sand before the coat",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
}

/// Windows of 30 h meet the next morning, of 8 h never: only the second of these is missed, whatever the weekend moves.
#[test]
fn with_working_days_the_right_window_is_named() {
    for missed in ["sand", "refuse"] {
        let inputs = json!({"start": "2026-05-08T08:00", "work_days": "monday-to-friday", "missed": missed, "tasks": [
            {"name": "one", "duration": "3 h", "runs": "in-one-go"},
            {"name": "two", "duration": "3 h", "runs": "in-one-go", "coat_over": "one", "earliest": "6 h", "latest": "30 h"},
            {"name": "three", "duration": "3 h", "runs": "in-one-go", "coat_over": "two", "earliest": "6 h", "latest": "8 h"},
            {"name": "four", "duration": "3 h", "runs": "in-one-go", "coat_over": "three", "earliest": "6 h", "latest": "30 h"}]});
        match WORK_PLAN.run(&inputs) {
            Ok(reckoned) => {
                let windows = &reckoned.outcome.answers.json()["windows"];
                let words: Vec<&str> = windows
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|row| row["verdict"]["word"].as_str().unwrap())
                    .collect();
                assert_eq!(words, ["inside", "missed", "inside"]);
            }
            Err(cause) => {
                assert_eq!(cause.input(), "tasks, row 3, latest");
                assert!(
                    cause.to_string().contains("three") && cause.to_string().contains("8 h"),
                    "{cause}"
                );
            }
        }
    }
}

#[test]
fn a_curing_step_longer_than_the_window_is_named() {
    let inputs = json!({"missed": "refuse", "tasks": [
        {"name": "base", "duration": "2 h"},
        {"name": "fair", "duration": "30 h", "after": "base"},
        {"name": "top", "duration": "2 h", "coat_over": "base", "latest": "24 h", "after": "fair"}]});
    let told = WORK_PLAN.run(&inputs).unwrap_err().to_string();
    assert!(told.contains("top follows base within 24 h"), "{told}");
    assert!(told.contains("later and later"), "{told}");
}

#[test]
fn what_is_entered_wrongly_is_named() {
    let one = |changes: &Value| {
        let mut inputs: Value = serde_json::from_str(TAYLOR_INPUTS).unwrap();
        for (name, value) in changes.as_object().unwrap() {
            match name.strip_prefix("row ") {
                Some(field) => inputs["tasks"][6][field] = value.clone(),
                None => inputs[name] = value.clone(),
            }
        }
        WORK_PLAN.run(&inputs).unwrap_err().to_string()
    };
    for (changes, part) in [
        (
            json!({"row after": "4-6"}),
            "there is no task \"4-6\"; the tasks are: 1-2, 1-3",
        ),
        (json!({"row after": "5-6"}), "waits for itself"),
        (json!({"row name": "1-2"}), "two tasks are called \"1-2\""),
        (json!({"row name": "x, y"}), "leave commas"),
        (json!({"row earliest": "6 h"}), "name it"),
        (
            json!({"row coat_over": "4-5", "row earliest": "6 h", "row latest": "5 h"}),
            "closes before it opens",
        ),
        (
            json!({"row shortest": "1 h"}),
            "\"tasks, row 7, longest\" is missing",
        ),
        (
            json!({"row shortest": "3 h", "row longest": "4 h"}),
            "does not lie between",
        ),
        (
            json!({"row not_before": "2026-05-09"}),
            "needs the date on which the plan begins",
        ),
        (json!({"row not_before": "soon"}), "like 30 h or 2 d"),
        (json!({"row not_before": "30 kg"}), "like 30 h or 2 d"),
        (json!({"row begins_at": "-3 h"}), "out of range"),
        (json!({"work_days": "weekend"}), "\"start\" is missing"),
        (json!({"start": "2026"}), "say the day"),
        (
            json!({"start": "2026-05-09", "row not_before": "2026-05-01"}),
            "after the plan begins",
        ),
        (
            json!({"start": "2026-05-09", "work_days": "weekend", "day_from": "9"}),
            "is written 08:00",
        ),
        (
            json!({"start": "2026-05-09", "work_days": "weekend", "day_to": "08:00"}),
            "before it begins",
        ),
        (
            json!({"start": "2026-05-09", "work_days": "weekend", "days_off": "Whitsun"}),
            "2026-05-09",
        ),
        (
            json!({"start": "2026-05-09", "work_days": "weekend", "row begins_at": "2026-05-12T09:00"}),
            "outside the working hours",
        ),
    ] {
        let told = one(&changes);
        assert!(told.contains(part), "{changes}: {told}");
    }
}

#[test]
fn sixty_tasks_are_planned_even_where_many_windows_fail() {
    let tasks: Vec<Value> = (0..60)
        .map(|at| {
            let mut task =
                json!({"name": format!("t{at}"), "duration": "3 h", "runs": "in-one-go"});
            if at > 0 {
                task["coat_over"] = json!(format!("t{}", at - 1));
                task["earliest"] = json!("6 h");
                task["latest"] = json!(if at % 3 == 0 { "8 h" } else { "30 h" });
            }
            task
        })
        .collect();
    let inputs = json!({"start": "2026-05-09", "work_days": "monday-to-friday", "tasks": tasks});
    let outcome = WORK_PLAN.run(&inputs).unwrap().outcome;
    let Some(crate::Answer::Table(windows)) = outcome.answers.get("windows") else {
        panic!("no windows");
    };
    let missed = windows
        .iter()
        .filter(|row| row.get("verdict").unwrap().json()["word"] == "missed")
        .count();
    // Each third window lets no working day in; the others meet theirs.
    assert_eq!(missed, 19);
}
