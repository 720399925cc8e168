//! The hours in which work goes on, in whole seconds of the clock on the wall.

use std::collections::BTreeSet;

/// The seconds of a day.
pub(super) const DAY: i64 = 86_400;

/// How a task uses its time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Runs {
    /// In working hours, and may be left overnight.
    Worked,
    /// In working hours of one day: what cannot be left half done.
    InOneGo,
    /// Day and night: what cures or dries by itself.
    Clock,
}

/// When work goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Hours {
    /// Day and night.
    Always,
    /// On some days of the week, between two times of day.
    Week(Week),
}

/// Working hours by the week.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Week {
    /// Monday first; at least one is worked.
    pub(super) days: [bool; 7],
    /// Seconds after midnight at which work begins.
    pub(super) from: i64,
    /// Seconds after midnight at which it ends; later than it begins.
    pub(super) to: i64,
    /// Days since 1970 on which nobody works.
    pub(super) off: BTreeSet<i64>,
}

impl Week {
    /// The hours of a day, where it is worked. Day 0 was a Thursday.
    fn of(&self, day: i64) -> Option<(i64, i64)> {
        let weekday = usize::try_from((day + 3).rem_euclid(7)).unwrap_or(0);
        let worked = self.days.get(weekday).copied().unwrap_or(false) && !self.off.contains(&day);
        worked.then_some((day * DAY + self.from, day * DAY + self.to))
    }

    /// The days from this one on that are worked, each with its hours; free days are finitely many, so it never ends.
    fn onwards(&self, day: i64) -> impl Iterator<Item = (i64, i64)> {
        (day..).filter_map(|day| self.of(day))
    }

    /// The days from this one back.
    fn backwards(&self, day: i64) -> impl Iterator<Item = (i64, i64)> {
        (0..).filter_map(move |n| self.of(day - n))
    }

    /// The seconds of work in a week without free days.
    pub(super) fn weekly(&self) -> i64 {
        let n = self.days.iter().filter(|worked| **worked).count();
        i64::try_from(n).unwrap_or(0) * (self.to - self.from)
    }
}

impl Hours {
    /// The week, where the task keeps to it: what takes no time may be at any.
    fn week(&self, runs: Runs, work: i64) -> Option<&Week> {
        match self {
            Self::Week(week) if runs != Runs::Clock && work > 0 => Some(week),
            _ => None,
        }
    }

    /// Whether a task of this length fits anywhere.
    pub(super) fn fits(&self, runs: Runs, work: i64) -> bool {
        match self.week(runs, work) {
            Some(week) => runs != Runs::InOneGo || work <= week.to - week.from,
            None => true,
        }
    }

    /// The earliest time from `t` on at which a task that fits can begin.
    pub(super) fn begin_from(&self, runs: Runs, work: i64, t: i64) -> i64 {
        let Some(week) = self.week(runs, work) else {
            return t;
        };
        let whole = if runs == Runs::InOneGo { work } else { 1 };
        week.onwards(t.div_euclid(DAY))
            .find(|(from, to)| t.max(*from) + whole <= *to)
            .map_or(t, |(from, _)| t.max(from))
    }

    /// The latest time up to `t` at which a task that fits can begin.
    pub(super) fn begin_until(&self, runs: Runs, work: i64, t: i64) -> i64 {
        let Some(week) = self.week(runs, work) else {
            return t;
        };
        let whole = if runs == Runs::InOneGo { work } else { 1 };
        week.backwards(t.div_euclid(DAY))
            .find(|(from, _)| t >= *from)
            .map_or(t, |(_, to)| t.min(to - whole))
    }

    /// When a task ends that begins at `t`, a time at which it can begin.
    pub(super) fn end(&self, runs: Runs, work: i64, t: i64) -> i64 {
        let Some(week) = self.week(runs, work).filter(|_| runs == Runs::Worked) else {
            return t + work;
        };
        let mut left = work;
        for (from, to) in week.onwards(t.div_euclid(DAY)) {
            let begin = t.max(from);
            if begin + left <= to {
                return begin + left;
            }
            left -= (to - begin).max(0);
        }
        t + work
    }

    /// The latest time at which a task can begin that has ended by `t`.
    pub(super) fn begin_to_end(&self, runs: Runs, work: i64, t: i64) -> i64 {
        let Some(week) = self.week(runs, work) else {
            return t - work;
        };
        let mut left = work;
        for (from, to) in week.backwards(t.div_euclid(DAY)) {
            let end = t.min(to);
            if end - left >= from {
                return end - left;
            }
            if runs == Runs::Worked {
                left -= (end - from).max(0);
            }
        }
        t - work
    }

    /// The earliest time at which a task can begin that does not end before `t`.
    pub(super) fn begin_to_end_after(&self, runs: Runs, work: i64, t: i64) -> i64 {
        let begin = self.begin_to_end(runs, work, t);
        if self.end(runs, work, begin) >= t {
            begin
        } else {
            self.begin_from(runs, work, begin + 1)
        }
    }

    /// The seconds between two times in which a task that runs so could go on; none where the second is the earlier.
    pub(super) fn between(&self, runs: Runs, work: i64, first: i64, second: i64) -> i64 {
        let Some(week) = self.week(runs, work) else {
            return (second - first).max(0);
        };
        week.onwards(first.div_euclid(DAY))
            .take_while(|(from, _)| *from < second)
            .map(|(from, to)| (second.min(to) - first.max(from)).max(0))
            .sum()
    }
}
