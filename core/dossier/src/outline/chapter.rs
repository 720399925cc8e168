//! Place by place: what she is made of there, what was looked at, what was found and done.

use std::collections::BTreeMap;

use garboard_record::kind::boat::Place;
use garboard_record::{Body, Entry, Id};

use super::book::{Book, sentence};
use super::{Block, Fact, Figure, Prose, Section, Table, finding, reckoned, repair};
use crate::words;

/// The chapters, in the order of the places, outermost first; last what is tied to none.
pub(super) fn sections(book: &mut Book<'_>) -> Vec<Section> {
    let mut by_place: BTreeMap<Option<Id>, Vec<&Entry>> = BTreeMap::new();
    for entry in book.snapshot.standing() {
        let tells = matches!(
            entry.body,
            Body::Finding(_)
                | Body::Repair(_)
                | Body::Examination(_)
                | Body::Fitting(_)
                | Body::WayIn(_)
                | Body::Reading(_)
                | Body::Test(_)
                | Body::Photograph(_)
                | Body::Note(_)
                | Body::SoundNote(_)
                | Body::ClosingUp(_)
                | Body::Reckoning(_)
        );
        // What belongs to the boat's state is shown on the title page or with her.
        let of_state = matches!(&entry.body, Body::Photograph(photograph) if photograph.of.and_then(|of| book.snapshot.entry(of)).is_some_and(|of| matches!(of.body, Body::BoatState(_))));
        if tells && !(of_state && book.is_placed(entry.id)) {
            by_place
                .entry(book.index.place_of(book.snapshot, entry.id))
                .or_default()
                .push(entry);
        }
    }
    for entries in by_place.values_mut() {
        entries.sort_by_key(|entry| (entry.sort_key(), entry.id));
    }
    let mut order = Vec::new();
    walk(book, None, &mut order);
    let mut out = Vec::new();
    for place in order {
        let said = by_place.remove(&Some(place)).unwrap_or_default();
        out.extend(chapter(book, place, &said, out.len() + 1));
    }
    // A place that has not arrived, or that is struck, still has what hangs on it.
    let loose: Vec<&Entry> = by_place.into_values().flatten().collect();
    let mut blocks = Vec::new();
    tell(book, &loose, &mut blocks);
    if !blocks.is_empty() {
        out.push(Section {
            key: "no-place".to_owned(),
            heading: "Not tied to a place".to_owned(),
            running: "Not tied to a place".to_owned(),
            page: String::new(),
            is_place: true,
            blocks,
        });
    }
    out
}

/// The standing places within one, each followed by those within it.
fn walk(book: &Book<'_>, parent: Option<Id>, order: &mut Vec<Id>) {
    let inner: Vec<Id> = book.index.places_in(parent).collect();
    for place in inner {
        if !book.snapshot.entry(place).is_some_and(Entry::is_struck) {
            order.push(place);
        }
        walk(book, Some(place), order);
    }
}

/// The chapter of a place, if there is anything to say.
fn chapter<'a>(book: &mut Book<'a>, place: Id, said: &[&'a Entry], n: usize) -> Option<Section> {
    let snapshot = book.snapshot;
    let entry = snapshot.entry(place)?;
    let Body::Place(body) = &entry.body else {
        return None;
    };
    let facts = facts(book, body);
    if said.is_empty() && facts.is_empty() && body.layers.is_empty() && body.words.is_none() {
        return None;
    }
    let mut blocks = Vec::new();
    if !facts.is_empty() {
        blocks.push(Block::Facts(facts));
    }
    blocks.extend(layers(book, body));
    if let Some(words) = &body.words {
        blocks.push(Block::Prose(Prose::plain(words.clone())));
    }
    tell(book, said, &mut blocks);
    let anchor = book.anchor(place);
    blocks.push(Block::Prose(Prose {
        anchor,
        aside: Some(format!("Place: {}", book.aside(entry))),
        ..Prose::plain("")
    }));
    blocks.extend(book.disputes(entry).into_iter().map(Block::Prose));
    let heading = book.place(Some(place));
    Some(Section {
        key: format!("place-{n}"),
        running: heading.clone(),
        heading,
        page: String::new(),
        is_place: true,
        blocks,
    })
}

fn facts(book: &Book<'_>, place: &Place) -> Vec<Fact> {
    let mut out = Vec::new();
    let mut position = Vec::new();
    for (name, measure) in [
        ("along", &place.along),
        ("across", &place.across),
        ("high", &place.height),
    ] {
        position.extend(
            measure
                .as_ref()
                .map(|measure| format!("{} {name}", book.amount(measure))),
        );
    }
    if !position.is_empty() {
        let from = place
            .datum
            .as_ref()
            .map(|datum| format!(", from {datum}"))
            .unwrap_or_default();
        out.push(Fact {
            name: "Where".to_owned(),
            value: format!("{}{from}", words::list(&position)),
            link: None,
        });
    }
    out.extend(place.behind.as_ref().map(|behind| Fact {
        name: "Behind it".to_owned(),
        value: behind.clone(),
        link: None,
    }));
    out
}

fn layers(book: &Book<'_>, place: &Place) -> Option<Block> {
    let mut table = Table::new(
        "Skins and core as measured, from outside in",
        &["Layer", "#Thickness", "Note"],
    );
    for layer in &place.layers {
        table.row(
            None,
            vec![
                layer.material.clone().unwrap_or_default().into(),
                layer
                    .thickness
                    .as_ref()
                    .map_or_else(|| "–".to_owned(), |thickness| book.amount(thickness))
                    .into(),
                layer.note.clone().unwrap_or_default().into(),
            ],
        );
    }
    (!table.rows.is_empty()).then_some(Block::Table(table))
}

/// Tells the entries of a place: fittings, examinations, findings with their repairs, ways in, and what is left.
fn tell<'a>(book: &mut Book<'a>, said: &[&'a Entry], blocks: &mut Vec<Block>) {
    fittings(book, said, blocks);
    examinations(book, said, blocks);
    for entry in said {
        if matches!(entry.body, Body::Finding(_)) {
            blocks.push(Block::Story(finding::story(book, entry)));
        }
    }
    for entry in said {
        if matches!(entry.body, Body::Repair(_))
            && book
                .index
                .parts(entry.id, &garboard_record::word::Role::Finding)
                .all(|part| book.snapshot.entry(part).is_none_or(Entry::is_struck))
        {
            blocks.extend(repair::story(book, entry).map(Block::Story));
        }
    }
    for entry in said {
        if matches!(entry.body, Body::WayIn(_)) {
            blocks.push(Block::Story(finding::way_in(book, entry)));
        }
    }
    rest(book, said, blocks);
}

fn fittings(book: &mut Book<'_>, said: &[&Entry], blocks: &mut Vec<Block>) {
    let mut table = Table::new(
        "Fittings",
        &[
            "Fitting",
            "Fastenings and metal",
            "Backing",
            "Bedding",
            "Hole",
        ],
    );
    for entry in said {
        let Body::Fitting(fitting) = &entry.body else {
            continue;
        };
        let metal: Vec<String> = [&fitting.fastenings, &fitting.metal]
            .into_iter()
            .flatten()
            .cloned()
            .collect();
        let bedding: Vec<String> = fitting
            .bedding
            .iter()
            .cloned()
            .chain(fitting.bedded.as_ref().map(words::day))
            .collect();
        let hole = match fitting.hole_plugged {
            Some(true) => "plugged",
            Some(false) => "bare core",
            None => "not said",
        };
        let anchor = book.anchor(entry.id);
        table.row(
            anchor,
            vec![
                entry.title().into(),
                metal.join("; ").into(),
                fitting.backing.clone().unwrap_or_default().into(),
                bedding.join(", ").into(),
                hole.into(),
            ],
        );
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
}

fn examinations<'a>(book: &mut Book<'a>, said: &[&'a Entry], blocks: &mut Vec<Block>) {
    for entry in said {
        let Body::Examination(examination) = &entry.body else {
            continue;
        };
        let how: Vec<String> = examination
            .methods
            .iter()
            .map(|method| method.shown().to_owned())
            .collect();
        let mut text = words::capital(
            examination
                .outcome
                .as_ref()
                .map_or("no outcome written", |outcome| outcome.shown()),
        );
        text.push('.');
        if !how.is_empty() {
            text.push_str(&format!(
                " {}",
                words::capital(&sentence(&words::list(&how)))
            ));
        }
        text.push_str(
            &examination
                .share
                .as_ref()
                .map(|share| format!(" {} of the place covered.", book.amount(share)))
                .unwrap_or_default(),
        );
        for more in [&examination.words, &examination.not_reached]
            .into_iter()
            .flatten()
        {
            text.push_str(&format!(" {}", sentence(more)));
        }
        let anchor = book.anchor(entry.id);
        let aside = format!(
            "examined by {}; {}",
            book.who(examination.person, entry),
            book.aside(entry)
        );
        blocks.push(Block::Prose(Prose {
            anchor,
            aside: Some(aside),
            ..Prose::labelled("Examined", text)
        }));
        blocks.extend(book.disputes(entry).into_iter().map(Block::Prose));
        let pictures: Vec<Figure> = book
            .by(entry.id, "of")
            .into_iter()
            .filter(|entry| matches!(entry.body, Body::Photograph(_)) && !book.is_placed(entry.id))
            .collect::<Vec<_>>()
            .into_iter()
            .filter_map(|entry| book.figure(entry))
            .collect();
        if !pictures.is_empty() {
            blocks.push(Block::Figures(pictures));
        }
    }
}

/// What belongs to the place alone: readings, tests, pictures, notes.
fn rest<'a>(book: &mut Book<'a>, said: &[&'a Entry], blocks: &mut Vec<Block>) {
    let left: Vec<&'a Entry> = said
        .iter()
        .copied()
        .filter(|entry| !book.is_placed(entry.id) && !book.is_told_elsewhere(entry))
        .collect();
    let readings: Vec<&Entry> = left
        .iter()
        .copied()
        .filter(|entry| matches!(entry.body, Body::Reading(_)))
        .collect();
    blocks.extend(finding::readings(book, &readings));
    let tests: Vec<&Entry> = left
        .iter()
        .copied()
        .filter(|entry| matches!(entry.body, Body::Test(_)))
        .collect();
    blocks.extend(finding::tests(book, &tests));
    let pictures: Vec<&'a Entry> = left
        .iter()
        .copied()
        .filter(|entry| matches!(entry.body, Body::Photograph(_)))
        .collect();
    blocks.extend(finding::pictures(book, &pictures));
    for entry in left {
        reckoned::told(book, entry, blocks);
        let (label, text) = match &entry.body {
            Body::Note(note) => ("Note", note.words.clone()),
            Body::SoundNote(note) => (
                "Said aloud",
                Some(
                    note.words
                        .clone()
                        .unwrap_or_else(|| "A sound note that was not written out.".to_owned()),
                ),
            ),
            Body::ClosingUp(closing) => ("Closed up", closing.hides.clone()),
            _ => continue,
        };
        if book.is_placed(entry.id) {
            continue;
        }
        let anchor = book.anchor(entry.id);
        blocks.push(Block::Prose(Prose {
            anchor,
            aside: Some(book.aside(entry)),
            ..Prose::labelled(label, text.unwrap_or_default())
        }));
    }
}
