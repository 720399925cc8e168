//! The boat's plan with the numbered findings, on a plain outline or on the owner's own picture.

use std::collections::BTreeMap;

use garboard_record::plan::{Pin, Plan, free, half_breadth, plan};
use garboard_record::standing::standing;
use garboard_record::word::MarkShape;
use garboard_record::{Body, Entry, Id};

use super::book::Book;
use super::drawing::{At, Drawing, Lie, PIN, Pen, Piece};
use super::{Block, Figure, Marked, Prose};
use crate::words;

const WIDTH: i32 = 3400;
/// Room around the outline.
const ROOM: i32 = 160;
/// Lines of words below it.
const ROW: i32 = 130;
/// Two pins side by side, middle to middle.
const APART: i32 = 2 * PIN + 40;

/// A finding that stands, and the place on whose pin it stands.
struct Numbered<'a> {
    entry: &'a Entry,
    number: usize,
    is_open: bool,
    pin: Option<&'a Pin>,
}

/// The plan and the list of findings that it numbers; nothing for a log without findings.
pub(super) fn blocks(book: &mut Book<'_>) -> Vec<Block> {
    let snapshot = book.snapshot;
    let plan = plan(snapshot, &book.index);
    let by_place: BTreeMap<Id, &Pin> = plan.pins.iter().map(|pin| (pin.place, pin)).collect();
    let is_pinned = |pin: &Pin| match plan.picture {
        Some(_) => pin.mark.is_some(),
        None => plan.length_mm.is_some() && plan.beam_mm.is_some() && pin.along_mm.is_some(),
    };
    let mut findings: Vec<Numbered<'_>> = snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Finding(_)))
        .map(|entry| {
            let place = book.index.place_of(snapshot, entry.id);
            // The nearest place around it that lies on the plan.
            let around = place
                .map(|place| book.index.path(place))
                .unwrap_or_default();
            let mut pins = around
                .iter()
                .rev()
                .filter_map(|id| by_place.get(id).copied());
            Numbered {
                entry,
                number: book.number(entry.id),
                is_open: standing(snapshot, &book.index, entry.id).is_open(),
                pin: pins.find(|pin| is_pinned(pin)),
            }
        })
        .collect();
    findings.sort_by_key(|finding| finding.number);
    if findings.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading("Where the findings lie".to_owned())];
    if findings.iter().any(|finding| finding.pin.is_some()) {
        match plan
            .picture
            .and_then(|picture| pictured(book, picture, &findings))
        {
            Some(figure) => blocks.push(Block::Figures(vec![figure])),
            None => blocks.extend(drawn(&plan, &findings).map(Block::Drawing)),
        }
    }
    blocks.push(Block::List(
        findings.iter().map(|finding| item(book, finding)).collect(),
    ));
    blocks
}

fn item(book: &Book<'_>, finding: &Numbered<'_>) -> Prose {
    let place = book.index.place_of(book.snapshot, finding.entry.id);
    let stands = standing(book.snapshot, &book.index, finding.entry.id);
    let there = if finding.pin.is_some() {
        ""
    } else {
        "; its place was not put on a plan"
    };
    Prose {
        link: Some(finding.entry.id),
        ..Prose::labelled(
            &book.called(finding.entry),
            format!(
                "{}: {} ({stands}{there})",
                book.place(place),
                finding.entry.title()
            ),
        )
    }
}

/// The owner's own picture, with the findings' numbers on it.
fn pictured(book: &mut Book<'_>, picture: Id, findings: &[Numbered<'_>]) -> Option<Figure> {
    let snapshot = book.snapshot;
    let mut figure = book.figure(snapshot.entry(picture)?)?;
    figure.marks = findings
        .iter()
        .filter_map(|finding| {
            let Body::Mark(mark) = &snapshot.entry(finding.pin?.mark?)?.body else {
                return None;
            };
            Some(Marked {
                shape: MarkShape::Number,
                points: mark.points.clone(),
                words: finding.number.to_string(),
            })
        })
        .collect();
    Some(figure)
}

fn drawn(plan: &Plan, findings: &[Numbered<'_>]) -> Option<Drawing> {
    let (length, beam) = (plan.length_mm.filter(|mm| *mm > 0)?, plan.beam_mm?);
    let long = i64::from(WIDTH - 2 * ROOM);
    let half = beam.clamp(0, length) * long / length / 2;
    let middle = ROOM + tenths(half);
    // The bow lies to the left, so that port lies below.
    let at = |along: i64, across: i64| {
        (
            ROOM + tenths(along.clamp(0, length) * long / length),
            middle - tenths(across.clamp(-beam, beam) * long / length),
        )
    };
    let edge = |along: i64, sign: i64| {
        let across = sign * half * half_breadth(along) / 1000;
        (ROOM + tenths(along * long / 1000), middle - tenths(across))
    };
    let starboard = (0..=1000).step_by(25).map(|along| edge(along, 1));
    let port = (0..=1000).rev().step_by(25).map(|along| edge(along, -1));
    let mut pieces = vec![
        Piece::Line {
            spots: starboard.chain(port).collect(),
            pen: Pen::Body,
        },
        Piece::Line {
            spots: vec![(ROOM, middle), (WIDTH - ROOM, middle)],
            pen: Pen::Grid,
        },
    ];
    for (words, y) in [("starboard", 55), ("port", 2 * middle - 55)] {
        pieces.push(Piece::Words {
            at: (ROOM, y),
            words: words.to_owned(),
            lie: Lie::After,
            is_strong: false,
        });
    }
    let mut taken: Vec<(i64, i64)> = Vec::new();
    let is_within = |(x, y): (i64, i64)| {
        let inner = i64::from(PIN);
        (inner..=i64::from(WIDTH) - inner).contains(&x)
            && (inner..=2 * i64::from(middle) - inner).contains(&y)
    };
    let mut pins = Vec::new();
    for finding in findings {
        let Some((along, across)) = finding
            .pin
            .and_then(|pin| Some((pin.along_mm?, pin.across_mm)))
        else {
            continue;
        };
        let spot = at(along, across);
        let stands = free(
            (spot.0.into(), spot.1.into()),
            &taken,
            APART.into(),
            is_within,
        );
        taken.push(stands);
        let stands: At = (tenths(stands.0), tenths(stands.1));
        if stands != spot {
            pieces.push(Piece::Line {
                spots: vec![spot, stands],
                pen: Pen::Axis,
            });
        }
        pins.push(Piece::Pin {
            at: stands,
            number: finding.number,
            is_open: finding.is_open,
        });
    }
    pieces.extend(pins);
    let n_there = taken.len();
    Some(Drawing {
        alt: format!(
            "Plan of the deck, bow to the left, with {}. Each is named with its place in the list below.",
            words::count(n_there, "numbered finding", "numbered findings")
        ),
        caption: "Bow to the left, seen from above. The numbers are those of the findings; a square on its corner is open. Drawn from length and beam to put numbers on: these are not her lines.".to_owned(),
        width: WIDTH,
        height: 2 * middle.max(ROW),
        pieces,
    })
}

fn tenths(of: i64) -> i32 {
    i32::try_from(of).unwrap_or_default()
}

#[cfg(test)]
mod tests;
