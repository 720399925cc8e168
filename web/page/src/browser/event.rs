//! From the browser's events to plain values.

use gloo::timers::callback::Timeout;
use wasm_bindgen::JsCast as _;
use web_sys::{Element, HtmlElement, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};
use yew::{
    Callback, DragEvent, Event, InputEvent, KeyboardEvent, NodeRef, PointerEvent, SubmitEvent,
};

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

/// Where on a drawing a pointer touched it: shares of its width and its height.
pub(crate) fn within(event: &yew::MouseEvent) -> Option<(f64, f64)> {
    // The framework listens at the page's root: the drawing is what was touched, or around it.
    let element = event
        .target()?
        .dyn_into::<Element>()
        .ok()?
        .closest("svg")
        .ok()??;
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
pub(crate) fn pressed(then: Callback<()>) -> Callback<KeyboardEvent> {
    Callback::from(move |event: KeyboardEvent| {
        if ["Enter", " "].contains(&event.key().as_str()) {
            event.prevent_default();
            then.emit(());
        }
    })
}

/// Gives the files that were dropped; without this the browser would open them in the page's place.
pub(crate) fn dropped(then: Callback<Files>) -> Callback<DragEvent> {
    Callback::from(move |event: DragEvent| {
        event.prevent_default();
        let files = event
            .data_transfer()
            .map(|dropped| Files::of_drop(&dropped))
            .unwrap_or_default();
        if !files.is_empty() {
            then.emit(files);
        }
    })
}

/// Says that files may be dropped here.
pub(crate) fn dragged() -> Callback<DragEvent> {
    Callback::from(|event: DragEvent| event.prevent_default())
}

/// Moves the edge between two pictures that lie one over the other: the style sheet reads it as `--at`.
pub(crate) fn slid() -> Callback<InputEvent> {
    Callback::from(|event: InputEvent| {
        let slider = event
            .target()
            .and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
        let frame = slider
            .as_ref()
            .and_then(|slider| slider.closest(".before-after").ok().flatten())
            .and_then(|frame| frame.dyn_into::<HtmlElement>().ok());
        if let (Some(slider), Some(frame)) = (slider, frame) {
            let at = format!("{}%", slider.value());
            // Set by script and not by markup, which the page's policy would refuse.
            drop(frame.style().set_property("--at", &at));
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

/// What a finger, a pen or a mouse does on a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Finger {
    /// It went down.
    Down,
    /// It goes along; it may be up.
    Along,
    /// It was lifted.
    Up,
    /// The browser took it away.
    Gone,
}

/// Gives where a finger is on a picture of so many pixels that is shown whole within an element, in so many `parts`
/// of the picture's width and height. Only the first finger counts.
pub(crate) fn finger(
    (width, height): (u32, u32),
    parts: u32,
    what: Finger,
    then: Callback<(Finger, (u32, u32))>,
) -> Callback<PointerEvent> {
    Callback::from(move |event: PointerEvent| {
        // The framework listens at the page's root: the picture is what the finger was aimed at, or around it.
        let Some(on) = event
            .target()
            .and_then(|target| target.dyn_into::<Element>().ok())
            .and_then(|target| target.closest("svg").ok().flatten())
        else {
            return;
        };
        if !event.is_primary() || (what == Finger::Down && event.button() != 0) {
            return;
        }
        if what == Finger::Down {
            // A stroke that leaves the picture still ends here; without the hold it ends at the edge.
            drop(on.set_pointer_capture(event.pointer_id()));
        }
        let frame = on.get_bounding_client_rect();
        let (width, height) = (f64::from(width.max(1)), f64::from(height.max(1)));
        let scale = (frame.width() / width).min(frame.height() / height);
        let at = |client: f64, start: f64, room: f64, side: f64| {
            in_parts(
                (client - start - (room - side * scale) / 2.0) / (side * scale),
                parts,
            )
        };
        then.emit((
            what,
            (
                at(f64::from(event.client_x()), frame.x(), frame.width(), width),
                at(
                    f64::from(event.client_y()),
                    frame.y(),
                    frame.height(),
                    height,
                ),
            ),
        ));
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is held between 0 and the number of parts"
)]
fn in_parts(share: f64, parts: u32) -> u32 {
    let parts = f64::from(parts);
    (share * parts).round().clamp(0.0, parts) as u32
}

/// Gives keys by their names, and whether *shift* is held; those that `then` uses do nothing else.
pub(crate) fn keyed(then: impl Fn(&str, bool) -> bool + 'static) -> Callback<KeyboardEvent> {
    Callback::from(move |event: KeyboardEvent| {
        if !event.ctrl_key()
            && !event.alt_key()
            && !event.meta_key()
            && then(&event.key(), event.shift_key())
        {
            event.prevent_default();
        }
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
    if let Some(element) = node.cast::<Element>() {
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
