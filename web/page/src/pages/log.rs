//! The running page: newest first, a day at a time, with a sieve and a search.

mod moving;

use garboard_protocol::{Choice, Filter, TroubleKind};
use yew::{Callback, Html, UseStateHandle, component, html, use_state};

use super::part::{Picking, counted, device_word, pick_list, row_list};
use super::shell::PageProps;
use crate::browser::{event, locale, memory};
use crate::components::{ProgressLineProps, each, progress_line};
use crate::hooks::Desk;
use crate::json::Json;
use crate::moment::Moment;
use crate::state::{Action, Pending, by_day, rest_of};

/// The running page.
#[component]
pub(crate) fn Log(props: &PageProps) -> Html {
    let desk = &props.desk;
    let state = &desk.state;
    let is_sieve_open = use_state(|| false);
    let picked = use_state(|| None::<moving::Chosen>);
    let not_now = use_state(|| memory::recall("alone.not-now"));
    let filter = &state.filter;
    let is_sifted = *filter != Filter::default();
    html! {
        <section class="page-log" aria-label="Log">
            <h1 class="unseen">{ "Log" }</h1>
            <div class="sift">
                <div class="sift-head">
                    <input type="search" placeholder="Search all words" aria-label="Search all words" value={filter.words.clone()}
                        oninput={event::typed(sifting(desk, |filter, words| filter.words = words))} />
                    <button type="button" class="link" aria-expanded={is_sieve_open.to_string()} onclick={
                        let is_sieve_open = is_sieve_open.clone();
                        Callback::from(move |_| is_sieve_open.set(!*is_sieve_open))
                    }>{ "Filter" }</button>
                </div>
                if *is_sieve_open {
                    { sieve(desk) }
                    if state.can_write() && picked.is_none() { { moving::bar(desk, &picked) } }
                }
                if is_sifted {
                    <div class="sift-says">
                        <p class="small">{ sift_words(desk) }</p>
                        <button type="button" class="link" onclick={
                            let desk = desk.clone();
                            Callback::from(move |_| desk.dispatch(Action::Sift(Filter::default())))
                        }>{ "Show all" }</button>
                    </div>
                }
            </div>
            { for state.progress.iter().filter(|progress| progress.number.is_none()).map(|progress| html! {
                <div class="fresh">{ progress_line(&ProgressLineProps { what: progress.what.clone().into(), done: progress.done, of: progress.of, onstop: Default::default() }) }</div>
            }) }
            { each(&state.pending, &|pending| pending_row(desk, pending)) }
            if !is_sifted { { differing(desk) } { alone(desk, &not_now) }{ super::gallery::way_in(desk) } }
            if picked.is_some() { { moving::bar(desk, &picked) } }
            <div class="log">{ days(desk, is_sifted, moving::picking(&picked).as_ref()) }</div>
        </section>
    }
}

/// More statements than this on one device only are worth a word.
const ALONE: u32 = 12;

/// A gentle word about work that exists on one device only; put away for the day by a touch.
fn alone(desk: &Desk, not_now: &UseStateHandle<String>) -> Html {
    let Some(opened) = desk
        .state
        .opened
        .as_ref()
        .filter(|opened| !opened.is_demo && opened.n_alone >= ALONE)
    else {
        return Html::default();
    };
    let today = locale::today();
    if **not_now == today {
        return Html::default();
    }
    let onclick = {
        let not_now = not_now.clone();
        Callback::from(move |_| {
            memory::keep("alone.not-now", &today);
            not_now.set(today.clone());
        })
    };
    let sent = if opened.last_sent.is_empty() {
        "This log was never sent anywhere else.".to_owned()
    } else {
        format!(
            "It was last sent on {}.",
            locale::written(&opened.last_sent)
        )
    };
    html! {
        <div class="fresh">
            <p>{ format!("{} on {} only. {sent}", counted(opened.n_alone, "statement is", "statements are"), device_word(desk)) }</p>
            <div class="rowed">
                <button type="button" class="key" onclick={super::shell::going(desk, crate::state::Route::Share)}>{ "Send a parcel" }</button>
                <button type="button" class="link" {onclick}>{ "Not today" }</button>
            </div>
        </div>
    }
}

/// Where hands differ, and a way there.
fn differing(desk: &Desk) -> Html {
    let n_disputes = desk
        .state
        .opened
        .as_ref()
        .map_or(0, |opened| opened.n_disputes);
    if n_disputes == 0 || desk.state.is_wide {
        return Html::default();
    }
    html! {
        <div class="fresh">
            <button type="button" class="link" onclick={super::shell::going(desk, crate::state::Route::Differences)}>{ format!("{} two hands: choose", counted(n_disputes, "field was written differently by", "fields were written differently by")) }</button>
        </div>
    }
}

fn days(desk: &Desk, is_sifted: bool, picking: Option<&Picking>) -> Html {
    let state = &desk.state;
    let Some(rows) = &state.rows else {
        return html! { <div class="empty" role="status"><p>{ "Reading the log…" }</p></div> };
    };
    if rows.rows.is_empty() {
        return if is_sifted {
            html! { <div class="empty"><h2>{ "Nothing fits" }</h2><p>{ "No entry has all of that. Take away a word or a filter." }</p></div> }
        } else {
            empty(desk)
        };
    }
    let n_shown = u32::try_from(rows.rows.len()).unwrap_or(u32::MAX);
    let n_more = rows.n_all.saturating_sub(n_shown);
    html! { <>
        { for by_day(&rows.rows).into_iter().map(|day| {
            let label = Moment::read(day.date).map_or_else(|| day.date.to_owned(), |moment| locale::day(&moment));
            html! {
                <section key={format!("{}-{}", day.date, day.rows.first().map(|row| row.id.clone()).unwrap_or_default())}>
                    <h2 class="day">{ label }</h2>
                    { match picking { Some(picking) => pick_list(desk, &day.rows, picking), None => row_list(desk, &day.rows, false) } }
                </section>
            }
        }) }
        if n_more > 0 {
            <div class="empty">
                <button type="button" class="key" onclick={
                    let desk = desk.clone();
                    Callback::from(move |_| desk.dispatch(Action::Deeper))
                }>{ format!("Earlier entries ({n_more} more)") }</button>
            </div>
        }
    </> }
}

fn empty(desk: &Desk) -> Html {
    html! {
        <div class="empty">
            <h2>{ "Nothing written yet" }</h2>
            <p>{ "Open something up and shoot it before you touch it: that picture cannot be taken later." }</p>
            <p class="soft">{ format!("Everything you capture goes to the place named above. It is kept on {}; nothing is sent anywhere.", device_word(desk)) }</p>
        </div>
    }
}

fn pending_row(desk: &Desk, pending: &Pending) -> Html {
    let number = pending.number;
    match &pending.trouble {
        None => html! {
            <div class="fresh" role="status" key={number}><p>{ format!("{}: being saved…", pending.words) }</p></div>
        },
        Some(trouble) => {
            let (retry, aside, let_go) = (desk.clone(), desk.clone(), desk.clone());
            let words = pending.words.clone();
            // The same bytes are refused again for the same reason.
            let can_help = !matches!(
                trouble.kind,
                TroubleKind::BadFile | TroubleKind::Mistake | TroubleKind::Unable
            );
            html! {
                <div class="fresh" role="alert" key={number}>
                    <p class="row-saved unsaved">{ format!("{}: not saved", pending.words) }</p>
                    <p>{ trouble.happened.clone() }</p>
                    <p class="soft">{ rest_of(trouble) }</p>
                    <div class="rowed">
                        if can_help {
                            <button type="button" class="key main-key" onclick={Callback::from(move |_| retry.retry(number, &words))}>{ "Try again" }</button>
                        }
                        <button type="button" class="link" onclick={Callback::from(move |_| aside.save_aside(number))}>{ "Save it as a file" }</button>
                        <button type="button" class="link" onclick={Callback::from(move |_| let_go.let_go(number))}>{ if can_help { "Let it go" } else { "Put away" } }</button>
                    </div>
                </div>
            }
        }
    }
}

/// Changes one part of the filter.
fn sifting(desk: &Desk, change: impl Fn(&mut Filter, String) + 'static) -> Callback<String> {
    let desk = desk.clone();
    Callback::from(move |value| {
        let mut filter = desk.state.filter.clone();
        change(&mut filter, value);
        desk.dispatch(Action::Sift(filter));
    })
}

/// An id out of a choice's JSON; `None` when it is blank.
fn id_of(raw: &str) -> Option<String> {
    Json::read(raw)?.text().map(str::to_owned)
}

fn sieve(desk: &Desk) -> Html {
    let Some(choices) = desk.state.choices.clone() else {
        return html! { <p class="sift-says">{ "Reading…" }</p> };
    };
    let filter = &desk.state.filter;
    let kinds: Vec<Choice> = choices
        .forms
        .iter()
        .map(|form| Choice {
            raw: crate::json::string(&form.kind),
            label: form.title.clone(),
            note: String::new(),
        })
        .collect();
    html! {
        <div class="sift-body">
            { list("Place", &choices.places, filter.place.as_deref(), sifting(desk, |filter, raw| filter.place = id_of(&raw))) }
            { list("Kind", &kinds, filter.kinds.first().map(String::as_str), sifting(desk, |filter, raw| filter.kinds = id_of(&raw).into_iter().collect())) }
            { list("Hand", &choices.hands, filter.hand.as_deref(), sifting(desk, |filter, raw| filter.hand = id_of(&raw))) }
            { list("Finding", &choices.findings, filter.finding.as_deref(), sifting(desk, |filter, raw| filter.finding = id_of(&raw))) }
            { list("Repair", &choices.repairs, filter.repair.as_deref(), sifting(desk, |filter, raw| filter.repair = id_of(&raw))) }
            <button type="button" class="choice" aria-pressed={filter.only_disputed.to_string()} onclick={
                let sift = sifting(desk, |filter, _| filter.only_disputed = !filter.only_disputed);
                sift.reform(|_| String::new())
            }>{ "Only where hands differ" }</button>
        </div>
    }
}

fn list(
    label: &'static str,
    choices: &[Choice],
    chosen: Option<&str>,
    then: Callback<String>,
) -> Html {
    if choices.is_empty() {
        return Html::default();
    }
    let chosen = chosen.map(crate::json::string).unwrap_or_default();
    html! {
        <div class="field">
            <label for={format!("sift-{label}")}>{ label }</label>
            <select id={format!("sift-{label}")} onchange={event::selected(then)}>
                <option value="" selected={chosen.is_empty()}>{ "any" }</option>
                { each(choices, &|choice| html! {
                    <option value={choice.raw.clone()} selected={choice.raw == chosen}>
                        { if choice.note.is_empty() { choice.label.clone() } else { format!("{} · {}", choice.label, choice.note) } }
                    </option>
                }) }
            </select>
        </div>
    }
}

fn sift_words(desk: &Desk) -> String {
    match &desk.state.rows {
        Some(rows) => format!("{} shown", counted(rows.n_all, "entry", "entries")),
        None => "Looking…".to_owned(),
    }
}
