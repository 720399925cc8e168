//! One reckoning: its form, and what it comes to as one types.

use std::cell::RefCell;
use std::rc::Rc;

use garboard_protocol::{Answer, Ask, FormField, Input, Say, Trouble};
use garboard_reckon::input::Need;
use garboard_reckon::outcome::Needed;
use garboard_reckon::{Given, Outcome, Reckoned, Reckoning, Slices, find};
use garboard_record::unit::System;
use gloo::timers::callback::Timeout;
use yew::{
    AttrValue, Callback, Html, Properties, UseStateHandle, component, html, use_effect_with,
    use_mut_ref, use_node_ref, use_state,
};

use crate::browser::{event, file::Files, locale, memory};
use crate::components::{FieldInputProps, field_input, not_saved, outcome};
use crate::draft::{self, Draft};
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::json;
use crate::pages::add::{checked, leave, use_options};
use crate::reckon::{Came, came, drafts_of, field, first_drafts, inputs, refused};
use crate::state::{Action, Route};

#[derive(Properties, PartialEq)]
pub(crate) struct SheetProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The reckoning's name.
    pub(crate) name: AttrValue,
    /// The repair that it is for, or a kept reckoning whose inputs it begins with.
    pub(crate) about: Option<AttrValue>,
}

/// One reckoning.
#[component]
pub(crate) fn Sheet(props: &SheetProps) -> Html {
    let Some(of) = find(&props.name) else {
        return html! { <section class="sheet"><div class="sheet-head"><h1>{ "Reckon" }</h1>{ leave(&props.desk) }</div><div class="sheet-body"><p>{ format!("There is no reckoning called “{}” in this version.", props.name) }</p></div></section> };
    };
    match &props.about {
        None => {
            html! { <Form desk={props.desk.clone()} name={of.name} repair={None::<AttrValue>} kept={None::<AttrValue>} /> }
        }
        Some(about) => {
            html! { <About desk={props.desk.clone()} name={of.name} about={about.clone()} /> }
        }
    }
}

#[derive(Properties, PartialEq)]
struct AboutProps {
    desk: Desk,
    name: AttrValue,
    about: AttrValue,
}

/// Waits for the repair or the kept reckoning that it is about.
#[component]
fn About(props: &AboutProps) -> Html {
    let ask = Ask::Entry {
        id: props.about.to_string(),
    };
    let AskedFor::Here(answer) = use_asked(&props.desk, ask) else {
        return html! { <section class="sheet"><p class="sheet-body" role="status">{ "Reading…" }</p></section> };
    };
    let Answer::Entry(view) = &*answer else {
        return Html::default();
    };
    let of = |name: &str| view.values.iter().find(|value| value.field == name);
    let (repair, kept) = if view.kind == "repair" {
        (Some(view.id.clone()), None)
    } else {
        (
            of("repair").and_then(|value| value.link.clone()),
            of("inputs").map(|value| value.raw.clone()),
        )
    };
    html! { <Form desk={props.desk.clone()} name={props.name.clone()} repair={repair.map(AttrValue::from)} kept={kept.map(AttrValue::from)} /> }
}

#[derive(Properties, PartialEq)]
struct FormProps {
    desk: Desk,
    name: AttrValue,
    repair: Option<AttrValue>,
    kept: Option<AttrValue>,
}

/// A long reckoning that goes on in slices.
struct Running {
    given: Given,
    slices: Box<dyn Slices>,
    until: i64,
    _next: Option<Timeout>,
}

/// So long a reckoning that goes on in slices is given, in milliseconds.
const LONGEST: i64 = 2000;

/// So long one slice may keep the page, in milliseconds.
const SLICE: i64 = 8;

#[component]
fn Form(props: &FormProps) -> Html {
    let desk = &props.desk;
    let Some(of) = find(&props.name) else {
        return Html::default();
    };
    let key = format!("reckon.{}", of.name);
    let system = System::of(
        desk.state
            .opened
            .as_ref()
            .map_or("", |opened| opened.units.as_str()),
    );
    let drafts = {
        let (kept, key) = (props.kept.clone(), key.clone());
        use_state(move || match kept {
            Some(kept) => drafts_of(of.inputs, &kept),
            None => {
                let mut drafts = first_drafts(of.inputs, system);
                draft::take_up(&mut drafts, &memory::recall(&key));
                drafts
            }
        })
    };
    let repair = {
        let first = props.repair.as_ref().map(ToString::to_string).or_else(|| {
            desk.state
                .working_at()?
                .repair
                .as_ref()
                .map(|repair| repair.id.clone())
        });
        use_state(move || Draft::of(first.map(|id| json::string(&id)).unwrap_or_default()))
    };
    let repair_field = FormField {
        name: "repair".to_owned(),
        label: "Keep it with the repair".to_owned(),
        hint:
            "The inputs and the method are kept; the result is reckoned again whenever it is shown."
                .to_owned(),
        input: Input::EntryOf {
            kinds: vec!["repair".to_owned()],
        },
        ..FormField::default()
    };
    let fields: Vec<FormField> = of
        .inputs
        .iter()
        .map(field)
        .chain([repair_field.clone()])
        .collect();
    let options = use_options(desk, &fields);
    let heading = use_node_ref();
    {
        let heading = heading.clone();
        use_effect_with((), move |()| event::focus(&heading));
    }
    let trouble = use_state(|| None::<Trouble>);
    let is_busy = use_state(|| false);
    let long = use_state(|| None::<Result<Rc<Reckoned>, String>>);
    let running = use_mut_ref(|| None::<Running>);

    let said = inputs(of, &drafts, checked);
    let standing = if of.begin.is_some() {
        in_the_way(of, &said)
    } else {
        Some(came(of, &said))
    };
    let (wrong, wrong_words) = match &standing {
        Some(Came::Wrong(name, words)) => (name.clone(), words.clone()),
        _ => Default::default(),
    };
    let control = |field: FormField| {
        let name = field.name.clone();
        let onchange = {
            let (drafts, key, long) = (drafts.clone(), key.clone(), long.clone());
            let name = name.clone();
            Callback::from(move |draft: Draft| {
                let mut next = (*drafts).clone();
                next.set(&name, draft);
                memory::keep(&key, &draft::kept(&next));
                drafts.set(next);
                long.set(None);
            })
        };
        let wrong = (wrong == name).then(|| AttrValue::from(wrong_words.clone()));
        html! { { field_input(&FieldInputProps { field, draft: drafts.get(&name).cloned().unwrap_or_default(), options: Rc::clone(&options), wrong, prefix: AttrValue::default(), onchange }) } }
    };
    let clear = {
        let (drafts, key, long) = (drafts.clone(), key.clone(), long.clone());
        Callback::from(move |_| {
            memory::keep(&key, "");
            drafts.set(first_drafts(of.inputs, system));
            long.set(None);
        })
    };
    let on_repair = {
        let repair = repair.clone();
        Callback::from(move |draft: Draft| repair.set(draft))
    };
    let reckoned: Option<Rc<Reckoned>> = match (&standing, &*long) {
        (Some(Came::Here(reckoned)), _) => Some(Rc::new((**reckoned).clone())),
        (_, Some(Ok(reckoned))) => Some(Rc::clone(reckoned)),
        _ => None,
    };
    let result = match (&standing, &reckoned) {
        (_, Some(reckoned)) => outcome(of, &reckoned.outcome),
        (Some(Came::Lacking(lacking)), _) => {
            html! { <p role="status" class="soft">{ format!("Still needed: {}.", lacking.join(", ")) }</p> }
        }
        (Some(Came::Wrong(name, words)), _) if name.is_empty() => {
            html! { <p role="alert" class="notice">{ words.clone() }</p> }
        }
        (Some(Came::Wrong(..)), _) => {
            html! { <p role="status" class="soft">{ "Something above must be mended first." }</p> }
        }
        _ => html! {},
    };
    let start = (of.begin.is_some() && standing.is_none()).then(|| {
        let (long, running, said) = (long.clone(), Rc::clone(&running), said.clone());
        let is_running = running.borrow().is_some();
        let onclick = Callback::from(move |_| {
            if running.borrow_mut().take().is_some() {
                long.set((*long).clone());
                return;
            }
            begin(of, &said, &long, &running);
        });
        html! { <button type="button" class="key main-key" {onclick}>{ if is_running { "Stop, and take the best so far" } else { "Reckon" } }</button> }
    });
    let keep = reckoned.clone().map(|reckoned| {
        let (desk, repair, trouble, is_busy) = (
            desk.clone(),
            repair.clone(),
            trouble.clone(),
            is_busy.clone(),
        );
        Callback::from(move |_| keep(&desk, of, &reckoned, &repair.text, &trouble, &is_busy))
    });
    // What has a usual value stands behind one key; what is wrong is never hidden.
    let is_usual = |input: &&garboard_reckon::Input| matches!(input.need, Need::Default { .. });
    let (more, first): (Vec<&garboard_reckon::Input>, Vec<&garboard_reckon::Input>) =
        of.inputs.iter().partition(is_usual);
    let is_more_open = more.iter().any(|input| {
        input.name == wrong
            || drafts
                .get(input.name)
                .is_some_and(|draft| !draft.is_blank())
    });
    html! {
        <section class="sheet">
            <div class="sheet-head"><h1 tabindex="-1" ref={heading}>{ of.title }</h1>{ leave(desk) }</div>
            <div class="sheet-body">
                <p class="soft">{ of.purpose }</p>
                { for first.into_iter().map(|input| control(field(input))) }
                if !more.is_empty() {
                    <details open={is_more_open}>
                        <summary>{ format!("Taken as usual ({})", more.len()) }</summary>
                        <div class="stack">{ for more.into_iter().map(|input| control(field(input))) }</div>
                    </details>
                }
                <div class="rowed">{ start.unwrap_or_default() }<button type="button" class="link" onclick={clear}>{ "Begin again with nothing" }</button></div>
                <section class="stack reckoned" aria-live="polite" aria-label="Result">
                    <h2>{ "Result" }</h2>
                    { if let Some(Err(words)) = &*long { html! { <p role="alert" class="notice">{ words.clone() }</p> } } else { result } }
                </section>
                if let Some(reckoned) = &reckoned { { needed(desk, of, &reckoned.outcome, &repair.text) } }
                if let (Some(keep), true) = (keep, desk.state.can_write()) {
                    <section class="stack">
                        { field_input(&FieldInputProps { field: repair_field, draft: (*repair).clone(), options: Rc::clone(&options), wrong: None, prefix: AttrValue::default(), onchange: on_repair }) }
                        if let Some(trouble) = trouble.as_ref() { { not_saved(trouble) } }
                        <button type="button" class="key main-key" onclick={keep} disabled={*is_busy}>{ if *is_busy { "Being saved…" } else { "Keep it in the log" } }</button>
                    </section>
                }
            </div>
        </section>
    }
}

/// What stands in the way of beginning a long reckoning.
fn in_the_way(of: &'static Reckoning, said: &Result<String, (String, String)>) -> Option<Came> {
    let text = match said {
        Err((name, wrong)) => return Some(Came::Wrong(name.clone(), wrong.clone())),
        Ok(text) => text,
    };
    match of.begin_text(text) {
        Ok(_) => None,
        Err(garboard_reckon::Unreckoned::Missing { .. }) => {
            let lacking = of
                .inputs
                .iter()
                .filter(|input| input.need == Need::Required)
                .filter(|input| {
                    json::Json::read(text).is_none_or(|json| json.field(input.name).is_none())
                })
                .map(|input| input.label)
                .collect();
            Some(Came::Lacking(lacking))
        }
        Err(error) => Some(refused(of, &error)),
    }
}

type Long = UseStateHandle<Option<Result<Rc<Reckoned>, String>>>;

/// Begins a long reckoning; the page is free between its slices.
fn begin(
    of: &'static Reckoning,
    said: &Result<String, (String, String)>,
    long: &Long,
    running: &Rc<RefCell<Option<Running>>>,
) {
    let Ok(text) = said else { return };
    match of.begin_text(text) {
        Ok(Some((given, slices))) => {
            *running.borrow_mut() = Some(Running {
                given,
                slices,
                until: locale::now_millis() + LONGEST,
                _next: None,
            });
            go_on(long, running);
        }
        Ok(None) => {}
        Err(error) => long.set(Some(Err(error.to_string()))),
    }
}

fn go_on(long: &Long, running: &Rc<RefCell<Option<Running>>>) {
    let is_done = {
        let mut held = running.borrow_mut();
        let Some(run) = held.as_mut() else { return };
        let start = locale::now_millis();
        let mut is_done = false;
        while !is_done && locale::now_millis() - start < SLICE {
            is_done = run.slices.step(200);
        }
        let best = run.slices.best();
        let is_done = is_done || locale::now_millis() >= run.until;
        match best {
            Ok(outcome) => long.set(Some(Ok(Rc::new(Reckoned {
                given: run.given.clone(),
                outcome,
            })))),
            Err(error) if is_done => long.set(Some(Err(error.to_string()))),
            Err(_) => {}
        }
        is_done
    };
    if is_done {
        running.borrow_mut().take();
        return;
    }
    let next = {
        let (long, running) = (long.clone(), Rc::clone(running));
        Timeout::new(0, move || go_on(&long, &running))
    };
    if let Some(run) = running.borrow_mut().as_mut() {
        run._next = Some(next);
    }
}

/// Writes the reckoning into the log.
fn keep(
    desk: &Desk,
    of: &'static Reckoning,
    reckoned: &Reckoned,
    repair: &str,
    trouble: &UseStateHandle<Option<Trouble>>,
    is_busy: &UseStateHandle<bool>,
) {
    let mut fields = vec![
        ("method".to_owned(), json::string(of.name)),
        ("revision".to_owned(), of.revision.to_string()),
        ("inputs".to_owned(), reckoned.inputs()),
    ];
    if !repair.is_empty() {
        fields.push(("repair".to_owned(), repair.to_owned()));
    }
    let ask = Ask::Say(Say {
        kind: "reckoning".to_owned(),
        fields: json::object(&fields),
        happened: None,
        at_work: repair.is_empty(),
    });
    is_busy.set(true);
    trouble.set(None);
    let (told, trouble, is_busy) = (desk.clone(), trouble.clone(), is_busy.clone());
    desk.say_about(
        ask,
        Callback::from(move |outcome: Result<Vec<String>, Trouble>| {
            is_busy.set(false);
            match outcome {
                Ok(entries) => {
                    if let Some(entry) = entries.first() {
                        told.go(&Route::Entry(entry.clone()));
                    }
                }
                Err(words) => trouble.set(Some(words)),
            }
        }),
    );
}

/// The materials that it takes, and a key that writes them down as needed.
fn needed(desk: &Desk, of: &'static Reckoning, came: &Outcome, repair: &str) -> Html {
    if came.needed.is_empty() {
        return Html::default();
    }
    let write = {
        let (desk, all, repair) = (desk.clone(), came.needed.clone(), repair.to_owned());
        Callback::from(move |_| {
            let n = all.len();
            for one in &all {
                desk.capture(
                    one.material.clone(),
                    Ask::Say(material(of, one, &repair)),
                    &Files::default(),
                    Callback::noop(),
                );
            }
            desk.dispatch(Action::Notice {
                lead: format!("{n} written down as needed"),
                rest: "They stand under Work, what to buy.".to_owned(),
                entry: None,
                is_passing: true,
            });
        })
    };
    html! {
        <section class="stack">
            <h3>{ "What it takes" }</h3>
            <ul class="bullets">{ for came.needed.iter().map(|one| html! { <li>{ in_words(one) }</li> }) }</ul>
            if desk.state.can_write() { <p><button type="button" class="key" onclick={write}>{ "Write it down as needed" }</button></p> }
        </section>
    }
}

fn in_words(one: &Needed) -> String {
    let amount = format!("{} {}", one.amount.value, one.amount.unit_shown());
    if one.grade.is_empty() {
        format!("{}: {amount}", one.material)
    } else {
        format!("{}, {}: {amount}", one.material, one.grade)
    }
}

fn material(of: &Reckoning, one: &Needed, repair: &str) -> Say {
    let amount = json::object(&[
        ("unit".to_owned(), json::string(&one.amount.unit)),
        (
            "value".to_owned(),
            json::string(&one.amount.value.to_string()),
        ),
    ]);
    let mut fields = vec![
        ("what".to_owned(), json::string(&one.material)),
        ("fate".to_owned(), json::string("needed")),
        ("quantity".to_owned(), amount),
        (
            "words".to_owned(),
            json::string(&format!("From the reckoning “{}”, an estimate.", of.title)),
        ),
    ];
    if !one.grade.is_empty() {
        fields.push(("grade".to_owned(), json::string(&one.grade)));
    }
    if !repair.is_empty() {
        fields.push(("repair".to_owned(), repair.to_owned()));
    }
    Say {
        kind: "material".to_owned(),
        fields: json::object(&fields),
        happened: None,
        at_work: repair.is_empty(),
    }
}
