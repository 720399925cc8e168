//! Hours, costs and stock: every line leads to its entry, every total is the sum of the lines above it.

use std::collections::BTreeMap;

use garboard_record::tally::{CostLine, Sort, hours_by, sum_costs, sum_hours};
use garboard_record::{Body, Decimal, Entry, Id, Money};

use super::book::Book;
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

/// Lines with their entries, in the order in which things happened.
fn in_time<'a, L>(
    book: &'a Book<'_>,
    lines: &'a [L],
    entry_of: impl Fn(&L) -> Id,
) -> Vec<(&'a Entry, &'a L)> {
    let mut sorted: Vec<(&Entry, &L)> = lines
        .iter()
        .filter_map(|line| Some((book.snapshot.entry(entry_of(line))?, line)))
        .collect();
    sorted.sort_by_key(|(entry, _)| (entry.sort_key(), entry.id));
    sorted
}

/// A price in words; one that nobody wrote is said to be missing.
pub(super) fn price(money: Option<&Money>) -> String {
    money.map_or_else(|| "no price".to_owned(), words::money)
}

/// Adds one total a currency.
pub(super) fn total_rows(table: &mut Table, label: &str, sums: &BTreeMap<String, Decimal>) {
    let n_empty = table.columns.len().saturating_sub(2);
    for (currency, sum) in sums {
        let mut cells: Vec<Cell> = vec![label.into()];
        cells.extend(std::iter::repeat_n(Cell::default(), n_empty));
        cells.push(format!("{} {currency}", words::figure(*sum, currency)).into());
        table.total(cells);
    }
}

/// What disputed prices would make different.
pub(super) fn differences(book: &Book<'_>, lines: &[CostLine]) -> Vec<Block> {
    let mut out = Vec::new();
    for line in lines {
        for other in &line.disputed {
            let text = match line
                .money
                .as_ref()
                .filter(|counted| counted.currency == other.currency)
            {
                Some(counted) => {
                    let difference = Decimal(other.amount.0 - counted.amount.0);
                    let sign = if difference.is_negative() { "" } else { "+" };
                    format!(
                        "{}: counted at {}; also written: {}, a difference of {sign}{} {}.",
                        line.what,
                        words::money(counted),
                        words::money(other),
                        words::figure(difference, &other.currency),
                        other.currency
                    )
                }
                None => format!(
                    "{}: counted at {}; also written: {}.",
                    line.what,
                    price(line.money.as_ref()),
                    words::money(other)
                ),
            };
            out.push(Block::Prose(Prose {
                link: book.snapshot.entry(line.entry).map(|entry| entry.id),
                ..Prose::labelled("In dispute", text)
            }));
        }
    }
    out
}

/// A repair by its number alone.
fn short(book: &Book<'_>, repair: Option<Id>) -> Cell {
    let entry = repair.and_then(|id| book.snapshot.entry(id));
    entry.map_or_else(
        || Cell::from("–"),
        |entry| book.cell(book.called(entry), entry.id),
    )
}

/// A section that says that it was left out.
fn left_out(key: &str, heading: &str, what: &str) -> Section {
    section(
        key,
        heading,
        vec![Block::Prose(Prose::plain(format!(
            "The seller has left {what} out of this history."
        )))],
    )
}

/// Hours by person, place and repair, and every stint.
pub(super) fn hours(book: &Book<'_>) -> Option<Section> {
    if !book.options.hours {
        return Some(left_out("hours", "Hours", "hours"));
    }
    let lines = &book.tally.hours;
    if lines.is_empty() {
        return Some(section(
            "hours",
            "Hours",
            vec![Block::Prose(Prose::plain(
                "No hours were written in this log.",
            ))],
        ));
    }
    let mut blocks = vec![Block::Prose(Prose::plain(
        "Hours of labour as the hands wrote them, rounded to a hundredth of an hour each. Overlapping stretches count as written.",
    ))];
    let all = sum_hours(lines).to_string();
    let title = |id: Option<Id>| {
        id.map_or_else(
            || Cell::from("not tied to a repair"),
            |id| {
                let text = book.snapshot.entry(id).map_or_else(
                    || "a repair that has not arrived".to_owned(),
                    |entry| format!("{}. {}", book.called(entry), entry.title()),
                );
                book.cell(text, id)
            },
        )
    };
    let mut push = |caption: &str, column: &str, rows: Vec<(Cell, Decimal)>| {
        let mut table = Table::new(caption, &[column, "#Hours"]);
        for (name, sum) in rows {
            table.row(None, vec![name, sum.to_string().into()]);
        }
        table.total(vec!["All".into(), all.clone().into()]);
        blocks.push(Block::Table(table));
    };
    push(
        "By person",
        "Person",
        hours_by(lines, |line| line.person)
            .into_iter()
            .map(|(person, sum)| (book.cell(words::name(book.snapshot, person), person), sum))
            .collect(),
    );
    push(
        "By place",
        "Place",
        hours_by(lines, |line| line.place)
            .into_iter()
            .map(|(place, sum)| {
                (
                    Cell {
                        text: book.place(place),
                        link: place
                            .and_then(|id| book.snapshot.entry(id))
                            .map(|entry| entry.id),
                    },
                    sum,
                )
            })
            .collect(),
    );
    push(
        "By repair",
        "Repair",
        hours_by(lines, |line| line.repair)
            .into_iter()
            .map(|(repair, sum)| (title(repair), sum))
            .collect(),
    );
    let mut table = Table::new(
        "Every stretch of labour",
        &["Date", "Who", "Repair", "Work", "#Hours"],
    );
    for (entry, line) in in_time(book, lines, |line| line.entry) {
        let late = super::book::late(entry)
            .map(|late| format!(" ({late})"))
            .unwrap_or_default();
        let mut work: Vec<String> = line
            .work
            .iter()
            .map(|work| work.shown().to_owned())
            .collect();
        if let Body::Stint(stint) = &entry.body {
            work.extend(stint.words.clone());
        }
        table.row(
            None,
            vec![
                book.cell(format!("{}{late}", book.day(entry)), line.entry),
                words::name(book.snapshot, line.person).into(),
                short(book, line.repair),
                work.join(": ").into(),
                line.hours.to_string().into(),
            ],
        );
    }
    table.total(vec![
        "All".into(),
        Cell::default(),
        Cell::default(),
        Cell::default(),
        all.into(),
    ]);
    blocks.push(Block::Table(table));
    for line in lines {
        for other in &line.disputed {
            let text = format!(
                "A stretch of labour counted at {} hours; also written: {other}, a difference of {}.",
                line.hours,
                Decimal(other.0 - line.hours.0).rounded(2)
            );
            blocks.push(Block::Prose(Prose {
                link: Some(line.entry),
                ..Prose::labelled("In dispute", text)
            }));
        }
    }
    Some(section("hours", "Hours", blocks))
}

/// Costs by repair and place, and every line.
pub(super) fn costs(book: &Book<'_>) -> Option<Section> {
    if !book.options.costs {
        return Some(left_out("costs", "Costs", "costs"));
    }
    let lines = &book.tally.costs;
    if lines.is_empty() {
        return Some(section(
            "costs",
            "Costs",
            vec![Block::Prose(Prose::plain(
                "No costs were written in this log.",
            ))],
        ));
    }
    let mut blocks = vec![Block::Prose(Prose::plain(
        "A repair costs what was used in it, at the price of its purchase, and what else was paid for it. Labour of the hands is counted in hours, not in money. Each line is rounded once to the currency’s smaller unit.",
    ))];
    let all = sum_costs(lines);
    let mut by_repair: BTreeMap<Option<Id>, Vec<&CostLine>> = BTreeMap::new();
    let mut by_place: BTreeMap<Option<Id>, Vec<&CostLine>> = BTreeMap::new();
    for line in lines {
        by_repair.entry(line.repair).or_default().push(line);
        by_place.entry(line.place).or_default().push(line);
    }
    let title = |id: Option<Id>| {
        id.map_or_else(
            || Cell::from("not tied to a repair"),
            |id| {
                let text = book.snapshot.entry(id).map_or_else(
                    || "a repair that has not arrived".to_owned(),
                    |entry| format!("{}. {}", book.called(entry), entry.title()),
                );
                book.cell(text, id)
            },
        )
    };
    let place = |id: Option<Id>| Cell {
        text: book.place(id),
        link: id
            .and_then(|id| book.snapshot.entry(id))
            .map(|entry| entry.id),
    };
    let gathered = |caption: &str,
                    column: &str,
                    by: &BTreeMap<Option<Id>, Vec<&CostLine>>,
                    name: &dyn Fn(Option<Id>) -> Cell| {
        let mut table = Table::new(caption, &[column, "#Material", "#Other", "#Together"]);
        for (id, of) in by {
            for (currency, sum) in sum_costs(of.iter().copied()) {
                let part = |sort: Sort| {
                    sum_costs(of.iter().copied().filter(|line| line.sort == sort))
                        .get(&currency)
                        .map_or_else(|| "–".to_owned(), |sum| words::figure(*sum, &currency))
                };
                table.row(
                    None,
                    vec![
                        name(*id),
                        part(Sort::Material).into(),
                        part(Sort::Other).into(),
                        format!("{} {currency}", words::figure(sum, &currency)).into(),
                    ],
                );
            }
        }
        for (currency, sum) in &all {
            let part = |sort: Sort| {
                sum_costs(lines.iter().filter(|line| line.sort == sort))
                    .get(currency)
                    .map_or_else(|| "–".to_owned(), |sum| words::figure(*sum, currency))
            };
            table.total(vec![
                "All".into(),
                part(Sort::Material).into(),
                part(Sort::Other).into(),
                format!("{} {currency}", words::figure(*sum, currency)).into(),
            ]);
        }
        Block::Table(table)
    };
    blocks.push(gathered("By repair", "Repair", &by_repair, &title));
    blocks.push(gathered("By place", "Place", &by_place, &place));
    blocks.extend(
        book.options
            .exchange
            .as_ref()
            .and_then(|exchange| exchange.table(&all)),
    );
    let mut table = Table::new(
        "Every cost",
        &["Date", "What", "Repair", "#Quantity", "#Cost"],
    );
    for (entry, line) in in_time(book, lines, |line| line.entry) {
        let late = super::book::late(entry)
            .map(|late| format!(" ({late})"))
            .unwrap_or_default();
        table.row(
            None,
            vec![
                book.cell(format!("{}{late}", book.day(entry)), line.entry),
                line.what.clone().into(),
                short(book, line.repair),
                line.quantity
                    .as_ref()
                    .map_or_else(|| "–".to_owned(), words::amount)
                    .into(),
                price(line.money.as_ref()).into(),
            ],
        );
    }
    total_rows(&mut table, "All", &all);
    blocks.push(Block::Table(table));
    let n_unpriced = lines.iter().filter(|line| line.money.is_none()).count();
    if n_unpriced > 0 {
        blocks.push(Block::Prose(Prose::labelled(
            "Without a price",
            format!(
                "{} no price and count nothing.",
                if n_unpriced == 1 {
                    "1 line has".to_owned()
                } else {
                    format!("{n_unpriced} lines have")
                }
            ),
        )));
    }
    blocks.extend(differences(book, lines));
    Some(section("costs", "Costs", blocks))
}

/// What became of each purchase.
pub(super) fn stock(book: &mut Book<'_>) -> Option<Section> {
    let lines = book.tally.stock.clone();
    if lines.is_empty() {
        return None;
    }
    let has_costs = book.options.costs;
    let mut columns = vec![
        "Bought",
        "Lot",
        "#Amount",
        "#Used",
        "#Returned, disposed of",
        "#Left",
    ];
    if has_costs {
        columns.push("#Paid");
    }
    let mut table = Table::new("What became of each purchase", &columns);
    let mut paid: BTreeMap<String, Decimal> = BTreeMap::new();
    for line in lines {
        let lot = match book.snapshot.entry(line.entry).map(|entry| &entry.body) {
            Some(Body::Material(material)) => material.lot.clone(),
            _ => None,
        };
        let unit = garboard_record::Quantity::new(line.bought, &line.unit);
        let anchor = book.anchor(line.entry);
        let gone = Decimal(line.returned.0 + line.disposed.0);
        let mut cells = vec![
            line.what.clone().into(),
            lot.filter(|lot| !lot.is_empty())
                .unwrap_or_else(|| "–".to_owned())
                .into(),
            words::amount(&unit).into(),
            line.used.to_string().into(),
            gone.to_string().into(),
            if line.left.is_negative() {
                format!("{} (more went than came)", line.left).into()
            } else {
                line.left.to_string().into()
            },
        ];
        if has_costs {
            cells.push(price(line.paid.as_ref()).into());
            if let Some(money) = &line.paid {
                let sum = paid.entry(money.currency.clone()).or_default();
                *sum = Decimal(sum.0 + money.amount.0);
            }
        }
        table.row(anchor, cells);
    }
    if has_costs {
        total_rows(&mut table, "All purchases", &paid);
    }
    let note = Prose::plain(
        "What was bought and not used belongs to no repair and is in no repair’s cost; what is left may be aboard or gone.",
    );
    Some(section(
        "stock",
        "Materials bought and what became of them",
        vec![Block::Prose(note), Block::Table(table)],
    ))
}
