//! The boat's plan: a plain deck outline from length and beam, and where on it the places lie.

use crate::word::Side;
use crate::{Body, Id, Index, Quantity, Snapshot};

/// The plan of a boat.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plan {
    /// The length overall in millimetres, where it is known.
    pub length_mm: Option<i64>,
    /// The beam in millimetres, where it is known.
    pub beam_mm: Option<i64>,
    /// The photograph or drawing that the boat's particulars name as the plan.
    pub picture: Option<Id>,
    /// The places that are not struck, numbered in reading order.
    pub pins: Vec<Pin>,
}

/// A place on the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pin {
    /// The place.
    pub place: Id,
    /// Its number on the plan, from 1.
    pub number: u32,
    /// Millimetres aft of the stem head; `None` for a place that was not measured.
    pub along_mm: Option<i64>,
    /// Millimetres to starboard of the centreline; to port it is negative.
    pub across_mm: i64,
    /// The mark that points at the place on the plan's picture; of several the one with the lowest id.
    pub mark: Option<Id>,
    /// Whether `across_mm` is only drawn where the side lies, and was not measured.
    pub is_drawn_by_side: bool,
}

/// Half the breadth of the outline in thousandths of half the beam, at a distance from the stem in thousandths of the
/// length.
///
/// ```text
/// t ≤ 500: 1000 − (1000 − 2t)² / 1000        t > 500: 1000 − 0.3 (2t − 1000)² / 1000
/// ```
///
/// A drawing to put pins on, from memory and after no boat: pointed forward, fullest amidships, a transom of seven tenths.
#[must_use]
pub fn half_breadth(along: i64) -> i64 {
    let from_middle = 2 * along.clamp(0, 1000) - 1000;
    let square = from_middle * from_middle / 1000;
    if from_middle <= 0 {
        1000 - square
    } else {
        1000 - square * 3 / 10
    }
}

/// The nearest spot to `spot` at which a pin covers none of those that are there already.
///
/// It is at least `reach` away from each, along or across, in the caller's unit. Where no such spot is near, it is the spot itself.
///
/// ```
/// use garboard_record::plan::free;
/// assert_eq!(free((5, 5), &[], 4, |_| true), (5, 5));
/// // Rings of spots are looked at around it, from port to starboard and from the stem aft.
/// assert_eq!(free((5, 5), &[(6, 5)], 4, |_| true), (1, 1));
/// assert_eq!(free((5, 5), &[(6, 5)], 4, |(x, _)| x >= 5), (5, 1));
/// ```
#[must_use]
pub fn free(
    (x, y): (i64, i64),
    taken: &[(i64, i64)],
    reach: i64,
    is_within: impl Fn((i64, i64)) -> bool,
) -> (i64, i64) {
    let is_free = |(x, y): (i64, i64)| {
        taken
            .iter()
            .all(|(there, down)| (x - there).abs() >= reach || (y - down).abs() >= reach)
    };
    let rings = (0..=20_i64).flat_map(|ring| {
        (-ring..=ring)
            .flat_map(move |right| (-ring..=ring).map(move |down| (right, down)))
            .filter(move |(right, down)| right.abs().max(down.abs()) == ring)
            .map(move |(right, down)| (x + right * reach, y + down * reach))
    });
    let mut spots = rings.filter(|spot| is_within(*spot) && is_free(*spot));
    spots.next().unwrap_or((x, y))
}

/// Works out the plan.
#[must_use]
pub fn plan(snapshot: &Snapshot, index: &Index) -> Plan {
    let boat = snapshot.boat().map(|(_, boat)| boat);
    let length_mm = boat.and_then(|boat| millimetres(boat.length_overall.as_ref()?));
    let beam_mm = boat.and_then(|boat| millimetres(boat.beam.as_ref()?));
    let picture = boat.and_then(|boat| boat.plan).filter(|picture| {
        snapshot
            .entry(*picture)
            .is_some_and(|entry| !entry.is_struck() && matches!(entry.body, Body::Photograph(_)))
    });
    let mark_of = |place: Id| {
        index
            .by_field(snapshot, picture?, "photograph")
            .find(|entry| matches!(&entry.body, Body::Mark(mark) if mark.shows == Some(place) && mark.points.len() >= 2))
            .map(|entry| entry.id)
    };
    let mut pins = Vec::new();
    for (place, _) in index.tree() {
        let Some(entry) = snapshot.entry(place).filter(|entry| !entry.is_struck()) else {
            continue;
        };
        let Body::Place(body) = &entry.body else {
            continue;
        };
        let from_datum = body.along.as_ref().and_then(millimetres);
        let is_from_aft = body.datum.as_deref().is_some_and(|datum| {
            let datum = datum.to_lowercase();
            ["transom", "stern", "taffrail"]
                .iter()
                .any(|word| datum.contains(word))
        });
        let along_mm = match (from_datum, is_from_aft, length_mm) {
            (Some(along), true, length) => length.map(|length| length - along),
            (along, ..) => along,
        };
        let measured = body.across.as_ref().and_then(millimetres);
        let sign = match body.side {
            Some(Side::Port) => -1,
            Some(Side::Starboard) => 1,
            _ => 0,
        };
        let (across_mm, is_drawn_by_side) = match (measured, sign) {
            // A side says which way an amount goes; without one, port is negative as written.
            (Some(across), 0) => (across, false),
            (Some(across), sign) => (across.abs() * sign, false),
            (None, 0) => (0, false),
            (None, sign) => {
                let at = along_mm
                    .zip(length_mm)
                    .map_or(500, |(along, length)| along * 1000 / length.max(1));
                (
                    sign * beam_mm.unwrap_or_default() / 2 * half_breadth(at) / 1000 * 7 / 10,
                    true,
                )
            }
        };
        pins.push(Pin {
            place,
            number: u32::try_from(pins.len() + 1).unwrap_or(u32::MAX),
            along_mm,
            across_mm,
            mark: mark_of(place),
            is_drawn_by_side,
        });
    }
    Plan {
        length_mm,
        beam_mm,
        picture,
        pins,
    }
}

/// A length in whole millimetres.
fn millimetres(length: &Quantity) -> Option<i64> {
    let length = length.converted("mm")?.value.rounded(0);
    i64::try_from(length.0.trunc().mantissa()).ok()
}
