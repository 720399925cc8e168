//! The keeper at work: one ask after the other, each answered once.

use std::cell::{Cell, OnceCell, RefCell};
use std::collections::{BTreeSet, VecDeque};
use std::rc::Rc;

use garboard_protocol::{
    Answer, Ask, Asked, Hello, Report, StorageState, Trouble, TroubleKind, decode,
};
use js_sys::{Array, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;

use super::files::Blob;
use super::post::{self, Reply};
use super::store::{self, Store};
use super::tab::{self, Others};

/// Something to do, in its turn.
enum Job {
    /// Opens the storage and the log that was open last.
    Begin,
    /// The page asks.
    Ask {
        number: u32,
        ask: Ask,
        files: Vec<Blob>,
    },
    /// Another tab wrote in this log.
    OtherTabWrote(String),
    /// This tab may write now.
    MayWrite,
}

/// The one keeper of this worker.
pub(crate) struct Keeper {
    pub(crate) build: String,
    is_refused: Cell<bool>,
    has_greeted: Cell<bool>,
    pub(crate) store: Store,
    pub(crate) is_writer: Cell<bool>,
    others: OnceCell<Others>,
    waiting: RefCell<VecDeque<Job>>,
    is_busy: Cell<bool>,
    stopped: RefCell<BTreeSet<u32>>,
}

thread_local! {
    static KEEPER: OnceCell<Rc<Keeper>> = const { OnceCell::new() };
}

/// Starts the keeper; called once by the boot file.
#[wasm_bindgen]
pub fn start(build: String) {
    console_error_panic_hook::set_once();
    let keeper = Rc::new(Keeper {
        build,
        is_refused: Cell::new(false),
        has_greeted: Cell::new(false),
        store: Store::default(),
        is_writer: Cell::new(false),
        others: OnceCell::new(),
        waiting: RefCell::default(),
        is_busy: Cell::new(false),
        stopped: RefCell::default(),
    });
    let ear = Rc::downgrade(&keeper);
    let others = Others::listen(move |log| {
        if let Some(keeper) = ear.upgrade() {
            keeper.push(Job::OtherTabWrote(log));
        }
    });
    let right = Rc::downgrade(&keeper);
    tab::want_to_write(move || {
        if let Some(keeper) = right.upgrade() {
            keeper.is_writer.set(true);
            keeper.push(Job::MayWrite);
        }
    });
    let is_first = keeper.others.set(others).is_ok()
        && KEEPER.with(|cell| cell.set(Rc::clone(&keeper)).is_ok());
    if is_first {
        keeper.push(Job::Begin);
    }
}

/// Takes a message of the page.
#[wasm_bindgen]
pub fn receive(bytes: &JsValue, files: &JsValue) {
    let Some(keeper) = KEEPER.with(|cell| cell.get().cloned()) else {
        return;
    };
    let Ok(asked) = decode::<Asked>(&Uint8Array::new(bytes).to_vec()) else {
        keeper.is_refused.set(true);
        return post::report(Report::Trouble(other_build()));
    };
    let files = if Array::is_array(files) {
        Array::from(files)
            .iter()
            .filter_map(|file| file.dyn_into().ok())
            .collect()
    } else {
        Vec::new()
    };
    keeper.take(asked, files);
}

impl Keeper {
    fn take(self: &Rc<Self>, asked: Asked, files: Vec<Blob>) {
        let Asked { number, ask } = asked;
        match ask {
            Ask::Stop { number: which } => {
                self.stopped.borrow_mut().insert(which);
                post::answer(number, Ok(Answer::Done.into()));
            }
            ask => self.push(Job::Ask { number, ask, files }),
        }
    }

    fn push(self: &Rc<Self>, job: Job) {
        self.waiting.borrow_mut().push_back(job);
        if self.is_busy.replace(true) {
            return;
        }
        let keeper = Rc::clone(self);
        spawn_local(async move {
            while let Some(job) = keeper.next() {
                keeper.work(job).await;
            }
            keeper.is_busy.set(false);
        });
    }

    fn next(&self) -> Option<Job> {
        self.waiting.borrow_mut().pop_front()
    }

    async fn work(self: &Rc<Self>, job: Job) {
        match job {
            Job::Begin => {}
            Job::Ask { number, ask, files } => {
                let reply = self.answer(number, ask, files).await;
                self.stopped.borrow_mut().remove(&number);
                post::answer(number, reply);
            }
            Job::OtherTabWrote(_) => {}
            Job::MayWrite => {
                if self.has_greeted.get() {
                    post::report(Report::Writer { is_writer: true });
                }
            }
        }
    }

    async fn answer(
        self: &Rc<Self>,
        _number: u32,
        ask: Ask,
        _files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        if self.is_refused.get() {
            return Err(other_build());
        }
        match ask {
            Ask::Hello { build } => self.greet(&build).await,
            Ask::Logs => Ok(Answer::Logs(Vec::new()).into()),
            Ask::Storage => {
                let (used, allowed, is_persisted) = store::room().await;
                Ok(Answer::Storage(StorageState {
                    used,
                    allowed,
                    is_persisted,
                })
                .into())
            }
            _ => Err(Trouble::new(
                TroubleKind::Unable,
                "This part of the keeper is not there yet.",
                "Nothing was changed.",
                "Use the command line for it meanwhile.",
            )),
        }
    }

    async fn greet(&self, build: &str) -> Result<Reply, Trouble> {
        if build != self.build {
            self.is_refused.set(true);
            return Err(other_build());
        }
        // A page that was loaded anew gets the right from its earlier self, which takes a moment.
        for _ in 0..10 {
            if self.is_writer.get() {
                break;
            }
            tab::wait(40).await;
        }
        self.has_greeted.set(true);
        Ok(Answer::Hello(Box::new(Hello {
            build: self.build.clone(),
            opened: None,
            is_writer: self.is_writer.get(),
        }))
        .into())
    }
}

fn other_build() -> Trouble {
    Trouble::new(
        TroubleKind::OtherBuild,
        "The screens and the log's keeper are of different builds.",
        "Everything that was saved is untouched.",
        "Load the page again.",
    )
}
