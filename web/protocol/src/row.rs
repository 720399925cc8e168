//! The rows of the log's page.

use serde::{Deserialize, Serialize};

/// A window of rows, newest first by when things happened.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rows {
    /// The rows; the page groups them by the day in [`Row::happened`].
    pub rows: Vec<Row>,
    /// How many rows the filter lets through altogether.
    pub n_all: u32,
    /// How many were passed over before the first.
    pub skip: u32,
}

/// One entry as a row.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Row {
    /// The entry.
    pub id: String,
    /// Its kind as the log writes it: `finding`, `reading`, …
    pub kind: String,
    /// Its kind in words, with a capital: "Finding".
    pub kind_word: String,
    /// When it happened, ISO 8601, perhaps reduced.
    pub happened: String,
    /// When it was written, ISO 8601 in UTC.
    pub written: String,
    /// Whether it was written more than a day after it happened.
    pub is_late: bool,
    /// The name of the hand.
    pub hand: String,
    /// What there is to read first; never blank.
    pub headline: String,
    /// More words; may be blank.
    pub detail: String,
    /// A value that is the news, set large before the headline.
    pub figure: Option<Figure>,
    /// The place with its path.
    pub place: Option<PlaceRef>,
    /// The finding to which it belongs.
    pub finding: Option<Ref>,
    /// The repair to which it belongs.
    pub repair: Option<Ref>,
    /// How far it has come, for findings and photographs: 0 (not applicable) to 5 (finished).
    pub strokes: u8,
    /// A finding's standing in words; blank otherwise.
    pub standing: String,
    /// Photographs, in the order taken; those shot in one go share a row.
    pub thumbs: Vec<Thumb>,
    /// Whether it is struck.
    pub is_struck: bool,
    /// Whether two hands differ on one of its fields.
    pub is_disputed: bool,
    /// Whether it was amended.
    pub is_amended: bool,
    /// Whether it is durable here; true for every row that the keeper sends.
    pub is_saved: bool,
    /// The other devices that are known to have it ("Ben's laptop"); may be empty.
    pub also_on: Vec<String>,
}

/// A value set large.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figure {
    /// "34.5", "> 40", "dull", "yes".
    pub value: String,
    /// "%", "mm"; blank when there is none.
    pub unit: String,
    /// Instrument, mode, spot.
    pub note: String,
}

/// A place with its path.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceRef {
    /// The place.
    pub id: String,
    /// Names from the outermost to the place itself; at least one.
    pub path: Vec<String>,
}

/// Something with an id and a name to show.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ref {
    /// The entry (or device).
    pub id: String,
    /// Its name or headline.
    pub title: String,
}

/// A photograph in a row.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Thumb {
    /// The photograph's entry.
    pub entry: String,
    /// The original's digest, to ask for the picture with.
    pub digest: String,
    /// What it shows, for those who cannot see it; never blank.
    pub alt: String,
    /// `found` … `finished`, blank when not said.
    pub stage: String,
    /// Whether a thumbnail is on this device.
    pub is_here: bool,
    /// Whether it is a drawing and not a photograph.
    pub is_drawing: bool,
}
