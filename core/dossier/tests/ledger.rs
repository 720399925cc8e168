//! The ledgers, recomputed by a script that shares no code with us.

#![expect(
    clippy::unwrap_used,
    reason = "a test's helpers stop it where they cannot go on"
)]

use std::path::Path;
use std::process::Command;

use garboard_dossier::{Options, ledgers};

/// Runs the script over a folder.
fn recomputed(folder: &Path) -> (bool, String) {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/ledger.py");
    let output = Command::new("python3")
        .arg(script)
        .arg(folder)
        .output()
        .unwrap();
    let said = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    (output.status.success(), said)
}

#[test]
fn every_total_is_recomputed_from_the_lines_and_a_wrong_one_is_seen() {
    let told = garboard_demo::told().unwrap();
    let folder = tempfile::tempdir().unwrap();
    for file in ledgers(&told.snapshot(), &Options::default()) {
        std::fs::write(folder.path().join(file.name), file.bytes).unwrap();
    }
    let (is_right, said) = recomputed(folder.path());
    assert!(is_right, "{said}");
    assert!(said.contains(" totals, 0 wrong"), "{said}");
    // The same script sees a total that is a cent too high.
    let path = folder.path().join("totals.csv");
    let wrong = std::fs::read_to_string(&path)
        .unwrap()
        .replace("1378.14", "1378.15");
    std::fs::write(&path, wrong).unwrap();
    assert!(!recomputed(folder.path()).0);
}
