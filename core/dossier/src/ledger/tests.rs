//! The ledgers: what stands in them, what is left out, and that they are read back as they were written.

use super::*;

fn demonstration(options: &Options) -> BTreeMap<&'static str, String> {
    let told = garboard_demo::told().unwrap();
    ledgers(&told.snapshot(), options)
        .into_iter()
        .map(|file| (file.name, String::from_utf8(file.bytes).unwrap()))
        .collect()
}

#[test]
fn a_cell_is_quoted_where_it_must_be() {
    // RFC 4180, section 2, rules 5 to 7.
    assert_eq!(cell("plain"), "plain");
    assert_eq!(cell("a,b"), "\"a,b\"");
    assert_eq!(cell("a \"b\""), "\"a \"\"b\"\"\"");
    assert_eq!(cell("a\nb"), "\"a\nb\"");
}

#[test]
fn the_demonstration_s_totals_are_those_of_its_dossier() {
    let files = demonstration(&Options::default());
    let totals = files.get("totals.csv").unwrap();
    for line in ["hours,all,,41.32,h\r\n", "costs,all,,1378.14,EUR\r\n"] {
        assert!(totals.contains(line), "{line:?}: {totals}");
    }
    assert_eq!(files.len(), 7);
}

#[test]
fn what_is_left_out_is_in_no_file_and_is_said() {
    let whole = demonstration(&Options::default());
    assert!(whole.values().any(|text| text.contains("1378.14")));
    let files = demonstration(&Options {
        costs: false,
        ..Options::default()
    });
    assert!(!files.contains_key("costs.csv"));
    for (name, text) in &files {
        assert!(!text.contains("EUR"), "{name}");
        assert!(!text.contains("1378.14"), "{name}");
    }
    let said: Value = serde_json::from_str(files.get("ledgers.json").unwrap()).unwrap();
    assert_eq!(said.get("left_out"), Some(&json!(["costs"])));
    let files = demonstration(&Options {
        hours: false,
        ..Options::default()
    });
    assert!(!files.contains_key("hours.csv"));
    assert!(!files.get("totals.csv").unwrap().contains(",h\r\n"));
}
