//! The places as a tree in reading order, with what was found and seen at each.

use std::collections::BTreeMap;

use garboard_protocol::{PlaceLine, PlanPin, PlanView};
use garboard_record::word::Outcome;
use garboard_record::{Body, Id, plan as record_plan, standing};

use crate::sight::Sight;

#[derive(Default)]
struct Count {
    n_open: u32,
    n_findings: u32,
    n_photographs: u32,
    n_examinations: u32,
}

/// Makes the lines of the tree: a place, then what lies in it.
#[must_use]
pub fn places(sight: Sight<'_>) -> Vec<PlaceLine> {
    let counts = counts(sight);
    sight
        .index
        .tree()
        .into_iter()
        .filter_map(|(id, depth)| line(sight, id, depth, &counts))
        .collect()
}

/// The plan, with the open findings of each place.
#[must_use]
pub fn plan(sight: Sight<'_>) -> PlanView {
    let counts = counts(sight);
    let plan = record_plan::plan(sight.snapshot, sight.index);
    PlanView {
        length_mm: plan.length_mm.unwrap_or_default(),
        beam_mm: plan.beam_mm.unwrap_or_default(),
        picture: plan
            .picture
            .and_then(|picture| sight.snapshot.entry(picture))
            .and_then(|entry| match &entry.body {
                Body::Photograph(body) => super::entry::picture(sight, entry, body, false),
                _ => None,
            }),
        pins: plan
            .pins
            .into_iter()
            .map(|pin| PlanPin {
                place: sight.to(pin.place),
                number: pin.number,
                along_mm: pin.along_mm,
                across_mm: pin.across_mm,
                at: pin
                    .mark
                    .and_then(|mark| match &sight.snapshot.entry(mark)?.body {
                        Body::Mark(mark) => match mark.points[..] {
                            [right, down, ..] => {
                                Some((u32::try_from(right).ok()?, u32::try_from(down).ok()?))
                            }
                            _ => None,
                        },
                        _ => None,
                    }),
                n_open: counts.get(&pin.place).map_or(0, |count| count.n_open),
            })
            .collect(),
    }
}

fn counts(sight: Sight<'_>) -> BTreeMap<Id, Count> {
    let mut counts: BTreeMap<Id, Count> = BTreeMap::new();
    for entry in sight.snapshot.standing() {
        let counted = matches!(
            entry.body,
            Body::Finding(_) | Body::Photograph(_) | Body::Examination(_)
        );
        if !counted {
            continue;
        }
        let Some(place) = sight.index.place_of(sight.snapshot, entry.id) else {
            continue;
        };
        for around in sight.index.path(place) {
            let count = counts.entry(around).or_default();
            match entry.body {
                Body::Finding(_) => {
                    count.n_findings += 1;
                    if standing::standing(sight.snapshot, sight.index, entry.id).is_open() {
                        count.n_open += 1;
                    }
                }
                Body::Photograph(_) => count.n_photographs += 1,
                _ => count.n_examinations += 1,
            }
        }
    }
    counts
}

fn line(sight: Sight<'_>, id: Id, depth: u32, counts: &BTreeMap<Id, Count>) -> Option<PlaceLine> {
    let entry = sight.snapshot.entry(id)?;
    let Body::Place(place) = &entry.body else {
        return None;
    };
    let none = Count::default();
    let count = counts.get(&id).unwrap_or(&none);
    Some(PlaceLine {
        id: id.to_string(),
        name: sight.snapshot.title(id),
        depth,
        parent: sight.index.parent(id).map(|parent| parent.to_string()),
        side: place
            .side
            .as_ref()
            .map_or_else(String::new, |side| side.shown().to_owned()),
        n_open: count.n_open,
        n_findings: count.n_findings,
        n_photographs: count.n_photographs,
        unseen: unseen(sight, id, count),
        is_struck: entry.is_struck(),
    })
}

/// What was not examined here or could not be reached, in words; blank when there is nothing to say.
fn unseen(sight: Sight<'_>, id: Id, count: &Count) -> String {
    let latest = sight
        .index
        .by_field(sight.snapshot, id, "place")
        .filter(|entry| matches!(entry.body, Body::Examination(_)))
        .max_by_key(|entry| (entry.sort_key(), entry.id));
    if let Some(Body::Examination(examination)) = latest.map(|entry| &entry.body) {
        let why = examination
            .not_reached
            .as_deref()
            .unwrap_or_default()
            .trim();
        if !why.is_empty() {
            return format!("Not reached: {why}");
        }
        if examination.outcome == Some(Outcome::NotReached) {
            return "Not reached".to_owned();
        }
        return String::new();
    }
    if count.n_examinations == 0 && count.n_findings == 0 {
        return "Not examined yet".to_owned();
    }
    String::new()
}
