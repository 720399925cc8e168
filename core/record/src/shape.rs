//! What a field holds: the one description from which forms, checks, help and JSON Schemas are made.

use serde_json::{Value, json};

use crate::unit::UNITS;

/// One field of a kind.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The name in the statement.
    pub name: &'static str,
    /// One or two sentences on what it is.
    pub help: &'static str,
    /// What it holds.
    pub shape: Shape,
    /// Whether the kind cannot do without it.
    pub needed: bool,
}

/// What a field holds.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// One line of words.
    Text,
    /// Several lines of words.
    Prose,
    /// Several lines of words, one item each.
    Texts,
    /// An exact number without a unit, as a string.
    Number,
    /// A whole number from zero.
    Count,
    /// An amount with one of these units; none listed means any unit.
    Amount(&'static [&'static str]),
    /// An amount of money.
    Money,
    /// A date or time.
    When,
    /// Yes or no.
    YesNo,
    /// One word of a list: as stored, and as shown.
    Word(&'static [(&'static str, &'static str)]),
    /// Several words of a list.
    Words(&'static [(&'static str, &'static str)]),
    /// The id of an entry of one of these kinds; none listed means any kind.
    Entry(&'static [&'static str]),
    /// The ids of statements.
    Statements,
    /// A SHA-256.
    Digest,
    /// Points in a picture, in thousandths of its width and height: `[x, y, x, y, …]`.
    Points,
    /// Spots that two pictures both show, in ten-thousandths of their width and height: x and y in the one, then in the other.
    SameSpots,
    /// Any JSON value.
    Any,
    /// Engines: a list of objects with `name`, `serial`, `hours`, `made`.
    Engines,
    /// Layers from outside in: a list of objects with `material`, `thickness`, `note`.
    Layers,
    /// Lots of a batch: a list of objects with `material`, `lot`, `amount`.
    Parts,
}

impl Field {
    /// The name as people read it: `hull_number` is *hull number*.
    #[must_use]
    pub fn label(&self) -> String {
        self.name.replace('_', " ")
    }
}

impl Shape {
    /// The JSON Schema (draft 2020-12) of the field.
    #[must_use]
    pub fn schema(&self) -> Value {
        let words = |list: &[(&str, &str)]| {
            list.iter()
                .map(|(word, _)| json!({ "const": word }))
                .collect::<Vec<_>>()
        };
        let text = || json!({ "type": "string" });
        let number = || json!({ "type": "string", "pattern": r"^-?[0-9]+(\.[0-9]+)?$", "description": "an exact decimal of at most 15 digits, as a string" });
        let amount = |units: &[&str]| {
            let units: Vec<&str> = if units.is_empty() {
                UNITS.iter().map(|u| u.symbol).collect()
            } else {
                units.to_vec()
            };
            let unit = if units.len() == UNITS.len() {
                json!({ "type": "string", "examples": units })
            } else {
                json!({ "type": "string", "enum": units })
            };
            json!({ "type": "object", "required": ["value", "unit"], "additionalProperties": false,
                "properties": { "value": number(), "unit": unit, "entered": { "type": "string", "description": "as it was typed" } } })
        };
        let list = |of: &Value| json!({ "type": "array", "items": of });
        let id = || json!({ "type": "string", "pattern": "^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$" });
        let object = |properties: &Value| json!({ "type": "object", "properties": properties, "additionalProperties": false });
        match self {
            Self::Text | Self::Prose => text(),
            Self::Texts => list(&text()),
            Self::Number => number(),
            Self::Count => {
                json!({ "type": "integer", "minimum": 0, "maximum": 9_007_199_254_740_991_i64 })
            }
            Self::Amount(units) => amount(units),
            Self::Money => {
                json!({ "type": "object", "required": ["amount", "currency"], "additionalProperties": false,
                "properties": { "amount": number(), "currency": { "type": "string", "pattern": "^[A-Z]{3}$", "description": "ISO 4217" } } })
            }
            Self::When => {
                json!({ "type": "string", "description": "ISO 8601: 1987, 1987-05, 1987-05-09, 2026-05-09T14:22:00+02:00",
                "pattern": r"^[0-9]{4}(-[0-9]{2}(-[0-9]{2}(T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?(Z|[+-][0-9]{2}(:[0-9]{2})?)?)?)?)?$" })
            }
            Self::YesNo => json!({ "type": "boolean" }),
            Self::Word(list) => json!({ "type": "string", "oneOf": words(list) }),
            Self::Words(of) => {
                json!({ "type": "array", "items": { "type": "string", "oneOf": words(of) } })
            }
            Self::Entry(kinds) => {
                let mut schema = id();
                if let Some(object) = schema.as_object_mut() {
                    let of = if kinds.is_empty() {
                        "any entry".to_owned()
                    } else {
                        kinds.join(" or ")
                    };
                    object.insert(
                        "description".to_owned(),
                        Value::String(format!("the id of {of}")),
                    );
                }
                schema
            }
            Self::Statements => list(&id()),
            Self::Digest => {
                json!({ "type": "string", "pattern": "^[0-9a-f]{64}$", "description": "SHA-256" })
            }
            Self::Points => {
                json!({ "type": "array", "items": { "type": "integer", "minimum": 0, "maximum": 1000 } })
            }
            Self::Any => json!({}),
            Self::SameSpots => {
                json!({ "type": "array", "minItems": 8, "maxItems": 16, "items": { "type": "integer", "minimum": 0, "maximum": 10_000 } })
            }
            Self::Engines => list(&object(
                &json!({ "name": text(), "serial": text(), "hours": number(), "made": text() }),
            )),
            Self::Layers => list(&object(
                &json!({ "material": text(), "thickness": amount(crate::unit::group::LENGTH), "note": text() }),
            )),
            Self::Parts => list(&object(
                &json!({ "material": text(), "lot": text(), "amount": amount(crate::unit::group::AMOUNT) }),
            )),
        }
    }
}
