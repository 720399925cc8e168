//! Values as people read them, by what their field holds.

use garboard_protocol::Manner;
use garboard_record::shape::Shape;
use garboard_record::{Field, Id, Kind, Money, Quantity, When};
use serde_json::Value;

use crate::sight::{Sight, capital};

/// A field's name in words, with a capital.
#[must_use]
pub fn label(kind: &Kind, name: &str) -> String {
    let plain = match (kind, name) {
        (Kind::Finding, "kinds") => "what is wrong",
        (Kind::Finding, "extent") => "reaches",
        (Kind::Finding, "earlier_by") => "earlier repair by",
        (Kind::Finding, "earlier_when") => "earlier repair made",
        (Kind::Finding, "again_of") => "came back from",
        (Kind::Reading, "quantity") => "measured",
        (Kind::Reading, "yes") => "yes or no",
        (Kind::Photograph, "shows") => "shows",
        (Kind::Photograph, "answers") => "same view as",
        (Kind::Photograph, "of") | (Kind::Note | Kind::Paper, "of") => "about",
        (Kind::Material, "fate") => "what became of it",
        (Kind::Material, "from") => "taken from",
        (Kind::Place, "parent") => "within",
        (Kind::Place, "behind") => "behind it",
        (_, "words") => "in words",
        (_, "person") => "who",
        _ => return capital(&name.replace('_', " ")),
    };
    capital(plain)
}

/// How a field is to be read.
#[must_use]
pub fn manner(kind: &Kind, name: &str) -> Manner {
    match name {
        "observed" => Manner::Observed,
        "supposed" => Manner::Supposed,
        "value" | "word" | "yes" if *kind == Kind::Reading => Manner::Observed,
        _ => Manner::Plain,
    }
}

/// A value ready to show; blank for null.
#[must_use]
pub fn value(sight: Sight<'_>, kind: &Kind, name: &str, value: &Value) -> String {
    if value.is_null() {
        return String::new();
    }
    kind.field(name)
        .and_then(|field| by_shape(sight, field, value))
        .unwrap_or_else(|| plain(value))
}

/// The entry that a value names, when its field holds one.
#[must_use]
pub fn link(kind: &Kind, name: &str, value: &Value) -> Option<Id> {
    match kind.field(name)?.shape {
        Shape::Entry(_) => value.as_str()?.parse().ok(),
        _ => None,
    }
}

fn by_shape(sight: Sight<'_>, field: &Field, value: &Value) -> Option<String> {
    Some(match field.shape {
        Shape::Text | Shape::Prose | Shape::Number | Shape::Digest => value.as_str()?.to_owned(),
        Shape::Count => value.as_u64()?.to_string(),
        Shape::Amount(_) => amount(sight, value)?,
        Shape::Money => money(value)?,
        Shape::When => when(value.as_str()?),
        Shape::YesNo => yes_no(value.as_bool()?).to_owned(),
        Shape::Word(list) => word(value.as_str()?, list),
        Shape::Words(list) => value
            .as_array()?
            .iter()
            .filter_map(Value::as_str)
            .map(|text| word(text, list))
            .collect::<Vec<_>>()
            .join(", "),
        Shape::Texts => lines(value.as_array()?.iter().map(plain)),
        Shape::Entry(_) => {
            let id: Id = value.as_str()?.parse().ok()?;
            match sight.place_of(id) {
                Some(place) if place.id == id.to_string() => place.path.join(" › "),
                _ => sight.snapshot.title(id),
            }
        }
        Shape::Engines | Shape::Layers | Shape::Parts => {
            lines(value.as_array()?.iter().map(|value| parts(sight, value)))
        }
        Shape::Statements => format!("{} statements", value.as_array()?.len()),
        Shape::Points => format!("{} points", value.as_array()?.len() / 2),
        Shape::SameSpots => format!("{} spots", value.as_array()?.len() / 4),
        Shape::Any => plain(value),
    })
}

/// A date or time without the marks that only machines need.
#[must_use]
pub fn when(text: &str) -> String {
    let Ok(when) = text.parse::<When>() else {
        return text.to_owned();
    };
    match (when.day(), when.time()) {
        (Some(day), Some(time)) => format!("{day} {time}"),
        _ => text.to_owned(),
    }
}

fn yes_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn word(text: &str, list: &[(&str, &str)]) -> String {
    list.iter()
        .find(|(stored, _)| *stored == text)
        .map_or(text, |(_, shown)| shown)
        .to_owned()
}

fn amount(sight: Sight<'_>, value: &Value) -> Option<String> {
    serde_json::from_value::<Quantity>(value.clone())
        .ok()
        .map(|amount| sight.amount(&amount))
}

fn money(value: &Value) -> Option<String> {
    serde_json::from_value::<Money>(value.clone())
        .ok()
        .map(|money| money.to_string())
}

/// A small object: its parts' values, in their own order, with amounts as amounts.
fn parts(sight: Sight<'_>, value: &Value) -> String {
    let Some(object) = value.as_object() else {
        return plain(value);
    };
    object
        .values()
        .filter(|part| !part.is_null())
        .map(|part| {
            amount(sight, part)
                .or_else(|| money(part))
                .unwrap_or_else(|| plain(part))
        })
        .collect::<Vec<_>>()
        .join(", ")
}

fn plain(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(yes) => yes_no(*yes).to_owned(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => text.clone(),
        Value::Array(_) | Value::Object(_) => value.to_string(),
    }
}

fn lines(items: impl Iterator<Item = String>) -> String {
    items.collect::<Vec<_>>().join("\n")
}
