//! The form of any kind, made from its description; perhaps for another entry.

use std::rc::Rc;

use garboard_protocol::{
    Answer, Ask, Choice, EntryView, Filter, Form, FormField, Input, Say, Trouble, Window,
};
use yew::{
    AttrValue, Callback, Html, Properties, component, hook, html, use_effect_with, use_memo,
    use_node_ref, use_state,
};

use crate::browser::{event, file::Files, locale, memory};
use crate::components::{FieldInputProps, Options, field_input, not_saved, settled};
use crate::draft::{self, Draft};
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::json;
use crate::named::Named;
use crate::state::Route;

#[derive(Properties, PartialEq)]
pub(crate) struct AddProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The kind.
    pub(crate) kind: AttrValue,
    /// The entry that it is for.
    pub(crate) about: Option<String>,
}

/// The form of a kind.
#[component]
pub(crate) fn Add(props: &AddProps) -> Html {
    let desk = &props.desk;
    let form = desk.state.choices.as_ref().and_then(|choices| {
        choices
            .forms
            .iter()
            .find(|form| form.kind == *props.kind)
            .cloned()
    });
    match (&props.about, form) {
        (_, None) => {
            html! { <div class="sheet"><p class="sheet-body" role="status">{ "Reading the form…" }</p></div> }
        }
        (None, Some(form)) => {
            html! { <Filling desk={desk.clone()} {form} about={None::<Rc<EntryView>>} /> }
        }
        (Some(about), Some(form)) => {
            html! { <AddAbout desk={desk.clone()} {form} about={about.clone()} /> }
        }
    }
}

#[derive(Properties, PartialEq)]
struct AddAboutProps {
    desk: Desk,
    form: Form,
    about: AttrValue,
}

#[component]
fn AddAbout(props: &AddAboutProps) -> Html {
    match use_asked(
        &props.desk,
        Ask::Entry {
            id: props.about.to_string(),
        },
    ) {
        AskedFor::Here(answer) => {
            let Answer::Entry(view) = &*answer else {
                return Html::default();
            };
            html! { <Filling desk={props.desk.clone()} form={props.form.clone()} about={Some(Rc::new((**view).clone()))} /> }
        }
        AskedFor::Waiting => {
            html! { <div class="sheet"><p class="sheet-body" role="status">{ "Reading…" }</p></div> }
        }
        AskedFor::Trouble(trouble) => {
            html! { <div class="sheet"><div class="sheet-body">{ crate::components::trouble_box(&crate::components::TroubleBoxProps { trouble: (*trouble).clone() }) }</div></div> }
        }
    }
}

#[derive(Properties, PartialEq)]
struct FillingProps {
    desk: Desk,
    form: Form,
    about: Option<Rc<EntryView>>,
}

#[component]
fn Filling(props: &FillingProps) -> Html {
    let FillingProps { desk, form, about } = props;
    let drafts = {
        let (form, about) = (form.clone(), about.clone());
        use_state(move || {
            let mut drafts = first_drafts(&form, about.as_deref());
            draft::take_up(
                &mut drafts,
                &memory::recall(&draft_key(&form, about.as_deref())),
            );
            drafts
        })
    };
    let key = draft_key(form, about.as_deref());
    let happened = use_state(String::new);
    let wrong = use_state(Named::<AttrValue>::default);
    let trouble = use_state(|| None::<Trouble>);
    let is_busy = use_state(|| false);
    let options = use_options(desk, &form.fields);
    let heading = use_node_ref();
    {
        let heading = heading.clone();
        use_effect_with((), move |()| event::focus(&heading));
    }

    let save = {
        let (desk, form, about, drafts, happened, wrong) = (
            desk.clone(),
            form.clone(),
            about.clone(),
            drafts.clone(),
            happened.clone(),
            wrong.clone(),
        );
        let (trouble, is_busy) = (trouble.clone(), is_busy.clone());
        Callback::from(move |()| match said(&form, &drafts, &happened) {
            Err(faults) => {
                wrong.set(faults);
                event::show_first_wrong();
            }
            Ok((fields, happened)) => {
                wrong.set(Named::default());
                remember_currency(&form, &drafts);
                let ask = Ask::Say(Say {
                    kind: form.kind.clone(),
                    fields,
                    happened,
                    at_work: about.is_none(),
                });
                let join = about
                    .as_deref()
                    .filter(|about| target_of(&form, about).is_none())
                    .map_or_else(Callback::noop, |about| joining(&desk, &form, about));
                is_busy.set(true);
                trouble.set(None);
                let key = draft_key(&form, about.as_deref());
                let (told, trouble, is_busy) = (desk.clone(), trouble.clone(), is_busy.clone());
                desk.say_about(
                    ask,
                    Callback::from(move |outcome: Result<Vec<String>, Trouble>| {
                        is_busy.set(false);
                        match outcome {
                            Ok(entries) => {
                                memory::keep(&key, "");
                                join.emit(entries);
                                told.back();
                            }
                            Err(words) => trouble.set(Some(words)),
                        }
                    }),
                );
            }
        })
    };
    let field = |field: &FormField| {
        let name = field.name.clone();
        let onchange = {
            let (drafts, name, key) = (drafts.clone(), name.clone(), key.clone());
            Callback::from(move |draft: Draft| {
                let mut next = (*drafts).clone();
                next.set(&name, draft);
                memory::keep(&key, &draft::kept(&next));
                drafts.set(next);
            })
        };
        html! {
            { field_input(&FieldInputProps { field: field.clone(), draft: drafts.get(&name).cloned().unwrap_or_default(), options: Rc::clone(&options), wrong: wrong.get(&name).cloned(), prefix: Default::default(), onchange }) }
        }
    };
    // What was filled in from the start is shown; what is typed later stays where it is typed.
    let given = {
        let first = (*drafts).clone();
        use_state(move || first)
    };
    let is_shown = |field: &&FormField| {
        field.is_first
            || field.is_needed
            || given
                .get(&field.name)
                .is_some_and(|draft| !draft.is_blank())
    };
    let (shown, more): (Vec<&FormField>, Vec<&FormField>) = form.fields.iter().partition(is_shown);
    let when = FormField {
        name: "happened".to_owned(),
        label: "When it happened".to_owned(),
        hint: "Leave it blank for now. A date alone will do: 2026-05-09, or 1987.".to_owned(),
        input: Input::When,
        ..FormField::default()
    };
    let on_when = {
        let happened = happened.clone();
        Callback::from(move |draft: Draft| happened.set(draft.text))
    };
    html! {
        <form class="sheet" onsubmit={event::submitted(save)} novalidate=true>
            <div class="sheet-head">
                <div>
                    <h1 tabindex="-1" ref={heading}>{ form.title.clone() }</h1>
                    if let Some(about) = about { <p class="page-kind">{ format!("for {}: {}", about.kind_word.to_ascii_lowercase(), about.title) }</p> }
                </div>
                { leave_after(desk, { let key = key.clone(); Callback::from(move |()| memory::keep(&key, "")) }) }
            </div>
            <div class="sheet-body">
                { for shown.into_iter().map(&field) }
                { field_input(&FieldInputProps { field: when, draft: Draft::of((*happened).clone()), options: Rc::clone(&options), wrong: wrong.get("happened").cloned(), prefix: Default::default(), onchange: on_when }) }
                if !more.is_empty() {
                    <details>
                        <summary>{ format!("More ({})", more.len()) }</summary>
                        <div class="stack">{ for more.into_iter().map(&field) }</div>
                    </details>
                }
            </div>
            <div class="sheet-foot">
                if let Some(trouble) = trouble.as_ref() { { not_saved(trouble) } }
                if !wrong.is_empty() { <p class="notice" role="alert">{ "Nothing is saved yet: something above must be mended first." }</p> }
                <button type="submit" class="key main-key" disabled={*is_busy}>{ if *is_busy { "Being saved…" } else { "Save" } }</button>
            </div>
        </form>
    }
}

/// Under which name a half-written form is remembered.
fn draft_key(form: &Form, about: Option<&EntryView>) -> String {
    let about = about.map_or("", |about| about.id.as_str());
    format!("draft.{}.{about}", form.kind)
}

/// The key that leaves a sheet with nothing saved.
pub(super) fn leave(desk: &Desk) -> Html {
    leave_after(desk, Callback::noop())
}

/// The same, when something must be let go of first.
fn leave_after(desk: &Desk, let_go: Callback<()>) -> Html {
    let desk = desk.clone();
    let onclick = Callback::from(move |_: yew::MouseEvent| {
        let_go.emit(());
        desk.back();
    });
    html! { <button type="button" class="link" {onclick}>{ "Leave" }</button> }
}

/// What a field says, in JSON.
///
/// # Errors
///
/// A sentence that says what is wrong.
pub(super) fn checked(field: &FormField, draft: &Draft) -> Result<Option<String>, String> {
    if let Input::Table { columns } = &field.input {
        let lines = settled(columns, &draft.several)?;
        return Ok((!lines.is_empty()).then(|| json::list(&lines)));
    }
    draft.to_json(field)
}

/// The field that names the entry that the new one is for.
fn target_of<'a>(form: &'a Form, about: &EntryView) -> Option<&'a FormField> {
    form.fields.iter().find(|field| match &field.input {
        Input::EntryOf { kinds } | Input::EntriesOf { kinds } => kinds.contains(&about.kind),
        _ => false,
    })
}

/// Where no field can name the other entry, a statement of its own joins the two.
fn joining(desk: &Desk, form: &Form, about: &EntryView) -> Callback<Vec<String>> {
    let role = match (form.kind.as_str(), about.kind.as_str()) {
        ("repair", "finding") => "finding",
        ("step", "step") => "waits-for",
        ("test", _) => "rests-on",
        _ => "about",
    };
    let words = format!("{} joined with {}", form.title, about.title);
    let (desk, part) = (desk.clone(), about.id.clone());
    Callback::from(move |entries: Vec<String>| {
        let Some(whole) = entries.first() else { return };
        let fields = [
            ("whole".to_owned(), json::string(whole)),
            ("part".to_owned(), json::string(&part)),
            ("role".to_owned(), json::string(role)),
        ];
        let ask = Ask::Say(Say {
            kind: "member".to_owned(),
            fields: json::object(&fields),
            happened: None,
            at_work: false,
        });
        desk.capture(words.clone(), ask, &Files::default(), Callback::noop());
    })
}

/// What stands in the form at first: the entry that it is for, and its place.
fn first_drafts(form: &Form, about: Option<&EntryView>) -> Named<Draft> {
    let mut drafts = Named::default();
    for field in &form.fields {
        if matches!(field.input, Input::Money) {
            drafts.set(
                &field.name,
                Draft {
                    unit: memory::recall("currency"),
                    ..Draft::default()
                },
            );
        }
        if let Input::Quantity { units } = &field.input {
            drafts.set(
                &field.name,
                Draft {
                    unit: units.first().cloned().unwrap_or_default(),
                    ..Draft::default()
                },
            );
        }
    }
    let Some(about) = about else { return drafts };
    let id = json::string(&about.id);
    let target = target_of(form, about);
    if let Some(field) = target {
        let draft = match &field.input {
            Input::EntriesOf { .. } => Draft {
                several: vec![id],
                ..Draft::default()
            },
            _ => Draft::of(id),
        };
        drafts.set(&field.name, draft);
    }
    // What the other entry says of place, finding and repair holds here too.
    for name in ["place", "finding", "repair"] {
        let is_free = target.is_none_or(|field| field.name != name);
        let known = match name {
            "place" => about.place.as_ref().map(|place| place.id.clone()),
            name => about
                .values
                .iter()
                .find(|value| value.field == name)
                .and_then(|value| value.link.clone()),
        };
        let takes_one = form
            .fields
            .iter()
            .any(|field| field.name == name && matches!(field.input, Input::EntryOf { .. }));
        if let (true, true, Some(known)) = (is_free, takes_one, known) {
            drafts.set(name, Draft::of(json::string(&known)));
        }
    }
    drafts
}

type Faults = Named<AttrValue>;

/// The fields as JSON and the time, or what is wrong with which.
fn said(
    form: &Form,
    drafts: &Named<Draft>,
    happened: &str,
) -> Result<(String, Option<String>), Faults> {
    let mut faults = Faults::default();
    let mut fields = Vec::new();
    for field in &form.fields {
        match checked(field, drafts.get(&field.name).unwrap_or(&Draft::default())) {
            Ok(Some(value)) => fields.push((field.name.clone(), value)),
            Ok(None) if field.is_needed => {
                faults.set(&field.name, format!("{} is needed.", field.label).into());
            }
            Ok(None) => {}
            Err(wrong) => {
                faults.set(&field.name, wrong.into());
            }
        }
    }
    let happened = match happened.trim() {
        "" => None,
        text => match crate::moment::Moment::read(text) {
            Some(moment) if moment.time.is_some() && text.len() <= 16 => locale::with_zone(text),
            Some(_) => Some(text.to_owned()),
            None => {
                faults.set(
                    "happened",
                    format!("“{text}” is no date; write it like 2026-05-09 or 2026-05-09T14:22.")
                        .into(),
                );
                None
            }
        },
    };
    if faults.is_empty() {
        Ok((json::object(&fields), happened))
    } else {
        Err(faults)
    }
}

fn remember_currency(form: &Form, drafts: &Named<Draft>) {
    let used = form
        .fields
        .iter()
        .filter(|field| field.input == Input::Money)
        .filter_map(|field| drafts.get(&field.name));
    if let Some(draft) = used
        .into_iter()
        .find(|draft| !draft.is_blank() && draft.unit.len() == 3)
    {
        memory::keep("currency", &draft.unit);
    }
}

/// What the fields can choose from; entries of kinds that are not at hand are asked for.
#[hook]
pub(super) fn use_options(desk: &Desk, fields: &[FormField]) -> Rc<Options> {
    let choices = desk.state.choices.clone();
    let base = use_memo(choices, |choices| match choices {
        Some(choices) => Options::new(choices, locale::today(), memory::recall("currency")),
        None => Options::default(),
    });
    let wanted: Vec<String> = fields
        .iter()
        .flat_map(|field| match &field.input {
            Input::EntryOf { kinds } | Input::EntriesOf { kinds } => kinds.clone(),
            _ => Vec::new(),
        })
        .filter(|kind| !base.knows(kind))
        .collect();
    let learnt = use_state(Named::<Vec<Choice>>::default);
    {
        let (desk, learnt) = (desk.clone(), learnt.clone());
        use_effect_with((wanted, desk.state.revision), move |(wanted, _)| {
            if wanted.is_empty() {
                return;
            }
            let filter = Filter {
                kinds: wanted.clone(),
                ..Filter::default()
            };
            desk.ask(
                Ask::Rows {
                    filter,
                    window: Window { skip: 0, take: 300 },
                },
                &Files::default(),
                move |outcome: Result<_, Trouble>| {
                    let Ok((Answer::Rows(rows), _)) = outcome else {
                        return;
                    };
                    let mut by_kind = Named::<Vec<Choice>>::default();
                    for row in rows.rows.into_iter().filter(|row| !row.is_struck) {
                        let note = row
                            .place
                            .map(|place| place.path.join(" › "))
                            .unwrap_or_default();
                        by_kind.entry(&row.kind).push(Choice {
                            raw: json::string(&row.id),
                            label: row.headline,
                            note,
                        });
                    }
                    learnt.set(by_kind);
                },
            );
        });
    }
    let learnt = (*learnt).clone();
    use_memo((base, learnt), |(base, learnt)| {
        let mut options = (**base).clone();
        for (kind, choices) in learnt.iter() {
            options.learn(kind, choices.clone());
        }
        options
    })
}

/// To the form of a kind.
pub(super) fn adding(kind: &str, about: Option<&str>) -> Route {
    Route::Add {
        kind: kind.to_owned(),
        about: about.map(str::to_owned),
    }
}
