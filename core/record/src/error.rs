//! What can go wrong when something is said or read.

use crate::kind::Kind;

/// Why a value or a statement was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// When a text is not an id; give the id as `garboard show` prints it.
    #[error("an id is 36 characters like 019a2b3c-…, found {found:?}")]
    Id {
        /// What was found.
        found: String,
    },
    /// When a text is not a SHA-256; give 64 hexadecimal digits.
    #[error("a digest is 64 hexadecimal digits, found {found:?}")]
    Digest {
        /// What was found.
        found: String,
    },
    /// When a number cannot be read or is too long to be kept exactly.
    #[error("a number was expected, found {found:?}: {mend}")]
    Number {
        /// What was found.
        found: String,
        /// How to mend it.
        mend: &'static str,
    },
    /// When a date or time cannot be read.
    #[error(
        "a date like 2026-05-09 or a time like 2026-05-09T14:22:00+02:00 was expected, found {found:?}: {mend}"
    )]
    When {
        /// What was found.
        found: String,
        /// How to mend it.
        mend: &'static str,
    },
    /// When a currency or its amount cannot be read.
    #[error("money is an amount and a three-letter currency like EUR, found {found:?}")]
    Money {
        /// What was found.
        found: String,
    },
    /// When a text is not JSON or not an object of fields.
    #[error("the fields of a {kind} are one JSON object: {found}")]
    NotFields {
        /// The kind that was to be written.
        kind: Kind,
        /// What the reader says.
        found: String,
    },
    /// When a field is not one of the kind's.
    #[error("a {kind} has no field {field:?}{hint}")]
    NoSuchField {
        /// The kind.
        kind: Kind,
        /// The field that was found.
        field: String,
        /// A near name or the list of names.
        hint: String,
    },
    /// When a field's value does not fit.
    #[error("{kind}, field {field:?}: {found}")]
    Field {
        /// The kind.
        kind: Kind,
        /// The field.
        field: String,
        /// What does not fit, and how to mend it.
        found: String,
    },
    /// When a field that the kind cannot do without is missing.
    #[error("a {kind} needs its field {field:?}: {help}")]
    Needed {
        /// The kind.
        kind: Kind,
        /// The field.
        field: String,
        /// What the field is for.
        help: String,
    },
    /// When a kind is not known to this version.
    #[error("there is no kind {found:?}; the kinds are: {kinds}")]
    NoSuchKind {
        /// What was found.
        found: String,
        /// All kinds.
        kinds: String,
    },
    /// When a text is not a statement.
    #[error("not a statement: {found}")]
    NotStatement {
        /// What does not fit.
        found: String,
    },
    /// When an entry that is named is not in the log.
    #[error("there is no entry {id} in this log")]
    NoSuchEntry {
        /// The id that was named.
        id: crate::Id,
    },
    /// When an id names an entry of another kind than the field wants.
    #[error("{kind}, field {field:?}: {id} is a {found}, where a {wanted} is wanted")]
    WrongTarget {
        /// The kind being written.
        kind: Kind,
        /// The field.
        field: String,
        /// The id.
        id: crate::Id,
        /// What it is.
        found: String,
        /// What it should be.
        wanted: String,
    },
}
