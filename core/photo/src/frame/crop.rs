//! The part of the frame that both pictures show.

use super::number::{position, real};
use super::{Point, Size, Transform};

/// A rectangle of whole pixels in the first picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crop {
    /// Pixels left of it.
    pub left: u32,
    /// Pixels above it.
    pub top: u32,
    /// Its size.
    pub size: Size,
}

/// How far past a pixel's centre a picture still counts as showing it, against the last digits of a transformation.
const SLACK: f64 = 1e-6;

/// The longest side that is looked at.
const LONGEST: u32 = 16_384;

/// Returns the largest upright rectangle of the first picture that the second, laid into it, covers whole; none when there is
/// none, or when the second picture would be seen from behind.
///
/// Covered is a pixel whose centre lies among the centres of the second picture's pixels, so that nothing need be made up beyond
/// its edge. Of two rectangles of the same area the upper one counts.
#[must_use]
pub fn common(first: Size, second: Size, transform: &Transform) -> Option<Crop> {
    let sides = [first.width, first.height, second.width, second.height];
    if sides.iter().any(|side| *side == 0 || *side > LONGEST) {
        return None;
    }
    let rows = covered(first, second, transform)?;
    let height = rows.len();
    let widest = rows
        .iter()
        .flatten()
        .map(|(left, right)| right - left)
        .max();
    let widest = widest? + 1;
    let mut best: Option<(usize, usize, usize, usize)> = None;
    let mut most = 0;
    for (top, row) in rows.iter().enumerate() {
        let Some((left, right)) = *row else {
            continue;
        };
        if (height - top) * widest <= most {
            break;
        }
        // The covered part is convex: what its first and last row cover, the rows between cover too.
        let below = rows.iter().skip(top).map_while(|row| *row);
        for ((next_left, next_right), n_rows) in below.zip(1..) {
            let (from, to) = (left.max(next_left), right.min(next_right));
            if from > to {
                break;
            }
            let area = (to - from + 1) * n_rows;
            if area > most {
                most = area;
                best = Some((from, top, to - from + 1, n_rows));
            }
        }
    }
    let (left, top, width, height) = best?;
    let whole = |count: usize| u32::try_from(count).ok();
    Some(Crop {
        left: whole(left)?,
        top: whole(top)?,
        size: Size {
            width: whole(width)?,
            height: whole(height)?,
        },
    })
}

/// Which pixels of each row of the first picture the second covers: the first and the last of them.
fn covered(
    first: Size,
    second: Size,
    transform: &Transform,
) -> Option<Vec<Option<(usize, usize)>>> {
    let near = 0.5 - SLACK;
    let (right, bottom) = (
        f64::from(second.width) - near,
        f64::from(second.height) - near,
    );
    let corners = [(near, near), (right, near), (right, bottom), (near, bottom)];
    let mut laid = Vec::with_capacity(4);
    for (x, y) in corners {
        laid.push(transform.map(Point { x, y })?);
    }
    let mut edges = Vec::with_capacity(4);
    for (from, to) in laid.iter().zip(laid.iter().cycle().skip(1)) {
        // Inside is where a x + b y + c is not negative, as the corners go round with the clock.
        let (a, b) = (from.y - to.y, to.x - from.x);
        edges.push((a, b, -(a * from.x + b * from.y)));
    }
    // A mirrored or folded picture has corners outside its own edges.
    let is_convex = edges.iter().all(|(a, b, c)| {
        laid.iter()
            .all(|at| a * at.x + b * at.y + c >= -SLACK * (a.abs() + b.abs()))
    });
    if !is_convex {
        return None;
    }
    let last = f64::from(first.width) - 1.0;
    let rows = (0..first.height).map(|row| {
        let y = f64::from(row) + 0.5;
        let (mut from, mut to) = (0.0_f64, last);
        for (a, b, c) in &edges {
            let rest = b * y + c;
            if *a > 0.0 {
                from = from.max((-rest / a - 0.5).ceil());
            } else if *a < 0.0 {
                to = to.min((-rest / a - 0.5).floor());
            } else if rest < 0.0 {
                to = -1.0;
            }
        }
        (from <= to).then(|| (position(from), position(to)))
    });
    Some(rows.collect())
}

/// Returns which share of the smaller picture's area the other one shows, 0 to 1.
pub(super) fn overlap(first: Size, second: Size, transform: &Transform) -> f64 {
    let Some(rows) = covered(first, second, transform) else {
        return 0.0;
    };
    let shared: usize = rows.iter().flatten().map(|(from, to)| to - from + 1).sum();
    let whole = f64::from(first.width) * f64::from(first.height);
    let laid: Option<Vec<Point>> = second
        .corners()
        .into_iter()
        .map(|corner| transform.map(corner))
        .collect();
    let laid = laid.map_or(0.0, |corners| area(&corners));
    real(shared) / whole.min(laid).max(1.0)
}

/// The area within corners that go round with the clock.
pub(super) fn area(corners: &[Point]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let twice: f64 = corners
        .iter()
        .zip(next)
        .map(|(a, b)| a.x * b.y - b.x * a.y)
        .sum();
    twice / 2.0
}
