//! Looks whether a plan can be cut as it is drawn. It knows the job and the plan, and nothing of how plans are made.

use super::job::{Grain, Job, Layout, Placed};

/// Why a plan cannot be cut as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Flaw {
    /// A part that the job does not have, or a sheet.
    #[error("sheet {sheet}: something that is not in the job")]
    Unknown {
        /// Which sheet of the plan, from 1.
        sheet: usize,
    },
    /// A part that has not its size, or lies against its grain.
    #[error("sheet {sheet}: part {part} has not its size or lies against its grain")]
    Shape {
        /// Which sheet of the plan, from 1.
        sheet: usize,
        /// Which part of the job, from 1.
        part: usize,
    },
    /// A part that reaches into the trim or beyond the sheet.
    #[error("sheet {sheet}: part {part} reaches over the edge")]
    Outside {
        /// Which sheet of the plan, from 1.
        sheet: usize,
        /// Which part of the job, from 1.
        part: usize,
    },
    /// Two parts with less than the kerf between them.
    #[error("sheet {sheet}: parts {part} and {other} lie closer than the saw is wide")]
    Close {
        /// Which sheet of the plan, from 1.
        sheet: usize,
        /// One part, from 1.
        part: usize,
        /// The other.
        other: usize,
    },
    /// Other numbers than were asked for.
    #[error("part {part}: {found} in the plan, {asked} asked for")]
    Count {
        /// Which part of the job, from 1.
        part: usize,
        /// How many there are, with those that found no room.
        found: u32,
        /// How many were asked for.
        asked: u32,
    },
    /// More sheets than there are.
    #[error("more sheets of kind {kind} than there are")]
    Sheets {
        /// Which kind, from 1.
        kind: usize,
    },
    /// Parts that no cut from edge to edge can part.
    #[error("sheet {sheet}: no cut from edge to edge parts what is left")]
    Locked {
        /// Which sheet of the plan, from 1.
        sheet: usize,
    },
}

/// What the plan must hold of each part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Just so many as the job says, those without room counted in.
    Each,
    /// So many at most.
    AtMost,
}

/// Looks through a plan and gives the first flaw.
///
/// # Units
///
/// - `job`, `layout`: whole units of length, `UNITS_PER_MM` to a millimetre
///
/// # Source
///
/// Plain geometry.
///
/// # Errors
///
/// [`Flaw`], with where it is.
pub fn prove(job: &Job, layout: &Layout, asked: Asked) -> Result<(), Flaw> {
    let mut found = vec![0_u32; job.parts.len()];
    let mut taken = vec![0_u32; job.sheets.len()];
    for (laid, sheet) in layout.sheets.iter().zip(1..) {
        let (Some(kind), Some(n)) = (
            job.sheets.get(laid.sheet_idx),
            taken.get_mut(laid.sheet_idx),
        ) else {
            return Err(Flaw::Unknown { sheet });
        };
        *n += 1;
        for one in &laid.parts {
            let (Some(part), Some(count)) =
                (job.parts.get(one.part_idx), found.get_mut(one.part_idx))
            else {
                return Err(Flaw::Unknown { sheet });
            };
            *count += 1;
            let number = one.part_idx + 1;
            let straight = one.length == part.length && one.width == part.width;
            let turned = one.length == part.width && one.width == part.length;
            let lies = match part.grain {
                Grain::Along => straight,
                Grain::Across => turned,
                Grain::Free => straight || turned,
            };
            if !lies || one.length <= 0 || one.width <= 0 {
                return Err(Flaw::Shape {
                    sheet,
                    part: number,
                });
            }
            if one.along < job.trim
                || one.across < job.trim
                || one.along + one.length > kind.length - job.trim
                || one.across + one.width > kind.width - job.trim
            {
                return Err(Flaw::Outside {
                    sheet,
                    part: number,
                });
            }
        }
        for (idx, one) in laid.parts.iter().enumerate() {
            for other in laid.parts.iter().skip(idx + 1) {
                if apart(one, other).max(apart_across(one, other)) < job.kerf.max(0) {
                    return Err(Flaw::Close {
                        sheet,
                        part: one.part_idx + 1,
                        other: other.part_idx + 1,
                    });
                }
            }
        }
        if job.edge_to_edge && !comes_apart(&laid.parts, job.kerf) {
            return Err(Flaw::Locked { sheet });
        }
    }
    for (idx, (&n, sheet)) in taken.iter().zip(&job.sheets).enumerate() {
        if n > sheet.count {
            return Err(Flaw::Sheets { kind: idx + 1 });
        }
    }
    for (idx, (&n, part)) in found.iter().zip(&job.parts).enumerate() {
        let left: u32 = layout
            .left_over
            .iter()
            .filter(|(part_idx, _)| *part_idx == idx)
            .map(|(_, n)| *n)
            .sum();
        let fits = match asked {
            Asked::Each => n + left == part.count,
            Asked::AtMost => n <= part.count,
        };
        if !fits {
            return Err(Flaw::Count {
                part: idx + 1,
                found: n + left,
                asked: part.count,
            });
        }
    }
    Ok(())
}

/// The gap along the sheet; below 0 where they overlap there.
fn apart(one: &Placed, other: &Placed) -> i64 {
    (other.along - one.along - one.length).max(one.along - other.along - other.length)
}

fn apart_across(one: &Placed, other: &Placed) -> i64 {
    (other.across - one.across - one.width).max(one.across - other.across - other.width)
}

/// Whether cuts from edge to edge, one after the other, part everything.
fn comes_apart(parts: &[Placed], kerf: i64) -> bool {
    if parts.len() < 2 {
        return true;
    }
    let along: fn(&Placed) -> (i64, i64) = |one| (one.along, one.along + one.length);
    let across: fn(&Placed) -> (i64, i64) = |one| (one.across, one.across + one.width);
    [along, across].iter().any(|extent| {
        let mut sorted: Vec<Placed> = parts.to_vec();
        sorted.sort_by_key(|one| extent(one).0);
        let mut reach = i64::MIN;
        for (idx, one) in sorted.iter().enumerate() {
            if idx > 0 && extent(one).0 - reach >= kerf {
                let (before, after) = sorted.split_at(idx);
                // The first cut that there is may be taken: whatever can be parted can still be parted after it.
                return comes_apart(before, kerf) && comes_apart(after, kerf);
            }
            reach = reach.max(extent(one).1);
        }
        false
    })
}
