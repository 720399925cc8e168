//! Checking a log folder, a parcel or a bag: what is intact, what is altered.

use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

use clap::Args;
use garboard_dossier::handover;
use garboard_key::of_statements;
use garboard_parcel::bag::{Checked, Marks};
use garboard_parcel::history::{self, Form, History};
use garboard_parcel::{Reader, bag};
use garboard_record::{Body, Digest, canonical};
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure, Fault};
use crate::store::Store;

/// Checks what is intact and what is altered; exit code 1 when anything is.
#[derive(Debug, Args)]
pub struct Check {
    /// A log folder, a parcel, a bag, or a history by itself: a page or a paper.
    #[arg(value_name = "FILE|DIR")]
    pub path: PathBuf,
    /// The bag that a history by itself came in; it is checked too.
    #[arg(long, value_name = "BAG")]
    pub bag: Option<PathBuf>,
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
    let form = if c.path.is_dir() {
        None
    } else {
        history::form_of(file(&c.path)?)
            .map_err(|cause| Failure::file("cannot read", &c.path, &cause))?
    };
    if let (None, Some(bag)) = (form, &c.bag) {
        return Err(Failure::mistake(
            format!("{} is no page and no paper", c.path.display()),
            format!("check it without --bag, or {} by itself", bag.display()),
        ));
    }
    if c.path.is_dir() {
        check_folder(c, progress)
    } else if let Some(form) = form {
        check_history(c, form, progress)
    } else if bag::is_bag(file(&c.path)?) {
        check_bag(c, progress)
    } else {
        check_parcel(c, &c.path)
    }
}

fn file(path: &Path) -> Done<BufReader<File>> {
    File::open(path)
        .map(BufReader::new)
        .map_err(|cause| Failure::file("cannot read", path, &cause))
}

fn check_history(c: &Check, form: Form, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let history = History::read(form, file(&c.path)?)
        .map_err(|cause| Failure::file("cannot read", &c.path, &cause))?;
    if !history.is_sealed() && c.bag.is_none() {
        return Err(Failure::mistake(
            format!(
                "{} is a history by itself and bears no seal: nothing in it says whether it was altered",
                c.path.display()
            ),
            "check it with the bag that it came in, with --bag, or compute its SHA-256 and ask the seller for his",
        ));
    }
    let mut found = Found::default();
    if history.is_sealed() {
        found.add(history.marks());
    }
    if let Some(path) = &c.bag {
        let (of_bag, checked) = look_into(path, progress)?;
        found.altered.extend(of_bag.altered);
        found.remarks.extend(of_bag.remarks);
        found.boat = of_bag.boat;
        found.add(history.in_bag(&checked));
    }
    let summary = format!("SHA-256 {}", history.digest);
    Ok(verdict(
        c,
        &found.boat,
        &summary,
        &found.altered,
        &found.remarks,
    ))
}

/// What was found.
#[derive(Default)]
struct Found {
    boat: String,
    summary: String,
    altered: Vec<String>,
    remarks: Vec<String>,
}

impl Found {
    fn add(&mut self, marks: Marks) {
        self.altered.extend(marks.faults);
        self.remarks.extend(marks.remarks);
    }
}

fn check_bag(c: &Check, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let (found, _) = look_into(&c.path, progress)?;
    Ok(verdict(
        c,
        &found.boat,
        &found.summary,
        &found.altered,
        &found.remarks,
    ))
}

/// Checks a bag.
fn look_into(path: &Path, progress: &mut dyn FnMut(&str)) -> Done<(Found, Checked)> {
    const STEP: u64 = 256 << 20;
    let mut next = STEP;
    let mut checked = bag::check(file(path)?, |n_bytes| {
        if n_bytes >= next {
            progress(&format!("{} MB read", n_bytes / 1_000_000));
            next += STEP;
        }
    })?;
    let lines = bag::words(file(path)?, "log/statements.jsonl");
    let said = handover::read(lines.as_deref().unwrap_or_default());
    let marks = bag::marks(
        &checked,
        of_statements(said.digests.iter().copied()),
        |device, key| said.device_with(device, &key.to_string()),
    );
    let mut found = Found {
        altered: said.faults(std::mem::take(&mut checked.faults)),
        remarks: std::mem::take(&mut checked.remarks),
        summary: format!("{} files, {} statements", checked.n_intact, said.n_intact),
        boat: said.boat.clone(),
    };
    found.remarks.extend(said.remarks());
    found.add(marks);
    Ok((found, checked))
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
    let (boat, summary, outcome) = match Reader::open(file(path)?) {
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
