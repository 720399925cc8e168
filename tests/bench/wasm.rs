//! The program of `tests/bytes` as a wasm program under node.

use std::path::Path;
use std::process::Command;

/// Builds it with optimisation and returns the command that runs it; arguments come behind.
pub(crate) fn program(root: &Path) -> Command {
    let target = root.join("target/same");
    let built = Command::new(env!("CARGO"))
        .current_dir(root)
        .args([
            "build",
            "--quiet",
            "--release",
            "--package",
            "garboard-bytes",
        ])
        .args(["--target", "wasm32-wasip1", "--target-dir"])
        .arg(&target)
        .status()
        .unwrap();
    assert!(built.success(), "rustup target add wasm32-wasip1");
    let mut command = Command::new("node");
    command
        .arg("--no-warnings")
        .arg(root.join("tests/bytes/run.mjs"))
        .arg(target.join("wasm32-wasip1/release/garboard-bytes.wasm"));
    command
}
