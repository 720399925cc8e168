//! The transformation that points set by hand ask for.

use super::number::real;
use super::solve::Equations;
use super::{Pair, Point, Side, Transform, Unframed};

/// The most pairs that are taken.
pub const MOST_PAIRS: usize = 64;

/// How far out a coordinate may lie, in pixels.
const FARTHEST: f64 = 1e6;

/// Points nearer than this, in pixels or as a share of the farthest distance, lie in the same spot.
const SAME_SPOT_PX: f64 = 1.0;
const SAME_SPOT_SHARE: f64 = 0.01;

/// Three points lie on one line when the triangle is lower than this share of its longest side.
const FLAT: f64 = 0.02;

/// What kind of transformation the points allow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Model {
    /// Two pairs: shifted, turned and made larger or smaller.
    Similarity,
    /// Three pairs: also stretched and slanted.
    Affine,
    /// Four pairs or more: as another camera sees the same plane.
    Homography,
}

/// What points set by hand give.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// How the second picture lies in the first.
    pub transform: Transform,
    /// The kind of it.
    pub model: Model,
    /// How far each pair's second point, laid into the first picture, is from its first point, in pixels; in the order of the
    /// pairs. With two, three or four pairs all are zero, and say nothing about how well the points were set.
    pub residuals: Vec<f64>,
}

/// Returns the transformation that lays the second points on the first ones.
///
/// Two pairs give a similarity, three an affine transformation, four a homography; more give the homography whose residuals
/// have the smallest sum of squares.
///
/// ```text
/// x' (g x + h y + 1) = a x + b y + c
/// y' (g x + h y + 1) = d x + e y + f
/// ```
///
/// in coordinates whose centre is the points' own and whose mean distance from it is √2; with more than four pairs, followed by
/// Gauss-Newton steps on the distances themselves.
///
/// # Errors
///
/// The first seven of [`Unframed`]: the points are too few or too many, lie in one spot or on one line, or are mixed up.
///
/// # Source
///
/// Hartley and Zisserman, *Multiple View Geometry in Computer Vision*, 2nd edition, 2004: algorithm 4.2 (normalised DLT) with the
/// inhomogeneous solution of section 4.1.2, degenerate sets of section 4.1.3, the distances of section 4.2.2 and their
/// minimisation of section 4.5; see `docs/sources/frame.md`.
pub fn fit(pairs: &[Pair]) -> Result<Fit, Unframed> {
    check(pairs)?;
    let (transform, model) = match pairs.len() {
        2 => (similarity(pairs), Model::Similarity),
        3 => (affine(pairs), Model::Affine),
        _ => (homography(pairs), Model::Homography),
    };
    let transform = transform.ok_or(Unframed::Impossible)?;
    let residuals = pairs.iter().map(|pair| residual(&transform, pair));
    let residuals: Option<Vec<f64>> = residuals.collect();
    Ok(Fit {
        transform,
        model,
        residuals: residuals.ok_or(Unframed::Impossible)?,
    })
}

/// Returns how far a pair's second point, laid into the first picture, is from its first point.
pub(super) fn residual(transform: &Transform, pair: &Pair) -> Option<f64> {
    Some(transform.map(pair.second)?.distance(pair.first))
}

/// Refuses what determines nothing, in words about the points.
fn check(pairs: &[Pair]) -> Result<(), Unframed> {
    let n = pairs.len();
    if n < 2 {
        return Err(Unframed::TooFewPairs { n });
    }
    if n > MOST_PAIRS {
        return Err(Unframed::TooManyPairs {
            n,
            most: MOST_PAIRS,
        });
    }
    for side in [Side::First, Side::Second] {
        let points: Vec<Point> = pairs.iter().map(|pair| of(pair, side)).collect();
        for (point, pair) in points.iter().zip(1..) {
            if !(point.x.abs() <= FARTHEST && point.y.abs() <= FARTHEST) {
                return Err(Unframed::NoPlace { pair, side });
            }
        }
        // Of many points two may be the same spot, as long as four others are not.
        if n <= 4 {
            apart(&points, side)?;
        }
        if n >= 3 {
            spread(&points, side)?;
        }
    }
    same_turn(pairs)
}

fn of(pair: &Pair, side: Side) -> Point {
    match side {
        Side::First => pair.first,
        Side::Second => pair.second,
    }
}

/// Refuses points in the same spot.
fn apart(points: &[Point], side: Side) -> Result<(), Unframed> {
    let all = || {
        points.iter().zip(1..).flat_map(move |(a, one)| {
            points
                .iter()
                .zip(1..)
                .skip(one)
                .map(move |(b, other)| (a.distance(*b), one, other))
        })
    };
    let farthest = all().fold(0.0_f64, |farthest, (distance, ..)| farthest.max(distance));
    let least = SAME_SPOT_PX.max(farthest * SAME_SPOT_SHARE);
    match all().find(|(distance, ..)| *distance < least) {
        Some((_, one, other)) => Err(Unframed::Coincident { one, other, side }),
        None => Ok(()),
    }
}

/// Every choice of three, with their numbers from 1.
fn triples(points: &[Point]) -> impl Iterator<Item = ([Point; 3], [usize; 3])> + '_ {
    let numbered = move |after: usize| points.iter().copied().zip(1..).skip(after);
    numbered(0).flat_map(move |(a, i)| {
        numbered(i).flat_map(move |(b, j)| numbered(j).map(move |(c, k)| ([a, b, c], [i, j, k])))
    })
}

/// Twice the triangle's area; positive when its points go round with the clock, as y points down.
fn turn([a, b, c]: [Point; 3]) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// The triangle's height as a share of its longest side.
fn height([a, b, c]: [Point; 3]) -> f64 {
    let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
    turn([a, b, c]).abs() / (longest * longest)
}

/// Refuses points that leave the transformation open: three of three or four on a line, or no four of more in general position.
fn spread(points: &[Point], side: Side) -> Result<(), Unframed> {
    if points.len() <= 4 {
        return match triples(points).find(|(triple, _)| height(*triple) < FLAT) {
            Some((_, pairs)) => Err(Unframed::Collinear {
                pairs: pairs.to_vec(),
                side,
            }),
            None => Ok(()),
        };
    }
    let is_general = triples(points)
        .filter(|(triple, _)| height(*triple) >= FLAT)
        .any(|([a, b, c], [.., last])| {
            let mut fourth = points.iter().skip(last);
            fourth.any(|d| {
                [[a, b, *d], [a, c, *d], [b, c, *d]]
                    .into_iter()
                    .all(|triple| height(triple) >= FLAT)
            })
        });
    if is_general {
        return Ok(());
    }
    Err(Unframed::Collinear {
        pairs: on_a_line(points),
        side,
    })
}

/// The largest set of points on one line.
fn on_a_line(points: &[Point]) -> Vec<usize> {
    let mut largest: Vec<usize> = Vec::new();
    for (a, one) in points.iter().zip(1..) {
        for (b, other) in points.iter().zip(1..).skip(one) {
            let with = points.iter().zip(1..).filter(|(c, k): &(&Point, usize)| {
                *k == one || *k == other || height([*a, *b, **c]) < FLAT
            });
            let with: Vec<usize> = with.map(|(_, k)| k).collect();
            if with.len() > largest.len() {
                largest = with;
            }
        }
    }
    largest
}

/// Refuses three points that go round the other way in the other picture.
fn same_turn(pairs: &[Pair]) -> Result<(), Unframed> {
    let first: Vec<Point> = pairs.iter().map(|pair| pair.first).collect();
    let second: Vec<Point> = pairs.iter().map(|pair| pair.second).collect();
    let both = triples(&first).zip(triples(&second));
    let mut crossed = both.filter(|((a, _), (b, _))| {
        height(*a) >= FLAT && height(*b) >= FLAT && (turn(*a) > 0.0) != (turn(*b) > 0.0)
    });
    match crossed.next() {
        Some(((_, pairs), _)) => Err(Unframed::Crossed { pairs }),
        None => Ok(()),
    }
}

/// Shifts and shrinks points so that their centre is 0 and their mean distance from it √2.
fn normalised(points: impl Iterator<Item = Point> + Clone) -> Option<Transform> {
    let n = real(points.clone().count());
    let sum = points
        .clone()
        .fold((0.0, 0.0), |(x, y), point| (x + point.x, y + point.y));
    let centre = Point {
        x: sum.0 / n,
        y: sum.1 / n,
    };
    let distance = points.map(|point| point.distance(centre)).sum::<f64>() / n;
    let scale = 2.0_f64.sqrt() / distance;
    Transform::from_rows([
        [scale, 0.0, -scale * centre.x],
        [0.0, scale, -scale * centre.y],
        [0.0, 0.0, 1.0],
    ])
}

/// Pairs in normalised coordinates, with the way there (second) and back (first).
struct Normalised {
    pairs: Vec<Pair>,
    to: Transform,
    back: Transform,
}

impl Normalised {
    fn of(pairs: &[Pair]) -> Option<Self> {
        let first = normalised(pairs.iter().map(|pair| pair.first))?;
        let second = normalised(pairs.iter().map(|pair| pair.second))?;
        let moved = pairs.iter().map(|pair| {
            Some(Pair {
                first: first.map(pair.first)?,
                second: second.map(pair.second)?,
            })
        });
        Some(Self {
            pairs: moved.collect::<Option<_>>()?,
            to: second,
            back: first.inverse()?,
        })
    }

    fn whole(&self, rows: [[f64; 3]; 3]) -> Option<Transform> {
        let inner = Transform::from_rows(rows)?;
        Transform::from_rows(self.back.after(&inner).after(&self.to).rows())
    }
}

fn similarity(pairs: &[Pair]) -> Option<Transform> {
    let all = Normalised::of(pairs)?;
    let mut equations = Equations::<4>::new();
    for Pair { first, second } in &all.pairs {
        equations.add([second.x, -second.y, 1.0, 0.0], first.x);
        equations.add([second.y, second.x, 0.0, 1.0], first.y);
    }
    let [a, b, c, f] = equations.solved()?;
    all.whole([[a, -b, c], [b, a, f], [0.0, 0.0, 1.0]])
}

fn affine(pairs: &[Pair]) -> Option<Transform> {
    let all = Normalised::of(pairs)?;
    let mut equations = Equations::<6>::new();
    for Pair { first, second } in &all.pairs {
        equations.add([second.x, second.y, 1.0, 0.0, 0.0, 0.0], first.x);
        equations.add([0.0, 0.0, 0.0, second.x, second.y, 1.0], first.y);
    }
    let [a, b, c, d, e, f] = equations.solved()?;
    all.whole([[a, b, c], [d, e, f], [0.0, 0.0, 1.0]])
}

/// The homography of four pairs or more: exact, or with the smallest sum of squared distances in the first picture.
pub(super) fn homography(pairs: &[Pair]) -> Option<Transform> {
    let weights = vec![1.0; pairs.len()];
    Some(weighted(pairs, &weights)?.0)
}

/// How certain a homography is: what its equations leave open.
pub(super) struct Certainty {
    equations: Equations<8>,
    rows: [[f64; 3]; 3],
    to: Transform,
}

/// The homography of pairs that count for more or less, and how certain it is.
pub(super) fn weighted(pairs: &[Pair], weights: &[f64]) -> Option<(Transform, Certainty)> {
    let all = Normalised::of(pairs)?;
    let weighed = || all.pairs.iter().zip(weights.iter().copied());
    let mut linear = Equations::<8>::new();
    for (Pair { first, second }, weight) in weighed() {
        let (x, y) = (weight * second.x, weight * second.y);
        let (u, v) = (first.x, first.y);
        linear.add([x, y, weight, 0.0, 0.0, 0.0, -u * x, -u * y], weight * u);
        linear.add([0.0, 0.0, 0.0, x, y, weight, -v * x, -v * y], weight * v);
    }
    let mut rows = as_rows(linear.solved()?);
    let mut equations = linear;
    // With four pairs the equations are met exactly, and the steps change nothing.
    for _ in 0..12 {
        let at = Transform::from_rows(rows)?;
        equations = Equations::<8>::new();
        for (Pair { first, second }, weight) in weighed() {
            let (along, down) = slopes(&rows, *second);
            let now = at.map(*second)?;
            equations.add(
                along.map(|slope| weight * slope),
                weight * (first.x - now.x),
            );
            equations.add(down.map(|slope| weight * slope), weight * (first.y - now.y));
        }
        let step = equations.solved()?;
        let [a, b, c] = as_rows(step);
        rows = add(rows, [a, b, [c[0], c[1], 0.0]]);
        if step.iter().all(|part| part.abs() < 1e-13) {
            break;
        }
    }
    let transform = all.whole(rows)?;
    let certainty = Certainty {
        equations,
        rows,
        to: all.to,
    };
    Some((transform, certainty))
}

fn as_rows([a, b, c, d, e, f, g, h]: [f64; 8]) -> [[f64; 3]; 3] {
    [[a, b, c], [d, e, f], [g, h, 1.0]]
}

fn add([a, b, c]: [[f64; 3]; 3], [d, e, f]: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    [(a, d), (b, e), (c, f)].map(|([a, b, c], [d, e, f])| [a + d, b + e, c + f])
}

/// How a laid point moves, along and down, with each of the eight numbers.
fn slopes([[a, b, c], [d, e, f], [g, h, i]]: &[[f64; 3]; 3], at: Point) -> ([f64; 8], [f64; 8]) {
    let (x, y) = (at.x, at.y);
    let w = g * x + h * y + i;
    let (u, v) = ((a * x + b * y + c) / w, (d * x + e * y + f) / w);
    let (x, y, one) = (x / w, y / w, 1.0 / w);
    (
        [x, y, one, 0.0, 0.0, 0.0, -u * x, -u * y],
        [0.0, 0.0, 0.0, x, y, one, -v * x, -v * y],
    )
}

impl Certainty {
    /// Returns the standard deviation of where a point of the second picture comes to lie, when each set point of weight 1 has a
    /// standard deviation of 1 along and down.
    ///
    /// Source: Hartley and Zisserman, section 5.2.3 (forward propagation of covariance to a transferred point).
    pub(super) fn deviation(&self, point: Point) -> f64 {
        let Some(at) = self.to.map(point) else {
            return f64::INFINITY;
        };
        let (along, down) = slopes(&self.rows, at);
        // Set points and the laid point are measured in the same normalised unit, which therefore drops out.
        let deviation = (self.equations.variance(along) + self.equations.variance(down)).sqrt();
        if deviation.is_finite() {
            deviation
        } else {
            f64::INFINITY
        }
    }
}
