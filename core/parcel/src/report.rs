//! What came with a parcel, by kind and by hand.

use std::collections::BTreeMap;

use garboard_log::TakenIn;
use garboard_record::Snapshot;

/// What came.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
pub struct Report {
    /// How many statements of each kind were new, by the kind's word.
    pub by_kind: BTreeMap<String, usize>,
    /// How many statements of each hand were new, by the hand's name.
    pub by_hand: BTreeMap<String, usize>,
    /// How many statements were new.
    pub n_statements: usize,
    /// How many pictures were new.
    pub n_pictures: usize,
    /// How many fields are disputed now.
    pub n_disputes: usize,
}

impl Report {
    /// Counts what was taken in.
    #[must_use]
    pub fn of(taken: &TakenIn, snapshot: &Snapshot, n_pictures: usize) -> Self {
        let mut report = Self {
            n_statements: taken.statements.len(),
            n_pictures,
            ..Self::default()
        };
        for statement in taken
            .statements
            .iter()
            .filter_map(|id| snapshot.statement(*id))
        {
            *report
                .by_kind
                .entry(statement.kind.to_string())
                .or_default() += 1;
            *report
                .by_hand
                .entry(snapshot.hand_name(statement.hand).to_owned())
                .or_default() += 1;
        }
        report.n_disputes = snapshot
            .entries()
            .map(|entry| entry.disputes().count())
            .sum();
        report
    }
}
