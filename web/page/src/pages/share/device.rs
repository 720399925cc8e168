//! This device: its storage, its light, the logs on it.

use garboard_protocol::{Answer, Ask};
use yew::{Callback, Html, UseStateHandle, component, html, use_state};

use crate::browser::{device, file::Files, keeper, locale, memory};
use crate::components::{Fact, FactsProps, fact_list};
use crate::hooks::{AskedFor, use_asked};
use crate::pages::part::{counted, device_word, size_words};
use crate::pages::shell::PageProps;
use crate::state::Action;

/// This device.
#[component]
pub(super) fn Device(props: &PageProps) -> Html {
    let desk = &props.desk;
    let asked = use_asked(desk, Ask::Storage);
    let light = use_state(|| 0_u32);
    let storage = match &asked {
        AskedFor::Here(answer) => match &**answer {
            Answer::Storage(storage) => Some(storage.clone()),
            _ => None,
        },
        _ => None,
    };
    let persist = {
        let desk = desk.clone();
        Callback::from(move |_| {
            let desk = desk.clone();
            wasm_bindgen_futures::spawn_local(async move {
                match device::persist().await {
                    Ok(true) => {
                        desk.tell("The browser keeps the log for good", "It will not be cleared to make room for other sites.");
                        desk.dispatch(Action::Touched);
                    }
                    Ok(false) => desk.tell(
                        "The browser did not promise to keep the log",
                        "It is saved all the same. Put Garboard on the home screen and ask again, and send a parcel to a second device.",
                    ),
                    Err(error) => desk.tell("The browser could not be asked", format!("It said: {}. What is saved is safe.", error.0)),
                }
            });
        })
    };
    let leave = {
        let desk = desk.clone();
        Callback::from(move |_| {
            desk.open(Ask::Leave, &Files::default(), Callback::noop());
        })
    };
    html! {
        <section class="part stack">
            <h2>{ "This device" }</h2>
            if let Some(storage) = storage {
                { fact_list(&FactsProps { facts: vec![
                    Fact::plain("In use", size_words(storage.used)),
                    Fact::plain("Room", if storage.allowed == 0 { "the browser does not say".to_owned() } else { format!("{} still free", size_words(storage.allowed.saturating_sub(storage.used))) }),
                    Fact::plain("Sent", sent(desk)),
                    Fact::plain("Kept", if storage.is_persisted {
                        "for good: the browser has promised not to clear it by itself".to_owned()
                    } else {
                        format!("on {}, but the browser may clear it when room runs short, and some browsers clear what was not opened for a week unless it stands on the home screen", device_word(desk))
                    }),
                ] }) }
                if !storage.is_persisted {
                    <div><button type="button" class="key" onclick={persist}>{ "Ask the browser to keep it for good" }</button></div>
                }
            }
            <p class="small soft">{ "A log on one device only is one accident away from being gone: send a parcel to a second one." }</p>
            <h3>{ "Units" }</h3>
            { units(desk) }
            <h3>{ "Light" }</h3>
            { light_keys(&light) }
            <h3>{ "Other logs" }</h3>
            <div><button type="button" class="key" onclick={leave}>{ "Close this log and go to the start" }</button></div>
            <p class="small soft">{ format!("Garboard, build {}. Nothing is sent anywhere unless you send it.", keeper::own_build()) }</p>
        </section>
    }
}

/// The units in which amounts are shown; what was entered stays beside them.
fn units(desk: &crate::hooks::Desk) -> Html {
    let chosen = desk
        .state
        .opened
        .as_ref()
        .map(|opened| opened.units.clone())
        .unwrap_or_default();
    html! { <>
        <div class="choices" role="group" aria-label="Units">
            { for [("", "As entered"), ("metric", "Metric"), ("us", "US customary")].map(|(units, words)| {
                let desk = desk.clone();
                let onclick = Callback::from(move |_| {
                    let told = desk.clone();
                    desk.ask(Ask::Units { units: units.to_owned() }, &Files::default(), move |outcome| match outcome {
                        Ok(_) => told.dispatch(Action::Touched),
                        Err(trouble) => told.tell_trouble(&trouble),
                    });
                });
                html! { <button type="button" class="choice" aria-pressed={(chosen == units).to_string()} {onclick}>{ words }</button> }
            }) }
        </div>
        <p class="small soft">{ "Amounts are shown in these units, rounded to three figures, with what was entered beside them. What is kept is what was entered." }</p>
    </> }
}

/// When the log was last sent, and what is here only.
fn sent(desk: &crate::hooks::Desk) -> String {
    let Some(opened) = &desk.state.opened else {
        return String::new();
    };
    let when = if opened.last_sent.is_empty() {
        "never from here".to_owned()
    } else {
        format!("last on {}", locale::written(&opened.last_sent))
    };
    match opened.n_alone {
        0 => when,
        n => format!(
            "{when}; {} known to no other device",
            counted(n, "statement is", "statements are")
        ),
    }
}

/// Deck, Bilge, or as the system has it.
pub(in crate::pages) fn light_keys(redraw: &UseStateHandle<u32>) -> Html {
    let chosen = memory::recall("light");
    html! {
        <div class="choices" role="group" aria-label="Light">
            { for [("", "As the system has it"), ("deck", "Deck, for sunlight"), ("bilge", "Bilge, for the dark")].map(|(light, words)| {
                let redraw = redraw.clone();
                let onclick = Callback::from(move |_| {
                    device::set_light((!light.is_empty()).then_some(light));
                    redraw.set(redraw.wrapping_add(1));
                });
                html! { <button type="button" class="choice" aria-pressed={(chosen == light).to_string()} {onclick}>{ words }</button> }
            }) }
        </div>
    }
}
