//! Two pictures in one frame, asked for when the spots change.

use std::rc::Rc;

use garboard_protocol::{Answer, Ask};
use yew::{hook, use_effect_with, use_state};

use super::Desk;
use crate::browser::file::{Address, Files};
use crate::state::rest_of;

/// Two pictures in one frame.
#[derive(Clone, Default)]
pub(crate) enum Laid {
    /// Nothing to be laid, or it is not laid yet.
    #[default]
    Waiting,
    /// The earlier and the later picture.
    Here(Rc<Address>, Rc<Address>),
    /// Why they are not laid, in words.
    Not(String),
}

/// The earlier and the later picture in one frame, by these spots; what was laid last stays until the next comes.
#[hook]
pub(crate) fn use_laid(desk: &Desk, photograph: &str, spots: &[u64]) -> Laid {
    let laid = use_state(Laid::default);
    {
        let (laid, desk) = (laid.clone(), desk.clone());
        let asked = (photograph.to_owned(), spots.to_vec(), desk.state.phase);
        use_effect_with(asked, move |(photograph, spots, _)| {
            let is_wanted = Rc::new(std::cell::Cell::new(true));
            if spots.is_empty() {
                laid.set(Laid::Waiting);
            } else {
                let wanted = Rc::clone(&is_wanted);
                let ask = Ask::Lay {
                    photograph: photograph.clone(),
                    spots: spots.clone(),
                };
                desk.ask(ask, &Files::default(), move |outcome| {
                    if !wanted.get() {
                        return;
                    }
                    laid.set(match outcome {
                        Ok((Answer::Laid(Some(why)), _)) => Laid::Not(why),
                        Ok((_, files)) => match (files.one(0).address(), files.one(1).address()) {
                            (Some(earlier), Some(later)) => {
                                Laid::Here(Rc::new(earlier), Rc::new(later))
                            }
                            _ => Laid::Waiting,
                        },
                        Err(trouble) => {
                            Laid::Not(format!("{} {}", trouble.happened, rest_of(&trouble)))
                        }
                    });
                });
            }
            move || is_wanted.set(false)
        });
    }
    (*laid).clone()
}
