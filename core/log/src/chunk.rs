//! The bytes in which a log is kept: chunks named by their content.

use garboard_record::Digest;

use crate::Error;
use crate::change::Split;

/// The largest chunk that is read. A statement has at most some hundred thousand bytes; a pack stays far below this.
pub const MAX_CHUNK_BYTES: usize = 64 << 20;

/// One or more changes of a log as bytes, named by their SHA-256.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chunk {
    /// The SHA-256 of the bytes.
    pub name: Digest,
    /// The bytes: Automerge changes, one after another.
    pub bytes: Vec<u8>,
}

impl Chunk {
    /// Names some bytes.
    #[must_use]
    pub fn of(bytes: Vec<u8>) -> Self {
        Self {
            name: Digest::of(&bytes),
            bytes,
        }
    }
}

/// Reads the changes of a chunk, all or nothing, and checks its name.
pub(crate) fn read(name: Digest, bytes: &[u8]) -> Result<Vec<automerge::Change>, Error> {
    if bytes.len() > MAX_CHUNK_BYTES {
        return Err(Error::TooLarge {
            bytes: bytes.len(),
            most: MAX_CHUNK_BYTES,
        });
    }
    let found = Digest::of(bytes);
    if found != name {
        return Err(Error::Altered { found, named: name });
    }
    changes(bytes)
}

/// Reads the changes of a chunk's bytes, all or nothing.
pub(crate) fn changes(bytes: &[u8]) -> Result<Vec<automerge::Change>, Error> {
    if bytes.is_empty() {
        return Err(Error::NotChunk {
            why: "it is empty".to_owned(),
        });
    }
    let mut changes = Vec::new();
    for part in Split(bytes) {
        changes.extend(part?);
    }
    Ok(changes)
}
