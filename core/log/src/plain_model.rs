//! A second, plain model of what statements mean together. It shares no code with the snapshot: JSON values, strings and sets.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

/// What the plain model makes of an entry.
#[derive(Debug, Default, PartialEq, Eq, Clone)]
pub(crate) struct PlainEntry {
    /// The fields as they stand, as JSON text; a disputed one at the value with the lowest id.
    pub(crate) fields: BTreeMap<String, String>,
    /// The disputed fields: every value with the statement that says it.
    pub(crate) disputes: BTreeMap<String, BTreeSet<(String, String)>>,
    /// The strikes that hold.
    pub(crate) strikes: BTreeSet<String>,
}

/// Works out every entry of a set of statements, given as id and text.
pub(crate) fn entries(said: &BTreeMap<String, String>) -> BTreeMap<String, PlainEntry> {
    let parsed: BTreeMap<&str, Value> = said
        .iter()
        .map(|(id, text)| (id.as_str(), serde_json::from_str(text).unwrap()))
        .collect();
    let kind = |value: &Value| value["kind"].as_str().unwrap().to_owned();
    let about = ["amendment", "choice", "strike", "lift", "withdrawal"];
    let mut out = BTreeMap::new();
    for (id, value) in &parsed {
        if about.contains(&kind(value).as_str()) {
            continue;
        }
        let on_it: Vec<(&str, &Value)> = parsed
            .iter()
            .filter(|(_, other)| {
                about.contains(&kind(other).as_str()) && other["fields"]["entry"] == **id
            })
            .map(|(id, v)| (*id, v))
            .collect();
        out.insert((*id).to_owned(), entry(id, value, &on_it));
    }
    out
}

fn seen(value: &Value) -> BTreeSet<&str> {
    value["fields"]["sees"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect()
}

fn entry(id: &str, made: &Value, on_it: &[(&str, &Value)]) -> PlainEntry {
    let mut plain = PlainEntry::default();
    let mut names: BTreeSet<String> = made["fields"]
        .as_object()
        .unwrap()
        .keys()
        .cloned()
        .collect();
    let changes: Vec<(&str, &Value)> = on_it
        .iter()
        .filter(|(_, v)| v["kind"] == "amendment" || v["kind"] == "choice")
        .copied()
        .collect();
    names.extend(
        changes
            .iter()
            .map(|(_, v)| v["fields"]["field"].as_str().unwrap().to_owned()),
    );
    for name in names {
        let of_field: Vec<(&str, &Value)> = changes
            .iter()
            .filter(|(_, v)| v["fields"]["field"] == name.as_str())
            .copied()
            .collect();
        let replaced: BTreeSet<&str> = of_field.iter().flat_map(|(_, v)| seen(v)).collect();
        let mut values: BTreeMap<String, Value> = BTreeMap::new();
        if !replaced.contains(id) {
            values.insert(id.to_owned(), made["fields"][&name].clone());
        }
        for (amendment, value) in &of_field {
            if !replaced.contains(amendment) {
                values.insert((*amendment).to_owned(), value["fields"]["value"].clone());
            }
        }
        let lowest = values.values().next().cloned().unwrap_or(Value::Null);
        if !lowest.is_null() {
            plain.fields.insert(name.clone(), lowest.to_string());
        }
        if values
            .values()
            .any(|value| meaning(value) != meaning(&lowest))
        {
            plain.disputes.insert(
                name,
                values
                    .into_iter()
                    .map(|(id, value)| (id, value.to_string()))
                    .collect(),
            );
        }
    }
    let lifted: BTreeSet<&str> = on_it
        .iter()
        .filter(|(_, v)| v["kind"] == "lift")
        .flat_map(|(_, v)| seen(v))
        .collect();
    plain.strikes = on_it
        .iter()
        .filter(|(strike, v)| v["kind"] == "strike" && !lifted.contains(strike))
        .map(|(strike, _)| (*strike).to_owned())
        .collect();
    plain
}

/// What a value means: a length in thousandths of a millimetre, or the value itself.
fn meaning(value: &Value) -> String {
    let per_unit = match value["unit"].as_str() {
        Some("mm") => 1_000,
        Some("cm") => 10_000,
        Some("in") => 25_400,
        _ => return value.to_string(),
    };
    let text = value["value"].as_str().unwrap();
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let thousandths =
        whole.parse::<i64>().unwrap() * 1_000 + format!("{part:0<3}").parse::<i64>().unwrap();
    format!("{} nm", thousandths * per_unit)
}
