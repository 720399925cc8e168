//! What the screens show, worked out from a log: rows, entry pages, places, work, forms.

pub mod choices;
pub mod entry;
pub mod mark;
pub mod order;
pub mod places;
pub mod row;
pub mod rows;
pub mod work;
