//! Times as the log writes them: ISO 8601, whole or reduced.

/// A time taken apart; what the text left out is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Moment {
    /// The year.
    pub(crate) year: i32,
    /// 1 to 12.
    pub(crate) month: Option<u8>,
    /// 1 to 31.
    pub(crate) day: Option<u8>,
    /// Hour and minute on the wall clock of the place.
    pub(crate) time: Option<(u8, u8)>,
}

impl Moment {
    /// Reads `2026-05-09T14:22:00+02:00`, `2026-05-09`, `2026-05` or `1987`.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let (date, time) = match text.split_once('T') {
            Some((date, time)) => (date, Some(time)),
            None => (text, None),
        };
        let mut parts = date.split('-');
        let year = parts.next().filter(|year| year.len() == 4)?.parse().ok()?;
        let month = two_digits(parts.next(), 1..=12)?;
        let day = two_digits(parts.next(), 1..=31)?;
        if parts.next().is_some() {
            return None;
        }
        let time = match time {
            None => None,
            Some(time) => {
                let hour = two_digits(time.get(0..2), 0..=23)??;
                let minute = two_digits(time.get(3..5), 0..=59)??;
                Some((hour, minute))
            }
        };
        Some(Self {
            year,
            month,
            day,
            time,
        })
    }

    /// How far the clock of a whole time is ahead of UTC, in minutes: 120 of `2026-05-09T14:22:00+02:00`.
    pub(crate) fn offset_minutes(text: &str) -> Option<i32> {
        let clock = text.split_once('T')?.1;
        if clock.ends_with('Z') {
            return Some(0);
        }
        let zone = clock.get(clock.len().checked_sub(6)?..)?;
        let sign = match zone.get(..1)? {
            "+" => 1,
            "-" => -1,
            _ => return None,
        };
        let (hours, minutes) = zone.get(1..)?.split_once(':')?;
        Some(sign * (hours.parse::<i32>().ok()? * 60 + minutes.parse::<i32>().ok()?))
    }

    /// The hour and minute as a logbook's margin has them: "14:22".
    pub(crate) fn clock(&self) -> Option<String> {
        self.time
            .map(|(hour, minute)| format!("{hour:02}:{minute:02}"))
    }

    /// The date alone, as written: `2026-05-09`, `2026-05`, `1987`.
    pub(crate) fn date_text(&self) -> String {
        let mut text = format!("{:04}", self.year);
        for part in [self.month, self.day].into_iter().flatten() {
            text.push_str(&format!("-{part:02}"));
        }
        text
    }
}

/// `Some(None)` when there is no such part, `None` when there is one that makes no sense.
fn two_digits(part: Option<&str>, allowed: std::ops::RangeInclusive<u8>) -> Option<Option<u8>> {
    let Some(part) = part else { return Some(None) };
    if part.len() != 2 {
        return None;
    }
    let number = part.parse().ok()?;
    allowed.contains(&number).then_some(Some(number))
}

/// A length of time in words: "2 h 10", "8 min".
pub(crate) fn lasting(millis: i64) -> String {
    let minutes = (millis / 60_000).max(0);
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, minutes) => format!("{hours} h {minutes:02}"),
    }
}

#[cfg(test)]
mod tests;
