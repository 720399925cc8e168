//! The dossier on paper, read by tools that are not ours: qpdf and poppler.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test's helpers stop it where they cannot go on"
)]

use std::path::{Path, PathBuf};
use std::process::Command;

use garboard_dossier::outline::Block;
use garboard_dossier::{Options, Paper, outline, pdf};

/// Runs a tool and returns what it prints; what is missing fails with the way to mend it.
fn run(
    tool: &str,
    args: &[&str],
    file: &Path,
    last: &[&str],
    mend: &str,
) -> Result<String, String> {
    let output = Command::new(tool).args(args).arg(file).args(last).output();
    let output =
        output.unwrap_or_else(|error| panic!("cannot run {tool}: {error}; apt-get install {mend}"));
    let said = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    if output.status.success() {
        Ok(said)
    } else {
        Err(said)
    }
}

/// The demonstration on paper, and its pictures.
fn demonstration(folder: &Path, paper: Paper) -> (PathBuf, Vec<Vec<u8>>) {
    let told = garboard_demo::told().unwrap();
    let options = Options {
        made: Some("2026-06-14".to_owned()),
        ..Options::default()
    };
    let made = pdf(
        &outline(&told.snapshot(), &options),
        paper,
        "2026-06-14",
        |wanted| told.picture(wanted),
    )
    .unwrap();
    let path = folder.join("dossier.pdf");
    let file = std::fs::File::create(&path).unwrap();
    made.write(|wanted| told.picture(wanted), file).unwrap();
    (
        path,
        told.rendered.into_iter().map(|made| made.bytes).collect(),
    )
}

#[test]
fn another_reader_finds_no_fault_and_finds_one_in_a_damaged_file() {
    let folder = tempfile::tempdir().unwrap();
    let (path, _) = demonstration(folder.path(), Paper::A4);
    let said = run("qpdf", &["--check"], &path, &[], "qpdf").unwrap();
    assert!(
        said.contains("No syntax or stream encoding errors"),
        "{said}"
    );
    // The same check sees what is wrong with a file that was cut short.
    let whole = std::fs::read(&path).unwrap();
    let half = whole.get(..whole.len() / 2).unwrap();
    std::fs::write(&path, half).unwrap();
    assert!(run("qpdf", &["--check"], &path, &[], "qpdf").is_err());
}

#[test]
fn it_is_tagged_on_the_paper_asked_for_with_all_faces_in_it() {
    let folder = tempfile::tempdir().unwrap();
    for (paper, size) in [
        (Paper::A4, "595.276 x 841.89 pts (A4)"),
        (Paper::Letter, "612 x 792 pts (letter)"),
    ] {
        let (path, _) = demonstration(folder.path(), paper);
        let about = run("pdfinfo", &[], &path, &[], "poppler-utils").unwrap();
        for expected in [size, "Tagged:          yes", "Dunlin: documented history"] {
            assert!(about.contains(expected), "{expected:?} is not in: {about}");
        }
        let plain = String::from_utf8_lossy(&std::fs::read(&path).unwrap()).into_owned();
        for claim in ["pdfaid:part>2<", "pdfaid:conformance>A<", "pdfuaid:part>1<"] {
            assert!(plain.contains(claim), "{claim}");
        }
        let fonts = run("pdffonts", &[], &path, &[], "poppler-utils").unwrap();
        // Name, type, encoding, embedded, subset, unicode: two lines of heading, then a line a face.
        let faces: Vec<&str> = fonts.lines().skip(2).collect();
        assert_eq!(faces.len(), 5, "{fonts}");
        for face in faces {
            assert!(face.contains("yes yes yes"), "{face}");
        }
    }
}

#[test]
fn every_picture_comes_out_as_it_went_in() {
    let folder = tempfile::tempdir().unwrap();
    let (path, pictures) = demonstration(folder.path(), Paper::A4);
    let root = folder.path().join("picture");
    run(
        "pdfimages",
        &["-all"],
        &path,
        &[root.to_str().unwrap()],
        "poppler-utils",
    )
    .unwrap();
    let mut n = 0;
    for file in std::fs::read_dir(folder.path()).unwrap() {
        let file = file.unwrap().path();
        if file.extension().is_some_and(|kind| kind == "jpg") {
            let bytes = std::fs::read(&file).unwrap();
            assert!(pictures.contains(&bytes), "{} was changed", file.display());
            n += 1;
        }
    }
    assert_eq!(n, 15);
}

#[test]
fn the_words_are_read_in_the_order_of_the_story() {
    let folder = tempfile::tempdir().unwrap();
    let (path, _) = demonstration(folder.path(), Paper::Letter);
    let words = run("pdftotext", &[], &path, &["-"], "poppler-utils").unwrap();
    let words = words
        .replace('\u{a0}', " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let mut from = 0;
    for expected in [
        "Documented history of Dunlin",
        "This is no survey.",
        "Contents",
        "How to read this history",
        "Finding 4. Wet core aft of the third stanchion tested good found 9 May 2026",
        "The skin gives under a boot",
        "Water along the stanchion",
        "Repair 2. New core in the third bay",
        "Materials of this repair 256.17 EUR",
        "How to check it",
        "The log in the order of writing",
    ] {
        // The contents name what comes later, so each is looked for after the one before.
        let found = words.get(from..).and_then(|rest| rest.find(expected));
        from += found.unwrap_or_else(|| panic!("{expected:?} does not come in its turn"));
    }
    let pages = words
        .matches("Dated by the owner’s device only. Written by the seller; not a survey.")
        .count();
    assert!(pages > 30, "{pages}");
}

/// The sum that stands at the foot of a sheet is that of the lines above it, and the next sheet begins with it.
#[test]
fn a_table_that_goes_on_carries_its_sums() {
    let told = garboard_demo::told().unwrap();
    let mut said = outline(&told.snapshot(), &Options::default());
    let n_lines = 150;
    let tables = said
        .sections
        .iter_mut()
        .flat_map(|section| &mut section.blocks);
    let mut n_changed = 0;
    for block in tables {
        let Block::Table(table) = block else { continue };
        if table.caption != "Every cost" {
            continue;
        }
        n_changed += 1;
        let last = table.columns.len() - 1;
        let mut line = table.rows.first().unwrap().clone();
        line.anchor = None;
        line.cells[1].text = "a cost".to_owned();
        line.cells[last].text = "1.10 EUR".to_owned();
        let mut total = table.rows.last().unwrap().clone();
        assert!(total.is_total);
        total.cells[last].text = "165.00 EUR".to_owned();
        table.rows = vec![line; n_lines];
        table.rows.push(total);
    }
    assert_eq!(n_changed, 1);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("costs.pdf");
    let made = pdf(&said, Paper::A4, "2026-06-14", |_| None).unwrap();
    made.write(|_| None, std::fs::File::create(&path).unwrap())
        .unwrap();
    let words = run("pdftotext", &["-layout"], &path, &["-"], "poppler-utils").unwrap();
    let (mut n, mut n_carried) = (0, 0);
    let mut carried: Option<String> = None;
    let sum = |line: &str| {
        line.split_whitespace()
            .rev()
            .take(2)
            .collect::<Vec<_>>()
            .join(" ")
    };
    for line in words.lines() {
        n += usize::from(line.contains("a cost"));
        if line.contains("Carried forward") && n > 0 && n < n_lines {
            assert_eq!(
                sum(line),
                format!("EUR {}.{:02}", n * 11 / 10, n * 110 % 100)
            );
            carried = Some(sum(line));
            n_carried += 1;
        }
        if line.contains("Brought forward")
            && let Some(carried) = carried.take()
        {
            assert_eq!(sum(line), carried);
        }
    }
    assert_eq!(n, n_lines);
    assert!(n_carried >= 3, "{n_carried}");
    assert_eq!(carried, None, "what was carried was not brought");
}
