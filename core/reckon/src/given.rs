//! The inputs of a reckoning, read and checked in one place.

use std::collections::BTreeMap;

use garboard_record::{Decimal, Money, Quantity, When};
use serde_json::{Map, Value, json};

use crate::input::{Input, Need, Shape, written_units};
use crate::{Unreckoned, number};

/// One value that was given.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    missing_docs,
    reason = "each name says what it holds; see `input::Shape`"
)]
pub enum Datum {
    Amount(Quantity),
    Number(Decimal),
    Whole(i64),
    Choice(&'static str),
    YesNo(bool),
    Words(String),
    When(When),
    Money(Money),
    Rows(Vec<Given>),
}

/// The inputs of a reckoning, each within what is allowed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Given {
    values: BTreeMap<&'static str, Datum>,
    /// The inputs that were left out and took their default, in the order of the description.
    pub defaulted: Vec<&'static str>,
}

impl Given {
    /// Reads inputs from a JSON object: amounts as `{"value": "2.5", "unit": "m2"}` or as people write them, `"2.5 m2"`, `"3' 4 1/2\""`.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned`] for the first input that is missing, cannot be read or lies outside what is allowed
    pub fn read(inputs: &'static [Input], json: &Value) -> Result<Self, Unreckoned> {
        let Some(fields) = json.as_object() else {
            return Err(Unreckoned::NotInputs { found: short(json) });
        };
        if let Some(unknown) = fields
            .keys()
            .find(|name| !inputs.iter().any(|input| input.name == name.as_str()))
        {
            return Err(Unreckoned::NoSuchInput {
                input: unknown.clone(),
                inputs: inputs
                    .iter()
                    .map(|input| input.name)
                    .collect::<Vec<_>>()
                    .join(", "),
            });
        }
        let mut given = Self::default();
        for input in inputs {
            let value = fields.get(input.name).filter(|value| !is_blank(value));
            match (value, input.need) {
                (Some(value), _) => {
                    given.values.insert(input.name, read(input, value)?);
                }
                (None, Need::Default { value, .. }) => {
                    given
                        .values
                        .insert(input.name, read(input, &Value::String(value.to_owned()))?);
                    given.defaulted.push(input.name);
                }
                (None, Need::Optional) => {}
                (None, Need::Required) => {
                    return Err(Unreckoned::Missing {
                        input: input.name.to_owned(),
                        help: format!("{} Allowed: {}", input.help, input.allowed()),
                    });
                }
            }
        }
        Ok(given)
    }

    /// All inputs as JSON, those that were taken by default as well, as they are kept in a log.
    #[must_use]
    pub fn json(&self) -> Value {
        let fields = self.values.iter().map(|(name, datum)| {
            let value = match datum {
                Datum::Amount(quantity) => json!(quantity),
                Datum::Number(number) => json!(number),
                Datum::Whole(whole) => json!(whole),
                Datum::Choice(word) => json!(word),
                Datum::YesNo(yes) => json!(yes),
                Datum::Words(words) => json!(words),
                Datum::When(when) => json!(when),
                Datum::Money(money) => json!(money),
                Datum::Rows(rows) => rows.iter().map(Self::json).collect(),
            };
            ((*name).to_owned(), value)
        });
        Value::Object(fields.collect::<Map<_, _>>())
    }

    /// The value of an input as people read it, where it was given.
    #[must_use]
    pub fn shown(&self, name: &str) -> Option<String> {
        Some(match self.values.get(name)? {
            Datum::Amount(quantity) => quantity
                .entered
                .clone()
                .unwrap_or_else(|| format!("{} {}", quantity.value, quantity.unit_shown())),
            Datum::Number(number) => number.to_string(),
            Datum::Whole(whole) => whole.to_string(),
            Datum::Choice(word) => (*word).to_owned(),
            Datum::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
            Datum::Words(words) => words.clone(),
            Datum::When(when) => when.as_str().replace('T', " "),
            Datum::Money(money) => money.to_string(),
            Datum::Rows(rows) => format!("{} lines", rows.len()),
        })
    }

    /// The value of an input, where it was given.
    #[must_use]
    pub fn datum(&self, name: &str) -> Option<&Datum> {
        self.values.get(name)
    }

    /// The amount or number that lies nearest to an end of its range, counted in powers of ten where the range spans
    /// many: where to look when a result comes out absurd. In a table as `plies, row 2, weight`.
    pub(crate) fn outermost(&self, inputs: &'static [Input]) -> Option<String> {
        self.nearest_to_an_end(inputs).map(|(name, _)| name)
    }

    /// That input, and how far it is from the nearer end, as a share of the range.
    fn nearest_to_an_end(&self, inputs: &'static [Input]) -> Option<(String, f64)> {
        let mut found: Option<(String, f64)> = None;
        for input in inputs {
            let name = input.name;
            let of_rows = |rows: &[Self], columns| {
                let of_row = |(at, row): (usize, &Self)| {
                    let (column, share) = row.nearest_to_an_end(columns)?;
                    Some((format!("{name}, row {}, {column}", at + 1), share))
                };
                rows.iter()
                    .enumerate()
                    .filter_map(of_row)
                    .min_by(|(_, one), (_, other)| one.total_cmp(other))
            };
            let next = match (self.values.get(name), input.shape) {
                (Some(Datum::Amount(quantity)), Shape::Amount { units, from, to }) => quantity
                    .converted(units.first().copied().unwrap_or_default())
                    .and_then(|usual| share(usual.value, from, to))
                    .map(|share| (name.to_owned(), share)),
                (Some(Datum::Number(number)), Shape::Number { from, to }) => {
                    share(*number, from, to).map(|share| (name.to_owned(), share))
                }
                (Some(Datum::Rows(rows)), Shape::Rows { columns, .. }) => of_rows(rows, columns),
                _ => None,
            };
            // Of several as near the first counts.
            if let Some((_, share)) = &next
                && found.as_ref().is_none_or(|(_, least)| share < least)
            {
                found = next;
            }
        }
        found
    }

    /// Whether an input was given or took its default.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.values.contains_key(name)
    }

    /// An amount in this unit.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn amount(&self, name: &str, unit: &str) -> Result<f64, Unreckoned> {
        let quantity = self.quantity(name)?;
        quantity
            .converted(unit)
            .map(|amount| number::of_decimal(amount.value))
            .ok_or_else(|| Unreckoned::OutOfRange {
                input: name.to_owned(),
                value: quantity.to_string(),
                allowed: format!("what can be said in {unit} with 15 digits"),
            })
    }

    /// An amount in this unit, where it was given.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::OutOfRange`] when it cannot be said in the unit
    pub fn amount_if(&self, name: &str, unit: &str) -> Result<Option<f64>, Unreckoned> {
        self.has(name).then(|| self.amount(name, unit)).transpose()
    }

    /// An amount as it was given.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn quantity(&self, name: &str) -> Result<&Quantity, Unreckoned> {
        match self.values.get(name) {
            Some(Datum::Amount(quantity)) => Ok(quantity),
            _ => Err(missing(name)),
        }
    }

    /// A number without a unit.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn number(&self, name: &str) -> Result<f64, Unreckoned> {
        self.decimal(name).map(number::of_decimal)
    }

    /// A number without a unit, where it was given.
    #[must_use]
    pub fn number_if(&self, name: &str) -> Option<f64> {
        self.number(name).ok()
    }

    /// A number without a unit, exactly.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn decimal(&self, name: &str) -> Result<Decimal, Unreckoned> {
        match self.values.get(name) {
            Some(Datum::Number(number)) => Ok(*number),
            _ => Err(missing(name)),
        }
    }

    /// A whole number.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn whole(&self, name: &str) -> Result<i64, Unreckoned> {
        match self.values.get(name) {
            Some(Datum::Whole(whole)) => Ok(*whole),
            _ => Err(missing(name)),
        }
    }

    /// A word of a list.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn choice(&self, name: &str) -> Result<&'static str, Unreckoned> {
        match self.values.get(name) {
            Some(Datum::Choice(word)) => Ok(word),
            _ => Err(missing(name)),
        }
    }

    /// Whether yes was given.
    #[must_use]
    pub fn yes(&self, name: &str) -> bool {
        matches!(self.values.get(name), Some(Datum::YesNo(true)))
    }

    /// Words, empty where none were given.
    #[must_use]
    pub fn words(&self, name: &str) -> &str {
        match self.values.get(name) {
            Some(Datum::Words(words)) => words,
            _ => "",
        }
    }

    /// A date or time.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn when(&self, name: &str) -> Result<&When, Unreckoned> {
        match self.values.get(name) {
            Some(Datum::When(when)) => Ok(when),
            _ => Err(missing(name)),
        }
    }

    /// Money.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Missing`] when it was not given
    pub fn money(&self, name: &str) -> Result<&Money, Unreckoned> {
        match self.values.get(name) {
            Some(Datum::Money(money)) => Ok(money),
            _ => Err(missing(name)),
        }
    }

    /// The rows of a table, none where it was not given.
    #[must_use]
    pub fn rows(&self, name: &str) -> &[Self] {
        match self.values.get(name) {
            Some(Datum::Rows(rows)) => rows,
            _ => &[],
        }
    }
}

fn missing(name: &str) -> Unreckoned {
    Unreckoned::Missing {
        input: name.to_owned(),
        help: "it is needed together with what was given".to_owned(),
    }
}

/// How far a value is from the nearer end of its range, as a share of the range.
fn share(value: Decimal, from: &str, to: &str) -> Option<f64> {
    let (from, to): (f64, f64) = (from.parse().ok()?, to.parse().ok()?);
    let value = number::of_decimal(value);
    let (value, from, to) = if from > 0.0 && to / from > 100.0 {
        (number::ln(value), number::ln(from), number::ln(to))
    } else {
        (value, from, to)
    };
    Some((value - from).min(to - value) / (to - from))
}

fn is_blank(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::String(text) => text.trim().is_empty(),
        _ => false,
    }
}

fn short(value: &Value) -> String {
    value.to_string().chars().take(60).collect()
}

/// Reads one value and holds it against what is allowed.
fn read(input: &Input, value: &Value) -> Result<Datum, Unreckoned> {
    let unreadable = |mend: String| Unreckoned::Unreadable {
        input: input.name.to_owned(),
        found: short(value),
        mend,
    };
    let outside = |found: String| Unreckoned::OutOfRange {
        input: input.name.to_owned(),
        value: found,
        allowed: input.allowed(),
    };
    match input.shape {
        Shape::Amount { units, from, to } => {
            let quantity = amount(input, units, value)?;
            let bound = |text: &str| -> Result<Quantity, Unreckoned> {
                let value = text.parse().map_err(|_other| Unreckoned::Ours {
                    what: format!("the range of {}: {text}", input.name),
                })?;
                Ok(Quantity::new(value, units.first().copied().unwrap_or("")))
            };
            let within = quantity
                .compare(&bound(from)?)
                .is_some_and(std::cmp::Ordering::is_ge)
                && quantity
                    .compare(&bound(to)?)
                    .is_some_and(std::cmp::Ordering::is_le);
            if within {
                Ok(Datum::Amount(quantity))
            } else {
                Err(outside(quantity.to_string()))
            }
        }
        Shape::Number { from, to } => {
            let number = decimal(value).map_err(unreadable)?;
            let bound = |text: &str| {
                text.parse::<Decimal>().map_err(|_other| Unreckoned::Ours {
                    what: format!("the range of {}: {text}", input.name),
                })
            };
            if number < bound(from)? || number > bound(to)? {
                return Err(outside(number.to_string()));
            }
            Ok(Datum::Number(number))
        }
        Shape::Whole { from, to } => {
            let number = decimal(value).map_err(unreadable)?;
            let whole: i64 = number
                .to_string()
                .parse()
                .map_err(|_other| unreadable("a whole number is wanted".to_owned()))?;
            if whole < from || whole > to {
                return Err(outside(whole.to_string()));
            }
            Ok(Datum::Whole(whole))
        }
        Shape::Choice(list) => {
            let text = value.as_str().unwrap_or_default().trim().to_owned();
            list.iter()
                .find(|(word, shown)| *word == text || shown.eq_ignore_ascii_case(&text))
                .map(|(word, _)| Datum::Choice(word))
                .ok_or_else(|| outside(short(value)))
        }
        Shape::YesNo => match value {
            Value::Bool(yes) => Ok(Datum::YesNo(*yes)),
            Value::String(text) if matches!(text.trim(), "yes" | "true") => Ok(Datum::YesNo(true)),
            Value::String(text) if matches!(text.trim(), "no" | "false") => Ok(Datum::YesNo(false)),
            _ => Err(unreadable("write yes or no".to_owned())),
        },
        Shape::Words => match value {
            Value::String(text) => Ok(Datum::Words(text.trim().to_owned())),
            _ => Err(unreadable("words are wanted".to_owned())),
        },
        Shape::When => {
            let text = value.as_str().unwrap_or_default().trim();
            text.parse()
                .map(Datum::When)
                .map_err(|cause: garboard_record::Error| unreadable(cause.to_string()))
        }
        Shape::Money => money(value).map(Datum::Money).map_err(unreadable),
        Shape::Rows {
            columns,
            least,
            most,
        } => {
            let Some(list) = value.as_array() else {
                return Err(unreadable("a list of rows is wanted".to_owned()));
            };
            if list.len() < least || list.len() > most {
                return Err(outside(format!("{} rows", list.len())));
            }
            let rows = list
                .iter()
                .enumerate()
                .map(|(at, row)| {
                    Given::read(columns, row).map_err(|cause| cause.in_row(input.name, at))
                })
                .collect::<Result<Vec<_>, _>>()?;
            Ok(Datum::Rows(rows))
        }
    }
}

/// An amount as an object or as people write it; without a unit only where one alone is allowed.
fn amount(
    input: &Input,
    units: &'static [&'static str],
    value: &Value,
) -> Result<Quantity, Unreckoned> {
    let unreadable = |mend: String| Unreckoned::Unreadable {
        input: input.name.to_owned(),
        found: short(value),
        mend,
    };
    let usual = match units {
        [one] => one,
        _ => "",
    };
    let wrong = |found: String| Unreckoned::WrongUnit {
        input: input.name.to_owned(),
        found,
        allowed: written_units(units),
    };
    let quantity = match value {
        Value::Object(fields) => {
            let value = fields.get("value").map_or(Ok(None), |value| {
                decimal(value).map(Some).map_err(unreadable)
            })?;
            let unit = fields.get("unit").and_then(Value::as_str).unwrap_or(usual);
            let Some(value) = value else {
                return Err(unreadable(
                    "an amount is {\"value\": \"2.5\", \"unit\": \"m2\"}".to_owned(),
                ));
            };
            let mut quantity = Quantity::new(value, unit);
            quantity.entered = fields
                .get("entered")
                .and_then(Value::as_str)
                .map(str::to_owned);
            quantity
        }
        Value::Number(number) => {
            if usual.is_empty() {
                return Err(wrong(format!("{number} without a unit")));
            }
            Quantity::new(decimal(value).map_err(unreadable)?, usual)
        }
        Value::String(text) => {
            if usual.is_empty() && Decimal::from_written(text).is_ok() {
                return Err(wrong(format!("{} without a unit", text.trim())));
            }
            Quantity::from_written(text, usual).map_err(|cause| unreadable(cause.to_string()))?
        }
        _ => {
            return Err(unreadable(
                "an amount is a number with its unit, for example 2.5 m2".to_owned(),
            ));
        }
    };
    if units.contains(&quantity.unit.as_str()) {
        Ok(quantity)
    } else {
        Err(wrong(quantity.unit))
    }
}

fn decimal(value: &Value) -> Result<Decimal, String> {
    match value {
        Value::String(text) => Decimal::from_written(text).map_err(|cause| cause.to_string()),
        Value::Number(number) => number
            .to_string()
            .parse()
            .map_err(|cause: garboard_record::Error| cause.to_string()),
        _ => Err("a number is wanted, for example 12.7".to_owned()),
    }
}

fn money(value: &Value) -> Result<Money, String> {
    match value {
        Value::String(text) => Money::from_written(text, "").map_err(|cause| cause.to_string()),
        Value::Object(fields) => {
            let amount = decimal(fields.get("amount").unwrap_or(&Value::Null))?;
            let currency = fields
                .get("currency")
                .and_then(Value::as_str)
                .unwrap_or_default();
            if !garboard_record::quantity::is_currency(currency) {
                return Err("the currency is three capital letters, like EUR".to_owned());
            }
            Ok(Money {
                amount,
                currency: currency.to_owned(),
            })
        }
        _ => Err("money is an amount and a currency, for example 38.00 EUR".to_owned()),
    }
}
