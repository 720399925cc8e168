//! Core and skins: how far a cored deck gives under a load, what its skins and core bear, and what a repair changes.

use crate::caution::{CABLES, METER, STRUCTURE, WET_DECK};
use crate::check::{Check, near, refused, word};
use crate::input::{self, Input};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];
const STIFFNESS: &[&str] = &["MPa", "GPa", "psi"];

const PANEL_INPUTS: &[Input] = &[
    input::amount(
        "skin",
        "Thickness of each skin",
        "Both alike; of unlike skins take the thinner.",
        LENGTHS,
        "0.3",
        "50",
    ),
    input::amount(
        "skin_modulus",
        "Modulus of elasticity of the skins",
        "From the laminate's assumed strength.",
        STIFFNESS,
        "1000",
        "150000",
    ),
    input::amount(
        "core",
        "Thickness of the core",
        "Without the skins.",
        LENGTHS,
        "2",
        "200",
    ),
    input::choice(
        "core_kind",
        "Core",
        "For its shear modulus, where none is given.",
        &[
            ("balsa", "end-grain balsa"),
            ("pvc", "cross-linked PVC foam"),
            ("other", "another: give its shear modulus"),
        ],
    )
    .or("balsa", "what old decks have most"),
    input::amount(
        "core_density",
        "Density of the core",
        "Dry.",
        &["kg/m3", "lb/ft3"],
        "33",
        "300",
    )
    .or("150 kg/m3", "middling balsa"),
    input::amount(
        "core_shear",
        "Shear modulus of the core",
        "From its data sheet; above what its density says.",
        &["MPa", "psi"],
        "0.5",
        "5000",
    )
    .optional(),
    input::amount(
        "core_left",
        "Share of the core's stiffness that is left",
        "Rotten core: a half, a tenth, a fiftieth.",
        &["%"],
        "0.5",
        "100",
    )
    .or("100 %", "a sound core"),
    input::amount(
        "span",
        "Span",
        "Between two supports.",
        LENGTHS,
        "50",
        "5000",
    ),
    input::amount(
        "strip",
        "Width that carries the load",
        "Of the strip that is looked at.",
        LENGTHS,
        "20",
        "3000",
    )
    .or("300 mm", "common practice for somebody standing"),
    input::amount(
        "load",
        "Load in the middle",
        "Somebody standing is about 1 kN.",
        &["N", "kN"],
        "10",
        "100000",
    )
    .or("1 kN", "a person of about 100 kg"),
];

const PANEL_RESULTS: &[Output] = &[
    output::verdict(
        "verdict",
        "Feels",
        &[
            (
                "firm",
                "firm: gives less than a hundred and fiftieth of the span",
            ),
            (
                "soft",
                "soft underfoot: gives more than a hundred and fiftieth of the span",
            ),
        ],
    ),
    output::figure("deflection", "Gives in the middle by", "mm", 4),
    output::figure("bending", "of which by bending", "mm", 5),
    output::figure("shear", "of which by shear in the core", "mm", 5),
    output::figure("stiffness", "Bending stiffness of the strip", "N.m2", 3),
    output::figure("shear_stiffness", "Shear stiffness of the strip", "kN", 3),
    output::figure(
        "core_shear",
        "Shear modulus of the core as reckoned",
        "MPa",
        3,
    ),
    output::figure("skin_stress", "Stress in the skins", "MPa", 4),
    output::figure("core_stress", "Shear stress in the core", "MPa", 4),
    output::figure(
        "loose",
        "Skins that no core holds together would give by",
        "mm",
        1,
    ),
];

fn panel(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(PANEL_RESULTS);
    let (tf, ef, c) = (
        given.amount("skin", "mm")?,
        given.amount("skin_modulus", "MPa")?,
        given.amount("core", "mm")?,
    );
    let rho = given.amount("core_density", "kg/m3")?;
    let sound = match (
        given.amount_if("core_shear", "MPa")?,
        given.choice("core_kind")?,
    ) {
        (Some(g), _) => g,
        (None, "pvc") => 0.33 * rho - 1.0,
        (None, "balsa") => {
            if !(90.0..=220.0).contains(&rho) {
                return Err(Unreckoned::out_of_range(
                    "core_density",
                    format!("{rho:.0} kg/m³"),
                    "90 to 220 kg/m³ for balsa, or give its shear modulus",
                ));
            }
            0.868 * rho - 1.43
        }
        _ => {
            return Err(Unreckoned::Missing {
                input: "core_shear".to_owned(),
                help: "another core needs its shear modulus".to_owned(),
            });
        }
    };
    let g = sound * given.amount("core_left", "%")? / 100.0;
    let (l, b, p) = (
        given.amount("span", "mm")?,
        given.amount("strip", "mm")?,
        given.amount("load", "N")?,
    );
    let (d, h) = (c + 2.0 * tf, c + tf);
    let bending_stiffness = ef * b * (d * d * d - c * c * c) / 12.0;
    let shear_stiffness = g * b * h * h / c;
    let bending = p * l * l * l / (48.0 * bending_stiffness);
    let shear = p * l / (4.0 * shear_stiffness);
    let deflection = bending + shear;
    out.answers.verdict(
        "verdict",
        if deflection <= l / 150.0 {
            "firm"
        } else {
            "soft"
        },
    )?;
    out.say("deflection", deflection)?;
    out.say("bending", bending)?;
    out.say("shear", shear)?;
    // N·mm² to N·m².
    out.say("stiffness", bending_stiffness / 1e6)?;
    out.say("shear_stiffness", shear_stiffness / 1000.0)?;
    out.say("core_shear", g)?;
    out.say("skin_stress", p * l / 4.0 / (b * tf * h))?;
    out.say("core_stress", p / ((d + c) * b))?;
    let loose = 2.0 * ef * b * tf * tf * tf / 12.0;
    out.say("loose", p * l * l * l / (48.0 * loose))?;
    if l / d < 20.0 || tf / c > 0.1 {
        out.remark("A short span or thick skins: the simple theory is for spans of more than 20 thicknesses and skins of less than a tenth of the core, and says rather too much give.");
    }
    if g < 0.5 * sound {
        out.remark("With a core as soft as that the skins hardly work together: mark the deck, shore it, and keep off.");
    }
    Ok(out)
}

const CORE_SOURCE: crate::source::Source = published(
    "ISO 12215-5:2008, Table D.1: shear modulus of end-grain balsa 0.868 ρ − 1.43 MPa and of cross-linked PVC 0.33 ρ − 1 MPa, read in a transcription",
    "iso12215-5",
);

/// A cored deck under a load.
pub static PANEL: Reckoning = Reckoning {
    name: "cored-deck",
    title: "Cored deck under a load",
    purpose: "How far a strip of cored deck gives under a load, with a sound core or a soft one, and what skins and core bear.",
    topic: Topic::Stiffness,
    revision: 1,
    inputs: PANEL_INPUTS,
    results: PANEL_RESULTS,
    formula: "
D = Ef b (d³ − c³)/12       U = G b h²/c
δ = P L³/(48 D) + P L/(4 U)
skin: M/(b tf h), M = P L/4       core: P/((d + c) b)
d: thickness in all; c: core; h = c + tf",
    sources: &[
        published(
            "ASTM C393 and D7250, sandwich beams loaded in the middle: the formulas as public summaries give them; the standards were not read",
            "astm-c393",
        ),
        CORE_SOURCE,
        common_practice(
            "a deck feels firm when it gives less than a hundred and fiftieth to a two hundredth of its span",
        ),
        definition("in-plane stiffness of balsa and foam is left out"),
    ],
    limits: &[
        "A strip between two supports: a deck that is held all round gives less.",
        "Local dents under a heel, skins that wrinkle, edges and holes.",
        "Cores of plywood, which stiffen it in their own plane as well.",
    ],
    cautions: &[&STRUCTURE, &WET_DECK, &CABLES, &METER],
    reckon: panel,
    begin: None,
    checks: &[
        Check {
            case: "3 mm skins on 12.7 mm of balsa",
            inputs: r#"{"skin": "3 mm", "skin_modulus": "13240 MPa", "core": "12.7 mm", "span": "400 mm", "strip": "100 mm", "load": "1000 N"}"#,
            expect: &[
                near("stiffness", 495.487, 0.0005),
                near("shear_stiffness", 249.92, 0.01),
                near("bending", 2.69095, 0.00001),
                near("shear", 0.40012, 0.00002),
                near("deflection", 3.0911, 0.0001),
                near("skin_stress", 21.2314, 0.0001),
                near("core_stress", 0.3185, 0.0001),
                near("core_shear", 128.77, 0.0005),
                word("verdict", "soft"),
                near("loose", 223.8, 0.1),
            ],
            mark: Mark::Worked,
            source: "sandwich beam theory, worked by hand",
        },
        Check {
            case: "half of the core's stiffness gone",
            inputs: r#"{"skin": "3 mm", "skin_modulus": "13240 MPa", "core": "12.7 mm", "span": "400 mm", "strip": "100 mm", "load": "1000 N", "core_left": "50 %"}"#,
            expect: &[near("deflection", 3.4912, 0.0001)],
            mark: Mark::Worked,
            source: "sandwich beam theory",
        },
        Check {
            case: "a tenth of it left",
            inputs: r#"{"skin": "3 mm", "skin_modulus": "13240 MPa", "core": "12.7 mm", "span": "400 mm", "strip": "100 mm", "load": "1000 N", "core_left": "10 %"}"#,
            expect: &[near("deflection", 6.6921, 0.0002)],
            mark: Mark::Worked,
            source: "sandwich beam theory",
        },
        Check {
            case: "a fiftieth of it left",
            inputs: r#"{"skin": "3 mm", "skin_modulus": "13240 MPa", "core": "12.7 mm", "span": "400 mm", "strip": "100 mm", "load": "1000 N", "core_left": "2 %"}"#,
            expect: &[near("deflection", 22.697, 0.0005)],
            mark: Mark::Worked,
            source: "sandwich beam theory",
        },
        Check {
            case: "a broad strip is firm",
            inputs: r#"{"skin": "3 mm", "skin_modulus": "13240 MPa", "core": "12.7 mm", "span": "400 mm"}"#,
            expect: &[word("verdict", "firm")],
            mark: Mark::CommonPractice,
            source: "less than a hundred and fiftieth of the span",
        },
        Check {
            case: "balsa lighter than there is",
            inputs: r#"{"skin": "3 mm", "skin_modulus": "13240 MPa", "core": "12.7 mm", "span": "400 mm", "core_density": "50 kg/m3"}"#,
            expect: &[refused("core_density")],
            mark: Mark::Definition,
            source: "the table begins at 90 kg/m³",
        },
    ],
};

const LAYER: &[Input] = &[
    input::words("what", "What", "Skin, core, strut.").optional(),
    input::amount(
        "thickness",
        "Thickness",
        "In the load's direction.",
        LENGTHS,
        "0.05",
        "1000",
    ),
    input::amount(
        "modulus",
        "Modulus of elasticity",
        "Along the span; nought for balsa and foam.",
        STIFFNESS,
        "0",
        "220000",
    ),
    input::amount(
        "width",
        "Width",
        "Of this layer in the strip that is looked at.",
        LENGTHS,
        "0.5",
        "5000",
    )
    .or("1000 mm", "a metre of deck"),
];

const STACK_INPUTS: &[Input] = &[
    input::rows(
        "built",
        "As it was built",
        "Layers from below upwards.",
        LAYER,
        1,
        40,
    ),
    input::rows(
        "repaired",
        "As it is repaired",
        "Layers from below upwards.",
        LAYER,
        1,
        40,
    )
    .optional(),
];

const STACK_RESULTS: &[Output] = &[
    output::figure("stiffness", "Bending stiffness as built", "N.m2", 5),
    output::figure("axis", "Neutral axis above the underside", "mm", 5),
    output::figure("thickness", "Thickness as built", "mm", 3),
    output::figure(
        "stiffness_repaired",
        "Bending stiffness as repaired",
        "N.m2",
        5,
    )
    .sometimes(),
    output::figure("axis_repaired", "Neutral axis as repaired", "mm", 5).sometimes(),
    output::figure("ratio", "As repaired, of as built", "", 5).sometimes(),
    output::verdict(
        "verdict",
        "The repair",
        &[
            ("stiffer", "is as stiff as before or stiffer in bending"),
            ("weaker", "is less stiff in bending than what was built"),
        ],
    )
    .sometimes(),
];

/// Stiffness in N·mm², neutral axis and thickness in mm.
fn stack(name: &str, rows: &[Given]) -> Result<(f64, f64, f64), Unreckoned> {
    let (mut z, mut ea, mut eay) = (0.0, 0.0, 0.0);
    let mut layers = Vec::new();
    for row in rows {
        let (t, e, b) = (
            row.amount("thickness", "mm")?,
            row.amount("modulus", "MPa")?,
            row.amount("width", "mm")?,
        );
        let y = z + t / 2.0;
        ea += e * b * t;
        eay += e * b * t * y;
        layers.push((t, e * b, y));
        z += t;
    }
    if ea <= 0.0 {
        return Err(Unreckoned::impossible(
            name,
            "no layer has any stiffness along the span",
            "give the skins their modulus",
        ));
    }
    let axis = eay / ea;
    let d = layers
        .iter()
        .map(|(t, eb, y)| eb * (t * t * t / 12.0 + t * (y - axis) * (y - axis)))
        .sum();
    Ok((d, axis, z))
}

fn stacked(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(STACK_RESULTS);
    let (d, axis, thickness) = stack("built", given.rows("built"))?;
    out.say("stiffness", d / 1e6)?;
    out.say("axis", axis)?;
    out.say("thickness", thickness)?;
    if given.has("repaired") {
        let (repaired, axis, _) = stack("repaired", given.rows("repaired"))?;
        out.say("stiffness_repaired", repaired / 1e6)?;
        out.say("axis_repaired", axis)?;
        out.say("ratio", repaired / d)?;
        out.answers.verdict(
            "verdict",
            if repaired >= d * (1.0 - 1e-9) {
                "stiffer"
            } else {
                "weaker"
            },
        )?;
        out.remark("Bending alone: shear in the core, the skins' strength and the weight are other questions. Thicker is not by itself better.");
    }
    Ok(out)
}

/// Stiffness of layers, as built and as repaired.
pub static STACK: Reckoning = Reckoning {
    name: "layers",
    title: "Layers, as built and as repaired",
    purpose: "The bending stiffness of a deck or a box of plywood and struts, layer by layer, before and after.",
    topic: Topic::Stiffness,
    revision: 1,
    inputs: STACK_INPUTS,
    results: STACK_RESULTS,
    formula: "
EA = Σ E b t      yn = Σ E b t y / EA
EI = Σ E b (t³/12 + t (y − yn)²)",
    sources: &[
        definition(
            "bending of layered sections, plane sections staying plane; the library sectionproperties agrees",
        ),
        memory("end-grain balsa and foam have hardly any stiffness in their own plane"),
    ],
    limits: &[
        "Glued and stiff in shear throughout: a wet or loose box is not one.",
        "Wide flanges that do not work over their whole width.",
    ],
    cautions: &[&STRUCTURE, &WET_DECK],
    reckon: stacked,
    begin: None,
    checks: &[
        Check {
            case: "a skin laid thicker than it was",
            inputs: r#"{"built": [{"thickness": "2.1 mm", "modulus": "6400 MPa", "width": "1 mm"}, {"thickness": "12.7 mm", "modulus": "0 MPa", "width": "1 mm"}, {"thickness": "3.0 mm", "modulus": "13240 MPa", "width": "1 mm"}], "repaired": [{"thickness": "2.1 mm", "modulus": "6400 MPa", "width": "1 mm"}, {"thickness": "12.7 mm", "modulus": "0 MPa", "width": "1 mm"}, {"thickness": "3.67 mm", "modulus": "14000 MPa", "width": "1 mm"}]}"#,
            expect: &[
                near("axis", 12.4445, 0.00005),
                near("stiffness", 2.37014, 0.000005),
                near("stiffness_repaired", 2.65021, 0.000005),
                near("ratio", 1.11817, 0.00001),
                word("verdict", "stiffer"),
            ],
            mark: Mark::Worked,
            source: "layered sections, worked by hand",
        },
        Check {
            case: "plywood core replaced by foam",
            inputs: r#"{"built": [{"thickness": "2.1 mm", "modulus": "6400 MPa", "width": "1 mm"}, {"thickness": "12 mm", "modulus": "4000 MPa", "width": "1 mm"}, {"thickness": "3.0 mm", "modulus": "13240 MPa", "width": "1 mm"}], "repaired": [{"thickness": "2.1 mm", "modulus": "6400 MPa", "width": "1 mm"}, {"thickness": "12 mm", "modulus": "0 MPa", "width": "1 mm"}, {"thickness": "3.0 mm", "modulus": "13240 MPa", "width": "1 mm"}]}"#,
            expect: &[
                near("stiffness", 3.10502, 0.000005),
                near("stiffness_repaired", 2.16066, 0.000005),
                word("verdict", "weaker"),
            ],
            mark: Mark::Worked,
            source: "layered sections, worked by hand",
        },
        Check {
            case: "a box of plywood and a strut",
            inputs: r#"{"built": [{"thickness": "6 mm", "modulus": "8000 MPa", "width": "400 mm"}, {"thickness": "70 mm", "modulus": "9000 MPa", "width": "45 mm"}, {"thickness": "12 mm", "modulus": "8000 MPa", "width": "400 mm"}]}"#,
            expect: &[
                near("stiffness", 96_066.3, 0.05),
                near("axis", 50.82897, 0.00001),
            ],
            mark: Mark::Worked,
            source: "sectionproperties 3.10 agrees",
        },
        Check {
            case: "three of 3/8 in plywood laminated to a beam, beside one of 3/4 in",
            inputs: r#"{"built": [{"thickness": "3/4 in", "modulus": "8000 MPa", "width": "100 mm"}], "repaired": [{"thickness": "3/8 in", "modulus": "8000 MPa", "width": "100 mm"}, {"thickness": "3/8 in", "modulus": "8000 MPa", "width": "100 mm"}, {"thickness": "3/8 in", "modulus": "8000 MPa", "width": "100 mm"}]}"#,
            expect: &[
                near("stiffness_repaired", 1555.49084, 0.001),
                near("ratio", 3.375, 0.00001),
                word("verdict", "stiffer"),
            ],
            mark: Mark::CommonPractice,
            source: "marine plywood of 3/8 and 3/4 in, three of 3/8 laminated to a beam; E b h³/12 worked by hand",
        },
        Check {
            case: "nothing stiff",
            inputs: r#"{"built": [{"thickness": "12 mm", "modulus": "0 MPa"}]}"#,
            expect: &[refused("built")],
            mark: Mark::Definition,
            source: "a core alone is no beam",
        },
    ],
};
