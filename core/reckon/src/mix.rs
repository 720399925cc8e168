//! Thickened resin: what it yields, what it weighs, and which mixes cannot be.

use crate::caution::{DUST, EXOTHERM, RESIN};
use crate::check::{Check, near};
use crate::input::{self, Input};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition, memory};
use crate::{Given, Outcome, Reckoning, Unreckoned};

/// Fillers with their true densities, g/cm³, from memory.
const FILLERS: [(&str, f64); 4] = [
    ("silica", 2.2),
    ("glass-bubbles", 0.15),
    ("phenolic-bubbles", 0.25),
    ("wood-flour", 1.5),
];

/// The densest that balls lie by chance; beyond it there is not enough resin to fill the gaps.
const MOST_FILLER: f64 = 0.62;

const THICKENED_INPUTS: &[Input] = &[
    input::amount(
        "resin",
        "Resin with hardener",
        "What is mixed.",
        &["g", "kg", "oz", "lb"],
        "1",
        "1000000",
    ),
    input::amount(
        "resin_density",
        "Density of the mixed resin",
        "From the data sheet.",
        &["g/cm3", "kg/m3"],
        "0.9",
        "1.5",
    )
    .or("1.15 g/cm3", "from memory, typical of epoxy"),
    input::choice(
        "filler",
        "Filler",
        "What is stirred in.",
        &[
            ("silica", "colloidal silica, for glue and fillets"),
            ("glass-bubbles", "glass microballoons, for fairing"),
            ("phenolic-bubbles", "phenolic microballoons, for fairing"),
            ("wood-flour", "wood flour, for glue and fillets"),
        ],
    ),
    input::number(
        "per_hundred",
        "Filler to 100 of resin by mass",
        "Weighed, not by the loose cup.",
        "0.1",
        "200",
    ),
    input::amount(
        "filler_density",
        "True density of the filler",
        "Of the grain itself, not of the loose powder.",
        &["g/cm3", "kg/m3"],
        "0.05",
        "3",
    )
    .optional(),
];

const THICKENED_RESULTS: &[Output] = &[
    output::figure("filler", "Filler", "g", 1),
    output::figure("yield", "Volume of the mix", "ml", 0),
    output::figure("times", "Times the resin’s own volume", "", 4),
    output::figure("density", "Density of the mix", "g/cm3", 4),
    output::figure("filler_share", "Filler by volume", "%", 2),
];

/// A thickened mix.
pub static THICKENED: Reckoning = Reckoning {
    name: "thickened-mix",
    title: "Thickened resin",
    purpose: "What a mix of resin and filler yields and weighs, and whether it is possible at all.",
    topic: Topic::Resin,
    revision: 1,
    inputs: THICKENED_INPUTS,
    results: THICKENED_RESULTS,
    formula: "
Y/Vr = 1 + (p/100) ρr/ρ
ρmix = (100 + p) / (100/ρr + p/ρ)
φ = filler volume / whole volume, at most 0.62",
    sources: &[
        definition("volumes of resin and grain are taken to add"),
        memory("true densities; balls lie by chance no denser than about 0.60 to 0.64"),
        common_practice(
            "silica to bond, balloons to fair and never under fastenings or below the waterline",
        ),
    ],
    limits: &[
        "Loose filler is mostly air: a litre of loose balloons adds about a third of a litre, a litre of loose silica hardly anything.",
    ],
    cautions: &[&RESIN, &EXOTHERM, &DUST],
    reckon: thickened,
    begin: None,
    checks: &[
        Check {
            case: "worked by hand (1)",
            inputs: r#"{"resin":"1150 g","filler":"silica","per_hundred":5}"#,
            expect: &[
                near("times", 1.0261, 0.0001),
                near("density", 1.1767, 0.0001),
                near("filler_share", 2.55, 0.01),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (2)",
            inputs: r#"{"resin":"1150 g","filler":"glass-bubbles","per_hundred":20}"#,
            expect: &[
                near("times", 2.5333, 0.0001),
                near("density", 0.5447, 0.0001),
                near("filler_share", 60.53, 0.01),
                near("yield", 2533.3, 0.5),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
        Check {
            case: "worked by hand (3)",
            inputs: r#"{"resin":"1150 g","filler":"phenolic-bubbles","per_hundred":20}"#,
            expect: &[
                near("times", 1.92, 0.0001),
                near("density", 0.7188, 0.0001),
                near("filler_share", 47.92, 0.01),
            ],
            mark: Mark::Worked,
            source: "worked by hand",
        },
    ],
};

fn thickened(given: &Given) -> Result<Outcome, Unreckoned> {
    let rho_r = given.amount("resin_density", "g/cm3")?;
    let word = given.choice("filler")?;
    let usual = FILLERS
        .iter()
        .find(|(known, _)| *known == word)
        .map_or(2.2, |(_, density)| *density);
    let rho = given.amount_if("filler_density", "g/cm3")?.unwrap_or(usual);
    let p = given.number("per_hundred")?;
    let resin = given.amount("resin", "g")?;
    let times = 1.0 + p / 100.0 * rho_r / rho;
    let share = (times - 1.0) / times;
    if share > MOST_FILLER {
        let most = MOST_FILLER / (1.0 - MOST_FILLER) * 100.0 * rho / rho_r;
        return Err(Unreckoned::impossible(
            "per_hundred",
            format!(
                "{:.0} per cent of that mix would be filler, which leaves too little resin to fill the gaps: it stays dry",
                share * 100.0
            ),
            format!("take at most about {most:.0} of filler to 100 of resin by mass"),
        ));
    }
    let mut out = Outcome::new(THICKENED_RESULTS);
    out.say("filler", resin * p / 100.0)?;
    out.say("yield", resin / rho_r * times)?;
    out.say("times", times)?;
    out.say("density", (100.0 + p) / (100.0 / rho_r + p / rho))?;
    out.say("filler_share", share * 100.0)?;
    if word.ends_with("bubbles") {
        out.remark("Balloons are for fairing: never under fastenings, in structural fillets or below the waterline.");
    }
    Ok(out)
}
