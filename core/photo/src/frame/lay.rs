//! An earlier and a later picture of one view, laid into one frame by spots that both show.

use super::{Crop, Pair, Picture, Point, Size, Transform, Unframed, common, fit, propose};
use crate::{Error, Rendition};

/// Spots are kept in so many parts of a picture's width and height: a fifth of a pixel of a view.
pub const PARTS: u32 = 10_000;

/// Why two pictures were not laid into one frame.
#[derive(Debug, thiserror::Error)]
pub enum Unlaid {
    /// When one of them cannot be read.
    #[error(transparent)]
    Unread(#[from] Error),
    /// When the spots do not say how they lie, or nothing certain was found.
    #[error(transparent)]
    Unframed(#[from] Unframed),
    /// When the two share nothing, laid like that. Set the spots again.
    #[error(
        "laid like that, the two pictures show nothing in common; look whether each pair is the same spot"
    )]
    Apart,
}

/// An earlier and a later picture in one frame.
#[derive(Debug)]
pub struct Laid {
    /// The part of the earlier picture that both show, and the later one laid into it, of the same size.
    pub pictures: [Rendition; 2],
    sizes: [Size; 2],
    crop: Crop,
    transform: Transform,
}

impl Laid {
    /// Where a spot of the earlier or of the later picture lies in the frame; none for one that lies outside it.
    ///
    /// Both are given in `parts` of the width and of the height.
    #[must_use]
    pub fn spot(&self, is_later: bool, [x, y]: [u64; 2], parts: u32) -> Option<[u64; 2]> {
        let [earlier, later] = self.sizes;
        let size = if is_later { later } else { earlier };
        let at = |part: u64, side: u32| {
            let part = u32::try_from(part).unwrap_or(u32::MAX);
            f64::from(part) * f64::from(side) / f64::from(parts.max(1))
        };
        let own = Point {
            x: at(x, size.width),
            y: at(y, size.height),
        };
        let point = if is_later {
            self.transform.map(own)?
        } else {
            own
        };
        let within = |at: f64, from: u32, side: u32| {
            let at = at - f64::from(from);
            (-0.5..=f64::from(side) + 0.5)
                .contains(&at)
                .then(|| in_parts(at, side, parts))
        };
        Some([
            within(point.x, self.crop.left, self.crop.size.width)?,
            within(point.y, self.crop.top, self.crop.size.height)?,
        ])
    }
}

/// Lays an earlier and a later picture into one frame.
///
/// `spots` are in [`PARTS`]: x and y in the earlier picture, then x and y in the later, for each spot.
///
/// # Errors
///
/// - [`Unlaid::Unread`] when a picture cannot be decoded
/// - [`Unlaid::Unframed`] when the spots do not say how they lie, by their numbers
/// - [`Unlaid::Apart`] when nothing is left that both show
pub fn laid(earlier: &[u8], later: &[u8], spots: &[u64]) -> Result<Laid, Unlaid> {
    let (earlier, later) = (Picture::decoded(earlier)?, Picture::decoded(later)?);
    let fitted = fit(&pairs(spots, earlier.size(), later.size()))?;
    let crop = common(earlier.size(), later.size(), &fitted.transform).ok_or(Unlaid::Apart)?;
    let over = later.laid(&fitted.transform, crop).ok_or(Unlaid::Apart)?;
    Ok(Laid {
        pictures: [earlier.cropped(crop).encoded()?, over.encoded()?],
        sizes: [earlier.size(), later.size()],
        crop,
        transform: fitted.transform,
    })
}

/// Looks for four spots that both pictures show, as [`laid`] takes them; `seed` stands for chance.
///
/// # Errors
///
/// - [`Unlaid::Unread`] when a picture cannot be decoded
/// - [`Unlaid::Unframed`] when nothing is certain, and why
/// - [`Unlaid::Apart`] when nothing is left that both show
pub fn spots(earlier: &[u8], later: &[u8], seed: u64) -> Result<Vec<u64>, Unlaid> {
    let (earlier, later) = (Picture::decoded(earlier)?, Picture::decoded(later)?);
    let found = propose(&earlier.grey(), &later.grey(), seed)?.transform;
    let sizes = (earlier.size(), later.size());
    let crop = common(sizes.0, sizes.1, &found).ok_or(Unlaid::Apart)?;
    corners(&found, crop, sizes).ok_or(Unlaid::Apart)
}

/// The corners of the shared part, a tenth of it inwards, in both pictures.
fn corners(found: &Transform, crop: Crop, sizes: (Size, Size)) -> Option<Vec<u64>> {
    let back = found.inverse()?;
    let mut out = Vec::with_capacity(16);
    for (across, down) in [(0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)] {
        let at = |from: u32, side: u32, part: f64| f64::from(from) + f64::from(side) * part;
        let first = Point {
            x: at(crop.left, crop.size.width, across),
            y: at(crop.top, crop.size.height, down),
        };
        let second = back.map(first)?;
        for (point, size) in [(first, sizes.0), (second, sizes.1)] {
            out.push(in_parts(point.x, size.width, PARTS));
            out.push(in_parts(point.y, size.height, PARTS));
        }
    }
    Some(out)
}

fn pairs(spots: &[u64], earlier: Size, later: Size) -> Vec<Pair> {
    let (spots, _) = spots.as_chunks::<4>();
    let at = |part: u64, side: u32| {
        let part = u32::try_from(part).unwrap_or(u32::MAX);
        f64::from(part) * f64::from(side) / f64::from(PARTS)
    };
    spots
        .iter()
        .map(|&[x, y, other_x, other_y]| Pair {
            first: Point {
                x: at(x, earlier.width),
                y: at(y, earlier.height),
            },
            second: Point {
                x: at(other_x, later.width),
                y: at(other_y, later.height),
            },
        })
        .collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is held between 0 and the number of parts"
)]
fn in_parts(at: f64, side: u32, parts: u32) -> u64 {
    let part = at * f64::from(parts) / f64::from(side.max(1));
    part.round().clamp(0.0, f64::from(parts)) as u64
}
