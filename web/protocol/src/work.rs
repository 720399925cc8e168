//! What is open, what was spent and what falls due; and what a check found.

use serde::{Deserialize, Serialize};

use crate::row::{PlaceRef, Ref};

/// The *Work* page: worked out from the log, never typed in.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkView {
    /// Mixes and coats whose time runs.
    pub windows: Vec<WindowLine>,
    /// Steps that can be done now, repair by repair.
    pub ready: Vec<StepLine>,
    /// Steps that wait for something, repair by repair.
    pub waiting: Vec<StepLine>,
    /// Material that is needed and was not bought yet.
    pub short: Vec<ShortLine>,
    /// Hours that ended today, by person.
    pub today: Vec<Sum>,
    /// Repairs that are not struck, the unfinished first, then newest first.
    pub repairs: Vec<RepairLine>,
    /// Findings that stand open, the most urgent first.
    pub open: Vec<OpenLine>,
    /// Upkeep, what falls due first at the top.
    pub upkeep: Vec<UpkeepLine>,
    /// All hours, exact, as printed ("20.75"); blank when there are none.
    pub hours: String,
    /// Hours by person ("Ada", "15.25"); their sum is `hours`.
    pub hours_by_person: Vec<Sum>,
    /// What was spent, one line a currency ("EUR", "236.25"); empty when nothing was.
    pub spent: Vec<Sum>,
}

/// A repair as a line.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct RepairLine {
    /// The repair.
    pub repair: Ref,
    /// Where; `None` when it says nothing of it.
    pub place: Option<PlaceRef>,
    /// How it stands, in words.
    pub standing: String,
    /// What is missing before it can be called good, in words; may be blank.
    pub detail: String,
    /// How far its photographs have come, 0 to 5.
    pub strokes: u8,
    /// Whether it is not finished yet.
    pub is_open: bool,
    /// Steps that are not struck.
    pub n_steps: u32,
    /// Those of them that are done.
    pub n_done: u32,
    /// Hours, exact, as printed; blank when there are none.
    pub hours: String,
    /// What was spent on it, one line a currency.
    pub spent: Vec<Sum>,
    /// The hours and the money that were estimated, in words; blank when there is no estimate.
    pub estimate: String,
}

/// A step as a line.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepLine {
    /// The step.
    pub step: Ref,
    /// Its repair.
    pub repair: Ref,
    /// What it waits for, and where its hold point stands, in words; empty when nothing keeps it.
    pub waits: Vec<String>,
}

/// A mix or a coat whose time runs.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WindowLine {
    /// The batch or the step.
    pub entry: Ref,
    /// Whether it is a mix with its pot life; else a coat that waits for the next one.
    pub is_mix: bool,
    /// From when on, in milliseconds since 1970.
    pub opens: Option<i64>,
    /// Until when, in milliseconds since 1970.
    pub closes: Option<i64>,
}

/// Material that is still to be bought.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShortLine {
    /// The entry that needs it.
    pub material: Ref,
    /// How much: "2.5 kg".
    pub amount: String,
}

/// Something that closing up would hide without a record.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LackLine {
    /// In words: "no photograph of “Wet core” as opened".
    pub words: String,
    /// The kind of entry that would mend it: `photograph`, `reading`, `test`, or `step` for an open hold point.
    pub kind: String,
    /// The finding, repair or step that lacks it.
    pub of: Ref,
    /// The stage of the photograph; blank otherwise.
    pub stage: String,
}

/// An open finding as a line.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenLine {
    /// The finding.
    pub finding: Ref,
    /// Where.
    pub place: Option<PlaceRef>,
    /// Its urgency in words; blank when it has none.
    pub urgency: String,
    /// How it stands, in words.
    pub standing: String,
    /// How far its photographs have come, 0 to 5.
    pub strokes: u8,
}

/// Upkeep as a line.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct UpkeepLine {
    /// The upkeep.
    pub upkeep: Ref,
    /// Where.
    pub place: Option<PlaceRef>,
    /// When next, ISO 8601, perhaps reduced; blank when it is not known.
    pub next: String,
    /// How often, in words; may be blank.
    pub every: String,
    /// Whether `next` has come.
    pub is_due: bool,
}

/// A total: what it is of, and the exact figure as printed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sum {
    /// A person, or a currency.
    pub of: String,
    /// The figure.
    pub figure: String,
}

/// What a check of the open log, or of a file, found.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Checked {
    /// What was checked and how, in a sentence.
    pub says: String,
    /// How many statements were read and agree with their digests.
    pub n_statements: u32,
    /// How many pictures' bytes agree with their names.
    pub n_pictures: u32,
    /// Whether nothing is altered, cut short or missing.
    pub is_intact: bool,
    /// What is altered, cut short or missing, in words.
    pub faults: Vec<String>,
    /// What is no fault and must be known, a sentence each.
    pub remarks: Vec<String>,
}
