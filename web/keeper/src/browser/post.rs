//! Messages to the page.

use garboard_protocol::{Answer, Report, Told, Trouble, encode};
use js_sys::{Array, Object, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;

use super::files::Blob;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = postMessage, catch)]
    fn post_message(message: &JsValue, transfer: &Array) -> Result<(), JsValue>;
    #[wasm_bindgen(js_namespace = console, js_name = error)]
    fn console_error(text: &str);
}

/// An answer with the files that go along.
pub(crate) struct Reply {
    /// The answer.
    pub(crate) answer: Answer,
    /// Its files.
    pub(crate) files: Vec<Blob>,
}

impl From<Answer> for Reply {
    fn from(answer: Answer) -> Self {
        Self {
            answer,
            files: Vec::new(),
        }
    }
}

/// Answers an ask.
pub(crate) fn answer(number: u32, reply: Result<Reply, Trouble>) {
    let (answer, files) = match reply {
        Ok(reply) => (Ok(reply.answer), reply.files),
        Err(trouble) => (Err(trouble), Vec::new()),
    };
    tell(&Told::Answer { number, answer }, &files);
}

/// Reports something that nobody asked for.
pub(crate) fn report(report: Report) {
    tell(&Told::Report(report), &[]);
}

fn tell(told: &Told, files: &[Blob]) {
    let Ok(bytes) = encode(told) else {
        return note("a message to the page cannot be written");
    };
    let bytes = Uint8Array::from(bytes.as_slice()).buffer();
    let message = Object::new();
    let files: Array = files.iter().map(JsValue::from).collect();
    let sent = Reflect::set(&message, &"bytes".into(), &bytes)
        .and_then(|_| Reflect::set(&message, &"files".into(), &files))
        .and_then(|_| post_message(&message, &Array::of1(&bytes)));
    if sent.is_err() {
        note("a message to the page cannot be sent");
    }
}

/// Leaves a line for whoever looks into the browser's console.
pub(crate) fn note(text: &str) {
    console_error(text);
}
