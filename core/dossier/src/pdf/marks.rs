//! The marks on a picture as drawn over it on paper. Its caption names them, so that they need not be read aloud.

use super::face::{IN_DISC, INK, Look, ON_PICTURE};
use super::flow::Draw;
use super::layout::Setter;
use crate::outline::Marked;
use crate::strokes::{Ground, Spot, Stroke, strokes};

/// A number's disc, a dot, and the white between a dot and its words, in points.
const DISC: f32 = 6.2;
const DOT: f32 = 1.8;
const GAP: f32 = 4.0;

/// Where words stand to a spot.
#[derive(Clone, Copy)]
enum Side {
    Within,
    Left,
    Right,
}

impl Setter<'_> {
    /// Draws marks over a picture whose left upper corner is at `left`.
    pub(super) fn marks(&mut self, marks: &[Marked], left: f32, on: Ground, draws: &mut Vec<Draw>) {
        let shift = |[x, y]: Spot| [left + x, y];
        for stroke in strokes(marks, on) {
            match stroke {
                Stroke::Line { spots, is_closed } => draws.push(Draw::Stroke {
                    spots: spots.into_iter().map(shift).collect(),
                    is_closed,
                }),
                Stroke::Ring { at, words } => {
                    let at = shift(at);
                    draws.push(Draw::Disc { at, radius: DISC });
                    self.on_picture(&words, IN_DISC, at, Side::Within, draws);
                }
                Stroke::Dot { at, words, is_left } => {
                    let at = shift(at);
                    draws.push(Draw::Disc { at, radius: DOT });
                    let side = if is_left { Side::Left } else { Side::Right };
                    self.on_picture(&words, ON_PICTURE, at, side, draws);
                }
            }
        }
    }

    fn on_picture(
        &mut self,
        words: &str,
        look: Look,
        [x, y]: Spot,
        side: Side,
        draws: &mut Vec<Draw>,
    ) {
        let lines = self.faces.set(&[(words, look)], 9.0, 240.0);
        // Words on a picture are few: what does not go on one line stands in the caption.
        let Some(line) = lines.into_iter().next() else {
            return;
        };
        let x = match side {
            Side::Within => x - line.width / 2.0,
            Side::Left => x - GAP - line.width,
            Side::Right => x + GAP,
        };
        let top = y - line.height / 2.0;
        if !matches!(side, Side::Within) && line.width > 0.0 {
            draws.push(Draw::Bar {
                x: x - 1.6,
                y: top - 0.4,
                width: line.width + 3.2,
                height: line.height + 0.8,
                ink: INK,
                is_full: true,
            });
        }
        draws.extend(line.runs.into_iter().map(|run| Draw::Words {
            x,
            y: top + line.baseline,
            run,
            mark: None,
        }));
    }
}
