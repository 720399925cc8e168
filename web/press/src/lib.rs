//! The worker that makes smaller pictures, parcels, the dossier and the demonstration boat in a browser.
//!
//! It is a module of its own, loaded when it is first asked for and ended afterwards: decoding a picture takes hundreds
//! of megabytes and may fail in ways that no program foresees, and the log's keeper must neither wait nor suffer for it.
//!
//! # What this crate does not do
//!
//! It keeps nothing, sees no storage and no network, and knows the log only as the statements that it is handed.

#[cfg(target_arch = "wasm32")]
pub mod browser;
