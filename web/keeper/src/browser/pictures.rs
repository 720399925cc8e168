//! Smaller sizes of photographs, made by the press one after the other.
//!
//! When the press fails, or takes too long, it is ended and the original is as it was.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use garboard_protocol::{PressAnswer, PressAsk, Shrunk};
use garboard_record::{Digest, Id};
use wasm_bindgen_futures::spawn_local;

use super::files::Blob;
use super::press::Press;
use super::tab;

/// So often an idle press looks for more work before it is let go.
const N_LOOKS: u32 = 25;

/// So long it waits from look to look.
const LOOK_MILLIS: i32 = 200;

/// Why there are no smaller sizes.
#[derive(Debug, Clone)]
pub(crate) enum Unmade {
    /// The picture cannot be decoded, and why.
    Picture(String),
    /// The press is not here: without a network it comes only when it was fetched before.
    NoPress,
}

type Told = Result<Shrunk, Unmade>;

/// A photograph whose smaller sizes are wanted.
#[derive(Debug, Clone)]
pub(crate) struct Wanted {
    /// The photograph.
    pub(crate) entry: Id,
    /// Its original's digest.
    pub(crate) digest: Digest,
    /// Its original.
    pub(crate) original: Blob,
}

/// Makes smaller sizes, one photograph after the other.
pub(crate) struct Shrinker {
    waiting: RefCell<VecDeque<Wanted>>,
    is_busy: Cell<bool>,
    done: Box<dyn Fn(Wanted, Told)>,
}

impl Shrinker {
    /// A shrinker that tells `done` what came of each.
    pub(crate) fn new(done: impl Fn(Wanted, Told) + 'static) -> Rc<Self> {
        Rc::new(Self {
            waiting: RefCell::default(),
            is_busy: Cell::new(false),
            done: Box::new(done),
        })
    }

    /// How many are waiting or in work.
    pub(crate) fn n_waiting(&self) -> usize {
        self.waiting.borrow().len() + usize::from(self.is_busy.get())
    }

    /// Whether a photograph is waiting already.
    pub(crate) fn is_waiting(&self, entry: Id) -> bool {
        self.waiting.borrow().iter().any(|one| one.entry == entry)
    }

    /// The next in the line, also when it comes a little later: a press that is ended gives its memory back late, and
    /// with a fresh one for each of many pictures several would lie there.
    async fn next(&self) -> Option<Wanted> {
        for _ in 0..N_LOOKS {
            let next = self.waiting.borrow_mut().pop_front();
            if next.is_some() {
                return next;
            }
            tab::wait(LOOK_MILLIS).await;
        }
        None
    }

    /// Puts a photograph in the line.
    pub(crate) fn want(self: &Rc<Self>, wanted: Wanted) {
        self.waiting.borrow_mut().push_back(wanted);
        if self.is_busy.replace(true) {
            return;
        }
        let shrinker = Rc::clone(self);
        spawn_local(async move {
            let mut press: Option<Press> = None;
            loop {
                let Some(wanted) = shrinker.next().await else {
                    break;
                };
                let told = match press.take().map_or_else(Press::start, Ok) {
                    Ok(at_work) => match at_work.ask(&PressAsk::Shrink, [&wanted.original]).await {
                        Some(PressAnswer::Shrunk(told)) => {
                            press = Some(at_work);
                            told.map_err(Unmade::Picture)
                        }
                        _ => Err(whose_fault().await),
                    },
                    Err(_) => Err(Unmade::NoPress),
                };
                (shrinker.done)(wanted, told);
            }
            drop(press);
            shrinker.is_busy.set(false);
        });
    }
}

/// Whether it was the picture that a press failed on, or no press came at all: a fresh one is asked.
async fn whose_fault() -> Unmade {
    let is_there = match Press::start() {
        Ok(press) => press.ask(&PressAsk::Greet, []).await.is_some(),
        Err(_) => false,
    };
    if is_there {
        Unmade::Picture(
            "the picture could not be decoded in the memory or time that this browser gives"
                .to_owned(),
        )
    } else {
        Unmade::NoPress
    }
}
