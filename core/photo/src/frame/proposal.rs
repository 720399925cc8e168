//! Looking for the transformation in the pictures, and refusing where it is not certain.

mod consensus;
mod corner;
mod look;
mod settle;

use super::number::{position, real};
use super::plane::Plane;
use super::{Pair, Point, Side, Size, Transform, Unframed, crop};
use consensus::{Chance, agreeing, consensus, is_plausible};
use corner::{Slopes, cell, corners};
use look::{Look, looks, matches};
use settle::{Settled, found, robust};

/// A transformation that the pictures themselves speak for.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// How the second picture lies in the first.
    pub transform: Transform,
    /// How many spots, looked at closely, look the same and lie as it says.
    pub n_agreeing: usize,
    /// Of how many that were looked at.
    pub n_looked_at: usize,
    /// Which share of the smaller picture the other one shows, 0 to 1.
    pub overlap: f64,
    /// How far the second picture's corners may be off by its own account, in pixels: the largest standard deviation.
    pub corner_px: f64,
}

/// The long side at which spots are matched.
const MATCH_SIDE: usize = 1024;

/// The shortest side in which anything is looked for.
const LEAST_SIDE: u32 = 200;

/// Fewer corners than this are nothing to hold on to.
const LEAST_CORNERS: usize = 40;

/// Fewer matches than this say nothing.
const LEAST_MATCHES: usize = 16;

/// The least share of the smaller picture that both must show.
const LEAST_OVERLAP: f64 = 0.35;

/// How far beside is still no mistaken match but something nearer or farther, as a share of the picture's long side.
const BESIDE: f64 = 0.06;

/// Fewer spots than this speak for no second way.
const LEAST_RIVALS: usize = 8;

/// The fewest spots that must agree when they are looked at closely, and the least share of them.
const LEAST_AGREEING: usize = 24;
const LEAST_SHARE: f64 = 0.12;

/// How many spots each square of the picture at half size gives to be looked at closely.
const SPOTS_A_SQUARE: usize = 10;

/// A cut of the shared part into so many by so many, and in how many of them spots must agree.
const N_CELLS: usize = 5;
const LEAST_CELLS: usize = 7;

/// How far a corner may be off at most, by the fit's own account, in pixels.
const MOST_CORNER_PX: f64 = 1.0;

/// The least spread that a single spot is believed to have, in pixels.
const LEAST_SPREAD: f64 = 0.15;

/// Looks for how the second picture lies in the first, at view size; `seed` stands for chance.
///
/// 1. Corners of both, at several sizes, that look like each other and like nothing else are matched.
/// 2. The homography on which most of them agree is sought; it must be one that a camera could see, with enough overlap.
/// 3. A second one is sought among the rest, and spots that lie a little beside: if those are many, nothing is certain.
/// 4. Every corner of the shared part is looked at closely, to a fraction of a pixel, first at half size; enough must look the
///    same and lie alike, over enough of the part, that the corners of the picture are certain to a pixel.
///
/// Whatever is not met is refused with its reason. A transformation is never given because it is the best there is.
///
/// # Errors
///
/// The later ones of [`Unframed`], from [`Unframed::TooSmall`] on.
///
/// # Source
///
/// The number that must agree, 8 + 0.3 n of the n matches within the overlap: Brown and Lowe, "Automatic Panoramic Image Stitching
/// using Invariant Features", IJCV 74(1), 2007, section 3.2. The other limits are our own, measured in `tests/it/frame.rs`.
pub fn propose(first: &Plane, second: &Plane, seed: u64) -> Result<Proposal, Unframed> {
    let sizes = (first.size(), second.size());
    for (size, side) in [(sizes.0, Side::First), (sizes.1, Side::Second)] {
        if size.width.min(size.height) < LEAST_SIDE {
            return Err(Unframed::TooSmall {
                side,
                width: size.width,
                height: size.height,
            });
        }
    }
    let one = Eyes::on(first);
    let other = Eyes::on(second);
    let (rough, n_matches) = rough(&one, &other, sizes, seed)?;
    settled(&one, &other, sizes, rough, n_matches)
}

/// A picture as it is looked at: whole, and small enough to be matched.
struct Eyes {
    whole: Plane,
    small: Plane,
    /// How many pixels of the whole make one of the small.
    scale: f64,
}

impl Eyes {
    fn on(picture: &Plane) -> Self {
        let mut small = picture.clone();
        let mut scale = 1.0;
        while small.width.max(small.height) > MATCH_SIDE {
            small = small.halved();
            scale *= 2.0;
        }
        Self {
            whole: picture.smoothed(),
            small,
            scale,
        }
    }

    fn looks(&self, side: Side) -> Result<Vec<Look>, Unframed> {
        let looks = looks(&self.small, self.scale);
        if looks.len() < LEAST_CORNERS {
            return Err(Unframed::TooPlain {
                side,
                n: looks.len(),
            });
        }
        Ok(looks)
    }
}

/// What most matches agree on, if they are enough and no second way is nearly as good.
fn rough(
    one: &Eyes,
    other: &Eyes,
    sizes: (Size, Size),
    seed: u64,
) -> Result<(Transform, usize), Unframed> {
    let first = one.looks(Side::First)?;
    let second = other.looks(Side::Second)?;
    let elsewhere = 10.0 * one.scale.max(other.scale);
    let pairs: Vec<Pair> = matches(&first, &second, elsewhere)
        .into_iter()
        .filter_map(|(a, b)| {
            Some(Pair {
                first: first.get(a)?.at,
                second: second.get(b)?.at,
            })
        })
        .collect();
    let n_matches = pairs.len();
    if n_matches < LEAST_MATCHES {
        return Err(Unframed::TooFewMatches { n: n_matches });
    }
    let reach = 3.0 * one.scale;
    let mut chance = Chance(seed);
    let best = consensus(&pairs, sizes, reach, &mut chance).ok_or(Unframed::NoAgreement {
        n_agreeing: 0,
        n_matches,
    })?;
    let n_agreeing = best.agreeing.len();
    let back = best.transform.inverse().ok_or(Unframed::Impossible)?;
    let in_frame = |point: Option<Point>, size: Size| {
        point.is_some_and(|point| {
            (0.0..=f64::from(size.width)).contains(&point.x)
                && (0.0..=f64::from(size.height)).contains(&point.y)
        })
    };
    let within = pairs.iter().filter(|pair| {
        in_frame(best.transform.map(pair.second), sizes.0)
            && in_frame(back.map(pair.first), sizes.1)
    });
    let n_within = within.count();
    if real(n_agreeing) < 8.0 + 0.3 * real(n_within) {
        return Err(Unframed::NoAgreement {
            n_agreeing,
            n_matches,
        });
    }
    enough_overlap(sizes, &best.transform)?;
    // Spots that look alike and lie a little beside where they should: near and far things shift against each other.
    let long = f64::from(sizes.0.width.max(sizes.0.height));
    let n_within_reach = |reach| agreeing(&pairs, &best.transform, reach).len();
    let n_beside = n_within_reach(long * BESIDE).saturating_sub(n_within_reach(2.0 * reach));
    if n_beside >= LEAST_RIVALS && n_beside * 5 >= n_agreeing {
        return Err(Unframed::TwoWays {
            n_agreeing,
            n_rival: n_beside,
        });
    }
    let rest: Vec<Pair> = pairs
        .iter()
        .filter(|pair| agreeing(&[**pair], &best.transform, 3.0 * reach).is_empty())
        .copied()
        .collect();
    if let Some(rival) = consensus(&rest, sizes, reach, &mut chance) {
        let n_rival = rival.agreeing.len();
        if n_rival >= LEAST_RIVALS && n_rival * 3 >= n_agreeing {
            return Err(Unframed::TwoWays {
                n_agreeing,
                n_rival,
            });
        }
    }
    Ok((best.transform, n_matches))
}

fn enough_overlap(sizes: (Size, Size), transform: &Transform) -> Result<f64, Unframed> {
    let share = crop::overlap(sizes.0, sizes.1, transform);
    if share < LEAST_OVERLAP {
        return Err(Unframed::TooLittleOverlap {
            percent: u8::try_from(position(share * 100.0)).unwrap_or(100),
        });
    }
    Ok(share)
}

/// Looks at every corner of the shared part closely and decides.
fn settled(
    one: &Eyes,
    other: &Eyes,
    sizes: (Size, Size),
    rough: Transform,
    n_matches: usize,
) -> Result<Proposal, Unframed> {
    let nothing = Unframed::NoAgreement {
        n_agreeing: 0,
        n_matches,
    };
    // At half size a patch reaches farther, so that a rough transformation is near enough.
    let smooth = (one.small.smoothed(), other.small.smoothed());
    let small = rough
        .scaled(1.0 / one.scale, 1.0 / other.scale)
        .ok_or(nothing.clone())?;
    // What stands out at half size is looked at whole as well: that takes a quarter of the memory of looking for it again.
    let spots: Vec<Point> = corners(&Slopes::of(&smooth.0), SPOTS_A_SQUARE)
        .into_iter()
        .map(|corner| corner.at)
        .collect();
    let (near, n_looked_at) = look_closely(&smooth.0, &smooth.1, (&spots, 1.0), &small, 8.0);
    let n_near = near.len();
    let too_changed = |n_agreeing, n_looked_at| Unframed::TooMuchChanged {
        n_agreeing,
        n_looked_at,
    };
    let near = robust(&near, &small).ok_or(too_changed(n_near, n_looked_at))?;
    let whole = near
        .transform
        .scaled(one.scale, other.scale)
        .ok_or(nothing.clone())?;
    drop(smooth);
    let (pairs, n_looked_at) =
        look_closely(&one.whole, &other.whole, (&spots, one.scale), &whole, 4.0);
    let n_found = pairs.len();
    let Settled {
        transform,
        certainty,
        agreeing,
        spread,
    } = robust(&pairs, &whole).ok_or(too_changed(n_found, n_looked_at))?;
    let n_agreeing = agreeing.len();
    let share = real(n_agreeing) / real(n_looked_at.max(1));
    if n_agreeing < LEAST_AGREEING || share < LEAST_SHARE {
        return Err(too_changed(n_agreeing, n_looked_at));
    }
    // Spots that look the same but lie elsewhere belong to something nearer or farther.
    let n_elsewhere = n_found - n_agreeing;
    if n_elsewhere > n_agreeing {
        return Err(Unframed::TwoWays {
            n_agreeing,
            n_rival: n_elsewhere,
        });
    }
    let overlap = enough_overlap(sizes, &transform)?;
    if !is_plausible(&transform, sizes.0, sizes.1) {
        return Err(nothing);
    }
    let deviations = sizes.1.corners().map(|corner| certainty.deviation(corner));
    let worst = deviations.into_iter().fold(0.0_f64, f64::max);
    let corner_px = worst * spread.max(LEAST_SPREAD);
    if corner_px.is_nan() || corner_px > MOST_CORNER_PX || n_cells(&agreeing, sizes.0) < LEAST_CELLS
    {
        let whole = position((corner_px + 1.0).min(1e6));
        return Err(Unframed::NotCertain {
            corner_px: u32::try_from(whole).unwrap_or(u32::MAX),
        });
    }
    Ok(Proposal {
        transform,
        n_agreeing,
        n_looked_at,
        overlap,
        corner_px,
    })
}

/// In how many parts of the first picture something agrees.
fn n_cells(agreeing: &[Pair], first: Size) -> usize {
    let (width, height) = (f64::from(first.width), f64::from(first.height));
    let mut cells: Vec<usize> = agreeing
        .iter()
        .map(|pair| cell(pair.first, width, height, N_CELLS))
        .collect();
    cells.sort_unstable();
    cells.dedup();
    cells.len()
}

/// Looks for each spot of the first plane in the second; the pairs that were found, and how many lie in the shared part.
fn look_closely(
    first: &Plane,
    second: &Plane,
    (spots, scale): (&[Point], f64),
    transform: &Transform,
    farthest: f64,
) -> (Vec<Pair>, usize) {
    let Some(back) = transform.inverse() else {
        return (Vec::new(), 0);
    };
    let margin = 14.0;
    let mut n_looked_at = 0;
    let mut pairs = Vec::new();
    for spot in spots {
        let spot = Point {
            x: spot.x * scale,
            y: spot.y * scale,
        };
        let is_shared = back.map(spot).is_some_and(|there| {
            there.x > margin
                && there.y > margin
                && there.x < real(second.width) - margin
                && there.y < real(second.height) - margin
        });
        if !is_shared {
            continue;
        }
        n_looked_at += 1;
        pairs.extend(found(first, second, &back, spot, farthest).map(|found| found.pair));
    }
    (pairs, n_looked_at)
}
