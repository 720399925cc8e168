//! What forms are made of: kinds, their fields, and what can be chosen.

use serde::{Deserialize, Serialize};

/// All that a capture or an amendment can choose from.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choices {
    /// One form a kind that a person can write, the commonest first.
    pub forms: Vec<Form>,
    /// The places, in reading order, with their paths.
    pub places: Vec<Choice>,
    /// The findings that stand open, newest first.
    pub findings: Vec<Choice>,
    /// The repairs that are not finished, newest first.
    pub repairs: Vec<Choice>,
    /// The instruments.
    pub instruments: Vec<Choice>,
    /// The people.
    pub people: Vec<Choice>,
    /// The hands that write in this log.
    pub hands: Vec<Choice>,
    /// What a reading can be of: `pin moisture`, `thickness`, … with the usual unit as a note.
    pub quantities: Vec<Choice>,
    /// Units, the commonest first.
    pub units: Vec<Choice>,
    /// The five stages of a photograph, in order.
    pub stages: Vec<Choice>,
}

/// The form of one kind.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Form {
    /// The kind as the log writes it.
    pub kind: String,
    /// In words: "Finding".
    pub title: String,
    /// Its fields in reading order.
    pub fields: Vec<FormField>,
}

/// A field of a form.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct FormField {
    /// The name in the log: the key in [`Say::fields`](crate::Say).
    pub name: String,
    /// In words.
    pub label: String,
    /// What belongs here, in a sentence; may be blank.
    pub hint: String,
    /// How it is entered.
    pub input: Input,
    /// What can be chosen, for [`Input::OneOf`] and [`Input::SeveralOf`].
    pub choices: Vec<Choice>,
    /// Whether it is shown at once; the others open on request.
    pub is_first: bool,
    /// Whether the kind cannot do without it (record's `Field::needed`); such a field is shown at
    /// once as well.
    pub is_needed: bool,
}

/// How a field is entered, and the JSON that it makes.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Input {
    /// A line of words: a JSON string.
    #[default]
    Line,
    /// Several lines of words: a JSON string.
    Words,
    /// A decimal: a JSON string of digits with a point.
    Decimal,
    /// A whole number: a JSON number.
    Whole,
    /// A value with a unit: `{"unit":"mm","value":"12.7"}`, with `"entered"` as the person typed it
    /// where that differs.
    Quantity {
        /// Units that make sense here, the commonest first; may be empty.
        units: Vec<String>,
    },
    /// A date or time: a JSON string, ISO 8601, perhaps reduced.
    When,
    /// A JSON `true` or `false`.
    YesNo,
    /// One of the choices: the choice's [`Choice::raw`].
    OneOf,
    /// Several of the choices: a JSON array of their [`Choice::raw`].
    SeveralOf,
    /// An entry of one of these kinds: its id as a JSON string.
    EntryOf {
        /// The kinds.
        kinds: Vec<String>,
    },
    /// Entries of these kinds: a JSON array of ids.
    EntriesOf {
        /// The kinds.
        kinds: Vec<String>,
    },
    /// Several lines, each a JSON string of an array.
    Lines,
    /// An amount of money: `{"amount":"93.60","currency":"EUR"}`.
    Money,
    /// A list of small things with the same few parts (engines, layers, lots of a batch): a JSON
    /// array of objects, each with those of the columns that were filled in.
    Table {
        /// The parts; none of them is a table itself.
        columns: Vec<FormField>,
    },
    /// Anything else: JSON text, for those who know.
    Json,
}

/// Something to choose.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choice {
    /// The value as JSON text (`"wet core"` with its quotation marks).
    pub raw: String,
    /// In words.
    pub label: String,
    /// More in words: a place's path, a usual unit; may be blank.
    pub note: String,
}
