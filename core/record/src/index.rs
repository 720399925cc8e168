//! What refers to what: places within places, what hangs on an entry, the members of a whole.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::kind::boat::{Engine, Layer};
use crate::kind::work::Part;
use crate::word::Role;
use crate::{Body, Decimal, Digest, Entry, Id, Money, Quantity, Snapshot, When, small};

/// A value that may name entries.
pub trait Refers {
    /// Calls `f` with each id that the value names.
    fn refer(&self, _f: &mut dyn FnMut(Id)) {}
}

impl Refers for Id {
    fn refer(&self, f: &mut dyn FnMut(Id)) {
        f(*self);
    }
}

impl<T: Refers> Refers for Option<T> {
    fn refer(&self, f: &mut dyn FnMut(Id)) {
        if let Some(value) = self {
            value.refer(f);
        }
    }
}

impl<T: Refers> Refers for Vec<T> {
    fn refer(&self, f: &mut dyn FnMut(Id)) {
        for value in self {
            value.refer(f);
        }
    }
}

macro_rules! refers_to_nothing {
    ($($type:ty),*) => { $(impl Refers for $type {})* };
}
refers_to_nothing!(
    String, bool, u64, Value, Decimal, Quantity, Money, When, Digest, Engine, Layer, Part
);

/// What refers to what in a snapshot. Made anew when the snapshot has changed.
#[derive(Debug, Clone, Default)]
pub struct Index {
    /// For each entry that is referred to: who refers to it, in id order, and in which field. Struck entries refer too.
    referring: BTreeMap<Id, Vec<(Id, &'static str)>>,
    /// For each place, the place that it lies in; those in a circle hang at the root.
    parents: BTreeMap<Id, Option<Id>>,
    /// The places in a circle.
    circle: BTreeSet<Id>,
    members: BTreeMap<Id, Vec<(Id, Role)>>,
    wholes: BTreeMap<Id, Vec<(Id, Role)>>,
}

/// The fields that name what an entry belongs to, the nearest first; without a place of its own it lies where that lies.
pub const BELONGS: [&str; 8] = [
    "finding",
    "fitting",
    "repair",
    "step",
    "of",
    "photograph",
    "way_in",
    "upkeep",
];

impl Index {
    /// Works out what refers to what.
    #[must_use]
    pub fn of(snapshot: &Snapshot) -> Self {
        let mut index = Self::default();
        for entry in snapshot.entries() {
            entry.body.refer(&mut |field, target| {
                index
                    .referring
                    .entry(target)
                    .or_default()
                    .push((entry.id, field));
            });
            if let (Body::Member(member), false) = (&entry.body, entry.is_struck())
                && let (Some(whole), Some(part), Some(role)) =
                    (member.whole, member.part, &member.role)
            {
                let parts = index.members.entry(whole).or_default();
                if !parts.contains(&(part, role.clone())) {
                    parts.push((part, role.clone()));
                    index
                        .wholes
                        .entry(part)
                        .or_default()
                        .push((whole, role.clone()));
                }
            }
        }
        index.hang_places(snapshot);
        index
    }

    fn hang_places(&mut self, snapshot: &Snapshot) {
        let named: BTreeMap<Id, Option<Id>> =
            small::map(snapshot.entries().filter_map(|entry| match &entry.body {
                Body::Place(place) => Some((
                    entry.id,
                    place.parent.filter(|parent| {
                        matches!(
                            snapshot.entry(*parent).map(|e| &e.body),
                            Some(Body::Place(_))
                        )
                    }),
                )),
                _ => None,
            }));
        for start in named.keys() {
            let mut walked = BTreeSet::new();
            let mut at = *start;
            while let Some(Some(parent)) = named.get(&at) {
                if *parent == *start {
                    self.circle.insert(*start);
                    break;
                }
                if !walked.insert(*parent) {
                    break;
                }
                at = *parent;
            }
        }
        self.parents = named;
        for (id, parent) in &mut self.parents {
            if self.circle.contains(id) {
                *parent = None;
            }
        }
    }

    /// Who refers to an entry, and in which field, in id order.
    #[must_use]
    pub fn referring(&self, target: Id) -> &[(Id, &'static str)] {
        self.referring.get(&target).map_or(&[], Vec::as_slice)
    }

    /// The entries that refer to one by a certain field, in id order, struck ones left out.
    pub fn by_field<'a>(
        &'a self,
        snapshot: &'a Snapshot,
        target: Id,
        field: &'a str,
    ) -> impl Iterator<Item = &'a Entry> {
        self.referring(target)
            .iter()
            .filter(move |(_, name)| *name == field)
            .filter_map(|(id, _)| snapshot.entry(*id))
            .filter(|entry| !entry.is_struck())
    }

    /// The parts of a whole, in the order in which they were added.
    pub fn parts<'a>(&'a self, whole: Id, role: &'a Role) -> impl Iterator<Item = Id> + 'a {
        self.members
            .get(&whole)
            .into_iter()
            .flatten()
            .filter(move |(_, found)| found == role)
            .map(|(part, _)| *part)
    }

    /// The wholes that something is a part of.
    pub fn wholes<'a>(&'a self, part: Id, role: &'a Role) -> impl Iterator<Item = Id> + 'a {
        self.wholes
            .get(&part)
            .into_iter()
            .flatten()
            .filter(move |(_, found)| found == role)
            .map(|(whole, _)| *whole)
    }

    /// The place that a place lies in; none at the root or in a circle.
    #[must_use]
    pub fn parent(&self, place: Id) -> Option<Id> {
        self.parents.get(&place).copied().flatten()
    }

    /// The places that lie directly in one, or at the root, in id order, struck ones included.
    pub fn places_in(&self, parent: Option<Id>) -> impl Iterator<Item = Id> + '_ {
        self.parents
            .iter()
            .filter(move |(_, found)| **found == parent)
            .map(|(id, _)| *id)
    }

    /// All places with their depth: each before those within it, siblings in id order.
    #[must_use]
    pub fn tree(&self) -> Vec<(Id, u32)> {
        let within = |parent, depth| {
            let mut inner: Vec<(Id, u32)> = self.places_in(parent).map(|id| (id, depth)).collect();
            inner.reverse();
            inner
        };
        let mut lines: Vec<(Id, u32)> = Vec::new();
        let mut waiting = within(None, 0);
        while let Some((id, depth)) = waiting.pop() {
            lines.push((id, depth));
            waiting.extend(within(Some(id), depth + 1));
        }
        lines
    }

    /// A place and all that it lies in, outermost first.
    #[must_use]
    pub fn path(&self, place: Id) -> Vec<Id> {
        let mut path = vec![place];
        let mut at = place;
        while let Some(parent) = self.parent(at) {
            if path.contains(&parent) {
                break;
            }
            path.push(parent);
            at = parent;
        }
        path.reverse();
        path
    }

    /// The path of a place in words: *Side deck, port › third bay*.
    #[must_use]
    pub fn path_shown(&self, snapshot: &Snapshot, place: Id) -> String {
        self.path(place)
            .into_iter()
            .map(|id| snapshot.title(id))
            .collect::<Vec<_>>()
            .join(" › ")
    }

    /// Whether a place lies within itself by way of others.
    #[must_use]
    pub fn is_in_circle(&self, place: Id) -> bool {
        self.circle.contains(&place)
    }

    /// The places in a circle, in id order.
    pub fn circle(&self) -> impl Iterator<Item = Id> + '_ {
        self.circle.iter().copied()
    }

    /// The steps that wait for themselves by way of others, in id order.
    #[must_use]
    pub fn waiting_circle(&self, snapshot: &Snapshot) -> Vec<Id> {
        let waits = |id: Id| self.parts(id, &Role::WaitsFor).collect::<Vec<_>>();
        let steps = snapshot
            .entries()
            .filter(|entry| matches!(entry.body, Body::Step(_)))
            .map(|entry| entry.id);
        steps
            .filter(|start| {
                let mut open = waits(*start);
                let mut walked = BTreeSet::new();
                while let Some(at) = open.pop() {
                    if at == *start {
                        return true;
                    }
                    if walked.insert(at) {
                        open.extend(waits(at));
                    }
                }
                false
            })
            .collect()
    }

    /// The renditions of a photograph by size; of several, the one with the lowest id.
    #[must_use]
    pub fn rendition<'a>(
        &'a self,
        snapshot: &'a Snapshot,
        photograph: Id,
        size: &crate::word::Size,
    ) -> Option<&'a crate::kind::picture::Rendition> {
        self.by_field(snapshot, photograph, "photograph")
            .find_map(|entry| match &entry.body {
                Body::Rendition(rendition)
                    if rendition.size.as_ref() == Some(size) && rendition.digest.is_some() =>
                {
                    Some(rendition.as_ref())
                }
                _ => None,
            })
    }

    /// Every digest whose bytes must not be kept: those withdrawn, and the renditions of withdrawn photographs.
    #[must_use]
    pub fn withdrawn_bytes(&self, snapshot: &Snapshot) -> BTreeSet<Digest> {
        let mut out: BTreeSet<Digest> = small::set(snapshot.withdrawn());
        for entry in snapshot.entries() {
            if let Body::Photograph(photograph) = &entry.body
                && photograph
                    .digest
                    .is_some_and(|digest| snapshot.is_withdrawn(digest))
            {
                let renditions = self
                    .referring(entry.id)
                    .iter()
                    .filter_map(|(id, _)| snapshot.entry(*id));
                out.extend(renditions.filter_map(|entry| match &entry.body {
                    Body::Rendition(rendition) => rendition.digest,
                    _ => None,
                }));
            }
        }
        out
    }

    /// The place of an entry: its own, or that of the finding, repair, step or other entry that it belongs to.
    #[must_use]
    pub fn place_of(&self, snapshot: &Snapshot, id: Id) -> Option<Id> {
        let mut at = id;
        for _ in 0..6 {
            let entry = snapshot.entry(at)?;
            if matches!(entry.body, Body::Place(_)) {
                return Some(at);
            }
            let mut named: Vec<(&'static str, Id)> = Vec::new();
            entry
                .body
                .refer(&mut |field, target| named.push((field, target)));
            let by = |wanted: &str| {
                named
                    .iter()
                    .find(|(field, _)| *field == wanted)
                    .map(|(_, target)| *target)
            };
            if let Some(place) = by("place") {
                return Some(place);
            }
            at = BELONGS.into_iter().find_map(by)?;
        }
        None
    }
}
