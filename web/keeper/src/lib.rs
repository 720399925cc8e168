//! The worker that owns the log in a browser: messages in, messages out, and the only writer of
//! the browser's storage.
//!
//! What can be worked out without a browser is in plain modules that are tested natively: the open
//! log ([`session`]) and what the screens show of it ([`view`]). Everything that touches the browser
//! is in `browser`, and only there.
//!
//! # What this crate does not do
//!
//! It draws nothing, and it knows no network.

pub mod session;
pub mod shown;
pub mod sight;
pub mod trouble;
pub mod view;

#[cfg(target_arch = "wasm32")]
pub mod browser;
