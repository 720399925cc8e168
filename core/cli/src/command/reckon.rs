//! Reckoning: the list, a description, a result as a sheet or as JSON, and keeping it in a log with what it needs.

use std::path::PathBuf;

use clap::Args;
use garboard_reckon::outcome::{Answers, Needed};
use garboard_reckon::{ALL, Answer, Reckoned, Reckoning, Unreckoned, find};
use garboard_record::{Draft, Id, Kind};
use serde_json::{Map, Value, json};

use super::{Answer as Said, By, id};
use crate::failure::{Done, Failure};
use crate::session::Session;

/// Reckons what a repair takes: laminate, resin, coats, moisture, scarfs, fastenings, hours and more.
///
/// Without a name, or with `--list`, it lists the reckonings. Inputs are given as `name=value`, amounts with their unit as people
/// write them: `garboard reckon scarf thickness='5/8 in' slope=8`. A table is JSON: `plies='[{"cloth": "mat"}]'`.
#[derive(Debug, Args)]
pub struct Reckon {
    /// Which reckoning.
    #[arg(value_name = "NAME")]
    pub name: Option<String>,
    /// Inputs as name=value.
    #[arg(value_name = "INPUT=VALUE")]
    pub inputs: Vec<String>,
    /// A file with the inputs as one JSON object, or - for standard input; `INPUT=VALUE` comes on top.
    #[arg(long, value_name = "FILE|-")]
    pub with: Option<String>,
    /// Lists the reckonings.
    #[arg(long)]
    pub list: bool,
    /// Prints the JSON Schema of inputs and results and does nothing else.
    #[arg(long)]
    pub describe: bool,
    /// Keeps inputs, method and revision in this log folder.
    #[arg(long, value_name = "DIR")]
    pub keep: Option<PathBuf>,
    /// The repair that it is kept with.
    #[arg(long, value_name = "ID", value_parser = id, requires = "keep")]
    pub repair: Option<Id>,
    /// The place that it is kept with.
    #[arg(long, value_name = "ID", value_parser = id, requires = "keep")]
    pub place: Option<Id>,
    /// Writes the materials that the work needs into the log as well.
    #[arg(long, requires = "keep")]
    pub needed: bool,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// `garboard reckon`
///
/// # Errors
///
/// A mistake in a name or an input, named with what is allowed; the environment's when the log cannot be written.
pub fn reckon(c: &Reckon) -> Done<Said> {
    let Some(name) = c.name.as_deref().filter(|_| !c.list) else {
        return Ok(Said::new(list_text(), list_json(), c.json));
    };
    let Some(reckoning) = find(name) else {
        return Err(Failure::mistake(
            format!("there is no reckoning {name:?}{}", near(name)),
            "`garboard reckon --list` lists them",
        ));
    };
    if c.describe {
        let schema = reckoning.describe();
        let text = serde_json::to_string_pretty(&schema)
            .map_err(|cause| Failure::ours(cause.to_string()))?;
        return Ok(Said::new(text, schema, c.json));
    }
    let inputs = inputs(reckoning, c)?;
    let reckoned = reckoning
        .run(&inputs)
        .map_err(|cause| unreckoned(reckoning, &cause))?;
    let mut json = reckoning.json(&reckoned);
    let mut text = sheet(reckoning, &reckoned);
    if let Some(dir) = &c.keep {
        let mut session = Session::open(dir, &c.by.writer())?;
        let ids = session.say_all(&drafts(reckoning, &reckoned, c)?)?;
        let kept: Vec<String> = ids.iter().map(ToString::to_string).collect();
        text = format!("{text}\n\nKept: {}", kept.join(", "));
        if let Some(object) = json.as_object_mut() {
            object.insert("kept".to_owned(), json!(ids));
        }
    }
    Ok(Said::new(text, json, c.json))
}

fn list_text() -> String {
    let mut all: Vec<&Reckoning> = ALL.to_vec();
    all.sort_by_key(|reckoning| (reckoning.topic, reckoning.name));
    let wide = all.iter().map(|r| r.name.len()).max().unwrap_or(0);
    all.iter()
        .map(|r| format!("{:wide$}  {} ({})", r.name, r.title, r.topic.shown()))
        .collect::<Vec<_>>()
        .join("\n")
}

fn list_json() -> Value {
    let row = |r: &&Reckoning| json!({ "name": r.name, "title": r.title, "topic": r.topic.shown(), "purpose": r.purpose, "revision": r.revision });
    ALL.iter().map(row).collect()
}

/// A hint at a name that begins alike or is part of another.
fn near(name: &str) -> String {
    ALL.iter()
        .find(|r| {
            r.name.contains(name) || name.contains(r.name) || r.name.get(..3) == name.get(..3)
        })
        .map_or_else(String::new, |r| format!("; did you mean {:?}?", r.name))
}

/// The inputs from a file and from the arguments.
fn inputs(reckoning: &Reckoning, c: &Reckon) -> Done<Value> {
    let hint = || help(reckoning);
    let mut fields: Map<String, Value> = match &c.with {
        None => Map::new(),
        Some(from) => serde_json::from_str(&super::say::read_input(from)?).map_err(|cause| {
            Failure::mistake(format!("the inputs are one JSON object: {cause}"), hint())
        })?,
    };
    for argument in &c.inputs {
        let Some((name, value)) = argument.split_once('=') else {
            return Err(Failure::mistake(
                format!("an input is name=value, found {argument:?}"),
                hint(),
            ));
        };
        let value = if value.trim_start().starts_with(['[', '{']) {
            serde_json::from_str(value)
                .map_err(|cause| Failure::mistake(format!("{name} is no JSON: {cause}"), hint()))?
        } else {
            Value::String(value.to_owned())
        };
        fields.insert(name.trim().to_owned(), value);
    }
    Ok(Value::Object(fields))
}

fn help(reckoning: &Reckoning) -> String {
    let names: Vec<&str> = reckoning.inputs.iter().map(|input| input.name).collect();
    format!(
        "the inputs of {} are {}; `garboard reckon {} --describe` says what each holds",
        reckoning.name,
        names.join(", "),
        reckoning.name
    )
}

fn unreckoned(reckoning: &Reckoning, cause: &Unreckoned) -> Failure {
    if matches!(cause, Unreckoned::Ours { .. }) {
        return Failure::ours(cause.to_string());
    }
    Failure::mistake(format!("{}: {cause}", reckoning.name), help(reckoning))
}

/// What is kept: the reckoning, and the materials where they were asked for.
fn drafts(reckoning: &Reckoning, reckoned: &Reckoned, c: &Reckon) -> Done<Vec<Draft>> {
    let about = |fields: &mut Map<String, Value>| {
        if let Some(repair) = c.repair {
            fields.insert("repair".to_owned(), json!(repair));
        }
        if let Some(place) = c.place {
            fields.insert("place".to_owned(), json!(place));
        }
    };
    let mut fields = Map::new();
    fields.insert("method".to_owned(), reckoning.name.into());
    fields.insert("revision".to_owned(), reckoning.revision.into());
    fields.insert("inputs".to_owned(), reckoned.given.json());
    about(&mut fields);
    let mut drafts = vec![Draft::of(Kind::Reckoning, fields)?];
    if c.needed {
        for needed in &reckoned.outcome.needed {
            let mut fields = material(needed);
            about(&mut fields);
            drafts.push(Draft::of(Kind::Material, fields)?);
        }
    }
    Ok(drafts)
}

fn material(needed: &Needed) -> Map<String, Value> {
    let mut fields = Map::new();
    fields.insert("what".to_owned(), needed.material.as_str().into());
    fields.insert("fate".to_owned(), "needed".into());
    fields.insert("quantity".to_owned(), json!(needed.amount));
    if !needed.grade.is_empty() {
        fields.insert("grade".to_owned(), needed.grade.as_str().into());
    }
    fields
}

/// A result for people: inputs, results, materials, formula, sources, limits and cautions.
fn sheet(reckoning: &Reckoning, reckoned: &Reckoned) -> String {
    let mut lines = vec![
        reckoning.title.to_owned(),
        format!("{} (revision {})", reckoning.purpose, reckoning.revision),
        String::new(),
        "Given".to_owned(),
    ];
    let given = reckoned.given.json();
    for input in reckoning.inputs {
        let Some(value) = given.get(input.name) else {
            continue;
        };
        let default = match input.need {
            garboard_reckon::input::Need::Default { from, .. }
                if reckoned.given.defaulted.contains(&input.name) =>
            {
                format!("  (taken, {from})")
            }
            _ => String::new(),
        };
        if let Value::Array(rows) = value {
            lines.push(format!("  {}:", input.label));
            for row in rows {
                let cells = row.as_object().into_iter().flatten();
                let cells: Vec<String> = cells
                    .map(|(name, value)| format!("{} {}", name.replace('_', " "), plain(value)))
                    .collect();
                lines.push(format!("    {}", cells.join(", ")));
            }
        } else {
            lines.push(format!("  {}: {}{default}", input.label, plain(value)));
        }
    }
    lines.push(String::new());
    lines.push("Result".to_owned());
    results(&mut lines, &reckoned.outcome.answers);
    let section = |lines: &mut Vec<String>, title: &str, items: Vec<String>| {
        if !items.is_empty() {
            lines.push(String::new());
            lines.push(title.to_owned());
            lines.extend(items.into_iter().map(|item| format!("  {item}")));
        }
    };
    section(&mut lines, "Remarks", reckoned.outcome.remarks.clone());
    let needed = reckoned.outcome.needed.iter();
    let needed = needed.map(|n| {
        format!("{}: {} {}", n.material, n.amount, n.grade)
            .trim_end()
            .to_owned()
    });
    section(&mut lines, "Needed", needed.collect());
    let formula = reckoning.formula.trim_matches('\n').lines();
    section(&mut lines, "Formula", formula.map(str::to_owned).collect());
    let sources = reckoning.sources.iter();
    let sources = sources.map(|source| format!("{} ({})", source.citation, source.mark.shown()));
    section(&mut lines, "Sources", sources.collect());
    let limits = reckoning.limits.iter().map(|limit| (*limit).to_owned());
    section(&mut lines, "Not covered", limits.collect());
    let cautions = reckoning
        .all_cautions()
        .map(|caution| caution.words.to_owned());
    section(&mut lines, "Take care", cautions.collect());
    lines.join("\n")
}

fn results(lines: &mut Vec<String>, answers: &Answers) {
    for (output, answer) in answers.iter() {
        match answer {
            Answer::Table(rows) => {
                lines.push(format!("  {}:", output.label));
                for row in rows {
                    let cells: Vec<String> = row
                        .iter()
                        .map(|(column, cell)| format!("{} {}", column.label, cell.shown()))
                        .collect();
                    lines.push(format!("    {}", cells.join(", ")));
                }
            }
            _ => lines.push(format!("  {}: {}", output.label, answer.shown())),
        }
    }
}

/// An input as people read it.
fn plain(value: &Value) -> String {
    if let Ok(quantity) = serde_json::from_value::<garboard_record::Quantity>(value.clone()) {
        return quantity.to_string();
    }
    if let Ok(money) = serde_json::from_value::<garboard_record::Money>(value.clone()) {
        return money.to_string();
    }
    match value {
        Value::String(text) => text.clone(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        other => other.to_string(),
    }
}
