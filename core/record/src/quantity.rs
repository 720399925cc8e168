//! Amounts with their units, and money: exact, and kept as they were entered.

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::unit::{System, Unit};
use crate::{Decimal, Error};

/// A decimal with its unit, kept as it was entered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Quantity {
    /// The exact value in `unit`.
    pub value: Decimal,
    /// The symbol of the unit; see [`crate::unit::UNITS`]. A symbol that is not known is kept, and equals only itself.
    pub unit: String,
    /// The text as it was typed, where it says more than the value: `3' 4 1/2"`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered: Option<String>,
}

impl Quantity {
    /// An amount of a unit.
    #[must_use]
    pub fn new(value: Decimal, unit: &str) -> Self {
        Self {
            value,
            unit: unit.to_owned(),
            entered: None,
        }
    }

    /// Reads an amount as people write it: `12,7 mm`, `3/8 in`, `3' 4 1/2"`, `0.42 m²`.
    ///
    /// `unit_if_none` is taken when the text names none.
    ///
    /// # Errors
    ///
    /// - [`Error::Number`] when the number cannot be read exactly, or no unit is named and none is usual
    ///
    /// ```
    /// use garboard_record::Quantity;
    /// let half = Quantity::from_written("1/2 in", "mm").unwrap();
    /// assert!(half.equals(&Quantity::from_written("12.7", "mm").unwrap()));
    /// assert_eq!(Quantity::from_written("3' 4 1/2\"", "mm").unwrap().value.to_string(), "40.5");
    /// ```
    pub fn from_written(text: &str, unit_if_none: &str) -> Result<Self, Error> {
        let trimmed = text
            .trim()
            .replace(['’', '′'], "'")
            .replace(['”', '″'], "\"")
            .replace("''", "\"");
        if trimmed.contains(['\'', '"']) {
            return feet_and_inches(&trimmed, text.trim());
        }
        let split = trimmed
            .char_indices()
            .find(|&(at, c)| {
                !(c.is_ascii_digit()
                    || matches!(
                        c,
                        '.' | ','
                            | '/'
                            | ' '
                            | '+'
                            | '-'
                            | '−'
                            | '–'
                            | '½'
                            | '¼'
                            | '¾'
                            | '⅛'
                            | '⅜'
                            | '⅝'
                            | '⅞'
                    ))
                    && at > 0
            })
            .map_or(trimmed.len(), |(at, _)| at);
        let (number, symbol) = trimmed.split_at(split);
        let value = Decimal::from_written(number)?;
        let symbol = symbol.trim();
        let unit = if symbol.is_empty() {
            unit_if_none
        } else {
            symbol_of(symbol)
        };
        if unit.is_empty() {
            return Err(Error::Number {
                found: text.trim().to_owned(),
                mend: "name the unit after the number, for example 12 mm",
            });
        }
        let as_typed = number.contains('/') || number.contains(['½', '¼', '¾', '⅛', '⅜', '⅝', '⅞']);
        Ok(Self {
            value,
            unit: unit.to_owned(),
            entered: as_typed.then(|| text.trim().to_owned()),
        })
    }

    /// Whether both are the same amount, exactly, whatever their units.
    #[must_use]
    pub fn equals(&self, other: &Self) -> bool {
        self.compare(other) == Some(Ordering::Equal)
    }

    /// Compares two amounts exactly; `None` when they measure different things.
    #[must_use]
    pub fn compare(&self, other: &Self) -> Option<Ordering> {
        if self.unit == other.unit {
            return Some(self.value.cmp(&other.value));
        }
        Unit::of(&self.unit)?.compare(self.value.0, Unit::of(&other.unit)?, other.value.0)
    }

    /// The amount in another unit, for showing; `None` when it cannot be.
    #[must_use]
    pub fn converted(&self, to: &str) -> Option<Self> {
        let value = Unit::of(&self.unit)?.convert(self.value.0, Unit::of(to)?)?;
        Some(Self {
            value: Decimal(value),
            unit: to.to_owned(),
            entered: None,
        })
    }

    /// The amount in a hand's system of units, rounded to three figures; `None` when it is in that system as it stands.
    #[must_use]
    pub fn in_system(&self, system: System) -> Option<Self> {
        let amount = self.converted(system.counterpart(&self.unit)?)?;
        let mut size = amount.value.0.abs();
        let mut places = 3;
        while size >= rust_decimal::Decimal::ONE && places > 0 {
            size /= rust_decimal::Decimal::TEN;
            places -= 1;
        }
        // Noughts right after the point are no figures.
        let tenth = rust_decimal::Decimal::new(1, 1);
        while !size.is_zero() && size < tenth {
            size *= rust_decimal::Decimal::TEN;
            places += 1;
        }
        Some(Self {
            value: amount.value.rounded(places),
            ..amount
        })
    }

    /// The unit as it is shown.
    #[must_use]
    pub fn unit_shown(&self) -> &str {
        Unit::of(&self.unit).map_or(self.unit.as_str(), |unit| unit.shown)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.entered {
            Some(entered) => f.write_str(entered),
            None if self.unit == "pcs" => write!(f, "{}", self.value),
            None if self.value == Decimal::whole(1)
                && matches!(self.unit.as_str(), "d" | "wk" | "month" | "year") =>
            {
                write!(f, "1 {}", self.unit_shown().trim_end_matches('s'))
            }
            None => write!(f, "{} {}", self.value, self.unit_shown()),
        }
    }
}

/// The symbol for what people write.
fn symbol_of(written: &str) -> &str {
    let known = match written {
        "µm" | "μm" | "micron" | "microns" => "um",
        "inch" | "inches" | "in." => "in",
        "foot" | "feet" => "ft",
        "mm²" => "mm2",
        "cm²" => "cm2",
        "m²" | "sqm" | "qm" => "m2",
        "in²" | "sq in" => "in2",
        "ft²" | "sq ft" => "ft2",
        "yd²" | "sq yd" => "yd2",
        "L" | "litre" | "litres" | "liter" | "liters" => "l",
        "mL" => "ml",
        "m³" => "m3",
        "cm³" | "cc" | "ccm" => "cm3",
        "mm³" => "mm3",
        "in³" | "cu in" => "in3",
        "ft³" | "cu ft" => "ft3",
        "yd³" | "cu yd" => "yd3",
        "gal imp" | "imp gal" => "gal-imp",
        "kg/m³" => "kg/m3",
        "g/cm³" | "g/ml" => "g/cm3",
        "kg/L" => "kg/l",
        "lb/ft³" => "lb/ft3",
        "m²/L" | "m²/l" | "m2/L" => "m2/l",
        "ft²/gal" => "ft2/gal",
        "lb/ft²" => "lb/ft2",
        "kN/m²" => "kN/m2",
        "N/mm²" | "N/mm2" => "MPa",
        "N·mm²" => "N.mm2",
        "mm⁴" => "mm4",
        "cm⁴" => "cm4",
        "fl oz" => "fl-oz",
        "°C" => "C",
        "°F" => "F",
        "hours" | "hour" | "hrs" => "h",
        "minutes" | "minute" => "min",
        "days" | "day" => "d",
        "weeks" | "week" => "wk",
        "months" => "month",
        "years" => "year",
        "g/m²" | "gsm" => "g/m2",
        "kg/m²" => "kg/m2",
        "oz/yd²" => "oz/yd2",
        "oz/ft²" => "oz/ft2",
        "pieces" | "pc" | "piece" => "pcs",
        "Ω" => "ohm",
        "kΩ" => "kohm",
        "MΩ" => "Mohm",
        "Nm" | "N·m" => "N.m",
        "µS/cm" => "uS/cm",
        "°" => "deg",
        _ => "",
    };
    if known.is_empty() { written } else { known }
}

/// `3' 4 1/2"`, `3'`, `4 1/2"`: in inches.
fn feet_and_inches(text: &str, entered: &str) -> Result<Quantity, Error> {
    let refused = || Error::Number {
        found: entered.chars().take(60).collect(),
        mend: "write feet and inches like 3' 4 1/2\"",
    };
    let (feet, rest) = match text.split_once('\'') {
        Some((feet, rest)) => (Decimal::from_written(feet)?, rest.trim()),
        None => (Decimal::ZERO, text),
    };
    let inches = match rest.strip_suffix('"') {
        Some(inches) => Decimal::from_written(inches)?,
        None if rest.is_empty() => Decimal::ZERO,
        None => return Err(refused()),
    };
    if inches.is_negative() && feet != Decimal::ZERO {
        return Err(refused());
    }
    let inches = if feet.is_negative() {
        Decimal(-inches.0)
    } else {
        inches
    };
    let value = feet
        .times(Decimal::whole(12))
        .and_then(|f| f.plus(inches))
        .ok_or_else(refused)?;
    Ok(Quantity {
        value,
        unit: "in".to_owned(),
        entered: Some(entered.to_owned()),
    })
}

/// An amount of a currency (ISO 4217).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Money {
    /// The exact amount.
    pub amount: Decimal,
    /// The currency's three letters.
    pub currency: String,
}

impl Money {
    /// Reads `93.60 EUR`; the currency may be left out when `currency_if_none` is given.
    ///
    /// # Errors
    ///
    /// - [`Error::Money`] when the currency is not three capital letters
    /// - [`Error::Number`] when the amount cannot be read
    pub fn from_written(text: &str, currency_if_none: &str) -> Result<Self, Error> {
        let text = text.trim();
        let (amount, currency) = match text.rsplit_once(char::is_whitespace) {
            Some((amount, last)) if last.chars().all(char::is_alphabetic) => (amount, last),
            _ => (text, currency_if_none),
        };
        if !is_currency(currency) {
            return Err(Error::Money {
                found: text.to_owned(),
            });
        }
        Ok(Self {
            amount: Decimal::from_written(amount)?,
            currency: currency.to_owned(),
        })
    }

    /// The decimal places of a currency's smaller unit (ISO 4217, column "minor unit").
    #[must_use]
    pub fn places(currency: &str) -> u32 {
        match currency {
            "BIF" | "CLP" | "DJF" | "GNF" | "ISK" | "JPY" | "KMF" | "KRW" | "PYG" | "RWF"
            | "UGX" | "VND" | "VUV" | "XAF" | "XOF" | "XPF" => 0,
            "BHD" | "IQD" | "JOD" | "KWD" | "LYD" | "OMR" | "TND" => 3,
            _ => 2,
        }
    }
}

/// Whether a text has the form of a currency code.
#[must_use]
pub fn is_currency(text: &str) -> bool {
    text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase())
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.amount, self.currency)
    }
}
