//! Drawings of our own on paper: one figure for those who hear it read, with its caption below.

use std::collections::BTreeMap;

use krilla::surface::Surface;

use super::face::{
    CHARTED, CHARTED_STRONG, Faces, INK, Ink, Look, MARK, PANEL, RULE, Run, SIDE, SOFT,
};
use super::flow::{Draw, Role, Slab};
use super::ink::{self, LIGHT, Pen};
use super::layout::Setter;
use crate::outline::drawing::{At, DOT, Drawing, Lie, PIN, Pen as Kind, Piece, on_corner};
use crate::strokes::Spot;

/// One thing of a drawing with its ink, from the slab's left upper corner.
#[derive(Clone, Debug)]
pub(super) enum Inked {
    /// A way through spots; closed where it is filled.
    Line {
        spots: Vec<Spot>,
        full: Option<Ink>,
        pen: Pen,
    },
    /// A disc.
    Disc {
        at: Spot,
        radius: f32,
        full: Ink,
        pen: Pen,
    },
    /// Words on a baseline.
    Words { x: f32, y: f32, run: Run },
}

/// From tenths of a point on the drawing to the slab.
#[derive(Clone, Copy)]
struct Ground {
    left: f32,
    scale: f32,
}

impl Ground {
    fn length(self, tenths: i32) -> f32 {
        // No drawing of ours is three metres wide.
        i16::try_from(tenths).map_or(0.0, f32::from) * self.scale
    }

    fn spot(self, (x, y): At) -> Spot {
        [self.left + self.length(x), self.length(y)]
    }

    fn spots(self, all: &[At]) -> Vec<Spot> {
        all.iter().map(|at| self.spot(*at)).collect()
    }
}

fn pen(ink: Ink, weight: f32) -> Pen {
    Pen {
        ink,
        weight,
        is_broken: false,
    }
}

/// A dot or pin: a disc, or a shape with corners.
fn shape(ground: Ground, at: At, radius: i32, corners: &[At], full: Ink, pen: Pen) -> Inked {
    if corners.is_empty() {
        Inked::Disc {
            at: ground.spot(at),
            radius: ground.length(radius),
            full,
            pen,
        }
    } else {
        Inked::Line {
            spots: ground.spots(corners),
            full: Some(full),
            pen,
        }
    }
}

impl Setter<'_> {
    /// Sets a drawing at a distance from the margin; one that is wider than the room shrinks.
    pub(super) fn drawing(&mut self, drawing: &Drawing, x: f32, room: f32, part: usize) {
        let full = Ground {
            left: x,
            scale: 0.1,
        };
        let scale = 0.1 * (room / full.length(drawing.width).max(1.0)).min(1.0);
        let ground = Ground { left: x, scale };
        let (width, height) = (ground.length(drawing.width), ground.length(drawing.height));
        let mut inked = Vec::new();
        for piece in &drawing.pieces {
            self.piece(piece, ground, &mut inked);
        }
        let at = self.tree.part(part, Role::Figure(drawing.alt.clone()));
        let mark = self.tree.mark(at);
        let mut slab = Slab {
            space: 8.0,
            draws: vec![Draw::Drawing {
                x,
                y: 0.0,
                width,
                height,
                inked,
                mark,
            }],
            ..Slab::default()
        };
        let caption = self.tree.part(part, Role::Caption);
        let mut y = height + 4.0;
        for line in &self.faces.set(&[(&drawing.caption, SIDE)], 10.8, width) {
            self.line(
                line,
                x,
                y,
                &[],
                caption,
                &mut BTreeMap::new(),
                &mut slab.draws,
            );
            y += line.height;
        }
        slab.height = y + 4.0;
        self.slabs.push(slab);
    }

    fn piece(&mut self, piece: &Piece, ground: Ground, inked: &mut Vec<Inked>) {
        match piece {
            Piece::Line { spots, pen: kind } => {
                let (pen, full) = match kind {
                    Kind::Grid => (pen(RULE, 0.5), None),
                    Kind::Axis => (pen(SOFT, 0.6), None),
                    Kind::Line => (pen(INK, 1.1), None),
                    Kind::Limit => {
                        let pen = Pen {
                            is_broken: true,
                            ..pen(MARK, 0.9)
                        };
                        (pen, None)
                    }
                    Kind::Body => (pen(INK, 0.9), Some(PANEL)),
                };
                inked.push(Inked::Line {
                    spots: ground.spots(spots),
                    full,
                    pen,
                });
            }
            Piece::Dot { at, form } => {
                let full = if form.is_full() { INK } else { LIGHT };
                inked.push(shape(
                    ground,
                    *at,
                    DOT,
                    &form.corners(*at),
                    full,
                    pen(INK, 0.9),
                ));
            }
            Piece::Pin {
                at,
                number,
                is_open,
            } => {
                let (corners, pen) = if *is_open {
                    (on_corner(*at), pen(MARK, 1.4))
                } else {
                    (Vec::new(), pen(INK, 0.9))
                };
                inked.push(shape(ground, *at, PIN, &corners, LIGHT, pen));
                self.charted(
                    &number.to_string(),
                    CHARTED_STRONG,
                    ground,
                    *at,
                    Lie::Around,
                    inked,
                );
            }
            Piece::Words {
                at,
                words,
                lie,
                is_strong,
            } => {
                let look = if *is_strong { CHARTED_STRONG } else { CHARTED };
                self.charted(words, look, ground, *at, *lie, inked);
            }
        }
    }

    /// Words of a drawing, on one line.
    fn charted(
        &mut self,
        words: &str,
        look: Look,
        ground: Ground,
        at: At,
        lie: Lie,
        inked: &mut Vec<Inked>,
    ) {
        let lines = self.faces.set(&[(words, look)], 10.0, 1000.0);
        let Some(line) = lines.into_iter().next() else {
            return;
        };
        let [x, y] = ground.spot(at);
        let x = match lie {
            Lie::After => x,
            Lie::Before => x - line.width,
            Lie::Around => x - line.width / 2.0,
        };
        let y = y - line.height / 2.0 + line.baseline;
        inked.extend(line.runs.into_iter().map(|run| Inked::Words { x, y, run }));
    }
}

/// Draws it, from a corner.
pub(super) fn paint(surface: &mut Surface<'_>, faces: &Faces, corner: (f32, f32), inked: &[Inked]) {
    for one in inked {
        match one {
            Inked::Line { spots, full, pen } => ink::line(surface, corner, spots, *full, *pen),
            Inked::Disc {
                at,
                radius,
                full,
                pen,
            } => ink::disc(surface, corner, *at, *radius, *full, *pen),
            Inked::Words { x, y, run } => {
                let (left, top) = corner;
                ink::run(surface, faces, left + x, top + y, run);
            }
        }
    }
}
