//! What forms are made of: every kind's fields, and what the log offers to choose from.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use garboard_protocol::{Choice, Choices, Form, FormField, Input};
use garboard_record::shape::Shape;
use garboard_record::unit::{UNITS, group};
use garboard_record::word::{Stage, Word as _};
use garboard_record::{Body, Entry, Field, Kind, standing};
use serde_json::Value;

use crate::sight::{Sight, capital};
use crate::{shown, view::places};

/// The kinds that a person writes, the commonest first; then those whose entries are amended but
/// come about in another way.
const KINDS: &[Kind] = &[
    Kind::Finding,
    Kind::Note,
    Kind::Reading,
    Kind::Repair,
    Kind::Step,
    Kind::Material,
    Kind::Cost,
    Kind::Stint,
    Kind::Test,
    Kind::Examination,
    Kind::Place,
    Kind::WayIn,
    Kind::WaterPath,
    Kind::ClosingUp,
    Kind::Batch,
    Kind::Fitting,
    Kind::Upkeep,
    Kind::UpkeepDone,
    Kind::BoatState,
    Kind::Instrument,
    Kind::Person,
    Kind::Paper,
    Kind::Member,
    Kind::Boat,
    Kind::Photograph,
    Kind::SoundNote,
    Kind::Mark,
    Kind::Hand,
    Kind::Device,
];

/// The fields of a kind that are shown at once; needed ones are as well.
fn first_fields(kind: &Kind) -> &'static [&'static str] {
    match kind {
        Kind::Finding => &[
            "title", "observed", "supposed", "kinds", "extent", "urgency",
        ],
        Kind::Note => &["words"],
        Kind::Reading => &["quantity", "value", "word", "spot", "instrument", "mode"],
        Kind::Repair => &["title", "decision", "why"],
        Kind::Step => &["repair", "title", "work", "product", "done"],
        Kind::Material => &["what", "fate", "quantity", "unit_price", "repair", "lot"],
        Kind::Cost => &["what", "amount", "repair"],
        Kind::Stint => &["start", "end", "hours", "work", "words"],
        Kind::Test => &["trial", "verdict", "words"],
        Kind::Examination => &["place", "methods", "outcome", "not_reached", "words"],
        Kind::Place => &["name", "parent", "side", "behind"],
        Kind::WayIn => &["title", "place", "certainty", "observed"],
        Kind::WaterPath => &["way_in", "finding", "certainty", "words"],
        Kind::ClosingUp => &["place", "repair", "hides", "missing"],
        Kind::Batch => &["step", "mixed", "parts", "air"],
        Kind::Fitting => &["name", "place", "fastenings", "bedding", "hole_plugged"],
        Kind::Upkeep => &["what", "place", "interval", "next"],
        Kind::UpkeepDone => &["upkeep", "words"],
        Kind::BoatState => &["lie", "blocked", "shelter"],
        Kind::Instrument => &["name", "model", "shows", "unit"],
        Kind::Person => &["name", "trade", "licence"],
        Kind::Paper => &["title", "paper", "dated", "of"],
        Kind::Boat => &[
            "name",
            "builder",
            "model",
            "built",
            "length_overall",
            "beam",
        ],
        Kind::SoundNote => &["words", "place"],
        Kind::Photograph => &["stage", "shows", "place", "finding", "answers"],
        _ => &[],
    }
}

/// What a reading is usually of, with the usual unit; common practice, no source.
const QUANTITIES: &[(&str, &str)] = &[
    ("moisture", "%"),
    ("moisture, relative", "scale"),
    ("sound of a tap", ""),
    ("thickness", "mm"),
    ("depth", "mm"),
    ("gap", "mm"),
    ("length", "mm"),
    ("temperature", "C"),
    ("humidity", "%"),
    ("resistance", "ohm"),
    ("voltage", "V"),
    ("hardness", ""),
];

/// Makes all choices.
#[must_use]
pub fn choices(sight: Sight<'_>) -> Choices {
    Choices {
        forms: KINDS.iter().map(|kind| form(sight, kind)).collect(),
        places: place_choices(sight),
        findings: newest(sight, |entry| {
            matches!(entry.body, Body::Finding(_))
                && standing::standing(sight.snapshot, sight.index, entry.id).is_open()
        }),
        repairs: newest(sight, |entry| {
            matches!(entry.body, Body::Repair(_))
                && matches!(
                    standing::progress(sight.snapshot, sight.index, entry.id),
                    standing::Progress::Planned | standing::Progress::InHand
                )
        }),
        instruments: newest(sight, |entry| matches!(entry.body, Body::Instrument(_))),
        people: newest(sight, |entry| matches!(entry.body, Body::Person(_))),
        hands: newest(sight, |entry| matches!(entry.body, Body::Hand(_))),
        quantities: quantities(sight),
        units: UNITS
            .iter()
            .filter(|unit| unit.is_measured())
            .map(|unit| choice(&unit.symbol.into(), unit.shown.to_owned(), String::new()))
            .collect(),
        stages: words(Stage::WORDS),
    }
}

fn form(sight: Sight<'_>, kind: &Kind) -> Form {
    Form {
        kind: kind.to_string(),
        title: capital(kind.shown()),
        fields: kind
            .fields()
            .iter()
            .filter(|field| !matches!(field.shape, Shape::Statements | Shape::Digest))
            .map(|field| form_field(sight, kind, field))
            .collect(),
    }
}

fn form_field(sight: Sight<'_>, kind: &Kind, field: &Field) -> FormField {
    let (input, choices) = input(sight, kind, field);
    FormField {
        name: field.name.to_owned(),
        label: shown::label(kind, field.name),
        hint: field.help.trim().replace('*', ""),
        input,
        choices,
        is_first: field.needed || first_fields(kind).contains(&field.name),
        is_needed: field.needed,
    }
}

fn input(sight: Sight<'_>, kind: &Kind, field: &Field) -> (Input, Vec<Choice>) {
    let plain = |input: Input| (input, Vec::new());
    match field.shape {
        Shape::Text if *kind == Kind::Reading && field.name == "quantity" => {
            (Input::OneOf, quantities(sight))
        }
        Shape::Text => plain(Input::Line),
        Shape::Prose => plain(Input::Words),
        Shape::Texts => plain(Input::Lines),
        Shape::Number => plain(Input::Decimal),
        Shape::Count => plain(Input::Whole),
        Shape::Amount(units) => plain(quantity(units)),
        Shape::Money => plain(Input::Money),
        Shape::When => plain(Input::When),
        Shape::YesNo => plain(Input::YesNo),
        Shape::Word(list) => (Input::OneOf, words(list)),
        Shape::Words(list) => (Input::SeveralOf, words(list)),
        Shape::Entry(kinds) => plain(Input::EntryOf {
            kinds: kinds.iter().map(|kind| (*kind).to_owned()).collect(),
        }),
        Shape::Engines => plain(table(&[
            ("name", Input::Line),
            ("serial", Input::Line),
            ("hours", Input::Decimal),
            ("made", Input::Line),
        ])),
        Shape::Layers => plain(table(&[
            ("material", Input::Line),
            ("thickness", quantity(group::LENGTH)),
            ("note", Input::Line),
        ])),
        Shape::Parts => plain(table(&[
            ("material", Input::Line),
            ("lot", Input::Line),
            ("amount", quantity(group::AMOUNT)),
        ])),
        Shape::Statements | Shape::Digest | Shape::Points | Shape::SameSpots | Shape::Any => {
            plain(Input::Json)
        }
    }
}

fn quantity(units: &[&str]) -> Input {
    Input::Quantity {
        units: units.iter().map(|unit| (*unit).to_owned()).collect(),
    }
}

fn table(columns: &[(&str, Input)]) -> Input {
    Input::Table {
        columns: columns
            .iter()
            .map(|(name, input)| FormField {
                name: (*name).to_owned(),
                label: capital(name),
                input: input.clone(),
                is_first: true,
                ..FormField::default()
            })
            .collect(),
    }
}

fn words(list: &[(&str, &str)]) -> Vec<Choice> {
    list.iter()
        .map(|(word, shown)| choice(&(*word).into(), capital(shown), String::new()))
        .collect()
}

fn choice(raw: &Value, label: String, note: String) -> Choice {
    Choice {
        raw: raw.to_string(),
        label,
        note,
    }
}

fn place_choices(sight: Sight<'_>) -> Vec<Choice> {
    places::places(sight)
        .into_iter()
        .filter(|line| !line.is_struck)
        .filter_map(|line| {
            let id = line.id.parse().ok()?;
            let path = sight.place(id).path;
            Some(choice(
                &line.id.into(),
                line.name,
                path.get(..path.len().saturating_sub(1))?.join(" › "),
            ))
        })
        .collect()
}

fn newest(sight: Sight<'_>, is_wanted: impl Fn(&Entry) -> bool) -> Vec<Choice> {
    let mut found: Vec<&Entry> = sight
        .snapshot
        .standing()
        .filter(|entry| is_wanted(entry))
        .collect();
    garboard_record::small::sort_by_key(&mut found, |entry| Reverse((entry.sort_key(), entry.id)));
    found
        .into_iter()
        .map(|entry| {
            choice(
                &entry.id.to_string().into(),
                entry.title(),
                sight
                    .place_of(entry.id)
                    .map_or_else(String::new, |place| place.path.join(" › ")),
            )
        })
        .collect()
}

/// What readings of this log are of, the commonest first, then what is usual.
fn quantities(sight: Sight<'_>) -> Vec<Choice> {
    let mut used: BTreeMap<String, (usize, String)> = BTreeMap::new();
    for entry in sight.snapshot.standing() {
        if let Body::Reading(reading) = &entry.body
            && let Some(quantity) = &reading.quantity
        {
            let known = used.entry(quantity.clone()).or_default();
            known.0 += 1;
            if let Some(value) = &reading.value {
                known.1.clone_from(&value.unit);
            }
        }
    }
    let mut found: Vec<(Reverse<usize>, String, String)> = used
        .into_iter()
        .map(|(quantity, (n, unit))| (Reverse(n), quantity, unit))
        .collect();
    garboard_record::small::sort(&mut found);
    let mut out: Vec<Choice> = Vec::new();
    let usual = QUANTITIES
        .iter()
        .map(|(quantity, unit)| ((*quantity).to_owned(), (*unit).to_owned()));
    for (quantity, unit) in found
        .into_iter()
        .map(|(_, quantity, unit)| (quantity, unit))
        .chain(usual)
    {
        let raw = Value::from(quantity.clone()).to_string();
        if !out.iter().any(|known| known.raw == raw) {
            out.push(Choice {
                raw,
                label: capital(&quantity),
                note: unit,
            });
        }
    }
    out
}
