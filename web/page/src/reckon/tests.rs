//! Forms of the reckonings.

use garboard_reckon::{ALL, find};
use garboard_record::unit::System;

use super::{Came, came, drafts_of, field, first_drafts, inputs};
use crate::draft::Draft;

fn plain(field: &garboard_protocol::FormField, draft: &Draft) -> Result<Option<String>, String> {
    draft.to_json(field)
}

#[test]
fn every_reckoning_has_a_form_and_says_what_it_still_needs() {
    for of in ALL {
        let drafts = first_drafts(of.inputs, Some(System::Metric));
        let said = inputs(of, &drafts, plain);
        match came(of, &said) {
            Came::Here(_) | Came::Lacking(_) | Came::Wrong(..) => {}
        }
        for input in of.inputs {
            assert!(
                !field(input).label.is_empty(),
                "{}: {}",
                of.name,
                input.name
            );
        }
    }
}

#[test]
fn what_is_typed_is_reckoned_and_reads_back_from_the_log() {
    let scarf = find("scarf").unwrap();
    let mut drafts = first_drafts(scarf.inputs, Some(System::UsCustomary));
    assert_eq!(drafts.get("thickness").unwrap().unit, "in");
    assert_eq!(
        came(scarf, &inputs(scarf, &drafts, plain)),
        Came::Lacking(vec!["Thickness of the board or skin"])
    );
    drafts.set(
        "thickness",
        Draft {
            text: "5/8".to_owned(),
            unit: "in".to_owned(),
            several: Vec::new(),
        },
    );
    drafts.set("slope", Draft::of("8"));
    let Came::Here(reckoned) = came(scarf, &inputs(scarf, &drafts, plain)) else {
        panic!("not reckoned")
    };
    assert_eq!(
        reckoned.outcome.figure("length").unwrap().to_string(),
        "127.0"
    );
    let again = drafts_of(scarf.inputs, &reckoned.inputs());
    let Came::Here(same) = came(scarf, &inputs(scarf, &again, plain)) else {
        panic!("not reckoned again")
    };
    assert_eq!(same.outcome, reckoned.outcome);
}

#[test]
fn a_refusal_stands_beside_its_input() {
    let scarf = find("scarf").unwrap();
    let mut drafts = first_drafts(scarf.inputs, None);
    drafts.set(
        "thickness",
        Draft {
            text: "9000".to_owned(),
            unit: "mm".to_owned(),
            several: Vec::new(),
        },
    );
    let Came::Wrong(name, words) = came(scarf, &inputs(scarf, &drafts, plain)) else {
        panic!("not refused")
    };
    assert_eq!(name, "thickness");
    assert!(
        words.contains("out of range") && words.contains("500"),
        "{words}"
    );
}
