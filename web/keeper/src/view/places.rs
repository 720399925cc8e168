//! The places as a tree in reading order, with what was found and seen at each.

use std::collections::{BTreeMap, BTreeSet};

use garboard_protocol::PlaceLine;
use garboard_record::word::Outcome;
use garboard_record::{Body, Id, standing};

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
    let mut lines = Vec::new();
    let mut walked = BTreeSet::new();
    let mut waiting: Vec<(Id, u32)> = sorted(sight, None, 0);
    while let Some((id, depth)) = waiting.pop() {
        if !walked.insert(id) {
            continue;
        }
        lines.extend(line(sight, id, depth, &counts));
        waiting.extend(sorted(sight, Some(id), depth + 1));
    }
    lines
}

/// The places within one, last first, so that popping gives them in order.
fn sorted(sight: Sight<'_>, parent: Option<Id>, depth: u32) -> Vec<(Id, u32)> {
    let mut inner: Vec<(Id, u32)> = sight
        .index
        .places_in(parent)
        .map(|id| (id, depth))
        .collect();
    inner.sort_unstable();
    inner.reverse();
    inner
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
