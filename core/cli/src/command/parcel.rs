//! Writing a parcel.

use std::path::PathBuf;

use clap::Args;
use garboard_log::Chunk;
use garboard_parcel::{Contents, Manifest, Pictures, Reader};
use garboard_record::{Index, When};
use serde_json::json;

use super::{Answer, Sizes};
use crate::failure::{Done, Failure};
use crate::identity::Held;
use crate::machine;
use crate::store::{Store, write_file};

/// Writes a parcel for another device.
#[derive(Debug, Args)]
pub struct Parcel {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The file to write.
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// The other device's last parcel: only what it lacks goes along.
    #[arg(long, value_name = "FILE")]
    pub since: Option<PathBuf>,
    /// Which sizes of pictures go along.
    #[arg(long, value_enum, default_value = "originals")]
    pub pictures: Sizes,
    /// Splits the parcel into files of about so many megabytes; without it, one file.
    #[arg(long, value_name = "MB")]
    pub split: Option<u64>,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Reads the manifest of a parcel file.
fn manifest(path: &PathBuf) -> Done<Manifest> {
    let file =
        std::fs::File::open(path).map_err(|cause| Failure::file("cannot read", path, &cause))?;
    Ok(Reader::open(std::io::BufReader::new(file))?
        .manifest()
        .clone())
}

/// `garboard parcel`
///
/// # Errors
///
/// A mistake in folder or files; the environment's when it cannot be written.
pub fn parcel(c: &Parcel, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let store = Store::at(&c.dir)?;
    let opened = store.open()?;
    let snapshot = opened.log.snapshot();
    let log = snapshot
        .log_id()
        .ok_or_else(|| Failure::mistake("the log says nothing yet", "there is nothing to send"))?;
    let since = c.since.as_ref().map(manifest).transpose()?;
    if let Some(manifest) = since.as_ref().filter(|manifest| manifest.log != log) {
        return Err(garboard_parcel::Error::OtherBoat {
            theirs: manifest.boat.clone(),
            ours: snapshot.boat_name().to_owned(),
        }
        .into());
    }
    let chunks: Vec<Chunk> = match &since {
        Some(manifest) => opened.log.since(&manifest.heads).into_iter().collect(),
        None => {
            let known: Vec<_> = opened.log.chunks().collect();
            let (read, _) = store.read_chunks()?;
            read.into_iter()
                .filter(|(name, _)| known.contains(name))
                // A phone reads changes alone.
                .map(|(name, bytes)| garboard_log::Log::as_changes(Chunk { name, bytes }))
                .collect::<Result<_, _>>()?
        }
    };
    let sizes = match c.pictures {
        Sizes::Thumbnails => Pictures::Thumbnails,
        Sizes::Views => Pictures::Views,
        Sizes::Originals => Pictures::Originals,
    };
    let pictures = garboard_parcel::pictures(
        snapshot,
        &Index::of(snapshot),
        sizes,
        since.as_ref(),
        |digest| store.photo_size(digest),
    );
    let whole = Contents {
        log,
        boat: snapshot.boat_name().to_owned(),
        device: Held::lock(log, &c.dir)?
            .read()?
            .map(|identity| identity.device),
        written: When::from_unix_millis(machine::now_millis()),
        heads: opened.log.heads(),
        holds: store.photos_held(),
        chunks,
        pictures,
        part: (1, 1),
    };
    let files = match c.split {
        Some(megabytes) => {
            garboard_parcel::parts(&whole, megabytes.max(1).saturating_mul(1_000_000))
        }
        None => vec![whole],
    };
    let mut written = Vec::new();
    for contents in &files {
        let path = match contents.part {
            (_, 1) => c.output.clone(),
            (number, of) => numbered(&c.output, number, of),
        };
        let total: u64 = contents.pictures.iter().map(|picture| picture.bytes).sum();
        let mut said = 0;
        let bytes = write_file(&path, |file| {
            let out = garboard_parcel::write(
                contents,
                file,
                |digest| store.photo(digest),
                |done| {
                    if done / 50_000_000 > said {
                        said = done / 50_000_000;
                        progress(&format!("{} of {} MB", done / 1_000_000, total / 1_000_000));
                    }
                },
            )?;
            Ok(out)
        })?;
        written.push(json!({ "file": path, "bytes": bytes, "chunks": contents.chunks.len(), "pictures": contents.pictures.len() }));
    }
    let n_pictures: usize = files.iter().map(|contents| contents.pictures.len()).sum();
    let n_chunks: usize = files.iter().map(|contents| contents.chunks.len()).sum();
    let text = format!(
        "Written: {} with {n_chunks} chunks of the log of {} and {n_pictures} pictures. It is not sealed: whoever has it can read it.",
        if files.len() == 1 {
            c.output.display().to_string()
        } else {
            format!("{} files", files.len())
        },
        snapshot.boat_name()
    );
    Ok(Answer::new(
        text,
        json!({ "log": log, "files": written }),
        c.json,
    ))
}

/// `boat.zip` as part 2 of 3: `boat-2-of-3.zip`.
fn numbered(path: &std::path::Path, number: u64, of: u64) -> PathBuf {
    let stem = path
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    let ending = path
        .extension()
        .map(|ending| format!(".{}", ending.to_string_lossy()))
        .unwrap_or_default();
    path.with_file_name(format!("{stem}-{number}-of-{of}{ending}"))
}
