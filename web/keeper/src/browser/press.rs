//! The press: a worker of its own module, started when it is asked for and ended when it is let go.

use garboard_protocol::{PressAnswer, PressAsk, decode, encode};
use js_sys::{Array, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};

use super::files::Blob;
use super::{Error, OrError as _, tab};

const TOO_LONG_MILLIS: i32 = 120_000;

type Heard = Closure<dyn FnMut(Message)>;

#[wasm_bindgen]
extern "C" {
    #[derive(Clone)]
    type Worker;
    #[wasm_bindgen(constructor, catch)]
    fn new(address: &str, options: &JsValue) -> Result<Worker, JsValue>;
    #[wasm_bindgen(method, js_name = postMessage, catch)]
    fn post_message(this: &Worker, message: &JsValue) -> Result<(), JsValue>;
    #[wasm_bindgen(method, setter)]
    fn set_onmessage(this: &Worker, handler: &JsValue);
    #[wasm_bindgen(method, setter)]
    fn set_onerror(this: &Worker, handler: &JsValue);
    #[wasm_bindgen(method)]
    fn terminate(this: &Worker);

    type Message;
    #[wasm_bindgen(method, getter)]
    fn data(this: &Message) -> JsValue;
    #[wasm_bindgen(method, js_name = preventDefault)]
    fn prevent_default(this: &Message);
}

/// A press at work; it ends when it is dropped.
pub(crate) struct Press(Worker);

impl Drop for Press {
    fn drop(&mut self) {
        self.0.terminate();
    }
}

impl Press {
    /// Starts a press.
    pub(crate) fn start() -> Result<Self, Error> {
        let options = Object::new();
        Reflect::set(&options, &"type".into(), &"module".into()).or_error()?;
        // Relative to the keeper's own boot file.
        Worker::new("../press/boot.js", &options)
            .or_error()
            .map(Self)
    }

    /// Asks it for one thing; `None` when it failed or took too long, and then it must be let go.
    pub(crate) async fn ask<'a>(
        &self,
        asked: &PressAsk,
        files: impl IntoIterator<Item = &'a Blob>,
    ) -> Option<PressAnswer> {
        let worker = &self.0;
        let mut handlers: Option<[Heard; 2]> = None;
        let answered = Promise::new(&mut |resolve, reject| {
            let ok = Closure::<dyn FnMut(Message)>::new(move |message: Message| {
                let _called = resolve.call1(&JsValue::UNDEFINED, &message.data());
            });
            let failed = Closure::<dyn FnMut(Message)>::new(move |message: Message| {
                message.prevent_default();
                let _called = reject.call0(&JsValue::UNDEFINED);
            });
            worker.set_onmessage(ok.as_ref());
            worker.set_onerror(failed.as_ref());
            handlers = Some([ok, failed]);
        });
        let message = Object::new();
        let bytes = Uint8Array::from(encode(asked).ok()?.as_slice()).buffer();
        let files: Array = files.into_iter().collect();
        Reflect::set(&message, &"bytes".into(), &bytes).ok()?;
        Reflect::set(&message, &"files".into(), &files).ok()?;
        worker.post_message(&message).ok()?;
        let patience = Promise::new(&mut |_, give_up| {
            spawn_local(async move {
                tab::wait(TOO_LONG_MILLIS).await;
                let _called = give_up.call0(&JsValue::UNDEFINED);
            });
        });
        let answer = JsFuture::from(Promise::race(&Array::of2(&answered, &patience))).await;
        worker.set_onmessage(&JsValue::NULL);
        worker.set_onerror(&JsValue::NULL);
        drop(handlers);
        decode(&Uint8Array::new(&answer.ok()?).to_vec()).ok()
    }
}
