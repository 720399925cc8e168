//! Independent readers: another implementation of the document, Python's ZIP, coreutils' sums.

use std::fs;
use std::process::Command;

use crate::tool::{Device, files, picture, root};

fn run(program: &str, arguments: &[&str], device: &Device, hint: &str) -> String {
    let output = Command::new(program)
        .args(arguments)
        .current_dir(device.path(""))
        .output();
    let output = output.unwrap_or_else(|cause| panic!("cannot run {program}: {cause}; {hint}"));
    assert!(
        output.status.success(),
        "{program} {arguments:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

/// `@automerge/automerge` from npm, the document's other implementation, reads the chunks and finds the same statements.
#[test]
fn another_reader_of_the_document_finds_the_same_statements() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let module = root().join("target/npm/node_modules/@automerge/automerge");
    assert!(
        module.is_dir(),
        "{} is missing; tests/run installs it: npm install --prefix target/npm @automerge/automerge@3.5.0",
        module.display()
    );
    let script = format!(
        r#"const A = require({:?}); const fs = require("fs");
        let doc = A.init();
        for (const name of fs.readdirSync("boat/chunks").sort()) doc = A.loadIncremental(doc, fs.readFileSync("boat/chunks/" + name));
        const out = {{}}; for (const key of Object.keys(doc)) out[key] = String(doc[key]);
        process.stdout.write(JSON.stringify(out));"#,
        module.to_str().unwrap()
    );
    fs::write(device.path("read.cjs"), script).unwrap();
    let found: std::collections::BTreeMap<String, String> = serde_json::from_str(&run(
        "node",
        &["read.cjs"],
        &device,
        "apt-get install nodejs",
    ))
    .unwrap();
    let (log, trouble) = garboard_log::Log::open(
        [1; 16],
        files(&device.path("boat/chunks"))
            .into_iter()
            .map(|(path, bytes)| (path.to_str().unwrap().parse().unwrap(), bytes)),
        None,
    );
    assert!(trouble.is_empty());
    let ours: std::collections::BTreeMap<String, String> = log
        .snapshot()
        .statements()
        .map(|(id, s)| (id.to_string(), s.text.to_string()))
        .collect();
    assert!(ours.len() >= 80);
    assert_eq!(found, ours);
}

/// Python's zipfile opens a parcel, and `sha256sum -c` agrees with what the manifest and the sums say.
#[test]
fn any_unzip_opens_a_parcel_and_sha256sum_agrees() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser"]);
    fs::write(device.path("a.jpg"), picture(40)).unwrap();
    device.run(&["photo", "boat", "a.jpg", "--stage", "found"]);
    device.run(&["parcel", "boat", "-o", "p.zip"]);
    let script = "import zipfile; z = zipfile.ZipFile('p.zip'); assert z.testzip() is None; z.extractall('out'); print(len(z.namelist()))";
    let n_parts: usize = run(
        "python3",
        &["-c", script],
        &device,
        "apt-get install python3",
    )
    .trim()
    .parse()
    .unwrap();
    assert_eq!(n_parts, files(&device.path("out")).len());
    let manifest: serde_json::Value =
        serde_json::from_slice(&fs::read(device.path("out/manifest.json")).unwrap()).unwrap();
    let output = Command::new("sha256sum")
        .args(["-c", "--strict", "SHA256SUMS"])
        .current_dir(device.path("out"))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let n_named = manifest["chunks"].as_array().unwrap().len()
        + manifest["pictures"].as_array().unwrap().len();
    assert_eq!(
        String::from_utf8(output.stdout)
            .unwrap()
            .matches(": OK")
            .count(),
        n_named + 1
    );
    for chunk in manifest["chunks"].as_array().unwrap() {
        let digest = chunk["digest"].as_str().unwrap();
        let sum = Command::new("sha256sum")
            .arg(device.path("out/chunks").join(digest))
            .output()
            .unwrap();
        assert!(String::from_utf8(sum.stdout).unwrap().starts_with(digest));
    }
    let original = files(&device.path("out/photographs"))
        .into_iter()
        .filter(|(_, bytes)| *bytes == picture(40))
        .count();
    assert_eq!(original, 1, "the original goes along untouched");
}
