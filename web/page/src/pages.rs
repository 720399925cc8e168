//! The screens.

mod add;
mod app;
mod boat;
mod camera;
mod change;
mod differences;
mod entry;
mod frame;
mod gallery;
mod log;
mod marks;
mod measure;
mod part;
mod reckon;
mod rooms;
mod share;
mod shell;
mod sound;
mod start;
mod work;
mod write;

pub(crate) use app::App;
pub(crate) use rooms::{Rail, Whole};
