//! The before-and-after history that leaves with the boat.
//!
//! In two steps: [`outline`](outline()) says *what is said*, as plain data, and [`html`](html()) sets it as one page that needs nothing
//! else: no script, no second file, no network. With the feature `pdf` a third step sets it on paper.
//!
//! ```
//! use garboard_dossier::{Options, html, outline};
//! use garboard_record::Snapshot;
//!
//! let snapshot = Snapshot::of(Vec::<(garboard_record::Id, String)>::new());
//! let page = html(&outline(&snapshot, &Options::default()), |_| None);
//! assert!(page.contains("This is no survey"));
//! ```
//!
//! The same snapshot, options and pictures give the same bytes everywhere: nothing is read from a clock, a locale or a machine.
//!
//! What this crate does not do: it never sees the log's document, opens no file, judges no repair, and computes nothing of the
//! trade. Hours, costs and standings come from [`garboard_record::tally`] and [`garboard_record::standing`].

pub mod exchange;
pub mod frame;
pub mod handover;
pub mod html;
pub mod ledger;
mod names;
pub mod outline;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod preview;
#[cfg(feature = "pdf")]
mod short;
mod strokes;
pub mod volumes;
mod withheld;
mod words;

pub use exchange::Exchange;
pub use frame::in_one_frame;
pub use handover::handover;
pub use html::{html, html_beside, write_html};
pub use ledger::ledgers;
pub use outline::{Options, Outline, outline};
#[cfg(feature = "pdf")]
pub use pdf::{Paper, Pdf, pdf, short_pdf};
pub use preview::preview;
pub use volumes::volumes;
