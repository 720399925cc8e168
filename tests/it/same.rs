//! Same log, same options, same bytes: natively and in wasm.
//!
//! The wasm program is built for WASI, so that node can run it; the code and its arithmetic are those of the browser's modules.

use std::path::{Path, PathBuf};
use std::process::Command;

/// Runs a command and returns what it prints; what is missing fails with the way to mend it.
fn run(command: &mut Command, mend: &str) -> String {
    let output = command.output();
    let output = output.unwrap_or_else(|error| panic!("cannot run {command:?}: {error}; {mend}"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{command:?} failed; {mend}\n{said}"
    );
    String::from_utf8(output.stdout).unwrap()
}

/// The pictures that `tests/fetch-pictures` fetched, in order of name.
fn pictures(root: &Path) -> Vec<PathBuf> {
    let mut pictures = Vec::new();
    for folder in ["orientation", "heads", "corrupt", "phone", "heic"] {
        let folder = root.join("target/pictures").join(folder);
        let listed = std::fs::read_dir(&folder);
        let listed = listed.unwrap_or_else(|error| {
            panic!(
                "no pictures in {}: {error}; run tests/fetch-pictures",
                folder.display()
            )
        });
        pictures.extend(listed.map(|entry| entry.unwrap().path()));
    }
    pictures.sort();
    assert!(
        pictures.len() > 100,
        "only {} pictures; run tests/fetch-pictures",
        pictures.len()
    );
    pictures
}

#[test]
fn renditions_frames_reckonings_demonstration_and_dossier_are_the_same_in_wasm() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .canonicalize()
        .unwrap();
    let target = root.join("target/same");
    run(
        Command::new(env!("CARGO"))
            .current_dir(&root)
            .args([
                "build",
                "--quiet",
                "--package",
                "garboard-bytes",
                "--target",
                "wasm32-wasip1",
                "--target-dir",
            ])
            .arg(&target),
        "rustup target add wasm32-wasip1",
    );
    let program = target.join("wasm32-wasip1/debug/garboard-bytes.wasm");
    let pictures = pictures(&root);
    let in_wasm = run(
        Command::new("node")
            .arg("--no-warnings")
            // Version 20 falls at its end in every other run while threads of its own still compile.
            .arg("--single-threaded")
            .arg(root.join("tests/bytes/run.mjs"))
            .arg(program)
            .args(&pictures),
        "apt-get install nodejs (18 or later)",
    );
    let mut natively = Vec::new();
    for path in &pictures {
        natively.push(garboard_bytes::picture(
            &path.display().to_string(),
            &std::fs::read(path).unwrap(),
        ));
    }
    natively.extend(garboard_bytes::reckonings());
    natively.extend(garboard_bytes::demonstration());
    let in_wasm: Vec<&str> = in_wasm.lines().collect();
    assert!(natively.len() > 150, "{} lines", natively.len());
    // Some frames were found, so that it is numbers that are compared.
    assert!(
        natively
            .iter()
            .filter(|line| line.contains(" [[3f"))
            .count()
            >= 2
    );
    for (in_wasm, natively) in in_wasm.iter().zip(&natively) {
        assert_eq!(in_wasm, natively);
    }
    assert_eq!(in_wasm.len(), natively.len());
}
