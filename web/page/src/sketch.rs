//! The geometry of marks on a picture: points in thousandths of its width and height, whole numbers throughout.

mod bench;

pub(crate) use bench::{Bench, Drawn, Undo};

use garboard_protocol::MarkView;

/// A point: thousandths of the picture's width from the left, and of its height from the top.
pub(crate) type Point = (u32, u32);

/// The farthest that a point can lie.
pub(crate) const FARTHEST: u32 = 1000;

/// So near, in thousandths, that a finger means the thing itself.
const NEAR: i64 = 45;

/// An outline that was drawn freehand keeps to the finger's line within so many thousandths.
const TOLERANCE: i64 = 4;

/// What can be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tool {
    /// From its tail to its tip.
    Arrow,
    /// Around something, closed.
    Outline,
    /// From end to end.
    Line,
    /// A number in a ring.
    Number,
    /// Words beside a point.
    Words,
}

impl Tool {
    /// All of them, as offered.
    pub(crate) const ALL: [Self; 5] = [
        Self::Arrow,
        Self::Outline,
        Self::Line,
        Self::Number,
        Self::Words,
    ];

    /// As the log writes it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Arrow => "arrow",
            Self::Outline => "outline",
            Self::Line => "line",
            Self::Number => "number",
            Self::Words => "words",
        }
    }

    /// As the screen shows it.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Arrow => "Arrow",
            Self::Outline => "Outline",
            Self::Line => "Line",
            Self::Number => "Number",
            Self::Words => "Words",
        }
    }

    /// How it is drawn, in a sentence.
    pub(crate) fn how(self) -> &'static str {
        match self {
            Self::Arrow => {
                "Draw from the tail to the tip, or touch the two one after the other. By keys: Enter puts one in the middle."
            }
            Self::Line => {
                "Draw from end to end, or touch the two ends one after the other. By keys: Enter puts one in the middle."
            }
            Self::Outline => {
                "Draw around it in one go, or touch its corners one after the other and close it below. By keys: Enter puts one in the middle."
            }
            Self::Number => "Touch where the number belongs. By keys: Enter puts it in the middle.",
            Self::Words => {
                "Write the words below, then touch where they belong. By keys: Enter puts them in the middle."
            }
        }
    }

    /// Where one lies that is put down by a key.
    pub(crate) fn in_the_middle(self) -> Vec<Point> {
        match self {
            Self::Arrow | Self::Line => vec![(350, 600), (500, 500)],
            Self::Outline => vec![(400, 400), (600, 400), (600, 600), (400, 600)],
            Self::Number | Self::Words => vec![(500, 500)],
        }
    }
}

/// A mark's points as pairs.
pub(crate) fn pairs(points: &[u32]) -> Vec<Point> {
    points
        .chunks_exact(2)
        .filter_map(|pair| match pair {
            [x, y] => Some((*x, *y)),
            _ => None,
        })
        .collect()
}

/// Points as the log writes them: `[x,y,x,y]`.
pub(crate) fn written(points: &[Point]) -> String {
    let numbers: Vec<String> = points
        .iter()
        .flat_map(|(x, y)| [x.to_string(), y.to_string()])
        .collect();
    crate::json::list(&numbers)
}

/// A mark in words: "arrow", "number 3", "words “crack”".
pub(crate) fn in_words(mark: &MarkView) -> String {
    let words = mark.words.trim();
    match (mark.shape.as_str(), words.is_empty()) {
        ("number", false) => format!("number {words}"),
        (shape, true) => shape.to_owned(),
        (shape, false) => format!("{shape} “{words}”"),
    }
}

/// All marks that are not struck, in words; blank when there is none.
pub(crate) fn all_in_words(marks: &[MarkView]) -> String {
    let words: Vec<String> = marks
        .iter()
        .filter(|mark| !mark.is_struck)
        .map(in_words)
        .collect();
    words.join(", ")
}

/// The number that comes next on a picture; struck ones are not given out again.
pub(crate) fn next_number(marks: &[MarkView]) -> u32 {
    marks
        .iter()
        .filter(|mark| mark.shape == "number")
        .filter_map(|mark| mark.words.trim().parse::<u32>().ok())
        .max()
        .unwrap_or_default()
        .saturating_add(1)
}

/// All points moved by as much, and no farther than the picture's edge lets the whole go.
pub(crate) fn shifted(points: &[Point], dx: i64, dy: i64) -> Vec<Point> {
    let room = |at: &dyn Fn(&Point) -> u32, by: i64| {
        let least = points.iter().map(at).min().map_or(0, i64::from);
        let most = points.iter().map(at).max().map_or(0, i64::from);
        by.clamp(-least, i64::from(FARTHEST) - most)
    };
    let (dx, dy) = (room(&|(x, _)| *x, dx), room(&|(_, y)| *y, dy));
    let moved = |at: u32, by: i64| u32::try_from(i64::from(at) + by).unwrap_or_default();
    points
        .iter()
        .map(|(x, y)| (moved(*x, dx), moved(*y, dy)))
        .collect()
}

/// The points of a freehand line that matter, ends kept (Douglas and Peucker, *Cartographica* 10(2), 1973).
pub(crate) fn simplified(points: &[Point]) -> Vec<Point> {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return Vec::new();
    };
    let mut kept = vec![*first];
    keep_between(points, &mut kept);
    if points.len() > 1 {
        kept.push(*last);
    }
    kept.dedup();
    kept
}

/// Keeps, in order, the points between the ends that lie off the line of their neighbours.
fn keep_between(points: &[Point], kept: &mut Vec<Point>) {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return;
    };
    let farthest = points
        .iter()
        .enumerate()
        .map(|(idx, point)| (off_squared(*point, *first, *last), idx))
        .max()
        .filter(|(off, _)| *off > TOLERANCE * TOLERANCE);
    if let Some((_, idx)) = farthest
        && idx > 0
        && let (Some(before), Some(after)) = (points.get(..=idx), points.get(idx..))
    {
        keep_between(before, kept);
        kept.extend(after.first());
        keep_between(after, kept);
    }
}

/// The square of a point's distance from a stretch, rounded down.
fn off_squared(point: Point, from: Point, to: Point) -> i64 {
    let wide = |(x, y): Point| (i64::from(x), i64::from(y));
    let ((px, py), (ax, ay), (bx, by)) = (wide(point), wide(from), wide(to));
    let (dx, dy) = (bx - ax, by - ay);
    let (qx, qy) = (px - ax, py - ay);
    let length_squared = dx * dx + dy * dy;
    let along = qx * dx + qy * dy;
    if along <= 0 || length_squared == 0 {
        return qx * qx + qy * qy;
    }
    if along >= length_squared {
        return (px - bx).pow(2) + (py - by).pow(2);
    }
    let across = qx * dy - qy * dx;
    across * across / length_squared
}

/// Which mark lies under a finger: the nearest that is near enough.
pub(crate) fn under(marks: &[MarkView], at: Point) -> Option<&MarkView> {
    marks
        .iter()
        .filter(|mark| !mark.is_struck)
        .filter_map(|mark| {
            let points = pairs(&mark.points);
            let closing = (mark.shape == "outline")
                .then(|| points.first().zip(points.last()))
                .flatten();
            let stretches = points
                .iter()
                .zip(points.iter().skip(1))
                .chain(closing)
                .map(|(from, to)| off_squared(at, *from, *to));
            let off = points
                .iter()
                .map(|point| off_squared(at, *point, *point))
                .chain(stretches)
                .min()?;
            (off <= NEAR * NEAR).then_some((off, mark))
        })
        .min_by_key(|(off, _)| *off)
        .map(|(_, mark)| mark)
}

/// Which of some points lies under a finger.
pub(crate) fn point_under(points: &[Point], at: Point) -> Option<usize> {
    points
        .iter()
        .map(|point| off_squared(at, *point, *point))
        .enumerate()
        .filter(|(_, off)| *off <= NEAR * NEAR)
        .min_by_key(|(_, off)| *off)
        .map(|(idx, _)| idx)
}

#[cfg(test)]
mod tests;
