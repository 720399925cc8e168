//! The ledgers alone: hours, costs and materials as CSV (RFC 4180) and JSON, with descriptions that a program can read.

use std::collections::BTreeMap;

use garboard_record::tally::{Sort, Tally, sum_costs, sum_hours, tally};
use garboard_record::{Body, Decimal, Id, Index, Snapshot};
use serde_json::{Value, json};

use crate::Options;
use crate::withheld::Withheld;
use crate::words;

/// A file of the ledgers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Its name, without a folder.
    pub name: &'static str,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// A ledger: names of columns with their types, and rows of as many cells.
struct Sheet {
    name: &'static str,
    title: &'static str,
    columns: &'static [(&'static str, &'static str, &'static str)],
    rows: Vec<Vec<String>>,
}

const HOURS: &[(&str, &str, &str)] = &[
    ("entry", "string", "the entry that says it"),
    ("date", "string", "the day, as far as it is known"),
    ("month", "string", "the month, as far as it is known"),
    ("person", "string", "who worked"),
    ("place", "string", "where"),
    ("repair", "string", "for which repair; empty for none"),
    ("work", "string", "what kind of work"),
    ("hours", "number", "hours"),
    ("disputed", "string", "other hours that were written for it"),
];
const COSTS: &[(&str, &str, &str)] = &[
    ("entry", "string", "the entry that says it"),
    ("date", "string", "the day, as far as it is known"),
    ("month", "string", "the month, as far as it is known"),
    ("person", "string", "who wrote it down"),
    ("sort", "string", "material or other"),
    ("what", "string", "what was used or paid for"),
    ("place", "string", "where"),
    ("repair", "string", "for which repair; empty for none"),
    ("quantity", "string", "how much, with its unit"),
    (
        "amount",
        "number",
        "what it cost; empty where nobody wrote it",
    ),
    ("currency", "string", "three letters, ISO 4217"),
    (
        "disputed",
        "string",
        "other prices that were written for it",
    ),
];
const STOCK: &[(&str, &str, &str)] = &[
    ("entry", "string", "the entry that says it"),
    ("what", "string", "the material"),
    ("unit", "string", "the unit of the amounts"),
    ("bought", "number", "bought"),
    ("used", "number", "used"),
    ("returned", "number", "given back"),
    ("disposed", "number", "disposed of"),
    ("left", "number", "left over"),
    (
        "paid",
        "number",
        "what it cost; empty where nobody wrote it or costs are left out",
    ),
    ("currency", "string", "three letters, ISO 4217"),
];
const TOTALS: &[(&str, &str, &str)] = &[
    ("ledger", "string", "hours or costs"),
    ("by", "string", "all, place, repair, person or month"),
    ("name", "string", "which of them"),
    ("total", "number", "the sum of the ledger's lines"),
    ("unit", "string", "h, or the currency"),
];

/// A cell as RFC 4180 has it.
fn cell(words: &str) -> String {
    if words.contains(['"', ',', '\n', '\r']) || words.trim() != words {
        format!("\"{}\"", words.replace('"', "\"\""))
    } else {
        words.to_owned()
    }
}

fn csv(sheet: &Sheet) -> Vec<u8> {
    let heads = sheet.columns.iter().map(|(name, ..)| (*name).to_owned());
    lines(std::iter::once(heads.collect::<Vec<_>>()).chain(sheet.rows.iter().cloned()))
}

/// Rows as CSV (RFC 4180).
pub(crate) fn lines(rows: impl IntoIterator<Item = Vec<String>>) -> Vec<u8> {
    let mut out = String::new();
    for row in rows {
        let cells: Vec<String> = row.iter().map(|words| cell(words)).collect();
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    out.into_bytes()
}

/// What lines share: when, where, for what.
struct Reader<'a> {
    snapshot: &'a Snapshot,
    index: Index,
    repairs: BTreeMap<Id, usize>,
}

impl Reader<'_> {
    /// The day and the month of an entry, as far as they are known.
    fn day(&self, entry: Id) -> (String, String) {
        let when = self
            .snapshot
            .entry(entry)
            .and_then(|entry| entry.statement.happened.as_ref());
        let text = when.map_or("", |when| when.as_str());
        let upto = |n: usize| text.get(..n).unwrap_or(text).to_owned();
        (upto(10), upto(7))
    }

    fn place(&self, id: Option<Id>) -> String {
        id.map_or_else(String::new, |id| self.index.path_shown(self.snapshot, id))
    }

    fn repair(&self, id: Option<Id>) -> String {
        let Some(entry) = id.and_then(|id| self.snapshot.entry(id)) else {
            return String::new();
        };
        match self.repairs.get(&entry.id) {
            Some(n) => format!("Repair {n}. {}", entry.title()),
            None => entry.title(),
        }
    }

    fn writer(&self, entry: Id) -> String {
        let entry = self.snapshot.entry(entry);
        entry.map_or_else(String::new, |entry| {
            words::name(self.snapshot, entry.statement.hand)
        })
    }
}

fn hours(reader: &Reader<'_>, tally: &Tally) -> Sheet {
    let mut rows = Vec::new();
    for line in &tally.hours {
        let (day, month) = reader.day(line.entry);
        let disputed: Vec<String> = line.disputed.iter().map(ToString::to_string).collect();
        rows.push(vec![
            line.entry.to_string(),
            day,
            month,
            words::name(reader.snapshot, line.person),
            reader.place(line.place),
            reader.repair(line.repair),
            line.work
                .as_ref()
                .map_or_else(String::new, |work| work.shown().to_owned()),
            line.hours.to_string(),
            disputed.join("; "),
        ]);
    }
    Sheet {
        name: "hours.csv",
        title: "Hours",
        columns: HOURS,
        rows,
    }
}

fn costs(reader: &Reader<'_>, tally: &Tally) -> Sheet {
    let mut rows = Vec::new();
    for line in &tally.costs {
        let (day, month) = reader.day(line.entry);
        let disputed: Vec<String> = line.disputed.iter().map(words::money).collect();
        let (amount, currency) = line.money.as_ref().map_or_else(Default::default, |money| {
            (
                words::figure(money.amount, &money.currency),
                money.currency.clone(),
            )
        });
        rows.push(vec![
            line.entry.to_string(),
            day,
            month,
            reader.writer(line.entry),
            match line.sort {
                Sort::Material => "material",
                Sort::Other => "other",
            }
            .to_owned(),
            line.what.clone(),
            reader.place(line.place),
            reader.repair(line.repair),
            line.quantity
                .as_ref()
                .map_or_else(String::new, words::amount),
            amount,
            currency,
            disputed.join("; "),
        ]);
    }
    Sheet {
        name: "costs.csv",
        title: "Costs",
        columns: COSTS,
        rows,
    }
}

fn stock(tally: &Tally, with_costs: bool) -> Sheet {
    let mut rows = Vec::new();
    for line in &tally.stock {
        let paid = line.paid.as_ref().filter(|_| with_costs);
        let (amount, currency) = paid.map_or_else(Default::default, |money| {
            (
                words::figure(money.amount, &money.currency),
                money.currency.clone(),
            )
        });
        rows.push(vec![
            line.entry.to_string(),
            line.what.clone(),
            line.unit.clone(),
            line.bought.to_string(),
            line.used.to_string(),
            line.returned.to_string(),
            line.disposed.to_string(),
            line.left.to_string(),
            amount,
            currency,
        ]);
    }
    Sheet {
        name: "materials.csv",
        title: "Materials",
        columns: STOCK,
        rows,
    }
}

/// The totals by place, repair, person and month.
fn totals(reader: &Reader<'_>, tally: &Tally, options: &Options) -> Sheet {
    let mut rows = Vec::new();
    let mut row = |ledger: &str, by: &str, name: &str, total: String, unit: &str| {
        rows.push([ledger, by, name, &total, unit].map(str::to_owned).to_vec());
    };
    type Key<'a, L> = (&'static str, Box<dyn Fn(&L) -> String + 'a>);
    if options.hours {
        row("hours", "all", "", sum_hours(&tally.hours).to_string(), "h");
        let keys: [Key<'_, garboard_record::tally::HourLine>; 4] = [
            ("place", Box::new(|line| reader.place(line.place))),
            ("repair", Box::new(|line| reader.repair(line.repair))),
            (
                "person",
                Box::new(|line| words::name(reader.snapshot, line.person)),
            ),
            ("month", Box::new(|line| reader.day(line.entry).1)),
        ];
        for (by, key) in keys {
            let mut groups: BTreeMap<String, Vec<_>> = BTreeMap::new();
            for line in &tally.hours {
                groups.entry(key(line)).or_default().push(line);
            }
            for (name, lines) in groups {
                row("hours", by, &name, sum_hours(lines).to_string(), "h");
            }
        }
    }
    if options.costs {
        let all: BTreeMap<String, Decimal> = sum_costs(&tally.costs);
        for (currency, sum) in &all {
            row("costs", "all", "", words::figure(*sum, currency), currency);
        }
        let keys: [Key<'_, garboard_record::tally::CostLine>; 4] = [
            ("place", Box::new(|line| reader.place(line.place))),
            ("repair", Box::new(|line| reader.repair(line.repair))),
            ("person", Box::new(|line| reader.writer(line.entry))),
            ("month", Box::new(|line| reader.day(line.entry).1)),
        ];
        for (by, key) in keys {
            let mut groups: BTreeMap<String, Vec<_>> = BTreeMap::new();
            for line in &tally.costs {
                groups.entry(key(line)).or_default().push(line);
            }
            for (name, lines) in groups {
                for (currency, sum) in sum_costs(lines) {
                    row("costs", by, &name, words::figure(sum, &currency), &currency);
                }
            }
        }
    }
    Sheet {
        name: "totals.csv",
        title: "Totals",
        columns: TOTALS,
        rows,
    }
}

/// The description of all tables: Data Package and Table Schema, version 1.
fn package(sheets: &[Sheet], left_out: &[&str]) -> Value {
    let resources: Vec<Value> = sheets
        .iter()
        .map(|sheet| {
            let fields: Vec<Value> = sheet
                .columns
                .iter()
                .map(
                    |(name, kind, says)| json!({ "name": name, "type": kind, "description": says }),
                )
                .collect();
            json!({
                "name": sheet.name.trim_end_matches(".csv"),
                "title": sheet.title,
                "path": sheet.name,
                "profile": "tabular-data-resource",
                "encoding": "utf-8",
                "format": "csv",
                "mediatype": "text/csv",
                "schema": { "fields": fields, "missingValues": [""] },
            })
        })
        .collect();
    json!({ "profile": "tabular-data-package", "name": "ledgers", "left_out": left_out, "resources": resources })
}

/// The same ledgers in one JSON text; amounts are strings of decimal digits, so that none is rounded.
fn as_json(sheets: &[Sheet], left_out: &[&str]) -> Value {
    let mut out = serde_json::Map::new();
    out.insert("left_out".to_owned(), json!(left_out));
    for sheet in sheets {
        let rows: Vec<Value> = sheet
            .rows
            .iter()
            .map(|row| {
                let fields = sheet.columns.iter().zip(row);
                fields
                    .map(|((name, ..), said)| ((*name).to_owned(), Value::String(said.clone())))
                    .collect::<serde_json::Map<_, _>>()
                    .into()
            })
            .collect();
        out.insert(sheet.name.trim_end_matches(".csv").to_owned(), rows.into());
    }
    out.into()
}

/// The JSON Schema (draft 2020-12) of the JSON text.
fn schema() -> Value {
    let list = |columns: &[(&str, &str, &str)]| {
        let mut fields = serde_json::Map::new();
        for (name, kind, says) in columns {
            let field = if *kind == "number" {
                json!({ "type": "string", "pattern": "^(-?[0-9]+(\\.[0-9]+)?)?$", "description": says })
            } else {
                json!({ "type": "string", "description": says })
            };
            fields.insert((*name).to_owned(), field);
        }
        let names: Vec<&str> = columns.iter().map(|(name, ..)| *name).collect();
        json!({ "type": "array", "items": { "type": "object", "properties": fields, "required": names, "additionalProperties": false } })
    };
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "The ledgers of a boat's history",
        "type": "object",
        "properties": {
            "left_out": { "type": "array", "items": { "enum": ["hours", "costs", "names", "places"] } },
            "hours": list(HOURS),
            "costs": list(COSTS),
            "materials": list(STOCK),
            "totals": list(TOTALS),
        },
        "required": ["left_out", "materials", "totals"],
        "additionalProperties": false,
    })
}

pub(crate) fn pretty(value: &Value) -> Vec<u8> {
    format!("{value:#}\n").into_bytes()
}

/// Makes the ledgers: one CSV file each, their description, the same as JSON, and the schema of that.
#[must_use]
pub fn ledgers(snapshot: &Snapshot, options: &Options) -> Vec<File> {
    let withheld = Withheld::of(snapshot, options);
    let kept = withheld.kept(snapshot);
    let snapshot: &Snapshot = &kept;
    let index = Index::of(snapshot);
    let tally = tally(snapshot, &index);
    let repairs = snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Repair(_)));
    let repairs = repairs.map(|entry| entry.id).zip(1..).collect();
    let reader = Reader {
        snapshot,
        index,
        repairs,
    };
    let mut sheets = Vec::new();
    let mut left_out = Vec::new();
    if options.hours {
        sheets.push(hours(&reader, &tally));
    } else {
        left_out.push("hours");
    }
    if options.costs {
        sheets.push(costs(&reader, &tally));
    } else {
        left_out.push("costs");
    }
    sheets.push(stock(&tally, options.costs));
    sheets.push(totals(&reader, &tally, options));
    if !options.names {
        left_out.push("names");
    }
    if !options.left_places.is_empty() {
        left_out.push("places");
    }
    for cell in sheets
        .iter_mut()
        .flat_map(|sheet| &mut sheet.rows)
        .flatten()
    {
        *cell = withheld.told(cell);
    }
    let mut out: Vec<File> = sheets
        .iter()
        .map(|sheet| File {
            name: sheet.name,
            bytes: csv(sheet),
        })
        .collect();
    out.push(File {
        name: "datapackage.json",
        bytes: pretty(&package(&sheets, &left_out)),
    });
    out.push(File {
        name: "ledgers.json",
        bytes: pretty(&as_json(&sheets, &left_out)),
    });
    out.push(File {
        name: "ledgers.schema.json",
        bytes: pretty(&schema()),
    });
    out
}

#[cfg(test)]
mod tests;
