//! Deeds of one touch.

use super::{Device, Session};

fn work(device: &mut Device) -> garboard_protocol::WorkView {
    device.act(|session, now| session.work(now))
}

#[test]
fn steps_become_ready_one_after_the_other_and_are_done_by_a_touch() {
    let mut ada = Device::begin("Merganser", "Ada");
    let repair = ada.say("repair", r#"{"title":"New core"}"#);
    let first = ada.say(
        "step",
        &format!(r#"{{"repair":"{repair}","title":"Open","order":1}}"#),
    );
    let second = ada.say(
        "step",
        &format!(r#"{{"repair":"{repair}","title":"Glue","order":2}}"#),
    );
    let before = work(&mut ada);
    assert_eq!(before.ready[0].step.id, first);
    assert_eq!(before.waiting[0].waits, ["waits for “Open”"]);
    ada.save(|session, now| session.finish_step(&first, now));
    let after = work(&mut ada);
    assert_eq!(after.ready[0].step.id, second);
    assert!(after.waiting.is_empty());
    let refused = ada.act(|session, now| session.finish_step(&first, now));
    assert!(refused.is_err(), "a step is done once");
}

#[test]
fn the_same_again_is_the_next_coat_and_waits_for_the_one_before() {
    let mut ada = Device::begin("Merganser", "Ada");
    let repair = ada.say("repair", r#"{"title":"Paint"}"#);
    let coat = ada.say(
        "step",
        &format!(r#"{{"repair":"{repair}","title":"Undercoat","product":"two-part primer","order":3,"coat":1,"done":"2026-05-05","air":{{"value":"18","unit":"C"}}}}"#),
    );
    let saved = ada.save(|session, now| session.again(&coat, now));
    let view = ada.session.entry(&saved.deeds[0].entry).unwrap();
    let value = |name: &str| {
        view.values
            .iter()
            .find(|value| value.field == name)
            .map(|value| value.shown.clone())
    };
    assert_eq!(value("coat").as_deref(), Some("2"));
    assert_eq!(value("product").as_deref(), Some("two-part primer"));
    assert_eq!(value("air"), None, "the air is another one today");
    assert_eq!(value("done"), None);
    assert!(value("begun").is_some());
    assert!(
        view.links
            .iter()
            .any(|link| link.label == "Waits for" && link.to.id == coat)
    );
    assert!(ada.act(|session, now| session.again(&repair, now)).is_err());
}

#[test]
fn many_move_at_once_or_none_does() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck"}"#);
    let house = ada.say("place", r#"{"name":"House"}"#);
    let one = ada.say("note", &format!(r#"{{"words":"one","place":"{deck}"}}"#));
    let two = ada.say("note", &format!(r#"{{"words":"two","place":"{deck}"}}"#));
    let person = ada.say("person", r#"{"name":"Cem"}"#);
    let before = ada.session.snapshot().n_statements();
    let refused =
        ada.act(|session, now| session.move_all(&[one.clone(), person.clone()], &house, now));
    assert!(refused.unwrap_err().happened.contains("place"));
    assert_eq!(ada.session.snapshot().n_statements(), before);
    let saved = ada.save(|session, now| session.move_all(&[one.clone(), two.clone()], &house, now));
    assert_eq!(saved.deeds.len(), 2);
    for id in [one, two] {
        assert_eq!(ada.session.entry(&id).unwrap().place.unwrap().id, house);
    }
}

#[test]
fn a_place_is_put_on_the_plan_in_one_change() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck"}"#);
    ada.save(|session, now| session.pin(&deck, 2050, -800, now));
    let plan = ada.session.plan();
    assert_eq!(
        (plan.pins[0].along_mm, plan.pins[0].across_mm),
        (Some(2050), -800)
    );
    let view = ada.session.entry(&deck).unwrap();
    let along = view
        .values
        .iter()
        .find(|value| value.field == "along")
        .unwrap();
    assert_eq!(along.shown, "2.050 m");
    let note = ada.say("note", r#"{"words":"no place"}"#);
    assert!(
        ada.act(|session, now| session.pin(&note, 1, 1, now))
            .is_err()
    );
}

#[test]
fn a_place_is_pinned_on_the_picture_that_serves_as_the_plan_and_moved() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck"}"#);
    assert!(
        ada.act(|session, now| session.pin_on_picture(&deck, [1, 2], now))
            .is_err()
    );
    let digest = "0".repeat(64);
    let sketch = ada.say("photograph", &format!(r#"{{"digest":"{digest}"}}"#));
    ada.save(|session, now| session.use_as_plan(&sketch, now));
    ada.save(|session, now| session.pin_on_picture(&deck, [300, 200], now));
    assert_eq!(ada.session.plan().pins[0].at, Some((300, 200)));
    let n = ada.session.snapshot().entries().count();
    ada.save(|session, now| session.pin_on_picture(&deck, [310, 2000], now));
    assert_eq!(ada.session.plan().pins[0].at, Some((310, 1000)));
    assert_eq!(
        ada.session.snapshot().entries().count(),
        n,
        "it was moved, not doubled"
    );
    assert_eq!(ada.session.plan().picture.unwrap().entry, sketch);
}

#[test]
fn amounts_are_shown_in_the_hands_units_with_what_was_entered() {
    let mut ada = Device::begin("Merganser", "Ada");
    let place = ada.say(
        "place",
        r#"{"name":"Bay","along":{"value":"3.40","unit":"m"}}"#,
    );
    let reading = ada.say(
        "reading",
        r#"{"quantity":"thickness","value":{"value":"12.7","unit":"mm"}}"#,
    );
    ada.session.set_units("us");
    let along = |ada: &Device| {
        let view = ada.session.entry(&place).unwrap();
        view.values
            .into_iter()
            .find(|value| value.field == "along")
            .unwrap()
            .shown
    };
    assert_eq!(along(&ada), "11.2 ft (3.40 m)");
    let figure = ada.session.entry(&reading).unwrap().figure.unwrap();
    assert_eq!(
        (
            figure.value.as_str(),
            figure.unit.as_str(),
            figure.note.as_str()
        ),
        ("0.500", "in", "entered 12.7 mm")
    );
    ada.session.set_units("");
    assert_eq!(along(&ada), "3.40 m");
}

#[test]
fn closing_up_says_by_itself_what_was_not_recorded() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck"}"#);
    let repair = ada.say(
        "repair",
        &format!(r#"{{"title":"New core","place":"{deck}"}}"#),
    );
    let lacks = ada.session.entry(&repair).unwrap().lacks;
    assert_eq!(
        lacks
            .iter()
            .map(|lack| lack.kind.as_str())
            .collect::<Vec<_>>(),
        ["photograph", "photograph", "test"]
    );
    let closed = ada.say(
        "closing-up",
        &format!(r#"{{"place":"{deck}","repair":"{repair}","hides":"the core"}}"#),
    );
    let view = ada.session.entry(&closed).unwrap();
    let missing = view
        .values
        .iter()
        .find(|value| value.field == "missing")
        .unwrap();
    assert!(
        missing.shown.contains("no test of “New core”"),
        "{}",
        missing.shown
    );
}

#[test]
fn a_clock_that_was_set_back_loses_nothing_and_keeps_the_order_of_ids() {
    let mut ada = Device::begin("Merganser", "Ada");
    let mut ids = vec![ada.say("note", r#"{"words":"before"}"#)];
    // A year back; then the program is started anew, with the clock still wrong.
    ada.millis -= 365 * 86_400_000;
    ids.push(ada.say("note", r#"{"words":"with the clock set back"}"#));
    let chunks = ada.kept.iter().map(|c| (c.name, c.bytes.clone())).collect();
    ada.session = Session::open(ada.session.identity.clone(), chunks, None, [9; 16]);
    ids.push(ada.say("note", r#"{"words":"after a start"}"#));
    ada.save(Session::start_stint);
    let stint = ada.session.stints().remove(0).id;
    ada.save(|session, now| session.stop_stint(&stint, now));
    let mut sorted = ids.clone();
    sorted.sort();
    assert_eq!(ids, sorted, "an id was drawn by the wrong clock");
    let rows = ada.rows(&garboard_protocol::Filter::default());
    for words in ["before", "with the clock set back", "after a start"] {
        assert!(rows.iter().any(|row| row == words), "{rows:?}");
    }
    // Another device takes all of it, and nobody is taken for a copy.
    let ben = ada.join("Ben", 2);
    assert_eq!(
        ben.session.snapshot().n_statements(),
        ada.session.snapshot().n_statements() + 2
    );
    assert_eq!(ada.session.snapshot().doubled_counts().count(), 0);
}
