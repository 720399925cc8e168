//! A sheet of paper, a pen and a few washes.
//!
//! Everything is whole numbers, and the hand's tremor comes from a hash of the place, so that the same picture is drawn everywhere.

use super::mask::{CIRCLE, Mask, Point, SUB, len};

/// Red, green, blue.
pub(super) type Colour = [u8; 3];

/// How wide and high a sheet is, in pixels.
pub(super) const SIZE: (i32, i32) = (1200, 900);

pub(super) const PAPER: Colour = [0xF4, 0xEF, 0xE3];
pub(super) const INK: Colour = [0x2B, 0x2A, 0x2C];
pub(super) const PENCIL: Colour = [0x8E, 0x88, 0x7C];

/// A picture in the making.
pub(super) struct Sheet {
    pixels: Vec<Colour>,
}

/// Turns whole pixels into points.
fn fine(points: &[(i32, i32)]) -> Vec<Point> {
    points.iter().map(|(x, y)| (x * SUB, y * SUB)).collect()
}

/// A number that looks like chance and is always the same for the same place.
fn chance(x: i32, y: i32) -> i32 {
    let mut h = x
        .wrapping_mul(0x27D4_EB2D)
        .wrapping_add(y.wrapping_mul(0x1656_67B1));
    h ^= (h >> 15) & 0x1_FFFF;
    h = h.wrapping_mul(0x2C1B_3C6D);
    h ^= (h >> 12) & 0xF_FFFF;
    h = h.wrapping_mul(0x297A_2D39);
    (h ^ ((h >> 15) & 0x1_FFFF)) & 0xFFFF
}

/// Slowly changing chance, 0 to 65535: how the water lay on the paper.
fn pool(x: i32, y: i32, grain: i32) -> i32 {
    let (cx, cy) = (x.div_euclid(grain), y.div_euclid(grain));
    let (fx, fy) = (x.rem_euclid(grain), y.rem_euclid(grain));
    let mix = |a: i32, b: i32, f: i32| a + (b - a) * f / grain;
    let upper = mix(chance(cx, cy), chance(cx + 1, cy), fx);
    let lower = mix(chance(cx, cy + 1), chance(cx + 1, cy + 1), fx);
    mix(upper, lower, fy)
}

impl Sheet {
    /// A clean sheet.
    pub(super) fn new() -> Self {
        Self {
            pixels: vec![PAPER; len(SIZE.0 * SIZE.1)],
        }
    }

    /// The finished picture as a PNG.
    pub(super) fn png(&self) -> Vec<u8> {
        super::png::write(&self.pixels, SIZE)
    }

    /// Lays a colour over one pixel; `strength` of 256 covers it.
    fn blend(&mut self, x: i32, y: i32, colour: Colour, strength: i32) {
        let inside = (0..SIZE.0).contains(&x) && (0..SIZE.1).contains(&y);
        if let Some(pixel) = self.pixels.get_mut(len(y * SIZE.0 + x)).filter(|_| inside) {
            for (own, new) in pixel.iter_mut().zip(colour) {
                let mixed = i32::from(*own) + (i32::from(new) - i32::from(*own)) * strength / 256;
                *own = u8::try_from(mixed).unwrap_or(*own);
            }
        }
    }

    /// A plain area of colour.
    pub(super) fn flat(&mut self, shape: &[(i32, i32)], colour: Colour) {
        for (x, y, cover) in Mask::fill(&fine(shape), SIZE).covered() {
            self.blend(x, y, colour, i32::from(cover) * 16);
        }
    }

    /// A thin wash: it pools in places and dries darker at its edge.
    pub(super) fn wash(&mut self, shape: &[(i32, i32)], colour: Colour, strength: i32) {
        let shape: Vec<Point> = fine(shape);
        let mask = Mask::fill(&shape, SIZE);
        for (x, y, cover) in mask.covered() {
            // Three depths only: the water lay deeper here, thinner there.
            let deep = match pool(x, y, 90) + pool(x, y, 37) / 2 {
                0..30_000 => strength * 15 / 16,
                30_000..62_000 => strength,
                _ => strength * 17 / 16,
            };
            self.blend(x, y, colour, deep * i32::from(cover) / 16);
        }
        let mut rim: Vec<(Point, i32)> = shape.iter().map(|point| (*point, 40)).collect();
        rim.extend(rim.first().copied());
        let rim = Mask::stroke(&rim, SIZE);
        for (x, y, cover) in rim.covered() {
            let cover = cover.min(mask.at(x, y));
            self.blend(x, y, colour, strength * i32::from(cover) / 48);
        }
    }

    /// A line as a hand draws it; `width` in sixteenths of a pixel.
    pub(super) fn line(&mut self, points: &[(i32, i32)], width: i32, colour: Colour) {
        let mask = Mask::stroke(&trembling(points, width), SIZE);
        for (x, y, cover) in mask.covered() {
            // Four depths of ink are enough for the eye, and small in the file.
            self.blend(x, y, colour, (i32::from(cover) + 3) / 4 * 64);
        }
    }

    /// An ink line of ordinary width.
    pub(super) fn ink(&mut self, points: &[(i32, i32)]) {
        self.line(points, 42, INK);
    }

    /// A closed ink outline.
    pub(super) fn outline(&mut self, shape: &[(i32, i32)]) {
        let mut closed = shape.to_vec();
        closed.extend(shape.first().copied());
        self.ink(&closed);
    }

    /// Lines across a shape: `step` from one to the next, each running along `along`.
    pub(super) fn hatch(
        &mut self,
        shape: &[(i32, i32)],
        along: (i32, i32),
        step: (i32, i32),
        width: i32,
        colour: Colour,
    ) {
        let mask = Mask::fill(&fine(shape), SIZE);
        let (mid_x, mid_y) = (mask.left + mask.width / 2, mask.top + mask.height / 2);
        let reach = (mask.width + mask.height) / 2 + 40;
        let long =
            i32::from(u16::try_from((along.0 * along.0 + along.1 * along.1).isqrt()).unwrap_or(1))
                .max(1);
        let n = reach / (step.0.abs() + step.1.abs()).max(1) + 1;
        for i in -n..=n {
            let (x, y) = (mid_x + step.0 * i, mid_y + step.1 * i);
            let (dx, dy) = (along.0 * reach / long, along.1 * reach / long);
            let stroke = Mask::stroke(
                &trembling(&[(x - dx, y - dy), (x + dx, y + dy)], width),
                SIZE,
            );
            for (x, y, cover) in stroke.covered() {
                // Now and then the pen lifts.
                let lifts = pool(x, y, 23) < 9_000;
                let cover = if lifts { 0 } else { cover.min(mask.at(x, y)) };
                self.blend(x, y, colour, (i32::from(cover) + 3) / 4 * 64);
            }
        }
    }

    /// Small dots across a shape, about one in each square of `grain` pixels.
    pub(super) fn stipple(&mut self, shape: &[(i32, i32)], grain: i32, width: i32, colour: Colour) {
        let mask = Mask::fill(&fine(shape), SIZE);
        for row in mask.top / grain..=(mask.top + mask.height) / grain {
            for column in mask.left / grain..=(mask.left + mask.width) / grain {
                let (dx, dy) = (chance(column, row) % grain, chance(row + 7, column) % grain);
                let (x, y) = (column * grain + dx, row * grain + dy);
                if mask.at(x, y) < 16 {
                    continue;
                }
                let dot = Mask::stroke(&[((x * SUB, y * SUB), width)], SIZE);
                for (x, y, cover) in dot.covered() {
                    self.blend(x, y, colour, (i32::from(cover) + 3) / 4 * 64);
                }
            }
        }
    }
}

/// A line broken into short pieces, each a little off, the pen now heavier, now lighter.
fn trembling(points: &[(i32, i32)], width: i32) -> Vec<(Point, i32)> {
    let mut out = Vec::new();
    let mut put = |x: i32, y: i32| {
        let off = |value: i32| (value % 13) - 6;
        let at = (
            x + off(chance(x, y)),
            y + off(chance(y.wrapping_add(91), x)),
        );
        let heavy = width * (26 + pool(x / SUB, y / SUB, 60) * 12 / 65_536) / 32;
        out.push((at, heavy.max(12)));
    };
    let points = fine(points);
    for pair in points.windows(2) {
        if let [a, b] = *pair {
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let n = (dx.abs().max(dy.abs()) / (22 * SUB)).max(1);
            for i in 0..n {
                put(a.0 + dx * i / n, a.1 + dy * i / n);
            }
        }
    }
    if let Some(last) = points.last() {
        put(last.0, last.1);
    }
    out
}

/// A curve through two ends, drawn towards two others (a cubic Bézier), in twenty pieces.
pub(super) fn curve(a: (i32, i32), b: (i32, i32), c: (i32, i32), d: (i32, i32)) -> Vec<(i32, i32)> {
    let n = 20;
    let at = |a: i32, b: i32, c: i32, d: i32, t: i32| {
        let s = n - t;
        (a * s * s * s + 3 * b * s * s * t + 3 * c * s * t * t + d * t * t * t) / (n * n * n)
    };
    (0..=n)
        .map(|t| (at(a.0, b.0, c.0, d.0, t), at(a.1, b.1, c.1, d.1, t)))
        .collect()
}

/// A circle or an ellipse.
pub(super) fn ellipse(at: (i32, i32), half: (i32, i32)) -> Vec<(i32, i32)> {
    let twice: Vec<(i32, i32)> = CIRCLE
        .iter()
        .zip(CIRCLE.iter().cycle().skip(1))
        .flat_map(|(a, b)| {
            // Between two corners of the dodecagon, pushed out to the circle (1 / cos 15°).
            [*a, ((a.0 + b.0) * 518 / 1000, (a.1 + b.1) * 518 / 1000)]
        })
        .collect();
    twice
        .iter()
        .map(|(x, y)| (at.0 + x * half.0 / 1000, at.1 + y * half.1 / 1000))
        .collect()
}

/// A shape with its corners rounded.
pub(super) fn rounded(shape: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let next = shape.iter().cycle().skip(1);
    let after = shape.iter().cycle().skip(2);
    shape
        .iter()
        .zip(next)
        .zip(after)
        .flat_map(|((a, b), c)| {
            let from = (b.0 + (a.0 - b.0) / 6, b.1 + (a.1 - b.1) / 6);
            let to = (b.0 + (c.0 - b.0) / 6, b.1 + (c.1 - b.1) / 6);
            curve(from, *b, *b, to)
        })
        .collect()
}
