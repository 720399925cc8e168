//! Odd logs, handed over in every form: without a boat's particulars, with struck entries alone, with places far within places, a
//! picture as thin as a thread, originals that are gone, and no room on the disk.

use std::process::Command;

use crate::tool::{Device, picture, program};

const FORMS: [(&str, &[&str]); 5] = [
    ("history.html", &["--form", "html"]),
    ("folder", &["--form", "folder"]),
    ("history.pdf", &["--form", "pdf"]),
    ("short.pdf", &["--form", "pdf", "--short"]),
    ("bag.zip", &["--form", "bag"]),
];

/// Makes all forms of the log in `boat`, lets others look at paper and bag, and returns the words of the paper.
fn in_every_form(device: &Device) -> String {
    for (file, form) in FORMS {
        let made = device.attempt(&[&["dossier", "boat", "-o", file], form].concat());
        assert_eq!(made.code, 0, "{file}: {made:?}");
    }
    assert!(device.run(&["check", "bag.zip"]).starts_with("Intact"));
    for file in ["history.pdf", "short.pdf"] {
        let checked = Command::new("qpdf")
            .arg("--check")
            .arg(device.path(file))
            .output()
            .expect("qpdf cannot be started; tests/run installs it");
        assert!(checked.status.success(), "{file}: {checked:?}");
    }
    let words = Command::new("pdftotext")
        .arg("-layout")
        .args([device.path("history.pdf"), "-".into()])
        .output()
        .expect("pdftotext cannot be started; tests/run installs it");
    String::from_utf8(words.stdout).unwrap()
}

#[test]
fn a_log_with_a_name_alone_and_one_with_struck_entries_alone_can_be_handed_over() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser", "--hand", "Ada"]);
    let words = in_every_form(&device);
    assert!(
        words.contains("No finding was written in this log."),
        "{words}"
    );

    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser", "--hand", "Ada"]);
    for words in ["soft", "softer"] {
        let finding = device.add("boat", "finding", &format!(r#"{{"title":"{words}"}}"#));
        device.run(&["strike", "boat", &finding, "--why", "the wrong boat"]);
    }
    let words = in_every_form(&device);
    assert!(words.contains("the wrong boat"), "{words}");
    assert!(words.contains("2 entries"), "{words}");
}

#[test]
fn places_twelve_deep_are_told_with_their_whole_path() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser", "--hand", "Ada"]);
    let mut within = String::new();
    for depth in 1..=12 {
        let inside = if within.is_empty() {
            String::new()
        } else {
            format!(r#","parent":"{within}""#)
        };
        within = device.add(
            "boat",
            "place",
            &format!(r#"{{"name":"room {depth}"{inside}}}"#),
        );
    }
    device.add(
        "boat",
        "finding",
        &format!(r#"{{"title":"Wet at the very end","place":"{within}","observed":"dull"}}"#),
    );
    let words = in_every_form(&device);
    assert!(words.contains("Wet at the very end"), "{words}");
    for depth in 1..=12 {
        assert!(words.contains(&format!("room {depth}")), "room {depth}");
    }
}

#[test]
fn a_picture_of_one_by_twenty_thousand_pixels_and_one_that_is_gone_are_handed_over() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser", "--hand", "Ada"]);
    let thread = image::GrayImage::from_pixel(1, 20_000, image::Luma([90]));
    thread.save(device.path("thread.png")).unwrap();
    device.run(&["photo", "boat", "thread.png"]);
    std::fs::write(device.path("a.jpg"), picture(90)).unwrap();
    device.run(&["photo", "boat", "a.jpg"]);
    // The other one's original is lost; its views are there.
    let digest = garboard_photo::digest(&std::fs::read(device.path("a.jpg")).unwrap());
    std::fs::remove_file(device.path("boat/photos").join(&digest)).unwrap();
    let words = in_every_form(&device);
    assert!(words.contains(&digest[..32]), "{words}");
    let list = Command::new("unzip")
        .args([
            "-p".into(),
            device.path("bag.zip"),
            "*/photographs.csv".into(),
        ])
        .output()
        .expect("unzip cannot be started; tests/run installs it");
    let list = String::from_utf8(list.stdout).unwrap();
    assert!(
        list.contains("not on the device that made this bag"),
        "{list}"
    );
}

#[test]
fn a_full_disk_leaves_no_half_of_any_form() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let mut script = "mkdir disk && mount -t tmpfs -o size=100k tmpfs disk\n".to_owned();
    for (file, form) in FORMS {
        script.push_str(&format!(
            "{} dossier boat -o disk/{file} {}; echo \"code $?\"\n",
            program().display(),
            form.join(" ")
        ));
    }
    script.push_str("find disk -mindepth 1 | sed 's/^/left behind: /'\n");
    let output = Command::new("unshare")
        .args(["-rm", "bash", "-c", &script])
        .current_dir(device.path(""))
        .env("HOME", device.path(""))
        .output()
        .expect("unshare cannot be started: apt-get install util-linux");
    let out = String::from_utf8_lossy(&output.stdout);
    let lines: Vec<&str> = out
        .lines()
        .filter(|line| !line.starts_with("Written"))
        .collect();
    assert_eq!(lines, ["code 2"; 5], "{output:?}");
}
