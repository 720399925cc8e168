//! Several tabs on one storage: one writes, the others follow.

use js_sys::{Object, Promise};
use wasm_bindgen::prelude::*;

const NAME: &str = "garboard";

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(thread_local_v2, js_name = navigator)]
    static NAVIGATOR: Navigator;
    type Navigator;
    #[wasm_bindgen(method, getter)]
    fn locks(this: &Navigator) -> JsValue;

    type Locks;
    #[wasm_bindgen(method, catch)]
    fn request(this: &Locks, name: &str, held: &JsValue) -> Result<Promise, JsValue>;

    #[wasm_bindgen(js_name = BroadcastChannel)]
    pub(crate) type Channel;
    #[wasm_bindgen(constructor, js_class = BroadcastChannel, catch)]
    fn open(name: &str) -> Result<Channel, JsValue>;
    #[wasm_bindgen(method, js_name = postMessage, catch)]
    fn post_message(this: &Channel, message: &JsValue) -> Result<(), JsValue>;
    #[wasm_bindgen(method, setter)]
    fn set_onmessage(this: &Channel, handler: &JsValue);

    type Message;
    #[wasm_bindgen(method, getter)]
    fn data(this: &Message) -> JsValue;

    #[wasm_bindgen(js_name = setTimeout, catch)]
    fn set_timeout(handler: &JsValue, millis: i32) -> Result<JsValue, JsValue>;
}

/// Asks for the right to write. `granted` is called once this tab has it, at once or when the tab
/// that has it closes; it is kept until this worker ends.
pub(crate) fn want_to_write(granted: impl FnOnce() + 'static) {
    let locks = NAVIGATOR.with(Navigator::locks);
    if !locks.is_object() {
        // A browser without locks lets every tab write; the log merges what they write.
        return granted();
    }
    let held = Closure::once_into_js(move |_lock: JsValue| -> JsValue {
        granted();
        Promise::new(&mut |_, _| {}).into()
    });
    let locks: &Locks = locks.unchecked_ref();
    if locks.request(NAME, &held).is_err() {
        super::post::note("the right to write cannot be asked for");
    }
}

/// The other tabs' ear.
pub(crate) struct Others {
    channel: Option<Channel>,
}

impl Others {
    /// Listens to what the other tabs have written; `heard` gets the log.
    pub(crate) fn listen(heard: impl Fn(String) + 'static) -> Self {
        let channel = Channel::open(NAME).ok();
        if let Some(channel) = &channel {
            let handler = Closure::<dyn Fn(JsValue)>::new(move |event: JsValue| {
                let message: Message = event.unchecked_into();
                if let Some(log) = message.data().as_string() {
                    heard(log);
                }
            });
            channel.set_onmessage(handler.as_ref());
            handler.forget();
        }
        Self { channel }
    }

    /// Tells the other tabs that a log was written.
    pub(crate) fn tell(&self, log: &str) {
        if let Some(channel) = &self.channel
            && channel.post_message(&log.into()).is_err()
        {
            super::post::note("the other tabs cannot be told");
        }
    }
}

/// Waits some milliseconds; 0 lets the browser's events run.
pub(crate) async fn wait(millis: i32) {
    let waiting = Promise::new(&mut |done, _| {
        if set_timeout(&done, millis).is_err() {
            // Without a timer there is nothing to wait for.
            let _called = done.call0(&JsValue::UNDEFINED);
        }
    });
    let _waited: JsValue = wasm_bindgen_futures::JsFuture::from(waiting)
        .await
        .unwrap_or_else(|_| Object::new().into());
}
