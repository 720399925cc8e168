//! What the screens are put together from: each takes data and callbacks, and knows nothing else.

mod choice;
mod conflict;
mod each;
mod entry_row;
mod facts;
mod field;
mod icon;
mod keypad;
mod marks;
mod notice;
mod outcome;
mod over;
mod progress;
mod rail;
mod strip;
mod strokes;
mod table;
mod tabs;

pub(crate) use choice::{ChoiceKeysProps, ManyKeysProps, choice_keys, many_keys};
pub(crate) use conflict::{ConflictBoxProps, conflict_box};
pub(crate) use each::each;
pub(crate) use entry_row::{EntryRowProps, RowShown, SavedMarkProps, entry_row, saved_mark};
pub(crate) use facts::{Fact, FactsProps, fact_list};
pub(crate) use field::{FieldInputProps, Options, field_input};
pub(crate) use icon::{Drawing, IconProps, icon};
pub(crate) use keypad::{KeypadProps, keypad};
pub(crate) use marks::{Ground, handles, marks, one_mark};
pub(crate) use notice::{NoticeBarProps, TroubleBoxProps, not_saved, notice_bar, trouble_box};
pub(crate) use outcome::outcome;
pub(crate) use over::{over, stage_word};
pub(crate) use progress::{ProgressLineProps, progress_line};
pub(crate) use rail::{RailProps, rail};
pub(crate) use strip::{WorkingAtStripProps, working_at_strip};
pub(crate) use strokes::{STAGES, StrokesProps, stage_idx, strokes};
pub(crate) use table::{blank_line, settled};
pub(crate) use tabs::{TabsProps, tabs};
