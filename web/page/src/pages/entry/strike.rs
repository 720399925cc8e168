//! Striking an entry, as in a paper logbook, and lifting a strike.

use garboard_protocol::{Ask, EntryView, Lift, Strike, Trouble};
use yew::{AttrValue, Callback, Html, Properties, component, html, use_state};

use crate::browser::{event, locale};
use crate::components::{TroubleBoxProps, each, trouble_box};
use crate::hooks::Desk;

/// Who struck it, when and why; and a way to lift.
pub(super) fn struck(desk: &Desk, view: &EntryView) -> Html {
    if !view.is_struck {
        return Html::default();
    }
    let lift = (desk.state.can_write()).then(|| {
        let (desk, entry, sees) = (desk.clone(), view.id.clone(), view.sees.clone());
        Callback::from(move |_| {
            let told = desk.clone();
            desk.say_about(
                Ask::Lift(Lift {
                    entry: entry.clone(),
                    sees: sees.clone(),
                }),
                Callback::from(move |outcome: Result<_, Trouble>| match outcome {
                    Ok(_) => told.tell(
                        "The strike is lifted and saved",
                        "Both stay in the history.",
                    ),
                    Err(trouble) => told.tell_trouble(&trouble),
                }),
            );
        })
    });
    html! {
        <section class="part">
            <div class="notice">
                <p><strong>{ "Struck" }</strong></p>
                { each(&view.strikes, &|strike| html! {
                    <p>{ format!("{}, {}", strike.hand, locale::written(&strike.written)) }if !strike.why.is_empty() { { format!(": {}", strike.why) } }</p>
                }) }
                if let Some(onclick) = lift { <div><button type="button" class="key" {onclick}>{ "Lift the strike" }</button></div> }
            </div>
        </section>
    }
}

#[derive(Properties, PartialEq)]
pub(super) struct StrikeFormProps {
    pub(super) desk: Desk,
    pub(super) entry: AttrValue,
    pub(super) sees: Vec<String>,
    pub(super) is_struck: bool,
}

/// Why it is struck, and the key that does it.
#[component]
pub(super) fn StrikeForm(props: &StrikeFormProps) -> Html {
    let why = use_state(String::new);
    let trouble = use_state(|| None::<Trouble>);
    if props.is_struck {
        return Html::default();
    }
    let onsubmit = {
        let (desk, entry, sees, why, trouble) = (
            props.desk.clone(),
            props.entry.to_string(),
            props.sees.clone(),
            why.clone(),
            trouble.clone(),
        );
        event::submitted(Callback::from(move |()| {
            let (told, trouble, blank) = (desk.clone(), trouble.clone(), why.clone());
            let ask = Ask::Strike(Strike {
                entry: entry.clone(),
                why: why.trim().to_owned(),
                sees: sees.clone(),
            });
            desk.say_about(
                ask,
                Callback::from(move |outcome: Result<_, Trouble>| match outcome {
                    Ok(_) => {
                        blank.set(String::new());
                        told.tell(
                            "Struck and saved",
                            "It stays legible, and the strike can be lifted.",
                        );
                    }
                    Err(words) => trouble.set(Some(words)),
                }),
            );
        }))
    };
    let oninput = {
        let why = why.clone();
        event::typed(Callback::from(move |text| why.set(text)))
    };
    html! {
        <section class="part">
            <details>
                <summary>{ "Strike this entry" }</summary>
                <form class="stack" {onsubmit}>
                    <div class="field">
                        <label for="strike-why">{ "Why" }</label>
                        <p class="help">{ "It stays legible, struck through, with your name and the time. Nothing is erased." }</p>
                        <input id="strike-why" type="text" autocomplete="off" value={(*why).clone()} {oninput} />
                    </div>
                    if let Some(trouble) = (*trouble).clone() { { trouble_box(&TroubleBoxProps { trouble }) } }
                    <div><button type="submit" class="key">{ "Strike it" }</button></div>
                </form>
            </details>
        </section>
    }
}
