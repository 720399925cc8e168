//! Laminate schedules: how thick, how heavy, how much glass and resin; and what strength the standard assumes.

use crate::caution::{DUST, EXOTHERM, RESIN, SOLVENT, STRUCTURE};
use crate::check::{Check, near};
use crate::input::{self, Input};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

/// The density of E-glass, g/cm³ (ISO 12215-5:2008, Annex C: 3.072 = 2.56 · 1.20).
const GLASS: f64 = 2.56;

/// Thickness of a ply, mm.
///
/// ```text
/// t = w/ρf + w (1/ψ − 1)/ρr
/// ```
///
/// # Units
///
/// - `w`: dry fibre, kg/m²
/// - `psi` (ψ): fibre's share of the laminate's mass, between 0 and 1
/// - `rho_f`, `rho_r` (ρf, ρr): densities of fibre and resin, g/cm³
/// - returns: mm, no voids
///
/// # Errors
///
/// None: the ranges are those of the inputs.
///
/// # Source
///
/// ISO 12215-5:2008, Annex C, eq. C.1, t = w/3.072 (2.56/ψ − 1.36), is this rule of mixtures at ρf 2.56 and ρr 1.20;
/// see `docs/sources/iso12215-5.md`.
#[must_use]
pub fn ply_thickness(w: f64, psi: f64, rho_f: f64, rho_r: f64) -> f64 {
    w / rho_f + w * (1.0 / psi - 1.0) / rho_r
}

/// Share of the laminate's volume that is fibre.
///
/// ```text
/// Vf = (ψ/ρf) / (ψ/ρf + (1 − ψ)/ρr)
/// ```
///
/// # Units
///
/// Those of [`ply_thickness`]; returns a share between 0 and 1.
///
/// # Errors
///
/// None.
///
/// # Source
///
/// The rule of mixtures; see `docs/sources/iso12215-5.md`.
#[must_use]
pub fn fibre_volume(psi: f64, rho_f: f64, rho_r: f64) -> f64 {
    let fibre = psi / rho_f;
    fibre / (fibre + (1.0 - psi) / rho_r)
}

/// The reinforcements with the fibre shares of ISO 12215-5:2008, Table C.2: simple surface by hand, complex surface by hand,
/// vacuum or infusion. The last is common practice.
const SHARES: [(&str, [f64; 3]); 5] = [
    ("mat", [0.30, 0.25, 0.36]),
    ("roving", [0.48, 0.36, 0.58]),
    ("multiaxial", [0.50, 0.38, 0.60]),
    ("unidirectional", [0.55, 0.41, 0.66]),
    ("cloth", [0.45, 0.36, 0.55]),
];

const WAYS: &[(&str, &str)] = &[
    ("hand", "by hand on a plain surface"),
    ("hand-complex", "by hand in corners and over curves"),
    ("vacuum", "under vacuum or infused"),
];

const REINFORCEMENTS: &[(&str, &str)] = &[
    ("mat", "chopped strand mat"),
    ("cloth", "plain cloth"),
    ("roving", "woven roving"),
    ("multiaxial", "stitched multiaxial"),
    ("unidirectional", "unidirectional"),
];

static PLIES: [Input; 4] = [
    input::choice(
        "reinforcement",
        "Reinforcement",
        "What the ply is made of.",
        REINFORCEMENTS,
    ),
    input::amount(
        "weight",
        "Weight",
        "Dry, as it stands on the roll; mat is sold in oz per square foot, cloth and roving in oz per square yard.",
        &["g/m2", "oz/yd2", "oz/ft2", "kg/m2"],
        "20",
        "4000",
    ),
    input::whole(
        "layers",
        "Layers",
        "How many of this ply lie one after the other.",
        1,
        50,
    )
    .or("1", "one layer"),
    input::amount(
        "share",
        "Fibre by mass",
        "Where it was measured or is on the data sheet.",
        &["%"],
        "15",
        "75",
    )
    .optional(),
];

const PLY_TABLE: &[Output] = &[
    output::words("ply", "Ply"),
    output::figure("layers", "Layers", "pcs", 0),
    output::figure("dry", "Dry", "g/m2", 0),
    output::figure("fibre", "Fibre", "%", 0),
    output::figure("thick", "Thick", "mm", 2),
    output::figure("resin", "Resin", "g/m2", 0),
];

const LAMINATE_INPUTS: &[Input] = &[
    input::rows("plies", "Plies", "From the outside in.", &PLIES, 1, 40),
    input::choice(
        "way",
        "How it is laid",
        "Decides the fibre share where none is given.",
        WAYS,
    )
    .or("hand", "the usual way of a repair"),
    input::amount(
        "resin_density",
        "Density of the cured resin",
        "About 1.20 for polyester, 1.15 for epoxy.",
        &["g/cm3", "kg/m3"],
        "0.9",
        "1.5",
    )
    .or("1.20 g/cm3", "ISO 12215-5:2008, polyester"),
    input::amount(
        "area",
        "Area",
        "Of the repair, one side.",
        &["m2", "ft2", "cm2", "in2"],
        "0.0001",
        "1000",
    )
    .optional(),
    input::amount(
        "waste",
        "Overlap and waste",
        "Added to the area for glass and resin.",
        &["%"],
        "0",
        "100",
    )
    .or("15 %", "common practice"),
    input::amount(
        "sealing",
        "Sealing coat",
        "Resin that bare wood or balsa drinks first, of all faces together.",
        &["g/m2"],
        "0",
        "1500",
    )
    .optional(),
];

const LAMINATE_RESULTS: &[Output] = &[
    output::figure("thickness", "Thickness", "mm", 3),
    output::figure("fibre", "Dry fibre", "g/m2", 0),
    output::figure("share", "Fibre by mass", "%", 1),
    output::figure("volume_share", "Fibre by volume", "%", 1),
    output::figure("resin", "Resin with hardener", "g/m2", 0),
    output::figure("mass", "Laminate", "g/m2", 0),
    output::figure("glass_total", "Glass for the area", "kg", 2).sometimes(),
    output::figure("resin_total", "Resin with hardener for the area", "kg", 2).sometimes(),
    output::figure("resin_volume", "The same by volume", "l", 2).sometimes(),
    output::table("table", "Ply by ply, from the outside in", PLY_TABLE),
];

/// A laminate schedule.
pub static LAMINATE: Reckoning = Reckoning {
    name: "laminate",
    title: "Laminate schedule",
    purpose: "How thick and heavy a stack of plies becomes, and how much glass and resin it takes.",
    topic: Topic::Laminate,
    revision: 1,
    inputs: LAMINATE_INPUTS,
    results: LAMINATE_RESULTS,
    formula: "
t = w/ρf + w (1/ψ − 1)/ρr   for each ply, ρf = 2.56 g/cm³
ψ of the stack = Σw / Σ(w/ψ)
resin = w (1/ψ − 1)
Vf = (ψ/ρf) / (ψ/ρf + (1 − ψ)/ρr)",
    sources: &[
        published(
            "ISO 12215-5:2008, Annex C, eq. C.1 and Table C.2, read in a transcription",
            "iso12215-5",
        ),
        definition("one ounce is 28.349523125 g, one yard 0.9144 m (1959 agreement; NIST SP 811)"),
        common_practice("45 per cent for plain cloth by hand; waste and sealing coats"),
    ],
    limits: &[
        "No voids, no gelcoat, no bonding paste.",
        "Carbon and aramid have other densities.",
        "The fibre share is the worker’s: weigh a sample where it matters.",
    ],
    cautions: &[&STRUCTURE, &RESIN, &EXOTHERM, &SOLVENT, &DUST],
    reckon: laminate,
    begin: None,
    checks: &[
        Check {
            case: "ISO 12215-5:2008, eq. C.1, worked by hand (1)",
            inputs: r#"{"plies":[{"reinforcement":"mat","weight":"300 g/m2"},{"reinforcement":"roving","weight":"600 g/m2"},{"reinforcement":"mat","weight":"300 g/m2"},{"reinforcement":"roving","weight":"600 g/m2"}],"area":"2.5 m2","waste":"15 %","resin_density":"1.20 g/cm3"}"#,
            expect: &[
                near("thickness", 2.953, 0.0005),
                near("share", 40.0, 0.05),
                near("resin", 2700.0, 0.5),
                near("resin_total", 7.7625, 0.005),
            ],
            mark: Mark::Published,
            source: "ISO 12215-5:2008, eq. C.1, worked by hand",
        },
        Check {
            case: "ISO 12215-5:2008, eq. C.1 at ψ 0.30 (2)",
            inputs: r#"{"plies":[{"reinforcement":"mat","weight":"450 g/m2"}]}"#,
            expect: &[
                near("thickness", 1.0508, 0.005),
                near("resin", 1050.0, 0.5),
                near("volume_share", 16.73, 0.05),
            ],
            mark: Mark::Published,
            source: "ISO 12215-5:2008, eq. C.1 at ψ 0.30",
        },
        Check {
            case: "ISO 12215-5:2008, eq. C.1 at ψ 0.48 (3)",
            inputs: r#"{"plies":[{"reinforcement":"roving","weight":"600 g/m2"}]}"#,
            expect: &[
                near("thickness", 0.7760, 0.005),
                near("resin", 650.0, 0.5),
                near("volume_share", 30.20, 0.05),
            ],
            mark: Mark::Published,
            source: "ISO 12215-5:2008, eq. C.1 at ψ 0.48",
        },
        Check {
            case: "the rule of mixtures with epoxy (4)",
            inputs: r#"{"plies":[{"reinforcement":"multiaxial","weight":"600 g/m2"}],"resin_density":"1.15 g/cm3"}"#,
            expect: &[near("thickness", 0.7561, 0.005), near("resin", 600.0, 0.5)],
            mark: Mark::Worked,
            source: "the rule of mixtures with epoxy",
        },
        Check {
            case: "structural cloth of 10 oz/yd², two layers crossed (5)",
            inputs: r#"{"plies":[{"reinforcement":"cloth","weight":"10 oz/yd2","layers":"2"}]}"#,
            expect: &[near("fibre", 678.115, 0.5)],
            mark: Mark::CommonPractice,
            source: "structural cloth of 10 oz/yd², two layers crossed",
        },
        Check {
            case: "1.5 oz per square foot (6)",
            inputs: r#"{"plies":[{"reinforcement":"mat","weight":"1.5 oz/ft2"}]}"#,
            expect: &[near("fibre", 457.728, 0.5)],
            mark: Mark::Worked,
            source: "1.5 oz per square foot",
        },
        Check {
            case: "finishing cloth of 6 oz/yd² (7)",
            inputs: r#"{"plies":[{"reinforcement":"cloth","weight":"6 oz/yd2"}]}"#,
            expect: &[
                near("fibre", 203.434, 0.5),
                near("thickness", 0.2867, 0.005),
            ],
            mark: Mark::CommonPractice,
            source: "finishing cloth of 6 oz/yd²",
        },
        Check {
            case: "roving of 18 oz/yd² (8)",
            inputs: r#"{"plies":[{"reinforcement":"roving","weight":"18 oz/yd2"}]}"#,
            expect: &[near("fibre", 610.303, 0.5)],
            mark: Mark::CommonPractice,
            source: "roving of 18 oz/yd²",
        },
    ],
};

fn laminate(given: &Given) -> Result<Outcome, Unreckoned> {
    let rho_r = given.amount("resin_density", "g/cm3")?;
    let chosen = given.choice("way")?;
    let way = WAYS
        .iter()
        .position(|(word, _)| *word == chosen)
        .unwrap_or_default();
    let mut out = Outcome::new(LAMINATE_RESULTS);
    let (mut w_sum, mut mass_sum, mut t_sum) = (0.0, 0.0, 0.0);
    for ply in given.rows("plies") {
        let kind = ply.choice("reinforcement")?;
        let usual = SHARES
            .iter()
            .find(|(word, _)| *word == kind)
            .and_then(|(_, shares)| shares.get(way))
            .copied()
            .unwrap_or(0.45);
        let psi = ply
            .amount_if("share", "%")?
            .map_or(usual, |percent| percent / 100.0);
        let g = ply.amount("weight", "g/m2")?;
        let n = crate::number::of_count(usize::try_from(ply.whole("layers")?).unwrap_or(1));
        let w = g / 1000.0 * n;
        let t = ply_thickness(w, psi, GLASS, rho_r);
        if kind == "mat" && g < 200.0 {
            out.remark(format!(
                "A mat of {g:.0} g/m² is unusually thin: mat is sold in ounces per square foot, not per square yard. 1.5 oz mat is 458 g/m²."
            ));
        }
        if kind != "mat" && g > 1800.0 {
            out.remark(format!(
                "{g:.0} g/m² is unusually heavy for cloth: cloth and roving are sold in ounces per square yard, not per square foot."
            ));
        }
        w_sum += w;
        mass_sum += w / psi;
        t_sum += t;
        let shown = REINFORCEMENTS
            .iter()
            .find(|(word, _)| *word == kind)
            .map_or(kind, |(_, shown)| shown);
        let mut line = out.answers.row("table");
        line.words("ply", shown)?;
        line.figure("layers", n)?;
        line.figure("dry", g)?;
        line.figure("fibre", psi * 100.0)?;
        line.figure("thick", t)?;
        line.figure("resin", w * (1.0 / psi - 1.0) * 1000.0)?;
        out.answers.push("table", line)?;
    }
    let psi = w_sum / mass_sum;
    let resin = mass_sum - w_sum + given.amount_if("sealing", "g/m2")?.unwrap_or_default() / 1000.0;
    out.say("thickness", t_sum)?;
    out.say("fibre", w_sum * 1000.0)?;
    out.say("share", psi * 100.0)?;
    out.say("volume_share", fibre_volume(psi, GLASS, rho_r) * 100.0)?;
    out.say("resin", resin * 1000.0)?;
    out.say("mass", (w_sum + resin) * 1000.0)?;
    if let Some(area) = given.amount_if("area", "m2")? {
        let area = area * (1.0 + given.amount("waste", "%")? / 100.0);
        out.say("glass_total", w_sum * area)?;
        out.say("resin_total", resin * area)?;
        out.say("resin_volume", resin * area / rho_r)?;
        out.need("Glass reinforcement", "", w_sum * area, "kg", 2)?;
        out.need("Laminating resin with hardener", "", resin * area, "kg", 1)?;
    }
    Ok(out)
}

const STRENGTH_INPUTS: &[Input] = &[
        input::amount("share", "Fibre by mass", "Of the laminate, as the schedule gives it.", &["%"], "20", "75"),
        input::choice("kind", "Reinforcement", "What most of it is.", &[("woven", "mat, woven, roving and mat, or 0/90 on its axis"), ("sprayed", "sprayed mat"), ("unidirectional", "unidirectional, along the fibre")]).or("woven", "the usual repair"),
        input::yes_no("lowest", "Lowest level of evaluation", "Whether every value is taken at four fifths, as the standard does where nothing is known of the workshop.").or("yes", "a repair by its owner"),
    ];

const STRENGTH_RESULTS: &[Output] = &[
    output::figure("tension", "Tensile strength", "MPa", 1),
    output::figure("compression", "Compressive strength", "MPa", 1),
    output::figure("flexure", "Flexural strength", "MPa", 1),
    output::figure("shear", "In-plane shear strength", "MPa", 1),
    output::figure("interlaminar", "Interlaminar shear strength", "MPa", 2),
    output::figure("modulus", "Modulus of elasticity", "MPa", 0),
    output::figure("shear_modulus", "Shear modulus", "MPa", 0),
];

/// What strength the standard assumes.
pub static STRENGTH: Reckoning = Reckoning {
    name: "laminate-strength",
    title: "Assumed strength of a laminate",
    purpose: "The strength and stiffness that ISO 12215-5:2008 assumes for glass and polyester where nothing was tested.",
    topic: Topic::Laminate,
    revision: 1,
    inputs: STRENGTH_INPUTS,
    results: STRENGTH_RESULTS,
    formula: "
woven: UTS = 800ψ² − 80ψ + 37; UCS = 150ψ + 72; flexural = 502ψ² + 107; shear = 80ψ + 38; E = 38000ψ − 5000; G = 1700ψ + 2240; interlaminar = 22.5 − 17.5ψ",
    sources: &[published("ISO 12215-5:2008, Table C.4 and C.1.4, read in a transcription", "iso12215-5")],
    limits: &["A superseded edition; the edition of 2019 reckons with strains.", "Fabric at ±45° loaded along the boat does not have these values.", "Epoxy on old polyester is not what was tested.", "A paper of 2022 found the later edition’s figures optimistic in compression."],
    cautions: &[&STRUCTURE],
    reckon: strength,
    begin: None,
    checks: &[
        Check { case: "ISO 12215-5:2008, Table C.4 at ψ 0.30 (9)", inputs: r#"{"share":"30 %","lowest":"no"}"#, expect: &[near("tension", 85.0, 0.05), near("compression", 117.0, 0.05), near("flexure", 152.18, 0.05), near("shear", 62.0, 0.05), near("modulus", 6400.0, 0.5), near("shear_modulus", 2750.0, 0.5), near("interlaminar", 17.25, 0.005)], mark: Mark::Published, source: "ISO 12215-5:2008, Table C.4 at ψ 0.30" },
        Check { case: "ISO 12215-5:2008, Table C.4 at ψ 0.48 (10)", inputs: r#"{"share":"48 %","lowest":"no"}"#, expect: &[near("tension", 182.92, 0.05), near("compression", 144.0, 0.05), near("flexure", 222.66, 0.05), near("shear", 76.4, 0.05), near("modulus", 13240.0, 0.5), near("shear_modulus", 3056.0, 0.5), near("interlaminar", 14.10, 0.005)], mark: Mark::Published, source: "ISO 12215-5:2008, Table C.4 at ψ 0.48" },
        Check { case: "ISO 12215-5:2008, Table C.4 at ψ 0.50 (11)", inputs: r#"{"share":"50 %","lowest":"no"}"#, expect: &[near("tension", 197.0, 0.05), near("compression", 147.0, 0.05), near("flexure", 232.5, 0.05), near("shear", 78.0, 0.05), near("modulus", 14000.0, 0.5), near("shear_modulus", 3090.0, 0.5), near("interlaminar", 13.75, 0.005)], mark: Mark::Published, source: "ISO 12215-5:2008, Table C.4 at ψ 0.50" },
    ],
};

fn strength(given: &Given) -> Result<Outcome, Unreckoned> {
    let psi = given.amount("share", "%")? / 100.0;
    let k = if given.yes("lowest") { 0.8 } else { 1.0 };
    let ucs = 150.0 * psi + 72.0;
    let (uts, ucs, flexure, shear, e, g) = match given.choice("kind")? {
        "sprayed" => (
            150.0 * psi + 25.0,
            ucs,
            300.0 * psi * psi + 107.0,
            80.0 * psi + 38.0,
            38000.0 * psi - 5000.0,
            1700.0 * psi + 2240.0,
        ),
        "unidirectional" => {
            let uts = 880.0 * psi * psi + 140.0 * psi + 140.0;
            let ucs = 250.0 * psi + 190.0;
            (
                uts,
                ucs,
                2.5 * uts / (1.0 + uts / ucs),
                50.0,
                46600.0 * psi * psi + 7200.0 * psi + 7250.0,
                14380.0 * psi * psi - 10560.0 * psi + 3840.0,
            )
        }
        _ => (
            800.0 * psi * psi - 80.0 * psi + 37.0,
            ucs,
            502.0 * psi * psi + 107.0,
            80.0 * psi + 38.0,
            38000.0 * psi - 5000.0,
            1700.0 * psi + 2240.0,
        ),
    };
    if e <= 0.0 {
        return Err(Unreckoned::impossible(
            "share",
            "so little fibre has no stiffness that the standard gives",
            "look at the fibre share",
        ));
    }
    let mut out = Outcome::new(STRENGTH_RESULTS);
    out.say("tension", uts * k)?;
    out.say("compression", ucs * k)?;
    out.say("flexure", flexure * k)?;
    out.say("shear", shear * k)?;
    out.say("interlaminar", (22.5 - 17.5 * psi) * k)?;
    out.say("modulus", e * k)?;
    out.say("shear_modulus", g * k)?;
    out.remark("The standard designs with half of the strength.");
    Ok(out)
}
