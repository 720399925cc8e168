//! The desk: the state, and everything a person can do to it.

use std::rc::Rc;

use garboard_protocol::{Answer, Ask, Filter, Report, Trouble, TroubleKind, Window, WorkAt};
use yew::{Callback, UseReducerDispatcher, hook, use_effect_with, use_memo, use_reducer};

use crate::browser::{self, file::Files, keeper::Keeper, keeper::Outcome};
use crate::state::{Action, Route, State, rest_of};

/// The state, and everything a person can do to it.
#[derive(Clone, PartialEq)]
pub(crate) struct Desk {
    /// What the screens show.
    pub(crate) state: Rc<State>,
    dispatcher: UseReducerDispatcher<State>,
    keeper: Keeper,
}

/// Sets up the desk; once, in the outermost component.
#[hook]
pub(crate) fn use_desk_here() -> Desk {
    let state = use_reducer(|| {
        State::new(
            Route::of_hash(&browser::address::hash()),
            browser::device::is_wide(),
        )
    });
    let dispatcher = state.dispatcher();
    let keeper = use_memo((), |()| {
        let reported = dispatcher.clone();
        let stopped = dispatcher.clone();
        Keeper::connect(
            Callback::from(move |report: Report| reported.dispatch(Action::Told(report))),
            Callback::from(move |()| {
                stopped.dispatch(Action::Stopped);
                stopped.dispatch(Action::Notice {
                    lead: "The part of the program that keeps the log stopped and was started again.".to_owned(),
                    rest: "Everything that was shown as saved is safe. Look whether your last entry is there.".to_owned(),
                    entry: None, is_passing: false,
                });
            }),
        )
    });
    let desk = Desk {
        state: Rc::new((*state).clone()),
        dispatcher: state.dispatcher(),
        keeper: (*keeper).clone(),
    };
    {
        let desk = desk.clone();
        use_effect_with((), move |()| {
            desk.greet();
            let went = desk.dispatcher.clone();
            let wide = desk.dispatcher.clone();
            let newer = desk.dispatcher;
            let listeners = [
                browser::address::listen(Callback::from(move |hash: String| {
                    went.dispatch(Action::Went(Route::of_hash(&hash)));
                })),
                browser::device::on_wide(Callback::from(move |is_wide| {
                    wide.dispatch(Action::Wide(is_wide));
                })),
                browser::device::on_newer(Callback::from(move |news| {
                    newer.dispatch(Action::NewerReady(news));
                })),
            ];
            move || drop(listeners)
        });
    }
    {
        let keeper = desk.keeper.clone();
        let is_remembered = desk.state.phase == crate::state::Phase::Remembered;
        use_effect_with(is_remembered, move |is_remembered| {
            if *is_remembered {
                keeper.has_drawn();
            }
        });
    }
    {
        // Whenever the log may have changed, what is on screen is asked for again.
        let desk = desk.clone();
        let is_open = desk.state.phase == crate::state::Phase::Open;
        use_effect_with((desk.state.revision, is_open), move |_| {
            if is_open {
                desk.ask_rows();
                desk.ask_choices();
                desk.ask_heading();
            } else if desk.state.phase == crate::state::Phase::Start {
                desk.ask_logs();
            }
        });
    }
    desk
}

impl Desk {
    /// Changes the state.
    pub(crate) fn dispatch(&self, action: Action) {
        self.dispatcher.dispatch(action);
    }

    /// Asks the keeper.
    pub(crate) fn ask(&self, ask: Ask, files: &Files, then: impl FnOnce(Outcome) + 'static) -> u32 {
        if !is_long(&ask) {
            return self.keeper.ask(ask, files, then);
        }
        let dispatcher = self.dispatcher.clone();
        let number = Rc::new(std::cell::Cell::new(0));
        let known = Rc::clone(&number);
        let asked = self.keeper.ask(ask, files, move |outcome| {
            dispatcher.dispatch(Action::Ended(known.get()));
            then(outcome);
        });
        number.set(asked);
        asked
    }

    /// Goes to a screen. It is drawn at once: what the browser tells of the address may come late, or not at all while
    /// the page is still loading.
    pub(crate) fn go(&self, route: &Route) {
        browser::address::go(&route.hash());
        self.dispatch(Action::Went(route.clone()));
    }

    /// Leaves this screen for the one before, or for its tab when there is none.
    pub(crate) fn back(&self) {
        if self.state.depth > 0 {
            browser::address::back();
        } else {
            browser::address::replace(&self.state.section.route().hash());
        }
    }

    /// Tells the person good news; the next takes its place.
    pub(crate) fn tell(&self, lead: impl Into<String>, rest: impl Into<String>) {
        self.dispatch(Action::Notice {
            lead: lead.into(),
            rest: rest.into(),
            entry: None,
            is_passing: true,
        });
    }

    /// Tells the person something that stays until it is put away.
    pub(crate) fn warn(&self, lead: impl Into<String>, rest: impl Into<String>) {
        self.dispatch(Action::Notice {
            lead: lead.into(),
            rest: rest.into(),
            entry: None,
            is_passing: false,
        });
    }

    /// Tells the person what went wrong.
    pub(crate) fn tell_trouble(&self, trouble: &Trouble) {
        match trouble.kind {
            TroubleKind::OtherBuild => self.dispatch(Action::NewerReady(String::new())),
            TroubleKind::Stopped => {}
            _ => self.warn(trouble.happened.clone(), rest_of(trouble)),
        }
    }

    /// Greets the keeper; says which build this is.
    fn greet(&self) {
        let desk = self.clone();
        self.ask(
            Ask::Hello {
                build: browser::keeper::own_build(),
            },
            &Files::default(),
            move |outcome| match outcome {
                Ok((Answer::Hello(hello), _)) => desk.dispatch(Action::Greeted(*hello)),
                Ok(_) => {}
                Err(trouble) if trouble.kind == TroubleKind::Fault => {
                    // A new keeper runs already; it wants a greeting too.
                    desk.greet();
                }
                Err(trouble) => {
                    desk.tell_trouble(&trouble);
                    desk.dispatch(Action::Left);
                }
            },
        );
    }

    fn ask_logs(&self) {
        let desk = self.clone();
        self.ask(Ask::Logs, &Files::default(), move |outcome| {
            if let Ok((Answer::Logs(logs), _)) = outcome {
                desk.dispatch(Action::Logs(logs));
            }
        });
    }

    fn ask_rows(&self) {
        let filter = self.state.filter.clone();
        let desk = self.clone();
        let ask = Ask::Rows {
            filter: filter.clone(),
            window: Window {
                skip: 0,
                take: self.state.take,
            },
        };
        self.ask(ask, &Files::default(), move |outcome| {
            if let Ok((Answer::Rows(rows), _)) = outcome {
                desk.dispatch(Action::Rows(filter, rows));
            }
        });
    }

    fn ask_choices(&self) {
        let desk = self.clone();
        self.ask(Ask::Choices, &Files::default(), move |outcome| {
            if let Ok((Answer::Choices(choices), _)) = outcome {
                desk.dispatch(Action::Choices(*choices));
            }
        });
    }

    /// Asks for the heading again: where the person works, running stints, differences, remarks.
    fn ask_heading(&self) {
        let desk = self.clone();
        self.ask(Ask::Overview, &Files::default(), move |outcome| {
            if let Ok((Answer::Opened(opened), _)) = outcome {
                desk.dispatch(Action::Heading(*opened));
            }
        });
    }

    /// Opens, begins or leaves a log.
    pub(crate) fn open(&self, ask: Ask, files: &Files, done: Callback<()>) -> u32 {
        let desk = self.clone();
        self.ask(ask, files, move |outcome| {
            done.emit(());
            match outcome {
                Ok((Answer::Opened(opened), _)) => {
                    browser::address::replace(&Route::Log.hash());
                    desk.dispatch(Action::Opened(*opened));
                }
                Ok((Answer::Done, _)) => {
                    browser::address::replace(&Route::Log.hash());
                    desk.dispatch(Action::Left);
                }
                Ok(_) => {}
                Err(trouble) => desk.tell_trouble(&trouble),
            }
        })
    }

    /// Says something: shown at once, called saved when it is, and kept to try again when it is not.
    pub(crate) fn capture(
        &self,
        words: impl Into<String>,
        ask: Ask,
        files: &Files,
        then: Callback<Vec<String>>,
    ) {
        self.has_worked();
        let words = words.into();
        let desk = self.clone();
        let (held_ask, held_files) = (ask.clone(), files.clone());
        // The number is known only once it was asked; the answer never comes before that.
        let number = Rc::new(std::cell::Cell::new(0));
        let known = Rc::clone(&number);
        let asked = self.ask(ask, files, move |outcome| {
            let number = known.get();
            match outcome {
                Ok((Answer::Saved(saved), _)) => {
                    let entries: Vec<String> =
                        saved.deeds.iter().map(|deed| deed.entry.clone()).collect();
                    let n_repeats = saved.deeds.iter().filter(|deed| deed.is_repeat).count();
                    desk.dispatch(Action::Saved {
                        number,
                        entries: entries.clone(),
                    });
                    for remark in saved.remarks {
                        desk.dispatch(Action::Notice {
                            lead: "Saved, with a remark".to_owned(),
                            rest: remark,
                            entry: entries.first().cloned(),
                            is_passing: true,
                        });
                    }
                    if n_repeats > 0 {
                        desk.tell(
                            "This picture was in the log already",
                            "Its bytes are kept once; the entry is new.",
                        );
                    }
                    then.emit(entries);
                }
                Ok(_) => desk.dispatch(Action::LetGo(number)),
                Err(trouble) => {
                    desk.keeper.hold(number, held_ask, held_files);
                    desk.dispatch(Action::NotSaved { number, trouble });
                }
            }
        });
        number.set(asked);
        self.dispatch(Action::Captured {
            number: asked,
            words,
        });
    }

    /// Tries again what was not saved.
    pub(crate) fn retry(&self, number: u32, words: &str) {
        self.dispatch(Action::LetGo(number));
        if let Some((ask, files)) = self.keeper.release(number) {
            self.capture(words, ask, &files, Callback::noop());
        }
    }

    /// Saves what was not saved as files instead: the pictures as they are, and the words as text.
    pub(crate) fn save_aside(&self, number: u32) {
        let Some((ask, files)) = self.keeper.release(number) else {
            return;
        };
        self.keeper.hold(number, ask.clone(), files.clone());
        let text = Files::of_text(&aside_text(&ask));
        let stamp = browser::locale::now_millis();
        let mut names: Vec<String> = (1..=files.len())
            .map(|n| format!("not-saved-{stamp}-{n}"))
            .collect();
        names.push(format!("not-saved-{stamp}.txt"));
        if let Err(error) = files.and(&text).download(&names) {
            self.warn("It could not be saved as a file either", error.0);
        }
    }

    /// Lets go of what was not saved; the person said so.
    pub(crate) fn let_go(&self, number: u32) {
        self.keeper.release(number);
        self.dispatch(Action::LetGo(number));
    }

    /// Says something from a form that stays open until it is saved; `then` hears what came of it.
    pub(crate) fn say_about(&self, ask: Ask, then: Callback<Result<Vec<String>, Trouble>>) {
        self.has_worked();
        let desk = self.clone();
        self.ask(ask, &Files::default(), move |outcome| match outcome {
            Ok((Answer::Saved(saved), _)) => {
                for remark in saved.remarks {
                    desk.tell("Saved, with a remark", remark);
                }
                let entries: Vec<String> = saved.deeds.into_iter().map(|deed| deed.entry).collect();
                desk.dispatch(Action::Saved {
                    number: 0,
                    entries: entries.clone(),
                });
                then.emit(Ok(entries));
            }
            Ok(_) => {}
            Err(trouble) => then.emit(Err(trouble)),
        });
    }

    /// Under which name the browser remembers when the person last captured something or said where they work.
    fn worked_key(&self) -> String {
        let log = self
            .state
            .opened
            .as_ref()
            .map_or("", |opened| opened.log.as_str());
        format!("worked.{log}")
    }

    fn has_worked(&self) {
        browser::memory::keep(
            &self.worked_key(),
            &browser::locale::now_millis().to_string(),
        );
    }

    /// Whether the person may be elsewhere by now: nothing was captured for eight hours.
    pub(crate) fn is_stale(&self) -> bool {
        const IDLE_MILLIS: i64 = 8 * 3_600_000;
        browser::memory::recall(&self.worked_key())
            .parse::<i64>()
            .is_ok_and(|last| browser::locale::now_millis() - last > IDLE_MILLIS)
    }

    /// The person is still where the strip says.
    pub(crate) fn stay(&self) {
        self.has_worked();
        self.dispatch(Action::Touched);
    }

    /// Sets where the person works.
    pub(crate) fn work_at(&self, work_at: WorkAt) {
        self.has_worked();
        let desk = self.clone();
        self.ask(
            Ask::WorkAt(work_at),
            &Files::default(),
            move |outcome| match outcome {
                Ok((Answer::WorkingAt(working_at), _)) => {
                    desk.dispatch(Action::WorkingAt(working_at));
                }
                Ok(_) => {}
                Err(trouble) => desk.tell_trouble(&trouble),
            },
        );
    }

    /// Shows the log with some rows only.
    pub(crate) fn sift(&self, filter: Filter) {
        self.dispatch(Action::Sift(filter));
        self.go(&Route::Log);
    }

    /// Stops long work.
    pub(crate) fn stop(&self, number: u32) {
        self.ask(Ask::Stop { number }, &Files::default(), |_outcome| {});
    }
}

/// What was to be said, in words that a person can write down again.
fn aside_text(ask: &Ask) -> String {
    let words = match ask {
        Ask::Say(say) => format!("{}\n{}\n", say.kind, say.fields),
        Ask::Amend(amend) => format!("{} {}\n{}\n", amend.entry, amend.field, amend.value),
        Ask::Strike(strike) => format!("strike {}\n{}\n", strike.entry, strike.why),
        Ask::Shoot(shoot) => format!(
            "photographs {} {}\n",
            shoot.stage.as_deref().unwrap_or_default(),
            shoot.shows
        ),
        _ => format!("{ask:?}\n"),
    };
    format!("Garboard could not save this. Write it down again when there is room.\n\n{words}")
}

/// Whether an ask reports how far it is.
fn is_long(ask: &Ask) -> bool {
    matches!(
        ask,
        Ask::Begin { .. }
            | Ask::Open { .. }
            | Ask::OpenDemo
            | Ask::Shoot(_)
            | Ask::LookAt
            | Ask::MakeParcel { .. }
            | Ask::Receive { .. }
            | Ask::MakeDossier(_)
            | Ask::Check
    )
}
