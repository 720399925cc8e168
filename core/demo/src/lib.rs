//! The demonstration boat: an invented scenario with drawn pictures.
//!
//! One season of one boat, told by two hands on two devices. Nobody and nothing in it is real; the pictures are drawn by the
//! program and say so. [`told`] is a pure function: every device gets the same statements and the same pictures, byte for byte.
//!
//! What this crate does not do: it opens no log and writes no file. Whoever wants the demonstration appends the statements of
//! each device in their order and stores the pictures by their digests.

pub mod drawing;
mod season;
mod teller;

pub use season::told;
pub use teller::{Error, Original, Rendered, Told, Writer};
