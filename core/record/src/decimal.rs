//! Exact decimals, and how people write them: `12,7`, `3/8`, `1 1/2`.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::Error;

/// The digits that a written number may have, so that every product and sum of the log stays exact.
pub const DIGITS: u32 = 15;

/// An exact decimal number; in a statement it is a string.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Decimal(pub rust_decimal::Decimal);

impl Decimal {
    /// Zero.
    pub const ZERO: Self = Self(rust_decimal::Decimal::ZERO);

    /// A decimal from a whole number.
    #[must_use]
    pub fn whole(number: i64) -> Self {
        Self(number.into())
    }

    /// Whether it is below zero.
    #[must_use]
    pub fn is_negative(self) -> bool {
        self.0 < rust_decimal::Decimal::ZERO
    }

    /// The sum, or `None` when it has more digits than can be kept.
    #[must_use]
    pub fn plus(self, other: Self) -> Option<Self> {
        self.0.checked_add(other.0).map(Self)
    }

    /// The product, or `None` when it has more digits than can be kept.
    #[must_use]
    pub fn times(self, other: Self) -> Option<Self> {
        self.0.checked_mul(other.0).map(Self)
    }

    /// Rounded to `places` decimal places, halves away from zero, and written with just as many.
    #[must_use]
    pub fn rounded(self, places: u32) -> Self {
        let mut out = self
            .0
            .round_dp_with_strategy(places, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
        if out.scale() < places {
            out.rescale(places);
        }
        Self(out)
    }

    /// Reads a number as people write it: `12.7`, `12,7`, `-3`, `3/8`, `1 1/2`, `1½`.
    ///
    /// # Errors
    ///
    /// - [`Error::Number`] when it is no number, has more than [`DIGITS`] digits, or is a fraction that no decimal holds exactly
    ///
    /// ```
    /// use garboard_record::Decimal;
    /// assert_eq!(Decimal::from_written("1 3/8").unwrap().to_string(), "1.375");
    /// assert_eq!(Decimal::from_written("12,7").unwrap().to_string(), "12.7");
    /// assert!(Decimal::from_written("1/3").is_err());
    /// ```
    pub fn from_written(text: &str) -> Result<Self, Error> {
        let refused = |mend| Error::Number {
            found: text.chars().take(60).collect(),
            mend,
        };
        let mut plain: String = text.trim().replace(['−', '–'], "-");
        for (sign, fraction) in [
            ('½', " 1/2"),
            ('¼', " 1/4"),
            ('¾', " 3/4"),
            ('⅛', " 1/8"),
            ('⅜', " 3/8"),
            ('⅝', " 5/8"),
            ('⅞', " 7/8"),
        ] {
            plain = plain.replace(sign, fraction);
        }
        let plain = plain.trim();
        let (negative, body) = match plain.strip_prefix('-') {
            Some(rest) => (true, rest.trim()),
            None => (false, plain.strip_prefix('+').unwrap_or(plain)),
        };
        let mut sum = rust_decimal::Decimal::ZERO;
        let mut parts = body.split_whitespace().peekable();
        if parts.peek().is_none() {
            return Err(refused("write digits, for example 12.7"));
        }
        let (mut seen_whole, mut seen_fraction) = (false, false);
        for part in parts {
            let value = if let Some((above, below)) = part.split_once('/') {
                if seen_fraction {
                    return Err(refused("write one fraction at most"));
                }
                seen_fraction = true;
                let above = digits(above).ok_or_else(|| refused("write a fraction like 3/8"))?;
                let below = digits(below).ok_or_else(|| refused("write a fraction like 3/8"))?;
                let quotient = above
                    .checked_div(below)
                    .ok_or_else(|| refused("nothing can be divided by zero"))?;
                if quotient.checked_mul(below) != Some(above) || quotient.scale() > 12 {
                    return Err(refused(
                        "no decimal holds this fraction exactly; write a decimal, or a fraction of halves, quarters, eighths",
                    ));
                }
                quotient.normalize()
            } else {
                if seen_whole || seen_fraction {
                    return Err(refused("write one number"));
                }
                seen_whole = true;
                digits(part).ok_or_else(|| {
                    refused("write digits with one decimal point or comma, for example 12.7")
                })?
            };
            sum = sum
                .checked_add(value)
                .ok_or_else(|| refused("it is too large"))?;
        }
        let sum = if negative { -sum } else { sum };
        Self::within_digits(sum)
            .ok_or_else(|| refused("it has more than 15 digits; round it to what was measured"))
    }

    fn within_digits(value: rust_decimal::Decimal) -> Option<Self> {
        let plain = value.normalize();
        (plain.mantissa().unsigned_abs() < 10_u128.pow(DIGITS) && plain.scale() <= DIGITS)
            .then_some(Self(value))
    }
}

/// Plain digits with at most one point or comma.
fn digits(text: &str) -> Option<rust_decimal::Decimal> {
    let one_mark = text.bytes().filter(|b| matches!(b, b'.' | b',')).count() <= 1;
    let plain = one_mark
        && text.len() <= 28
        && text.bytes().any(|b| b.is_ascii_digit())
        && text
            .bytes()
            .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
    if !plain {
        return None;
    }
    rust_decimal::Decimal::from_str(&text.replace(',', ".")).ok()
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

impl fmt::Debug for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

impl FromStr for Decimal {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let refused = || Error::Number {
            found: text.chars().take(60).collect(),
            mend: "write digits with a decimal point, for example \"12.7\"",
        };
        let body = text.strip_prefix('-').unwrap_or(text);
        if body.contains(',') || body.starts_with('.') || body.ends_with('.') {
            return Err(refused());
        }
        let value = digits(body).ok_or_else(refused)?;
        let value = if text.starts_with('-') { -value } else { value };
        Self::within_digits(value).ok_or(Error::Number {
            found: text.chars().take(60).collect(),
            mend: "it has more than 15 digits; round it to what was measured",
        })
    }
}

impl Serialize for Decimal {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Decimal {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
