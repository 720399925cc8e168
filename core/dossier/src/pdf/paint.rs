//! Sheets made into a file: archival (PDF/A-2a) and accessible (PDF/UA-1).

use std::collections::BTreeMap;
use std::num::NonZeroU16;

use garboard_record::Digest;
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, ListNumbering, Node, Placement, SpanTag,
    TableHeaderScope, Tag, TagGroup, TagTree,
};
use krilla::{Document, SerializeSettings};

use super::drawing;
use super::face::{Faces, INK, RULE, RUNNING};
use super::flow::{Child, Draw, Role, Sheets, Tree};
use super::ink::{LIGHT, Pen, disc, on_picture, rectangle, run};
use super::{Error, Page};

/// What the file says of itself.
pub(super) struct About<'a> {
    pub(super) title: String,
    pub(super) boat: &'a str,
    pub(super) day: (u16, u8, u8),
}

/// What was drawn, by its number.
struct Drawn {
    marks: BTreeMap<usize, Identifier>,
    ways: BTreeMap<usize, Identifier>,
    boxes: BTreeMap<usize, BBox>,
}

fn layout_artifact() -> ContentTag<'static> {
    ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout))
}

/// Draws all sheets.
pub(super) fn file(
    faces: &mut Faces,
    tree: &Tree,
    sheets: &mut Sheets,
    page: &Page,
    about: &About<'_>,
    pictures: &BTreeMap<Digest, Image>,
) -> Result<Vec<u8>, Error> {
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A2_A)
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| Error::Refused {
            why: format!("{error:?}"),
        })?;
    let mut document = Document::new_with(SerializeSettings {
        configuration,
        enable_tagging: true,
        ..SerializeSettings::default()
    });
    let (year, month, day) = about.day;
    document.set_metadata(
        Metadata::new()
            .title(about.title.clone())
            .language("en".to_owned())
            .creator("Garboard".to_owned())
            .creation_date(DateTime::new(year).month(month).day(day)),
    );
    let mut drawn = Drawn {
        marks: BTreeMap::new(),
        ways: BTreeMap::new(),
        boxes: BTreeMap::new(),
    };
    // What is drawn is let go: it lies in the file from then on.
    for (at, sheet) in std::mem::take(&mut sheets.sheets).into_iter().enumerate() {
        let settings =
            PageSettings::from_wh(page.width, page.height).ok_or_else(|| Error::Refused {
                why: "a sheet without a size".to_owned(),
            })?;
        let mut paper = document.start_page_with(settings);
        let mut links = Vec::new();
        {
            let mut surface = paper.surface();
            if at > 0 {
                running(
                    &mut surface,
                    faces,
                    page,
                    about.boat,
                    &sheet.running,
                    at + 1,
                );
            }
            for (top, draw) in &sheet.draws {
                one(
                    &mut surface,
                    faces,
                    page,
                    sheets,
                    pictures,
                    (at, *top),
                    draw,
                    &mut drawn,
                );
                if let Draw::Way {
                    x,
                    y,
                    width,
                    height,
                    to,
                    says,
                    way,
                } = draw
                {
                    links.push((page.left + x, top + y, *width, *height, to, says, *way));
                }
            }
            surface.finish();
        }
        for (x, y, width, height, to, says, way) in links {
            let Some((sheet, high)) = sheets.anchors.get(to) else {
                continue;
            };
            let Some(rect) = Rect::from_xywh(x, y, width.max(1.0), height) else {
                continue;
            };
            let target =
                XyzDestination::new(*sheet, Point::from_xy(page.left, (high - 6.0).max(0.0)));
            let link = LinkAnnotation::new(rect, Target::Destination(target.into()));
            let id = paper
                .add_tagged_annotation(Annotation::new_link(link, Some(format!("To: {says}"))));
            drawn.ways.insert(way, id);
        }
        paper.finish();
    }
    document.set_outline(outline(sheets, page));
    let mut root = TagTree::new().with_lang(Some("en".to_owned()));
    if let Some((_, children)) = tree.parts.first() {
        for child in children {
            root.children.extend(node(tree, *child, &mut drawn));
        }
    }
    document.set_tag_tree(root);
    document.finish().map_err(|error| Error::Refused {
        why: format!("{error:?}"),
    })
}

fn running(
    surface: &mut Surface<'_>,
    faces: &mut Faces,
    page: &Page,
    boat: &str,
    says: &str,
    number: usize,
) {
    let wide = page.right - page.left;
    let number = number.to_string();
    let head = format!("{boat} · documented history");
    let foot = "Dated by the owner’s device only. Written by the seller; not a survey.";
    for (kind, words, y, is_right) in [
        (ArtifactType::Header, head.as_str(), page.head, false),
        (ArtifactType::Header, says, page.head, true),
        (ArtifactType::Footer, foot, page.foot, false),
        (ArtifactType::PageNumber, number.as_str(), page.foot, true),
    ] {
        faces.at = "the running head".to_owned();
        // A long name is cut to the first line that it takes.
        let Some(line) = faces
            .set(&[(words, RUNNING)], 10.0, wide * 0.6)
            .into_iter()
            .next()
        else {
            continue;
        };
        let x = if is_right {
            page.right - line.width
        } else {
            page.left
        };
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(kind)));
        for part in &line.runs {
            run(surface, faces, x, y, part);
        }
        surface.end_tagged();
    }
    surface.start_tagged(layout_artifact());
    rectangle(surface, page.left, page.head + 5.0, wide, 0.5, RULE);
    surface.end_tagged();
}

#[expect(
    clippy::too_many_arguments,
    reason = "what is drawn, where, with what, and what is noted of it; a struct for one call would say no more"
)]
fn one(
    surface: &mut Surface<'_>,
    faces: &mut Faces,
    page: &Page,
    sheets: &Sheets,
    pictures: &BTreeMap<Digest, Image>,
    (sheet, top): (usize, f32),
    draw: &Draw,
    drawn: &mut Drawn,
) {
    match draw {
        Draw::Words {
            x,
            y,
            run: words,
            mark,
        } => {
            let tag = match mark {
                Some(_) => ContentTag::Span(SpanTag::empty()),
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::PaginationOther)),
            };
            let id = surface.start_tagged(tag);
            run(surface, faces, page.left + x, top + y, words);
            surface.end_tagged();
            if let Some(mark) = mark {
                drawn.marks.insert(*mark, id);
            }
            if words.look.is_struck {
                surface.start_tagged(layout_artifact());
                rectangle(
                    surface,
                    page.left + x + words.x,
                    top + y - words.look.size * 0.28,
                    words.advance,
                    0.6,
                    super::face::MARK,
                );
                surface.end_tagged();
            }
        }
        Draw::Rule {
            x,
            y,
            width,
            weight,
            ink,
        } => {
            surface.start_tagged(layout_artifact());
            rectangle(surface, page.left + x, top + y, *width, *weight, *ink);
            surface.end_tagged();
        }
        Draw::Bar {
            x,
            y,
            width,
            height,
            ink,
            is_full,
        } => {
            surface.start_tagged(layout_artifact());
            let (x, y) = (page.left + x, top + y);
            if *is_full {
                rectangle(surface, x, y, *width, *height, *ink);
            } else {
                let w = 0.5;
                rectangle(surface, x, y, *width, w, *ink);
                rectangle(surface, x, y + height - w, *width, w, *ink);
                rectangle(surface, x, y, w, *height, *ink);
                rectangle(surface, x + width - w, y, w, *height, *ink);
            }
            surface.end_tagged();
        }
        Draw::Picture {
            x,
            y,
            width,
            height,
            digest,
            mark,
        } => {
            let (Some(image), Some(size)) = (pictures.get(digest), Size::from_wh(*width, *height))
            else {
                return;
            };
            let (x, y) = (page.left + x, top + y);
            let id = surface.start_tagged(ContentTag::Other);
            surface.push_transform(&Transform::from_translate(x, y));
            surface.draw_image(image.clone(), size);
            surface.pop();
            surface.end_tagged();
            drawn.marks.insert(*mark, id);
            if let Some(rect) = Rect::from_xywh(x, y, *width, *height) {
                drawn.boxes.insert(*mark, BBox::new(sheet, rect));
            }
        }
        Draw::Stroke { spots, is_closed } => {
            surface.start_tagged(layout_artifact());
            on_picture(surface, (page.left, top), spots, *is_closed);
            surface.end_tagged();
        }
        Draw::Disc { at, radius } => {
            surface.start_tagged(layout_artifact());
            let pen = Pen {
                ink: INK,
                weight: 1.0,
                is_broken: false,
            };
            disc(surface, (page.left, top), *at, *radius, LIGHT, pen);
            surface.end_tagged();
        }
        Draw::Drawing {
            x,
            y,
            width,
            height,
            inked,
            mark,
        } => {
            let id = surface.start_tagged(ContentTag::Other);
            drawing::paint(surface, faces, (page.left, top), inked);
            surface.end_tagged();
            drawn.marks.insert(*mark, id);
            if let Some(rect) = Rect::from_xywh(page.left + x, top + y, *width, *height) {
                drawn.boxes.insert(*mark, BBox::new(sheet, rect));
            }
        }
        Draw::PageOf {
            x,
            y,
            to,
            look,
            mark,
        } => {
            let number = sheets
                .anchors
                .get(to)
                .map_or_else(|| "–".to_owned(), |(sheet, _)| (sheet + 1).to_string());
            let lines = faces.set(&[(&number, *look)], 12.0, 60.0);
            let id = surface.start_tagged(ContentTag::Span(SpanTag::empty()));
            for line in lines.iter().take(1) {
                for part in &line.runs {
                    run(surface, faces, page.left + x - line.width, top + y, part);
                }
            }
            surface.end_tagged();
            drawn.marks.insert(*mark, id);
        }
        Draw::Way { .. } => {}
    }
}

fn outline(sheets: &Sheets, page: &Page) -> Outline {
    let mut out = Outline::new();
    let mut open: Option<OutlineNode> = None;
    for (depth, title, sheet, high) in &sheets.outline {
        let target = XyzDestination::new(*sheet, Point::from_xy(page.left, (high - 6.0).max(0.0)));
        let node = OutlineNode::new(title.clone(), target);
        match &mut open {
            Some(parent) if *depth > 0 => parent.push_child(node),
            _ => {
                if let Some(parent) = open.replace(node) {
                    out.push_child(parent);
                }
            }
        }
    }
    if let Some(parent) = open {
        out.push_child(parent);
    }
    out
}

/// The part of the tree as the file wants it; parts without anything drawn are left out.
fn node(tree: &Tree, child: Child, drawn: &mut Drawn) -> Option<Node> {
    let at = match child {
        Child::Mark(mark) => return drawn.marks.remove(&mark).map(Node::from),
        Child::Way(way) => return drawn.ways.remove(&way).map(Node::from),
        Child::Part(at) => at,
    };
    let (role, children) = tree.parts.get(at)?;
    let bbox = children.iter().find_map(|child| match child {
        Child::Mark(mark) => drawn.boxes.get(mark).copied(),
        _ => None,
    });
    let nodes: Vec<Node> = children
        .iter()
        .filter_map(|child| node(tree, *child, drawn))
        .collect();
    if nodes.is_empty() && !matches!(role, Role::Cell | Role::HeadCell) {
        return None;
    }
    let group = match role {
        Role::Section => TagGroup::with_children(Tag::Section, nodes),
        Role::Heading(level, title) => TagGroup::with_children(
            Tag::Hn(
                NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN),
                Some(title.clone()),
            ),
            nodes,
        ),
        Role::Paragraph => TagGroup::with_children(Tag::P, nodes),
        Role::List => TagGroup::with_children(Tag::L(ListNumbering::None), nodes),
        Role::Item => TagGroup::with_children(Tag::LI, nodes),
        Role::Label => TagGroup::with_children(Tag::Lbl, nodes),
        Role::Body => TagGroup::with_children(Tag::LBody, nodes),
        Role::Contents => TagGroup::with_children(Tag::TOC, nodes),
        Role::ContentsItem => TagGroup::with_children(Tag::TOCI, nodes),
        Role::Table(summary) => {
            TagGroup::with_children(Tag::Table.with_summary(Some(summary.clone())), nodes)
        }
        Role::Head => TagGroup::with_children(Tag::THead, nodes),
        Role::Rows => TagGroup::with_children(Tag::TBody, nodes),
        Role::Totals => TagGroup::with_children(Tag::TFoot, nodes),
        Role::Row => TagGroup::with_children(Tag::TR, nodes),
        Role::HeadCell => TagGroup::with_children(Tag::TH(TableHeaderScope::Column), nodes),
        Role::Cell => TagGroup::with_children(Tag::TD, nodes),
        Role::Figure(alt) => TagGroup::with_children(
            Tag::Figure(Some(alt.clone()))
                .with_bbox(bbox)
                .with_placement(Some(Placement::Block)),
            nodes,
        ),
        Role::Caption => TagGroup::with_children(Tag::Caption, nodes),
        Role::Note => TagGroup::with_children(Tag::P, nodes),
        Role::Link => TagGroup::with_children(Tag::Link, nodes),
    };
    Some(Node::Group(group))
}
