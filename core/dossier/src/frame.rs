//! Pairs in one frame: where a photograph says which spots it shares with the earlier one, both are printed as the part that
//! both show, the later laid over the earlier.

use std::collections::BTreeMap;

use garboard_record::Digest;

use crate::outline::{Block, Figure, Outline, Pair};

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
    for ((figure, rendition), how) in [&mut pair.before, &mut pair.after]
        .into_iter()
        .zip(made)
        .zip(how)
    {
        let digest = Digest::of(&rendition.bytes);
        figure.shown.insert(0, digest);
        figure.sides = Some((rendition.width.into(), rendition.height.into()));
        figure.caption.push_str(&how);
        // Their points are of the whole picture.
        figure.marks.clear();
        laid.insert(digest, rendition.bytes);
    }
    pair.is_laid = true;
}

#[cfg(test)]
mod tests;
