//! What is said about entries: amendments, choices, strikes, lifts and withdrawals.

use serde_json::Value;

use super::kinds;
use crate::Id;
use crate::id::Digest;
use crate::shape::Shape;

kinds! {
    /// Replaces one field of an entry, naming every statement of that field that its hand had seen.
    Amendment, needs("entry", "field", "value", "sees") {
        /// The entry.
        entry: Option<Id> = Shape::Entry(&[]);
        /// The field.
        field: Option<String> = Shape::Text;
        /// Its new value; null takes the field away.
        value: Option<Value> = Shape::Any;
        /// The statements of this field that were seen: the entry itself and its amendments.
        sees: Vec<Id> = Shape::Statements;
        /// Why.
        reason: Option<String> = Shape::Text;
    }

    /// Chooses between values of a field that two hands wrote differently: an amendment with a reason.
    Choice, needs("entry", "field", "value", "sees") {
        /// The entry.
        entry: Option<Id> = Shape::Entry(&[]);
        /// The field.
        field: Option<String> = Shape::Text;
        /// The value that was chosen.
        value: Option<Value> = Shape::Any;
        /// The statements of this field that were seen.
        sees: Vec<Id> = Shape::Statements;
        /// The statement whose value was chosen.
        chosen: Option<Id> = Shape::Entry(&[]);
        /// Why.
        reason: Option<String> = Shape::Text;
    }

    /// Withdraws an entry as in a paper logbook: it stays legible, struck through.
    Strike, needs("entry") {
        /// The entry.
        entry: Option<Id> = Shape::Entry(&[]);
        /// The statements about the entry that were seen.
        sees: Vec<Id> = Shape::Statements;
        /// Why.
        why: Option<String> = Shape::Prose;
    }

    /// Takes strikes back.
    Lift, needs("entry", "sees") {
        /// The entry.
        entry: Option<Id> = Shape::Entry(&[]);
        /// The strikes that it takes back.
        sees: Vec<Id> = Shape::Statements;
        /// Why.
        why: Option<String> = Shape::Prose;
    }

    /// Withdraws the bytes of a photograph or sound note; its statement and digest stay.
    Withdrawal, needs("digest", "why") {
        /// The SHA-256 of the bytes.
        digest: Option<Digest> = Shape::Digest;
        /// The photograph or sound note.
        entry: Option<Id> = Shape::Entry(&["photograph", "sound-note", "paper"]);
        /// Why.
        why: Option<String> = Shape::Prose;
    }
}
