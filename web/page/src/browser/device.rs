//! The device itself: its light, its width, staying awake, and newer builds of the site.

use gloo::events::EventListener;
use js_sys::Promise;
use wasm_bindgen::{JsCast as _, JsValue, prelude::wasm_bindgen};
use wasm_bindgen_futures::JsFuture;
use yew::Callback;

use super::Error;

/// The boot file asks the same, to begin with all screens where there is room for them.
const WIDE: &str = "(min-width: 1100px)";

/// Whether there is room for the page and an entry side by side.
pub(crate) fn is_wide() -> bool {
    web_sys::window()
        .and_then(|window| window.match_media(WIDE).ok().flatten())
        .is_some_and(|query| query.matches())
}

/// Tells when [`is_wide`] changes, until dropped.
pub(crate) fn on_wide(changed: Callback<bool>) -> Option<EventListener> {
    let query = web_sys::window()?.match_media(WIDE).ok().flatten()?;
    Some(EventListener::new(&query, "change", move |_| {
        changed.emit(is_wide());
    }))
}

/// Sets the light; `None` follows the system.
pub(crate) fn set_light(light: Option<&str>) {
    let Some(root) = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.document_element())
    else {
        return;
    };
    match light {
        Some(light) => drop(root.set_attribute("data-light", light)),
        None => drop(root.remove_attribute("data-light")),
    }
    super::memory::keep("light", light.unwrap_or_default());
}

/// Tells when a newer build of the site lies ready, with what it brings, a line each; until dropped.
pub(crate) fn on_newer(found: Callback<String>) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::new(
        &window,
        "garboard-newer",
        move |event| {
            let news = js_sys::Reflect::get(event, &"detail".into())
                .ok()
                .and_then(|detail| detail.as_string());
            found.emit(news.unwrap_or_default());
        },
    ))
}

/// Goes over to the newer build, or loads the page again where none lies ready.
pub(crate) fn take_newer() {
    if let (Some(window), Ok(event)) = (
        web_sys::window(),
        web_sys::Event::new("garboard-take-newer"),
    ) {
        drop(window.dispatch_event(&event));
    }
}

/// Asks the browser to keep the storage for good.
pub(crate) async fn persist() -> Result<bool, Error> {
    let window = web_sys::window().ok_or_else(|| Error("there is no window".to_owned()))?;
    let answer = JsFuture::from(window.navigator().storage().persist()?).await?;
    Ok(answer.as_bool().unwrap_or(false))
}

#[wasm_bindgen]
extern "C" {
    type Lock;
    #[wasm_bindgen(method)]
    fn release(this: &Lock) -> Promise;
    #[wasm_bindgen(catch, js_namespace = ["navigator", "wakeLock"], js_name = request)]
    fn request_lock(kind: &str) -> Result<Promise, JsValue>;
}

/// Keeps the screen awake until it is let go of.
pub(crate) struct Awake(Lock);

impl Drop for Awake {
    fn drop(&mut self) {
        drop(self.0.release());
    }
}

/// Keeps the screen awake, if the browser can.
pub(crate) async fn stay_awake() -> Option<Awake> {
    let lock = JsFuture::from(request_lock("screen").ok()?).await.ok()?;
    Some(Awake(lock.unchecked_into()))
}

/// Tells when the page comes back into view, until dropped: a wake lock must then be asked for again.
pub(crate) fn on_seen(seen: Callback<()>) -> Option<EventListener> {
    let document = web_sys::window()?.document()?;
    Some(EventListener::new(
        &document.clone(),
        "visibilitychange",
        move |_| {
            if !document.hidden() {
                seen.emit(());
            }
        },
    ))
}

/// Whether the page is out of sight.
pub(crate) fn is_hidden() -> bool {
    web_sys::window()
        .and_then(|window| window.document())
        .is_some_and(|document| document.hidden())
}

/// Tells whether the page is in sight whenever that changes, until dropped.
pub(crate) fn on_sight(changed: Callback<bool>) -> Option<EventListener> {
    let document = web_sys::window()?.document()?;
    Some(EventListener::new(
        &document,
        "visibilitychange",
        move |_| changed.emit(!is_hidden()),
    ))
}
