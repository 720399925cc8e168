//! The line to the keeper, the worker that owns the log.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use garboard_protocol::{Answer, Ask, Asked, Report, Told, Trouble, TroubleKind};
use wasm_bindgen::prelude::{Closure, JsValue, wasm_bindgen};
use yew::Callback;

use super::file::Files;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = garboard)]
    fn build() -> String;
    #[wasm_bindgen(js_namespace = garboard)]
    fn send(bytes: js_sys::ArrayBuffer, files: js_sys::Array);
    #[wasm_bindgen(js_namespace = garboard)]
    fn listen(message: &Closure<dyn FnMut(JsValue)>, fault: &Closure<dyn FnMut(String)>);
    #[wasm_bindgen(js_namespace = garboard)]
    fn restart();
    #[wasm_bindgen(js_namespace = garboard)]
    fn drawn();
    /// How many messages were sent before, by another module of the page.
    #[wasm_bindgen(js_namespace = garboard)]
    fn sent() -> u32;
    /// Goes over to the module with all screens.
    #[wasm_bindgen(js_namespace = garboard, catch)]
    async fn whole() -> Result<JsValue, JsValue>;
}

/// What came back: the answer with the files beside it, or what went wrong.
pub(crate) type Outcome = Result<(Answer, Files), Trouble>;

type Waiting = Box<dyn FnOnce(Outcome)>;

/// The line; all copies are one.
#[derive(Clone)]
pub(crate) struct Keeper(Rc<Inner>);

impl PartialEq for Keeper {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

struct Inner {
    next: Cell<u32>,
    waiting: RefCell<Vec<(u32, Waiting)>>,
    held: RefCell<Vec<(u32, (Ask, Files))>>,
    n_restarts: Cell<u32>,
}

impl Keeper {
    /// Listens to the worker that the boot file started.
    pub(crate) fn connect(onreport: Callback<Report>, onstopped: Callback<()>) -> Self {
        let inner = Rc::new(Inner {
            // Answers to what another module asked are nobody's here.
            next: Cell::new(sent().wrapping_add(1)),
            waiting: RefCell::default(),
            held: RefCell::default(),
            n_restarts: Cell::new(0),
        });
        let on_message = {
            let inner = Rc::clone(&inner);
            Closure::<dyn FnMut(JsValue)>::new(move |message: JsValue| {
                inner.hear(&message, &onreport);
            })
        };
        let on_fault = {
            let inner = Rc::clone(&inner);
            Closure::<dyn FnMut(String)>::new(move |_what: String| inner.stopped(&onstopped))
        };
        listen(&on_message, &on_fault);
        // The page listens for as long as it lives.
        on_message.forget();
        on_fault.forget();
        Self(inner)
    }

    /// Asks; `then` is called once.
    pub(crate) fn ask(&self, ask: Ask, files: &Files, then: impl FnOnce(Outcome) + 'static) -> u32 {
        let number = self.0.next.get();
        self.0.next.set(number.wrapping_add(1));
        match garboard_protocol::encode(&Asked { number, ask }) {
            Ok(bytes) => {
                self.0.waiting.borrow_mut().push((number, Box::new(then)));
                let array = js_sys::Uint8Array::from(bytes.as_slice());
                send(array.buffer(), files.to_list());
            }
            Err(error) => then(Err(Trouble::new(
                TroubleKind::Fault,
                format!("This could not be handed on: {error}."),
                "What is saved is safe.",
                "Try again.",
            ))),
        }
        number
    }

    /// Tells that what is remembered stands on the screen, so that the log may be opened.
    pub(crate) fn has_drawn(&self) {
        drawn();
    }

    /// Keeps what could not be saved, to try again.
    pub(crate) fn hold(&self, number: u32, ask: Ask, files: Files) {
        self.0.held.borrow_mut().push((number, (ask, files)));
    }

    /// Gives back what was held, once.
    pub(crate) fn release(&self, number: u32) -> Option<(Ask, Files)> {
        take(&mut self.0.held.borrow_mut(), number)
    }
}

/// Takes the one with this number out.
fn take<T>(list: &mut Vec<(u32, T)>, number: u32) -> Option<T> {
    let idx = list.iter().position(|(known, _)| *known == number)?;
    Some(list.swap_remove(idx).1)
}

/// Goes over to the module with all screens, which then draws this one's place.
///
/// # Errors
///
/// When it cannot be had, with no network before it was ever fetched; this module stays.
pub(crate) async fn take_whole() -> Result<(), super::Error> {
    whole().await?;
    Ok(())
}

/// The page's build, as the site's builder named it.
pub(crate) fn own_build() -> String {
    build()
}

impl Inner {
    fn hear(&self, message: &JsValue, onreport: &Callback<Report>) {
        let part =
            |name: &str| js_sys::Reflect::get(message, &name.into()).unwrap_or(JsValue::UNDEFINED);
        let bytes = js_sys::Uint8Array::new(&part("bytes")).to_vec();
        match garboard_protocol::decode::<Told>(&bytes) {
            Ok(Told::Answer { number, answer }) => {
                let then = take(&mut self.waiting.borrow_mut(), number);
                if let Some(then) = then {
                    then(answer.map(|answer| (answer, Files::of_message(&part("files")))));
                }
            }
            Ok(Told::Report(report)) => onreport.emit(report),
            Err(error) => onreport.emit(Report::Trouble(Trouble::new(
                TroubleKind::OtherBuild,
                format!("The two halves of the program do not understand each other: {error}."),
                "What is saved is safe.",
                "Load the page again.",
            ))),
        }
    }

    /// A keeper that panicked cannot be trusted: another is started, and nobody waits for the old one.
    fn stopped(&self, onstopped: &Callback<()>) {
        let n_restarts = self.n_restarts.get().saturating_add(1);
        self.n_restarts.set(n_restarts);
        let waiting = std::mem::take(&mut *self.waiting.borrow_mut());
        if n_restarts <= 3 {
            restart();
            onstopped.emit(());
        }
        for (_, then) in waiting {
            then(Err(Trouble::new(
                TroubleKind::Fault,
                "The part of the program that keeps the log stopped before it was done.",
                "Everything that was shown as saved is safe.",
                if n_restarts <= 3 {
                    "It has been started again: try once more."
                } else {
                    "Load the page again."
                },
            )));
        }
    }
}
