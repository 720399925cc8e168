//! The title page and the contents.

use std::collections::BTreeMap;

use super::face::{
    BOAT, CONTENTS, CONTENTS_INNER, CONTENTS_PLACE, HEADINGS, Look, MARK, OVER, RULE, SOFT, TEXT,
    WHAT,
};
use super::flow::{Draw, Role, Slab};
use super::layout::{Setter, name};
use crate::outline::{Block, Outline};

impl Setter<'_> {
    pub(super) fn title(&mut self, outline: &Outline) {
        let title = &outline.title;
        self.faces.at = "the title page".to_owned();
        let wide = self.width;
        let head = self.tree.part(0, Role::Heading(1, title.boat.clone()));
        // White paper at the top; a slab's space is dropped there.
        self.slabs.push(Slab {
            height: 40.0,
            is_kept: true,
            running: Some(String::new()),
            outline: Some((0, title.boat.clone())),
            anchors: vec!["title".to_owned()],
            ..Slab::default()
        });
        self.words(
            &[("Documented history of", OVER, None)],
            14.0,
            0.0,
            wide,
            0.0,
            head,
            None,
            true,
        );
        self.words(
            &[(&title.boat, BOAT, None)],
            40.0,
            0.0,
            wide,
            2.0,
            head,
            None,
            true,
        );
        if !title.what.is_empty() {
            let part = self.tree.part(0, Role::Paragraph);
            self.words(
                &[(&title.what, WHAT, None)],
                17.0,
                0.0,
                wide,
                8.0,
                part,
                None,
                true,
            );
        }
        let part = self.tree.part(0, Role::Paragraph);
        self.words(
            &[(&title.period, OVER, None)],
            14.0,
            0.0,
            wide,
            4.0,
            part,
            None,
            false,
        );
        if let Some(figure) = &title.figure {
            self.figures(&[figure], 369.0, 0, 24.0);
        }
        self.slabs.push(Slab {
            space: 20.0,
            height: 8.0,
            is_kept: true,
            draws: vec![Draw::Rule {
                x: 0.0,
                y: 0.0,
                width: 369.0,
                weight: 0.5,
                ink: RULE,
            }],
            ..Slab::default()
        });
        let strong = Look { face: 2, ..TEXT };
        for (at, says) in title.statements.iter().enumerate() {
            let part = self.tree.part(0, Role::Paragraph);
            let look = if at == 1 { strong } else { TEXT };
            self.words(
                &[(says, look, None)],
                14.4,
                0.0,
                369.0,
                4.0,
                part,
                None,
                false,
            );
        }
    }

    pub(super) fn contents(&mut self, outline: &Outline) {
        self.faces.at = "the contents".to_owned();
        let heading = self.tree.part(0, Role::Heading(2, "Contents".to_owned()));
        self.heading("Contents", None, HEADINGS[0], 0.0, 0.0, heading, Vec::new());
        if let Some(slab) = self.slabs.last_mut() {
            slab.height += 4.0;
        }
        self.fresh("Contents", "contents", "Contents");
        let list = self.tree.part(0, Role::Contents);
        for section in &outline.sections {
            let look = if section.is_place {
                CONTENTS_PLACE
            } else {
                CONTENTS
            };
            self.contents_line(&section.heading, None, look, 0.0, 3.4, &section.key, list);
            for block in &section.blocks {
                if let Block::Story(story) = block {
                    self.contents_line(
                        &story.heading,
                        story.standing.as_deref(),
                        CONTENTS_INNER,
                        16.0,
                        0.6,
                        &name(story.entry),
                        list,
                    );
                }
            }
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "words, look, whereabouts and target of a line of the contents"
    )]
    fn contents_line(
        &mut self,
        says: &str,
        stands: Option<&str>,
        look: Look,
        x: f32,
        space: f32,
        to: &str,
        list: usize,
    ) {
        let item = self.tree.part(list, Role::ContentsItem);
        let link = self.tree.part(item, Role::Link);
        let stands = stands
            .map(|stands| format!("   {stands}"))
            .unwrap_or_default();
        let small = Look {
            ink: MARK,
            size: 8.0,
            ..CONTENTS
        };
        let lines = self.faces.set(
            &[(says, look), (&stands, small)],
            13.0,
            self.width - x - 40.0,
        );
        let n = lines.len();
        for (at, line) in lines.iter().enumerate() {
            let mut slab = Slab {
                space: if at == 0 { space } else { 0.0 },
                height: line.height,
                is_kept: at + 1 < n,
                ..Slab::default()
            };
            let way = self.tree.way(link);
            slab.draws.push(Draw::Way {
                x,
                y: 0.0,
                width: self.width - x,
                height: line.height,
                to: to.to_owned(),
                says: says.to_owned(),
                way,
            });
            self.line(
                line,
                x,
                0.0,
                &[],
                link,
                &mut BTreeMap::new(),
                &mut slab.draws,
            );
            if at + 1 == n {
                let mark = self.tree.mark(link);
                slab.draws.push(Draw::PageOf {
                    x: self.width,
                    y: line.baseline,
                    to: to.to_owned(),
                    look: Look { ink: SOFT, ..look },
                    mark,
                });
            }
            self.slabs.push(slab);
        }
    }

    /// Notes of the heading that was set last that it begins a page, and what it is called.
    fn fresh(&mut self, running: &str, anchor: &str, title: &str) {
        // The heading may have several lines; its first is where the outline points.
        let at = self
            .slabs
            .iter()
            .rposition(|slab| !slab.anchors.is_empty() || !slab.is_kept)
            .map_or(0, |at| at + 1);
        if let Some(slab) = self.slabs.get_mut(at) {
            slab.is_fresh = true;
            slab.running = Some(running.to_owned());
            slab.anchors.push(anchor.to_owned());
            slab.outline = Some((0, title.to_owned()));
        }
    }
}
