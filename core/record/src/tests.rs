//! What holds for the vocabulary: values against published ones, statements, snapshots, standings and sums.

mod order;
mod plan;
mod published;
mod refusal;
mod stands;
mod sums;
mod written;

use crate::{Draft, Id, Kind, Snapshot, Stamper, draft};

/// A small log that is built statement by statement.
pub(crate) struct Built {
    pub(crate) snapshot: Snapshot,
    pub(crate) stamper: Stamper,
    ticks: u8,
}

impl Built {
    pub(crate) fn new() -> Self {
        let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser","currency":"EUR"}"#).unwrap();
        let (stamper, said) = draft::begin_log(
            &boat,
            "Ada",
            "phone",
            1_778_000_000_000,
            [[1; 10], [2; 10], [3; 10]],
            120,
        )
        .unwrap();
        Self {
            snapshot: Snapshot::of(said),
            stamper,
            ticks: 0,
        }
    }

    /// Says one thing, given as its kind and its fields in JSON.
    pub(crate) fn say(&mut self, kind: &str, fields: &str) -> Id {
        let draft =
            Draft::parse(kind.parse().unwrap(), fields).unwrap_or_else(|cause| panic!("{cause}"));
        self.draft(&draft)
    }

    /// The same, at a time.
    pub(crate) fn say_at(&mut self, kind: &str, when: &str, fields: &str) -> Id {
        let draft = Draft::parse(kind.parse().unwrap(), fields)
            .unwrap()
            .at(Some(when.parse().unwrap()));
        self.draft(&draft)
    }

    pub(crate) fn draft(&mut self, draft: &Draft) -> Id {
        draft.check_targets(&self.snapshot).unwrap();
        self.ticks += 1;
        let (id, text) = self.stamper.stamp(
            draft,
            1_778_000_100_000 + u64::from(self.ticks),
            [self.ticks; 10],
        );
        self.snapshot.insert(id, text);
        id
    }

    /// Amends one field.
    pub(crate) fn amend(&mut self, id: Id, field: &str, value: serde_json::Value) -> Id {
        let draft = Draft::amendment(self.snapshot.entry(id).unwrap(), field, value, None).unwrap();
        self.draft(&draft)
    }
}
