//! From the browser's events to plain values.

use gloo::timers::callback::Timeout;
use wasm_bindgen::JsCast as _;
use web_sys::{HtmlElement, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};
use yew::{Callback, Event, InputEvent, NodeRef, SubmitEvent};

use super::file::Files;

/// Gives what stands in a line or a box of words at each stroke.
pub(crate) fn typed(then: Callback<String>) -> Callback<InputEvent> {
    Callback::from(move |event: InputEvent| {
        let Some(target) = event.target() else { return };
        if let Some(line) = target.dyn_ref::<HtmlInputElement>() {
            then.emit(line.value());
        } else if let Some(words) = target.dyn_ref::<HtmlTextAreaElement>() {
            then.emit(words.value());
        }
    })
}

/// Gives the value chosen from a list.
pub(crate) fn selected(then: Callback<String>) -> Callback<Event> {
    Callback::from(move |event: Event| {
        if let Some(list) = event
            .target()
            .and_then(|target| target.dyn_into::<HtmlSelectElement>().ok())
        {
            then.emit(list.value());
        }
    })
}

/// Gives the files that were picked or shot; the control is emptied so that the same can be picked again.
pub(crate) fn picked(then: Callback<Files>) -> Callback<Event> {
    Callback::from(move |event: Event| {
        let Some(input) = event
            .target()
            .and_then(|target| target.dyn_into::<HtmlInputElement>().ok())
        else {
            return;
        };
        let files = Files::of_input(&input);
        input.set_value("");
        if !files.is_empty() {
            then.emit(files);
        }
    })
}

/// Where on an element a pointer touched it: shares of its width and its height.
pub(crate) fn within(event: &yew::MouseEvent) -> Option<(f64, f64)> {
    let element = event
        .current_target()?
        .dyn_into::<web_sys::Element>()
        .ok()?;
    let frame = element.get_bounding_client_rect();
    let (right, down) = (
        f64::from(event.client_x()) - frame.left(),
        f64::from(event.client_y()) - frame.top(),
    );
    (frame.width() > 0.0 && frame.height() > 0.0)
        .then(|| (right / frame.width(), down / frame.height()))
}

/// A whole number as a real one.
#[expect(
    clippy::cast_precision_loss,
    reason = "places on a screen lie far below 2^53"
)]
pub(crate) fn real(whole: i64) -> f64 {
    whole as f64
}

/// The nearest whole number.
#[expect(
    clippy::cast_possible_truncation,
    reason = "places on a screen lie far below 2^53"
)]
pub(crate) fn rounded(real: f64) -> i64 {
    real.round() as i64
}

/// A drawn thing that is used by Enter or the space bar, as a button is.
pub(crate) fn pressed(then: Callback<()>) -> Callback<yew::KeyboardEvent> {
    Callback::from(move |event: yew::KeyboardEvent| {
        if ["Enter", " "].contains(&event.key().as_str()) {
            event.prevent_default();
            then.emit(());
        }
    })
}

/// A form that is sent to us and not to a server.
pub(crate) fn submitted(then: Callback<()>) -> Callback<SubmitEvent> {
    Callback::from(move |event: SubmitEvent| {
        event.prevent_default();
        then.emit(());
    })
}

/// Moves the keyboard's place to an element.
pub(crate) fn focus(node: &NodeRef) {
    if let Some(element) = node.cast::<HtmlElement>() {
        drop(element.focus());
    }
}

/// Scrolls the column around an element to its top.
pub(crate) fn scroll_to_top(node: &NodeRef) {
    if let Some(element) = node.cast::<web_sys::Element>() {
        element.set_scroll_top(0);
    }
}

/// Brings the first thing that must be mended into view, once it is drawn.
pub(crate) fn show_first_wrong() {
    Timeout::new(50, || {
        let first = web_sys::window()
            .and_then(|window| window.document())
            .and_then(|document| document.query_selector(".field:has(.wrong)").ok().flatten());
        if let Some(first) = first {
            first.scroll_into_view();
        }
    })
    .forget();
}
