//! Sending, receiving, the dossier, who writes here, and this device.

mod check;
mod device;
mod dossier;
mod parcel;

use garboard_protocol::{Answer, Ask, DeviceCard};
use yew::{Callback, Html, component, html, use_state};

use super::part::counted;
use super::shell::PageProps;
use crate::browser::{file::Files, locale};
use crate::components::{ProgressLineProps, TroubleBoxProps, each, progress_line, trouble_box};
use crate::hooks::{AskedFor, Desk, use_asked};

pub(super) use device::light_keys;
pub(super) use parcel::receive;

/// Sharing.
#[component]
pub(crate) fn Share(props: &PageProps) -> Html {
    let desk = &props.desk;
    html! {
        <article class="page">
            <header class="page-head"><p class="page-kind">{ desk.state.opened.as_ref().map(|opened| opened.boat.clone()) }</p><h1>{ "Share" }</h1></header>
            <parcel::Send desk={desk.clone()} />
            if desk.state.can_write() { <parcel::Take desk={desk.clone()} /> }
            <dossier::Dossier desk={desk.clone()} />
            <Hands desk={desk.clone()} />
            <check::Check desk={desk.clone()} />
            <device::Device desk={desk.clone()} />
        </article>
    }
}

/// The hands and devices that write in this log.
#[component]
fn Hands(props: &PageProps) -> Html {
    let asked = use_asked(&props.desk, Ask::Devices);
    html! {
        <section class="part">
            <h2>{ "Hands and devices" }</h2>
            { match asked {
                AskedFor::Waiting => html! { <p role="status">{ "Reading…" }</p> },
                AskedFor::Trouble(trouble) => html! { { trouble_box(&TroubleBoxProps { trouble: (*trouble).clone() }) } },
                AskedFor::Here(answer) => match &*answer {
                    Answer::Devices(cards) => html! { <ul class="things">{ each(cards, &hand) }</ul> },
                    _ => Html::default(),
                },
            } }
        </section>
    }
}

fn hand(card: &DeviceCard) -> Html {
    let mut more = vec![counted(card.n_written, "statement", "statements")];
    if card.is_this {
        more.push("this device".to_owned());
    } else if card.last_parcel.is_empty() {
        more.push("no parcel came from it yet".to_owned());
    } else {
        more.push(format!(
            "last parcel {}",
            locale::written(&card.last_parcel)
        ));
    }
    if card.n_lacks > 0 && !card.is_this {
        more.push(format!(
            "is not known to have {}",
            counted(card.n_lacks, "statement", "statements")
        ));
    }
    if !card.key.is_empty() {
        more.push(format!("signs with the key {}", card.key));
    }
    html! {
        <li><div class="thing">
            <span class="thing-name">{ format!("{}, {}", card.hand, card.name) }</span>
            <span class="thing-more">{ more.join(" · ") }</span>
        </div></li>
    }
}

/// Files that are ready to leave.
#[derive(Clone, PartialEq)]
pub(super) struct Ready {
    pub(super) files: Files,
    pub(super) names: Vec<String>,
    pub(super) title: String,
}

#[derive(yew::Properties, PartialEq)]
pub(super) struct OutwardProps {
    pub(super) desk: Desk,
    pub(super) ready: Ready,
    /// Whether a browser tab can show it.
    #[prop_or_default]
    pub(super) can_open: bool,
}

/// The ways out: the share sheet where there is one, and a download.
#[component]
pub(super) fn Outward(props: &OutwardProps) -> Html {
    let OutwardProps {
        desk,
        ready,
        can_open,
    } = props;
    let can_share = ready.files.can_be_shared(&ready.names);
    let told = |desk: &Desk, what: &'static str| {
        let desk = desk.clone();
        move |outcome: Result<(), crate::browser::Error>| {
            if let Err(error) = outcome {
                desk.warn(
                    what,
                    format!(
                        "The browser said: {}. The file is still here: try another way.",
                        error.0
                    ),
                );
            }
        }
    };
    let share = {
        let (ready, done) = (ready.clone(), told(desk, "It was not sent"));
        Callback::from(move |_| {
            let (ready, done) = (ready.clone(), done.clone());
            wasm_bindgen_futures::spawn_local(async move {
                done(ready.files.share(&ready.names, &ready.title).await);
            });
        })
    };
    let save = {
        let (ready, done) = (ready.clone(), told(desk, "It was not saved"));
        Callback::from(move |_| done(ready.files.download(&ready.names)))
    };
    let open = {
        let (ready, done) = (ready.clone(), told(desk, "It was not opened"));
        Callback::from(move |_| done(ready.files.open()))
    };
    html! {
        <div class="rowed">
            if can_share { <button type="button" class="key main-key" onclick={share}>{ "Send…" }</button> }
            <button type="button" class={if can_share { "key" } else { "key main-key" }} onclick={save}>{ "Save the file" }</button>
            if *can_open { <button type="button" class="key" onclick={open}>{ "Look at it" }</button> }
        </div>
    }
}

/// How far the long work with this number is, with a way to stop it.
pub(super) fn far(desk: &Desk, number: Option<u32>, what: &'static str) -> Html {
    let Some(number) = number else {
        return Html::default();
    };
    let progress = desk
        .state
        .progress
        .iter()
        .find(|progress| progress.number == Some(number));
    let (words, done, of) = progress.map_or((what.to_owned(), 0, 0), |progress| {
        (progress.what.clone(), progress.done, progress.of)
    });
    let stop = desk.clone();
    html! { { progress_line(&ProgressLineProps { what: words.into(), done, of, onstop: Some(Callback::from(move |_| stop.stop(number))) }) } }
}

/// The state of a piece of long work.
#[yew::hook]
pub(super) fn use_long<T: Clone + PartialEq + 'static>() -> yew::UseStateHandle<Long<T>> {
    use_state(|| Long::Idle)
}

/// A piece of long work.
#[derive(Clone, PartialEq)]
pub(super) enum Long<T> {
    /// Not asked for.
    Idle,
    /// On its way, with the number of the ask.
    Busy(u32),
    /// Done.
    Done(T),
    /// Not done.
    Failed(garboard_protocol::Trouble),
}

impl<T> Long<T> {
    pub(super) fn number(&self) -> Option<u32> {
        match self {
            Self::Busy(number) => Some(*number),
            _ => None,
        }
    }

    pub(super) fn trouble(&self) -> Option<&garboard_protocol::Trouble> {
        match self {
            Self::Failed(trouble) if trouble.kind != garboard_protocol::TroubleKind::Stopped => {
                Some(trouble)
            }
            _ => None,
        }
    }
}
