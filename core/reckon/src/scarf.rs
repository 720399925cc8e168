//! Scarf joints: slope, angle both ways of measuring it, length, glue area, and how little a steep cut gains.

use crate::caution::{DUST, RESIN, STRUCTURE, TOOLS};
use crate::check::{Check, near, refused, word};
use crate::drawing::{Drawing, Stand, Tone, spot};
use crate::input::{self, Input};
use crate::number::{atan, degrees, radians, sqrt, tan};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, Source, common_practice, definition, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

/// Returns the angle between a scarf's face and the surface of the board.
///
/// ```text
/// a = atan(1/n)
/// ```
///
/// # Units
///
/// - `n`: run for one of rise, above 0
/// - returns: degrees
///
/// # Errors
///
/// None: every allowed slope has an angle.
///
/// # Source
///
/// Plain geometry.
///
/// # Examples
///
/// ```
/// assert!((garboard_reckon::scarf::angle_to_surface(8.0) - 7.125).abs() < 5e-5);
/// ```
#[must_use]
pub fn angle_to_surface(n: f64) -> f64 {
    degrees(atan(1.0 / n))
}

/// Returns how much larger a scarf's glue face is than a square cut.
///
/// ```text
/// f = sqrt(1 + n²)
/// ```
///
/// # Units
///
/// - `n`: run for one of rise, above 0
/// - returns: a pure number
///
/// # Errors
///
/// None: every allowed slope has a face.
///
/// # Source
///
/// Plain geometry.
///
/// # Examples
///
/// ```
/// assert!((garboard_reckon::scarf::area_factor(12.0) - 12.041_59).abs() < 1e-5);
/// ```
#[must_use]
pub fn area_factor(n: f64) -> f64 {
    sqrt(1.0 + n * n)
}

const THICKNESS: &[&str] = &["mm", "in", "cm"];
const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];

const INPUTS: &[Input] = &[
    input::amount(
        "thickness",
        "Thickness of the board or skin",
        "Across the grain of the joint: the sheet's, plank's or skin's thickness.",
        THICKNESS,
        "0.2",
        "500",
    ),
    input::number(
        "slope",
        "Slope, 1 in",
        "How much run for one of rise: 8 for plywood, 12 for solid wood and laminate. Leave it out if you give an angle.",
        "0.1",
        "50",
    )
    .optional(),
    input::amount(
        "angle",
        "Angle instead of a slope",
        "The angle as it was measured; say below from what.",
        &["deg"],
        "1",
        "89",
    )
    .optional(),
    input::choice(
        "angle_from",
        "The angle is measured from",
        "From the board's surface (a small angle for a long scarf) or from the square cut (a large one).",
        &[
            ("surface", "the board's surface"),
            ("square-cut", "the square cut"),
        ],
    )
    .or("surface", "the smaller of the two angles of a long scarf"),
    input::amount(
        "width",
        "Width of the joint",
        "Along the joint; the glue area is for this width.",
        LENGTHS,
        "1",
        "20000",
    )
    .or("1000 mm", "a metre of joint"),
    input::choice(
        "material",
        "Material",
        "Says which slope is usual.",
        &[
            ("plywood", "plywood"),
            ("solid", "solid wood"),
            ("laminate", "laminate"),
        ],
    )
    .or("plywood", "the most usual sheet"),
    input::amount(
        "first_length",
        "Length of the first piece",
        "With the second, gives the length of both when joined.",
        LENGTHS,
        "10",
        "100000",
    )
    .optional(),
    input::amount(
        "second_length",
        "Length of the second piece",
        "With the first, gives the length of both when joined.",
        LENGTHS,
        "10",
        "100000",
    )
    .optional(),
];

const RESULTS: &[Output] = &[
    output::verdict(
        "verdict",
        "Slope",
        &[
            ("usual", "as flat as is usual or flatter"),
            ("steep", "steeper than is usual for this material"),
            ("butt", "hardly better than a butt joint"),
        ],
    ),
    output::figure("slope", "Slope, 1 in", "", 3),
    output::figure("length", "Length of the scarf", "mm", 1),
    output::figure(
        "angle_to_surface",
        "Angle from the board's surface",
        "deg",
        4,
    ),
    output::figure("angle_to_square", "Angle from the square cut", "deg", 4),
    output::figure(
        "area_factor",
        "Glue face, times that of a square cut",
        "",
        5,
    ),
    output::figure("usual_area_factor", "The same at the usual slope", "", 5),
    output::figure("glue_area", "Glue area, one face", "cm2", 1),
    output::figure(
        "normal_stress",
        "Pull across the glue, of the pull in the board",
        "",
        5,
    ),
    output::figure(
        "shear_stress",
        "Shear in the glue, of the pull in the board",
        "",
        5,
    ),
    output::figure("joined_length", "Length when joined", "mm", 1).sometimes(),
    output::figure(
        "efficiency",
        "Share of the wood's strength, unsourced indication",
        "%",
        1,
    )
    .sometimes(),
    output::drawing("section", "The joint from the side"),
];

/// The slope that is usual for a material.
fn usual_slope(material: &str) -> f64 {
    if material == "plywood" { 8.0 } else { 12.0 }
}

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(RESULTS);
    let t = given.amount("thickness", "mm")?;
    let width = given.amount("width", "mm")?;
    let angle = given.amount_if("angle", "deg")?;
    let n = match (given.number_if("slope"), angle) {
        (Some(_), Some(_)) => {
            return Err(Unreckoned::impossible(
                "angle",
                "a slope and an angle are both given",
                "give one of them",
            ));
        }
        (Some(n), None) => n,
        (None, Some(angle)) => {
            let from_surface = if given.choice("angle_from")? == "square-cut" {
                90.0 - angle
            } else {
                angle
            };
            1.0 / tan(radians(from_surface))
        }
        (None, None) => usual_slope(given.choice("material")?),
    };
    let usual = usual_slope(given.choice("material")?);
    let factor = area_factor(n);
    let length = n * t;
    out.answers.verdict(
        "verdict",
        if n < 2.0 {
            "butt"
        } else if n < usual - 1e-9 {
            "steep"
        } else {
            "usual"
        },
    )?;
    out.say("slope", n)?;
    out.say("length", length)?;
    out.say("angle_to_surface", angle_to_surface(n))?;
    out.say("angle_to_square", 90.0 - angle_to_surface(n))?;
    out.say("area_factor", factor)?;
    out.say("usual_area_factor", area_factor(usual))?;
    out.say("glue_area", factor * t * width / 100.0)?;
    out.say("normal_stress", 1.0 / (factor * factor))?;
    out.say("shear_stress", n / (factor * factor))?;
    match (
        given.amount_if("first_length", "mm")?,
        given.amount_if("second_length", "mm")?,
    ) {
        (Some(first), Some(second)) => {
            if length > first.min(second) {
                return Err(Unreckoned::impossible(
                    "first_length",
                    format!("the scarf is {length:.0} mm long, longer than a piece"),
                    "take longer pieces or a steeper slope",
                ));
            }
            out.say("joined_length", first + second - length)?;
        }
        (None, None) => {}
        (None, Some(_)) => return Err(other_piece("first_length")),
        (Some(_), None) => return Err(other_piece("second_length")),
    }
    if (4.0..=20.0).contains(&n) {
        out.say("efficiency", 95.0 - 30.0 * (1.0 / n - 0.05) / (0.25 - 0.05))?;
        out.remark("The share of strength is drawn straight between 65 % at 1:4 and 95 % at 1:20, figures that circulate without a source. Do not build on it.");
    }
    if n < 2.0 {
        out.remark(format!(
            "A cut at this angle has only {factor:.2} times the glue face of a butt joint; 1:{usual} has {:.2} times. Where a butt joint is wrong, this is wrong too.",
            area_factor(usual)
        ));
    }
    out.answers.drawing("section", &section(n, usual))?;
    out.need(
        "glue",
        "for two faces, wetted out first",
        factor * t * width / 1e6 * 2.0,
        "m2",
        3,
    )?;
    Ok(out)
}

fn other_piece(input: &str) -> Unreckoned {
    Unreckoned::Missing {
        input: input.to_owned(),
        help: "the length when joined needs both pieces".to_owned(),
    }
}

/// The joint from the side, the scarf's run at most half of the drawing.
fn section(n: f64, usual: f64) -> Drawing {
    let mut drawing = Drawing::new(
        "Scarf joint from the side",
        format!(
            "Two boards meet on a sloping face with a run of {n:.2} for one of rise; the usual slope of 1 in {usual} is dashed."
        ),
        160.0,
    );
    let t = (320.0 / n.max(usual)).min(60.0);
    let (top, bottom) = (50.0, 50.0 + t);
    let middle = 320.0;
    let (a, b) = (middle - n * t / 2.0, middle + n * t / 2.0);
    drawing.area(
        Tone::Body,
        [
            spot(20.0, top),
            spot(a, top),
            spot(b, bottom),
            spot(20.0, bottom),
        ],
    );
    drawing.area(
        Tone::Second,
        [
            spot(a, top),
            spot(620.0, top),
            spot(620.0, bottom),
            spot(b, bottom),
        ],
    );
    let (c, d) = (middle - usual * t / 2.0, middle + usual * t / 2.0);
    drawing.line(Tone::Dashed, [spot(c, top), spot(d, bottom)]);
    drawing.line(Tone::Thin, [spot(a, bottom + 20.0), spot(b, bottom + 20.0)]);
    drawing.words(
        Stand::Middle,
        spot(middle, bottom + 38.0),
        format!("{n:.2} × thickness"),
    );
    drawing
}

const WOOD_HANDBOOK: Source = published(
    "USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190, 2010), ch. 10: end-grain butt joints reach about a quarter of the wood's tensile strength; a slope of 1 in 12 or flatter is strongest",
    "wood-handbook",
);

const GEOMETRY: &str = "plane geometry, worked independently";

/// Scarf joints.
pub static SCARF: Reckoning = Reckoning {
    name: "scarf",
    title: "Scarf joint",
    purpose: "Length, angles and glue area of a scarf, and how it compares with the usual slope.",
    topic: Topic::Scarf,
    revision: 1,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
a = atan(1/n)          angle from the board's surface; 90° − a from the square cut
L = n t                length of the scarf
f = sqrt(1 + n²)       glue face, times that of a square cut
σn/σ = sin² a          pull across the glue
τ/σ = sin a cos a      shear in the glue
n: run for one of rise; t: thickness",
    sources: &[
        definition("Plane geometry; uniform stress turned into the plane of the glue"),
        WOOD_HANDBOOK,
        common_practice("1:8 for plywood, 1:12 for solid wood and laminate"),
        common_practice(
            "65 % of strength at 1:4 and 95 % at 1:20, drawn straight in 1/n: an indication that nobody vouches for",
        ),
    ],
    limits: &[
        "The strength of the joint: it hangs on the glue, the fit and the clamping.",
        "Joints that are not flat, and wood that bends after gluing.",
    ],
    cautions: &[&STRUCTURE, &TOOLS, &RESIN, &DUST],
    reckon,
    begin: None,
    checks: CHECKS,
};

const CHECKS: &[Check] = &[
    Check {
        case: "1:8 in 12 mm plywood",
        inputs: r#"{"thickness": "12 mm", "slope": "8", "first_length": "2440 mm", "second_length": "2440 mm"}"#,
        expect: &[
            near("length", 96.0, 0.05),
            near("angle_to_surface", 7.1250, 0.0001),
            near("angle_to_square", 82.875, 0.0001),
            near("area_factor", 8.06226, 0.00001),
            near("normal_stress", 0.01538, 0.00001),
            near("shear_stress", 0.12308, 0.00001),
            near("joined_length", 4784.0, 0.05),
            word("verdict", "usual"),
        ],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "1:12 in 9 mm laminate",
        inputs: r#"{"thickness": "9 mm", "slope": "12", "material": "laminate"}"#,
        expect: &[
            near("length", 108.0, 0.05),
            near("angle_to_surface", 4.7636, 0.0001),
            near("area_factor", 12.04159, 0.00001),
            near("normal_stress", 0.00690, 0.00001),
            near("shear_stress", 0.08276, 0.00001),
        ],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "1:6 in 18 mm",
        inputs: r#"{"thickness": "18 mm", "slope": "6"}"#,
        expect: &[
            near("length", 108.0, 0.05),
            near("angle_to_surface", 9.4623, 0.0001),
            near("area_factor", 6.08276, 0.00001),
            near("shear_stress", 0.16216, 0.00001),
            word("verdict", "steep"),
        ],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "1:10 in 12 mm",
        inputs: r#"{"thickness": "12 mm", "slope": "10"}"#,
        expect: &[
            near("length", 120.0, 0.05),
            near("angle_to_surface", 5.7106, 0.0001),
            near("area_factor", 10.04988, 0.00001),
            near("shear_stress", 0.09901, 0.00001),
        ],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "1:20 in 18 mm",
        inputs: r#"{"thickness": "18 mm", "slope": "20"}"#,
        expect: &[
            near("length", 360.0, 0.05),
            near("angle_to_surface", 2.8624, 0.0001),
            near("area_factor", 20.02498, 0.00001),
            near("normal_stress", 0.00249, 0.00001),
            near("shear_stress", 0.04988, 0.00001),
        ],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "82.875° from the square cut is 1:8",
        inputs: r#"{"thickness": "12 mm", "angle": "82.875", "angle_from": "square-cut"}"#,
        expect: &[near("slope", 8.0, 0.001), near("length", 96.0, 0.05)],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "a cut at 45°",
        inputs: r#"{"thickness": "5/8 in", "angle": "45"}"#,
        expect: &[
            near("slope", 1.0, 0.0005),
            near("area_factor", std::f64::consts::SQRT_2, 0.00001),
            near("usual_area_factor", 8.06226, 0.00001),
            word("verdict", "butt"),
        ],
        mark: Mark::CommonPractice,
        source: "cut at 45 to 60 degrees where a butt joint is wrong",
    },
    Check {
        case: "a cut at 60°",
        inputs: r#"{"thickness": "5/8 in", "angle": "60"}"#,
        expect: &[
            near("slope", 0.577, 0.0005),
            near("area_factor", 1.15470, 0.00001),
            word("verdict", "butt"),
        ],
        mark: Mark::CommonPractice,
        source: "cut at 45 to 60 degrees where a butt joint is wrong",
    },
    Check {
        case: "a cut at 30°",
        inputs: r#"{"thickness": "12 mm", "angle": "30"}"#,
        expect: &[
            near("slope", 1.732, 0.0005),
            near("area_factor", 2.0, 0.00001),
        ],
        mark: Mark::Worked,
        source: GEOMETRY,
    },
    Check {
        case: "slope and angle at once",
        inputs: r#"{"thickness": "12 mm", "slope": "8", "angle": "7"}"#,
        expect: &[refused("angle")],
        mark: Mark::Definition,
        source: "two answers to one question",
    },
];
