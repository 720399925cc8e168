//! What a seller chooses on the command line: the history's form and what goes in.

use std::collections::BTreeSet;

use crate::tool::Device;

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
