//! A calendar file with one alarm: for a recoat window or a pot life, since a locked phone cannot be made to sound by a page.

use chrono::{DateTime, Utc};

/// What a calendar is told; times are milliseconds since 1970, and parts of a second are dropped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reminder<'a> {
    /// What names it in every calendar, for ever: the id of the step or batch and what the alarm is for. A later file with the
    /// same name replaces the earlier one.
    pub uid: &'a str,
    /// What it is about, in one line.
    pub title: &'a str,
    /// The rest, in as many lines as it takes; may be empty.
    pub words: &'a str,
    /// When it begins: the coat may be laid, the pot is mixed.
    pub begins: u64,
    /// When it ends: the window closes, the pot is past its life. Not before it begins.
    pub ends: u64,
    /// When the alarm sounds; may be before, between or after the two.
    pub sounds: u64,
    /// When the file is made.
    pub written: u64,
}

/// Why there is no calendar file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Untold {
    /// When it has no name; give it one.
    #[error("a calendar entry needs a name that is its own")]
    NoUid,
    /// When it ends before it begins; exchange the two, or correct one.
    #[error("a calendar entry cannot end before it begins; correct one of the two times")]
    EndsEarly,
    /// When a time is later than the year 9999; correct it.
    #[error("a calendar knows no year after 9999; correct the time")]
    TooLate,
}

/// The most octets a line has before it is folded, its line break aside.
const MOST_OCTETS: usize = 75;

/// Returns the calendar file: one event in UTC with one alarm that shows its title; as `text/calendar`, in UTF-8.
///
/// # Errors
///
/// [`Untold`], when the reminder contradicts itself.
///
/// # Source
///
/// RFC 5545, *Internet Calendaring and Scheduling Core Object Specification*, 2009; see `docs/sources/rfc5545.md`.
///
/// # Examples
///
/// ```
/// use garboard_record::calendar::{Reminder, calendar};
///
/// let opens = 1_778_000_400_000;
/// let file = calendar(&Reminder {
///     uid: "019e0000-0000-7000-8000-000000000001-recoat",
///     title: "Recoat the side deck",
///     words: "",
///     begins: opens,
///     ends: opens + 4 * 3_600_000,
///     sounds: opens,
///     written: opens - 60_000,
/// })
/// .unwrap();
/// assert!(file.contains("\r\nDTSTART:20260505T170000Z\r\n"));
/// assert!(file.contains("\r\nTRIGGER:PT0S\r\n"));
/// ```
pub fn calendar(reminder: &Reminder<'_>) -> Result<String, Untold> {
    if reminder.uid.trim().is_empty() {
        return Err(Untold::NoUid);
    }
    if reminder.ends < reminder.begins {
        return Err(Untold::EndsEarly);
    }
    let title = escaped(reminder.title, ' ');
    let mut file = String::new();
    let mut line = |name: &str, value: &str| fold(&mut file, name, value);
    line("BEGIN", "VCALENDAR");
    line("VERSION", "2.0");
    line("PRODID", "-//Garboard//Garboard//EN");
    line("BEGIN", "VEVENT");
    line("UID", &escaped(reminder.uid, ' '));
    line("DTSTAMP", &utc(reminder.written)?);
    line("DTSTART", &utc(reminder.begins)?);
    // An event without an end lasts no time at all (section 3.6.1).
    if reminder.ends / 1000 > reminder.begins / 1000 {
        line("DTEND", &utc(reminder.ends)?);
    }
    line("SUMMARY", &title);
    if !reminder.words.is_empty() {
        line("DESCRIPTION", &escaped(reminder.words, '\n'));
    }
    // It takes nobody's time: others may still be met meanwhile.
    line("TRANSP", "TRANSPARENT");
    line("BEGIN", "VALARM");
    line("ACTION", "DISPLAY");
    utc(reminder.sounds)?;
    line(
        "TRIGGER",
        &duration(reminder.begins / 1000, reminder.sounds / 1000),
    );
    line("DESCRIPTION", &title);
    line("END", "VALARM");
    line("END", "VEVENT");
    line("END", "VCALENDAR");
    Ok(file)
}

/// A time in UTC (section 3.3.5, form 2).
fn utc(millis: u64) -> Result<String, Untold> {
    i64::try_from(millis)
        .ok()
        .filter(|millis| *millis <= 253_402_300_799_999)
        .and_then(DateTime::<Utc>::from_timestamp_millis)
        .map(|time| time.format("%Y%m%dT%H%M%SZ").to_string())
        .ok_or(Untold::TooLate)
}

/// The length of time from one second to another (section 3.3.6): a day has 24 hours, as it has in UTC.
fn duration(from: u64, to: u64) -> String {
    let sign = if to < from { "-" } else { "" };
    let seconds = to.abs_diff(from);
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match (hours, minutes, seconds) {
        (0, 0, seconds) => format!("{sign}PT{seconds}S"),
        (0, minutes, 0) => format!("{sign}PT{minutes}M"),
        (0, minutes, seconds) => format!("{sign}PT{minutes}M{seconds}S"),
        (hours, 0, 0) => format!("{sign}PT{hours}H"),
        (hours, minutes, 0) => format!("{sign}PT{hours}H{minutes}M"),
        (hours, minutes, seconds) => format!("{sign}PT{hours}H{minutes}M{seconds}S"),
    }
}

/// A text as it is written (section 3.3.11): backslash, semicolon, comma and line break escaped, a line break being `end`; other
/// control characters, which a text may not hold, become spaces.
fn escaped(text: &str, end: char) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let character = match character {
            '\r' => {
                characters.next_if_eq(&'\n');
                end
            }
            '\n' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => end,
            '\t' => '\t',
            other if other.is_control() => ' ',
            other => other,
        };
        match character {
            '\n' => out.push_str("\\n"),
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(character);
            }
            _ => out.push(character),
        }
    }
    out
}

/// Writes a line, folded (section 3.1) so that no part is longer than 75 octets and no character is cut.
fn fold(out: &mut String, name: &str, value: &str) {
    let mut n_octets = 0;
    for character in name.chars().chain([':']).chain(value.chars()) {
        if n_octets + character.len_utf8() > MOST_OCTETS {
            out.push_str("\r\n ");
            n_octets = 1;
        }
        out.push(character);
        n_octets += character.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests;
