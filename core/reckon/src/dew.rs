//! The dew point, and whether a surface is dry enough to coat.

use crate::caution::SOLVENT;
use crate::check::{Check, near, word};
use crate::input::{self, Input};
use crate::number::ln;
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

/// How many degrees warmer than the dew point a surface must be.
const MARGIN_K: f64 = 3.0;

/// Dew point of air over water, °C.
///
/// ```text
/// γ = ln(RH/100) + 17.62 T/(243.12 + T)
/// Td = 243.12 γ/(17.62 − γ)
/// ```
///
/// # Units
///
/// - `t` (T): air, °C, −45 to 60
/// - `rh` (RH): relative humidity, per cent, above 0
/// - returns: °C; below zero it is the dew point over water, not the frost point
///
/// # Errors
///
/// None: the ranges are those of the inputs.
///
/// # Source
///
/// WMO-No. 8, *Guide to Instruments and Methods of Observation*, Annex 4.B; see `docs/sources/wmo8.md`.
#[must_use]
pub fn dew_point(t: f64, rh: f64) -> f64 {
    let gamma = ln(rh / 100.0) + 17.62 * t / (243.12 + t);
    243.12 * gamma / (17.62 - gamma)
}

const DEW_POINT_INPUTS: &[Input] = &[
    input::amount("air", "Air", "Where the work is.", &["C", "F"], "-40", "60"),
    input::amount(
        "humidity",
        "Relative humidity",
        "There.",
        &["%"],
        "1",
        "100",
    ),
    input::amount(
        "surface",
        "Surface",
        "Measured on it, not in the air.",
        &["C", "F"],
        "-40",
        "80",
    )
    .optional(),
];

const DEW_POINT_RESULTS: &[Output] = &[
    output::verdict(
        "verdict",
        "Surface",
        &[
            (
                "cold",
                "too cold, not 3 K above the dew point: warm it, or wait",
            ),
            (
                "damp",
                "warm enough, but the air is above 85 per cent: most coatings want drier air",
            ),
            ("dry", "warm and dry enough, as far as the dew point goes"),
        ],
    )
    .sometimes(),
    output::figure("dew_point", "Dew point", "C", 2),
    output::figure("margin", "Surface above it by", "K", 2).sometimes(),
];

/// The dew point.
pub static DEW_POINT: Reckoning = Reckoning {
    name: "dew-point",
    title: "Dew point",
    purpose: "At which temperature the air’s water settles, and whether a surface is far enough above it to be coated.",
    topic: Topic::Coating,
    revision: 1,
    inputs: DEW_POINT_INPUTS,
    results: DEW_POINT_RESULTS,
    formula: "
γ = ln(RH/100) + 17.62 T/(243.12 + T)
Td = 243.12 γ/(17.62 − γ)
coat when the surface is at least 3 K above Td and RH at most 85 %",
    sources: &[
        published("WMO-No. 8, Magnus formula over water", "wmo8"),
        common_practice(
            "the margin of 3 K, which public pages quote from ISO 8502-4; the standard was not read",
        ),
        common_practice("relative humidity at most 85 per cent"),
    ],
    limits: &[
        "Over water, also below freezing, where frost settles a little earlier.",
        "Some coatings want dry air or take damp: the data sheet decides.",
        "A surface may cool after you measured it: under a clear evening sky it does.",
    ],
    cautions: &[&SOLVENT],
    reckon: dew,
    begin: None,
    checks: &[
        Check {
            case: "WMO-No. 8 (1)",
            inputs: r#"{"air":"5 C","humidity":"80 %"}"#,
            expect: &[near("dew_point", 1.83, 0.015)],
            mark: Mark::Published,
            source: "WMO-No. 8; psychrolib agrees within 0.05",
        },
        Check {
            case: "WMO-No. 8 (2)",
            inputs: r#"{"air":"15 C","humidity":"60 %"}"#,
            expect: &[near("dew_point", 7.29, 0.015)],
            mark: Mark::Published,
            source: "WMO-No. 8; psychrolib agrees within 0.05",
        },
        Check {
            case: "WMO-No. 8 (3)",
            inputs: r#"{"air":"20 C","humidity":"50 %"}"#,
            expect: &[near("dew_point", 9.26, 0.015)],
            mark: Mark::Published,
            source: "WMO-No. 8; psychrolib agrees within 0.05",
        },
        Check {
            case: "WMO-No. 8 (4)",
            inputs: r#"{"air":"30 C","humidity":"90 %"}"#,
            expect: &[near("dew_point", 28.18, 0.015)],
            mark: Mark::Published,
            source: "WMO-No. 8; psychrolib agrees within 0.05",
        },
        Check {
            case: "published worked example: not suitable (5)",
            inputs: r#"{"air":"16 C","humidity":"71 %","surface":"13 C"}"#,
            expect: &[
                near("dew_point", 10.74, 0.015),
                near("margin", 2.26, 0.015),
                word("verdict", "cold"),
            ],
            mark: Mark::CommonPractice,
            source: "published worked example: not suitable",
        },
        Check {
            case: "published worked example: about 20 °C (6)",
            inputs: r#"{"air":"30 C","humidity":"55 %"}"#,
            expect: &[near("dew_point", 19.97, 0.015)],
            mark: Mark::CommonPractice,
            source: "published worked example: about 20 °C",
        },
        Check {
            case: "published chart: 57 °F (7)",
            inputs: r#"{"air":"70 F","humidity":"65 %"}"#,
            expect: &[near("dew_point", 14.27, 0.6)],
            mark: Mark::CommonPractice,
            source: "published chart: 57 °F",
        },
        Check {
            case: "published chart: 40 °F (8)",
            inputs: r#"{"air":"50 F","humidity":"70 %"}"#,
            expect: &[near("dew_point", 4.78, 0.6)],
            mark: Mark::CommonPractice,
            source: "published chart: 40 °F",
        },
        Check {
            case: "WMO-No. 8, worked by hand (9)",
            inputs: r#"{"air":"15 C","humidity":"80 %","surface":"12 C"}"#,
            expect: &[near("margin", 0.42, 0.015)],
            mark: Mark::Published,
            source: "WMO-No. 8, worked by hand",
        },
        Check {
            case: "WMO-No. 8, worked by hand (10)",
            inputs: r#"{"air":"20 C","humidity":"70 %","surface":"18 C"}"#,
            expect: &[near("margin", 3.64, 0.015), word("verdict", "dry")],
            mark: Mark::Published,
            source: "WMO-No. 8, worked by hand",
        },
    ],
};

fn dew(given: &Given) -> Result<Outcome, Unreckoned> {
    let (t, rh) = (given.amount("air", "C")?, given.amount("humidity", "%")?);
    let td = dew_point(t, rh);
    let mut out = Outcome::new(DEW_POINT_RESULTS);
    out.say("dew_point", td)?;
    if let Some(surface) = given.amount_if("surface", "C")? {
        let margin = surface - td;
        out.say("margin", margin)?;
        out.answers.verdict(
            "verdict",
            if margin < MARGIN_K {
                "cold"
            } else if rh > 85.0 {
                "damp"
            } else {
                "dry"
            },
        )?;
    }
    if td < 0.0 {
        out.remark(
            "Below freezing frost settles instead of dew, up to 3 °C earlier than this says.",
        );
    }
    Ok(out)
}
