//! How much of a grid of readings lies at or over a threshold, cell by cell.

use std::collections::BTreeMap;

/// Values at the corners of equal cells, row by row; no number where nothing was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// How many values a row has.
    pub n_columns: usize,
    /// From one column to the next.
    pub step_x: f64,
    /// From one row to the next.
    pub step_y: f64,
    /// Every value.
    pub values: Vec<f64>,
}

/// A corner of a polygon or a point of a line.
pub type Point = (f64, f64);

/// What a field holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wet {
    /// The area at or over the threshold.
    pub wet: f64,
    /// The area below it.
    pub dry: f64,
    /// The area of cells with a corner that was not measured: neither wet nor dry.
    pub unmeasured: f64,
    /// What is wet, as polygons.
    pub polygons: Vec<Vec<Point>>,
    /// Where the threshold runs; a line that is closed ends where it began, one that meets the edge of the survey is open.
    pub contour: Vec<Vec<Point>>,
}

/// An edge between two neighbouring corners: the lower corner, and whether it runs along a row.
type Edge = (usize, bool);

impl Field {
    /// How many rows there are.
    #[must_use]
    pub fn n_rows(&self) -> usize {
        self.values
            .len()
            .checked_div(self.n_columns)
            .unwrap_or_default()
    }

    /// The value at a corner; no number where there is none.
    #[must_use]
    pub fn at(&self, column: usize, row: usize) -> f64 {
        if column >= self.n_columns {
            return f64::NAN;
        }
        self.values
            .get(row * self.n_columns + column)
            .copied()
            .unwrap_or(f64::NAN)
    }

    /// How much is wet at a threshold, each edge crossed where a straight line between its ends says.
    ///
    /// Where two opposite corners of a cell are wet, they are joined if the mean of the four is wet.
    #[must_use]
    pub fn wet(&self, threshold: f64) -> Wet {
        let mut out = Wet::default();
        let mut pieces: BTreeMap<Edge, Vec<(Edge, Point, Point)>> = BTreeMap::new();
        let cell_area = self.step_x * self.step_y;
        for row in 1..self.n_rows() {
            for column in 1..self.n_columns {
                let corners = self.corners(column - 1, row - 1);
                if corners.iter().any(|(_, value, _)| !value.is_finite()) {
                    out.unmeasured += cell_area;
                    continue;
                }
                let (polygons, segments) = cell(&corners, threshold);
                let wet: f64 = polygons.iter().map(|polygon| area(polygon)).sum();
                out.wet += wet;
                out.dry += cell_area - wet;
                out.polygons.extend(polygons);
                for (from, to) in segments {
                    pieces.entry(from.0).or_default().push((to.0, from.1, to.1));
                    pieces.entry(to.0).or_default().push((from.0, to.1, from.1));
                }
            }
        }
        out.contour = joined(pieces);
        out
    }

    /// The corners of a cell, turning, each with its value and the edge to the next.
    fn corners(&self, column: usize, row: usize) -> [(Point, f64, Edge); 4] {
        let number = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
        let lower = row * self.n_columns + column;
        let at = |column: usize, row: usize, edge| {
            (
                (number(column) * self.step_x, number(row) * self.step_y),
                self.at(column, row),
                edge,
            )
        };
        [
            at(column, row, (lower, true)),
            at(column + 1, row, (lower + 1, false)),
            at(column + 1, row + 1, (lower + self.n_columns, true)),
            at(column, row + 1, (lower, false)),
        ]
    }
}

/// The area of a polygon.
///
/// # Units
///
/// - `polygon`: any one unit of length
/// - returns: the same, squared
///
/// # Errors
///
/// None: fewer than three corners have no area.
///
/// # Source
///
/// Plain geometry.
#[must_use]
pub fn area(polygon: &[Point]) -> f64 {
    let next = polygon.iter().skip(1).chain(polygon.first());
    let twice: f64 = polygon
        .iter()
        .zip(next)
        .map(|(one, other)| one.0 * other.1 - other.0 * one.1)
        .sum();
    twice.abs() / 2.0
}

type Crossing = (Edge, Point);

/// What is wet of one cell, and the pieces of the line through it.
fn cell(
    corners: &[(Point, f64, Edge); 4],
    threshold: f64,
) -> (Vec<Vec<Point>>, Vec<(Crossing, Crossing)>) {
    let mean = corners.iter().map(|(_, value, _)| value).sum::<f64>() / 4.0;
    let [a, b, c, d] = corners;
    // Once round: wet corners, and where the threshold is crossed.
    let mut round: Vec<(Point, Option<Edge>)> = Vec::new();
    for (one, next) in [(a, b), (b, c), (c, d), (d, a)] {
        let (wet, next_wet) = (one.1 >= threshold, next.1 >= threshold);
        if wet {
            round.push((one.0, None));
        }
        if wet != next_wet {
            let part = (threshold - one.1) / (next.1 - one.1);
            round.push((
                (
                    one.0.0 + part * (next.0.0 - one.0.0),
                    one.0.1 + part * (next.0.1 - one.0.1),
                ),
                Some(one.2),
            ));
        }
    }
    let crossings: Vec<Crossing> = round
        .iter()
        .filter_map(|(point, edge)| Some(((*edge)?, *point)))
        .collect();
    match crossings.as_slice() {
        [first, second] => (
            vec![round.iter().map(|(point, _)| *point).collect()],
            vec![(*first, *second)],
        ),
        // Two opposite corners are wet; crossings are those of the edges in turn.
        [ab, bc, cd, da] => {
            let a_wet = a.1 >= threshold;
            let joined_up = mean >= threshold;
            let segments = if a_wet == joined_up {
                vec![(*ab, *bc), (*cd, *da)]
            } else {
                vec![(*da, *ab), (*bc, *cd)]
            };
            let polygons = if joined_up {
                vec![round.iter().map(|(point, _)| *point).collect()]
            } else if a_wet {
                vec![vec![a.0, ab.1, da.1], vec![c.0, cd.1, bc.1]]
            } else {
                vec![vec![b.0, bc.1, ab.1], vec![d.0, da.1, cd.1]]
            };
            (polygons, segments)
        }
        _ if mean >= threshold => (
            vec![corners.iter().map(|(point, ..)| *point).collect()],
            Vec::new(),
        ),
        _ => (Vec::new(), Vec::new()),
    }
}

/// Joins pieces that meet on an edge to lines: open ones first, then those that close.
fn joined(mut pieces: BTreeMap<Edge, Vec<(Edge, Point, Point)>>) -> Vec<Vec<Point>> {
    let mut out = Vec::new();
    loop {
        let start = pieces
            .iter()
            .find(|(_, ends)| ends.len() == 1)
            .or_else(|| pieces.iter().find(|(_, ends)| !ends.is_empty()))
            .map(|(edge, _)| *edge);
        let Some(start) = start else { return out };
        let mut line = Vec::new();
        let mut at = start;
        while let Some((to, from_point, to_point)) = pieces.get_mut(&at).and_then(Vec::pop) {
            if pieces.get(&at).is_some_and(Vec::is_empty) {
                pieces.remove(&at);
            }
            if line.is_empty() {
                line.push(from_point);
            }
            line.push(to_point);
            if let Some(back) = pieces.get_mut(&to) {
                if let Some(idx) = back.iter().position(|(edge, ..)| *edge == at) {
                    back.remove(idx);
                }
                if back.is_empty() {
                    pieces.remove(&to);
                }
            }
            at = to;
        }
        if line.is_empty() {
            return out;
        }
        out.push(line);
    }
}
