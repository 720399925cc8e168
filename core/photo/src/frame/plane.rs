//! Brightness as numbers: what corners are looked for in.

use super::number::{position, real, single};
use super::{Point, Size};

/// A picture of one number a pixel, row by row.
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) values: Vec<f32>,
}

impl Plane {
    /// Takes brightness of 0 to 255, as many numbers as there are pixels; what is missing is dark.
    #[must_use]
    pub fn of(size: Size, values: impl Iterator<Item = u8>) -> Self {
        let width = usize::try_from(size.width).unwrap_or(0);
        let height = usize::try_from(size.height).unwrap_or(0);
        let mut values: Vec<f32> = values.take(width * height).map(f32::from).collect();
        values.resize(width * height, 0.0);
        Self {
            width,
            height,
            values,
        }
    }

    /// Its size.
    #[must_use]
    pub fn size(&self) -> Size {
        let whole = |side: usize| u32::try_from(side).unwrap_or(u32::MAX);
        Size {
            width: whole(self.width),
            height: whole(self.height),
        }
    }

    /// A plane of the same size with other values.
    fn with(&self, values: Vec<f32>) -> Self {
        Self {
            width: self.width,
            height: self.height,
            values,
        }
    }

    /// A row, the nearest there is.
    pub(super) fn row(&self, row: usize) -> &[f32] {
        let row = row.min(self.height.saturating_sub(1));
        let start = row * self.width;
        self.values
            .get(start..start + self.width)
            .unwrap_or_default()
    }

    /// The value at a point, bilinear; beyond the edge the edge's.
    pub(super) fn at(&self, point: Point) -> f32 {
        let x = (point.x - 0.5).max(0.0).min(real(self.width) - 1.0);
        let y = (point.y - 0.5).max(0.0).min(real(self.height) - 1.0);
        let (left, top) = (x.floor(), y.floor());
        let (along, down) = (single(x - left), single(y - top));
        let (column, row) = (position(left), position(top));
        let last = self.width.saturating_sub(1);
        let of = |row: &[f32], column: usize| row.get(column.min(last)).copied().unwrap_or(0.0);
        let (upper, lower) = (self.row(row), self.row(row + 1));
        let above = of(upper, column) * (1.0 - along) + of(upper, column + 1) * along;
        let below = of(lower, column) * (1.0 - along) + of(lower, column + 1) * along;
        above * (1.0 - down) + below * down
    }

    /// The plane smoothed by the binomial weights 1, 4, 6, 4, 1 along and down: a variance of one pixel each way.
    pub(super) fn smoothed(&self) -> Self {
        let mut along = Vec::with_capacity(self.values.len());
        let mut padded = Vec::with_capacity(self.width + 4);
        for row in self.values.chunks_exact(self.width.max(1)) {
            let first = row.first().copied().unwrap_or(0.0);
            let last = row.last().copied().unwrap_or(0.0);
            padded.clear();
            padded.extend([first, first]);
            padded.extend_from_slice(row);
            padded.extend([last, last]);
            along.extend(
                padded
                    .array_windows::<5>()
                    .map(|[a, b, c, d, e]| (a + e + 4.0 * (b + d) + 6.0 * c) * (1.0 / 16.0)),
            );
        }
        let along = self.with(along);
        let mut out = Vec::with_capacity(self.values.len());
        for row in 0..self.height {
            let rows = [
                row.saturating_sub(2),
                row.saturating_sub(1),
                row,
                row + 1,
                row + 2,
            ];
            let [a, b, c, d, e] = rows.map(|row| along.row(row));
            let outer = a.iter().zip(e).map(|(a, e)| a + e);
            let inner = b.iter().zip(d).map(|(b, d)| 4.0 * (b + d));
            let sums = outer.zip(inner).zip(c);
            out.extend(sums.map(|((outer, inner), c)| (outer + inner + 6.0 * c) * (1.0 / 16.0)));
        }
        self.with(out)
    }

    /// How the brightness grows along and down, a pixel.
    pub(super) fn slopes(&self) -> (Self, Self) {
        let mut along = Vec::with_capacity(self.values.len());
        let mut down = Vec::with_capacity(self.values.len());
        for row in 0..self.height {
            let here = self.row(row);
            let before = here.iter().take(1).chain(here);
            let after = here.iter().skip(1).chain(here.last());
            along.extend(
                before
                    .zip(after)
                    .map(|(before, after)| (after - before) * 0.5),
            );
            let (above, below) = (self.row(row.saturating_sub(1)), self.row(row + 1));
            down.extend(
                above
                    .iter()
                    .zip(below)
                    .map(|(above, below)| (below - above) * 0.5),
            );
        }
        (self.with(along), self.with(down))
    }

    /// The products of two planes' values, smoothed twice.
    pub(super) fn gathered(&self, other: &Self) -> Self {
        let products = self.values.iter().zip(&other.values).map(|(a, b)| a * b);
        self.with(products.collect()).smoothed().smoothed()
    }

    /// The plane at half its size: the mean of each two by two pixels, an odd last row or column left out.
    pub(super) fn halved(&self) -> Self {
        let (width, height) = (self.width / 2, self.height / 2);
        let mut values = Vec::with_capacity(width * height);
        for row in 0..height {
            let (upper, _) = self.row(row * 2).as_chunks::<2>();
            let (lower, _) = self.row(row * 2 + 1).as_chunks::<2>();
            let all = upper.iter().zip(lower);
            values.extend(all.map(|([a, b], [c, d])| (a + b + c + d) * 0.25));
        }
        Self {
            width,
            height,
            values,
        }
    }

    /// The plane smoothed and made smaller by about the square root of a half.
    pub(super) fn smaller(&self) -> Self {
        let smooth = self.smoothed();
        let shrink = |side: usize| position(real(side) * 0.707_106_781_186_547_5 + 0.5);
        let (width, height) = (shrink(self.width), shrink(self.height));
        let along = real(self.width) / real(width.max(1));
        let down = real(self.height) / real(height.max(1));
        let mut values = Vec::with_capacity(width * height);
        for row in 0..height {
            for column in 0..width {
                values.push(smooth.at(Point {
                    x: (real(column) + 0.5) * along,
                    y: (real(row) + 0.5) * down,
                }));
            }
        }
        Self {
            width,
            height,
            values,
        }
    }
}
