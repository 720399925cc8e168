//! Coats: how much paint, how thick wet, how many coats, and when the next one may go on.

use crate::caution::{self, DUST, SOLVENT};
use crate::check::{Check, near};
use crate::input::{self, Input};
use crate::number::{exp, ln, whole_up};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const FILM: &[&str] = &["um", "mil", "mm"];

const COATING_INPUTS: &[Input] = &[
    input::amount(
        "area",
        "Area",
        "Of what is coated.",
        &["m2", "ft2"],
        "0.01",
        "10000",
    ),
    input::amount(
        "dry",
        "Dry film in all",
        "Of all coats together.",
        FILM,
        "5",
        "5000",
    ),
    input::amount(
        "solids",
        "Solids by volume",
        "From the data sheet, before thinning.",
        &["%"],
        "5",
        "100",
    ),
    input::amount(
        "most",
        "Thickest dry film of one coat",
        "From the data sheet.",
        FILM,
        "5",
        "2000",
    )
    .optional(),
    input::amount(
        "thinner",
        "Thinner",
        "Added to the paint, by volume of the paint.",
        &["%"],
        "0",
        "50",
    )
    .or("0 %", "as it comes"),
    input::amount(
        "loss",
        "Loss",
        "What stays in the tray, the roller and the wind.",
        &["%"],
        "0",
        "70",
    )
    .or("15 %", "common practice, brush and roller"),
    input::choice(
        "convention",
        "The loss is reckoned",
        "Data sheets differ.",
        &[
            ("divide", "from what is bought: litres / (1 − loss)"),
            ("multiply", "on top of what stays: litres × (1 + loss)"),
        ],
    )
    .or("divide", "the larger and safer of the two"),
];

const COATING_RESULTS: &[Output] = &[
    output::figure(
        "spreading",
        "Spreading rate of one coat, without loss",
        "",
        2,
    ),
    output::figure("coats", "Coats", "pcs", 0),
    output::figure("dry_each", "Dry film of each coat", "um", 0),
    output::figure("wet_each", "Wet film of each coat", "um", 1),
    output::figure("litres", "Paint for all coats", "l", 3),
    output::figure("thinner", "Thinner", "l", 3).sometimes(),
];

/// How much paint.
pub static COATING: Reckoning = Reckoning {
    name: "coating",
    title: "Paint and varnish",
    purpose: "How much a coating system takes, how thick each coat lies wet, and how many coats it needs.",
    topic: Topic::Coating,
    revision: 1,
    inputs: COATING_INPUTS,
    results: COATING_RESULTS,
    formula: "
spreading rate (m²/L) = 10 VS% / DFT(µm)
WFT = DFT / VS;   thinned: VS' = VS / (1 + thinner)
L = A DFT / (10 VS%) / (1 − loss)
coats = DFT / thickest coat, rounded up",
    sources: &[
        definition("one micrometre over one square metre is one millilitre"),
        common_practice(
            "losses: brush and roller 10 to 15 per cent, airless 30, spraying 50; rough ground 5 to 20 more",
        ),
    ],
    limits: &[
        "Rough or bare ground drinks more in its first coat.",
        "The data sheet’s own spreading rate and coats come first.",
    ],
    cautions: &[&SOLVENT, &caution::COATING, &DUST],
    reckon: coating,
    begin: None,
    checks: &[
        Check {
            case: "thinned by a tenth",
            inputs: r#"{"area": "10 m2", "dry": "50 um", "solids": "50 %", "thinner": "10 %", "loss": "0 %"}"#,
            expect: &[
                near("litres", 1.0, 0.0005),
                near("thinner", 0.1, 0.0005),
                near("wet_each", 110.0, 0.05),
            ],
            mark: Mark::Worked,
            source: "WFT = DFT (1 + thinner) / VS",
        },
        Check {
            case: "published spreading rates of paints (1)",
            inputs: r#"{"area":"1 m2","dry":"50 um","solids":"100 %"}"#,
            expect: &[near("spreading", 20.0, 0.005)],
            mark: Mark::CommonPractice,
            source: "published spreading rates of paints",
        },
        Check {
            case: "published worked example (2)",
            inputs: r#"{"area":"1 m2","dry":"125 um","solids":"65 %"}"#,
            expect: &[near("spreading", 5.2, 0.005)],
            mark: Mark::CommonPractice,
            source: "published worked example",
        },
        Check {
            case: "worked by hand (3)",
            inputs: r#"{"area":"1 m2","dry":"100 um","solids":"45 %"}"#,
            expect: &[
                near("spreading", 4.5, 0.005),
                near("wet_each", 222.22, 0.05),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (4)",
            inputs: r#"{"area":"20 m2","dry":"250 um","solids":"60 %","loss":"15 %","most":"80 um"}"#,
            expect: &[near("litres", 9.8039, 0.0006), near("coats", 4.0, 0.0)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (5)",
            inputs: r#"{"area":"20 m2","dry":"250 um","solids":"60 %","loss":"15 %","convention":"multiply"}"#,
            expect: &[near("litres", 9.5833, 0.0006)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "two coats of finish on a cabin top (6)",
            inputs: r#"{"area":"14 m2","dry":"100 um","solids":"45 %","loss":"20 %","most":"50 um"}"#,
            expect: &[near("litres", 3.889, 0.0006), near("coats", 2.0, 0.0)],
            mark: Mark::CommonPractice,
            source: "two coats of finish on a cabin top",
        },
        Check {
            case: "antifouling of a bottom (7)",
            inputs: r#"{"area":"22 m2","dry":"100 um","solids":"55 %","loss":"15 %"}"#,
            expect: &[near("litres", 4.706, 0.0006)],
            mark: Mark::CommonPractice,
            source: "antifouling of a bottom",
        },
        Check {
            case: "two coats of epoxy primer on a side deck",
            inputs: r#"{"area":"6 m2","dry":"200 um","solids":"60 %","most":"100 um"}"#,
            expect: &[
                near("litres", 2.353, 0.0006),
                near("coats", 2.0, 0.0),
                near("wet_each", 166.7, 0.05),
            ],
            mark: Mark::CommonPractice,
            source: "two coats of two-part epoxy primer before the finish; volumes worked by hand",
        },
        Check {
            case: "two coats of finish before the non-skid",
            inputs: r#"{"area":"6 m2","dry":"100 um","solids":"45 %","most":"50 um"}"#,
            expect: &[
                near("litres", 1.569, 0.0006),
                near("coats", 2.0, 0.0),
                near("wet_each", 111.1, 0.05),
            ],
            mark: Mark::CommonPractice,
            source: "two coats of finish before the non-skid; volumes worked by hand",
        },
        Check {
            case: "two coats of clear epoxy, wet-sanded between",
            inputs: r#"{"area":"3 m2","dry":"200 um","solids":"100 %","most":"100 um"}"#,
            expect: &[
                near("litres", 0.706, 0.0006),
                near("coats", 2.0, 0.0),
                near("wet_each", 100.0, 0.05),
            ],
            mark: Mark::CommonPractice,
            source: "two coats of clear epoxy under varnish; volumes worked by hand",
        },
        Check {
            case: "four coats of varnish",
            inputs: r#"{"area":"3 m2","dry":"120 um","solids":"45 %","most":"30 um"}"#,
            expect: &[
                near("litres", 0.941, 0.0006),
                near("coats", 4.0, 0.0),
                near("wet_each", 66.7, 0.05),
            ],
            mark: Mark::CommonPractice,
            source: "four coats of varnish over clear epoxy; volumes worked by hand",
        },
        Check {
            case: "worked by hand (8)",
            inputs: r#"{"area":"1 m2","dry":"375 um","solids":"60 %","most":"125 um"}"#,
            expect: &[near("coats", 3.0, 0.0)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (9)",
            inputs: r#"{"area":"1 m2","dry":"120 um","solids":"60 %","most":"50 um"}"#,
            expect: &[near("coats", 3.0, 0.0)],
            mark: Mark::Worked,
            source: "worked by hand",
        },
    ],
};

fn coating(given: &Given) -> Result<Outcome, Unreckoned> {
    let (area, dft, vs) = (
        given.amount("area", "m2")?,
        given.amount("dry", "um")?,
        given.amount("solids", "%")?,
    );
    let most = given.amount_if("most", "um")?.unwrap_or(dft);
    let coats = whole_up(dft / most).max(1.0);
    let each = dft / coats;
    let thinner = given.amount("thinner", "%")? / 100.0;
    let loss = given.amount("loss", "%")? / 100.0;
    let bare = area * dft / (10.0 * vs);
    let litres = if given.choice("convention")? == "multiply" {
        bare * (1.0 + loss)
    } else {
        bare / (1.0 - loss)
    };
    let mut out = Outcome::new(COATING_RESULTS);
    out.say("spreading", 10.0 * vs / each)?;
    out.say("coats", coats)?;
    out.say("dry_each", each)?;
    out.say("wet_each", each / (vs / 100.0 / (1.0 + thinner)))?;
    out.say("litres", litres)?;
    out.need("Paint", "", litres, "l", 2)?;
    if thinner > 0.0 {
        out.say("thinner", litres * thinner)?;
        out.need("Thinner", "", litres * thinner, "l", 2)?;
    }
    if given.amount_if("most", "um")?.is_none() {
        out.remark(
            "Without the thickest coat of the data sheet all of it is reckoned as one coat.",
        );
    }
    Ok(out)
}

static LABEL: [Input; 3] = [
    input::amount(
        "at",
        "At",
        "A temperature on the data sheet.",
        &["C", "F"],
        "-10",
        "60",
    ),
    input::amount(
        "earliest",
        "Earliest",
        "The shortest time to the next coat.",
        &["h", "min", "d"],
        "0.01",
        "10000",
    ),
    input::amount(
        "latest",
        "Latest",
        "The longest time without sanding; blank where there is none.",
        &["h", "min", "d"],
        "0.01",
        "100000",
    )
    .optional(),
];

const RECOAT_INPUTS: &[Input] = &[
    input::amount(
        "temperature",
        "Temperature",
        "Of the surface, all the time.",
        &["C", "F"],
        "-10",
        "60",
    ),
    input::rows(
        "label",
        "On the data sheet",
        "The times at each temperature that it names.",
        &LABEL,
        2,
        6,
    ),
];

const RECOAT_RESULTS: &[Output] = &[
    output::figure("earliest", "Not before", "h", 3),
    output::figure("latest", "Not after, without sanding", "h", 3).sometimes(),
    output::figure("earliest_curve", "Earliest by the curve", "h", 3),
];

/// When the next coat may go on.
pub static RECOAT: Reckoning = Reckoning {
    name: "recoat",
    title: "Recoat window",
    purpose: "When the next coat may go on, and when it must, at a temperature between those on the data sheet.",
    topic: Topic::Coating,
    revision: 1,
    inputs: RECOAT_INPUTS,
    results: RECOAT_RESULTS,
    formula: "
curve: ln(t) on a straight line over the temperature
earliest: the larger of the curve and the straight line
latest: the smaller of the curve and the straight line",
    sources: &[common_practice(
        "curing about follows an exponential; each side is taken on its safe side",
    )],
    limits: &[
        "Only between the temperatures that the data sheet names.",
        "Damp, wind and thick coats change it; thick cold coats stay soft inside.",
    ],
    cautions: &[&SOLVENT],
    reckon: recoat,
    begin: None,
    checks: &[
        Check {
            case: "worked by hand (10)",
            inputs: r#"{"temperature":"15 C","label":[{"at":"10 C","earliest":"12 h","latest":"12 h"},{"at":"20 C","earliest":"6 h","latest":"6 h"},{"at":"30 C","earliest":"3 h","latest":"3 h"}]}"#,
            expect: &[
                near("earliest_curve", 8.485, 0.001),
                near("earliest", 9.0, 0.001),
                near("latest", 8.485, 0.001),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (11)",
            inputs: r#"{"temperature":"25 C","label":[{"at":"10 C","earliest":"12 h","latest":"12 h"},{"at":"20 C","earliest":"6 h","latest":"6 h"},{"at":"30 C","earliest":"3 h","latest":"3 h"}]}"#,
            expect: &[
                near("earliest_curve", 4.243, 0.001),
                near("earliest", 4.5, 0.001),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (12)",
            inputs: r#"{"temperature":"12 C","label":[{"at":"30 C","earliest":"3 h"},{"at":"10 C","earliest":"12 h"},{"at":"20 C","earliest":"6 h"}]}"#,
            expect: &[
                near("earliest_curve", 10.447, 0.001),
                near("earliest", 10.8, 0.001),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
    ],
};

fn recoat(given: &Given) -> Result<Outcome, Unreckoned> {
    let t = given.amount("temperature", "C")?;
    let mut rows = Vec::new();
    for row in given.rows("label") {
        rows.push((
            row.amount("at", "C")?,
            row.amount("earliest", "h")?,
            row.amount_if("latest", "h")?,
        ));
    }
    rows.sort_by(|one, other| one.0.total_cmp(&other.0));
    for (one, other) in rows.iter().zip(rows.iter().skip(1)) {
        if other.0 - one.0 < 0.5 {
            return Err(Unreckoned::impossible(
                "label",
                "two rows of the data sheet are at the same temperature",
                "leave one of them out",
            ));
        }
        if other.1 > one.1 {
            return Err(Unreckoned::impossible(
                "label",
                "the data sheet’s earliest times grow with the temperature",
                "look whether two rows are exchanged",
            ));
        }
    }
    for (at, earliest, latest) in &rows {
        if latest.is_some_and(|latest| latest < *earliest) {
            return Err(Unreckoned::impossible(
                "label",
                format!("at {at:.1} °C the latest time is before the earliest"),
                "look whether the two are exchanged",
            ));
        }
    }
    let between = rows
        .iter()
        .zip(rows.iter().skip(1))
        .find(|(one, other)| one.0 - 1e-9 <= t && t <= other.0 + 1e-9);
    let Some((one, other)) = between else {
        let span: Vec<String> = [rows.first(), rows.last()]
            .into_iter()
            .flatten()
            .map(|row| format!("{:.1}", row.0))
            .collect();
        return Err(Unreckoned::impossible(
            "temperature",
            format!(
                "the data sheet names times from {} °C, and says nothing for {t:.1} °C",
                span.join(" to ")
            ),
            "wait for another temperature, or ask the maker",
        ));
    };
    let share = (t - one.0) / (other.0 - one.0);
    let line = |a: f64, b: f64| a + (b - a) * share;
    let curve = |a: f64, b: f64| exp(line(ln(a), ln(b)));
    let mut out = Outcome::new(RECOAT_RESULTS);
    out.say("earliest", line(one.1, other.1).max(curve(one.1, other.1)))?;
    out.say("earliest_curve", curve(one.1, other.1))?;
    if let (Some(a), Some(b)) = (one.2, other.2) {
        out.say("latest", line(a, b).min(curve(a, b)))?;
        out.remark("Past the latest time sand it first; then it is no mistake, only work.");
    }
    Ok(out)
}
