//! The record about the record: disputes, corrections, late and struck entries, oddities, pictures, and the log in order.

use std::collections::BTreeSet;

use garboard_record::oddity::remarks;
use garboard_record::{Body, Entry, Id, Oddity};

use super::book::{Book, late};
use super::{Block, Cell, Prose, Row, Section, Table};
use crate::words;

fn section(key: &str, heading: &str, blocks: Vec<Block>) -> Section {
    Section {
        key: key.to_owned(),
        heading: heading.to_owned(),
        running: heading.to_owned(),
        page: String::new(),
        is_place: false,
        blocks,
    }
}

/// Disputes, corrections, late entries, struck entries and oddities.
pub(super) fn disagreements(book: &mut Book<'_>) -> Option<Section> {
    let mut blocks = vec![Block::Heading("In dispute".to_owned())];
    let disputes: Vec<Prose> = book
        .snapshot
        .standing()
        .flat_map(|entry| {
            let title = book.title(entry);
            book.disputes(entry).into_iter().map(move |prose| Prose {
                label: Some(format!("{title}.")),
                ..prose
            })
        })
        .collect();
    blocks.push(listed(disputes, "No field is in dispute."));
    blocks.push(Block::Heading("Corrected".to_owned()));
    blocks.push(corrections(book));
    blocks.push(Block::Heading("Written late".to_owned()));
    let written_late: Vec<Prose> = book
        .snapshot
        .standing()
        .filter_map(|entry| {
            let late = late(entry)?;
            let text = format!(
                "{}: {} Happened {}, {late}.",
                words::capital(entry.statement.kind.shown()),
                super::book::sentence(&book.title(entry)),
                book.happened(entry)
            );
            Some(Prose {
                link: Some(entry.id),
                ..Prose::plain(text)
            })
        })
        .collect();
    blocks.push(listed(
        written_late,
        "Every entry was written within a day.",
    ));
    blocks.push(Block::Heading("Struck".to_owned()));
    struck(book, &mut blocks);
    let odd: Vec<Prose> = remarks(book.snapshot, &book.index)
        .into_iter()
        // These stand above, each under its own heading.
        .filter(|remark| !matches!(remark.oddity, Oddity::Late { .. } | Oddity::DisputedFigure))
        .map(|remark| {
            let title = remark
                .about
                .and_then(|id| book.snapshot.entry(id))
                .map(|entry| book.title(entry))
                .unwrap_or_default();
            let link = remark
                .about
                .and_then(|id| book.snapshot.entry(id))
                .map(|entry| entry.id);
            Prose {
                link,
                ..Prose::plain(format!("{title} {}.", remark.oddity).trim().to_owned())
            }
        })
        .collect();
    if !odd.is_empty() {
        blocks.push(Block::Heading("Odd".to_owned()));
        blocks.push(Block::List(odd));
    }
    Some(section(
        "disagreements",
        "Where the record was corrected",
        blocks,
    ))
}

fn listed(items: Vec<Prose>, none: &str) -> Block {
    if items.is_empty() {
        Block::Prose(Prose::plain(none))
    } else {
        Block::List(items)
    }
}

/// Every amendment and choice: what stood before, what stands now.
fn corrections(book: &Book<'_>) -> Block {
    let mut table = Table::new(
        "Amendments and choices, in the order of writing",
        &[
            "Written",
            "By",
            "Entry",
            "Field",
            "Said before",
            "Says since",
            "Why",
        ],
    );
    for (id, statement) in book.snapshot.statements() {
        let (target, field, value, sees, reason, is_choice) = match book.snapshot.about_body(id) {
            Some(Body::Amendment(body)) => (
                body.entry,
                &body.field,
                &body.value,
                &body.sees,
                &body.reason,
                false,
            ),
            Some(Body::Choice(body)) => (
                body.entry,
                &body.field,
                &body.value,
                &body.sees,
                &body.reason,
                true,
            ),
            _ => continue,
        };
        let Some(entry) = target.and_then(|target| book.snapshot.entry(target)) else {
            continue;
        };
        let is_hidden = field
            .as_deref()
            .is_some_and(|field| book.is_left_out(field))
            || (!book.options.struck && entry.is_struck());
        let now = match value {
            _ if is_hidden => "left out".to_owned(),
            Some(value) => words::value_in(book.snapshot, value),
            None => "nothing".to_owned(),
        };
        let before = match field {
            _ if is_hidden => "left out".to_owned(),
            Some(field) => before(book, entry, field, sees),
            None => "–".to_owned(),
        };
        let why = match (reason, is_choice) {
            (Some(reason), true) => format!("chosen: {reason}"),
            (Some(reason), false) => reason.clone(),
            (None, true) => "chosen".to_owned(),
            (None, false) => "–".to_owned(),
        };
        table.row(
            None,
            vec![
                statement
                    .written
                    .as_ref()
                    .map(words::day)
                    .unwrap_or_default()
                    .into(),
                words::name(book.snapshot, statement.hand).into(),
                book.cell(book.title(entry), entry.id),
                field.clone().unwrap_or_default().replace('_', " ").into(),
                before.into(),
                now.into(),
                why.into(),
            ],
        );
    }
    if table.rows.is_empty() {
        Block::Prose(Prose::plain("No entry was corrected."))
    } else {
        Block::Table(table)
    }
}

/// What a field said in the statements that an amendment had seen and that no earlier one of them had replaced.
fn before(book: &Book<'_>, entry: &Entry, field: &str, sees: &[Id]) -> String {
    let mut replaced: BTreeSet<Id> = BTreeSet::new();
    for seen in sees {
        if let Some(Body::Amendment(body)) = book.snapshot.about_body(*seen) {
            replaced.extend(&body.sees);
        } else if let Some(Body::Choice(body)) = book.snapshot.about_body(*seen) {
            replaced.extend(&body.sees);
        }
    }
    let mut said: Vec<String> = Vec::new();
    for seen in sees.iter().filter(|seen| !replaced.contains(seen)) {
        let value = match book.snapshot.about_body(*seen) {
            Some(Body::Amendment(body)) => body.value.clone(),
            Some(Body::Choice(body)) => body.value.clone(),
            _ if *seen == entry.id => entry.statement.fields().get(field).cloned(),
            _ => continue,
        };
        let text = value.map_or_else(
            || "nothing".to_owned(),
            |value| words::value_in(book.snapshot, &value),
        );
        if !said.contains(&text) {
            said.push(text);
        }
    }
    if said.is_empty() {
        "not known here".to_owned()
    } else {
        words::list(&said)
    }
}

fn struck(book: &mut Book<'_>, blocks: &mut Vec<Block>) {
    let entries: Vec<&Entry> = book
        .snapshot
        .entries()
        .filter(|entry| entry.is_struck())
        .collect();
    if entries.is_empty() {
        blocks.push(Block::Prose(Prose::plain("No entry is struck.")));
        return;
    }
    let were = if entries.len() == 1 { "is" } else { "are" };
    blocks.push(Block::Prose(Prose::plain(format!(
        "{} {were} struck: withdrawn by a hand, counted in no total, and kept.",
        words::count(entries.len(), "entry", "entries")
    ))));
    if !book.options.struck {
        blocks.push(Block::Prose(Prose::plain(
            "The seller has left the text of struck entries out of this history.",
        )));
        return;
    }
    let mut table = Table::new("Struck entries", &["Entry", "Happened", "Struck", "Why"]);
    for entry in entries {
        let by: Vec<String> = entry
            .strikes
            .iter()
            .map(|strike| {
                format!(
                    "{} by {}",
                    strike.written.as_ref().map(words::day).unwrap_or_default(),
                    words::name(book.snapshot, strike.hand)
                )
            })
            .collect();
        let why: Vec<String> = entry
            .strikes
            .iter()
            .filter_map(|strike| strike.why.clone())
            .collect();
        let anchor = book.anchor(entry.id);
        let what = format!(
            "{}: {}",
            words::capital(entry.statement.kind.shown()),
            if matches!(entry.body, Body::Reading(_)) {
                super::finding::reading_value(book, entry)
            } else {
                entry.title()
            }
        );
        table.rows.push(Row {
            anchor,
            struck_cell: Some(0),
            is_total: false,
            cells: vec![
                what.into(),
                book.happened(entry).into(),
                by.join("; ").into(),
                why.join("; ").into(),
            ],
        });
    }
    blocks.push(Block::Table(table));
}

/// Every picture with its dates, its place, its stage and its digest.
pub(super) fn photographs(book: &Book<'_>) -> Option<Section> {
    let mut entries: Vec<&Entry> = book
        .snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Photograph(_)))
        .collect();
    if entries.is_empty() {
        return Some(section(
            "pictures",
            "Pictures",
            vec![Block::Prose(Prose::plain(
                "There are no pictures in this log.",
            ))],
        ));
    }
    entries.sort_by_key(|entry| (entry.sort_key(), entry.id));
    let mut table = Table::new(
        "Every picture, in the order of taking",
        &[
            "#No.",
            "Taken",
            "Written",
            "Place",
            "Stage",
            "SHA-256 of the original",
        ],
    );
    for entry in entries {
        let Body::Photograph(photograph) = &entry.body else {
            continue;
        };
        let mut taken = book.happened(entry);
        if let Some(camera) = &photograph.camera_time {
            taken.push_str(&format!(
                "; by the camera’s own clock {}",
                words::moment(camera)
            ));
        }
        let mut place = book.place(book.index.place_of(book.snapshot, entry.id));
        if book.options.positions
            && let Some(Body::Position(position)) = book
                .by(entry.id, "photograph")
                .into_iter()
                .find(|entry| matches!(entry.body, Body::Position(_)))
                .map(|entry| &entry.body)
            && let (Some(latitude), Some(longitude)) = (position.latitude, position.longitude)
        {
            place.push_str(&format!("; {latitude}, {longitude}"));
        }
        let drawing = if photograph.is_drawing == Some(true) {
            " (drawing)"
        } else {
            ""
        };
        table.row(
            None,
            vec![
                book.cell(book.number(entry.id).to_string(), entry.id),
                taken.into(),
                entry
                    .statement
                    .written
                    .as_ref()
                    .map(words::moment)
                    .unwrap_or_default()
                    .into(),
                place.into(),
                format!(
                    "{}{drawing}",
                    photograph.stage.as_ref().map_or("–", |stage| stage.shown())
                )
                .into(),
                photograph
                    .digest
                    .map_or_else(|| "–".to_owned(), |digest| digest.to_string())
                    .into(),
            ],
        );
    }
    Some(section("pictures", "Pictures", vec![Block::Table(table)]))
}

/// The log in the order of writing: where every entry stands in this history.
pub(super) fn ledger(book: &mut Book<'_>) -> Option<Section> {
    let mut table = Table::new(
        "Every entry",
        &["#No.", "Written", "Hand", "Kind", "Entry", "Happened"],
    );
    let entries: Vec<&Entry> = book.snapshot.entries().collect();
    for (n, entry) in (1..).zip(entries) {
        let anchor = book.anchor(entry.id);
        let what = match &entry.body {
            Body::Rendition(rendition) => rendition
                .size
                .as_ref()
                .map(|size| size.shown().to_owned())
                .unwrap_or_default(),
            Body::Member(member) => {
                let title = |id: Option<Id>| {
                    id.map(|id| {
                        book.snapshot
                            .entry(id)
                            .map_or_else(|| book.snapshot.title(id), |entry| book.title(entry))
                    })
                    .unwrap_or_default()
                };
                format!(
                    "{}: {} of {}",
                    member.role.as_ref().map_or("belongs", |role| role.shown()),
                    title(member.part),
                    title(member.whole)
                )
            }
            _ => book.title(entry),
        };
        // An entry whose place is this row leads nowhere else.
        let what = Cell {
            text: what,
            link: anchor.is_none().then_some(entry.id),
        };
        table.rows.push(Row {
            anchor,
            struck_cell: entry.is_struck().then_some(4),
            is_total: false,
            cells: vec![
                n.to_string().into(),
                entry
                    .statement
                    .written
                    .as_ref()
                    .map(words::moment)
                    .unwrap_or_default()
                    .into(),
                words::name(book.snapshot, entry.statement.hand).into(),
                entry.statement.kind.shown().into(),
                what,
                book.happened(entry).into(),
            ],
        });
    }
    if table.rows.is_empty() {
        return None;
    }
    let note = Prose::plain(
        "All entries as they were written, struck ones included, with where each is told. Writing times are in UTC.",
    );
    Some(section(
        "ledger",
        "The log in the order of writing",
        vec![Block::Prose(note), Block::Table(table)],
    ))
}
