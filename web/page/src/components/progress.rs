//! How far long work has come.

use yew::{AttrValue, Callback, Html, MouseEvent, html};

/// What [`progress_line`] shows.
pub(crate) struct ProgressLineProps {
    /// What is being done.
    pub(crate) what: AttrValue,
    /// Done so far.
    pub(crate) done: u32,
    /// Of how many; 0 when not known.
    pub(crate) of: u32,
    /// Stops it, when it can be stopped.
    pub(crate) onstop: Option<Callback<MouseEvent>>,
}

/// A line with a bar, and a way to stop.
pub(crate) fn progress_line(props: &ProgressLineProps) -> Html {
    let (value, max) = if props.of == 0 {
        (None, None)
    } else {
        (Some(props.done.to_string()), Some(props.of.to_string()))
    };
    let far = if props.of == 0 {
        String::new()
    } else {
        format!(", {} of {}", props.done, props.of)
    };
    html! {
        <div class="stack" role="status">
            <div class="meter-line">
                <p>{ format!("{}{far}", props.what) }</p>
                if let Some(onclick) = props.onstop.clone() {
                    <button type="button" class="link" {onclick}>{ "Stop" }</button>
                }
            </div>
            <progress {value} {max} aria-label={props.what.clone()}></progress>
        </div>
    }
}
