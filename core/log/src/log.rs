//! One log, open: its document, what is kept beside it, and the snapshot.

use std::collections::{BTreeMap, BTreeSet};
use std::num::NonZeroU64;
use std::sync::Arc;

use automerge::legacy::{Key, ObjectId, Op, OpType, SortedVec};
use automerge::{
    ActorId, Automerge, Change, ChangeHash, ExpandedChange, ReadDoc as _, ScalarValue,
};
use garboard_record::{Digest, Id, Snapshot, Statement, canonical, small};

use crate::history::{History, Standing, Step};
use crate::{Chunk, Error, Trouble, change, chunk, opening};

/// Texts by their keys.
type Texts = Vec<(String, Arc<str>)>;

/// One log, open.
///
/// The document's order holds every change whose predecessors are known.
/// Beside it are kept: changes that wait for predecessors, changes that claim another's place, and changes that overwrite or delete.
/// What the first two say counts; the last are held apart.
pub struct Log {
    actor: ActorId,
    pub(crate) history: History,
    pub(crate) chunks: BTreeSet<Digest>,
    /// The bytes of the chunks that hold changes of the history, as they came.
    pub(crate) kept: Vec<(Digest, Vec<u8>)>,
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
            actor: ActorId::from(actor.as_slice()),
            history: History::default(),
            chunks: BTreeSet::new(),
            kept: Vec::new(),
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
        let mut known = Vec::new();
        let mut strange = Vec::new();
        let covered =
            opening.and_then(|bytes| opening::read(bytes, |name| intact.contains_key(name)));
        if let Some(opened) = covered {
            // The places of its chunks are those of its names, in order.
            for name in &opened.chunks {
                log.kept.extend(intact.remove_entry(name));
            }
            log.chunks = opened.chunks;
            log.history = opened.history;
            known = opened.said;
            strange = opened.strange;
        }
        let mut changes = Vec::new();
        for (name, bytes) in intact {
            match chunk::changes(&bytes) {
                Ok(read) => {
                    let source = log.keep(name, bytes);
                    changes.extend(read.into_iter().map(|change| (change, source)));
                }
                Err(cause) => trouble.push(Trouble::SetAside {
                    chunk: name,
                    why: cause.to_string(),
                }),
            }
        }
        for (key, text) in log.adopt(changes) {
            match key.parse::<Id>() {
                Ok(id) => known.push((id, text)),
                Err(_) => strange.push((key, text.to_string())),
            }
        }
        log.let_go();
        log.snapshot = Snapshot::of(known);
        for (key, text) in strange {
            log.snapshot.insert_strange(&key, &text);
        }
        trouble.extend(log.trouble());
        small::sort(&mut trouble);
        (log, trouble)
    }

    /// Keeps a chunk's bytes and gives their place.
    pub(crate) fn keep(&mut self, name: Digest, bytes: Vec<u8>) -> u32 {
        self.chunks.insert(name);
        self.kept.push((name, bytes));
        u32::try_from(self.kept.len() - 1).unwrap_or(u32::MAX)
    }

    /// Lets go the bytes of chunks whose changes lie in others too, as those of a pack do.
    pub(crate) fn let_go(&mut self) {
        let mut is_used = vec![false; self.kept.len()];
        for (_, step) in self.history.in_order().chain(self.history.beside()) {
            let place = usize::try_from(step.source).ok();
            if let Some(used) = place.and_then(|place| is_used.get_mut(place)) {
                *used = true;
            }
        }
        for ((_, bytes), is_used) in self.kept.iter_mut().zip(is_used) {
            if !is_used {
                *bytes = Vec::new();
            }
        }
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
        let mut trouble = Vec::new();
        let mut n_changes = 0;
        for (hash, step) in self.history.beside() {
            let change = hash.to_string();
            match step.standing {
                Standing::Apart => trouble.push(Trouble::HeldApart { change }),
                Standing::Doubled => trouble.push(Trouble::DoubledWriting { change }),
                Standing::Waits => n_changes += 1,
                Standing::InOrder => {}
            }
        }
        if n_changes > 0 {
            trouble.push(Trouble::Waiting { n_changes });
        }
        trouble
    }

    /// Adds one statement and gives the chunk that must be kept.
    ///
    /// It is saved only when the caller has written the chunk durably. Where that fails, open the log anew from what is kept.
    ///
    /// # Errors
    ///
    /// - [`Error::IdInUse`] when the id is known
    /// - [`Error::NotStatement`] when the text is no statement in canonical JSON
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
        let (deps, seq, start_op) = self.history.next(&self.actor);
        let mut change = Change::from(ExpandedChange {
            operations: said.iter().map(|(id, text)| put(*id, text)).collect(),
            actor_id: self.actor.clone(),
            hash: None,
            seq,
            start_op: NonZeroU64::new(start_op).unwrap_or(NonZeroU64::MIN),
            // The time is left out: a statement says itself when it was written.
            time: 0,
            message: None,
            deps,
            extra_bytes: Vec::new(),
            author: None,
        });
        let chunk = Chunk::of(change.bytes().into_owned());
        let source = self.keep(chunk.name, chunk.bytes.clone());
        self.history.push(change.hash(), Step::of(&change, source));
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
        let mut read = Vec::new();
        for (name, bytes) in chunks {
            if !self.chunks.contains(&name) && names.insert(name) {
                read.push((name, bytes, chunk::read(name, bytes)?));
            }
        }
        let mut changes = Vec::new();
        for (name, bytes, found) in read {
            let source = self.keep(name, bytes.to_vec());
            changes.extend(found.into_iter().map(|change| (change, source)));
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
    fn adopt(&mut self, changes: Vec<(Change, u32)>) -> Texts {
        let mut said = Vec::new();
        let mut fresh: BTreeMap<ChangeHash, Step> = BTreeMap::new();
        for (change, source) in changes {
            let hash = change.hash();
            if self.history.knows(&hash) || fresh.contains_key(&hash) {
                continue;
            }
            let step = Step::of(&change, source);
            match change::texts(&change) {
                Some(texts) => {
                    said.extend(texts.into_iter().map(|(key, text)| (key, Arc::from(text))));
                    fresh.insert(hash, step);
                }
                None => self.history.hold_apart(hash, step),
            }
        }
        if !fresh.is_empty() {
            self.history.add(fresh);
        }
        said
    }

    /// The heads of the document, in hexadecimal digits: what another device needs to know to find what is missing here.
    #[must_use]
    pub fn heads(&self) -> Vec<String> {
        self.history.heads().map(ToString::to_string).collect()
    }

    /// The changes that a device with these heads lacks, as one chunk; `None` when it lacks none.
    ///
    /// Heads that are not known here are passed over, so that rather too much goes along than too little.
    #[must_use]
    pub fn since(&self, heads: &[String]) -> Option<Chunk> {
        let heads: Vec<ChangeHash> = heads
            .iter()
            .filter_map(|head| head.parse::<ChangeHash>().ok())
            .collect();
        let mut wanted = self.history.since(&heads);
        wanted.extend(
            self.history
                .beside()
                .filter(|(_, step)| step.standing != Standing::Apart)
                .map(|(hash, step)| (*hash, step.source)),
        );
        let mut bytes = Vec::new();
        for mut change in self.changes(&wanted) {
            bytes.extend_from_slice(&change.bytes());
        }
        (!bytes.is_empty()).then(|| Chunk::of(bytes))
    }

    /// Some changes, from the chunks in which they lie, in the order asked for.
    fn changes(&self, wanted: &[(ChangeHash, u32)]) -> Vec<Change> {
        let places: BTreeMap<ChangeHash, usize> =
            small::map(wanted.iter().zip(0..).map(|((hash, _), at)| (*hash, at)));
        let sources: BTreeSet<u32> = small::set(wanted.iter().map(|(_, source)| *source));
        let mut found: Vec<Option<Change>> = vec![None; wanted.len()];
        for source in sources {
            let kept = usize::try_from(source)
                .ok()
                .and_then(|at| self.kept.get(at));
            let read = kept.and_then(|(_, bytes)| chunk::changes(bytes).ok());
            for change in read.into_iter().flatten() {
                if let Some(to) = places.get(&change.hash()).and_then(|at| found.get_mut(*at)) {
                    *to = Some(change);
                }
            }
        }
        found.into_iter().flatten().collect()
    }

    /// The whole document in Automerge's own form, for other readers of that form.
    #[must_use]
    pub fn document(&self) -> Vec<u8> {
        self.as_automerge().save()
    }

    /// The keys under which Automerge's own document says something that is not read here; none, unless one of the two
    /// is wrong.
    #[must_use]
    pub fn disagreeing(&self) -> Vec<String> {
        let texts = self.snapshot.texts();
        let read: BTreeSet<(String, String)> = small::set(
            texts
                .map(|(id, text)| (id.to_string(), text.to_string()))
                .chain(
                    self.snapshot
                        .strange()
                        .map(|(key, text)| (key.to_owned(), text.to_owned())),
                ),
        );
        let doc = self.as_automerge();
        let mut n_said = 0;
        let mut found: Vec<String> = Vec::new();
        for item in doc.map_range(automerge::ROOT, ..) {
            n_said += 1;
            let said = match item.value {
                automerge::ValueRef::Scalar(automerge::ScalarValueRef::Str(text)) => {
                    Some(text.to_string())
                }
                _ => None,
            };
            let key = item.key.to_string();
            if said.is_none_or(|text| !read.contains(&(key.clone(), text))) {
                found.push(key);
            }
        }
        // Two texts under one key are one key of the document.
        let n_keys = small::set(read.iter().map(|(key, _)| key)).len();
        if found.is_empty() && self.history.beside().next().is_none() && n_said != n_keys {
            found.push(format!("{n_said} of {n_keys} keys"));
        }
        found
    }

    /// The changes in order, put together by Automerge itself.
    fn as_automerge(&self) -> Automerge {
        let mut doc = Automerge::new();
        let changes = self.changes(&self.history.since(&[]));
        if doc.apply_changes(changes.clone()).is_err() {
            // One of them is not what it seems: the others are there all the same.
            for change in changes {
                drop(doc.apply_changes([change]));
            }
        }
        doc
    }

    /// The opening as it is, to be kept beside the chunks so that the next one is faster. It can be thrown away.
    ///
    /// `None` while changes are kept beside the document, since the opening would not hold them.
    #[must_use]
    pub fn opening(&self) -> Option<Vec<u8>> {
        if self.history.beside().next().is_some() {
            return None;
        }
        let names: Vec<Digest> = self.chunks.iter().copied().collect();
        let place = |source: u32| {
            let (name, _) = self.kept.get(usize::try_from(source).ok()?)?;
            u32::try_from(names.binary_search(name).ok()?).ok()
        };
        opening::write(
            &self.chunks,
            &self.history,
            place,
            self.snapshot.texts(),
            self.snapshot.strange(),
        )
    }
}

/// The operation that puts a text under an id.
fn put(id: Id, text: &str) -> Op {
    Op {
        action: OpType::Put(ScalarValue::Str(text.into())),
        obj: ObjectId::Root,
        key: Key::Map(id.to_string().into()),
        pred: SortedVec::new(),
        insert: false,
    }
}
