//! The order of the work: what can be done now, what waits, what runs, what is short, what would be hidden.

use garboard_protocol::{LackLine, ShortLine, StepLine, WindowLine};
use garboard_record::order::{self, Hold, Lack, Wait, WindowSort};
use garboard_record::{Body, Entry, Id, When, standing};

use crate::shown;
use crate::sight::Sight;

/// The steps of a repair that are not done: those that can be done now, then those that wait.
#[must_use]
pub fn steps(sight: Sight<'_>, repair: Id, now: &When) -> (Vec<StepLine>, Vec<StepLine>) {
    let (snapshot, index) = (sight.snapshot, sight.index);
    let (mut ready, mut waiting) = (Vec::new(), Vec::new());
    for entry in standing::steps_of(snapshot, index, repair) {
        if matches!(&entry.body, Body::Step(step) if step.done.is_some()) {
            continue;
        }
        let waits = order::waits(snapshot, index, entry.id, now);
        let is_ready = waits.is_empty();
        let line = StepLine {
            step: sight.to(entry.id),
            repair: sight.to(repair),
            waits: waits
                .iter()
                .map(|wait| waits_shown(sight, wait))
                .chain(hold_shown(sight, entry))
                .collect(),
        };
        if is_ready {
            ready.push(line);
        } else {
            waiting.push(line);
        }
    }
    (ready, waiting)
}

fn waits_shown(sight: Sight<'_>, wait: &Wait) -> String {
    let title = |id: Id| sight.snapshot.title(id);
    match wait {
        Wait::Step(step) => format!("waits for “{}”", title(*step)),
        Wait::Hold(step) => format!("waits until “{}” holds", title(*step)),
        Wait::Recoat { after, earliest } => format!(
            "“{}” may not be covered before {}",
            title(*after),
            shown::when(earliest.as_str())
        ),
    }
}

/// Where a step's own hold point stands.
fn hold_shown(sight: Sight<'_>, step: &Entry) -> Option<String> {
    let what = match &step.body {
        Body::Step(body) => body
            .hold
            .clone()
            .unwrap_or_else(|| "the reading".to_owned()),
        _ => return None,
    };
    Some(match order::hold(sight.snapshot, sight.index, step.id) {
        Hold::None => return None,
        Hold::Open => format!("hold point: {what}"),
        Hold::Missed(reading) => format!(
            "hold point: {what}; the last reading lies outside ({})",
            sight.snapshot.title(reading)
        ),
        Hold::Met(_) => format!("hold point met: {what}"),
    })
}

/// Mixes and coats whose time runs.
#[must_use]
pub fn windows(sight: Sight<'_>, now: &When) -> Vec<WindowLine> {
    order::windows(sight.snapshot, sight.index, now)
        .into_iter()
        .map(|window| {
            let mut entry = sight.to(window.entry);
            // A mix is known by the step that it was mixed for.
            if let Some(Body::Batch(batch)) =
                sight.snapshot.entry(window.entry).map(|entry| &entry.body)
                && let Some(step) = batch.step
            {
                entry.title = sight.snapshot.title(step);
            }
            WindowLine {
                entry,
                is_mix: window.sort == WindowSort::PotLife,
                opens: window.opens,
                closes: window.closes,
            }
        })
        .collect()
}

/// Material that is still to be bought.
#[must_use]
pub fn short(sight: Sight<'_>) -> Vec<ShortLine> {
    order::shortages(sight.snapshot, sight.index)
        .into_iter()
        .map(|line| {
            let mut material = sight.to(line.entry);
            material.title = line.what;
            ShortLine {
                material,
                amount: line.short.to_string(),
            }
        })
        .collect()
}

/// What closing up a repair would hide without a record.
#[must_use]
pub fn lacks(sight: Sight<'_>, repair: Id) -> Vec<LackLine> {
    order::lacks(sight.snapshot, sight.index, repair)
        .into_iter()
        .map(|lack| LackLine {
            words: lack.shown(sight.snapshot),
            kind: match lack {
                Lack::Photograph { .. } => "photograph",
                Lack::Reading { .. } => "reading",
                Lack::Test { .. } => "test",
                Lack::Hold { .. } => "step",
            }
            .to_owned(),
            of: sight.to(lack.of()),
            stage: match &lack {
                Lack::Photograph { stage, .. } => stage.as_str().to_owned(),
                _ => String::new(),
            },
        })
        .collect()
}
