//! How long reckonings take in wasm under node, each on its slowest check case, beside the same natively:
//! `cargo bench -p garboard-tests --bench reckon`.
//!
//! Nothing here asserts: machines differ. The aims stand beside the figures: 5 ms each in wasm, 200 ms for ten thousand readings;
//! cutting plans take the time that they are given.

#![expect(clippy::print_stdout, reason = "a benchmark prints")]
#![expect(
    clippy::unwrap_used,
    reason = "a benchmark stops where something is wrong"
)]

mod wasm;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// What the program prints: microseconds by name.
fn told(command: &mut Command) -> BTreeMap<String, f64> {
    let output = command.output().unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{command:?}");
    said.lines()
        .map(|line| {
            let (name, micros) = line.rsplit_once(' ').unwrap();
            (name.to_owned(), micros.parse().unwrap())
        })
        .collect()
}

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let in_wasm = told(wasm::program(&root).arg("reckon"));
    let built = Command::new(env!("CARGO"))
        .current_dir(&root)
        .args([
            "build",
            "--quiet",
            "--release",
            "--package",
            "garboard-bytes",
        ])
        .status()
        .unwrap();
    assert!(built.success(), "garboard-bytes cannot be built");
    let natively = told(Command::new(root.join("target/release/garboard-bytes")).arg("reckon"));
    let mut all: Vec<(&String, &f64)> = in_wasm.iter().collect();
    all.sort_by(|a, b| b.1.total_cmp(a.1));
    println!(
        "{} reckonings, in wasm under node, the slowest first:",
        all.len() - 1
    );
    for (name, micros) in all {
        let native = natively.get(name).copied().unwrap_or_default();
        println!(
            "{name:<28} {:>9.2} ms = {:>5.1} × natively",
            micros / 1e3,
            micros / native.max(1.0)
        );
    }
}
