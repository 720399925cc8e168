//! The order of the work: what a step waits for, which windows run, and what closing up would hide.

use crate::kind::work::{Batch, Material, Step};
use crate::standing::{Progress, progress, steps_of};
use crate::when::Precision;
use crate::word::{Fate, Range, Role, Stage};
use crate::{Body, Decimal, Entry, Id, Index, Quantity, Snapshot, When};

/// Why a step cannot be done yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wait {
    /// Another step must be done first.
    Step(Id),
    /// The hold point of another step is not met.
    Hold(Id),
    /// The coat before must not be covered yet, by the product's data sheet.
    Recoat {
        /// The step with the coat before.
        after: Id,
        /// The earliest time.
        earliest: When,
    },
}

/// How a hold point stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// The step holds nothing.
    None,
    /// Nothing shows it met yet.
    Open,
    /// The last reading lies outside the limits.
    Missed(Id),
    /// Met by this reading, paper or test.
    Met(Id),
}

impl Hold {
    /// Whether the work may go on.
    #[must_use]
    pub fn is_met(self) -> bool {
        matches!(self, Self::None | Self::Met(_))
    }
}

/// How a step's hold point stands: by what the step names, else by the last fitting reading since the step was begun.
///
/// A reading fits when it is of the hold point's quantity and belongs to the step's repair, or to a finding or the place
/// of that repair. A value over or under the instrument's range meets no limit on that side.
#[must_use]
pub fn hold(snapshot: &Snapshot, index: &Index, step: Id) -> Hold {
    let Some((entry, body)) = step_of(snapshot, step) else {
        return Hold::None;
    };
    if body.hold.is_none() && body.hold_least.is_none() && body.hold_most.is_none() {
        return Hold::None;
    }
    if let Some(met) = body.hold_met {
        return Hold::Met(met);
    }
    let last = readings_about(snapshot, index, body)
        .filter(|reading| reading.sort_key() >= begun(entry, body))
        .filter_map(|reading| Some((reading.sort_key(), reading.id, fits(reading, body)?)))
        .max_by_key(|(at, id, _)| (*at, *id));
    match last {
        None => Hold::Open,
        Some((_, id, true)) => Hold::Met(id),
        Some((_, id, false)) => Hold::Missed(id),
    }
}

/// What keeps a step from being done now; empty for a step that can be done, or is.
///
/// A step waits for the steps that it names. Where it names none and has a number, it waits for the step with the next
/// lower number of its repair. A step that stands in a circle of waiting waits for nothing of that circle.
#[must_use]
pub fn waits(snapshot: &Snapshot, index: &Index, step: Id, now: &When) -> Vec<Wait> {
    let mut found = Vec::new();
    match step_of(snapshot, step) {
        Some((_, body)) if body.done.is_none() => {}
        _ => return found,
    }
    for before in befores(snapshot, index, step) {
        let Some((_, body)) = step_of(snapshot, before) else {
            continue;
        };
        if body.done.is_none() {
            found.push(Wait::Step(before));
        } else if !hold(snapshot, index, before).is_met() {
            found.push(Wait::Hold(before));
        } else if let Some(earliest) = &body.recoat_earliest
            && earliest.sort_key() > now.sort_key()
        {
            found.push(Wait::Recoat {
                after: before,
                earliest: earliest.clone(),
            });
        }
    }
    found
}

/// The steps that come straight before a step.
#[must_use]
pub fn befores(snapshot: &Snapshot, index: &Index, step: Id) -> Vec<Id> {
    let named: Vec<Id> = index
        .parts(step, &Role::WaitsFor)
        .filter(|before| step_of(snapshot, *before).is_some())
        .collect();
    if !named.is_empty() {
        return named
            .into_iter()
            .filter(|before| !leads_to(index, *before, step))
            .collect();
    }
    let Some((_, body)) = step_of(snapshot, step) else {
        return Vec::new();
    };
    let (Some(order), Some(repair)) = (body.order, body.repair) else {
        return Vec::new();
    };
    let before = steps_of(snapshot, index, repair)
        .into_iter()
        .rfind(|entry| matches!(&entry.body, Body::Step(other) if other.order.is_some_and(|other| other < order)));
    before.map(|entry| entry.id).into_iter().collect()
}

/// Whether a step waits for another, by way of others or at once.
fn leads_to(index: &Index, from: Id, to: Id) -> bool {
    let mut open = vec![from];
    let mut walked = Vec::new();
    while let Some(at) = open.pop() {
        if at == to {
            return true;
        }
        if !walked.contains(&at) {
            walked.push(at);
            open.extend(index.parts(at, &Role::WaitsFor));
        }
    }
    false
}

/// A window that runs: a mix that can still be used, or a coat that waits for the next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Window {
    /// The batch or the step.
    pub entry: Id,
    /// What runs.
    pub sort: WindowSort,
    /// From when on, in milliseconds since 1970, where it is known.
    pub opens: Option<i64>,
    /// Until when, in milliseconds since 1970, where it is known; a day counts to its end.
    pub closes: Option<i64>,
}

/// What runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowSort {
    /// The pot life of a batch.
    PotLife,
    /// The time in which a coat takes the next one without new preparation.
    Recoat,
}

/// The windows that run now, in id order: mixes whose pot life lasts or ended within the hour, and coats whose next one
/// is not done yet.
#[must_use]
pub fn windows(snapshot: &Snapshot, index: &Index, now: &When) -> Vec<Window> {
    const HOUR_MILLIS: i64 = 3_600_000;
    let mut found = Vec::new();
    for entry in snapshot.standing() {
        match &entry.body {
            Body::Batch(batch) => {
                let Some(closes) = pot_life_ends(batch) else {
                    continue;
                };
                if closes.saturating_add(HOUR_MILLIS) > now.sort_key() {
                    found.push(Window {
                        entry: entry.id,
                        sort: WindowSort::PotLife,
                        opens: batch.mixed.as_ref().map(When::sort_key),
                        closes: Some(closes),
                    });
                }
            }
            Body::Step(step) if step.done.is_some() => {
                if step.recoat_earliest.is_none() && step.recoat_latest.is_none() {
                    continue;
                }
                if !is_covered(snapshot, index, entry, step) {
                    found.push(Window {
                        entry: entry.id,
                        sort: WindowSort::Recoat,
                        opens: step.recoat_earliest.as_ref().map(When::sort_key),
                        closes: step.recoat_latest.as_ref().map(end_of),
                    });
                }
            }
            _ => {}
        }
    }
    found
}

/// The last millisecond that a time still names: a day lasts to its end.
fn end_of(when: &When) -> i64 {
    const DAY_MILLIS: i64 = 86_400_000;
    match when.precision() {
        Precision::Day => when.sort_key().saturating_add(DAY_MILLIS - 1),
        _ => when.sort_key(),
    }
}

/// When a batch's pot life ends, in milliseconds since 1970, by what its data sheet says for its temperature; `None`
/// where that is not written down.
#[must_use]
pub fn pot_life_ends(batch: &Batch) -> Option<i64> {
    let mixed = batch.mixed.as_ref()?;
    // A day without a time of day starts no clock.
    mixed.time()?;
    let life = batch.pot_life.as_ref()?.converted("s")?;
    i64::try_from(life.value.0.trunc().mantissa())
        .ok()?
        .checked_mul(1000)?
        .checked_add(mixed.sort_key())
}

/// Whether a step that comes straight after this one is done.
fn is_covered(snapshot: &Snapshot, index: &Index, entry: &Entry, step: &Step) -> bool {
    let Some(repair) = step.repair else {
        return false;
    };
    steps_of(snapshot, index, repair)
        .into_iter()
        .filter(|other| matches!(&other.body, Body::Step(body) if body.done.is_some()))
        .any(|other| befores(snapshot, index, other.id).contains(&entry.id))
}

/// What closing up would hide without a record of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lack {
    /// A finding of the repair, or the repair itself, has no photograph of this stage.
    Photograph {
        /// The finding or the repair.
        of: Id,
        /// The stage.
        stage: Stage,
    },
    /// A finding has no reading.
    Reading {
        /// The finding.
        of: Id,
    },
    /// The repair has no test.
    Test {
        /// The repair.
        of: Id,
    },
    /// A hold point is not met.
    Hold {
        /// The step.
        of: Id,
    },
}

impl Lack {
    /// What is lacking, in words.
    #[must_use]
    pub fn shown(&self, snapshot: &Snapshot) -> String {
        match self {
            Self::Photograph { of, stage } => format!(
                "no photograph of “{}” as {}",
                snapshot.title(*of),
                stage.shown()
            ),
            Self::Reading { of } => format!("no reading of “{}”", snapshot.title(*of)),
            Self::Test { of } => format!("no test of “{}”", snapshot.title(*of)),
            Self::Hold { of } => {
                format!("the hold point of “{}” is not met", snapshot.title(*of))
            }
        }
    }

    /// The entry that lacks it.
    #[must_use]
    pub fn of(&self) -> Id {
        match self {
            Self::Photograph { of, .. }
            | Self::Reading { of }
            | Self::Test { of }
            | Self::Hold { of } => *of,
        }
    }
}

/// What has not been photographed, measured, tested or met yet, and could not be afterwards.
///
/// Common practice, no source: each finding as found and opened up, the work prepared and rebuilt before it is covered,
/// one reading a finding, one test a repair, and every hold point met.
#[must_use]
pub fn lacks(snapshot: &Snapshot, index: &Index, repair: Id) -> Vec<Lack> {
    let mut found = Vec::new();
    let findings: Vec<Id> = index
        .parts(repair, &Role::Finding)
        .filter(|id| snapshot.entry(*id).is_some_and(|entry| !entry.is_struck()))
        .collect();
    for finding in &findings {
        for stage in [Stage::Found, Stage::Opened] {
            if !has_photograph(snapshot, index, &[*finding, repair], &stage) {
                found.push(Lack::Photograph {
                    of: *finding,
                    stage,
                });
            }
        }
        let has_reading = index
            .by_field(snapshot, *finding, "finding")
            .any(|entry| matches!(entry.body, Body::Reading(_)));
        if !has_reading {
            found.push(Lack::Reading { of: *finding });
        }
    }
    let all: Vec<Id> = findings.iter().copied().chain([repair]).collect();
    for stage in [Stage::Prepared, Stage::Rebuilt] {
        if !has_photograph(snapshot, index, &all, &stage) {
            found.push(Lack::Photograph { of: repair, stage });
        }
    }
    let is_test = |entry: &Entry| matches!(entry.body, Body::Test(_));
    let has_test = index.by_field(snapshot, repair, "repair").any(is_test)
        || findings
            .iter()
            .any(|of| index.by_field(snapshot, *of, "finding").any(is_test));
    if !has_test {
        found.push(Lack::Test { of: repair });
    }
    for step in steps_of(snapshot, index, repair) {
        if !hold(snapshot, index, step.id).is_met() {
            found.push(Lack::Hold { of: step.id });
        }
    }
    found
}

/// Material that is needed and was not bought yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Shortage {
    /// The first entry that needs it.
    pub entry: Id,
    /// What it is.
    pub what: String,
    /// How much of it is still to be bought.
    pub short: Quantity,
}

/// What is still to be bought: for each material what the open repairs need and have not used yet, less what is left of
/// all that was bought.
///
/// Materials are the same when their names are, whatever the case; amounts in units that cannot be converted into each
/// other are kept apart.
#[must_use]
pub fn shortages(snapshot: &Snapshot, index: &Index) -> Vec<Shortage> {
    let mut needs: Vec<(Option<Id>, Shortage)> = Vec::new();
    let mut stock: Vec<Shortage> = Vec::new();
    for (entry, material) in materials(snapshot) {
        let Some(line) = shortage(entry, material) else {
            continue;
        };
        if material.fate == Some(Fate::Needed) && is_open(snapshot, index, material.repair) {
            match needs
                .iter_mut()
                .find(|(repair, known)| *repair == material.repair && is_alike(known, &line))
            {
                Some((_, known)) => add(known, &line, 1),
                None => needs.push((material.repair, line)),
            }
        }
    }
    for (entry, material) in materials(snapshot) {
        let Some(line) = shortage(entry, material) else {
            continue;
        };
        let sign = match material.fate {
            Some(Fate::Bought) => 1,
            Some(Fate::Used | Fate::Returned | Fate::Disposed) => -1,
            _ => continue,
        };
        match stock.iter_mut().find(|known| is_alike(known, &line)) {
            Some(known) => add(known, &line, sign),
            None if sign > 0 => stock.push(line.clone()),
            None => {}
        }
        if material.fate == Some(Fate::Used)
            && let Some((_, need)) = needs
                .iter_mut()
                .find(|(repair, known)| *repair == material.repair && is_alike(known, &line))
        {
            add(need, &line, -1);
        }
    }
    let mut short: Vec<Shortage> = Vec::new();
    for (_, need) in needs.into_iter().filter(|(_, need)| is_some(need)) {
        match short.iter_mut().find(|known| is_alike(known, &need)) {
            Some(known) => add(known, &need, 1),
            None => short.push(need),
        }
    }
    for line in &mut short {
        if let Some(left) = stock
            .iter()
            .find(|known| is_some(known) && is_alike(known, line))
        {
            add(line, left, -1);
        }
    }
    short.retain(is_some);
    short
}

fn materials(snapshot: &Snapshot) -> impl Iterator<Item = (&Entry, &Material)> {
    snapshot.standing().filter_map(|entry| match &entry.body {
        Body::Material(material) => Some((entry, material.as_ref())),
        _ => None,
    })
}

fn shortage(entry: &Entry, material: &Material) -> Option<Shortage> {
    let amount = material.quantity.as_ref()?;
    Some(Shortage {
        entry: entry.id,
        what: material.what.as_ref()?.trim().to_owned(),
        short: Quantity::new(amount.value, &amount.unit),
    })
}

/// Whether a repair that needs something is still to be done; what belongs to none is.
fn is_open(snapshot: &Snapshot, index: &Index, repair: Option<Id>) -> bool {
    repair.is_none_or(|repair| {
        matches!(
            progress(snapshot, index, repair),
            Progress::Planned | Progress::InHand
        )
    })
}

fn is_some(line: &Shortage) -> bool {
    line.short.value > Decimal::ZERO
}

/// Whether two amounts are of the same material and can be added.
fn is_alike(one: &Shortage, other: &Shortage) -> bool {
    one.what.to_lowercase() == other.what.to_lowercase()
        && other.short.converted(&one.short.unit).is_some()
}

/// Adds an amount, or takes it away.
fn add(to: &mut Shortage, line: &Shortage, sign: i64) {
    let sum = line
        .short
        .converted(&to.short.unit)
        .and_then(|amount| amount.value.times(Decimal::whole(sign)))
        .and_then(|amount| to.short.value.plus(amount));
    if let Some(sum) = sum {
        to.short = Quantity::new(sum, &to.short.unit);
    }
}

/// A step that is not struck.
fn step_of(snapshot: &Snapshot, id: Id) -> Option<(&Entry, &Step)> {
    let entry = snapshot.entry(id).filter(|entry| !entry.is_struck())?;
    match &entry.body {
        Body::Step(step) => Some((entry, step)),
        _ => None,
    }
}

/// When a step's hold point can be met at the earliest: when it was begun, else when it was planned or written.
fn begun(entry: &Entry, step: &Step) -> i64 {
    step.begun
        .as_ref()
        .map_or_else(|| entry.sort_key(), When::sort_key)
}

/// The readings that belong to a step's repair, to its findings or to its place.
fn readings_about<'a>(
    snapshot: &'a Snapshot,
    index: &'a Index,
    step: &Step,
) -> impl Iterator<Item = &'a Entry> {
    let repair = step.repair;
    let findings = repair
        .into_iter()
        .flat_map(|repair| index.parts(repair, &Role::Finding).collect::<Vec<_>>())
        .flat_map(|finding| index.by_field(snapshot, finding, "finding"));
    let place = repair.and_then(|repair| index.place_of(snapshot, repair));
    let at_place = place
        .into_iter()
        .flat_map(|place| index.by_field(snapshot, place, "place"));
    findings
        .chain(at_place)
        .filter(|entry| matches!(entry.body, Body::Reading(_)))
}

/// Whether a reading lies within a hold point's limits; `None` when it is of something else.
fn fits(reading: &Entry, step: &Step) -> Option<bool> {
    let Body::Reading(reading) = &reading.body else {
        return None;
    };
    let of = reading.quantity.as_deref()?.trim();
    if !step
        .hold_quantity
        .as_deref()?
        .trim()
        .eq_ignore_ascii_case(of)
    {
        return None;
    }
    let value = reading.value.as_ref()?;
    let (is_over, is_under) = match &reading.range {
        Some(Range::Over) => (true, false),
        Some(Range::Under) => (false, true),
        _ => (false, false),
    };
    let above = match &step.hold_least {
        Some(least) => !is_under && value.compare(least)?.is_ge(),
        None => true,
    };
    let below = match &step.hold_most {
        Some(most) => !is_over && value.compare(most)?.is_le(),
        None => true,
    };
    Some(above && below)
}

/// Whether one of the entries has a photograph of a stage.
fn has_photograph(snapshot: &Snapshot, index: &Index, of: &[Id], stage: &Stage) -> bool {
    of.iter().any(|of| {
        ["finding", "repair", "of"].into_iter().any(|field| {
            index
                .by_field(snapshot, *of, field)
                .any(|entry| matches!(&entry.body, Body::Photograph(photograph) if photograph.stage.as_ref() == Some(stage)))
        })
    })
}
