//! Tanks: what is in them at a dip, how the dips go, what it weighs, and the pressure of a leak test.

use crate::caution::{CONFINED, FUEL_TANK, LIFTING, WASTE_TANK};
use crate::check::{Check, near, refused};
use crate::input::{self, Input};
use crate::number::{acos, sqrt};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const LENGTHS: &[&str] = &["m", "mm", "cm", "ft", "in"];

const TANK_INPUTS: &[Input] = &[
    input::choice(
        "shape",
        "Shape",
        "Of the inside.",
        &[
            ("box", "a box"),
            ("wedge", "a box whose sides slope: narrower at the bottom"),
            ("upright", "an upright cylinder"),
            ("lying", "a cylinder lying on its side"),
        ],
    ),
    input::amount(
        "length",
        "Length",
        "Inside; of a cylinder that lies, along its axis.",
        LENGTHS,
        "0.01",
        "50",
    )
    .optional(),
    input::amount(
        "width",
        "Width",
        "Inside; of a wedge, at the top.",
        LENGTHS,
        "0.01",
        "50",
    )
    .optional(),
    input::amount(
        "width_below",
        "Width at the bottom",
        "Of a wedge.",
        LENGTHS,
        "0",
        "50",
    )
    .optional(),
    input::amount(
        "diameter",
        "Diameter",
        "Inside, of a cylinder.",
        LENGTHS,
        "0.01",
        "50",
    )
    .optional(),
    input::amount(
        "height",
        "Height",
        "Inside; a cylinder that lies has its diameter.",
        LENGTHS,
        "0.01",
        "50",
    )
    .optional(),
    input::amount(
        "dip",
        "Dip",
        "The liquid's depth above the lowest point.",
        LENGTHS,
        "0",
        "50",
    )
    .optional(),
    input::choice(
        "contents",
        "Contents",
        "For its mass.",
        &[
            ("diesel", "diesel"),
            ("petrol", "petrol"),
            ("fresh", "fresh water"),
            ("sea", "sea water"),
            ("waste", "waste"),
        ],
    )
    .or("fresh", "the lightest assumption for a water tank"),
    input::amount(
        "density",
        "Density of the contents",
        "Where it is known.",
        &["kg/m3", "kg/l"],
        "500",
        "2000",
    )
    .optional(),
    input::amount(
        "steps",
        "Dip table every",
        "How far its lines are apart.",
        LENGTHS,
        "0.005",
        "1",
    )
    .or("50 mm", "a mark every five centimetres"),
];

const DIPS: &[Output] = &[
    output::figure("dip", "Dip", "mm", 0),
    output::figure("litres", "Contents", "l", 1),
    output::figure("share", "Full", "%", 1),
];

const TANK_RESULTS: &[Output] = &[
    output::figure("full", "Full", "l", 4),
    output::figure("litres", "At the dip", "l", 4).sometimes(),
    output::figure("share", "That is, of the whole", "%", 4).sometimes(),
    output::figure("mass", "Mass of the contents when full", "kg", 1),
    output::figure("mass_at_dip", "Mass of the contents at the dip", "kg", 1).sometimes(),
    output::table("table", "Dip table", DIPS),
];

/// Returns the area of a circle's segment below a chord.
///
/// ```text
/// A = r² acos((r − h)/r) − (r − h) sqrt(2 r h − h²)
/// ```
///
/// # Units
///
/// - `r`: radius, any length, above 0
/// - `h`: height of the segment, in the same length, 0 to 2r
/// - returns: the same length squared
///
/// # Errors
///
/// None: outside the circle it is held at its edge.
///
/// # Source
///
/// Plane geometry.
///
/// # Examples
///
/// ```
/// let half = garboard_reckon::tank::segment(0.25, 0.25);
/// assert!((half - std::f64::consts::PI * 0.0625 / 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn segment(r: f64, h: f64) -> f64 {
    let h = h.clamp(0.0, 2.0 * r);
    r * r * acos((r - h) / r) - (r - h) * sqrt((2.0 * r * h - h * h).max(0.0))
}

/// A tank's own measures, in metres.
enum Tank {
    Box(f64, f64, f64),
    Wedge(f64, f64, f64, f64),
    Upright(f64, f64),
    Lying(f64, f64),
}

impl Tank {
    fn of(given: &Given) -> Result<Self, Unreckoned> {
        let need = |name: &str| {
            given
                .amount_if(name, "m")?
                .ok_or_else(|| Unreckoned::Missing {
                    input: name.to_owned(),
                    help: "a tank of this shape needs it".to_owned(),
                })
        };
        Ok(match given.choice("shape")? {
            "wedge" => Self::Wedge(
                need("length")?,
                need("width_below")?,
                need("width")?,
                need("height")?,
            ),
            "upright" => Self::Upright(need("diameter")? / 2.0, need("height")?),
            "lying" => Self::Lying(need("diameter")? / 2.0, need("length")?),
            _ => Self::Box(need("length")?, need("width")?, need("height")?),
        })
    }

    fn height(&self) -> f64 {
        match self {
            Self::Box(_, _, height) | Self::Wedge(_, _, _, height) | Self::Upright(_, height) => {
                *height
            }
            Self::Lying(r, _) => 2.0 * r,
        }
    }

    /// Litres up to a height in metres.
    fn litres(&self, h: f64) -> f64 {
        1000.0
            * match self {
                Self::Box(length, width, _) => length * width * h,
                Self::Wedge(length, below, above, height) => {
                    let at = below + (above - below) * h / height;
                    (below + at) / 2.0 * h * length
                }
                Self::Upright(r, _) => std::f64::consts::PI * r * r * h,
                Self::Lying(r, length) => segment(*r, h) * length,
            }
    }
}

fn tank(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(TANK_RESULTS);
    let tank = Tank::of(given)?;
    let height = tank.height();
    let full = tank.litres(height);
    let usual = match given.choice("contents")? {
        "diesel" => 832.5,
        "petrol" => 745.0,
        "sea" => 1025.0,
        _ => 1000.0,
    };
    let density = given.amount_if("density", "kg/m3")?.unwrap_or(usual);
    out.say("full", full)?;
    out.say("mass", full / 1000.0 * density)?;
    if let Some(dip) = given.amount_if("dip", "m")? {
        if dip > height + 1e-9 {
            return Err(Unreckoned::out_of_range(
                "dip",
                format!("{:.0} mm", dip * 1000.0),
                format!("0 to {:.0} mm, the tank's height", height * 1000.0),
            ));
        }
        let litres = tank.litres(dip.min(height));
        out.say("litres", litres)?;
        out.say("share", litres / full * 100.0)?;
        out.say("mass_at_dip", litres / 1000.0 * density)?;
    }
    let step = given.amount("steps", "m")?;
    let n = height / step;
    if n > 200.0 {
        return Err(Unreckoned::impossible(
            "steps",
            "the dip table would have more than 200 lines",
            "take a larger step",
        ));
    }
    let mut h = 0.0;
    while h < height - 1e-9 {
        h = (h + step).min(height);
        let mut row = out.answers.row("table");
        row.figure("dip", h * 1000.0)?;
        row.figure("litres", tank.litres(h))?;
        row.figure("share", tank.litres(h) / full * 100.0)?;
        out.answers.push("table", row)?;
    }
    Ok(out)
}

/// What is in a tank.
pub static TANK: Reckoning = Reckoning {
    name: "tank",
    title: "Tank contents and dip table",
    purpose: "What a tank holds when full and at a dip, what that weighs, and a table of dips.",
    topic: Topic::Tank,
    revision: 1,
    inputs: TANK_INPUTS,
    results: TANK_RESULTS,
    formula: "
box: V = L B h
wedge: V = L h (b + b_h)/2,   b_h = b + (B − b) h/H
upright cylinder: V = π r² h
lying cylinder: V = L (r² acos((r − h)/r) − (r − h) sqrt(2rh − h²))",
    sources: &[
        definition("plane geometry"),
        memory(
            "diesel 832.5 kg/m³, the middle of EN 590's 820 to 845; petrol 745, within EN 228's 720 to 775; at 15 °C",
        ),
    ],
    limits: &[
        "Baffles, rounded corners and the boat's trim: the tank must lie as it was measured.",
        "What the pick-up pipe cannot reach.",
    ],
    cautions: &[&FUEL_TANK, &WASTE_TANK, &CONFINED, &LIFTING],
    reckon: tank,
    begin: None,
    checks: &[
        Check {
            case: "a lying cylinder, 100 mm deep",
            inputs: r#"{"shape": "lying", "diameter": "0.5 m", "length": "1.2 m", "dip": "0.1 m"}"#,
            expect: &[
                near("full", 235.6194, 0.0001),
                near("litres", 33.5471, 0.0001),
                near("share", 14.2378, 0.0001),
            ],
            mark: Mark::Worked,
            source: "scipy.integrate.quad agrees",
        },
        Check {
            case: "a lying cylinder, half full",
            inputs: r#"{"shape": "lying", "diameter": "0.5 m", "length": "1.2 m", "dip": "0.25 m"}"#,
            expect: &[
                near("litres", 117.8097, 0.0001),
                near("share", 50.0, 0.0001),
            ],
            mark: Mark::Worked,
            source: "scipy.integrate.quad agrees",
        },
        Check {
            case: "a lying cylinder, nearly full",
            inputs: r#"{"shape": "lying", "diameter": "0.5 m", "length": "1.2 m", "dip": "0.45 m"}"#,
            expect: &[
                near("litres", 223.3569, 0.0001),
                near("share", 94.7956, 0.0001),
            ],
            mark: Mark::Worked,
            source: "scipy.integrate.quad agrees",
        },
        Check {
            case: "a box of 120 litres of diesel",
            inputs: r#"{"shape": "box", "length": "0.6 m", "width": "0.4 m", "height": "0.5 m", "contents": "diesel"}"#,
            expect: &[near("full", 120.0, 0.0001), near("mass", 99.9, 0.05)],
            mark: Mark::Worked,
            source: "120 L at 832.5 kg/m³",
        },
        Check {
            case: "petrol in the same box",
            inputs: r#"{"shape": "box", "length": "0.6 m", "width": "0.4 m", "height": "0.5 m", "contents": "petrol"}"#,
            expect: &[near("mass", 89.4, 0.05)],
            mark: Mark::Worked,
            source: "120 L at 745 kg/m³",
        },
        Check {
            case: "a wedge at 100 mm",
            inputs: r#"{"shape": "wedge", "length": "1.2 m", "width_below": "0.2 m", "width": "0.5 m", "height": "0.4 m", "dip": "0.1 m"}"#,
            expect: &[near("full", 168.0, 0.0001), near("litres", 28.5, 0.0001)],
            mark: Mark::Worked,
            source: "trapezoids",
        },
        Check {
            case: "a wedge at 300 mm",
            inputs: r#"{"shape": "wedge", "length": "1.2 m", "width_below": "0.2 m", "width": "0.5 m", "height": "0.4 m", "dip": "0.3 m"}"#,
            expect: &[near("litres", 112.5, 0.0001)],
            mark: Mark::Worked,
            source: "trapezoids",
        },
        Check {
            case: "an upright cylinder",
            inputs: r#"{"shape": "upright", "diameter": "0.4 m", "height": "0.6 m"}"#,
            expect: &[near("full", 75.3982, 0.0001)],
            mark: Mark::Worked,
            source: "π r² h",
        },
        Check {
            case: "a dip deeper than the tank",
            inputs: r#"{"shape": "box", "length": "0.6 m", "width": "0.4 m", "height": "0.5 m", "dip": "0.6 m"}"#,
            expect: &[refused("dip")],
            mark: Mark::Definition,
            source: "no dip is deeper than its tank",
        },
    ],
};

const PRESSURE_INPUTS: &[Input] = &[
    input::amount(
        "head",
        "Height of the overflow above the tank's bottom",
        "To the highest point to which fuel can rise: the fill plate or the vent.",
        LENGTHS,
        "0.05",
        "20",
    ),
    input::amount(
        "density",
        "Density of the fuel",
        "Petrol about 745, diesel about 832.5 kg/m³.",
        &["kg/m3", "kg/l"],
        "600",
        "1100",
    )
    .or("832.5 kg/m3", "diesel, the middle of EN 590"),
    input::amount(
        "capacity",
        "Capacity",
        "Of the tank.",
        &["l", "gal"],
        "1",
        "100000",
    ),
];

const PRESSURE_RESULTS: &[Output] = &[
    output::figure("static", "Pressure of the fuel itself", "kPa", 3),
    output::figure("test", "Test pressure", "kPa", 3),
    output::figure("test_psi", "The same", "psi", 3),
    output::figure("test_water", "The same as a column of water", "m", 3),
    output::figure("minutes", "Held for at least", "min", 1),
];

/// Three pounds on the square inch, in pascal.
const THREE_PSI: f64 = 3.0 * 44_482_216.152_605 / 6451.6;

fn pressure(given: &Given) -> Result<Outcome, Unreckoned> {
    const G: f64 = 9.806_65;
    let mut out = Outcome::new(PRESSURE_RESULTS);
    let fuel = given.amount("density", "kg/m3")? * G * given.amount("head", "m")?;
    let test = THREE_PSI.max(1.5 * fuel);
    let gallons = given.amount("capacity", "gal")?;
    out.say("static", fuel / 1000.0)?;
    out.say("test", test / 1000.0)?;
    out.say("test_psi", test * 3.0 / THREE_PSI)?;
    out.say("test_water", test / (1000.0 * G))?;
    out.say("minutes", 5.0 + ((gallons - 50.0) / 10.0).max(0.0))?;
    out.remark("A tank that is old or has flat sides may not bear it: use water, not air, or test at less and look at every seam. The maker's own limit comes first.");
    Ok(out)
}

/// The pressure of a leak test.
pub static PRESSURE: Reckoning = Reckoning {
    name: "tank-test",
    title: "Pressure of a tank's leak test",
    purpose: "At which pressure a fuel tank's system is tested for leaks, and for how long.",
    topic: Topic::Tank,
    revision: 1,
    inputs: PRESSURE_INPUTS,
    results: PRESSURE_RESULTS,
    formula: "
p = the larger of 3 psi and 1.5 ρ g h
held 5 minutes, and 1 minute more for each 10 US gallons above 50",
    sources: &[
        published(
            "33 CFR 183.542: three pounds on the square inch or one and a half times the static head, whichever is greater",
            "33cfr183",
        ),
        common_practice("five minutes and more for large tanks, as laboratories hold it"),
        definition("standard gravity 9.80665 m/s²; NIST SP 811 for the pound and the inch"),
    ],
    limits: &[
        "Petrol systems of boats under that rule; other countries have their own.",
        "Whether an old tank bears it.",
    ],
    cautions: &[&FUEL_TANK, &CONFINED],
    reckon: pressure,
    begin: None,
    checks: &[
        Check {
            case: "a low tank: three pounds",
            inputs: r#"{"head": "0.8 m", "capacity": "120 l"}"#,
            expect: &[
                near("test_psi", 3.0, 0.001),
                near("test", 20.684, 0.001),
                near("test_water", 2.109, 0.001),
                near("minutes", 5.0, 0.05),
            ],
            mark: Mark::Published,
            source: "33 CFR 183.542",
        },
        Check {
            case: "a high fill: half more than the static head",
            inputs: r#"{"head": "3 m", "density": "1000 kg/m3", "capacity": "60 gal"}"#,
            expect: &[
                near("static", 29.42, 0.001),
                near("test", 44.13, 0.001),
                near("minutes", 6.0, 0.05),
            ],
            mark: Mark::Worked,
            source: "1.5 ρ g h",
        },
    ],
};
