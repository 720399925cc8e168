//! Parcels: written, opened, checked.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::BufReader;

use garboard_dossier::handover;
use garboard_key::of_statements;
use garboard_parcel::history::{self, History};
use garboard_parcel::{Contents, Error, Manifest, Reader, bag, parts, write};
use garboard_protocol::{PressAnswer, Trouble, TroubleKind};
use garboard_record::{Digest, small};

use super::doing;
use super::file::{self, Blob, BlobReader, BlobWriter, blob, read_now};

type Parcel = Reader<BufReader<BlobReader>>;
type Made = (PressAnswer, Vec<Blob>);

thread_local! {
    /// The parcel that is open.
    static OPEN: RefCell<Vec<Parcel>> = const { RefCell::new(Vec::new()) };
}

/// Writes a parcel's files.
pub(super) fn pack(
    manifest: &str,
    chunks: Vec<(Digest, Vec<u8>)>,
    files: &[Blob],
    most_bytes: u64,
) -> Made {
    match packed(manifest, chunks, files, most_bytes) {
        Ok(made) => (PressAnswer::Packed, made),
        Err(error) => (not_written(&error), Vec::new()),
    }
}

fn packed(
    manifest: &str,
    chunks: Vec<(Digest, Vec<u8>)>,
    files: &[Blob],
    most_bytes: u64,
) -> Result<Vec<Blob>, Error> {
    let manifest = Manifest::from_json(manifest.as_bytes())?;
    let blobs: BTreeMap<Digest, &Blob> = manifest
        .pictures
        .iter()
        .map(|picture| picture.digest)
        .zip(files)
        .collect();
    let of = manifest.pictures.iter().map(|picture| picture.bytes).sum();
    let mut before = 0;
    let mut made = Vec::new();
    for part in parts(&Contents::of(manifest, chunks), most_bytes) {
        let written = write(
            &part,
            BlobWriter::default(),
            |digest| match blobs.get(&digest) {
                Some(blob) => read_now(blob),
                None => Err(std::io::Error::other("the picture is not on this device")),
            },
            |done| doing(before + done, of),
        )?;
        before += part
            .pictures
            .iter()
            .map(|picture| picture.bytes)
            .sum::<u64>();
        made.push(written.finish("application/zip")?);
    }
    Ok(made)
}

/// Opens a parcel's files.
pub(super) fn unpack(files: Vec<Blob>) -> PressAnswer {
    match open_all(files) {
        Ok(parcels) => {
            let manifests = parcels
                .iter()
                .map(|parcel| parcel.manifest().to_json())
                .collect();
            OPEN.with_borrow_mut(|open| *open = parcels);
            PressAnswer::Unpacked { manifests }
        }
        Err(error) => refused(&error),
    }
}

fn open(file: Blob) -> Result<Parcel, Error> {
    Reader::open(BufReader::with_capacity(1 << 18, BlobReader::new(file)))
}

fn open_all(files: Vec<Blob>) -> Result<Vec<Parcel>, Error> {
    let mut parcels = files.into_iter().map(open).collect::<Result<Vec<_>, _>>()?;
    // The log itself lies in the first part.
    small::sort_by_key(&mut parcels, |parcel| parcel.manifest().part);
    Ok(parcels)
}

/// Checks every part of the opened parcel.
pub(super) fn verify() -> PressAnswer {
    let verified = OPEN.with_borrow_mut(|parcels| {
        let of: u64 = parcels.iter().map(n_parts).sum();
        let mut done = 0;
        let mut chunks = Vec::new();
        for parcel in parcels {
            chunks.extend(parcel.chunks()?);
            for picture in parcel.manifest().pictures.clone() {
                doing(done, of);
                parcel.picture(&picture)?;
                done += 1;
            }
            done += 1;
        }
        Ok(chunks)
    });
    match verified {
        Ok(chunks) => PressAnswer::Verified { chunks },
        Err(error) => refused(&error),
    }
}

fn n_parts(parcel: &Parcel) -> u64 {
    parcel.manifest().pictures.len() as u64 + 1
}

/// Pictures of the opened parcel as blobs of bytes that were checked.
pub(super) fn pictures(digests: &[Digest]) -> Made {
    let found = OPEN.with_borrow_mut(|parcels| {
        digests
            .iter()
            .map(|digest| picture(parcels, *digest))
            .collect::<Result<Vec<_>, Error>>()
    });
    match found {
        Ok(blobs) => (PressAnswer::Pictures, blobs),
        Err(error) => (refused(&error), Vec::new()),
    }
}

fn picture(parcels: &mut [Parcel], digest: Digest) -> Result<Blob, Error> {
    for parcel in parcels {
        let named = parcel
            .manifest()
            .pictures
            .iter()
            .find(|picture| picture.digest == digest)
            .cloned();
        if let Some(named) = named {
            return Ok(blob(&parcel.picture(&named)?, &named.media_type)?);
        }
    }
    Err(Error::Missing {
        name: digest.to_string(),
    })
}

/// Looks for all that is wrong with a parcel.
pub(super) fn inspect(files: Vec<Blob>) -> PressAnswer {
    let mut faults = Vec::new();
    let mut good = Vec::new();
    let mut remarks = Vec::new();
    let (mut n_pictures, mut n_statements) = (0, 0);
    let mut histories = Vec::new();
    let mut bags = Vec::new();
    for file in files {
        match history_in(&file) {
            Ok(Some(history)) => {
                histories.push(history);
                continue;
            }
            Ok(None) => {}
            Err(error) => {
                faults.push(error.to_string());
                continue;
            }
        }
        if bag::is_bag(BlobReader::new(file.clone())) {
            match inspect_bag(&file) {
                Ok((mut checked, said)) => {
                    n_pictures += small_count(checked.n_intact);
                    n_statements += small_count(said.n_intact);
                    let together = of_statements(said.digests.iter().copied());
                    let marks = bag::marks(&checked, together, |device, key| {
                        said.device_with(device, &key.to_string())
                    });
                    faults.extend(said.faults(std::mem::take(&mut checked.faults)));
                    faults.extend(marks.faults);
                    remarks.append(&mut checked.remarks);
                    bags.push(checked);
                    remarks.extend(said.remarks());
                    remarks.extend(marks.remarks);
                }
                Err(error) => faults.push(error.to_string()),
            }
            continue;
        }
        let mut parcel = match open(file) {
            Ok(parcel) => parcel,
            Err(error) => {
                faults.push(error.to_string());
                continue;
            }
        };
        match parcel.chunks() {
            Ok(chunks) => good.extend(chunks),
            Err(error) => faults.push(error.to_string()),
        }
        let of = n_parts(&parcel);
        for (picture, done) in parcel.manifest().pictures.clone().iter().zip(0..) {
            doing(done, of);
            match parcel.picture(picture) {
                Ok(_) => n_pictures += 1,
                Err(error) => faults.push(error.to_string()),
            }
        }
    }
    for history in histories {
        if bags.is_empty() && !history.is_sealed() {
            return PressAnswer::Refused(Trouble::new(
                TroubleKind::Mistake,
                "This is a history by itself and bears no seal: nothing in it says whether it was altered.",
                "Nothing was changed.",
                format!(
                    "Choose it together with the bag that it came in, or ask the seller for its SHA-256, which is {}.",
                    history.digest
                ),
            ));
        }
        let mut marks: Vec<_> = bags.iter().map(|bag| history.in_bag(bag)).collect();
        if history.is_sealed() {
            marks.push(history.marks());
        }
        for found in marks {
            faults.extend(found.faults);
            remarks.extend(found.remarks);
        }
        n_pictures += u32::from(history.is_sealed() || !bags.is_empty());
    }
    PressAnswer::Inspected {
        chunks: good,
        n_pictures,
        n_statements,
        faults,
        remarks,
    }
}

/// A page or a paper by itself.
fn history_in(file: &Blob) -> std::io::Result<Option<History>> {
    let reader = || BufReader::new(BlobReader::new(file.clone()));
    let form = history::form_of(reader())?;
    form.map(|form| History::read(form, reader())).transpose()
}

fn inspect_bag(file: &Blob) -> Result<(bag::Checked, handover::Said), Error> {
    let reader = || BufReader::new(BlobReader::new(file.clone()));
    let of = file::size_of(file);
    let checked = bag::check(reader(), |done| doing(done, of))?;
    let lines = bag::words(reader(), "log/statements.jsonl");
    Ok((
        checked,
        handover::read(lines.as_deref().unwrap_or_default()),
    ))
}

fn small_count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn not_written(error: &Error) -> PressAnswer {
    PressAnswer::Refused(Trouble::new(
        TroubleKind::Fault,
        format!("The parcel could not be written: {}.", with_causes(error)),
        "The log on this device is as it was.",
        "Make room on the device, or choose smaller pictures, and try again.",
    ))
}

/// A parcel that is not taken in; `error` says what is wrong and how to mend it.
fn refused(error: &Error) -> PressAnswer {
    let remedy = match error {
        Error::Future { .. } => {
            "Load this site anew while there is a network, so that it is as new as the sender's."
        }
        _ => "Ask for the parcel once more; it may have been cut short on its way.",
    };
    PressAnswer::Refused(Trouble::new(
        TroubleKind::BadFile,
        format!("Nothing was taken in: {}.", with_causes(error)),
        "The log on this device is as it was.",
        remedy,
    ))
}

fn with_causes(error: &Error) -> String {
    let mut said = error.to_string();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        said = format!("{said} ({inner})");
        cause = inner.source();
    }
    said
}
