//! Which part of each pixel a shape covers, in whole numbers.
//!
//! Points are in sixteenths of a pixel, coverage in sixteenths of its area.

/// Sixteenths of a pixel.
pub(super) const SUB: i32 = 16;

/// A point on the sheet, in sixteenths of a pixel.
pub(super) type Point = (i32, i32);

/// Coverage of a rectangle of pixels.
#[derive(Clone, Debug, Default)]
pub(super) struct Mask {
    /// The left and top pixel.
    pub(super) left: i32,
    pub(super) top: i32,
    /// Pixels across and down; at least 0.
    pub(super) width: i32,
    pub(super) height: i32,
    /// 0 to 16 each, row by row.
    cover: Vec<u8>,
    /// For each row, from where up to where anything is covered; empty rows end before they begin.
    spans: Vec<(i32, i32)>,
}

impl Mask {
    /// An empty mask around points with a margin, within a sheet.
    fn around(points: &[Point], margin: i32, size: (i32, i32)) -> Self {
        let edge = |value: Option<i32>, most: i32| value.unwrap_or(0).clamp(0, most);
        let left = edge(
            points
                .iter()
                .map(|p| (p.0 - margin).div_euclid(SUB) - 1)
                .min(),
            size.0,
        );
        let right = edge(
            points
                .iter()
                .map(|p| (p.0 + margin).div_euclid(SUB) + 2)
                .max(),
            size.0,
        );
        let top = edge(
            points
                .iter()
                .map(|p| (p.1 - margin).div_euclid(SUB) - 1)
                .min(),
            size.1,
        );
        let bottom = edge(
            points
                .iter()
                .map(|p| (p.1 + margin).div_euclid(SUB) + 2)
                .max(),
            size.1,
        );
        let (width, height) = ((right - left).max(0), (bottom - top).max(0));
        Self {
            left,
            top,
            width,
            height,
            cover: vec![0; len(width * height)],
            spans: vec![(i32::MAX, 0); len(height)],
        }
    }

    /// A filled polygon, inside by the even-odd rule.
    pub(super) fn fill(points: &[Point], size: (i32, i32)) -> Self {
        let mut mask = Self::around(points, 0, size);
        mask.add(points);
        mask
    }

    /// A line with round ends, as wide at each point as said there.
    pub(super) fn stroke(points: &[(Point, i32)], size: (i32, i32)) -> Self {
        let most = points.iter().map(|(_, width)| *width).max().unwrap_or(0);
        let at: Vec<Point> = points.iter().map(|(point, _)| *point).collect();
        let mut mask = Self::around(&at, most, size);
        for pair in points.windows(2) {
            if let [(a, width_a), (b, width_b)] = *pair {
                mask.join(&Self::fill(&quad(a, width_a, b, width_b), size));
            }
        }
        for (point, width) in points {
            mask.join(&Self::fill(&disc(*point, *width), size));
        }
        mask
    }

    /// Adds a polygon's coverage, four by four samples a pixel.
    fn add(&mut self, points: &[Point]) {
        let mut crossings = Vec::new();
        for line in self.top * 4..(self.top + self.height) * 4 {
            let y = line * 4 + 2;
            crossings.clear();
            let next = points.iter().cycle().skip(1);
            for (a, b) in points.iter().zip(next) {
                if (a.1 <= y) != (b.1 <= y) {
                    let run = i64::from(y - a.1) * i64::from(b.0 - a.0) / i64::from(b.1 - a.1);
                    crossings.push(a.0 + i32::try_from(run).unwrap_or(0));
                }
            }
            crossings.sort_unstable();
            let row = line.div_euclid(4) - self.top;
            for pair in crossings.chunks_exact(2) {
                if let [from, to] = *pair {
                    let from = (from + 1).div_euclid(4).max(self.left * 4);
                    let to = (to + 1).div_euclid(4).min((self.left + self.width) * 4);
                    self.add_run(row, from, to);
                }
            }
        }
    }

    /// Counts the samples from `from` up to `to` of one line of samples.
    fn add_run(&mut self, row: i32, from: i32, to: i32) {
        if from >= to {
            return;
        }
        for x in from.div_euclid(4)..=(to - 1).div_euclid(4) {
            let n = (to.min(x * 4 + 4) - from.max(x * 4)).clamp(0, 4);
            let at = len(row * self.width + x - self.left);
            if let Some(cover) = self.cover.get_mut(at) {
                *cover = cover.saturating_add(u8::try_from(n).unwrap_or(0));
            }
        }
        self.widen(
            row,
            from.div_euclid(4) - self.left,
            (to - 1).div_euclid(4) + 1 - self.left,
        );
    }

    /// Notes that a row is covered from one column up to another.
    fn widen(&mut self, row: i32, from: i32, to: i32) {
        if let Some(span) = self.spans.get_mut(len(row)) {
            *span = (span.0.min(from), span.1.max(to));
        }
    }

    /// Takes the larger coverage of both.
    fn join(&mut self, other: &Self) {
        for (x, y, cover) in other.covered() {
            let at = len((y - self.top) * self.width + x - self.left);
            if (self.left..self.left + self.width).contains(&x)
                && let Some(own) = self.cover.get_mut(at)
            {
                *own = (*own).max(cover);
                self.widen(y - self.top, x - self.left, x - self.left + 1);
            }
        }
    }

    /// The covered pixels with their coverage.
    pub(super) fn covered(&self) -> impl Iterator<Item = (i32, i32, u8)> + '_ {
        let rows = self.cover.chunks_exact(len(self.width).max(1));
        rows.zip(&self.spans)
            .zip(self.top..)
            .flat_map(move |((row, &(from, to)), y)| {
                let span = row.get(len(from)..len(to)).unwrap_or_default();
                span.iter()
                    .zip(self.left + from.min(self.width)..)
                    .filter_map(move |(&cover, x)| (cover > 0).then_some((x, y, cover.min(16))))
            })
    }

    /// The coverage of a pixel.
    pub(super) fn at(&self, x: i32, y: i32) -> u8 {
        let inside = (self.left..self.left + self.width).contains(&x) && y >= self.top;
        let at = len((y - self.top) * self.width + x - self.left);
        self.cover
            .get(at)
            .copied()
            .filter(|_| inside)
            .unwrap_or(0)
            .min(16)
    }
}

/// A length as the standard library wants it; negative counts as nothing.
pub(super) fn len(value: i32) -> usize {
    usize::try_from(value).unwrap_or(0)
}

/// The four corners of a straight piece of line whose width changes.
fn quad(a: Point, width_a: i32, b: Point, width_b: i32) -> [Point; 4] {
    let (dx, dy) = (i64::from(b.0 - a.0), i64::from(b.1 - a.1));
    let long = (dx * dx + dy * dy).isqrt().max(1);
    let side = |width: i32| {
        let half = |d: i64| i32::try_from(d * i64::from(width) / (2 * long)).unwrap_or(0);
        (half(-dy), half(dx))
    };
    let (a_side, b_side) = (side(width_a), side(width_b));
    [
        (a.0 + a_side.0, a.1 + a_side.1),
        (b.0 + b_side.0, b.1 + b_side.1),
        (b.0 - b_side.0, b.1 - b_side.1),
        (a.0 - a_side.0, a.1 - a_side.1),
    ]
}

/// The unit circle in thousandths, at every thirty degrees.
pub(super) const CIRCLE: [(i32, i32); 12] = [
    (1000, 0),
    (866, 500),
    (500, 866),
    (0, 1000),
    (-500, 866),
    (-866, 500),
    (-1000, 0),
    (-866, -500),
    (-500, -866),
    (0, -1000),
    (500, -866),
    (866, -500),
];

/// A round dot.
fn disc(at: Point, width: i32) -> Vec<Point> {
    CIRCLE
        .iter()
        .map(|(x, y)| (at.0 + x * width / 2000, at.1 + y * width / 2000))
        .collect()
}
