//! Times taken apart.

use super::{Moment, lasting};

fn check(text: &str, date: &str, clock: Option<&str>) {
    let moment = Moment::read(text).unwrap();
    assert_eq!(
        (moment.date_text().as_str(), moment.clock().as_deref()),
        (date, clock)
    );
}

#[test]
fn whole_and_reduced_times_are_read() {
    check("2026-05-09T14:22:00+02:00", "2026-05-09", Some("14:22"));
    check("2026-05-09T14:22", "2026-05-09", Some("14:22"));
    check("2026-05-09", "2026-05-09", None);
    check("2026-05", "2026-05", None);
    check("1987", "1987", None);
}

#[test]
fn what_is_no_time_is_not_read() {
    for text in [
        "",
        "yesterday",
        "26-05-09",
        "2026-13",
        "2026-05-32",
        "2026-05-09T",
        "2026-05-09T25:00",
        "2026-05-09-1",
        "2026-5-9",
    ] {
        assert_eq!(Moment::read(text), None, "{text}");
    }
}

#[test]
fn lengths_are_in_hours_and_minutes() {
    assert_eq!(lasting(8 * 60_000 + 59_999), "8 min");
    assert_eq!(lasting(130 * 60_000), "2 h 10");
    assert_eq!(lasting(-5), "0 min");
}

#[test]
fn a_whole_time_names_its_clock() {
    for (text, minutes) in [
        ("2026-05-09T14:22:00+02:00", Some(120)),
        ("2026-05-09T14:22:00-03:30", Some(-210)),
        ("2026-05-09T14:22:00Z", Some(0)),
        ("2026-05-09T14:22:00", None),
        ("2026-05-09", None),
        ("2026-05-09T+2", None),
        ("", None),
    ] {
        assert_eq!(Moment::offset_minutes(text), minutes, "{text}");
    }
}
