//! Pairs in one frame: where a photograph says which spots it shares with the earlier one, both are printed as the part that
//! both show, the later laid over the earlier.

use std::collections::BTreeMap;

use garboard_photo::frame::Laid;
use garboard_record::Digest;

use crate::outline::{Block, Figure, Marked, Outline, Pair};
use crate::words;

/// The points of marks are parts of a thousand.
const THOUSAND: u32 = 1000;

/// Puts what is laid into one frame before the other sizes of each pair that has spots, and gives its bytes by their digests.
///
/// `picture` hands out the bytes of a rendition. A pair that cannot be laid stays as it is.
pub fn in_one_frame(
    outline: &mut Outline,
    mut picture: impl FnMut(Digest) -> Option<Vec<u8>>,
) -> BTreeMap<Digest, Vec<u8>> {
    let mut laid = BTreeMap::new();
    for section in &mut outline.sections {
        within(&mut section.blocks, &mut picture, &mut laid);
    }
    laid
}

fn within(
    blocks: &mut [Block],
    picture: &mut impl FnMut(Digest) -> Option<Vec<u8>>,
    laid: &mut BTreeMap<Digest, Vec<u8>>,
) {
    for block in blocks {
        match block {
            Block::Story(story) => within(&mut story.blocks, picture, laid),
            Block::Pair(pair) if !pair.same_spots.is_empty() => lay(pair, picture, laid),
            _ => {}
        }
    }
}

fn lay(
    pair: &mut Pair,
    picture: &mut impl FnMut(Digest) -> Option<Vec<u8>>,
    laid: &mut BTreeMap<Digest, Vec<u8>>,
) {
    if pair.before.instead.is_some() || pair.after.instead.is_some() {
        return;
    }
    let mut best = |figure: &Figure| figure.shown.iter().find_map(|digest| picture(*digest));
    let (Some(before), Some(after)) = (best(&pair.before), best(&pair.after)) else {
        return;
    };
    let Ok(made) = garboard_photo::frame::laid(&before, &after, &pair.same_spots) else {
        return;
    };
    let n_spots = pair.same_spots.len() / 4;
    let how = [
        " Shown is the part that the later picture shows too.".to_owned(),
        format!(" Laid over the earlier picture by {n_spots} spots that both show."),
    ];
    let n_of = |figure: &Figure| figure.marks.len();
    let n_marks = [n_of(&pair.before), n_of(&pair.after)];
    for (figure, is_later) in [(&mut pair.before, false), (&mut pair.after, true)] {
        figure.marks = figure
            .marks
            .iter()
            .filter_map(|mark| in_frame(&made, is_later, mark))
            .collect();
    }
    for (((figure, rendition), how), n_marks) in [&mut pair.before, &mut pair.after]
        .into_iter()
        .zip(made.pictures)
        .zip(how)
        .zip(n_marks)
    {
        let digest = Digest::of(&rendition.bytes);
        figure.shown.insert(0, digest);
        figure.sides = Some((rendition.width.into(), rendition.height.into()));
        figure.caption.push_str(&how);
        let n_outside = n_marks - figure.marks.len();
        if n_outside > 0 {
            figure.caption.push_str(&format!(
                " {} outside it.",
                words::capital(&words::count(n_outside, "mark lies", "marks lie"))
            ));
        }
        laid.insert(digest, rendition.bytes);
    }
    pair.is_laid = true;
}

/// A mark as it lies in the frame; none where a part of it lies outside.
fn in_frame(made: &Laid, is_later: bool, mark: &Marked) -> Option<Marked> {
    let (spots, _) = mark.points.as_chunks::<2>();
    let spots: Option<Vec<[u64; 2]>> = spots
        .iter()
        .map(|spot| made.spot(is_later, *spot, THOUSAND))
        .collect();
    Some(Marked {
        points: spots?.concat(),
        ..mark.clone()
    })
}

#[cfg(test)]
mod tests;
