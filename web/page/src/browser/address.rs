//! The part of the address after `#`: which screen is shown, so that the browser's own *back* works.

use gloo::events::EventListener;
use yew::Callback;

/// What stands after `#` now, without it.
pub(crate) fn hash() -> String {
    web_sys::window()
        .and_then(|window| window.location().hash().ok())
        .map(|hash| hash.trim_start_matches('#').to_owned())
        .unwrap_or_default()
}

/// The address of the site, without what follows.
pub(crate) fn origin() -> String {
    web_sys::window()
        .and_then(|window| window.location().origin().ok())
        .unwrap_or_default()
}

/// Names the screen in the browser's own list of pages.
pub(crate) fn set_title(words: &str) {
    if let Some(document) = web_sys::window().and_then(|window| window.document()) {
        document.set_title(&format!("{words} · Garboard"));
    }
}

/// Goes to a screen; the one before stays a *back* away.
pub(crate) fn go(hash: &str) {
    if let Some(window) = web_sys::window() {
        // A refusal leaves the person where they are, and they see that.
        drop(window.location().set_hash(hash));
    }
}

/// Goes to a screen in place of this one.
pub(crate) fn replace(hash: &str) {
    if let Some(window) = web_sys::window() {
        drop(window.location().replace(&format!("#{hash}")));
    }
}

/// Goes back to the screen before.
pub(crate) fn back() {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        drop(history.back());
    }
}

/// Tells of every change until dropped.
pub(crate) fn listen(changed: Callback<String>) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::new(&window, "hashchange", move |_| {
        changed.emit(hash());
    }))
}
