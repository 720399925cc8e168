//! Names of statements (UUIDv7) and of bytes (SHA-256).

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use sha2::Digest as _;

use crate::Error;

/// The time-ordered name of a statement: a UUID of version 7 (RFC 9562).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id([u8; 16]);

impl Id {
    /// Makes an id from a time in milliseconds since 1970 and ten random bytes.
    #[must_use]
    pub fn new(unix_millis: u64, random: [u8; 10]) -> Self {
        Self(
            uuid::Builder::from_unix_timestamp_millis(unix_millis, &random)
                .into_uuid()
                .into_bytes(),
        )
    }

    /// The milliseconds since 1970 that the id was made from.
    #[must_use]
    pub fn unix_millis(self) -> u64 {
        let [a, b, c, d, e, f, ..] = self.0;
        u64::from_be_bytes([0, 0, a, b, c, d, e, f])
    }

    /// The sixteen bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 16] {
        &self.0
    }

    /// An id from its sixteen bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 16]) -> Self {
        Self(bytes)
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        uuid::Uuid::from_bytes(self.0).as_hyphenated().fmt(f)
    }
}

impl fmt::Debug for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Id {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let refused = || Error::Id {
            found: text.chars().take(60).collect(),
        };
        if text.len() != 36 || text.bytes().any(|b| b.is_ascii_uppercase()) {
            return Err(refused());
        }
        uuid::Uuid::try_parse(text)
            .map(|u| Self(u.into_bytes()))
            .ok()
            .ok_or_else(refused)
    }
}

impl Serialize for Id {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if to.is_human_readable() {
            to.collect_str(self)
        } else {
            self.0.serialize(to)
        }
    }
}

impl<'de> Deserialize<'de> for Id {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        if from.is_human_readable() {
            let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
            text.parse().map_err(serde::de::Error::custom)
        } else {
            <[u8; 16]>::deserialize(from).map(Self)
        }
    }
}

/// The SHA-256 of some bytes, written as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(sha2::Sha256::digest(bytes).into())
    }

    /// A digest from its 32 bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The 32 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Digest {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let refused = || Error::Digest {
            found: text.chars().take(80).collect(),
        };
        if text.len() != 64 || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
            return Err(refused());
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
            let pair = std::str::from_utf8(pair).ok().ok_or_else(refused)?;
            *byte = u8::from_str_radix(pair, 16).ok().ok_or_else(refused)?;
        }
        Ok(Self(bytes))
    }
}

impl Serialize for Digest {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if to.is_human_readable() {
            to.collect_str(self)
        } else {
            self.0.serialize(to)
        }
    }
}

impl<'de> Deserialize<'de> for Digest {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        if from.is_human_readable() {
            let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
            text.parse().map_err(serde::de::Error::custom)
        } else {
            <[u8; 32]>::deserialize(from).map(Self)
        }
    }
}
