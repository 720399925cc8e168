//! Before a repair is closed up: what would be hidden without a record, and the way to each.

use garboard_protocol::{Ask, EntryView, LackLine, Shoot, WorkAt};
use yew::{Callback, Html, html};

use crate::browser::{event, file::Files};
use crate::components::each;
use crate::hooks::Desk;
use crate::pages::add::adding;
use crate::pages::shell::going;
use crate::state::Route;

/// What is lacking, and a key for closing up all the same.
pub(super) fn closing(desk: &Desk, view: &EntryView) -> Html {
    let is_done = view
        .standing
        .as_ref()
        .is_some_and(|standing| !standing.is_open);
    if view.kind != "repair" || view.is_struck || is_done {
        return Html::default();
    }
    html! {
        <section class="part lacks">
            <h2>{ "Before you close up" }</h2>
            if view.lacks.is_empty() {
                <p>{ "Found, opened, prepared and rebuilt are photographed; each finding has a reading; the repair has a test; no hold point is open." }</p>
            } else {
                <p class="soft">{ "Once it is covered, nobody can photograph or measure it again. Not recorded yet:" }</p>
                <ul class="things">{ each(&view.lacks, &|lack| line(desk, view, lack)) }</ul>
            }
            if desk.state.can_write() {
                <p><button type="button" class="key" onclick={going(desk, adding("closing-up", Some(&view.id)))}>{ if view.lacks.is_empty() { "Write down that it is closed up" } else { "Close up all the same" } }</button></p>
                if !view.lacks.is_empty() { <p class="small soft">{ "What is lacking is then written down with it, and the dossier says so." }</p> }
            }
        </section>
    }
}

fn line(desk: &Desk, view: &EntryView, lack: &LackLine) -> Html {
    let way = if desk.state.can_write() {
        mend(desk, view, lack)
    } else {
        Html::default()
    };
    html! {
        <li class="thing-pair">
            <button type="button" class="thing" onclick={going(desk, Route::Entry(lack.of.id.clone()))}><span class="thing-name">{ crate::pages::part::capital(&lack.words) }</span></button>
            { way }
        </li>
    }
}

/// What would mend it, in one touch where that can be.
fn mend(desk: &Desk, view: &EntryView, lack: &LackLine) -> Html {
    let place = view.place.as_ref().map(|place| place.id.clone());
    let of_finding = (lack.of.id != view.id).then(|| lack.of.id.clone());
    match lack.kind.as_str() {
        "photograph" => {
            let shoot = Shoot {
                stage: Some(lack.stage.clone()),
                place,
                finding: of_finding,
                repair: Some(view.id.clone()),
                ..Shoot::default()
            };
            let desk = desk.clone();
            let shot = Callback::from(move |files: Files| {
                desk.capture(
                    "A photograph",
                    Ask::Shoot(shoot.clone()),
                    &files,
                    Callback::noop(),
                );
            });
            html! { <label class="key">{ "Shoot" }<input type="file" accept="image/*" capture="environment" aria-label={format!("Shoot: {}", lack.words)} onchange={event::picked(shot)} /></label> }
        }
        "reading" => {
            let desk = desk.clone();
            let onclick = Callback::from(move |_| {
                desk.work_at(WorkAt {
                    place: place.clone(),
                    finding: of_finding.clone(),
                    repair: None,
                });
                desk.go(&Route::Measure);
            });
            html! { <button type="button" class="key" {onclick}>{ "Measure" }</button> }
        }
        "test" => {
            html! { <button type="button" class="key" onclick={going(desk, adding("test", Some(&view.id)))}>{ "Test" }</button> }
        }
        _ => Html::default(),
    }
}
