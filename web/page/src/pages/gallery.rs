//! Many pictures that were taken before: chosen or dropped, put in order, given their places, and taken in one by one.

mod hand;

use std::cell::RefCell;
use std::rc::Rc;

use garboard_protocol::{Choice, Looked, Trouble};
use yew::{
    Callback, Html, UseForceUpdateHandle, component, html, use_effect, use_effect_with,
    use_force_update, use_mut_ref,
};

use super::add::leave;
use super::part::{counted, size_words};
use super::shell::{PageProps, going};
use crate::browser::file::{self, Address, Files};
use crate::browser::media::can_ask;
use crate::browser::{event, locale};
use crate::components::{
    ProgressLineProps, STAGES, TroubleBoxProps, each, progress_line, trouble_box,
};
use crate::hooks::Desk;
use crate::json::Json;
use crate::moment::Moment;
use crate::runs::{Run, split};
use crate::state::Route;

/// How many of a run are shown before it is opened.
const N_SHOWN: usize = 3;

/// The screens are told so often while pictures come in.
const TELL_EVERY: usize = 20;

/// What lies on the tray.
#[derive(Default)]
struct Tray {
    files: Files,
    addresses: Vec<Option<Address>>,
    looked: Vec<Looked>,
    /// Whether a picture is to be taken in, and what came of it.
    fates: Vec<Fate>,
    runs: Vec<Run>,
    stage: String,
    /// The number of the ask while the pictures are being looked at.
    looking: Option<u32>,
    /// How many are taken in, of how many; while it runs.
    doing: Option<(usize, usize)>,
    must_stop: bool,
    /// Whether the screen was left; what is being taken in goes on.
    is_left: bool,
    trouble: Option<Trouble>,
    says: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Fate {
    Wanted,
    Left,
    Saved,
    Failed(String),
}

#[derive(Clone)]
struct Hand {
    desk: Desk,
    tray: Rc<RefCell<Tray>>,
    redraw: UseForceUpdateHandle,
}

/// Pictures taken before.
#[component]
pub(crate) fn Gallery(props: &PageProps) -> Html {
    let desk = &props.desk;
    let tray = use_mut_ref(Tray::default);
    let hand = Hand {
        desk: desk.clone(),
        tray: Rc::clone(&tray),
        redraw: use_force_update(),
    };
    {
        // What was dropped elsewhere was laid by for this screen.
        let hand = hand.clone();
        use_effect(move || {
            let is_free = hand.tray.borrow().doing.is_none();
            if is_free && let Some((files, place)) = file::take_laid_by() {
                hand.look(files, &place);
            }
        });
    }
    {
        let tray = Rc::clone(&tray);
        use_effect_with((), move |()| move || tray.borrow_mut().is_left = true);
    }
    let tray = tray.borrow();
    html! {
        <section class="sheet">
            <div class="sheet-head"><h1>{ "Pictures taken before" }</h1>{ leave(desk) }</div>
            <div class="sheet-body">
                if tray.looked.is_empty() && tray.looking.is_none() { { first(&hand) } }
                if let Some(trouble) = &tray.trouble { { trouble_box(&TroubleBoxProps { trouble: trouble.clone() }) } }
                { looking(&hand, &tray) }
                { table(&hand, &tray) }
                { refused(&tray) }
            </div>
            { foot(&hand, &tray) }
        </section>
    }
}

fn choosing(hand: &Hand, words: &'static str, class: &'static str) -> Html {
    let hand = hand.clone();
    let picked = event::picked(Callback::from(move |files: Files| hand.look(files, "")));
    html! { <label {class}>{ words }<input type="file" accept="image/*" multiple=true onchange={picked} /></label> }
}

fn first(hand: &Hand) -> Html {
    html! { <>
        <p class="lead">{ "Choose as many as you like, or drop them anywhere on this page. They are put in order by their own time, and go to the places that you say." }</p>
        <div>{ choosing(hand, "Choose pictures", "key main-key wide") }</div>
        <p class="small soft">{ "Nothing is taken in before you have seen them here. The pictures on the device stay where they are." }</p>
        if can_ask() {
            <section class="stack">
                <h2>{ "The camera in the page" }</h2>
                <p class="soft">{ "Many pictures in a row without leaving it, with the lamp where the phone lets a page switch it. The phone’s own camera takes the better picture." }</p>
                <div><button type="button" class="key" onclick={going(&hand.desk, Route::Camera { answers: None })}>{ "Use the camera in the page" }</button></div>
            </section>
        }
    </> }
}

fn looking(hand: &Hand, tray: &Tray) -> Html {
    let Some(number) = tray.looking else {
        return Html::default();
    };
    let progress = hand
        .desk
        .state
        .progress
        .iter()
        .find(|progress| progress.number == Some(number));
    let onstop = {
        let desk = hand.desk.clone();
        Callback::from(move |_: yew::MouseEvent| desk.stop(number))
    };
    html! {
        { progress_line(&ProgressLineProps {
            what: "Looking at the pictures".into(),
            done: progress.map_or(0, |progress| progress.done),
            of: progress.map_or_else(|| u32::try_from(tray.files.len()).unwrap_or(u32::MAX), |progress| progress.of),
            onstop: Some(onstop),
        }) }
    }
}

/// The places to choose from; blank stands for where the person works.
fn places(hand: &Hand, id: String, label: &str, chosen: &str, then: Callback<String>) -> Html {
    let state = &hand.desk.state;
    let here = state
        .working_at()
        .and_then(|at| at.place.as_ref())
        .map_or_else(
            || "no place".to_owned(),
            |place| format!("where I work: {}", place.path.join(" › ")),
        );
    let all: Vec<(String, &Choice)> = state.choices.as_ref().map_or_else(Vec::new, |choices| {
        choices
            .places
            .iter()
            .filter_map(|place| Some((Json::read(&place.raw)?.text()?.to_owned(), place)))
            .collect()
    });
    html! { <>
        <label class="unseen" for={id.clone()}>{ label.to_owned() }</label>
        <select {id} onchange={event::selected(then)}>
            <option value="" selected={chosen.is_empty()}>{ here }</option>
            { each(&all, &|(id, place)| html! { <option value={id.clone()} selected={id == chosen}>{ place.label.clone() }</option> }) }
        </select>
    </> }
}

fn table(hand: &Hand, tray: &Tray) -> Html {
    if tray.runs.is_empty() {
        return Html::default();
    }
    let to_all = {
        let hand = hand.clone();
        Callback::from(move |place: String| {
            hand.change(|tray| {
                for run in &mut tray.runs {
                    run.place.clone_from(&place);
                }
            });
        })
    };
    let on_stage = {
        let hand = hand.clone();
        event::selected(Callback::from(move |stage: String| {
            hand.change(|tray| tray.stage = stage);
        }))
    };
    let all_at = tray
        .runs
        .first()
        .map(|run| run.place.clone())
        .filter(|place| tray.runs.iter().all(|run| run.place == *place))
        .unwrap_or_default();
    html! { <>
        if tray.runs.len() > 1 {
            <div class="field"><span class="label">{ "All of them at" }</span>{ places(hand, "all-at".to_owned(), "All of them at", &all_at, to_all) }</div>
        }
        <div class="field">
            <label for="gallery-stage">{ "What of the work they show" }</label>
            <select id="gallery-stage" onchange={on_stage}>
                <option value="" selected={tray.stage.is_empty()}>{ "as it is" }</option>
                { for STAGES.iter().map(|stage| html! { <option value={*stage} selected={tray.stage == *stage}>{ *stage }</option> }) }
            </select>
        </div>
        <table class="ledger runs">
            <thead><tr><th scope="col">{ "Taken" }</th><th scope="col">{ "Goes to" }</th></tr></thead>
            <tbody>{ for tray.runs.iter().enumerate().map(|(idx, run)| row(hand, tray, idx, run)) }</tbody>
        </table>
    </> }
}

fn row(hand: &Hand, tray: &Tray, run_idx: usize, run: &Run) -> Html {
    let when = span(run);
    let on_place = {
        let hand = hand.clone();
        Callback::from(move |place: String| {
            hand.change(|tray| {
                if let Some(run) = tray.runs.get_mut(run_idx) {
                    run.place = place;
                }
            });
        })
    };
    let n_pictures = u32::try_from(run.pictures.len()).unwrap_or(u32::MAX);
    let n_of = |wanted: &Fate| {
        let fates = run.pictures.iter().filter_map(|idx| tray.fates.get(*idx));
        fates.filter(|fate| *fate == wanted).count()
    };
    let (n_wanted, n_saved) = (n_of(&Fate::Wanted), n_of(&Fate::Saved));
    let mut count = counted(n_pictures, "picture", "pictures");
    if n_saved > 0 {
        count.push_str(&format!(", {n_saved} taken in"));
    } else if n_wanted < run.pictures.len() {
        count.push_str(&format!(", {n_wanted} to be taken in"));
    }
    html! { <>
        <tr>
            <th scope="row">
                <span class="thing-name">{ when.clone() }</span>
                <span class="small soft">{ count }</span>
                <span class="run-pics">{ for run.pictures.iter().take(N_SHOWN).map(|idx| thumb(tray, *idx)) }</span>
            </th>
            <td>{ places(hand, format!("run-{run_idx}"), &format!("{when}: goes to"), &run.place, on_place) }</td>
        </tr>
        <tr class="run-open">
            <td colspan="2">
                <details>
                    <summary>{ "One by one" }<span class="unseen">{ format!(", {when}") }</span></summary>
                    <ul>{ for run.pictures.iter().enumerate().map(|(at, idx)| one(hand, tray, run_idx, at, *idx)) }</ul>
                </details>
            </td>
        </tr>
    </> }
}

fn thumb(tray: &Tray, idx: usize) -> Html {
    match tray.addresses.get(idx) {
        Some(Some(address)) => {
            html! { <img src={address.text().to_owned()} alt="" loading="lazy" decoding="async" /> }
        }
        _ => html! { <span class="run-none"></span> },
    }
}

fn one(hand: &Hand, tray: &Tray, run_idx: usize, at: usize, idx: usize) -> Html {
    let (Some(looked), Some(fate)) = (tray.looked.get(idx), tray.fates.get(idx)) else {
        return Html::default();
    };
    let flip = {
        let hand = hand.clone();
        Callback::from(move |_| {
            hand.change(|tray| {
                if let Some(fate) = tray.fates.get_mut(idx) {
                    *fate = match fate {
                        Fate::Wanted => Fate::Left,
                        Fate::Left | Fate::Failed(_) => Fate::Wanted,
                        Fate::Saved => Fate::Saved,
                    };
                }
            });
        })
    };
    let part = {
        let hand = hand.clone();
        Callback::from(move |_| {
            hand.change(|tray| {
                let looked = std::mem::take(&mut tray.looked);
                split(&mut tray.runs, run_idx, at, &looked);
                tray.looked = looked;
            });
        })
    };
    let mut notes: Vec<String> = Vec::new();
    if looked.known.is_some() {
        notes.push("in the log already".to_owned());
    }
    if let Some(twin) = looked.twin_of {
        let name = usize::try_from(twin)
            .ok()
            .and_then(|twin| tray.looked.get(twin))
            .map_or("another", |one| one.name.as_str());
        notes.push(format!("the same picture as {name}"));
    }
    match fate {
        Fate::Saved => notes.push("taken in and saved".to_owned()),
        Fate::Failed(why) => notes.push(why.clone()),
        Fate::Wanted | Fate::Left => {}
    }
    html! {
        <li class="run-one">
            <label class="tickbox">
                <input type="checkbox" checked={*fate == Fate::Wanted} disabled={*fate == Fate::Saved || tray.doing.is_some()} onclick={flip} />
                { thumb(tray, idx) }
                <span>
                    <span class="run-name">{ looked.name.clone() }</span>
                    <span class="small soft">{ size_words(looked.n_bytes) }</span>
                    if !notes.is_empty() { <strong class="small">{ notes.join("; ") }</strong> }
                </span>
            </label>
            if at > 0 && tray.doing.is_none() { <button type="button" class="link" onclick={part}>{ "From here on another place" }<span class="unseen">{ format!(", from {}", looked.name) }</span></button> }
        </li>
    }
}

/// When a run was taken: "9 May 2026, 14:22 to 14:50".
fn span(run: &Run) -> String {
    let Some(first) = Moment::read(&run.first) else {
        return "No time of their own".to_owned();
    };
    let clock = |text: &str| Moment::read(text).and_then(|moment| moment.clock());
    let day = locale::short_day(&first);
    match (clock(&run.first), clock(&run.last)) {
        (Some(from), Some(to)) if from != to => format!("{day}, {from} to {to}"),
        (Some(from), _) => format!("{day}, {from}"),
        _ => day,
    }
}

/// What is no picture.
fn refused(tray: &Tray) -> Html {
    let refused: Vec<&Looked> = tray
        .looked
        .iter()
        .filter(|one| !one.refused.is_empty())
        .collect();
    if refused.is_empty() {
        return Html::default();
    }
    html! {
        <div class="notice">
            <p><strong>{ format!("{} cannot be taken in", counted(u32::try_from(refused.len()).unwrap_or(u32::MAX), "file", "files")) }</strong></p>
            <ul>{ each(&refused, &|one| html! { <li class="small">{ format!("{}: {}", one.name, one.refused) }</li> }) }</ul>
        </div>
    }
}

fn foot(hand: &Hand, tray: &Tray) -> Html {
    if tray.looked.is_empty() {
        return Html::default();
    }
    let n_wanted = tray
        .fates
        .iter()
        .filter(|fate| **fate == Fate::Wanted)
        .count();
    let words = u32::try_from(n_wanted).unwrap_or(u32::MAX);
    let take = {
        let hand = hand.clone();
        Callback::from(move |_| hand.begin())
    };
    let stop = {
        let hand = hand.clone();
        Callback::from(move |_: yew::MouseEvent| hand.change(|tray| tray.must_stop = true))
    };
    html! {
        <div class="sheet-foot">
            if !tray.says.is_empty() { <p role="status">{ tray.says.clone() }</p> }
            if let Some((done, of)) = tray.doing {
                { progress_line(&ProgressLineProps { what: "Taking in pictures".into(), done: u32::try_from(done).unwrap_or(u32::MAX), of: u32::try_from(of).unwrap_or(u32::MAX), onstop: Some(stop) }) }
            } else {
                if n_wanted > 0 { <button type="button" class="key main-key" onclick={take}>{ format!("Take in {}", counted(words, "picture", "pictures")) }</button> }
                <div class="rowed">
                    { choosing(hand, "Choose others", "key") }
                    if tray.fates.contains(&Fate::Saved) { <button type="button" class="key" onclick={going(&hand.desk, Route::Log)}>{ "To the log" }</button> }
                </div>
            }
        </div>
    }
}

/// A way here from the log.
pub(super) fn way_in(desk: &Desk) -> Html {
    if !desk.state.can_write() {
        return Html::default();
    }
    html! { <p class="way-in"><button type="button" class="link" onclick={going(desk, Route::Gallery)}>{ "Pictures taken before, and other ways" }</button></p> }
}
