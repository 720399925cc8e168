//! What the screens are put together from: each takes data and callbacks, and knows nothing else.

mod choice;
mod conflict;
mod each;
mod entry_row;
mod facts;
mod field;
mod icon;
mod keypad;
mod notice;
mod progress;
mod rail;
mod strip;
mod strokes;
mod table;
mod tabs;

pub(crate) use choice::{ChoiceKeys, ManyKeys};
pub(crate) use conflict::ConflictBox;
pub(crate) use each::each;
pub(crate) use entry_row::{EntryRow, RowShown, SavedMark};
pub(crate) use facts::{Fact, Facts};
pub(crate) use field::{FieldInput, Options};
pub(crate) use icon::{Drawing, Icon};
pub(crate) use keypad::Keypad;
pub(crate) use notice::{NoticeBar, TroubleBox};
pub(crate) use progress::ProgressLine;
pub(crate) use rail::Rail;
pub(crate) use strip::WorkingAtStrip;
pub(crate) use strokes::{STAGES, Strokes, stage_idx};
pub(crate) use table::settled;
pub(crate) use tabs::Tabs;
