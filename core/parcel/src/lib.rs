//! How a log travels: parcel files, and the bag that a dossier leaves in.
//!
//! A parcel is an ordinary ZIP, stored and not compressed: chunks of the log, photographs in the chosen sizes,
//! and a manifest that names every part by its SHA-256. Any unzip opens it; `sha256sum -c SHA256SUMS` checks it.
//!
//! What this crate does not do: it opens no file and knows no browser; it reads from and writes to what it is given.
//! It does not merge either: it checks, and hands chunks to [`garboard_log::Log::take_in_all`].

pub mod bag;
mod choose;
mod error;
pub mod history;
mod manifest;
mod read;
mod report;
mod write;

pub use choose::{Pictures, pictures};
pub use error::{Error, other_boat};
pub use manifest::{FORMAT, Manifest, PartName, PictureName, Size};
pub use read::Reader;
pub use report::Report;
pub use write::{Contents, parts, write};

#[cfg(test)]
mod tests;
