//! The SHA-256 by which an original is named.

use std::fmt::Write as _;
use std::io::Write;

use sha2::{Digest as _, Sha256};

/// Hashes a picture that arrives in slices, as a browser's file does.
///
/// ```
/// let mut hasher = garboard_photo::Hasher::new();
/// hasher.update(b"gar");
/// hasher.update(b"board");
/// assert_eq!(hasher.finish(), garboard_photo::digest(b"garboard"));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Hasher(Sha256);

impl Hasher {
    /// Begins with no bytes seen.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes the next slice.
    pub fn update(&mut self, slice: &[u8]) {
        self.0.update(slice);
    }

    /// Returns the digest of all slices together: 64 lower-case hexadecimal digits.
    #[must_use]
    pub fn finish(self) -> String {
        let mut text = String::with_capacity(64);
        for byte in self.0.finalize() {
            // Writing into a string cannot fail.
            _ = write!(text, "{byte:02x}");
        }
        text
    }
}

/// A file in the making, with its digest.
#[derive(Debug)]
pub struct Hashed<W> {
    to: W,
    hasher: Hasher,
    n_bytes: u64,
}

impl<W> Hashed<W> {
    /// Begins with nothing written.
    pub fn new(to: W) -> Self {
        Self {
            to,
            hasher: Hasher::new(),
            n_bytes: 0,
        }
    }

    /// The digest of what was written so far.
    #[must_use]
    pub fn digest(&self) -> String {
        self.hasher.clone().finish()
    }

    /// How many bytes were written so far.
    #[must_use]
    pub fn n_bytes(&self) -> u64 {
        self.n_bytes
    }

    /// The file.
    pub fn into_inner(self) -> W {
        self.to
    }
}

impl<W: Write> Write for Hashed<W> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        let n = self.to.write(bytes)?;
        self.hasher.update(bytes.get(..n).unwrap_or_default());
        self.n_bytes += n as u64;
        Ok(n)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.to.flush()
    }
}

/// Returns the SHA-256 of `bytes`: 64 lower-case hexadecimal digits.
#[must_use]
pub fn digest(bytes: &[u8]) -> String {
    let mut hasher = Hasher::new();
    hasher.update(bytes);
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4's own examples, as NIST publishes them: "abc" and the empty message.
    #[test]
    fn the_standard_s_examples_come_out() {
        assert_eq!(
            digest(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(
            digest(b""),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
        );
    }
}
