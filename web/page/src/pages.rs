//! The screens.

mod add;
mod app;
mod boat;
mod change;
mod differences;
mod entry;
mod log;
mod marks;
mod measure;
mod part;
mod share;
mod shell;
mod start;
mod work;
mod write;

pub(crate) use app::App;
