//! Before a log is open: begin one, open a parcel, look at the demonstration boat, or go on with one that is here.

use garboard_protocol::{Ask, LogCard};
use yew::{Callback, Html, component, html, use_state};

use super::part::counted;
use super::share::light_keys;
use super::shell::PageProps;
use crate::browser::{address, event, file::Files, locale};
use crate::components::{
    Drawing, IconProps, NoticeBarProps, ProgressLineProps, each, icon, notice_bar, progress_line,
};
use crate::hooks::Desk;
use crate::state::Action;

/// The first screen.
#[component]
pub(crate) fn Start(props: &PageProps) -> Html {
    let desk = &props.desk;
    let boat = use_state(String::new);
    let hand = use_state(String::new);
    let parcel_hand = use_state(String::new);
    let wrong = use_state(|| None::<&'static str>);
    let busy = use_state(|| None::<&'static str>);
    let light = use_state(|| 0_u32);

    let free = {
        let busy = busy.clone();
        Callback::from(move |()| busy.set(None))
    };
    let begin = {
        let (desk, boat, hand, wrong, busy, free) = (
            desk.clone(),
            boat.clone(),
            hand.clone(),
            wrong.clone(),
            busy.clone(),
            free.clone(),
        );
        Callback::from(move |()| {
            if boat.trim().is_empty() {
                wrong.set(Some("boat"));
            } else if hand.trim().is_empty() {
                wrong.set(Some("hand"));
            } else {
                wrong.set(None);
                busy.set(Some("Beginning the log"));
                let ask = Ask::Begin {
                    boat: boat.trim().to_owned(),
                    hand: hand.trim().to_owned(),
                    device: own_name(&desk),
                };
                desk.open(ask, &Files::default(), free.clone());
            }
        })
    };
    let demo = {
        let (desk, busy, free) = (desk.clone(), busy.clone(), free.clone());
        Callback::from(move |_| {
            busy.set(Some("Making the demonstration boat"));
            desk.open(Ask::OpenDemo, &Files::default(), free.clone());
        })
    };
    let receive = {
        let (desk, parcel_hand, busy, free) = (
            desk.clone(),
            parcel_hand.clone(),
            busy.clone(),
            free.clone(),
        );
        Callback::from(move |files: Files| {
            busy.set(Some("Reading the parcel"));
            super::share::receive(&desk, parcel_hand.trim(), &files, free.clone());
        })
    };
    let state = &desk.state;
    let set = |target: &yew::UseStateHandle<String>| {
        let target = target.clone();
        event::typed(Callback::from(move |text| target.set(text)))
    };
    html! {
        <main class="start">
            { super::shell::newer(desk) }
            { notice_bar(&NoticeBarProps { notices: state.notices.clone(), onaway: putting_away(desk), onopen: Callback::noop() }) }
            <header class="start-head">
                { icon(&IconProps { drawing: Drawing::Keel }) }
                <div>
                    <h1>{ "Garboard" }</h1>
                    <p class="soft">{ "A field log for people who open up an old boat." }</p>
                </div>
            </header>
            if let Some(what) = *busy {
                { each(&state.progress, &|progress| html! { { progress_line(&ProgressLineProps { what: progress.what.clone().into(), done: progress.done, of: progress.of, onstop: Default::default() }) } }) }
                if state.progress.is_empty() { { progress_line(&ProgressLineProps { what: what.into(), done: 0, of: 0, onstop: Default::default() }) } }
            } else {
                { logs(desk, &busy, &free) }
                <section>
                    <h2>{ "Begin a log" }</h2>
                    <form class="stack" onsubmit={event::submitted(begin)} novalidate=true>
                        <div class="field">
                            <label for="boat">{ "The boat's name" }</label>
                            <input id="boat" type="text" autocomplete="off" value={(*boat).clone()} oninput={set(&boat)} aria-invalid={(*wrong == Some("boat")).then_some("true")} />
                            if *wrong == Some("boat") { <p class="wrong" role="alert">{ "Give the boat a name; it can be amended later." }</p> }
                        </div>
                        <div class="field">
                            <label for="hand">{ "Your name, as it stands in the margin" }</label>
                            <input id="hand" type="text" autocomplete="given-name" value={(*hand).clone()} oninput={set(&hand)} aria-invalid={(*wrong == Some("hand")).then_some("true")} />
                            if *wrong == Some("hand") { <p class="wrong" role="alert">{ "Every entry says whose hand wrote it: give yours." }</p> }
                        </div>
                        <button type="submit" class="key main-key">{ "Begin the log" }</button>
                    </form>
                </section>
                <section>
                    <h2>{ "Open a parcel" }</h2>
                    <p>{ "Someone sent you their boat's log as a file. It is read here, on this device, and joined with what is here already." }</p>
                    <div class="field">
                        <label for="parcel-hand">{ "Your name, if the log is new here" }</label>
                        <input id="parcel-hand" type="text" autocomplete="given-name" value={(*parcel_hand).clone()} oninput={set(&parcel_hand)} />
                    </div>
                    <label class="key">{ "Choose the parcel" }<input type="file" multiple=true onchange={event::picked(receive)} /></label>
                </section>
                <section>
                    <h2>{ "Look around first" }</h2>
                    <p>{ "An invented boat with a season of findings and repairs. Write in it as you like." }</p>
                    <button type="button" class="key" onclick={demo}>{ "Open the demonstration boat" }</button>
                </section>
                <section>
                    <h2>{ "Light" }</h2>
                    { light_keys(&light) }
                </section>
                <p class="soft small">{ "Works with no network once it has been opened. Nothing leaves this device unless you send it. Garboard keeps a record; it is no survey and no advice: product data sheets, local codes and licensed trades come first." }</p>
            }
        </main>
    }
}

/// What this device is called, where the keeper's own word for it would be wrong.
fn own_name(desk: &Desk) -> String {
    if desk.state.is_wide {
        "computer".to_owned()
    } else {
        String::new()
    }
}

fn putting_away(desk: &Desk) -> Callback<u32> {
    let desk = desk.clone();
    Callback::from(move |number| desk.dispatch(Action::PutAway(number)))
}

fn logs(
    desk: &Desk,
    busy: &yew::UseStateHandle<Option<&'static str>>,
    free: &Callback<()>,
) -> Html {
    // Until the keeper has looked, room is kept for what a newcomer is told, so that nothing moves under the thumb.
    let is_known = desk.state.logs.is_some();
    let logs = desk.state.logs.clone().unwrap_or_default();
    if logs.is_empty() {
        return html! {
            <p class={yew::classes!("soft", "small", (!is_known).then_some("unseen"))}>{ format!("No log is kept here yet. What is written at {} stays in this browser, at this address: a log begun in another browser, in a private window or at another address is kept there.", address::origin()) }</p>
        };
    }
    html! {
        <section>
            <h2>{ "On this device" }</h2>
            <ul class="things">
                { each(&logs, &|card| {
                    let (desk, busy, free) = (desk.clone(), busy.clone(), free.clone());
                    let log = card.log.clone();
                    let onclick = Callback::from(move |_| {
                        busy.set(Some("Opening the log"));
                        desk.open(Ask::Open { log: log.clone() }, &Files::default(), free.clone());
                    });
                    html! {
                        <li><button type="button" class="thing" {onclick}>
                            <span class="thing-name">{ card.boat.clone() }</span>
                            <span class="thing-more">{ card_words(card) }</span>
                            <span class="thing-end">{ "Open" }</span>
                        </button></li>
                    }
                }) }
            </ul>
        </section>
    }
}

fn card_words(card: &LogCard) -> String {
    let demo = if card.is_demo {
        " · demonstration"
    } else {
        ""
    };
    format!(
        "{} · {} · last written {}{demo}",
        card.hand,
        counted(card.n_statements, "statement", "statements"),
        locale::written(&card.written)
    )
}
