//! What the keeper tells: answers, and reports that nobody asked for.

use serde::{Deserialize, Serialize};

use crate::answer::{Answer, Opened, WorkingAt};
use crate::row::Rows;
use crate::trouble::Trouble;

/// One message from the keeper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Told {
    /// The answer to the ask with this number; exactly one an ask.
    Answer {
        /// The ask's number.
        number: u32,
        /// What came of it.
        answer: Result<Answer, Trouble>,
    },
    /// Something to know.
    Report(Report),
}

/// What the keeper reports unasked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Report {
    /// The log as it last stood, read from storage before the keeper's module was loaded. Shown at
    /// once and replaced by what the keeper answers after [`Hello`](crate::Answer::Hello).
    Remembered(Box<Remembered>),
    /// How far long work has come.
    Progress {
        /// The ask that it belongs to; `None` for work of the keeper's own (renditions).
        number: Option<u32>,
        /// What is being done: "Reading the parcel".
        what: String,
        /// Done so far.
        done: u32,
        /// Of how many; 0 when not known.
        of: u32,
    },
    /// Smaller sizes of a photograph are here now: ask for the picture again.
    PictureReady {
        /// The photograph's entry.
        entry: String,
        /// The original's digest.
        digest: String,
    },
    /// No smaller sizes could be made; the original is kept.
    PictureFailed {
        /// The photograph's entry.
        entry: String,
        /// The original's digest.
        digest: String,
        /// Why, in words.
        why: String,
    },
    /// The log changed in a way that the page did not ask for (another tab, a rendition): ask for
    /// the rows again.
    Changed,
    /// Where the person works changed (a struck place, another tab).
    WorkingAt(WorkingAt),
    /// Whether this tab may write. Another tab that writes has the right first; this one follows
    /// what it writes, and gets the right when the other closes.
    Writer {
        /// Whether this tab may write.
        is_writer: bool,
    },
    /// Something failed that nobody asked for; nothing that was called saved is lost.
    Trouble(Trouble),
}

/// The log as it last stood.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remembered {
    /// The heading.
    pub opened: Opened,
    /// The first rows, without filter.
    pub rows: Rows,
}
