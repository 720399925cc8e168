//! What is said, as plain data: sections of prose, facts, figures and tables, each leading to its entries.

mod boat;
mod book;
mod chapter;
mod chart;
pub mod drawing;
mod finding;
pub(crate) mod front;
mod lists;
mod plan;
mod reckoned;
mod record;
mod repair;
mod sums;

use std::collections::BTreeSet;

use garboard_record::unit::System;
use garboard_record::word::MarkShape;
use garboard_record::{Digest, Id, Snapshot};

use crate::exchange::Exchange;
use crate::withheld::Withheld;

/// What goes into a dossier. What is left out is named there as left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Options {
    /// Whether hours are printed.
    pub hours: bool,
    /// Whether money is printed.
    pub costs: bool,
    /// Whether the positions of photographs are printed.
    pub positions: bool,
    /// Whether struck entries are printed, struck through; they are counted in any case.
    pub struck: bool,
    /// Whether names are printed; initials stand in their place otherwise.
    pub names: bool,
    /// The places that are left out, with all that lies within them and belongs to them.
    pub left_places: BTreeSet<Id>,
    /// The units in which amounts are shown, with what was written beside them; as they were written without one.
    ///
    /// Costs, purchases and ledgers, corrected and disputed fields, drawings and reckonings stay as they were written.
    pub units: Option<System>,
    /// Whether pictures are shown in their small size, for a light file; what lies in a bag beside the dossier stays as it is.
    pub small_pictures: bool,
    /// A currency in which sums are said once more, with the seller's rates.
    pub exchange: Option<Exchange>,
    /// The day on which it is made, as it should be printed; none is invented.
    pub made: Option<String>,
    /// The key with which it is signed, in the few digits that people compare.
    pub key: Option<String>,
    /// Whether that signature is a seal at the page's own end, for a page that goes its way alone; of the bag otherwise.
    pub is_sealed: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            hours: true,
            costs: true,
            positions: false,
            struck: true,
            names: true,
            left_places: BTreeSet::new(),
            units: None,
            small_pictures: false,
            exchange: None,
            made: None,
            key: None,
            is_sealed: false,
        }
    }
}

/// All that a dossier says, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outline {
    /// The title page.
    pub title: Title,
    /// The sections, in order; keys are unique.
    pub sections: Vec<Section>,
    /// Whether it is the short form.
    pub is_short: bool,
    /// The currencies of costs for which the seller gave no rate, where one was wanted.
    pub without_rate: Vec<String>,
}

/// The title page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Title {
    /// The boat's name.
    pub boat: String,
    /// What she is, in a line; empty when nothing is known.
    pub what: String,
    /// From when to when the log runs.
    pub period: String,
    /// Who wrote it, and what it is not.
    pub statements: Vec<String>,
    /// A picture of the whole boat, where there is one.
    pub figure: Option<Figure>,
}

/// A section under a heading of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Its name within the page: lower-case letters, digits and hyphens.
    pub key: String,
    /// Its heading.
    pub heading: String,
    /// What stands in the running head beside the boat's name.
    pub running: String,
    /// The name of the printed pages that it shares with its neighbours: lower-case letters, digits and hyphens.
    pub page: String,
    /// Whether it is a chapter about a place; chapters are gathered in the contents.
    pub is_place: bool,
    /// What it says.
    pub blocks: Vec<Block>,
}

/// One thing that is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A finding, a repair or another entry with a heading of its own.
    Story(Story),
    /// A heading within a story or a section.
    Heading(String),
    /// A paragraph.
    Prose(Prose),
    /// Names and values.
    Facts(Vec<Fact>),
    /// Two pictures from the same viewpoint, before and after.
    Pair(Box<Pair>),
    /// Pictures one after the other.
    Figures(Vec<Figure>),
    /// A drawing of our own.
    Drawing(drawing::Drawing),
    /// A table.
    Table(Table),
    /// Sentences in a list.
    List(Vec<Prose>),
    /// A caution, where the danger is.
    Caution(String),
}

/// An entry with its heading and its margin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Story {
    /// The entry that it is about; its place in the page.
    pub entry: Id,
    /// Its heading.
    pub heading: String,
    /// How it stands, in a word or two.
    pub standing: Option<String>,
    /// When, who, how: what stands in the margin.
    pub margin: Vec<String>,
    /// What is told.
    pub blocks: Vec<Block>,
}

/// A paragraph.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prose {
    /// A word or two before it.
    pub label: Option<String>,
    /// The text; line breaks are kept.
    pub text: String,
    /// Whether it is supposed and not observed.
    pub is_supposed: bool,
    /// The entry whose place in the page this is.
    pub anchor: Option<Id>,
    /// The entry that it leads to.
    pub link: Option<Id>,
    /// When, who: what stands beside it, small.
    pub aside: Option<String>,
}

/// A name and its value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What it is.
    pub name: String,
    /// What it says.
    pub value: String,
    /// The entry that it leads to.
    pub link: Option<Id>,
}

/// A picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The photograph's entry.
    pub entry: Id,
    /// Whether this is the entry's place in the page.
    pub is_anchor: bool,
    /// The pictures that show it, the best first: its view, its thumbnail; only the latter where the seller chose small ones.
    pub shown: Vec<Digest>,
    /// Its sides in pixels, upright, where known.
    pub sides: Option<(u64, u64)>,
    /// What it shows, for those who cannot see it.
    pub alt: String,
    /// What stands below it.
    pub caption: String,
    /// Which of the five stages it shows, 1 to 5.
    pub stage: Option<u8>,
    /// The marks on it, where they lie in what is shown of it.
    pub marks: Vec<Marked>,
    /// Why it cannot be shown, where it was withdrawn, is the same as another or has no size that may be shown.
    pub instead: Option<String>,
}

/// A mark on a picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marked {
    /// What it is.
    pub shape: MarkShape,
    /// Its points, in thousandths of the picture's width and height: x, y, x, y.
    pub points: Vec<u64>,
    /// Its number or words; blank for none.
    pub words: String,
}

/// Two pictures from the same viewpoint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pair {
    /// The earlier.
    pub before: Figure,
    /// The later.
    pub after: Figure,
    /// Spots that both show, as a photograph's `same_spots`; empty where nobody set any.
    pub same_spots: Vec<u64>,
    /// Whether both are shown in one frame.
    pub is_laid: bool,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What it is about.
    pub caption: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; totals come last.
    pub rows: Vec<Row>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub title: String,
    /// Whether it holds figures, which are set to the right.
    pub is_figures: bool,
}

/// A row of a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// The entry whose place in the page this row is.
    pub anchor: Option<Id>,
    /// Its cells; as many as there are columns.
    pub cells: Vec<Cell>,
    /// Whether it is a total.
    pub is_total: bool,
    /// The cell that is struck through, counted from 0, where the row tells a struck entry.
    pub struck_cell: Option<usize>,
}

/// A cell of a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// What it says.
    pub text: String,
    /// The entry that it leads to.
    pub link: Option<Id>,
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self { text, link: None }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl Table {
    /// A table without rows. Columns whose heading begins with `#` hold figures.
    pub(crate) fn new(caption: &str, columns: &[&str]) -> Self {
        let column = |title: &&str| Column {
            title: title.trim_start_matches('#').to_owned(),
            is_figures: title.starts_with('#'),
        };
        Self {
            caption: caption.to_owned(),
            columns: columns.iter().map(column).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub(crate) fn row(&mut self, anchor: Option<Id>, cells: Vec<Cell>) {
        self.rows.push(Row {
            anchor,
            cells,
            ..Row::default()
        });
    }

    /// Adds a total.
    pub(crate) fn total(&mut self, cells: Vec<Cell>) {
        self.rows.push(Row {
            cells,
            is_total: true,
            ..Row::default()
        });
    }
}

impl Prose {
    /// A plain paragraph.
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// A paragraph with a word before it.
    pub(crate) fn labelled(label: &str, text: impl Into<String>) -> Self {
        Self {
            label: Some(label.to_owned()),
            text: text.into(),
            ..Self::default()
        }
    }
}

/// Works out what a dossier of this snapshot says.
#[must_use]
pub fn outline(snapshot: &Snapshot, options: &Options) -> Outline {
    let withheld = Withheld::of(snapshot, options);
    let kept = withheld.kept(snapshot);
    let mut book = book::Book::open(&kept, snapshot, options, withheld.n_gone());
    let title = front::title(&mut book);
    let boat = boat::section(&mut book);
    let chapters = chapter::sections(&mut book);
    let open = lists::open(&book);
    let alterations = lists::alterations(&book);
    let hours = sums::hours(&book);
    let costs = sums::costs(&book);
    let stock = sums::stock(&mut book);
    let upkeep = lists::upkeep(&mut book);
    let cautions = front::cautions();
    let disagreements = record::disagreements(&mut book);
    let photographs = record::photographs(&book);
    let ledger = record::ledger(&mut book);
    // These two speak of all the others and stand before them.
    let mut sections = vec![front::summary(&book), front::reading(&book), boat];
    sections.extend(chapters);
    sections.extend(
        [
            open,
            alterations,
            hours,
            costs,
            stock,
            upkeep,
            cautions,
            disagreements,
            photographs,
        ]
        .into_iter()
        .flatten(),
    );
    sections.push(front::checking(&book));
    sections.extend(ledger);
    share_pages(&mut sections);
    let mut outline = Outline {
        title,
        sections,
        is_short: false,
        without_rate: options.exchange.as_ref().map_or_else(Vec::new, |exchange| {
            exchange.lacks(&garboard_record::tally::sum_costs(&book.tally.costs))
        }),
    };
    if let Some(names) = withheld.names() {
        names.hide(&mut outline);
    }
    outline
}

/// Every picture that these blocks show, in order.
pub(crate) fn figures_of(blocks: &[Block]) -> Vec<&Figure> {
    let mut out = Vec::new();
    for block in blocks {
        match block {
            Block::Story(story) => out.extend(figures_of(&story.blocks)),
            Block::Pair(pair) => out.extend([&pair.before, &pair.after]),
            Block::Figures(figures) => out.extend(figures),
            _ => {}
        }
    }
    out
}

/// Says which sections share their printed pages: a chapter without a story goes with the next, and short parts go together.
fn share_pages(sections: &mut [Section]) {
    let tells = |section: &Section| {
        section
            .blocks
            .iter()
            .any(|block| matches!(block, Block::Story(_)))
    };
    let mut next: Option<String> = None;
    for section in sections.iter_mut().rev() {
        let together = match section.key.as_str() {
            "alterations" => Some("open"),
            "stock" => Some("costs"),
            _ => None,
        };
        section.page = match (together, next.take()) {
            (Some(page), _) => page.to_owned(),
            (None, Some(page)) if section.is_place && !tells(section) => page,
            _ => section.key.clone(),
        };
        if section.is_place {
            next = Some(section.page.clone());
        }
    }
    // The last chapters, where none of them tells a story, keep a name of their own.
}

#[cfg(test)]
pub(crate) mod tests;
