//! Settling a rough transformation on the pictures themselves, to a fraction of a pixel.

use super::super::fit::{Certainty, residual, weighted};
use super::super::number::real;
use super::super::plane::Plane;
use super::super::{Pair, Point, Transform};

/// Half the side of the patch that is compared, in pixels of the plane.
const REACH: i32 = 9;

/// Two patches look the same from this correlation on.
const ALIKE: f64 = 0.85;

/// The most steps to where a patch fits best.
const MOST_STEPS: usize = 15;

/// Where a patch of the first picture was found in the second.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub(super) pair: Pair,
}

/// Looks for a patch of the first picture near where the transformation says that the second shows it, between pixels.
///
/// The patch is moved by Gauss-Newton steps that leave brightness and contrast free; none is found where it wanders more than
/// `farthest` pixels away, or does not look the same in the end.
///
/// Source: Baker and Matthews, "Lucas-Kanade 20 Years On", IJCV 56(3), 2004, section 3.2 (inverse compositional, translation), with
/// gain and bias taken out by normalising both patches.
pub(super) fn found(
    first: &Plane,
    second: &Plane,
    back: &Transform,
    at: Point,
    farthest: f64,
) -> Option<Found> {
    let offsets =
        || (-REACH..=REACH).flat_map(|down| (-REACH..=REACH).map(move |along| (along, down)));
    let inside = |point: Point, plane: &Plane| {
        let margin = f64::from(REACH) + 1.0;
        point.x > margin
            && point.y > margin
            && point.x < real(plane.width) - margin
            && point.y < real(plane.height) - margin
    };
    if !inside(at, first) {
        return None;
    }
    let moved = |from: Point, along: f64, down: f64| Point {
        x: from.x + along,
        y: from.y + down,
    };
    let patch: Vec<f64> = offsets()
        .map(|(along, down)| f64::from(first.at(moved(at, f64::from(along), f64::from(down)))))
        .collect();
    let (patch, spread) = levelled(patch)?;
    // How the levelled patch changes when it is moved by a pixel.
    let mut slopes = Vec::with_capacity(patch.len());
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (along, down) in offsets() {
        let here = moved(at, f64::from(along), f64::from(down));
        let value = |along, down| f64::from(first.at(moved(here, along, down)));
        let x = (value(1.0, 0.0) - value(-1.0, 0.0)) / 2.0 / spread;
        let y = (value(0.0, 1.0) - value(0.0, -1.0)) / 2.0 / spread;
        xx += x * x;
        xy += x * y;
        yy += y * y;
        slopes.push((x, y));
    }
    let determinant = xx * yy - xy * xy;
    // On an edge the patch could slide along unseen.
    let n = real(patch.len());
    if determinant / (xx + yy) < 0.002 * n {
        return None;
    }
    let mut off = Point { x: 0.0, y: 0.0 };
    let mut alike = 0.0;
    let mut is_settled = false;
    for _ in 0..MOST_STEPS {
        let mut seen = Vec::with_capacity(patch.len());
        for (along, down) in offsets() {
            let here = moved(at, off.x + f64::from(along), off.y + f64::from(down));
            seen.push(f64::from(second.at(back.map(here)?)));
        }
        let (seen, _) = levelled(seen)?;
        alike = patch.iter().zip(&seen).map(|(a, b)| a * b).sum::<f64>() / n;
        let (mut x, mut y) = (0.0, 0.0);
        for ((seen, patch), slope) in seen.iter().zip(&patch).zip(&slopes) {
            x += slope.0 * (seen - patch);
            y += slope.1 * (seen - patch);
        }
        let step = Point {
            x: (yy * x - xy * y) / determinant,
            y: (xx * y - xy * x) / determinant,
        };
        if is_settled {
            break;
        }
        off = moved(off, -step.x, -step.y);
        if off.x * off.x + off.y * off.y > farthest * farthest {
            return None;
        }
        is_settled = step.x * step.x + step.y * step.y < 1e-4;
    }
    let there = back.map(moved(at, off.x, off.y))?;
    (is_settled && alike >= ALIKE && inside(there, second)).then_some(Found {
        pair: Pair {
            first: at,
            second: there,
        },
    })
}

/// Values with the mean 0 and the standard deviation 1, and what that was; none where nothing varies.
fn levelled(mut values: Vec<f64>) -> Option<(Vec<f64>, f64)> {
    let n = real(values.len());
    let mean = values.iter().sum::<f64>() / n;
    let square = values
        .iter()
        .map(|value| (value - mean) * (value - mean))
        .sum::<f64>();
    let spread = (square / n).sqrt();
    if spread < 1.0 {
        return None;
    }
    for value in &mut values {
        *value = (*value - mean) / spread;
    }
    Some((values, spread))
}

/// A transformation with all that speaks for it.
pub(super) struct Settled {
    pub(super) transform: Transform,
    pub(super) certainty: Certainty,
    /// The pairs that agree.
    pub(super) agreeing: Vec<Pair>,
    /// How far they typically are off, in pixels: the standard deviation along or down.
    pub(super) spread: f64,
}

/// Fits a homography to pairs of which some are wrong: those that are far off count for little.
///
/// Source: Huber's weights for a start and Tukey's then, with the scale from the median (Huber and Ronchetti, *Robust Statistics*,
/// 2nd edition, 2009, sections 4.8 and 6.4).
pub(super) fn robust(pairs: &[Pair], start: &Transform) -> Option<Settled> {
    let mut transform = *start;
    for round in 0..12 {
        let off = distances(pairs, &transform);
        let scale = scale(&off)?;
        let weights: Vec<f64> = off
            .iter()
            .map(|off| match round {
                0..4 => (2.0 * scale / off.max(1e-12)).min(1.0),
                _ => {
                    let ratio = off / (6.0 * scale);
                    (1.0 - ratio * ratio).max(0.0)
                }
            })
            // The square of a weight is what counts, here as everywhere in least squares.
            .map(|weight| match round {
                0..4 => weight.sqrt(),
                _ => weight,
            })
            .collect();
        (transform, _) = weighted(pairs, &weights)?;
    }
    let off = distances(pairs, &transform);
    let reach = (4.0 * scale(&off)?).clamp(0.3, 1.5);
    let agreeing: Vec<Pair> = pairs
        .iter()
        .zip(&off)
        .filter(|(_, off)| **off < reach)
        .map(|(pair, _)| *pair)
        .collect();
    if agreeing.len() < 8 {
        return None;
    }
    let (transform, certainty) = weighted(&agreeing, &vec![1.0; agreeing.len()])?;
    let square: f64 = distances(&agreeing, &transform)
        .iter()
        .map(|off| off * off)
        .sum();
    // Eight numbers were fitted to two coordinates a pair.
    let spread = (square / (2.0 * real(agreeing.len()) - 8.0)).sqrt();
    Some(Settled {
        transform,
        certainty,
        agreeing,
        spread,
    })
}

fn distances(pairs: &[Pair], transform: &Transform) -> Vec<f64> {
    pairs
        .iter()
        .map(|pair| residual(transform, pair).unwrap_or(f64::INFINITY))
        .collect()
}

/// The standard deviation along or down that the median of the distances speaks for, at least a fiftieth of a pixel.
fn scale(off: &[f64]) -> Option<f64> {
    let mut sorted = off.to_vec();
    sorted.sort_by(f64::total_cmp);
    // The median distance of a spread of 1 along and down is √(2 ln 2).
    let median = sorted.get(sorted.len() / 2)?;
    Some((median / 1.177_410_022_515_474_7).max(0.02))
}
