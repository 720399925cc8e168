//! The vocabulary of the log: statements, quantities, times and the snapshot.
//!
//! A log is a set of [`Statement`]s.
//! Each is one canonical JSON text, written once, and never changed.
//! What they mean together is the [`Snapshot`]: a pure function of the set, whatever the order it came in.
//!
//! ```
//! use garboard_record::{Draft, Id, Kind, Snapshot, Stamper};
//!
//! let log = Id::new(1_778_000_000_000, [1; 10]);
//! let mut stamper = Stamper::begin(log, Id::new(1, [2; 10]), Id::new(1, [3; 10]));
//! let draft = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#).unwrap();
//! let (id, text) = stamper.stamp_as(log, &draft, 1_778_000_000_000);
//! let snapshot = Snapshot::of([(id, text)]);
//! assert_eq!(snapshot.boat_name(), "Merganser");
//! ```
//!
//! What this crate does not do: it knows no file, no clock, no document and no screen.
//! It computes nothing of the trade; that is for the reckoning.

pub mod calendar;
pub mod canonical;
pub mod decimal;
pub mod draft;
pub mod entry;
mod error;
pub mod hull;
pub mod id;
pub mod index;
pub mod kind;
pub mod oddity;
pub mod order;
pub mod plan;
pub mod quantity;
pub mod remark;
pub mod shape;
pub mod small;
pub mod snapshot;
pub mod standing;
pub mod statement;
pub mod tally;
pub mod unit;
pub mod when;
pub mod word;

pub use decimal::Decimal;
pub use draft::{Draft, Stamper};
pub use entry::{Entry, Strike, Version};
pub use error::Error;
pub use id::{Digest, Id};
pub use index::Index;
pub use kind::{Body, Kind};
pub use quantity::{Money, Quantity};
pub use remark::{Oddity, Remark};
pub use shape::{Field, Shape};
pub use snapshot::Snapshot;
pub use statement::Statement;
pub use when::When;

#[cfg(test)]
mod tests;
