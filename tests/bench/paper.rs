//! The dossier's forms against reading, hashing and copying the same pictures, measured in the same run, and how much memory
//! each takes at most: `cargo bench -p garboard-tests --bench paper`.
//!
//! Nothing here asserts: machines differ, ratios are to be read. The aims stand beside each line.

#![expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
#![expect(clippy::print_stdout, reason = "a benchmark prints")]
#![expect(
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    reason = "a benchmark stops where something is wrong"
)]

use std::collections::BTreeMap;
use std::hint::black_box;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use garboard_dossier::{Options, Outline, Paper, html, outline, pdf, short_pdf};
use garboard_record::{Digest, Draft, Id, Kind, Snapshot, Stamper, draft};
use serde_json::json;

/// The kilobytes that this process holds now or held at most, as the system counts them.
fn kilobytes(name: &str) -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix(name));
    let amount = line.and_then(|rest| rest.split_whitespace().next());
    amount.unwrap().parse().unwrap()
}

/// What a piece of work took: its time, and the most memory over what was there before.
struct Taken {
    time: Duration,
    most: usize,
}

/// The quickest of three runs, and the most memory of the first, while none is kept from a run before.
fn take<O>(mut work: impl FnMut() -> O) -> Taken {
    let mut time = Duration::MAX;
    let mut most = 0;
    for run in 0..3 {
        // Five begins the count of the most anew.
        std::fs::write("/proc/self/clear_refs", "5").unwrap();
        let before = kilobytes("VmRSS:");
        let start = Instant::now();
        let out = black_box(work());
        time = time.min(start.elapsed());
        if run == 0 {
            most = kilobytes("VmHWM:").saturating_sub(before) * 1024;
        }
        drop(out);
    }
    Taken { time, most }
}

/// Pictures of view size on a disk, by their digests.
struct Pictures {
    _room: tempfile::TempDir,
    paths: BTreeMap<Digest, PathBuf>,
    n_bytes: usize,
}

impl Pictures {
    /// So many pictures of 2048 by 1536, each another by a comment of its own.
    fn of(n: usize, width: u16, height: u16) -> Self {
        let room = tempfile::tempdir().unwrap();
        let mut pixels = Vec::with_capacity(usize::from(width) * usize::from(height) * 3);
        let mut grain = 1_u32;
        for y in 0..u32::from(height) {
            for x in 0..u32::from(width) {
                grain = grain.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let light = ((x / 9 + y / 7) % 200) + (grain >> 27);
                pixels.extend(
                    [light, light * 3 / 4, light / 2].map(|part| u8::try_from(part).unwrap_or(255)),
                );
            }
        }
        let mut jpeg = Vec::new();
        jpeg_encoder::Encoder::new(&mut jpeg, 82)
            .encode(&pixels, width, height, jpeg_encoder::ColorType::Rgb)
            .unwrap();
        let (start, rest) = jpeg.split_at(2);
        let mut paths = BTreeMap::new();
        let mut n_bytes = 0;
        for number in 0..n {
            let note = format!("picture {number:06}");
            let length = u16::try_from(note.len() + 2).unwrap().to_be_bytes();
            let bytes = [start, &[0xff, 0xfe], &length, note.as_bytes(), rest].concat();
            let path = room.path().join(format!("{number}.jpg"));
            std::fs::write(&path, &bytes).unwrap();
            n_bytes += bytes.len();
            paths.insert(Digest::of(&bytes), path);
        }
        Self {
            _room: room,
            paths,
            n_bytes,
        }
    }

    fn read(&self, digest: Digest) -> Option<Vec<u8>> {
        std::fs::read(self.paths.get(&digest)?).ok()
    }
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

/// A log with these pictures, in fifty findings, and readings up to so many entries.
fn log(pictures: &Pictures, n_entries: usize, (width, height): (u16, u16)) -> Snapshot {
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
    for (digest, finding) in pictures.paths.keys().zip(findings.iter().cycle()) {
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
    Snapshot::of(said)
}

fn tell(what: &str, taken: &Taken, baseline: Duration, aim: &str, n_bytes: usize, most: &str) {
    println!(
        "{what:<34} {:>8.0} ms = {:>5.2} × read, hashed and copied; aim: {aim}. At most {:>5.1} MB = {:.2} × the pictures; aim: {most}",
        taken.time.as_secs_f64() * 1e3,
        taken.time.as_secs_f64() / baseline.as_secs_f64(),
        taken.most as f64 / 1e6,
        taken.most as f64 / n_bytes as f64,
    );
}

fn forms(said: &Outline, pictures: &Pictures) {
    let copied = take(|| {
        let mut out = Vec::new();
        for digest in pictures.paths.keys() {
            let bytes = pictures.read(*digest).unwrap();
            black_box(Digest::of(&bytes));
            out.extend_from_slice(&bytes);
        }
        out
    });
    println!(
        "{} pictures, {:.1} MB: read, hashed and copied in {:.0} ms",
        pictures.paths.len(),
        pictures.n_bytes as f64 / 1e6,
        copied.time.as_secs_f64() * 1e3
    );
    let on_paper = take(|| {
        pdf(said, Paper::A4, "2026-11-28", |digest| {
            pictures.read(digest)
        })
        .unwrap()
    });
    tell(
        "on paper",
        &on_paper,
        copied.time,
        "at most 6",
        pictures.n_bytes,
        "at most 2.5",
    );
    let short = take(|| {
        short_pdf(said, Paper::A4, "2026-11-28", |digest| {
            pictures.read(digest)
        })
        .unwrap()
    });
    tell(
        "in short",
        &short,
        copied.time,
        "none",
        pictures.n_bytes,
        "none",
    );
    let page = take(|| html(said, |digest| pictures.read(digest)));
    tell(
        "page",
        &page,
        copied.time,
        "at most 2",
        pictures.n_bytes,
        "none",
    );
}

fn growth() {
    let mut before: Option<(usize, Duration)> = None;
    for (n_pictures, n_entries) in [(300, 1_000), (3_000, 10_000)] {
        let pictures = Pictures::of(n_pictures, 64, 48);
        let snapshot = log(&pictures, n_entries, (64, 48));
        let taken = take(|| {
            let said = outline(&snapshot, &Options::default());
            pdf(&said, Paper::A4, "2026-11-28", |digest| {
                pictures.read(digest)
            })
            .unwrap()
        });
        print!(
            "{n_pictures} small pictures, {n_entries} entries on paper: {:.0} ms",
            taken.time.as_secs_f64() * 1e3
        );
        if let Some((n, time)) = before {
            let more = n_entries as f64 / n as f64;
            let longer = taken.time.as_secs_f64() / time.as_secs_f64();
            print!(" = {longer:.1} × for {more:.0} × the entries; aim: as many");
        }
        println!();
        before = Some((n_entries, taken.time));
    }
}

fn main() {
    let size = (2048, 1536);
    let pictures = Pictures::of(300, size.0, size.1);
    let snapshot = log(&pictures, 1_000, size);
    forms(&outline(&snapshot, &Options::default()), &pictures);
    growth();
}
