//! What went wrong, said so that a person can go on.

use serde::{Deserialize, Serialize};

/// A failure in words: what happened, what is safe, what to do. All three are sentences.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Trouble {
    /// For the page to act on; never shown as a code.
    pub kind: TroubleKind,
    /// What happened.
    pub happened: String,
    /// What is safe.
    pub safe: String,
    /// What to do.
    pub remedy: String,
}

/// Kinds of trouble that the page treats differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TroubleKind {
    /// Page and keeper are of different builds: reload.
    OtherBuild,
    /// No log is open: go to the start.
    NoLog,
    /// What was asked for is not there.
    NotFound,
    /// Something in what was said must be mended first.
    Mistake,
    /// *Not saved*: the device's storage is full.
    Full,
    /// *Not saved*: the storage failed in another way.
    NotSaved,
    /// *Not saved*: another tab writes.
    OtherTab,
    /// A parcel or picture is damaged, not ours, or from another boat; nothing was changed.
    BadFile,
    /// Stopped on request; nothing was left half done.
    Stopped,
    /// This browser cannot do it.
    Unable,
    /// Our own fault.
    Fault,
}

impl Trouble {
    /// Puts the three sentences together.
    #[must_use]
    pub fn new(
        kind: TroubleKind,
        happened: impl Into<String>,
        safe: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            kind,
            happened: happened.into(),
            safe: safe.into(),
            remedy: remedy.into(),
        }
    }
}
