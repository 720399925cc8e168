//! Dates and times as they are written: ISO 8601, whole or with reduced precision, with or without a zone.

use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::Error;

/// A date or a time (ISO 8601-1), kept as it was written.
///
/// `1987`, `1987-05`, `1987-05-09`, `2026-05-09T14:22`, with seconds, with fractions, with `Z` or an offset.
/// Years run from 0001 to 9999.
#[derive(Clone, PartialEq, Eq)]
pub struct When {
    text: String,
    key: i64,
    precision: Precision,
}

/// How exactly a [`When`] is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each name says it")]
pub enum Precision {
    Year,
    Month,
    Day,
    /// A time of day whose zone is not known.
    LocalTime,
    /// An instant.
    Instant,
}

impl When {
    /// The text as it was written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Milliseconds since 1970 of its beginning, for sorting; where no zone is known, as if it were UTC.
    #[must_use]
    pub fn sort_key(&self) -> i64 {
        self.key
    }

    /// How exactly it is known.
    #[must_use]
    pub fn precision(&self) -> Precision {
        self.precision
    }

    /// The day as written, `2026-05-09`, where it is known to the day.
    #[must_use]
    pub fn day(&self) -> Option<&str> {
        (self.precision >= Precision::Day)
            .then(|| self.text.get(..10))
            .flatten()
    }

    /// The time of day as written, `14:22`, where it is known.
    #[must_use]
    pub fn time(&self) -> Option<&str> {
        (self.precision >= Precision::LocalTime)
            .then(|| self.text.get(11..16))
            .flatten()
    }

    /// An instant of the given milliseconds since 1970, written in UTC.
    #[must_use]
    pub fn from_unix_millis(millis: u64) -> Self {
        Self::from_unix_millis_at(millis, 0)
    }

    /// An instant of the given milliseconds since 1970, written with an offset in minutes east of UTC.
    #[must_use]
    pub fn from_unix_millis_at(millis: u64, offset_minutes: i32) -> Self {
        let key = i64::try_from(millis)
            .unwrap_or(i64::MAX)
            .min(253_402_300_799_999);
        let offset = FixedOffset::east_opt(offset_minutes.clamp(-1439, 1439) * 60);
        let utc = DateTime::from_timestamp_millis(key).unwrap_or_default();
        let text = match offset {
            Some(offset) if offset_minutes != 0 => utc
                .with_timezone(&offset)
                .to_rfc3339_opts(chrono::SecondsFormat::Secs, false),
            _ => utc.to_rfc3339_opts(
                if key % 1000 == 0 {
                    chrono::SecondsFormat::Secs
                } else {
                    chrono::SecondsFormat::Millis
                },
                true,
            ),
        };
        Self {
            text,
            key,
            precision: Precision::Instant,
        }
    }

    /// The whole days from the beginning of this to that of another.
    #[must_use]
    pub fn days_until(&self, other: &Self) -> i64 {
        (other.key - self.key).div_euclid(86_400_000)
    }

    /// The milliseconds from this instant to another; `None` when one of them is no time of day.
    #[must_use]
    pub fn millis_until(&self, other: &Self) -> Option<i64> {
        (self.precision >= Precision::LocalTime && other.precision == self.precision)
            .then_some(other.key - self.key)
    }
}

impl FromStr for When {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let refused = |mend| Error::When {
            found: text.chars().take(60).collect(),
            mend,
        };
        let form = "use the form YYYY-MM-DD, alone or with a time and its zone";
        if !text.is_ascii() || text.len() > 40 {
            return Err(refused(form));
        }
        let number = |from: usize, to: usize| -> Option<u32> {
            text.get(from..to)
                .filter(|part| part.bytes().all(|b| b.is_ascii_digit()))
                .and_then(|part| part.parse().ok())
        };
        let year = number(0, 4)
            .and_then(|y| i32::try_from(y).ok())
            .filter(|y| *y > 0)
            .ok_or_else(|| refused(form))?;
        let no_day = "there is no such day in the calendar";
        let date =
            |month, day| NaiveDate::from_ymd_opt(year, month, day).ok_or_else(|| refused(no_day));
        let at = |date: NaiveDate| {
            date.and_time(chrono::NaiveTime::MIN)
                .and_utc()
                .timestamp_millis()
        };
        let dash = |at: usize| text.as_bytes().get(at) == Some(&b'-');
        let of = |key, precision| {
            Ok(Self {
                text: text.to_owned(),
                key,
                precision,
            })
        };
        match text.len() {
            4 => of(at(date(1, 1)?), Precision::Year),
            7 if dash(4) => of(
                at(date(number(5, 7).ok_or_else(|| refused(form))?, 1)?),
                Precision::Month,
            ),
            10 if dash(4) && dash(7) => {
                let (month, day) = number(5, 7)
                    .zip(number(8, 10))
                    .ok_or_else(|| refused(form))?;
                of(at(date(month, day)?), Precision::Day)
            }
            n if n > 10 && dash(4) && dash(7) && text.as_bytes().get(10) == Some(&b'T') => {
                let (month, day) = number(5, 7)
                    .zip(number(8, 10))
                    .ok_or_else(|| refused(form))?;
                let no_time = "the time of day is hours, minutes and seconds like 14:22:00, with Z or an offset like +02:00";
                let body = text.get(11..).unwrap_or_default();
                let (clock, zone) = match body.find(['Z', '+', '-']) {
                    Some(at) => body.split_at(at),
                    None => (body, ""),
                };
                if clock.get(5..8) == Some(":60") {
                    return Err(refused("leap seconds cannot be kept; use :59"));
                }
                let local =
                    at(date(month, day)?) + clock_millis(clock).ok_or_else(|| refused(no_time))?;
                if zone.is_empty() {
                    return of(local, Precision::LocalTime);
                }
                of(
                    local - zone_millis(zone).ok_or_else(|| refused(no_time))?,
                    Precision::Instant,
                )
            }
            _ => Err(refused(form)),
        }
    }
}

/// `14:22`, `14:22:31`, `14:22:31.123` as milliseconds since midnight; what is finer than a millisecond is passed over.
fn clock_millis(clock: &str) -> Option<i64> {
    let two = |from: usize, most: i64| two_digits(clock, from).filter(|value| *value <= most);
    let colon = |at: usize| clock.as_bytes().get(at) == Some(&b':');
    let minutes = two(0, 23)? * 60 + two(3, 59).filter(|_| colon(2))?;
    let (seconds, rest) = match clock.get(5..)? {
        "" => (0, ""),
        _ => (two(6, 59).filter(|_| colon(5))?, clock.get(8..)?),
    };
    let millis = match rest.strip_prefix('.') {
        None if rest.is_empty() => 0,
        Some(digits) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => digits
            .bytes()
            .chain([b'0', b'0'])
            .take(3)
            .fold(0, |sum, digit| sum * 10 + i64::from(digit - b'0')),
        _ => return None,
    };
    Some((minutes * 60 + seconds) * 1000 + millis)
}

/// The two digits that stand at a place.
fn two_digits(text: &str, from: usize) -> Option<i64> {
    text.get(from..from + 2)
        .filter(|pair| pair.bytes().all(|b| b.is_ascii_digit()))
        .and_then(|pair| pair.parse().ok())
}

/// `Z`, `+02:00`, `-05:30` as milliseconds east of UTC.
fn zone_millis(zone: &str) -> Option<i64> {
    if zone == "Z" {
        return Some(0);
    }
    let sign = match zone.get(..1)? {
        "+" => 1,
        "-" => -1,
        _ => return None,
    };
    let two = |from: usize| {
        zone.get(from..from + 2)
            .filter(|p| p.bytes().all(|b| b.is_ascii_digit()))
            .and_then(|p| p.parse::<i64>().ok())
    };
    let (hours, minutes) = match zone.len() {
        3 => (two(1)?, 0),
        6 if zone.as_bytes().get(3) == Some(&b':') => (two(1)?, two(4)?),
        _ => return None,
    };
    (hours < 24 && minutes < 60).then_some(sign * (hours * 60 + minutes) * 60_000)
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl fmt::Debug for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.text)
    }
}

impl<'de> Deserialize<'de> for When {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
