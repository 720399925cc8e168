//! The state of everything: a pure function of the set of statements.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::kind::boat::Boat;
use crate::{Body, Digest, Entry, Id, Kind, Statement, small};

/// What the statements of a log mean together.
///
/// Two snapshots of the same set are equal, whatever the order in which the set was read.
/// Nothing that was read is lost: what is not understood is kept and remarked on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Snapshot {
    log: Option<Id>,
    /// Every statement of this log by id; of twins, the one with the lower text.
    statements: BTreeMap<Id, Statement>,
    /// Further texts under the same id.
    twins: BTreeMap<Id, BTreeSet<Arc<str>>>,
    /// Statements of other logs, and texts that are no statements.
    foreign: BTreeMap<Id, BTreeMap<Id, BTreeSet<Arc<str>>>>,
    unreadable: BTreeMap<Id, BTreeSet<Arc<str>>>,
    strange: BTreeMap<String, BTreeSet<String>>,
    /// The parsed statements about entries.
    bodies: BTreeMap<Id, Body>,
    /// Statements about each entry, in id order, whether the entry has arrived or not.
    about: BTreeMap<Id, BTreeSet<Id>>,
    entries: BTreeMap<Id, Entry>,
    /// The counts that each device has used, each with the statements that carry it.
    counts: BTreeMap<Id, BTreeMap<u64, BTreeSet<Id>>>,
    withdrawn: BTreeMap<Digest, BTreeSet<Id>>,
}

impl Snapshot {
    /// The snapshot of a set of statements, in any order, repeats allowed.
    #[must_use]
    pub fn of<T: Into<Arc<str>>>(statements: impl IntoIterator<Item = (Id, T)>) -> Self {
        let mut all: Vec<(Id, Arc<str>)> = statements
            .into_iter()
            .map(|(id, text)| (id, text.into()))
            .collect();
        small::sort(&mut all);
        all.dedup();
        let mut snapshot = Self::default();
        let mut read = Vec::with_capacity(all.len());
        let mut logs: BTreeMap<Id, usize> = BTreeMap::new();
        for (id, text) in all {
            match Statement::read(Arc::clone(&text)) {
                Ok(statement) => {
                    *logs.entry(statement.log).or_default() += 1;
                    read.push((id, statement));
                }
                Err(_) => {
                    snapshot.unreadable.entry(id).or_default().insert(text);
                }
            }
        }
        snapshot.log = foremost(&logs);
        for (id, statement) in read {
            snapshot.place(id, statement);
        }
        let about: Vec<Id> = snapshot.about.keys().copied().collect();
        let made: Vec<Id> = snapshot
            .statements
            .iter()
            .filter(|(_, s)| s.kind.is_entry())
            .map(|(id, _)| *id)
            .collect();
        let amended: BTreeSet<Id> = small::set(about);
        for id in made {
            if let Some(statement) = snapshot.statements.get(&id) {
                let entry = if amended.contains(&id) {
                    snapshot.resolved(id, statement)
                } else {
                    Entry::resolve(id, statement, &[])
                };
                snapshot.entries.insert(id, entry);
            }
        }
        snapshot
    }

    /// Takes one more statement in.
    pub fn insert(&mut self, id: Id, text: impl Into<Arc<str>>) {
        let text = text.into();
        if self.holds(id, &text) {
            return;
        }
        let Ok(statement) = Statement::read(Arc::clone(&text)) else {
            self.unreadable.entry(id).or_default().insert(text);
            return;
        };
        let plain =
            self.log.is_some_and(|log| log == statement.log) && !self.statements.contains_key(&id);
        if !plain {
            // Twins and other logs are rare: the whole is worked out anew.
            let strange = std::mem::take(&mut self.strange);
            *self = Self::of(
                self.texts()
                    .chain(std::iter::once((id, text)))
                    .collect::<Vec<_>>(),
            );
            self.strange = strange;
            return;
        }
        let target = self.place(id, statement);
        for changed in std::iter::once(id).chain(target) {
            if let Some(statement) = self.statements.get(&changed).filter(|s| s.kind.is_entry()) {
                let entry = self.resolved(changed, statement);
                self.entries.insert(changed, entry);
            }
        }
    }

    /// Keeps a text that stands under a key of the document which is no id.
    pub fn insert_strange(&mut self, key: &str, text: &str) {
        self.strange
            .entry(key.to_owned())
            .or_default()
            .insert(text.to_owned());
    }

    /// Puts a statement where it belongs, and names the entry that it is about.
    fn place(&mut self, id: Id, statement: Statement) -> Option<Id> {
        if self.log != Some(statement.log) {
            self.foreign
                .entry(statement.log)
                .or_default()
                .entry(id)
                .or_default()
                .insert(statement.text);
            return None;
        }
        self.counts
            .entry(statement.device)
            .or_default()
            .entry(statement.count)
            .or_default()
            .insert(id);
        if self.statements.contains_key(&id) {
            // Texts of one id come in rising order: the first one stays.
            self.twins.entry(id).or_default().insert(statement.text);
            return None;
        }
        let mut target = None;
        if !statement.kind.is_entry() {
            let body =
                Body::read(&statement.kind, statement.fields_text()).unwrap_or(Body::Unknown);
            target = match &body {
                Body::Amendment(a) => a.entry,
                Body::Choice(c) => c.entry,
                Body::Strike(s) => s.entry,
                Body::Lift(l) => l.entry,
                Body::Withdrawal(w) => {
                    if let Some(digest) = w.digest {
                        self.withdrawn.entry(digest).or_default().insert(id);
                    }
                    None
                }
                _ => None,
            };
            if let Some(target) = target {
                self.about.entry(target).or_default().insert(id);
            }
            self.bodies.insert(id, body);
        }
        self.statements.insert(id, statement);
        target
    }

    fn resolved(&self, id: Id, statement: &Statement) -> Entry {
        let about: Vec<(Id, &Statement, &Body)> = self
            .about
            .get(&id)
            .into_iter()
            .flatten()
            .filter_map(|about| {
                Some((*about, self.statements.get(about)?, self.bodies.get(about)?))
            })
            .collect();
        Entry::resolve(id, statement, &about)
    }

    fn holds(&self, id: Id, text: &Arc<str>) -> bool {
        self.statements.get(&id).is_some_and(|s| s.text == *text)
            || self
                .twins
                .get(&id)
                .is_some_and(|texts| texts.contains(text))
            || self
                .unreadable
                .get(&id)
                .is_some_and(|texts| texts.contains(text))
            || self
                .foreign
                .values()
                .any(|log| log.get(&id).is_some_and(|texts| texts.contains(text)))
    }

    /// Every text that was read, whatever it is: this log's statements, twins, other logs' and unreadable ones.
    pub fn texts(&self) -> impl Iterator<Item = (Id, Arc<str>)> + '_ {
        let own = self
            .statements
            .iter()
            .map(|(id, s)| (*id, Arc::clone(&s.text)));
        let twins = self
            .twins
            .iter()
            .flat_map(|(id, texts)| texts.iter().map(|text| (*id, Arc::clone(text))));
        let foreign = self
            .foreign
            .values()
            .flatten()
            .flat_map(|(id, texts)| texts.iter().map(|text| (*id, Arc::clone(text))));
        let unreadable = self
            .unreadable
            .iter()
            .flat_map(|(id, texts)| texts.iter().map(|text| (*id, Arc::clone(text))));
        own.chain(twins).chain(foreign).chain(unreadable)
    }

    /// The log's id: that of the boat statement which began it. Where statements of several logs were thrown together, that of most.
    #[must_use]
    pub fn log_id(&self) -> Option<Id> {
        self.log
    }

    /// The boat, where its statement has arrived.
    #[must_use]
    pub fn boat(&self) -> Option<(&Entry, &Boat)> {
        let of = |entry: &'_ Entry| matches!(entry.body, Body::Boat(_));
        let first = self
            .log
            .and_then(|log| self.entries.get(&log))
            .filter(|entry| of(entry))
            .or_else(|| self.entries.values().find(|entry| of(entry)))?;
        match &first.body {
            Body::Boat(boat) => Some((first, boat)),
            _ => None,
        }
    }

    /// The boat's name, or words that say it has not arrived.
    #[must_use]
    pub fn boat_name(&self) -> &str {
        self.boat()
            .and_then(|(_, boat)| boat.name.as_deref())
            .unwrap_or("(a boat whose name has not arrived)")
    }

    /// Every entry in id order, struck ones included.
    pub fn entries(&self) -> impl DoubleEndedIterator<Item = &Entry> {
        self.entries.values()
    }

    /// The entries that are not struck, in id order.
    pub fn standing(&self) -> impl DoubleEndedIterator<Item = &Entry> {
        self.entries.values().filter(|entry| !entry.is_struck())
    }

    /// The entry of this id.
    #[must_use]
    pub fn entry(&self, id: Id) -> Option<&Entry> {
        self.entries.get(&id)
    }

    /// The statement of this id, entry or not.
    #[must_use]
    pub fn statement(&self, id: Id) -> Option<&Statement> {
        self.statements.get(&id)
    }

    /// Every statement of this log in id order; of twins, the lower one.
    pub fn statements(&self) -> impl DoubleEndedIterator<Item = (Id, &Statement)> {
        self.statements
            .iter()
            .map(|(id, statement)| (*id, statement))
    }

    /// How many statements of this log are known, twins included.
    #[must_use]
    pub fn n_statements(&self) -> usize {
        self.statements.len() + self.twins.values().map(BTreeSet::len).sum::<usize>()
    }

    /// What a statement about an entry says.
    #[must_use]
    pub fn about_body(&self, id: Id) -> Option<&Body> {
        self.bodies.get(&id)
    }

    /// The statements about an entry that has not arrived or is none, in id order.
    pub fn astray(&self) -> impl Iterator<Item = (Id, Id)> + '_ {
        self.about
            .iter()
            .filter(|(target, _)| !self.entries.contains_key(target))
            .flat_map(|(target, about)| about.iter().map(|id| (*target, *id)))
    }

    /// Whether the bytes of this digest were withdrawn.
    #[must_use]
    pub fn is_withdrawn(&self, digest: Digest) -> bool {
        self.withdrawn.contains_key(&digest)
    }

    /// Every digest whose bytes were withdrawn, in order.
    pub fn withdrawn(&self) -> impl Iterator<Item = Digest> + '_ {
        self.withdrawn.keys().copied()
    }

    /// The highest count that a device has used.
    #[must_use]
    pub fn highest_count(&self, device: Id) -> Option<u64> {
        self.counts
            .get(&device)?
            .last_key_value()
            .map(|(count, _)| *count)
    }

    /// The statements that carry a device's count; more than one where a copy of the device has written.
    pub fn at_count(&self, device: Id, count: u64) -> impl Iterator<Item = Id> + '_ {
        self.counts
            .get(&device)
            .and_then(|counts| counts.get(&count))
            .into_iter()
            .flatten()
            .copied()
    }

    /// The counts of each device that more than one statement carries, in order.
    pub fn doubled_counts(&self) -> impl Iterator<Item = (Id, u64, &BTreeSet<Id>)> {
        self.counts.iter().flat_map(|(device, counts)| {
            counts
                .iter()
                .filter(|(_, ids)| ids.len() > 1)
                .map(|(count, ids)| (*device, *count, ids))
        })
    }

    /// The devices that have written, in id order.
    pub fn devices(&self) -> impl Iterator<Item = Id> + '_ {
        self.counts.keys().copied()
    }

    /// Further texts that stand under the id of a statement.
    pub fn twins(&self) -> impl Iterator<Item = (Id, &BTreeSet<Arc<str>>)> {
        self.twins.iter().map(|(id, texts)| (*id, texts))
    }

    /// Texts that are no statements.
    pub fn unreadable(&self) -> impl Iterator<Item = (Id, &Arc<str>)> {
        self.unreadable
            .iter()
            .flat_map(|(id, texts)| texts.iter().map(|text| (*id, text)))
    }

    /// Texts under keys that are no ids.
    pub fn strange(&self) -> impl Iterator<Item = (&str, &str)> {
        self.strange
            .iter()
            .flat_map(|(key, texts)| texts.iter().map(|text| (key.as_str(), text.as_str())))
    }

    /// Other logs whose statements are kept apart, with how many.
    pub fn other_logs(&self) -> impl Iterator<Item = (Id, usize)> + '_ {
        self.foreign
            .iter()
            .map(|(log, ids)| (*log, ids.values().map(BTreeSet::len).sum()))
    }

    /// The name that stands beside what a hand wrote.
    #[must_use]
    pub fn hand_name(&self, hand: Id) -> &str {
        match self.entries.get(&hand).map(|entry| &entry.body) {
            Some(Body::Hand(hand)) => hand.name.as_deref().unwrap_or("(unnamed)"),
            Some(Body::Person(person)) => person.name.as_deref().unwrap_or("(unnamed)"),
            _ => "(unknown hand)",
        }
    }

    /// What a device is called.
    #[must_use]
    pub fn device_name(&self, device: Id) -> &str {
        match self.entries.get(&device).map(|entry| &entry.body) {
            Some(Body::Device(device)) => device.name.as_deref().unwrap_or("(unnamed)"),
            _ => "(unknown device)",
        }
    }

    /// What an entry is called, in a few words: its title, its name, or its first words.
    #[must_use]
    pub fn title(&self, id: Id) -> String {
        self.entries
            .get(&id)
            .map_or_else(|| "(has not arrived)".to_owned(), Entry::title)
    }
}

impl Entry {
    /// What the entry is called, in a few words.
    #[must_use]
    pub fn title(&self) -> String {
        let first = |text: &Option<String>| text.as_deref().map(first_words);
        let found = match &self.body {
            Body::Boat(b) => first(&b.name),
            Body::Place(p) => first(&p.name),
            Body::Finding(f) => first(&f.title),
            Body::Repair(r) => first(&r.title),
            Body::Step(s) => first(&s.title),
            Body::WayIn(w) => first(&w.title),
            Body::Fitting(f) => first(&f.name),
            Body::Instrument(i) => first(&i.name),
            Body::Person(p) => first(&p.name),
            Body::Hand(h) => first(&h.name),
            Body::Device(d) => first(&d.name),
            Body::Paper(p) => first(&p.title),
            Body::Material(m) => first(&m.what),
            Body::Cost(c) => first(&c.what),
            Body::Upkeep(u) => first(&u.what),
            Body::Note(n) => first(&n.words),
            Body::SoundNote(s) => first(&s.words),
            Body::Photograph(p) => first(&p.shows).or_else(|| first(&p.file_name)),
            Body::Examination(e) => {
                first(&e.words).or_else(|| e.outcome.as_ref().map(|o| o.shown().to_owned()))
            }
            Body::Reading(r) => {
                let value = r
                    .value
                    .as_ref()
                    .map(ToString::to_string)
                    .or_else(|| r.word.clone())
                    .or_else(|| r.yes.map(|yes| if yes { "yes" } else { "no" }.to_owned()));
                let value = match (&r.range, value) {
                    (
                        Some(range @ (crate::word::Range::Over | crate::word::Range::Under)),
                        value,
                    ) => Some(
                        format!("{} {}", range.shown(), value.unwrap_or_default())
                            .trim()
                            .to_owned(),
                    ),
                    (_, value) => value,
                };
                value
                    .map(|value| format!("{}: {value}", r.quantity.as_deref().unwrap_or("reading")))
            }
            Body::Test(t) => t.trial.as_ref().map(|trial| {
                format!(
                    "{}: {}",
                    trial.shown(),
                    t.verdict.as_ref().map_or("undecided", |v| v.shown())
                )
            }),
            Body::Reckoning(r) => {
                first(&r.words).or_else(|| r.method.as_ref().map(|method| method.replace('-', " ")))
            }
            Body::BoatState(s) => s.lie.as_ref().map(|lie| lie.shown().to_owned()),
            Body::Stint(s) => {
                first(&s.words).or_else(|| s.work.as_ref().map(|w| w.shown().to_owned()))
            }
            _ => None,
        };
        found
            .filter(|text| !text.is_empty())
            .unwrap_or_else(|| self.statement.kind.shown().to_owned())
    }
}

/// The first line of a text, at most 80 characters of it.
fn first_words(text: &str) -> String {
    let line = text.trim().lines().next().unwrap_or_default();
    if line.chars().count() <= 80 {
        return line.to_owned();
    }
    let cut: String = line.chars().take(79).collect();
    format!("{}…", cut.trim_end())
}

/// The log that most statements belong to; of equals, the oldest.
fn foremost(logs: &BTreeMap<Id, usize>) -> Option<Id> {
    logs.iter()
        .max_by(|(a_log, a), (b_log, b)| a.cmp(b).then(b_log.cmp(a_log)))
        .map(|(log, _)| *log)
}

/// The kinds of the statements of a log, each with how many.
#[must_use]
pub fn count_by_kind(snapshot: &Snapshot) -> BTreeMap<Kind, usize> {
    let mut counts = BTreeMap::new();
    for (_, statement) in snapshot.statements() {
        *counts.entry(statement.kind.clone()).or_default() += 1;
    }
    counts
}
