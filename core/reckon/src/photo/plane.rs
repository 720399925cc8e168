//! The map from a photograph's pixels to a plane of the boat.

use crate::Unreckoned;
use crate::number::{of_count, sqrt};
use crate::solve::solved;

/// A point: to the right and down in a photograph, along and across in a plane.
pub type Point = (f64, f64);

/// Three points count as lying on a line where their triangle is smaller than this share of the square of the extent.
const FLAT: f64 = 0.002;

/// A known point: where it lies in the photograph and in the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// In the photograph.
    pub pixel: Point,
    /// In the plane.
    pub place: Point,
}

/// Moves and sizes points so that their middle is at nought and their mean distance from it is √2 (Hartley 1997).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Norm {
    middle: Point,
    scale: f64,
}

impl Norm {
    fn of(points: &[Point]) -> Option<Self> {
        let n = of_count(points.len());
        let sum = points
            .iter()
            .fold((0.0, 0.0), |sum, point| (sum.0 + point.0, sum.1 + point.1));
        let middle = (sum.0 / n, sum.1 / n);
        let mean: f64 = points
            .iter()
            .map(|point| {
                let (x, y) = (point.0 - middle.0, point.1 - middle.1);
                sqrt(x * x + y * y)
            })
            .sum::<f64>()
            / n;
        (mean > 0.0).then(|| Self {
            middle,
            scale: std::f64::consts::SQRT_2 / mean,
        })
    }

    fn there(self, point: Point) -> Point {
        (
            (point.0 - self.middle.0) * self.scale,
            (point.1 - self.middle.1) * self.scale,
        )
    }

    fn back(self, point: Point) -> Point {
        (
            point.0 / self.scale + self.middle.0,
            point.1 / self.scale + self.middle.1,
        )
    }
}

/// A plane of the boat as a photograph shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Plane {
    from: Norm,
    to: Norm,
    h: Vec<f64>,
    /// Which side of the horizon the known points are on.
    side: f64,
}

fn degenerate(why: &str) -> Unreckoned {
    Unreckoned::impossible(
        "known",
        why,
        "take four points of which no three lie on a line, in turn round an area, and look whether each has its own place",
    )
}

/// Whether three of four points lie nearly on a line.
fn three_on_a_line(points: &[Point]) -> bool {
    let n = points.len();
    let span = points
        .iter()
        .flat_map(|a| {
            points
                .iter()
                .map(move |b| (a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1))
        })
        .fold(0.0, f64::max);
    let triangle = |a: &Point, b: &Point, c: &Point| {
        ((b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)).abs()
    };
    (0..n).any(|left_out| {
        let rest: Vec<&Point> = points
            .iter()
            .enumerate()
            .filter(|(at, _)| *at != left_out)
            .map(|(_, point)| point)
            .collect();
        matches!(rest.as_slice(), [a, b, c] if triangle(a, b, c) < FLAT * span)
    })
}

impl Plane {
    /// The plane through known points: four exactly, more of them by least squares.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Impossible`] when they determine no plane
    pub fn through(known: &[Pair]) -> Result<Self, Unreckoned> {
        let pixels: Vec<Point> = known.iter().map(|pair| pair.pixel).collect();
        let places: Vec<Point> = known.iter().map(|pair| pair.place).collect();
        if known.len() == 4 && (three_on_a_line(&pixels) || three_on_a_line(&places)) {
            return Err(degenerate(
                "three of the four known points lie on a line, or two are one",
            ));
        }
        let no_plane = || degenerate("these points determine no plane");
        let from = Norm::of(&pixels).ok_or_else(no_plane)?;
        let to = Norm::of(&places).ok_or_else(no_plane)?;
        let mut rows: Vec<Vec<f64>> = Vec::new();
        for pair in known {
            let ((u, v), (x, y)) = (from.there(pair.pixel), to.there(pair.place));
            rows.push(vec![u, v, 1.0, 0.0, 0.0, 0.0, -u * x, -v * x, x]);
            rows.push(vec![0.0, 0.0, 0.0, u, v, 1.0, -u * y, -v * y, y]);
        }
        if known.len() > 4 {
            rows = normal(&rows);
        }
        let h = solved(rows).ok_or_else(no_plane)?;
        let mut plane = Self {
            from,
            to,
            h,
            side: 1.0,
        };
        let sides: Vec<f64> = known
            .iter()
            .map(|pair| plane.weight(from.there(pair.pixel)))
            .collect();
        plane.side = sides.first().copied().unwrap_or(1.0).signum();
        if sides.iter().any(|side| side * plane.side <= 1e-9) {
            return Err(degenerate(
                "the known points are not in turn: lines between them cross in one of the two",
            ));
        }
        Ok(plane)
    }

    fn coefficient(&self, at: usize) -> f64 {
        self.h.get(at).copied().unwrap_or(f64::NAN)
    }

    fn weight(&self, (u, v): Point) -> f64 {
        self.coefficient(6) * u + self.coefficient(7) * v + 1.0
    }

    /// Where a pixel lies in the plane; nowhere for one at its horizon or beyond.
    #[must_use]
    pub fn place(&self, pixel: Point) -> Option<Point> {
        let (u, v) = self.from.there(pixel);
        let weight = self.weight((u, v));
        if weight * self.side <= 1e-9 {
            return None;
        }
        let row = |first: usize| {
            (self.coefficient(first) * u
                + self.coefficient(first + 1) * v
                + self.coefficient(first + 2))
                / weight
        };
        Some(self.to.back((row(0), row(3))))
    }
}

/// The normal equations of too many rows.
fn normal(rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    (0..8)
        .map(|i| {
            (0..9)
                .map(|j| {
                    rows.iter()
                        .filter_map(|row| Some(row.get(i)? * row.get(j)?))
                        .sum()
                })
                .collect()
        })
        .collect()
}
