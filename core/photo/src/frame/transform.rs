//! A plane transformation: three by three numbers, up to a common factor.

use super::Point;

/// How a plane lies in another: the second picture in the first.
///
/// ```text
/// x' = (a x + b y + c) / (g x + h y + i)
/// y' = (d x + e y + f) / (g x + h y + i)
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transform {
    rows: [[f64; 3]; 3],
}

impl Transform {
    /// The transformation that leaves every point where it is.
    pub const NONE: Self = Self {
        rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    };

    /// Takes the numbers a, b, c; d, e, f; g, h, i, if they are numbers and the plane keeps its extent.
    #[must_use]
    pub fn from_rows(rows: [[f64; 3]; 3]) -> Option<Self> {
        let factor = rows[2][2];
        let factor = if factor > 0.0 { factor } else { 1.0 };
        let rows = rows.map(|row| row.map(|number| number / factor));
        let whole = Self { rows };
        let is_good = rows.iter().flatten().all(|number| number.is_finite())
            && whole.determinant().abs() > f64::MIN_POSITIVE;
        is_good.then_some(whole)
    }

    /// The numbers a, b, c; d, e, f; g, h, i.
    #[must_use]
    pub fn rows(&self) -> [[f64; 3]; 3] {
        self.rows
    }

    /// Returns where a point comes to lie, unless it would lie behind the camera.
    #[must_use]
    pub fn map(&self, point: Point) -> Option<Point> {
        let [x, y, w] = self.raw(point);
        (w > 1e-9).then(|| Point { x: x / w, y: y / w })
    }

    /// The three sums for a point, before they are divided.
    fn raw(&self, point: Point) -> [f64; 3] {
        self.rows.map(|[a, b, c]| a * point.x + b * point.y + c)
    }

    /// Returns the way back.
    #[must_use]
    pub fn inverse(&self) -> Option<Self> {
        let [[a, b, c], [d, e, f], [g, h, i]] = self.rows;
        let determinant = self.determinant();
        let rows = [
            [e * i - f * h, c * h - b * i, b * f - c * e],
            [f * g - d * i, a * i - c * g, c * d - a * f],
            [d * h - e * g, b * g - a * h, a * e - b * d],
        ]
        .map(|row| row.map(|number| number / determinant));
        rows.iter()
            .flatten()
            .all(|number| number.is_finite())
            .then_some(Self { rows })
    }

    /// Returns this transformation done after another one.
    #[must_use]
    pub fn after(&self, other: &Self) -> Self {
        let [p, q, r] = other.rows;
        let rows = self.rows.map(|[a, b, c]| {
            let [mut x, mut y, mut z] = [0.0; 3];
            for (factor, row) in [(a, p), (b, q), (c, r)] {
                x += factor * row[0];
                y += factor * row[1];
                z += factor * row[2];
            }
            [x, y, z]
        });
        Self { rows }
    }

    /// Returns the same transformation between pictures of other sizes: `second` and `first` times as large.
    #[must_use]
    pub fn scaled(&self, first: f64, second: f64) -> Option<Self> {
        let [[a, b, c], [d, e, f], [g, h, i]] = self.rows;
        Self::from_rows([
            [a * first / second, b * first / second, c * first],
            [d * first / second, e * first / second, f * first],
            [g / second, h / second, i],
        ])
    }

    fn determinant(&self) -> f64 {
        let [[a, b, c], [d, e, f], [g, h, i]] = self.rows;
        a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    }
}
