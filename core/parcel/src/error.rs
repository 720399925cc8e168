//! What can go wrong with a parcel.

use garboard_record::Digest;

/// Why a parcel could not be made or read. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// When the file is no ZIP or was cut short; send it again.
    #[error("this is no parcel, or it was cut short on its way")]
    NotZip {
        /// What the reader says.
        #[source]
        source: Box<zip::result::ZipError>,
    },
    /// When somebody unpacked a parcel and packed it anew, compressed, or a bag in a rare way; take the file as it was made.
    #[error("this ZIP was packed anew and compressed in a way that is not read here")]
    Compressed,
    /// When the ZIP has no manifest of ours; choose another file.
    #[error("this ZIP is no parcel: it has no {missing}")]
    NotParcel {
        /// What is missing.
        missing: &'static str,
    },
    /// When the manifest cannot be read; send the parcel again.
    #[error("the parcel's manifest cannot be read")]
    Manifest {
        /// What the reader says.
        #[source]
        source: serde_json::Error,
    },
    /// When a later version made the parcel; bring this device's software up to date.
    #[error(
        "the parcel has the form {found}, made by later software; this version reads forms up to {known}"
    )]
    Future {
        /// The form found.
        found: u64,
        /// The latest form that is known.
        known: u64,
    },
    /// When a part's bytes do not have the digest that the manifest names; send it again.
    #[error("the part {name} was altered or cut short; nothing was taken in")]
    Altered {
        /// The part.
        name: String,
    },
    /// When a part that the manifest names is not there; send it again.
    #[error("the part {name} is missing; nothing was taken in")]
    Missing {
        /// The part.
        name: String,
    },
    /// When a part is larger than any that is made.
    #[error("the part {name} has {bytes} bytes, more than can be read")]
    TooLarge {
        /// The part.
        name: String,
        /// Its size.
        bytes: u64,
    },
    /// When a chunk in it is none.
    #[error("the part {name} is no chunk of a log")]
    Chunk {
        /// The part.
        name: Digest,
        /// What the log says.
        #[source]
        source: Box<garboard_log::Error>,
    },
    /// When the parcel belongs to another boat; open it as a log of its own.
    #[error("{}", other_boat(theirs, ours))]
    OtherBoat {
        /// The boat of the parcel.
        theirs: String,
        /// The boat of this log.
        ours: String,
    },
    /// When the parcel could not be written: the disk is full, for instance.
    #[error("the parcel could not be written")]
    Write {
        /// What the system says.
        #[source]
        source: std::io::Error,
    },
}

/// Why a parcel of another boat is not taken in.
#[must_use]
pub fn other_boat(theirs: &str, ours: &str) -> String {
    format!("this parcel is of the boat {theirs:?}; this log is of {ours:?}")
}

impl From<std::io::Error> for Error {
    fn from(source: std::io::Error) -> Self {
        Self::Write { source }
    }
}

/// The error of a write, or of a read, as the ZIP crate reports it.
pub(crate) fn of_write(source: zip::result::ZipError) -> Error {
    match source {
        zip::result::ZipError::Io(source) => Error::Write { source },
        other => Error::Write {
            source: std::io::Error::other(other),
        },
    }
}
