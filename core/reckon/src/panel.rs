//! Cutting plans: which part is cut from which sheet, and in which order.

mod chart;
mod checks;
pub mod cuts;
pub mod job;
mod lay;
pub mod plan;
pub mod proof;
mod read;
pub mod yields;

use crate::caution::{DUST, TOOLS};
use crate::input::{self, Input};
use crate::number::{count_of, of_count};
use crate::outcome::Answers;
use crate::output::{self, Output};
use crate::reckoning::{Slices, Topic};
use crate::source::{common_practice, definition, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

use cuts::{Cut, Order, Run};
use job::{Layout, UNITS_PER_MM};
use plan::Search;
use proof::{Asked, prove};
use read::Read;
use yields::Yield;

const LENGTHS: &[&str] = &["mm", "in", "cm", "m", "ft"];

const PARTS: &[Input] = &[
    input::words("name", "Part", "What it is, for the drawing.").optional(),
    input::amount(
        "length",
        "Length",
        "Of the finished part; the saw's width comes on top.",
        LENGTHS,
        "1",
        "6000",
    ),
    input::amount(
        "width",
        "Width",
        "Of the finished part.",
        LENGTHS,
        "1",
        "6000",
    ),
    input::whole("count", "How many", "That are wanted.", 1, 9999),
    input::choice(
        "grain",
        "Length of the part",
        "How it lies to the sheet's length, along which the face grain runs.",
        &[
            ("free", "either way"),
            ("along", "along the sheet"),
            ("across", "across the sheet"),
        ],
    )
    .or("free", "parts that may be turned waste least"),
    input::number(
        "value",
        "Worth",
        "Only where the most is to be made of one sheet; without it the area counts.",
        "0",
        "1000000",
    )
    .optional(),
];

const SHEETS: &[Input] = &[
    input::amount(
        "length",
        "Length",
        "Along the face grain.",
        LENGTHS,
        "10",
        "6000",
    ),
    input::amount(
        "width",
        "Width",
        "Across the face grain.",
        LENGTHS,
        "10",
        "6000",
    ),
    input::whole(
        "count",
        "How many",
        "That are there, or that could be bought.",
        1,
        400,
    ),
];

const INPUTS: &[Input] = &[
    input::rows("parts", "Parts", "What is to be cut, a row for each kind.", PARTS, 1, 60),
    input::rows("sheets", "Sheets", "What it is cut from, in the order in which the sheets are to be used: offcuts first.", SHEETS, 1, 12),
    input::amount("kerf", "The saw takes", "The width of its cut; measure it in a scrap.", &["mm", "in"], "0", "20")
        .or("3 mm", "common practice, no source: a circular saw's blade"),
    input::amount("trim", "Cut off each edge first", "Where the sheet's edges are bruised or not square.", &["mm", "in"], "0", "200")
        .or("0 mm", "clean edges"),
    input::yes_no("edge_to_edge", "Cuts go from edge to edge", "Yes for a saw that cannot stop within a sheet.")
        .or("no", "a hand-held saw can stop"),
    input::choice(
        "aim",
        "Aim",
        "All parts from few sheets; or the most that the first sheet alone gives, with cuts from edge to edge.",
        &[("fewest-sheets", "all parts from few sheets"), ("most-from-one", "the most from one sheet")],
    )
    .or("fewest-sheets", "what is wanted most often"),
    input::amount("keep", "Offcuts worth keeping from", "The shorter side of an offcut that you would put on the shelf.", LENGTHS, "0", "6000")
        .or("100 mm", "an assumption without a source"),
    input::whole("tries", "Orders to try", "More tries may find a better plan and take longer; the same number gives the same plan.", 1, 10_000)
        .or("2000", "well under two seconds for most lists of parts"),
];

const LAID: &[Output] = &[
    output::figure("sheet", "Sheet", "", 0),
    output::words("part", "Part"),
    output::figure("along", "From the end", "mm", 1),
    output::figure("across", "From the edge", "mm", 1),
    output::figure("length", "Along the sheet", "mm", 1),
    output::figure("width", "Across the sheet", "mm", 1),
];

const CUTS: &[Output] = &[
    output::figure("step", "Cut", "", 0),
    output::figure("sheet", "Sheet", "", 0),
    output::verdict(
        "run",
        "The saw runs",
        &[
            ("across", "across the sheet's length, edge to edge"),
            ("along", "along the sheet's length, edge to edge"),
            ("stopped", "short of the edge, round each part"),
        ],
    ),
    output::figure("piece_length", "Through a piece so long", "mm", 1),
    output::figure("piece_width", "and so wide", "mm", 1),
    output::figure("at", "So far from the piece's end or edge", "mm", 1).sometimes(),
    output::figure("parts", "Parts to cut out", "", 0).sometimes(),
];

const OFFCUTS: &[Output] = &[
    output::figure("sheet", "Sheet", "", 0),
    output::figure("length", "Along the sheet", "mm", 1),
    output::figure("width", "Across the sheet", "mm", 1),
];

const LEFT: &[Output] = &[
    output::words("part", "Part"),
    output::figure("count", "How many", "", 0),
];

const RESULTS: &[Output] = &[
    output::verdict(
        "room",
        "Parts",
        &[
            ("all", "every part has room"),
            (
                "some",
                "some parts have no room: more or larger sheets are needed",
            ),
        ],
    ),
    output::figure("sheets_used", "Sheets that are cut", "", 0),
    output::figure("used_share", "Parts, of the sheets that are cut", "%", 2),
    output::figure("last_length", "Length cut from the last sheet", "mm", 1),
    output::verdict(
        "proved",
        "Could another plan do better",
        &[
            ("yes", "no: it is proved"),
            ("no", "perhaps: this is the best that was found"),
        ],
    ),
    output::figure("parts_cut", "Parts that are cut", "", 0),
    output::figure("value", "Worth of the parts", "", 2).sometimes(),
    output::figure("saw_length", "The saw runs", "m", 2),
    output::drawing("drawing", "The sheets"),
    output::table("cuts", "Cuts, first to last", CUTS),
    output::table("laid", "Where each part lies", LAID),
    output::table("offcuts", "Offcuts worth keeping", OFFCUTS),
    output::table("left_over", "Parts without room", LEFT),
];

/// Units of a length as millimetres.
fn mm(units: i64) -> f64 {
    let size = of_whole(units.unsigned_abs()) / of_whole(UNITS_PER_MM.unsigned_abs());
    if units < 0 { -size } else { size }
}

/// A whole number that a binary fraction holds exactly.
fn of_whole(n: u64) -> f64 {
    let high = u32::try_from(n >> 32).unwrap_or(u32::MAX);
    let low = u32::try_from(n & 0xffff_ffff).unwrap_or(u32::MAX);
    f64::from(high) * 4_294_967_296.0 + f64::from(low)
}

fn square_metres(length: i64, width: i64) -> f64 {
    mm(length) * mm(width) / 1e6
}

/// What is worked on.
enum Work {
    Sheets(Box<Search>),
    Most(Box<Yield>),
}

/// A plan that is being made.
struct Cutting {
    read: Read,
    work: Work,
    left: u64,
}

/// So many small steps are made for the most of one sheet, whatever the machine.
const MOST_STEPS: u64 = 8_000_000;

fn begun(given: &Given) -> Result<Cutting, Unreckoned> {
    let read = read::read(given)?;
    let (work, left) = if read.most_from_one {
        (Work::Most(Box::new(Yield::new(&read.job))), MOST_STEPS)
    } else {
        let tries = u64::try_from(given.whole("tries")?).unwrap_or(1);
        (Work::Sheets(Box::new(Search::new(&read.job))), tries)
    };
    Ok(Cutting { read, work, left })
}

impl Slices for Cutting {
    fn step(&mut self, budget: u32) -> bool {
        match &mut self.work {
            Work::Sheets(search) => {
                let n = self.read.n_pieces;
                let price = u32::try_from(1 + n * n / 200).unwrap_or(u32::MAX);
                let mut spent = 0_u32;
                while self.left > 0 && spent < budget {
                    self.left -= 1;
                    spent = spent.saturating_add(price);
                    if !search.step(1) {
                        self.left = 0;
                    }
                }
                self.left == 0
            }
            Work::Most(search) => {
                let budget = (u64::from(budget) * 20).min(self.left);
                self.left -= budget;
                if !search.step(budget.max(1)) {
                    self.left = 0;
                }
                self.left == 0
            }
        }
    }

    fn best(&self) -> Result<Outcome, Unreckoned> {
        let (layout, proved, asked, value) = match &self.work {
            Work::Sheets(search) => {
                let layout = search.best().ok_or_else(|| {
                    Unreckoned::impossible("tries", "nothing was tried yet", "let it go on")
                })?;
                (layout, search.is_proved(), Asked::Each, None)
            }
            Work::Most(search) => (
                search.best(),
                search.is_proved(),
                Asked::AtMost,
                Some(search.value()),
            ),
        };
        prove(&self.read.job, &layout, asked).map_err(|flaw| Unreckoned::Ours {
            what: format!("a plan that cannot be cut: {flaw}"),
        })?;
        told(&self.read, &layout, proved, value)
    }
}

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut cutting = begun(given)?;
    while !cutting.step(100_000) {}
    cutting.best()
}

fn begin(given: &Given) -> Result<Box<dyn Slices>, Unreckoned> {
    Ok(Box::new(begun(given)?))
}

/// A plan in words, tables and a drawing.
fn told(
    read: &Read,
    layout: &Layout,
    proved: bool,
    value: Option<i64>,
) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(RESULTS);
    let job = &read.job;
    let orders: Vec<Order> = layout
        .sheets
        .iter()
        .map(|laid| cuts::order(job, laid))
        .collect();
    let n_parts: usize = layout.sheets.iter().map(|laid| laid.parts.len()).sum();
    let all = layout.left_over.is_empty() && (value.is_none() || n_parts == read.n_pieces);
    out.answers
        .verdict("room", if all { "all" } else { "some" })?;
    out.say("sheets_used", of_count(layout.sheets.len()))?;
    let cut: f64 = layout
        .sheets
        .iter()
        .flat_map(|laid| &laid.parts)
        .map(|one| square_metres(one.length, one.width))
        .sum();
    let sheets: f64 = layout
        .sheets
        .iter()
        .filter_map(|laid| job.sheets.get(laid.sheet_idx))
        .map(|sheet| square_metres(sheet.length, sheet.width))
        .sum();
    out.say(
        "used_share",
        if sheets > 0.0 {
            100.0 * cut / sheets
        } else {
            0.0
        },
    )?;
    let last = layout
        .sheets
        .last()
        .and_then(|laid| laid.parts.iter().map(|one| one.along + one.length).max());
    out.say("last_length", mm(last.unwrap_or(0)))?;
    out.answers
        .verdict("proved", if proved { "yes" } else { "no" })?;
    out.say("parts_cut", of_count(n_parts))?;
    if let Some(value) = value {
        out.say("value", of_whole(value.unsigned_abs()) / read.value_scale)?;
    }
    out.say(
        "saw_length",
        orders
            .iter()
            .map(|order| mm(order.run_length()))
            .sum::<f64>()
            / 1000.0,
    )?;
    out.answers
        .drawing("drawing", &chart::chart(read, layout, &orders))?;
    let cuts = cut_rows(&orders, &out.answers)?;
    out.answers.table("cuts", &cuts)?;
    let mut rows = Vec::new();
    let mut offcuts = Vec::new();
    for ((laid, order), sheet) in layout.sheets.iter().zip(&orders).zip(1..) {
        for one in &laid.parts {
            let mut row = out.answers.row("laid");
            row.figure("sheet", of_count(sheet))?;
            row.words("part", read.name(one.part_idx))?;
            for (name, length) in [
                ("along", one.along),
                ("across", one.across),
                ("length", one.length),
                ("width", one.width),
            ] {
                row.figure(name, mm(length))?;
            }
            rows.push(row);
        }
        for one in order
            .offcuts
            .iter()
            .filter(|one| one.length.min(one.width) >= read.keep)
        {
            let mut row = out.answers.row("offcuts");
            row.figure("sheet", of_count(sheet))?;
            row.figure("length", mm(one.length))?;
            row.figure("width", mm(one.width))?;
            offcuts.push(row);
        }
    }
    out.answers.table("laid", &rows)?;
    out.answers.table("offcuts", &offcuts)?;
    let left = layout
        .left_over
        .iter()
        .map(|(part, count)| {
            let mut row = out.answers.row("left_over");
            row.words("part", read.name(*part))?;
            row.figure("count", f64::from(*count))?;
            Ok(row)
        })
        .collect::<Result<Vec<_>, Unreckoned>>()?;
    out.answers.table("left_over", &left)?;
    if orders
        .iter()
        .flat_map(|order| &order.cuts)
        .any(|cut| matches!(cut, Cut::Stopped { .. }))
    {
        out.remark("Some parts are cut out with stops: drill or plunge in the waste, never at a part's corner, or ask for cuts from edge to edge.");
    }
    out.remark(
        "Mark each part from the cut before it, not from the drawing: errors of the saw add up.",
    );
    needed(read, layout, &mut out)?;
    Ok(out)
}

/// The sheets that are cut, as material.
fn needed(read: &Read, layout: &Layout, out: &mut Outcome) -> Result<(), Unreckoned> {
    for (at, sheet) in read.job.sheets.iter().enumerate() {
        let n = layout
            .sheets
            .iter()
            .filter(|laid| laid.sheet_idx == at)
            .count();
        if n > 0 {
            let size = format!("{:.0} × {:.0} mm", mm(sheet.length), mm(sheet.width));
            out.need("sheet", size, of_count(n), "pcs", 0)?;
        }
    }
    Ok(())
}

fn cut_rows(orders: &[Order], answers: &Answers) -> Result<Vec<Answers>, Unreckoned> {
    let mut rows = Vec::new();
    for (order, sheet) in orders.iter().zip(1..) {
        for cut in &order.cuts {
            let mut row = answers.row("cuts");
            row.figure("step", of_count(rows.len() + 1))?;
            row.figure("sheet", of_count(sheet))?;
            let of = match cut {
                Cut::Through { of, run, at, .. } => {
                    row.verdict(
                        "run",
                        if *run == Run::Across {
                            "across"
                        } else {
                            "along"
                        },
                    )?;
                    row.figure("at", mm((*at).max(0)))?;
                    of
                }
                Cut::Stopped { of, n_parts } => {
                    row.verdict("run", "stopped")?;
                    row.figure("parts", of_count(*n_parts))?;
                    of
                }
            };
            row.figure("piece_length", mm(of.length))?;
            row.figure("piece_width", mm(of.width))?;
            rows.push(row);
        }
    }
    Ok(rows)
}

/// Cutting plans.
pub static CUTTING: Reckoning = Reckoning {
    name: "cutting-plan",
    title: "Cutting plan",
    purpose: "Which part is cut from which sheet, in which order of cuts, and what is left over; or the most that one sheet gives.",
    topic: Topic::Panel,
    revision: 2,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
n = floor((L + k)/(p + k))   parts of length p in a row of length L
share = Σ area of parts/Σ area of the sheets that are cut
few sheets: orders of the parts are tried, each laid where it fits best; the best so far is kept
most from one: every cut in two is bounded, then rectangles are built up until nothing promises more
each plan is looked through by a second program part: sizes, grain, trim, k between neighbours, numbers, edge to edge
k: what the saw takes",
    sources: &[
        definition("Plain geometry: what the saw takes lies between any two parts"),
        published(
            "Christofides and Whitlock, Operations Research 25 (1977) 30-44, and Wang, Operations Research 31 (1983) 573-586: instances on which the most from one sheet is checked",
            "cutting",
        ),
        published(
            "Beasley, Journal of the Operational Research Society 36 (1985) 297-306: instances with any number of each part",
            "cutting",
        ),
        common_practice("3 mm for what a circular saw takes"),
    ],
    limits: &[
        "That no other plan is better, where it does not say that it is proved.",
        "Parts that are not rectangles: give the rectangle round them.",
        "Veneer that must match, defects of a sheet, and play for planing: add it to the parts.",
    ],
    cautions: &[&TOOLS, &DUST],
    reckon,
    begin: Some(begin),
    checks: checks::CHECKS,
};

/// A whole number that is not negative.
fn whole(x: f64) -> i64 {
    i64::try_from(count_of(x)).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests;
