//! What a seller chooses on the command line: the history's form and what goes in.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use crate::tool::{Device, files};

#[test]
fn units_and_small_pictures_are_choices_of_the_history_and_not_of_the_ledgers() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let made = ["--made", "2026-11-28"];
    let dossier = |name: &str, choices: &[&str]| {
        let file = ["dossier", "boat", "-o", name];
        device.attempt(&[&file[..], &made, choices].concat())
    };
    assert_eq!(dossier("whole.html", &[]).code, 0);
    let choices = ["--units", "us", "--pictures", "small"];
    assert_eq!(dossier("small.html", &choices).code, 0);
    let read = |name: &str| std::fs::read_to_string(device.path(name)).unwrap();
    let (whole, small) = (read("whole.html"), read("small.html"));
    assert!(small.len() * 3 < whole.len(), "{} bytes", small.len());
    assert!(small.contains("(as written: 17 °C)") && !whole.contains("(as written: "));
    for (choice, says) in [
        (["--units", "us"], "leave --units away"),
        (["--pictures", "small"], "leave --pictures away"),
        (["--units", "imperial"], "possible values: metric, us"),
        (["--pictures", "tiny"], "possible values: views, small"),
    ] {
        let refused = dossier("x", &[&choice[..], &["--form", "ledgers"]].concat());
        assert_eq!(refused.code, 1, "{refused:?}");
        assert!(refused.err.contains(says), "{refused:?}");
        assert!(!device.path("x").exists());
    }
}

#[test]
fn a_history_as_a_folder_is_the_same_page_with_its_pictures_beside_it() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let make = ["dossier", "boat", "--made", "2026-11-28"];
    device.run(&[&make[..], &["-o", "one.html"]].concat());
    let folder = [&make[..], &["-o", "history", "--form", "folder"]].concat();
    device.run(&folder);
    let read = |name: &str| std::fs::read_to_string(device.path(name)).unwrap();
    let (one, page) = (read("one.html"), read("history/history.html"));
    assert!(page.len() * 3 < one.len(), "{} bytes", page.len());
    let sources = |page: &str| page.matches(" src=\"").count();
    assert_eq!(sources(&page), sources(&one));
    let named: BTreeSet<String> = page
        .split(" src=\"pictures/")
        .skip(1)
        .filter_map(|rest| Some(rest.split_once('"')?.0.to_owned()))
        .collect();
    let there: BTreeSet<String> = std::fs::read_dir(device.path("history/pictures"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert!(named.len() > 10);
    assert_eq!(named, there);
    for name in &there {
        let bytes = std::fs::read(device.path("history/pictures").join(name)).unwrap();
        let digest = garboard_photo::digest(&bytes);
        assert_eq!(*name, format!("{digest}.jpg"));
    }
    // A folder that is there is left alone.
    let refused = device.attempt(&folder);
    assert_eq!(refused.code, 1, "{refused:?}");
    assert!(refused.err.contains("name another folder"), "{refused:?}");
    assert_eq!(read("history/history.html"), page);
}

#[test]
fn sums_are_said_in_a_currency_with_the_sellers_rates_and_not_without_them() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser", "--currency", "EUR"]);
    for cost in [
        r#"{"what":"haul-out","amount":{"amount":"100.05","currency":"USD"}}"#,
        r#"{"what":"storage","amount":{"amount":"10.00","currency":"EUR"}}"#,
    ] {
        let said = device.try_with(&["add", "boat", "cost", "--json", "-"], cost);
        assert_eq!(said.code, 0, "{said:?}");
    }
    let make = ["dossier", "boat", "-o", "history.html", "--replace"];
    let with = |choices: &[&str]| device.attempt(&[&make[..], choices].concat());
    // Worked by hand: 100.05 × 0.925 = 92.54625, rounded to 92.55, and 10.00.
    let said = with(&["--currency", "EUR", "--rate", "USD 0.925"]);
    assert_eq!(said.code, 0, "{said:?}");
    let page = std::fs::read_to_string(device.path("history.html")).unwrap();
    for wanted in [
        "together 102.55 EUR at the seller’s rates",
        "1 USD = 0.925 EUR",
        "92.55 EUR",
        "100.05 USD",
    ] {
        assert!(page.contains(wanted), "{wanted} is missing");
    }
    let before = std::fs::read(device.path("history.html")).unwrap();
    for (choices, says) in [
        (&["--currency", "EUR"][..], "costs in USD without a rate"),
        (&["--currency", "euro"], "three capital letters"),
        (&["--rate", "USD 0.9"], "no currency in which sums"),
        (&["--currency", "EUR", "--rate", "USD x"], "like USD 0.92"),
        (
            &["--currency", "EUR", "--form", "ledgers"],
            "leave --currency and --preview away",
        ),
    ] {
        let refused = with(choices);
        assert_eq!(refused.code, 1, "{refused:?}");
        assert!(refused.err.contains(says), "{refused:?}");
        assert_eq!(std::fs::read(device.path("history.html")).unwrap(), before);
    }
}

#[test]
fn a_preview_says_what_it_will_say_and_writes_nothing() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let before = files(&device.path("boat"));
    let seen = device.run(&["dossier", "boat", "--preview", "--no-costs"]);
    for wanted in [
        "Left out: Left out of this history by the seller: costs",
        "How to read this history",
        "Pictures in all:",
        "Nothing was written.",
    ] {
        assert!(seen.contains(wanted), "{wanted} is missing in: {seen}");
    }
    let json: Value =
        serde_json::from_str(&device.run(&["dossier", "boat", "--preview", "--json"])).unwrap();
    assert!(json["parts"].as_array().unwrap().len() > 10);
    assert!(json["pictures"].as_u64().unwrap() > 10);
    assert_eq!(files(&device.path("boat")), before);
    // Without a preview a place is needed.
    assert_eq!(device.attempt(&["dossier", "boat"]).code, 1);
}

#[test]
fn a_short_log_goes_into_one_volume_and_only_paper_has_any() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let make = ["dossier", "boat", "--made", "2026-11-28", "--form", "pdf"];
    device.run(&[&make[..], &["-o", "whole.pdf"]].concat());
    device.run(&[&make[..], &["-o", "volumes.pdf", "--volumes"]].concat());
    let read = |name: &str| std::fs::read(device.path(name)).unwrap();
    assert!(read("whole.pdf") == read("volumes.pdf"));
    for form in [&["--form", "html"][..], &["--form", "pdf", "--short"]] {
        let asked = ["dossier", "boat", "-o", "x", "--volumes"];
        let refused = device.attempt(&[&asked[..], form].concat());
        assert_eq!(refused.code, 1, "{refused:?}");
        assert!(refused.err.contains("only the long form on paper"));
    }
}

/// Writes a log of so many entries into a folder.
fn crowd(folder: &Path, n_entries: usize) {
    let said = garboard_bytes::crowd::said(&[], n_entries, (1, 1));
    let mut log = garboard_log::Log::new([9; 16]);
    let texts = said.iter().map(|(id, text)| (*id, text.as_str()));
    let chunk = log.append_all(texts).unwrap();
    let chunks = folder.join("chunks");
    std::fs::create_dir_all(&chunks).unwrap();
    std::fs::write(chunks.join(chunk.name.to_string()), chunk.bytes).unwrap();
}

#[test]
fn a_long_log_comes_in_volumes_that_tell_everything_and_overwrite_nothing() {
    let device = Device::new();
    crowd(&device.path("boat"), 3_000);
    let make = ["dossier", "boat", "--made", "2026-11-28", "--form", "pdf"];
    let volumes = [&make[..], &["-o", "history.pdf", "--volumes", "--json"]].concat();
    let said: Value = serde_json::from_str(&device.run(&volumes)).unwrap();
    let n = said["files"].as_array().unwrap().len();
    assert!(n > 1, "{said}");
    let words = |name: &str| {
        let output = std::process::Command::new("pdftotext")
            .args(["-layout", &device.path(name).display().to_string(), "-"])
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    let spots = |words: &str| words.matches("Moisture").count();
    let mut n_spots = 0;
    for number in 1..=n {
        let told = words(&format!("history-{number}.pdf"));
        assert!(told.contains(&format!("This is volume {number} of {n}.")));
        n_spots += spots(&told);
    }
    device.run(&[&make[..], &["-o", "whole.pdf"]].concat());
    assert_eq!(n_spots, spots(&words("whole.pdf")));
    // What is there is left alone, whichever volume it is.
    std::fs::remove_file(device.path("history-1.pdf")).unwrap();
    let before = std::fs::read(device.path("history-2.pdf")).unwrap();
    let refused = device.attempt(&volumes);
    assert_eq!(refused.code, 1, "{refused:?}");
    assert!(!device.path("history-1.pdf").exists());
    assert!(std::fs::read(device.path("history-2.pdf")).unwrap() == before);
}
