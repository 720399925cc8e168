//! What is typed becomes JSON, and comes back as it was typed.

use crate::named::Named;
use garboard_protocol::{FormField, Input};

use super::Draft;

fn field(input: Input) -> FormField {
    FormField {
        name: "f".to_owned(),
        input,
        ..FormField::default()
    }
}

fn check(input: Input, typed: &str, unit: &str, json: &str) {
    let field = field(input);
    let draft = Draft {
        text: typed.to_owned(),
        unit: unit.to_owned(),
        several: Vec::new(),
    };
    assert_eq!(draft.to_json(&field).unwrap().as_deref(), Some(json));
    let back = Draft::of_raw(&field, json);
    assert_eq!(
        back.to_json(&field).unwrap().as_deref(),
        Some(json),
        "what was read back means the same"
    );
}

#[test]
fn a_half_written_form_is_taken_up_again() {
    let mut drafts = Named::default();
    drafts.set("title", Draft::of("soft \"core\"\nand more"));
    drafts.set(
        "extent",
        Draft {
            unit: "m2".to_owned(),
            ..Draft::of("0,4")
        },
    );
    drafts.set(
        "kinds",
        Draft {
            several: vec!["\"rot\"".to_owned(), "\"crack\"".to_owned()],
            ..Draft::default()
        },
    );
    let mut again = Named::default();
    super::take_up(&mut again, &super::kept(&drafts));
    for (name, draft) in drafts.iter() {
        assert_eq!(again.get(name), Some(draft));
    }
    assert_eq!(super::kept(&Named::default()), "");
    let before = again.clone();
    super::take_up(&mut again, "no drafts");
    assert_eq!(again, before);
}

#[test]
fn figures_are_exact_and_kept_as_typed() {
    let mm = || Input::Quantity {
        units: vec!["mm".to_owned()],
    };
    check(mm(), "12,7", "mm", r#"{"unit":"mm","value":"12.7"}"#);
    check(
        mm(),
        "3/8",
        "in",
        r#"{"entered":"3/8","unit":"in","value":"0.375"}"#,
    );
    check(Input::Decimal, " 34,50 ", "", r#""34.50""#);
    check(Input::Whole, "4", "", "4");
    check(
        Input::Money,
        "93,60",
        "EUR",
        r#"{"amount":"93.60","currency":"EUR"}"#,
    );
}

#[test]
fn feet_and_inches_carry_their_own_unit() {
    check(
        Input::Quantity { units: Vec::new() },
        "3' 4\"",
        "mm",
        r#"{"entered":"3' 4\"","unit":"in","value":"40"}"#,
    );
}

#[test]
fn words_lines_and_choices() {
    check(
        Input::Words,
        "one\ntwo \"three\"",
        "",
        r#""one\ntwo \"three\"""#,
    );
    check(Input::Lines, "one\n\n two", "", r#"["one","two"]"#);
    check(Input::OneOf, r#""wet core""#, "", r#""wet core""#);
    check(Input::YesNo, "true", "", "true");
    check(Input::When, "1987", "", r#""1987""#);
}

#[test]
fn several_choices_come_back() {
    let field = field(Input::SeveralOf);
    let draft = Draft::of_raw(&field, r#"["rot","crack"]"#);
    assert_eq!(draft.several, [r#""rot""#, r#""crack""#]);
    assert_eq!(
        draft.to_json(&field).unwrap().as_deref(),
        Some(r#"["rot","crack"]"#)
    );
}

#[test]
fn nothing_entered_is_nothing_said() {
    assert_eq!(Draft::of("  ").to_json(&field(Input::Decimal)), Ok(None));
    assert!(Draft::of_raw(&field(Input::Line), "null").is_blank());
}

#[test]
fn nonsense_is_refused_with_a_sentence() {
    for (input, typed) in [
        (Input::Decimal, "a lot"),
        (Input::Whole, "1.5"),
        (Input::When, "last week"),
        (Input::Json, "{"),
        (Input::Quantity { units: Vec::new() }, "wet"),
    ] {
        let refusal = Draft::of(typed).to_json(&field(input)).unwrap_err();
        assert!(
            refusal.ends_with('.') && refusal.chars().next().unwrap().is_uppercase()
                || refusal.starts_with('“'),
            "{refusal}"
        );
    }
}
