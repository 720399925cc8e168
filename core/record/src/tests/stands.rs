//! How findings and upkeep stand: worked out from what was said.

use super::Built;
use crate::standing::{Progress, Standing, progress, standing, stint_hours, upkeep_dates};
use crate::{Body, Id, Index};

fn stands(built: &Built, finding: Id) -> Standing {
    standing(&built.snapshot, &Index::of(&built.snapshot), finding)
}

#[test]
fn a_finding_goes_from_open_to_tested_good_and_may_come_back() {
    let mut built = Built::new();
    let finding = built.say("finding", r#"{"title":"Wet core"}"#);
    assert_eq!(stands(&built, finding), Standing::Open);
    let repair = built.say("repair", r#"{"title":"New core"}"#);
    built.say(
        "member",
        &format!(r#"{{"whole":"{repair}","part":"{finding}","role":"finding"}}"#),
    );
    assert_eq!(stands(&built, finding), Standing::Open, "a plan is no work");
    let step = built.say(
        "step",
        &format!(r#"{{"repair":"{repair}","title":"Open","begun":"2026-05-09"}}"#),
    );
    assert_eq!(stands(&built, finding), Standing::InHand);
    built.amend(step, "done", "2026-05-10".into());
    assert_eq!(stands(&built, finding), Standing::NotTested);
    assert_eq!(
        progress(&built.snapshot, &Index::of(&built.snapshot), repair),
        Progress::Done
    );
    built.say_at(
        "test",
        "2026-06-01",
        &format!(r#"{{"repair":"{repair}","trial":"hose-test","verdict":"good"}}"#),
    );
    assert_eq!(stands(&built, finding), Standing::TestedGood);
    built.say_at(
        "test",
        "2026-09-01",
        &format!(r#"{{"finding":"{finding}","trial":"dry-reading","verdict":"failed"}}"#),
    );
    assert_eq!(stands(&built, finding), Standing::CameBack);
    built.say_at(
        "test",
        "2026-10-01",
        &format!(r#"{{"finding":"{finding}","trial":"dry-reading","verdict":"good"}}"#),
    );
    assert_eq!(stands(&built, finding), Standing::TestedGood);
    built.say(
        "finding",
        &format!(r#"{{"title":"Wet again","again_of":"{finding}"}}"#),
    );
    assert_eq!(stands(&built, finding), Standing::CameBack);
}

#[test]
fn temporary_and_left_findings() {
    let mut built = Built::new();
    for (decision, expected) in [
        ("temporary", Standing::Temporary),
        ("leave", Standing::Left),
        ("repair", Standing::NotTested),
    ] {
        let finding = built.say("finding", r#"{"title":"Crack"}"#);
        let repair = built.say(
            "repair",
            &format!(r#"{{"title":"R","decision":"{decision}","finished":"2026-06-01"}}"#),
        );
        built.say(
            "member",
            &format!(r#"{{"whole":"{repair}","part":"{finding}","role":"finding"}}"#),
        );
        assert_eq!(stands(&built, finding), expected);
    }
}

#[test]
fn a_struck_repair_mends_nothing() {
    let mut built = Built::new();
    let finding = built.say("finding", r#"{"title":"Crack"}"#);
    let repair = built.say("repair", r#"{"title":"R","finished":"2026-06-01"}"#);
    built.say(
        "member",
        &format!(r#"{{"whole":"{repair}","part":"{finding}","role":"finding"}}"#),
    );
    let strike =
        crate::Draft::strike(built.snapshot.entry(repair).unwrap(), "another boat").unwrap();
    built.draft(&strike);
    assert_eq!(stands(&built, finding), Standing::Open);
}

#[test]
fn upkeep_moves_on_when_it_is_done() {
    let mut built = Built::new();
    let upkeep = built.say("upkeep", r#"{"what":"Look at the stanchion's bedding","interval":"1 year","last":"2026-06-01","next":"2027-05-01"}"#);
    let dates = |built: &Built| {
        let (last, next) = upkeep_dates(&built.snapshot, &Index::of(&built.snapshot), upkeep);
        (last.unwrap().to_string(), next.unwrap().to_string())
    };
    assert_eq!(
        dates(&built),
        ("2026-06-01".to_owned(), "2027-05-01".to_owned()),
        "what the hand wrote holds until it is done"
    );
    built.say_at(
        "upkeep-done",
        "2027-02-28",
        &format!(r#"{{"upkeep":"{upkeep}"}}"#),
    );
    assert_eq!(
        dates(&built),
        ("2027-02-28".to_owned(), "2028-02-28".to_owned())
    );
}

#[test]
fn hours_are_rounded_to_a_hundredth() {
    let hours = |json: &str| {
        let mut built = Built::new();
        let id = built.say("stint", json);
        let Body::Stint(stint) = built.snapshot.entry(id).unwrap().body.clone() else {
            panic!("no stint")
        };
        stint_hours(&stint).map(|hours| hours.to_string())
    };
    assert_eq!(
        hours(r#"{"start":"2026-05-09T14:00:00+02:00","end":"2026-05-09T14:20:00+02:00"}"#)
            .as_deref(),
        Some("0.33")
    );
    assert_eq!(
        hours(r#"{"start":"2026-05-09T23:30:00+02:00","end":"2026-05-10T00:30:00+02:00"}"#)
            .as_deref(),
        Some("1.00")
    );
    // The clocks go back in the night to 25 October 2026 in central Europe: from 1:30 to 3:30 by the clock are three hours.
    assert_eq!(
        hours(r#"{"start":"2026-10-25T01:30:00+02:00","end":"2026-10-25T03:30:00+01:00"}"#)
            .as_deref(),
        Some("3.00")
    );
    assert_eq!(hours(r#"{"hours":"2.5"}"#).as_deref(), Some("2.50"));
    assert_eq!(
        hours(r#"{"start":"2026-05-09T14:00:00+02:00"}"#),
        None,
        "it runs"
    );
}
