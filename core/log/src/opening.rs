//! The opening: a log as it was opened last, so that the next time is faster. It can be thrown away.
//!
//! It holds the names of the chunks that it stands for, the order of their changes, and every text; numbers are
//! big-endian. It is believed only when its digest fits and every chunk that it stands for is there and whole.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Read as _;
use std::sync::Arc;

use automerge::{ActorId, ChangeHash};
use flate2::Compression;
use flate2::bufread::{DeflateDecoder, DeflateEncoder};
use garboard_record::{Digest, Id};

use crate::history::{History, Standing, Step};

/// The first bytes, with the version of the form.
const OPENING: &[u8; 8] = b"GBOPEN2\n";

/// A log that was read from an opening.
pub(crate) struct Opened {
    /// The chunks that it stands for; a step's source is a place in this order.
    pub(crate) chunks: BTreeSet<Digest>,
    /// Their changes.
    pub(crate) history: History,
    /// What they say.
    pub(crate) said: Vec<(Id, Arc<str>)>,
    /// Texts whose keys are no ids.
    pub(crate) strange: Vec<(String, String)>,
}

/// Writes an opening. `sources` gives the place of a step's chunk among the names.
pub(crate) fn write<'a>(
    chunks: &BTreeSet<Digest>,
    history: &History,
    source: impl Fn(u32) -> Option<u32>,
    said: impl Iterator<Item = (Id, Arc<str>)>,
    strange: impl Iterator<Item = (&'a str, &'a str)>,
) -> Option<Vec<u8>> {
    let mut to = Writer(Vec::new());
    let mut places: BTreeMap<ChangeHash, u32> = BTreeMap::new();
    to.length(history.n_in_order())?;
    for (place, (hash, step)) in (0_u32..).zip(history.in_order()) {
        to.0.extend_from_slice(&hash.0);
        to.bytes(step.actor.to_bytes())?;
        to.long(step.seq);
        to.long(step.max_op);
        to.number(source(step.source)?);
        to.length(step.deps.len())?;
        for dep in &step.deps {
            to.number(*places.get(dep)?);
        }
        places.insert(*hash, place);
    }
    let said: Vec<(Id, Arc<str>)> = said.collect();
    to.length(said.len())?;
    for (id, text) in said {
        to.0.extend_from_slice(id.as_bytes());
        to.bytes(text.as_bytes())?;
    }
    for (key, text) in strange {
        to.bytes(key.as_bytes())?;
        to.bytes(text.as_bytes())?;
    }

    let mut packed = Vec::new();
    DeflateEncoder::new(to.0.as_slice(), Compression::fast())
        .read_to_end(&mut packed)
        .ok()?;
    let mut head = Writer(OPENING.to_vec());
    head.length(chunks.len())?;
    for name in chunks {
        head.0.extend_from_slice(name.as_bytes());
    }
    head.0.extend_from_slice(Digest::of(&packed).as_bytes());
    head.0.extend_from_slice(&packed);
    Some(head.0)
}

/// Reads an opening, where it is whole and every chunk that it stands for is `there`.
pub(crate) fn read(bytes: &[u8], there: impl Fn(&Digest) -> bool) -> Option<Opened> {
    let mut head = Reader(bytes.strip_prefix(OPENING)?);
    let mut chunks = BTreeSet::new();
    for _ in 0..head.number()? {
        let name = Digest::from_bytes(head.some()?);
        if !there(&name) {
            return None;
        }
        chunks.insert(name);
    }
    let digest = Digest::from_bytes(head.some()?);
    if Digest::of(head.0) != digest {
        return None;
    }
    let mut unpacked = Vec::new();
    DeflateDecoder::new(head.0)
        .read_to_end(&mut unpacked)
        .ok()?;

    let mut from = Reader(&unpacked);
    let mut history = History::default();
    let mut order: Vec<ChangeHash> = Vec::new();
    for _ in 0..from.number()? {
        let hash = ChangeHash(from.some()?);
        let mut step = Step {
            actor: ActorId::from(from.bytes()?),
            seq: u64::from_be_bytes(from.some()?),
            max_op: u64::from_be_bytes(from.some()?),
            source: from.number()?,
            deps: Vec::new(),
            standing: Standing::InOrder,
        };
        for _ in 0..from.number()? {
            let place = usize::try_from(from.number()?).ok()?;
            step.deps.push(*order.get(place)?);
        }
        order.push(hash);
        history.push(hash, step);
    }
    let mut said = Vec::new();
    for _ in 0..from.number()? {
        let id = Id::from_bytes(from.some()?);
        said.push((id, Arc::from(from.text()?)));
    }
    let mut strange = Vec::new();
    while !from.0.is_empty() {
        strange.push((from.text()?.to_owned(), from.text()?.to_owned()));
    }
    Some(Opened {
        chunks,
        history,
        said,
        strange,
    })
}

struct Writer(Vec<u8>);

impl Writer {
    fn number(&mut self, number: u32) {
        self.0.extend_from_slice(&number.to_be_bytes());
    }

    fn long(&mut self, number: u64) {
        self.0.extend_from_slice(&number.to_be_bytes());
    }

    fn length(&mut self, length: usize) -> Option<()> {
        self.number(u32::try_from(length).ok()?);
        Some(())
    }

    fn bytes(&mut self, bytes: &[u8]) -> Option<()> {
        self.length(bytes.len())?;
        self.0.extend_from_slice(bytes);
        Some(())
    }
}

struct Reader<'a>(&'a [u8]);

impl<'a> Reader<'a> {
    fn some<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (some, rest) = self.0.split_first_chunk::<N>()?;
        self.0 = rest;
        Some(*some)
    }

    fn number(&mut self) -> Option<u32> {
        self.some().map(u32::from_be_bytes)
    }

    fn bytes(&mut self) -> Option<&'a [u8]> {
        let length = usize::try_from(self.number()?).ok()?;
        let (bytes, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(bytes)
    }

    fn text(&mut self) -> Option<&'a str> {
        std::str::from_utf8(self.bytes()?).ok()
    }
}
