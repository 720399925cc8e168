//! Marks drawn over a picture: a light line within a dark one, so that it stands out on any picture.

use garboard_protocol::MarkView;
use yew::{Html, html};

use crate::sketch::{FARTHEST, Point, pairs};

/// The picture that marks lie on, and how large it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Ground {
    /// Its pixels across.
    pub(crate) width: u32,
    /// Its pixels down.
    pub(crate) height: u32,
    /// Whether it is shown small, so that numbers and words must be larger beside it.
    pub(crate) is_small: bool,
    /// Whether it fills its frame, and what stands over is cut off.
    pub(crate) is_filling: bool,
}

impl Ground {
    fn x(self, x: u32) -> u64 {
        u64::from(x) * u64::from(self.width) / u64::from(FARTHEST)
    }

    fn y(self, y: u32) -> u64 {
        u64::from(y) * u64::from(self.height) / u64::from(FARTHEST)
    }

    /// So many thousandths of the long side.
    fn part(self, thousandths: u64) -> u64 {
        let long = u64::from(self.width.max(self.height));
        let size = (long * thousandths / u64::from(FARTHEST)).max(1);
        if self.is_small { size * 2 } else { size }
    }

    /// A path through points, in the picture's pixels.
    fn path(self, points: &[Point], is_closed: bool) -> String {
        let mut path = String::new();
        for (x, y) in points {
            let step = if path.is_empty() { 'M' } else { 'L' };
            path.push_str(&format!("{step}{} {}", self.x(*x), self.y(*y)));
        }
        if is_closed {
            path.push('Z');
        }
        path
    }

    /// The two barbs of an arrow's head.
    fn barbs(self, tail: Point, tip: Point) -> String {
        let wide = |at: u64| i64::try_from(at).unwrap_or_default();
        let (x, y) = (wide(self.x(tip.0)), wide(self.y(tip.1)));
        let (dx, dy) = (wide(self.x(tail.0)) - x, wide(self.y(tail.1)) - y);
        let length = (dx * dx + dy * dy).isqrt().max(1);
        let head = wide(self.part(40)).min(length);
        // Half an opening of 30 degrees: the tangent is 0.577.
        let (back_x, back_y) = (dx * head / length, dy * head / length);
        let (side_x, side_y) = (-back_y * 577 / 1000, back_x * 577 / 1000);
        let one = (x + back_x + side_x, y + back_y + side_y);
        let other = (x + back_x - side_x, y + back_y - side_y);
        format!("M{} {}L{x} {y}L{} {}", one.0, one.1, other.0, other.1)
    }
}

/// Draws all marks that are not struck; the chosen one with its points.
pub(crate) fn marks(marks: &[MarkView], on: Ground) -> Html {
    marks
        .iter()
        .filter(|mark| !mark.is_struck)
        .map(|mark| one_mark(&mark.shape, &pairs(&mark.points), &mark.words, on))
        .collect()
}

/// Draws one mark.
pub(crate) fn one_mark(shape: &str, points: &[Point], words: &str, on: Ground) -> Html {
    let Some(first) = points.first() else {
        return Html::default();
    };
    match shape {
        "number" => number(*first, words, on),
        "words" => beside(*first, words, on),
        _ => {
            let mut path = on.path(points, shape == "outline");
            if shape == "arrow"
                && let (Some(tip), Some(tail)) = (points.last(), points.iter().rev().nth(1))
            {
                path.push_str(&on.barbs(*tail, *tip));
            }
            html! { <>
                <path class="mark-under" d={path.clone()} /><path class="mark-over" d={path} />
                if !words.is_empty() { { beside(*first, words, on) } }
            </> }
        }
    }
}

/// A number in a ring.
fn number(at: Point, words: &str, on: Ground) -> Html {
    let (x, y, ring) = (on.x(at.0), on.y(at.1), on.part(32));
    let size = if words.chars().count() > 2 {
        ring * 9 / 10
    } else {
        ring * 13 / 10
    };
    html! { <>
        <circle class="mark-ring" cx={x.to_string()} cy={y.to_string()} r={ring.to_string()} />
        <text class="mark-number" x={x.to_string()} y={y.to_string()} font-size={size.to_string()}>{ cut(words, 4) }</text>
    </> }
}

/// Words beside a point, on the side where there is room.
fn beside(at: Point, words: &str, on: Ground) -> Html {
    let (size, gap) = (on.part(48), on.part(16));
    let x = on.x(at.0);
    let (x, anchor) = if at.0 > FARTHEST * 6 / 10 {
        (x.saturating_sub(gap), "end")
    } else {
        (x + gap, "start")
    };
    html! { <>
        <circle class="mark-dot" cx={on.x(at.0).to_string()} cy={on.y(at.1).to_string()} r={on.part(8).to_string()} />
        <text class="mark-words" x={x.to_string()} y={on.y(at.1).to_string()} font-size={size.to_string()} stroke-width={(size / 4).to_string()} text-anchor={anchor}>{ cut(words, 32) }</text>
    </> }
}

/// The points of a chosen mark, to be taken hold of; the one that moves alone is larger and has a core.
pub(crate) fn handles(points: &[Point], part: Option<usize>, on: Ground) -> Html {
    points
        .iter()
        .enumerate()
        .map(|(idx, (x, y))| {
            let is_part = part == Some(idx);
            let half = on.part(if is_part { 20 } else { 12 });
            let (x, y) = (on.x(*x), on.y(*y));
            let side = (half * 2).to_string();
            html! { <>
                <rect class="mark-handle" x={x.saturating_sub(half).to_string()} y={y.saturating_sub(half).to_string()} width={side.clone()} height={side} />
                if is_part { <circle class="mark-core" cx={x.to_string()} cy={y.to_string()} r={(half / 2).to_string()} /> }
            </> }
        })
        .collect()
}

/// The beginning of words that may be long; the list below the picture has them whole.
fn cut(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let mut cut: String = words.chars().take(most.saturating_sub(1)).collect();
    cut.push('…');
    cut
}
