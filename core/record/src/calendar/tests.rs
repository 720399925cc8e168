//! The calendar file against the examples of RFC 5545, and laws for any text.

use proptest::prelude::*;

use super::*;

const NOON: u64 = 1_778_068_800_000; // 2026-05-06T12:00:00Z

fn reminder<'a>(title: &'a str, words: &'a str) -> Reminder<'a> {
    Reminder {
        uid: "019e0000-0000-7000-8000-000000000001",
        title,
        words,
        begins: NOON,
        ends: NOON + 45 * 60_000,
        sounds: NOON + 30 * 60_000,
        written: NOON - 1_500,
    }
}

#[test]
fn a_whole_file_line_by_line() {
    let file = calendar(&reminder("Pot life; mix 3, west rail", "Stop.\nClean up.")).unwrap();
    let meant = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Garboard//Garboard//EN",
        "BEGIN:VEVENT",
        "UID:019e0000-0000-7000-8000-000000000001",
        "DTSTAMP:20260506T115958Z",
        "DTSTART:20260506T120000Z",
        "DTEND:20260506T124500Z",
        r"SUMMARY:Pot life\; mix 3\, west rail",
        r"DESCRIPTION:Stop.\nClean up.",
        "TRANSP:TRANSPARENT",
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        "TRIGGER:PT30M",
        r"DESCRIPTION:Pot life\; mix 3\, west rail",
        "END:VALARM",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ];
    assert_eq!(file, meant.join("\r\n"));
}

/// RFC 5545, section 3.3.11: the example of a TEXT value.
#[test]
fn the_published_example_of_escaping() {
    let meant = r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
    let text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
    assert_eq!(escaped(text, '\n'), meant);
    // The same section: a colon is not escaped; comma, semicolon and backslash are.
    assert_eq!(escaped(r"a:b,c;d\e", '\n'), r"a:b\,c\;d\\e");
}

/// RFC 5545, section 3.1: the example's parts, joined again, are its line; what we fold is joined by the same rule.
#[test]
fn the_published_example_of_folding() {
    let line = "DESCRIPTION:This is a long description that exists on a long line.";
    let published = "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.";
    assert_eq!(unfolded(published), line);
    let mut out = String::new();
    fold(
        &mut out,
        "DESCRIPTION",
        "This is a long description that exists on a long line.",
    );
    assert_eq!(out, format!("{line}\r\n"), "70 octets need no folding");
    let mut out = String::new();
    fold(&mut out, "X", &"a".repeat(73));
    assert_eq!(out.len(), 77, "75 octets fit");
    let mut out = String::new();
    fold(&mut out, "X", &"a".repeat(74));
    assert_eq!(out, format!("X:{}\r\n a\r\n", "a".repeat(73)));
}

/// RFC 5545, section 3.3.6 and 3.8.6.3: fifteen minutes before, and the grammar's order of hours, minutes, seconds.
#[test]
fn triggers_before_at_and_after_the_beginning() {
    assert_eq!(duration(900, 0), "-PT15M");
    assert_eq!(duration(0, 0), "PT0S");
    assert_eq!(duration(0, 7 * 24 * 3600), "PT168H");
    assert_eq!(duration(0, 15 * 3600 + 20), "PT15H0M20S");
    assert_eq!(duration(61, 0), "-PT1M1S");
}

#[test]
fn a_reminder_that_contradicts_itself_is_refused() {
    let good = reminder("t", "");
    let early = Reminder {
        ends: NOON - 1,
        ..good
    };
    assert_eq!(calendar(&early), Err(Untold::EndsEarly));
    assert_eq!(calendar(&Reminder { uid: " ", ..good }), Err(Untold::NoUid));
    let late = Reminder {
        sounds: 253_402_300_800_000,
        ..good
    };
    assert_eq!(calendar(&late), Err(Untold::TooLate));
    // No time at all is a moment, without an end.
    let moment = Reminder { ends: NOON, ..good };
    assert!(!calendar(&moment).unwrap().contains("DTEND"));
}

fn unfolded(text: &str) -> String {
    text.replace("\r\n ", "").replace("\r\n\t", "")
}

/// Reads a text value back as section 3.3.11 says.
fn read(value: &str) -> String {
    let mut out = String::new();
    let mut characters = value.chars();
    while let Some(character) = characters.next() {
        out.push(match character {
            '\\' => match characters.next() {
                Some('n' | 'N') => '\n',
                other => other.unwrap(),
            },
            other => other,
        });
    }
    out
}

proptest! {
    #[test]
    fn law_any_text_reads_back_and_no_line_is_too_long(title in ".*", words in "(?s).*") {
        let file = calendar(&reminder(&title, &words)).unwrap();
        prop_assert!(file.ends_with("END:VCALENDAR\r\n"));
        for line in file.split("\r\n") {
            prop_assert!(line.len() <= 75, "{line:?}");
            prop_assert!(!line.chars().any(|c| c.is_control() && c != '\t'), "{line:?}");
        }
        let whole = unfolded(&file);
        let value = |name: &str| whole.split("\r\n").find_map(|line| line.strip_prefix(name)).map(read);
        let plain = |text: &str, end: &str| -> String {
            let text = text.replace("\r\n", "\n");
            text.chars().map(|c| match c {
                '\r' | '\n' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => end.to_owned(),
                c if c.is_control() && c != '\t' => " ".to_owned(),
                c => c.to_string(),
            }).collect()
        };
        prop_assert_eq!(value("SUMMARY:"), Some(plain(&title, " ")));
        if !words.is_empty() {
            prop_assert_eq!(value("DESCRIPTION:"), Some(plain(&words, "\n")));
        }
    }
}
