//! How people write numbers, amounts and words, and how statements are written and read.

use proptest::prelude::{any, proptest};
use proptest::{prop_assert, prop_assert_eq};

use super::Built;
use crate::entry::same_value;
use crate::{
    Body, Decimal, Draft, Id, Index, Kind, Oddity, Quantity, Shape, Statement, When, canonical,
    oddity,
};

fn decimal(text: &str) -> String {
    Decimal::from_written(text).map_or_else(|cause| cause.to_string(), |value| value.to_string())
}

/// Conversion factors: NIST SP 811 (2008), Appendix B; the rounding is ours.
#[test]
fn a_hand_sees_amounts_in_its_own_units_rounded_to_three_figures() {
    use crate::unit::System::{Metric, UsCustomary};
    let shown = |value: &str, unit: &str, system| {
        Quantity::new(value.parse().unwrap(), unit)
            .in_system(system)
            .map(|amount| amount.to_string())
    };
    assert_eq!(shown("3.40", "m", UsCustomary).as_deref(), Some("11.2 ft"));
    assert_eq!(
        shown("12.7", "mm", UsCustomary).as_deref(),
        Some("0.500 in")
    );
    assert_eq!(shown("1", "gal", Metric).as_deref(), Some("3.79 L"));
    assert_eq!(shown("68", "F", Metric).as_deref(), Some("20.0 °C"));
    assert_eq!(shown("1500", "kg", UsCustomary).as_deref(), Some("3307 lb"));
    assert_eq!(
        shown("0.01", "mm", UsCustomary).as_deref(),
        Some("0.000394 in")
    );
    assert_eq!(shown("3.40", "m", Metric), None);
    assert_eq!(shown("14", "%", UsCustomary), None);
    assert_eq!(shown("2", "h", UsCustomary), None);
}

#[test]
fn numbers_as_people_write_them() {
    for (text, expected) in [
        ("12.7", "12.7"),
        ("12,7", "12.7"),
        (" 3/4 ", "0.75"),
        ("1 1/2", "1.5"),
        ("1½", "1.5"),
        ("−3", "-3"),
        ("-1 3/8", "-1.375"),
        ("007", "7"),
        ("1.50", "1.50"),
        ("5/16", "0.3125"),
    ] {
        assert_eq!(decimal(text), expected, "{text}");
    }
    for (text, part) in [
        ("1/3", "no decimal holds"),
        ("1/0", "divided by zero"),
        ("", "write digits"),
        ("12,345.6", "write digits"),
        ("1e5", "write digits"),
        ("1 2", "one number"),
        ("١٢", "write digits"),
        ("12345678901234567", "15 digits"),
        ("NaN", "write digits"),
        ("--3", "write digits"),
    ] {
        assert!(decimal(text).contains(part), "{text}: {}", decimal(text));
    }
}

#[test]
fn feet_and_inches_keep_what_was_typed() {
    for (text, inches) in [
        ("3' 4 1/2\"", "40.5"),
        ("3'", "36"),
        ("4 1/2\"", "4.5"),
        ("5′ 6″", "66"),
        ("-2' 6\"", "-30"),
        ("6'6\"", "78"),
    ] {
        let amount = Quantity::from_written(text, "mm").unwrap();
        assert_eq!(
            (
                amount.value.to_string().as_str(),
                amount.unit.as_str(),
                amount.entered.as_deref()
            ),
            (inches, "in", Some(text)),
            "{text}"
        );
    }
    let shown = |text: &str| Quantity::from_written(text, "").unwrap().to_string();
    assert_eq!(
        (
            shown("1 year"),
            shown("2 years"),
            shown("1 month"),
            shown("0.42 m2")
        ),
        (
            "1 year".into(),
            "2 years".into(),
            "1 month".into(),
            "0.42 m²".into()
        )
    );
    assert!(Quantity::from_written("3' 4 1/2", "mm").is_err());
    assert!(
        Quantity::from_written("12", "")
            .unwrap_err()
            .to_string()
            .contains("name the unit")
    );
    assert!(
        !Quantity::from_written("1 m", "")
            .unwrap()
            .equals(&Quantity::from_written("1 kg", "").unwrap())
    );
}

#[test]
fn equal_values_in_different_words_are_no_conflict() {
    let mut built = Built::new();
    let finding = built.say("finding", r#"{"title":"Wet core","extent":"12.7 mm"}"#);
    let mut other = Built {
        snapshot: built.snapshot.clone(),
        stamper: crate::Stamper {
            device: Id::new(9, [9; 10]),
            ..built.stamper.clone()
        },
        ticks: 100,
    };
    built.amend(finding, "extent", "13 mm".into());
    other.amend(finding, "extent", "1.3 cm".into());
    for (id, text) in other.snapshot.texts() {
        built.snapshot.insert(id, text);
    }
    let entry = built.snapshot.entry(finding).unwrap();
    assert_eq!(entry.amended["extent"].len(), 2);
    assert!(!entry.is_disputed("extent"));
    assert!(same_value(
        &Kind::Finding,
        "kinds",
        &serde_json::json!(["rot", "crack"]),
        &serde_json::json!(["crack", "rot"])
    ));
}

/// Amounts within layers and parts are written as those of fields are.
#[test]
fn amounts_within_a_list_take_what_people_write() {
    let fields = |kind: Kind, text: &str| Draft::parse(kind, text).map(|draft| draft.fields);
    let place = fields(
        Kind::Place,
        r#"{"name":"Side deck","layers":[{"material":"laminate","thickness":"3,2 mm"},{"material":"balsa","thickness":"1/2 in"},{"material":"laminate"}]}"#,
    )
    .unwrap();
    assert_eq!(place["layers"][0]["thickness"]["value"], "3.2");
    assert_eq!(place["layers"][0]["thickness"]["unit"], "mm");
    assert_eq!(place["layers"][1]["thickness"]["unit"], "in");
    assert_eq!(place["layers"][1]["thickness"]["value"], "0.5");
    let batch = fields(
        Kind::Batch,
        r#"{"step":"019e0000-0000-7000-8000-000000000001","parts":[{"material":"epoxy","amount":"250 g"},{"material":"hardener","amount":{"value":"50","unit":"g"}}]}"#,
    )
    .unwrap();
    assert_eq!(batch["parts"][0]["amount"]["value"], "250");
    assert_eq!(batch["parts"][1]["amount"]["value"], "50");
    for (layers, meant) in [
        (r#"[{"thickness":"thick"}]"#, "item 1, \"thickness\": "),
        (
            r#"[{},{"thickness":"3 kg"}]"#,
            "item 2, \"thickness\": the unit \"kg\" does not fit",
        ),
        (
            r#"[{"thickness":"-3 mm"}]"#,
            "item 1, \"thickness\": it cannot be negative",
        ),
        (
            r#"[{"thickness":3}]"#,
            "item 1, \"thickness\": an amount is",
        ),
    ] {
        let refused = fields(
            Kind::Place,
            &format!(r#"{{"name":"Deck","layers":{layers}}}"#),
        );
        let said = refused.unwrap_err().to_string();
        assert!(said.contains(meant), "{said}");
    }
}

#[test]
fn a_statement_is_canonical_and_reads_back() {
    let mut built = Built::new();
    let id = built.say_at(
        "note",
        "2026-05-09T14:22:00+02:00",
        r#"{"words":"Größe: „½“ 🚤 \u0000 \" \\ "}"#,
    );
    let statement = built.snapshot.statement(id).unwrap();
    assert!(canonical::is_canonical(&statement.text));
    assert_eq!(
        statement.happened.as_ref().map(When::as_str),
        Some("2026-05-09T14:22:00+02:00")
    );
    let Body::Note(note) = &built.snapshot.entry(id).unwrap().body else {
        panic!("no note")
    };
    assert_eq!(note.words.as_deref(), Some("Größe: „½“ 🚤 \u{0} \" \\ "));
    assert_eq!(statement.digest().to_string().len(), 64);
}

#[test]
fn every_kind_has_a_schema_that_names_each_of_its_fields() {
    for kind in Kind::ALL {
        let schema = kind.schema();
        assert_eq!(schema["title"], kind.as_str());
        assert!(!kind.help().trim().is_empty());
        let properties = schema["properties"].as_object().unwrap();
        assert_eq!(properties.len(), kind.fields().len());
        for field in kind.fields() {
            assert!(
                field.help.trim().ends_with('.'),
                "{kind} {}: {:?}",
                field.name,
                field.help
            );
            assert!(
                properties[field.name]["description"]
                    .as_str()
                    .is_some_and(|text| !text.is_empty())
            );
        }
        for needed in schema["required"].as_array().unwrap() {
            assert!(
                kind.field(needed.as_str().unwrap()).is_some(),
                "{kind} {needed}"
            );
        }
        assert_eq!(Kind::of(kind.as_str()), *kind);
    }
    // What an entry field names are kinds that exist.
    for field in Kind::ALL.iter().flat_map(|kind| kind.fields()) {
        if let Shape::Entry(kinds) = field.shape {
            assert!(
                kinds
                    .iter()
                    .all(|word| word.parse::<Kind>().is_ok_and(|kind| kind.is_entry())),
                "{}",
                field.name
            );
        }
    }
}

#[test]
fn places_in_a_circle_hang_at_the_root_with_a_remark() {
    let mut built = Built::new();
    let a = built.say("place", r#"{"name":"Deck"}"#);
    let b = built.say("place", &format!(r#"{{"name":"Bay","parent":"{a}"}}"#));
    let c = built.say("place", &format!(r#"{{"name":"Corner","parent":"{b}"}}"#));
    assert_eq!(
        Index::of(&built.snapshot).path_shown(&built.snapshot, c),
        "Deck › Bay › Corner"
    );
    built.amend(a, "parent", b.to_string().into());
    let index = Index::of(&built.snapshot);
    assert_eq!(
        (index.parent(a), index.parent(b), index.parent(c)),
        (None, None, Some(b))
    );
    let remarks = oddity::remarks(&built.snapshot, &index);
    assert_eq!(
        remarks
            .iter()
            .filter(|remark| remark.oddity == Oddity::PlaceCircle)
            .count(),
        2
    );
}

#[test]
fn statements_of_another_log_are_kept_apart() {
    let built = Built::new();
    let mut mixed = built.snapshot.clone();
    let other = crate::draft::begin_log(
        &Draft::parse(Kind::Boat, r#"{"name":"Other"}"#).unwrap(),
        "Eve",
        "tablet",
        5_000,
        [[4; 10], [5; 10], [6; 10]],
        0,
    )
    .unwrap();
    for (id, text) in other.1.iter().take(2) {
        mixed.insert(*id, text.as_str());
    }
    assert_eq!(mixed.boat_name(), "Merganser");
    assert_eq!(
        mixed.other_logs().collect::<Vec<_>>(),
        vec![(other.0.log, 2)]
    );
    assert_eq!(mixed.entries().count(), built.snapshot.entries().count());
}

#[test]
fn strikes_and_lifts_name_what_they_saw() {
    let mut built = Built::new();
    let note = built.say("note", r#"{"words":"wrong boat"}"#);
    let strike = Draft::strike(built.snapshot.entry(note).unwrap(), "mistaken").unwrap();
    built.draft(&strike);
    assert!(built.snapshot.entry(note).unwrap().is_struck());
    // Another hand, who had seen neither, strikes too: one lift does not take back what it did not see.
    let lift = Draft::lift(built.snapshot.entry(note).unwrap(), "").unwrap();
    let second = built.draft(&strike);
    built.draft(&lift);
    let entry = built.snapshot.entry(note).unwrap();
    assert_eq!(
        entry
            .strikes
            .iter()
            .map(|strike| strike.statement)
            .collect::<Vec<_>>(),
        vec![second]
    );
    built.amend(note, "words", "amended all the same".into());
    assert!(built.snapshot.entry(note).unwrap().amended_while_struck);
    assert!(Draft::lift(built.snapshot.entry(built.stamper.hand).unwrap(), "").is_err());
}

#[test]
fn only_entries_are_struck() {
    let mut built = Built::new();
    let note = built.say("note", r#"{"words":"a"}"#);
    let amendment = built.amend(note, "words", "b".into());
    let text = built
        .snapshot
        .statement(amendment)
        .unwrap()
        .text
        .replace("\"amendment\"", "\"strike\"")
        .replace(&note.to_string(), &amendment.to_string());
    let stray = Id::new(1_778_000_200_000, [77; 10]);
    built.snapshot.insert(stray, text);
    let remarks = oddity::remarks(&built.snapshot, &Index::of(&built.snapshot));
    assert!(
        remarks
            .iter()
            .any(|remark| remark.oddity == Oddity::TargetNoEntry { target: amendment })
    );
    assert!(!built.snapshot.entry(note).unwrap().is_struck());
}

proptest! {
    #[test]
    fn law_any_text_reads_as_a_statement_or_is_refused(text in ".{0,200}") {
        let _refused_or_read = Statement::read(text.as_str());
        let mut built = Built::new();
        let before = built.snapshot.entries().count();
        built.snapshot.insert(Id::new(7, [7; 10]), text);
        prop_assert_eq!(built.snapshot.entries().count(), before);
    }

    #[test]
    fn law_any_text_is_a_time_or_is_refused(text in "[0-9TZ:+.-]{0,40}") {
        if let Ok(when) = text.parse::<When>() {
            prop_assert_eq!(when.as_str(), text);
        }
    }

    #[test]
    fn law_a_decimal_reads_back_as_it_was_written(mantissa in -999_999_999_999_999_i64..=999_999_999_999_999, scale in 0..=9_u32) {
        let value = Decimal(rust_decimal::Decimal::new(mantissa, scale));
        prop_assert_eq!(value.to_string().parse::<Decimal>().unwrap(), value);
        prop_assert_eq!(Decimal::from_written(&value.to_string()).unwrap(), value);
    }

    #[test]
    fn law_a_conversion_there_and_back_keeps_the_order(a in 0..1_000_000_i64, b in 0..1_000_000_i64) {
        let mm = |n: i64| Quantity::new(Decimal(rust_decimal::Decimal::new(n, 2)), "mm");
        let inches = |n: i64| mm(n).converted("in").unwrap();
        prop_assert_eq!(mm(a).compare(&mm(b)), Some(a.cmp(&b)));
        prop_assert!(a == b || inches(a).value.cmp(&inches(b).value) == a.cmp(&b));
    }

    #[test]
    fn law_ids_keep_their_time_and_their_text(millis in 0..(1_u64 << 48), random in any::<[u8; 10]>()) {
        let id = Id::new(millis, random);
        prop_assert_eq!(id.unix_millis(), millis);
        prop_assert_eq!(id.to_string().parse::<Id>().unwrap(), id);
    }
}
