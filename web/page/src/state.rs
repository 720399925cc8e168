//! What the screens show, as one value, and how it changes: a pure reducer, tested without a browser.

use std::rc::Rc;

use garboard_protocol::{
    Choices, Filter, Hello, LogCard, Opened, Remembered, Report, Row, Rows, RunningStint, Trouble,
    TroubleKind, WorkingAt,
};

pub(crate) mod route;

pub(crate) use route::{Route, Section};

/// How many rows are asked for at a time.
pub(crate) const ROWS_AT_A_TIME: u32 = 100;

/// How far the page has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Phase {
    /// The keeper has not answered yet, and nothing was remembered.
    #[default]
    Opening,
    /// What was remembered is shown; the keeper is still opening the log.
    Remembered,
    /// No log is open.
    Start,
    /// A log is open.
    Open,
}

/// A capture on its way into the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Pending {
    /// The number by which it is known.
    pub(crate) number: u32,
    /// What it is, in words: "3 photographs".
    pub(crate) words: String,
    /// Why it is not saved; `None` while it is being saved.
    pub(crate) trouble: Option<Trouble>,
}

/// Long work that shows how far it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Progress {
    /// The ask that it belongs to; `None` for the keeper's own work.
    pub(crate) number: Option<u32>,
    /// What is being done.
    pub(crate) what: String,
    /// Done so far.
    pub(crate) done: u32,
    /// Of how many; 0 when not known.
    pub(crate) of: u32,
}

/// Something to tell the person, until it is put away.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Notice {
    /// By which it is put away.
    pub(crate) number: u32,
    /// What happened.
    pub(crate) lead: String,
    /// What is safe and what to do; may be blank.
    pub(crate) rest: String,
    /// An entry to look at.
    pub(crate) entry: Option<String>,
    /// Whether the next good news takes its place; trouble stays until it is put away.
    pub(crate) is_passing: bool,
}

/// Everything that the screens show.
#[derive(Debug, Clone, Default)]
pub(crate) struct State {
    /// Counts the changes, so that two states are quickly told apart.
    pub(crate) version: u32,
    /// How far the page has come.
    pub(crate) phase: Phase,
    /// The logs on this device.
    pub(crate) logs: Option<Rc<Vec<LogCard>>>,
    /// The open log's heading.
    pub(crate) opened: Option<Rc<Opened>>,
    /// The rows of the log's page.
    pub(crate) rows: Option<Rc<Rows>>,
    /// Which rows are wanted.
    pub(crate) filter: Filter,
    /// How many rows are wanted.
    pub(crate) take: u32,
    /// What forms are made of.
    pub(crate) choices: Option<Rc<Choices>>,
    /// The stage chosen by hand for photographs; `None` leaves it to the keeper.
    pub(crate) stage: Option<String>,
    /// Which screen.
    pub(crate) route: Route,
    /// Under which tab.
    pub(crate) section: Section,
    /// How many screens lie behind this one.
    pub(crate) depth: u32,
    /// Captures on their way, newest first.
    pub(crate) pending: Vec<Pending>,
    /// Long work.
    pub(crate) progress: Vec<Progress>,
    /// Notices, newest last.
    pub(crate) notices: Vec<Notice>,
    /// The entries saved since the page was opened, newest first.
    pub(crate) fresh: Vec<String>,
    /// Rises whenever something in the log may have changed.
    pub(crate) revision: u32,
    /// Rises whenever pictures may have come.
    pub(crate) pictures: u32,
    /// Whether another tab writes.
    pub(crate) is_follower: bool,
    /// What the newer build of the site brings that lies ready, a line each; `None` when none does.
    pub(crate) newer: Option<String>,
    /// Whether there is room for two columns.
    pub(crate) is_wide: bool,
    next_notice: u32,
}

impl PartialEq for State {
    fn eq(&self, other: &Self) -> bool {
        self.version == other.version
    }
}

/// What can happen to the state.
#[derive(Debug, Clone)]
pub(crate) enum Action {
    /// The keeper greeted.
    Greeted(Hello),
    /// A log is open.
    Opened(Opened),
    /// The log was left.
    Left,
    /// The logs on this device.
    Logs(Vec<LogCard>),
    /// Rows came for the filter and length as they were asked for.
    Rows(Filter, Rows),
    /// Other rows are wanted.
    Sift(Filter),
    /// More rows are wanted.
    Deeper,
    /// What forms are made of.
    Choices(Choices),
    /// Where the person works.
    WorkingAt(WorkingAt),
    /// A stage was chosen for the photographs to come.
    Stage(Option<String>),
    /// The open log's heading again.
    Heading(Opened),
    /// The address changed.
    Went(Route),
    /// A capture is on its way.
    Captured {
        /// The number by which it is known.
        number: u32,
        /// What it is, in words.
        words: String,
    },
    /// A capture is durable.
    Saved {
        /// The number by which it is known.
        number: u32,
        /// The entries to show.
        entries: Vec<String>,
    },
    /// A capture was not saved.
    NotSaved {
        /// The number by which it is known.
        number: u32,
        /// Why.
        trouble: Trouble,
    },
    /// A capture that was not saved is let go of, or tried again.
    LetGo(u32),
    /// Long work ended.
    Ended(u32),
    /// The keeper reported.
    Told(Report),
    /// The keeper stopped and was started again.
    Stopped,
    /// Something to tell.
    Notice {
        /// What happened.
        lead: String,
        /// The rest.
        rest: String,
        /// An entry to look at.
        entry: Option<String>,
        /// Whether the next good news takes its place.
        is_passing: bool,
    },
    /// A notice is put away.
    PutAway(u32),
    /// A newer build lies ready, with what it brings.
    NewerReady(String),
    /// The width changed.
    Wide(bool),
    /// Something in the log may have changed.
    Touched,
}

impl State {
    /// The state before anything is known.
    pub(crate) fn new(route: Route, is_wide: bool) -> Self {
        Self {
            section: route.section().unwrap_or_default(),
            route,
            is_wide,
            take: ROWS_AT_A_TIME,
            ..Self::default()
        }
    }

    /// Where the person works.
    pub(crate) fn working_at(&self) -> Option<&WorkingAt> {
        self.opened.as_ref().map(|opened| &opened.working_at)
    }

    /// This hand's running stint.
    pub(crate) fn own_stint(&self) -> Option<&RunningStint> {
        self.opened
            .as_ref()?
            .stints
            .iter()
            .find(|stint| stint.is_mine)
    }

    /// Whether this tab may write. While the log is still being opened, what is captured waits for the keeper.
    pub(crate) fn can_write(&self) -> bool {
        self.opened.is_some() && !self.is_follower
    }

    /// The state after an action.
    pub(crate) fn after(&self, action: Action) -> Self {
        let mut next = self.clone();
        next.version = next.version.wrapping_add(1);
        next.apply(action);
        next
    }

    fn apply(&mut self, action: Action) {
        match action {
            Action::Greeted(hello) => {
                self.is_follower = !hello.is_writer;
                match hello.opened {
                    Some(opened) => self.open(opened),
                    None => self.leave(),
                }
            }
            Action::Opened(opened) => self.open(opened),
            Action::Left => self.leave(),
            Action::Logs(logs) => self.logs = Some(Rc::new(logs)),
            Action::Rows(filter, rows) => {
                if filter == self.filter {
                    self.rows = Some(Rc::new(rows));
                }
            }
            Action::Sift(filter) => {
                if filter != self.filter {
                    self.filter = filter;
                    self.take = ROWS_AT_A_TIME;
                    self.touch();
                }
            }
            Action::Deeper => {
                self.take = self.take.saturating_add(ROWS_AT_A_TIME);
                self.touch();
            }
            Action::Choices(choices) => self.choices = Some(Rc::new(choices)),
            Action::WorkingAt(working_at) => self.work_at(working_at),
            Action::Stage(stage) => self.stage = stage,
            Action::Heading(heading) => {
                if self
                    .opened
                    .as_ref()
                    .is_some_and(|opened| opened.log == heading.log)
                {
                    self.opened = Some(Rc::new(heading));
                }
            }
            Action::Went(route) => self.go(route),
            Action::Captured { number, words } => {
                self.pending.insert(
                    0,
                    Pending {
                        number,
                        words,
                        trouble: None,
                    },
                );
            }
            Action::Saved { number, entries } => {
                self.pending.retain(|pending| pending.number != number);
                for entry in entries {
                    self.fresh.retain(|known| *known != entry);
                    self.fresh.insert(0, entry);
                }
                self.fresh.truncate(20);
                self.touch();
            }
            Action::NotSaved { number, trouble } => {
                if let Some(pending) = self
                    .pending
                    .iter_mut()
                    .find(|pending| pending.number == number)
                {
                    pending.trouble = Some(trouble);
                }
            }
            Action::LetGo(number) => self.pending.retain(|pending| pending.number != number),
            Action::Ended(number) => self
                .progress
                .retain(|progress| progress.number != Some(number)),
            Action::Told(report) => self.told(report),
            Action::Stopped => self.progress.clear(),
            Action::Notice {
                lead,
                rest,
                entry,
                is_passing,
            } => self.notice(lead, rest, entry, is_passing),
            Action::PutAway(number) => self.notices.retain(|notice| notice.number != number),
            Action::NewerReady(news) => self.newer = Some(news),
            Action::Wide(is_wide) => self.is_wide = is_wide,
            Action::Touched => self.touch(),
        }
    }

    fn open(&mut self, opened: Opened) {
        let is_other = self
            .opened
            .as_ref()
            .is_none_or(|before| before.log != opened.log);
        if is_other {
            self.rows = None;
            self.filter = Filter::default();
            self.take = ROWS_AT_A_TIME;
            self.choices = None;
            self.stage = None;
            self.fresh.clear();
        }
        self.opened = Some(Rc::new(opened));
        self.phase = Phase::Open;
        self.touch();
    }

    fn leave(&mut self) {
        self.phase = Phase::Start;
        self.opened = None;
        self.rows = None;
        self.choices = None;
        self.route = Route::default();
        self.section = Section::default();
        self.touch();
    }

    fn go(&mut self, route: Route) {
        if route == self.route {
            return;
        }
        self.depth = if route.section().is_some() {
            0
        } else {
            self.depth.saturating_add(1)
        };
        if let Some(section) = route.section() {
            self.section = section;
        }
        self.route = route;
        // A notice was about the screen before.
        self.notices.clear();
    }

    fn work_at(&mut self, working_at: WorkingAt) {
        let has_moved = self.working_at().is_some_and(|before| {
            before.place.as_ref().map(|place| &place.id)
                != working_at.place.as_ref().map(|place| &place.id)
                || before.finding != working_at.finding
                || before.repair != working_at.repair
        });
        if has_moved {
            self.stage = None;
        }
        self.with_opened(|opened| opened.working_at = working_at);
    }

    fn told(&mut self, report: Report) {
        match report {
            Report::Remembered(remembered) => {
                if self.phase == Phase::Opening {
                    let Remembered { opened, rows } = *remembered;
                    self.opened = Some(Rc::new(opened));
                    self.rows = Some(Rc::new(rows));
                    self.phase = Phase::Remembered;
                }
            }
            Report::Progress {
                number,
                what,
                done,
                of,
            } => {
                self.progress.retain(|progress| progress.number != number);
                if of == 0 || done < of {
                    self.progress.push(Progress {
                        number,
                        what,
                        done,
                        of,
                    });
                }
            }
            Report::PictureReady { .. } => {
                self.pictures = self.pictures.wrapping_add(1);
                self.touch();
            }
            Report::PictureFailed { entry, why, .. } => {
                let rest = format!("{} The original is kept as it came.", sentence(&why));
                self.notice(
                    "A photograph has no smaller picture".to_owned(),
                    rest,
                    Some(entry),
                    false,
                );
            }
            Report::Changed => self.touch(),
            Report::WorkingAt(working_at) => self.work_at(working_at),
            Report::Writer { is_writer } => {
                self.is_follower = !is_writer;
                self.touch();
            }
            Report::Trouble(trouble) => self.trouble(&trouble),
        }
    }

    fn trouble(&mut self, trouble: &Trouble) {
        if trouble.kind == TroubleKind::NoLog {
            self.leave();
        } else if trouble.kind != TroubleKind::Stopped {
            self.notice(trouble.happened.clone(), rest_of(trouble), None, false);
        }
    }

    fn notice(&mut self, lead: String, rest: String, entry: Option<String>, is_passing: bool) {
        if is_passing {
            self.notices.retain(|notice| !notice.is_passing);
        }
        self.notices
            .retain(|notice| notice.lead != lead || notice.rest != rest);
        self.next_notice = self.next_notice.wrapping_add(1);
        self.notices.push(Notice {
            number: self.next_notice,
            lead,
            rest,
            entry,
            is_passing,
        });
        if self.notices.len() > 3 {
            self.notices.remove(0);
        }
    }

    fn touch(&mut self) {
        self.revision = self.revision.wrapping_add(1);
    }

    fn with_opened(&mut self, change: impl FnOnce(&mut Opened)) {
        if let Some(opened) = &mut self.opened {
            change(Rc::make_mut(opened));
        }
    }
}

/// What is safe and what to do, as one text.
pub(crate) fn rest_of(trouble: &Trouble) -> String {
    [trouble.safe.as_str(), trouble.remedy.as_str()]
        .iter()
        .filter(|part| !part.is_empty())
        .copied()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Words as a sentence: a capital letter and a full stop.
fn sentence(words: &str) -> String {
    let mut chars = words.trim_end_matches('.').chars();
    match chars.next() {
        Some(first) => format!("{}{}.", first.to_ascii_uppercase(), chars.as_str()),
        None => String::new(),
    }
}

/// The rows of one day, in the order given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Day<'a> {
    /// The day as written, perhaps only a month or a year.
    pub(crate) date: &'a str,
    /// Its rows.
    pub(crate) rows: Vec<&'a Row>,
}

/// Groups rows by the day on which things happened.
pub(crate) fn by_day(rows: &[Row]) -> Vec<Day<'_>> {
    let mut days: Vec<Day<'_>> = Vec::new();
    for row in rows {
        let date = row.happened.split('T').next().unwrap_or_default();
        match days.last_mut() {
            Some(day) if day.date == date => day.rows.push(row),
            _ => days.push(Day {
                date,
                rows: vec![row],
            }),
        }
    }
    days
}

impl yew::Reducible for State {
    type Action = Action;

    fn reduce(self: Rc<Self>, action: Action) -> Rc<Self> {
        Rc::new(self.after(action))
    }
}

#[cfg(test)]
mod tests;
