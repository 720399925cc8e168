//! Check values for work plans.

use crate::check::{Check, near, refused, word};
use crate::source::Mark;

const TAYLOR: &str = "Taylor, Introduction to Management Science, solutions to ch. 8, problem 1 (its unit of time taken as an hour)";
const RELIABLE: &str =
    "Hillier and Lieberman, Introduction to Operations Research, Reliable Construction";
const BY_HAND: &str = "worked by hand from the rules of the window";

/// The case whose solution Taylor prints; tasks are named by their events.
pub(super) const TAYLOR_INPUTS: &str = r#"{"tasks": [
    {"name": "1-2", "duration": "7 h"},
    {"name": "1-3", "duration": "10 h"},
    {"name": "2-4", "duration": "6 h", "after": "1-2"},
    {"name": "3-4", "duration": "5 h", "after": "1-3"},
    {"name": "3-5", "duration": "4 h", "after": "1-3"},
    {"name": "4-5", "duration": "3 h", "after": "2-4, 3-4"},
    {"name": "5-6", "duration": "2 h", "after": "3-5, 4-5"}]}"#;

const RELIABLE_FIXED: &str = r#"{"tasks": [
    {"name": "A", "duration": "2 wk"},
    {"name": "B", "duration": "4 wk", "after": "A"},
    {"name": "C", "duration": "10 wk", "after": "B"},
    {"name": "D", "duration": "6 wk", "after": "C"},
    {"name": "E", "duration": "4 wk", "after": "C"},
    {"name": "F", "duration": "5 wk", "after": "E"},
    {"name": "G", "duration": "7 wk", "after": "D"},
    {"name": "H", "duration": "9 wk", "after": "E, G"},
    {"name": "I", "duration": "7 wk", "after": "C"},
    {"name": "J", "duration": "8 wk", "after": "F, I"},
    {"name": "K", "duration": "4 wk", "after": "J"},
    {"name": "L", "duration": "5 wk", "after": "J"},
    {"name": "M", "duration": "2 wk", "after": "H"},
    {"name": "N", "duration": "6 wk", "after": "K, L"}]}"#;

const RELIABLE_THREE: &str = r#"{"limit": "47 wk", "tasks": [
    {"name": "A", "shortest": "1 wk", "duration": "2 wk", "longest": "3 wk"},
    {"name": "B", "shortest": "2 wk", "duration": "3.5 wk", "longest": "8 wk", "after": "A"},
    {"name": "C", "shortest": "6 wk", "duration": "9 wk", "longest": "18 wk", "after": "B"},
    {"name": "D", "shortest": "4 wk", "duration": "5.5 wk", "longest": "10 wk", "after": "C"},
    {"name": "E", "shortest": "1 wk", "duration": "4.5 wk", "longest": "5 wk", "after": "C"},
    {"name": "F", "shortest": "4 wk", "duration": "4 wk", "longest": "10 wk", "after": "E"},
    {"name": "G", "shortest": "5 wk", "duration": "6.5 wk", "longest": "11 wk", "after": "D"},
    {"name": "H", "shortest": "5 wk", "duration": "8 wk", "longest": "17 wk", "after": "E, G"},
    {"name": "I", "shortest": "3 wk", "duration": "7.5 wk", "longest": "9 wk", "after": "C"},
    {"name": "J", "shortest": "3 wk", "duration": "9 wk", "longest": "9 wk", "after": "F, I"},
    {"name": "K", "shortest": "4 wk", "duration": "4 wk", "longest": "4 wk", "after": "J"},
    {"name": "L", "shortest": "1 wk", "duration": "5.5 wk", "longest": "7 wk", "after": "J"},
    {"name": "M", "shortest": "1 wk", "duration": "2 wk", "longest": "3 wk", "after": "H"},
    {"name": "N", "shortest": "5 wk", "duration": "5.5 wk", "longest": "9 wk", "after": "K, L"}]}"#;

pub(super) const CHECKS: &[Check] = &[
    Check {
        case: "a network of seven tasks",
        inputs: TAYLOR_INPUTS,
        expect: &[
            near("length", 20.0, 0.0),
            word("path", "1-3 – 3-4 – 4-5 – 5-6"),
            near("tasks/0/earliest_begin", 0.0, 0.0),
            near("tasks/0/earliest_end", 7.0, 0.0),
            near("tasks/0/latest_begin", 2.0, 0.0),
            near("tasks/0/latest_end", 9.0, 0.0),
            near("tasks/0/slack", 2.0, 0.0),
            near("tasks/1/earliest_end", 10.0, 0.0),
            near("tasks/1/slack", 0.0, 0.0),
            near("tasks/2/earliest_begin", 7.0, 0.0),
            near("tasks/2/earliest_end", 13.0, 0.0),
            near("tasks/2/latest_begin", 9.0, 0.0),
            near("tasks/2/latest_end", 15.0, 0.0),
            near("tasks/2/slack", 2.0, 0.0),
            near("tasks/3/earliest_end", 15.0, 0.0),
            near("tasks/3/slack", 0.0, 0.0),
            near("tasks/4/earliest_begin", 10.0, 0.0),
            near("tasks/4/earliest_end", 14.0, 0.0),
            near("tasks/4/latest_begin", 14.0, 0.0),
            near("tasks/4/latest_end", 18.0, 0.0),
            near("tasks/4/slack", 4.0, 0.0),
            near("tasks/5/earliest_end", 18.0, 0.0),
            near("tasks/5/slack", 0.0, 0.0),
            near("tasks/6/earliest_end", 20.0, 0.0),
            near("tasks/6/latest_end", 20.0, 0.0),
            near("tasks/6/slack", 0.0, 0.0),
        ],
        mark: Mark::Published,
        source: TAYLOR,
    },
    Check {
        case: "a building of fourteen tasks",
        inputs: RELIABLE_FIXED,
        expect: &[
            near("length_days", 308.0, 0.0),
            word("path", "A – B – C – E – F – J – L – N"),
            near("tasks/3/slack", 672.0, 0.0),
            near("tasks/6/slack", 672.0, 0.0),
            near("tasks/7/slack", 672.0, 0.0),
            near("tasks/12/slack", 672.0, 0.0),
            near("tasks/8/slack", 336.0, 0.0),
            near("tasks/10/slack", 168.0, 0.0),
            word("tasks/11/critical", "yes"),
        ],
        mark: Mark::Memory,
        source: RELIABLE,
    },
    Check {
        case: "the same with shortest, usual and longest times, done within 47 weeks",
        inputs: RELIABLE_THREE,
        expect: &[
            near("length_days", 308.0, 0.0),
            near("deviation", 504.0, 0.005),
            near("chance", 84.134, 0.006),
            word("within_limit", "yes"),
        ],
        mark: Mark::Memory,
        source: RELIABLE,
    },
    Check {
        case: "three coats of 2 h, window 6 to 24 h, the third waits for help until 30 h",
        inputs: r#"{"tasks": [
            {"name": "prepare", "duration": "8 h"},
            {"name": "help comes", "duration": "30 h", "runs": "by-itself"},
            {"name": "coat 1", "duration": "2 h", "after": "prepare"},
            {"name": "coat 2", "duration": "2 h", "coat_over": "coat 1", "earliest": "6 h", "latest": "24 h"},
            {"name": "coat 3", "duration": "2 h", "coat_over": "coat 2", "earliest": "6 h", "latest": "24 h", "after": "help comes"}]}"#,
        expect: &[
            near("tasks/2/earliest_begin", 8.0, 0.0),
            near("tasks/3/earliest_begin", 16.0, 0.0),
            near("tasks/4/earliest_begin", 30.0, 0.0),
            near("windows/1/gap", 12.0, 0.0),
            word("windows/1/verdict", "inside"),
            word("windows_kept", "kept"),
        ],
        mark: Mark::Worked,
        source: BY_HAND,
    },
    Check {
        case: "the first coat fixed at 8 h, help at 50 h: the second coat is drawn after the third",
        inputs: r#"{"tasks": [
            {"name": "prepare", "duration": "8 h"},
            {"name": "help comes", "duration": "50 h", "runs": "by-itself"},
            {"name": "coat 1", "duration": "2 h", "after": "prepare", "begins_at": "8 h"},
            {"name": "coat 2", "duration": "2 h", "coat_over": "coat 1", "earliest": "6 h", "latest": "24 h"},
            {"name": "coat 3", "duration": "2 h", "coat_over": "coat 2", "earliest": "6 h", "latest": "24 h", "after": "help comes"}]}"#,
        expect: &[
            near("tasks/2/earliest_begin", 8.0, 0.0),
            near("tasks/3/earliest_begin", 24.0, 0.0),
            near("tasks/4/earliest_begin", 50.0, 0.0),
            word("windows_kept", "kept"),
        ],
        mark: Mark::Worked,
        source: BY_HAND,
    },
    Check {
        case: "the same with help at 60 h, the last that can be met",
        inputs: r#"{"missed": "refuse", "tasks": [
            {"name": "prepare", "duration": "8 h"},
            {"name": "help comes", "duration": "60 h", "runs": "by-itself"},
            {"name": "coat 1", "duration": "2 h", "after": "prepare", "begins_at": "8 h"},
            {"name": "coat 2", "duration": "2 h", "coat_over": "coat 1", "earliest": "6 h", "latest": "24 h"},
            {"name": "coat 3", "duration": "2 h", "coat_over": "coat 2", "earliest": "6 h", "latest": "24 h", "after": "help comes"}]}"#,
        expect: &[
            near("tasks/3/earliest_begin", 34.0, 0.0),
            near("tasks/4/earliest_begin", 60.0, 0.0),
        ],
        mark: Mark::Worked,
        source: BY_HAND,
    },
    Check {
        case: "the same with help at 61 h, refused",
        inputs: r#"{"missed": "refuse", "tasks": [
            {"name": "prepare", "duration": "8 h"},
            {"name": "help comes", "duration": "61 h", "runs": "by-itself"},
            {"name": "coat 1", "duration": "2 h", "after": "prepare", "begins_at": "8 h"},
            {"name": "coat 2", "duration": "2 h", "coat_over": "coat 1", "earliest": "6 h", "latest": "24 h"},
            {"name": "coat 3", "duration": "2 h", "coat_over": "coat 2", "earliest": "6 h", "latest": "24 h", "after": "help comes"}]}"#,
        expect: &[refused("tasks, row 5, latest")],
        mark: Mark::Worked,
        source: BY_HAND,
    },
    Check {
        case: "the same with help at 61 h, sanded before the third coat",
        inputs: r#"{"sanding": "3 h", "tasks": [
            {"name": "prepare", "duration": "8 h"},
            {"name": "help comes", "duration": "61 h", "runs": "by-itself"},
            {"name": "coat 1", "duration": "2 h", "after": "prepare", "begins_at": "8 h"},
            {"name": "coat 2", "duration": "2 h", "coat_over": "coat 1", "earliest": "6 h", "latest": "24 h"},
            {"name": "coat 3", "duration": "2 h", "coat_over": "coat 2", "earliest": "6 h", "latest": "24 h", "after": "help comes"}]}"#,
        expect: &[
            word("windows_kept", "missed"),
            word("windows/1/verdict", "missed"),
            word("tasks/5/name", "sanding before coat 3"),
            near("tasks/3/earliest_begin", 16.0, 0.0),
            near("tasks/4/earliest_begin", 61.0, 0.0),
            near("tasks/5/earliest_end", 27.0, 0.0),
            near("tasks/5/latest_end", 61.0, 0.0),
        ],
        mark: Mark::Worked,
        source: BY_HAND,
    },
    Check {
        case: "Friday noon, Monday to Friday: sanding runs over the weekend, the coat in one go, curing by itself",
        inputs: r#"{"start": "2026-05-08T13:00", "work_days": "monday-to-friday", "tasks": [
            {"name": "sand", "duration": "6 h"},
            {"name": "coat 1", "duration": "3 h", "runs": "in-one-go", "after": "sand"},
            {"name": "coat 2", "duration": "3 h", "runs": "in-one-go", "coat_over": "coat 1", "earliest": "6 h", "latest": "24 h"},
            {"name": "cure", "duration": "3 d", "runs": "by-itself", "after": "coat 2"},
            {"name": "refit", "duration": "4 h", "after": "cure"}]}"#,
        expect: &[
            word("tasks/0/ends", "2026-05-11 10:00"),
            word("tasks/1/begins", "2026-05-11 10:00"),
            word("tasks/2/begins", "2026-05-12 08:00"),
            near("windows/0/gap", 19.0, 0.0),
            word("windows/0/closes", "2026-05-12 13:00"),
            word("tasks/3/ends", "2026-05-15 11:00"),
            word("ends", "2026-05-15 15:00"),
        ],
        mark: Mark::Worked,
        source: "counted on the calendar by hand; 8 May 2026 is a Friday",
    },
    Check {
        case: "a coat at the end of the week is put off so that the next one meets its window",
        inputs: r#"{"start": "2026-05-08T08:00", "work_days": "monday-to-friday", "tasks": [
            {"name": "coat 1", "duration": "2 h", "runs": "in-one-go"},
            {"name": "coat 2", "duration": "2 h", "runs": "in-one-go", "coat_over": "coat 1", "earliest": "16 h", "latest": "24 h"}]}"#,
        expect: &[
            word("tasks/0/begins", "2026-05-11 08:00"),
            word("tasks/1/begins", "2026-05-12 08:00"),
            near("windows/0/gap", 22.0, 0.0),
        ],
        mark: Mark::Worked,
        source: "counted on the calendar by hand; 8 May 2026 is a Friday",
    },
    Check {
        case: "a window that no working day can meet",
        inputs: r#"{"start": "2026-05-08T08:00", "work_days": "every-day", "day_to": "12:00", "missed": "refuse", "tasks": [
            {"name": "coat 1", "duration": "2 h", "runs": "in-one-go"},
            {"name": "coat 2", "duration": "2 h", "runs": "in-one-go", "coat_over": "coat 1", "earliest": "6 h", "latest": "12 h"}]}"#,
        expect: &[refused("tasks, row 2, latest")],
        mark: Mark::Worked,
        source: "counted on the calendar by hand",
    },
    Check {
        case: "two coats of primer and two of finish, the non-skid last",
        inputs: r#"{"start": "2026-05-09", "work_days": "every-day", "tasks": [
            {"name": "primer 1", "duration": "3 h", "runs": "in-one-go"},
            {"name": "primer 2", "duration": "3 h", "runs": "in-one-go", "coat_over": "primer 1", "earliest": "8 h", "latest": "72 h"},
            {"name": "finish 1", "duration": "3 h", "runs": "in-one-go", "coat_over": "primer 2", "earliest": "12 h", "latest": "72 h"},
            {"name": "finish 2", "duration": "3 h", "runs": "in-one-go", "coat_over": "finish 1", "earliest": "12 h", "latest": "48 h"},
            {"name": "non-skid", "duration": "3 h", "runs": "in-one-go", "coat_over": "finish 2", "earliest": "12 h", "latest": "48 h"}]}"#,
        expect: &[
            word("windows_kept", "kept"),
            word("ends", "2026-05-13 11:00"),
        ],
        mark: Mark::CommonPractice,
        source: "two coats of two-part primer and two of finish before the non-skid; invented windows, one coat a day",
    },
    Check {
        case: "tasks that wait for each other",
        inputs: r#"{"tasks": [
            {"name": "a", "duration": "1 h", "after": "b"},
            {"name": "b", "duration": "1 h", "after": "a"}]}"#,
        expect: &[refused("tasks")],
        mark: Mark::Definition,
        source: "a circle has no beginning",
    },
    Check {
        case: "a coat in one go that is longer than the day",
        inputs: r#"{"start": "2026-05-09", "work_days": "every-day", "tasks": [{"name": "a", "duration": "10 h", "runs": "in-one-go"}]}"#,
        expect: &[refused("tasks, row 1, duration")],
        mark: Mark::Definition,
        source: "ten hours do not fit between 08:00 and 17:00",
    },
    Check {
        case: "a fixed time that comes too early",
        inputs: r#"{"tasks": [
            {"name": "a", "duration": "5 h"},
            {"name": "b", "duration": "1 h", "after": "a", "begins_at": "4 h"}]}"#,
        expect: &[refused("tasks, row 2, begins_at")],
        mark: Mark::Definition,
        source: "b cannot begin before a has ended",
    },
];
