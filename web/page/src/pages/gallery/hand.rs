//! What is done with the pictures on the tray: looked at, made small, taken in one by one.

use std::rc::Rc;

use garboard_protocol::{Answer, Ask, Looked, Report, Shoot, TroubleKind};

use super::{Fate, Hand, N_SHOWN, TELL_EVERY, Tray};
use crate::browser::file::Files;
use crate::browser::picture;
use crate::runs::runs;
use crate::state::Action;

impl Hand {
    pub(super) fn change(&self, change: impl FnOnce(&mut Tray)) {
        change(&mut self.tray.borrow_mut());
        self.redraw.force_update();
    }

    /// Has the keeper look at pictures; nothing is kept of them yet.
    pub(super) fn look(&self, files: Files, place: &str) {
        let place = place.to_owned();
        let hand = self.clone();
        let seen = files.clone();
        let number = self.desk.ask(Ask::LookAt, &files, move |outcome| {
            hand.change(|tray| {
                tray.looking = None;
                match outcome {
                    Ok((Answer::Looked(looked), _)) => {
                        tray.lay(seen, looked, &place);
                        hand.clone().make_small();
                    }
                    Ok(_) => {}
                    Err(trouble) if trouble.kind == TroubleKind::Stopped => {}
                    Err(trouble) => tray.trouble = Some(trouble),
                }
            });
        });
        self.change(|tray| {
            *tray = Tray {
                files,
                looking: Some(number),
                ..Tray::default()
            };
        });
    }

    /// Makes small pictures, one after the other: first those that are seen at once. While pictures are taken in it
    /// rests, since a decoded picture takes the memory that is wanted there.
    pub(super) fn make_small(self) {
        let tray = Rc::clone(&self.tray);
        wasm_bindgen_futures::spawn_local(async move {
            let (files, order) = {
                let tray = tray.borrow();
                let of = |from: usize, most: usize| {
                    tray.runs
                        .iter()
                        .flat_map(move |run| run.pictures.iter().skip(from).take(most).copied())
                };
                let order: Vec<usize> = of(0, N_SHOWN)
                    .chain(of(N_SHOWN, usize::MAX))
                    .filter(|idx| matches!(tray.addresses.get(*idx), Some(None)))
                    .collect();
                (tray.files.clone(), order)
            };
            for (n, idx) in order.iter().enumerate() {
                if tray.borrow().must_rest() {
                    return;
                }
                let small = picture::small(&files.one(*idx)).await;
                let mut now = tray.borrow_mut();
                if now.files != files {
                    // Others lie on the tray meanwhile.
                    return;
                }
                if let Some(address) = now.addresses.get_mut(*idx) {
                    *address = small;
                }
                drop(now);
                if n < 12 || n % 12 == 0 || n + 1 == order.len() {
                    self.redraw.force_update();
                }
            }
        });
    }

    /// Takes in what is wanted, one picture after the other: each is whole in the log, or not in it at all.
    pub(super) fn begin(&self) {
        let queue: Vec<(usize, String)> = {
            let tray = self.tray.borrow();
            let all = tray.runs.iter().flat_map(|run| {
                run.pictures
                    .iter()
                    .map(|picture| (*picture, run.place.clone()))
            });
            all.filter(|(idx, _)| tray.fates.get(*idx) == Some(&Fate::Wanted))
                .collect()
        };
        self.change(|tray| {
            tray.doing = Some((0, queue.len()));
            tray.must_stop = false;
            tray.says.clear();
            tray.trouble = None;
        });
        self.next(Rc::new(queue), 0);
    }

    pub(super) fn next(&self, queue: Rc<Vec<(usize, String)>>, done: usize) {
        let of = queue.len();
        self.change(|tray| tray.doing = Some((done, of)));
        self.tell(done, of);
        let must_stop = self.tray.borrow().must_stop;
        let Some((idx, place)) = queue.get(done).filter(|_| !must_stop).cloned() else {
            return self.end(done, of);
        };
        let (file, stage) = {
            let tray = self.tray.borrow();
            (tray.files.one(idx), tray.stage.clone())
        };
        let ask = Ask::Shoot(Shoot {
            stage: Some(stage).filter(|stage| !stage.is_empty()),
            place: Some(place).filter(|place| !place.is_empty()),
            ..Shoot::default()
        });
        let hand = self.clone();
        self.desk.ask(ask, &file, move |outcome| {
            // Trouble with one picture is that picture's; any other is everybody's.
            let is_over = matches!(&outcome, Err(trouble) if trouble.kind != TroubleKind::BadFile);
            hand.change(|tray| {
                let fate = match outcome {
                    Ok(_) => Fate::Saved,
                    Err(trouble) if is_over => {
                        tray.trouble = Some(trouble);
                        tray.must_stop = true;
                        return;
                    }
                    Err(trouble) => Fate::Failed(trouble.happened),
                };
                if let Some(known) = tray.fates.get_mut(idx) {
                    *known = fate;
                }
            });
            hand.next(queue, if is_over { done } else { done + 1 });
        });
    }

    /// Tells the other screens how far it is, now and then.
    pub(super) fn tell(&self, done: usize, of: usize) {
        if done.is_multiple_of(TELL_EVERY) || done >= of {
            self.desk.dispatch(Action::Told(Report::Progress {
                number: None,
                what: "Taking in pictures".to_owned(),
                done: u32::try_from(done).unwrap_or(u32::MAX),
                of: u32::try_from(of).unwrap_or(u32::MAX),
            }));
            self.desk.dispatch(Action::Touched);
        }
    }

    pub(super) fn end(&self, done: usize, of: usize) {
        self.tell(of, of);
        self.change(|tray| {
            tray.doing = None;
            let n_failed = tray
                .fates
                .iter()
                .filter(|fate| matches!(fate, Fate::Failed(_)))
                .count();
            let saved = done.saturating_sub(n_failed);
            tray.says = if done < of {
                format!(
                    "Stopped. {saved} of {of} are in the log and saved; the others were not touched."
                )
            } else if n_failed > 0 {
                format!("{saved} of {of} are in the log and saved. {n_failed} could not be: open “One by one” to see why.")
            } else {
                format!("All {of} are in the log and saved.")
            };
        });
        if self
            .tray
            .borrow()
            .fates
            .iter()
            .any(|fate| *fate != Fate::Saved)
        {
            self.clone().make_small();
        }
    }
}

impl Tray {
    /// Whether nobody looks at small pictures, or their memory is wanted for others.
    fn must_rest(&self) -> bool {
        self.is_left || self.doing.is_some()
    }

    pub(super) fn lay(&mut self, files: Files, looked: Vec<Looked>, place: &str) {
        self.addresses = (0..files.len()).map(|_| None).collect();
        self.fates = looked
            .iter()
            .map(|one| {
                if one.refused.is_empty() && one.known.is_none() && one.twin_of.is_none() {
                    Fate::Wanted
                } else {
                    Fate::Left
                }
            })
            .collect();
        let n_known = looked.iter().filter(|one| one.known.is_some()).count();
        let n_twins = looked.iter().filter(|one| one.twin_of.is_some()).count();
        let mut says = Vec::new();
        if n_known > 0 {
            says.push(format!("{n_known} in the log already"));
        }
        if n_twins > 0 {
            says.push(format!("{n_twins} here twice"));
        }
        self.says = if says.is_empty() {
            String::new()
        } else {
            format!(
                "{}: these are left out unless you tick them.",
                says.join(", ")
            )
        };
        self.runs = runs(&looked, place);
        self.looked = looked;
        self.files = files;
    }
}
