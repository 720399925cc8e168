//! Check values for photo scale.

use crate::check::{Check, near, refused, word};
use crate::source::Mark;

const SOLVED: &str =
    "solved apart from this code; OpenCV's getPerspectiveTransform agrees to 6e-14";

pub(super) const CHECKS: &[Check] = &[
    Check {
        case: "a unit square seen as a trapezium: its middle",
        inputs: r#"{"known": [
            {"right": "0", "down": "0", "x": "0 mm", "y": "0 mm"}, {"right": "1", "down": "0", "x": "4 mm", "y": "0 mm"},
            {"right": "1", "down": "1", "x": "3 mm", "y": "2 mm"}, {"right": "0", "down": "1", "x": "1 mm", "y": "2 mm"}],
            "sought": [{"right": "0.5", "down": "0.5"}], "click": "0"}"#,
        expect: &[
            near("points/0/x", 2.0, 0.000_005),
            near("points/0/y", 1.333_333, 0.000_005),
            near("misfit", 0.0, 0.0),
        ],
        mark: Mark::Worked,
        source: "H = [[4, 2, 0], [0, 4, 0], [0, 1, 1]] by hand",
    },
    Check {
        case: "a point beside a sheet of A4",
        inputs: r#"{"reference": "a4", "known": [{"right": "102", "down": "98"}, {"right": "905", "down": "142"}, {"right": "870", "down": "730"}, {"right": "60", "down": "690"}],
            "sought": [{"right": "480", "down": "410"}]}"#,
        expect: &[
            near("points/0/x", 146.273_05, 0.000_01),
            near("points/0/y", 103.742_09, 0.000_01),
        ],
        mark: Mark::Worked,
        source: SOLVED,
    },
    Check {
        case: "a patch on it",
        inputs: r#"{"reference": "a4", "closed": true, "known": [{"right": "102", "down": "98"}, {"right": "905", "down": "142"}, {"right": "870", "down": "730"}, {"right": "60", "down": "690"}],
            "sought": [{"right": "300", "down": "300"}, {"right": "600", "down": "300"}, {"right": "600", "down": "550"}, {"right": "300", "down": "550"}]}"#,
        expect: &[
            near("area", 97.832_6, 0.000_05),
            near("points/0/length", 110.336_06, 0.000_01),
            word("reach", "near"),
        ],
        mark: Mark::Worked,
        source: SOLVED,
    },
    Check {
        case: "how far that may be off when a click is off by a pixel",
        inputs: r#"{"reference": "a4", "closed": true, "known": [{"right": "102", "down": "98"}, {"right": "905", "down": "142"}, {"right": "870", "down": "730"}, {"right": "60", "down": "690"}],
            "sought": [{"right": "300", "down": "300"}, {"right": "600", "down": "300"}, {"right": "600", "down": "550"}, {"right": "300", "down": "550"}]}"#,
        expect: &[
            near("points/0/off", 0.54, 0.015),
            near("area_off", 0.55, 0.015),
        ],
        mark: Mark::Worked,
        source: "20 000 draws of all clicks: 0.54 mm and 55 mm²",
    },
    Check {
        case: "a card, and something ten times as far",
        inputs: r#"{"reference": "card", "known": [{"right": "0", "down": "0"}, {"right": "85.6", "down": "0"}, {"right": "85.6", "down": "53.98"}, {"right": "0", "down": "53.98"}],
            "sought": [{"right": "0", "down": "0"}, {"right": "856", "down": "0"}]}"#,
        expect: &[near("length", 856.0, 0.005), word("reach", "far")],
        mark: Mark::Definition,
        source: "a pixel a millimetre, seen square",
    },
    Check {
        case: "three known points on a line",
        inputs: r#"{"known": [
            {"right": "0", "down": "0", "x": "0 mm", "y": "0 mm"}, {"right": "100", "down": "0", "x": "100 mm", "y": "0 mm"},
            {"right": "200", "down": "0", "x": "200 mm", "y": "0 mm"}, {"right": "0", "down": "100", "x": "0 mm", "y": "100 mm"}],
            "sought": [{"right": "50", "down": "50"}]}"#,
        expect: &[refused("known")],
        mark: Mark::Definition,
        source: "they determine no plane",
    },
    Check {
        case: "a known point without its place",
        inputs: r#"{"known": [{"right": "0", "down": "0"}, {"right": "1", "down": "0"}, {"right": "1", "down": "1"}, {"right": "0", "down": "1"}], "sought": [{"right": "0", "down": "0"}]}"#,
        expect: &[refused("known, row 1, x")],
        mark: Mark::Definition,
        source: "nothing is known of it",
    },
];
