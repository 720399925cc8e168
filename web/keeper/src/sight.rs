//! What the views look at: a snapshot, what refers to what in it, and what this device holds.

use std::collections::{BTreeMap, BTreeSet};

use garboard_protocol::{PlaceRef, Ref};
use garboard_record::unit::System;
use garboard_record::word::{Stage, Word as _};
use garboard_record::{Body, Digest, Entry, Id, Index, Quantity, Snapshot};

/// What is known of this device and of the others.
#[derive(Debug, Clone, Default)]
pub struct Around {
    /// The digests of the picture bytes that are here, originals and renditions.
    pub pictures: BTreeSet<Digest>,
    /// Why no smaller sizes could be made of a photograph, by its entry.
    pub picture_troubles: BTreeMap<Id, String>,
    /// This device.
    pub device: Option<Id>,
    /// The units in which the person wants amounts; `None` for as they were entered.
    pub units: Option<System>,
    /// Up to which count of each writing device another device is known to have the log.
    pub others: BTreeMap<Id, BTreeMap<Id, u64>>,
}

/// A log as the views see it.
#[derive(Debug, Clone, Copy)]
pub struct Sight<'a> {
    /// What the statements mean together.
    pub snapshot: &'a Snapshot,
    /// What refers to what in the snapshot.
    pub index: &'a Index,
    /// What is known of this device and of the others.
    pub around: &'a Around,
}

impl<'a> Sight<'a> {
    /// The place of an entry with its path.
    #[must_use]
    pub fn place_of(&self, id: Id) -> Option<PlaceRef> {
        self.index
            .place_of(self.snapshot, id)
            .map(|place| self.place(place))
    }

    /// A place with its path.
    #[must_use]
    pub fn place(&self, place: Id) -> PlaceRef {
        PlaceRef {
            id: place.to_string(),
            path: self
                .index
                .path(place)
                .into_iter()
                .map(|id| self.snapshot.title(id))
                .collect(),
        }
    }

    /// An entry by its title.
    #[must_use]
    pub fn to(&self, id: Id) -> Ref {
        Ref {
            id: id.to_string(),
            title: self.snapshot.title(id),
        }
    }

    /// The finding that an entry belongs to, if it names one; a finding belongs to itself.
    #[must_use]
    pub fn finding_of(&self, entry: &Entry) -> Option<Id> {
        match &entry.body {
            Body::Finding(_) => Some(entry.id),
            _ => named(entry, "finding"),
        }
    }

    /// The repair that an entry belongs to: named, or by its step; a repair belongs to itself.
    #[must_use]
    pub fn repair_of(&self, entry: &Entry) -> Option<Id> {
        match &entry.body {
            Body::Repair(_) => Some(entry.id),
            _ => named(entry, "repair").or_else(|| {
                let step = named(entry, "step")?;
                named(self.snapshot.entry(step)?, "repair")
            }),
        }
    }

    /// The photographs of an entry, struck ones left out, in the order taken.
    #[must_use]
    pub fn photographs(&self, id: Id) -> Vec<&'a Entry> {
        let mut found: Vec<&Entry> = self
            .index
            .referring(id)
            .iter()
            .filter(|(_, field)| ["finding", "repair", "of", "place"].contains(field))
            .filter_map(|(by, _)| self.snapshot.entry(*by))
            .filter(|entry| !entry.is_struck() && matches!(entry.body, Body::Photograph(_)))
            .collect();
        garboard_record::small::sort_by_key(&mut found, |entry| (entry.sort_key(), entry.id));
        found.dedup_by_key(|entry| entry.id);
        found
    }

    /// How far the photographs of an entry have come: 0 to 5.
    #[must_use]
    pub fn strokes(&self, id: Id) -> u8 {
        self.photographs(id)
            .into_iter()
            .filter_map(|entry| match &entry.body {
                Body::Photograph(photograph) => photograph.stage.as_ref().map(stroke),
                _ => None,
            })
            .max()
            .unwrap_or_default()
    }

    /// The other devices that are known to have a statement.
    #[must_use]
    pub fn also_on(&self, id: Id) -> Vec<String> {
        let Some(statement) = self.snapshot.statement(id) else {
            return Vec::new();
        };
        let mut devices: Vec<Id> = self
            .around
            .others
            .iter()
            .filter(|(_, counts)| {
                counts
                    .get(&statement.device)
                    .is_some_and(|count| *count >= statement.count)
            })
            .map(|(device, _)| *device)
            .collect();
        if Some(statement.device) != self.around.device && !devices.contains(&statement.device) {
            devices.push(statement.device);
        }
        devices
            .into_iter()
            .filter(|device| Some(*device) != self.around.device)
            .map(|device| self.device_shown(device))
            .collect()
    }

    /// A device as people tell it from others: its name, with its hand's where the name does not say it.
    #[must_use]
    pub fn device_shown(&self, device: Id) -> String {
        let name = self.snapshot.device_name(device);
        let hand = match self.snapshot.entry(device).map(|entry| &entry.body) {
            Some(Body::Device(body)) => body.hand.map(|hand| self.snapshot.hand_name(hand)),
            _ => None,
        };
        match hand {
            Some(hand) if !name.to_lowercase().contains(&hand.to_lowercase()) => {
                format!("{hand}: {name}")
            }
            _ => name.to_owned(),
        }
    }

    /// An amount in the person's units, with how it was entered beside it.
    #[must_use]
    pub fn amount(&self, amount: &Quantity) -> String {
        match self.around.units.and_then(|units| amount.in_system(units)) {
            Some(converted) => format!("{converted} ({amount})"),
            None => amount.to_string(),
        }
    }

    /// Whether a picture's bytes are here.
    #[must_use]
    pub fn has(&self, digest: Digest) -> bool {
        self.around.pictures.contains(&digest)
    }
}

/// The entry that a field names.
#[must_use]
pub fn named(entry: &Entry, field: &str) -> Option<Id> {
    let mut found = None;
    entry.body.refer(&mut |name, target| {
        if name == field && found.is_none() {
            found = Some(target);
        }
    });
    found
}

/// How many strokes a stage fills: *found* one, *finished* five; 0 for a stage of later software.
#[must_use]
pub fn stroke(stage: &Stage) -> u8 {
    Stage::WORDS
        .iter()
        .position(|(word, _)| *word == stage.as_str())
        .and_then(|idx| u8::try_from(idx + 1).ok())
        .unwrap_or_default()
}

/// A word with a capital.
#[must_use]
pub fn capital(word: &str) -> String {
    let mut letters = word.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
