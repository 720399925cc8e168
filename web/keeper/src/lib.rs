//! The worker that owns the log in a browser: messages in, messages out, and the only writer of
//! the browser's storage.
//!
//! What can be worked out without a browser (rows, entry pages, forms) is in plain modules that are
//! tested natively; everything that touches the browser is in [`browser`].

#[cfg(target_arch = "wasm32")]
mod browser;
