//! The outline made into slabs, with the order in which they are read.

use std::collections::{BTreeMap, BTreeSet};

use garboard_record::{Digest, Id};
use krilla::image::Image;

use super::Page;
use super::face::{
    FACT, FACT_NAME, Faces, HAIR, HEADINGS, INK, LABEL, Line, Look, MARK, RULE, SIDE, SIDE_LATE,
    SOFT, STANDS, SUPPOSED, TEXT,
};
use super::flow::{Draw, Role, Slab, Tree};
use crate::outline::{Block, Fact, Figure, Outline, Prose, Section, Story};
use crate::strokes::Ground;

/// The margin beside a story, and the white between.
/// So much of a part's end stays together.
const LAST_LINES: f32 = 40.0;
const COLUMN: f32 = 92.0;
const GAP: f32 = 15.0;
/// No picture is higher.
const PICTURE: f32 = 283.0;

/// Some words, how they look, and where they lead.
pub(super) type Part<'a> = (&'a str, Look, Option<Id>);

/// The slabs in the making.
pub(super) struct Setter<'a> {
    pub(super) faces: &'a mut Faces,
    pub(super) tree: Tree,
    pub(super) slabs: Vec<Slab>,
    pub(super) width: f32,
    pub(super) tall: f32,
    pictures: &'a BTreeMap<Digest, Image>,
    /// The entries that have a place.
    placed: BTreeSet<Id>,
}

/// An entry's name within the file.
pub(super) fn name(id: Id) -> String {
    format!("e-{id}")
}

/// Where each entry has its place.
fn places(outline: &Outline) -> BTreeSet<Id> {
    fn within(blocks: &[Block], out: &mut BTreeSet<Id>) {
        for block in blocks {
            match block {
                Block::Story(story) => {
                    out.insert(story.entry);
                    within(&story.blocks, out);
                }
                Block::Prose(prose) => out.extend(prose.anchor),
                Block::List(items) => out.extend(items.iter().filter_map(|item| item.anchor)),
                Block::Table(table) => out.extend(table.rows.iter().filter_map(|row| row.anchor)),
                Block::Pair(pair) => {
                    let both = [&pair.before, &pair.after];
                    out.extend(both.iter().filter(|f| f.is_anchor).map(|f| f.entry));
                }
                Block::Figures(figures) => {
                    out.extend(figures.iter().filter(|f| f.is_anchor).map(|f| f.entry));
                }
                Block::Heading(_) | Block::Facts(_) | Block::Caution(_) | Block::Drawing(_) => {}
            }
        }
    }
    let mut out = BTreeSet::new();
    let title = outline.title.figure.iter();
    out.extend(title.filter(|f| f.is_anchor).map(|f| f.entry));
    for section in &outline.sections {
        within(&section.blocks, &mut out);
    }
    out
}

/// Makes slabs of an outline.
pub(super) fn slabs(
    outline: &Outline,
    faces: &mut Faces,
    page: &Page,
    pictures: &BTreeMap<Digest, Image>,
) -> (Vec<Slab>, Tree) {
    let mut setter = Setter {
        faces,
        tree: Tree::new(),
        slabs: Vec::new(),
        width: page.right - page.left,
        tall: page.bottom - page.top,
        pictures,
        placed: places(outline),
    };
    setter.title(outline);
    // Twelve pages need no list of what is on them.
    if !outline.is_short {
        setter.contents(outline);
    }
    let mut before = "";
    let mut sections = outline.sections.iter().peekable();
    while let Some(section) = sections.next() {
        let from = setter.slabs.len();
        setter.section(section, section.page != before);
        before = &section.page;
        if sections.peek().is_none_or(|next| next.page != before) {
            setter.keep_end(from);
        }
    }
    (setter.slabs, setter.tree)
}

impl Setter<'_> {
    pub(super) fn has_place(&self, id: Id) -> bool {
        self.placed.contains(&id)
    }

    /// Sets a line's runs, each a mark of the part, with what leads elsewhere.
    #[expect(
        clippy::too_many_arguments,
        reason = "a line, where it stands, what it is part of and where it leads; each caller gives all of them"
    )]
    pub(super) fn line(
        &mut self,
        line: &Line,
        x: f32,
        y: f32,
        parts: &[Part<'_>],
        part: usize,
        ways: &mut BTreeMap<usize, usize>,
        draws: &mut Vec<Draw>,
    ) {
        for run in &line.runs {
            let (says, _, link) = parts.get(run.part).copied().unwrap_or(("", TEXT, None));
            let link = link.filter(|id| self.has_place(*id));
            let mut parent = part;
            if let Some(id) = link {
                parent = match ways.get(&run.part) {
                    Some(at) => *at,
                    None => {
                        let at = self.tree.part(part, Role::Link);
                        ways.insert(run.part, at);
                        at
                    }
                };
                let way = self.tree.way(parent);
                draws.push(Draw::Way {
                    x: x + run.x,
                    y,
                    width: run.advance,
                    height: line.height,
                    to: name(id),
                    says: says.chars().take(200).collect(),
                    way,
                });
            }
            let mark = self.tree.mark(parent);
            draws.push(Draw::Words {
                x,
                y: y + line.baseline,
                run: run.clone(),
                mark: Some(mark),
            });
        }
    }

    /// Sets words as lines below one another, one slab each.
    #[expect(
        clippy::too_many_arguments,
        reason = "words, measure and whereabouts of a paragraph; each caller gives all of them"
    )]
    pub(super) fn words(
        &mut self,
        parts: &[Part<'_>],
        leading: f32,
        x: f32,
        width: f32,
        space: f32,
        part: usize,
        anchor: Option<Id>,
        is_kept: bool,
    ) {
        let plain: Vec<(&str, Look)> = parts.iter().map(|(says, look, _)| (*says, *look)).collect();
        let lines = self.faces.set(&plain, leading, width);
        let n = lines.len();
        let mut ways = BTreeMap::new();
        for (at, line) in lines.iter().enumerate() {
            let mut slab = Slab {
                space: if at == 0 { space } else { 0.0 },
                height: line.height,
                // No first or last line stands alone.
                is_kept: if at + 1 == n {
                    is_kept
                } else {
                    n <= 3 || at == 0 || at + 2 == n || is_kept
                },
                ..Slab::default()
            };
            if at == 0 {
                slab.anchors.extend(anchor.map(name));
            }
            self.line(line, x, 0.0, parts, part, &mut ways, &mut slab.draws);
            self.slabs.push(slab);
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "words, look and whereabouts of a heading"
    )]
    pub(super) fn heading(
        &mut self,
        says: &str,
        stands: Option<&str>,
        look: Look,
        x: f32,
        space: f32,
        part: usize,
        anchors: Vec<String>,
    ) {
        let from = self.slabs.len();
        let stands = stands
            .map(|stands| format!("   {stands}"))
            .unwrap_or_default();
        self.words(
            &[(says, look, None), (&stands, STANDS, None)],
            look.size * 1.22,
            x,
            self.width - x,
            space,
            part,
            None,
            true,
        );
        if let Some(slab) = self.slabs.get_mut(from) {
            slab.anchors = anchors;
        }
    }

    fn section(&mut self, section: &Section, is_fresh: bool) {
        self.faces.at.clone_from(&section.heading);
        let part = self.tree.part(0, Role::Section);
        let head = self
            .tree
            .part(part, Role::Heading(2, section.heading.clone()));
        let from = self.slabs.len();
        self.heading(
            &section.heading,
            None,
            HEADINGS[0],
            0.0,
            26.0,
            head,
            vec![section.key.clone()],
        );
        if let Some(slab) = self.slabs.get_mut(from) {
            slab.is_fresh = is_fresh;
            slab.running = Some(section.running.clone());
            slab.outline = Some((0, section.heading.clone()));
        }
        let width = self.width;
        self.slabs.push(Slab {
            space: 4.0,
            height: 10.0,
            is_kept: true,
            draws: vec![Draw::Rule {
                x: 0.0,
                y: 0.0,
                width,
                weight: 0.5,
                ink: RULE,
            }],
            ..Slab::default()
        });
        self.blocks(&section.blocks, 3, 0.0, part);
    }

    /// Keeps the last lines together, where the next part begins a sheet: none of them goes on one of its own.
    fn keep_end(&mut self, from: usize) {
        let mut high = 0.0;
        for slab in self.slabs.iter_mut().skip(from).rev().skip(1) {
            slab.is_kept = true;
            high += slab.height;
            if high > LAST_LINES {
                break;
            }
        }
    }

    fn blocks(&mut self, blocks: &[Block], level: u16, x: f32, part: usize) {
        for block in blocks {
            self.block(block, level, x, part);
        }
    }

    fn block(&mut self, block: &Block, level: u16, x: f32, part: usize) {
        let wide = self.width - x;
        match block {
            Block::Story(story) => self.story(story, level, part),
            Block::Heading(says) => {
                let head = self.tree.part(part, Role::Heading(level, says.clone()));
                let look = heading_look(level);
                self.heading(says, None, look, x, 12.0, head, Vec::new());
                if let Some(slab) = self.slabs.last_mut() {
                    slab.height += 2.0;
                }
            }
            Block::Prose(prose) => {
                let part = self.tree.part(part, Role::Paragraph);
                self.prose(prose, x, wide, 5.5, part);
            }
            Block::Facts(facts) => self.facts(facts, x, part),
            Block::Pair(pair) => {
                self.figures(&[&pair.before, &pair.after], self.width, part, 10.0);
            }
            Block::Figures(figures) => {
                let wide = if figures.len() == 1 {
                    265.0
                } else {
                    self.width
                };
                for row in figures.chunks(2) {
                    let wide = if row.len() == 1 {
                        wide.min(265.0)
                    } else {
                        wide
                    };
                    self.figures(&row.iter().collect::<Vec<_>>(), wide, part, 10.0);
                }
            }
            Block::Drawing(drawing) => self.drawing(drawing, x, wide, part),
            Block::Table(table) => self.table(table, part),
            Block::List(items) => {
                let list = self.tree.part(part, Role::List);
                for item in items {
                    let at = self.tree.part(list, Role::Item);
                    let body = self.tree.part(at, Role::Body);
                    self.prose(item, x, wide, 4.5, body);
                }
            }
            Block::Caution(says) => {
                let part = self.tree.part(part, Role::Note);
                let from = self.slabs.len();
                self.words(
                    &[("Caution. ", LABEL, None), (says, FACT_NAME, None)],
                    11.8,
                    x + 10.0,
                    wide - 10.0,
                    7.0,
                    part,
                    None,
                    false,
                );
                for slab in self.slabs.iter_mut().skip(from) {
                    let height = slab.height;
                    slab.draws.push(Draw::Bar {
                        x,
                        y: 0.0,
                        width: 1.8,
                        height,
                        ink: MARK,
                        is_full: true,
                    });
                }
            }
        }
    }

    fn prose(&mut self, prose: &Prose, x: f32, wide: f32, space: f32, part: usize) {
        let label = prose
            .label
            .as_ref()
            .map(|label| format!("{label}  "))
            .unwrap_or_default();
        let look = if prose.is_supposed { SUPPOSED } else { TEXT };
        let aside = prose.aside.as_deref().unwrap_or_default().trim();
        let text = prose.text.trim();
        let aside = match (aside.is_empty(), text.is_empty()) {
            (true, _) => String::new(),
            (_, true) => aside.to_owned(),
            _ => format!("  {aside}"),
        };
        let of_label = prose.link.filter(|_| prose.label.is_some());
        let of_text = prose.link.filter(|_| prose.label.is_none());
        self.words(
            &[
                (&label, LABEL, of_label),
                (text, look, of_text),
                (&aside, SIDE, None),
            ],
            14.2,
            x,
            wide,
            space,
            part,
            prose.anchor,
            false,
        );
    }

    fn facts(&mut self, facts: &[Fact], x: f32, part: usize) {
        let list = self.tree.part(part, Role::List);
        let named = 112.0_f32;
        let wide = self.width - x;
        for (at, fact) in facts.iter().enumerate() {
            let item = self.tree.part(list, Role::Item);
            let label = self.tree.part(item, Role::Label);
            let body = self.tree.part(item, Role::Body);
            let says = self.faces.set(&[(&fact.name, FACT_NAME)], 11.8, named);
            let value = [(fact.value.as_str(), FACT, fact.link)];
            let told = self
                .faces
                .set(&[(&fact.value, FACT)], 11.8, wide - named - 10.0);
            let n = says.len().max(told.len());
            let mut ways = BTreeMap::new();
            for row in 0..n {
                let mut slab = Slab {
                    space: if at == 0 && row == 0 { 6.0 } else { 0.0 },
                    height: 11.8,
                    is_kept: row + 1 < n && n < 20,
                    ..Slab::default()
                };
                let high = if row == 0 { 2.6 } else { 0.0 };
                slab.height += high;
                if let Some(line) = says.get(row) {
                    self.line(
                        line,
                        x,
                        high,
                        &[],
                        label,
                        &mut BTreeMap::new(),
                        &mut slab.draws,
                    );
                }
                if let Some(line) = told.get(row) {
                    self.line(
                        line,
                        x + named + 10.0,
                        high,
                        &value,
                        body,
                        &mut ways,
                        &mut slab.draws,
                    );
                }
                if row + 1 == n {
                    slab.height += 3.0;
                    let y = slab.height - 0.4;
                    slab.draws.push(Draw::Rule {
                        x,
                        y,
                        width: wide,
                        weight: 0.4,
                        ink: HAIR,
                    });
                }
                self.slabs.push(slab);
            }
        }
    }

    fn story(&mut self, story: &Story, level: u16, parent: usize) {
        self.faces.at.clone_from(&story.heading);
        let part = self.tree.part(parent, Role::Section);
        let width = self.width;
        if level > 3 {
            self.slabs.push(Slab {
                space: 14.0,
                height: 4.0,
                is_kept: true,
                draws: vec![Draw::Rule {
                    x: 0.0,
                    y: 0.0,
                    width,
                    weight: 0.5,
                    ink: RULE,
                }],
                ..Slab::default()
            });
        }
        let head = self
            .tree
            .part(part, Role::Heading(level, story.heading.clone()));
        let from = self.slabs.len();
        let space = if level > 3 { 4.0 } else { 20.0 };
        self.heading(
            &story.heading,
            story.standing.as_deref(),
            heading_look(level),
            0.0,
            space,
            head,
            vec![name(story.entry)],
        );
        if let Some(slab) = self.slabs.get_mut(from) {
            slab.outline = Some((1, story.heading.clone()));
        }
        if let Some(slab) = self.slabs.last_mut() {
            slab.height += 3.0;
        }
        self.beside(story, level, part);
    }

    /// The margin, and beside it what is told; what is wide begins below both.
    fn beside(&mut self, story: &Story, level: u16, part: usize) {
        let margin = self.tree.part(part, Role::Note);
        let mut lines = Vec::new();
        for says in &story.margin {
            let look = if says.contains(", late, ") {
                SIDE_LATE
            } else {
                SIDE
            };
            lines.extend(self.faces.set(&[(says, look)], 10.8, COLUMN));
        }
        let mut draws = Vec::new();
        let mut y = 1.5;
        for line in &lines {
            self.line(line, 0.0, y, &[], margin, &mut BTreeMap::new(), &mut draws);
            y += line.height;
        }
        let from = self.slabs.len();
        let mut is_beside = true;
        let mut draws = Some(draws);
        for block in &story.blocks {
            let is_narrow = matches!(
                block,
                Block::Prose(_)
                    | Block::Heading(_)
                    | Block::Facts(_)
                    | Block::List(_)
                    | Block::Drawing(_)
                    | Block::Caution(_)
            );
            if is_beside && !is_narrow {
                self.clear(from, y, &mut draws);
                is_beside = false;
            }
            self.block(
                block,
                level + 1,
                if is_narrow { COLUMN + GAP } else { 0.0 },
                part,
            );
            // What follows a wide thing comes back to the column of the words.
        }
        if is_beside {
            self.clear(from, y, &mut draws);
        }
    }

    /// Puts the margin beside the slabs since `from`, and white below them as far as the margin reaches.
    fn clear(&mut self, from: usize, margin: f32, draws: &mut Option<Vec<Draw>>) {
        let Some(draws) = draws.take() else {
            return;
        };
        let mut reached = 0.0;
        for (at, slab) in self.slabs.iter_mut().skip(from).enumerate() {
            if at == 0 {
                slab.space = slab.space.min(2.0);
            }
            if reached >= margin {
                break;
            }
            reached += slab.space + slab.height;
            slab.is_kept = slab.is_kept || reached < margin;
        }
        if reached < margin {
            self.slabs.push(Slab {
                height: margin - reached,
                ..Slab::default()
            });
        }
        if let Some(slab) = self.slabs.get_mut(from) {
            slab.draws.splice(0..0, draws);
        }
    }

    /// Pictures side by side over a measure, each with its caption.
    pub(super) fn figures(&mut self, figures: &[&Figure], measure: f32, part: usize, space: f32) {
        let gap = 9.0;
        let wide = if figures.len() > 1 {
            (measure - gap) / 2.0
        } else {
            measure
        };
        let mut slab = Slab {
            space,
            ..Slab::default()
        };
        for (figure, x) in figures.iter().zip([0.0, wide + gap]) {
            if figure.is_anchor {
                slab.anchors.push(name(figure.entry));
            }
            let at = self.tree.part(part, Role::Figure(figure.alt.clone()));
            let shown = figure
                .shown
                .iter()
                .find_map(|digest| Some((*digest, self.pictures.get(digest)?.size())))
                .filter(|_| figure.instead.is_none());
            let mut y = if let Some((digest, (w, h))) = shown {
                let (w, h) = (small(w), small(h));
                let scale = (wide / w).min(PICTURE / h);
                let mark = self.tree.mark(at);
                let height = (h * scale).max(0.5);
                slab.draws.push(Draw::Picture {
                    x,
                    y: 0.0,
                    width: (w * scale).max(0.5),
                    height,
                    digest,
                    mark,
                });
                let on = Ground {
                    width: w * scale,
                    height,
                };
                self.marks(&figure.marks, x, on, &mut slab.draws);
                height
            } else {
                let says = figure.instead.as_deref().unwrap_or(
                    "No view of this picture was on the device that made this file; its digest stands below.",
                );
                let lines = self.faces.set(&[(says, FACT_NAME)], 11.8, wide - 24.0);
                let mut y = 14.0;
                for line in &lines {
                    self.line(
                        line,
                        x + 12.0,
                        y,
                        &[],
                        at,
                        &mut BTreeMap::new(),
                        &mut slab.draws,
                    );
                    y += line.height;
                }
                slab.draws.push(Draw::Bar {
                    x,
                    y: 0.0,
                    width: wide,
                    height: y + 14.0,
                    ink: RULE,
                    is_full: false,
                });
                y + 14.0
            };
            y += 5.0;
            let mut indent = 0.0;
            if let Some(stage) = figure.stage {
                for n in 1..=5_u8 {
                    slab.draws.push(Draw::Bar {
                        x: x + f32::from(n - 1) * 4.2,
                        y: y + 1.8,
                        width: 2.6,
                        height: 6.6,
                        ink: if n <= stage { INK } else { SOFT },
                        is_full: n <= stage,
                    });
                }
                indent = 25.0;
            }
            let caption = self.tree.part(part, Role::Caption);
            let lines = self
                .faces
                .set(&[(&figure.caption, SIDE)], 10.8, wide - indent);
            for line in &lines {
                self.line(
                    line,
                    x + indent,
                    y,
                    &[],
                    caption,
                    &mut BTreeMap::new(),
                    &mut slab.draws,
                );
                y += line.height;
            }
            slab.height = slab.height.max(y);
        }
        slab.height += 6.0;
        self.slabs.push(slab);
    }
}

fn heading_look(level: u16) -> Look {
    let at = usize::from(level).saturating_sub(2).min(3);
    HEADINGS.get(at).copied().unwrap_or(TEXT)
}

/// A picture's side; beyond sixteen million pixels the last digits do not matter.
#[expect(
    clippy::cast_precision_loss,
    reason = "only the ratio of two sides is used"
)]
fn small(side: u32) -> f32 {
    side.max(1) as f32
}
