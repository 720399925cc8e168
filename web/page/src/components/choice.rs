//! Keys to choose from.

use garboard_protocol::Choice;
use yew::{AttrValue, Callback, Html, html};

use super::each;

/// What [`choice_keys`] shows.
pub(crate) struct ChoiceKeysProps {
    /// What is chosen, in words, for those who hear.
    pub(crate) label: AttrValue,
    /// What there is.
    pub(crate) choices: Vec<Choice>,
    /// The chosen value's JSON; blank for none.
    pub(crate) chosen: AttrValue,
    /// A choice was made; the chosen one again takes it back, as a blank.
    pub(crate) onchoose: Callback<String>,
}

/// One of several.
pub(crate) fn choice_keys(props: &ChoiceKeysProps) -> Html {
    html! {
        <div class="choices" role="group" aria-label={props.label.clone()}>
            { each(&props.choices, &|choice| {
                let is_chosen = *choice.raw == *props.chosen;
                let raw = if is_chosen { String::new() } else { choice.raw.clone() };
                let onclick = props.onchoose.reform(move |_| raw.clone());
                html! {
                    <button type="button" class="choice" aria-pressed={is_chosen.to_string()} {onclick}>{ choice.label.clone() }</button>
                }
            }) }
        </div>
    }
}

/// What [`many_keys`] shows.
pub(crate) struct ManyKeysProps {
    /// What is chosen, in words.
    pub(crate) label: AttrValue,
    /// What there is.
    pub(crate) choices: Vec<Choice>,
    /// The chosen values' JSON.
    pub(crate) chosen: Vec<String>,
    /// Others are chosen now.
    pub(crate) onchoose: Callback<Vec<String>>,
}

/// Any number of several.
pub(crate) fn many_keys(props: &ManyKeysProps) -> Html {
    html! {
        <div class="choices" role="group" aria-label={props.label.clone()}>
            { each(&props.choices, &|choice| {
                let is_chosen = props.chosen.contains(&choice.raw);
                let mut next: Vec<String> = props.chosen.iter().filter(|raw| **raw != choice.raw).cloned().collect();
                if !is_chosen {
                    next.push(choice.raw.clone());
                }
                let onclick = props.onchoose.reform(move |_| next.clone());
                html! {
                    <button type="button" class="choice" aria-pressed={is_chosen.to_string()} {onclick}>{ choice.label.clone() }</button>
                }
            }) }
        </div>
    }
}
