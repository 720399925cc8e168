//! The press: a worker of its own module, started when it is asked for and ended when it is let go.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;

use garboard_protocol::{PressAnswer, PressAsk, Trouble, decode, encode};
use js_sys::{Array, Function, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};

use super::files::Blob;
use super::run::Keeper;
use super::{Error, OrError as _, tab};
use crate::trouble;

/// So long it may be silent.
const TOO_LONG_MILLIS: i32 = 120_000;

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

/// What the press said and is not yet read; null when it failed.
#[derive(Default)]
struct Inbox {
    said: VecDeque<JsValue>,
    wake: Option<Function>,
}

impl Inbox {
    fn put(&mut self, said: JsValue) {
        self.said.push_back(said);
        if let Some(wake) = self.wake.take() {
            let _called = wake.call0(&JsValue::UNDEFINED);
        }
    }
}

/// A press at work; it ends when it is dropped.
pub(crate) struct Press {
    worker: Worker,
    inbox: Rc<RefCell<Inbox>>,
    _handlers: [Closure<dyn FnMut(Message)>; 2],
}

impl Drop for Press {
    fn drop(&mut self) {
        self.worker.set_onmessage(&JsValue::NULL);
        self.worker.set_onerror(&JsValue::NULL);
        self.worker.terminate();
    }
}

impl Press {
    /// Starts a press, or says that this browser starts none.
    pub(crate) fn at_work() -> Result<Self, Trouble> {
        Self::start().map_err(|error| trouble::fault(&error.to_string()))
    }

    /// Starts the press that sets dossiers on paper.
    pub(crate) fn for_paper() -> Result<Self, Trouble> {
        Self::named("paper").map_err(|error| trouble::fault(&error.to_string()))
    }

    /// Starts a press.
    pub(crate) fn start() -> Result<Self, Error> {
        Self::named("press")
    }

    fn named(module: &str) -> Result<Self, Error> {
        let options = Object::new();
        Reflect::set(&options, &"type".into(), &"module".into()).or_error()?;
        Reflect::set(&options, &"name".into(), &module.into()).or_error()?;
        // Relative to the keeper's own boot file.
        let worker = Worker::new("../press/boot.js", &options).or_error()?;
        let inbox = Rc::new(RefCell::new(Inbox::default()));
        let said = Rc::clone(&inbox);
        let heard = Closure::<dyn FnMut(Message)>::new(move |message: Message| {
            said.borrow_mut().put(message.data());
        });
        let said = Rc::clone(&inbox);
        let failed = Closure::<dyn FnMut(Message)>::new(move |message: Message| {
            message.prevent_default();
            said.borrow_mut().put(JsValue::NULL);
        });
        worker.set_onmessage(heard.as_ref());
        worker.set_onerror(failed.as_ref());
        Ok(Self {
            worker,
            inbox,
            _handlers: [heard, failed],
        })
    }

    /// Asks it for one thing; `None` when it failed or took too long, and then it must be let go.
    pub(crate) async fn ask<'a>(
        &self,
        asked: &PressAsk,
        files: impl IntoIterator<Item = &'a Blob>,
    ) -> Option<PressAnswer> {
        self.tell(asked, &files.into_iter().collect())?;
        loop {
            match self.next().await?.0 {
                PressAnswer::Doing { .. } => {}
                answer => return Some(answer),
            }
        }
    }

    fn tell(&self, asked: &PressAsk, files: &Array) -> Option<()> {
        let message = Object::new();
        let bytes = Uint8Array::from(encode(asked).ok()?.as_slice()).buffer();
        Reflect::set(&message, &"bytes".into(), &bytes).ok()?;
        Reflect::set(&message, &"files".into(), files).ok()?;
        self.worker.post_message(&message).ok()
    }

    /// The next thing that it says.
    async fn next(&self) -> Option<(PressAnswer, Vec<Blob>)> {
        if self.inbox.borrow().said.is_empty() {
            let heard = Promise::new(&mut |wake, _| self.inbox.borrow_mut().wake = Some(wake));
            let patience = Promise::new(&mut |give_up, _| {
                spawn_local(async move {
                    tab::wait(TOO_LONG_MILLIS).await;
                    let _called = give_up.call0(&JsValue::UNDEFINED);
                });
            });
            let _woken = JsFuture::from(Promise::race(&Array::of2(&heard, &patience))).await;
        }
        let said = self.inbox.borrow_mut().said.pop_front()?;
        let part = |name: &str| Reflect::get(&said, &name.into()).ok();
        let answer = decode(&Uint8Array::new(&part("bytes")?).to_vec()).ok()?;
        let files = Array::from(&part("files")?)
            .iter()
            .filter_map(|file| file.dyn_into().ok())
            .collect();
        Some((answer, files))
    }
}

impl Keeper {
    /// Asks a press for long work: shows how far it is, and stops when the page says so. The press must be let go
    /// after a trouble.
    pub(super) async fn have_pressed<'a>(
        &self,
        number: u32,
        what: &str,
        press: &Press,
        asked: &PressAsk,
        files: impl IntoIterator<Item = &'a Blob>,
    ) -> Result<(PressAnswer, Vec<Blob>), Trouble> {
        press
            .tell(asked, &files.into_iter().collect())
            .ok_or_else(trouble::no_press)?;
        loop {
            match press.next().await.ok_or_else(trouble::no_press)? {
                (PressAnswer::Refused(trouble), _) => return Err(trouble),
                (PressAnswer::Doing { done, of }, _) => {
                    let whole = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
                    self.progress(Some(number), what, whole(done), whole(of));
                    if self.is_stopped(number).await {
                        return Err(trouble::stopped());
                    }
                }
                answered => return Ok(answered),
            }
        }
    }
}
