//! The story of a repair: what was decided and why, its steps, what it took, how it was tested.

use std::collections::BTreeMap;

use garboard_record::standing::{progress, steps_of};
use garboard_record::tally::{CostLine, HourLine, Sort, sum_costs, sum_hours};
use garboard_record::word::{Fate, Work};
use garboard_record::{Body, Entry, Id};

use super::book::Book;
use super::{Block, Cell, Fact, Prose, Story, Table, finding, reckoned, sums};
use crate::words;

/// Tells a repair, once; `None` when it was told before.
pub(super) fn story<'a>(book: &mut Book<'a>, entry: &'a Entry) -> Option<Story> {
    if !book.tell(entry.id) {
        return None;
    }
    let _first = book.anchor(entry.id);
    let mut story = Story {
        entry: entry.id,
        heading: format!("{}. {}", book.called(entry), entry.title()),
        standing: Some(progress(book.snapshot, &book.index, entry.id).to_string()),
        margin: book.margin(entry, "decided"),
        blocks: Vec::new(),
    };
    let Body::Repair(repair) = &entry.body else {
        return Some(story);
    };
    story
        .margin
        .push(format!("decided by {}", book.who(repair.person, entry)));
    for (name, when) in [("begun", &repair.begun), ("finished", &repair.finished)] {
        story.margin.extend(
            when.as_ref()
                .map(|when| format!("{name} {}", words::day(when))),
        );
    }
    let blocks = &mut story.blocks;
    let decision = repair
        .decision
        .as_ref()
        .map_or("not said", |decision| decision.shown());
    let why = repair
        .why
        .clone()
        .map(|why| format!(" {why}"))
        .unwrap_or_default();
    blocks.push(Block::Prose(Prose::labelled(
        "Decided",
        format!("{}.{why}", words::capital(decision)),
    )));
    blocks.extend(
        repair
            .words
            .as_ref()
            .map(|words| Block::Prose(Prose::plain(words.clone()))),
    );
    blocks.extend(
        repair
            .alters
            .as_ref()
            .map(|alters| Block::Prose(Prose::labelled("Alters", alters.clone()))),
    );
    blocks.extend(book.disputes(entry).into_iter().map(Block::Prose));
    let own = book.by(entry.id, "repair");
    steps(book, entry.id, blocks);
    let shown: Vec<&'a Entry> = own
        .iter()
        .copied()
        .filter(|entry| matches!(entry.body, Body::Photograph(_)))
        .collect();
    blocks.extend(finding::pictures(book, &shown));
    for closing in own
        .iter()
        .filter(|entry| matches!(entry.body, Body::ClosingUp(_)))
    {
        closed(book, closing, blocks);
    }
    materials(book, entry.id, blocks);
    moved(book, &own, blocks);
    other_costs(book, entry.id, blocks);
    hours(book, entry.id, blocks);
    estimate(book, entry, blocks);
    let tested: Vec<&Entry> = own
        .iter()
        .copied()
        .filter(|entry| matches!(entry.body, Body::Test(_)))
        .collect();
    blocks.extend(finding::tests(book, &tested));
    for entry in own {
        note(book, entry, blocks);
        reckoned::told(book, entry, blocks);
    }
    Some(story)
}

/// A note or a sound note, if it is one and has no place yet.
pub(super) fn note(book: &mut Book<'_>, entry: &Entry, blocks: &mut Vec<Block>) {
    let (label, text) = match &entry.body {
        Body::Note(note) => ("Note", note.words.clone().unwrap_or_default()),
        Body::SoundNote(note) => (
            "Said aloud",
            note.words
                .clone()
                .unwrap_or_else(|| "A sound note that was not written out.".to_owned()),
        ),
        _ => return,
    };
    if !book.is_placed(entry.id) {
        let anchor = book.anchor(entry.id);
        blocks.push(Block::Prose(Prose {
            anchor,
            aside: Some(book.aside(entry)),
            ..Prose::labelled(label, text)
        }));
    }
}

/// The steps with their batches, and the caution that belongs to them.
fn steps(book: &mut Book<'_>, repair: Id, blocks: &mut Vec<Block>) {
    let steps = steps_of(book.snapshot, &book.index, repair);
    let steps: Vec<&Entry> = steps
        .into_iter()
        .filter_map(|entry| book.snapshot.entry(entry.id))
        .collect();
    let mut table = Table::new(
        "Steps",
        &["#", "Step", "Preparation, product", "Done", "By"],
    );
    let mut has_resin = false;
    for (n, entry) in (1..).zip(&steps) {
        let Body::Step(step) = &entry.body else {
            continue;
        };
        has_resin |= matches!(
            step.work,
            Some(
                Work::Bonding
                    | Work::Laminating
                    | Work::Coring
                    | Work::Coating
                    | Work::Fairing
                    | Work::Bedding
                    | Work::Preparing
            )
        );
        let mut title = step.title.clone().unwrap_or_default();
        title.extend(step.coat.map(|coat| format!(" (coat {coat})")));
        if step.hold.is_some() || step.hold_most.is_some() || step.hold_least.is_some() {
            let limits: Vec<String> =
                [("at least", &step.hold_least), ("at most", &step.hold_most)]
                    .into_iter()
                    .filter_map(|(name, limit)| {
                        limit
                            .as_ref()
                            .map(|limit| format!("{name} {}", book.amount(limit)))
                    })
                    .collect();
            let met = step
                .hold_met
                .and_then(|id| book.snapshot.entry(id))
                .map_or_else(
                    || "not met by any entry".to_owned(),
                    |met| format!("met by {} on {}", met.title(), book.day(met)),
                );
            title.push_str(&format!(
                ". Hold point: {} {}; {met}",
                step.hold.clone().unwrap_or_default(),
                words::list(&limits)
            ));
        }
        let mut how: Vec<String> = [&step.preparation, &step.product, &step.words]
            .into_iter()
            .flatten()
            .cloned()
            .collect();
        for (name, measure) in [
            ("air", &step.air),
            ("surface", &step.surface),
            ("humidity", &step.humidity),
        ] {
            how.extend(
                measure
                    .as_ref()
                    .map(|measure| format!("{name} {}", book.amount(measure))),
            );
        }
        let done = match (&step.begun, &step.done) {
            (Some(begun), Some(done)) if words::day(begun) != words::day(done) => {
                format!("{} to {}", words::day(begun), words::day(done))
            }
            (_, Some(done)) => words::day(done),
            (Some(begun), None) => format!("begun {}, not done", words::day(begun)),
            (None, None) => "not done".to_owned(),
        };
        let anchor = book.anchor(entry.id);
        table.row(
            anchor,
            vec![
                n.to_string().into(),
                title.into(),
                how.join("; ").into(),
                done.into(),
                book.who(step.person, entry).into(),
            ],
        );
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
    batches(book, &steps, blocks);
    if has_resin {
        blocks.push(Block::Caution("Dust of old laminate, resins, hardeners and solvents harm lungs and skin and can catch fire. For any further work the product’s data sheet decides ratio, time and temperature, not what is written here.".to_owned()));
    }
}

fn batches(book: &mut Book<'_>, steps: &[&Entry], blocks: &mut Vec<Block>) {
    let mut table = Table::new(
        "Batches",
        &["Mixed", "For", "Parts and lots", "Conditions", "Cure"],
    );
    for step in steps {
        for entry in book.by(step.id, "step") {
            let Body::Batch(batch) = &entry.body else {
                continue;
            };
            let parts: Vec<String> = batch
                .parts
                .iter()
                .map(|part| {
                    let amount = part
                        .amount
                        .as_ref()
                        .map(|amount| format!(" {}", book.amount(amount)))
                        .unwrap_or_default();
                    let lot = part
                        .lot
                        .as_ref()
                        .map(|lot| format!(", lot {lot}"))
                        .unwrap_or_default();
                    format!("{}{amount}{lot}", part.material.clone().unwrap_or_default())
                })
                .collect();
            let mut conditions = Vec::new();
            for (name, measure) in [
                ("air", &batch.air),
                ("surface", &batch.surface),
                ("humidity", &batch.humidity),
            ] {
                conditions.extend(
                    measure
                        .as_ref()
                        .map(|measure| format!("{name} {}", book.amount(measure))),
                );
            }
            let anchor = book.anchor(entry.id);
            table.row(
                anchor,
                vec![
                    batch
                        .mixed
                        .as_ref()
                        .map_or_else(|| book.day(entry), words::moment)
                        .into(),
                    step.title().into(),
                    parts.join("; ").into(),
                    conditions.join("; ").into(),
                    batch
                        .cure_check
                        .clone()
                        .unwrap_or_else(|| "not written".to_owned())
                        .into(),
                ],
            );
        }
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
}

fn closed(book: &mut Book<'_>, entry: &Entry, blocks: &mut Vec<Block>) {
    let Body::ClosingUp(closing) = &entry.body else {
        return;
    };
    let text: Vec<String> = [
        ("Hidden now:", &closing.hides),
        ("Not recorded before:", &closing.missing),
    ]
    .into_iter()
    .filter_map(|(label, text)| {
        text.as_ref()
            .map(|text| format!("{label} {}", super::book::sentence(text)))
    })
    .chain(closing.words.clone())
    .collect();
    let anchor = book.anchor(entry.id);
    blocks.push(Block::Prose(Prose {
        anchor,
        aside: Some(book.aside(entry)),
        ..Prose::labelled("Closed up", text.join(" "))
    }));
}

/// The lines of a repair, in id order.
fn lines(book: &Book<'_>, repair: Id, sort: Sort) -> Vec<CostLine> {
    book.tally
        .costs
        .iter()
        .filter(|line| line.repair == Some(repair) && line.sort == sort)
        .cloned()
        .collect()
}

/// Materials used, with quantities, lots and prices.
fn materials(book: &mut Book<'_>, repair: Id, blocks: &mut Vec<Block>) {
    let lines = lines(book, repair, Sort::Material);
    if lines.is_empty() {
        return;
    }
    let has_costs = book.options.costs;
    let mut columns = vec!["Material used", "Grade", "Lot", "#Quantity"];
    if has_costs {
        columns.push("#Cost");
    }
    let mut table = Table::new("Materials", &columns);
    for line in &lines {
        let (mut grade, mut lot) = (None, None);
        if let Some(Body::Material(material)) =
            book.snapshot.entry(line.entry).map(|entry| &entry.body)
        {
            let bought = material
                .from
                .and_then(|id| book.snapshot.entry(id))
                .and_then(|entry| match &entry.body {
                    Body::Material(bought) => Some(bought.clone()),
                    _ => None,
                });
            grade = material
                .grade
                .clone()
                .or_else(|| bought.as_ref().and_then(|bought| bought.grade.clone()));
            lot = material
                .lot
                .clone()
                .or_else(|| bought.and_then(|bought| bought.lot));
        }
        let anchor = book.anchor(line.entry);
        let text = |text: Option<String>| {
            text.filter(|text| !text.is_empty())
                .unwrap_or_else(|| "–".to_owned())
        };
        let mut cells = vec![
            line.what.clone().into(),
            text(grade).into(),
            text(lot).into(),
            line.quantity
                .as_ref()
                .map_or_else(|| "–".to_owned(), |quantity| book.amount(quantity))
                .into(),
        ];
        if has_costs {
            cells.push(sums::price(line.money.as_ref()).into());
        }
        table.row(anchor, cells);
    }
    if has_costs {
        sums::total_rows(&mut table, "Materials of this repair", &sum_costs(&lines));
    }
    blocks.push(Block::Table(table));
    blocks.extend(sums::differences(book, &lines));
}

/// What was removed, returned, disposed of, or is only needed.
fn moved(book: &mut Book<'_>, own: &[&Entry], blocks: &mut Vec<Block>) {
    let mut table = Table::new(
        "Removed, disposed of, needed",
        &["What", "Happened to it", "#Quantity", "Date, where"],
    );
    for entry in own {
        let Body::Material(material) = &entry.body else {
            continue;
        };
        let Some(fate @ (Fate::Removed | Fate::Disposed | Fate::Needed | Fate::Returned)) =
            &material.fate
        else {
            continue;
        };
        let anchor = book.anchor(entry.id);
        let place: Vec<String> = std::iter::once(book.day(entry))
            .chain(material.where_to.clone())
            .collect();
        table.row(
            anchor,
            vec![
                material.what.clone().unwrap_or_default().into(),
                fate.shown().into(),
                material
                    .quantity
                    .as_ref()
                    .map_or_else(|| "–".to_owned(), |quantity| book.amount(quantity))
                    .into(),
                place.join(", ").into(),
            ],
        );
    }
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
}

fn other_costs(book: &mut Book<'_>, repair: Id, blocks: &mut Vec<Block>) {
    let lines = lines(book, repair, Sort::Other);
    if !book.options.costs || lines.is_empty() {
        return;
    }
    let mut table = Table::new("Other costs", &["What for", "Paid to", "Date", "#Cost"]);
    for line in &lines {
        let Some(entry) = book.snapshot.entry(line.entry) else {
            continue;
        };
        let paid = match &entry.body {
            Body::Cost(cost) => cost.person.map(|person| words::name(book.snapshot, person)),
            _ => None,
        };
        let anchor = book.anchor(line.entry);
        table.row(
            anchor,
            vec![
                line.what.clone().into(),
                paid.unwrap_or_else(|| "–".to_owned()).into(),
                book.day(entry).into(),
                sums::price(line.money.as_ref()).into(),
            ],
        );
    }
    sums::total_rows(&mut table, "Other costs of this repair", &sum_costs(&lines));
    blocks.push(Block::Table(table));
    blocks.extend(sums::differences(book, &lines));
}

/// Hours by person and kind of work.
fn hours(book: &mut Book<'_>, repair: Id, blocks: &mut Vec<Block>) {
    let lines: Vec<HourLine> = book
        .tally
        .hours
        .iter()
        .filter(|line| line.repair == Some(repair))
        .cloned()
        .collect();
    if !book.options.hours || lines.is_empty() {
        return;
    }
    let shown = |work: &Option<Work>| {
        work.as_ref()
            .map_or_else(|| "not said".to_owned(), |work| work.shown().to_owned())
    };
    let mut works: Vec<String> = Vec::new();
    let mut people: Vec<Id> = Vec::new();
    for line in &lines {
        if !works.contains(&shown(&line.work)) {
            works.push(shown(&line.work));
        }
        if !people.contains(&line.person) {
            people.push(line.person);
        }
    }
    let mut by: BTreeMap<(Id, String), Vec<&HourLine>> = BTreeMap::new();
    for line in &lines {
        by.entry((line.person, shown(&line.work)))
            .or_default()
            .push(line);
    }
    let mut columns = vec!["Work".to_owned()];
    columns.extend(
        people
            .iter()
            .map(|person| format!("#{}", words::name(book.snapshot, *person))),
    );
    if people.len() > 1 {
        columns.push("#Together".to_owned());
    }
    let columns: Vec<&str> = columns.iter().map(String::as_str).collect();
    let mut table = Table::new("Hours", &columns);
    let together = |of: Vec<&HourLine>| sum_hours(of).to_string();
    for work in &works {
        let mut cells: Vec<Cell> = vec![words::capital(work).into()];
        for person in &people {
            cells.push(
                by.get(&(*person, work.clone()))
                    .map_or_else(|| "–".to_owned(), |of| together(of.clone()))
                    .into(),
            );
        }
        if people.len() > 1 {
            cells.push(
                together(
                    lines
                        .iter()
                        .filter(|line| shown(&line.work) == *work)
                        .collect(),
                )
                .into(),
            );
        }
        table.row(None, cells);
    }
    let mut cells: Vec<Cell> = vec!["All".into()];
    for person in &people {
        cells.push(together(lines.iter().filter(|line| line.person == *person).collect()).into());
    }
    if people.len() > 1 {
        cells.push(together(lines.iter().collect()).into());
    }
    table.total(cells);
    blocks.push(Block::Table(table));
}

/// What it was thought to take beside what it took.
fn estimate(book: &Book<'_>, entry: &Entry, blocks: &mut Vec<Block>) {
    let Body::Repair(repair) = &entry.body else {
        return;
    };
    let mut facts = Vec::new();
    let mut put = |name: &str, value: String| {
        facts.push(Fact {
            name: name.to_owned(),
            value,
            link: None,
        });
    };
    if let Some(thought) = repair.hours_estimate.filter(|_| book.options.hours) {
        let took = sum_hours(
            book.tally
                .hours
                .iter()
                .filter(|line| line.repair == Some(entry.id)),
        );
        put("Hours", format!("{took}, estimated {thought}"));
    }
    if book.options.costs {
        let lines: Vec<CostLine> = book
            .tally
            .costs
            .iter()
            .filter(|line| line.repair == Some(entry.id))
            .cloned()
            .collect();
        let thought = repair
            .cost_estimate
            .as_ref()
            .map(|thought| format!(", estimated {}", words::money(thought)))
            .unwrap_or_default();
        let sums = sum_costs(&lines);
        let aside = book.together(&sums);
        let took: Vec<String> = sums
            .iter()
            .map(|(currency, sum)| format!("{} {currency}", words::figure(*sum, currency)))
            .collect();
        if !took.is_empty() {
            put(
                "Material and other costs",
                format!("{}{aside}{thought}", words::list(&took)),
            );
        }
    }
    if !facts.is_empty() {
        blocks.push(Block::Facts(facts));
    }
}
