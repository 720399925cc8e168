//! The bag: the history with its pictures, its ledgers and the log's statements, in one ZIP that any BagIt tool checks.

use std::fs::File;
use std::io::{BufWriter, Cursor, Write as _};

use garboard_dossier::handover::{self, Fate, Handover, Original};
use garboard_dossier::{Options, handover as of, html, ledgers};
use garboard_parcel::bag::Bag;
use garboard_record::{Digest, Snapshot};
use serde_json::json;

use super::{Dossier, Pictures, on_paper};
use crate::command::Answer;
use crate::failure::{Done, Failure};
use crate::store::write_file;

/// What became of the originals, counted.
#[derive(Default)]
struct Fates {
    n_here: usize,
    n_missing: usize,
    n_with_position: usize,
}

/// Writes the bag. Pictures are read one by one, so that memory stays small whatever the log's size.
pub(super) fn into_bag(
    snapshot: &Snapshot,
    said: &garboard_dossier::Outline,
    options: &Options,
    made: &str,
    pictures: &mut Pictures<'_>,
    c: &Dossier,
    progress: &mut dyn FnMut(&str),
) -> Done<Answer> {
    let handed = of(snapshot, options);
    progress("setting the page");
    let page = html(said, |digest| pictures.take(digest));
    progress("setting the paper");
    let (paper, told) = on_paper(said, c, made, pictures)?;
    let mut fates = Fates::default();
    let n_bytes = write_file(&c.output, |file| {
        let mut bag = Bag::begin(BufWriter::new(file), &folder_name(snapshot, made));
        put(
            &mut bag,
            "read-me.txt",
            handover::read_me(snapshot, options, handed.n_withheld).as_bytes(),
        )?;
        put(&mut bag, "history.html", page.as_bytes())?;
        put(&mut bag, "history.pdf", &paper)?;
        for ledger in ledgers(snapshot, options) {
            put(&mut bag, &format!("ledgers/{}", ledger.name), &ledger.bytes)?;
        }
        put(&mut bag, "log/statements.jsonl", &handed.statements)?;
        let schema = serde_json::to_vec_pretty(&handover::schema())
            .map_err(|error| Failure::ours(error.to_string()))?;
        put(&mut bag, "log/statements.schema.json", &schema)?;
        if handed.has_chunks {
            for (name, bytes) in pictures.store.read_chunks()?.0 {
                put(&mut bag, &format!("log/chunks/{name}"), &bytes)?;
            }
        }
        fates = photographs(&mut bag, &handed, options, pictures, progress)?;
        let agent = concat!("Garboard ", env!("CARGO_PKG_VERSION"));
        let whole = bag.finish(&handover::info(snapshot, options, made, agent))?;
        let mut file = whole
            .into_inner()
            .map_err(|error| cannot(c, error.error()))?;
        file.flush().map_err(|cause| cannot(c, &cause))?;
        Ok(file)
    })?;
    let Fates {
        n_here,
        n_missing,
        n_with_position,
    } = fates;
    let mut text = format!(
        "Written: {} ({} KB). {told}\nOriginals of photographs and sounds in it: {n_here}.",
        c.output.display(),
        n_bytes / 1000
    );
    if n_with_position > 0 {
        text.push_str(&format!("\n{n_with_position} originals hold a position and are left out; their views, which hold none, are there. --positions puts them in."));
    }
    if n_missing > 0 {
        text.push_str(&format!("\n{n_missing} originals are not on this device or were altered; photographs.csv in it says which."));
    }
    if handed.n_withheld > 0 {
        text.push_str(&format!("\n{} statements are there by their digests only, as you left out what they say; so the log's own chunks are not in it.", handed.n_withheld));
    }
    text.push_str("\nCheck it with garboard check, or with any BagIt tool (RFC 8493). It is written by the seller and is no survey, and says both.");
    Ok(Answer::new(
        text,
        json!({
            "file": c.output, "bytes": n_bytes, "originals": n_here, "originals_missing": n_missing,
            "originals_with_position": n_with_position, "statements_left_out": handed.n_withheld,
        }),
        c.json,
    ))
}

fn cannot(c: &Dossier, cause: &std::io::Error) -> Failure {
    Failure::file("cannot write", &c.output, cause)
}

fn put(bag: &mut Bag<BufWriter<File>>, path: &str, bytes: &[u8]) -> Done<()> {
    bag.put(path, Cursor::new(bytes))?;
    Ok(())
}

/// The boat's name and the day as a folder's name.
fn folder_name(snapshot: &Snapshot, made: &str) -> String {
    let name: String = snapshot
        .boat_name()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let name = name.trim_matches('-').to_lowercase();
    let name = if name.is_empty() { "boat" } else { &name };
    format!("{name}-history-{made}")
}

fn photographs(
    bag: &mut Bag<BufWriter<File>>,
    handed: &Handover,
    options: &Options,
    pictures: &Pictures<'_>,
    progress: &mut dyn FnMut(&str),
) -> Done<Fates> {
    let mut fates = Fates::default();
    let mut listed: Vec<(&Original, Fate, bool)> = Vec::new();
    let mut put_already: std::collections::BTreeSet<Digest> = std::collections::BTreeSet::new();
    for (number, one) in (1_usize..).zip(&handed.originals) {
        if number % 50 == 0 {
            progress(&format!("original {number} of {}", handed.originals.len()));
        }
        let fate = match pictures.kept(one.digest) {
            None => Fate::Missing,
            Some(bytes) if !options.positions && holds_position(&bytes) => Fate::HoldsPosition,
            Some(bytes) => {
                put(bag, &one.path, &bytes)?;
                Fate::Here
            }
        };
        match fate {
            Fate::Here => fates.n_here += 1,
            Fate::Missing => fates.n_missing += 1,
            Fate::HoldsPosition => fates.n_with_position += 1,
        }
        let mut has_view = false;
        if let Some((digest, path)) = &one.view
            && let Some(bytes) = pictures.kept(*digest)
        {
            has_view = true;
            if put_already.insert(*digest) {
                put(bag, path, &bytes)?;
            }
        }
        listed.push((one, fate, has_view));
    }
    put(bag, "photographs.csv", &handover::list(listed))?;
    Ok(fates)
}

/// Names under which a position stands outside of Exif: in XMP, and in the containers of sounds.
const POSITION_NAMES: [&[u8]; 3] = [b"GPSLatitude", b"\xA9xyz", b"quicktime.location"];

/// Whether an original says, or may say, where it was taken. What cannot be read is taken to say so.
fn holds_position(bytes: &[u8]) -> bool {
    let names_one = POSITION_NAMES
        .iter()
        .any(|name| bytes.windows(name.len()).any(|at| at == *name));
    if names_one || garboard_photo::sniff_sound(bytes).is_some() {
        return names_one;
    }
    garboard_photo::examine(bytes).map_or(true, |found| {
        let is_odd = |remark: &garboard_photo::Remark| remark.to_string().contains("position");
        found.position.is_some() || found.remarks.iter().any(is_odd)
    })
}
