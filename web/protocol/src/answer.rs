//! What the keeper answers.

use serde::{Deserialize, Serialize};

use crate::ask::PictureSize;
use crate::entry::{Dispute, EntryView, PictureView};
use crate::form::Choices;
use crate::row::{PlaceRef, Ref, Rows};
use crate::share::{DeviceCard, DossierMade, DossierSeen, ParcelMade, Received};
use crate::work::{Checked, WorkView};

/// The answers; each ask's doc says which one it gets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// Page and keeper are of one build.
    Hello(Box<Hello>),
    /// The logs on this device, last written first; may be empty.
    Logs(Vec<LogCard>),
    /// A log is open.
    Opened(Box<Opened>),
    /// Done; there is nothing to show.
    Done,
    /// A window of the log's page.
    Rows(Rows),
    /// One entry.
    Entry(Box<EntryView>),
    /// Places in reading order: a parent, then its children; depth in each line.
    Places(Vec<PlaceLine>),
    /// The boat's plan.
    Plan(PlanView),
    /// Where the person works now.
    WorkingAt(WorkingAt),
    /// The running stints, oldest first.
    Stints(Vec<RunningStint>),
    /// Durably written: only now may a screen say *saved on this phone*.
    Saved(Saved),
    /// The picture, its bytes are `files[0]`; `None` when this device has not got it in that size.
    Picture(Option<PictureGiven>),
    /// The earlier and the later picture in one frame, `files[0]` and `files[1]`; or why not, in words.
    Laid(Option<String>),
    /// Spots that both pictures show, as `same_spots`; or why none are certain, in words.
    Spots(Result<Vec<u64>, String>),
    /// What pictures are that may be taken in, in the order of the files.
    Looked(Vec<Looked>),
    /// The devices that write in this log; this one first.
    Devices(Vec<DeviceCard>),
    /// A parcel; its parts are `files`, in the order of [`ParcelMade::names`].
    Parcel(ParcelMade),
    /// What a parcel brought.
    Received(Received),
    /// The dossier; the document is `files[0]`, and its further volumes come after it.
    Dossier(DossierMade),
    /// What a dossier would say.
    Seen(Box<DossierSeen>),
    /// What forms are made of.
    Choices(Box<Choices>),
    /// How full the storage is.
    Storage(StorageState),
    /// Repairs, what is open, hours, costs and upkeep.
    Work(Box<WorkView>),
    /// What a check found.
    Checked(Checked),
    /// The fields on which hands differ, all of them.
    Differences(Vec<Difference>),
}

/// The keeper's greeting.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hello {
    /// The keeper's build, equal to the page's.
    pub build: String,
    /// The log that was open last time, open again now.
    pub opened: Option<Opened>,
    /// Whether this tab may write; see [`Report::Writer`](crate::Report::Writer).
    pub is_writer: bool,
}

/// A log on this device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LogCard {
    /// The log.
    pub log: String,
    /// The boat's name.
    pub boat: String,
    /// Who writes in it on this device.
    pub hand: String,
    /// When something was last written here, ISO 8601.
    pub written: String,
    /// How many statements.
    pub n_statements: u32,
    /// Whether it is the demonstration boat.
    pub is_demo: bool,
}

/// The heading of the open log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    /// The log.
    pub log: String,
    /// The boat's name.
    pub boat: String,
    /// The entry with the boat's particulars, for its page.
    pub boat_entry: Option<String>,
    /// Who writes here.
    pub hand: HandCard,
    /// This device's id and name.
    pub device: Ref,
    /// Where the person works.
    pub working_at: WorkingAt,
    /// The running stints, oldest first.
    pub stints: Vec<RunningStint>,
    /// How many statements.
    pub n_statements: u32,
    /// How many fields on which hands differ.
    pub n_disputes: u32,
    /// How many statements of this device are known to no other device.
    pub n_alone: u32,
    /// When this device last made a parcel of the log; blank when it never did.
    pub last_sent: String,
    /// The units in which amounts are shown: `metric`, `us`, or blank for as entered.
    pub units: String,
    /// What is odd in the log, in words; the first 50.
    pub remarks: Vec<String>,
    /// Whether it is the demonstration boat.
    pub is_demo: bool,
}

/// A field on which hands differ, with its entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Difference {
    /// The entry.
    pub entry: Ref,
    /// Its kind in words.
    pub kind_word: String,
    /// Its place.
    pub place: Option<PlaceRef>,
    /// The field and its values.
    pub dispute: Dispute,
}

/// A hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandCard {
    /// The hand.
    pub id: String,
    /// The name as the person wrote it.
    pub name: String,
}

/// One line of the places' tree.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceLine {
    /// The place.
    pub id: String,
    /// Its name.
    pub name: String,
    /// 0 for the outermost.
    pub depth: u32,
    /// The place around it.
    pub parent: Option<String>,
    /// The side as a word (`port`, …), blank when none is given.
    pub side: String,
    /// Open findings here and within.
    pub n_open: u32,
    /// All findings here and within.
    pub n_findings: u32,
    /// Photographs here and within.
    pub n_photographs: u32,
    /// What was never examined, or could not be reached, in words; blank otherwise.
    pub unseen: String,
    /// Whether the place is struck.
    pub is_struck: bool,
}

/// The boat's plan.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanView {
    /// The length overall in millimetres; 0 when it is not known.
    pub length_mm: i64,
    /// The beam in millimetres; 0 when it is not known.
    pub beam_mm: i64,
    /// The picture that serves as the plan.
    pub picture: Option<PictureView>,
    /// The places, numbered in reading order.
    pub pins: Vec<PlanPin>,
}

/// A place on the plan.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanPin {
    /// The place.
    pub place: Ref,
    /// Its number.
    pub number: u32,
    /// Millimetres aft of the stem head; `None` when it is not known.
    pub along_mm: Option<i64>,
    /// Millimetres to starboard of the centreline; to port it is negative.
    pub across_mm: i64,
    /// Where it is pinned on the picture: thousandths of its width and of its height.
    pub at: Option<(u32, u32)>,
    /// Open findings here and within.
    pub n_open: u32,
}

/// The *working at* strip.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkingAt {
    /// The place with its path.
    pub place: Option<PlaceRef>,
    /// The open finding.
    pub finding: Option<Ref>,
    /// The repair.
    pub repair: Option<Ref>,
    /// How far the finding has come, 0 (nothing) to 5 (finished).
    pub strokes: u8,
}

/// A stint that runs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RunningStint {
    /// The stint.
    pub id: String,
    /// Who works.
    pub hand: String,
    /// Since when, ISO 8601 with offset.
    pub start: String,
    /// Since when, in milliseconds since 1970, for a running display.
    pub start_millis: i64,
    /// On what.
    pub repair: Option<Ref>,
    /// Whether it is this device's hand.
    pub is_mine: bool,
}

/// What was written durably.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Saved {
    /// The statements, in the order of what was asked.
    pub deeds: Vec<Deed>,
    /// What is odd in what was said, in words (it is saved all the same).
    pub remarks: Vec<String>,
}

/// One statement written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Deed {
    /// The statement's id.
    pub id: String,
    /// The entry that a screen should show: the new one, or the one that something was said about.
    pub entry: String,
    /// Whether a photograph's bytes were in the log already and were not stored twice.
    pub is_repeat: bool,
}

/// A file that may be taken in as a picture.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Looked {
    /// The file's name.
    pub name: String,
    /// Its size in bytes.
    pub n_bytes: u64,
    /// When it was taken by the camera's own clock, ISO 8601, without a zone where the camera noted none; blank when it
    /// does not say.
    pub taken: String,
    /// The entry that has the same bytes already.
    pub known: Option<String>,
    /// The position of an earlier file with the same bytes.
    pub twin_of: Option<u32>,
    /// Why it cannot be taken in, in words; blank when it can.
    pub refused: String,
}

/// A picture in `files[0]`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PictureGiven {
    /// The original's digest, as asked.
    pub digest: String,
    /// The size that was found: the one asked for or, when that is not here, the next smaller one.
    pub size: PictureSize,
    /// The bytes' media type.
    pub media_type: String,
}

/// How full this device's storage is, as the browser estimates it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StorageState {
    /// Bytes in use.
    pub used: u64,
    /// Bytes the browser allows; 0 when it does not say.
    pub allowed: u64,
    /// Whether the browser promised not to clear it by itself.
    pub is_persisted: bool,
}
