//! What scripts rely on: forms of commands, exit codes, and answers in JSON.

use serde_json::Value;

use crate::tool::{Device, files, picture};

#[test]
fn help_is_enough_to_find_every_command() {
    let device = Device::new();
    let help = device.run(&["help"]);
    for command in [
        "new", "add", "amend", "strike", "choose", "photo", "sound", "show", "parcel", "merge",
        "dossier", "check", "demo", "serve",
    ] {
        assert!(
            help.contains(&format!("  {command} ")),
            "{command} is missing in: {help}"
        );
        assert!(
            device.run(&[command, "--help"]).contains("Usage: garboard"),
            "{command}"
        );
    }
    assert!(
        device
            .run(&["add", "--describe", "all"])
            .contains("finding")
    );
    let schema: Value =
        serde_json::from_str(&device.run(&["add", "--describe", "finding"])).unwrap();
    assert_eq!(schema["properties"]["title"]["type"], "string");
}

#[test]
fn the_exit_code_tells_whose_fault_it_is() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser"]);
    let check = |arguments: &[&str], input: &str, code: i32, part: &str| {
        let before = files(&device.path("boat"));
        let answer = device.try_with(arguments, input);
        assert_eq!(answer.code, code, "{arguments:?}: {answer:?}");
        assert!(
            answer.err.contains(part) || answer.out.contains(part),
            "{arguments:?}: {answer:?}"
        );
        assert_eq!(
            files(&device.path("boat")),
            before,
            "{arguments:?} changed something"
        );
    };
    check(&["nonsense"], "", 1, "unrecognized");
    check(
        &["new", "boat", "--boat", "Other"],
        "",
        1,
        "a log in boat already",
    );
    check(&["show", "nowhere"], "", 1, "garboard new");
    check(
        &["add", "boat", "seance", "--json", "-"],
        "{}",
        1,
        "the kinds are",
    );
    check(
        &["add", "boat", "finding", "--json", "-"],
        "{\"titel\":\"x\"}",
        1,
        "did you mean",
    );
    check(
        &["add", "boat", "finding", "--json", "-"],
        "not json",
        1,
        "one JSON object",
    );
    check(
        &["add", "boat", "finding", "--json", "nowhere.json"],
        "",
        1,
        "cannot read",
    );
    check(
        &["add", "boat", "boat", "--json", "-"],
        r#"{"name":"Second"}"#,
        1,
        "has its boat",
    );
    check(
        &["add", "boat", "strike", "--json", "-"],
        "{}",
        1,
        "garboard strike",
    );
    check(
        &[
            "add",
            "boat",
            "note",
            "--json",
            "-",
            "--happened",
            "yesterday",
        ],
        r#"{"words":"x"}"#,
        1,
        "a date like",
    );
    check(
        &[
            "amend",
            "boat",
            "00000000-03e8-7101-8101-010101010101",
            "--json",
            "-",
        ],
        r#"{"title":"x"}"#,
        1,
        "no entry",
    );
    check(
        &["strike", "boat", "not-an-id", "--why", "x"],
        "",
        1,
        "an id is 36 characters",
    );
    check(&["photo", "boat", "nowhere.jpg"], "", 1, "cannot read");
    check(
        &["parcel", "boat", "-o", "no/such/folder/x.zip"],
        "",
        1,
        "is not there",
    );
    check(&["merge", "boat", "nowhere.zip"], "", 1, "cannot read");
    check(&["check", "nowhere.zip"], "", 1, "cannot read");
    let refused: Value =
        serde_json::from_str(&device.attempt(&["show", "nowhere", "--json"]).out).unwrap();
    assert_eq!(refused["fault"], "mistake");
    assert!(refused["hint"].as_str().unwrap().contains("garboard new"));
}

#[test]
fn names_may_be_of_any_script() {
    let device = Device::new();
    for (dir, name) in [
        ("a", "Ñandú’s „Möwe“ 🚤"),
        ("b", "قارب"),
        ("c", "\u{202e}esrever"),
        ("d", "舟 \"quoted\" \\ \u{7}"),
    ] {
        device.run(&["new", dir, "--boat", name, "--hand", name]);
        assert_eq!(device.show(&[dir])["boat"], name);
        device.run(&["parcel", dir, "-o", "p.zip"]);
        device.run(&["merge", &format!("{dir}-copy"), "p.zip"]);
        assert_eq!(device.show(&[&format!("{dir}-copy")])["boat"], name);
    }
    assert_eq!(device.attempt(&["new", "e", "--boat", "  "]).code, 1);
}

#[test]
fn a_sound_note_is_taken_in_once_goes_along_in_a_parcel_and_can_be_withdrawn() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser"]);
    let sound = [&b"OggS\0\x02"[..], &[7; 5000]].concat();
    std::fs::write(device.path("said.ogg"), &sound).unwrap();
    std::fs::write(device.path("words.ogg"), "bilge water").unwrap();
    std::fs::write(device.path("empty.ogg"), "").unwrap();
    let before = files(&device.path("boat"));
    for bad in ["words.ogg", "empty.ogg", "nowhere.ogg"] {
        let answer = device.attempt(&["sound", "boat", bad]);
        assert!(answer.code == 1 && answer.err.contains(bad), "{answer:?}");
        assert_eq!(files(&device.path("boat")), before, "{bad}");
    }
    let read = |text: String| serde_json::from_str::<Value>(&text).unwrap();
    let first = read(device.run(&["sound", "boat", "said.ogg", "--json"]));
    let second = read(device.run(&["sound", "boat", "said.ogg", "--json"]));
    assert_eq!(first["id"], second["id"]);
    assert_eq!(
        (&first["new"], &second["new"]),
        (&Value::Bool(true), &Value::Bool(false))
    );
    let (id, digest) = (
        first["id"].as_str().unwrap(),
        first["digest"].as_str().unwrap(),
    );
    let fields = device.show(&["boat", id])["fields"].clone();
    assert_eq!(
        (&fields["media_type"], &fields["bytes"]),
        (&Value::from("audio/ogg"), &Value::from(sound.len()))
    );

    device.run(&["parcel", "boat", "-o", "all.zip"]);
    device.run(&["merge", "copy", "all.zip"]);
    assert_eq!(
        std::fs::read(device.path("copy/photos").join(digest)).unwrap(),
        sound
    );
    assert_eq!(device.attempt(&["check", "copy"]).code, 0);
    // Withdrawn on the one, it is gone there, in its parcels, and on the other that is told.
    device.run(&["withdraw", "boat", id, "--why", "private"]);
    device.run(&["parcel", "boat", "-o", "later.zip"]);
    assert!(std::fs::metadata(device.path("later.zip")).unwrap().len() < 5000);
    device.run(&["merge", "copy", "later.zip"]);
    for dir in ["boat", "copy"] {
        assert!(
            !device.path(dir).join("photos").join(digest).exists(),
            "{dir}"
        );
    }
    let refused = device.attempt(&["sound", "boat", "said.ogg"]);
    assert!(refused.err.contains("withdrawn"), "{refused:?}");
}

#[test]
fn a_picture_is_taken_in_once_and_bad_ones_change_nothing() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser"]);
    std::fs::write(device.path("one.jpg"), picture(10)).unwrap();
    std::fs::write(device.path("cut.jpg"), &picture(20)[..4000]).unwrap();
    std::fs::write(device.path("empty.jpg"), "").unwrap();
    std::fs::write(device.path("words.jpg"), "bilge water").unwrap();
    let before = files(&device.path("boat"));
    for bad in ["cut.jpg", "empty.jpg", "words.jpg"] {
        let answer = device.attempt(&["photo", "boat", "one.jpg", bad]);
        assert_eq!(answer.code, 1, "{answer:?}");
        assert!(
            answer.err.contains(bad) && answer.err.contains("nothing was taken in"),
            "{answer:?}"
        );
        assert_eq!(
            files(&device.path("boat")),
            before,
            "{bad} changed something"
        );
    }
    assert_eq!(
        device
            .attempt(&["photo", "boat", "one.jpg", "--stage", "begun"])
            .code,
        1
    );
    let first: Value =
        serde_json::from_str(&device.run(&["photo", "boat", "one.jpg", "--json"])).unwrap();
    let second: Value =
        serde_json::from_str(&device.run(&["photo", "boat", "one.jpg", "--json"])).unwrap();
    assert_eq!(
        first["photographs"][0]["id"],
        second["photographs"][0]["id"]
    );
    assert_eq!(
        (
            &first["photographs"][0]["new"],
            &second["photographs"][0]["new"]
        ),
        (&Value::Bool(true), &Value::Bool(false))
    );
    let id = first["photographs"][0]["id"].as_str().unwrap();
    let digest = first["photographs"][0]["digest"].as_str().unwrap();
    assert_eq!(
        std::fs::read(device.path("boat/photos").join(digest)).unwrap(),
        picture(10),
        "the original is untouched"
    );
    // Withdrawn bytes go, their statement stays, and they are not taken in again.
    device.run(&["withdraw", "boat", id, "--why", "a face in it"]);
    assert_eq!(
        std::fs::read_dir(device.path("boat/photos"))
            .unwrap()
            .count(),
        0
    );
    assert_eq!(device.show(&["boat", id])["fields"]["digest"], digest);
    assert!(
        device
            .attempt(&["photo", "boat", "one.jpg"])
            .err
            .contains("withdrawn")
    );
}

#[test]
fn late_early_and_odd_dates_are_kept_with_a_remark() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser"]);
    for when in ["1834-05-09", "2026-05-09T14:22:00+02:00", "9999-12-31"] {
        assert_eq!(
            device
                .try_with(
                    &["add", "boat", "note", "--json", "-", "--happened", when],
                    r#"{"words":"x"}"#
                )
                .code,
            0,
            "{when}"
        );
    }
    let remarks = device.show(&["boat"])["remarks"].to_string();
    assert!(remarks.contains("after it happened"), "{remarks}");
    assert!(
        remarks.contains("happened after it was written"),
        "{remarks}"
    );
    device.add(
        "boat",
        "reading",
        r#"{"quantity":"moisture","value":"34.5 %"}"#,
    );
    assert!(
        device.show(&["boat"])["remarks"]
            .to_string()
            .contains("relative scale is no percentage")
    );
}

#[test]
fn the_demonstration_is_the_same_everywhere() {
    let device = Device::new();
    device.run(&["demo", "one"]);
    device.run(&["demo", "two"]);
    assert_eq!(files(&device.path("one")), files(&device.path("two")));
    let log = device.show(&["one"]);
    assert!(log["n_statements"].as_u64().unwrap() >= 80);
    assert!(log["counts"]["place"].as_u64().unwrap() >= 10);
    assert_eq!(log["trouble"].as_array().unwrap().len(), 0);
    for word in [
        "strike",
        "photograph",
        "way-in",
        "water-path",
        "upkeep",
        "test",
        "stint",
        "cost",
        "choice",
    ] {
        assert!(
            log["counts"][word].as_u64().is_some_and(|n| n > 0),
            "{word}"
        );
    }
    device.run(&["check", "one"]);
}

#[test]
fn ledgers_come_as_a_new_folder_whole_or_not_at_all() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let make = ["dossier", "boat", "--form", "ledgers", "-o", "ledgers"];
    device.run(&make);
    let made = files(&device.path("ledgers"));
    assert_eq!(made.len(), 7);
    // What stands there is not written over, and a folder that is not there is not made up; nothing lies about afterwards.
    let all = std::fs::read_dir(device.path("")).unwrap().count();
    let again = device.attempt(&make);
    assert_eq!(again.code, 1, "{again:?}");
    assert!(again.err.contains("exists already"), "{again:?}");
    assert_eq!(files(&device.path("ledgers")), made);
    let nowhere = device.attempt(&["dossier", "boat", "--form", "ledgers", "-o", "no/where"]);
    assert_eq!(nowhere.code, 1, "{nowhere:?}");
    assert!(nowhere.err.contains("is not there"), "{nowhere:?}");
    assert_eq!(std::fs::read_dir(device.path("")).unwrap().count(), all);
}

#[test]
fn a_short_form_is_a_form_on_paper_only() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let mut make = vec!["dossier", "boat", "--short", "-o", "short.pdf"];
    let refused = device.attempt(&make);
    assert_eq!(refused.code, 1, "{refused:?}");
    assert!(refused.err.contains("--form pdf"), "{refused:?}");
    assert!(!device.path("short.pdf").exists());
    make.extend(["--form", "pdf", "--made", "2026-11-28"]);
    let said = device.run(&make);
    let n_pages = said
        .split("It has ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next());
    let n_pages: usize = n_pages.unwrap().parse().unwrap();
    assert!((6..=12).contains(&n_pages), "{said}");
}

#[test]
fn a_reckoning_is_listed_described_reckoned_and_kept() {
    let device = Device::new();
    assert!(device.run(&["reckon", "--list"]).contains("scarf"));
    let listed: Value = serde_json::from_str(&device.run(&["reckon", "--list", "--json"])).unwrap();
    assert!(
        listed
            .as_array()
            .unwrap()
            .iter()
            .any(|one| one["name"] == "scarf")
    );
    let schema: Value =
        serde_json::from_str(&device.run(&["reckon", "scarf", "--describe"])).unwrap();
    assert!(schema["$defs"]["inputs"]["properties"]["thickness"].is_object());
    let sheet = device.run(&["reckon", "scarf", "thickness=5/8 in", "slope=8"]);
    for part in ["127.0 mm", "Sources", "Take care", "This is an estimate"] {
        assert!(sheet.contains(part), "{part} is missing in: {sheet}");
    }
    let from_file = device.try_with(
        &["reckon", "scarf", "--with", "-", "--json"],
        r#"{"thickness": {"value": "12", "unit": "mm"}}"#,
    );
    let result: Value = serde_json::from_str(&from_file.out).unwrap();
    assert_eq!(result["results"]["length"]["value"], "96.0");
    assert_eq!(result["defaults_taken"][0], "angle_from");

    let refused = device.try_with(&["reckon", "scarf", "thickness=12 kg", "--json"], "");
    assert_eq!(refused.code, 1, "{refused:?}");
    let refused: Value = serde_json::from_str(&refused.out).unwrap();
    assert!(
        refused["error"]
            .as_str()
            .unwrap()
            .contains("allowed are mm, in, cm")
    );
    assert_eq!(device.try_with(&["reckon", "scraf"], "").code, 1);
    assert_eq!(
        device.try_with(&["reckon", "scarf", "thickness"], "").code,
        1
    );

    device.run(&["new", "boat", "--boat", "Merganser"]);
    let repair = device.try_with(
        &["add", "boat", "repair", "--json", "-"],
        r#"{"title":"Deck, port"}"#,
    );
    let repair = repair.out.trim();
    let before = files(&device.path("boat"));
    let nothing = device.try_with(&["reckon", "scarf", "slope=8", "--keep", "boat"], "");
    assert_eq!(nothing.code, 1);
    assert_eq!(
        files(&device.path("boat")),
        before,
        "a refusal changes nothing"
    );
    let kept: Value = serde_json::from_str(&device.run(&[
        "reckon",
        "scarf",
        "thickness=1/2 in",
        "--keep",
        "boat",
        "--repair",
        repair,
        "--needed",
        "--json",
    ]))
    .unwrap();
    let ids = kept["kept"].as_array().unwrap();
    assert_eq!(ids.len(), 2);
    let shown: Value =
        serde_json::from_str(&device.run(&["show", "boat", ids[0].as_str().unwrap(), "--json"]))
            .unwrap();
    let shown = shown.to_string();
    for part in ["\"method\"", "scarf", "\"revision\"", "1/2 in", repair] {
        assert!(shown.contains(part), "{part} is missing in: {shown}");
    }
}
