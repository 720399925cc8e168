//! The survey as a map: what is wet, what was not measured, the line between, the readings.

use super::Read;
use super::wet::{Field, Point, Wet, area};
use crate::drawing::{Drawing, Spot, Stand, Tone, spot};
use crate::number::of_count;

const WIDTH: f64 = 600.0;
const LEFT: f64 = 20.0;
const TOP: f64 = 30.0;
/// No more readings than this are drawn as dots.
const MOST_DOTS: usize = 500;

/// The map, along to the right, across downwards.
pub(super) fn map(read: &Read, field: &Field, found: &Wet) -> Drawing {
    let cells = (
        of_count(read.n_corners.0.saturating_sub(1)),
        of_count(read.n_corners.1.saturating_sub(1)),
    );
    let scale = (WIDTH / (cells.0 * read.cell)).min(900.0 / (cells.1 * read.cell));
    let high = cells.1 * read.cell * scale;
    let mut drawing = Drawing::new(
        "Map of the survey",
        format!(
            "{:.2} m² read wet and are drawn dark, {:.2} m² dry, {:.2} m² were not measured and are dotted; {} lines bound what is wet; along runs to the right.",
            found.wet,
            found.dry,
            found.unmeasured,
            found.contour.len()
        ),
        high + TOP + 34.0,
    );
    // Polygons and lines of a field begin at its own first corner.
    let at = |(x, y): Point| -> Spot { spot(LEFT + x * scale, TOP + y * scale) };
    let corner = |column: usize, row: usize| -> Spot {
        at((of_count(column) * read.cell, of_count(row) * read.cell))
    };
    drawing.rectangle(
        Tone::Body,
        corner(0, 0),
        corner(read.n_corners.0 - 1, read.n_corners.1 - 1),
    );
    // Whole cells of one kind in a row make one rectangle.
    let kind = |column: usize, row: usize| -> Option<Tone> {
        let corners = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(x, y)| field.at(column + x, row + y));
        if corners.iter().any(|value| !value.is_finite()) {
            Some(Tone::Unknown)
        } else if corners.iter().all(|value| *value >= read.threshold) {
            Some(Tone::Wrong)
        } else {
            None
        }
    };
    for row in 0..read.n_corners.1.saturating_sub(1) {
        let mut column = 0;
        while column + 1 < read.n_corners.0 {
            let first = column;
            let tone = kind(column, row);
            while column + 1 < read.n_corners.0 && kind(column, row) == tone {
                column += 1;
            }
            if let Some(tone) = tone {
                drawing.rectangle(tone, corner(first, row), corner(column, row + 1));
            }
        }
    }
    let cell_area = read.cell * read.cell;
    for polygon in &found.polygons {
        if area(polygon) < cell_area * (1.0 - 1e-9) {
            let corners: Vec<Spot> = polygon.iter().map(|point| at(*point)).collect();
            drawing.area(Tone::Wrong, corners);
        }
    }
    for line in &found.contour {
        let through: Vec<Spot> = line.iter().map(|point| at(*point)).collect();
        drawing.line(Tone::Line, through);
    }
    let from_corner = |(x, y): Point| at((x - read.from.0, y - read.from.1));
    for (from, to) in &read.borders {
        drawing.line(Tone::Dashed, [from_corner(*from), from_corner(*to)]);
    }
    if read.spots.len() <= MOST_DOTS {
        for one in &read.spots {
            drawing.circle(Tone::Thin, from_corner((one.x, one.y)), 2.5);
        }
    }
    drawing.words(Stand::From, spot(LEFT, TOP - 10.0), "along →");
    drawing.words(
        Stand::To,
        spot(LEFT + cells.0 * read.cell * scale, TOP + high + 22.0),
        format!(
            "{:.2} m × {:.2} m",
            cells.0 * read.cell,
            cells.1 * read.cell
        ),
    );
    drawing
}
