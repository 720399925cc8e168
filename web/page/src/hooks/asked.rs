//! An ask whose answer follows the log: asked again whenever the log may have changed.

use std::rc::Rc;

use garboard_protocol::{Answer, Ask, Trouble};
use yew::{hook, use_effect_with, use_state};

use super::Desk;
use crate::browser::file::Files;

/// What an ask has come to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum AskedFor {
    /// Nothing yet.
    Waiting,
    /// The last answer.
    Here(Rc<Answer>),
    /// It cannot be had.
    Trouble(Rc<Trouble>),
}

/// Asks, and asks again when the log changes; the last answer stays until the next one comes.
#[hook]
pub(crate) fn use_asked(desk: &Desk, ask: Ask) -> AskedFor {
    let held = use_state(|| (None::<Ask>, AskedFor::Waiting));
    let asked_at = (desk.state.revision, desk.state.phase);
    {
        let held = held.clone();
        let desk = desk.clone();
        use_effect_with((ask.clone(), asked_at), move |(ask, _)| {
            let is_current = Rc::new(std::cell::Cell::new(true));
            let asked = ask.clone();
            let is_wanted = Rc::clone(&is_current);
            desk.ask(ask.clone(), &Files::default(), move |outcome| {
                if is_wanted.get() {
                    let answer = match outcome {
                        Ok((answer, _)) => AskedFor::Here(Rc::new(answer)),
                        Err(trouble) => AskedFor::Trouble(Rc::new(trouble)),
                    };
                    held.set((Some(asked), answer));
                }
            });
            move || is_current.set(false)
        });
    }
    match &*held {
        (Some(answered), answer) if *answered == ask => answer.clone(),
        _ => AskedFor::Waiting,
    }
}
