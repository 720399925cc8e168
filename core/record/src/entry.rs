//! One entry as it stands now: its statement, its amendments, its disputes and its strikes.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use crate::shape::Shape;
use crate::{Body, Decimal, Id, Kind, Money, Quantity, Statement, When, small};

/// An entry with all that was said about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its id.
    pub id: Id,
    /// The statement that made it.
    pub statement: Statement,
    /// What it says now, amendments included; a disputed field at the value with the lowest id.
    pub body: Body,
    /// The ids of every statement about it (amendments, choices, strikes, lifts), in id order.
    pub about: Vec<Id>,
    /// The fields that were amended, each with the values that nobody replaced, in id order.
    pub amended: BTreeMap<String, Vec<Version>>,
    /// The strikes that no lift has taken back, in id order.
    pub strikes: Vec<Strike>,
    /// Fields whose form this version does not know.
    pub unknown_forms: Vec<String>,
    /// Whether it was amended by a hand that had not seen it struck, or after.
    pub amended_while_struck: bool,
    /// The statements of each amended field, in id order; the entry itself counts as one.
    seen: BTreeMap<String, Vec<Id>>,
}

/// One value of a field, with who wrote it.
#[derive(Debug, Clone, PartialEq)]
pub struct Version {
    /// The statement that says it: the entry itself, an amendment or a choice.
    pub statement: Id,
    /// The value; null where the field was taken away or never given.
    pub value: Value,
    /// Whose hand.
    pub hand: Id,
    /// On which device.
    pub device: Id,
    /// When it was written.
    pub written: Option<When>,
    /// Why, where it was said.
    pub reason: Option<String>,
}

/// A strike that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strike {
    /// The statement.
    pub statement: Id,
    /// Whose hand.
    pub hand: Id,
    /// When it was written.
    pub written: Option<When>,
    /// Why.
    pub why: Option<String>,
}

impl Entry {
    /// Works an entry out from its statement and those about it, in id order.
    pub(crate) fn resolve(
        id: Id,
        statement: &Statement,
        about: &[(Id, &Statement, &Body)],
    ) -> Self {
        let mut entry = Self {
            id,
            statement: statement.clone(),
            body: Body::Unknown,
            about: about.iter().map(|(id, ..)| *id).collect(),
            amended: BTreeMap::new(),
            strikes: Vec::new(),
            unknown_forms: Vec::new(),
            amended_while_struck: false,
            seen: BTreeMap::new(),
        };
        entry.resolve_amendments(about);
        entry.resolve_strikes(about);
        entry.read_body();
        entry
    }

    fn resolve_amendments(&mut self, about: &[(Id, &Statement, &Body)]) {
        let mut named: BTreeMap<&str, BTreeSet<Id>> = BTreeMap::new();
        let mut said: BTreeMap<&str, Vec<Version>> = BTreeMap::new();
        for (id, statement, body) in about {
            let (field, value, sees, reason) = match body {
                Body::Amendment(a) => (a.field.as_deref(), &a.value, &a.sees, &a.reason),
                Body::Choice(c) => (c.field.as_deref(), &c.value, &c.sees, &c.reason),
                _ => continue,
            };
            let Some(field) = field else { continue };
            named
                .entry(field)
                .or_default()
                .extend(sees.iter().filter(|seen| *seen != id));
            said.entry(field).or_default().push(Version {
                statement: *id,
                value: value.clone().unwrap_or(Value::Null),
                hand: statement.hand,
                device: statement.device,
                written: statement.written.clone(),
                reason: reason.clone(),
            });
        }
        if said.is_empty() {
            return;
        }
        let base = self.statement.fields();
        for (field, amendments) in said {
            let first = Version {
                statement: self.id,
                value: base.get(field).cloned().unwrap_or(Value::Null),
                hand: self.statement.hand,
                device: self.statement.device,
                written: self.statement.written.clone(),
                reason: None,
            };
            let all: Vec<Version> = std::iter::once(first).chain(amendments).collect();
            let seen: Vec<Id> = all.iter().map(|version| version.statement).collect();
            let empty = BTreeSet::new();
            let named = named.get(field).unwrap_or(&empty);
            let mut standing: Vec<Version> = all
                .iter()
                .filter(|version| !named.contains(&version.statement))
                .cloned()
                .collect();
            if standing.is_empty() {
                // Amendments that name each other in a circle: nothing is lost, all stand.
                standing = all;
            }
            small::sort_by_key(&mut standing, |version| version.statement);
            self.amended.insert(field.to_owned(), standing);
            self.seen.insert(field.to_owned(), seen);
        }
    }

    fn resolve_strikes(&mut self, about: &[(Id, &Statement, &Body)]) {
        let mut lifted = BTreeSet::new();
        for (_, _, body) in about {
            if let Body::Lift(lift) = body {
                lifted.extend(lift.sees.iter().copied());
            }
        }
        let amendments: Vec<Id> = about
            .iter()
            .filter(|(_, _, body)| matches!(body, Body::Amendment(_) | Body::Choice(_)))
            .map(|(id, ..)| *id)
            .collect();
        for (id, statement, body) in about {
            if let Body::Strike(strike) = body
                && !lifted.contains(id)
            {
                self.amended_while_struck |= amendments
                    .iter()
                    .any(|amendment| !strike.sees.contains(amendment));
                self.strikes.push(Strike {
                    statement: *id,
                    hand: statement.hand,
                    written: statement.written.clone(),
                    why: strike.why.clone(),
                });
            }
        }
    }

    fn read_body(&mut self) {
        let kind = &self.statement.kind;
        if self.amended.is_empty()
            && let Ok(body) = Body::read(kind, self.statement.fields_text())
        {
            self.body = body;
            return;
        }
        let fields = self.fields();
        if let Ok(body) = Body::read_map(kind, fields.clone()) {
            self.body = body;
            return;
        }
        // One field has a form of tomorrow: the others are still understood.
        let mut understood = Map::new();
        for (name, value) in fields {
            let mut alone = Map::new();
            alone.insert(name.clone(), value.clone());
            if Body::read_map(kind, alone).is_ok() {
                understood.insert(name, value);
            } else {
                self.unknown_forms.push(name);
            }
        }
        self.body = Body::read_map(kind, understood).unwrap_or(Body::Unknown);
    }

    /// The fields as they stand now, those that this version does not know included.
    #[must_use]
    pub fn fields(&self) -> Map<String, Value> {
        let mut fields = self.statement.fields();
        for (name, versions) in &self.amended {
            match versions.first() {
                Some(version) if !version.value.is_null() => {
                    fields.insert(name.clone(), version.value.clone())
                }
                _ => fields.remove(name),
            };
        }
        fields
    }

    /// What the entry would say with one field at another value.
    #[must_use]
    pub fn body_with(&self, field: &str, value: &Value) -> Body {
        let mut fields = self.fields();
        if value.is_null() {
            fields.remove(field);
        } else {
            fields.insert(field.to_owned(), value.clone());
        }
        Body::read_map(&self.statement.kind, fields).unwrap_or(Body::Unknown)
    }

    /// Every value of a field that nobody replaced, in id order; one, unless it is disputed.
    #[must_use]
    pub fn versions(&self, field: &str) -> Vec<Version> {
        self.amended.get(field).cloned().unwrap_or_else(|| {
            vec![Version {
                statement: self.id,
                value: self
                    .statement
                    .fields()
                    .get(field)
                    .cloned()
                    .unwrap_or(Value::Null),
                hand: self.statement.hand,
                device: self.statement.device,
                written: self.statement.written.clone(),
                reason: None,
            }]
        })
    }

    /// Every statement of a field that is known: what an amendment of it must name.
    #[must_use]
    pub fn seen(&self, field: &str) -> Vec<Id> {
        self.seen
            .get(field)
            .cloned()
            .unwrap_or_else(|| vec![self.id])
    }

    /// Whether two hands wrote a field differently and nobody has chosen.
    #[must_use]
    pub fn is_disputed(&self, field: &str) -> bool {
        self.amended
            .get(field)
            .is_some_and(|versions| self.differ(field, versions))
    }

    /// The disputed fields with all their values, by name.
    pub fn disputes(&self) -> impl Iterator<Item = (&str, &[Version])> {
        self.amended
            .iter()
            .filter(|(field, versions)| self.differ(field, versions))
            .map(|(field, versions)| (field.as_str(), versions.as_slice()))
    }

    fn differ(&self, field: &str, versions: &[Version]) -> bool {
        versions.split_first().is_some_and(|(first, rest)| {
            rest.iter()
                .any(|other| !same_value(&self.statement.kind, field, &first.value, &other.value))
        })
    }

    /// Whether it is struck.
    #[must_use]
    pub fn is_struck(&self) -> bool {
        !self.strikes.is_empty()
    }

    /// When it happened, for sorting.
    #[must_use]
    pub fn sort_key(&self) -> i64 {
        self.statement.sort_key(self.id)
    }
}

/// Whether two values of a field mean the same: 12.7 mm and 1/2 in do.
#[must_use]
pub fn same_value(kind: &Kind, field: &str, a: &Value, b: &Value) -> bool {
    fn both<T: serde::de::DeserializeOwned>(a: &Value, b: &Value) -> Option<(T, T)> {
        Some((
            serde_json::from_value(a.clone()).ok()?,
            serde_json::from_value(b.clone()).ok()?,
        ))
    }
    if a == b {
        return true;
    }
    match kind.field(field).map(|field| field.shape) {
        Some(Shape::Amount(_)) => both::<Quantity>(a, b).is_some_and(|(a, b)| a.equals(&b)),
        Some(Shape::Money) => both::<Money>(a, b)
            .is_some_and(|(a, b)| a.currency == b.currency && a.amount == b.amount),
        Some(Shape::Number) => both::<Decimal>(a, b).is_some_and(|(a, b)| a == b),
        Some(Shape::Words(_)) => both::<BTreeSet<String>>(a, b).is_some_and(|(a, b)| a == b),
        _ => false,
    }
}
