//! A device's secret and the public key that belongs to it.

use std::fmt;
use std::str::FromStr;

use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use garboard_record::Digest;

/// A device's secret: 32 random bytes, which are shown nowhere.
pub struct Secret(SigningKey);

impl Secret {
    /// The secret of these bytes, which must be random and kept where nobody else reads.
    #[must_use]
    pub fn of(bytes: [u8; 32]) -> Self {
        Self(SigningKey::from_bytes(&bytes))
    }

    /// The public key that belongs to it.
    #[must_use]
    pub fn key(&self) -> Key {
        Key(self.0.verifying_key().to_bytes())
    }

    /// The signature over a message; the same message gives the same signature.
    #[must_use]
    pub fn sign(&self, message: &[u8]) -> [u8; 64] {
        self.0.sign(message).to_bytes()
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Secret of {}", self.key())
    }
}

/// A public key, written as 64 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key([u8; 32]);

/// A text that is no key or no signature.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{found:?} is not {length} hexadecimal digits")]
pub struct Unread {
    /// The text, shortened.
    pub found: String,
    /// How many digits there should be.
    pub length: usize,
}

impl Key {
    /// Whether this key's secret signed the message. Keys of small order and signatures that could be written otherwise
    /// fit nothing.
    #[must_use]
    pub fn fits(&self, message: &[u8], signature: &[u8; 64]) -> bool {
        VerifyingKey::from_bytes(&self.0).is_ok_and(|key| {
            key.verify_strict(message, &Signature::from_bytes(signature))
                .is_ok()
        })
    }

    /// The key in few digits that two people can compare aloud: the first 80 bits of its SHA-256, in fours.
    #[must_use]
    pub fn spoken(&self) -> String {
        let digest = Digest::of(&self.0).to_string();
        let fours: Vec<&str> = (0..5)
            .filter_map(|n| digest.get(n * 4..n * 4 + 4))
            .collect();
        fours.join(" ")
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&written(&self.0))
    }
}

impl FromStr for Key {
    type Err = Unread;

    fn from_str(text: &str) -> Result<Self, Unread> {
        read(text).map(Self)
    }
}

/// Bytes in hexadecimal digits.
pub(crate) fn written(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Reads so many bytes in hexadecimal digits, as [`written`] writes them.
pub(crate) fn read<const N: usize>(text: &str) -> Result<[u8; N], Unread> {
    let unread = || Unread {
        found: text.chars().take(2 * N + 1).collect(),
        length: 2 * N,
    };
    let mut out = [0; N];
    if text.len() != 2 * N || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
        return Err(unread());
    }
    for (idx, byte) in out.iter_mut().enumerate() {
        let two = text.get(2 * idx..2 * idx + 2).ok_or_else(unread)?;
        *byte = u8::from_str_radix(two, 16).map_err(|_not_hex| unread())?;
    }
    Ok(out)
}
