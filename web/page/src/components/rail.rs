//! The capture rail: four keys within the thumb's reach.

use yew::{AttrValue, Callback, Event, Html, MouseEvent, classes, html};

use super::{Drawing, IconProps, icon};

/// What [`rail`] shows.
pub(crate) struct RailProps {
    /// How long the clock has run, in words; `None` when it stands.
    pub(crate) running: Option<AttrValue>,
    /// Pictures were shot.
    pub(crate) onshoot: Callback<Event>,
    /// To the camera in the page, where the hand chose it.
    pub(crate) oncamera: Option<Callback<MouseEvent>>,
    /// To the keypad.
    pub(crate) onmeasure: Callback<MouseEvent>,
    /// To the words.
    pub(crate) onwrite: Callback<MouseEvent>,
    /// Starts or stops the clock.
    pub(crate) onclock: Callback<MouseEvent>,
}

/// Shoot, Measure, Write, Clock.
pub(crate) fn rail(props: &RailProps) -> Html {
    let clock = match &props.running {
        Some(length) => html! {
            <button type="button" class={classes!("rail-key", "running")} onclick={props.onclock.clone()} aria-label={format!("Stop the clock, {length}")}>
                { icon(&IconProps { drawing: Drawing::Clock }) }<span>{ length.clone() }</span><span class="small">{ "Stop" }</span>
            </button>
        },
        None => html! {
            <button type="button" class="rail-key" onclick={props.onclock.clone()} aria-label="Clock: start a stint">
                { icon(&IconProps { drawing: Drawing::Clock }) }<span>{ "Clock" }</span>
            </button>
        },
    };
    html! {
        <div class="rail" role="group" aria-label="Capture">
            if let Some(onclick) = props.oncamera.clone() {
                <button type="button" class="rail-key first" {onclick}>
                    { icon(&IconProps { drawing: Drawing::Shoot }) }<span>{ "Shoot" }</span>
                </button>
            } else {
                <label class="rail-key first">
                    { icon(&IconProps { drawing: Drawing::Shoot }) }<span>{ "Shoot" }</span>
                    <input type="file" accept="image/*" capture="environment" multiple=true onchange={props.onshoot.clone()} />
                </label>
            }
            <button type="button" class="rail-key" onclick={props.onmeasure.clone()}>
                { icon(&IconProps { drawing: Drawing::Measure }) }<span>{ "Measure" }</span>
            </button>
            <button type="button" class="rail-key" onclick={props.onwrite.clone()}>
                { icon(&IconProps { drawing: Drawing::Write }) }<span>{ "Write" }</span>
            </button>
            { clock }
        </div>
    }
}
