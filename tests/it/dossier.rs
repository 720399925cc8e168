//! The dossier seen from outside: valid by the standard's checker, and whole when a browser prints it.

use std::path::{Path, PathBuf};
use std::process::Command;

use garboard_dossier::{Options, html, outline};

/// Writes the demonstration's dossier to a folder of its own.
fn demonstration(folder: &Path) -> PathBuf {
    let told = garboard_demo::told().unwrap();
    let page = html(&outline(&told.snapshot(), &Options::default()), |wanted| {
        told.picture(wanted)
    });
    let path = folder.join("dossier.html");
    std::fs::write(&path, page).unwrap();
    path
}

/// Runs a tool and returns what it prints; what is missing fails with the way to mend it.
fn run(command: &mut Command, mend: &str) -> String {
    let output = command.output();
    let output = output.unwrap_or_else(|error| panic!("cannot run {command:?}: {error}; {mend}"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{command:?} failed; {mend}\n{said}\n{}",
        String::from_utf8_lossy(&output.stdout)
    );
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_dossier_is_valid_html() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let checker = root.join("target/npm/node_modules/vnu-jar/build/dist/vnu.jar");
    assert!(
        checker.is_file(),
        "{} is missing; tests/run installs it: npm install --prefix target/npm vnu-jar",
        checker.display()
    );
    let folder = tempfile::tempdir().unwrap();
    let page = demonstration(folder.path());
    let found = run(
        Command::new("java")
            .args(["-Xss8m", "-jar"])
            .arg(checker)
            .args(["--stdout", "--errors-only"])
            .arg(page),
        "apt-get install default-jre-headless",
    );
    assert_eq!(found, "");
}

#[test]
fn the_dossier_prints_whole_on_a4_and_letter() {
    let folder = tempfile::tempdir().unwrap();
    let page = demonstration(folder.path());
    let letter = std::fs::read_to_string(&page).unwrap();
    for (paper, size) in [("A4", "594.96 x 841.92"), ("letter", "612 x 792")] {
        // What the reader's printer has in its tray is said here by the page itself.
        let sized = folder.path().join(format!("{paper}.html"));
        std::fs::write(
            &sized,
            letter.replace("</style>", &format!("@page {{ size: {paper}; }}\n</style>")),
        )
        .unwrap();
        let printed = folder.path().join(format!("{paper}.pdf"));
        run(
            Command::new("chromium")
                .args([
                    "--headless",
                    "--no-sandbox",
                    "--disable-gpu",
                    "--no-first-run",
                    "--no-pdf-header-footer",
                ])
                .arg(format!(
                    "--user-data-dir={}",
                    folder.path().join("profile").display()
                ))
                .arg(format!("--print-to-pdf={}", printed.display()))
                .arg(format!("file://{}", sized.display())),
            "apt-get install chromium",
        );
        let about = run(
            Command::new("pdfinfo").arg(&printed),
            "apt-get install poppler-utils",
        );
        assert!(about.contains(size), "{paper}: {about}");
        let words = run(
            Command::new("pdftotext")
                .args(["-layout"])
                .arg(&printed)
                .arg("-"),
            "apt-get install poppler-utils",
        );
        let words = words.replace('\u{a0}', " ");
        for expected in [
            "This is no survey.",
            "Dated by the owner’s device only. Written by the seller; not a survey.",
            "Dunlin · documented history",
            "Finding 4. Wet core aft of the third stanchion",
            "Materials of this repair",
            "256.17 EUR",
            "1378.14 EUR",
            "41.32",
            "The log in the order of writing",
        ] {
            assert!(
                words.contains(expected),
                "{paper}: {expected:?} is not on paper"
            );
        }
        let pictures = run(
            Command::new("pdfimages").arg("-list").arg(&printed),
            "apt-get install poppler-utils",
        );
        // Two lines of heading, then a line a picture.
        assert_eq!(pictures.lines().count() - 2, 15, "{paper}: {pictures}");
    }
}
