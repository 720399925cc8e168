//! Everything that touches the browser: storage, clock, chance, files, locks and messages.

mod ballast;
mod chance;
mod desk;
mod error;
mod files;
mod frame;
mod idb;
mod intake;
mod pictures;
mod post;
mod press;
mod room;
mod run;
mod sound;
mod store;
mod tab;
mod travel;

pub use run::{receive, start};

pub(crate) use error::{Error, OrError};
