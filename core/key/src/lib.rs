//! Devices' keys, and what they sign.
//!
//! A device draws a secret of 32 bytes once and keeps it outside the log; the log names the public key that belongs to
//! it. With the secret the device signs what it hands over: Ed25519 (RFC 8032), over canonical JSON (RFC 8785), so that
//! any other program that knows both can check it.
//!
//! What a good signature shows: that the holder of the secret handed over exactly this. What it does not show: who that
//! holder is, whether what was written is true, and when it was.
//!
//! What this crate does not do: it draws no chance, keeps no secret, and knows no file.

mod key;
mod seal;
mod sheet;

pub use key::{Key, Secret, Unread};
pub use seal::{MOST_SEAL_BYTES, of_page, seal_in, sealed};
pub use sheet::{FORM, Fault, Found, Sheet, Signed, Signer, Standing, of_statements};

#[cfg(test)]
mod tests;
