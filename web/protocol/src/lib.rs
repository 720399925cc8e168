//! The messages between the page (screens) and the keeper (the worker that owns the log).
//!
//! # The model
//!
//! The page *asks* and shows; the keeper *answers* and *reports*. Every message is one plain
//! JavaScript object posted with `postMessage`:
//!
//! ```text
//! { bytes: ArrayBuffer,      // postcard of `Asked` (page -> keeper) or `Told` (keeper -> page), transferred
//!   files: [Blob, …] }       // pictures, parcels and dossiers travel here, never inside the bytes
//! ```
//!
//! `files` may be left out when it is empty. Where an ask or an answer speaks of files, it says
//! which one lies at which position.
//!
//! Each [`Asked`] has a number of the page's choosing; exactly one [`Told::Answer`] comes back
//! with it, either the answer or a [`Trouble`]. [`Told::Report`]s come unasked.
//!
//! # The beginning of a session
//!
//! 1. The page's boot file (`www/boot.js`) starts the worker first of all and queues what it says
//!    until the page's module listens.
//! 2. The worker's boot file (`web/keeper/boot.js`) queues what the page sends until the keeper's
//!    module is loaded, then calls `start(build)` once and `receive(bytes, files)` for each message.
//!    Before that it posts [`Report::Remembered`], read from storage, when there is one of the same
//!    build: the log as it last stood, enough for the first screen.
//! 3. The page sends [`Ask::Hello`] with its build. A keeper of another build answers with a
//!    [`Trouble`] of the kind [`TroubleKind::OtherBuild`], and does nothing else from then on. The
//!    page must then ask for a reload.
//! 4. [`Answer::Hello`] says whether a log was open last time; the keeper has opened it already.
//!
//! # The site
//!
//! The builder of the site (`site.rs` of the command line) puts together, with relative addresses
//! only, so that the site may lie in any folder of a host:
//!
//! ```text
//! everything under www/           as it is, except for the two tokens below
//! page.js, page_bg.wasm           from web/page
//! keeper.js, keeper_bg.wasm       from web/keeper
//! keeper/boot.js                  from web/keeper/boot.js
//! ```
//!
//! In `*.html`, `*.js` and `*.webmanifest` of the shell, `__BUILD__` becomes the build: 16
//! hexadecimal digits over the content of the whole site. In `www/sw.js`, `/*PRECACHE*/[]` becomes an
//! array `["./boot.js", "./index.html", …]` of every file of the site but `sw.js` itself, sorted.
//!
//! # Shapes
//!
//! Postcard does not describe itself: fields are read in the order in which they stand. So no
//! field is ever skipped, and the free-form fields of a statement travel as JSON *text*.
//! Ids and digests are strings: ids as the log writes them (UUID), digests as 64 hexadecimal digits.
//! Times are ISO 8601 texts as they stand in the log (`2026-05-09T14:22:00+02:00`, or reduced:
//! `2026-05-09`, `2026-05`, `1987`); the page makes them readable in the person's own manner.
//!
//! # What this crate does not do
//!
//! It knows neither the log nor the browser.

mod answer;
mod ask;
mod entry;
mod form;
mod press;
mod report;
mod row;
mod share;
mod trouble;
mod work;

pub use answer::{
    Answer, Deed, Difference, HandCard, Hello, LogCard, Looked, Opened, PictureGiven, PlaceLine,
    PlanPin, PlanView, RunningStint, Saved, StorageState, WorkingAt,
};
pub use ask::{
    Amend, Ask, Asked, Choose, DossierForm, DossierOptions, Filter, KeepSound, Lift, ParcelScope,
    PictureSize, Say, Sheet, Shoot, Strike, Window, WorkAt,
};
pub use entry::{
    Dispute, DisputeValue, EntryView, HistoryLine, Link, Manner, MarkView, PictureView, SoundView,
    Standing, StrikeView, Value,
};
pub use form::{Choice, Choices, Form, FormField, Input};
pub use press::{PressAnswer, PressAsk, Season, Shrunk, SmallBytes};
pub use report::{Remembered, Report, Told};
pub use row::{Figure, PlaceRef, Ref, Row, Rows, Thumb};
pub use share::{
    DeviceCard, DossierMade, DossierSeen, ParcelMade, Received, ReceivedLine, SeenPart,
};
pub use trouble::{Trouble, TroubleKind};
pub use work::{
    Checked, LackLine, OpenLine, RepairLine, ShortLine, StepLine, Sum, UpkeepLine, WindowLine,
    WorkView,
};

use serde::{Serialize, de::DeserializeOwned};

/// The bytes are no message of this build.
#[derive(Debug, thiserror::Error)]
#[error("a message between the page and the keeper cannot be read")]
pub struct Garbled {
    /// What the codec found.
    #[source]
    pub source: postcard::Error,
}

/// Writes a message as bytes.
///
/// # Errors
///
/// [`Garbled`] when the message cannot be written; no type of this crate gives cause for it.
pub fn encode<T: Serialize>(message: &T) -> Result<Vec<u8>, Garbled> {
    postcard::to_allocvec(message).map_err(|source| Garbled { source })
}

/// Reads a message from bytes.
///
/// # Errors
///
/// [`Garbled`] when the bytes are cut short or come from another build.
pub fn decode<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Garbled> {
    postcard::from_bytes(bytes).map_err(|source| Garbled { source })
}

#[cfg(test)]
mod tests;
