//! The trade's computations as forms: what goes in, what is still missing, and what came out.

use garboard_protocol::{Choice, FormField, Input as Entered};
use garboard_reckon::input::{Need, Shape, shown_unit};
use garboard_reckon::{Input, Reckoned, Reckoning, Unreckoned};
use garboard_record::unit::System;

use crate::components::blank_line;
use crate::draft::Draft;
use crate::json;
use crate::named::Named;

/// What a reckoning has come to with what stands in its form.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Came {
    /// These inputs are still needed.
    Lacking(Vec<&'static str>),
    /// This input cannot be read or taken, and why; blank for the inputs together.
    Wrong(String, String),
    /// The result.
    Here(Box<Reckoned>),
}

/// An input as a field of a form.
pub(crate) fn field(input: &Input) -> FormField {
    let entered = match input.shape {
        Shape::Amount { units, .. } => Entered::Quantity {
            units: units.iter().map(|&unit| unit.to_owned()).collect(),
        },
        Shape::Number { .. } => Entered::Decimal,
        Shape::Whole { .. } => Entered::Whole,
        Shape::Choice(_) => Entered::OneOf,
        Shape::YesNo => Entered::YesNo,
        Shape::Words => Entered::Line,
        Shape::When => Entered::When,
        Shape::Money => Entered::Money,
        Shape::Rows { columns, .. } => Entered::Table {
            columns: columns.iter().map(field).collect(),
        },
    };
    let choices = match input.shape {
        Shape::Choice(words) => words
            .iter()
            .map(|(word, shown)| Choice {
                raw: json::string(word),
                label: capital(shown),
                note: String::new(),
            })
            .collect(),
        _ => Vec::new(),
    };
    let hint = match input.need {
        Need::Default { value, from } => {
            format!(
                "{} Left blank it is {}: {from}.",
                input.help,
                taken(input, value)
            )
        }
        Need::Required | Need::Optional => input.help.to_owned(),
    };
    FormField {
        name: input.name.to_owned(),
        label: input.label.to_owned(),
        hint,
        input: entered,
        choices,
        is_first: true,
        is_needed: input.need == Need::Required,
    }
}

/// A default as people read it.
fn taken(input: &Input, value: &'static str) -> String {
    match input.shape {
        Shape::Choice(words) => words
            .iter()
            .find(|(word, _)| *word == value)
            .map_or(value, |(_, shown)| shown)
            .to_owned(),
        Shape::Amount { .. } => match value.rsplit_once(' ') {
            Some((number, unit)) => format!("{number} {}", shown_unit(unit)),
            None => value.to_owned(),
        },
        _ => value.to_owned(),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

/// The unit in which a hand is likely to say an amount.
fn usual_unit(units: &[&'static str], system: Option<System>) -> &'static str {
    let usual = units.first().copied().unwrap_or_default();
    system
        .and_then(|system| system.counterpart(usual))
        .filter(|unit| units.contains(unit))
        .unwrap_or(usual)
}

/// A column as a field whose usual unit comes first.
fn with_usual_unit(column: &Input, system: Option<System>) -> FormField {
    let mut field = field(column);
    if let (Shape::Amount { units, .. }, Entered::Quantity { units: shown }) =
        (column.shape, &mut field.input)
    {
        let usual = usual_unit(units, system);
        shown.retain(|unit| unit != usual);
        shown.insert(0, usual.to_owned());
    }
    field
}

/// What stands in a form at first: nothing, with the units of the hand.
pub(crate) fn first_drafts(inputs: &[Input], system: Option<System>) -> Named<Draft> {
    let mut drafts = Named::default();
    for input in inputs {
        let draft = match input.shape {
            Shape::Amount { units, .. } => Draft {
                unit: usual_unit(units, system).to_owned(),
                ..Draft::default()
            },
            // A table begins with a line to fill in.
            Shape::Rows { columns, least, .. } if input.need == Need::Required => Draft {
                several: vec![
                    blank_line(
                        &columns
                            .iter()
                            .map(|column| with_usual_unit(column, system))
                            .collect::<Vec<_>>(),
                        None,
                    );
                    least.max(1)
                ],
                ..Draft::default()
            },
            _ => continue,
        };
        drafts.set(input.name, draft);
    }
    drafts
}

/// What stands in a form that shows kept inputs, as JSON.
pub(crate) fn drafts_of(inputs: &[Input], kept: &str) -> Named<Draft> {
    let mut drafts = first_drafts(inputs, None);
    let Some(kept) = json::Json::read(kept) else {
        return drafts;
    };
    for input in inputs {
        if let Some(value) = kept.field(input.name) {
            drafts.set(input.name, Draft::of_raw(&field(input), &value.written()));
        }
    }
    drafts
}

/// The inputs as one JSON object; what cannot be read is told by its field.
///
/// # Errors
///
/// The input's name, and a sentence that says what is wrong.
pub(crate) fn inputs(
    of: &Reckoning,
    drafts: &Named<Draft>,
    checked: impl Fn(&FormField, &Draft) -> Result<Option<String>, String>,
) -> Result<String, (String, String)> {
    let mut fields = Vec::new();
    for input in of.inputs {
        let Some(draft) = drafts.get(input.name) else {
            continue;
        };
        match checked(&field(input), draft) {
            Ok(Some(value)) => fields.push((input.name.to_owned(), value)),
            Ok(None) => {}
            Err(wrong) => return Err((input.name.to_owned(), wrong)),
        }
    }
    Ok(json::object(&fields))
}

/// What a reckoning comes to with these inputs.
pub(crate) fn came(of: &Reckoning, inputs: &Result<String, (String, String)>) -> Came {
    let inputs = match inputs {
        Ok(inputs) => inputs,
        Err((name, wrong)) => return Came::Wrong(name.clone(), wrong.clone()),
    };
    let given = json::Json::read(inputs);
    let lacking: Vec<&'static str> = of
        .inputs
        .iter()
        .filter(|input| input.need == Need::Required)
        .filter(|input| {
            given
                .as_ref()
                .is_none_or(|json| json.field(input.name).is_none())
        })
        .map(|input| input.label)
        .collect();
    if !lacking.is_empty() {
        return Came::Lacking(lacking);
    }
    match of.run_text(inputs) {
        Ok(reckoned) => Came::Here(Box::new(reckoned)),
        Err(error) => refused(of, &error),
    }
}

/// A refusal beside the input that it is about, by the words of the form.
pub(crate) fn refused(of: &Reckoning, error: &Unreckoned) -> Came {
    let named = error.input();
    let (name, place) = match named.split_once(", row ") {
        Some((table, rest)) => (table, Some(rest)),
        None => (named, None),
    };
    let input = of.inputs.iter().find(|input| input.name == name);
    let words = match error {
        Unreckoned::Missing { help, .. } => format!("It is missing. {help}"),
        Unreckoned::Unreadable { found, mend, .. } => format!("“{found}” cannot be read: {mend}."),
        Unreckoned::WrongUnit { found, allowed, .. } => {
            format!("“{found}” has the wrong unit; allowed are {allowed}.")
        }
        Unreckoned::OutOfRange { value, allowed, .. } => {
            format!("{value} is out of range; allowed is {allowed}.")
        }
        Unreckoned::Impossible { why, mend, .. } => format!("{}; {mend}.", capital(why)),
        other => format!("{}.", capital(&other.to_string())),
    };
    let words = match place.and_then(|rest| rest.split_once(", ")) {
        Some((row, column)) => format!("Line {row}, {}: {words}", column.replace('_', " ")),
        None => words,
    };
    Came::Wrong(
        input.map_or_else(String::new, |input| input.name.to_owned()),
        words,
    )
}

#[cfg(test)]
mod tests;
