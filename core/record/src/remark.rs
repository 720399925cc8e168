//! What is odd but readable: it stands beside the snapshot and hides nothing.

use std::fmt;

use crate::Id;

/// One odd thing, with the entry and the field that it is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Remark {
    /// The entry or statement.
    pub about: Option<Id>,
    /// The field.
    pub field: Option<String>,
    /// What is odd.
    pub oddity: Oddity,
}

/// What can be odd.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Oddity {
    /// A text is no statement.
    Unreadable {
        /// The reader's words.
        why: String,
    },
    /// A key of the document is no id.
    StrangeKey {
        /// The key.
        key: String,
    },
    /// Two texts stand under one id.
    Twins,
    /// Statements belong to another boat's log.
    OtherLog {
        /// That log.
        log: Id,
        /// How many.
        n_statements: usize,
    },
    /// The kind is not known to this version.
    UnknownKind {
        /// The word.
        kind: String,
    },
    /// A field's value is of a form that this version does not know.
    UnknownForm,
    /// It is about an entry that has not arrived.
    TargetMissing {
        /// The entry.
        target: Id,
    },
    /// It is about a statement that is no entry.
    TargetNoEntry {
        /// The statement.
        target: Id,
    },
    /// The entry was amended by a hand that had not seen it struck, or after.
    AmendedWhileStruck,
    /// It hangs on an entry that is struck.
    HangsOnStruck {
        /// The struck entry.
        target: Id,
    },
    /// Places lie in each other in a circle; they are shown at the root.
    PlaceCircle,
    /// Steps wait for each other in a circle.
    WaitingCircle,
    /// Two stints of one person overlap; both count.
    StintsOverlap {
        /// The other stint.
        with: Id,
    },
    /// A stint ends before it starts; it counts nothing.
    EndBeforeStart,
    /// It happened after it was written.
    HappenedAfterWritten,
    /// It was written long after it happened.
    Late {
        /// Days between.
        days: i64,
    },
    /// The time cannot be read.
    TimeUnreadable,
    /// The hull identification number has not the form of ISO 10087.
    HullNumberForm {
        /// What does not fit.
        why: String,
    },
    /// Two statements of one device carry one count: a copy of the device has written.
    DeviceCopied {
        /// The device.
        device: Id,
        /// The count.
        count: u64,
    },
    /// A quantity is negative where none can be.
    Negative,
    /// A relative moisture scale was entered as per cent, or a percentage has no species.
    MoistureScale,
    /// More than one boat is named in the log; the first counts.
    SecondBoat,
    /// Figures are disputed; the value with the lowest id counts.
    DisputedFigure,
    /// More of a purchase was used, returned or disposed of than was bought.
    StockShort {
        /// How much more.
        by: String,
    },
}

impl fmt::Display for Oddity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable { why } => write!(f, "cannot be read as a statement and is kept as it is ({why})"),
            Self::StrangeKey { key } => write!(f, "stands under {key:?}, which is no id, and is kept as it is"),
            Self::Twins => f.write_str("two different texts stand under this id; both are kept, the lower one is shown"),
            Self::OtherLog { log, n_statements } => write!(f, "{n_statements} statements belong to another log ({log}) and are kept apart"),
            Self::UnknownKind { kind } => write!(f, "is of the kind {kind:?}, which a later version wrote; it is kept as it is"),
            Self::UnknownForm => f.write_str("has a form that this version does not know; it is kept as it is"),
            Self::TargetMissing { target } => write!(f, "names {target}, which has not arrived yet"),
            Self::TargetNoEntry { target } => write!(f, "is about {target}, which is no entry, and does nothing"),
            Self::AmendedWhileStruck => f.write_str("was amended by a hand that had not seen it struck, or after it was struck"),
            Self::HangsOnStruck { target } => write!(f, "hangs on {target}, which is struck"),
            Self::PlaceCircle => f.write_str("lies within itself by way of other places; it is shown at the root"),
            Self::WaitingCircle => f.write_str("waits for itself by way of other steps"),
            Self::StintsOverlap { with } => write!(f, "overlaps {with} of the same person; both count as written"),
            Self::EndBeforeStart => f.write_str("ends before it starts and counts no hours"),
            Self::HappenedAfterWritten => f.write_str("is said to have happened after it was written"),
            Self::Late { days } => write!(f, "was written {days} days after it happened"),
            Self::TimeUnreadable => f.write_str("has a time that cannot be read"),
            Self::HullNumberForm { why } => write!(f, "has not the form of ISO 10087 ({why}); it is kept as it is"),
            Self::DeviceCopied { device, count } => write!(f, "has the same count {count} of device {device} as another statement: a copy of the device has written"),
            Self::Negative => f.write_str("is negative"),
            Self::MoistureScale => {
                f.write_str("is a moisture reading in per cent without a timber species; a per cent figure holds for bare wood of a known species only, and a relative scale is no percentage")
            }
            Self::SecondBoat => f.write_str("names a second boat in this log; the first one counts"),
            Self::DisputedFigure => f.write_str("is disputed; the value with the lowest id counts until one is chosen"),
            Self::StockShort { by } => write!(f, "was used, returned or disposed of by {by} more than was bought"),
        }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(about) = self.about {
            write!(f, "{about} ")?;
        }
        if let Some(field) = &self.field {
            write!(f, "({field}) ")?;
        }
        write!(f, "{}", self.oddity)
    }
}
