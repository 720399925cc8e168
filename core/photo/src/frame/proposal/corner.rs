//! Corners: spots that can be told from all that is beside them.

use super::super::Point;
use super::super::number::{position, real};
use super::super::plane::Plane;

/// A spot that stands out both along and down.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    /// Where, in the plane's own pixels.
    pub(super) at: Point,
    /// How much.
    pub(super) strength: f32,
}

/// The side of the squares that each give their strongest corners, so that they spread over the whole picture.
const SQUARE: usize = 64;

/// How near the edge none is looked for, in pixels.
const MARGIN: usize = 12;

/// What is weaker than this is noise of a sensor.
const LEAST_STRENGTH: f32 = 1.5;

/// A plane's slopes.
pub(super) struct Slopes {
    pub(super) along: Plane,
    pub(super) down: Plane,
}

impl Slopes {
    pub(super) fn of(smooth: &Plane) -> Self {
        let (along, down) = smooth.slopes();
        Self { along, down }
    }
}

/// Returns the strongest corners of each square of a smoothed plane, row of squares by row of squares.
///
/// The strength is the harmonic mean of the eigenvalues of the gathered slopes, det / trace.
///
/// Source: Brown, Szeliski and Winder, "Multi-Image Matching using Multi-Scale Oriented Patches", CVPR 2005, sections 2 and 3
/// (strength, position between pixels, spread).
pub(super) fn corners(slopes: &Slopes, most_a_square: usize) -> Vec<Corner> {
    let Slopes { along, down } = slopes;
    let [xx, xy, yy] = [
        along.gathered(along),
        along.gathered(down),
        down.gathered(down),
    ];
    let strengths = xx.values.iter().zip(&xy.values).zip(&yy.values);
    let strength = Plane {
        width: along.width,
        height: along.height,
        values: strengths
            .map(|((xx, xy), yy)| (xx * yy - xy * xy) / (xx + yy + 1e-6))
            .collect(),
    };
    let n_across = strength.width.div_ceil(SQUARE);
    let n_down = strength.height.div_ceil(SQUARE);
    let mut squares: Vec<Vec<Corner>> = vec![Vec::new(); n_across * n_down];
    for row in MARGIN..strength.height.saturating_sub(MARGIN) {
        let rows = [row - 1, row, row + 1].map(|row| strength.row(row));
        let [above, here, below] = rows.map(|row| row.array_windows::<3>());
        for (column, ((above, here), below)) in above.zip(here).zip(below).enumerate() {
            let [left, middle, right] = *here;
            let is_peak = middle > LEAST_STRENGTH
                && middle > left
                && middle >= right
                && above.iter().all(|value| middle > *value)
                && below.iter().all(|value| middle >= *value);
            let column = column + 1;
            if !is_peak || column < MARGIN || column + MARGIN >= strength.width {
                continue;
            }
            let at = Point {
                x: real(column) + 0.5 + peak(left, middle, right),
                y: real(row) + 0.5 + peak(above[1], middle, below[1]),
            };
            if let Some(square) = squares.get_mut(row / SQUARE * n_across + column / SQUARE) {
                square.push(Corner {
                    at,
                    strength: middle,
                });
            }
        }
    }
    for square in &mut squares {
        square.sort_by(|a, b| b.strength.total_cmp(&a.strength));
        square.truncate(most_a_square);
    }
    squares.into_iter().flatten().collect()
}

/// How far from the middle the top of the parabola through three values lies, at most half a step.
fn peak(before: f32, middle: f32, after: f32) -> f64 {
    let bend = f64::from(before) - 2.0 * f64::from(middle) + f64::from(after);
    if bend >= 0.0 {
        return 0.0;
    }
    let off = (f64::from(before) - f64::from(after)) / (2.0 * bend);
    off.clamp(-0.5, 0.5)
}

/// The square of a picture cut into `n` by `n` that a point lies in, as a position row by row.
pub(super) fn cell(at: Point, width: f64, height: f64, n: usize) -> usize {
    let along = position(at.x / width * real(n)).min(n - 1);
    let down = position(at.y / height * real(n)).min(n - 1);
    down * n + along
}
