//! One self-contained HTML file: readable without script or network, and made to be printed. A small script helps to search it and to compare
//! pictures in one frame.

mod drawn;
mod mark;
mod style;

use std::collections::BTreeSet;
use std::io::{Result, Write};

use garboard_record::{Digest, Id};

use crate::outline::{Block, Cell, Figure, Outline, Prose, Section, Story, Table};
use drawn::{drawing, drawn_marks};
use mark::{base64, css_text, text};

/// The script, the same in every dossier; the page's policy names its digest, so that no other runs.
const SCRIPT: &str = include_str!("html/script.js");

/// Sets an outline as one page. `picture` hands out the bytes of a rendition, where this device has them.
///
/// The better rendition is asked for first; a picture of which none is at hand is named with its digest instead.
#[must_use]
pub fn html(outline: &Outline, picture: impl FnMut(Digest) -> Option<Vec<u8>>) -> String {
    let mut out = Vec::new();
    // A vector takes everything, and all that goes into it is text.
    drop(write_html(outline, picture, &mut out));
    String::from_utf8(out).unwrap_or_default()
}

/// Writes the page of [`html`] step by step: of the pictures, one at a time lies in memory.
///
/// # Errors
///
/// - those of `to`
pub fn write_html(
    outline: &Outline,
    mut picture: impl FnMut(Digest) -> Option<Vec<u8>>,
    mut to: impl Write,
) -> Result<()> {
    Page::written(outline, &mut picture, None, &mut to)
}

/// Sets an outline as a folder: a page with its pictures beside it, for a log whose one file would be too large for a browser.
///
/// `put` takes each picture by its path within the folder; `to` takes the page, which belongs beside [`PICTURES`] under any name.
///
/// # Errors
///
/// - those of `put` and `to`
pub fn html_beside(
    outline: &Outline,
    mut picture: impl FnMut(Digest) -> Option<Vec<u8>>,
    mut put: impl FnMut(&str, &[u8]) -> Result<()>,
    mut to: impl Write,
) -> Result<()> {
    let beside = Beside {
        put: &mut put,
        done: BTreeSet::new(),
    };
    Page::written(outline, &mut picture, Some(beside), &mut to)
}

/// The folder of the pictures that lie beside a page.
pub const PICTURES: &str = "pictures";

/// What is written is handed on in steps of about this size.
const STEP: usize = 1 << 16;

/// Pictures that are put beside the page, each once.
struct Beside<'a> {
    put: &'a mut dyn FnMut(&str, &[u8]) -> Result<()>,
    done: BTreeSet<Digest>,
}

/// The page in the making.
struct Page<'a> {
    out: String,
    to: &'a mut dyn Write,
    /// The first that went wrong; nothing is written after it.
    failed: Result<()>,
    picture: &'a mut dyn FnMut(Digest) -> Option<Vec<u8>>,
    beside: Option<Beside<'a>>,
}

/// Lets a digest break into lines of sixteen digits; other words stay as they are.
fn breakable(words: String) -> String {
    let is_digest =
        |word: &str| word.len() == 64 && word.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !words.split(' ').any(is_digest) {
        return words;
    }
    let parted = |word: &str| {
        let (parts, _) = word.as_bytes().as_chunks::<16>();
        parts
            .iter()
            .map(|part| String::from_utf8_lossy(part).into_owned())
            .collect::<Vec<_>>()
            .join("<wbr>")
    };
    words
        .split(' ')
        .map(|word| {
            if is_digest(word) {
                parted(word)
            } else {
                word.to_owned()
            }
        })
        .collect::<Vec<_>>()
        .join(" ")
}

/// An entry's name within the page.
fn name(id: Id) -> String {
    format!("e-{id}")
}

impl<'a> Page<'a> {
    fn written(
        outline: &Outline,
        picture: &'a mut dyn FnMut(Digest) -> Option<Vec<u8>>,
        beside: Option<Beside<'a>>,
        to: &'a mut dyn Write,
    ) -> Result<()> {
        let mut page = Self {
            out: String::new(),
            to,
            failed: Ok(()),
            picture,
            beside,
        };
        page.whole(outline);
        page.hand_on();
        page.failed
    }

    fn whole(&mut self, outline: &Outline) {
        self.head(outline);
        self.title_page(outline);
        self.contents(outline);
        self.raw("<main>\n");
        let mut before = "";
        for section in &outline.sections {
            self.section(section, section.page != before);
            before = &section.page;
        }
        self.raw("</main>\n<script>");
        self.raw(SCRIPT);
        self.raw("</script>\n</body>\n</html>\n");
    }

    fn raw(&mut self, markup: &str) {
        self.out.push_str(markup);
        if self.out.len() > STEP {
            self.hand_on();
        }
    }

    fn hand_on(&mut self) {
        if self.failed.is_ok() {
            self.failed = self.to.write_all(self.out.as_bytes());
        }
        self.out.clear();
    }

    /// Text with its line breaks.
    fn words(&mut self, words: &str) {
        let escaped = breakable(text(words.trim()));
        self.raw(&escaped.replace('\n', "<br>"));
    }

    fn head(&mut self, outline: &Outline) {
        let boat = text(&outline.title.boat);
        self.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        // Nothing is fetched from anywhere, whoever opens the file.
        let images = match self.beside {
            Some(_) => "'self' file:",
            None => "data:",
        };
        self.raw(&format!("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src {images}; font-src data:; style-src 'unsafe-inline'; script-src 'sha256-"));
        base64(Digest::of(SCRIPT.as_bytes()).as_bytes(), &mut self.out);
        self.raw("'\">\n");
        self.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        self.raw(&format!(
            "<title>{boat}: documented history</title>\n<style>\n"
        ));
        self.raw(&style::faces());
        self.raw(style::SHEET);
        let quoted = css_text(&outline.title.boat);
        self.raw(&format!(
            "@page {{ @top-left {{ content: \"{quoted} · documented history\"; }} }}\n"
        ));
        // Sections that share a page share its running head, which is that of the first of them.
        let mut before = "";
        for section in &outline.sections {
            if section.page != before {
                let running = css_text(&section.running);
                self.raw(&format!(
                    "@page {} {{ @top-right {{ content: \"{running}\"; }} }}\n",
                    section.page
                ));
            }
            self.raw(&format!("#{} {{ page: {}; }}\n", section.key, section.page));
            before = &section.page;
        }
        self.raw("</style>\n</head>\n<body>\n");
    }

    fn title_page(&mut self, outline: &Outline) {
        let title = &outline.title;
        self.raw("<header class=\"title\">\n<p class=\"over\">Documented history of</p>\n<h1>");
        self.words(&title.boat);
        self.raw("</h1>\n");
        if !title.what.is_empty() {
            self.raw("<p class=\"what\">");
            self.words(&title.what);
            self.raw("</p>\n");
        }
        self.raw("<p class=\"period\">");
        self.words(&title.period);
        self.raw("</p>\n");
        if let Some(figure) = &title.figure {
            self.figure(figure);
        }
        self.raw("<div class=\"says\">\n");
        for statement in &title.statements {
            self.raw("<p>");
            self.words(statement);
            self.raw("</p>\n");
        }
        self.raw("</div>\n</header>\n");
    }

    fn contents(&mut self, outline: &Outline) {
        self.raw("<nav aria-label=\"Contents\">\n<h2>Contents</h2>\n<ol>\n");
        for section in &outline.sections {
            let class = if section.is_place {
                " class=\"place\""
            } else {
                ""
            };
            self.raw(&format!(
                "<li{class}><a href=\"#{}\">{}</a>",
                section.key,
                text(&section.heading)
            ));
            let stories: Vec<&Story> = section
                .blocks
                .iter()
                .filter_map(|block| match block {
                    Block::Story(story) => Some(story),
                    _ => None,
                })
                .collect();
            if !stories.is_empty() {
                self.raw("\n<ul>\n");
                for story in stories {
                    self.raw(&format!(
                        "<li><a href=\"#{}\">{}</a>",
                        name(story.entry),
                        text(&story.heading)
                    ));
                    if let Some(standing) = &story.standing {
                        self.raw(&format!(
                            " <span class=\"stands\">{}</span>",
                            text(standing)
                        ));
                    }
                    self.raw("</li>\n");
                }
                self.raw("</ul>\n");
            }
            self.raw("</li>\n");
        }
        self.raw("</ol>\n</nav>\n");
    }

    fn section(&mut self, section: &Section, is_fresh: bool) {
        let class = if section.is_place { "place" } else { "part" };
        let class = format!("{class}{}", if is_fresh { " fresh" } else { "" });
        self.raw(&format!(
            "<section id=\"{}\" class=\"{class}\">\n<h2>{}</h2>\n",
            section.key,
            text(&section.heading)
        ));
        self.blocks(&section.blocks, 3);
        self.raw("</section>\n");
    }

    fn blocks(&mut self, blocks: &[Block], level: u8) {
        for block in blocks {
            match block {
                Block::Story(story) => self.story(story, level),
                Block::Heading(heading) => {
                    self.raw(&format!("<h{level}>{}</h{level}>\n", text(heading)));
                }
                Block::Prose(prose) => self.prose(prose),
                Block::Facts(facts) => {
                    self.raw("<dl class=\"facts\">\n");
                    for fact in facts {
                        self.raw(&format!("<div><dt>{}</dt><dd>", text(&fact.name)));
                        self.linked(&fact.value, fact.link);
                        self.raw("</dd></div>\n");
                    }
                    self.raw("</dl>\n");
                }
                Block::Pair(pair) => {
                    let laid = if pair.is_laid { " data-laid" } else { "" };
                    self.raw(&format!("<div class=\"pair\"{laid}>\n"));
                    self.figure(&pair.before);
                    self.figure(&pair.after);
                    self.raw("</div>\n");
                }
                Block::Figures(figures) => {
                    let class = if figures.len() == 1 {
                        "figures one"
                    } else {
                        "figures"
                    };
                    self.raw(&format!("<div class=\"{class}\">\n"));
                    for figure in figures {
                        self.figure(figure);
                    }
                    self.raw("</div>\n");
                }
                Block::Drawing(drawn) => self.raw(&drawing(drawn)),
                Block::Table(table) => self.table(table),
                Block::List(items) => {
                    self.raw("<ul class=\"list\">\n");
                    for item in items {
                        self.raw("<li");
                        self.id(item.anchor);
                        self.raw(">");
                        self.prose_inside(item);
                        self.raw("</li>\n");
                    }
                    self.raw("</ul>\n");
                }
                Block::Caution(caution) => {
                    self.raw("<p class=\"caution\"><strong>Caution.</strong> ");
                    self.words(caution);
                    self.raw("</p>\n");
                }
            }
        }
    }

    fn story(&mut self, story: &Story, level: u8) {
        let inner = (level + 1).min(6);
        self.raw(&format!(
            "<article id=\"{}\" class=\"story level-{level}\">\n<h{level}>{}",
            name(story.entry),
            text(&story.heading)
        ));
        if let Some(standing) = &story.standing {
            self.raw(&format!(
                " <span class=\"stands\">{}</span>",
                text(standing)
            ));
        }
        self.raw(&format!("</h{level}>\n<div class=\"margin\">\n"));
        for line in &story.margin {
            let late = if line.contains(", late, ") {
                " class=\"late\""
            } else {
                ""
            };
            self.raw(&format!("<p{late}>{}</p>\n", text(line)));
        }
        self.raw("</div>\n<div class=\"told\">\n");
        self.blocks(&story.blocks, inner);
        self.raw("</div>\n</article>\n");
    }

    fn id(&mut self, anchor: Option<Id>) {
        if let Some(id) = anchor {
            self.raw(&format!(" id=\"{}\"", name(id)));
        }
    }

    fn prose(&mut self, prose: &Prose) {
        let class = match (prose.is_supposed, prose.text.is_empty()) {
            (true, _) => " class=\"supposed\"",
            (_, true) => " class=\"source\"",
            _ => "",
        };
        self.raw(&format!("<p{class}"));
        self.id(prose.anchor);
        self.raw(">");
        self.prose_inside(prose);
        self.raw("</p>\n");
    }

    fn prose_inside(&mut self, prose: &Prose) {
        if let Some(label) = &prose.label {
            self.raw("<strong>");
            self.linked(label, prose.link);
            self.raw("</strong> ");
        }
        match prose.label {
            Some(_) => self.words(&prose.text),
            None => self.linked(&prose.text, prose.link),
        }
        if let Some(aside) = &prose.aside {
            self.raw(" <small>");
            self.words(aside);
            self.raw("</small>");
        }
    }

    fn linked(&mut self, words: &str, link: Option<Id>) {
        match link {
            Some(id) => {
                self.raw(&format!("<a href=\"#{}\">", name(id)));
                self.words(words);
                self.raw("</a>");
            }
            None => self.words(words),
        }
    }

    fn figure(&mut self, figure: &Figure) {
        self.raw("<figure");
        self.id(figure.is_anchor.then_some(figure.entry));
        self.raw(">\n");
        if let Some(instead) = &figure.instead {
            self.raw(&format!("<p class=\"missing\">{}</p>\n", text(instead)));
        } else if let Some((digest, bytes)) = figure
            .shown
            .iter()
            .find_map(|digest| Some((*digest, (self.picture)(*digest)?)))
        {
            let drawn = drawn_marks(figure);
            if drawn.is_some() {
                self.raw("<span class=\"marked\">");
            }
            let sides = figure
                .sides
                .map(|(width, height)| format!(" width=\"{width}\" height=\"{height}\""))
                .unwrap_or_default();
            self.raw(&format!(
                "<img alt=\"{}\"{sides} src=\"",
                text(&figure.alt).replace('\n', " ")
            ));
            self.source(digest, &bytes);
            self.raw("\">");
            if let Some(drawn) = drawn {
                self.raw(&drawn);
                self.raw("</span>");
            }
            self.raw("\n");
        } else {
            self.raw("<p class=\"missing\">No view of this picture was on the device that made this file; its digest stands below.</p>\n");
        }
        self.raw("<figcaption>");
        if let Some(stage) = figure.stage {
            self.raw("<span class=\"stage\" aria-hidden=\"true\">");
            for n in 1..=5 {
                self.raw(if n <= stage {
                    "<i class=\"on\"></i>"
                } else {
                    "<i></i>"
                });
            }
            self.raw("</span> ");
        }
        self.words(&figure.caption);
        self.raw("</figcaption>\n</figure>\n");
    }

    /// Where a picture's bytes are: in the page, or beside it.
    fn source(&mut self, digest: Digest, bytes: &[u8]) {
        let Some(beside) = &mut self.beside else {
            self.raw("data:image/jpeg;base64,");
            base64(bytes, &mut self.out);
            return;
        };
        let path = format!("{PICTURES}/{digest}.jpg");
        if self.failed.is_ok() && beside.done.insert(digest) {
            self.failed = (beside.put)(&path, bytes);
        }
        self.raw(&path);
    }

    fn table(&mut self, table: &Table) {
        // A short table stays on one page.
        self.raw(if table.rows.len() <= 9 {
            "<table class=\"short\">\n<caption>"
        } else {
            "<table>\n<caption>"
        });
        self.words(&table.caption);
        self.raw("</caption>\n<thead>\n<tr>");
        for column in &table.columns {
            let class = if column.is_figures {
                " class=\"n\""
            } else {
                ""
            };
            // A column of running numbers needs no word, but a heading may not be empty.
            let title = if column.title.is_empty() {
                "No."
            } else {
                &column.title
            };
            self.raw(&format!("<th scope=\"col\"{class}>{}</th>", text(title)));
        }
        self.raw("</tr>\n</thead>\n");
        for (tag, is_total) in [("tbody", false), ("tfoot", true)] {
            let mut rows = table
                .rows
                .iter()
                .filter(|row| row.is_total == is_total)
                .peekable();
            if rows.peek().is_none() {
                continue;
            }
            self.raw(&format!("<{tag}>\n"));
            for row in rows {
                self.raw("<tr");
                self.id(row.anchor);
                self.raw(if row.struck_cell.is_some() {
                    " class=\"struck\">"
                } else {
                    ">"
                });
                for (at, (cell, column)) in row.cells.iter().zip(&table.columns).enumerate() {
                    self.raw(if column.is_figures {
                        "<td class=\"n\">"
                    } else {
                        "<td>"
                    });
                    self.cell(cell, row.struck_cell == Some(at));
                    self.raw("</td>");
                }
                self.raw("</tr>\n");
            }
            self.raw(&format!("</{tag}>\n"));
        }
        self.raw("</table>\n");
    }

    fn cell(&mut self, cell: &Cell, is_struck: bool) {
        if is_struck && !cell.text.is_empty() {
            self.raw("<s>");
        }
        self.linked(&cell.text, cell.link);
        if is_struck && !cell.text.is_empty() {
            self.raw("</s>");
        }
    }
}

#[cfg(test)]
mod tests;
