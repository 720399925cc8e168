//! Photo scale: lengths and areas in a plane, from a photograph that shows four or more known points of that plane.

mod checks;
pub mod plane;

use crate::caution::{METER, STRUCTURE};
use crate::grid::wet::area;
use crate::input::{self, Input};
use crate::number::{of_count, sqrt};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{definition, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

use plane::{Pair, Plane, Point};

/// By so much a pixel is moved to see what a click changes.
const NUDGE: f64 = 0.05;

const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];

const KNOWN: &[Input] = &[
    input::number(
        "right",
        "Pixels to the right",
        "In the photograph, from its left edge.",
        "-100000",
        "100000",
    ),
    input::number(
        "down",
        "Pixels down",
        "In the photograph, from its upper edge.",
        "-100000",
        "100000",
    ),
    input::amount(
        "x",
        "Along, in the plane",
        "Where the point is on the boat; not needed for a card or a sheet of paper.",
        LENGTHS,
        "-100000",
        "100000",
    )
    .optional(),
    input::amount(
        "y",
        "Across, in the plane",
        "The same, square to it.",
        LENGTHS,
        "-100000",
        "100000",
    )
    .optional(),
];

const SOUGHT: &[Input] = &[
    input::number(
        "right",
        "Pixels to the right",
        "In the photograph, from its left edge.",
        "-100000",
        "100000",
    ),
    input::number(
        "down",
        "Pixels down",
        "In the photograph, from its upper edge.",
        "-100000",
        "100000",
    ),
];

const INPUTS: &[Input] = &[
    input::choice(
        "reference",
        "Known points are",
        "Lay something of known size flat on the surface, large and near what you measure.",
        &[
            ("points", "points whose place is known"),
            (
                "card",
                "the corners of a bank card's size (85.60 × 53.98 mm)",
            ),
            ("a4", "the corners of a sheet of A4"),
            ("letter", "the corners of a sheet of US Letter"),
        ],
    )
    .or("points", "any four known points do"),
    input::rows(
        "known",
        "Known points",
        "Of a card or a sheet its four corners, in turn, the first two along a longer side.",
        KNOWN,
        4,
        40,
    ),
    input::rows(
        "sought",
        "Points to measure",
        "In turn, in the same plane.",
        SOUGHT,
        1,
        60,
    ),
    input::yes_no(
        "closed",
        "They go round an area",
        "Yes for the outline of a patch, no for a line.",
    )
    .or("no", "a line"),
    input::number(
        "click",
        "A click is off by",
        "In pixels, one standard deviation.",
        "0",
        "100",
    )
    .or("1", "an assumption without a source"),
];

const POINTS_OUT: &[Output] = &[
    output::figure("x", "Along", "mm", 5),
    output::figure("y", "Across", "mm", 5),
    output::figure("length", "To the next point", "mm", 5).sometimes(),
    output::figure("off", "That may be off by", "mm", 2).sometimes(),
];

const RESULTS: &[Output] = &[
    output::verdict(
        "reach",
        "What is measured",
        &[
            ("near", "lies within or close to the known points"),
            (
                "far",
                "reaches more than twice as far as the known points: do not trust it",
            ),
        ],
    ),
    output::figure(
        "reach_ratio",
        "It reaches, of the known points' extent",
        "",
        2,
    ),
    output::figure("length", "Length of the line", "mm", 2),
    output::figure("length_off", "It may be off by", "mm", 2),
    output::figure("area", "Area", "cm2", 4).sometimes(),
    output::figure("area_off", "It may be off by", "cm2", 2).sometimes(),
    output::figure("misfit", "Known points miss their place by", "mm", 3),
    output::table("points", "Points", POINTS_OUT),
];

/// What was clicked and what is known.
#[derive(Clone)]
struct Clicked {
    known: Vec<Pair>,
    sought: Vec<Point>,
    is_closed: bool,
}

/// Lengths between points in turn, their sum, and the area.
struct Measured {
    places: Vec<Point>,
    lengths: Vec<f64>,
    area: f64,
}

impl Measured {
    fn total(&self) -> f64 {
        self.lengths.iter().sum()
    }
}

fn measured(clicked: &Clicked) -> Result<Measured, Unreckoned> {
    let plane = Plane::through(&clicked.known)?;
    let places = clicked
        .sought
        .iter()
        .enumerate()
        .map(|(at, point)| {
            plane.place(*point).ok_or_else(|| {
                Unreckoned::impossible(
                    "right",
                    "this point lies beyond the plane's horizon in the photograph",
                    "click points of the same flat surface only",
                )
                .in_row("sought", at)
            })
        })
        .collect::<Result<Vec<_>, _>>()?;
    let back = clicked.is_closed.then(|| places.first()).flatten();
    let lengths = places
        .iter()
        .zip(places.iter().skip(1).chain(back))
        .map(|(from, to)| distance(*from, *to))
        .collect();
    Ok(Measured {
        lengths,
        area: area(&places),
        places,
    })
}

fn distance(from: Point, to: Point) -> f64 {
    let (x, y) = (to.0 - from.0, to.1 - from.1);
    sqrt(x * x + y * y)
}

fn clicked(given: &Given) -> Result<Clicked, Unreckoned> {
    let size = match given.choice("reference")? {
        "card" => Some((85.6, 53.98)),
        "a4" => Some((297.0, 210.0)),
        "letter" => Some((279.4, 215.9)),
        _ => None,
    };
    let rows = given.rows("known");
    if size.is_some() && rows.len() != 4 {
        return Err(Unreckoned::out_of_range(
            "known",
            format!("{} rows", rows.len()),
            "the four corners, in turn",
        ));
    }
    let mut known = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let pair = || -> Result<Pair, Unreckoned> {
            let pixel = (row.number("right")?, row.number("down")?);
            let place = match (size, at) {
                (None, _) => (row.amount("x", "mm")?, row.amount("y", "mm")?),
                (Some(_), 0) => (0.0, 0.0),
                (Some((long, _)), 1) => (long, 0.0),
                (Some((long, short)), 2) => (long, short),
                (Some((_, short)), _) => (0.0, short),
            };
            Ok(Pair { pixel, place })
        };
        known.push(pair().map_err(|cause| cause.in_row("known", at))?);
    }
    let sought = given
        .rows("sought")
        .iter()
        .map(|row| Ok((row.number("right")?, row.number("down")?)))
        .collect::<Result<Vec<_>, Unreckoned>>()?;
    let is_closed = given.yes("closed");
    if is_closed && sought.len() < 3 {
        return Err(Unreckoned::impossible(
            "sought",
            "fewer than three points have no area",
            "click the outline round, or ask for a line",
        ));
    }
    Ok(Clicked {
        known,
        sought,
        is_closed,
    })
}

/// How far results may be off if every click is off by so much: each click is nudged by itself.
fn spread(clicked: &Clicked, click: f64) -> Result<(Vec<f64>, f64, f64), Unreckoned> {
    let n_lengths = measured(clicked)?.lengths.len();
    let (mut lengths, mut total, mut area) = (vec![0.0; n_lengths], 0.0, 0.0);
    let n_known = clicked.known.len();
    for at in 0..n_known + clicked.sought.len() {
        for (right, down) in [(NUDGE, 0.0), (0.0, NUDGE)] {
            let nudged = |sign: f64| -> Result<Measured, Unreckoned> {
                let mut moved = clicked.clone();
                let pixel = if at < n_known {
                    moved.known.get_mut(at).map(|pair| &mut pair.pixel)
                } else {
                    moved.sought.get_mut(at - n_known)
                };
                if let Some(pixel) = pixel {
                    *pixel = (pixel.0 + sign * right, pixel.1 + sign * down);
                }
                measured(&moved)
            };
            let (more, less) = (nudged(1.0)?, nudged(-1.0)?);
            let squared = |more: f64, less: f64| {
                let change = (more - less) / (2.0 * NUDGE) * click;
                change * change
            };
            for (sum, (more, less)) in lengths
                .iter_mut()
                .zip(more.lengths.iter().zip(&less.lengths))
            {
                *sum += squared(*more, *less);
            }
            total += squared(more.total(), less.total());
            area += squared(more.area, less.area);
        }
    }
    Ok((
        lengths.into_iter().map(sqrt).collect(),
        sqrt(total),
        sqrt(area),
    ))
}

/// How far what is measured reaches from the middle of the known points, of how far they reach themselves.
fn reach(clicked: &Clicked, places: &[Point]) -> f64 {
    let n = of_count(clicked.known.len());
    let sum = clicked.known.iter().fold((0.0, 0.0), |sum, pair| {
        (sum.0 + pair.place.0, sum.1 + pair.place.1)
    });
    let middle = (sum.0 / n, sum.1 / n);
    let own = clicked
        .known
        .iter()
        .map(|pair| distance(middle, pair.place))
        .fold(0.0, f64::max);
    let far = places
        .iter()
        .map(|place| distance(middle, *place))
        .fold(0.0, f64::max);
    far / own
}

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let clicked = clicked(given)?;
    let found = measured(&clicked)?;
    let (off, total_off, area_off) = spread(&clicked, given.number("click")?)?;
    let mut out = Outcome::new(RESULTS);
    let ratio = reach(&clicked, &found.places);
    out.answers
        .verdict("reach", if ratio > 2.0 { "far" } else { "near" })?;
    out.say("reach_ratio", ratio)?;
    out.say("length", found.total())?;
    out.say("length_off", total_off)?;
    if clicked.is_closed {
        out.say("area", found.area / 100.0)?;
        out.say("area_off", area_off / 100.0)?;
    }
    let plane = Plane::through(&clicked.known)?;
    let misses = clicked
        .known
        .iter()
        .filter_map(|pair| Some(distance(plane.place(pair.pixel)?, pair.place)));
    let squares: f64 = misses.map(|miss| miss * miss).sum();
    out.say("misfit", sqrt(squares / of_count(clicked.known.len())))?;
    for (at, place) in found.places.iter().enumerate() {
        let mut row = out.answers.row("points");
        row.figure("x", place.0)?;
        row.figure("y", place.1)?;
        if let (Some(length), Some(off)) = (found.lengths.get(at), off.get(at)) {
            row.figure("length", *length)?;
            row.figure("off", *off)?;
        }
        out.answers.push("points", row)?;
    }
    if ratio > 2.0 {
        out.remark("Errors grow fast outside of the known points: lay the known thing nearer, or a larger one.");
    }
    if clicked.known.len() == 4 {
        out.remark("With four known points nothing tells whether one of them was clicked wrongly; a fifth would.");
    }
    out.remark("What stands out of the plane by a hundredth of the camera's distance is measured wrong by about a hundredth.");
    Ok(out)
}

/// Photo scale.
pub static PHOTO_SCALE: Reckoning = Reckoning {
    name: "photo-scale",
    title: "Photo scale",
    purpose: "Lengths and areas on a flat surface, from a photograph that shows four or more known points of it.",
    topic: Topic::Photograph,
    revision: 1,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
x = (h1 u + h2 v + h3)/(h7 u + h8 v + 1), y = (h4 u + h5 v + h6)/(h7 u + h8 v + 1)
four known points give h1 … h8 exactly, more of them by least squares
off² = Σ (change of the result for a pixel)² × click², over both ways of every click
u, v: pixels to the right and down; x, y: place in the plane",
    sources: &[
        definition("Plane projective geometry; first-order propagation of errors"),
        published(
            "ISO/IEC 7810, size ID-1: 85.60 × 53.98 mm; paper sizes: A4 210 × 297 mm, Letter 215.9 × 279.4 mm",
            "reference-sizes",
        ),
    ],
    limits: &[
        "Surfaces that are not flat, and what stands out of the plane.",
        "What the lens bends: straight lines must be straight in the photograph; keep away from the corners of wide lenses.",
        "The roundness of a card's corners: click where the sides would meet.",
    ],
    cautions: &[&STRUCTURE, &METER],
    reckon,
    begin: None,
    checks: checks::CHECKS,
};

#[cfg(test)]
mod tests;
