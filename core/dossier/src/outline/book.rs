//! What all parts of the outline share: the snapshot, its index and sums, the numbers, and which entries have their place.

use std::collections::{BTreeMap, BTreeSet};

use garboard_record::tally::{Tally, tally};
use garboard_record::word::{Size, Stage};
use garboard_record::{Body, Decimal, Digest, Entry, Id, Index, Quantity, Snapshot};

use super::{Cell, Figure, Marked, Options, Prose};
use crate::{withheld, words};

/// The work in progress.
pub(super) struct Book<'a> {
    /// The log as far as it is told.
    pub(super) snapshot: &'a Snapshot,
    /// The whole log, to count by.
    pub(super) whole: &'a Snapshot,
    /// How many entries were left out with their places.
    pub(super) n_gone: usize,
    pub(super) index: Index,
    pub(super) options: &'a Options,
    pub(super) tally: Tally,
    /// Findings, repairs and photographs by number, each from 1.
    numbers: BTreeMap<Id, usize>,
    /// The first photograph of each picture.
    first_of: BTreeMap<Digest, Id>,
    /// The entries that have their place in the page.
    placed: BTreeSet<Id>,
    /// The repairs that were told.
    told: BTreeSet<Id>,
}

impl<'a> Book<'a> {
    pub(super) fn open(
        snapshot: &'a Snapshot,
        whole: &'a Snapshot,
        options: &'a Options,
        n_gone: usize,
    ) -> Self {
        let index = Index::of(snapshot);
        let tally = tally(snapshot, &index);
        let mut numbers = BTreeMap::new();
        let mut first_of = BTreeMap::new();
        let (mut n_findings, mut n_repairs) = (0, 0);
        for entry in snapshot.standing() {
            let n = match entry.body {
                Body::Finding(_) => &mut n_findings,
                Body::Repair(_) => &mut n_repairs,
                _ => continue,
            };
            *n += 1;
            numbers.insert(entry.id, *n);
        }
        let mut pictures: Vec<&Entry> = snapshot
            .standing()
            .filter(|entry| matches!(entry.body, Body::Photograph(_)))
            .collect();
        pictures.sort_by_key(|entry| (entry.sort_key(), entry.id));
        for (n, entry) in (1..).zip(&pictures) {
            numbers.insert(entry.id, n);
            if let Body::Photograph(photograph) = &entry.body
                && let Some(digest) = photograph.digest
            {
                first_of.entry(digest).or_insert(entry.id);
            }
        }
        Self {
            snapshot,
            whole,
            n_gone,
            index,
            options,
            tally,
            numbers,
            first_of,
            placed: BTreeSet::new(),
            told: BTreeSet::new(),
        }
    }

    /// Takes the entry's place in the page, once.
    pub(super) fn anchor(&mut self, id: Id) -> Option<Id> {
        self.placed.insert(id).then_some(id)
    }

    /// Whether the entry has its place already.
    pub(super) fn is_placed(&self, id: Id) -> bool {
        self.placed.contains(&id)
    }

    /// Whether an entry belongs to a finding or a repair that stands: it is told with that one, wherever that is.
    pub(super) fn is_told_elsewhere(&self, entry: &Entry) -> bool {
        let (finding, repair) = match &entry.body {
            Body::Reading(reading) => (reading.finding, None),
            Body::Test(test) => (test.finding, test.repair),
            Body::Photograph(photograph) => (photograph.finding, photograph.repair),
            Body::Note(note) => (note.finding, note.repair),
            Body::SoundNote(note) => (note.finding, note.repair),
            Body::ClosingUp(closing) => (None, closing.repair),
            _ => (None, None),
        };
        // Only findings and repairs that stand have a number.
        [finding, repair]
            .into_iter()
            .flatten()
            .any(|id| self.number(id) > 0)
    }

    /// Notes that a repair is told here; false when it was told before.
    pub(super) fn tell(&mut self, repair: Id) -> bool {
        self.told.insert(repair)
    }

    /// The number of a finding, a repair or a photograph.
    pub(super) fn number(&self, id: Id) -> usize {
        self.numbers.get(&id).copied().unwrap_or(0)
    }

    /// What an entry is called with its number: `Finding 3`.
    pub(super) fn called(&self, entry: &Entry) -> String {
        match &entry.body {
            Body::Finding(_) => format!("Finding {}", self.number(entry.id)),
            Body::Repair(_) => format!("Repair {}", self.number(entry.id)),
            Body::Photograph(photograph) if photograph.is_drawing == Some(true) => {
                format!("Drawing {}", self.number(entry.id))
            }
            Body::Photograph(_) => format!("Photograph {}", self.number(entry.id)),
            _ => words::capital(entry.statement.kind.shown()),
        }
    }

    /// The standing entries that refer to one by a field.
    pub(super) fn by(&self, target: Id, field: &'static str) -> Vec<&'a Entry> {
        let mut found: Vec<&'a Entry> = self
            .index
            .by_field(self.snapshot, target, field)
            .filter_map(|entry| self.snapshot.entry(entry.id))
            .collect();
        found.sort_by_key(|entry| (entry.sort_key(), entry.id));
        found
    }

    /// Who is named, or else who wrote it.
    pub(super) fn who(&self, person: Option<Id>, entry: &Entry) -> String {
        words::name(self.snapshot, person.unwrap_or(entry.statement.hand))
    }

    /// An amount in the units that the seller has chosen, with what was written beside it.
    pub(super) fn amount(&self, quantity: &Quantity) -> String {
        words::amount_in(quantity, self.options.units)
    }

    /// What sums come to in the seller's currency, to stand behind them.
    pub(super) fn together(&self, sums: &BTreeMap<String, Decimal>) -> String {
        let exchange = self.options.exchange.as_ref();
        exchange.map_or_else(String::new, |exchange| exchange.aside(sums))
    }

    /// The path of a place in words.
    pub(super) fn place(&self, id: Option<Id>) -> String {
        id.map_or_else(
            || "not tied to a place".to_owned(),
            |id| self.index.path_shown(self.snapshot, id),
        )
    }

    /// When an entry happened, in words.
    pub(super) fn happened(&self, entry: &Entry) -> String {
        entry
            .statement
            .happened
            .as_ref()
            .map_or_else(|| "at a time that cannot be read".to_owned(), words::moment)
    }

    /// The day on which an entry happened.
    pub(super) fn day(&self, entry: &Entry) -> String {
        entry
            .statement
            .happened
            .as_ref()
            .map_or_else(|| "?".to_owned(), words::day)
    }

    /// When it was written, and how late that was.
    pub(super) fn written(&self, entry: &Entry) -> String {
        let written = entry
            .statement
            .written
            .as_ref()
            .map_or_else(|| "at a time that cannot be read".to_owned(), words::day);
        match late(entry) {
            Some(late) => format!("written {written}, {late}"),
            None => format!("written {written}"),
        }
    }

    /// The margin of an entry: when it happened, when it was written, by whom.
    pub(super) fn margin(&self, entry: &Entry, happened: &str) -> Vec<String> {
        vec![
            format!("{happened} {}", self.happened(entry)),
            self.written(entry),
            format!("by {}", words::hand(self.snapshot, entry.statement.hand)),
        ]
    }

    /// The same in one line.
    pub(super) fn aside(&self, entry: &Entry) -> String {
        format!(
            "{}, {}, by {}",
            self.happened(entry),
            self.written(entry),
            words::name(self.snapshot, entry.statement.hand)
        )
    }

    /// A cell that leads to an entry.
    pub(super) fn cell(&self, text: impl Into<String>, id: Id) -> Cell {
        Cell {
            text: text.into(),
            link: self.snapshot.entry(id).map(|entry| entry.id),
        }
    }

    /// What an entry is called, unless it is of a kind that the seller has left out.
    pub(super) fn title(&self, entry: &Entry) -> String {
        if withheld::entry(self.options, entry) {
            return "left out".to_owned();
        }
        entry.title()
    }

    /// Whether a field says what the seller has left out.
    pub(super) fn is_left_out(&self, field: &str) -> bool {
        withheld::field(self.options, field)
    }

    /// The disputes about an entry in words.
    pub(super) fn disputes(&self, entry: &Entry) -> Vec<Prose> {
        let mut out = Vec::new();
        for (field, versions) in entry.disputes() {
            if self.is_left_out(field) {
                out.push(Prose {
                    link: Some(entry.id),
                    ..Prose::labelled(
                        "Disputed",
                        format!("The {}; its values are left out.", field.replace('_', " ")),
                    )
                });
                continue;
            }
            let said: Vec<String> = versions
                .iter()
                .map(|version| {
                    let when = version.written.as_ref().map(words::day).unwrap_or_default();
                    format!(
                        "{} by {} on {when}",
                        words::value_in(self.snapshot, &version.value),
                        words::name(self.snapshot, version.hand)
                    )
                })
                .collect();
            let text = format!(
                "The {} is {}. Nobody has chosen yet; the first of these counts.",
                field.replace('_', " "),
                words::list(&said)
            );
            out.push(Prose {
                link: Some(entry.id),
                ..Prose::labelled("Disputed", text)
            });
        }
        out
    }

    /// A photograph as a figure.
    pub(super) fn figure(&mut self, entry: &'a Entry) -> Option<Figure> {
        let Body::Photograph(photograph) = &entry.body else {
            return None;
        };
        let digest = photograph.digest?;
        let first = self.first_of.get(&digest).copied().unwrap_or(entry.id);
        let instead = if self.snapshot.is_withdrawn(digest) {
            Some("The bytes of this picture were withdrawn; its digest stays.".to_owned())
        } else if first != entry.id {
            Some(format!(
                "The same picture as number {}.",
                self.number(first)
            ))
        } else {
            None
        };
        let mut shown = Vec::new();
        let mut sides = None;
        let sizes: &[Size] = if self.options.small_pictures {
            &[Size::Thumbnail]
        } else {
            &[Size::View, Size::Thumbnail]
        };
        for size in sizes {
            if let Some(rendition) = self.index.rendition(self.snapshot, entry.id, size) {
                shown.extend(rendition.digest);
                sides = sides.or(rendition.width.zip(rendition.height));
            }
        }
        let instead = instead.or_else(|| {
            (self.options.small_pictures && shown.is_empty()).then(|| {
                "The log has no small size of this picture; its digest stands below.".to_owned()
            })
        });
        let stage = photograph.stage.as_ref();
        let mut caption = self.called(entry);
        if let Some(stage) = stage {
            caption.push_str(&format!(", {}", stage.shown()));
        }
        caption.push_str(&format!(", {}. ", self.happened(entry)));
        let shows = photograph
            .shows
            .as_deref()
            .unwrap_or("Nothing was written about what it shows");
        // A drawing is called one already.
        let shows = shows
            .strip_prefix("Drawing: ")
            .filter(|_| photograph.is_drawing == Some(true))
            .unwrap_or(shows);
        caption.push_str(&words::capital(&sentence(shows)));
        if let Some(answers) = photograph.answers.filter(|id| self.number(*id) > 0) {
            caption.push_str(&format!(
                " From the viewpoint of number {}.",
                self.number(answers)
            ));
        }
        let marks: Vec<Marked> = self
            .by(entry.id, "photograph")
            .into_iter()
            .filter_map(|entry| match &entry.body {
                Body::Mark(mark) => Some(Marked {
                    shape: mark.shape.clone()?,
                    points: mark.points.clone(),
                    words: mark.words.clone().unwrap_or_default(),
                }),
                _ => None,
            })
            .collect();
        if !marks.is_empty() {
            let named: Vec<String> = marks
                .iter()
                .map(|mark| match mark.words.as_str() {
                    "" => mark.shape.shown().to_owned(),
                    words => format!("{} “{words}”", mark.shape.shown()),
                })
                .collect();
            caption.push_str(&format!(" Marked on it: {}.", words::list(&named)));
        }
        let digest = digest.to_string();
        caption.push_str(&format!(
            " {}; SHA-256 {}…",
            words::capital(&self.written(entry)),
            digest.get(..16).unwrap_or(&digest)
        ));
        let fallback = photograph
            .file_name
            .as_deref()
            .unwrap_or("a picture without words");
        Some(Figure {
            entry: entry.id,
            is_anchor: self.anchor(entry.id).is_some(),
            shown,
            sides,
            alt: photograph
                .shows
                .clone()
                .unwrap_or_else(|| fallback.to_owned()),
            caption,
            stage: stage.and_then(stage_number),
            marks,
            instead,
        })
    }
}

/// How late an entry was written, if it was: more than a day after it happened.
pub(super) fn late(entry: &Entry) -> Option<String> {
    let (happened, written) = (
        entry.statement.happened.as_ref()?,
        entry.statement.written.as_ref()?,
    );
    entry
        .statement
        .is_late()
        .then(|| format!("late, {} days after", happened.days_until(written)))
}

/// The text with a full stop, if it ends with none.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    match text.chars().last() {
        Some('.' | '!' | '?' | '…' | ':') => text.to_owned(),
        _ => format!("{text}."),
    }
}

fn stage_number(stage: &Stage) -> Option<u8> {
    match stage {
        Stage::Found => Some(1),
        Stage::Opened => Some(2),
        Stage::Prepared => Some(3),
        Stage::Rebuilt => Some(4),
        Stage::Finished => Some(5),
        Stage::Other(_) => None,
    }
}
