//! What can go wrong with a log's bytes.

use garboard_record::{Digest, Id};

/// Why something could not be done. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// When bytes are no chunk of a log; take another file, or receive it again.
    #[error("these bytes are no chunk of a log: {why}")]
    NotChunk {
        /// What does not fit.
        why: String,
    },
    /// When a chunk's bytes do not have the name that they came under; receive it again.
    #[error(
        "the chunk was altered or cut short: its bytes have the digest {found}, its name says {named}"
    )]
    Altered {
        /// The digest of the bytes.
        found: Digest,
        /// The name that they came under.
        named: Digest,
    },
    /// When a chunk is larger than any that is written.
    #[error("the chunk has {bytes} bytes, more than the {most} that a chunk may have")]
    TooLarge {
        /// Its size.
        bytes: usize,
        /// The limit.
        most: usize,
    },
    /// When an id is in use already; draw another.
    #[error("the id {id} is in use already")]
    IdInUse {
        /// The id.
        id: Id,
    },
    /// When a text is not a statement in canonical JSON.
    #[error("the text is no statement in canonical JSON")]
    NotStatement {
        /// The reader's words, where it is not even a statement.
        #[source]
        source: Option<garboard_record::Error>,
    },
}

/// What is odd about the chunks of a log that was opened. Nothing is lost by it but what it names.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Trouble {
    /// A chunk cannot be read, or its bytes do not have its name; it was set aside.
    SetAside {
        /// Its name.
        chunk: Digest,
        /// What does not fit.
        why: String,
    },
    /// A change overwrites or deletes; it is held apart.
    HeldApart {
        /// The change, by its hash in hexadecimal digits.
        change: String,
    },
    /// Changes came whose predecessors have not; what they say is read all the same.
    Waiting {
        /// How many.
        n_changes: usize,
    },
    /// Two changes claim the same place in the order of one writing; what both say is read.
    DoubledWriting {
        /// The change that is kept beside the document.
        change: String,
    },
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::SetAside { chunk, why } => write!(f, "the chunk {chunk} was set aside: {why}"),
            Self::HeldApart { change } => write!(
                f,
                "the change {change} overwrites or deletes and is held apart"
            ),
            Self::Waiting { n_changes } => write!(
                f,
                "{n_changes} changes came before those that they follow; what they say is shown"
            ),
            Self::DoubledWriting { change } => write!(
                f,
                "the change {change} claims the place of another of the same writing; what it says is shown"
            ),
        }
    }
}
