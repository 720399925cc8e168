//! A browser's files and blobs, as the workers read and make them: outside the module's memory until they are read, and
//! through one small buffer when they are.
//!
//! # What this crate does not do
//!
//! It knows no log and no picture, and gives what the browser throws as it was thrown.

#[cfg(target_arch = "wasm32")]
mod browser;

#[cfg(target_arch = "wasm32")]
pub use browser::{Blob, joined, made, read, read_now, size_of};
