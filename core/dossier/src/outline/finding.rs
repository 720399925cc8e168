//! The story of a finding: observed, supposed, measured, where the water came from, what was done.

use garboard_record::standing::{repairs_of, standing};
use garboard_record::word::Range;
use garboard_record::{Body, Entry};

use super::book::Book;
use super::{Block, Fact, Figure, Pair, Prose, Story, Table, repair};
use crate::words;

/// Tells a finding from found to finished.
pub(super) fn story<'a>(book: &mut Book<'a>, entry: &'a Entry) -> Story {
    let mut story = Story {
        entry: entry.id,
        heading: format!("{}. {}", book.called(entry), entry.title()),
        standing: Some(standing(book.snapshot, &book.index, entry.id).to_string()),
        margin: book.margin(entry, "found"),
        blocks: Vec::new(),
    };
    let _first = book.anchor(entry.id);
    let Body::Finding(finding) = &entry.body else {
        return story;
    };
    if let Some(urgency) = &finding.urgency {
        story.margin.push(format!("urgency: {}", urgency.shown()));
    }
    if let Some(extent) = &finding.extent {
        story
            .margin
            .push(format!("extent: {}", book.amount(extent)));
    }
    let blocks = &mut story.blocks;
    blocks.push(Block::Prose(Prose::plain(
        finding
            .observed
            .clone()
            .unwrap_or_else(|| "Nothing was written about what was observed.".to_owned()),
    )));
    if let Some(supposed) = &finding.supposed {
        blocks.push(Block::Prose(Prose {
            is_supposed: true,
            ..Prose::labelled("Supposed", supposed.clone())
        }));
    }
    let mut facts = Vec::new();
    let mut put = |name: &str, value: Option<String>| {
        facts.extend(value.map(|value| Fact {
            name: name.to_owned(),
            value,
            link: None,
        }));
    };
    let kinds: Vec<String> = finding
        .kinds
        .iter()
        .map(|kind| kind.shown().to_owned())
        .collect();
    put("Kinds", (!kinds.is_empty()).then(|| words::list(&kinds)));
    put("Earlier repair by", finding.earlier_by.clone());
    put("Earlier repair made", finding.earlier_when.clone());
    if let Some(earlier) = finding.again_of.and_then(|id| book.snapshot.entry(id)) {
        facts.push(Fact {
            name: "Came back".to_owned(),
            value: book.called(earlier),
            link: Some(earlier.id),
        });
    }
    if !facts.is_empty() {
        blocks.push(Block::Facts(facts));
    }
    blocks.extend(book.disputes(entry).into_iter().map(Block::Prose));
    water(book, entry, blocks);
    let repairs: Vec<&'a Entry> = repairs_of(book.snapshot, &book.index, entry.id)
        .filter_map(|repair| book.snapshot.entry(repair.id))
        .collect();
    let mut shown = book.by(entry.id, "finding");
    for repair in &repairs {
        shown.extend(book.by(repair.id, "repair"));
    }
    shown.retain(|entry| matches!(entry.body, Body::Photograph(_)));
    blocks.extend(pictures(book, &shown));
    let own = book.by(entry.id, "finding");
    let of = |is: fn(&Body) -> bool| {
        own.iter()
            .copied()
            .filter(|entry| is(&entry.body))
            .collect::<Vec<_>>()
    };
    blocks.extend(readings(book, &of(|body| matches!(body, Body::Reading(_)))));
    for note in of(|body| matches!(body, Body::Note(_) | Body::SoundNote(_))) {
        repair::note(book, note, blocks);
    }
    // Tests that belong to no repair: they came before it, or tell where the water comes from.
    let loose: Vec<&Entry> = own
        .iter()
        .copied()
        .filter(|entry| matches!(&entry.body, Body::Test(test) if test.repair.is_none()))
        .collect();
    blocks.extend(tests(book, &loose));
    for repair in repairs {
        match repair::story(book, repair) {
            Some(told) => blocks.push(Block::Story(told)),
            None => blocks.push(Block::Prose(Prose {
                link: Some(repair.id),
                ..Prose::labelled(
                    "What was done",
                    format!(
                        "{}. {}: told above or below, with the other finding that it is about.",
                        book.called(repair),
                        repair.title()
                    ),
                )
            })),
        }
    }
    story
}

/// From which ways in the water came.
fn water(book: &mut Book<'_>, finding: &Entry, blocks: &mut Vec<Block>) {
    for path in book.by(finding.id, "finding") {
        let Body::WaterPath(body) = &path.body else {
            continue;
        };
        let from = body.way_in.map_or_else(
            || "a way in that is not named".to_owned(),
            |id| book.snapshot.title(id),
        );
        let sure = body
            .certainty
            .as_ref()
            .map_or("not said how sure", |certainty| certainty.shown());
        let text = format!(
            "From: {from} ({sure}). {}",
            body.words.clone().unwrap_or_default()
        );
        let anchor = book.anchor(path.id);
        blocks.push(Block::Prose(Prose {
            anchor,
            link: body.way_in,
            aside: Some(book.aside(path)),
            ..Prose::labelled("How the water came", text.trim())
        }));
    }
}

/// Tells a way in.
pub(super) fn way_in(book: &mut Book<'_>, entry: &Entry) -> Story {
    let mut story = Story {
        entry: entry.id,
        heading: format!("Way in: {}", entry.title()),
        standing: None,
        margin: book.margin(entry, "seen"),
        blocks: Vec::new(),
    };
    let _first = book.anchor(entry.id);
    let Body::WayIn(way) = &entry.body else {
        return story;
    };
    if let Some(certainty) = &way.certainty {
        story
            .margin
            .push(format!("certainty: {}", certainty.shown()));
    }
    story.standing = Some(way.stopped.as_ref().map_or_else(
        || "not stopped".to_owned(),
        |day| format!("stopped {}", words::day(day)),
    ));
    if let Some(observed) = &way.observed {
        story
            .blocks
            .push(Block::Prose(Prose::plain(observed.clone())));
    }
    if let Some(supposed) = &way.supposed {
        story.blocks.push(Block::Prose(Prose {
            is_supposed: true,
            ..Prose::labelled("Supposed", supposed.clone())
        }));
    }
    if let Some(how) = &way.stopped_how {
        story
            .blocks
            .push(Block::Prose(Prose::labelled("Stopped", how.clone())));
    }
    for path in book.by(entry.id, "way_in") {
        if let Body::WaterPath(body) = &path.body
            && let Some(finding) = body.finding.and_then(|id| book.snapshot.entry(id))
        {
            let sure = body
                .certainty
                .as_ref()
                .map_or("not said how sure", |certainty| certainty.shown());
            story.blocks.push(Block::Prose(Prose {
                link: Some(finding.id),
                ..Prose::labelled(
                    "Led to",
                    format!("{}. {} ({sure})", book.called(finding), finding.title()),
                )
            }));
        }
    }
    story
        .blocks
        .extend(book.disputes(entry).into_iter().map(Block::Prose));
    story
}

/// Pictures: first the pairs from one viewpoint, then the others in the order of the work.
pub(super) fn pictures<'a>(book: &mut Book<'a>, entries: &[&'a Entry]) -> Vec<Block> {
    let mut left: Vec<&'a Entry> = Vec::new();
    for entry in entries {
        if !book.is_placed(entry.id) && left.iter().all(|other| other.id != entry.id) {
            left.push(entry);
        }
    }
    let mut out = Vec::new();
    let answers = |entry: &Entry| match &entry.body {
        Body::Photograph(photograph) => photograph.answers,
        _ => None,
    };
    let after: Vec<&'a Entry> = left
        .iter()
        .copied()
        .filter(|entry| answers(entry).is_some())
        .collect();
    let mut in_pairs = Vec::new();
    for later in after {
        let before = left
            .iter()
            .copied()
            .find(|entry| Some(entry.id) == answers(later) && !in_pairs.contains(&entry.id));
        if let Some(before) = before
            && !in_pairs.contains(&later.id)
            && let (Some(first), Some(second)) = (book.figure(before), book.figure(later))
        {
            in_pairs.extend([before.id, later.id]);
            let same_spots = match &later.body {
                Body::Photograph(photograph) => photograph.same_spots.clone(),
                _ => Vec::new(),
            };
            out.push(Block::Pair(Box::new(Pair {
                before: first,
                after: second,
                same_spots,
                is_laid: false,
            })));
        }
    }
    left.retain(|entry| !in_pairs.contains(&entry.id));
    left.sort_by_key(|entry| (entry.sort_key(), entry.id));
    let figures: Vec<Figure> = left
        .into_iter()
        .filter_map(|entry| book.figure(entry))
        .collect();
    if !figures.is_empty() {
        out.push(Block::Figures(figures));
    }
    out
}

/// The value of a reading in words.
pub(super) fn reading_value(book: &Book<'_>, entry: &Entry) -> String {
    let Body::Reading(reading) = &entry.body else {
        return String::new();
    };
    let value = reading
        .value
        .as_ref()
        .map(|value| match reading.dry_reference {
            // It stands beside the value as a bare figure.
            Some(_) => words::amount(value),
            None => book.amount(value),
        })
        .or_else(|| reading.word.clone())
        .or_else(|| {
            reading
                .yes
                .map(|yes| if yes { "yes" } else { "no" }.to_owned())
        });
    match (&reading.range, value) {
        (Some(range @ (Range::Over | Range::Under)), Some(value)) => {
            format!("{} ({value})", range.shown())
        }
        (Some(range @ (Range::Over | Range::Under)), None) => range.shown().to_owned(),
        (_, value) => value.unwrap_or_else(|| "–".to_owned()),
    }
}

/// Readings as a table, with the caution that belongs to them.
pub(super) fn readings(book: &mut Book<'_>, entries: &[&Entry]) -> Vec<Block> {
    let mut table = Table::new(
        "Readings",
        &[
            "Date",
            "Spot",
            "What",
            "#Value",
            "#Dry reference",
            "Instrument, setting",
            "Conditions",
        ],
    );
    let mut has_moisture = false;
    for entry in entries {
        let Body::Reading(reading) = &entry.body else {
            continue;
        };
        if book.is_placed(entry.id) {
            continue;
        }
        let anchor = book.anchor(entry.id);
        let what = reading.quantity.clone().unwrap_or_default();
        has_moisture |= what.to_lowercase().contains("moisture");
        let mut instrument: Vec<String> = reading
            .instrument
            .map(|id| book.snapshot.title(id))
            .into_iter()
            .collect();
        instrument.extend(reading.mode.clone());
        instrument.extend(reading.species.clone());
        instrument.extend(
            reading
                .correction
                .as_ref()
                .map(|correction| format!("correction: {correction}")),
        );
        let mut conditions = Vec::new();
        for (name, measure) in [
            ("air", &reading.air),
            ("surface", &reading.surface),
            ("humidity", &reading.humidity),
        ] {
            conditions.extend(
                measure
                    .as_ref()
                    .map(|measure| format!("{name} {}", book.amount(measure))),
            );
        }
        conditions.extend(
            [&reading.conditions, &reading.words]
                .into_iter()
                .flatten()
                .cloned(),
        );
        let mut cells = vec![
            book.day(entry).into(),
            reading.spot.clone().unwrap_or_default().into(),
            what.into(),
            reading_value(book, entry).into(),
            reading
                .dry_reference
                .map_or_else(|| "–".to_owned(), |value| value.to_string())
                .into(),
            instrument.join(", ").into(),
            conditions.join("; ").into(),
        ];
        if let Some(cell) = cells.first_mut()
            && super::book::late(entry).is_some()
        {
            *cell = format!("{} (late)", book.day(entry)).into();
        }
        table.row(anchor, cells);
    }
    if table.rows.is_empty() {
        return Vec::new();
    }
    let mut out = vec![Block::Table(merged(table))];
    out.extend(super::chart::charts(book, entries));
    if has_moisture {
        out.push(Block::Caution("A relative scale is no percentage and holds for this instrument on this boat only. Per cent by pins holds for bare wood of the species named; salt, glue, resin and copper read high.".to_owned()));
    }
    for entry in entries {
        out.extend(book.disputes(entry).into_iter().map(Block::Prose));
    }
    out
}

/// A cell that repeats the one above it in the last two columns says so by staying empty.
fn merged(mut table: Table) -> Table {
    for column in 5..7 {
        let mut above = String::new();
        for row in &mut table.rows {
            if let Some(cell) = row.cells.get_mut(column) {
                if !cell.text.is_empty() && cell.text == above {
                    cell.text = "as above".to_owned();
                } else {
                    above.clone_from(&cell.text);
                }
            }
        }
    }
    table
}

/// Tests as a table.
pub(super) fn tests(book: &mut Book<'_>, entries: &[&Entry]) -> Option<Block> {
    let mut table = Table::new(
        "Tested",
        &["Date", "Test", "Verdict", "By", "How, and what was seen"],
    );
    let mut sorted: Vec<&&Entry> = entries.iter().collect();
    sorted.sort_by_key(|entry| (entry.sort_key(), entry.id));
    for entry in sorted {
        let Body::Test(test) = &entry.body else {
            continue;
        };
        if book.is_placed(entry.id) {
            continue;
        }
        let anchor = book.anchor(entry.id);
        let rests: Vec<String> = book
            .index
            .parts(entry.id, &garboard_record::word::Role::RestsOn)
            .filter_map(|id| book.snapshot.entry(id))
            .map(|part| format!("{} of {}", reading_or_title(book, part), book.day(part)))
            .collect();
        let mut words_of = test.words.clone().unwrap_or_default();
        if !rests.is_empty() {
            words_of.push_str(&format!(" Rests on: {}.", words::list(&rests)));
        }
        let late = if super::book::late(entry).is_some() {
            " (written late)"
        } else {
            ""
        };
        table.row(
            anchor,
            vec![
                format!("{}{late}", book.day(entry)).into(),
                test.trial
                    .as_ref()
                    .map_or("–", |trial| trial.shown())
                    .into(),
                test.verdict
                    .as_ref()
                    .map_or("–", |verdict| verdict.shown())
                    .into(),
                book.who(test.person, entry).into(),
                words_of.into(),
            ],
        );
    }
    (!table.rows.is_empty()).then_some(Block::Table(table))
}

fn reading_or_title(book: &Book<'_>, entry: &Entry) -> String {
    match entry.body {
        Body::Reading(_) => format!("the reading {}", reading_value(book, entry)),
        _ => entry.title(),
    }
}
