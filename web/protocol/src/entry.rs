//! One entry whole, ready to show.

use serde::{Deserialize, Serialize};

use crate::row::{Figure, PlaceRef, Ref, Row};
use crate::work::LackLine;

/// Everything the page of an entry shows.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct EntryView {
    /// The entry.
    pub id: String,
    /// Its kind as the log writes it.
    pub kind: String,
    /// Its kind in words.
    pub kind_word: String,
    /// The heading; never blank.
    pub title: String,
    /// When it happened.
    pub happened: String,
    /// When it was written.
    pub written: String,
    /// Whether it was written more than a day after it happened.
    pub is_late: bool,
    /// The name of the hand.
    pub hand: String,
    /// The name of the device.
    pub device: String,
    /// The place with its path.
    pub place: Option<PlaceRef>,
    /// A value set large (readings, materials, costs).
    pub figure: Option<Figure>,
    /// How a finding or repair stands; worked out, never typed in.
    pub standing: Option<Standing>,
    /// The fields that have a value, in reading order.
    pub values: Vec<Value>,
    /// Pictures: of a photograph itself, or those that belong to the entry, in the order taken.
    pub pictures: Vec<PictureView>,
    /// The sound of a sound note.
    pub sound: Option<SoundView>,
    /// What belongs with it: the repair of a finding, the way in, what it waits for.
    pub links: Vec<Link>,
    /// What was said about it, oldest first: the entry itself, amendments, choices, strikes, lifts.
    pub history: Vec<HistoryLine>,
    /// The fields on which hands differ; empty when none.
    pub disputes: Vec<Dispute>,
    /// The strikes that hold, oldest first.
    pub strikes: Vec<StrikeView>,
    /// Whether it is struck.
    pub is_struck: bool,
    /// Every strike and lift known, for [`Strike::sees`](crate::Strike) and [`Lift::sees`](crate::Lift).
    pub sees: Vec<String>,
    /// What hangs on it, newest first: readings and photographs of a finding, steps of a repair, …
    pub children: Vec<Row>,
    /// For a repair: what closing up would hide without a record; empty otherwise.
    pub lacks: Vec<LackLine>,
    /// Cautions that belong beside it.
    pub cautions: Vec<String>,
    /// What is odd about it, in words.
    pub remarks: Vec<String>,
    /// The SHA-256 of its statement's text.
    pub digest: String,
    /// The other devices that are known to have it.
    pub also_on: Vec<String>,
}

/// A field with its value.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Value {
    /// The field's name in the log.
    pub field: String,
    /// Its name in words: "Observed".
    pub label: String,
    /// The value ready to show.
    pub shown: String,
    /// The value as JSON text, for editing.
    pub raw: String,
    /// How it is to be read.
    pub manner: Manner,
    /// The entry that the value names, when it is one.
    pub link: Option<String>,
    /// The statements whose value stands; give them back in [`Amend::sees`](crate::Amend).
    pub sees: Vec<String>,
    /// Whether it was amended.
    pub is_amended: bool,
    /// Whether hands differ on it; `shown` is then the value with the lowest id.
    pub is_disputed: bool,
}

/// How a value is to be read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Manner {
    /// A plain value.
    #[default]
    Plain,
    /// What was seen or measured.
    Observed,
    /// What is supposed; set apart (italics).
    Supposed,
}

/// How a finding or a repair stands.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Standing {
    /// "open", "in hand", "repaired but not tested", …
    pub word: String,
    /// What is missing or follows, in words; may be blank.
    pub detail: String,
    /// How far the photographs show it: 0 to 5 strokes.
    pub strokes: u8,
    /// Whether it counts among the open ones.
    pub is_open: bool,
}

/// A picture on an entry's page.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PictureView {
    /// The photograph's entry.
    pub entry: String,
    /// The original's digest.
    pub digest: String,
    /// `found` … `finished`, blank when not said.
    pub stage: String,
    /// When it was taken.
    pub happened: String,
    /// What it shows, never blank.
    pub alt: String,
    /// Whether a view or thumbnail is here.
    pub is_here: bool,
    /// Whether the original is here.
    pub has_original: bool,
    /// Why there is no smaller picture, in words (a format that cannot be decoded); blank otherwise.
    pub trouble: String,
    /// Whether it is a drawing and not a photograph.
    pub is_drawing: bool,
    /// Pixels of the upright picture; 0 when unknown.
    pub width: u32,
    /// Pixels of the upright picture; 0 when unknown.
    pub height: u32,
    /// The earlier photograph that it answers, for a pair from the same view.
    pub answers: Option<Box<Self>>,
    /// The spots that it shows as the earlier one does; empty when none are set.
    pub same_spots: Vec<u64>,
    /// Whether it is struck.
    pub is_struck: bool,
    /// The marks drawn on it, in the order in which they were drawn; struck ones too.
    pub marks: Vec<MarkView>,
}

/// The sound of a sound note.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SoundView {
    /// Its digest.
    pub digest: String,
    /// Whether its bytes are here.
    pub is_here: bool,
    /// Whether its bytes were withdrawn.
    pub is_withdrawn: bool,
}

/// A mark drawn on a picture.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct MarkView {
    /// The mark's entry.
    pub entry: String,
    /// `arrow`, `outline`, `line`, `number`, `words`, or a shape of later software.
    pub shape: String,
    /// Its points in thousandths of the upright picture's width and height: x, y, x, y, …
    pub points: Vec<u32>,
    /// Its number or words; may be blank.
    pub words: String,
    /// The statements whose points stand; give them back in [`Amend::sees`](crate::Amend).
    pub sees: Vec<String>,
    /// Whether hands differ on it.
    pub is_disputed: bool,
    /// Whether it is struck.
    pub is_struck: bool,
}

/// Something that belongs with the entry.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Link {
    /// What it is to the entry: "Repair", "Way in", "Waits for".
    pub label: String,
    /// The other entry.
    pub to: Ref,
    /// "seen", "likely", how it stands; may be blank.
    pub note: String,
}

/// One line of an entry's history.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct HistoryLine {
    /// The statement.
    pub statement: String,
    /// "Written", "Amended", "Chosen", "Struck", "Strike lifted".
    pub deed: String,
    /// The field in words; blank when the whole entry is meant.
    pub label: String,
    /// The value or the reason; may be blank.
    pub shown: String,
    /// The name of the hand.
    pub hand: String,
    /// The name of the device.
    pub device: String,
    /// When it was written.
    pub written: String,
    /// Whether a later statement took its place.
    pub is_replaced: bool,
}

/// A field on which hands differ.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dispute {
    /// The field's name in the log.
    pub field: String,
    /// Its name in words.
    pub label: String,
    /// Every value, lowest statement first; at least two.
    pub values: Vec<DisputeValue>,
}

/// One of the values in a dispute.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DisputeValue {
    /// The statement that says so.
    pub statement: String,
    /// The value ready to show.
    pub shown: String,
    /// The value as JSON text.
    pub raw: String,
    /// The name of the hand.
    pub hand: String,
    /// The name of the device.
    pub device: String,
    /// When it was written.
    pub written: String,
}

/// A strike that holds.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct StrikeView {
    /// The statement.
    pub statement: String,
    /// Why; may be blank.
    pub why: String,
    /// The name of the hand.
    pub hand: String,
    /// When it was written.
    pub written: String,
}
