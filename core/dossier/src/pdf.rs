//! The dossier on paper: an archival (PDF/A-2a) and accessible (PDF/UA-1) file.
//!
//! In three steps: `layout` makes slabs of the outline, `flow` lets them fall on sheets, `paint` draws the sheets. The order of
//! reading is gathered on the way, apart from where things stand.

mod drawing;
mod face;
mod flow;
mod front;
mod ink;
mod layout;
mod marks;
mod paint;
mod picture;
mod table;

use std::collections::BTreeSet;
use std::io::Write;

use garboard_record::{Digest, When};

use crate::outline::{Figure, Outline, figures_of};
use crate::short::{self, MOST_PAGES};
use picture::{Part, Pictures};

/// The paper that it is set for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 millimetres (ISO 216).
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

/// Why a dossier cannot be set on paper.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// When the day is none; say one like `2026-11-25`.
    #[error("the day on which a dossier on paper is made must be a whole date, found {found:?}")]
    Day {
        /// What was given.
        found: String,
    },
    /// When even the least that a short form tells takes more pages than it may have.
    #[error("even the least that a short form tells takes {n_pages} pages; {most} are the most")]
    Long {
        /// How many it takes.
        n_pages: usize,
        /// How many it may have.
        most: usize,
    },
    /// When the file would not conform; nothing was written.
    #[error("the file would not be what it says it is: {why}")]
    Refused {
        /// What the writer of the file found.
        why: String,
    },
}

/// A dossier on paper, all but the pictures' bytes, which are asked for again when the file is written.
#[derive(Clone, Debug)]
pub struct Pdf {
    parts: Vec<Part>,
    /// The size of the file in bytes.
    pub n_bytes: u64,
    /// How many pages it has.
    pub n_pages: usize,
    /// How many pictures are on them.
    pub n_pictures: usize,
    /// How many pictures are named by their digest only, since their bytes are not at hand or cannot be read.
    pub n_missing: usize,
    /// Characters that the faces have not, each with what it stands in; they are printed by their numbers.
    pub unprintable: Vec<(String, char)>,
}

impl Pdf {
    /// Writes the file. `picture` hands out the bytes of the renditions once more.
    ///
    /// # Errors
    ///
    /// - those of `to`; [`std::io::ErrorKind::InvalidData`] when a picture is no longer what it was; throw away what was written
    pub fn write(
        &self,
        mut picture: impl FnMut(Digest) -> Option<Vec<u8>>,
        mut to: impl Write,
    ) -> std::io::Result<()> {
        for part in &self.parts {
            match part {
                Part::Bytes(bytes) => to.write_all(bytes)?,
                Part::Picture { digest, n_bytes } => {
                    let bytes = picture(*digest).filter(|bytes| bytes.len() as u64 == *n_bytes);
                    let Some(bytes) = bytes else {
                        return Err(std::io::Error::new(
                            std::io::ErrorKind::InvalidData,
                            format!("the picture {digest} was altered meanwhile"),
                        ));
                    };
                    to.write_all(&bytes)?;
                }
            }
        }
        Ok(())
    }
}

/// The measures of a sheet, in points from its left upper corner.
pub(crate) struct Page {
    pub(crate) width: f32,
    pub(crate) height: f32,
    pub(crate) left: f32,
    pub(crate) right: f32,
    pub(crate) top: f32,
    pub(crate) bottom: f32,
    pub(crate) head: f32,
    pub(crate) foot: f32,
}

impl Page {
    fn of(paper: Paper) -> Self {
        let (width, height) = match paper {
            Paper::A4 => (595.276, 841.89),
            Paper::Letter => (612.0, 792.0),
        };
        Self {
            width,
            height,
            left: 51.0,
            right: width - 51.0,
            top: 74.0,
            bottom: height - 62.0,
            head: 48.0,
            foot: height - 36.0,
        }
    }
}

/// Every picture that the outline shows.
fn figures(outline: &Outline) -> Vec<&Figure> {
    let mut out: Vec<&Figure> = outline.title.figure.iter().collect();
    for section in &outline.sections {
        out.extend(figures_of(&section.blocks));
    }
    out
}

/// Sets an outline on paper. `made` is the day that the file bears; `picture` hands out the bytes of a rendition, where this
/// device has them.
///
/// # Errors
///
/// - [`Error::Day`] when `made` is no whole date
/// - [`Error::Refused`] when the file would not conform
pub fn pdf(
    outline: &Outline,
    paper: Paper,
    made: &str,
    picture: impl FnMut(Digest) -> Option<Vec<u8>>,
) -> Result<Pdf, Error> {
    let day = day(made)?;
    let shown = Shown::of(outline, picture);
    Set::of(outline, paper, &shown)?.pdf(outline, day, &shown)
}

/// Sets the short form of an outline on paper, on at most twelve pages: as much of it as goes on them. What it does not tell
/// is said and counted. The arguments are those of [`pdf`].
///
/// # Errors
///
/// - [`Error::Day`] when `made` is no whole date
/// - [`Error::Long`] when even the least takes more pages
/// - [`Error::Refused`] when the file would not conform
pub fn short_pdf(
    outline: &Outline,
    paper: Paper,
    made: &str,
    picture: impl FnMut(Digest) -> Option<Vec<u8>>,
) -> Result<Pdf, Error> {
    let day = day(made)?;
    // The first of them shows the most pictures; the others show some of these.
    let mut picture = Some(picture);
    let mut shown = Shown::default();
    let mut n_pages = 0;
    for short in short::shorter(outline) {
        if let Some(picture) = picture.take() {
            shown = Shown::of(&short, picture);
        }
        let set = Set::of(&short, paper, &shown)?;
        n_pages = set.sheets.sheets.len();
        if n_pages <= MOST_PAGES {
            return set.pdf(&short, day, &shown);
        }
    }
    Err(Error::Long {
        n_pages,
        most: MOST_PAGES,
    })
}

/// A whole day as the file bears it.
fn day(made: &str) -> Result<(u16, u8, u8), Error> {
    let refused = || Error::Day {
        found: made.to_owned(),
    };
    let when: When = made.parse().map_err(|_no_day| refused())?;
    let parts: Vec<u16> = when
        .day()
        .unwrap_or_default()
        .split('-')
        .filter_map(|part| part.parse().ok())
        .collect();
    let [year, month, of_month] = parts.as_slice() else {
        return Err(refused());
    };
    Ok((
        *year,
        u8::try_from(*month).unwrap_or(1),
        u8::try_from(*of_month).unwrap_or(1),
    ))
}

/// The pictures that an outline shows, as far as they are at hand.
#[derive(Default)]
struct Shown(Pictures);

impl Shown {
    fn of(outline: &Outline, mut picture: impl FnMut(Digest) -> Option<Vec<u8>>) -> Self {
        let mut out = Self::default();
        for figure in figures(outline) {
            if figure.instead.is_none() && out.shows(figure).is_none() {
                let mut shown = figure.shown.iter();
                shown
                    .any(|digest| picture(*digest).is_some_and(|bytes| out.0.take(*digest, bytes)));
            }
        }
        out
    }

    /// The picture that stands for a figure.
    fn shows(&self, figure: &Figure) -> Option<Digest> {
        let mut shown = figure.shown.iter().copied();
        shown.find(|digest| self.0.images.contains_key(digest))
    }
}

/// An outline as it falls on sheets.
struct Set {
    page: Page,
    faces: face::Faces,
    tree: flow::Tree,
    sheets: flow::Sheets,
}

impl Set {
    fn of(outline: &Outline, paper: Paper, shown: &Shown) -> Result<Self, Error> {
        let page = Page::of(paper);
        let mut faces = face::Faces::open().ok_or_else(|| Error::Refused {
            why: "a face of this program cannot be read".to_owned(),
        })?;
        let (slabs, tree) = layout::slabs(outline, &mut faces, &page, &shown.0.images);
        let sheets = flow::fall(slabs, page.top, page.bottom, |label, carry, head| {
            table::carried(&mut faces, label, carry, head)
        });
        Ok(Self {
            page,
            faces,
            tree,
            sheets,
        })
    }

    fn pdf(mut self, outline: &Outline, day: (u16, u8, u8), shown: &Shown) -> Result<Pdf, Error> {
        let pictures: Vec<Option<Digest>> = figures(outline)
            .into_iter()
            .filter(|figure| figure.instead.is_none())
            .map(|figure| shown.shows(figure))
            .collect();
        let about = paint::About {
            title: format!("{}: documented history", outline.title.boat),
            boat: &outline.title.boat,
            day,
        };
        let n_pages = self.sheets.sheets.len();
        let file = paint::file(
            &mut self.faces,
            &self.tree,
            &mut self.sheets,
            &self.page,
            &about,
            &shown.0.images,
        )?;
        let parts = shown.0.placed(file)?;
        let n_bytes = parts.iter().map(|part| match part {
            Part::Bytes(bytes) => bytes.len() as u64,
            Part::Picture { n_bytes, .. } => *n_bytes,
        });
        Ok(Pdf {
            n_bytes: n_bytes.sum(),
            parts,
            n_pages,
            n_pictures: pictures.iter().flatten().collect::<BTreeSet<_>>().len(),
            n_missing: pictures.iter().filter(|shown| shown.is_none()).count(),
            unprintable: self.faces.missing,
        })
    }
}

#[cfg(test)]
mod tests;
