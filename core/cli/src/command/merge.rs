//! Receiving parcels and merging other copies of the same log.

mod watch;

use std::collections::BTreeMap;
use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

use clap::Args;
use garboard_log::{Log, TakenIn};
use garboard_parcel::{Reader, Report};
use garboard_record::{Digest, Index, Snapshot};
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure};
use crate::machine;
use crate::store::Store;

/// Merges parcels, or other copies of the same log; a folder that is not there yet begins as a copy.
#[derive(Debug, Args)]
pub struct Merge {
    /// The log folder; where it is not there yet, it begins as a copy.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// Parcels, or folders that are copies of the same log.
    #[arg(value_name = "FILE|DIR", required_unless_present = "watch")]
    pub from: Vec<PathBuf>,
    /// Goes on taking in every parcel that comes to lie in this folder, until it is stopped. Whatever carries files there carries
    /// the log; nothing in the folder is changed.
    #[arg(long, value_name = "FOLDER", conflicts_with = "json")]
    pub watch: Option<PathBuf>,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Where something comes from, checked.
enum Source {
    Parcel(Box<Reader<BufReader<File>>>),
    Folder {
        store: Store,
        chunks: BTreeMap<Digest, Vec<u8>>,
        log: Box<Log>,
    },
}

/// `garboard merge`
///
/// Everything is checked first; then everything is taken in, or nothing.
///
/// # Errors
///
/// A mistake when a source is altered, is no parcel, or belongs to another boat; the environment's when it cannot be written.
pub fn merge(c: &Merge, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    if let Some(folder) = &c.watch {
        if !c.from.is_empty() {
            let first = Merge {
                dir: c.dir.clone(),
                from: c.from.clone(),
                watch: None,
                json: false,
            };
            let answer = merge(&first, progress)?;
            progress(&answer.text);
        }
        watch::watch(c, folder, progress)?;
    }
    let mut sources = Vec::new();
    for path in &c.from {
        progress(&format!("checking {}", path.display()));
        sources.push(open(path)?);
    }
    let is_new = !c.dir.join("chunks").is_dir();
    let mut log = if is_new {
        Log::new(machine::random()?)
    } else {
        Store::at(&c.dir)?.open()?.log
    };
    check_boats(log.snapshot(), &sources)?;
    let store = if is_new {
        Store::create(&c.dir)?
    } else {
        Store::at(&c.dir)?
    };
    let mut taken = TakenIn::default();
    let mut n_pictures = 0;
    for source in &mut sources {
        let chunks = match source {
            Source::Parcel(reader) => reader.chunks()?.into_iter().collect::<BTreeMap<_, _>>(),
            Source::Folder { chunks, .. } => chunks.clone(),
        };
        let new = log.take_in_all(chunks.iter().map(|(name, bytes)| (*name, bytes.as_slice())))?;
        // Pictures first: when the statements are there, what they name is there too.
        n_pictures += take_pictures(&store, &log, source, progress)?;
        store.keep_all(
            new.chunks
                .iter()
                .filter_map(|name| Some((*name, chunks.get(name)?.as_slice()))),
        )?;
        taken.chunks.extend(new.chunks);
        taken.statements.extend(new.statements);
    }
    store.delete_withdrawn(&log)?;
    let report = Report::of(&taken, log.snapshot(), n_pictures);
    let counted = |counts: &BTreeMap<String, usize>| {
        counts
            .iter()
            .map(|(word, n)| format!("{word} {n}"))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let mut text = if report.n_statements == 0 && n_pictures == 0 {
        format!(
            "Nothing new: the log of {} had all of it.",
            log.snapshot().boat_name()
        )
    } else {
        format!(
            "Received for {}: {} statements and {n_pictures} pictures.\n  by kind: {}\n  by hand: {}",
            log.snapshot().boat_name(),
            report.n_statements,
            counted(&report.by_kind),
            counted(&report.by_hand)
        )
    };
    if report.n_disputes > 0 {
        let fields = if report.n_disputes == 1 {
            "1 field was".to_owned()
        } else {
            format!("{} fields were", report.n_disputes)
        };
        text.push_str(&format!(
            "\n{fields} written differently by two hands: `garboard show {}` lists them.",
            c.dir.display()
        ));
    }
    for trouble in log.trouble() {
        text.push_str(&format!("\nremark: {trouble}"));
    }
    let json = json!({ "log": log.snapshot().log_id(), "boat": log.snapshot().boat_name(), "received": report });
    Ok(Answer::new(text, json, c.json))
}

fn open(path: &Path) -> Done<Source> {
    if path.is_dir() {
        let store = Store::at(path)?;
        let opened = store.open()?;
        let (chunks, _) = store.read_chunks()?;
        let known: Vec<Digest> = opened.log.chunks().collect();
        let chunks = chunks
            .into_iter()
            .filter(|(name, _)| known.contains(name))
            .collect();
        return Ok(Source::Folder {
            store,
            chunks,
            log: Box::new(opened.log),
        });
    }
    let file = File::open(path).map_err(|cause| Failure::file("cannot read", path, &cause))?;
    let in_file = |failure: Failure| Failure {
        message: format!("{}: {}", path.display(), failure.message),
        ..failure
    };
    let mut reader = Reader::open(BufReader::new(file)).map_err(|cause| in_file(cause.into()))?;
    reader
        .check(|_| {})
        .map_err(|cause| in_file(cause.into()))?;
    Ok(Source::Parcel(Box::new(reader)))
}

/// Refuses another boat's log; where this one says nothing yet, the first source says which boat it is.
fn check_boats(ours: &Snapshot, sources: &[Source]) -> Done<()> {
    let mut known = ours.log_id().map(|log| (log, ours.boat_name().to_owned()));
    for source in sources {
        let found = match source {
            Source::Parcel(reader) => Some((reader.manifest().log, reader.manifest().boat.clone())),
            Source::Folder { log, .. } => log
                .snapshot()
                .log_id()
                .map(|id| (id, log.snapshot().boat_name().to_owned())),
        };
        match (&known, found) {
            (Some((ours, our_boat)), Some((theirs, their_boat))) if *ours != theirs => {
                return Err(garboard_parcel::Error::OtherBoat {
                    theirs: their_boat,
                    ours: our_boat.clone(),
                }
                .into());
            }
            (None, found) => known = found,
            _ => {}
        }
    }
    Ok(())
}

fn take_pictures(
    store: &Store,
    log: &Log,
    source: &mut Source,
    progress: &mut dyn FnMut(&str),
) -> Done<usize> {
    let refused = Index::of(log.snapshot()).withdrawn_bytes(log.snapshot());
    let mut n_new = 0;
    match source {
        Source::Parcel(reader) => {
            let pictures = reader.manifest().pictures.clone();
            let total = pictures.len();
            for (number, picture) in (1_usize..).zip(&pictures) {
                if refused.contains(&picture.digest)
                    || store.photo_size(picture.digest) == Some(picture.bytes)
                {
                    continue;
                }
                if number % 50 == 0 {
                    progress(&format!("picture {number} of {total}"));
                }
                store.keep_photo(picture.digest, &reader.picture(picture)?)?;
                n_new += 1;
            }
        }
        Source::Folder { store: from, .. } => {
            for digest in from.photos_held() {
                if refused.contains(&digest) || store.photo_size(digest).is_some() {
                    continue;
                }
                let bytes = from.photo(digest).map_err(|cause| {
                    Failure::file("cannot read a photograph in", from.dir(), &cause)
                })?;
                // An altered picture is left behind; what is good comes.
                if Digest::of(&bytes) == digest {
                    store.keep_photo(digest, &bytes)?;
                    n_new += 1;
                } else {
                    progress(&format!(
                        "the photograph {digest} in {} was altered and is left behind",
                        from.dir().display()
                    ));
                }
            }
        }
    }
    Ok(n_new)
}
