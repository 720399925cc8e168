//! A field that holds several small things with the same parts: engines, layers, lots of a batch.

use std::rc::Rc;

use garboard_protocol::{FormField, Input};
use yew::{AttrValue, Callback, Html, html};

use super::each;

use super::field::{FieldInputProps, Options, field_input};
use crate::draft::Draft;
use crate::json::{self, Json};

/// What [`table_input`] shows.
pub(crate) struct TableInputProps {
    /// The parts.
    pub(crate) columns: Vec<FormField>,
    /// The things: each the JSON of an object.
    pub(crate) lines: Vec<String>,
    /// What can be chosen.
    pub(crate) options: Rc<Options>,
    /// Sets this table's fields apart.
    pub(crate) prefix: AttrValue,
    /// The things now.
    pub(crate) onchange: Callback<Vec<String>>,
}

/// One small form a thing, and a key for another.
pub(crate) fn table_input(props: &TableInputProps) -> Html {
    let lines = &props.lines;
    let added = {
        let mut next = lines.clone();
        next.push(blank_line(&props.columns, lines.last().map(String::as_str)));
        props.onchange.reform(move |_| next.clone())
    };
    html! {
        <div class="stack">
            { for lines.iter().enumerate().map(|(idx, line)| {
                let gone: Vec<String> = lines.iter().enumerate().filter(|(other, _)| *other != idx).map(|(_, line)| line.clone()).collect();
                let onclick = props.onchange.reform(move |_| gone.clone());
                html! {
                    <fieldset class="stack notice" key={idx}>
                        { each(&props.columns, &|column| {
                            let raw = Json::read(line).and_then(|json| json.field(&column.name).map(Json::written)).unwrap_or_default();
                            let draft = typed_or_raw(column, &raw);
                            let onchange = {
                                let (lines, column, emit) = (lines.clone(), column.clone(), props.onchange.clone());
                                Callback::from(move |draft: Draft| {
                                    let next = lines.iter().enumerate().map(|(other, line)| {
                                        if other == idx { with_part(line, &column, &draft) } else { line.clone() }
                                    });
                                    emit.emit(next.collect());
                                })
                            };
                            html! { { field_input(&FieldInputProps { field: column.clone(), draft, options: Rc::clone(&props.options), wrong: Default::default(), prefix: (format!("{}-{idx}-", props.prefix)).into(), onchange }) } }
                        }) }
                        <button type="button" class="link" {onclick}>{ "Take this away" }</button>
                    </fieldset>
                }
            }) }
            <button type="button" class="key" onclick={added}>{ if lines.is_empty() { "Add one" } else { "Add another" } }</button>
        </div>
    }
}

/// A line to fill in: amounts have the unit of the line before, or the first that makes sense.
pub(crate) fn blank_line(columns: &[FormField], before: Option<&str>) -> String {
    let before = before.and_then(Json::read);
    let fields: Vec<(String, String)> = columns
        .iter()
        .filter_map(|column| {
            let Input::Quantity { units } = &column.input else {
                return None;
            };
            let last = before
                .as_ref()
                .and_then(|line| line.field(&column.name))
                .map(|raw| typed_or_raw(column, &raw.written()).unit)
                .filter(|unit| !unit.is_empty());
            let unit = last.or_else(|| units.first().cloned())?;
            let kept = ["null".to_owned(), json::string(""), json::string(&unit)];
            Some((column.name.clone(), json::list(&kept)))
        })
        .collect();
    json::object(&fields)
}

/// What stands in a part: what was read, or what is still being typed and makes no value yet.
fn typed_or_raw(column: &FormField, raw: &str) -> Draft {
    match Json::read(raw) {
        Some(Json::List(parts)) if parts.first() == Some(&Json::Bare("null".to_owned())) => {
            let part = |idx: usize| {
                parts
                    .get(idx)
                    .and_then(Json::text)
                    .unwrap_or_default()
                    .to_owned()
            };
            Draft {
                text: part(1),
                unit: part(2),
                several: Vec::new(),
            }
        }
        _ => Draft::of_raw(column, raw),
    }
}

/// A line with one part changed. What makes no value yet is kept as `[null, text, unit]` until it does.
fn with_part(line: &str, column: &FormField, draft: &Draft) -> String {
    let mut fields: Vec<(String, String)> = match Json::read(line) {
        Some(Json::Object(fields)) => fields
            .into_iter()
            .filter(|(name, _)| *name != column.name)
            .map(|(name, value)| (name, value.written()))
            .collect(),
        _ => Vec::new(),
    };
    match draft.to_json(column) {
        Ok(None) if draft.unit.is_empty() => {}
        // Typed text is kept to the letter, so that a trailing blank or point is not eaten while typing.
        Ok(Some(value)) if Draft::of_raw(column, &value).text == draft.text => {
            fields.push((column.name.clone(), value));
        }
        _ => {
            let kept = [
                "null".to_owned(),
                json::string(&draft.text),
                json::string(&draft.unit),
            ];
            fields.push((column.name.clone(), json::list(&kept)));
        }
    }
    json::object(&fields)
}

/// The lines as they are said, with what was still being typed made into values.
///
/// # Errors
///
/// A sentence about the first part that makes no value.
pub(crate) fn settled(columns: &[FormField], lines: &[String]) -> Result<Vec<String>, String> {
    let mut all = Vec::new();
    for line in lines {
        let mut fields = Vec::new();
        for column in columns {
            let raw = Json::read(line)
                .and_then(|json| json.field(&column.name).map(Json::written))
                .unwrap_or_default();
            let draft = typed_or_raw(column, &raw);
            if let Some(value) = draft
                .to_json(column)
                .map_err(|wrong| format!("{}: {wrong}", column.label))?
            {
                fields.push((column.name.clone(), value));
            }
        }
        if !fields.is_empty() {
            all.push(json::object(&fields));
        }
    }
    Ok(all)
}
