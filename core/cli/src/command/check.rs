//! Checking a log folder or a parcel: what is intact, what is altered.

use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

use clap::Args;
use garboard_parcel::Reader;
use garboard_record::{Body, Digest, canonical};
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure, Fault};
use crate::store::Store;

/// Checks what is intact and what is altered; exit code 1 when anything is.
#[derive(Debug, Args)]
pub struct Check {
    /// A log folder or a parcel.
    #[arg(value_name = "FILE|DIR")]
    pub path: PathBuf,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// `garboard check`
///
/// # Errors
///
/// A mistake when there is nothing to check; what is altered is an answer, not an error.
pub fn check(c: &Check, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    if c.path.is_dir() {
        check_folder(c, progress)
    } else {
        check_parcel(c, &c.path)
    }
}

fn check_folder(c: &Check, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let store = Store::at(&c.path)?;
    let opened = store.open()?;
    let snapshot = opened.log.snapshot();
    let mut altered: Vec<String> = opened
        .trouble
        .iter()
        .filter(|trouble| !matches!(trouble, garboard_log::Trouble::Waiting { .. }))
        .map(ToString::to_string)
        .collect();
    let mut remarks: Vec<String> = opened
        .strays
        .iter()
        .map(|stray| format!("chunks/{stray}"))
        .collect();
    remarks.extend(
        opened
            .trouble
            .iter()
            .filter(|trouble| matches!(trouble, garboard_log::Trouble::Waiting { .. }))
            .map(ToString::to_string),
    );
    for (id, statement) in snapshot.statements() {
        if !canonical::is_canonical(&statement.text) {
            remarks.push(format!(
                "the statement {id} is not written in canonical JSON"
            ));
        }
    }
    progress("the document, as Automerge puts it together");
    altered.extend(opened.log.disagreeing().into_iter().map(|key| {
        format!("Automerge's own document says something else than is read here: {key}")
    }));
    let held = store.photos_held();
    for (number, digest) in (1_usize..).zip(&held) {
        if number % 200 == 0 {
            progress(&format!("photograph {number} of {}", held.len()));
        }
        match store.photo(*digest) {
            Ok(bytes) if Digest::of(&bytes) == *digest => {}
            Ok(_) => altered.push(format!("the photograph {digest} was altered")),
            Err(cause) => altered.push(format!("the photograph {digest} cannot be read: {cause}")),
        }
    }
    let mut n_missing = 0;
    for entry in snapshot.entries() {
        let digest = match &entry.body {
            Body::Photograph(photograph) => photograph.digest,
            Body::SoundNote(sound) => sound.digest,
            _ => None,
        };
        if digest.is_some_and(|digest| {
            !snapshot.is_withdrawn(digest) && held.binary_search(&digest).is_err()
        }) {
            n_missing += 1;
        }
    }
    if n_missing > 0 {
        remarks.push(format!(
            "{n_missing} originals are not on this device; another may hold them"
        ));
    }
    let n_chunks = opened.log.chunks().count();
    let summary = format!(
        "{} statements in {n_chunks} chunks, {} picture files",
        snapshot.n_statements(),
        held.len()
    );
    Ok(verdict(
        c,
        snapshot.boat_name(),
        &summary,
        &altered,
        &remarks,
    ))
}

fn check_parcel(c: &Check, path: &Path) -> Done<Answer> {
    let file = File::open(path).map_err(|cause| Failure::file("cannot read", path, &cause))?;
    let (boat, summary, outcome) = match Reader::open(BufReader::new(file)) {
        Ok(mut reader) => {
            let manifest = reader.manifest();
            let summary = format!(
                "{} chunks, {} picture files",
                manifest.chunks.len(),
                manifest.pictures.len()
            );
            (manifest.boat.clone(), summary, reader.check(|_| {}))
        }
        Err(cause) => (String::new(), String::new(), Err(cause)),
    };
    match outcome {
        Ok(()) => Ok(verdict(c, &boat, &summary, &[], &[])),
        Err(cause) => {
            let failure = Failure::from(cause);
            if failure.fault != Fault::Mistake {
                return Err(failure);
            }
            Ok(verdict(c, &boat, &summary, &[failure.message], &[]))
        }
    }
}

fn verdict(c: &Check, boat: &str, summary: &str, altered: &[String], remarks: &[String]) -> Answer {
    let of = if boat.is_empty() {
        c.path.display().to_string()
    } else {
        format!("{} (the boat {boat})", c.path.display())
    };
    let mut text = if altered.is_empty() {
        format!("Intact: {of}, {summary}.")
    } else {
        format!("ALTERED: {of}.")
    };
    for line in altered {
        text.push_str(&format!("\n  altered: {line}"));
    }
    for line in remarks {
        text.push_str(&format!("\n  remark: {line}"));
    }
    if altered.is_empty() {
        text.push_str("\nThis shows that the bytes fit their names. It does not show that what was written is true, nor when it was written.");
    }
    let json = json!({ "intact": altered.is_empty(), "boat": boat, "summary": summary, "altered": altered, "remarks": remarks });
    Answer {
        found_wrong: !altered.is_empty(),
        ..Answer::new(text, json, c.json)
    }
}
