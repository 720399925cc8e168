//! Devices, parcels and the dossier.

use serde::{Deserialize, Serialize};

use crate::row::Ref;

/// A device that writes in the log.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeviceCard {
    /// The device.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Whose it is.
    pub hand: String,
    /// Whether it is this one.
    pub is_this: bool,
    /// How many statements it wrote.
    pub n_written: u32,
    /// When its last parcel came, ISO 8601; blank when none came yet.
    pub last_parcel: String,
    /// How many statements it is not known to have.
    pub n_lacks: u32,
    /// The signs by which people compare the key with which it signs; blank when it never signed.
    pub key: String,
}

/// A parcel that is ready to be sent.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ParcelMade {
    /// The file names to offer, one a part.
    pub names: Vec<String>,
    /// Bytes of all parts together.
    pub n_bytes: u64,
    /// How many statements it carries.
    pub n_statements: u32,
    /// How many pictures it carries, of any size.
    pub n_pictures: u32,
    /// What it holds and leaves out, in a sentence.
    pub says: String,
}

/// What a parcel brought.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Received {
    /// The log.
    pub log: String,
    /// The boat's name.
    pub boat: String,
    /// Whether the log began here with it.
    pub is_new_log: bool,
    /// How many statements were new here.
    pub n_new: u32,
    /// How many were here already.
    pub n_known: u32,
    /// What came, by kind ("Finding", 3).
    pub by_kind: Vec<ReceivedLine>,
    /// What came, by hand ("Ben", 7).
    pub by_hand: Vec<ReceivedLine>,
    /// How many pictures, of any size, were new here.
    pub n_pictures: u32,
    /// The entries on which hands now differ.
    pub disputes: Vec<Ref>,
    /// What is odd in it, in words.
    pub remarks: Vec<String>,
}

/// A word and how many.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReceivedLine {
    /// A kind or a hand, in words.
    pub word: String,
    /// How many statements.
    pub n: u32,
}

/// What a dossier would say, before it is made.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DossierSeen {
    /// Who it says wrote it, and what it says it is not.
    pub says: Vec<String>,
    /// The seller's choices as it prints them: a label and a sentence.
    pub choices: Vec<(String, String)>,
    /// Its parts, in order.
    pub parts: Vec<SeenPart>,
    /// How many pictures it shows.
    pub n_pictures: u32,
    /// How many of them are not on this device.
    pub n_missing: u32,
}

/// A part of a dossier, before it is made.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeenPart {
    /// Its heading.
    pub heading: String,
    /// What it tells of, each with how it stands.
    pub stories: Vec<String>,
    /// How many pictures it shows.
    pub n_pictures: u32,
    /// How many lines its tables have.
    pub n_lines: u32,
}

/// The dossier that was made.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DossierMade {
    /// The names to offer, one a file: a long dossier comes in volumes.
    pub names: Vec<String>,
    /// Their media type.
    pub media_type: String,
    /// Their bytes together.
    pub n_bytes: u64,
    /// What was left out or is missing (pictures not on this device), in words.
    pub remarks: Vec<String>,
}
