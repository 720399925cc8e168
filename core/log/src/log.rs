//! One log, open: its document, what is kept beside it, and the snapshot.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use automerge::transaction::{CommitOptions, Transactable as _};
use automerge::{ActorId, Automerge, Change, ChangeHash, ROOT, ReadDoc as _, ScalarValue, Value};
use garboard_record::{Digest, Id, Snapshot, Statement, canonical};

use crate::{Chunk, Error, Trouble, change, chunk};

/// Texts by their keys.
type Texts = Vec<(String, Arc<str>)>;

/// The first bytes of a saved opening, with the version of its form.
const OPENING: &[u8; 8] = b"GBOPEN1\n";

/// One log, open.
///
/// The document holds every change whose predecessors are known.
/// Beside it are kept: changes that wait for predecessors, changes that claim another's place, and changes that overwrite or delete.
/// What the first two say counts; the last are held apart.
pub struct Log {
    doc: Automerge,
    /// Changes whose predecessors have not come.
    waiting: BTreeMap<ChangeHash, Change>,
    /// Changes that claim the place of another in the order of one writing.
    doubled: BTreeMap<ChangeHash, Change>,
    /// Changes that overwrite or delete.
    apart: BTreeMap<ChangeHash, Change>,
    chunks: BTreeSet<Digest>,
    snapshot: Snapshot,
}

/// What came with a chunk.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TakenIn {
    /// The ids of the statements that were not known before, in id order.
    pub statements: Vec<Id>,
    /// The names of the chunks that were not known before, in order: what must be kept.
    pub chunks: Vec<Digest>,
}

impl Log {
    /// A log that says nothing yet. The actor is sixteen fresh random bytes, never used before and never stored.
    #[must_use]
    pub fn new(actor: [u8; 16]) -> Self {
        Self {
            doc: Automerge::new().with_actor(ActorId::from(actor.to_vec())),
            waiting: BTreeMap::new(),
            doubled: BTreeMap::new(),
            apart: BTreeMap::new(),
            chunks: BTreeSet::new(),
            snapshot: Snapshot::default(),
        }
    }

    /// Opens what a store holds: chunks in any order, and the last saved opening where there is one.
    ///
    /// Never fails: a chunk that is altered, cut short or unreadable is set aside and named.
    /// The actor is sixteen fresh random bytes, never used before and never stored.
    #[must_use]
    pub fn open(
        actor: [u8; 16],
        chunks: impl IntoIterator<Item = (Digest, Vec<u8>)>,
        opening: Option<&[u8]>,
    ) -> (Self, Vec<Trouble>) {
        let mut trouble = Vec::new();
        let mut intact: BTreeMap<Digest, Vec<u8>> = BTreeMap::new();
        for (name, bytes) in chunks {
            let found = Digest::of(&bytes);
            if found == name {
                intact.insert(name, bytes);
            } else {
                trouble.push(Trouble::SetAside {
                    chunk: name,
                    why: Error::Altered { found, named: name }.to_string(),
                });
            }
        }
        let mut log = Self::new(actor);
        let covered = opening.and_then(|bytes| read_opening(bytes, &intact));
        let mut said: Texts = Vec::new();
        if let Some((names, doc, texts)) = covered {
            log.doc = doc.with_actor(ActorId::from(actor.to_vec()));
            said = texts;
            log.chunks = names;
        }
        let mut changes = Vec::new();
        for (name, bytes) in &intact {
            if log.chunks.contains(name) {
                continue;
            }
            match chunk::changes(bytes) {
                Ok(read) => {
                    changes.extend(read);
                    log.chunks.insert(*name);
                }
                Err(cause) => trouble.push(Trouble::SetAside {
                    chunk: *name,
                    why: cause.to_string(),
                }),
            }
        }
        drop(intact);
        said.extend(log.adopt(changes));
        let mut known = Vec::with_capacity(said.len());
        let mut strange = Vec::new();
        for (key, text) in said {
            match key.parse::<Id>() {
                Ok(id) => known.push((id, text)),
                Err(_) => strange.push((key, text)),
            }
        }
        log.snapshot = Snapshot::of(known);
        for (key, text) in strange {
            log.snapshot.insert_strange(&key, &text);
        }
        trouble.extend(log.trouble());
        trouble.sort();
        (log, trouble)
    }

    /// What the statements mean together.
    #[must_use]
    pub fn snapshot(&self) -> &Snapshot {
        &self.snapshot
    }

    /// The names of the chunks that were opened, taken in or written, in order.
    pub fn chunks(&self) -> impl Iterator<Item = Digest> + '_ {
        self.chunks.iter().copied()
    }

    /// What is odd about the changes: those held apart, waiting, or claiming another's place.
    #[must_use]
    pub fn trouble(&self) -> Vec<Trouble> {
        let apart = self.apart.keys().map(|hash| Trouble::HeldApart {
            change: hash.to_string(),
        });
        let doubled = self.doubled.keys().map(|hash| Trouble::DoubledWriting {
            change: hash.to_string(),
        });
        let waiting = (!self.waiting.is_empty()).then_some(Trouble::Waiting {
            n_changes: self.waiting.len(),
        });
        apart.chain(doubled).chain(waiting).collect()
    }

    /// Adds one statement and gives the chunk that must be kept.
    ///
    /// It is saved only when the caller has written the chunk durably. Where that fails, open the log anew from what is kept.
    ///
    /// # Errors
    ///
    /// - [`Error::IdInUse`] when the id is known
    /// - [`Error::NotStatement`] when the text is no statement in canonical JSON
    /// - [`Error::Document`] when the document refuses; nothing was added
    pub fn append(&mut self, id: Id, text: &str) -> Result<Chunk, Error> {
        self.append_all([(id, text)])
    }

    /// Adds statements that belong together, in one change: all of them or none.
    ///
    /// # Errors
    ///
    /// Those of [`Self::append`].
    pub fn append_all<'a>(
        &mut self,
        said: impl IntoIterator<Item = (Id, &'a str)>,
    ) -> Result<Chunk, Error> {
        let said: Vec<(Id, &str)> = said.into_iter().collect();
        let mut ids = BTreeSet::new();
        for (id, text) in &said {
            if self.snapshot.statement(*id).is_some() || !ids.insert(*id) {
                return Err(Error::IdInUse { id: *id });
            }
            if let Err(cause) = Statement::read(*text) {
                return Err(Error::NotStatement {
                    source: Some(cause),
                });
            }
            if !canonical::is_canonical(text) {
                return Err(Error::NotStatement { source: None });
            }
        }
        let document = |source: automerge::AutomergeError| Error::Document {
            source: Box::new(source),
        };
        let mut transaction = self.doc.transaction();
        for (id, text) in &said {
            transaction
                .put(ROOT, id.to_string(), *text)
                .map_err(document)?;
        }
        // The time is left out: a statement says itself when it was written.
        transaction.commit_with(CommitOptions::default().with_time(0));
        let mut change = self
            .doc
            .get_last_local_change()
            .ok_or_else(|| Error::NotChunk {
                why: "no change was made".to_owned(),
            })?;
        let chunk = Chunk::of(change.bytes().into_owned());
        self.chunks.insert(chunk.name);
        for (id, text) in said {
            self.snapshot.insert(id, text);
        }
        Ok(chunk)
    }

    /// Takes a chunk in that came from elsewhere. Keep its bytes as they are, under its name.
    ///
    /// # Errors
    ///
    /// - [`Error::Altered`], [`Error::TooLarge`], [`Error::NotChunk`]; nothing was taken in
    pub fn take_in(&mut self, name: Digest, bytes: &[u8]) -> Result<TakenIn, Error> {
        self.take_in_all([(name, bytes)])
    }

    /// Takes chunks in that came from elsewhere, all or none. Keep their bytes as they are, under their names.
    ///
    /// # Errors
    ///
    /// - [`Error::Altered`], [`Error::TooLarge`], [`Error::NotChunk`]; nothing was taken in
    pub fn take_in_all<'a>(
        &mut self,
        chunks: impl IntoIterator<Item = (Digest, &'a [u8])>,
    ) -> Result<TakenIn, Error> {
        let mut names = BTreeSet::new();
        let mut changes = Vec::new();
        for (name, bytes) in chunks {
            if !self.chunks.contains(&name) && names.insert(name) {
                changes.extend(chunk::read(name, bytes)?);
            }
        }
        let said = self.adopt(changes);
        let mut statements = BTreeSet::new();
        for (key, text) in said {
            match key.parse::<Id>() {
                Ok(id) => {
                    if self
                        .snapshot
                        .statement(id)
                        .is_none_or(|known| known.text != text)
                    {
                        statements.insert(id);
                    }
                    self.snapshot.insert(id, text);
                }
                Err(_) => self.snapshot.insert_strange(&key, &text),
            }
        }
        self.chunks.extend(&names);
        Ok(TakenIn {
            statements: statements.into_iter().collect(),
            chunks: names.into_iter().collect(),
        })
    }

    /// Whether a chunk could be taken in; changes nothing.
    ///
    /// # Errors
    ///
    /// Those of [`Self::take_in`].
    pub fn check_chunk(name: Digest, bytes: &[u8]) -> Result<(), Error> {
        chunk::read(name, bytes).map(|_| ())
    }

    /// The texts in a chunk's bytes, by key, without a log; those of changes that overwrite or delete are left out.
    ///
    /// # Errors
    ///
    /// - [`Error::NotChunk`]
    pub fn texts_in(bytes: &[u8]) -> Result<Vec<(String, String)>, Error> {
        Ok(chunk::changes(bytes)?
            .iter()
            .filter_map(change::texts)
            .flatten()
            .collect())
    }

    /// Puts changes where they belong and gives what the new ones say.
    fn adopt(&mut self, changes: Vec<Change>) -> Texts {
        let mut said = Vec::new();
        let mut fresh: BTreeMap<ChangeHash, Change> = BTreeMap::new();
        for change in changes {
            let hash = change.hash();
            let known = self.waiting.contains_key(&hash)
                || self.doubled.contains_key(&hash)
                || self.apart.contains_key(&hash)
                || fresh.contains_key(&hash)
                || self.doc.get_change_meta_by_hash(&hash).is_some();
            if known {
                continue;
            }
            match change::texts(&change) {
                Some(texts) => {
                    said.extend(texts.into_iter().map(|(key, text)| (key, Arc::from(text))));
                    fresh.insert(hash, change);
                }
                None => {
                    self.apart.insert(hash, change);
                }
            }
        }
        if !fresh.is_empty() {
            fresh.append(&mut self.waiting);
            self.apply(fresh);
        }
        said
    }

    /// Applies the changes whose predecessors are known, in their order; the others wait.
    fn apply(&mut self, mut fresh: BTreeMap<ChangeHash, Change>) {
        let mut places: BTreeMap<(ActorId, u64), ChangeHash> = if self.doc.is_empty() {
            BTreeMap::new()
        } else {
            self.doc
                .get_changes_meta(&[])
                .into_iter()
                .map(|meta| ((meta.actor.into_owned(), meta.seq), meta.hash))
                .collect()
        };
        let mut missing: BTreeMap<ChangeHash, usize> = BTreeMap::new();
        let mut followers: BTreeMap<ChangeHash, Vec<ChangeHash>> = BTreeMap::new();
        let mut ready: BTreeSet<ChangeHash> = BTreeSet::new();
        for (hash, change) in &fresh {
            let absent: Vec<ChangeHash> = change
                .deps()
                .iter()
                .filter(|dep| self.doc.get_change_meta_by_hash(dep).is_none())
                .copied()
                .collect();
            if absent.is_empty() {
                ready.insert(*hash);
            }
            missing.insert(*hash, absent.len());
            for dep in absent {
                followers.entry(dep).or_default().push(*hash);
            }
        }
        let mut ordered = Vec::new();
        while let Some(hash) = ready.pop_first() {
            let Some(change) = fresh.remove(&hash) else {
                continue;
            };
            let place = (change.actor_id().clone(), change.seq());
            let follows =
                change.seq() == 1 || places.contains_key(&(place.0.clone(), change.seq() - 1));
            if places.get(&place).is_some_and(|taken| *taken != hash) || !follows {
                self.doubled.insert(hash, change);
                continue;
            }
            places.insert(place, hash);
            for follower in followers.remove(&hash).unwrap_or_default() {
                if let Some(count) = missing.get_mut(&follower) {
                    *count = count.saturating_sub(1);
                    if *count == 0 {
                        ready.insert(follower);
                    }
                }
            }
            ordered.push(change);
        }
        self.waiting = fresh;
        if self.doc.apply_changes(ordered.clone()).is_err() {
            // One of them is not what it seems: each is tried alone, and none is lost.
            for change in ordered {
                if self.doc.get_change_meta_by_hash(&change.hash()).is_none()
                    && self.doc.apply_changes([change.clone()]).is_err()
                {
                    self.doubled.insert(change.hash(), change);
                }
            }
        }
    }

    /// The heads of the document, in hexadecimal digits: what another device needs to know to find what is missing here.
    #[must_use]
    pub fn heads(&self) -> Vec<String> {
        self.doc
            .get_heads()
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    /// The changes that a device with these heads lacks, as one chunk; `None` when it lacks none.
    ///
    /// Heads that are not known here are passed over, so that rather too much goes along than too little.
    #[must_use]
    pub fn since(&self, heads: &[String]) -> Option<Chunk> {
        let known: Vec<ChangeHash> = heads
            .iter()
            .filter_map(|head| head.parse::<ChangeHash>().ok())
            .filter(|hash| self.doc.get_change_meta_by_hash(hash).is_some())
            .collect();
        let mut bytes = Vec::new();
        for mut change in self.doc.get_changes(&known) {
            bytes.extend_from_slice(&change.bytes());
        }
        for change in self.waiting.values().chain(self.doubled.values()) {
            bytes.extend_from_slice(&change.clone().bytes());
        }
        (!bytes.is_empty()).then(|| Chunk::of(bytes))
    }

    /// One chunk that holds all that these chunks' bytes hold.
    ///
    /// # Errors
    ///
    /// - [`Error::NotChunk`] when one of them cannot be read
    pub fn pack<'a>(chunks: impl IntoIterator<Item = &'a [u8]>) -> Result<Chunk, Error> {
        let mut seen = BTreeSet::new();
        let mut bytes = Vec::new();
        for chunk in chunks {
            for mut change in chunk::changes(chunk)? {
                if seen.insert(change.hash()) {
                    bytes.extend_from_slice(&change.bytes());
                }
            }
        }
        Ok(Chunk::of(bytes))
    }

    /// Whether every change of one chunk's bytes is in another's.
    #[must_use]
    pub fn is_covered(chunk: &[u8], pack: &[u8]) -> bool {
        let hashes = |bytes: &[u8]| {
            chunk::changes(bytes)
                .map(|changes| changes.iter().map(Change::hash).collect::<BTreeSet<_>>())
        };
        matches!((hashes(chunk), hashes(pack)), (Ok(inner), Ok(outer)) if inner.is_subset(&outer))
    }

    /// The whole document in Automerge's own form, for other readers of that form.
    #[must_use]
    pub fn document(&self) -> Vec<u8> {
        self.doc.save()
    }

    /// The opening as it is, to be kept beside the chunks so that the next one is faster. It can be thrown away.
    ///
    /// `None` while changes are kept beside the document, since the opening would not hold them.
    #[must_use]
    pub fn opening(&self) -> Option<Vec<u8>> {
        if !(self.waiting.is_empty() && self.doubled.is_empty() && self.apart.is_empty()) {
            return None;
        }
        let mut bytes = OPENING.to_vec();
        bytes.extend_from_slice(&u32::try_from(self.chunks.len()).ok()?.to_be_bytes());
        for name in &self.chunks {
            bytes.extend_from_slice(name.as_bytes());
        }
        let doc = self.doc.save();
        bytes.extend_from_slice(Digest::of(&doc).as_bytes());
        bytes.extend_from_slice(&doc);
        Some(bytes)
    }
}

/// Reads a saved opening, where it is whole and every chunk that it stands for is there and intact.
fn read_opening(
    bytes: &[u8],
    intact: &BTreeMap<Digest, Vec<u8>>,
) -> Option<(BTreeSet<Digest>, Automerge, Texts)> {
    let (count, rest) = bytes.strip_prefix(OPENING)?.split_first_chunk::<4>()?;
    let (names, rest) = rest.split_at_checked(
        usize::try_from(u32::from_be_bytes(*count))
            .ok()?
            .checked_mul(32)?,
    )?;
    let names: BTreeSet<Digest> = names
        .chunks_exact(32)
        .filter_map(|name| Some(Digest::from_bytes(name.try_into().ok()?)))
        .collect();
    let (digest, doc) = rest.split_first_chunk::<32>()?;
    if Digest::of(doc) != Digest::from_bytes(*digest)
        || !names.iter().all(|name| intact.contains_key(name))
    {
        return None;
    }
    let doc = Automerge::load(doc).ok()?;
    // More operations than texts would mean that something was overwritten; then the chunks are read one by one.
    let texts = texts_of(&doc);
    (usize::try_from(doc.stats().num_ops).ok()? == texts.len()).then_some((names, doc, texts))
}

/// Every text of the document by its key; where two stand under one key, both.
fn texts_of(doc: &Automerge) -> Texts {
    let mut out = Vec::new();
    for item in doc.map_range(ROOT, ..) {
        let key = item.key.to_string();
        if item.conflict {
            for (value, _) in doc.get_all(ROOT, &key).unwrap_or_default() {
                if let Value::Scalar(scalar) = value
                    && let ScalarValue::Str(text) = scalar.as_ref()
                {
                    out.push((key.clone(), Arc::from(text.as_str())));
                }
            }
        } else if let automerge::ValueRef::Scalar(automerge::ScalarValueRef::Str(text)) = item.value
        {
            out.push((key, Arc::from(&*text)));
        }
    }
    out
}
