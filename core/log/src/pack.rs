//! Packing: many chunks of a device's own become one that says the same.

use std::collections::BTreeSet;

use automerge::Change;
use garboard_record::{Digest, Id, Statement, small};

use crate::{Chunk, Error, Log, change, chunk};

/// A chunk with more texts than this is a pack; one with fewer is loose.
const LOOSE_TEXTS: usize = 8;

/// From so many loose chunks of its own on, a device packs them.
pub const PACK_FROM: usize = 256;

impl Log {
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

    /// The chunk as every reader of ours reads it: as it is where it holds changes alone, else with the changes of the
    /// whole documents and bundles that someone made a chunk of.
    ///
    /// # Errors
    ///
    /// - [`Error::NotChunk`] when it cannot be read
    pub fn as_changes(chunk: Chunk) -> Result<Chunk, Error> {
        if change::is_plain(&chunk.bytes) {
            return Ok(chunk);
        }
        Self::pack([chunk.bytes.as_slice()])
    }

    /// Whether every change of one chunk's bytes is in another's.
    #[must_use]
    pub fn is_covered(chunk: &[u8], pack: &[u8]) -> bool {
        let hashes = |bytes: &[u8]| {
            chunk::changes(bytes).map(|changes| small::set(changes.iter().map(Change::hash)))
        };
        matches!((hashes(chunk), hashes(pack)), (Ok(inner), Ok(outer)) if inner.is_subset(&outer))
    }

    /// Whether a chunk says few things, all of them said by one device: what that device may pack.
    #[must_use]
    pub fn is_loose(chunk: &[u8], device: Id) -> bool {
        Self::is_own(chunk, device).is_some_and(|n_texts| n_texts <= LOOSE_TEXTS)
    }

    /// How many texts a chunk holds, where all of them were said by one device.
    #[must_use]
    pub fn is_own(chunk: &[u8], device: Id) -> Option<usize> {
        let texts = Self::texts_in(chunk).ok()?;
        let is_own = !texts.is_empty()
            && texts.iter().all(|(_, text)| {
                Statement::read(text.as_str()).is_ok_and(|statement| statement.device == device)
            });
        is_own.then_some(texts.len())
    }

    /// A pack of the loose chunks that a device wrote, where there are [`PACK_FROM`] of them; it is not in the log yet.
    #[must_use]
    pub fn packed(&self, device: Id) -> Option<Chunk> {
        let held = self.kept.iter().filter(|(_, bytes)| !bytes.is_empty());
        if held.clone().count() < PACK_FROM {
            return None;
        }
        let loose: Vec<&[u8]> = held
            .map(|(_, bytes)| bytes.as_slice())
            .filter(|bytes| Self::is_loose(bytes, device))
            .collect();
        if loose.len() < PACK_FROM {
            return None;
        }
        Self::pack(loose).ok()
    }

    /// Lets a pack stand for the chunks whose changes it holds, once it is kept durably. Gives the names of the chunks
    /// that are needed no more, in order.
    ///
    /// # Errors
    ///
    /// Those of [`Self::take_in`]; nothing was changed.
    pub fn repack(&mut self, pack: &Chunk) -> Result<Vec<Digest>, Error> {
        let changes = chunk::read(pack.name, &pack.bytes)?;
        self.take_in(pack.name, &pack.bytes)?;
        let place = self
            .kept
            .iter_mut()
            .position(|(name, _)| *name == pack.name)
            .unwrap_or_default();
        if let Some((_, bytes)) = self.kept.get_mut(place) {
            bytes.clone_from(&pack.bytes);
        }
        let source = u32::try_from(place).unwrap_or(u32::MAX);
        let had_bytes: BTreeSet<Digest> = small::set(
            self.kept
                .iter()
                .filter(|(_, bytes)| !bytes.is_empty())
                .map(|(name, _)| *name),
        );
        for change in changes {
            self.history.lies_in(&change.hash(), source);
        }
        self.let_go();
        let gone: Vec<Digest> = self
            .kept
            .iter()
            .filter(|(name, bytes)| bytes.is_empty() && had_bytes.contains(name))
            .map(|(name, _)| *name)
            .collect();
        for name in &gone {
            self.chunks.remove(name);
        }
        Ok(gone)
    }
}
