//! Wood and the water in it.

use crate::caution::{METER, STRUCTURE};
use crate::check::{Check, near};
use crate::input::{self, Input};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

/// Moisture that wood comes to in air, per cent of its dry mass.
///
/// ```text
/// M = (1800/W) [ KH/(1 − KH) + (K1KH + 2 K1K2 K²H²)/(1 + K1KH + K1K2 K²H²) ]
/// ```
///
/// # Units
///
/// - `t` (T): °C
/// - `rh`: relative humidity, per cent (H = RH/100)
/// - returns: per cent
///
/// # Errors
///
/// None: the ranges are those of the inputs.
///
/// # Source
///
/// *Wood Handbook*, FPL-GTR-190, chapter 4, eq. 4-5 (Hailwood and Horrobin); every cell of Table 4-2 from 30 to 120 °F is met to
/// 0.07; see `docs/sources/wood-handbook.md`.
#[must_use]
pub fn equilibrium(t: f64, rh: f64) -> f64 {
    let f = t * 1.8 + 32.0;
    let h = rh / 100.0;
    let w = 330.0 + 0.452 * f + 0.004_15 * f * f;
    let k = 0.791 + 4.63e-4 * f - 8.44e-7 * f * f;
    let k1 = 6.34 + 7.75e-4 * f - 9.35e-5 * f * f;
    let k2 = 1.09 + 2.84e-2 * f - 9.04e-5 * f * f;
    let kh = k * h;
    let (a, b) = (k1 * kh, k1 * k2 * kh * kh);
    1800.0 / w * (kh / (1.0 - kh) + (a + 2.0 * b) / (1.0 + a + b))
}

/// The humidity at which wood comes to a moisture, per cent; none when no air does that.
fn humidity_for(t: f64, moisture: f64) -> Option<f64> {
    let (mut low, mut high) = (0.0, 99.0);
    if equilibrium(t, high) < moisture {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if equilibrium(t, middle) < moisture {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

const EQUILIBRIUM_INPUTS: &[Input] = &[
    input::amount(
        "air",
        "Air",
        "Around the wood, for weeks.",
        &["C", "F"],
        "-1.2",
        "50",
    ),
    input::amount("humidity", "Relative humidity", "There.", &["%"], "1", "95").optional(),
    input::amount(
        "wanted",
        "Moisture that is wanted",
        "Of the dry mass.",
        &["%"],
        "2",
        "25",
    )
    .optional(),
];

const EQUILIBRIUM_RESULTS: &[Output] = &[
    output::figure("moisture", "Wood comes to", "%", 2).sometimes(),
    output::figure("humidity", "Humidity that it takes", "%", 2).sometimes(),
];

/// What wood comes to in air.
pub static EQUILIBRIUM: Reckoning = Reckoning {
    name: "wood-in-air",
    title: "Wood in this air",
    purpose: "To which moisture wood comes in air, and how dry the air must be for a moisture that is wanted.",
    topic: Topic::Moisture,
    revision: 1,
    inputs: EQUILIBRIUM_INPUTS,
    results: EQUILIBRIUM_RESULTS,
    formula: "
M = (1800/W) [KH/(1 − KH) + (K1KH + 2K1K2K²H²)/(1 + K1KH + K1K2K²H²)],  H = RH/100
W, K, K1, K2: quadratics of the temperature",
    sources: &[published(
        "Wood Handbook, FPL-GTR-190, chapter 4, Table 4-2, whole table from 30 to 120 °F",
        "wood-handbook",
    )],
    limits: &[
        "Bare wood that has had time: weeks for a board, longer for a beam or under paint.",
        "Species differ by a per cent or two; plywood comes a little lower.",
    ],
    cautions: &[&METER],
    reckon: in_air,
    begin: None,
    checks: &[
        Check {
            case: "Wood Handbook, Table 4-2 (1)",
            inputs: r#"{"air":"30 F","humidity":"30 %"}"#,
            expect: &[near("moisture", 6.3, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (2)",
            inputs: r#"{"air":"30 F","humidity":"90 %"}"#,
            expect: &[near("moisture", 21.0, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (3)",
            inputs: r#"{"air":"70 F","humidity":"50 %"}"#,
            expect: &[near("moisture", 9.2, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (4)",
            inputs: r#"{"air":"70 F","humidity":"65 %"}"#,
            expect: &[near("moisture", 12.0, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (5)",
            inputs: r#"{"air":"70 F","humidity":"80 %"}"#,
            expect: &[near("moisture", 16.0, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (6)",
            inputs: r#"{"air":"110 F","humidity":"30 %"}"#,
            expect: &[near("moisture", 5.6, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (7)",
            inputs: r#"{"air":"110 F","humidity":"65 %"}"#,
            expect: &[near("moisture", 11.0, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, Table 4-2 (8)",
            inputs: r#"{"air":"110 F","humidity":"90 %"}"#,
            expect: &[near("moisture", 19.1, 0.075)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-2",
        },
        Check {
            case: "Wood Handbook, eq. 4-5 solved (9)",
            inputs: r#"{"air":"20 C","wanted":"12 %"}"#,
            expect: &[near("humidity", 64.99, 0.05)],
            mark: Mark::Published,
            source: "Wood Handbook, eq. 4-5 solved",
        },
        Check {
            case: "Wood Handbook, eq. 4-5 solved (10)",
            inputs: r#"{"air":"20 C","wanted":"15 %"}"#,
            expect: &[near("humidity", 76.82, 0.05)],
            mark: Mark::Published,
            source: "Wood Handbook, eq. 4-5 solved",
        },
        Check {
            case: "Wood Handbook, eq. 4-5 solved (11)",
            inputs: r#"{"air":"10 C","wanted":"15 %"}"#,
            expect: &[near("humidity", 75.74, 0.05)],
            mark: Mark::Published,
            source: "Wood Handbook, eq. 4-5 solved",
        },
        Check {
            case: "Wood Handbook, eq. 4-5 solved (12)",
            inputs: r#"{"air":"25 C","wanted":"10 %"}"#,
            expect: &[near("humidity", 55.28, 0.05)],
            mark: Mark::Published,
            source: "Wood Handbook, eq. 4-5 solved",
        },
    ],
};

fn in_air(given: &Given) -> Result<Outcome, Unreckoned> {
    let t = given.amount("air", "C")?;
    let mut out = Outcome::new(EQUILIBRIUM_RESULTS);
    let (rh, wanted) = (
        given.amount_if("humidity", "%")?,
        given.amount_if("wanted", "%")?,
    );
    if rh.is_none() && wanted.is_none() {
        return Err(Unreckoned::impossible(
            "humidity",
            "nothing was asked",
            "give the humidity of the air, or the moisture that is wanted",
        ));
    }
    if let Some(rh) = rh {
        out.say("moisture", equilibrium(t, rh))?;
    }
    if let Some(wanted) = wanted {
        match humidity_for(t, wanted) {
            Some(needed) => {
                out.say("humidity", needed)?;
                if rh.is_some_and(|rh| rh > needed) {
                    out.remark(format!(
                        "In this air it never comes down to {wanted:.1} per cent: the air must be at or below {needed:.0} per cent."
                    ));
                }
            }
            None => {
                out.remark("Any air at that temperature is dry enough for it.");
            }
        }
    }
    Ok(out)
}

/// Shrinkage from green to oven-dry, per cent: radial, tangential.
const SPECIES: &[(&str, &str, [f64; 2])] = &[
    ("douglas-fir", "Douglas fir, coast", [4.8, 7.6]),
    ("white-oak", "white oak", [5.6, 10.5]),
    ("redcedar", "western redcedar", [2.4, 5.0]),
    ("yellow-birch", "yellow birch", [7.3, 9.5]),
    ("port-orford-cedar", "Port Orford cedar", [4.6, 6.9]),
    ("white-ash", "white ash", [4.9, 7.8]),
];

const SHRINKAGE_INPUTS: &[Input] = &[
    input::choice(
        "species",
        "Wood",
        "Of which the table knows.",
        &[
            ("douglas-fir", "Douglas fir, coast"),
            ("white-oak", "white oak"),
            ("redcedar", "western redcedar"),
            ("yellow-birch", "yellow birch"),
            ("port-orford-cedar", "Port Orford cedar"),
            ("white-ash", "white ash"),
        ],
    ),
    input::choice(
        "grain",
        "Across the grain",
        "Flat sawn boards move tangentially over their width, quarter sawn ones radially.",
        &[
            ("tangential", "tangential, flat sawn"),
            ("radial", "radial, quarter sawn"),
        ],
    ),
    input::amount(
        "from",
        "From a moisture of",
        "Of the dry mass.",
        &["%"],
        "0",
        "200",
    ),
    input::amount("to", "to", "Of the dry mass.", &["%"], "0", "200"),
    input::amount(
        "width",
        "Width",
        "Across the grain.",
        &["mm", "cm", "in", "ft"],
        "1",
        "5000",
    )
    .or("100 mm", "to see it on a hand’s breadth"),
];

const SHRINKAGE_RESULTS: &[Output] = &[
    output::figure("share", "Shrinks by (below zero: swells)", "%", 3),
    output::figure("change", "The width changes by", "mm", 2),
];

/// How much wood shrinks or swells.
pub static SHRINKAGE: Reckoning = Reckoning {
    name: "shrinkage",
    title: "Shrinking and swelling",
    purpose: "How much a plank changes its width between two moistures.",
    topic: Topic::Moisture,
    revision: 1,
    inputs: SHRINKAGE_INPUTS,
    results: SHRINKAGE_RESULTS,
    formula: "
ΔD/D = S0 (min(M, 30 %) − min(M1, 30 %)) / 30 %",
    sources: &[published(
        "Wood Handbook, FPL-GTR-190, Tables 4-3 and 4-4",
        "wood-handbook",
    )],
    limits: &[
        "Above 30 per cent nothing moves.",
        "A straight line between green and oven-dry; single boards differ by a fifth.",
        "Along the grain it is a fortieth of this.",
    ],
    cautions: &[&METER],
    reckon: shrinkage,
    begin: None,
    checks: &[
        Check {
            case: "Wood Handbook, Table 4-3, worked by hand (13)",
            inputs: r#"{"species":"douglas-fir","grain":"tangential","from":"40 %","to":"12 %"}"#,
            expect: &[near("share", 4.56, 0.001)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-3, worked by hand",
        },
        Check {
            case: "Wood Handbook, Table 4-3, worked by hand (14)",
            inputs: r#"{"species":"white-oak","grain":"radial","from":"30 %","to":"8 %"}"#,
            expect: &[near("share", 4.107, 0.001)],
            mark: Mark::Published,
            source: "Wood Handbook, Table 4-3, worked by hand",
        },
    ],
};

fn shrinkage(given: &Given) -> Result<Outcome, Unreckoned> {
    const SATURATION: f64 = 30.0;
    let (species, grain) = (given.choice("species")?, given.choice("grain")?);
    let s0 = SPECIES
        .iter()
        .find(|(word, ..)| *word == species)
        .map(|(.., [radial, tangential])| {
            if grain == "radial" {
                *radial
            } else {
                *tangential
            }
        })
        .unwrap_or_default();
    let (m, m1) = (given.amount("from", "%")?, given.amount("to", "%")?);
    let share = s0 * (m.min(SATURATION) - m1.min(SATURATION)) / SATURATION;
    let mut out = Outcome::new(SHRINKAGE_RESULTS);
    out.say("share", share)?;
    out.say("change", given.amount("width", "mm")? * share / 100.0)?;
    if m >= SATURATION && m1 >= SATURATION {
        out.remark("Above 30 per cent wood neither shrinks nor swells.");
    }
    Ok(out)
}

const CORE_WATER_INPUTS: &[Input] = &[
    input::amount(
        "thickness",
        "Thickness of the core",
        "Without the skins.",
        &["mm", "in", "cm"],
        "1",
        "200",
    ),
    input::amount(
        "density",
        "Density of the dry core",
        "Balsa about 150, marine plywood about 600.",
        &["kg/m3", "lb/ft3"],
        "40",
        "1200",
    ),
    input::amount(
        "moisture",
        "Moisture",
        "Of the dry mass.",
        &["%"],
        "0",
        "1000",
    )
    .optional(),
    input::amount(
        "plug_wet",
        "Plug, wet",
        "Weighed at once in a closed bag.",
        &["g", "oz", "kg"],
        "0.1",
        "10000",
    )
    .optional(),
    input::amount(
        "plug_dry",
        "Plug, dry",
        "After the oven, until it no longer gets lighter.",
        &["g", "oz", "kg"],
        "0.1",
        "10000",
    )
    .optional(),
    input::amount(
        "area",
        "Wet area",
        "To see how much is to be dried out.",
        &["m2", "ft2", "cm2", "in2"],
        "0.0001",
        "1000",
    )
    .optional(),
];

const CORE_WATER_RESULTS: &[Output] = &[
    output::verdict(
        "verdict",
        "Rot",
        &[
            (
                "soaked",
                "above fibre saturation: it rots here when it is warm enough",
            ),
            ("damp", "above 20 per cent, the usual margin against rot"),
            ("dry", "below 20 per cent, the usual margin against rot"),
        ],
    ),
    output::figure("moisture", "Moisture", "%", 1),
    output::figure("most", "Most that this wood can hold", "%", 1),
    output::figure("water", "Water", "kg/m2", 3),
    output::figure("water_total", "Water in all", "kg", 2).sometimes(),
];

/// How much water a core holds.
pub static CORE_WATER: Reckoning = Reckoning {
    name: "core-water",
    title: "Water in a core",
    purpose: "How much water a wet core holds, and what a plug says when it is weighed wet and dry.",
    topic: Topic::Moisture,
    revision: 1,
    inputs: CORE_WATER_INPUTS,
    results: CORE_WATER_RESULTS,
    formula: "
M = (wet − dry)/dry
water = thickness · density · M
most = 100 (1.54 − G)/(1.54 G),  G = dry density / 1000",
    sources: &[
        definition("moisture of wood is counted from its dry mass"),
        memory("1.54, the density of wood’s own substance: Wood Handbook, chapter 4"),
    ],
    limits: &[
        "Water only: mud, salt and rot weigh too.",
        "Foam holds water between and not in its cells.",
    ],
    cautions: &[&METER, &STRUCTURE],
    reckon: core_water,
    begin: None,
    checks: &[
        Check {
            case: "half a square metre",
            inputs: r#"{"thickness": "12.7 mm", "density": "150 kg/m3", "moisture": "300 %", "area": "0.5 m2"}"#,
            expect: &[near("water_total", 2.86, 0.005)],
            mark: Mark::Worked,
            source: "half of 5.715 kg",
        },
        Check {
            case: "worked by hand (15)",
            inputs: r#"{"thickness":"12.7 mm","density":"600 kg/m3","moisture":"80 %"}"#,
            expect: &[near("water", 6.096, 0.0006)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (16)",
            inputs: r#"{"thickness":"12.7 mm","density":"150 kg/m3","moisture":"300 %"}"#,
            expect: &[near("water", 5.715, 0.0006)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (17)",
            inputs: r#"{"thickness":"1/2 in","density":"150 kg/m3","plug_wet":"52.4 g","plug_dry":"40 g"}"#,
            expect: &[near("moisture", 31.0, 0.05)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "Wood Handbook, chapter 4 (18)",
            inputs: r#"{"thickness":"12.7 mm","density":"500 kg/m3","moisture":"30 %"}"#,
            expect: &[near("most", 135.06, 0.05)],
            mark: Mark::Memory,
            source: "Wood Handbook, chapter 4",
        },
        Check {
            case: "Wood Handbook, chapter 4 (19)",
            inputs: r#"{"thickness":"12.7 mm","density":"140 kg/m3","moisture":"30 %"}"#,
            expect: &[near("most", 649.4, 0.05)],
            mark: Mark::Memory,
            source: "Wood Handbook, chapter 4",
        },
    ],
};

fn core_water(given: &Given) -> Result<Outcome, Unreckoned> {
    let density = given.amount("density", "kg/m3")?;
    let moisture = match (
        given.amount_if("plug_wet", "g")?,
        given.amount_if("plug_dry", "g")?,
        given.amount_if("moisture", "%")?,
    ) {
        (Some(wet), Some(dry), _) if wet >= dry => (wet - dry) / dry * 100.0,
        (Some(_), Some(_), _) => {
            return Err(Unreckoned::impossible(
                "plug_dry",
                "the plug is heavier dry than wet",
                "look whether the two weights are exchanged",
            ));
        }
        (None, None, Some(moisture)) => moisture,
        _ => {
            return Err(Unreckoned::impossible(
                "moisture",
                "how wet the core is was not said",
                "give its moisture, or a plug’s weight both wet and dry",
            ));
        }
    };
    let g = density / 1000.0;
    let most = 100.0 * (1.54 - g) / (1.54 * g);
    let water = given.amount("thickness", "mm")? / 1000.0 * density * moisture / 100.0;
    let mut out = Outcome::new(CORE_WATER_RESULTS);
    out.say("moisture", moisture)?;
    out.say("most", most)?;
    out.say("water", water)?;
    if let Some(area) = given.amount_if("area", "m2")? {
        out.say("water_total", water * area)?;
    }
    if moisture > most {
        out.remark("More water than such wood can hold: look at the density, or the core has gone and left a hollow.");
    }
    out.answers.verdict(
        "verdict",
        if moisture > 30.0 {
            "soaked"
        } else if moisture > 20.0 {
            "damp"
        } else {
            "dry"
        },
    )?;
    Ok(out)
}
