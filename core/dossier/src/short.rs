//! The short form: the same outline with less told, so that it goes on few sheets. What is not told is said and counted.

use crate::outline::{Block, Cell, Figure, Outline, Prose, Row, Section, Story, Table};

/// A short form has no more pages.
pub(crate) const MOST_PAGES: usize = 12;

/// What is told of the findings; each has more than the one before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Told {
    /// Their rows in the summary.
    Rows,
    /// Their stories.
    Stories,
    /// A pair of pictures with each, where there is one.
    Pairs,
    /// A pair, or else a picture.
    Pictures,
}

/// How much is told.
#[derive(Clone, Copy, Debug)]
struct Measure {
    told: Told,
    /// The letters of a paragraph.
    letters: usize,
    /// The rows of a table and the items of a list.
    rows: usize,
}

/// From the most that is told to the least.
const MEASURES: [Measure; 7] = [
    measure(Told::Pictures, 700, 40),
    measure(Told::Pairs, 400, 40),
    measure(Told::Pairs, 240, 30),
    measure(Told::Stories, 300, 30),
    measure(Told::Rows, 700, 40),
    measure(Told::Rows, 400, 16),
    measure(Told::Rows, 160, 4),
];

const fn measure(told: Told, letters: usize, rows: usize) -> Measure {
    Measure {
        told,
        letters,
        rows,
    }
}

/// The outlines that may do, from the most that is told to the least.
pub(crate) fn shorter(outline: &Outline) -> impl Iterator<Item = Outline> + '_ {
    MEASURES.iter().map(|measure| measure.outline(outline))
}

impl Measure {
    fn outline(self, whole: &Outline) -> Outline {
        let mut title = whole.title.clone();
        title.statements.push(
            "This is the short form. The long form tells everything; ask the seller for it."
                .to_owned(),
        );
        let mut sections: Vec<Section> = whole
            .sections
            .iter()
            .filter_map(|section| self.section(section))
            .collect();
        for section in &mut sections {
            // All of it goes on from page to page.
            "short".clone_into(&mut section.page);
        }
        Outline {
            title,
            sections,
            is_short: true,
            without_rate: whole.without_rate.clone(),
        }
    }

    fn section(self, section: &Section) -> Option<Section> {
        let blocks = match section.key.as_str() {
            "reading" => reading(&section.blocks),
            "boat" => boat(&section.blocks),
            "hours" | "costs" => sums(&section.blocks),
            "checking" => checking(&section.blocks),
            "summary" | "open" | "alterations" | "upkeep" | "cautions" => section.blocks.clone(),
            _ if section.is_place => self.stories(&section.blocks),
            _ => return None,
        };
        let blocks: Vec<Block> = blocks.into_iter().map(|block| self.cut(block)).collect();
        (!blocks.is_empty()).then(|| Section {
            blocks,
            ..section.clone()
        })
    }

    /// The stories of a place.
    fn stories(self, blocks: &[Block]) -> Vec<Block> {
        if self.told < Told::Stories {
            return Vec::new();
        }
        blocks
            .iter()
            .filter_map(|block| match block {
                // Where the water came from is told with the finding.
                Block::Story(story) if !story.heading.starts_with("Way in") => {
                    Some(Block::Story(self.story(story)))
                }
                _ => None,
            })
            .collect()
    }

    fn story(self, story: &Story) -> Story {
        let is_needed = |(at, line): &(usize, &String)| {
            *at == 0 || line.contains(", late, ") || line.starts_with("urgency")
        };
        let mut out = Story {
            blocks: Vec::new(),
            margin: story
                .margin
                .iter()
                .enumerate()
                .filter(is_needed)
                .map(|(_, line)| line.clone())
                .collect(),
            ..story.clone()
        };
        let mut has_picture = false;
        let mut has_text = false;
        for block in &story.blocks {
            match block {
                Block::Prose(prose) if is_told(prose, has_text) => {
                    has_text |= prose.label.is_none();
                    out.blocks.push(block.clone());
                }
                Block::Pair(_) if self.told >= Told::Pairs && !has_picture => {
                    has_picture = true;
                    out.blocks.push(block.clone());
                }
                Block::Figures(figures) if self.told >= Told::Pictures && !has_picture => {
                    let last: Option<&Figure> = figures.last();
                    has_picture = last.is_some();
                    out.blocks
                        .extend(last.map(|figure| Block::Figures(vec![figure.clone()])));
                }
                Block::Table(table) if table.caption == "Tested" => out.blocks.push(block.clone()),
                Block::Story(inner) => out.blocks.push(Block::Story(self.story(inner))),
                _ => {}
            }
        }
        out
    }

    /// What is too long ends with a word of how much more there is.
    fn cut(self, block: Block) -> Block {
        match block {
            Block::Story(mut story) => {
                story.blocks = story
                    .blocks
                    .into_iter()
                    .map(|block| self.cut(block))
                    .collect();
                Block::Story(story)
            }
            Block::Prose(prose) => Block::Prose(self.prose(prose)),
            Block::List(list) => {
                let n_more = list.len().saturating_sub(self.rows);
                let mut kept: Vec<Prose> = list
                    .into_iter()
                    .take(self.rows)
                    .map(|prose| self.prose(prose))
                    .collect();
                if n_more > 0 {
                    kept.push(Prose::plain(more(n_more)));
                }
                Block::List(kept)
            }
            Block::Table(table) => Block::Table(self.table(table)),
            other => other,
        }
    }

    fn prose(self, mut prose: Prose) -> Prose {
        if prose.text.chars().count() > self.letters {
            let kept: String = prose.text.chars().take(self.letters).collect();
            let end = kept.rfind(char::is_whitespace).unwrap_or(kept.len());
            prose.text = format!("{} …", kept.get(..end).unwrap_or(&kept).trim_end());
        }
        prose
    }

    fn table(self, mut table: Table) -> Table {
        let n_rows = table.rows.iter().filter(|row| !row.is_total).count();
        let n_more = n_rows.saturating_sub(self.rows);
        if n_more == 0 {
            return table;
        }
        let (totals, mut rows): (Vec<Row>, Vec<Row>) =
            table.rows.into_iter().partition(|row| row.is_total);
        rows.truncate(self.rows);
        // The words stand where there is room for them: in the first column that holds no figures.
        let at = table.columns.iter().position(|column| !column.is_figures);
        let cells = (0..table.columns.len()).map(|column| {
            if Some(column) == at {
                Cell::from(more(n_more))
            } else {
                Cell::default()
            }
        });
        rows.push(Row {
            cells: cells.collect(),
            ..Row::default()
        });
        rows.extend(totals);
        table.rows = rows;
        table
    }
}

fn more(n: usize) -> String {
    format!("and {n} more in the long form")
}

/// Whether a paragraph of a story is told: what was seen, supposed, decided and done about it, and what is in dispute.
fn is_told(prose: &Prose, has_text: bool) -> bool {
    match prose.label.as_deref() {
        None => !has_text && !prose.text.is_empty(),
        Some(label) => matches!(
            label,
            "Supposed"
                | "How the water came"
                | "Decided"
                | "Alters"
                | "Closed up"
                | "Disputed"
                | "What was done"
        ),
    }
}

/// Those items of the lists that have one of these labels.
fn items(blocks: &[Block], labels: &[&str]) -> Vec<Prose> {
    let lists = blocks.iter().filter_map(|block| match block {
        Block::List(list) => Some(list),
        _ => None,
    });
    let is_needed = |prose: &&Prose| {
        prose
            .label
            .as_deref()
            .is_some_and(|label| labels.contains(&label))
    };
    lists.flatten().filter(is_needed).cloned().collect()
}

/// How to read it: what the short form needs, and that it is one.
fn reading(blocks: &[Block]) -> Vec<Block> {
    let mut list = vec![Prose::labelled(
        "Short form.",
        "Told are the findings, what was decided, how it was tested, sums, and what is open. Not told are readings, steps, materials, most pictures, who is named, papers, corrections, and each entry by itself. What is cut short ends in “…” or says how much more there is.",
    )];
    let labels = [
        "Who wrote it.",
        "Observed and supposed.",
        "Dates.",
        "Disputes.",
        "Size of pictures.",
        "Units.",
        "Left out.",
    ];
    list.extend(items(blocks, &labels));
    vec![Block::List(list)]
}

/// How to check it: the bag and the devices' counts.
fn checking(blocks: &[Block]) -> Vec<Block> {
    let mut out = vec![Block::List(items(
        blocks,
        &["The bag.", "This file.", "The boat."],
    ))];
    let tables = blocks
        .iter()
        .filter(|block| matches!(block, Block::Table(_)));
    out.extend(tables.cloned());
    out
}

/// The boat's particulars and the plan; the summary lists the findings.
fn boat(blocks: &[Block]) -> Vec<Block> {
    blocks
        .iter()
        .filter(|block| {
            matches!(
                block,
                Block::Facts(_) | Block::Drawing(_) | Block::Figures(_)
            )
        })
        .cloned()
        .collect()
}

/// The sums without the lines that they are of.
fn sums(blocks: &[Block]) -> Vec<Block> {
    blocks
        .iter()
        .filter(|block| match block {
            Block::Table(table) => {
                matches!(table.caption.as_str(), "By person" | "By repair")
            }
            Block::Prose(_) => true,
            _ => false,
        })
        .cloned()
        .collect()
}

#[cfg(test)]
mod tests;
