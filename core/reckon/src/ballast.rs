//! Ballast and weights: bags of concrete, what comes out wet, and what moved weights do to trim, list and the centre of gravity.

use crate::caution::{BALLAST, CEMENT, DUST, LIFTING, STANDS};
use crate::check::{Check, near, refused, word};
use crate::input::{self, Input};
use crate::number::{atan, degrees, whole_up};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, Source, common_practice, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

/// What 80 lb and 60 lb bags of dry mix yield, in litres: 0.60 and 0.45 ft³.
const YIELDS: [(&str, f64, f64); 3] = [
    ("80-lb", 36.287_389_6, 0.60 * 28.316_846_592),
    ("60-lb", 27.215_542_2, 0.45 * 28.316_846_592),
    ("40-lb", 18.143_694_8, 0.30 * 28.316_846_592),
];

const MASS: &[&str] = &["kg", "lb", "t"];
const LENGTHS: &[&str] = &["m", "mm", "cm", "ft", "in"];

const CONCRETE_INPUTS: &[Input] = &[
    input::amount(
        "volume",
        "Volume to be filled",
        "Measured, or by water poured in. Leave it out if you give bags or a mass of dry mix.",
        &["l", "m3", "ft3", "gal"],
        "0.1",
        "20000",
    )
    .optional(),
    input::amount(
        "dry_mix",
        "Dry mix at hand",
        "To see what it fills: the mass of all bags together.",
        MASS,
        "1",
        "50000",
    )
    .optional(),
    input::choice(
        "bag",
        "Bag",
        "As it is sold.",
        &[
            ("80-lb", "80 lb (36.3 kg)"),
            ("60-lb", "60 lb (27.2 kg)"),
            ("40-lb", "40 lb (18.1 kg)"),
        ],
    )
    .or("80-lb", "the usual size"),
    input::amount(
        "waste",
        "Added for waste",
        "What stays in the tub and on the tools.",
        &["%"],
        "0",
        "50",
    )
    .or("10 %", "common practice"),
    input::amount(
        "density",
        "Density in place",
        "Normal concrete about 2300 to 2400 kg/m³.",
        &["kg/m3", "lb/ft3"],
        "500",
        "8000",
    )
    .or("2300 kg/m3", "normal concrete, from memory of handbooks"),
    input::amount(
        "metal_share",
        "Steel scrap in it, by volume",
        "Punchings or scrap poured in to make it heavier.",
        &["%"],
        "0",
        "60",
    )
    .or("0 %", "plain concrete"),
    input::amount(
        "replaced",
        "Mass of what it replaces",
        "Weighed wet, as it came out.",
        MASS,
        "0",
        "50000",
    )
    .optional(),
];

const CONCRETE_RESULTS: &[Output] = &[
    output::figure("volume", "Volume in place", "l", 1),
    output::figure("bags", "Bags", "pcs", 0),
    output::figure("dry_mix", "Dry mix", "kg", 1),
    output::figure("mass", "Mass in place", "kg", 1),
    output::figure("heavier", "Heavier than what it replaces", "kg", 1).sometimes(),
];

fn concrete(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(CONCRETE_RESULTS);
    let bag = given.choice("bag")?;
    let (_, bag_kg, bag_l) = YIELDS
        .into_iter()
        .find(|(known, ..)| *known == bag)
        .unwrap_or(YIELDS[0]);
    let metal = given.amount("metal_share", "%")? / 100.0;
    let density = given.amount("density", "kg/m3")?;
    let (volume, bags, dry) = match (
        given.amount_if("volume", "l")?,
        given.amount_if("dry_mix", "kg")?,
    ) {
        (Some(volume), None) => {
            let poured = volume * (1.0 - metal) * (1.0 + given.amount("waste", "%")? / 100.0);
            let bags = whole_up(poured / bag_l);
            (volume, bags, bags * bag_kg)
        }
        (None, Some(dry)) => {
            let poured = dry / bag_kg * bag_l;
            (poured / (1.0 - metal), whole_up(dry / bag_kg), dry)
        }
        (None, None) => {
            return Err(Unreckoned::Missing {
                input: "volume".to_owned(),
                help: "give the volume to be filled, or the dry mix at hand".to_owned(),
            });
        }
        (Some(_), Some(_)) => {
            return Err(Unreckoned::impossible(
                "dry_mix",
                "the volume and the dry mix are both given",
                "give one of them",
            ));
        }
    };
    let in_place = metal * 7850.0 + (1.0 - metal) * density;
    let mass = volume / 1000.0 * in_place;
    out.say("volume", volume)?;
    out.say("bags", bags)?;
    out.say("dry_mix", dry)?;
    out.say("mass", mass)?;
    if let Some(replaced) = given.amount_if("replaced", "kg")? {
        out.say("heavier", mass - replaced)?;
        if mass < replaced * 0.95 {
            out.remark("Lighter than what it replaces: she floats higher and is less stable. Ask a naval architect first.");
        }
    }
    if given.has("volume") {
        out.need("dry concrete mix", bag, bags, "pcs", 0)?;
    }
    Ok(out)
}

/// Bags of concrete.
pub static CONCRETE: Reckoning = Reckoning {
    name: "concrete",
    title: "Concrete ballast",
    purpose: "How many bags fill a space, or what a quantity of dry mix fills, and what it weighs in place beside what it replaces.",
    topic: Topic::Weight,
    revision: 1,
    inputs: CONCRETE_INPUTS,
    results: CONCRETE_RESULTS,
    formula: "
bags = V (1 − m) (1 + w) / v, rounded up
mass = V (7850 m + ρ (1 − m))
v: yield of a bag, 0.60 ft³ for 80 lb, 0.45 for 60, 0.30 for 40; m: share of steel by volume; w: waste",
    sources: &[
        common_practice("yields of bagged mixes as printed on the bags, made to ASTM C387; the standard was not read"),
        memory("densities of concrete and mild steel, handbook values"),
        definition("one cubic foot is 28.316846592 L"),
    ],
    limits: &[
        "How the weight is held in a knock-down, and how water gets out of the pocket.",
        "What less or higher ballast does to her stability.",
    ],
    cautions: &[&BALLAST, &STANDS, &LIFTING, &CEMENT, &DUST],
    reckon: concrete,
    begin: None,
    checks: &[
        Check { case: "0.2 m³ in 80 lb bags", inputs: r#"{"volume": "0.2 m3", "waste": "0 %"}"#, expect: &[near("bags", 12.0, 0.0), near("mass", 460.0, 0.05)], mark: Mark::Worked, source: "0.60 ft³ a bag" },
        Check { case: "0.2 m³ in 60 lb bags", inputs: r#"{"volume": "0.2 m3", "waste": "0 %", "bag": "60-lb"}"#, expect: &[near("bags", 16.0, 0.0)], mark: Mark::Worked, source: "0.45 ft³ a bag" },
        Check { case: "150 lb of dry mix for one pocket", inputs: r#"{"dry_mix": "150 lb", "replaced": "90 kg"}"#, expect: &[near("bags", 2.0, 0.0), near("volume", 31.86, 0.05), near("mass", 73.3, 0.05), near("heavier", -16.7, 0.05)], mark: Mark::CommonPractice, source: "150 lb of concrete mixed for one ballast pocket" },
        Check { case: "steel punchings, 30 % by volume", inputs: r#"{"volume": "1 m3", "metal_share": "30 %"}"#, expect: &[near("mass", 3965.0, 0.05)], mark: Mark::Worked, source: "0.3 · 7850 + 0.7 · 2300" },
        Check { case: "nothing to fill", inputs: "{}", expect: &[refused("volume")], mark: Mark::Definition, source: "no question without a quantity" },
    ],
};

const WEIGHT: &[Input] = &[
    input::words("what", "What", "In a few words.").optional(),
    input::amount(
        "mass",
        "Mass",
        "Weighed, or from its plate.",
        MASS,
        "0",
        "100000000",
    ),
    input::choice(
        "change",
        "What happens to it",
        "Weights that stay need not be listed.",
        &[("on", "comes aboard"), ("off", "goes ashore")],
    )
    .or("on", "the usual line"),
    input::amount(
        "height",
        "Its height above the keel's underside",
        "Of its own middle.",
        LENGTHS,
        "-10",
        "100",
    ),
    input::amount(
        "along",
        "Its distance forward of the flotation's middle",
        "Of its own middle; aft of it below nought.",
        LENGTHS,
        "-100",
        "100",
    )
    .or("0 m", "at the flotation's middle"),
    input::amount(
        "across",
        "Its distance to starboard of the centreline",
        "Of its own middle; to port below nought.",
        LENGTHS,
        "-20",
        "20",
    )
    .or("0 m", "on the centreline"),
];

const WEIGHTS_INPUTS: &[Input] = &[
    input::amount(
        "displacement",
        "Displacement before",
        "What she weighs as she floats.",
        MASS,
        "50",
        "100000000",
    ),
    input::amount(
        "kg",
        "Height of her centre of gravity before",
        "Above the keel's underside; from an inclining, or from her designer.",
        LENGTHS,
        "0.01",
        "50",
    ),
    input::rows(
        "weights",
        "Weights that change",
        "One line for each.",
        WEIGHT,
        1,
        100,
    ),
    input::amount(
        "waterplane",
        "Area of the waterplane",
        "With it, how much deeper or higher she floats.",
        &["m2", "ft2"],
        "0.5",
        "10000",
    )
    .optional(),
    input::amount(
        "water",
        "Density of the water",
        "Sea 1025, fresh 1000 kg/m³.",
        &["kg/m3"],
        "950",
        "1100",
    )
    .or("1025 kg/m3", "sea water"),
    input::amount(
        "gm_along",
        "Longitudinal metacentric height",
        "With the waterline's length, how she trims; from her designer.",
        LENGTHS,
        "0.5",
        "1000",
    )
    .optional(),
    input::amount(
        "waterline",
        "Length on the waterline",
        "For the trim.",
        LENGTHS,
        "1",
        "500",
    )
    .optional(),
    input::amount(
        "gm",
        "Metacentric height",
        "With it, how far she lists.",
        LENGTHS,
        "0.01",
        "20",
    )
    .optional(),
];

const WEIGHTS_RESULTS: &[Output] = &[
    output::figure("displacement", "Displacement after", "kg", 1),
    output::figure("kg", "Height of her centre of gravity after", "m", 4),
    output::figure("rise", "The centre of gravity rises by", "m", 4),
    output::figure("sinkage", "She floats deeper by", "mm", 1).sometimes(),
    output::figure("trim", "She trims by the bow by", "mm", 1).sometimes(),
    output::figure("list", "She lists to starboard by", "deg", 3).sometimes(),
    output::figure(
        "off_centre",
        "Her centre of gravity lies to starboard by",
        "m",
        4,
    ),
];

fn weights(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(WEIGHTS_RESULTS);
    let w = given.amount("displacement", "kg")?;
    let kg = given.amount("kg", "m")?;
    let (mut mass, mut vertical, mut along, mut across) = (w, w * kg, 0.0, 0.0);
    for row in given.rows("weights") {
        let sign = if row.choice("change")? == "off" {
            -1.0
        } else {
            1.0
        };
        let m = sign * row.amount("mass", "kg")?;
        mass += m;
        vertical += m * row.amount("height", "m")?;
        along += m * row.amount("along", "m")?;
        across += m * row.amount("across", "m")?;
    }
    if mass <= 0.0 {
        return Err(Unreckoned::impossible(
            "weights",
            "more goes ashore than she weighs",
            "look at the displacement and at each mass",
        ));
    }
    let after = vertical / mass;
    out.say("displacement", mass)?;
    out.say("kg", after)?;
    out.say("rise", after - kg)?;
    if let Some(area) = given.amount_if("waterplane", "m2")? {
        out.say(
            "sinkage",
            (mass - w) / (area * given.amount("water", "kg/m3")?) * 1000.0,
        )?;
    }
    match (
        given.amount_if("gm_along", "m")?,
        given.amount_if("waterline", "m")?,
    ) {
        (Some(gml), Some(length)) => {
            // MCT of one centimetre is W GML / (100 L); the displacement before, as the textbooks have it.
            let per_cm = w * gml / (100.0 * length);
            out.say("trim", along / per_cm * 10.0)?;
        }
        (None, None) => {}
        _ => {
            return Err(Unreckoned::impossible(
                "gm_along",
                "the trim needs both the longitudinal metacentric height and the waterline's length",
                "give both, or neither",
            ));
        }
    }
    let off = across / mass;
    out.say("off_centre", off)?;
    if let Some(gm) = given.amount_if("gm", "m")? {
        out.say("list", degrees(atan(off / gm)))?;
    }
    if after > kg + 1e-9 {
        out.remark("The centre of gravity rises: she becomes less stable. How much that matters is for a naval architect.");
    }
    Ok(out)
}

const TEXTBOOK: Source = published(
    "Barrass and Derrett, Ship Stability for Masters and Mates: moments of weights, list, TPC and MCT, and their worked examples, read in public course notes",
    "ship-stability",
);

/// Weights and trim.
pub static WEIGHTS: Reckoning = Reckoning {
    name: "weights",
    title: "Weights, trim and centre of gravity",
    purpose: "What weights that come aboard or go ashore do to her displacement, her centre of gravity, her trim and her list.",
    topic: Topic::Weight,
    revision: 1,
    inputs: WEIGHTS_INPUTS,
    results: WEIGHTS_RESULTS,
    formula: "
W2 = W ± w           KG2 = (W KG ± w kg) / W2
sinkage = (W2 − W) / (A ρ)
MCT 1 cm = W GML / (100 L)      trim = moment along / MCT
tan list = GG1 / GM,  GG1 = moment across / W2",
    sources: &[TEXTBOOK, definition("moments of masses")],
    limits: &[
        "Small changes only: the waterplane, GM and GML are taken as they were.",
        "Free water in tanks and bilges, which makes her less stable than this says.",
        "Whether she is stable enough.",
    ],
    cautions: &[&BALLAST, &STANDS, &LIFTING],
    reckon: weights,
    begin: None,
    checks: &[
        Check {
            case: "300 kg of low ballast taken out",
            inputs: r#"{"displacement": "9000 kg", "kg": "0.9 m", "weights": [{"mass": "300 kg", "change": "off", "height": "0.35 m"}]}"#,
            expect: &[
                near("displacement", 8700.0, 0.05),
                near("kg", 0.918_966, 0.00005),
            ],
            mark: Mark::Worked,
            source: "moments about the keel",
        },
        Check {
            case: "120 kg moved 1.5 m across",
            inputs: r#"{"displacement": "9000 kg", "kg": "0.9 m", "weights": [{"mass": "120 kg", "change": "off", "height": "0.9 m", "across": "-0.75 m"}, {"mass": "120 kg", "height": "0.9 m", "across": "0.75 m"}]}"#,
            expect: &[near("off_centre", 0.02, 0.00005)],
            mark: Mark::Worked,
            source: "GG1 = w d / W",
        },
        Check {
            case: "300 kg off a waterplane of 22 m²",
            inputs: r#"{"displacement": "9000 kg", "kg": "0.9 m", "waterplane": "22 m2", "gm_along": "12 m", "waterline": "10 m", "weights": [{"mass": "300 kg", "change": "off", "height": "0.9 m", "along": "-3 m"}]}"#,
            expect: &[near("sinkage", -13.304, 0.05), near("trim", 83.33, 0.05)],
            mark: Mark::Worked,
            source: "TPC 0.2255 t/cm, MCT 0.108 t·m",
        },
        Check {
            case: "the textbook's list",
            inputs: r#"{"displacement": "8000 t", "kg": "7.60 m", "gm": "1.35 m", "weights": [{"mass": "250 t", "height": "6.1 m", "across": "7.6 m"}, {"mass": "300 t", "height": "0.6 m", "across": "-6.1 m"}, {"mass": "50 t", "change": "off", "height": "1.2 m", "across": "-4.6 m"}]}"#,
            expect: &[
                near("displacement", 8_500_000.0, 0.5),
                near("kg", 7.3465, 0.00005),
                near("off_centre", 0.035_29, 0.00005),
                near("list", 1.498, 0.001),
            ],
            mark: Mark::Published,
            source: "Derrett's worked example: KG 7.35, GG1 0.035 m, list 1½°",
        },
    ],
};

const INCLINING_INPUTS: &[Input] = &[
    input::amount(
        "weight",
        "Weight that is moved",
        "Weighed.",
        MASS,
        "1",
        "10000",
    ),
    input::amount(
        "distance",
        "Distance moved across",
        "Straight across the deck.",
        LENGTHS,
        "0.1",
        "20",
    ),
    input::amount(
        "displacement",
        "Displacement",
        "As she floats now, the weight included.",
        MASS,
        "50",
        "100000000",
    ),
    input::amount(
        "pendulum",
        "Length of the pendulum",
        "From its pin to the batten.",
        LENGTHS,
        "0.2",
        "20",
    ),
    input::amount(
        "deflection",
        "It swings along the batten by",
        "From rest to rest; the mean of both sides.",
        &["mm", "cm", "in"],
        "0.5",
        "2000",
    ),
];

const INCLINING_RESULTS: &[Output] = &[
    output::figure("angle", "She heels by", "deg", 3),
    output::figure("gm", "Metacentric height", "m", 4),
    output::verdict(
        "verdict",
        "Angle",
        &[
            ("good", "small enough, and large enough to read"),
            ("small", "too small to be read well: move more weight"),
            ("large", "so large that the rule no longer holds: move less"),
        ],
    ),
];

fn inclining(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(INCLINING_RESULTS);
    let tan = given.amount("deflection", "m")? / given.amount("pendulum", "m")?;
    let gm = given.amount("weight", "kg")? * given.amount("distance", "m")?
        / (given.amount("displacement", "kg")? * tan);
    let angle = degrees(atan(tan));
    out.say("angle", angle)?;
    out.say("gm", gm)?;
    out.answers.verdict(
        "verdict",
        if angle < 0.5 {
            "small"
        } else if angle > 4.0 {
            "large"
        } else {
            "good"
        },
    )?;
    Ok(out)
}

/// An inclining experiment.
pub static INCLINING: Reckoning = Reckoning {
    name: "inclining",
    title: "Inclining experiment",
    purpose: "Her metacentric height, from a weight that is moved across the deck and a pendulum.",
    topic: Topic::Weight,
    revision: 1,
    inputs: INCLINING_INPUTS,
    results: INCLINING_RESULTS,
    formula: "
GM = w d / (W tan θ),   tan θ = deflection / pendulum",
    sources: &[
        TEXTBOOK,
        common_practice("between half a degree and four degrees"),
    ],
    limits: &[
        "Slack tanks, water in the bilge, wind, lines and people who move: each spoils it.",
        "Stability at larger angles.",
    ],
    cautions: &[&BALLAST, &LIFTING],
    reckon: inclining,
    begin: None,
    checks: &[Check {
        case: "50 kg moved 2.5 m",
        inputs: r#"{"weight": "50 kg", "distance": "2.5 m", "displacement": "9000 kg", "pendulum": "1 m", "deflection": "15 mm"}"#,
        expect: &[near("gm", 0.9259, 0.00005), word("verdict", "good")],
        mark: Mark::Worked,
        source: "50 · 2.5 / (9000 · 0.015)",
    }],
};
