//! Everything that touches the browser; no other part of the page names its types.

pub(crate) mod address;
pub(crate) mod camera;
pub(crate) mod device;
pub(crate) mod event;
pub(crate) mod file;
pub(crate) mod keeper;
pub(crate) mod locale;
pub(crate) mod media;
pub(crate) mod memory;
pub(crate) mod picture;
pub(crate) mod sound;

use wasm_bindgen::JsValue;

/// What the browser refused, in its own words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Error(pub(crate) String);

impl From<JsValue> for Error {
    fn from(value: JsValue) -> Self {
        let words = value
            .dyn_ref::<js_sys::Error>()
            .map(|error| String::from(error.message()))
            .or_else(|| value.as_string())
            .unwrap_or_else(|| "the browser gave no reason".to_owned());
        Self(words)
    }
}

use wasm_bindgen::JsCast as _;

thread_local! {
    /// Ends what was drawn.
    static LEAVE: std::cell::RefCell<Option<Box<dyn FnOnce()>>> = std::cell::RefCell::default();
}

/// Ends what was drawn, with everything that listens.
pub(crate) fn leave() {
    if let Some(leave) = LEAVE.take() {
        leave();
    }
}

/// Draws a component into the shell.
pub(crate) fn start<C>()
where
    C: yew::BaseComponent<Properties = ()>,
{
    let root = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.get_element_by_id("app"));
    if let Some(root) = root {
        root.set_inner_html("");
        let drawn = yew::Renderer::<C>::with_root(root).render();
        LEAVE.set(Some(Box::new(move || drawn.destroy())));
    }
}
