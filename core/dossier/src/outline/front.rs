//! What stands before and after everything: the title page, how to read it, what it comes to, cautions, how to check it.

use garboard_photo::THUMBNAIL_SIDE;
use garboard_record::standing::standing;
use garboard_record::tally::{sum_costs, sum_hours};
use garboard_record::unit::System;
use garboard_record::word::Lie;
use garboard_record::{Body, Entry, When};

use super::book::Book;
use super::{Block, Cell, Fact, Prose, Section, Table, Title};
use crate::words;

/// The title page.
pub(super) fn title(book: &mut Book<'_>) -> Title {
    let snapshot = book.snapshot;
    let boat = snapshot
        .boat()
        .map(|(_, boat)| boat.clone())
        .unwrap_or_default();
    let mut what: Vec<String> = boat.model.iter().cloned().collect();
    what.extend(
        boat.built
            .as_ref()
            .map(|built| format!("built {}", words::day(built))),
    );
    what.extend(
        boat.hull_number
            .as_ref()
            .map(|number| format!("hull identification number {number}")),
    );
    let mut entries: Vec<&Entry> = snapshot
        .standing()
        .filter(|entry| entry.statement.happened.is_some())
        .collect();
    // A paper of earlier years tells nothing of when the log was kept.
    entries.retain(|entry| !entry.statement.is_late());
    entries.sort_by_key(|entry| (entry.sort_key(), entry.id));
    let period = match (entries.first(), entries.last()) {
        (Some(first), Some(last)) => format!("{} to {}", book.day(first), book.day(last)),
        _ => "no dated entries".to_owned(),
    };
    let mut hands: Vec<String> = Vec::new();
    for entry in snapshot.standing() {
        if matches!(entry.body, Body::Hand(_)) {
            hands.push(words::hand(snapshot, entry.id));
        }
    }
    let mut statements = vec![
        format!("Written by the seller of the boat: {}. Nobody independent has checked it.", if hands.is_empty() { "no hand is named".to_owned() } else { words::list(&hands) }),
        "This is no survey. It says what was seen, done and measured at the places named in it, and nothing about any other.".to_owned(),
        "Dated by the owner’s device only.".to_owned(),
    ];
    statements.extend(book.options.made.as_ref().map(|made| {
        let day = made
            .parse::<When>()
            .map_or_else(|_no_day| made.clone(), |when| words::day(&when));
        format!("Made from the log on {day}.")
    }));
    let picture = snapshot.standing().find(|entry| match &entry.body {
        Body::Photograph(photograph) => photograph.of.and_then(|of| snapshot.entry(of)).is_some_and(|of| matches!(&of.body, Body::BoatState(state) if matches!(state.lie, Some(Lie::Ashore | Lie::Afloat)))),
        _ => false,
    });
    let figure = picture.and_then(|entry| book.figure(entry));
    Title {
        boat: snapshot.boat_name().to_owned(),
        what: words::capital(&what.join(", ")),
        period,
        statements,
        figure,
    }
}

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

/// The labels under which the seller's choices are printed.
pub(crate) const CHOICES: [&str; 4] = ["Size of pictures.", "Units.", "Currency.", "Left out."];

/// How to read it.
pub(super) fn reading(book: &Book<'_>) -> Section {
    let mut left_out: Vec<String> = Vec::new();
    for (is_in, what) in [
        (book.options.hours, "hours"),
        (book.options.costs, "costs"),
        (book.options.struck, "the text of struck entries"),
    ] {
        if !is_in {
            left_out.push(what.to_owned());
        }
    }
    if !book.options.names {
        left_out.push("names (initials stand for them)".to_owned());
    }
    if !book.options.left_places.is_empty() {
        left_out.push(format!(
            "{}: {}, so that no sum has their hours, costs or materials",
            words::count(
                book.options.left_places.len(),
                "place with what lies within it",
                "places with what lies within them"
            ),
            words::count(book.n_gone, "entry", "entries")
        ));
    }
    let n_positions = book
        .snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Position(_)))
        .count();
    if !book.options.positions && n_positions > 0 {
        left_out.push(format!(
            "the positions of {}",
            words::count(n_positions, "photograph", "photographs")
        ));
    }
    let left_out = match left_out.as_slice() {
        [] => "Nothing of the log’s entries was left out of this history.".to_owned(),
        parts => format!(
            "Left out of this history by the seller: {}.",
            words::list(parts)
        ),
    };
    let mut list = vec![
        Prose::labelled(
            "Who wrote it.",
            "The owner and those whom the owner let write, while the work went on. They are the sellers of the boat, or stand close to them.",
        ),
        Prose::labelled(
            "Observed and supposed.",
            "What was seen, felt or measured is set upright. What was only thought to be the reason is set in italics and called supposed.",
        ),
        Prose::labelled(
            "Dates.",
            "Each entry says when a thing happened and when it was written down. Both come from the clock of the owner’s device (writing days in UTC); no outside person, paper or device has fixed them. What was written more than a day after it happened is marked late.",
        ),
        Prose::labelled(
            "Corrections.",
            "Nothing can be erased from the log. A corrected field keeps what stood there before; a withdrawn entry is struck and stays legible. Both are listed near the end.",
        ),
        Prose::labelled(
            "Disputes.",
            "Where two hands wrote a figure differently and nobody has chosen, the value that was written first counts in every total, and the difference is printed.",
        ),
        Prose::labelled(
            "Totals.",
            "Every total is the exact sum of the lines printed above it, and every line leads to its entry. Prices include the tax that was written with them.",
        ),
        Prose::labelled(
            "Pictures.",
            "A picture’s SHA-256 names the original file to the last bit; the originals can be asked for. The five strokes beside a picture say how far the work had come: found, opened, prepared, rebuilt, finished.",
        ),
    ];
    if book.options.small_pictures {
        list.push(Prose::labelled(
            "Size of pictures.",
            format!(
                "By the seller’s choice pictures are in their small size, at most {THUMBNAIL_SIDE} pixels along the longer side, to keep this file light. Ask the seller for larger ones."
            ),
        ));
    }
    list.extend(units(book.options.units));
    if let Some(exchange) = book
        .options
        .exchange
        .as_ref()
        .filter(|_| book.options.costs)
    {
        list.push(Prose::labelled("Currency.", exchange.said()));
    }
    list.push(Prose::labelled("Left out.", left_out));
    section(
        "reading",
        "How to read this history",
        vec![Block::List(list)],
    )
}

/// That amounts are converted, and which are not.
fn units(chosen: Option<System>) -> Option<Prose> {
    let which = match chosen? {
        System::Metric => "metric",
        System::UsCustomary => "US customary",
    };
    Some(Prose::labelled(
        "Units.",
        format!(
            "By the seller’s choice amounts are shown in {which} units, rounded, with what was written behind them in brackets, which counts. Costs, purchases, ledgers, corrected fields, disputes, titles, drawings, reckonings, readings beside a dry reference and plain words are as written."
        ),
    ))
}

/// What it comes to.
pub(super) fn summary(book: &Book<'_>) -> Section {
    let snapshot = book.snapshot;
    let mut table = Table::new(
        "Findings and how they stand",
        &["#No.", "Finding", "Place", "How urgent", "Stands"],
    );
    for entry in snapshot.standing() {
        if let Body::Finding(finding) = &entry.body {
            table.row(
                None,
                vec![
                    book.number(entry.id).to_string().into(),
                    book.cell(entry.title(), entry.id),
                    book.place(book.index.place_of(snapshot, entry.id)).into(),
                    finding
                        .urgency
                        .as_ref()
                        .map_or("–", |urgency| urgency.shown())
                        .into(),
                    standing(snapshot, &book.index, entry.id).to_string().into(),
                ],
            );
        }
    }
    let count = |is: &dyn Fn(&Entry) -> bool| snapshot.entries().filter(|entry| is(entry)).count();
    let fact = |name: &str, value: String| Fact {
        name: name.to_owned(),
        value,
        link: None,
    };
    let n_struck = count(&|entry| entry.is_struck());
    let n_late = count(&|entry| !entry.is_struck() && entry.statement.is_late());
    let n_disputes: usize = snapshot
        .standing()
        .map(|entry| entry.disputes().count())
        .sum();
    let mut facts = vec![
        fact(
            "Log",
            format!(
                "{} about {}",
                words::count(book.whole.n_statements(), "statement", "statements"),
                words::count(book.whole.entries().count(), "entry", "entries")
            ),
        ),
        fact(
            "Pictures",
            words::count(
                count(&|entry| !entry.is_struck() && matches!(entry.body, Body::Photograph(_))),
                "picture",
                "pictures",
            ),
        ),
        fact(
            "Readings and tests",
            format!(
                "{}, {}",
                words::count(
                    count(&|entry| !entry.is_struck() && matches!(entry.body, Body::Reading(_))),
                    "reading",
                    "readings"
                ),
                words::count(
                    count(&|entry| !entry.is_struck() && matches!(entry.body, Body::Test(_))),
                    "test",
                    "tests"
                ),
            ),
        ),
        fact("Marked late", words::count(n_late, "entry", "entries")),
        fact("Struck", words::count(n_struck, "entry", "entries")),
        fact("In dispute", words::count(n_disputes, "field", "fields")),
    ];
    let n_not_reached = count(&|entry| {
        !entry.is_struck()
            && matches!(&entry.body, Body::Examination(examination) if examination.not_reached.is_some())
    });
    facts.push(fact(
        "Could not be reached",
        words::count(n_not_reached, "examination says so", "examinations say so"),
    ));
    if book.options.hours {
        facts.push(fact(
            "Labour",
            format!("{} hours", sum_hours(&book.tally.hours)),
        ));
    }
    if book.options.costs {
        let sums = sum_costs(&book.tally.costs);
        let aside = book.together(&sums);
        let sums: Vec<String> = sums
            .iter()
            .map(|(currency, sum)| format!("{} {currency}", words::figure(*sum, currency)))
            .collect();
        facts.push(fact(
            "Material used and other costs",
            if sums.is_empty() {
                "none written".to_owned()
            } else {
                words::list(&sums) + &aside
            },
        ));
    }
    let mut blocks = Vec::new();
    if table.rows.is_empty() {
        blocks.push(Block::Prose(Prose::plain(
            "No finding was written in this log.",
        )));
    } else {
        blocks.push(Block::Table(table));
    }
    blocks.push(Block::Facts(facts));
    section("summary", "In short", blocks)
}

/// What whoever relies on it must know. Our own sentences; common practice of the trade, no single source.
pub(super) fn cautions() -> Option<Section> {
    let cautions = [
        (
            "No survey.",
            "A buyer, an insurer or a lender needs the report of an independent surveyor. This history can save a surveyor time; it cannot take a surveyor’s place.",
        ),
        (
            "Closed places.",
            "What was covered again can no longer be seen. A picture shows a surface at one moment from one side, and nothing beside its frame.",
        ),
        (
            "Moisture.",
            "A figure on a relative scale is no percentage and can be compared only with the same instrument on the same boat. A pin reading in per cent holds for bare wood of a known species; salt, glue, resin, copper and cold change it. A dry reading does not prove dry wood at every depth.",
        ),
        (
            "Strength.",
            "That a repair is dry, crisp to the hammer and well finished says nothing certain about its strength. Structure, rigging, ballast and whatever holds the water out are for a surveyor, a naval architect or a boatbuilder to judge.",
        ),
        (
            "Licensed work.",
            "Gas, fuel, mains and battery electrics, and whatever local codes name, belong to those who are licensed for them. An entry here is no certificate.",
        ),
        (
            "Products.",
            "Mixing ratios, times, temperatures and coats are what the hands wrote down on the day. For any further work the product’s own data sheet decides, not this history.",
        ),
        (
            "Who opens her again.",
            "Old paint, antifouling, laminate and core make harmful dust; resins and solvents harm skin and lungs and can catch fire. Wires, hoses and tanks may run where this history names none. Isolate, ventilate, protect yourself, and look before cutting.",
        ),
        (
            "Leaks return.",
            "A bedding that is sound today ages. The upkeep listed here is the seller’s view of what to watch, and may be incomplete.",
        ),
    ];
    let list = cautions
        .iter()
        .map(|(label, text)| Prose::labelled(label, *text))
        .collect();
    Some(section("cautions", "Cautions", vec![Block::List(list)]))
}

/// What is signed, what that shows, and what it does not.
fn signature(key: Option<&str>, is_sealed: bool) -> String {
    match key {
        Some(key) if is_sealed => format!(
            "This page is sealed by the device that made it, with the key {key}. Have the seller tell you these twenty signs himself, by another way than this file: anybody can make a key. The seal is a comment after the end of the page; garboard check, or Check in the app, says whether it holds, and any other program for Ed25519 (RFC 8032) can. If it holds, no byte of the page was changed since. A copy that a browser or a mail program saved anew is no longer the same file. That what was written is true, and when it was written, no seal shows.",
        ),
        Some(key) => format!(
            "The bag in which this file came is signed by the device that made it, with the key {key}. Have the seller tell you these twenty signs himself, by another way than this file: anybody can make a key. garboard check says whether the signature holds; signatures.json in the bag holds all that any other program for Ed25519 (RFC 8032) needs. If it holds, no file and no statement was changed since it was signed. That what was written is true, and when it was written, no signature shows.",
        ),
        None => "This file carries none, and nothing says here that one belongs to it. A bag can be signed by the device that makes it.".to_owned(),
    }
}

/// How to check it.
pub(super) fn checking(book: &Book<'_>) -> Section {
    let mut blocks = vec![Block::List(vec![
        Prose::labelled(
            "A picture.",
            "Ask the seller for the original file and compute its SHA-256 (every computer can: sha256sum, shasum -a 256, certutil -hashfile). It must be the one in the list of pictures, digit for digit. Then the file is the one that the log names; when and of what it was taken is not proved by that.",
        ),
        Prose::labelled(
            "An entry.",
            "Ask for the bag, which holds every statement of the log as its device wrote it (data/log/statements.jsonl; data/read-me.txt says how to read it). Each statement carries its device and that device’s running count, from 1. A number that is missing is a statement that is not here, or one that a crash or a full disk kept from being saved; ask for it.",
        ),
        Prose::labelled(
            "The bag.",
            "The seller can hand over a bag: one ZIP with this history as a page and on paper, the pictures, the ledgers and the statements. Unpack it; any BagIt tool checks it whole (RFC 8493), and so does sha256sum -c manifest-sha256.txt in its folder. A file that fails was altered or damaged since the bag was made. Keep the bag’s own SHA-256 in the contract of sale: whoever alters a file could write new manifests too.",
        ),
        Prose::labelled(
            "Signature.",
            signature(book.options.key.as_deref(), book.options.is_sealed),
        ),
        Prose::labelled(
            "This file.",
            "Made again from the same log with the same choices it is the same to the last byte, so that two copies, or a copy and the log, can be compared.",
        ),
        Prose::labelled(
            "The boat.",
            "Look at the places, ask the persons named, compare the invoices, and let a surveyor open what matters.",
        ),
    ])];
    let mut table = Table::new(
        "What each device has written",
        &["Device", "Hand", "#Statements", "#Highest count"],
    );
    for device in book.whole.devices() {
        let n = book
            .whole
            .statements()
            .filter(|(_, statement)| statement.device == device)
            .count();
        let (name, hand) = match book.snapshot.entry(device).map(|entry| &entry.body) {
            Some(Body::Device(body)) => (
                body.name.clone().unwrap_or_default(),
                body.hand
                    .map(|hand| words::name(book.snapshot, hand))
                    .unwrap_or_default(),
            ),
            _ => (words::short(device), "not named".to_owned()),
        };
        let highest = book.whole.highest_count(device).unwrap_or(0);
        table.row(
            None,
            vec![
                Cell {
                    text: name,
                    link: book.snapshot.entry(device).map(|entry| entry.id),
                },
                hand.into(),
                n.to_string().into(),
                highest.to_string().into(),
            ],
        );
    }
    blocks.push(Block::Table(table));
    section("checking", "How to check it", blocks)
}
