//! What lies between readings: by inverse distances (Shepard 1968) or by ordinary kriging (Matheron 1963).

use super::wet::{Field, Point};
use crate::number;
use crate::solve::solved;

/// One reading where it was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Along.
    pub x: f64,
    /// Across.
    pub y: f64,
    /// What was read.
    pub value: f64,
}

/// How readings grow unlike with distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Variogram {
    /// `s (1 − e^(−3 d / r))`.
    Exponential {
        /// s.
        sill: f64,
        /// r.
        range: f64,
    },
    /// `s (1.5 d / r − 0.5 (d / r)³)`, and `s` beyond r.
    Spherical {
        /// s.
        sill: f64,
        /// r.
        range: f64,
    },
    /// `a d`.
    Linear {
        /// a.
        slope: f64,
    },
}

/// How a value between readings is found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Method {
    /// The mean of the readings, each by the inverse of its distance to this power. It never goes beyond them.
    InverseDistance(f64),
    /// The mean that is right on average and errs least, if readings grow unlike in this way. It can go beyond them.
    Kriging(Variogram),
}

/// A value between readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// The value.
    pub value: f64,
    /// How far it may be off, squared; of kriging only.
    pub variance: Option<f64>,
}

/// No more readings than this take part in one value by inverse distances: the nearest.
pub const NEAREST: usize = 64;
/// The same by kriging.
pub const NEAREST_KRIGING: usize = 32;

impl Variogram {
    /// How unlike two readings are at a distance.
    #[must_use]
    pub fn at(self, distance: f64) -> f64 {
        match self {
            Self::Exponential { sill, range } => {
                sill * (1.0 - number::exp(-3.0 * distance / range))
            }
            Self::Spherical { sill, range } => {
                let part = (distance / range).min(1.0);
                sill * (1.5 * part - 0.5 * part * part * part)
            }
            Self::Linear { slope } => slope * distance,
        }
    }
}

fn squared(one: Point, other: Point) -> f64 {
    let (x, y) = (one.0 - other.0, one.1 - other.1);
    x * x + y * y
}

/// The value at a point from these readings, all of which take part; none where there are none, or where they determine nothing.
///
/// # Units
///
/// - `spots`, `at`: any one unit of length, and any one of values; the variogram in the same
/// - returns: the value, and its variance in squared values
///
/// # Errors
///
/// None: what cannot be found is `None`.
///
/// # Source
///
/// Inverse distances: Shepard 1968. Ordinary kriging: Matheron 1963.
#[must_use]
pub fn between(spots: &[Spot], at: Point, method: Method) -> Option<Between> {
    match method {
        Method::InverseDistance(power) => inverse_distance(spots, at, power),
        Method::Kriging(variogram) => kriging(spots, at, variogram),
    }
}

fn inverse_distance(spots: &[Spot], at: Point, power: f64) -> Option<Between> {
    let squares = |power: f64| (power - 2.0).abs() < 1e-12;
    let (mut sum, mut weights) = (0.0, 0.0);
    for spot in spots {
        let square = squared((spot.x, spot.y), at);
        if square <= 0.0 {
            return Some(Between {
                value: spot.value,
                variance: None,
            });
        }
        let weight = if squares(power) {
            1.0 / square
        } else {
            number::pow(square, -power / 2.0)
        };
        sum += weight * spot.value;
        weights += weight;
    }
    (weights > 0.0).then(|| Between {
        value: sum / weights,
        variance: None,
    })
}

fn kriging(spots: &[Spot], at: Point, variogram: Variogram) -> Option<Between> {
    if let Some(here) = spots
        .iter()
        .find(|spot| squared((spot.x, spot.y), at) <= 0.0)
    {
        return Some(Between {
            value: here.value,
            variance: Some(0.0),
        });
    }
    let unlike =
        |one: &Spot, other: Point| variogram.at(number::sqrt(squared((one.x, one.y), other)));
    let mut rows: Vec<Vec<f64>> = spots
        .iter()
        .map(|one| {
            spots
                .iter()
                .map(|other| unlike(one, (other.x, other.y)))
                .chain([1.0, unlike(one, at)])
                .collect()
        })
        .collect();
    rows.push(spots.iter().map(|_| 1.0).chain([0.0, 1.0]).collect());
    let weights = solved(rows)?;
    let value = weights
        .iter()
        .zip(spots)
        .map(|(weight, spot)| weight * spot.value)
        .sum();
    let spread: f64 = weights
        .iter()
        .zip(spots)
        .map(|(weight, spot)| weight * unlike(spot, at))
        .sum();
    Some(Between {
        value,
        variance: Some((spread + weights.last()?).max(0.0)),
    })
}

/// A line that nothing is interpolated across: a joint, a hatch's edge, the border of solid laminate.
pub type Border = (Point, Point);

/// Whether a border lies between two points; touching counts.
fn parted(one: Point, other: Point, (from, to): &Border) -> bool {
    let side = |a: Point, b: Point, c: Point| (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
    let (a, b) = (side(one, other, *from), side(one, other, *to));
    let (c, d) = (side(*from, *to, one), side(*from, *to, other));
    a * b <= 0.0 && c * d < 0.0
}

/// What a field is made from.
#[derive(Debug, Clone, Copy)]
pub struct Survey<'a> {
    /// The readings; of two at one spot the mean counts.
    pub spots: &'a [Spot],
    /// What nothing is interpolated across.
    pub borders: &'a [Border],
    /// How values between are found.
    pub method: Method,
    /// How far from the nearest reading a value may be; beyond, nothing was measured.
    pub reach: f64,
}

impl Survey<'_> {
    /// The values at the corners of cells from (`from.0`, `from.1`) on.
    #[must_use]
    pub fn field(&self, from: Point, (n_columns, n_rows): (usize, usize), step: f64) -> Field {
        let spots = without_repeats(self.spots);
        let near = Near::new(&spots);
        let most = match self.method {
            Method::InverseDistance(_) => NEAREST,
            Method::Kriging(_) => NEAREST_KRIGING,
        };
        let mut values = Vec::with_capacity(n_columns.saturating_mul(n_rows));
        let mut found: Vec<(f64, Spot)> = Vec::new();
        for row in 0..n_rows {
            for column in 0..n_columns {
                let at = (
                    from.0 + number::of_count(column) * step,
                    from.1 + number::of_count(row) * step,
                );
                near.nearest(at, most, self.borders, &mut found);
                let close = found
                    .first()
                    .is_some_and(|(square, _)| *square <= self.reach * self.reach * (1.0 + 1e-12));
                let value = if close {
                    let taken: Vec<Spot> = found.iter().map(|(_, spot)| *spot).collect();
                    between(&taken, at, self.method).map_or(f64::NAN, |found| found.value)
                } else {
                    f64::NAN
                };
                values.push(value);
            }
        }
        Field {
            n_columns,
            step_x: step,
            step_y: step,
            values,
        }
    }
}

/// Readings at one spot become their mean, and the order is that of the spots.
fn without_repeats(spots: &[Spot]) -> Vec<Spot> {
    let mut sorted = spots.to_vec();
    sorted.sort_by(|one, other| {
        one.x
            .total_cmp(&other.x)
            .then(one.y.total_cmp(&other.y))
            .then(one.value.total_cmp(&other.value))
    });
    let mut out: Vec<(Spot, f64)> = Vec::with_capacity(sorted.len());
    for spot in sorted {
        match out.last_mut() {
            Some((last, n))
                if last.x.total_cmp(&spot.x).is_eq() && last.y.total_cmp(&spot.y).is_eq() =>
            {
                last.value += spot.value;
                *n += 1.0;
            }
            _ => out.push((spot, 1.0)),
        }
    }
    out.into_iter()
        .map(|(spot, n)| Spot {
            value: spot.value / n,
            ..spot
        })
        .collect()
}

/// Readings in buckets, so that the nearest are found without looking at all.
struct Near<'a> {
    spots: &'a [Spot],
    from: Point,
    size: f64,
    n_columns: usize,
    n_rows: usize,
    buckets: Vec<Vec<u32>>,
}

impl<'a> Near<'a> {
    fn new(spots: &'a [Spot]) -> Self {
        let low = |axis: fn(&Spot) -> f64| spots.iter().map(axis).fold(f64::INFINITY, f64::min);
        let high =
            |axis: fn(&Spot) -> f64| spots.iter().map(axis).fold(f64::NEG_INFINITY, f64::max);
        let (from, to) = if spots.is_empty() {
            ((0.0, 0.0), (0.0, 0.0))
        } else {
            (
                (low(|spot| spot.x), low(|spot| spot.y)),
                (high(|spot| spot.x), high(|spot| spot.y)),
            )
        };
        let n = f64::from(u32::try_from(spots.len()).unwrap_or(u32::MAX)).max(1.0);
        let (width, height) = (to.0 - from.0, to.1 - from.1);
        // About four to a bucket; a survey along a line has one row of them.
        let size = number::sqrt(width * height * 4.0 / n)
            .max(width.max(height) * 2.0 / n)
            .max(1e-9);
        let count = |extent: f64| bucket(extent, size) + 1;
        let (n_columns, n_rows) = (count(width), count(height));
        let mut near = Self {
            spots,
            from,
            size,
            n_columns,
            n_rows,
            buckets: vec![Vec::new(); n_columns.saturating_mul(n_rows)],
        };
        for (number, spot) in (0_u32..).zip(spots) {
            let (column, row) = near.cell((spot.x, spot.y));
            let idx = row * near.n_columns + column;
            if let Some(bucket) = near.buckets.get_mut(idx) {
                bucket.push(number);
            }
        }
        near
    }

    fn cell(&self, at: Point) -> (usize, usize) {
        (
            bucket(at.0 - self.from.0, self.size).min(self.n_columns - 1),
            bucket(at.1 - self.from.1, self.size).min(self.n_rows - 1),
        )
    }

    /// The nearest that no border parts from here, nearest first.
    fn nearest(&self, at: Point, most: usize, borders: &[Border], out: &mut Vec<(f64, Spot)>) {
        out.clear();
        let (column, row) = self.cell(at);
        let rings = self.n_columns.max(self.n_rows);
        // How far the point lies outside of its bucket, where it lies outside of all.
        let clamped = (
            (at.0 - self.from.0).clamp(0.0, number::of_count(self.n_columns) * self.size)
                + self.from.0,
            (at.1 - self.from.1).clamp(0.0, number::of_count(self.n_rows) * self.size)
                + self.from.1,
        );
        let outside = number::sqrt(squared(at, clamped));
        for ring in 0..=rings {
            let sure = (number::of_count(ring) - 1.0).max(0.0) * self.size - outside;
            if out.len() >= most
                && let Some((far, _)) = out.get(most - 1)
                && sure > 0.0
                && *far <= sure * sure
            {
                break;
            }
            let before = out.len();
            let rows = row.saturating_sub(ring)..=(row + ring).min(self.n_rows - 1);
            for y in rows {
                let whole_row = y.abs_diff(row) == ring;
                let columns = column.saturating_sub(ring)..=(column + ring).min(self.n_columns - 1);
                for x in columns.filter(|x| whole_row || x.abs_diff(column) == ring) {
                    let bucket = self.buckets.get(y * self.n_columns + x);
                    for &number in bucket.into_iter().flatten() {
                        let Some(spot) = usize::try_from(number)
                            .ok()
                            .and_then(|idx| self.spots.get(idx))
                        else {
                            continue;
                        };
                        let here = (spot.x, spot.y);
                        if !borders.iter().any(|border| parted(at, here, border)) {
                            out.push((squared(here, at), *spot));
                        }
                    }
                }
            }
            if out.len() > before {
                out.sort_by(|one, other| one.0.total_cmp(&other.0));
            }
        }
        out.truncate(most);
    }
}

/// In which bucket a distance ends.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the number is brought within the range before"
)]
fn bucket(distance: f64, size: f64) -> usize {
    (distance / size).clamp(0.0, 100_000.0) as usize
}

/// [`without_repeats`] for the laws.
#[cfg(test)]
pub(super) fn tests_only_without_repeats(spots: &[Spot]) -> Vec<Spot> {
    without_repeats(spots)
}
