//! What a hand does on a picture goes into the log, and can be taken back.

use std::cell::RefCell;

use garboard_protocol::{Amend, Ask, Lift, Say, Strike, Trouble};
use yew::Callback;

use super::Hand;
use crate::browser::event::Finger;
use crate::json;
use crate::sketch::{Bench, Drawn, Point, Tool, Undo, next_number, pairs, written};

impl Hand {
    pub(super) fn change(&self, change: impl FnOnce(&mut Bench)) {
        change(&mut self.bench.borrow_mut());
        self.redraw.force_update();
    }

    pub(super) fn finger(&self, what: Finger, at: Point) {
        let marks = &self.picture.marks;
        let before = self.bench.borrow().clone();
        let drawn = {
            let mut bench = self.bench.borrow_mut();
            match what {
                Finger::Down => bench.press(at, marks),
                Finger::Along => bench.draw(at, marks),
                Finger::Gone => bench.let_go(),
                Finger::Up => {}
            }
            (what == Finger::Up)
                .then(|| bench.lift(at, marks))
                .flatten()
        };
        if drawn.is_some() || *self.bench.borrow() != before {
            self.done(drawn);
        }
    }

    /// Whether the key does something here.
    pub(super) fn key(&self, key: &str, is_shift: bool) -> bool {
        let step = if is_shift { 50 } else { 5 };
        let (dx, dy) = match key {
            "ArrowLeft" => (-step, 0),
            "ArrowRight" => (step, 0),
            "ArrowUp" => (0, -step),
            "ArrowDown" => (0, step),
            "Enter" | " " => {
                let drawn = {
                    let bench = self.bench.borrow();
                    bench
                        .tool
                        .filter(|_| bench.moved.is_none())
                        .map(|tool| Drawn::New(tool, tool.in_the_middle()))
                };
                if drawn.is_none() && self.bench.borrow().moved.is_none() {
                    return false;
                }
                let kept = self.bench.borrow_mut().keep();
                self.done(drawn.or(kept));
                return true;
            }
            "Escape" => {
                self.change(Bench::back);
                return true;
            }
            "Delete" | "Backspace" => {
                let chosen = self
                    .bench
                    .borrow()
                    .chosen_of(&self.picture.marks)
                    .map(|mark| mark.entry.clone());
                return chosen.is_some_and(|entry| {
                    self.strike(&entry);
                    true
                });
            }
            _ => return false,
        };
        let has_moved = self.bench.borrow_mut().nudge(dx, dy, &self.picture.marks);
        self.redraw.force_update();
        has_moved
    }

    /// What was drawn or moved goes into the log.
    pub(super) fn done(&self, drawn: Option<Drawn>) {
        match drawn {
            Some(Drawn::New(tool, points)) => self.add(tool, &points),
            Some(Drawn::Moved(entry, points)) => {
                let before = self
                    .picture
                    .marks
                    .iter()
                    .find(|mark| mark.entry == entry)
                    .map(|mark| pairs(&mark.points))
                    .unwrap_or_default();
                if before != points {
                    let undo = Some(Undo::Move(entry.clone(), before));
                    self.move_to(&entry, &points, "Moved, and saved", undo);
                }
            }
            None => {}
        }
        self.redraw.force_update();
    }

    pub(super) fn keep(&self) {
        let kept = self.bench.borrow_mut().keep();
        self.done(kept);
    }

    pub(super) fn add(&self, tool: Tool, points: &[Point]) {
        let words = match tool {
            Tool::Number => next_number(&self.picture.marks).to_string(),
            Tool::Words => self.bench.borrow().words.trim().to_owned(),
            _ => String::new(),
        };
        if tool == Tool::Words && words.is_empty() {
            return self.change(|bench| {
                bench.says = "Write the words first, then touch where they belong.".to_owned();
                bench.undo = None;
            });
        }
        let mut fields = vec![
            ("photograph".to_owned(), json::string(&self.photograph)),
            ("shape".to_owned(), json::string(tool.word())),
            ("points".to_owned(), written(points)),
        ];
        if !words.is_empty() {
            fields.push(("words".to_owned(), json::string(&words)));
        }
        let ask = Ask::Say(Say {
            kind: "mark".to_owned(),
            fields: json::object(&fields),
            happened: None,
            at_work: false,
        });
        self.say(ask, move |bench, entry| {
            bench.says = format!("{} drawn, and saved", tool.label());
            bench.undo = Some(Undo::Strike(entry.clone()));
            bench.choose(Some(entry));
            if tool == Tool::Words {
                bench.words.clear();
            }
        });
    }

    pub(super) fn move_to(
        &self,
        entry: &str,
        points: &[Point],
        says: &'static str,
        undo: Option<Undo>,
    ) {
        let sees = self
            .picture
            .marks
            .iter()
            .find(|mark| mark.entry == entry)
            .map(|mark| mark.sees.clone())
            .unwrap_or_default();
        let ask = Ask::Amend(Amend {
            entry: entry.to_owned(),
            field: "points".to_owned(),
            value: written(points),
            sees,
        });
        self.say(ask, move |bench, _| {
            says.clone_into(&mut bench.says);
            bench.undo = undo;
        });
    }

    pub(super) fn strike(&self, entry: &str) {
        let ask = Ask::Strike(Strike {
            entry: entry.to_owned(),
            why: String::new(),
            sees: Vec::new(),
        });
        self.say(ask, |bench, entry| {
            bench.says = "Struck, and saved. It stays in the log.".to_owned();
            bench.undo = Some(Undo::Lift(entry));
            bench.choose(None);
        });
    }

    pub(super) fn lift_strike(&self, entry: &str) {
        let ask = Ask::Lift(Lift {
            entry: entry.to_owned(),
            sees: Vec::new(),
        });
        self.say(ask, |bench, entry| {
            bench.says = "The strike is lifted, and saved".to_owned();
            bench.undo = Some(Undo::Strike(entry));
        });
    }

    pub(super) fn undo(&self) {
        let undo = self.bench.borrow_mut().undo.take();
        match undo {
            Some(Undo::Strike(entry)) => self.strike(&entry),
            Some(Undo::Lift(entry)) => self.lift_strike(&entry),
            Some(Undo::Move(entry, points)) => {
                self.move_to(
                    &entry,
                    &points,
                    "It lies where it lay, and that is saved",
                    None,
                );
            }
            None => {}
        }
    }

    /// Says something, and tells what came of it.
    pub(super) fn say(&self, ask: Ask, then: impl FnOnce(&mut Bench, String) + 'static) {
        let hand = self.clone();
        let then = RefCell::new(Some(then));
        self.desk.say_about(
            ask,
            Callback::from(move |outcome: Result<Vec<String>, Trouble>| {
                hand.change(|bench| match outcome {
                    Ok(entries) => {
                        if let (Some(then), Some(entry)) =
                            (then.borrow_mut().take(), entries.into_iter().next())
                        {
                            then(bench, entry);
                        }
                    }
                    Err(trouble) => {
                        bench.says = format!(
                            "Not saved: {} {}",
                            trouble.happened,
                            crate::state::rest_of(&trouble)
                        );
                        bench.undo = None;
                    }
                });
            }),
        );
    }
}
