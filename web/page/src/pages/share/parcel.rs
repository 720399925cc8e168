//! Parcels: made and sent, received and told of.

use garboard_protocol::{
    Answer, Ask, DeviceCard, ParcelMade, ParcelScope, PictureSize, Received, ReceivedLine,
};
use yew::{Callback, Html, Properties, component, html, use_state};

use super::{Long, Outward, Ready, far, use_long};
use crate::browser::{address, event, file::Files};
use crate::components::{TroubleBoxProps, each, trouble_box};
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::pages::part::{counted, size_words};
use crate::pages::shell::{PageProps, going};
use crate::state::{Action, Route};

/// What pictures go along: the value, the size, the words.
const SIZES: [(&str, Option<PictureSize>, &str); 4] = [
    (
        "views",
        Some(PictureSize::View),
        "Pictures to look at (2048 px)",
    ),
    (
        "originals",
        Some(PictureSize::Original),
        "Originals too: everything, and large",
    ),
    (
        "thumbnails",
        Some(PictureSize::Thumbnail),
        "Small pictures only",
    ),
    ("none", None, "No pictures"),
];

/// Makes a parcel and lets it out.
#[component]
pub(super) fn Send(props: &PageProps) -> Html {
    let desk = &props.desk;
    let devices = use_asked(desk, Ask::Devices);
    let to = use_state(String::new);
    let size = use_state(|| "views".to_owned());
    let work = use_long::<(ParcelMade, Ready)>();
    let others: Vec<DeviceCard> = match &devices {
        AskedFor::Here(answer) => match &**answer {
            Answer::Devices(cards) => cards.iter().filter(|card| !card.is_this).cloned().collect(),
            _ => Vec::new(),
        },
        _ => Vec::new(),
    };
    let make = {
        let (desk, to, size, work) = (desk.clone(), to.clone(), size.clone(), work.clone());
        Callback::from(move |_| {
            let scope = if to.is_empty() {
                ParcelScope::Whole
            } else {
                ParcelScope::Lacking {
                    device: (*to).clone(),
                }
            };
            let pictures = SIZES
                .iter()
                .find(|(name, ..)| **name == **size)
                .and_then(|(_, size, _)| *size);
            let done = work.clone();
            let ended = desk.clone();
            let number = desk.ask(
                Ask::MakeParcel { scope, pictures },
                &Files::default(),
                move |outcome| match outcome {
                    Ok((Answer::Parcel(made), files)) => {
                        let ready = Ready {
                            files,
                            names: made.names.clone(),
                            title: "A parcel for Garboard".to_owned(),
                        };
                        done.set(Long::Done((made, ready)));
                    }
                    Ok(_) => done.set(Long::Idle),
                    Err(trouble) => {
                        ended.dispatch(Action::Touched);
                        done.set(Long::Failed(trouble));
                    }
                },
            );
            work.set(Long::Busy(number));
        })
    };
    let choose = |target: &yew::UseStateHandle<String>| {
        let (target, work) = (target.clone(), work.clone());
        event::selected(Callback::from(move |value| {
            work.set(Long::Idle);
            target.set(value);
        }))
    };
    html! {
        <section class="part stack">
            <h2>{ "Send a parcel" }</h2>
            <p>{ "A parcel is a file with the log's entries and pictures. The other device joins it with its own log; nothing is lost when both have written." }</p>
            if !others.is_empty() {
                <div class="field">
                    <label for="parcel-to">{ "What goes in" }</label>
                    <select id="parcel-to" onchange={choose(&to)}>
                        <option value="" selected={to.is_empty()}>{ "The whole log" }</option>
                        { each(&others, &|card| html! {
                            <option value={card.id.clone()} selected={*to == card.id}>{ format!("Only what {} ({}) lacks", card.name, card.hand) }</option>
                        }) }
                    </select>
                </div>
            }
            <div class="field">
                <label for="parcel-size">{ "Pictures" }</label>
                <select id="parcel-size" onchange={choose(&size)}>
                    { each(&SIZES, &|(name, _, words)| html! { <option value={*name} selected={**size == **name}>{ *words }</option> }) }
                </select>
            </div>
            { far(desk, work.number(), "Packing the parcel") }
            if let Some(trouble) = work.trouble() { { trouble_box(&TroubleBoxProps { trouble: trouble.clone() }) } }
            { match &*work {
                Long::Busy(_) => Html::default(),
                Long::Done((made, ready)) => html! {
                    <div class="notice" role="status">
                        <p><strong>{ format!("The parcel is ready: {}, {}, {}.", counted(made.n_statements, "statement", "statements"), counted(made.n_pictures, "picture", "pictures"), size_words(made.n_bytes)) }</strong></p>
                        <p>{ made.says.clone() }</p>
                        <p class="small soft">{ made.names.join(", ") }</p>
                        <Outward desk={desk.clone()} ready={ready.clone()} />
                    </div>
                },
                _ => html! { <div><button type="button" class="key main-key" onclick={make}>{ "Make the parcel" }</button></div> },
            } }
        </section>
    }
}

/// Takes in a parcel.
#[component]
pub(super) fn Take(props: &PageProps) -> Html {
    let desk = &props.desk;
    let work = use_long::<Received>();
    let take = {
        let (desk, work) = (desk.clone(), work.clone());
        Callback::from(move |files: Files| {
            let (done, ended) = (work.clone(), desk.clone());
            let ask = Ask::Receive {
                hand: String::new(),
                device: if desk.state.is_wide {
                    "computer".to_owned()
                } else {
                    String::new()
                },
            };
            let number = desk.ask(ask, &files, move |outcome| match outcome {
                Ok((Answer::Received(received), _)) => {
                    done.set(Long::Done(received));
                    after(&ended);
                }
                Ok(_) => done.set(Long::Idle),
                Err(trouble) => done.set(Long::Failed(trouble)),
            });
            work.set(Long::Busy(number));
        })
    };
    html! {
        <section class="part stack">
            <h2>{ "Receive a parcel" }</h2>
            <p>{ "Every digest in it is checked first. Then all of it is joined with this log, or nothing is." }</p>
            { far(desk, work.number(), "Reading the parcel") }
            if let Some(trouble) = work.trouble() { { trouble_box(&TroubleBoxProps { trouble: trouble.clone() }) } }
            if let Long::Done(received) = &*work { <Came desk={desk.clone()} received={received.clone()} /> }
            if work.number().is_none() {
                <div><label class="key">{ "Choose the parcel" }<input type="file" multiple=true onchange={event::picked(take)} /></label></div>
            }
        </section>
    }
}

#[derive(Properties, PartialEq)]
struct CameProps {
    desk: Desk,
    received: Received,
}

/// What came, by kind and by hand.
#[component]
fn Came(props: &CameProps) -> Html {
    let CameProps { desk, received } = props;
    let lines = |title: &'static str, lines: &[ReceivedLine]| {
        if lines.is_empty() {
            return Html::default();
        }
        html! {
            <table class="ledger">
                <thead><tr><th scope="col">{ title }</th><th scope="col" class="num">{ "New" }</th></tr></thead>
                <tbody>{ each(lines, &|line| html! { <tr><th scope="row">{ line.word.clone() }</th><td class="num">{ line.n }</td></tr> }) }</tbody>
            </table>
        }
    };
    html! {
        <div class="notice" role="status">
            <p><strong>{ came_words(received) }</strong></p>
            <p>{ format!("{}; {} were here already.", counted(received.n_pictures, "new picture", "new pictures"), counted(received.n_known, "statement", "statements")) }</p>
            { lines("By hand", &received.by_hand) }
            { lines("By kind", &received.by_kind) }
            if !received.disputes.is_empty() {
                <p><strong>{ format!("{} written differently by two hands:", counted(u32::try_from(received.disputes.len()).unwrap_or(u32::MAX), "entry is", "entries are")) }</strong></p>
                <ul class="things">{ each(&received.disputes, &|entry| html! {
                    <li><button type="button" class="thing" onclick={going(desk, Route::Entry(entry.id.clone()))}><span class="thing-name">{ entry.title.clone() }</span><span class="thing-end">{ "Choose" }</span></button></li>
                }) }</ul>
            }
            { each(&received.remarks, &|remark| html! { <p class="small">{ remark.clone() }</p> }) }
        </div>
    }
}

fn came_words(received: &Received) -> String {
    let boat = &received.boat;
    match (received.is_new_log, received.n_new) {
        (true, n) => format!(
            "The log of {boat} begins here with {}.",
            counted(n, "statement", "statements")
        ),
        (false, 0) => format!("Nothing new: this device has all of it ({boat})."),
        (false, n) => format!(
            "{} joined the log of {boat}.",
            counted(n, "new statement", "new statements")
        ),
    }
}

/// Shows what came: the heading, the rows, everything.
fn after(desk: &Desk) {
    let told = desk.clone();
    desk.ask(Ask::Overview, &Files::default(), move |outcome| {
        if let Ok((Answer::Opened(opened), _)) = outcome {
            told.dispatch(Action::Opened(*opened));
        }
    });
}

/// Takes in a parcel from the start screen; its log is open afterwards.
pub(in crate::pages) fn receive(desk: &Desk, hand: &str, files: &Files, done: Callback<()>) {
    let told = desk.clone();
    let ask = Ask::Receive {
        hand: hand.to_owned(),
        device: if desk.state.is_wide {
            "computer".to_owned()
        } else {
            String::new()
        },
    };
    desk.ask(ask, files, move |outcome| {
        done.emit(());
        match outcome {
            Ok((Answer::Received(received), _)) => {
                address::replace(&Route::Log.hash());
                let opened = told.clone();
                let words = came_words(&received);
                told.ask(
                    Ask::Open { log: received.log },
                    &Files::default(),
                    move |outcome| match outcome {
                        Ok((Answer::Opened(log), _)) => {
                            opened.dispatch(Action::Opened(*log));
                            opened.tell(words, "");
                        }
                        Ok(_) => {}
                        Err(trouble) => opened.tell_trouble(&trouble),
                    },
                );
            }
            Ok(_) => {}
            Err(trouble) => told.tell_trouble(&trouble),
        }
    });
}
