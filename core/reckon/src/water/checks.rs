//! Check values for water paths: what people of the trade think of first.

use crate::check::{Check, near, refused, word};
use crate::source::Mark;

const PRACTICE: &str = "what is looked at first for this sign at this place";

pub(super) const CHECKS: &[Check] = &[
    Check {
        case: "soft side deck, readings highest round a fitting",
        inputs: r#"{"sign": "soft-deck", "place": "deck", "readings": "halo", "wets": "rain"}"#,
        expect: &[
            word("ways/0/way", "fastenings of a deck fitting"),
            word("ways/0/likelihood", "likely"),
            word("ways/1/way", "stanchion base"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "star cracks at the deck's edge",
        inputs: r#"{"sign": "cracks", "place": "deck-edge"}"#,
        expect: &[
            word("ways/0/way", "stanchion base"),
            word("ways/0/likelihood", "likely"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "a rotten bulkhead with a rusty weep",
        inputs: r#"{"sign": "weep", "place": "bulkhead", "wets": "spray"}"#,
        expect: &[
            word("ways/0/way", "chain plate"),
            word("ways/0/danger", "The rig may hang"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "a stain below a window, worst low down",
        inputs: r#"{"sign": "stain", "place": "house-side", "readings": "low-end", "wets": "rain"}"#,
        expect: &[
            word("ways/0/way", "frame of a window"),
            word("ways/0/likelihood", "likely"),
            word("ways/1/way", "rain through a seam"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "high readings in a line on the house",
        inputs: r#"{"sign": "high-readings", "place": "cabin-top", "readings": "line"}"#,
        expect: &[
            word("ways/0/way", "handrail or trim"),
            word("ways/0/likelihood", "likely"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "damp linings in cold weather, the same everywhere: air, not sealant",
        inputs: r#"{"sign": "damp", "place": "lining", "wets": "cold", "readings": "even"}"#,
        expect: &[
            word("ways/0/way", "condensation"),
            word("ways/0/likelihood", "likely"),
            word("ways/0/order", "Air and warmth; no sealant"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "salt water in the bilge when the shaft turns",
        inputs: r#"{"sign": "bilge-water", "place": "aft", "wets": "turning"}"#,
        expect: &[word("ways/0/way", "shaft tube")],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "a keel that weeps on the stands",
        inputs: r#"{"sign": "weep", "place": "keel", "wets": "ashore"}"#,
        expect: &[
            word("ways/0/way", "joint of the keel"),
            word("ways/0/likelihood", "likely"),
            near("candidates", 1.0, 0.0),
            near("ways", 3.0, 0.0),
            word("ways/1/likelihood", "hardly"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "green terminals",
        inputs: r#"{"sign": "green-terminals", "place": "electrics"}"#,
        expect: &[
            word("ways/0/way", "shore-power inlet"),
            word("ways/0/danger", "Unplug at the shore end"),
        ],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "a smell of fuel at the tank that goes on at rest",
        inputs: r#"{"sign": "smell", "place": "tank", "wets": "ashore"}"#,
        expect: &[word("ways/0/way", "corroded or cracked tank")],
        mark: Mark::CommonPractice,
        source: PRACTICE,
    },
    Check {
        case: "no place",
        inputs: r#"{"sign": "smell"}"#,
        expect: &[refused("place")],
        mark: Mark::Definition,
        source: "a sign without a place leads nowhere",
    },
];
