//! Where am I working: the place, the open finding or repair, and the stage of the photographs.

use garboard_protocol::{Answer, Ask, Choice, PlaceLine, Say, WorkAt};
use yew::{Callback, Html, component, html, use_state};

use super::add::leave;
use super::shell::PageProps;
use crate::browser::{event, file::Files};
use crate::components::{STAGES, StrokesProps, each, stage_idx, strokes};
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::json::{self, Json};
use crate::state::Action;

/// Place, finding or repair, stage.
#[component]
pub(crate) fn Change(props: &PageProps) -> Html {
    let desk = &props.desk;
    let places = use_asked(desk, Ask::Places);
    let name = use_state(String::new);
    let is_within = use_state(|| true);
    let wrong = use_state(|| false);
    let at = desk.state.working_at().cloned().unwrap_or_default();
    let here = at.place.as_ref().map(|place| place.id.clone());

    let make = {
        let (desk, name, is_within, here, wrong) = (
            desk.clone(),
            name.clone(),
            is_within.clone(),
            here.clone(),
            wrong.clone(),
        );
        Callback::from(move |()| {
            let word = name.trim().to_owned();
            wrong.set(word.is_empty());
            if word.is_empty() {
                return;
            }
            let mut fields = vec![("name".to_owned(), json::string(&word))];
            if let (true, Some(parent)) = (*is_within, &here) {
                fields.push(("parent".to_owned(), json::string(parent)));
            }
            let ask = Ask::Say(Say {
                kind: "place".to_owned(),
                fields: json::object(&fields),
                happened: None,
                at_work: false,
            });
            let told = desk.clone();
            desk.capture(
                format!("Place: {word}"),
                ask,
                &Files::default(),
                Callback::from(move |entries: Vec<String>| {
                    if let Some(place) = entries.first() {
                        told.work_at(WorkAt {
                            place: Some(place.clone()),
                            ..WorkAt::default()
                        });
                    }
                }),
            );
            name.set(String::new());
        })
    };
    let onname = {
        let name = name.clone();
        event::typed(Callback::from(move |text| name.set(text)))
    };
    let lines = match &places {
        AskedFor::Here(answer) => match &**answer {
            Answer::Places(lines) => Some(lines.clone()),
            _ => None,
        },
        _ => None,
    };
    html! {
        <div class="sheet">
            <div class="sheet-head"><h1>{ "Where are you working?" }</h1></div>
            <div class="sheet-body">
                <section class="stack">
                    <h2>{ "Place" }</h2>
                    { match lines {
                        None => html! { <p role="status">{ "Reading the places…" }</p> },
                        Some(lines) if lines.is_empty() => html! { <p class="soft">{ "No places yet. Name the first one below: a side deck, a bay, a bulkhead." }</p> },
                        Some(lines) => html! { <ul class="things">{ for lines.iter().filter(|line| !line.is_struck).map(|line| place(desk, line, here.as_deref())) }</ul> },
                    } }
                    <form class="stack" onsubmit={event::submitted(make)} novalidate=true>
                        <div class="field">
                            <label for="place-name">{ "A new place" }</label>
                            <input id="place-name" type="text" autocomplete="off" placeholder="third bay" value={(*name).clone()} oninput={onname} />
                            if *wrong { <p class="wrong" role="alert">{ "One word is enough, but it needs one." }</p> }
                        </div>
                        if let Some(place) = &at.place {
                            <label class="tickbox">
                                <input type="checkbox" checked={*is_within} onclick={
                                    let is_within = is_within.clone();
                                    Callback::from(move |_| is_within.set(!*is_within))
                                } />
                                <span>{ format!("Within {}", place.path.join(" › ")) }</span>
                            </label>
                        }
                        <div><button type="submit" class="key">{ "Make it and work there" }</button></div>
                    </form>
                </section>
                { about(desk) }
                { stages(desk) }
            </div>
            <div class="sheet-foot">
                <button type="button" class="key main-key" onclick={
                    let desk = desk.clone();
                    Callback::from(move |_| desk.back())
                }>{ "Work here" }</button>
            </div>
            <span class="unseen">{ leave(desk) }</span>
        </div>
    }
}

fn place(desk: &Desk, line: &PlaceLine, here: Option<&str>) -> Html {
    let is_chosen = here == Some(line.id.as_str());
    let (desk, id) = (desk.clone(), line.id.clone());
    let onclick = Callback::from(move |_| {
        desk.work_at(WorkAt {
            place: Some(id.clone()),
            ..WorkAt::default()
        });
    });
    let class = yew::classes!(
        "thing",
        format!("in-{}", line.depth.min(6)),
        is_chosen.then_some("chosen")
    );
    html! {
        <li>
            <button type="button" {class} aria-pressed={is_chosen.to_string()} {onclick}>
                <span class="thing-name">{ line.name.clone() }</span>
                <span class="thing-end">{ if line.n_open > 0 { format!("{} open", line.n_open) } else { String::new() } }</span>
            </button>
        </li>
    }
}

/// The open findings and repairs.
fn about(desk: &Desk) -> Html {
    let Some(choices) = desk.state.choices.clone() else {
        return Html::default();
    };
    if choices.findings.is_empty() && choices.repairs.is_empty() {
        return Html::default();
    }
    let at = desk.state.working_at().cloned().unwrap_or_default();
    let place = at.place.as_ref().map(|place| place.id.clone());
    let list = |title: &'static str, choices: &[Choice], chosen: Option<&str>, is_repair: bool| {
        if choices.is_empty() {
            return Html::default();
        }
        html! {
            <section class="stack">
                <h2>{ title }</h2>
                <ul class="things">
                    { for choices.iter().filter_map(|choice| {
                        let id = Json::read(&choice.raw)?.text()?.to_owned();
                        let is_chosen = chosen == Some(id.as_str());
                        let work_at = match (is_chosen, is_repair) {
                            (true, _) => WorkAt { place: place.clone(), ..WorkAt::default() },
                            // The keeper takes the place from the finding or repair itself.
                            (false, true) => WorkAt { repair: Some(id), ..WorkAt::default() },
                            (false, false) => WorkAt { finding: Some(id), ..WorkAt::default() },
                        };
                        let desk = desk.clone();
                        let onclick = Callback::from(move |_| desk.work_at(work_at.clone()));
                        let class = yew::classes!("thing", is_chosen.then_some("chosen"));
                        Some(html! {
                            <li><button type="button" {class} aria-pressed={is_chosen.to_string()} {onclick}>
                                <span class="thing-name">{ choice.label.clone() }</span>
                                <span class="thing-more">{ choice.note.clone() }</span>
                            </button></li>
                        })
                    }) }
                </ul>
            </section>
        }
    };
    html! { <>
        { list("Open finding", &choices.findings, at.finding.as_ref().map(|finding| finding.id.as_str()), false) }
        { list("Repair", &choices.repairs, at.repair.as_ref().map(|repair| repair.id.as_str()), true) }
    </> }
}

/// The stage of the photographs to come.
fn stages(desk: &Desk) -> Html {
    let chosen = desk.state.stage.clone();
    html! {
        <section class="stack">
            <h2>{ "Photographs from now on show it" }</h2>
            <div class="choices" role="group" aria-label="Stage of the photographs">
                { each(&STAGES, &|&stage| {
                    let is_chosen = chosen.as_deref() == Some(stage);
                    let desk = desk.clone();
                    let onclick = Callback::from(move |_| desk.dispatch(Action::Stage((!is_chosen).then(|| stage.to_owned()))));
                    html! {
                        <button type="button" class="choice" aria-pressed={is_chosen.to_string()} {onclick}>{ strokes(&StrokesProps { filled: stage_idx(stage), words: stage.into() }) }</button>
                    }
                }) }
            </div>
            <p class="small soft">{ "Left alone, the stage follows how far the finding has come." }</p>
        </section>
    }
}
