//! Check values for survey grids.

use crate::check::{Check, near, refused};
use crate::source::Mark;

const HAND: &str = "worked by hand; PyKrige agrees to 1e-6";
const PLANE: &str = "a plane is cut exactly";

pub(super) const CHECKS: &[Check] = &[
    Check {
        case: "a plane that rises along ten metres, wet from 4",
        inputs: r#"{"threshold": "4", "cell": "10 m", "reach": "20 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "0"}, {"along": "10 m", "across": "0 m", "value": "10"},
            {"along": "0 m", "across": "10 m", "value": "0"}, {"along": "10 m", "across": "10 m", "value": "10"}]}"#,
        expect: &[
            near("wet", 60.0, 0.0),
            near("dry", 40.0, 0.0),
            near("unmeasured", 0.0, 0.0),
            near("wet_share", 60.0, 0.0),
        ],
        mark: Mark::Definition,
        source: PLANE,
    },
    Check {
        case: "the same, wet from 3.3",
        inputs: r#"{"threshold": "3.3", "cell": "10 m", "reach": "20 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "0"}, {"along": "10 m", "across": "0 m", "value": "10"},
            {"along": "0 m", "across": "10 m", "value": "0"}, {"along": "10 m", "across": "10 m", "value": "10"}]}"#,
        expect: &[near("wet", 67.0, 0.0)],
        mark: Mark::Definition,
        source: PLANE,
    },
    Check {
        case: "four readings, mean by distance squared",
        inputs: r#"{"threshold": "25", "reach": "10 m", "at_along": "0.25 m", "at_across": "0.25 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"},
            {"along": "0 m", "across": "1 m", "value": "30"}, {"along": "1 m", "across": "1 m", "value": "40"}]}"#,
        expect: &[near("value_at", 16.176_471, 0.000_001)],
        mark: Mark::Worked,
        source: HAND,
    },
    Check {
        case: "the same, mean by distance",
        inputs: r#"{"threshold": "25", "power": "1", "reach": "10 m", "at_along": "0.5 m", "at_across": "0 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"},
            {"along": "0 m", "across": "1 m", "value": "30"}, {"along": "1 m", "across": "1 m", "value": "40"}]}"#,
        expect: &[near("value_at", 21.180_340, 0.000_001)],
        mark: Mark::Worked,
        source: HAND,
    },
    Check {
        case: "the same, kriging, exponential",
        inputs: r#"{"threshold": "25", "method": "exponential", "sill": "100", "range": "3 m", "reach": "10 m", "at_along": "0.25 m", "at_across": "0.25 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"},
            {"along": "0 m", "across": "1 m", "value": "30"}, {"along": "1 m", "across": "1 m", "value": "40"}]}"#,
        expect: &[
            near("value_at", 17.945_517, 0.000_001),
            near("deviation_at", 6.506_846, 0.000_001),
        ],
        mark: Mark::Worked,
        source: HAND,
    },
    Check {
        case: "the same, kriging, spherical",
        inputs: r#"{"threshold": "25", "method": "spherical", "sill": "100", "range": "2 m", "reach": "10 m", "at_along": "0.5 m", "at_across": "0 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"},
            {"along": "0 m", "across": "1 m", "value": "30"}, {"along": "1 m", "across": "1 m", "value": "40"}]}"#,
        expect: &[near("value_at", 16.311_262, 0.000_001)],
        mark: Mark::Worked,
        source: HAND,
    },
    Check {
        case: "the same, kriging, linear",
        inputs: r#"{"threshold": "25", "method": "linear", "slope": "10", "reach": "10 m", "at_along": "0.5 m", "at_across": "0 m", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"},
            {"along": "0 m", "across": "1 m", "value": "30"}, {"along": "1 m", "across": "1 m", "value": "40"}]}"#,
        expect: &[near("value_at", 16.259_680, 0.000_001)],
        mark: Mark::Worked,
        source: HAND,
    },
    Check {
        case: "readings on one line",
        inputs: r#"{"threshold": "25", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"}, {"along": "2 m", "across": "0 m", "value": "30"}]}"#,
        expect: &[refused("readings")],
        mark: Mark::Definition,
        source: "a line has no area",
    },
    Check {
        case: "kriging without a range",
        inputs: r#"{"threshold": "25", "method": "spherical", "sill": "100", "readings": [
            {"along": "0 m", "across": "0 m", "value": "10"}, {"along": "1 m", "across": "0 m", "value": "20"}, {"along": "2 m", "across": "1 m", "value": "30"}]}"#,
        expect: &[refused("range")],
        mark: Mark::Definition,
        source: "without it the formula has no value",
    },
];
