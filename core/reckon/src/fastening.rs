//! Sisters and fastenings: sections with rot and with a sister, lead holes, rows of screws, and holes filled and drilled anew.

use crate::caution::{DUST, FASTENING, RESIN, STRUCTURE, TOOLS};
use crate::check::{Check, near, refused, word};
use crate::input::{self, Input};
use crate::number::whole_up;
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];
const STIFFNESS: &[&str] = &["MPa", "GPa", "psi"];

const SISTER_INPUTS: &[Input] = &[
    input::amount(
        "width",
        "Width of the frame",
        "Across the load.",
        LENGTHS,
        "5",
        "500",
    ),
    input::amount(
        "depth",
        "Depth of the frame when it was whole",
        "In the load's direction.",
        LENGTHS,
        "10",
        "1000",
    ),
    input::amount(
        "lost",
        "Depth that has rotted away",
        "From one edge.",
        LENGTHS,
        "0",
        "1000",
    )
    .or("0 mm", "sound"),
    input::amount(
        "modulus",
        "Modulus of elasticity of the frame",
        "Softwood about 9000 MPa.",
        STIFFNESS,
        "500",
        "30000",
    )
    .or("9000 MPa", "softwood, from memory"),
    input::amount(
        "sister_width",
        "Width of the sister",
        "Both together where there are two.",
        LENGTHS,
        "1",
        "500",
    )
    .optional(),
    input::amount(
        "sister_depth",
        "Depth of the sister",
        "The frame's own depth where it is left out.",
        LENGTHS,
        "5",
        "1000",
    )
    .optional(),
    input::amount(
        "sister_modulus",
        "Modulus of elasticity of the sister",
        "Plywood about 7000 MPa, steel 200000.",
        &["MPa", "GPa", "psi"],
        "500",
        "220000",
    )
    .or("9000 MPa", "the same wood"),
    input::choice(
        "flush",
        "Where the sister lies",
        "A sister of less depth.",
        &[
            ("middle", "in the middle of the depth"),
            ("edge", "flush with the sound edge"),
        ],
    )
    .or("middle", "equal depths lie so"),
];

const SISTER_RESULTS: &[Output] = &[
    output::figure(
        "modulus_whole",
        "Section modulus of the frame when whole",
        "mm3",
        1,
    ),
    output::figure(
        "modulus_left",
        "What is left of its section modulus",
        "%",
        2,
    ),
    output::figure("stiffness_left", "What is left of its stiffness", "%", 2),
    output::figure("stiffness", "Bending stiffness with the sister", "N.m2", 1).sometimes(),
    output::figure("stiffness_share", "That is, of the whole frame", "%", 1).sometimes(),
    output::figure("sister_share", "The sister carries", "%", 3).sometimes(),
    output::figure("axis", "Neutral axis above the sister's edge", "mm", 4).sometimes(),
    output::figure(
        "length_glued",
        "Sister beyond the rot, each side, when glued",
        "mm",
        0,
    )
    .sometimes(),
    output::figure("length_bolted", "The same when bolted", "mm", 0).sometimes(),
];

fn sister(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(SISTER_RESULTS);
    let (b, h) = (given.amount("width", "mm")?, given.amount("depth", "mm")?);
    let lost = given.amount("lost", "mm")?;
    if lost >= h {
        return Err(Unreckoned::out_of_range(
            "lost",
            format!("{lost:.0} mm"),
            format!("less than the depth of {h:.0} mm"),
        ));
    }
    let left = h - lost;
    out.say("modulus_whole", b * h * h / 6.0)?;
    out.say("modulus_left", left * left / (h * h) * 100.0)?;
    out.say("stiffness_left", left * left * left / (h * h * h) * 100.0)?;
    let Some(sister_b) = given.amount_if("sister_width", "mm")? else {
        return Ok(out);
    };
    let sister_h = given.amount_if("sister_depth", "mm")?.unwrap_or(left);
    let (e, sister_e) = (
        given.amount("modulus", "MPa")?,
        given.amount("sister_modulus", "MPa")?,
    );
    let y_sister = if given.choice("flush")? == "edge" {
        sister_h / 2.0
    } else {
        left / 2.0
    };
    let (ea, sister_ea) = (e * b * left, sister_e * sister_b * sister_h);
    let axis = (ea * left / 2.0 + sister_ea * y_sister) / (ea + sister_ea);
    let own = |e: f64, b: f64, h: f64, y: f64| {
        e * (b * h * h * h / 12.0 + b * h * (y - axis) * (y - axis))
    };
    let (frame, with) = (
        own(e, b, left, left / 2.0),
        own(sister_e, sister_b, sister_h, y_sister),
    );
    // N·mm² to N·m².
    out.say("stiffness", (frame + with) / 1e6)?;
    out.say(
        "stiffness_share",
        (frame + with) / (e * b * h * h * h / 12.0) * 100.0,
    )?;
    out.say("sister_share", with / (frame + with) * 100.0)?;
    out.say("axis", axis)?;
    out.say("length_glued", 12.0 * sister_b)?;
    out.say("length_bolted", 3.0 * left)?;
    out.remark("Fully composite: only where the two are glued or bolted so that they cannot slip on each other.");
    Ok(out)
}

/// A sister beside a frame.
pub static SISTER: Reckoning = Reckoning {
    name: "sister",
    title: "Sister beside a frame",
    purpose: "What rot leaves of a frame, and what a sister beside it gives back.",
    topic: Topic::Fastening,
    revision: 1,
    inputs: SISTER_INPUTS,
    results: SISTER_RESULTS,
    formula: "
Z = b h²/6       I = b h³/12
EI = Σ E (b h³/12 + b h (y − yn)²)      yn = Σ E A y / Σ E A",
    sources: &[
        definition("bending of composite sections, plane sections staying plane"),
        common_practice(
            "12 times the sister's thickness beyond the rot when glued, three times the depth when bolted",
        ),
    ],
    limits: &[
        "The joint's own strength, and wood that only looks sound.",
        "Twisting, and loads across the sister.",
    ],
    cautions: &[&STRUCTURE, &FASTENING, &TOOLS, &DUST],
    reckon: sister,
    begin: None,
    checks: &[
        Check {
            case: "45 × 145 with 30 mm of rot",
            inputs: r#"{"width": "45 mm", "depth": "145 mm", "lost": "30 mm"}"#,
            expect: &[
                near("modulus_whole", 157_687.5, 0.05),
                near("modulus_left", 62.90, 0.005),
                near("stiffness_left", 49.89, 0.005),
            ],
            mark: Mark::Worked,
            source: "b h²/6 and b h³/12",
        },
        Check {
            case: "a plywood sister of the same depth",
            inputs: r#"{"width": "45 mm", "depth": "145 mm", "sister_width": "18 mm", "sister_modulus": "7000 MPa"}"#,
            expect: &[
                near("stiffness", 134_902.0, 0.5),
                near("sister_share", 23.729, 0.0005),
            ],
            mark: Mark::Worked,
            source: "EI 1.34902e11 N·mm²",
        },
        Check {
            case: "a short sister flush with the edge",
            inputs: r#"{"width": "45 mm", "depth": "145 mm", "sister_width": "45 mm", "sister_depth": "95 mm", "flush": "edge"}"#,
            expect: &[
                near("axis", 62.6042, 0.00005),
                near("stiffness", 146_356.0, 1.0),
            ],
            mark: Mark::Worked,
            source: "EI 1.46356e11 N·mm²",
        },
        Check {
            case: "a flitch of steel between two timbers",
            inputs: r#"{"width": "90 mm", "depth": "145 mm", "sister_width": "6 mm", "sister_depth": "125 mm", "sister_modulus": "200000 MPa"}"#,
            expect: &[
                near("stiffness", 401_095.0, 1.0),
                near("sister_share", 48.69, 0.005),
            ],
            mark: Mark::Worked,
            source: "EI 4.01095e11 N·mm²",
        },
        Check {
            case: "rotted through",
            inputs: r#"{"width": "45 mm", "depth": "145 mm", "lost": "145 mm"}"#,
            expect: &[refused("lost")],
            mark: Mark::Definition,
            source: "nothing is left",
        },
    ],
};

const SCREW_INPUTS: &[Input] = &[
    input::whole("gauge", "Gauge", "As the box says: 8, 10, 12.", 0, 24),
    input::amount(
        "root",
        "Root of the thread",
        "Measured; modern screws have larger roots than two thirds.",
        LENGTHS,
        "0.5",
        "12",
    )
    .optional(),
    input::number(
        "gravity",
        "Specific gravity of the wood",
        "Oven-dry: softwoods about 0.45, oak 0.65, marine plywood about 0.5.",
        "0.3",
        "1.0",
    )
    .or("0.5", "a middling softwood or marine plywood"),
    input::amount(
        "thread",
        "Thread in the second piece",
        "How much of it holds.",
        LENGTHS,
        "2",
        "300",
    )
    .optional(),
    input::whole("screws", "Screws", "For the hold of all.", 1, 10000).or("1", "one screw"),
];

const SCREW_RESULTS: &[Output] = &[
    output::figure("shank", "Shank", "mm", 3),
    output::figure("root", "Root", "mm", 3),
    output::verdict(
        "lead",
        "Lead hole",
        &[
            ("dense", "dense wood: 90 per cent of the root"),
            ("middling", "middling wood: 70 per cent of the root"),
            (
                "soft",
                "soft wood: none needed, a small one keeps it from splitting",
            ),
        ],
    ),
    output::figure("hole", "Lead hole for the thread", "mm", 2),
    output::figure("clearance", "Hole through the first piece", "mm", 2),
    output::figure("withdrawal", "Pulls out at about, one screw", "N", 0).sometimes(),
    output::figure("allowed", "Allowed for one screw", "N", 0).sometimes(),
    output::figure("allowed_all", "Allowed for all", "N", 0).sometimes(),
];

fn screw(given: &Given) -> Result<Outcome, Unreckoned> {
    const MM: f64 = 25.4;
    const NEWTON_PER_LB: f64 = 4.448_221_615_260_5;
    let mut out = Outcome::new(SCREW_RESULTS);
    let gauge = crate::number::of_count(usize::try_from(given.whole("gauge")?).unwrap_or(0));
    let d = 0.060 + 0.013 * gauge;
    let root = given.amount_if("root", "mm")?.unwrap_or(d * MM * 2.0 / 3.0);
    let g = given.number("gravity")?;
    let (lead, share) = if g >= 0.6 {
        ("dense", 0.9)
    } else if g >= 0.5 {
        ("middling", 0.7)
    } else {
        ("soft", 0.7)
    };
    out.say("shank", d * MM)?;
    out.say("root", root)?;
    out.answers.verdict("lead", lead)?;
    out.say("hole", root * share)?;
    out.say(
        "clearance",
        if g >= 0.6 { d * MM } else { d * MM * 7.0 / 8.0 },
    )?;
    if let Some(thread) = given.amount_if("thread", "in")? {
        let n = crate::number::of_count(usize::try_from(given.whole("screws")?).unwrap_or(1));
        let allowed = 2850.0 * g * g * d * thread * NEWTON_PER_LB;
        out.say("withdrawal", 15_700.0 * g * g * d * thread * NEWTON_PER_LB)?;
        out.say("allowed", allowed)?;
        out.say("allowed_all", allowed * n)?;
    }
    Ok(out)
}

/// Lead holes and the hold of wood screws.
pub static SCREW: Reckoning = Reckoning {
    name: "wood-screw",
    title: "Wood screws",
    purpose: "Lead holes for a wood screw of a gauge, and what it holds against being pulled out.",
    topic: Topic::Fastening,
    revision: 1,
    inputs: SCREW_INPUTS,
    results: SCREW_RESULTS,
    formula: "
D = 0.060 in + 0.013 in · gauge         root = 2/3 D where it was not measured
lead hole: 90 % of the root at G ≥ 0.6, 70 % at 0.5 and above, none needed below
p = 15700 G² D lb for each inch of thread; allowed 2850 G² D",
    sources: &[
        published(
            "USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190, 2010), ch. 8: the root is about two thirds of the shank",
            "wood-handbook",
        ),
        common_practice(
            "lead holes and withdrawal by density, as public tables after the same handbook give them",
        ),
    ],
    limits: &[
        "End grain holds much less.",
        "Wet wood, old holes and fibreglass skins: there drill near the root and countersink the gelcoat.",
    ],
    cautions: &[&FASTENING, &TOOLS],
    reckon: screw,
    begin: None,
    checks: &[
        Check {
            case: "gauge 10",
            inputs: r#"{"gauge": "10", "gravity": "0.65"}"#,
            expect: &[
                near("shank", 4.826, 0.0005),
                near("root", 3.217, 0.0005),
                near("hole", 2.90, 0.005),
                word("lead", "dense"),
            ],
            mark: Mark::CommonPractice,
            source: "gauge tables",
        },
        Check {
            case: "gauge 8 in softer wood",
            inputs: r#"{"gauge": "8", "gravity": "0.55"}"#,
            expect: &[
                near("shank", 4.166, 0.0005),
                near("root", 2.777, 0.0005),
                near("hole", 1.94, 0.005),
                word("lead", "middling"),
            ],
            mark: Mark::CommonPractice,
            source: "gauge tables",
        },
        Check {
            case: "gauge 16",
            inputs: r#"{"gauge": "16", "gravity": "0.65"}"#,
            expect: &[
                near("shank", 6.807, 0.0005),
                near("root", 4.538, 0.0005),
                near("hole", 4.08, 0.005),
            ],
            mark: Mark::CommonPractice,
            source: "gauge tables",
        },
        Check {
            case: "gauge 4",
            inputs: r#"{"gauge": "4", "gravity": "0.55"}"#,
            expect: &[
                near("shank", 2.845, 0.0005),
                near("root", 1.897, 0.0005),
                near("hole", 1.33, 0.005),
            ],
            mark: Mark::CommonPractice,
            source: "gauge tables",
        },
        Check {
            case: "gauge 10 with a larger root",
            inputs: r#"{"gauge": "10", "gravity": "0.55", "root": "0.152 in"}"#,
            expect: &[near("hole", 2.70, 0.005)],
            mark: Mark::Memory,
            source: "roots of modern screws",
        },
        Check {
            case: "withdrawal of gauge 10",
            inputs: r#"{"gauge": "10", "gravity": "0.50", "thread": "1 in"}"#,
            expect: &[near("withdrawal", 3317.0, 1.0)],
            mark: Mark::CommonPractice,
            source: "745.75 lb for an inch",
        },
        Check {
            case: "withdrawal of gauge 8 in dense wood",
            inputs: r#"{"gauge": "8", "gravity": "0.70", "thread": "1 in"}"#,
            expect: &[near("withdrawal", 5612.0, 1.0)],
            mark: Mark::CommonPractice,
            source: "a published example: 1262 lb for an inch",
        },
        Check {
            case: "allowed for gauge 10",
            inputs: r#"{"gauge": "10", "gravity": "0.45", "thread": "1 in", "screws": "10"}"#,
            expect: &[
                near("allowed", 488.0, 1.0),
                near("allowed_all", 4877.0, 2.0),
                word("lead", "soft"),
            ],
            mark: Mark::CommonPractice,
            source: "a published example: 109 lb for an inch",
        },
        Check {
            case: "#10 stainless screws 2 in long through 5/8 in plywood",
            inputs: r#"{"gauge": "10", "gravity": "0.5", "thread": "1.375 in"}"#,
            expect: &[near("withdrawal", 4561.0, 1.0)],
            mark: Mark::CommonPractice,
            source: "#10 stainless screws 2 in long in 5/8 in plywood",
        },
    ],
};

const ROW_INPUTS: &[Input] = &[
    input::amount(
        "length",
        "Length of the row",
        "Of the edge that is fastened.",
        LENGTHS,
        "10",
        "100000",
    ),
    input::amount(
        "spacing",
        "Widest spacing",
        "Between two fastenings.",
        LENGTHS,
        "5",
        "2000",
    ),
    input::amount(
        "end",
        "From each end",
        "To the first fastening.",
        LENGTHS,
        "0",
        "1000",
    ),
    input::whole(
        "rows",
        "Rows",
        "Side by side, each shifted by half a spacing.",
        1,
        20,
    )
    .or("1", "a single row"),
];

const ROW_RESULTS: &[Output] = &[
    output::figure("in_row", "Fastenings in a row", "pcs", 0),
    output::figure("count", "Fastenings in all", "pcs", 0),
    output::figure("spacing", "Spacing as it comes out", "mm", 2),
];

fn row(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(ROW_RESULTS);
    let (length, most, end) = (
        given.amount("length", "mm")?,
        given.amount("spacing", "mm")?,
        given.amount("end", "mm")?,
    );
    if 2.0 * end >= length {
        return Err(Unreckoned::impossible(
            "end",
            "the two ends leave no length between them",
            "take a smaller distance from the ends",
        ));
    }
    let rows = crate::number::of_count(usize::try_from(given.whole("rows")?).unwrap_or(1));
    let between = length - 2.0 * end;
    let gaps = whole_up(between / most).max(1.0);
    out.say("in_row", gaps + 1.0)?;
    out.say("count", (gaps + 1.0) * rows)?;
    out.say("spacing", between / gaps)?;
    out.need("fastenings", "", (gaps + 1.0) * rows, "pcs", 0)?;
    Ok(out)
}

/// A row of fastenings.
pub static ROW: Reckoning = Reckoning {
    name: "fastening-row",
    title: "Row of fastenings",
    purpose: "How many fastenings a row takes, and how far apart they come out.",
    topic: Topic::Fastening,
    revision: 1,
    inputs: ROW_INPUTS,
    results: ROW_RESULTS,
    formula: "
n = (L − 2e)/s, rounded up, and one more
s = (L − 2e)/(n − 1)",
    sources: &[
        definition("even spacing"),
        memory(
            "bolts: four diameters in a row, seven from a loaded end in softwood; screws: ten to fifteen along the grain unless drilled first",
        ),
    ],
    limits: &["Whether the wood splits, and what the row holds."],
    cautions: &[&FASTENING, &TOOLS],
    reckon: row,
    begin: None,
    checks: &[
        Check {
            case: "a sheet's long edge",
            inputs: r#"{"length": "2440 mm", "spacing": "150 mm", "end": "50 mm"}"#,
            expect: &[
                near("in_row", 17.0, 0.0),
                near("count", 17.0, 0.0),
                near("spacing", 146.25, 0.005),
            ],
            mark: Mark::Worked,
            source: "2340 / 150, rounded up",
        },
        Check {
            case: "ends that meet",
            inputs: r#"{"length": "80 mm", "spacing": "20 mm", "end": "50 mm"}"#,
            expect: &[refused("end")],
            mark: Mark::Definition,
            source: "nothing is between them",
        },
    ],
};

const OVERDRILL_INPUTS: &[Input] = &[
    input::amount(
        "hole",
        "Diameter of the enlarged hole",
        "At least twice the fastening's.",
        LENGTHS,
        "2",
        "200",
    ),
    input::amount(
        "depth",
        "Depth of the core",
        "The lower skin is left whole.",
        LENGTHS,
        "1",
        "200",
    ),
    input::amount(
        "undercut",
        "Radius of the core dug out under the skin",
        "From the hole's middle; left out where nothing is dug out.",
        LENGTHS,
        "1",
        "300",
    )
    .optional(),
    input::amount(
        "fastening",
        "Diameter of the hole that is drilled anew",
        "For the fastening.",
        LENGTHS,
        "1",
        "100",
    )
    .optional(),
    input::whole("holes", "Holes", "All alike.", 1, 10000).or("1", "one hole"),
    input::amount(
        "waste",
        "Added for waste",
        "What stays in cup and syringe.",
        &["%"],
        "0",
        "200",
    )
    .or("20 %", "common practice"),
];

const OVERDRILL_RESULTS: &[Output] = &[
    output::figure("each", "Fill for one hole", "ml", 4),
    output::figure("all", "Fill for all, with waste", "ml", 2),
    output::figure(
        "left",
        "What stays of one fill when it is drilled anew",
        "ml",
        4,
    )
    .sometimes(),
    output::verdict(
        "verdict",
        "Size",
        &[
            ("enough", "at least twice the fastening's hole"),
            (
                "small",
                "less than twice the fastening's hole: little resin stays around it",
            ),
        ],
    )
    .sometimes(),
];

fn overdrill(given: &Given) -> Result<Outcome, Unreckoned> {
    const PI: f64 = std::f64::consts::PI;
    let mut out = Outcome::new(OVERDRILL_RESULTS);
    let (d, t) = (given.amount("hole", "mm")?, given.amount("depth", "mm")?);
    let mut each = PI / 4.0 * d * d * t;
    if let Some(r) = given.amount_if("undercut", "mm")? {
        if r <= d / 2.0 {
            return Err(Unreckoned::impossible(
                "undercut",
                "what is dug out is no wider than the hole",
                "measure the radius from the hole's middle, or leave it out",
            ));
        }
        each += PI * (r * r - d * d / 4.0) * t;
    }
    let n = crate::number::of_count(usize::try_from(given.whole("holes")?).unwrap_or(1));
    let all = each * n * (1.0 + given.amount("waste", "%")? / 100.0);
    out.say("each", each / 1000.0)?;
    out.say("all", all / 1000.0)?;
    if let Some(new) = given.amount_if("fastening", "mm")? {
        if new >= d {
            return Err(Unreckoned::impossible(
                "fastening",
                "the new hole is no smaller than the filled one",
                "drill the first hole larger",
            ));
        }
        out.say("left", (each - PI / 4.0 * new * new * t) / 1000.0)?;
        out.answers.verdict(
            "verdict",
            if d >= 2.0 * new - 1e-9 {
                "enough"
            } else {
                "small"
            },
        )?;
    }
    out.need("thickened epoxy", "for bonding", all / 1000.0, "ml", 0)?;
    Ok(out)
}

/// Holes in cored decks: drilled large, filled, drilled anew.
pub static OVERDRILL: Reckoning = Reckoning {
    name: "overdrill",
    title: "Drill large, fill, drill anew",
    purpose: "How much filler the holes of a cored deck take when each is drilled large, filled solid and drilled anew.",
    topic: Topic::Fastening,
    revision: 1,
    inputs: OVERDRILL_INPUTS,
    results: OVERDRILL_RESULTS,
    formula: "
V = π/4 D² t  (+ π (r² − D²/4) t where core is dug out under the skin)",
    sources: &[
        definition("cylinders and rings"),
        common_practice(
            "the enlarged hole at least twice the fastening's; fill the core's depth only and leave the lower skin whole",
        ),
    ],
    limits: &[
        "Wet core around the hole: dry it, or it comes back.",
        "How the fill bonds: wet it out first with resin that is not thickened.",
    ],
    cautions: &[&RESIN, &FASTENING, &TOOLS],
    reckon: overdrill,
    begin: None,
    checks: &[
        Check {
            case: "half an inch through half an inch",
            inputs: r#"{"hole": "12.7 mm", "depth": "12.7 mm", "fastening": "6.35 mm"}"#,
            expect: &[
                near("each", 1.6088, 0.0001),
                near("left", 1.2066, 0.0001),
                word("verdict", "enough"),
            ],
            mark: Mark::Worked,
            source: "π/4 D² t",
        },
        Check {
            case: "three quarters of an inch",
            inputs: r#"{"hole": "19.05 mm", "depth": "12.7 mm", "fastening": "12 mm"}"#,
            expect: &[near("each", 3.6198, 0.0001), word("verdict", "small")],
            mark: Mark::Worked,
            source: "π/4 D² t",
        },
        Check {
            case: "24 holes and a fifth more",
            inputs: r#"{"hole": "12.7 mm", "depth": "12.7 mm", "holes": "24"}"#,
            expect: &[near("all", 46.33, 0.005)],
            mark: Mark::Worked,
            source: "24 · 1.6088 · 1.2",
        },
        Check {
            case: "core dug out to a radius of 20 mm",
            inputs: r#"{"hole": "12.7 mm", "depth": "12.7 mm", "undercut": "20 mm"}"#,
            expect: &[near("each", 15.9593, 0.0005)],
            mark: Mark::Worked,
            source: "14.3505 mL more",
        },
    ],
};
