//! The demonstration boat: an invented scenario with drawn pictures.

use std::path::{Path, PathBuf};

use clap::Args;
use garboard_demo::told;
use garboard_log::Log;
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure, whole};
use crate::store::Store;

/// Makes the demonstration boat: an invented scenario with drawn pictures.
#[derive(Debug, Args)]
pub struct Demo {
    /// The folder; it must be empty or not there yet.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Makes the demonstration boat in a folder and says how many statements it holds.
///
/// The same demonstration gives the same chunks on every machine: its writings are named after its devices.
///
/// # Errors
///
/// A mistake when the folder is in use; the environment's when it cannot be written.
pub fn make(dir: &Path) -> Done<usize> {
    let told = told().map_err(|cause| Failure::ours(whole(&cause)))?;
    let store = Store::create(dir)?;
    for picture in &told.originals {
        store.keep_photo(picture.digest, &picture.bytes)?;
    }
    for picture in &told.rendered {
        store.keep_photo(picture.digest, &picture.bytes)?;
    }
    let mut n_statements = 0;
    let mut chunks = Vec::new();
    for writer in &told.writers {
        let mut log = Log::new(*writer.device.as_bytes());
        let said = writer
            .statements
            .iter()
            .map(|(id, text)| log.append(*id, text))
            .collect::<Result<Vec<_>, _>>()?;
        chunks.push(Log::pack(said.iter().map(|chunk| chunk.bytes.as_slice()))?);
        n_statements += writer.statements.len();
    }
    store.keep_all(
        chunks
            .iter()
            .map(|chunk| (chunk.name, chunk.bytes.as_slice())),
    )?;
    Ok(n_statements)
}

/// `garboard demo`
///
/// # Errors
///
/// Those of [`make`].
pub fn demo(c: &Demo, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    progress("drawing the demonstration's pictures");
    let n_statements = make(&c.dir)?;
    let text = format!(
        "Made: the demonstration boat in {}, {n_statements} statements. Everything in it is invented.\nLook at it: garboard show {}",
        c.dir.display(),
        c.dir.display()
    );
    Ok(Answer::new(
        text,
        json!({ "dir": c.dir, "n_statements": n_statements }),
        c.json,
    ))
}
