//! The faces, and words set in them: shaped, broken into lines, ready to be drawn.

use std::borrow::Cow;
use std::ops::Range;
use std::rc::Rc;
use std::sync::Arc;

use krilla::Data;
use krilla::surface::Location;
use krilla::text::{Font, Glyph, GlyphId};
use parley::fontique::{Blob, Collection, CollectionOptions, FontInfoOverride, SourceCache};
use parley::style::{
    FontFamily, FontFamilyName, FontFeatures, LineHeight, OverflowWrap, StyleProperty,
};
use parley::{FontContext, Layout, LayoutContext};
use skrifa::{FontRef, MetadataProvider as _, charmap::Charmap};

/// The five faces, each by its name in the collection.
const FACES: [(&str, &[u8]); 5] = [
    ("text", include_bytes!("../../faces/text-regular.ttf")),
    ("text-italic", include_bytes!("../../faces/text-italic.ttf")),
    (
        "text-strong",
        include_bytes!("../../faces/text-semibold.ttf"),
    ),
    ("side", include_bytes!("../../faces/side-regular.ttf")),
    (
        "side-strong",
        include_bytes!("../../faces/side-semibold.ttf"),
    ),
];

/// A colour of ink.
pub(super) type Ink = [u8; 3];
pub(super) const INK: Ink = [0x12, 0x17, 0x1A];
pub(super) const SOFT: Ink = [0x3A, 0x44, 0x4A];
pub(super) const MARK: Ink = [0x7A, 0x2A, 0x18];
pub(super) const RULE: Ink = [0xB9, 0xB1, 0xA0];
/// The inside of a body in a drawing.
pub(super) const PANEL: Ink = [0xF3, 0xF0, 0xE8];
pub(super) const HAIR: Ink = [0xDD, 0xD7, 0xC9];

/// How words look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Look {
    /// The face, counted in `FACES`.
    pub(super) face: usize,
    /// The size in points.
    pub(super) size: f32,
    /// The colour.
    pub(super) ink: Ink,
    /// Whether a line goes through the words.
    pub(super) is_struck: bool,
}

const fn look(face: usize, size: f32, ink: Ink) -> Look {
    Look {
        face,
        size,
        ink,
        is_struck: false,
    }
}

pub(super) const TEXT: Look = look(0, 10.2, INK);
pub(super) const SUPPOSED: Look = look(1, 10.2, INK);
pub(super) const OVER: Look = look(3, 10.0, SOFT);
pub(super) const BOAT: Look = look(2, 34.0, INK);
pub(super) const WHAT: Look = look(0, 12.4, INK);
pub(super) const HEADINGS: [Look; 4] = [
    look(2, 17.5, INK),
    look(2, 13.6, INK),
    look(2, 11.4, INK),
    look(2, 10.2, INK),
];
pub(super) const LABEL: Look = look(4, 8.3, MARK);
pub(super) const SIDE: Look = look(3, 7.7, SOFT);
pub(super) const SIDE_LATE: Look = look(3, 7.7, MARK);
pub(super) const STANDS: Look = look(4, 8.0, MARK);
pub(super) const TABLE: Look = look(3, 7.9, INK);
pub(super) const TABLE_SOFT: Look = look(3, 7.9, SOFT);
pub(super) const TABLE_HEAD: Look = look(4, 7.9, INK);
pub(super) const FACT: Look = look(3, 8.4, INK);
pub(super) const FACT_NAME: Look = look(3, 8.4, SOFT);
pub(super) const CONTENTS: Look = look(3, 9.0, INK);
pub(super) const CONTENTS_PLACE: Look = look(4, 9.0, INK);
pub(super) const CONTENTS_INNER: Look = look(3, 8.6, SOFT);
/// Words in a drawing of our own.
pub(super) const CHARTED: Look = look(3, 8.5, INK);
pub(super) const CHARTED_STRONG: Look = look(4, 8.5, INK);
/// Words on a picture, on a dark ground, and numbers in a light disc.
pub(super) const ON_PICTURE: Look = look(4, 7.4, [0xFF, 0xFF, 0xFF]);
pub(super) const IN_DISC: Look = look(4, 7.4, INK);
pub(super) const RUNNING: Look = look(3, 7.7, SOFT);

/// A glyph, in as few bytes as it takes: a long history has millions.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sign {
    glyph: u16,
    /// How many bytes of the text it stands for.
    n_bytes: u16,
    /// Where they begin.
    start: u32,
    /// How far the next stands off, and how far this one is moved, in parts of the size.
    advance: f32,
    moved: [f32; 2],
}

impl Sign {
    /// Glyphs of a face have numbers of two bytes, and a cluster is a few bytes long.
    fn new(glyph: u32, advance: f32, moved: [f32; 2], of: &Range<usize>) -> Self {
        Self {
            glyph: u16::try_from(glyph).unwrap_or(0),
            n_bytes: u16::try_from(of.len()).unwrap_or(u16::MAX),
            start: u32::try_from(of.start).unwrap_or(u32::MAX),
            advance,
            moved,
        }
    }

    /// Stands for the text to there too.
    fn reach(&mut self, end: usize) {
        let range = self.text_range();
        let n_bytes = u16::try_from(end.saturating_sub(range.start)).unwrap_or(u16::MAX);
        self.n_bytes = self.n_bytes.max(n_bytes);
    }
}

impl Glyph for Sign {
    fn glyph_id(&self) -> GlyphId {
        GlyphId::new(self.glyph.into())
    }

    fn text_range(&self) -> Range<usize> {
        let start = usize::try_from(self.start).unwrap_or(usize::MAX);
        start..start + usize::from(self.n_bytes)
    }

    fn x_advance(&self, size: f32) -> f32 {
        self.advance * size
    }

    fn x_offset(&self, size: f32) -> f32 {
        self.moved[0] * size
    }

    fn y_offset(&self, size: f32) -> f32 {
        self.moved[1] * size
    }

    fn y_advance(&self, _size: f32) -> f32 {
        0.0
    }

    fn location(&self) -> Option<Location> {
        None
    }
}

/// Glyphs of one look that stand on one line.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Where it begins, from the line's left.
    pub(super) x: f32,
    /// How wide it is.
    pub(super) advance: f32,
    /// The face that has the glyphs, which may be another than was asked for.
    pub(super) face: usize,
    /// The part of the words that it belongs to.
    pub(super) part: usize,
    /// How it looks.
    pub(super) look: Look,
    /// Its glyphs.
    pub(super) glyphs: Vec<Sign>,
    /// The text that the glyphs' ranges count in.
    pub(super) text: Rc<str>,
}

/// A line, ready to be drawn.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// Its height.
    pub(super) height: f32,
    /// From its top to the baseline.
    pub(super) baseline: f32,
    /// How wide its ink is.
    pub(super) width: f32,
    /// What stands on it.
    pub(super) runs: Vec<Run>,
}

/// Words that are shaped, but not broken into lines yet.
pub(super) struct Shaped {
    layout: Layout<u16>,
    text: Rc<str>,
    looks: Vec<Look>,
}

impl Shaped {
    /// The width of the longest word, and of all on one line.
    pub(super) fn widths(&self) -> (f32, f32) {
        let widths = self.layout.calculate_content_widths();
        (widths.min, widths.max)
    }
}

/// The faces, and what is needed to set words in them.
pub(super) struct Faces {
    fonts: FontContext,
    layouts: LayoutContext<u16>,
    /// The collection's number of each face.
    blobs: Vec<u64>,
    charmaps: Vec<Charmap<'static>>,
    /// The same for the writer of the file.
    pub(super) drawn: Vec<Font>,
    /// The characters that no face has, with what they stand in, once each.
    pub(super) missing: Vec<(String, char)>,
    /// What is being set.
    pub(super) at: String,
}

impl Faces {
    /// Reads the faces; none only if a face that lies in this program cannot be read.
    pub(super) fn open() -> Option<Self> {
        let mut collection = Collection::new(CollectionOptions {
            shared: false,
            system_fonts: false,
        });
        let (mut blobs, mut charmaps, mut drawn) = (Vec::new(), Vec::new(), Vec::new());
        for (name, bytes) in FACES {
            let blob = Blob::new(Arc::new(bytes));
            blobs.push(blob.id());
            collection.register_fonts(
                blob,
                Some(FontInfoOverride {
                    family_name: Some(name),
                    ..FontInfoOverride::default()
                }),
            );
            charmaps.push(FontRef::new(bytes).ok()?.charmap());
            drawn.push(Font::new(Data::from(bytes), 0)?);
        }
        Some(Self {
            fonts: FontContext {
                collection,
                source_cache: SourceCache::default(),
            },
            layouts: LayoutContext::new(),
            blobs,
            charmaps,
            drawn,
            missing: Vec::new(),
            at: String::new(),
        })
    }

    fn has(&self, face: usize, c: char) -> bool {
        [face, 0].iter().any(|face| {
            self.charmaps
                .get(*face)
                .and_then(|charmap| charmap.map(c))
                .is_some_and(|glyph| glyph.to_u32() != 0)
        })
    }

    /// The words as they can be printed: a character that no face has is named by its number, and reported.
    fn printable(&mut self, words: &str, face: usize) -> String {
        let mut out = String::with_capacity(words.len());
        let mut in_gap = false;
        for c in words.chars() {
            let c = match c {
                '\t' => ' ',
                '\n' => c,
                '\r'
                | '\u{AD}'
                | '\u{200B}'..='\u{200F}'
                | '\u{2060}'
                | '\u{FEFF}'
                | '\u{FE00}'..='\u{FE0F}' => continue,
                // Marks that turn the direction of writing could make a figure read backwards.
                '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => '\u{FFFD}',
                c if c.is_control() => '\u{FFFD}',
                c => c,
            };
            if c == '\n' || self.has(face, c) {
                if in_gap {
                    out.push(']');
                    in_gap = false;
                }
                out.push(c);
                continue;
            }
            let named = (self.at.clone(), c);
            if !self.missing.contains(&named) {
                self.missing.push(named);
            }
            out.push_str(if in_gap { " " } else { "[" });
            out.push_str(&format!("U+{:04X}", u32::from(c)));
            in_gap = true;
        }
        if in_gap {
            out.push(']');
        }
        out
    }

    /// Shapes words of one or several looks as one paragraph whose lines are `leading` high.
    pub(super) fn shape(&mut self, parts: &[(&str, Look)], leading: f32) -> Shaped {
        let mut text = String::new();
        let mut looks = Vec::new();
        let mut ranges = Vec::new();
        for (words, look) in parts {
            let start = text.len();
            text.push_str(&self.printable(words, look.face));
            ranges.push(start..text.len());
            looks.push(*look);
        }
        let mut builder = self
            .layouts
            .ranged_builder(&mut self.fonts, &text, 1.0, false);
        builder.push_default(StyleProperty::LineHeight(LineHeight::Absolute(leading)));
        builder.push_default(StyleProperty::OverflowWrap(OverflowWrap::BreakWord));
        for (at, (range, look)) in ranges.into_iter().zip(&looks).enumerate() {
            if range.is_empty() {
                continue;
            }
            let name = FACES.get(look.face).map_or("text", |(name, _)| *name);
            let family = FontFamily::List(Cow::Owned(vec![
                FontFamilyName::Named(Cow::Borrowed(name)),
                FontFamilyName::Named(Cow::Borrowed("text")),
            ]));
            builder.push(StyleProperty::FontFamily(family), range.clone());
            builder.push(StyleProperty::FontSize(look.size), range.clone());
            builder.push(
                StyleProperty::Brush(u16::try_from(at).unwrap_or(0)),
                range.clone(),
            );
            if look.face >= 3 {
                // Figures of one width stand under one another.
                builder.push(
                    StyleProperty::FontFeatures(FontFeatures::Source(Cow::Borrowed("\"tnum\""))),
                    range,
                );
            }
        }
        Shaped {
            layout: builder.build(&text),
            text: text.into(),
            looks,
        }
    }

    /// Breaks shaped words into lines of a width.
    pub(super) fn lines(&self, shaped: &mut Shaped, width: f32) -> Vec<Line> {
        shaped.layout.break_all_lines(Some(width));
        let mut top = 0.0;
        let mut out = Vec::new();
        for line in shaped.layout.lines() {
            let metrics = line.metrics();
            let mut runs: Vec<Run> = Vec::new();
            let mut x = 0.0;
            for run in line.runs() {
                let size = run.font_size();
                let id = run.font().data.id();
                let face = self.blobs.iter().position(|blob| *blob == id).unwrap_or(0);
                let mut current: Option<Run> = None;
                for cluster in run.visual_clusters() {
                    if cluster.is_ligature_continuation() {
                        if let Some(last) = current.as_mut().and_then(|run| run.glyphs.last_mut()) {
                            last.reach(cluster.text_range().end);
                        }
                        continue;
                    }
                    let part = usize::from(cluster.style().brush);
                    if current.as_ref().is_some_and(|run| run.part != part) {
                        runs.extend(current.take());
                    }
                    let run = current.get_or_insert_with(|| Run {
                        x,
                        advance: 0.0,
                        face,
                        part,
                        look: shaped.looks.get(part).copied().unwrap_or(TEXT),
                        glyphs: Vec::new(),
                        text: Rc::clone(&shaped.text),
                    });
                    for glyph in cluster.glyphs() {
                        run.glyphs.push(Sign::new(
                            glyph.id,
                            glyph.advance / size,
                            [glyph.x / size, glyph.y / size],
                            &cluster.text_range(),
                        ));
                        x += glyph.advance;
                        run.advance += glyph.advance;
                    }
                }
                runs.extend(current.take());
            }
            runs.iter_mut().for_each(|run| run.glyphs.shrink_to_fit());
            out.push(Line {
                height: metrics.line_height,
                baseline: metrics.baseline - top,
                width: metrics.advance - metrics.hanging_advance,
                runs,
            });
            top += metrics.line_height;
        }
        out
    }

    /// Shapes words and breaks them.
    pub(super) fn set(&mut self, parts: &[(&str, Look)], leading: f32, width: f32) -> Vec<Line> {
        let mut shaped = self.shape(parts, leading);
        self.lines(&mut shaped, width)
    }
}
