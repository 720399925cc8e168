//! Bad input: each says what, where and how to mend it.

use crate::{Draft, Kind};

fn check(kind: &str, fields: &str, part: &str) {
    match Draft::parse(kind.parse().unwrap(), fields) {
        Ok(_) => panic!("{kind} {fields} was taken"),
        Err(cause) => assert!(cause.to_string().contains(part), "{kind} {fields}: {cause}"),
    }
}

#[test]
fn each_refusal_names_the_field_and_the_mend() {
    check("finding", "[]", "one JSON object");
    check("finding", "{", "one JSON object");
    check("finding", r#"{"titel":"x"}"#, r#"did you mean "title"?"#);
    check("finding", r#"{"colour":"x"}"#, "its fields are: title");
    check("finding", "{}", r#"needs its field "title""#);
    check("finding", r#"{"title":"  "}"#, r#"needs its field "title""#);
    check("finding", r#"{"title":7}"#, "expected a string");
    check(
        "finding",
        r#"{"title":"x","kinds":["wet"]}"#,
        "none of its words: wet-core",
    );
    check(
        "finding",
        r#"{"title":"x","urgency":"now"}"#,
        "none of its words: at-once",
    );
    check(
        "finding",
        r#"{"title":"x","extent":"-1 m2"}"#,
        "cannot be negative",
    );
    check(
        "finding",
        r#"{"title":"x","extent":"1 kg"}"#,
        "does not fit; one of these does",
    );
    check(
        "finding",
        r#"{"title":"x","extent":{"value":"1e9","unit":"m2"}}"#,
        "a number was expected",
    );
    check(
        "finding",
        r#"{"title":"x","extent":{"value":"99999999999999999999","unit":"m2"}}"#,
        "15 digits",
    );
    check(
        "finding",
        r#"{"title":"x","place":"third bay"}"#,
        "an id is 36 characters",
    );
    check(
        "stint",
        r#"{"start":"2026-05-09T14:00:00+02:00","end":"2026-05-09T13:00:00+02:00"}"#,
        "before the start",
    );
    check(
        "stint",
        r#"{"start":"2026-05-09","end":"2026-05-09T13:00:00+02:00"}"#,
        "both times of day",
    );
    check("stint", "{}", "a stint has a start, or hours");
    check("stint", r#"{"hours":2.5}"#, r#"as strings: "2.5""#);
    check("stint", r#"{"hours":"-2"}"#, "cannot be negative");
    check("stint", r#"{"hours":"480"}"#, "at most 48 hours");
    check(
        "reading",
        r#"{"quantity":"moisture"}"#,
        "a value, a word, a yes or no, or a range",
    );
    check(
        "reading",
        r#"{"quantity":"moisture","value":"30 %","humidity":"130 %"}"#,
        "more than 100 %",
    );
    check(
        "cost",
        r#"{"what":"haul-out","amount":"100 euros"}"#,
        "three-letter currency",
    );
    check(
        "cost",
        r#"{"what":"haul-out","amount":{"amount":"-5","currency":"EUR"}}"#,
        "cannot be negative",
    );
    check(
        "boat",
        r#"{"name":"x","currency":"euro"}"#,
        "three capital letters",
    );
    check(
        "boat",
        r#"{"name":"x","built":"last century"}"#,
        "a date like 2026-05-09",
    );
    check("photograph", r#"{"digest":"abc"}"#, "64 hexadecimal digits");
    check(
        "position",
        r#"{"photograph":"00000000-03e8-7101-8101-010101010101","latitude":"91","longitude":"0"}"#,
        "outside the earth",
    );
    check(
        "step",
        r#"{"repair":"00000000-03e8-7101-8101-010101010101","title":"x","recoat_earliest":"2026-05-10","recoat_latest":"2026-05-09"}"#,
        "before the earliest",
    );
    check(
        "member",
        r#"{"whole":"00000000-03e8-7101-8101-010101010101","part":"00000000-03e8-7101-8101-010101010101","role":"about"}"#,
        "part of itself",
    );
    assert!(
        "seance"
            .parse::<Kind>()
            .unwrap_err()
            .to_string()
            .contains("the kinds are: boat")
    );
}

#[test]
fn targets_must_be_there_and_of_the_right_kind() {
    let mut built = super::Built::new();
    let place = built.say("place", r#"{"name":"Deck"}"#);
    let draft = |json: String| Draft::parse(Kind::Finding, &json).unwrap();
    let missing =
        draft(r#"{"title":"x","place":"00000000-03e8-7101-8101-0101010101ff"}"#.to_owned());
    assert!(
        missing
            .check_targets(&built.snapshot)
            .unwrap_err()
            .to_string()
            .contains("no entry")
    );
    let wrong = draft(format!(r#"{{"title":"x","again_of":"{place}"}}"#));
    assert!(
        wrong
            .check_targets(&built.snapshot)
            .unwrap_err()
            .to_string()
            .contains("is a place, where a finding is wanted")
    );
    let entry = built.snapshot.entry(place).unwrap();
    assert!(
        Draft::amendment(entry, "name", serde_json::Value::Null, None).is_err(),
        "what the kind needs cannot be taken away"
    );
    assert!(
        Draft::amendment(entry, "name", "Deck".into(), None)
            .unwrap_err()
            .to_string()
            .contains("says this already")
    );
    assert!(
        Draft::amendment(entry, "nmae", "x".into(), None)
            .unwrap_err()
            .to_string()
            .contains("did you mean \"name\"?")
    );
}

#[test]
fn points_lie_on_the_picture_and_come_in_pairs() {
    let mark = |points: &str| {
        let photograph = "00000000-03e8-7101-8101-0101010101ff";
        let json = format!(r#"{{"photograph":"{photograph}","shape":"line","points":{points}}}"#);
        Draft::parse(Kind::Mark, &json)
    };
    assert!(mark("[0,0,1000,1000]").is_ok() && mark("[]").is_ok());
    let found = |points: &str| mark(points).unwrap_err().to_string();
    assert!(found("[0,1001]").contains("0 to 1000; found 1001"));
    assert!(found("[0.5,1]").contains("found 0.5"));
    assert!(found("[-1,1]").contains("found -1"));
    assert!(found(r#"["1",1]"#).contains("found \"1\""));
    assert!(found("[1,2,3]").contains("the last has no y"));
    assert!(mark("7").is_err());
    let many = format!("[{}]", vec!["1"; 2002].join(","));
    assert!(found(&many).contains("at most 1000 points"));
}
