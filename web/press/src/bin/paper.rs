//! The module that sets the dossier on paper.

/// Takes one job; called by the boot file.
#[cfg(target_arch = "wasm32")]
#[wasm_bindgen::prelude::wasm_bindgen]
pub fn receive(bytes: &wasm_bindgen::JsValue, files: &wasm_bindgen::JsValue) {
    garboard_press::browser::receive(bytes, files, garboard_press::browser::paper);
}

fn main() {}
