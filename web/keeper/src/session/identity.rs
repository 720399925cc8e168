//! What this device keeps about a log outside of it: who it is there, and where its hand works.

use std::collections::BTreeMap;

use garboard_protocol::LogCard;
use garboard_record::Id;
use serde::{Deserialize, Serialize};

/// This device's identity in a log, kept outside of the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Identity {
    /// The log.
    pub log: Id,
    /// Who writes here.
    pub hand: Id,
    /// This device.
    pub device: Id,
    /// Whether it is the demonstration boat.
    #[serde(default)]
    pub is_demo: bool,
    /// Where the person works.
    #[serde(default)]
    pub work: Work,
    /// What is known of the other devices.
    #[serde(default)]
    pub others: BTreeMap<Id, Other>,
    /// Why no smaller sizes could be made, by photograph.
    #[serde(default)]
    pub picture_troubles: BTreeMap<Id, String>,
    /// The boat's name when it was last seen, for the list of logs.
    #[serde(default)]
    pub boat: String,
    /// The hand's name, for the list of logs.
    #[serde(default)]
    pub hand_name: String,
    /// When something was last written, for the list of logs.
    #[serde(default)]
    pub written: String,
    /// How many statements there were, for the list of logs.
    #[serde(default)]
    pub n_statements: u32,
    /// The units in which the person wants amounts: `metric`, `us`, or blank for as entered.
    #[serde(default)]
    pub units: String,
    /// When this device last made a parcel; blank when it never did.
    #[serde(default)]
    pub sent: String,
    /// The secret with which this device signs; drawn when it first hands something over.
    #[serde(default)]
    pub secret: Option<[u8; 32]>,
}

/// Where the person works.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Work {
    /// The place.
    pub place: Option<Id>,
    /// The open finding.
    pub finding: Option<Id>,
    /// The repair.
    pub repair: Option<Id>,
}

/// What is known of another device.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Other {
    /// Up to which count of each writing device it has the log.
    pub counts: BTreeMap<Id, u64>,
    /// When its last parcel came.
    pub last_parcel: String,
}

/// What another device's last parcel said that it has, kept for the next parcel to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Held {
    /// The heads of its document.
    pub heads: Vec<String>,
    /// The pictures that it has.
    pub holds: Vec<garboard_record::Digest>,
}

impl Identity {
    /// The identity of a device that has just begun or joined a log.
    #[must_use]
    pub fn new(log: Id, hand: Id, device: Id) -> Self {
        Self {
            log,
            hand,
            device,
            is_demo: false,
            work: Work::default(),
            others: BTreeMap::new(),
            picture_troubles: BTreeMap::new(),
            boat: String::new(),
            hand_name: String::new(),
            written: String::new(),
            n_statements: 0,
            units: String::new(),
            sent: String::new(),
            secret: None,
        }
    }

    /// As a line of the list of logs.
    #[must_use]
    pub fn card(&self) -> LogCard {
        LogCard {
            log: self.log.to_string(),
            boat: self.boat.clone(),
            hand: self.hand_name.clone(),
            written: self.written.clone(),
            n_statements: self.n_statements,
            is_demo: self.is_demo,
        }
    }
}
