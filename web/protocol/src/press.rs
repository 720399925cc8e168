//! What the keeper asks the press and the press answers.

use garboard_record::{Digest, Id};
use serde::{Deserialize, Serialize};

use crate::{DossierOptions, DossierSeen, Trouble};

/// What the keeper asks the press; files go beside the message.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum PressAsk {
    /// Whether it is there.
    Greet,
    /// The smaller sizes of one picture, which is the only file beside it.
    Shrink,
    /// Lays the later of two pictures into the frame of the earlier; both lie beside the message, the earlier first.
    Lay {
        /// The spots that both show, as a photograph's `same_spots`.
        spots: Vec<u64>,
    },
    /// Looks for spots that two pictures both show; both lie beside the message, the earlier first.
    FindSpots,
    /// The demonstration boat.
    Tell,
    /// The public key of a secret; asked of the press that packs bags.
    Key {
        /// The device's secret.
        secret: [u8; 32],
    },
    /// The dossier. Its form on paper is asked of a press of its own, which can do nothing else.
    Print {
        /// Every statement of the log with its id, in any order.
        statements: Vec<(Id, String)>,
        /// What goes in.
        options: DossierOptions,
        /// The day on which it is made.
        day: String,
        /// The digests of the pictures, in the order of the files beside the message; for a bag, of originals and sounds too.
        pictures: Vec<Digest>,
        /// The log's chunks, for a bag.
        chunks: Vec<(Digest, Vec<u8>)>,
        /// The device that signs a bag, with its secret.
        signer: Option<(Id, [u8; 32])>,
    },
    /// What a dossier would say.
    See {
        /// Every statement of the log with its id, in any order.
        statements: Vec<(Id, String)>,
        /// What goes in.
        options: DossierOptions,
        /// The day on which it is made.
        day: String,
        /// The digests of the pictures that are at hand.
        pictures: Vec<Digest>,
    },
    /// A parcel's files. The pictures lie beside the message in the manifest's order.
    Pack {
        /// The manifest of the whole, as canonical JSON; its chunks are not in it.
        manifest: String,
        /// The chunks with their names.
        chunks: Vec<(Digest, Vec<u8>)>,
        /// The most bytes of one file.
        most_bytes: u64,
    },
    /// Opens a parcel, whose files lie beside the message; what follows is about it.
    Unpack,
    /// Checks every part of the opened parcel, and gives its chunks.
    Verify,
    /// Pictures of the opened parcel, checked once more.
    Pictures {
        /// Their digests.
        digests: Vec<Digest>,
    },
    /// Looks for all that is wrong with parcels and bags, which lie beside the message.
    Inspect,
}

/// What the press answers; files go beside the message.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum PressAnswer {
    /// It is there.
    Here,
    /// The smaller sizes, or why there are none.
    Shrunk(Result<Shrunk, String>),
    /// Both pictures in one frame, which lie beside the message, or why there are none.
    Laid(Result<(), String>),
    /// The spots that both show, or why none are certain.
    Spots(Result<Vec<u64>, String>),
    /// The demonstration boat, or why there is none.
    Told(Result<Season, String>),
    /// The public key, 64 hexadecimal digits.
    Key(String),
    /// The dossier, which lies beside the message.
    Printed {
        /// How many pictures were missing.
        n_missing: u32,
        /// What else is to be known of it, a sentence each.
        remarks: Vec<String>,
    },
    /// What a dossier would say.
    Seen(Result<Box<DossierSeen>, Trouble>),
    /// How far it has come; the answer is still to follow.
    Doing {
        /// So much of it is done.
        done: u64,
        /// All that is to be done.
        of: u64,
    },
    /// The parcel's files, which lie beside the message.
    Packed,
    /// The manifests of the opened parcel's files as canonical JSON, in the order of their parts.
    Unpacked {
        /// One for each file.
        manifests: Vec<String>,
    },
    /// All is as the manifests say.
    Verified {
        /// The chunks with their names.
        chunks: Vec<(Digest, Vec<u8>)>,
    },
    /// The pictures, which lie beside the message in the order in which they were asked for.
    Pictures,
    /// What was found in parcels and bags.
    Inspected {
        /// The chunks that are as they should be.
        chunks: Vec<(Digest, Vec<u8>)>,
        /// How many pictures are.
        n_pictures: u32,
        /// How many statements of bags agree with their digests.
        n_statements: u32,
        /// What is wrong, a sentence each.
        faults: Vec<String>,
        /// What is no fault and must be known, a sentence each.
        remarks: Vec<String>,
    },
    /// What stood in the way. Nothing was changed.
    Refused(Trouble),
}

/// One smaller size with its bytes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SmallBytes {
    /// A JPEG.
    pub bytes: Vec<u8>,
    /// Its SHA-256.
    pub digest: String,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

/// Both smaller sizes of a photograph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shrunk {
    /// Long side at most 2048 px.
    pub view: SmallBytes,
    /// Long side at most 320 px.
    pub thumbnail: SmallBytes,
    /// Whether the browser had to decode the picture, because this program cannot.
    pub is_by_browser: bool,
}

/// The demonstration boat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Season {
    /// The log.
    pub log: Id,
    /// The hands with what each device said, in its order.
    pub writers: Vec<(String, Vec<(Id, String)>)>,
    /// Pictures with their media types.
    pub pictures: Vec<(Digest, String, Vec<u8>)>,
}
