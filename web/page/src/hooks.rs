//! What pages and their connected parts use: the desk, asks that follow the log, pictures, the passing minute.

mod asked;
mod desk;
mod laid;
mod picture;
mod tick;

pub(crate) use asked::{AskedFor, use_asked};
pub(crate) use desk::{Desk, use_desk_here};
pub(crate) use laid::{Laid, use_laid};
pub(crate) use picture::use_picture;
pub(crate) use tick::use_minutes;
