//! Amending one field in its place.

use std::rc::Rc;

use garboard_protocol::{Amend, Ask, EntryView, FormField, Input, Trouble, Value};
use yew::{AttrValue, Callback, Html, Properties, UseStateHandle, component, html, use_state};

use crate::browser::{event, locale};
use crate::components::{FieldInputProps, TroubleBoxProps, each, field_input, trouble_box};
use crate::draft::Draft;
use crate::hooks::Desk;
use crate::pages::add::{checked, use_options};

/// The key that opens a field.
pub(super) fn key(field: &str, label: &str, amending: &UseStateHandle<Option<AttrValue>>) -> Html {
    let (field, amending) = (AttrValue::from(field.to_owned()), amending.clone());
    let onclick = Callback::from(move |_: yew::MouseEvent| amending.set(Some(field.clone())));
    html! {
        <button type="button" class="link" {onclick}>{ "Amend" }<span class="unseen">{ format!(" {label}") }</span></button>
    }
}

/// A field's form description.
fn field_of(desk: &Desk, view: &EntryView, name: &str) -> Option<FormField> {
    let choices = desk.state.choices.as_ref()?;
    let form = choices.forms.iter().find(|form| form.kind == view.kind)?;
    form.fields.iter().find(|field| field.name == name).cloned()
}

/// A value as the person reads it: dates in their own manner.
pub(super) fn shown(desk: &Desk, view: &EntryView, value: &Value) -> String {
    let is_date =
        field_of(desk, view, &value.field).is_some_and(|field| field.input == Input::When);
    if is_date {
        locale::moment_shown(value.raw.trim_matches('"'))
    } else {
        value.shown.clone()
    }
}

/// The form for one field.
pub(super) fn form(
    desk: &Desk,
    view: &EntryView,
    name: &str,
    amending: &UseStateHandle<Option<AttrValue>>,
) -> Html {
    let value = view.values.iter().find(|value| value.field == name);
    let field = field_of(desk, view, name).unwrap_or_else(|| FormField {
        name: name.to_owned(),
        label: value.map_or_else(|| name.to_owned(), |value| value.label.clone()),
        input: Input::Json,
        hint: "This field is unknown to this build; it is shown as it is stored.".to_owned(),
        ..FormField::default()
    });
    let done = {
        let amending = amending.clone();
        Callback::from(move |()| amending.set(None))
    };
    html! {
        <AmendForm
            desk={desk.clone()}
            entry={view.id.clone()}
            {field}
            raw={value.map(|value| value.raw.clone()).unwrap_or_default()}
            sees={value.map(|value| value.sees.clone()).unwrap_or_default()}
            {done}
        />
    }
}

#[derive(Properties, PartialEq)]
pub(super) struct AmendFormProps {
    desk: Desk,
    entry: AttrValue,
    field: FormField,
    raw: AttrValue,
    sees: Vec<String>,
    done: Callback<()>,
}

/// One field with *save* and *leave as it is*.
#[component]
pub(super) fn AmendForm(props: &AmendFormProps) -> Html {
    let AmendFormProps { desk, field, .. } = props;
    let draft = {
        let (field, raw) = (field.clone(), props.raw.clone());
        use_state(move || Draft::of_raw(&field, &raw))
    };
    let wrong = use_state(|| None::<AttrValue>);
    let trouble = use_state(|| None::<Trouble>);
    let is_busy = use_state(|| false);
    let options = use_options(desk, std::slice::from_ref(field));

    let save = {
        let (desk, field, draft, wrong, trouble, is_busy) = (
            desk.clone(),
            field.clone(),
            draft.clone(),
            wrong.clone(),
            trouble.clone(),
            is_busy.clone(),
        );
        let (entry, sees, done) = (
            props.entry.to_string(),
            props.sees.clone(),
            props.done.clone(),
        );
        Callback::from(move |()| match checked(&field, &draft) {
            Err(words) => wrong.set(Some(words.into())),
            Ok(value) => {
                wrong.set(None);
                is_busy.set(true);
                let ask = Ask::Amend(Amend {
                    entry: entry.clone(),
                    field: field.name.clone(),
                    value: value.unwrap_or_else(|| "null".to_owned()),
                    sees: sees.clone(),
                });
                let (trouble, is_busy, done, told) =
                    (trouble.clone(), is_busy.clone(), done.clone(), desk.clone());
                desk.say_about(
                    ask,
                    Callback::from(move |outcome: Result<Vec<String>, Trouble>| {
                        is_busy.set(false);
                        match outcome {
                            Ok(_) => {
                                told.tell(
                                    "Amended and saved",
                                    "What it said before stays in the history.",
                                );
                                done.emit(());
                            }
                            Err(words) => trouble.set(Some(words)),
                        }
                    }),
                );
            }
        })
    };
    let onchange = {
        let draft = draft.clone();
        Callback::from(move |next| draft.set(next))
    };
    html! {
        <form class="stack" onsubmit={event::submitted(save)} novalidate=true>
            { field_input(&FieldInputProps { field: field.clone(), draft: (*draft).clone(), options: Rc::clone(&options), wrong: (*wrong).clone(), prefix: Default::default(), onchange }) }
            if let Some(trouble) = (*trouble).clone() { { trouble_box(&TroubleBoxProps { trouble }) } }
            <div class="rowed">
                <button type="submit" class="key main-key" disabled={*is_busy}>{ if *is_busy { "Being saved…" } else { "Save" } }</button>
                <button type="button" class="link" onclick={props.done.reform(|_| ())}>{ "Leave as it is" }</button>
            </div>
        </form>
    }
}

#[derive(Properties, PartialEq)]
pub(super) struct MoreFieldsProps {
    pub(super) desk: Desk,
    pub(super) view: EntryView,
    pub(super) amending: UseStateHandle<Option<AttrValue>>,
}

/// The fields that say nothing yet.
#[component]
pub(super) fn MoreFields(props: &MoreFieldsProps) -> Html {
    let MoreFieldsProps {
        desk,
        view,
        amending,
    } = props;
    let Some(choices) = &desk.state.choices else {
        return Html::default();
    };
    let Some(form_of_kind) = choices.forms.iter().find(|form| form.kind == view.kind) else {
        return Html::default();
    };
    let blank: Vec<&FormField> = form_of_kind
        .fields
        .iter()
        .filter(|field| view.values.iter().all(|value| value.field != field.name))
        .collect();
    if blank.is_empty() {
        return Html::default();
    }
    let open = blank
        .iter()
        .find(|field| amending.as_ref().is_some_and(|name| *name == field.name));
    html! {
        if let Some(field) = open {
            { form(desk, view, &field.name, amending) }
        } else {
            <details>
                <summary>{ "Say more about it" }</summary>
                <div class="choices">
                    { each(&blank, &|field| {
                        let (amending, name) = (amending.clone(), AttrValue::from(field.name.clone()));
                        let onclick = Callback::from(move |_| amending.set(Some(name.clone())));
                        html! { <button type="button" class="choice" {onclick}>{ field.label.clone() }</button> }
                    }) }
                </div>
            </details>
        }
    }
}
