//! The keeper at work: one ask after the other, each answered once.

use std::cell::{Cell, OnceCell, RefCell};
use std::collections::{BTreeSet, VecDeque};
use std::rc::Rc;

use garboard_protocol::{Answer, Ask, Asked, Report, Shrunk, decode};
use js_sys::{Array, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;

use super::files::Blob;
use super::pictures::{Shrinker, Unmade, Wanted};
use super::post;
use super::store::Store;
use super::tab::{self, Others};
use crate::session::Session;
use crate::trouble;

/// How long nothing must have happened before what the next start shows is brought up to date.
const REMEMBER_AFTER_MILLIS: i32 = 300;

/// Something to do, in its turn.
pub(crate) enum Job {
    /// Opens the storage and the log that was open last.
    Begin,
    /// The page asks.
    Ask {
        number: u32,
        ask: Ask,
        files: Vec<Blob>,
    },
    /// A photograph's smaller sizes were made, or could not be.
    Shrunk(Wanted, Result<Shrunk, Unmade>),
    /// Another tab wrote in this log.
    OtherTabWrote(String),
    /// This tab may write now.
    MayWrite,
    /// Nothing else is to be done: what the next start shows first is brought up to date.
    Remember,
}

/// The one keeper of this worker.
pub(crate) struct Keeper {
    pub(super) build: String,
    pub(super) is_refused: Cell<bool>,
    /// What the page was last told about the right to write; `None` before the greeting.
    pub(super) told_writer: Cell<Option<bool>>,
    pub(super) store: Store,
    pub(super) is_writer: Cell<bool>,
    pub(super) session: RefCell<Option<Session>>,
    pub(super) others: OnceCell<Others>,
    pub(super) shrinker: OnceCell<Rc<Shrinker>>,
    pub(super) must_remember: Cell<bool>,
    /// Chunks that were written or read since the opening was last kept.
    pub(super) n_unkept: Cell<usize>,
    /// How many parts are kept of the sound that is being said.
    pub(super) n_sound_parts: Cell<u32>,
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
        told_writer: Cell::new(None),
        store: Store::default(),
        is_writer: Cell::new(false),
        session: RefCell::default(),
        others: OnceCell::new(),
        shrinker: OnceCell::new(),
        must_remember: Cell::new(false),
        n_unkept: Cell::new(0),
        n_sound_parts: Cell::new(0),
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
    let made = Rc::downgrade(&keeper);
    let shrinker = Shrinker::new(move |wanted, told| {
        if let Some(keeper) = made.upgrade() {
            keeper.push(Job::Shrunk(wanted, told));
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
        && keeper.shrinker.set(shrinker).is_ok()
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
        return post::report(Report::Trouble(trouble::other_build()));
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
    /// Takes an ask: what only looks at a picture, or stops something, is answered out of turn.
    fn take(self: &Rc<Self>, asked: Asked, files: Vec<Blob>) {
        let Asked { number, ask } = asked;
        match ask {
            Ask::Stop { number: which } => {
                self.stopped.borrow_mut().insert(which);
                post::answer(number, Ok(Answer::Done.into()));
            }
            Ask::Picture { digest, size } if !self.is_refused.get() && self.is_open() => {
                let keeper = Rc::clone(self);
                spawn_local(async move {
                    let reply = keeper.picture(&digest, size).await;
                    post::answer(number, reply);
                });
            }
            ask => self.push(Job::Ask { number, ask, files }),
        }
    }

    fn is_open(&self) -> bool {
        self.session
            .try_borrow()
            .is_ok_and(|session| session.is_some())
    }

    /// Puts a job in the line, and works until the line is empty.
    pub(super) fn push(self: &Rc<Self>, job: Job) {
        self.waiting.borrow_mut().push_back(job);
        if self.is_busy.replace(true) {
            return;
        }
        let keeper = Rc::clone(self);
        spawn_local(async move {
            loop {
                let job = keeper.waiting.borrow_mut().pop_front();
                match job {
                    Some(job) => keeper.work(job).await,
                    None => break,
                }
            }
            keeper.is_busy.set(false);
            if keeper.must_remember.replace(false) {
                // Captures that follow at once come first.
                tab::wait(REMEMBER_AFTER_MILLIS).await;
                keeper.push(Job::Remember);
            }
        });
    }

    /// Whether the page asked to stop this work; lets the browser's events run first, so that the
    /// message can arrive.
    pub(super) async fn is_stopped(&self, number: u32) -> bool {
        tab::wait(0).await;
        self.stopped.borrow().contains(&number)
    }

    /// How far long work has come.
    pub(super) fn progress(&self, number: Option<u32>, what: &str, done: usize, of: usize) {
        post::report(Report::Progress {
            number,
            what: what.to_owned(),
            done: u32::try_from(done).unwrap_or(u32::MAX),
            of: u32::try_from(of).unwrap_or(u32::MAX),
        });
    }

    async fn work(self: &Rc<Self>, job: Job) {
        match job {
            Job::Begin => self.begin_session().await,
            Job::Ask { number, ask, files } => {
                let reply = if self.is_refused.get() {
                    Err(trouble::other_build())
                } else {
                    self.answer(number, ask, files).await
                };
                self.stopped.borrow_mut().remove(&number);
                post::answer(number, reply);
            }
            Job::Shrunk(wanted, told) => self.shrunk(wanted, told).await,
            Job::OtherTabWrote(log) => self.follow(&log).await,
            Job::MayWrite => {
                // What the other tab wrote last may not have been heard.
                if self.told_writer.get() == Some(false) {
                    self.follow_open().await;
                    self.told_writer.set(Some(true));
                    post::report(Report::Writer { is_writer: true });
                }
                self.want_missing_sizes().await;
            }
            Job::Remember => self.remember().await,
        }
    }
}
