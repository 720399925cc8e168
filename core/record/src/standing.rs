//! How things stand, worked out and never typed in: findings, repairs, upkeep, running stints.

use std::fmt;

use crate::kind::work::Stint;
use crate::word::{Decision, Role, Verdict};
use crate::{Body, Decimal, Entry, Id, Index, Snapshot, When, small};

/// How a finding stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Nothing has been done about it.
    Open,
    /// A repair is being made.
    InHand,
    /// The repair is done; no test has shown it good.
    NotTested,
    /// A test has shown the repair good.
    TestedGood,
    /// A temporary repair holds it.
    Temporary,
    /// It was repaired and is there again.
    CameBack,
    /// It was decided to leave it.
    Left,
}

impl Standing {
    /// Whether something remains to be done.
    #[must_use]
    pub fn is_open(self) -> bool {
        !matches!(self, Self::TestedGood | Self::Left)
    }
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Open => "open",
            Self::InHand => "in hand",
            Self::NotTested => "repaired, not tested",
            Self::TestedGood => "tested good",
            Self::Temporary => "temporary repair",
            Self::CameBack => "came back",
            Self::Left => "left as it is",
        })
    }
}

/// How a repair stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Progress {
    /// Decided, and nothing done yet.
    Planned,
    /// Begun.
    InHand,
    /// Every step is done.
    Done,
    /// It was decided to do nothing.
    Left,
}

impl fmt::Display for Progress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Planned => "planned",
            Self::InHand => "in hand",
            Self::Done => "done",
            Self::Left => "left as it is",
        })
    }
}

/// The repairs that are about a finding, in id order, struck ones left out.
pub fn repairs_of<'a>(
    snapshot: &'a Snapshot,
    index: &'a Index,
    finding: Id,
) -> impl Iterator<Item = &'a Entry> {
    index
        .wholes(finding, &Role::Finding)
        .filter_map(|id| snapshot.entry(id))
        .filter(|entry| !entry.is_struck() && matches!(entry.body, Body::Repair(_)))
}

/// The steps of a repair in their order: by their number, then as written; struck ones left out.
#[must_use]
pub fn steps_of<'a>(snapshot: &'a Snapshot, index: &'a Index, repair: Id) -> Vec<&'a Entry> {
    let mut steps: Vec<(u64, &Entry)> = index
        .by_field(snapshot, repair, "repair")
        .filter_map(|entry| match &entry.body {
            Body::Step(step) => Some((step.order.unwrap_or(u64::MAX), entry)),
            _ => None,
        })
        .collect();
    small::sort_by_key(&mut steps, |(order, entry)| (*order, entry.id));
    steps.into_iter().map(|(_, entry)| entry).collect()
}

/// How a repair stands.
#[must_use]
pub fn progress(snapshot: &Snapshot, index: &Index, repair: Id) -> Progress {
    let Some(Body::Repair(body)) = snapshot.entry(repair).map(|entry| &entry.body) else {
        return Progress::Planned;
    };
    if body.decision == Some(Decision::Leave) {
        return Progress::Left;
    }
    let steps = steps_of(snapshot, index, repair);
    let is_done = |entry: &&Entry| matches!(&entry.body, Body::Step(step) if step.done.is_some());
    if body.finished.is_some() || (!steps.is_empty() && steps.iter().all(is_done)) {
        return Progress::Done;
    }
    let begun = |entry: &Entry| match &entry.body {
        Body::Step(step) => step.begun.is_some() || step.done.is_some(),
        Body::Stint(_) => true,
        Body::Material(material) => material.fate == Some(crate::word::Fate::Used),
        _ => false,
    };
    if body.begun.is_some() || index.by_field(snapshot, repair, "repair").any(begun) {
        Progress::InHand
    } else {
        Progress::Planned
    }
}

/// How a finding stands.
#[must_use]
pub fn standing(snapshot: &Snapshot, index: &Index, finding: Id) -> Standing {
    if index
        .by_field(snapshot, finding, "again_of")
        .next()
        .is_some()
    {
        return Standing::CameBack;
    }
    let repairs: Vec<(&Entry, Progress)> = repairs_of(snapshot, index, finding)
        .map(|entry| (entry, progress(snapshot, index, entry.id)))
        .collect();
    if repairs.is_empty() {
        return match last_verdict(snapshot, index, finding, &[]) {
            Some(Verdict::Good) => Standing::TestedGood,
            _ => Standing::Open,
        };
    }
    if repairs
        .iter()
        .any(|(_, progress)| *progress == Progress::InHand)
    {
        return Standing::InHand;
    }
    let done: Vec<Id> = repairs
        .iter()
        .filter(|(_, progress)| *progress == Progress::Done)
        .map(|(entry, _)| entry.id)
        .collect();
    if done.is_empty() {
        let all_left = repairs
            .iter()
            .all(|(_, progress)| *progress == Progress::Left);
        return if all_left {
            Standing::Left
        } else {
            Standing::Open
        };
    }
    let permanent = repairs
        .iter()
        .any(|(entry, progress)| *progress == Progress::Done && !matches!(&entry.body, Body::Repair(repair) if repair.decision == Some(Decision::Temporary)));
    match last_verdict(snapshot, index, finding, &done) {
        Some(Verdict::Failed) => Standing::CameBack,
        _ if !permanent => Standing::Temporary,
        Some(Verdict::Good) => Standing::TestedGood,
        _ => Standing::NotTested,
    }
}

/// The verdict of the last test of a finding or of its repairs.
fn last_verdict(
    snapshot: &Snapshot,
    index: &Index,
    finding: Id,
    repairs: &[Id],
) -> Option<Verdict> {
    let of_finding = index.by_field(snapshot, finding, "finding");
    let of_repairs = repairs
        .iter()
        .flat_map(|repair| index.by_field(snapshot, *repair, "repair"));
    let mut tests: Vec<(i64, Id, Verdict)> = of_finding
        .chain(of_repairs)
        .filter_map(|entry| match &entry.body {
            Body::Test(test) => Some((entry.sort_key(), entry.id, test.verdict.clone()?)),
            _ => None,
        })
        .collect();
    small::sort_by_key(&mut tests, |(at, id, _)| (*at, *id));
    tests.pop().map(|(_, _, verdict)| verdict)
}

/// The milliseconds from a stint's start to its end.
#[must_use]
pub fn stint_millis(stint: &Stint) -> Option<i64> {
    stint.start.as_ref()?.millis_until(stint.end.as_ref()?)
}

/// A stint's hours, rounded to a hundredth; `None` while it runs.
///
/// Where start and end are known they count; otherwise the hours as written.
#[must_use]
pub fn stint_hours(stint: &Stint) -> Option<Decimal> {
    match stint_millis(stint) {
        Some(millis) if millis >= 0 => {
            let hours = rust_decimal::Decimal::from(millis).checked_div(3_600_000.into())?;
            Some(Decimal(hours).rounded(2))
        }
        Some(_) => None,
        None => stint
            .hours
            .filter(|hours| !hours.is_negative())
            .map(|hours| hours.rounded(2)),
    }
}

/// The stints that have begun and not ended, in id order.
pub fn running(snapshot: &Snapshot) -> impl Iterator<Item = &Entry> {
    snapshot.standing().filter(|entry| matches!(&entry.body, Body::Stint(stint) if stint.start.is_some() && stint.end.is_none() && stint.hours.is_none()))
}

/// When an upkeep was last done, and when it is due next, as far as known.
#[must_use]
pub fn upkeep_dates(
    snapshot: &Snapshot,
    index: &Index,
    upkeep: Id,
) -> (Option<When>, Option<When>) {
    let Some(Body::Upkeep(body)) = snapshot.entry(upkeep).map(|entry| &entry.body) else {
        return (None, None);
    };
    let done = index
        .by_field(snapshot, upkeep, "upkeep")
        .filter(|entry| matches!(entry.body, Body::UpkeepDone(_)))
        .filter_map(|entry| entry.statement.happened.clone());
    let last = done.chain(body.last.clone()).max_by_key(When::sort_key);
    let done_since = matches!((&last, &body.last), (Some(last), Some(first)) if last.sort_key() > first.sort_key())
        || (last.is_some() && body.last.is_none());
    let next = if done_since || body.next.is_none() {
        last.as_ref()
            .zip(body.interval.as_ref())
            .and_then(|(last, interval)| after(last, interval))
            .or_else(|| body.next.clone())
    } else {
        body.next.clone()
    };
    (last, next)
}

/// The day that lies an interval after another day.
fn after(from: &When, interval: &crate::Quantity) -> Option<When> {
    let day = chrono::NaiveDate::parse_from_str(from.day()?, "%Y-%m-%d").ok()?;
    let whole = u32::try_from(interval.value.0.trunc().mantissa())
        .ok()
        .filter(|_| interval.value.0.fract().is_zero())?;
    let next = match interval.unit.as_str() {
        "month" => day.checked_add_months(chrono::Months::new(whole))?,
        "year" => day.checked_add_months(chrono::Months::new(whole.checked_mul(12)?))?,
        "wk" => day.checked_add_days(chrono::Days::new(u64::from(whole) * 7))?,
        "d" => day.checked_add_days(chrono::Days::new(u64::from(whole)))?,
        _ => return None,
    };
    next.format("%Y-%m-%d").to_string().parse().ok()
}
