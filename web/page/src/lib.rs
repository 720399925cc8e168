//! The phone's front end: screens that ask the keeper and show what it answers.
//!
//! The page computes nothing of the log itself. It reads down: pages use components, hooks and
//! state; components take data and callbacks and know neither the desk nor the browser; the
//! browser's types are named in the `browser` folder only.
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
mod runs;
mod sketch;
mod state;

use wasm_bindgen::prelude::wasm_bindgen;

/// Draws the page into the shell's `#app`; the boot file's `init` calls it.
#[wasm_bindgen(start)]
pub fn start() {
    console_error_panic_hook::set_once();
    browser::start::<pages::App>();
}
