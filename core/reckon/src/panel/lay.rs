//! Lays parts one after another, in a given order, on one sheet: freely, or so that every cut goes from edge to edge.

use super::job::Placed;

/// One part to lay, kerf included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Piece {
    /// Which part of the job.
    pub(crate) part_idx: usize,
    /// How it may lie: along and across; the second the same as the first where there is one way only.
    pub(crate) ways: [(i64, i64); 2],
    /// Its area.
    pub(crate) area: i64,
}

/// How a sheet is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Manner {
    /// Each part beside what lies there already.
    Free,
    /// From edge to edge; which leftover is kept whole is said by the number, 0 to 3.
    EdgeToEdge(u8),
}

/// Fills one sheet, taking pieces out of `order` (indices into `pieces`) as they are laid.
///
/// The sheet is `length` × `width`, kerf included; it is filled from its end at 0.
pub(crate) fn fill(
    pieces: &[Piece],
    order: &mut Vec<u32>,
    (length, width): (i64, i64),
    manner: Manner,
    laid: &mut Vec<Placed>,
) {
    match manner {
        Manner::Free => fill_free(pieces, order, length, width, laid),
        Manner::EdgeToEdge(rule) => fill_edge_to_edge(pieces, order, length, width, rule, laid),
    }
}

/// A step of the front: from `across`, so wide, at `along`.
#[derive(Debug, Clone, Copy)]
struct Step {
    across: i64,
    width: i64,
    along: i64,
}

fn piece(pieces: &[Piece], number: u32) -> Option<&Piece> {
    pieces.get(usize::try_from(number).ok()?)
}

/// The front is filled where it lies lowest, with the piece that fits there best; the first of those in order.
fn fill_free(
    pieces: &[Piece],
    order: &mut Vec<u32>,
    length: i64,
    width: i64,
    laid: &mut Vec<Placed>,
) {
    let mut front = vec![Step {
        across: 0,
        width,
        along: 0,
    }];
    while !order.is_empty() {
        let Some((lowest_idx, lowest)) = front
            .iter()
            .copied()
            .enumerate()
            .min_by_key(|(_, step)| (step.along, step.across))
        else {
            return;
        };
        if lowest.along >= length {
            return;
        }
        let wall = |step: Option<&Step>| step.map_or(i64::MAX, |step| step.along - lowest.along);
        let left = wall(lowest_idx.checked_sub(1).and_then(|idx| front.get(idx)));
        let right = wall(front.get(lowest_idx + 1));
        let (high, low) = (left.max(right), left.min(right));
        let room = length - lowest.along;
        let mut best: Option<(u8, usize, i64, i64)> = None;
        'pieces: for (position, &number) in order.iter().enumerate() {
            let Some(one) = piece(pieces, number) else {
                continue;
            };
            let n_ways = if one.ways[0] == one.ways[1] { 1 } else { 2 };
            for &(along, across) in one.ways.iter().take(n_ways) {
                if across > lowest.width || along > room {
                    continue;
                }
                let score = if across == lowest.width {
                    if along == high {
                        8
                    } else if along == low {
                        7
                    } else if along < high {
                        5
                    } else {
                        6
                    }
                } else if along == high {
                    3
                } else if along == low {
                    2
                } else {
                    1
                };
                if best.is_none_or(|(found, ..)| score > found) {
                    best = Some((score, position, along, across));
                    if score == 8 {
                        break 'pieces;
                    }
                }
            }
        }
        let Some((_, position, along, across)) = best else {
            raise(&mut front, lowest_idx, low.min(room));
            continue;
        };
        // Beside the wall that it matches, or else the higher one.
        let at_left = if along == left {
            true
        } else if along == right {
            false
        } else {
            left >= right
        };
        let start = if at_left {
            lowest.across
        } else {
            lowest.across + lowest.width - across
        };
        let number = order.remove(position);
        if let Some(one) = piece(pieces, number) {
            laid.push(Placed {
                part_idx: one.part_idx,
                along: lowest.along,
                across: start,
                length: along,
                width: across,
            });
        }
        let placed = Step {
            across: start,
            width: across,
            along: lowest.along + along,
        };
        let rest = Step {
            across: if at_left {
                lowest.across + across
            } else {
                lowest.across
            },
            width: lowest.width - across,
            along: lowest.along,
        };
        if let Some(step) = front.get_mut(lowest_idx) {
            *step = placed;
        }
        if rest.width > 0 {
            let position = if at_left { lowest_idx + 1 } else { lowest_idx };
            front.insert(position, rest);
        }
        level(&mut front);
    }
}

/// Gives up the lowest step: it is as high as the lower of its walls.
fn raise(front: &mut Vec<Step>, idx: usize, by: i64) {
    if let Some(step) = front.get_mut(idx) {
        step.along += by.max(1);
    }
    level(front);
}

/// Joins steps of one height.
fn level(front: &mut Vec<Step>) {
    front.dedup_by(|next, kept| {
        let same = next.along == kept.along;
        if same {
            kept.width += next.width;
        }
        same
    });
}

/// A rectangle that is still whole.
#[derive(Debug, Clone, Copy)]
struct Whole {
    along: i64,
    across: i64,
    length: i64,
    width: i64,
}

fn fill_edge_to_edge(
    pieces: &[Piece],
    order: &mut Vec<u32>,
    length: i64,
    width: i64,
    rule: u8,
    laid: &mut Vec<Placed>,
) {
    let mut open = vec![Whole {
        along: 0,
        across: 0,
        length,
        width,
    }];
    while let Some(whole) = open.pop() {
        if order.is_empty() {
            return;
        }
        let mut best: Option<(u8, usize, i64, i64)> = None;
        for (position, &number) in order.iter().enumerate() {
            let Some(one) = piece(pieces, number) else {
                continue;
            };
            for &(along, across) in &one.ways {
                if across > whole.width || along > whole.length {
                    continue;
                }
                let score = match (across == whole.width, along == whole.length) {
                    (true, true) => 4,
                    (true, false) => 3,
                    (false, true) => 2,
                    (false, false) => 1,
                };
                if best.is_none_or(|(found, ..)| score > found) {
                    best = Some((score, position, along, across));
                }
            }
            if best.is_some_and(|(score, ..)| score == 4) {
                break;
            }
        }
        let Some((_, position, along, across)) = best else {
            continue;
        };
        let number = order.remove(position);
        if let Some(one) = piece(pieces, number) {
            laid.push(Placed {
                part_idx: one.part_idx,
                along: whole.along,
                across: whole.across,
                length: along,
                width: across,
            });
        }
        let (more_along, more_across) = (whole.length - along, whole.width - across);
        // Either the rest along keeps the whole width, or the rest across keeps the whole length.
        let along_whole = match rule {
            0 => more_along * whole.width >= more_across * whole.length,
            1 => more_along <= more_across,
            2 => more_along > more_across,
            _ => true,
        };
        let (beyond, beside) = if along_whole {
            (
                Whole {
                    along: whole.along + along,
                    length: more_along,
                    ..whole
                },
                Whole {
                    across: whole.across + across,
                    width: more_across,
                    length: along,
                    ..whole
                },
            )
        } else {
            (
                Whole {
                    along: whole.along + along,
                    length: more_along,
                    width: across,
                    ..whole
                },
                Whole {
                    across: whole.across + across,
                    width: more_across,
                    ..whole
                },
            )
        };
        // The smaller rest is filled first.
        let mut rests = [beyond, beside];
        rests.sort_by_key(|rest| std::cmp::Reverse(rest.length * rest.width));
        open.extend(
            rests
                .into_iter()
                .filter(|rest| rest.length > 0 && rest.width > 0),
        );
    }
}
