//! Tasks and what holds between them: the earliest and the latest times at which all of it is kept.
//!
//! Each link says that a task begins at least so long after another has ended, and, for a coat, at most so long.
//! Beginning with the earliest thinkable times, whatever breaks a link is moved later until nothing is broken; the result is
//! the earliest plan there is (the longest path where work goes on day and night). What is moved without end, or past a
//! fixed time, cannot be kept, and the links that moved it say why.

use super::hours::{Hours, Runs};

/// Rounds after which a plan with working hours counts as one that cannot be kept.
const MOST_ROUNDS: usize = 20_000;
const WEEK: i64 = 7 * super::hours::DAY;

/// One task.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Task {
    /// What it is called.
    pub(super) name: String,
    /// How long it takes, in seconds of work.
    pub(super) work: i64,
    /// How it uses its time.
    pub(super) runs: Runs,
    /// The earliest time at which it may begin.
    pub(super) not_before: i64,
    /// The one time at which it begins.
    pub(super) fixed: Option<i64>,
    /// Its row among the inputs; what was put in has none.
    pub(super) row: Option<usize>,
}

/// That one task comes after another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Link {
    /// The first task.
    pub(super) first: usize,
    /// The second task.
    pub(super) second: usize,
    /// How long after the first has ended the second begins, at least.
    pub(super) least: i64,
    /// And at most.
    pub(super) most: Option<i64>,
}

/// What moved a task to its time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Push {
    /// The link.
    pub(super) link: usize,
    /// Whether the second task drew the first after it, for the sake of the longest time between them.
    pub(super) drawn: bool,
}

/// When a task is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    /// When it begins.
    pub(super) begin: i64,
    /// When it ends.
    pub(super) end: i64,
    /// What it waits for; nothing where it begins as soon as it may.
    pub(super) because: Option<Push>,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stuck {
    /// The task that cannot be where it must.
    pub(super) task: usize,
    /// The time to which it would have to move.
    pub(super) moved_to: i64,
    /// Whether its time is fixed; otherwise the links go round in a circle.
    pub(super) fixed: bool,
    /// What moved it, the nearest first.
    pub(super) chain: Vec<Push>,
}

/// Tasks, the links between them, the hours of work and the beginning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Network {
    /// The tasks.
    pub(super) tasks: Vec<Task>,
    /// The links.
    pub(super) links: Vec<Link>,
    /// The hours of work.
    pub(super) hours: Hours,
    /// The beginning.
    pub(super) start: i64,
}

/// Whether all that moved since has moved by the same whole weeks, so that it will do so again and again.
///
/// Working hours are the same each week once the last free day is over, and what stands still only helps what moves later.
fn repeats(before: &[i64], now: &[i64], week: &super::hours::Week) -> bool {
    let mut by = None;
    for (before, now) in before.iter().zip(now).filter(|(before, now)| before != now) {
        let moved = now - before;
        let free_day_ahead = week
            .off
            .last()
            .is_some_and(|day| *before < (day + 1) * super::hours::DAY);
        if moved % WEEK != 0 || by.is_some_and(|by| by != moved) || free_day_ahead {
            return false;
        }
        by = Some(moved);
    }
    by.is_some()
}

impl Network {
    fn span(&self, task: &Task, begin: i64, because: Option<Push>) -> Span {
        Span {
            begin,
            end: self.hours.end(task.runs, task.work, begin),
            because,
        }
    }

    /// A time by which every plan that can be kept has long ended.
    fn horizon(&self) -> i64 {
        let Hours::Week(week) = &self.hours else {
            return i64::MAX;
        };
        let weekly = week.weekly().max(1);
        let begin = self
            .tasks
            .iter()
            .map(|task| task.not_before.max(task.fixed.unwrap_or(self.start)))
            .fold(self.start, i64::max);
        let tasks: i64 = self
            .tasks
            .iter()
            .map(|task| task.work + (task.work / weekly + 2) * WEEK)
            .sum();
        let links: i64 = self
            .links
            .iter()
            .map(|link| link.least + link.most.unwrap_or(0))
            .sum();
        let off = i64::try_from(week.off.len()).unwrap_or(0) * super::hours::DAY;
        begin + tasks + links + off
    }

    /// The earliest plan, beginning with one that is nowhere later, or with the earliest thinkable times.
    pub(super) fn earliest(&self, known: &[Span]) -> Result<Vec<Span>, Stuck> {
        let mut spans = known.to_vec();
        for task in self.tasks.iter().skip(known.len()) {
            let wanted = task
                .fixed
                .unwrap_or_else(|| self.start.max(task.not_before));
            let begin = self.hours.begin_from(task.runs, task.work, wanted);
            spans.push(self.span(task, begin, None));
        }
        let horizon = self.horizon();
        let begins = |spans: &[Span]| -> Vec<i64> { spans.iter().map(|span| span.begin).collect() };
        let (mut marked, mut marked_at) = (begins(&spans), 0_usize);
        for round in 0.. {
            let mut last_moved = None;
            for (at, link) in self.links.iter().enumerate() {
                let Some((moved, begin, drawn)) = self.broken(link, &spans) else {
                    continue;
                };
                let (Some(task), Some(span)) = (self.tasks.get(moved), spans.get_mut(moved)) else {
                    continue;
                };
                *span = self.span(task, begin, Some(Push { link: at, drawn }));
                if task.fixed.is_some_and(|fixed| begin > fixed) {
                    return Err(self.stuck(moved, begin, true, &spans));
                }
                last_moved = Some((moved, begin));
            }
            let Some((moved, begin)) = last_moved else {
                break;
            };
            let circle = match &self.hours {
                Hours::Always => round > 2 * self.tasks.len() + 2,
                Hours::Week(week) => {
                    begin > horizon
                        || round > MOST_ROUNDS
                        || round > marked_at && repeats(&marked, &begins(&spans), week)
                }
            };
            if circle {
                return Err(self.stuck(moved, begin, false, &spans));
            }
            if round > 2 * marked_at {
                (marked, marked_at) = (begins(&spans), round);
            }
        }
        Ok(spans)
    }

    /// What must move where, and whether it is drawn, if a link is broken.
    fn broken(&self, link: &Link, spans: &[Span]) -> Option<(usize, i64, bool)> {
        let (first, second) = (spans.get(link.first)?, spans.get(link.second)?);
        if second.begin < first.end + link.least {
            let task = self.tasks.get(link.second)?;
            let begin = self
                .hours
                .begin_from(task.runs, task.work, first.end + link.least);
            return Some((link.second, begin, false));
        }
        let by = second.begin - link.most?;
        if first.end < by {
            let task = self.tasks.get(link.first)?;
            let begin = self.hours.begin_to_end_after(task.runs, task.work, by);
            return Some((link.first, begin, true));
        }
        None
    }

    /// The task that pushed another, by the link through which it did.
    pub(super) fn pusher(&self, push: Push) -> Option<usize> {
        let link = self.links.get(push.link)?;
        Some(if push.drawn { link.second } else { link.first })
    }

    /// What moved a task, the nearest first, and the tasks passed; ends where a task began as soon as it might, or comes round.
    pub(super) fn behind(&self, task: usize, spans: &[Span]) -> (Vec<Push>, Vec<usize>) {
        let (mut chain, mut passed) = (Vec::new(), vec![task]);
        let mut now = task;
        while let Some(push) = spans.get(now).and_then(|span| span.because) {
            let Some(before) = self.pusher(push) else {
                break;
            };
            chain.push(push);
            if let Some(from) = passed.iter().position(|seen| *seen == before) {
                chain.drain(..from);
                break;
            }
            passed.push(before);
            now = before;
        }
        (chain, passed)
    }

    fn stuck(&self, task: usize, moved_to: i64, fixed: bool, spans: &[Span]) -> Stuck {
        let (chain, _) = self.behind(task, spans);
        Stuck {
            task,
            moved_to,
            fixed,
            chain,
        }
    }

    /// The latest times at which each task can begin without making the earliest plan longer.
    pub(super) fn latest(&self, earliest: &[Span]) -> Vec<i64> {
        let end = earliest.iter().map(|span| span.end).max().unwrap_or(0);
        let mut latest: Vec<i64> = self
            .tasks
            .iter()
            .map(|task| {
                task.fixed
                    .unwrap_or_else(|| self.hours.begin_to_end(task.runs, task.work, end))
            })
            .collect();
        for _ in 0..MOST_ROUNDS {
            let mut moved = false;
            for link in &self.links {
                let (Some(first), Some(second)) =
                    (self.tasks.get(link.first), self.tasks.get(link.second))
                else {
                    continue;
                };
                let (Some(a), Some(b)) = (
                    latest.get(link.first).copied(),
                    latest.get(link.second).copied(),
                ) else {
                    continue;
                };
                let ahead = self
                    .hours
                    .begin_to_end(first.runs, first.work, b - link.least);
                let a = if ahead < a { ahead } else { a };
                let behind = link.most.map_or(b, |most| {
                    let by = self.hours.end(first.runs, first.work, a) + most;
                    self.hours.begin_until(second.runs, second.work, by).min(b)
                });
                for (at, time) in [(link.first, a), (link.second, behind)] {
                    if let Some(now) = latest.get_mut(at)
                        && *now > time
                    {
                        *now = time;
                        moved = true;
                    }
                }
            }
            if !moved {
                break;
            }
        }
        latest
    }

    /// The tasks of a circle of waiting, where there is one.
    pub(super) fn circle(&self) -> Option<Vec<usize>> {
        let mut left: Vec<usize> = (0..self.tasks.len()).collect();
        loop {
            let free: Vec<usize> = left
                .iter()
                .copied()
                .filter(|task| {
                    !self
                        .links
                        .iter()
                        .any(|link| link.second == *task && left.contains(&link.first))
                })
                .collect();
            if free.is_empty() {
                break;
            }
            left.retain(|task| !free.contains(task));
        }
        let mut round = vec![*left.first()?];
        // Everything left waits for something left: walking back comes round.
        while let Some(before) = round.last().and_then(|task| {
            self.links
                .iter()
                .find(|link| link.second == *task && left.contains(&link.first))
        }) {
            if let Some(from) = round.iter().position(|seen| *seen == before.first) {
                round.drain(..from);
                break;
            }
            round.push(before.first);
        }
        round.reverse();
        Some(round)
    }
}
