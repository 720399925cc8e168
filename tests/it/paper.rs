//! The dossier on paper, looked into by others: its structure by checks of our own on pikepdf, which are tried on damaged files,
//! and what PDF/A-1 and PDF/A-2 have in common by Apache PDFBox Preflight.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context as _, Result, ensure};
use garboard_dossier::{Options, Paper, in_one_frame, outline, pdf, short_pdf};
use serde_json::Value;

use crate::tool::{python, root};

/// The demonstration's dossier on paper, in its long and its short form, in a folder.
fn forms(folder: &Path, paper: Paper) -> Result<[(&'static str, PathBuf); 2]> {
    let told = garboard_demo::told()?;
    let day = "2026-06-14";
    let options = Options {
        made: Some(day.to_owned()),
        ..Options::default()
    };
    let mut outline = outline(&told.snapshot(), &options);
    let laid = in_one_frame(&mut outline, |wanted| told.picture(wanted));
    let picture = |wanted| laid.get(&wanted).cloned().or_else(|| told.picture(wanted));
    let long = pdf(&outline, paper, day, picture)?;
    let short = short_pdf(&outline, paper, day, picture)?;
    ensure!(
        short.n_pages < long.n_pages,
        "the short form is as long as the other"
    );
    let out = ["long", "short"].map(|form| (form, folder.join(format!("{form}.pdf"))));
    for ((_, path), made) in out.iter().zip([long, short]) {
        made.write(picture, std::fs::File::create(path)?)?;
    }
    Ok(out)
}

/// What a script of this folder prints.
fn script(name: &str, arguments: &[&Path], damages: &[&str]) -> Result<String> {
    // Without -B the script that is imported leaves its compiled form among the sources.
    let output = Command::new(python())
        .arg("-B")
        .arg(root().join("tests/it").join(name))
        .args(arguments)
        .args(damages)
        .output()?;
    ensure!(
        output.status.success(),
        "{name} failed; tests/run installs what it needs\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    Ok(String::from_utf8(output.stdout)?)
}

/// What each check looked at and what it reports.
type Checked = BTreeMap<String, Value>;

fn reported(checked: &Checked) -> Vec<String> {
    let mut out = Vec::new();
    for (check, about) in checked {
        for wrong in about["wrong"].as_array().into_iter().flatten() {
            out.push(format!("{check}: {wrong}"));
        }
    }
    out
}

#[test]
fn the_structure_of_the_paper_is_whole_in_both_forms() -> Result<()> {
    let folder = tempfile::tempdir()?;
    for paper in [Paper::A4, Paper::Letter] {
        for (form, path) in forms(folder.path(), paper)? {
            let checked: Checked = serde_json::from_str(&script("paper.py", &[&path], &[])?)?;
            ensure!(checked.len() == 27, "{} checks", checked.len());
            for (check, about) in &checked {
                ensure!(
                    about["seen"].as_u64() > Some(0),
                    "{form}, {paper:?}: {check} found nothing to look at"
                );
            }
            let wrong = reported(&checked);
            ensure!(wrong.is_empty(), "{form}, {paper:?}:\n{}", wrong.join("\n"));
        }
    }
    Ok(())
}

#[test]
fn every_check_of_the_structure_reports_what_was_damaged_for_it_and_nothing_else() -> Result<()> {
    let (room, folder) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let [_, (_, short)] = forms(room.path(), Paper::A4)?;
    let answer: Value =
        serde_json::from_str(&script("paper_damage.py", &[&short, folder.path()], &[])?)?;
    // Written once more and not damaged, the file is as whole as before.
    let rewritten: Checked = serde_json::from_value(answer["rewritten"].clone())?;
    ensure!(
        reported(&rewritten).is_empty(),
        "{:?}",
        reported(&rewritten)
    );
    let (mut tried, mut wrong) = (BTreeSet::new(), Vec::new());
    for one in answer["tried"].as_array().context("no damages")? {
        let meant: BTreeSet<String> = serde_json::from_value(one["for"].clone())?;
        let found: BTreeMap<String, Vec<String>> = serde_json::from_value(one["reported"].clone())?;
        if !found.keys().eq(&meant) {
            wrong.push(format!(
                "{} is for {meant:?} and is reported by {found:?}",
                one["damage"]
            ));
        }
        tried.extend(meant);
    }
    ensure!(wrong.is_empty(), "{}", wrong.join("\n"));
    let all: BTreeSet<String> = rewritten.into_keys().collect();
    ensure!(
        all == tried,
        "not tried: {:?}",
        all.difference(&tried).collect::<Vec<_>>()
    );
    Ok(())
}

/// What Preflight, which knows PDF/A-1 (ISO 19005-1), may say of a file of PDF/A-2, with the reason.
const NEWER: [(&str, &str); 2] = [
    (
        "2.1.6 : Invalid graphics object, Invalid version of the ICCProfile",
        "the profile of sRGB is of version 4, which part 2 allows (6.2.4.2) and part 1 is too old for",
    ),
    (
        "7.11.2 : Error on MetaData, part must be 1",
        "it says 2, rightly",
    ),
];

/// What it says beside that of the file as it is written: gaps of its own, gone when `eased` of `paper_damage.py` eases the file.
/// The second keeps it from reading on in the metadata, so that it does not come as far as the number of the part.
const GAPS: [(&str, &str); 2] = [
    (
        "1.2.3 : Body Syntax error, Error: can't convert to Destination COSObject",
        "it does not follow a reference from an item of the outline to its destination",
    ),
    (
        "7.3 : Error on MetaData, Cannot find a definition for the namespace http://www.aiim.org/pdfua/ns/id/",
        "it looks for a schema only where it is described apart from what uses it",
    ),
];

/// What Preflight says of every file of a folder: each complaint once, without its page and object.
fn preflight(folder: &Path) -> Result<BTreeMap<String, BTreeSet<String>>> {
    // Since version 11 Java is without two libraries that Preflight uses.
    let jars = [
        "preflight",
        "pdfbox2",
        "fontbox2",
        "xmpbox",
        "commons-logging",
        "javax.activation",
        "jaxb-api",
    ]
    .map(|name| format!("/usr/share/java/{name}.jar"));
    for jar in &jars {
        ensure!(
            Path::new(jar).is_file(),
            "{jar} is missing; apt-get install libpdfbox2-java libactivation-java libjaxb-api-java"
        );
    }
    let output = Command::new("java")
        // The faces of this machine are searched when one is not in the file; where they lie is noted in a folder that goes.
        .arg(format!("-Dpdfbox.fontcache={}", folder.display()))
        .args([
            "-cp",
            &jars.join(":"),
            "org.apache.pdfbox.preflight.Validator_A1b",
            "batch",
        ])
        .arg(folder)
        .output()
        .context("cannot run java; apt-get install default-jre-headless")?;
    let mut out: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut of = None;
    for line in String::from_utf8_lossy(&output.stdout).lines() {
        if let Some(rest) = line.strip_prefix("The file ") {
            let (name, _) = rest
                .split_once(" is ")
                .context("a file without a verdict")?;
            of = Some(out.entry(name.to_owned()).or_default());
        } else if let Some(complaints) = of.as_mut().filter(|_| !line.is_empty()) {
            let said = line.split(" on page ").next().unwrap_or_default();
            complaints.insert(said.split('{').next().unwrap_or_default().to_owned());
        }
    }
    ensure!(
        !out.is_empty(),
        "Preflight read no file: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    Ok(out)
}

#[test]
fn preflight_finds_nothing_but_what_is_newer_than_it_and_sees_damage() -> Result<()> {
    // A damage, and the code under which it is reported.
    let damages = [
        ("a_stream_elsewhere", "1.2.6"),
        ("packed_by_lzw", "1.2.7"),
        ("a_file_in_the_file", "1.4.7"),
        ("half_a_profile", "2.1.4"),
        ("a_face_that_is_not_there", "3.1.3"),
        ("a_sign_without_a_shape", "3.3.1"),
        ("see_through", "4.1.2"),
        ("a_script_when_it_opens", "6.2.5"),
        ("no_title", "7.2"),
    ];
    let folder = tempfile::tempdir()?;
    let at = |name: &str| folder.path().join(format!("{name}.pdf"));
    let forms = forms(folder.path(), Paper::A4)?;
    for (form, path) in &forms {
        let to = at(&format!("{form}-eased"));
        script("paper_damage.py", &[path, &to], &["eased"])?;
    }
    let [_, (_, short)] = &forms;
    for (damage, _) in damages {
        script("paper_damage.py", &[short, &at(damage)], &[damage, "eased"])?;
    }
    let said = preflight(folder.path())?;
    ensure!(said.len() == 4 + damages.len(), "{:?}", said.keys());
    let of = |name: &str| {
        said.get(&format!("{name}.pdf"))
            .with_context(|| format!("{name} was not read"))
    };
    let [newer, part] = NEWER.map(|(complaint, _)| complaint.to_owned());
    let eased = BTreeSet::from([newer.clone(), part]);
    let as_written: BTreeSet<String> = GAPS
        .map(|(complaint, _)| complaint.to_owned())
        .into_iter()
        .chain([newer])
        .collect();
    // Equal, so that an excuse that is not needed any more is noticed, too.
    for (form, _) in &forms {
        ensure!(of(form)? == &as_written, "{form}: {:#?}", of(form)?);
        let name = format!("{form}-eased");
        ensure!(of(&name)? == &eased, "{name}: {:#?}", of(&name)?);
    }
    for (damage, code) in damages {
        let code = format!("{code} : ");
        ensure!(
            of(damage)?
                .difference(&eased)
                .any(|complaint| complaint.starts_with(&code)),
            "{damage}: {:#?}",
            of(damage)?
        );
    }
    Ok(())
}
