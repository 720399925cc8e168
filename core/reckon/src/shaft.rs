//! The shaft: what the gaps at a coupling say, and how far each engine mount must move.

use crate::caution::{ASBESTOS, SHAFT};
use crate::check::{Check, near, refused, word};
use crate::drawing::{Drawing, Stand, Tone, spot};
use crate::input::{self, Input};
use crate::number::{atan, degrees};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const GAP: &[&str] = &["mm", "in", "um", "mil"];
const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];

const INPUTS: &[Input] = &[
    input::amount(
        "diameter",
        "Diameter of the coupling",
        "Where the feeler is put in.",
        LENGTHS,
        "20",
        "1000",
    ),
    input::amount(
        "top",
        "Gap at the top",
        "Between the faces, pushed together at one point.",
        GAP,
        "0",
        "20",
    ),
    input::amount(
        "bottom",
        "Gap at the bottom",
        "Between the faces.",
        GAP,
        "0",
        "20",
    ),
    input::amount("port", "Gap at port", "Between the faces.", GAP, "0", "20"),
    input::amount(
        "starboard",
        "Gap at starboard",
        "Between the faces.",
        GAP,
        "0",
        "20",
    ),
    input::amount(
        "rear_mounts",
        "Rear mounts forward of the face",
        "Along the shaft.",
        LENGTHS,
        "1",
        "10000",
    ),
    input::amount(
        "front_mounts",
        "Front mounts forward of the face",
        "Along the shaft.",
        LENGTHS,
        "1",
        "10000",
    ),
    input::amount(
        "low",
        "The engine's half lies lower by",
        "Centre to centre; higher is below nought.",
        GAP,
        "-50",
        "50",
    )
    .or("0 mm", "the pilot is fitted first, so that the halves mate"),
    input::amount(
        "to_port",
        "The engine's half lies to port by",
        "Centre to centre; to starboard is below nought.",
        GAP,
        "-50",
        "50",
    )
    .or("0 mm", "the pilot is fitted first, so that the halves mate"),
    input::amount(
        "tolerance",
        "Gap that is allowed for each unit of diameter",
        "The coupling maker's figure comes first.",
        &["%"],
        "0.01",
        "2",
    )
    .or(
        "0.1 %",
        "common practice: a thousandth of an inch for each inch",
    ),
    input::amount(
        "pitch",
        "Pitch of the mounts' studs",
        "To say it in turns.",
        &["mm", "in"],
        "0.3",
        "10",
    )
    .optional(),
];

const RESULTS: &[Output] = &[
    output::verdict(
        "verdict",
        "Alignment",
        &[
            ("within", "within what is allowed"),
            ("beyond", "beyond what is allowed"),
            (
                "read-again",
                "the readings do not agree with each other: measure again",
            ),
        ],
    ),
    output::figure("vertical", "Difference top to bottom", "mm", 3),
    output::figure("sideways", "Difference starboard to port", "mm", 3),
    output::figure("allowed", "Allowed difference", "mm", 3),
    output::figure("angle", "The faces stand open by, up and down", "deg", 5),
    output::figure("rear_up", "Raise the rear mounts by", "mm", 3),
    output::figure("front_up", "Raise the front mounts by", "mm", 3),
    output::figure(
        "rear_starboard",
        "Move the rear mounts to starboard by",
        "mm",
        3,
    ),
    output::figure(
        "front_starboard",
        "Move the front mounts to starboard by",
        "mm",
        3,
    ),
    output::figure("rear_turns", "Rear studs, turns up", "", 3).sometimes(),
    output::figure("front_turns", "Front studs, turns up", "", 3).sometimes(),
    output::figure("closure", "Top and bottom less port and starboard", "mm", 3),
    output::drawing("side", "The coupling from the side"),
];

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(RESULTS);
    let mm = |name: &str| given.amount(name, "mm");
    let d = mm("diameter")?;
    let (top, bottom, port, starboard) = (mm("top")?, mm("bottom")?, mm("port")?, mm("starboard")?);
    let (rear, front) = (mm("rear_mounts")?, mm("front_mounts")?);
    if front <= rear {
        return Err(Unreckoned::impossible(
            "front_mounts",
            "the front mounts are no farther forward than the rear ones",
            "measure both from the face of the coupling",
        ));
    }
    let vertical = top - bottom;
    let sideways = starboard - port;
    let allowed = d * given.amount("tolerance", "%")? / 100.0;
    let closure = top + bottom - port - starboard;
    let (low, to_port) = (mm("low")?, mm("to_port")?);
    let up = |x: f64| low + x * vertical / d;
    // A larger gap at starboard: the engine's forward end lies to port, and goes to starboard.
    let over = |x: f64| to_port + x * sideways / d;
    // Two thousandths of an inch.
    let is_odd = closure.abs() > 0.0508 + 1e-9;
    out.answers.verdict(
        "verdict",
        if is_odd {
            "read-again"
        } else if vertical.abs() <= allowed + 1e-9 && sideways.abs() <= allowed + 1e-9 {
            "within"
        } else {
            "beyond"
        },
    )?;
    out.say("vertical", vertical)?;
    out.say("sideways", sideways)?;
    out.say("allowed", allowed)?;
    out.say("angle", degrees(atan(vertical / d)))?;
    out.say("rear_up", up(rear))?;
    out.say("front_up", up(front))?;
    out.say("rear_starboard", over(rear))?;
    out.say("front_starboard", over(front))?;
    out.say("closure", closure)?;
    if let Some(pitch) = given.amount_if("pitch", "mm")? {
        out.say("rear_turns", up(rear) / pitch)?;
        out.say("front_turns", up(front) / pitch)?;
    }
    if is_odd {
        out.remark("The sum of top and bottom and the sum of port and starboard should be the same within two thousandths of an inch: a face is dirty, or the faces were not pushed together the same each time.");
    }
    if vertical > 0.0 {
        out.remark("The gap is larger at the top: the engine's forward end is low.");
    } else if vertical < 0.0 {
        out.remark("The gap is larger at the bottom: the engine's forward end is high, and what is raised below nought goes down.");
    }
    out.answers.drawing("side", &side(vertical))?;
    Ok(out)
}

/// The coupling from the side, the gap much enlarged: aft to the left, forward to the right.
fn side(vertical: f64) -> Drawing {
    let says = if vertical > 0.0 {
        "The gap between the faces is wider at the top. The engine's forward end, at the right, is low and must be raised."
    } else if vertical < 0.0 {
        "The gap between the faces is wider at the bottom. The engine's forward end, at the right, is high and must be lowered."
    } else {
        "The faces stand parallel, seen from the side."
    };
    let mut drawing = Drawing::new("Coupling from the side", says, 240.0);
    let lean: f64 = if vertical > 0.0 {
        24.0
    } else if vertical < 0.0 {
        -24.0
    } else {
        0.0
    };
    drawing.rectangle(Tone::Second, spot(40.0, 105.0), spot(270.0, 125.0));
    drawing.rectangle(Tone::Body, spot(270.0, 55.0), spot(300.0, 175.0));
    let (above, below) = (304.0 + lean.max(0.0), 304.0 + (-lean).max(0.0));
    drawing.area(
        Tone::Body,
        [
            spot(above, 55.0),
            spot(above + 30.0, 55.0),
            spot(below + 30.0, 175.0),
            spot(below, 175.0),
        ],
    );
    let drop = lean * 1.6;
    drawing.area(
        Tone::Second,
        [
            spot(345.0, 85.0),
            spot(600.0, 85.0 + drop),
            spot(600.0, 145.0 + drop),
            spot(345.0, 145.0),
        ],
    );
    drawing.words(Stand::Middle, spot(150.0, 95.0), "shaft, aft");
    drawing.words(Stand::Middle, spot(480.0, 215.0), "engine, forward");
    drawing.words(Stand::Middle, spot(310.0, 40.0), "top");
    drawing.words(Stand::Middle, spot(310.0, 200.0), "bottom");
    drawing
}

/// Coupling alignment.
pub static COUPLING: Reckoning = Reckoning {
    name: "coupling",
    title: "Shaft coupling",
    purpose: "Whether an engine is in line with its shaft, and how far each mount must move.",
    topic: Topic::Shaft,
    revision: 1,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
vertical = T − B        sideways = S − P
raise a mount at x forward of the face by: offset + x (T − B)/D
move it to starboard by: offset + x (S − P)/D
check: T + B = P + S within 0.05 mm
allowed: 0.001 of the diameter",
    sources: &[
        definition(
            "plane geometry: a larger gap on top means that the engine's forward end is low",
        ),
        common_practice(
            "a thousandth of an inch of gap for each inch of diameter; makers name from 0.07 to 0.1 mm in all",
        ),
        common_practice(
            "afloat, with tanks as usual, a day or two after launching, and once more when the bolts are tight",
        ),
    ],
    limits: &[
        "Run-out of the flanges: turn the shaft by half and take the mean of both sets.",
        "A bent shaft, worn bearings, soft mounts that settle.",
        "Sideways first gets no better while it is far off up and down: fit the pilot, then up and down, then sideways.",
    ],
    cautions: &[&SHAFT, &ASBESTOS],
    reckon,
    begin: None,
    checks: &[
        Check {
            case: "four-inch coupling",
            inputs: r#"{"diameter": "4 in", "top": "0.012 in", "bottom": "0.004 in", "port": "0.007 in", "starboard": "0.009 in", "rear_mounts": "8 in", "front_mounts": "30 in", "pitch": "1.5 mm"}"#,
            expect: &[
                near("vertical", 0.2032, 0.0005),
                near("angle", 0.11459, 0.00001),
                near("rear_up", 0.4064, 0.0005),
                near("front_up", 1.524, 0.0005),
                near("front_turns", 1.016, 0.0005),
                near("rear_starboard", 0.1016, 0.0005),
                near("front_starboard", 0.381, 0.0005),
                word("verdict", "beyond"),
            ],
            mark: Mark::Worked,
            source: "plane geometry",
        },
        Check {
            case: "and lying 0.006 in low",
            inputs: r#"{"diameter": "4 in", "top": "0.012 in", "bottom": "0.004 in", "port": "0.007 in", "starboard": "0.009 in", "rear_mounts": "8 in", "front_mounts": "30 in", "low": "0.006 in"}"#,
            expect: &[
                near("rear_up", 0.5588, 0.0005),
                near("front_up", 1.6764, 0.0005),
            ],
            mark: Mark::Worked,
            source: "plane geometry",
        },
        Check {
            case: "readings that do not close",
            inputs: r#"{"diameter": "4 in", "top": "0.012 in", "bottom": "0.004 in", "port": "0.004 in", "starboard": "0.006 in", "rear_mounts": "8 in", "front_mounts": "30 in"}"#,
            expect: &[word("verdict", "read-again")],
            mark: Mark::CommonPractice,
            source: "both sums agree within two thousandths of an inch",
        },
        Check {
            case: "mounts the wrong way round",
            inputs: r#"{"diameter": "4 in", "top": "0 in", "bottom": "0 in", "port": "0 in", "starboard": "0 in", "rear_mounts": "30 in", "front_mounts": "8 in"}"#,
            expect: &[refused("front_mounts")],
            mark: Mark::Definition,
            source: "front is forward of rear",
        },
    ],
};
