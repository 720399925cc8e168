//! The dossier's forms against reading, hashing and copying the same pictures, measured in the same run, and how much memory
//! each takes at most: `cargo bench -p garboard-tests --bench paper`. With `-- large` it measures the whole command on 2 GB of
//! originals instead, which takes as much room twice in the folder for temporary files.
//!
//! Nothing here asserts: machines differ, ratios are to be read. The aims stand beside each line.

#![expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
#![expect(clippy::print_stdout, reason = "a benchmark prints")]
#![expect(
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    reason = "a benchmark stops where something is wrong"
)]

mod wasm;

use std::collections::BTreeMap;
use std::hint::black_box;
use std::io::{BufWriter, Read as _, Seek as _, SeekFrom};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use clap::Parser as _;
use garboard_bytes::crowd::{Counted, log, pictures};
use garboard_cli::command::{self, Arguments};
use garboard_dossier::handover::fill;
use garboard_dossier::{Options, Outline, Paper, Pdf, outline, pdf, short_pdf, write_html};
use garboard_parcel::bag::Bag;
use garboard_record::{Digest, Snapshot};

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
    n_bytes: u64,
}

/// The pieces of work, by the names under which this program does each in a process of its own, so that none finds memory that
/// another left behind.
const WORKS: [&str; 5] = ["copied", "paper", "short", "page", "bag"];

/// Does a piece of work three times and prints the quickest time, the most memory over what was there before of the first, and
/// how many bytes were written.
fn one(work: &str, pictures: &Pictures, n_entries: usize, size: (u16, u16)) {
    let snapshot = log(&pictures.digests(), n_entries, size);
    let said = outline(&snapshot, &Options::default());
    let mut time = Duration::MAX;
    let mut most = 0;
    let mut n_bytes = 0;
    for run in 0..3 {
        // Five begins the count of the most anew.
        std::fs::write("/proc/self/clear_refs", "5").unwrap();
        let before = kilobytes("VmRSS:");
        let start = Instant::now();
        n_bytes = done(work, &snapshot, &said, pictures);
        time = time.min(start.elapsed());
        if run == 0 {
            most = kilobytes("VmHWM:").saturating_sub(before) * 1024;
        }
    }
    println!("{} {most} {n_bytes}", time.as_nanos());
}

/// Does one of the works, and says how many bytes it wrote.
fn done(work: &str, snapshot: &Snapshot, said: &Outline, pictures: &Pictures) -> u64 {
    let read = |digest| pictures.read(digest);
    let written = |file: Pdf| {
        let mut out = Counted::default();
        file.write(read, &mut out).unwrap();
        out.0
    };
    let day = "2026-11-28";
    match work {
        "copied" => {
            let mut out = Vec::new();
            for digest in pictures.paths.keys() {
                let bytes = pictures.read(*digest).unwrap();
                black_box(Digest::of(&bytes));
                out.extend_from_slice(&bytes);
            }
            out.len() as u64
        }
        "paper" => written(pdf(said, Paper::A4, day, read).unwrap()),
        "short" => written(short_pdf(said, Paper::A4, day, read).unwrap()),
        "page" => {
            let mut out = Counted::default();
            write_html(said, read, &mut out).unwrap();
            out.0
        }
        _ => {
            let file = tempfile::tempfile().unwrap();
            let mut bag = Bag::begin(BufWriter::new(file), "bag");
            bag.put_written("history.html", |to| write_html(said, read, to))
                .unwrap();
            let paper = pdf(said, Paper::A4, day, read).unwrap();
            bag.put_written("history.pdf", |to| paper.write(read, to))
                .unwrap();
            let put = |path: &str, bytes: &[u8]| bag.put(path, bytes).map(drop);
            fill(snapshot, &Options::default(), &[], read, put, |_, _| ()).unwrap();
            let mut file = bag.finish(&[]).unwrap();
            file.seek(SeekFrom::End(0)).unwrap()
        }
    }
}

/// Has a piece of work done in a process of its own.
fn take(work: &str, pictures: &Pictures, n_entries: usize, size: (u16, u16)) -> Taken {
    let output = Command::new(std::env::current_exe().unwrap())
        .arg(work)
        .arg(&pictures.folder)
        .args([n_entries, usize::from(size.0), usize::from(size.1)].map(|n| n.to_string()))
        .output()
        .unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    let mut figures = said
        .split_whitespace()
        .map(|figure| figure.parse().unwrap());
    let mut next = || -> u64 {
        let figure = figures.next();
        assert!(
            figure.is_some(),
            "{work}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        figure.unwrap()
    };
    Taken {
        time: Duration::from_nanos(next()),
        most: usize::try_from(next()).unwrap(),
        n_bytes: next(),
    }
}

/// So many bytes in steps, with both digests of a bag taken, written to a file: what no bag can do without.
fn bagged(n_bytes: u64) -> Duration {
    let mut time = Duration::MAX;
    for _ in 0..3 {
        let start = Instant::now();
        let mut bag = Bag::begin(BufWriter::new(tempfile::tempfile().unwrap()), "bag");
        bag.put("bytes", std::io::repeat(b'x').take(n_bytes))
            .unwrap();
        bag.finish(&[]).unwrap();
        time = time.min(start.elapsed());
    }
    time
}

/// Pictures of view size on a disk, by their digests.
struct Pictures {
    _room: Option<tempfile::TempDir>,
    folder: PathBuf,
    paths: BTreeMap<Digest, PathBuf>,
    n_bytes: usize,
}

impl Pictures {
    /// So many pictures of 2048 by 1536, each another by a comment of its own.
    fn of(n: usize, width: u16, height: u16) -> Self {
        let room = tempfile::tempdir().unwrap();
        let folder = room.path().to_owned();
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
        for number in 0..n {
            let note = format!("picture {number:06}");
            let length = u16::try_from(note.len() + 2).unwrap().to_be_bytes();
            let bytes = [start, &[0xff, 0xfe], &length, note.as_bytes(), rest].concat();
            std::fs::write(room.path().join(format!("{number}.jpg")), &bytes).unwrap();
        }
        Self {
            _room: Some(room),
            ..Self::in_folder(&folder)
        }
    }

    /// Those that lie in a folder.
    fn in_folder(folder: &Path) -> Self {
        let paths = pictures(folder).unwrap();
        let sizes = paths.values().map(|path| path.metadata().unwrap().len());
        Self {
            _room: None,
            folder: folder.to_owned(),
            n_bytes: usize::try_from(sizes.sum::<u64>()).unwrap(),
            paths,
        }
    }

    fn digests(&self) -> Vec<Digest> {
        self.paths.keys().copied().collect()
    }

    fn read(&self, digest: Digest) -> Option<Vec<u8>> {
        std::fs::read(self.paths.get(&digest)?).ok()
    }
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

fn forms(pictures: &Pictures, size: (u16, u16)) {
    let [copied, paper, short, page, bag] = WORKS.map(|work| take(work, pictures, 1_000, size));
    println!(
        "{} pictures, {:.1} MB: read, hashed and copied in {:.0} ms",
        pictures.paths.len(),
        pictures.n_bytes as f64 / 1e6,
        copied.time.as_secs_f64() * 1e3
    );
    for (what, taken, aim, most) in [
        ("on paper", &paper, "at most 6", "at most 2.5"),
        ("in short", &short, "none", "none"),
        ("page", &page, "at most 2", "none"),
    ] {
        tell(what, taken, copied.time, aim, pictures.n_bytes, most);
    }
    let bytes = bagged(bag.n_bytes);
    println!(
        "{:<34} {:>8.0} ms = {:>5.2} × its {:.0} MB put into a bag as they are; aim: at most 2. At most {:>5.1} MB; aim: less than 64",
        "bag, with page, paper and views",
        bag.time.as_secs_f64() * 1e3,
        bag.time.as_secs_f64() / bytes.as_secs_f64(),
        bag.n_bytes as f64 / 1e6,
        bag.most as f64 / 1e6
    );
    in_wasm(pictures, &paper);
}

/// The same paper, set by the same code as a wasm program under node.
fn in_wasm(pictures: &Pictures, natively: &Taken) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut program = wasm::program(&root);
    program.arg("paper").arg(&pictures.folder);
    let mut best: Option<(f64, f64)> = None;
    for _ in 0..3 {
        let output = program.output().unwrap();
        let said = String::from_utf8(output.stdout).unwrap();
        let mut figures = said.split_whitespace().map(|n| n.parse::<f64>().unwrap());
        let (millis, _, memory) = (
            figures.next().unwrap(),
            figures.next().unwrap(),
            figures.next().unwrap(),
        );
        if best.is_none_or(|(least, _)| millis < least) {
            best = Some((millis, memory));
        }
    }
    let (millis, memory) = best.unwrap();
    println!(
        "{:<34} {millis:>8.0} ms = {:>5.2} × natively; aim: at most 4. At most {:>5.1} MB = {:.2} × the pictures; aim: at most 3.5",
        "on paper, in wasm under node",
        millis / (natively.time.as_secs_f64() * 1e3),
        memory / 1e6,
        memory / pictures.n_bytes as f64
    );
}

fn growth() {
    let mut before: Option<(usize, Duration)> = None;
    for (n_pictures, n_entries) in [(300, 1_000), (3_000, 10_000)] {
        let pictures = Pictures::of(n_pictures, 64, 48);
        let taken = take("paper", &pictures, n_entries, (64, 48));
        print!(
            "{n_pictures} small pictures, {n_entries} entries on paper: {:.0} ms, at most {:.1} MB",
            taken.time.as_secs_f64() * 1e3,
            taken.most as f64 / 1e6
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

/// The whole command, on a log with this many megabytes of originals: how much memory the process holds at most.
fn large(n_megabytes: usize) {
    let room = tempfile::tempdir().unwrap();
    let log = room.path().join("log");
    let state = room.path().join("state");
    let garboard = |arguments: &[&str]| {
        let output = Command::new(std::env::current_exe().unwrap())
            .arg("garboard")
            .args(arguments)
            .env("GARBOARD_STATE", &state)
            .output()
            .unwrap();
        let said = String::from_utf8(output.stdout).unwrap();
        assert!(
            output.status.success(),
            "{arguments:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        said.trim().parse::<usize>().unwrap()
    };
    let dir = log.to_str().unwrap();
    garboard(&["new", dir, "--boat", "Merganser", "--hand", "Ada"]);
    let mut n_bytes = 0;
    while n_bytes < n_megabytes * 1_000_000 {
        let pictures = Pictures::of(20, 4000, 3000);
        let paths: Vec<&str> = pictures
            .paths
            .values()
            .map(|path| path.to_str().unwrap())
            .collect();
        // Each is another than all before it.
        for path in &paths {
            let mut bytes = std::fs::read(path).unwrap();
            bytes.splice(
                2..2,
                [&[0xff, 0xfe, 0, 10], &(n_bytes as u64).to_be_bytes()[..]].concat(),
            );
            std::fs::write(path, bytes).unwrap();
        }
        garboard(&[&["photo", dir], paths.as_slice()].concat());
        n_bytes += pictures.n_bytes;
    }
    let bag = room.path().join("bag.zip");
    let most = garboard(&["dossier", dir, "-o", bag.to_str().unwrap(), "--form", "bag"]);
    println!(
        "garboard dossier --form bag with {:.0} MB of originals: {:.0} MB written, at most {:.1} MB held; aim: less than 64",
        n_bytes as f64 / 1e6,
        bag.metadata().unwrap().len() as f64 / 1e6,
        most as f64 / 1e6
    );
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments.as_slice() {
        [work, folder, n_entries, width, height] if WORKS.contains(work) => one(
            work,
            &Pictures::in_folder(folder.as_ref()),
            n_entries.parse().unwrap(),
            (width.parse().unwrap(), height.parse().unwrap()),
        ),
        ["garboard", ..] => {
            let asked = Arguments::try_parse_from(arguments).unwrap();
            command::run(&asked.command.unwrap(), &mut |_| ()).unwrap();
            println!("{}", kilobytes("VmHWM:") * 1024);
        }
        [.., "large"] | ["large", ..] => large(2_000),
        _ => {
            let size = (2048, 1536);
            forms(&Pictures::of(300, size.0, size.1), size);
            growth();
        }
    }
}
