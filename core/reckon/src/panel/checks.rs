//! Check values for cutting plans.

use crate::check::{Check, near, refused, word};
use crate::source::Mark;

const FLOOR: &str = "plain arithmetic, floor((L + k)/(p + k)) both ways";

pub(super) const CHECKS: &[Check] = &[
    Check {
        case: "the first instance of Christofides and Whitlock, a unit taken as a centimetre",
        inputs: r#"{"aim": "most-from-one", "kerf": "0 mm", "keep": "1 cm", "sheets": [{"length": "15 cm", "width": "10 cm", "count": 1}], "parts": [
            {"length": "8 cm", "width": "4 cm", "count": 2, "value": "66", "grain": "along"},
            {"length": "3 cm", "width": "7 cm", "count": 1, "value": "35", "grain": "along"},
            {"length": "8 cm", "width": "2 cm", "count": 3, "value": "24", "grain": "along"},
            {"length": "3 cm", "width": "4 cm", "count": 5, "value": "17", "grain": "along"},
            {"length": "3 cm", "width": "3 cm", "count": 2, "value": "11", "grain": "along"},
            {"length": "3 cm", "width": "2 cm", "count": 2, "value": "8", "grain": "along"},
            {"length": "2 cm", "width": "1 cm", "count": 1, "value": "2", "grain": "along"}]}"#,
        expect: &[near("value", 244.0, 0.0), word("proved", "yes")],
        mark: Mark::Published,
        source: "Christofides and Whitlock, Operations Research 25 (1977) 30-44, instance cgcut1 of the OR-Library",
    },
    Check {
        case: "parts of 610 × 610 from 2440 × 1220 with a saw that takes nothing",
        inputs: r#"{"kerf": "0 mm", "sheets": [{"length": "2440 mm", "width": "1220 mm", "count": 1}], "parts": [{"length": "610 mm", "width": "610 mm", "count": 8}]}"#,
        expect: &[
            word("room", "all"),
            near("parts_cut", 8.0, 0.0),
            near("used_share", 100.0, 0.0),
            word("proved", "yes"),
        ],
        mark: Mark::Definition,
        source: FLOOR,
    },
    Check {
        case: "the same with 3 mm for the saw",
        inputs: r#"{"sheets": [{"length": "2440 mm", "width": "1220 mm", "count": 1}], "parts": [{"length": "610 mm", "width": "610 mm", "count": 8}], "tries": 100}"#,
        expect: &[
            word("room", "some"),
            near("parts_cut", 3.0, 0.0),
            near("left_over/0/count", 5.0, 0.0),
        ],
        mark: Mark::Definition,
        source: FLOOR,
    },
    Check {
        case: "600 × 400 with 3 mm for the saw",
        inputs: r#"{"sheets": [{"length": "2440 mm", "width": "1220 mm", "count": 1}], "parts": [{"length": "600 mm", "width": "400 mm", "count": 12, "grain": "along"}], "edge_to_edge": true}"#,
        expect: &[word("room", "all"), near("parts_cut", 12.0, 0.0)],
        mark: Mark::Definition,
        source: FLOOR,
    },
    Check {
        case: "the same with 10 mm off each edge",
        inputs: r#"{"trim": "10 mm", "aim": "most-from-one", "sheets": [{"length": "2440 mm", "width": "1220 mm", "count": 1}], "parts": [{"length": "600 mm", "width": "400 mm", "count": 60, "grain": "along", "value": "1"}]}"#,
        expect: &[near("value", 8.0, 0.0)],
        mark: Mark::Definition,
        source: FLOOR,
    },
    Check {
        case: "and across",
        inputs: r#"{"trim": "10 mm", "aim": "most-from-one", "sheets": [{"length": "2440 mm", "width": "1220 mm", "count": 1}], "parts": [{"length": "600 mm", "width": "400 mm", "count": 60, "grain": "across", "value": "1"}]}"#,
        expect: &[near("value", 6.0, 0.0)],
        mark: Mark::Definition,
        source: FLOOR,
    },
    Check {
        case: "three strips of 3/8 in plywood for a laminated beam, 8 ft by 3 1/2 in",
        inputs: r#"{"kerf": "1/8 in", "sheets": [{"length": "8 ft", "width": "4 ft", "count": 1}], "parts": [{"name": "strip", "length": "8 ft", "width": "3 1/2 in", "count": 3, "grain": "along"}], "edge_to_edge": true}"#,
        expect: &[
            near("sheets_used", 1.0, 0.0),
            near("parts_cut", 3.0, 0.0),
            near("offcuts/0/width", 943.0, 0.5),
            near("cuts", 3.0, 0.0),
        ],
        mark: Mark::CommonPractice,
        source: "three layers of plywood laminated to a beam; 1219.2 − 3 × (88.9 + 3.175) mm are left",
    },
    Check {
        case: "a part longer than every sheet",
        inputs: r#"{"sheets": [{"length": "2440 mm", "width": "1220 mm", "count": 1}], "parts": [{"length": "2500 mm", "width": "100 mm", "count": 1}]}"#,
        expect: &[refused("parts, row 1, length")],
        mark: Mark::Definition,
        source: "2500 is more than 2440",
    },
];
