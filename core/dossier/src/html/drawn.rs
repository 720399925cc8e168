//! The marks on a picture as drawn over it on the page.

use super::mark::text;
use crate::outline::Figure;
use crate::strokes::{Ground, Stroke, strokes};

/// The marks on a picture, drawn over it; its caption names them, so that they need not be read aloud twice.
pub(super) fn drawn_marks(figure: &Figure) -> Option<String> {
    let (width, height) = figure.sides.filter(|_| !figure.marks.is_empty())?;
    let side = |pixels: u64| u16::try_from(pixels).map_or(f32::from(u16::MAX), f32::from);
    let on = Ground {
        width: side(width),
        height: side(height),
    };
    // The page has the picture at its left and whole, as the style sheet says.
    let mut out = format!(
        "<svg class=\"marks\" viewBox=\"0 0 {width} {height}\" preserveAspectRatio=\"xMinYMid meet\" aria-hidden=\"true\">"
    );
    let size = on.part(44.0);
    for stroke in strokes(&figure.marks, on) {
        match stroke {
            Stroke::Line { spots, is_closed } => {
                let mut way = String::new();
                for [x, y] in spots {
                    let step = if way.is_empty() { 'M' } else { 'L' };
                    way.push_str(&format!("{step}{x:.0} {y:.0}"));
                }
                if is_closed {
                    way.push('Z');
                }
                out.push_str(&format!(
                    "<path class=\"under\" d=\"{way}\"/><path class=\"over\" d=\"{way}\"/>"
                ));
            }
            Stroke::Ring { at: [x, y], words } => out.push_str(&format!(
                "<circle class=\"ring\" cx=\"{x:.0}\" cy=\"{y:.0}\" r=\"{:.0}\"/><text class=\"within\" x=\"{x:.0}\" y=\"{y:.0}\" font-size=\"{size:.0}\">{}</text>",
                on.part(32.0),
                text(&words)
            )),
            Stroke::Dot {
                at: [x, y],
                words,
                is_left,
            } => {
                let (gap, anchor) = if is_left {
                    (-on.part(16.0), "end")
                } else {
                    (on.part(16.0), "start")
                };
                out.push_str(&format!(
                    "<circle class=\"dot\" cx=\"{x:.0}\" cy=\"{y:.0}\" r=\"{:.0}\"/><text class=\"beside\" x=\"{:.0}\" y=\"{y:.0}\" font-size=\"{size:.0}\" stroke-width=\"{:.0}\" text-anchor=\"{anchor}\">{}</text>",
                    on.part(8.0),
                    x + gap,
                    size / 4.0,
                    text(&words)
                ));
            }
        }
    }
    out.push_str("</svg>");
    Some(out)
}
