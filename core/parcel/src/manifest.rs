//! What a parcel says of itself.

use garboard_record::{Digest, Id, When, canonical};
use serde::{Deserialize, Serialize};

use crate::Error;

/// The form of parcels that this version writes, and the latest that it reads.
pub const FORMAT: u64 = 1;

/// The manifest: the part `manifest.json`, canonical JSON.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// The word `parcel`.
    pub garboard: String,
    /// The form, [`FORMAT`].
    pub format: u64,
    /// The log.
    pub log: Id,
    /// The boat's name, for people.
    pub boat: String,
    /// The device that made it.
    pub device: Option<Id>,
    /// When it was made.
    pub written: When,
    /// The heads of the sender's document, in hexadecimal digits and in order: what the sender has.
    pub heads: Vec<String>,
    /// The digests of every picture that the sender has, in order.
    pub holds: Vec<Digest>,
    /// The chunks that are in it, in order of their names.
    pub chunks: Vec<PartName>,
    /// The pictures that are in it, in order of their digests.
    pub pictures: Vec<PictureName>,
    /// Which part of how many this file is, where a parcel was split; 1 of 1 otherwise.
    pub part: (u64, u64),
}

/// A chunk in a parcel.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PartName {
    /// Its SHA-256.
    pub digest: Digest,
    /// Its size in bytes.
    pub bytes: u64,
}

/// A picture or sound in a parcel.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PictureName {
    /// Its SHA-256.
    pub digest: Digest,
    /// Its size in bytes.
    pub bytes: u64,
    /// Which of the sizes it is.
    pub size: Size,
    /// Its media type.
    pub media_type: String,
}

/// The sizes in which a picture travels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Size {
    /// Long side 320 px.
    Thumbnail,
    /// Long side 2048 px.
    View,
    /// As it came.
    Original,
}

impl Manifest {
    /// The manifest as canonical JSON.
    #[must_use]
    pub fn to_json(&self) -> String {
        canonical::text(self).unwrap_or_default()
    }

    /// Reads a manifest.
    ///
    /// # Errors
    ///
    /// - [`Error::NotParcel`], [`Error::Manifest`], [`Error::Future`]
    pub fn from_json(text: &[u8]) -> Result<Self, Error> {
        // The form is looked at first: a later one may have other fields.
        #[derive(Deserialize)]
        struct Form {
            garboard: Option<String>,
            format: Option<u64>,
        }
        let unread = |source| Error::Manifest { source };
        let form: Form = serde_json::from_slice(text).map_err(unread)?;
        if form.garboard.as_deref() != Some("parcel") {
            return Err(Error::NotParcel {
                missing: "manifest of a parcel",
            });
        }
        if let Some(found) = form.format.filter(|found| *found > FORMAT) {
            return Err(Error::Future {
                found,
                known: FORMAT,
            });
        }
        serde_json::from_slice(text).map_err(unread)
    }
}

impl PartName {
    /// The name of the part in the ZIP.
    #[must_use]
    pub fn path(&self) -> String {
        format!("chunks/{}", self.digest)
    }
}

impl PictureName {
    /// The name of the part in the ZIP, with an ending that other programs know.
    #[must_use]
    pub fn path(&self) -> String {
        let ending = match self.media_type.as_str() {
            "image/jpeg" => ".jpg",
            "image/png" => ".png",
            "image/webp" => ".webp",
            "image/heic" | "image/heif" => ".heic",
            "image/avif" => ".avif",
            "audio/mp4" => ".m4a",
            "audio/ogg" => ".ogg",
            "audio/webm" => ".webm",
            "application/pdf" => ".pdf",
            _ => "",
        };
        format!("photographs/{}{ending}", self.digest)
    }
}
