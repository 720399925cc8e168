//! What waits for what, which windows run, and what closing up would hide.

use super::Built;
use crate::order::{Hold, Lack, Wait, WindowSort, hold, lacks, shortages, waits, windows};
use crate::word::Stage;
use crate::{Decimal, Id, Index, When};

fn at(text: &str) -> When {
    text.parse().unwrap()
}

fn step(built: &mut Built, repair: Id, more: &str) -> Id {
    built.say(
        "step",
        &format!(r#"{{"repair":"{repair}","title":"S"{more}}}"#),
    )
}

fn waiting(built: &Built, step: Id, now: &str) -> Vec<Wait> {
    waits(&built.snapshot, &Index::of(&built.snapshot), step, &at(now))
}

#[test]
fn a_step_waits_for_what_it_names_and_else_for_the_number_before() {
    let mut built = Built::new();
    let repair = built.say("repair", r#"{"title":"New core"}"#);
    let open = step(&mut built, repair, r#","order":1"#);
    let dry = step(&mut built, repair, r#","order":2"#);
    let glue = step(&mut built, repair, r#","order":5"#);
    let paint = step(&mut built, repair, "");
    let now = "2026-06-01T12:00:00Z";
    assert_eq!(waiting(&built, open, now), []);
    assert_eq!(waiting(&built, dry, now), [Wait::Step(open)]);
    assert_eq!(waiting(&built, glue, now), [Wait::Step(dry)]);
    assert_eq!(
        waiting(&built, paint, now),
        [],
        "a step without number or name waits for nothing"
    );
    built.say(
        "member",
        &format!(r#"{{"whole":"{paint}","part":"{glue}","role":"waits-for"}}"#),
    );
    assert_eq!(waiting(&built, paint, now), [Wait::Step(glue)]);
    built.amend(glue, "done", "2026-05-30".into());
    assert_eq!(waiting(&built, paint, now), []);
    assert_eq!(
        waiting(&built, glue, now),
        [],
        "what is done waits for nothing"
    );
}

#[test]
fn law_a_circle_of_waiting_stops_nobody() {
    let mut built = Built::new();
    let repair = built.say("repair", r#"{"title":"R"}"#);
    let steps: Vec<Id> = (0..4).map(|_| step(&mut built, repair, "")).collect();
    for (idx, whole) in steps.iter().enumerate() {
        let part = steps[(idx + 1) % steps.len()];
        built.say(
            "member",
            &format!(r#"{{"whole":"{whole}","part":"{part}","role":"waits-for"}}"#),
        );
    }
    for step in &steps {
        assert_eq!(waiting(&built, *step, "2026-06-01T12:00:00Z"), []);
    }
}

#[test]
fn a_hold_point_is_met_by_the_last_fitting_reading() {
    let mut built = Built::new();
    let place = built.say("place", r#"{"name":"Side deck"}"#);
    let repair = built.say("repair", &format!(r#"{{"title":"R","place":"{place}"}}"#));
    let dry = step(
        &mut built,
        repair,
        r#","order":1,"begun":"2026-05-01","done":"2026-05-20","hold":"dry","hold_quantity":"moisture","hold_most":{"value":"15","unit":"%"}"#,
    );
    let glue = step(&mut built, repair, r#","order":2"#);
    let stands = |built: &Built| hold(&built.snapshot, &Index::of(&built.snapshot), dry);
    let read = |built: &mut Built, when: &str, value: &str, range: &str| {
        built.say_at(
            "reading",
            when,
            &format!(r#"{{"quantity":"Moisture","value":{{"value":"{value}","unit":"%"}},"range":"{range}","place":"{place}"}}"#),
        )
    };
    read(&mut built, "2026-04-01", "9", "within");
    assert_eq!(
        stands(&built),
        Hold::Open,
        "a reading from before the step proves nothing"
    );
    let wet = read(&mut built, "2026-05-10", "22", "within");
    assert_eq!(stands(&built), Hold::Missed(wet));
    assert_eq!(
        waiting(&built, glue, "2026-06-01T12:00:00Z"),
        [Wait::Hold(dry)]
    );
    let good = read(&mut built, "2026-05-20", "12", "within");
    assert_eq!(stands(&built), Hold::Met(good));
    let over = read(&mut built, "2026-05-21", "14", "over");
    assert_eq!(
        stands(&built),
        Hold::Missed(over),
        "over the range is not below the limit"
    );
    let paper = built.say(
        "test",
        &format!(r#"{{"repair":"{repair}","trial":"dry-reading","verdict":"good"}}"#),
    );
    built.amend(dry, "hold_met", paper.to_string().into());
    assert_eq!(stands(&built), Hold::Met(paper));
    assert_eq!(waiting(&built, glue, "2026-06-01T12:00:00Z"), []);
}

#[test]
fn coats_and_mixes_have_their_windows() {
    let mut built = Built::new();
    let repair = built.say("repair", r#"{"title":"Paint"}"#);
    let first = step(
        &mut built,
        repair,
        r#","order":1,"coat":1,"done":"2026-06-01T10:00:00Z","recoat_earliest":"2026-06-01T18:00:00Z","recoat_latest":"2026-06-03""#,
    );
    let second = step(&mut built, repair, r#","order":2,"coat":2"#);
    let batch = built.say(
        "batch",
        &format!(r#"{{"step":"{second}","mixed":"2026-06-01T11:50:00Z","pot_life":{{"value":"25","unit":"min"}}}}"#),
    );
    let runs =
        |built: &Built, now: &str| windows(&built.snapshot, &Index::of(&built.snapshot), &at(now));
    let noon = runs(&built, "2026-06-01T12:00:00Z");
    assert_eq!(
        noon.iter()
            .map(|window| (window.entry, window.sort))
            .collect::<Vec<_>>(),
        [(first, WindowSort::Recoat), (batch, WindowSort::PotLife)]
    );
    assert_eq!(noon[0].opens, Some(at("2026-06-01T18:00:00Z").sort_key()));
    assert_eq!(noon[0].closes, Some(at("2026-06-04").sort_key() - 1));
    assert_eq!(noon[1].closes, Some(at("2026-06-01T12:15:00Z").sort_key()));
    assert_eq!(
        waiting(&built, second, "2026-06-01T12:00:00Z"),
        [Wait::Recoat {
            after: first,
            earliest: at("2026-06-01T18:00:00Z")
        }]
    );
    assert_eq!(waiting(&built, second, "2026-06-01T18:00:00Z"), []);
    assert_eq!(
        runs(&built, "2026-06-01T14:00:00Z").len(),
        1,
        "a mix long past its life is no news"
    );
    built.amend(second, "done", "2026-06-02T09:00:00Z".into());
    assert_eq!(
        runs(&built, "2026-06-02T10:00:00Z"),
        [],
        "a coat that is covered waits no longer"
    );
}

#[test]
fn closing_up_names_what_would_be_hidden() {
    let mut built = Built::new();
    let finding = built.say("finding", r#"{"title":"Wet core"}"#);
    let repair = built.say("repair", r#"{"title":"R"}"#);
    built.say(
        "member",
        &format!(r#"{{"whole":"{repair}","part":"{finding}","role":"finding"}}"#),
    );
    let held = step(&mut built, repair, r#","hold":"look at it together""#);
    let lacking = |built: &Built| lacks(&built.snapshot, &Index::of(&built.snapshot), repair);
    let photograph = |of: Id, stage: Stage| Lack::Photograph { of, stage };
    assert_eq!(
        lacking(&built),
        [
            photograph(finding, Stage::Found),
            photograph(finding, Stage::Opened),
            Lack::Reading { of: finding },
            photograph(repair, Stage::Prepared),
            photograph(repair, Stage::Rebuilt),
            Lack::Test { of: repair },
            Lack::Hold { of: held },
        ]
    );
    for (stage, field, of) in [
        ("found", "finding", finding),
        ("opened", "finding", finding),
        ("prepared", "repair", repair),
        ("rebuilt", "repair", repair),
    ] {
        let digest = "0".repeat(64);
        built.say(
            "photograph",
            &format!(r#"{{"digest":"{digest}","stage":"{stage}","{field}":"{of}"}}"#),
        );
    }
    built.say(
        "reading",
        &format!(r#"{{"quantity":"moisture","word":"dry","finding":"{finding}"}}"#),
    );
    let test = built.say(
        "test",
        &format!(r#"{{"repair":"{repair}","trial":"crisp-tap","verdict":"good"}}"#),
    );
    built.amend(held, "hold_met", test.to_string().into());
    assert_eq!(lacking(&built), []);
}

#[test]
fn what_is_short_is_what_open_repairs_still_need_less_what_is_left() {
    let mut built = Built::new();
    let done = built.say("repair", r#"{"title":"Deck","finished":"2026-06-01"}"#);
    let open = built.say("repair", r#"{"title":"Foredeck"}"#);
    let mut material = |what: &str, fate: &str, value: &str, unit: &str, repair: Option<Id>| {
        let repair = repair.map_or_else(String::new, |repair| format!(r#","repair":"{repair}""#));
        built.say("material", &format!(r#"{{"what":"{what}","fate":"{fate}","quantity":{{"value":"{value}","unit":"{unit}"}}{repair}}}"#))
    };
    // The deck took all of its resin but 500 g; what it needed is needed no longer.
    material("Epoxy resin", "needed", "2", "kg", Some(done));
    material("Epoxy resin", "bought", "3", "kg", None);
    material("Epoxy resin", "used", "2", "kg", Some(done));
    material("Epoxy resin", "returned", "0.5", "kg", None);
    // The foredeck needs 2.5 kg, of which 200 g are used already: 2.3 - (0.5 - 0.2) = 2.0.
    material("epoxy resin ", "needed", "2", "kg", Some(open));
    material("Epoxy resin", "needed", "500", "g", Some(open));
    material("Epoxy resin", "used", "200", "g", Some(open));
    // Other units of the same are kept apart; enough is enough; what nobody needs is not short.
    material("Epoxy resin", "needed", "1", "l", Some(open));
    material("Screws", "needed", "20", "pcs", None);
    material("Screws", "bought", "50", "pcs", None);
    material("Tape", "bought", "1", "pcs", None);
    let short: Vec<(String, Decimal, String)> =
        shortages(&built.snapshot, &Index::of(&built.snapshot))
            .into_iter()
            .map(|line| (line.what, line.short.value, line.short.unit))
            .collect();
    assert_eq!(
        short,
        [
            (
                "epoxy resin".to_owned(),
                "2.0".parse().unwrap(),
                "kg".to_owned()
            ),
            (
                "Epoxy resin".to_owned(),
                "1".parse().unwrap(),
                "l".to_owned()
            ),
        ]
    );
}
