//! Everything that touches the browser: storage, clock, chance, files, locks and messages.

mod chance;
mod error;
mod files;
mod idb;
mod post;
mod run;
mod store;
mod tab;

pub(crate) use error::{Error, OrError};
