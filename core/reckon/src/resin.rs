//! Resin and hardener: what to weigh, how long it stays workable, how large a batch may be.

use crate::caution::{EXOTHERM, RESIN, SOLVENT};
use crate::check::{Check, near};
use crate::input::{self, Input};
use crate::number::{pow, whole_up};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition, memory};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const MASS: &[&str] = &["g", "kg", "oz", "lb"];

const BATCH_INPUTS: &[Input] = &[
    input::choice(
        "by",
        "The ratio is by",
        "What the label says: measured in cups or on a scale.",
        &[("volume", "volume"), ("weight", "weight")],
    ),
    input::number(
        "ratio",
        "Parts of resin to one of hardener",
        "2 for two to one.",
        "0.5",
        "100",
    ),
    input::amount(
        "resin_density",
        "Density of the resin",
        "As it comes, from the data sheet.",
        &["g/cm3", "kg/m3"],
        "0.8",
        "2",
    )
    .or("1.15 g/cm3", "from memory, typical of epoxy"),
    input::amount(
        "hardener_density",
        "Density of the hardener",
        "From the data sheet.",
        &["g/cm3", "kg/m3"],
        "0.8",
        "2",
    )
    .or("0.97 g/cm3", "from memory, typical of amines"),
    input::amount(
        "batch",
        "Batch",
        "Resin and hardener together.",
        MASS,
        "1",
        "1000000",
    ),
    input::amount(
        "resin_used",
        "Resin that was weighed",
        "To see how wrong a batch was.",
        MASS,
        "0.1",
        "1000000",
    )
    .optional(),
    input::amount(
        "hardener_used",
        "Hardener that was weighed",
        "To see how wrong a batch was.",
        MASS,
        "0.1",
        "1000000",
    )
    .optional(),
];

const BATCH_RESULTS: &[Output] = &[
    output::verdict("verdict", "The batch that was weighed", &[
        ("within", "was within 5 per cent of the ratio"),
        ("off", "was more than 5 per cent off and may never cure through: ask the maker before anything goes over it"),
    ]).sometimes(),
    output::figure("resin", "Resin", "g", 1),
    output::figure("hardener", "Hardener", "g", 1),
    output::figure("weight_ratio", "Ratio by weight, to one", "", 3),
    output::figure("per_hundred", "Hardener to 100 of resin by weight", "", 2),
    output::figure("density", "Density of the mix", "g/cm3", 3),
    output::figure("volume", "Volume of the batch", "ml", 0),
    output::figure(
        "error",
        "Hardener too much (or, below zero, too little)",
        "%",
        2,
    )
    .sometimes(),
];

/// What to weigh.
pub static BATCH: Reckoning = Reckoning {
    name: "resin-batch",
    title: "Resin and hardener",
    purpose: "How much resin and hardener make a batch, by weight, from the ratio on the label; and how wrong a batch was.",
    topic: Topic::Resin,
    revision: 1,
    inputs: BATCH_INPUTS,
    results: BATCH_RESULTS,
    formula: "
mass ratio = V ρa/ρb   (V parts of resin to one by volume)
hardener = batch / (1 + mass ratio)",
    sources: &[
        definition("masses from volumes and densities; volumes are taken to add"),
        common_practice("within 5 per cent of the label’s ratio"),
    ],
    limits: &[
        "Epoxy and other two-part resins with a fixed ratio.",
        "Polyester takes 1 to 3 per cent of peroxide by mass, as its data sheet says for the temperature.",
    ],
    cautions: &[&RESIN, &EXOTHERM, &SOLVENT],
    reckon: batch,
    begin: None,
    checks: &[
        Check {
            case: "2:1 by volume, worked by hand (1)",
            inputs: r#"{"by":"volume","ratio":2,"resin_density":"1.15 g/cm3","hardener_density":"0.98 g/cm3","batch":"600 g","resin_used":"400 g","hardener_used":"200 g"}"#,
            expect: &[
                near("resin", 420.7317, 0.05),
                near("hardener", 179.2683, 0.05),
                near("weight_ratio", 2.346_939, 0.0005),
                near("per_hundred", 42.609, 0.005),
                near("density", 1.093_333, 0.0005),
                near("error", 17.35, 0.01),
            ],
            mark: Mark::Worked,
            source: "2:1 by volume, worked by hand",
        },
        Check {
            case: "5:1 by volume, worked by hand (2)",
            inputs: r#"{"by":"volume","ratio":5,"resin_density":"1.15 g/cm3","hardener_density":"0.96 g/cm3","batch":"100 g"}"#,
            expect: &[
                near("weight_ratio", 5.989_583, 0.0006),
                near("per_hundred", 16.696, 0.005),
                near("density", 1.118_333, 0.0005),
            ],
            mark: Mark::Worked,
            source: "5:1 by volume, worked by hand",
        },
    ],
};

fn batch(given: &Given) -> Result<Outcome, Unreckoned> {
    let (rho_a, rho_b) = (
        given.amount("resin_density", "g/cm3")?,
        given.amount("hardener_density", "g/cm3")?,
    );
    let ratio = given.number("ratio")?;
    let by_weight = if given.choice("by")? == "volume" {
        ratio * rho_a / rho_b
    } else {
        ratio
    };
    let whole = given.amount("batch", "g")?;
    let hardener = whole / (1.0 + by_weight);
    let resin = whole - hardener;
    let volume = resin / rho_a + hardener / rho_b;
    let mut out = Outcome::new(BATCH_RESULTS);
    out.say("resin", resin)?;
    out.say("hardener", hardener)?;
    out.say("weight_ratio", by_weight)?;
    out.say("per_hundred", 100.0 / by_weight)?;
    out.say("density", whole / volume)?;
    out.say("volume", volume)?;
    match (
        given.amount_if("resin_used", "g")?,
        given.amount_if("hardener_used", "g")?,
    ) {
        (Some(resin), Some(hardener)) => {
            let error = (hardener * by_weight / resin - 1.0) * 100.0;
            out.say("error", error)?;
            if error.abs() <= 5.0 {
                out.answers.verdict("verdict", "within")?;
            } else {
                out.answers.verdict("verdict", "off")?;
            }
            if given.choice("by")? == "volume" && (resin / hardener - ratio).abs() < 0.02 * ratio {
                out.remark(
                    "The scale shows the ratio by volume: weighed, that is too much hardener.",
                );
            }
        }
        (None, None) => {}
        _ => {
            return Err(Unreckoned::impossible(
                "hardener_used",
                "to see how wrong a batch was, both weights are needed",
                "give the resin and the hardener that were weighed, or neither",
            ));
        }
    }
    Ok(out)
}

const POT_LIFE_INPUTS: &[Input] = &[
    input::amount(
        "pot_life",
        "Pot life on the data sheet",
        "For the mass in a cup that the sheet names.",
        &["min", "h"],
        "1",
        "1440",
    ),
    input::amount(
        "at",
        "at a temperature of",
        "That the sheet names.",
        &["C", "F"],
        "5",
        "40",
    )
    .or("25 C", "what most data sheets name"),
    input::amount(
        "temperature",
        "Temperature of the work",
        "Of the resin and the surface.",
        &["C", "F"],
        "10",
        "35",
    ),
    input::number(
        "rate",
        "How fast it is worked in",
        "Grams of mix a minute that a hand lays.",
        "1",
        "1000",
    )
    .optional(),
    input::amount(
        "usable",
        "Share of the pot life that is used",
        "The rest is for walking and for being late.",
        &["%"],
        "10",
        "100",
    )
    .or("60 %", "common practice"),
    input::amount(
        "job",
        "Mix for the whole job",
        "To see how many batches it takes.",
        MASS,
        "1",
        "1000000",
    )
    .optional(),
    input::amount(
        "cured_for",
        "Hours it has lain",
        "At the temperature of the work, to see what that is worth at the sheet’s.",
        &["h", "min", "d"],
        "0",
        "10000",
    )
    .optional(),
];

const POT_LIFE_RESULTS: &[Output] = &[
    output::figure("pot_life", "Pot life", "min", 1),
    output::figure("batch", "Largest batch", "g", 0).sometimes(),
    output::figure("batches", "Batches", "pcs", 0).sometimes(),
    output::figure("each", "Each of", "g", 0).sometimes(),
    output::figure(
        "worth",
        "Its curing is worth, at the sheet’s temperature",
        "h",
        2,
    )
    .sometimes(),
];

/// How long a batch stays workable.
pub static POT_LIFE: Reckoning = Reckoning {
    name: "pot-life",
    title: "Pot life and size of a batch",
    purpose: "How long a batch stays workable at a temperature, how large one may be, and into how many the job falls.",
    topic: Topic::Resin,
    revision: 1,
    inputs: POT_LIFE_INPUTS,
    results: POT_LIFE_RESULTS,
    formula: "
p(T) = p0 · 2^((T0 − T)/10 K)
batch = rate · usable share · p(T)
worth = t · 2^((T − T0)/10 K)",
    sources: &[
        common_practice("halved for each 10 °C (18 °F) that it is warmer"),
        memory("hours of curing at different temperatures add like that"),
    ],
    limits: &[
        "From 10 to 35 °C, for the same mass in the same cup.",
        "There is no sound formula for mass: more in a cup, or an insulated one, goes off sooner and can run away; in a tray it lasts longer.",
        "Thin films gain only a little.",
    ],
    cautions: &[&RESIN, &EXOTHERM, &SOLVENT],
    reckon: pot_life,
    begin: None,
    checks: &[
        Check {
            case: "the size of each batch",
            inputs: r#"{"pot_life": "30 min", "at": "25 C", "temperature": "25 C", "job": "1000 g", "rate": "20", "usable": "50 %"}"#,
            expect: &[
                near("batch", 300.0, 0.5),
                near("batches", 4.0, 0.0),
                near("each", 250.0, 0.5),
            ],
            mark: Mark::Worked,
            source: "20 g/min for half of 30 min",
        },
        Check {
            case: "factor two in 10 K, worked by hand (3)",
            inputs: r#"{"pot_life":"30 min","at":"25 C","temperature":"10 C"}"#,
            expect: &[near("pot_life", 84.853, 0.05)],
            mark: Mark::CommonPractice,
            source: "factor two in 10 K, worked by hand",
        },
        Check {
            case: "factor two in 10 K, worked by hand (4)",
            inputs: r#"{"pot_life":"30 min","at":"25 C","temperature":"20 C","rate":25,"usable":"60 %"}"#,
            expect: &[near("pot_life", 42.426, 0.05), near("batch", 636.4, 0.5)],
            mark: Mark::CommonPractice,
            source: "factor two in 10 K, worked by hand",
        },
        Check {
            case: "7.7625 kg in batches of at most 600 g (5)",
            inputs: r#"{"pot_life":"30 min","at":"25 C","temperature":"35 C","job":"7762.5 g","rate":66.6667,"usable":"60 %"}"#,
            expect: &[
                near("pot_life", 15.0, 0.05),
                near("batch", 600.0, 0.5),
                near("batches", 13.0, 0.0),
            ],
            mark: Mark::Worked,
            source: "7.7625 kg in batches of at most 600 g",
        },
        Check {
            case: "equivalent age (6)",
            inputs: r#"{"pot_life":"30 min","at":"25 C","temperature":"15 C","cured_for":"8 h"}"#,
            expect: &[near("worth", 4.0, 0.005)],
            mark: Mark::Memory,
            source: "equivalent age",
        },
    ],
};

fn pot_life(given: &Given) -> Result<Outcome, Unreckoned> {
    let (p0, t0, t) = (
        given.amount("pot_life", "min")?,
        given.amount("at", "C")?,
        given.amount("temperature", "C")?,
    );
    let p = p0 * pow(2.0, (t0 - t) / 10.0);
    let mut out = Outcome::new(POT_LIFE_RESULTS);
    out.say("pot_life", p)?;
    if let Some(rate) = given.number_if("rate") {
        let batch = rate * given.amount("usable", "%")? / 100.0 * p;
        out.say("batch", batch)?;
        if let Some(job) = given.amount_if("job", "g")? {
            let n = whole_up(job / batch);
            out.say("batches", n)?;
            out.say("each", job / n)?;
            out.remark(format!(
                "Mix {n:.0} batches of {:.0} g, each worked in within {:.0} minutes.",
                job / n,
                p * given.amount("usable", "%")? / 100.0
            ));
        }
    } else if given.amount_if("job", "g")?.is_some() {
        return Err(Unreckoned::impossible(
            "rate",
            "how many batches it takes depends on how fast it is worked in",
            "give the grams a minute that a hand lays, or leave the job out",
        ));
    }
    if let Some(hours) = given.amount_if("cured_for", "h")? {
        out.say("worth", hours * pow(2.0, (t - t0) / 10.0))?;
    }
    if p < 12.0 {
        out.remark(
            "Under twelve minutes: take a slower hardener, or work in the cool of the morning.",
        );
    }
    Ok(out)
}
