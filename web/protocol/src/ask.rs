//! What the page asks of the keeper.

use serde::{Deserialize, Serialize};

/// One ask with the number by which its answer is known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Asked {
    /// Chosen by the page, different for every ask of a session.
    pub number: u32,
    /// What is asked.
    pub ask: Ask,
}

/// What the page can ask; each line names the answer that comes back when all goes well.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ask {
    /// The first message of a session -> [`Answer::Hello`](crate::Answer::Hello).
    Hello {
        /// The page's build.
        build: String,
    },
    /// The logs on this device -> [`Answer::Logs`](crate::Answer::Logs).
    Logs,
    /// Begins a log and opens it -> [`Answer::Opened`](crate::Answer::Opened).
    Begin {
        /// The boat's name, any Unicode, not blank.
        boat: String,
        /// Who writes on this device, not blank.
        hand: String,
        /// What the person calls this device ("Ada's phone"); blank for the keeper's own word.
        device: String,
    },
    /// Opens a log of this device -> [`Answer::Opened`](crate::Answer::Opened).
    Open {
        /// As given by [`Ask::Logs`].
        log: String,
    },
    /// Makes the demonstration boat if need be and opens it
    /// -> [`Answer::Opened`](crate::Answer::Opened), with progress.
    OpenDemo,
    /// Closes the open log; nothing is lost -> [`Answer::Done`](crate::Answer::Done).
    Leave,
    /// The open log's heading again -> [`Answer::Opened`](crate::Answer::Opened).
    Overview,
    /// A window of the log's page, newest first -> [`Answer::Rows`](crate::Answer::Rows).
    Rows {
        /// Which rows.
        filter: Filter,
        /// How far down.
        window: Window,
    },
    /// One entry whole -> [`Answer::Entry`](crate::Answer::Entry).
    Entry {
        /// The entry.
        id: String,
    },
    /// All places, as a tree in reading order -> [`Answer::Places`](crate::Answer::Places).
    Places,
    /// The plan with its pins -> [`Answer::Plan`](crate::Answer::Plan).
    Plan,
    /// Puts a place on the plan, in one change -> [`Answer::Saved`](crate::Answer::Saved).
    Pin {
        /// The place.
        place: String,
        /// Millimetres aft of the stem head.
        along_mm: i64,
        /// Millimetres to starboard of the centreline; to port it is negative.
        across_mm: i64,
    },
    /// Pins a place on the picture that serves as the plan -> [`Answer::Saved`](crate::Answer::Saved).
    PinOnPicture {
        /// The place.
        place: String,
        /// Thousandths of the picture's width from the left.
        right: u32,
        /// Thousandths of its height from the top.
        down: u32,
    },
    /// A photograph or drawing serves as the boat's plan from now on -> [`Answer::Saved`](crate::Answer::Saved).
    UseAsPlan {
        /// The photograph.
        photograph: String,
    },
    /// Sets where the person works; kept between days -> [`Answer::WorkingAt`](crate::Answer::WorkingAt).
    WorkAt(WorkAt),
    /// Sets the units in which amounts are shown, `metric`, `us` or blank for as entered
    /// -> [`Answer::Done`](crate::Answer::Done).
    Units {
        /// Which.
        units: String,
    },
    /// The running stints -> [`Answer::Stints`](crate::Answer::Stints).
    Stints,
    /// Starts a stint of this hand, at the *working at* place and repair
    /// -> [`Answer::Saved`](crate::Answer::Saved).
    StartStint,
    /// Stops a running stint now -> [`Answer::Saved`](crate::Answer::Saved).
    StopStint {
        /// The stint.
        id: String,
    },
    /// Says that a step is done now -> [`Answer::Saved`](crate::Answer::Saved).
    FinishStep {
        /// The step.
        id: String,
    },
    /// Says the same again, now: the next coat, another batch, more of a material
    /// -> [`Answer::Saved`](crate::Answer::Saved).
    Again {
        /// The entry that is repeated.
        id: String,
    },
    /// Moves entries to another place, all or none -> [`Answer::Saved`](crate::Answer::Saved).
    Move {
        /// The entries.
        entries: Vec<String>,
        /// The place.
        place: String,
    },
    /// Adds an entry -> [`Answer::Saved`](crate::Answer::Saved), sent only after the durable write.
    Say(Say),
    /// Replaces one field -> [`Answer::Saved`](crate::Answer::Saved).
    Amend(Amend),
    /// Settles a dispute -> [`Answer::Saved`](crate::Answer::Saved).
    Choose(Choose),
    /// Strikes an entry -> [`Answer::Saved`](crate::Answer::Saved).
    Strike(Strike),
    /// Lifts an entry's strikes -> [`Answer::Saved`](crate::Answer::Saved).
    Lift(Lift),
    /// Takes in photographs -> [`Answer::Saved`](crate::Answer::Saved) with one deed a file, in the
    /// order of the files. All `files` of the message are pictures (`File` or `Blob`). Originals and
    /// statements are durable when the answer comes; the smaller pictures follow, each with
    /// [`Report::PictureReady`](crate::Report::PictureReady).
    Shoot(Shoot),
    /// Takes in a sound note -> [`Answer::Saved`](crate::Answer::Saved). The sound is `files[0]`; its bytes and its
    /// statement are durable when the answer comes. It goes where the person works.
    KeepSound(KeepSound),
    /// Looks at pictures that may be taken in; nothing is kept of them
    /// -> [`Answer::Looked`](crate::Answer::Looked), one for each of the message's `files`, with progress.
    LookAt,
    /// A part of a sound that is still being said, `files[0]` -> [`Answer::Done`](crate::Answer::Done). The parts are
    /// kept until [`Ask::KeepSound`], or made a sound note at the next start when it never came.
    SoundPart {
        /// Whether a new sound begins with it.
        is_first: bool,
    },
    /// A picture's bytes, or a sound's as its original -> [`Answer::Picture`](crate::Answer::Picture).
    Picture {
        /// The *original's* digest, also when a smaller size is asked for.
        digest: String,
        /// Which size.
        size: PictureSize,
    },
    /// A photograph and the earlier one that it answers, in one frame -> [`Answer::Laid`](crate::Answer::Laid).
    Lay {
        /// The later photograph.
        photograph: String,
        /// The spots that both show, as its `same_spots`; empty for those that are in the log.
        spots: Vec<u64>,
    },
    /// Spots that a photograph and the earlier one both show -> [`Answer::Spots`](crate::Answer::Spots).
    FindSpots {
        /// The later photograph.
        photograph: String,
    },
    /// Who writes in this log, and on which devices -> [`Answer::Devices`](crate::Answer::Devices).
    Devices,
    /// Makes a parcel -> [`Answer::Parcel`](crate::Answer::Parcel), its `files` are the parcel's
    /// parts (one, unless it is over 256 MB), with progress.
    MakeParcel {
        /// How much of the log.
        scope: ParcelScope,
        /// Up to which size pictures go along; `None` for none at all.
        pictures: Option<PictureSize>,
    },
    /// Takes in a parcel -> [`Answer::Received`](crate::Answer::Received), with progress.
    /// The parcel is `files[0]` (more files: the further parts). A log that is not on this device
    /// begins here as a copy and is opened; then `hand` must name who writes here.
    Receive {
        /// Who writes on this device; may be blank when the log is here already.
        hand: String,
        /// What this device is called; may be blank.
        device: String,
    },
    /// Makes the dossier -> [`Answer::Dossier`](crate::Answer::Dossier), the document is `files[0]` (further
    /// volumes after it), with progress.
    MakeDossier(DossierOptions),
    /// What a dossier would say -> [`Answer::Seen`](crate::Answer::Seen); nothing is made.
    SeeDossier(DossierOptions),
    /// What forms are made of -> [`Answer::Choices`](crate::Answer::Choices).
    Choices,
    /// How full this device's storage is -> [`Answer::Storage`](crate::Answer::Storage).
    /// (Asking the browser to keep it for good, `navigator.storage.persist()`, exists on the page only.)
    Storage,
    /// Repairs, what is open, hours, costs and upkeep, worked out
    /// -> [`Answer::Work`](crate::Answer::Work).
    Work,
    /// Every field on which hands differ -> [`Answer::Differences`](crate::Answer::Differences).
    Differences,
    /// Checks digests -> [`Answer::Checked`](crate::Answer::Checked), with progress: of the parcel in
    /// `files[0]` when there is one, else of everything that this device holds of the open log.
    Check,
    /// Stops the long work with this number: it answers with
    /// [`TroubleKind::Stopped`](crate::TroubleKind::Stopped) and leaves nothing half done
    /// -> [`Answer::Done`](crate::Answer::Done).
    Stop {
        /// The number of the ask that is to be stopped.
        number: u32,
    },
}

/// Which rows are wanted; an empty filter wants all.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filter {
    /// Words that must all occur, in any field; case does not matter. Blank for any.
    pub words: String,
    /// This place and all within it.
    pub place: Option<String>,
    /// Only what belongs to this finding.
    pub finding: Option<String>,
    /// Only what belongs to this repair.
    pub repair: Option<String>,
    /// Only what this hand wrote.
    pub hand: Option<String>,
    /// Only these kinds (`finding`, `reading`, …); empty for all.
    pub kinds: Vec<String>,
    /// Only entries with a field on which two hands differ.
    pub only_disputed: bool,
}

/// How far down the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Window {
    /// How many rows to pass over.
    pub skip: u32,
    /// How many rows to give, at most 500.
    pub take: u32,
}

impl Default for Window {
    fn default() -> Self {
        Self { skip: 0, take: 100 }
    }
}

/// Where the person works from now on. `None` clears that part.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkAt {
    /// A place.
    pub place: Option<String>,
    /// A finding; the place follows it when `place` is `None`.
    pub finding: Option<String>,
    /// A repair.
    pub repair: Option<String>,
}

/// A new entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Say {
    /// `finding`, `reading`, `note`, `place`, … (see [`Choices`](crate::Choices)).
    pub kind: String,
    /// The entry's fields as the JSON text of an object.
    pub fields: String,
    /// When it happened; `None` for now.
    pub happened: Option<String>,
    /// Whether the *working at* place, finding and repair fill the fields that `fields` leaves out.
    pub at_work: bool,
}

/// A field's new value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Amend {
    /// The entry.
    pub entry: String,
    /// The field's name.
    pub field: String,
    /// The value as JSON text; `null` takes the value away (it stays in the history).
    pub value: String,
    /// [`Value::sees`](crate::Value::sees) of the value that the person had before the eyes; empty
    /// for a field that had none.
    pub sees: Vec<String>,
}

/// Settles a dispute in favour of one of its values.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choose {
    /// The entry.
    pub entry: String,
    /// The field's name.
    pub field: String,
    /// The statement whose value is kept.
    pub statement: String,
    /// Every statement that the person saw in the dispute.
    pub sees: Vec<String>,
    /// Why; may be blank.
    pub reason: String,
}

/// Withdraws an entry; it stays legible.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Strike {
    /// The entry.
    pub entry: String,
    /// Why; may be blank.
    pub why: String,
    /// [`EntryView::sees`](crate::EntryView::sees) as shown; empty when struck straight from a row.
    pub sees: Vec<String>,
}

/// Takes strikes back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lift {
    /// The entry.
    pub entry: String,
    /// [`EntryView::sees`](crate::EntryView::sees) as shown.
    pub sees: Vec<String>,
}

/// Photographs that arrive as files.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Shoot {
    /// `found`, `opened`, `prepared`, `rebuilt` or `finished`; `None` lets the keeper take the stage
    /// that the *working at* finding has come to.
    pub stage: Option<String>,
    /// What the pictures show; may be blank.
    pub shows: String,
    /// The earlier photograph that this one answers, taken from the same view.
    pub answers: Option<String>,
    /// When they were taken; `None`: the camera's time, or else now.
    pub happened: Option<String>,
    /// The place; `None` for the *working at* place.
    pub place: Option<String>,
    /// The finding; `None` for the *working at* finding.
    pub finding: Option<String>,
    /// The repair; `None` for the *working at* repair.
    pub repair: Option<String>,
}

/// Words said aloud.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeepSound {
    /// How many seconds it lasts, as an exact decimal; blank where that is not known.
    pub secs: String,
    /// What was said, written out; may be blank.
    pub words: String,
    /// When it was said; `None` for now.
    pub happened: Option<String>,
}

/// The three sizes of a picture, smallest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum PictureSize {
    /// Long side 320 px.
    Thumbnail,
    /// Long side 2048 px.
    View,
    /// As it came.
    Original,
}

/// How much of the log a parcel carries.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum ParcelScope {
    /// All of it.
    Whole,
    /// Only what a device lacks, judged by its last parcel.
    Lacking {
        /// The device, as given by [`Ask::Devices`].
        device: String,
    },
}

/// What goes into a dossier. What is left out is named there as left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DossierOptions {
    /// Whether money is printed.
    pub with_costs: bool,
    /// Whether hours are printed.
    pub with_hours: bool,
    /// Whether the positions of photographs are printed.
    pub with_positions: bool,
    /// Whether struck entries are printed (struck through).
    pub with_struck: bool,
    /// Whether names are printed; initials otherwise.
    pub with_names: bool,
    /// The places that are left out, with all that lies within them.
    pub without_places: Vec<String>,
    /// The units in which amounts are shown, `metric`, `us` or blank for as written.
    pub units: String,
    /// Whether pictures are shown in their small size, for a light file.
    pub small_pictures: bool,
    /// Whether a page by itself is sealed with this device's key.
    pub is_sealed: bool,
    /// The currency in which sums are said once more; blank for none.
    pub currency: String,
    /// What one of each other currency is worth in it, as the seller wrote it.
    pub rates: String,
    /// Its form.
    pub form: DossierForm,
}

/// The forms of a dossier.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum DossierForm {
    /// One page that any browser shows and prints.
    #[default]
    Page,
    /// Set on paper (PDF).
    Paper(Sheet),
    /// The short form, on at most twelve sheets of paper (PDF).
    Short(Sheet),
    /// Page and paper with the pictures, the ledgers and the log's statements, in one file that any BagIt tool checks.
    Bag(Sheet),
    /// Hours, costs and materials alone, for a spreadsheet, in one file that any BagIt tool checks.
    Ledgers,
}

/// The papers that a dossier is set for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sheet {
    /// 210 by 297 millimetres.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl Default for DossierOptions {
    fn default() -> Self {
        Self {
            with_costs: true,
            with_hours: true,
            with_positions: false,
            with_struck: true,
            with_names: true,
            without_places: Vec::new(),
            units: String::new(),
            small_pictures: false,
            is_sealed: true,
            currency: String::new(),
            rates: String::new(),
            form: DossierForm::default(),
        }
    }
}
