//! Benchmarks as ratios against a named baseline, measured in the same run: `cargo bench -p garboard-tests`.
//!
//! Nothing here asserts: machines differ, ratios and bytes are to be read. The aims stand beside each line.

#![expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
#![expect(clippy::print_stdout, reason = "a benchmark prints")]
#![expect(
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    clippy::indexing_slicing,
    reason = "a benchmark stops where something is wrong"
)]
#![allow(
    unsafe_code,
    reason = "an allocator that counts is unsafe by its trait"
)]

use std::alloc::{GlobalAlloc, Layout, System};
use std::collections::BTreeMap;
use std::hint::black_box;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use automerge::transaction::Transactable as _;
use automerge::{ActorId, Automerge, ObjType, ROOT, ReadDoc as _};
use garboard_log::{Chunk, Log};
use garboard_record::{Digest, Draft, Id, Kind, draft};

/// Counts the bytes that live on the heap.
struct Counting;

static LIVE: AtomicUsize = AtomicUsize::new(0);

// SAFETY: every call goes to the system's allocator as it came; only sizes are counted.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        LIVE.fetch_add(layout.size(), Ordering::Relaxed);
        // SAFETY: the caller keeps the trait's contract.
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        LIVE.fetch_sub(layout.size(), Ordering::Relaxed);
        // SAFETY: the caller keeps the trait's contract.
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// The median of several runs, each on fresh input.
fn median<I, O>(runs: usize, input: impl Fn() -> I, work: impl Fn(I) -> O) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let given = input();
            let start = Instant::now();
            let out = black_box(work(given));
            let taken = start.elapsed();
            drop(out);
            taken
        })
        .collect();
    times.sort_unstable();
    times[runs / 2]
}

fn say(what: &str, ours: Duration, baseline_name: &str, baseline: Duration, aim: &str) {
    let ratio = ours.as_secs_f64() / baseline.as_secs_f64();
    println!(
        "{what:<46} {:>9.2} ms = {ratio:>5.2} × {baseline_name} ({:.2} ms); aim: {aim}",
        ours.as_secs_f64() * 1e3,
        baseline.as_secs_f64() * 1e3
    );
}

/// Chunks by the digests that name them.
type Chunks = BTreeMap<Digest, Vec<u8>>;

const N: usize = 10_000;

/// A log of ten thousand statements, most of them readings of about 385 bytes: its chunks and its writing.
fn written() -> (Log, Chunks, Vec<(Id, String)>) {
    let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#).unwrap();
    let (mut stamper, said) = draft::begin_log(
        &boat,
        "Ada",
        "phone",
        1_778_000_000_000,
        [[1; 10], [2; 10], [3; 10]],
        120,
    )
    .unwrap();
    let mut log = Log::new([1; 16]);
    let mut chunks = BTreeMap::new();
    let mut texts = Vec::new();
    let mut keep = |log: &mut Log, id: Id, text: String| {
        let Chunk { name, bytes } = log.append(id, &text).unwrap();
        chunks.insert(name, bytes);
        texts.push((id, text));
    };
    for (id, text) in said {
        keep(&mut log, id, text);
    }
    let place = draft_id(
        &mut stamper,
        &mut log,
        &mut keep,
        "place",
        r#"{"name":"Side deck, port"}"#,
        0,
    );
    let finding = draft_id(
        &mut stamper,
        &mut log,
        &mut keep,
        "finding",
        &format!(r#"{{"title":"Wet core","place":"{place}"}}"#),
        1,
    );
    for n in 2..N - 3 {
        let fields = format!(
            r#"{{"quantity":"moisture","value":{{"unit":"scale","value":"{}"}},"dry_reference":"12","finding":"{finding}","spot":"C{}","words":"tapped dull, {n} cm aft of the frame"}}"#,
            n % 97,
            n % 24
        );
        draft_id(&mut stamper, &mut log, &mut keep, "reading", &fields, n);
    }
    (log, chunks, texts)
}

fn draft_id(
    stamper: &mut garboard_record::Stamper,
    log: &mut Log,
    keep: &mut impl FnMut(&mut Log, Id, String),
    kind: &str,
    fields: &str,
    n: usize,
) -> Id {
    let draft = Draft::parse(kind.parse().unwrap(), fields).unwrap();
    let mut random = [0; 10];
    random[..8].copy_from_slice(&(n as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15).to_le_bytes());
    let (id, text) = stamper.stamp(&draft, 1_778_000_000_000 + n as u64 * 60_000, random);
    keep(log, id, text);
    id
}

/// The same entries as nested maps, as one would write them without our model.
fn as_nested_maps(texts: &[(Id, String)]) -> Vec<u8> {
    let mut doc = Automerge::new().with_actor(ActorId::from(vec![2; 16]));
    for (id, text) in texts {
        let value: serde_json::Value = serde_json::from_str(text).unwrap();
        let mut tx = doc.transaction();
        let map = tx.put_object(ROOT, id.to_string(), ObjType::Map).unwrap();
        for (name, field) in value
            .as_object()
            .unwrap()
            .iter()
            .filter(|(name, _)| *name != "fields")
            .chain(value["fields"].as_object().unwrap())
        {
            tx.put(
                &map,
                name.as_str(),
                field
                    .as_str()
                    .map_or_else(|| field.to_string(), str::to_owned),
            )
            .unwrap();
        }
        tx.commit();
    }
    doc.save()
}

fn log() {
    let (log, chunks, texts) = written();
    let document = log.document();
    let nested = as_nested_maps(&texts);
    let opening = log.opening().unwrap();
    let pack = Log::pack(chunks.values().map(Vec::as_slice)).unwrap();
    println!(
        "{} statements: document {} KB, as nested maps {} KB, one pack {} KB",
        texts.len(),
        document.len() / 1000,
        nested.len() / 1000,
        pack.bytes.len() / 1000
    );
    let packed: BTreeMap<Digest, Vec<u8>> = [(pack.name, pack.bytes)].into();
    let packed_opening = Log::open([3; 16], packed.clone(), None)
        .0
        .opening()
        .unwrap();
    let alone = median(9, || (), |()| Automerge::load(&document).unwrap());
    let maps = median(
        5,
        || (),
        |()| {
            let doc = Automerge::load(&nested).unwrap();
            let n: usize = doc
                .map_range(ROOT, ..)
                .map(|item| doc.map_range(item.id(), ..).count())
                .sum();
            (doc, n)
        },
    );
    let from_pack = median(
        9,
        || packed.clone(),
        |packed| Log::open([4; 16], packed, Some(&packed_opening)),
    );
    say(
        "open to the full snapshot, packed",
        from_pack,
        "automerge alone",
        alone,
        "at most 3",
    );
    let loose = median(
        5,
        || chunks.clone(),
        |chunks| Log::open([4; 16], chunks, Some(&opening)),
    );
    say(
        "the same, ten thousand loose chunks",
        loose,
        "automerge alone",
        alone,
        "at most 3",
    );
    say(
        "the same against nested maps, loaded and read",
        from_pack,
        "nested maps",
        maps,
        "under 1",
    );
    let without = median(
        5,
        || packed.clone(),
        |packed| Log::open([4; 16], packed, None),
    );
    say(
        "the same without the saved opening",
        without,
        "automerge alone",
        alone,
        "none; once after an opening was lost",
    );
    let one_more = median(
        9,
        || Log::open([5; 16], packed.clone(), Some(&packed_opening)).0,
        |mut log| {
            let text = texts[N / 2].1.clone();
            log.append(Id::new(1_900_000_000_000, [7; 10]), &text)
                .unwrap();
            log
        },
    );
    say(
        "one more statement",
        one_more,
        "automerge alone",
        alone,
        "none",
    );
}

fn heap() {
    let (_, chunks, texts) = written();
    let pack = Log::pack(chunks.values().map(Vec::as_slice)).unwrap();
    let packed: BTreeMap<Digest, Vec<u8>> = [(pack.name, pack.bytes)].into();
    let opening = Log::open([3; 16], packed.clone(), None)
        .0
        .opening()
        .unwrap();
    let ids: Vec<Id> = texts
        .iter()
        .skip(5)
        .map(|(id, _)| *id)
        .take(1_000)
        .collect();
    let log_id = texts[0].0;
    drop((chunks, texts));
    let before = LIVE.load(Ordering::Relaxed);
    let (mut log, _) = Log::open([6; 16], packed, Some(&opening));
    let opened = LIVE.load(Ordering::Relaxed) - before;
    let mut stamper =
        garboard_record::Stamper::begin(log_id, Id::new(1, [1; 10]), Id::new(2, [2; 10]));
    for (id, n) in ids.iter().zip(0_u64..) {
        let draft = Draft::amendment(
            log.snapshot().entry(*id).unwrap(),
            "spot",
            format!("D{n}").into(),
            None,
        )
        .unwrap();
        let mut random = [9; 10];
        random[..8].copy_from_slice(&n.to_le_bytes());
        let (id, text) = stamper.stamp(&draft, 1_900_000_000_000 + n, random);
        black_box(log.append(id, &text).unwrap());
    }
    let amended = LIVE.load(Ordering::Relaxed) - before;
    println!(
        "live heap after opening 10,000 statements: {:.1} MB; after 1,000 amendments more: {:.1} MB; aim: at most 40 MB over all",
        opened as f64 / 1e6,
        amended as f64 / 1e6
    );
}

fn main() {
    // `cargo test --benches` and clippy only want to know that it builds and runs.
    if std::env::args().any(|argument| argument == "--test") {
        return;
    }
    log();
    heap();
}
