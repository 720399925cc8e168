//! What a person typed into a form's fields, and the JSON that it makes.

use garboard_protocol::{FormField, Input};
use garboard_record::{Decimal, Money, Quantity};

use crate::json::{self, Json};
use crate::moment::Moment;
use crate::named::Named;

/// What stands in one field, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Draft {
    /// The words, the figure, or the chosen value's JSON.
    pub(crate) text: String,
    /// The unit beside a figure.
    pub(crate) unit: String,
    /// The chosen values' JSON, when there can be several.
    pub(crate) several: Vec<String>,
}

/// Drafts as one text, so that a half-written form survives a killed page.
pub(crate) fn kept(drafts: &Named<Draft>) -> String {
    let fields: Vec<(String, String)> = drafts
        .iter()
        .filter(|(_, draft)| !draft.is_blank())
        .map(|(name, draft)| {
            let parts: Vec<String> = [&draft.text, &draft.unit]
                .into_iter()
                .chain(&draft.several)
                .map(|part| json::string(part))
                .collect();
            (name.clone(), json::list(&parts))
        })
        .collect();
    if fields.is_empty() {
        String::new()
    } else {
        json::object(&fields)
    }
}

/// Puts what [`kept`] kept over the drafts of a form that is opened again.
pub(crate) fn take_up(drafts: &mut Named<Draft>, kept: &str) {
    let Some(Json::Object(fields)) = Json::read(kept) else {
        return;
    };
    for (name, parts) in &fields {
        let Json::List(parts) = parts else { continue };
        let mut parts = parts.iter().filter_map(Json::text).map(str::to_owned);
        let mut next = || parts.next().unwrap_or_default();
        let (text, unit) = (next(), next());
        drafts.set(
            name,
            Draft {
                text,
                unit,
                several: parts.collect(),
            },
        );
    }
}

impl Draft {
    /// A draft of words or of one choice.
    pub(crate) fn of(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// What stands in a field before it is amended.
    pub(crate) fn of_raw(field: &FormField, raw: &str) -> Self {
        let Some(json) = Json::read(raw).filter(|json| *json != Json::Bare("null".to_owned()))
        else {
            return Self::default();
        };
        match (&field.input, &json) {
            (
                Input::SeveralOf | Input::EntriesOf { .. } | Input::Table { .. },
                Json::List(values),
            ) => Self {
                several: values.iter().map(Json::written).collect(),
                ..Self::default()
            },
            (Input::Lines, Json::List(values)) => {
                let lines: Vec<&str> = values.iter().filter_map(Json::text).collect();
                Self::of(lines.join("\n"))
            }
            (Input::OneOf | Input::EntryOf { .. } | Input::Json, _) => Self::of(json.written()),
            (Input::Quantity { .. } | Input::Money, Json::Object(_)) => {
                let part = |name| json.field(name).and_then(Json::text).map(str::to_owned);
                Self {
                    text: part("entered")
                        .or_else(|| part("value"))
                        .or_else(|| part("amount"))
                        .unwrap_or_default(),
                    unit: part("unit")
                        .or_else(|| part("currency"))
                        .unwrap_or_default(),
                    several: Vec::new(),
                }
            }
            _ => Self::of(json.text().map_or_else(|| json.written(), str::to_owned)),
        }
    }

    /// Whether nothing was entered.
    pub(crate) fn is_blank(&self) -> bool {
        self.text.trim().is_empty() && self.several.is_empty()
    }

    /// The JSON of what was entered; `None` when nothing was.
    ///
    /// # Errors
    ///
    /// A sentence that says what is wrong and how to mend it.
    pub(crate) fn to_json(&self, field: &FormField) -> Result<Option<String>, String> {
        if self.is_blank() {
            return Ok(None);
        }
        let text = self.text.trim();
        let value = match &field.input {
            Input::Line | Input::Words => json::string(text),
            Input::Decimal => {
                let decimal = Decimal::from_written(text).map_err(sentence)?;
                json::string(&decimal.to_string())
            }
            Input::Whole => {
                let number: i64 = text
                    .parse()
                    .map_err(|_error| format!("“{text}” is no whole number; write digits only."))?;
                number.to_string()
            }
            Input::Quantity { .. } => quantity(text, &self.unit)?,
            Input::Money => {
                let money = Money::from_written(text, self.unit.trim()).map_err(sentence)?;
                let amount = json::string(&money.amount.to_string());
                json::object(&[
                    ("amount".to_owned(), amount),
                    ("currency".to_owned(), json::string(&money.currency)),
                ])
            }
            Input::When => {
                Moment::read(text).ok_or_else(|| {
                    format!("“{text}” is no date; write it like 2026-05-09, 2026-05 or 1987, with the time as 2026-05-09T14:22 if it matters.")
                })?;
                json::string(text)
            }
            Input::YesNo | Input::OneOf | Input::EntryOf { .. } => text.to_owned(),
            Input::SeveralOf | Input::EntriesOf { .. } | Input::Table { .. } => {
                json::list(&self.several)
            }
            Input::Lines => {
                let lines: Vec<String> = text
                    .lines()
                    .map(str::trim)
                    .filter(|line| !line.is_empty())
                    .map(json::string)
                    .collect();
                json::list(&lines)
            }
            Input::Json => {
                Json::read(text).ok_or_else(|| {
                    "This is no JSON; check the quotation marks and brackets.".to_owned()
                })?;
                text.to_owned()
            }
        };
        Ok(Some(value))
    }
}

/// A figure with its unit, exact, and as it was typed where that says more.
///
/// # Errors
///
/// A sentence that says what is wrong.
pub(crate) fn quantity(text: &str, unit: &str) -> Result<String, String> {
    let quantity = Quantity::from_written(text, unit).map_err(sentence)?;
    let mut fields = Vec::new();
    if let Some(entered) = &quantity.entered {
        fields.push(("entered".to_owned(), json::string(entered)));
    }
    fields.push(("unit".to_owned(), json::string(&quantity.unit)));
    fields.push((
        "value".to_owned(),
        json::string(&quantity.value.to_string()),
    ));
    Ok(json::object(&fields))
}

/// An error as a sentence: a capital letter and a full stop.
#[expect(clippy::needless_pass_by_value, reason = "made for map_err")]
fn sentence(error: garboard_record::Error) -> String {
    let words = error.to_string();
    let mut chars = words.chars();
    let first: String = chars
        .next()
        .map(|c| c.to_ascii_uppercase().to_string())
        .unwrap_or_default();
    format!("{first}{}.", chars.as_str().trim_end_matches('.'))
}

#[cfg(test)]
mod tests;
