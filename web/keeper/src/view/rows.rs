//! The log's page: filtered, newest first, photographs that were shot in one go in one row.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use garboard_protocol::{Filter, Row, Rows, Window};
use garboard_record::{Body, Entry, Id, Kind};

use super::row::{row, thumb};
use crate::sight::Sight;

/// Photographs written within this time of each other, alike in all else, share a row.
const ONE_GO_MILLIS: u64 = 180_000;

const MOST_ROWS: u32 = 500;

/// A filter whose ids were read.
struct Wanted {
    words: Vec<String>,
    place: Option<Id>,
    finding: Option<Id>,
    repair: Option<Id>,
    hand: Option<Id>,
    kinds: BTreeSet<String>,
    only_disputed: bool,
}

/// The entries that have rows, newest first, and, once somebody searches, the words of each in small letters.
///
/// Made once for a state of the log, so that a search over many entries answers while the person types.
#[derive(Debug, Default)]
pub struct Pages {
    entries: Vec<Id>,
    words: OnceCell<Vec<String>>,
}

impl Pages {
    /// Puts the entries in order.
    #[must_use]
    pub fn of(sight: Sight<'_>) -> Self {
        let mut entries: Vec<(i64, Id)> = sight
            .snapshot
            .entries()
            .filter(|entry| has_row(entry))
            .map(|entry| (entry.sort_key(), entry.id))
            .collect();
        garboard_record::small::sort(&mut entries);
        Self {
            entries: entries.into_iter().rev().map(|(_, id)| id).collect(),
            words: OnceCell::new(),
        }
    }

    fn words(&self, sight: Sight<'_>) -> &[String] {
        self.words.get_or_init(|| {
            self.entries
                .iter()
                .map(|id| {
                    sight
                        .snapshot
                        .entry(*id)
                        .map_or_else(String::new, |entry| words_of(sight, entry))
                })
                .collect()
        })
    }
}

/// Makes a window of rows. An id in the filter that is none lets nothing through.
#[must_use]
pub fn rows(sight: Sight<'_>, pages: &Pages, filter: &Filter, window: Window) -> Rows {
    let Some(wanted) = Wanted::read(filter) else {
        return Rows {
            skip: window.skip,
            ..Rows::default()
        };
    };
    let words = if wanted.words.is_empty() {
        &[]
    } else {
        pages.words(sight)
    };
    let has_words = |idx: usize| {
        wanted.words.is_empty()
            || words
                .get(idx)
                .is_some_and(|text| wanted.words.iter().all(|word| text.contains(word.as_str())))
    };
    let entries = pages
        .entries
        .iter()
        .enumerate()
        .filter(|(idx, _)| has_words(*idx))
        .filter_map(|(_, id)| sight.snapshot.entry(*id))
        .filter(|entry| wanted.lets_through(sight, entry));

    let mut groups: Vec<Vec<&Entry>> = Vec::new();
    for entry in entries {
        match groups.last_mut() {
            Some(group) if group.last().is_some_and(|newer| one_go(newer, entry)) => {
                group.push(entry);
            }
            _ => groups.push(vec![entry]),
        }
    }
    let n_all = u32::try_from(groups.len()).unwrap_or(u32::MAX);
    let skip = usize::try_from(window.skip).unwrap_or(usize::MAX);
    let take = usize::try_from(window.take.min(MOST_ROWS)).unwrap_or_default();
    Rows {
        rows: groups
            .into_iter()
            .skip(skip)
            .take(take)
            .filter_map(|group| group_row(sight, &group))
            .collect(),
        n_all,
        skip: window.skip,
    }
}

/// Whether an entry is a row of the page; what only serves others is not.
#[must_use]
pub fn has_row(entry: &Entry) -> bool {
    !matches!(
        entry.statement.kind,
        Kind::Rendition
            | Kind::Position
            | Kind::Member
            | Kind::Mark
            | Kind::Hand
            | Kind::Device
            | Kind::Signature
    )
}

fn one_go(newer: &Entry, older: &Entry) -> bool {
    let (Body::Photograph(one), Body::Photograph(other)) = (&newer.body, &older.body) else {
        return false;
    };
    newer.statement.hand == older.statement.hand
        && one.stage == other.stage
        && one.shows == other.shows
        && (one.place, one.finding, one.repair, one.of)
            == (other.place, other.finding, other.repair, other.of)
        && one.answers.is_none()
        && other.answers.is_none()
        && newer.is_struck() == older.is_struck()
        && newer.amended.is_empty()
        && older.amended.is_empty()
        && newer.id.unix_millis().abs_diff(older.id.unix_millis()) <= ONE_GO_MILLIS
}

/// The row of entries in one go, newest first: it is that of the oldest, with all pictures.
fn group_row(sight: Sight<'_>, group: &[&Entry]) -> Option<Row> {
    let oldest = group.last()?;
    let mut row = row(sight, oldest);
    if group.len() > 1 {
        row.thumbs = group
            .iter()
            .rev()
            .filter_map(|entry| thumb(sight, entry))
            .collect();
        for entry in group {
            row.also_on
                .retain(|device| sight.also_on(entry.id).contains(device));
        }
    }
    Some(row)
}

impl Wanted {
    fn read(filter: &Filter) -> Option<Self> {
        let id = |text: &Option<String>| match text {
            None => Some(None),
            Some(text) => text.parse::<Id>().ok().map(Some),
        };
        Some(Self {
            words: filter
                .words
                .split_whitespace()
                .map(str::to_lowercase)
                .collect(),
            place: id(&filter.place)?,
            finding: id(&filter.finding)?,
            repair: id(&filter.repair)?,
            hand: id(&filter.hand)?,
            kinds: garboard_record::small::set(filter.kinds.iter().cloned()),
            only_disputed: filter.only_disputed,
        })
    }

    fn lets_through(&self, sight: Sight<'_>, entry: &Entry) -> bool {
        let kind = &entry.statement.kind;
        if !self.kinds.is_empty() && !self.kinds.contains(kind.as_str()) {
            return false;
        }
        if self.hand.is_some_and(|hand| hand != entry.statement.hand) {
            return false;
        }
        if self.only_disputed && entry.disputes().next().is_none() {
            return false;
        }
        if let Some(place) = self.place {
            let within = sight
                .index
                .place_of(sight.snapshot, entry.id)
                .is_some_and(|at| sight.index.path(at).contains(&place));
            if !within {
                return false;
            }
        }
        if let Some(finding) = self.finding
            && sight.finding_of(entry) != Some(finding)
        {
            return false;
        }
        if let Some(repair) = self.repair
            && sight.repair_of(entry) != Some(repair)
        {
            return false;
        }
        true
    }
}

/// All that a search looks in: the fields as written and amended, the kind, the hand and the place.
fn words_of(sight: Sight<'_>, entry: &Entry) -> String {
    let mut text = entry.statement.fields_text().to_lowercase();
    for versions in entry.amended.values() {
        for version in versions {
            text.push(' ');
            text.push_str(&version.value.to_string().to_lowercase());
        }
    }
    text.push(' ');
    text.push_str(&entry.statement.kind.shown().to_lowercase());
    text.push(' ');
    text.push_str(
        &sight
            .snapshot
            .hand_name(entry.statement.hand)
            .to_lowercase(),
    );
    if let Some(place) = sight.place_of(entry.id) {
        text.push(' ');
        text.push_str(&place.path.join(" ").to_lowercase());
    }
    text
}
