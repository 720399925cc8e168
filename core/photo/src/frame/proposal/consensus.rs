//! The transformation on which most of the matches agree.

use super::super::fit::{homography, residual};
use super::super::number::real;
use super::super::{Pair, Point, Size, Transform, crop};

/// Numbers that look like chance and are the same for the same seed.
///
/// Source: Steele, Lea and Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014 (SplitMix64).
pub(super) struct Chance(pub(super) u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A position below `n`.
    fn below(&mut self, n: usize) -> usize {
        let n = u64::try_from(n).unwrap_or(1).max(1);
        usize::try_from(self.next() % n).unwrap_or(0)
    }
}

/// What most agree on.
pub(super) struct Consensus {
    pub(super) transform: Transform,
    /// The pairs that agree, in their order.
    pub(super) agreeing: Vec<Pair>,
}

/// How often four pairs are drawn, at the most.
const MOST_DRAWS: u32 = 12_000;

/// How sure one wants to be of having drawn four good pairs once: this chance of not having is left.
const LEFT: f64 = 1e-4;

/// Draws four pairs at a time and keeps the transformation with which most of all pairs agree within `reach` pixels.
///
/// Source: Fischler and Bolles, "Random Sample Consensus", CACM 24(6), 1981; the score that also counts how well they agree is Torr
/// and Zisserman's MSAC, CVIU 78(1), 2000; each new best is fitted to all that agree (Chum, Matas and Kittler, DAGM 2003).
pub(super) fn consensus(
    pairs: &[Pair],
    (first, second): (Size, Size),
    reach: f64,
    chance: &mut Chance,
) -> Option<Consensus> {
    if pairs.len() < 4 {
        return None;
    }
    let mut best: Option<(Transform, f64)> = None;
    let mut n_draws = 0;
    let mut needed = f64::from(MOST_DRAWS);
    while n_draws < MOST_DRAWS && f64::from(n_draws) < needed {
        n_draws += 1;
        let drawn = [0; 4].map(|_: i32| pairs.get(chance.below(pairs.len())).copied());
        let [Some(a), Some(b), Some(c), Some(d)] = drawn else {
            continue;
        };
        let drawn = [a, b, c, d];
        if !goes_round_alike(&drawn) {
            continue;
        }
        let Some(transform) = homography(&drawn) else {
            continue;
        };
        if !is_plausible(&transform, first, second) {
            continue;
        }
        let score = score(pairs, &transform, reach);
        if best.as_ref().is_some_and(|(_, most)| score <= *most) {
            continue;
        }
        let (transform, score) = polished(pairs, transform, score, (first, second), reach);
        best = Some((transform, score));
        needed = draws_for(agreeing(pairs, &transform, reach).len(), pairs.len());
    }
    let (transform, _) = best?;
    Some(Consensus {
        agreeing: agreeing(pairs, &transform, reach),
        transform,
    })
}

/// Fits to all that agree, as long as that makes more agree.
fn polished(
    pairs: &[Pair],
    mut transform: Transform,
    mut most: f64,
    (first, second): (Size, Size),
    reach: f64,
) -> (Transform, f64) {
    for _ in 0..4 {
        let with = agreeing(pairs, &transform, reach);
        if with.len() < 5 {
            break;
        }
        let Some(next) = homography(&with).filter(|next| is_plausible(next, first, second)) else {
            break;
        };
        let next_score = score(pairs, &next, reach);
        if next_score <= most {
            break;
        }
        (transform, most) = (next, next_score);
    }
    (transform, most)
}

/// How many draws it takes to have drawn four of the `n_good` among `n` once, but for the chance that is left.
fn draws_for(n_good: usize, n: usize) -> f64 {
    let share = real(n_good) / real(n);
    let four = share * share * share * share;
    // (1 - four)^draws <= LEFT, without a logarithm: by doubling, and then for certain more than enough.
    let (mut draws, mut miss) = (1.0, 1.0 - four);
    while miss > LEFT && draws < f64::from(MOST_DRAWS) {
        draws *= 2.0;
        miss *= miss;
    }
    draws
}

/// The pairs that a transformation lays within `reach` of each other.
pub(super) fn agreeing(pairs: &[Pair], transform: &Transform, reach: f64) -> Vec<Pair> {
    let agree = |pair: &&Pair| residual(transform, pair).is_some_and(|off| off < reach);
    pairs.iter().filter(agree).copied().collect()
}

/// How well all pairs agree: 1 for each that is met exactly, less with the square of the distance, 0 beyond the reach.
fn score(pairs: &[Pair], transform: &Transform, reach: f64) -> f64 {
    let each = pairs.iter().map(|pair| {
        let off = residual(transform, pair).unwrap_or(f64::INFINITY) / reach;
        (1.0 - off * off).max(0.0)
    });
    each.sum()
}

/// Whether each three of four pairs go round the same way in both pictures, and none three lie on a line.
fn goes_round_alike(drawn: &[Pair; 4]) -> bool {
    let [a, b, c, d] = drawn;
    [[a, b, c], [a, b, d], [a, c, d], [b, c, d]]
        .iter()
        .all(|three| {
            let first = area_of(three.map(|pair| pair.first));
            let second = area_of(three.map(|pair| pair.second));
            first.abs() > 100.0 && second.abs() > 100.0 && (first > 0.0) == (second > 0.0)
        })
}

fn area_of(three: [Point; 3]) -> f64 {
    crop::area(&three)
}

/// Whether one camera could have seen both: nothing seen from behind, nothing folded, no more than two and a half times as large or
/// small, and no corner opened or closed so far that the plane would be seen along its edge.
pub(super) fn is_plausible(transform: &Transform, first: Size, second: Size) -> bool {
    let laid: Option<Vec<Point>> = second
        .corners()
        .into_iter()
        .map(|corner| transform.map(corner))
        .collect();
    let Some(laid) = laid else {
        return false;
    };
    let [Some(a), Some(b), Some(c), Some(d)] = [0, 1, 2, 3].map(|k| laid.get(k).copied()) else {
        return false;
    };
    let whole = f64::from(second.width) * f64::from(second.height);
    // Each corner's own triangle would be half of the picture if it were only shifted and turned.
    let triangles = [[a, b, c], [b, c, d], [c, d, a], [d, a, b]].map(area_of);
    let least = triangles
        .iter()
        .fold(f64::INFINITY, |least, area| least.min(*area));
    let most = triangles.iter().fold(0.0_f64, |most, area| most.max(*area));
    let larger = crop::area(&laid) / whole;
    (0.16..=6.25).contains(&larger) && least > 0.25 * most && first.width.min(first.height) > 0
}
