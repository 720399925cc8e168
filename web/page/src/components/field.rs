//! One field of a form, entered as its kind of value wants it.

use std::rc::Rc;

use garboard_protocol::{Choice, Choices, FormField, Input};
use yew::{AttrValue, Callback, Html, html};

use super::each;

use super::table::{TableInputProps, table_input};
use super::{ChoiceKeysProps, ManyKeysProps, choice_keys, many_keys};
use crate::browser::event::{selected, typed};
use crate::draft::Draft;
use crate::json::Json;
use crate::named::Named;

/// More choices than this go into a list instead of keys.
const KEYS_AT_MOST: usize = 9;

/// What fields can choose from, and what today is.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Options {
    by_kind: Named<Vec<Choice>>,
    units: Vec<Choice>,
    /// Today: `2026-05-09`.
    pub(crate) today: String,
    /// The currency last used.
    pub(crate) currency: String,
}

impl Options {
    /// From what the keeper gave.
    pub(crate) fn new(choices: &Choices, today: String, currency: String) -> Self {
        let known = [
            ("place", &choices.places),
            ("finding", &choices.findings),
            ("repair", &choices.repairs),
            ("instrument", &choices.instruments),
            ("person", &choices.people),
            ("hand", &choices.hands),
        ];
        let mut by_kind = Named::<Vec<Choice>>::default();
        for (kind, choices) in known {
            by_kind.set(kind, choices.clone());
        }
        Self {
            by_kind,
            units: choices.units.clone(),
            today,
            currency,
        }
    }

    /// Whether entries of a kind are known already.
    pub(crate) fn knows(&self, kind: &str) -> bool {
        self.by_kind.get(kind).is_some()
    }

    /// Adds the entries of a kind.
    pub(crate) fn learn(&mut self, kind: &str, choices: Vec<Choice>) {
        self.by_kind.entry(kind).extend(choices);
    }

    fn of(&self, kinds: &[String]) -> Vec<Choice> {
        if kinds.is_empty() {
            return self
                .by_kind
                .iter()
                .flat_map(|(_, choices)| choices)
                .cloned()
                .collect();
        }
        kinds
            .iter()
            .filter_map(|kind| self.by_kind.get(kind))
            .flatten()
            .cloned()
            .collect()
    }
}

/// What [`field_input`] shows.
pub(crate) struct FieldInputProps {
    /// The field.
    pub(crate) field: FormField,
    /// What stands in it.
    pub(crate) draft: Draft,
    /// What can be chosen.
    pub(crate) options: Rc<Options>,
    /// What is wrong with it, in a sentence.
    pub(crate) wrong: Option<AttrValue>,
    /// Sets fields of several tables apart.
    pub(crate) prefix: AttrValue,
    /// What stands in it now.
    pub(crate) onchange: Callback<Draft>,
}

/// A label, the control, what belongs here, and what is wrong.
pub(crate) fn field_input(props: &FieldInputProps) -> Html {
    let field = &props.field;
    let id = format!("{}f-{}", props.prefix, field.name);
    let hint_id = format!("{id}-hint");
    let label = if field.is_needed {
        format!("{} (needed)", field.label)
    } else {
        field.label.clone()
    };
    let is_group = matches!(
        field.input,
        Input::SeveralOf | Input::YesNo | Input::Table { .. } | Input::EntriesOf { .. }
    ) || (field.input == Input::OneOf && field.choices.len() <= KEYS_AT_MOST);
    html! {
        <div class="field">
            if is_group { <p class="label">{ label }</p> } else { <label for={id.clone()}>{ label }</label> }
            if has_hint(field) { <p class="help" id={hint_id.clone()}>{ field.hint.clone() }</p> }
            { control(props, id, hint_id) }
            if let Some(wrong) = props.wrong.clone() { <p class="wrong" role="alert">{ wrong }</p> }
        </div>
    }
}

/// Whether the hint says more than the label.
fn has_hint(field: &FormField) -> bool {
    !field.hint.is_empty()
        && !field
            .hint
            .trim_end_matches('.')
            .trim_start_matches("The ")
            .eq_ignore_ascii_case(&field.label)
}

fn control(props: &FieldInputProps, id: String, hint_id: String) -> Html {
    let FieldInputProps {
        field,
        draft,
        options,
        onchange,
        ..
    } = props;
    let described = has_hint(field).then_some(hint_id);
    let invalid = props.wrong.is_some().then_some("true");
    let text = draft.text.clone();
    let on_text = with_text(draft, onchange);
    let oninput = typed(on_text.clone());
    let line = |mode: &'static str, holder: &'static str| {
        html! {
            <input type="text" id={id.clone()} value={text.clone()} inputmode={mode} placeholder={holder} autocomplete="off"
                aria-describedby={described.clone()} aria-invalid={invalid} oninput={oninput.clone()} />
        }
    };
    match &field.input {
        Input::Line => line("text", ""),
        Input::Decimal => line("decimal", ""),
        Input::Whole => line("numeric", ""),
        Input::Words | Input::Lines | Input::Json => html! {
            <textarea id={id.clone()} value={text.clone()} aria-describedby={described.clone()} aria-invalid={invalid} oninput={oninput.clone()} />
        },
        Input::When => {
            let today = options.today.clone();
            let onclick = on_text.reform(move |_| today.clone());
            html! {
                <div class="pairs">
                    { line("text", "2026-05-09, 2026-05 or 1987") }
                    <button type="button" class="key" {onclick}>{ "Today" }</button>
                </div>
            }
        }
        Input::Quantity { units } => {
            let units: Vec<String> = if units.is_empty() {
                options
                    .units
                    .iter()
                    .filter_map(|unit| Json::read(&unit.raw)?.text().map(str::to_owned))
                    .collect()
            } else {
                units.clone()
            };
            html! { <div class="pairs">{ line("decimal", "") }{ unit_list(draft, onchange, units, "Unit") }</div> }
        }
        Input::Money => {
            let on_currency = {
                let (draft, onchange) = (draft.clone(), onchange.clone());
                typed(Callback::from(move |currency: String| {
                    onchange.emit(Draft {
                        unit: currency.trim().to_ascii_uppercase(),
                        ..draft.clone()
                    });
                }))
            };
            html! {
                <div class="pairs">
                    { line("decimal", "") }
                    <input type="text" value={draft.unit.clone()} maxlength="3" autocapitalize="characters" placeholder="EUR" aria-label="Currency, three letters" oninput={on_currency} />
                </div>
            }
        }
        Input::YesNo => {
            let choices = [("true", "Yes"), ("false", "No")].map(|(raw, label)| Choice {
                raw: raw.to_owned(),
                label: label.to_owned(),
                note: String::new(),
            });
            html! { { choice_keys(&ChoiceKeysProps { label: field.label.clone().into(), choices: choices.to_vec(), chosen: text.into(), onchoose: on_text }) } }
        }
        Input::OneOf if field.choices.len() <= KEYS_AT_MOST => {
            html! { { choice_keys(&ChoiceKeysProps { label: field.label.clone().into(), choices: field.choices.clone(), chosen: text.into(), onchoose: on_text }) } }
        }
        Input::OneOf => choice_list(id, &field.choices, &text, selected(on_text)),
        Input::EntryOf { kinds } => choice_list(id, &options.of(kinds), &text, selected(on_text)),
        Input::SeveralOf => {
            html! { { many_keys(&ManyKeysProps { label: field.label.clone().into(), choices: field.choices.clone(), chosen: draft.several.clone(), onchoose: with_several(draft, onchange) }) } }
        }
        Input::EntriesOf { kinds } => {
            html! { { many_keys(&ManyKeysProps { label: field.label.clone().into(), choices: options.of(kinds), chosen: draft.several.clone(), onchoose: with_several(draft, onchange) }) } }
        }
        Input::Table { columns } => html! {
            { table_input(&TableInputProps { columns: columns.clone(), lines: draft.several.clone(), options: Rc::clone(options), prefix: id.into(), onchange: with_several(draft, onchange) }) }
        },
    }
}

fn with_text(draft: &Draft, onchange: &Callback<Draft>) -> Callback<String> {
    let (draft, onchange) = (draft.clone(), onchange.clone());
    Callback::from(move |text| {
        onchange.emit(Draft {
            text,
            ..draft.clone()
        });
    })
}

fn with_several(draft: &Draft, onchange: &Callback<Draft>) -> Callback<Vec<String>> {
    let (draft, onchange) = (draft.clone(), onchange.clone());
    Callback::from(move |several| {
        onchange.emit(Draft {
            several,
            ..draft.clone()
        });
    })
}

fn unit_list(
    draft: &Draft,
    onchange: &Callback<Draft>,
    mut units: Vec<String>,
    label: &'static str,
) -> Html {
    if !units.contains(&draft.unit) {
        units.insert(0, draft.unit.clone());
    }
    let chosen = draft.unit.clone();
    let (draft, changed) = (draft.clone(), onchange.clone());
    let onchange = selected(Callback::from(move |unit| {
        changed.emit(Draft {
            unit,
            ..draft.clone()
        });
    }));
    html! {
        <select aria-label={label} {onchange}>
            { each(&units, &|unit| html! {
                <option value={unit.clone()} selected={*unit == chosen}>{ unit_word(unit) }</option>
            }) }
        </select>
    }
}

/// A unit as it is shown.
fn unit_word(unit: &str) -> String {
    match unit {
        "" => "unit".to_owned(),
        unit => garboard_record::unit::Unit::of(unit)
            .map_or(unit, |known| known.shown)
            .to_owned(),
    }
}

fn choice_list(
    id: String,
    choices: &[Choice],
    chosen: &str,
    onchange: Callback<yew::Event>,
) -> Html {
    let is_known = chosen.is_empty() || choices.iter().any(|choice| choice.raw == chosen);
    html! {
        <select {id} {onchange}>
            <option value="" selected={chosen.is_empty()}>{ "–" }</option>
            if !is_known { <option value={chosen.to_owned()} selected=true>{ "as it stands" }</option> }
            { each(choices, &|choice| html! {
                <option value={choice.raw.clone()} selected={choice.raw == chosen}>{ choice_words(choice) }</option>
            }) }
        </select>
    }
}

fn choice_words(choice: &Choice) -> String {
    if choice.note.is_empty() || choice.note == choice.label {
        choice.label.clone()
    } else {
        format!("{} · {}", choice.label, choice.note)
    }
}
