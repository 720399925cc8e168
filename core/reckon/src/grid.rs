//! Survey grid: what lies between readings, how much of a surface is wet, and where.

mod checks;
pub mod interpolate;
mod map;
pub mod wet;

use crate::caution::{CABLES, METER, WET_DECK};
use crate::input::{self, Input};
use crate::number::{count_of, of_count, sqrt, whole_up};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{common_practice, definition, memory};
use crate::{Given, Outcome, Reckoning, Unreckoned};

use interpolate::{Border, Method, Spot, Survey, Variogram, between};
use wet::Point;

/// No more corners than this in one map.
const MOST_CORNERS: usize = 20_000;

const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];
const WAYS: &[&str] = &["m", "mm", "cm", "in", "ft"];

const READINGS: &[Input] = &[
    input::amount(
        "along",
        "Along",
        "From the corner where you began, along the deck.",
        WAYS,
        "-200",
        "200",
    ),
    input::amount(
        "across",
        "Across",
        "From the same corner, across it.",
        WAYS,
        "-200",
        "200",
    ),
    input::number(
        "value",
        "Reading",
        "What the instrument showed; the same setting throughout.",
        "-10000",
        "10000",
    ),
];

const BORDERS: &[Input] = &[
    input::amount(
        "from_along",
        "From, along",
        "One end of it.",
        WAYS,
        "-200",
        "200",
    ),
    input::amount(
        "from_across",
        "From, across",
        "One end of it.",
        WAYS,
        "-200",
        "200",
    ),
    input::amount(
        "to_along",
        "To, along",
        "The other end.",
        WAYS,
        "-200",
        "200",
    ),
    input::amount(
        "to_across",
        "To, across",
        "The other end.",
        WAYS,
        "-200",
        "200",
    ),
];

const INPUTS: &[Input] = &[
    input::rows("readings", "Readings", "Each with its spot.", READINGS, 3, 10_000),
    input::number("threshold", "Wet from", "Readings at or over this count as wet: what the same instrument shows on parts of her that are known to be wet and dry says where.", "-10000", "10000"),
    input::rows("borders", "Joints and edges", "Lines that nothing is drawn across: a joint, a hatch's edge, the border of solid laminate.", BORDERS, 0, 60)
        .optional(),
    input::choice(
        "method",
        "Between readings",
        "The mean by distance never goes beyond the readings; the others need to know how readings grow unlike with distance.",
        &[
            ("distance", "mean by distance"),
            ("exponential", "kriging, exponential"),
            ("spherical", "kriging, spherical"),
            ("linear", "kriging, linear"),
        ],
    )
    .or("distance", "common practice, no source: below about 30 readings nothing else is safe"),
    input::number("power", "Power of the distance", "A higher one makes patches, a lower one smears.", "0.5", "8")
        .or("2", "the usual one"),
    input::number("sill", "Sill", "How unlike far readings are, in squared readings; for kriging, exponential or spherical.", "0.000001", "100000000")
        .optional(),
    input::amount("range", "Range", "From which distance on they are so; for kriging, exponential or spherical.", WAYS, "0.001", "400")
        .optional(),
    input::number("slope", "Slope", "How unlike readings grow a metre, in squared readings; for kriging, linear.", "0.000001", "100000000")
        .optional(),
    input::amount("cell", "Size of a cell", "Without it, a fiftieth of the longer side.", LENGTHS, "1", "100000")
        .optional(),
    input::amount("reach", "A reading reaches", "Farther than this from the nearest reading counts as not measured; without it, one and a half times the usual distance of readings.", LENGTHS, "1", "400000")
        .optional(),
    input::amount("at_along", "Value at a spot, along", "With the next, asks for the value at one spot.", WAYS, "-200", "200")
        .optional(),
    input::amount("at_across", "Value at a spot, across", "With the one before.", WAYS, "-200", "200")
        .optional(),
];

const RESULTS: &[Output] = &[
    output::figure("wet", "Wet", "m2", 4),
    output::figure("dry", "Dry", "m2", 4),
    output::figure("unmeasured", "Not measured: neither wet nor dry", "m2", 4),
    output::figure("wet_share", "Wet, of what was measured", "%", 1).sometimes(),
    output::drawing("map", "Map"),
    output::figure("highest", "Highest reading", "", 3),
    output::figure("highest_along", "It lies along", "m", 3),
    output::figure("highest_across", "and across", "m", 3),
    output::figure("mean", "Mean of the readings", "", 3),
    output::figure("cell", "Size of a cell", "mm", 1),
    output::figure("reach", "A reading reaches", "mm", 1),
    output::figure("value_at", "Value at the spot", "", 6).sometimes(),
    output::figure(
        "deviation_at",
        "It may be off by (standard deviation)",
        "",
        6,
    )
    .sometimes(),
];

/// A survey that was read.
struct Read {
    spots: Vec<Spot>,
    borders: Vec<Border>,
    method: Method,
    threshold: f64,
    from: Point,
    cell: f64,
    n_corners: (usize, usize),
    reach: f64,
}

fn method(given: &Given) -> Result<Method, Unreckoned> {
    let needed = |name: &str| -> Result<f64, Unreckoned> {
        given.number(name).map_err(|_missing| Unreckoned::Missing {
            input: name.to_owned(),
            help: "kriging needs it; without some thirty readings to fit it by, take the mean by distance".to_owned(),
        })
    };
    let range = || -> Result<f64, Unreckoned> {
        given.amount_if("range", "m")?.ok_or_else(|| Unreckoned::Missing {
            input: "range".to_owned(),
            help: "kriging needs it; without some thirty readings to fit it by, take the mean by distance".to_owned(),
        })
    };
    Ok(match given.choice("method")? {
        "exponential" => Method::Kriging(Variogram::Exponential {
            sill: needed("sill")?,
            range: range()?,
        }),
        "spherical" => Method::Kriging(Variogram::Spherical {
            sill: needed("sill")?,
            range: range()?,
        }),
        "linear" => Method::Kriging(Variogram::Linear {
            slope: needed("slope")?,
        }),
        _ => Method::InverseDistance(given.number("power")?),
    })
}

fn read(given: &Given) -> Result<Read, Unreckoned> {
    let spots = given
        .rows("readings")
        .iter()
        .enumerate()
        .map(|(at, row)| {
            let spot = || -> Result<Spot, Unreckoned> {
                Ok(Spot {
                    x: row.amount("along", "m")?,
                    y: row.amount("across", "m")?,
                    value: row.number("value")?,
                })
            };
            spot().map_err(|cause| cause.in_row("readings", at))
        })
        .collect::<Result<Vec<_>, _>>()?;
    let borders = given
        .rows("borders")
        .iter()
        .map(|row| {
            Ok((
                (
                    row.amount("from_along", "m")?,
                    row.amount("from_across", "m")?,
                ),
                (row.amount("to_along", "m")?, row.amount("to_across", "m")?),
            ))
        })
        .collect::<Result<Vec<Border>, Unreckoned>>()?;
    let (mut low, mut high) = (
        (f64::INFINITY, f64::INFINITY),
        (f64::NEG_INFINITY, f64::NEG_INFINITY),
    );
    for spot in &spots {
        low = (low.0.min(spot.x), low.1.min(spot.y));
        high = (high.0.max(spot.x), high.1.max(spot.y));
    }
    let (width, height) = (high.0 - low.0, high.1 - low.1);
    if width.min(height) < 0.001 {
        return Err(Unreckoned::impossible(
            "readings",
            "all of them lie on one line, so there is no area between them",
            "take some to the side of it",
        ));
    }
    let cell = given
        .amount_if("cell", "m")?
        .unwrap_or_else(|| width.max(height) / 50.0);
    let cells = (
        whole_up(width / cell).max(1.0),
        whole_up(height / cell).max(1.0),
    );
    if (cells.0 + 1.0) * (cells.1 + 1.0) > of_count(MOST_CORNERS) {
        return Err(Unreckoned::impossible(
            "cell",
            format!("that makes more than {MOST_CORNERS} corners"),
            "make the cells larger",
        ));
    }
    let usual = sqrt(width * height / of_count(spots.len()));
    Ok(Read {
        method: method(given)?,
        threshold: given.number("threshold")?,
        // What the cells are larger than the survey lies half on either side.
        from: (
            low.0 - (cells.0 * cell - width) / 2.0,
            low.1 - (cells.1 * cell - height) / 2.0,
        ),
        n_corners: (count_of(cells.0) + 1, count_of(cells.1) + 1),
        reach: given.amount_if("reach", "m")?.unwrap_or(1.5 * usual),
        cell,
        spots,
        borders,
    })
}

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let read = read(given)?;
    let survey = Survey {
        spots: &read.spots,
        borders: &read.borders,
        method: read.method,
        reach: read.reach,
    };
    let field = survey.field(read.from, read.n_corners, read.cell);
    let found = field.wet(read.threshold);
    let mut out = Outcome::new(RESULTS);
    out.say("wet", found.wet)?;
    out.say("dry", found.dry)?;
    out.say("unmeasured", found.unmeasured)?;
    let measured = found.wet + found.dry;
    if measured > 0.0 {
        out.say("wet_share", 100.0 * found.wet / measured)?;
    }
    out.answers
        .drawing("map", &map::map(&read, &field, &found))?;
    if let Some(highest) = read.spots.iter().max_by(|a, b| a.value.total_cmp(&b.value)) {
        out.say("highest", highest.value)?;
        out.say("highest_along", highest.x)?;
        out.say("highest_across", highest.y)?;
    }
    let sum: f64 = read.spots.iter().map(|spot| spot.value).sum();
    out.say("mean", sum / of_count(read.spots.len()))?;
    out.say("cell", 1000.0 * read.cell)?;
    out.say("reach", 1000.0 * read.reach)?;
    at_spot(given, &read, &survey, &mut out)?;
    if matches!(read.method, Method::Kriging(_)) {
        if read.spots.len() < 30 {
            out.remark("With fewer than about thirty readings nobody can tell how they grow unlike with distance: take the sill and the range for a guess.");
        }
        out.remark("Kriging may give values above the highest reading and below the lowest.");
    }
    out.remark("The wet area of a round patch comes out too small rather than too large; with cells of half the size the difference is a quarter.");
    Ok(out)
}

/// The value at the spot that was asked for.
fn at_spot(
    given: &Given,
    read: &Read,
    survey: &Survey<'_>,
    out: &mut Outcome,
) -> Result<(), Unreckoned> {
    let at = match (
        given.amount_if("at_along", "m")?,
        given.amount_if("at_across", "m")?,
    ) {
        (Some(along), Some(across)) => (along, across),
        (None, None) => return Ok(()),
        (along, _) => {
            let lacking = if along.is_none() {
                "at_along"
            } else {
                "at_across"
            };
            return Err(Unreckoned::Missing {
                input: lacking.to_owned(),
                help: "a spot is so far along and so far across".to_owned(),
            });
        }
    };
    let near = survey.field(at, (1, 1), read.cell);
    if !near.at(0, 0).is_finite() {
        return Err(Unreckoned::impossible(
            "at_along",
            "no reading reaches that spot",
            "ask for a spot nearer to a reading, or let them reach farther",
        ));
    }
    out.say("value_at", near.at(0, 0))?;
    if read.spots.len() <= interpolate::NEAREST_KRIGING
        && read.borders.is_empty()
        && let Some(variance) =
            between(&read.spots, at, read.method).and_then(|found| found.variance)
    {
        out.say("deviation_at", sqrt(variance))?;
    }
    Ok(())
}

/// Survey grids.
pub static SURVEY_GRID: Reckoning = Reckoning {
    name: "survey-grid",
    title: "Survey grid",
    purpose: "How much of a surface reads wet, cell by cell, with a map; and the value at a spot between readings.",
    topic: Topic::Survey,
    revision: 1,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
z = Σ w z(i)/Σ w, w = d^−p                mean by distance, the 64 nearest readings
z = Σ λ z(i), Σ λ = 1, Σ λ γ(ij) + µ = γ(i0)   kriging, the 32 nearest readings
γ = s (1 − e^(−3d/r)); s (1.5 d/r − 0.5 (d/r)³), s beyond r; a d   exponential; spherical; linear
wet area = Σ over cells of the part where z ≥ threshold, edges crossed on a straight line
d: distance; p: power; s: sill; r: range; a: slope",
    sources: &[
        definition(
            "Area by cells: a cell with a corner that was not measured is neither wet nor dry",
        ),
        memory("Shepard 1968, mean by inverse distances; Matheron 1963, ordinary kriging"),
        common_practice(
            "No variogram from fewer than about thirty readings; nothing drawn across a joint, a hatch's opening or the border of solid laminate",
        ),
    ],
    limits: &[
        "Whether what reads wet is wet: salt, bottom paint, metal and foil read high, and soaked plugs have read dry.",
        "What lies deeper than the instrument reaches.",
        "Curved decks: distances are those on the plan.",
    ],
    cautions: &[&METER, &WET_DECK, &CABLES],
    reckon,
    begin: None,
    checks: checks::CHECKS,
};

#[cfg(test)]
mod tests;
