//! What is open, what was left, what was never seen, what an insurer must be told, and what must be kept up.

use std::collections::BTreeSet;

use garboard_record::standing::{
    Progress, Standing, progress, repairs_of, running, standing, upkeep_dates,
};
use garboard_record::{Body, Entry, Id};

use super::book::{Book, sentence};
use super::{Block, Cell, Prose, Section, Table};
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

/// What is still open, what was left as it is, and what was not examined.
pub(super) fn open(book: &Book<'_>) -> Option<Section> {
    let snapshot = book.snapshot;
    let (mut open, mut left) = (Vec::new(), Vec::new());
    for entry in snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Finding(_)))
    {
        let stands = standing(snapshot, &book.index, entry.id);
        let item = |text: String| Prose {
            link: Some(entry.id),
            ..Prose::labelled(&format!("{}.", book.called(entry)), text)
        };
        let place = book.place(book.index.place_of(snapshot, entry.id));
        if stands == Standing::Left {
            let why =
                repairs_of(snapshot, &book.index, entry.id).find_map(|repair| match &repair.body {
                    Body::Repair(body) => body.why.clone(),
                    _ => None,
                });
            left.push(item(format!(
                "{} ({place}). {}",
                entry.title(),
                why.map_or_else(|| "No reason was written.".to_owned(), |why| sentence(&why))
            )));
        } else if stands.is_open() {
            open.push(item(format!("{} ({place}): {stands}.", entry.title())));
        }
    }
    for entry in snapshot.standing() {
        let about_findings = repairs_with_findings(book, entry.id);
        match &entry.body {
            Body::Repair(_)
                if !about_findings
                    && !matches!(
                        progress(snapshot, &book.index, entry.id),
                        Progress::Done | Progress::Left
                    ) =>
            {
                open.push(Prose {
                    link: Some(entry.id),
                    ..Prose::labelled(
                        &format!("{}.", book.called(entry)),
                        format!(
                            "{}: {}.",
                            entry.title(),
                            progress(snapshot, &book.index, entry.id)
                        ),
                    )
                });
            }
            Body::WayIn(way) if way.stopped.is_none() => {
                open.push(Prose {
                    link: Some(entry.id),
                    ..Prose::labelled("Way in, not stopped.", sentence(&entry.title()))
                });
            }
            _ => {}
        }
    }
    for entry in running(snapshot) {
        open.push(Prose {
            link: Some(entry.id),
            ..Prose::labelled(
                "A clock still runs.",
                format!("Begun {}; it counts no hours.", book.happened(entry)),
            )
        });
    }
    let mut blocks = vec![Block::Heading("Still open".to_owned())];
    blocks.push(listed(
        open,
        "Nothing that was found is still open, as far as the log says.",
    ));
    blocks.push(Block::Heading("Seen and left as it is".to_owned()));
    blocks.push(listed(
        left,
        "Nothing was left on purpose, as far as the log says.",
    ));
    blocks.push(Block::Heading("Not examined, or not reached".to_owned()));
    blocks.push(listed(
        unseen(book),
        "No entry says that something could not be reached.",
    ));
    blocks.push(Block::Prose(Prose::plain("Whatever this history does not name was not examined, or its examination was not written down.")));
    Some(section("open", "Open, left, and never seen", blocks))
}

fn repairs_with_findings(book: &Book<'_>, repair: Id) -> bool {
    book.index
        .parts(repair, &garboard_record::word::Role::Finding)
        .any(|part| {
            book.snapshot
                .entry(part)
                .is_some_and(|entry| !entry.is_struck())
        })
}

fn listed(items: Vec<Prose>, none: &str) -> Block {
    if items.is_empty() {
        Block::Prose(Prose::plain(none))
    } else {
        Block::List(items)
    }
}

/// Examinations that reached less than the whole, and places of which nothing is told.
fn unseen(book: &Book<'_>) -> Vec<Prose> {
    let snapshot = book.snapshot;
    let mut out = Vec::new();
    let mut told: BTreeSet<Id> = BTreeSet::new();
    for entry in snapshot.standing() {
        if matches!(entry.body, Body::Place(_)) {
            continue;
        }
        if let Some(place) = book.index.place_of(snapshot, entry.id) {
            told.extend(book.index.path(place));
        }
        let Body::Examination(examination) = &entry.body else {
            continue;
        };
        let place = book.place(book.index.place_of(snapshot, entry.id));
        let item = |text: String| Prose {
            link: Some(entry.id),
            ..Prose::labelled(&format!("{place}."), text)
        };
        let part = examination
            .share
            .as_ref()
            .filter(|share| share.unit == "%" && share.value.0 < 100.into());
        match (&examination.not_reached, part) {
            (Some(not_reached), _) => out.push(item(sentence(not_reached))),
            (None, Some(share)) => out.push(item(format!(
                "{} of it was covered; the rest was not.",
                book.amount(share)
            ))),
            (None, None) => {}
        }
    }
    for entry in snapshot.standing() {
        if matches!(entry.body, Body::Place(_)) && !told.contains(&entry.id) {
            out.push(Prose {
                link: Some(entry.id),
                ..Prose::labelled(
                    &format!("{}.", book.place(Some(entry.id))),
                    "Named in the log; nothing was examined or found there in writing.",
                )
            });
        }
    }
    out
}

/// What an insurer must be told of.
pub(super) fn alterations(book: &Book<'_>) -> Option<Section> {
    let mut items = Vec::new();
    for entry in book.snapshot.standing() {
        if let Body::Repair(repair) = &entry.body
            && let Some(alters) = &repair.alters
        {
            items.push(Prose {
                link: Some(entry.id),
                ..Prose::labelled(
                    &format!("{}. {}.", book.called(entry), entry.title()),
                    sentence(alters),
                )
            });
        }
    }
    let intro = Prose::plain(
        "Work on structure, ballast, fuel, gas, electrics, rigging or through-hull fittings, as far as the hands marked it. What is not marked may still matter to an insurer: ask.",
    );
    Some(section(
        "alterations",
        "What an insurer must be told of",
        vec![
            Block::Prose(intro),
            listed(items, "No repair is marked so."),
        ],
    ))
}

/// What must be looked at or done again.
pub(super) fn upkeep(book: &mut Book<'_>) -> Option<Section> {
    let mut entries: Vec<&Entry> = book
        .snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Upkeep(_)))
        .collect();
    let key = |entry: &Entry| {
        upkeep_dates(book.snapshot, &book.index, entry.id)
            .1
            .map_or(i64::MAX, |when| when.sort_key())
    };
    entries.sort_by_key(|entry| (key(entry), entry.id));
    if entries.is_empty() {
        return Some(section(
            "upkeep",
            "Upkeep for the next owner",
            vec![Block::Prose(Prose::plain(
                "No upkeep was written in this log.",
            ))],
        ));
    }
    let mut table = Table::new(
        "What to look at or do again, the next due first",
        &["What", "Where", "How", "How often", "Last", "Next"],
    );
    for entry in entries {
        let Body::Upkeep(upkeep) = &entry.body else {
            continue;
        };
        let (last, next) = upkeep_dates(book.snapshot, &book.index, entry.id);
        let often = upkeep.interval.as_ref().map_or_else(
            || "–".to_owned(),
            |interval| {
                let one = interval.value.0 == 1.into();
                match (interval.unit.as_str(), one) {
                    ("year", true) => "every year".to_owned(),
                    ("month", true) => "every month".to_owned(),
                    ("wk", true) => "every week".to_owned(),
                    _ => format!("every {}", book.amount(interval)),
                }
            },
        );
        let of = upkeep.finding.or(upkeep.fitting);
        let anchor = book.anchor(entry.id);
        table.row(
            anchor,
            vec![
                Cell {
                    text: entry.title(),
                    link: of
                        .and_then(|id| book.snapshot.entry(id))
                        .map(|entry| entry.id),
                },
                book.place(book.index.place_of(book.snapshot, entry.id))
                    .into(),
                upkeep.how.clone().unwrap_or_default().into(),
                often.into(),
                last.as_ref()
                    .map_or_else(|| "–".to_owned(), words::day)
                    .into(),
                next.as_ref()
                    .map_or_else(|| "–".to_owned(), words::day)
                    .into(),
            ],
        );
    }
    let mut blocks = vec![Block::Table(table)];
    let done: Vec<&Entry> = book
        .snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::UpkeepDone(_)))
        .collect();
    if !done.is_empty() {
        blocks.push(Block::Heading("Done so far".to_owned()));
    }
    for entry in done {
        let Body::UpkeepDone(body) = &entry.body else {
            continue;
        };
        let what = body
            .upkeep
            .map(|id| book.snapshot.title(id))
            .unwrap_or_default();
        let anchor = book.anchor(entry.id);
        let text = format!("{}. {}", what, body.words.clone().unwrap_or_default());
        blocks.push(Block::Prose(Prose {
            anchor,
            aside: Some(book.aside(entry)),
            ..Prose::labelled(&format!("{}.", book.day(entry)), text)
        }));
    }
    Some(section("upkeep", "Upkeep for the next owner", blocks))
}
