//! Slabs of the page, one below the other, and how they fall on sheets of paper.

use std::collections::BTreeMap;
use std::rc::Rc;

use garboard_record::Digest;

use super::drawing::Inked;
use super::face::{Ink, Look, Run};
use crate::strokes::Spot;

/// What a part of the document is to those who hear it read.
#[derive(Clone, Debug)]
pub(super) enum Role {
    Section,
    Heading(u16, String),
    Paragraph,
    List,
    Item,
    Label,
    Body,
    Contents,
    ContentsItem,
    Table(String),
    Head,
    Rows,
    Totals,
    Row,
    HeadCell,
    Cell,
    Figure(String),
    Caption,
    Note,
    Link,
}

/// What a part holds, in the order of reading.
#[derive(Clone, Copy, Debug)]
pub(super) enum Child {
    /// A part within.
    Part(usize),
    /// Something that is drawn.
    Mark(usize),
    /// A place that leads elsewhere.
    Way(usize),
}

/// The parts of the document in the order of reading. Part 0 holds all others.
#[derive(Debug)]
pub(super) struct Tree {
    pub(super) parts: Vec<(Role, Vec<Child>)>,
    pub(super) n_marks: usize,
    pub(super) n_ways: usize,
}

impl Tree {
    pub(super) fn new() -> Self {
        Self {
            parts: vec![(Role::Section, Vec::new())],
            n_marks: 0,
            n_ways: 0,
        }
    }

    fn add(&mut self, parent: usize, child: Child) {
        if let Some((_, children)) = self.parts.get_mut(parent) {
            children.push(child);
        }
    }

    pub(super) fn part(&mut self, parent: usize, role: Role) -> usize {
        let at = self.parts.len();
        self.parts.push((role, Vec::new()));
        self.add(parent, Child::Part(at));
        at
    }

    pub(super) fn mark(&mut self, parent: usize) -> usize {
        let at = self.n_marks;
        self.n_marks += 1;
        self.add(parent, Child::Mark(at));
        at
    }

    pub(super) fn way(&mut self, parent: usize) -> usize {
        let at = self.n_ways;
        self.n_ways += 1;
        self.add(parent, Child::Way(at));
        at
    }
}

/// Something that is drawn, from the slab's left upper corner.
#[derive(Clone, Debug)]
pub(super) enum Draw {
    /// Words on a baseline; without a mark they are not read aloud.
    Words {
        x: f32,
        y: f32,
        run: Run,
        mark: Option<usize>,
    },
    /// A line across.
    Rule {
        x: f32,
        y: f32,
        width: f32,
        weight: f32,
        ink: Ink,
    },
    /// A small box, full or empty.
    Bar {
        x: f32,
        y: f32,
        width: f32,
        height: f32,
        ink: Ink,
        is_full: bool,
    },
    /// A picture.
    Picture {
        x: f32,
        y: f32,
        width: f32,
        height: f32,
        digest: Digest,
        mark: usize,
    },
    /// A drawing of our own, read aloud as one.
    Drawing {
        x: f32,
        y: f32,
        width: f32,
        height: f32,
        inked: Vec<Inked>,
        mark: usize,
    },
    /// A line over a picture, light within dark; it is not read aloud.
    Stroke { spots: Vec<Spot>, is_closed: bool },
    /// A disc over a picture, light with a dark rim; it is not read aloud.
    Disc { at: Spot, radius: f32 },
    /// A place that leads elsewhere in the document.
    Way {
        x: f32,
        y: f32,
        width: f32,
        height: f32,
        to: String,
        says: String,
        way: usize,
    },
    /// The number of the page on which something stands, ending at `x`.
    PageOf {
        x: f32,
        y: f32,
        to: String,
        look: Look,
        mark: usize,
    },
}

/// What the rows of a table come to so far, to be carried to the sheet on which it goes on.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Carry {
    /// The sums by the numbers of their columns.
    pub(super) sums: Vec<(usize, String)>,
}

/// The height of a line of carried sums.
pub(super) const CARRIED: f32 = 16.6;

/// The head of a table, to be repeated where the table goes on.
#[derive(Debug)]
pub(super) struct Head {
    pub(super) height: f32,
    pub(super) draws: Vec<Draw>,
    /// The right edge of each column.
    pub(super) edges: Vec<f32>,
}

/// A strip of the page that is never parted.
#[derive(Debug, Default)]
pub(super) struct Slab {
    /// The white above it, dropped at the top of a page.
    pub(super) space: f32,
    pub(super) height: f32,
    /// Whether it stays with the next one.
    pub(super) is_kept: bool,
    /// Whether it begins a page.
    pub(super) is_fresh: bool,
    pub(super) draws: Vec<Draw>,
    /// The names of what stands here.
    pub(super) anchors: Vec<String>,
    /// What is repeated above it when it comes first on a page.
    pub(super) head: Option<Rc<Head>>,
    /// What stands below it when it is the last on a sheet, and above the next, while the table goes on.
    pub(super) carry: Option<Carry>,
    /// What the running head says from here on.
    pub(super) running: Option<String>,
    /// What the outline says of it, and how deep.
    pub(super) outline: Option<(u8, String)>,
}

/// A sheet with all that is drawn on it.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub(super) running: String,
    /// Each with the height of its slab's top.
    pub(super) draws: Vec<(f32, Draw)>,
}

/// All sheets, and where things are.
#[derive(Debug, Default)]
pub(super) struct Sheets {
    pub(super) sheets: Vec<Sheet>,
    /// By name: the sheet, counted from 0, and the height on it.
    pub(super) anchors: BTreeMap<String, (usize, f32)>,
    /// In order: how deep, what, on which sheet and how high.
    pub(super) outline: Vec<(u8, String, usize, f32)>,
}

/// Lets slabs fall on sheets between two heights. `carried` draws a line of sums under a label.
pub(super) fn fall(
    slabs: Vec<Slab>,
    top: f32,
    bottom: f32,
    mut carried: impl FnMut(&str, &Carry, &Head) -> Vec<Draw>,
) -> Sheets {
    let mut out = Sheets {
        sheets: vec![Sheet::default()],
        ..Sheets::default()
    };
    // How much each slab needs together with those that it stays with.
    let mut needs = vec![0.0_f32; slabs.len()];
    let mut after = 0.0;
    for (slab, need) in slabs.iter().zip(&mut needs).rev() {
        let own = slab.space + slab.height;
        after = if slab.is_kept { own + after } else { own };
        *need = after;
    }
    let mut y = top;
    let mut is_empty = true;
    let mut running = String::new();
    let mut stays = false;
    // The sums of the table's last row, with the table.
    let mut so_far: Option<(Rc<Head>, Carry)> = None;
    for (slab, need) in slabs.into_iter().zip(needs) {
        // Below a row there is room for what is carried on.
        let room = if slab.carry.is_some() { CARRIED } else { 0.0 };
        let bottom = bottom - room;
        let own = slab.space + slab.height;
        // What is taller than a sheet cannot be kept together.
        let wanted = if stays || need - slab.space > bottom - top {
            own
        } else {
            need
        };
        let goes_on = so_far.take().filter(|(head, _)| {
            let own = slab.head.as_ref();
            own.is_some_and(|own| Rc::ptr_eq(own, head))
        });
        if !is_empty && (slab.is_fresh || y + wanted > bottom) {
            if let (Some((head, carry)), Some(sheet)) = (&goes_on, out.sheets.last_mut()) {
                let draws = carried("Carried forward", carry, head);
                sheet.draws.extend(draws.into_iter().map(|draw| (y, draw)));
            }
            out.sheets.push(Sheet::default());
            y = top;
            is_empty = true;
        }
        stays = slab.is_kept && wanted >= need;
        if slab.running.is_some() {
            running = slab.running.unwrap_or_default();
        }
        let at = out.sheets.len() - 1;
        let Some(sheet) = out.sheets.last_mut() else {
            continue;
        };
        if is_empty {
            sheet.running.clone_from(&running);
            if let Some(head) = &slab.head {
                sheet
                    .draws
                    .extend(head.draws.iter().map(|draw| (y, draw.clone())));
                y += head.height;
            }
            if let Some((head, carry)) = &goes_on {
                let draws = carried("Brought forward", carry, head);
                sheet.draws.extend(draws.into_iter().map(|draw| (y, draw)));
                y += CARRIED;
            }
        } else {
            y += slab.space;
        }
        for name in slab.anchors {
            out.anchors.entry(name).or_insert((at, y));
        }
        out.outline
            .extend(slab.outline.map(|(depth, title)| (depth, title, at, y)));
        sheet
            .draws
            .extend(slab.draws.into_iter().map(|draw| (y, draw)));
        y += slab.height;
        is_empty = false;
        so_far = slab.head.zip(slab.carry);
    }
    out
}
