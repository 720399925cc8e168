//! Lines, areas and glyphs on a surface of a sheet.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;

use super::face::{Faces, INK, Ink, Run};
use crate::strokes::Spot;

/// What is light on a picture.
pub(super) const LIGHT: Ink = [0xFF, 0xFF, 0xFF];

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pen {
    pub(super) ink: Ink,
    pub(super) weight: f32,
    pub(super) is_broken: bool,
}

fn color(ink: Ink) -> rgb::Color {
    let [red, green, blue] = ink;
    rgb::Color::new(red, green, blue)
}

fn fill(ink: Ink) -> Fill {
    Fill {
        paint: color(ink).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::default(),
    }
}

/// A full rectangle.
pub(super) fn rectangle(
    surface: &mut Surface<'_>,
    x: f32,
    y: f32,
    width: f32,
    height: f32,
    ink: Ink,
) {
    let mut path = PathBuilder::new();
    if let Some(rect) = Rect::from_xywh(x, y, width, height) {
        path.push_rect(rect);
    }
    if let Some(path) = path.finish() {
        surface.set_fill(Some(fill(ink)));
        surface.draw_path(&path);
    }
}

/// A way through spots, which are counted from a corner.
fn way((left, top): (f32, f32), spots: &[Spot], is_closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (idx, [x, y]) in spots.iter().enumerate() {
        if idx == 0 {
            path.move_to(left + x, top + y);
        } else {
            path.line_to(left + x, top + y);
        }
    }
    if is_closed {
        path.close();
    }
    path.finish()
}

/// Four curves that differ from a circle by less than a thousandth of its radius.
fn round(x: f32, y: f32, radius: f32) -> Option<Path> {
    let bend = radius * 0.5523;
    let mut path = PathBuilder::new();
    path.move_to(x + radius, y);
    path.cubic_to(x + radius, y + bend, x + bend, y + radius, x, y + radius);
    path.cubic_to(x - bend, y + radius, x - radius, y + bend, x - radius, y);
    path.cubic_to(x - radius, y - bend, x - bend, y - radius, x, y - radius);
    path.cubic_to(x + bend, y - radius, x + radius, y - bend, x + radius, y);
    path.close();
    path.finish()
}

fn draw(surface: &mut Surface<'_>, path: Option<Path>, full: Option<Ink>, pen: Option<Pen>) {
    let Some(path) = path else {
        return;
    };
    surface.set_fill(full.map(fill));
    surface.set_stroke(pen.map(|pen| Stroke {
        paint: color(pen.ink).into(),
        width: pen.weight,
        line_cap: if pen.is_broken {
            LineCap::Butt
        } else {
            LineCap::Round
        },
        line_join: LineJoin::Round,
        dash: pen.is_broken.then(|| StrokeDash {
            array: vec![4.5, 3.0],
            offset: 0.0,
        }),
        ..Stroke::default()
    }));
    surface.draw_path(&path);
    surface.set_stroke(None);
}

/// A way through spots, with or without an edge and an inside.
pub(super) fn line(
    surface: &mut Surface<'_>,
    corner: (f32, f32),
    spots: &[Spot],
    full: Option<Ink>,
    pen: Pen,
) {
    draw(surface, way(corner, spots, full.is_some()), full, Some(pen));
}

/// A disc, with an edge.
pub(super) fn disc(
    surface: &mut Surface<'_>,
    (left, top): (f32, f32),
    [x, y]: Spot,
    radius: f32,
    full: Ink,
    pen: Pen,
) {
    draw(
        surface,
        round(left + x, top + y, radius),
        Some(full),
        Some(pen),
    );
}

/// A line on a picture, light within dark.
pub(super) fn on_picture(
    surface: &mut Surface<'_>,
    corner: (f32, f32),
    spots: &[Spot],
    is_closed: bool,
) {
    for (ink, weight) in [(INK, 2.6), (LIGHT, 1.1)] {
        let pen = Pen {
            ink,
            weight,
            is_broken: false,
        };
        draw(surface, way(corner, spots, is_closed), None, Some(pen));
    }
}

/// Glyphs on a baseline.
pub(super) fn run(surface: &mut Surface<'_>, faces: &Faces, x: f32, y: f32, run: &Run) {
    let Some(font) = faces.drawn.get(run.face) else {
        return;
    };
    surface.set_fill(Some(fill(run.look.ink)));
    surface.draw_glyphs(
        Point::from_xy(x + run.x, y),
        &run.glyphs,
        font.clone(),
        &run.text,
        run.look.size,
        false,
    );
}
