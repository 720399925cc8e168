//! The marks drawn on a photograph.

use garboard_protocol::MarkView;
use garboard_record::{Body, Id};

use crate::sight::Sight;

/// The farthest that a point can lie: thousandths of the picture's width or height.
const FARTHEST: u64 = 1000;

/// The marks of a photograph in the order in which they were drawn, struck ones too.
#[must_use]
pub fn marks(sight: Sight<'_>, photograph: Id) -> Vec<MarkView> {
    sight
        .index
        .referring(photograph)
        .iter()
        .filter(|(_, field)| *field == "photograph")
        .filter_map(|(by, _)| sight.snapshot.entry(*by))
        .filter_map(|entry| {
            let Body::Mark(mark) = &entry.body else {
                return None;
            };
            // An odd point without its other half is left off; what lies outside is brought to the edge.
            let n_points = mark.points.len() / 2 * 2;
            let points = mark.points.iter().take(n_points);
            Some(MarkView {
                entry: entry.id.to_string(),
                shape: mark
                    .shape
                    .as_ref()
                    .map_or_else(String::new, |shape| shape.as_str().to_owned()),
                points: points
                    .map(|point| u32::try_from((*point).min(FARTHEST)).unwrap_or_default())
                    .collect(),
                words: mark.words.clone().unwrap_or_default(),
                sees: entry
                    .seen("points")
                    .iter()
                    .map(ToString::to_string)
                    .collect(),
                is_disputed: entry.disputes().next().is_some(),
                is_struck: entry.is_struck(),
            })
        })
        .collect()
}
