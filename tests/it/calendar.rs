//! Calendar files, read by another reader of RFC 5545.

use std::process::Command;

use garboard_record::calendar::{Reminder, calendar};
use serde_json::{Value, json};

use crate::tool::python;

/// Reads a file with PyPI's `icalendar` and says what it found.
const READ: &str = r#"
import json, sys, icalendar
raw = open(sys.argv[1], "rb").read()
read = icalendar.Calendar.from_ical(raw)
[event] = read.walk("VEVENT")
[alarm] = event.walk("VALARM")
assert not read.errors and not event.errors and not alarm.errors, (read.errors, event.errors, alarm.errors)
begins = event.decoded("DTSTART")
print(json.dumps({
    "version": read["VERSION"], "uid": event["UID"], "title": event["SUMMARY"], "words": event.get("DESCRIPTION"),
    "begins": begins.isoformat(), "ends": event.decoded("DTEND").isoformat(), "written": event.decoded("DTSTAMP").isoformat(),
    "action": alarm["ACTION"], "said": alarm["DESCRIPTION"], "sounds": (begins + alarm.decoded("TRIGGER")).isoformat(),
    # Written again by the other one, folded by its own rule, it says the same.
    "again": icalendar.Calendar.from_ical(read.to_ical()) == read,
}))
"#;

#[test]
fn another_reader_of_rfc_5545_finds_the_same_event_and_alarm() {
    let long = "Recoat the side deck before the window closes, or sand it again; ".repeat(4);
    let titles = [
        "Pot life: mix 3",
        "commas, semicolons; colons: and \\backslashes\\ \"quoted\"",
        long.as_str(),
        "Zweite Lage: Überzug härtet — 夜までに塗る 🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶🛶",
        "اطلِ السطح قبل أن تنغلق النافذة، ثم نظّف الأدوات; \u{202b}يمين\u{202c}",
        "e\u{301}\u{301}\u{301} combining",
        "=begin \\n not a break",
    ];
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("reminder.ics");
    for title in titles {
        let words = format!("{title}\nSecond line, after a break.\n");
        let begins = 1_778_068_800_000; // 2026-05-06T12:00:00Z
        let file = calendar(&Reminder {
            uid: "019e0000-0000-7000-8000-000000000001-recoat",
            title,
            words: &words,
            begins,
            ends: begins + 30 * 3_600_000,
            sounds: begins - 95_000,
            written: begins - 60_500,
        });
        std::fs::write(&path, file.unwrap()).unwrap();
        let output = Command::new(python())
            .args(["-c", READ])
            .arg(&path)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{title}: {said}");
        let found: Value = serde_json::from_slice(&output.stdout).unwrap();
        let meant = json!({
            "version": "2.0", "uid": "019e0000-0000-7000-8000-000000000001-recoat", "title": title, "words": words,
            "begins": "2026-05-06T12:00:00+00:00", "ends": "2026-05-07T18:00:00+00:00", "written": "2026-05-06T11:58:59+00:00",
            "action": "DISPLAY", "said": title, "sounds": "2026-05-06T11:58:25+00:00", "again": true,
        });
        assert_eq!(found, meant);
    }
}
