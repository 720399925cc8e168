//! The boat, how she lay, who is named, the instruments and the papers.

use garboard_record::kind::boat::{Boat, BoatState};
use garboard_record::word::Lie;
use garboard_record::{Body, Entry};

use super::book::Book;
use super::{Block, Fact, Prose, Section, Table};
use crate::words;

/// The section about the boat.
pub(super) fn section(book: &mut Book<'_>) -> Section {
    let mut blocks = Vec::new();
    if let Some((entry, boat)) = book.snapshot.boat() {
        blocks.push(Block::Facts(particulars(book, boat)));
        blocks.extend(engines(boat));
        if let Some(words) = &boat.words {
            blocks.push(Block::Prose(Prose::plain(words.clone())));
        }
        let anchor = book.anchor(entry.id);
        blocks.push(Block::Prose(Prose {
            anchor,
            aside: Some(book.aside(entry)),
            ..Prose::plain("")
        }));
        blocks.extend(book.disputes(entry).into_iter().map(Block::Prose));
    } else {
        blocks.push(Block::Prose(Prose::plain(
            "The statement that names the boat has not arrived.",
        )));
    }
    blocks.extend(super::plan::blocks(book));
    states(book, &mut blocks);
    people(book, &mut blocks);
    instruments(book, &mut blocks);
    papers(book, &mut blocks);
    Section {
        key: "boat".to_owned(),
        heading: "The boat".to_owned(),
        running: "The boat".to_owned(),
        page: String::new(),
        is_place: false,
        blocks,
    }
}

fn of_kind<'a>(book: &Book<'a>, is: impl Fn(&Body) -> bool) -> Vec<&'a Entry> {
    let mut found: Vec<&Entry> = book
        .snapshot
        .standing()
        .filter(|entry| is(&entry.body))
        .collect();
    found.sort_by_key(|entry| (entry.sort_key(), entry.id));
    found
}

fn particulars(book: &Book<'_>, boat: &Boat) -> Vec<Fact> {
    let mut out = Vec::new();
    let mut put = |name: &str, value: Option<String>| {
        if let Some(value) = value.filter(|value| !value.trim().is_empty()) {
            out.push(Fact {
                name: name.to_owned(),
                value,
                link: None,
            });
        }
    };
    put("Name", boat.name.clone());
    put(
        "Hull identification number",
        boat.hull_number
            .as_ref()
            .map(|number| match garboard_record::hull::odd_form(number) {
                Some(why) => format!("{number} (not the form of ISO 10087: {why})"),
                None => number.clone(),
            }),
    );
    put("Builder", boat.builder.clone());
    put("Designer", boat.designer.clone());
    put("Model", boat.model.clone());
    put("Built", boat.built.as_ref().map(words::day));
    for (name, measure) in [
        ("Length overall", &boat.length_overall),
        ("Length on the waterline", &boat.length_waterline),
        ("Greatest beam", &boat.beam),
        ("Draught", &boat.draught),
        ("Displacement", &boat.displacement),
    ] {
        put(name, measure.as_ref().map(|measure| book.amount(measure)));
    }
    put("Hull", boat.hull_construction.clone());
    put("Deck", boat.deck_construction.clone());
    put("Registration", boat.registration.clone());
    put("Former names", Some(words::list(&boat.former_names)));
    put("Former owners", Some(words::list(&boat.former_owners)));
    out
}

fn engines(boat: &Boat) -> Option<Block> {
    let mut table = Table::new("Engines", &["Engine", "Serial number", "Made", "#Hours"]);
    for engine in &boat.engines {
        table.row(
            None,
            vec![
                engine.name.clone().unwrap_or_default().into(),
                engine.serial.clone().unwrap_or_default().into(),
                engine.made.clone().unwrap_or_default().into(),
                engine
                    .hours
                    .map_or_else(|| "–".to_owned(), |hours| hours.to_string())
                    .into(),
            ],
        );
    }
    (!table.rows.is_empty()).then_some(Block::Table(table))
}

fn states(book: &mut Book<'_>, blocks: &mut Vec<Block>) {
    let found = of_kind(book, |body| matches!(body, Body::BoatState(_)));
    if !found.is_empty() {
        blocks.push(Block::Heading("How she lay".to_owned()));
    }
    for entry in found {
        let Body::BoatState(state) = &entry.body else {
            continue;
        };
        let anchor = book.anchor(entry.id);
        blocks.push(Block::Prose(Prose {
            anchor,
            aside: Some(book.aside(entry)),
            ..Prose::labelled(&state_label(state), state_words(book, state))
        }));
        blocks.extend(book.disputes(entry).into_iter().map(Block::Prose));
    }
}

fn state_label(state: &BoatState) -> String {
    match &state.lie {
        Some(Lie::Afloat) => "Afloat.".to_owned(),
        Some(Lie::Ashore) => "Ashore.".to_owned(),
        Some(other) => format!("{}.", words::capital(other.shown())),
        None => "Not said how.".to_owned(),
    }
}

fn state_words(book: &Book<'_>, state: &BoatState) -> String {
    let mut out: Vec<String> = [&state.blocked, &state.tanks, &state.shelter, &state.words]
        .into_iter()
        .flatten()
        .map(|text| super::book::sentence(text))
        .collect();
    if let Some(stepped) = state.mast_stepped {
        out.push(
            if stepped {
                "Mast stepped."
            } else {
                "Mast not stepped."
            }
            .to_owned(),
        );
    }
    let mut freeboards = Vec::new();
    for (name, measure) in [
        ("forward, port", &state.freeboard_forward_port),
        ("forward, starboard", &state.freeboard_forward_starboard),
        ("aft, port", &state.freeboard_aft_port),
        ("aft, starboard", &state.freeboard_aft_starboard),
    ] {
        freeboards.extend(
            measure
                .as_ref()
                .map(|measure| format!("{name} {}", book.amount(measure))),
        );
    }
    if !freeboards.is_empty() {
        out.push(format!("Freeboard {}.", words::list(&freeboards)));
    }
    out.join(" ")
}

fn people(book: &mut Book<'_>, blocks: &mut Vec<Block>) {
    let mut table = Table::new(
        "Who is named",
        &["Name", "Part", "Licence", "Independent of owner and seller"],
    );
    for entry in of_kind(book, |body| matches!(body, Body::Hand(_) | Body::Person(_))) {
        let anchor = book.anchor(entry.id);
        match &entry.body {
            Body::Hand(hand) => table.row(
                anchor,
                vec![
                    hand.name.clone().unwrap_or_default().into(),
                    format!(
                        "writes in the log{}",
                        hand.part
                            .as_ref()
                            .map(|part| format!(", {part}"))
                            .unwrap_or_default()
                    )
                    .into(),
                    "–".into(),
                    "no".into(),
                ],
            ),
            Body::Person(person) => {
                let licence = match (&person.licence, &person.licence_until) {
                    (Some(licence), Some(until)) => {
                        format!("{licence}, until {}", words::day(until))
                    }
                    (Some(licence), None) => licence.clone(),
                    _ => "none written".to_owned(),
                };
                let independent = match person.independent {
                    Some(true) => "said to be",
                    Some(false) => "no",
                    None => "not said",
                };
                table.row(
                    anchor,
                    vec![
                        person.name.clone().unwrap_or_default().into(),
                        person.trade.clone().unwrap_or_default().into(),
                        licence.into(),
                        independent.into(),
                    ],
                );
            }
            _ => {}
        }
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
}

fn instruments(book: &mut Book<'_>, blocks: &mut Vec<Block>) {
    let mut table = Table::new(
        "Instruments",
        &["Instrument", "Kind, serial number", "Shows", "Last checked"],
    );
    for entry in of_kind(book, |body| matches!(body, Body::Instrument(_))) {
        let Body::Instrument(instrument) = &entry.body else {
            continue;
        };
        let kind: Vec<String> = [&instrument.model, &instrument.serial]
            .into_iter()
            .flatten()
            .cloned()
            .collect();
        let checked = match (&instrument.checked, &instrument.checked_against) {
            (Some(day), Some(against)) => format!("{}, against {against}", words::day(day)),
            (Some(day), None) => words::day(day),
            _ => "not said".to_owned(),
        };
        let anchor = book.anchor(entry.id);
        table.row(
            anchor,
            vec![
                instrument.name.clone().unwrap_or_default().into(),
                kind.join(", ").into(),
                instrument.shows.clone().unwrap_or_default().into(),
                checked.into(),
            ],
        );
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
}

fn papers(book: &mut Book<'_>, blocks: &mut Vec<Block>) {
    let mut table = Table::new(
        "Papers",
        &[
            "Paper",
            "Dated",
            "Number, issuer",
            "What it says",
            "Kept as a file",
        ],
    );
    for entry in of_kind(book, |body| matches!(body, Body::Paper(_))) {
        let Body::Paper(paper) = &entry.body else {
            continue;
        };
        let issuer = paper
            .issuer
            .map(|person| words::name(book.snapshot, person));
        let number: Vec<String> = paper.number.iter().cloned().chain(issuer).collect();
        let anchor = book.anchor(entry.id);
        table.row(
            anchor,
            vec![
                entry.title().into(),
                paper
                    .dated
                    .as_ref()
                    .map_or_else(|| "–".to_owned(), words::day)
                    .into(),
                number.join(", ").into(),
                paper.words.clone().unwrap_or_default().into(),
                paper
                    .digest
                    .map_or_else(|| "no".to_owned(), |digest| format!("SHA-256 {digest}"))
                    .into(),
            ],
        );
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
}
