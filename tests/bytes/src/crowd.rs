//! A log with many pictures, for measurements: the same natively and in wasm.

#![expect(
    clippy::unwrap_used,
    reason = "what is made up here is known to be good"
)]

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use garboard_dossier::{Options, Paper, outline, pdf};
use garboard_record::{Digest, Draft, Id, Kind, Snapshot, Stamper, draft};
use serde_json::json;

/// The pictures of a folder, by their digests.
///
/// # Errors
///
/// When one cannot be read.
pub fn pictures(folder: &Path) -> std::io::Result<BTreeMap<Digest, PathBuf>> {
    let mut out = BTreeMap::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        out.insert(Digest::of(&std::fs::read(&path)?), path);
    }
    Ok(out)
}

/// Counts what is written, and lets it go.
#[derive(Debug, Default)]
pub struct Counted(pub u64);

impl Write for Counted {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0 += bytes.len() as u64;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// Sets a log with these pictures on paper, reading one after the other, and returns the size of the file.
///
/// # Errors
///
/// What the press refuses, in words.
pub fn on_paper(pictures: &BTreeMap<Digest, PathBuf>, n_entries: usize) -> Result<u64, String> {
    let digests: Vec<Digest> = pictures.keys().copied().collect();
    let said = outline(&log(&digests, n_entries, (2048, 1536)), &Options::default());
    let read = |digest| std::fs::read(pictures.get(&digest)?).ok();
    let file = pdf(&said, Paper::A4, "2026-11-28", read).map_err(|error| error.to_string())?;
    let mut out = Counted::default();
    file.write(read, &mut out)
        .map_err(|error| error.to_string())?;
    Ok(out.0)
}

/// Says one thing.
fn say(
    stamper: &mut Stamper,
    said: &mut Vec<(Id, String)>,
    kind: Kind,
    fields: &serde_json::Value,
) -> Id {
    let n = said.len() as u64;
    let mut chance = [0; 10];
    chance[..8].copy_from_slice(&n.wrapping_mul(0x9e37_79b9_7f4a_7c15).to_le_bytes());
    let draft = Draft::parse(kind, &fields.to_string()).unwrap();
    let one = stamper.stamp(&draft, 1_778_000_000_000 + n * 60_000, chance);
    let id = one.0;
    said.push(one);
    id
}

/// A log with these pictures of a size in pixels, in fifty findings, and readings up to so many entries.
#[must_use]
pub fn log(pictures: &[Digest], n_entries: usize, size: (u16, u16)) -> Snapshot {
    Snapshot::of(said(pictures, n_entries, size))
}

/// The statements of that log.
#[must_use]
pub fn said(
    pictures: &[Digest],
    n_entries: usize,
    (width, height): (u16, u16),
) -> Vec<(Id, String)> {
    let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#).unwrap();
    let chance = [[1; 10], [2; 10], [3; 10]];
    let (mut stamper, mut said) =
        draft::begin_log(&boat, "Ada", "phone", 1_778_000_000_000, chance, 120).unwrap();
    let place = say(
        &mut stamper,
        &mut said,
        Kind::Place,
        &json!({ "name": "Side deck, port" }),
    );
    let findings: Vec<Id> = (0..50)
        .map(|n| {
            let fields = json!({ "title": format!("Soft spot {n}"), "observed": "Soft to the heel, dull under the hammer.", "place": place });
            say(&mut stamper, &mut said, Kind::Finding, &fields)
        })
        .collect();
    for (digest, finding) in pictures.iter().zip(findings.iter().cycle()) {
        let photograph = say(
            &mut stamper,
            &mut said,
            Kind::Photograph,
            &json!({ "digest": Digest::of(digest.as_bytes()), "finding": finding, "shows": "The core, opened." }),
        );
        say(
            &mut stamper,
            &mut said,
            Kind::Rendition,
            &json!({ "photograph": photograph, "size": "view", "digest": digest, "width": width, "height": height }),
        );
    }
    let mut findings = findings.iter().cycle();
    while said.len() < n_entries {
        let n = said.len();
        say(
            &mut stamper,
            &mut said,
            Kind::Reading,
            &json!({ "quantity": "moisture", "value": { "unit": "scale", "value": (n % 97).to_string() }, "finding": findings.next(), "spot": format!("C{}", n % 24) }),
        );
    }
    said
}
