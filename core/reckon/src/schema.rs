//! The JSON Schema (draft 2020-12) of a reckoning's inputs and results.

use serde_json::{Map, Value, json};

use crate::Reckoning;
use crate::input::{self, Input, Need};
use crate::output::{self, Output};

/// An exact decimal as a string.
const DECIMAL: &str = r"^-?[0-9]+(\.[0-9]+)?$";

/// The schema of inputs and results, each under `$defs` as well.
pub(crate) fn of(reckoning: &Reckoning) -> Value {
    let marks: Vec<String> = reckoning
        .sources
        .iter()
        .map(|source| format!("{} ({})", source.citation, source.mark.shown()))
        .collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": reckoning.title,
        "description": reckoning.purpose,
        "$comment": format!(
            "reckoning {}, revision {}; sources: {}",
            reckoning.name, reckoning.revision, marks.join("; ")
        ),
        "type": "object",
        "required": ["inputs", "results"],
        "properties": {
            "inputs": { "$ref": "#/$defs/inputs" },
            "results": { "$ref": "#/$defs/results" },
        },
        "$defs": { "inputs": inputs(reckoning.inputs), "results": results(reckoning.results) },
    })
}

fn inputs(inputs: &[Input]) -> Value {
    let required: Vec<&str> = inputs
        .iter()
        .filter(|input| input.need == Need::Required)
        .map(|input| input.name)
        .collect();
    let properties: Map<String, Value> = inputs
        .iter()
        .map(|input| (input.name.to_owned(), one_input(input)))
        .collect();
    json!({ "type": "object", "required": required, "properties": properties, "additionalProperties": false })
}

fn one_input(input: &Input) -> Value {
    let number = || json!({ "anyOf": [{ "type": "number" }, { "type": "string", "description": "as people write it: 12.7, 12,7, 3/8" }] });
    let mut schema = match input.shape {
        input::Shape::Amount { units, .. } => {
            let amount = json!({ "type": "object", "required": ["value", "unit"], "additionalProperties": false,
                "properties": { "value": number(), "unit": { "enum": units }, "entered": { "type": "string", "description": "as it was typed" } } });
            let mut forms = vec![
                amount,
                json!({ "type": "string", "description": "as people write it, with its unit: 12.7 mm, 3' 4 1/2\"" }),
            ];
            if units.len() == 1 {
                forms.push(json!({ "type": "number" }));
            }
            json!({ "anyOf": forms })
        }
        input::Shape::Number { .. } => number(),
        input::Shape::Whole { from, to } => {
            json!({ "anyOf": [{ "type": "integer", "minimum": from, "maximum": to }, { "type": "string", "pattern": "^-?[0-9]+$" }] })
        }
        input::Shape::Choice(list) => {
            let words: Vec<Value> = list
                .iter()
                .map(|(word, shown)| json!({ "const": word, "title": shown }))
                .collect();
            json!({ "type": "string", "oneOf": words })
        }
        input::Shape::YesNo => json!({ "enum": [true, false, "yes", "no"] }),
        input::Shape::Words => json!({ "type": "string" }),
        input::Shape::When => json!({ "type": "string", "description": "ISO 8601" }),
        input::Shape::Money => {
            json!({ "anyOf": [money(), { "type": "string", "description": "38.00 EUR" }] })
        }
        input::Shape::Rows {
            columns,
            least,
            most,
        } => {
            json!({ "type": "array", "minItems": least, "maxItems": most, "items": inputs(columns) })
        }
    };
    if let Some(object) = schema.as_object_mut() {
        object.insert("title".to_owned(), input.label.into());
        let said = format!("{} Allowed: {}.", input.help, input.allowed());
        let said = match input.need {
            Need::Default { value, from } => {
                object.insert("default".to_owned(), default(input, value));
                format!("{said} Without it: {value} ({from}).")
            }
            _ => said,
        };
        object.insert("description".to_owned(), said.into());
    }
    schema
}

fn default(input: &Input, value: &str) -> Value {
    match input.shape {
        input::Shape::YesNo => (value == "yes").into(),
        input::Shape::Whole { .. } => value
            .parse::<i64>()
            .map_or_else(|_other| value.into(), Value::from),
        _ => value.into(),
    }
}

fn money() -> Value {
    json!({ "type": "object", "required": ["amount", "currency"], "additionalProperties": false,
        "properties": { "amount": { "type": "string", "pattern": DECIMAL }, "currency": { "type": "string", "pattern": "^[A-Z]{3}$" } } })
}

fn results(results: &[Output]) -> Value {
    let required: Vec<&str> = results
        .iter()
        .filter(|output| output.always)
        .map(|output| output.name)
        .collect();
    let properties: Map<String, Value> = results
        .iter()
        .map(|output| (output.name.to_owned(), one_result(output)))
        .collect();
    json!({ "type": "object", "required": required, "properties": properties, "additionalProperties": false })
}

fn one_result(output: &Output) -> Value {
    let mut schema = match output.shape {
        output::Shape::Figure { unit: "", .. } => {
            json!({ "type": "object", "required": ["value"], "additionalProperties": false, "properties": { "value": { "type": "string", "pattern": DECIMAL } } })
        }
        output::Shape::Figure { unit, .. } => {
            json!({ "type": "object", "required": ["value", "unit"], "additionalProperties": false,
                "properties": { "value": { "type": "string", "pattern": DECIMAL }, "unit": { "const": unit } } })
        }
        output::Shape::Verdict(list) => {
            let words: Vec<&str> = list.iter().map(|(word, _)| *word).collect();
            json!({ "type": "object", "required": ["word", "shown"], "additionalProperties": false,
                "properties": { "word": { "enum": words }, "shown": { "type": "string" } } })
        }
        output::Shape::Words => json!({ "type": "string" }),
        output::Shape::When => json!({ "type": "string", "description": "ISO 8601" }),
        output::Shape::Money => money(),
        output::Shape::Table(columns) => json!({ "type": "array", "items": results(columns) }),
        output::Shape::Drawing => {
            json!({ "type": "object", "required": ["title", "says", "svg"], "additionalProperties": false,
                "properties": { "title": { "type": "string" }, "says": { "type": "string" }, "svg": { "type": "string" } } })
        }
    };
    if let Some(object) = schema.as_object_mut() {
        object.insert("title".to_owned(), output.label.into());
    }
    schema
}
