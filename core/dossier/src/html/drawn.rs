//! What is drawn on the page: the marks over a picture, and drawings of our own.

use super::mark::text;
use crate::outline::Figure;
use crate::outline::drawing::{At, DOT, Drawing, LETTERS, Lie, PIN, Pen, Piece, on_corner};
use crate::strokes::{Ground, Stroke, strokes};

/// Lines over a picture stay as thin when it is shown larger.
const STEADY: &str = "vector-effect=\"non-scaling-stroke\"";

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
                    "<path class=\"under\" {STEADY} d=\"{way}\"/><path class=\"over\" {STEADY} d=\"{way}\"/>"
                ));
            }
            Stroke::Ring { at: [x, y], words } => out.push_str(&format!(
                "<circle class=\"ring\" {STEADY} cx=\"{x:.0}\" cy=\"{y:.0}\" r=\"{:.0}\"/><text class=\"within\" x=\"{x:.0}\" y=\"{y:.0}\" font-size=\"{size:.0}\">{}</text>",
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
                    "<circle class=\"dot\" {STEADY} cx=\"{x:.0}\" cy=\"{y:.0}\" r=\"{:.0}\"/><text class=\"beside\" paint-order=\"stroke\" x=\"{:.0}\" y=\"{y:.0}\" font-size=\"{size:.0}\" stroke-width=\"{:.0}\" text-anchor=\"{anchor}\">{}</text>",
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

/// A drawing of our own as a figure; it is as wide as on paper where there is room, and shrinks where there is not.
pub(super) fn drawing(drawing: &Drawing) -> String {
    let Drawing { width, height, .. } = drawing;
    // Tenths of a point in pixels.
    let pixels = width * 4 / 30;
    let mut out = format!(
        "<figure class=\"drawing\">\n<svg class=\"sketch\" width=\"{pixels}\" height=\"{}\" viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"{}\">",
        height * 4 / 30,
        text(&drawing.alt).replace('\n', " ")
    );
    for piece in &drawing.pieces {
        match piece {
            Piece::Line { spots, pen } => {
                let (class, is_closed) = match pen {
                    Pen::Grid => ("grid", false),
                    Pen::Axis => ("axis", false),
                    Pen::Line => ("line", false),
                    Pen::Limit => ("limit", false),
                    Pen::Body => ("body", true),
                };
                let way = way(spots, is_closed);
                out.push_str(&format!("<path class=\"{class}\" d=\"{way}\"/>"));
            }
            Piece::Dot { at, form } => {
                let class = if form.is_full() { "full" } else { "hollow" };
                out.push_str(&shape(class, *at, DOT, &form.corners(*at)));
            }
            Piece::Pin {
                at,
                number,
                is_open,
            } => {
                let (class, corners) = if *is_open {
                    ("pin open", on_corner(*at))
                } else {
                    ("pin", Vec::new())
                };
                out.push_str(&shape(class, *at, PIN, &corners));
                out.push_str(&words(*at, &number.to_string(), Lie::Around, true));
            }
            Piece::Words {
                at,
                words: said,
                lie,
                is_strong,
            } => out.push_str(&words(*at, said, *lie, *is_strong)),
        }
    }
    out.push_str(&format!(
        "</svg>\n<figcaption>{}</figcaption>\n</figure>\n",
        text(&drawing.caption)
    ));
    out
}

fn way(spots: &[At], is_closed: bool) -> String {
    let mut out = String::new();
    for (x, y) in spots {
        let step = if out.is_empty() { 'M' } else { 'L' };
        out.push_str(&format!("{step}{x} {y}"));
    }
    if is_closed {
        out.push('Z');
    }
    out
}

fn shape(class: &str, (x, y): At, radius: i32, corners: &[At]) -> String {
    if corners.is_empty() {
        format!("<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>")
    } else {
        format!("<path class=\"{class}\" d=\"{}\"/>", way(corners, true))
    }
}

fn words((x, y): At, said: &str, lie: Lie, is_strong: bool) -> String {
    let anchor = match lie {
        Lie::After => "start",
        Lie::Before => "end",
        Lie::Around => "middle",
    };
    let strong = if is_strong { " class=\"strong\"" } else { "" };
    format!(
        "<text{strong} x=\"{x}\" y=\"{y}\" font-size=\"{LETTERS}\" text-anchor=\"{anchor}\">{}</text>",
        text(said)
    )
}
