//! The phone's front end: screens that ask the keeper and show what it answers.
//!
//! The page computes nothing of the log itself. It reads down: pages use components, hooks and
//! state; components take data and callbacks and know neither the desk nor the browser; the
//! browser's types are named in the `browser` folder only.
//!
//! It is built twice, as two modules: the *rail*, which is all that a first visit waits for, and the
//! *page* with every screen, which takes over when a screen is asked for that the rail lacks.
//!
//! # What this crate does not do
//!
//! It stores nothing but habits (the light, the last instrument, a draft): the log belongs to the
//! keeper. It knows no formula and no file format.

mod browser;
mod components;
mod draft;
mod hooks;
mod json;
mod moment;
mod named;
mod pages;
mod reckon;
mod runs;
mod sketch;
mod spots;
mod state;

use wasm_bindgen::prelude::wasm_bindgen;

/// Draws the start, the running page and the capture rail into the shell's `#app`; other screens are fetched when asked for.
pub fn start_rail() {
    console_error_panic_hook::set_once();
    browser::start::<pages::App<pages::Rail>>();
}

/// Draws all screens into the shell's `#app`.
pub fn start_page() {
    console_error_panic_hook::set_once();
    browser::start::<pages::App<pages::Whole>>();
}

/// Takes the screens away, before another module draws there; the boot file calls it.
#[wasm_bindgen]
pub fn leave() {
    browser::leave();
}
