//! What the seller has left out, in one place for every form.

use std::borrow::Cow;
use std::collections::BTreeSet;

use garboard_reckon::{find, input, output};
use garboard_record::index::BELONGS;
use garboard_record::{Body, Entry, Id, Index, Snapshot, Statement};

use crate::Options;
use crate::names::Names;

/// What the seller has left out of a log.
pub(crate) struct Withheld<'a> {
    options: &'a Options,
    /// The entries at the places that were left out, and what belongs to them.
    gone: BTreeSet<Id>,
    /// The names that are kept to initials; none where they are printed.
    names: Option<Names>,
}

impl<'a> Withheld<'a> {
    pub(crate) fn of(snapshot: &Snapshot, options: &'a Options) -> Self {
        Self {
            options,
            gone: gone(snapshot, &options.left_places),
            names: (!options.names).then(|| Names::of(snapshot)),
        }
    }

    /// The log without the entries that were left out with their places, and without what was said about them.
    pub(crate) fn kept(&self, snapshot: &'a Snapshot) -> Cow<'a, Snapshot> {
        if self.gone.is_empty() {
            return Cow::Borrowed(snapshot);
        }
        let stays = |id: Id| {
            let about = snapshot.about_body(id).and_then(about);
            !self.gone.contains(&about.unwrap_or(id))
        };
        Cow::Owned(Snapshot::of(snapshot.texts().filter(|(id, _)| stays(*id))))
    }

    /// How many entries were left out with their places.
    pub(crate) fn n_gone(&self) -> usize {
        self.gone.len()
    }

    /// The names that are kept to initials.
    pub(crate) fn names(&self) -> Option<&Names> {
        self.names.as_ref()
    }

    /// Words as they may be told.
    pub(crate) fn told(&self, words: &str) -> String {
        self.names
            .as_ref()
            .map_or_else(|| words.to_owned(), |names| names.hidden(words))
    }

    /// Whether nothing of an entry may be told.
    pub(crate) fn entry(&self, entry: &Entry) -> bool {
        self.gone.contains(&entry.id) || self::entry(self.options, entry)
    }

    /// Whether a statement says what was left out, so that only its digest may leave.
    pub(crate) fn statement(&self, snapshot: &Snapshot, id: Id, statement: &Statement) -> bool {
        let target = snapshot.about_body(id).and_then(about).unwrap_or(id);
        self.gone.contains(&target)
            || self
                .names
                .as_ref()
                .is_some_and(|names| names.are_in(&statement.text))
            || self::statement(snapshot, self.options, id, statement)
    }
}

/// The entry that a statement is about.
fn about(body: &Body) -> Option<Id> {
    match body {
        Body::Amendment(said) => said.entry,
        Body::Choice(said) => said.entry,
        Body::Strike(said) => said.entry,
        Body::Lift(said) => said.entry,
        Body::Withdrawal(said) => said.entry,
        _ => None,
    }
}

/// The entries that leave with these places: what lies there, what lies within, and what belongs to either.
fn gone(snapshot: &Snapshot, places: &BTreeSet<Id>) -> BTreeSet<Id> {
    let mut out = BTreeSet::new();
    if places.is_empty() {
        return out;
    }
    let index = Index::of(snapshot);
    let is_left = |place: Id| {
        index
            .path(place)
            .iter()
            .any(|around| places.contains(around))
    };
    loop {
        let before = out.len();
        for entry in snapshot.entries() {
            let mut place = matches!(entry.body, Body::Place(_)).then_some(entry.id);
            let mut belongs = false;
            entry.body.refer(&mut |field, target| match field {
                "place" => place = Some(target),
                // A tie has two ends, and a mark may point at something else than its photograph.
                "whole" | "part" | "shows" => belongs |= out.contains(&target) || is_left(target),
                _ if BELONGS.contains(&field) => belongs |= out.contains(&target),
                _ => {}
            });
            // What has a place of its own that stays is told there, whatever else it belongs to. Of a kind that is not known
            // here nobody can tell where it lies.
            if place.map_or(belongs, is_left) || matches!(entry.body, Body::Unknown) {
                out.insert(entry.id);
            }
        }
        if out.len() == before {
            return out;
        }
    }
}

/// Whether a field says what was left out.
pub(crate) fn field(options: &Options, name: &str) -> bool {
    let is_money = matches!(
        name,
        "amount" | "price" | "unit_price" | "cost_estimate" | "tax"
    );
    let is_hours = matches!(name, "hours" | "start" | "end" | "hours_estimate");
    let is_position = matches!(name, "latitude" | "longitude" | "altitude");
    (is_money && !options.costs)
        || (is_hours && !options.hours)
        || (is_position && !options.positions)
}

/// Whether an entry is of a kind that was left out whole.
pub(crate) fn body(options: &Options, body: &Body) -> bool {
    match body {
        Body::Cost(_) => !options.costs,
        Body::Stint(_) => !options.hours,
        Body::Position(_) => !options.positions,
        Body::Reckoning(kept) => reckoning(options, kept.method.as_deref().unwrap_or_default()),
        _ => false,
    }
}

/// Whether a method reckons what was left out. Of a method that is not known here nobody can tell.
fn reckoning(options: &Options, method: &str) -> bool {
    let Some(of) = find(method) else {
        return !options.costs || !options.hours;
    };
    let is_money = of.inputs.iter().any(|one| is_money_in(&one.shape))
        || of.results.iter().any(|one| is_money_out(&one.shape));
    let is_hours = of.topic == garboard_reckon::Topic::Labour && !is_money;
    (is_money && !options.costs) || (is_hours && !options.hours)
}

fn is_money_in(shape: &input::Shape) -> bool {
    match shape {
        input::Shape::Money => true,
        input::Shape::Rows { columns, .. } => columns.iter().any(|one| is_money_in(&one.shape)),
        _ => false,
    }
}

fn is_money_out(shape: &output::Shape) -> bool {
    match shape {
        output::Shape::Money => true,
        output::Shape::Table(columns) => columns.iter().any(|one| is_money_out(&one.shape)),
        _ => false,
    }
}

/// Whether nothing of an entry may be told.
pub(crate) fn entry(options: &Options, entry: &Entry) -> bool {
    body(options, &entry.body) || (entry.is_struck() && !options.struck)
}

/// Whether a statement says what was left out, so that only its digest may leave.
fn statement(snapshot: &Snapshot, options: &Options, id: Id, statement: &Statement) -> bool {
    let is_of_withheld = |target: Option<Id>| {
        target
            .and_then(|target| snapshot.entry(target))
            .is_some_and(|target| entry(options, target))
    };
    match snapshot.about_body(id) {
        Some(Body::Amendment(said)) => {
            is_of_withheld(said.entry)
                || said
                    .field
                    .as_deref()
                    .is_some_and(|name| field(options, name))
        }
        Some(Body::Choice(said)) => {
            is_of_withheld(said.entry)
                || said
                    .field
                    .as_deref()
                    .is_some_and(|name| field(options, name))
        }
        Some(Body::Strike(said)) => is_of_withheld(said.entry),
        Some(Body::Lift(said)) => is_of_withheld(said.entry),
        Some(_) => false,
        None => {
            is_of_withheld(Some(id)) || statement.fields().keys().any(|name| field(options, name))
        }
    }
}
