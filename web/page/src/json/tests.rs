//! JSON read and written.

use super::{Json, object, string};

fn check(text: &str) {
    assert_eq!(
        Json::read(text).map(|json| json.written()).as_deref(),
        Some(text)
    );
}

#[test]
fn what_was_written_is_read_back() {
    for text in [
        r#""wet core""#,
        r#""a \"b\" \\ c\n""#,
        "12",
        "-0.5",
        "0",
        "1e-7",
        "6.02E+23",
        "true",
        "null",
        "[]",
        "{}",
        r#"["a","b"]"#,
        r#"{"unit":"mm","value":"12.7"}"#,
    ] {
        check(text);
    }
}

#[test]
fn escapes_and_spaces_are_understood() {
    assert_eq!(
        Json::read(r#" "\u00bd \ud83d\udea4" "#),
        Some(Json::Text("½ 🚤".to_owned()))
    );
    assert_eq!(
        Json::read(r#"{ "a" : [ 1 , 2 ] }"#).unwrap().written(),
        r#"{"a":[1,2]}"#
    );
}

#[test]
fn what_is_no_json_is_refused() {
    for text in [
        "",
        "wet",
        "\"open",
        "[1,",
        "[1,]",
        "{\"a\"}",
        "{a:1}",
        "1 2",
        "inf",
        "+1",
        "01",
        ".5",
        "1.",
        "1e",
        "-",
        "\"\\ud800x\"",
        "\"\\x\"",
    ] {
        assert_eq!(Json::read(text), None, "{text}");
    }
    assert_eq!(Json::read(&"[".repeat(10_000)), None);
}

#[test]
fn control_characters_are_escaped() {
    assert_eq!(string("a\u{1}\"\n"), "\"a\\u0001\\\"\\n\"");
    assert_eq!(object(&[("a".to_owned(), "1".to_owned())]), "{\"a\":1}");
}

proptest::proptest! {
    #[test]
    fn law_any_text_survives_being_written(text in ".*") {
        proptest::prop_assert_eq!(Json::read(&string(&text)), Some(Json::Text(text)));
    }

    #[test]
    fn law_reading_never_panics(text in ".*") {
        let _read = Json::read(&text);
    }
}
