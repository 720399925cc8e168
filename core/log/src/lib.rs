//! The log document: open, append, merge and save; the only crate that knows automerge.
//!
//! A log is an Automerge document that only grows: a map from a statement's id to its canonical JSON text.
//! It is kept as *chunks*, each named by the SHA-256 of its bytes; a chunk holds one or more Automerge changes.
//! Any chunks, in any order, repeated, cut short or missing, open to what they hold.
//!
//! ```
//! use garboard_log::Log;
//! use garboard_record::{Draft, Kind, draft};
//!
//! let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#)?;
//! let (_, said) = draft::begin_log(&boat, "Ada", "phone", 1_778_000_000_000, [[1; 10], [2; 10], [3; 10]], 0)?;
//! let mut log = Log::new([7; 16]);
//! let mut chunks = Vec::new();
//! for (id, text) in &said {
//!     chunks.push(log.append(*id, text)?);
//! }
//! let (again, trouble) = Log::open([8; 16], chunks.iter().map(|chunk| (chunk.name, chunk.bytes.clone())), None);
//! assert!(trouble.is_empty());
//! assert_eq!(again.snapshot(), log.snapshot());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! What this crate does not do: it reads and writes no file; `cli` and `web` hand it bytes and keep what it gives back.
//! It knows nothing of photographs' bytes, parcels or dossiers.

mod change;
mod chunk;
mod error;
mod history;
mod log;
mod opening;
mod pack;

pub use chunk::{Chunk, MAX_CHUNK_BYTES};
pub use error::{Error, Trouble};
pub use log::{Log, TakenIn};
pub use pack::PACK_FROM;

#[cfg(test)]
mod laws;
#[cfg(test)]
mod plain_model;
#[cfg(test)]
mod tests;
