//! What a corner looks like, in 128 numbers that do not change when the picture is turned, brightened or made a little larger.

use super::super::Point;
use super::super::number::{byte, position, real};
use super::super::plane::Plane;
use super::corner::{Slopes, corners};

/// A corner of the picture and what it looks like.
#[derive(Clone, Debug)]
pub(super) struct Look {
    /// Where, in the picture's own pixels.
    pub(super) at: Point,
    /// The numbers, each at most 127.
    numbers: [i16; N_NUMBERS],
    /// The sum of their squares.
    square: i32,
}

const N_CELLS: usize = 4;
const N_WAYS: usize = 8;
const N_NUMBERS: usize = N_CELLS * N_CELLS * N_WAYS;

/// Samples along each side of the patch that is looked at.
const N_SAMPLES: usize = 16;

/// Pixels between two samples.
const STEP: f64 = 1.25;

/// The smallest plane that is looked at.
const LEAST_SIDE: usize = 96;

/// The most sizes of the picture that are looked at.
const MOST_SIZES: usize = 5;

/// Corners that each square of a plane gives.
const MOST_A_SQUARE: usize = 4;

/// Returns what stands out in a picture, at several of its sizes, each smaller by the square root of a half.
///
/// `scale` says how many of the picture's pixels make one of the plane's.
pub(super) fn looks(plane: &Plane, scale: f64) -> Vec<Look> {
    let mut out = Vec::new();
    let mut level = plane.clone();
    for _ in 0..MOST_SIZES {
        if level.width.min(level.height) < LEAST_SIDE {
            break;
        }
        let along = real(plane.width) / real(level.width) * scale;
        let down = real(plane.height) / real(level.height) * scale;
        let smooth = level.smoothed();
        let slopes = Slopes::of(&smooth);
        for corner in corners(&slopes, MOST_A_SQUARE) {
            let Some(heading) = heading(&smooth, corner.at) else {
                continue;
            };
            let Some(numbers) = numbers(&slopes, corner.at, heading) else {
                continue;
            };
            out.push(Look {
                at: Point {
                    x: corner.at.x * along,
                    y: corner.at.y * down,
                },
                square: numbers.iter().map(|n| i32::from(*n) * i32::from(*n)).sum(),
                numbers,
            });
        }
        level = level.smaller();
    }
    out
}

/// Which way a corner faces: towards the centre of the brightness around it, as a vector of length 1.
///
/// Source: Rosin, "Measuring Corner Properties", Computer Vision and Image Understanding 73(2), 1999 (intensity centroid).
fn heading(plane: &Plane, at: Point) -> Option<(f64, f64)> {
    const REACH: i32 = 9;
    let (mut x, mut y) = (0.0, 0.0);
    for down in -REACH..=REACH {
        for along in -REACH..=REACH {
            let square = along * along + down * down;
            if square > REACH * REACH {
                continue;
            }
            let (along, down) = (f64::from(along), f64::from(down));
            let value = plane.at(Point {
                x: at.x + along,
                y: at.y + down,
            });
            let weight = 1.0 - f64::from(square) / f64::from(REACH * REACH + 1);
            x += along * weight * f64::from(value);
            y += down * weight * f64::from(value);
        }
    }
    let length = (x * x + y * y).sqrt();
    (length > 1.0).then(|| (x / length, y / length))
}

/// Histograms of the slopes' directions in four by four cells of the patch, turned to the corner's heading.
///
/// Source: Lowe, "Distinctive Image Features from Scale-Invariant Keypoints", IJCV 60(2), 2004, section 6. The window is a
/// polynomial instead of a Gaussian, and a slope is split between the two nearest of eight directions by solving for its parts along
/// them, so that no transcendental function takes part.
fn numbers(slopes: &Slopes, at: Point, (cosine, sine): (f64, f64)) -> Option<[i16; N_NUMBERS]> {
    let mut cells = [[0.0_f64; N_WAYS]; N_CELLS * N_CELLS];
    let middle = (real(N_SAMPLES) - 1.0) / 2.0;
    let reach = real(N_SAMPLES) / 2.0;
    for row in 0..N_SAMPLES {
        for column in 0..N_SAMPLES {
            let (along, down) = (real(column) - middle, real(row) - middle);
            let square = (along * along + down * down) / (2.0 * reach * reach);
            let weight = (1.0 - square).max(0.0);
            let from = Point {
                x: at.x + STEP * (cosine * along - sine * down),
                y: at.y + STEP * (sine * along + cosine * down),
            };
            let (x, y) = (
                f64::from(slopes.along.at(from)),
                f64::from(slopes.down.at(from)),
            );
            let turned = (cosine * x + sine * y, cosine * y - sine * x);
            let (way, here, next) = split(turned);
            // Between the centres of the cells, a sample belongs to each in proportion.
            let cell = |offset: f64| (offset + reach) / real(N_SAMPLES) * real(N_CELLS) - 0.5;
            for (cell_down, share_down) in shares(cell(down)) {
                for (cell_along, share_along) in shares(cell(along)) {
                    let share = weight * weight * share_down * share_along;
                    if let Some(cell) = cells.get_mut(cell_down * N_CELLS + cell_along) {
                        for (way, part) in [(way, here), ((way + 1) % N_WAYS, next)] {
                            if let Some(bin) = cell.get_mut(way) {
                                *bin += share * part;
                            }
                        }
                    }
                }
            }
        }
    }
    let length = |cells: &[[f64; N_WAYS]]| {
        let sum: f64 = cells.iter().flatten().map(|value| value * value).sum();
        sum.sqrt()
    };
    let before = length(&cells);
    if before < 1e-6 {
        return None;
    }
    for value in cells.iter_mut().flatten() {
        *value = (*value / before).min(0.2);
    }
    let after = length(&cells);
    let mut numbers = [0; N_NUMBERS];
    for (number, value) in numbers.iter_mut().zip(cells.iter().flatten()) {
        *number = i16::from(byte(value / after * 256.0).min(127));
    }
    Some(numbers)
}

/// The two cells of a row that a place lies between, with its share in each.
fn shares(place: f64) -> [(usize, f64); 2] {
    let below = place.floor();
    let part = place - below;
    let cell = |value: f64| {
        if value < 0.0 {
            usize::MAX / 8
        } else {
            position(value)
        }
    };
    // What would lie outside the patch belongs to no cell.
    let cells = [(cell(below), 1.0 - part), (cell(below + 1.0), part)];
    cells.map(|(cell, share)| match cell < N_CELLS {
        true => (cell, share),
        false => (0, 0.0),
    })
}

/// Splits a vector into parts along the two nearest of eight directions: the first of them, and both parts.
fn split((x, y): (f64, f64)) -> (usize, f64, f64) {
    // Turned by quarters until it lies in the first one.
    let (quarter, x, y) = match (x >= 0.0, y >= 0.0) {
        (true, true) => (0, x, y),
        (false, true) => (1, y, -x),
        (false, false) => (2, -x, -y),
        (true, false) => (3, -y, x),
    };
    let diagonal = 2.0_f64.sqrt();
    if x >= y {
        (quarter * 2, x - y, y * diagonal)
    } else {
        (quarter * 2 + 1, x * diagonal, y - x)
    }
}

impl Look {
    /// How much two spots differ: the square of the distance.
    fn difference(&self, other: &Self) -> i32 {
        let pairs = self.numbers.iter().zip(&other.numbers);
        let dot: i32 = pairs.map(|(a, b)| i32::from(*a) * i32::from(*b)).sum();
        self.square + other.square - 2 * dot
    }
}

/// Two spots that look alike: their positions in the two lists.
pub(super) type Match = (usize, usize);

/// The spots that look more like each other than like any other spot elsewhere.
///
/// Source: Lowe, the same, section 7.1: the nearest must be nearer than eight tenths of the distance of the second nearest, where
/// that one lies elsewhere in the picture. Beyond that each must be the nearest of the other.
pub(super) fn matches(first: &[Look], second: &[Look], elsewhere: f64) -> Vec<Match> {
    let back = nearest(second, first, elsewhere);
    nearest(first, second, elsewhere)
        .into_iter()
        .enumerate()
        .filter_map(|(one, found)| {
            let (other, is_alone) = found?;
            let (returned, _) = back.get(other).copied().flatten()?;
            (is_alone && returned == one).then_some((one, other))
        })
        .collect()
}

/// For each spot the nearest of the others, and whether nothing else comes near.
fn nearest(of: &[Look], among: &[Look], elsewhere: f64) -> Vec<Option<(usize, bool)>> {
    let mut differences = vec![0; among.len()];
    of.iter()
        .map(|look| {
            for (difference, other) in differences.iter_mut().zip(among) {
                *difference = look.difference(other);
            }
            let (best, least) = differences
                .iter()
                .enumerate()
                .min_by_key(|(_, difference)| **difference)?;
            let found = among.get(best)?;
            let others = differences.iter().zip(among);
            let next = others
                .filter(|(_, other)| other.at.distance(found.at) > elsewhere)
                .map(|(difference, _)| *difference)
                .min();
            let is_alone = next.is_none_or(|next| i64::from(*least) * 100 < i64::from(next) * 64);
            Some((best, is_alone))
        })
        .collect()
}
