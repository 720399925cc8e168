//! A pair is printed in one frame where a hand set spots, and as it is where none can be laid.

use garboard_record::Kind;
use serde_json::json;

use super::*;
use crate::html;
use crate::outline::tests::Log;

/// The demonstration's drawings serve as photographs.
fn views() -> [Vec<u8>; 2] {
    let told = garboard_demo::told().unwrap();
    let mut large = told
        .rendered
        .into_iter()
        .filter(|one| one.bytes.len() > 20_000);
    [large.next().unwrap().bytes, large.next().unwrap().bytes]
}

fn paired(spots: &[u64], views: &[Vec<u8>; 2]) -> Outline {
    let mut log = Log::new("Dunlin");
    let place = log.say(Kind::Place, json!({ "name": "Deck" }));
    let mut fields = json!({ "digest": Digest::of(b"first"), "place": place, "stage": "found" });
    let first = log.say(Kind::Photograph, fields.clone());
    fields["digest"] = json!(Digest::of(b"second"));
    fields["answers"] = json!(first);
    if !spots.is_empty() {
        fields["same_spots"] = json!(spots);
    }
    let second = log.say(Kind::Photograph, fields);
    for (photograph, view) in [first, second].into_iter().zip(views) {
        log.say(
            Kind::Rendition,
            json!({ "photograph": photograph, "size": "view", "digest": Digest::of(view) }),
        );
    }
    log.outline()
}

fn pair(outline: &Outline) -> Option<&Pair> {
    fn first(blocks: &[Block]) -> Option<&Pair> {
        blocks.iter().find_map(|block| match block {
            Block::Story(story) => first(&story.blocks),
            Block::Pair(pair) => Some(pair.as_ref()),
            _ => None,
        })
    }
    outline
        .sections
        .iter()
        .find_map(|section| first(&section.blocks))
}

fn by_digest(views: &[Vec<u8>; 2]) -> impl Fn(Digest) -> Option<Vec<u8>> {
    move |digest| {
        views
            .iter()
            .find(|view| Digest::of(view) == digest)
            .cloned()
    }
}

/// The later picture lies a tenth to the right of the earlier and a tenth below it.
const SHIFTED: [u64; 8] = [3_000, 3_000, 2_000, 2_000, 8_000, 7_000, 7_000, 6_000];

#[test]
fn a_pair_with_spots_is_printed_in_one_frame_and_says_so() {
    let views = views();
    let mut outline = paired(&SHIFTED, &views);
    let laid = in_one_frame(&mut outline, by_digest(&views));
    let pair = pair(&outline).unwrap();
    let expected = garboard_photo::frame::laid(&views[0], &views[1], &SHIFTED).unwrap();
    for (figure, rendition) in [&pair.before, &pair.after]
        .into_iter()
        .zip(expected.pictures)
    {
        let digest = Digest::of(&rendition.bytes);
        assert_eq!(figure.shown.first(), Some(&digest));
        assert_eq!(laid.get(&digest), Some(&rendition.bytes));
        assert_eq!(
            figure.sides,
            Some((rendition.width.into(), rendition.height.into()))
        );
    }
    assert_eq!(pair.before.sides, pair.after.sides);
    let page = html(&outline, |digest| laid.get(&digest).cloned());
    assert_eq!(page.matches("data:image/jpeg;base64,").count(), 2);
    assert!(page.contains("by 2 spots that both show"));
}

#[test]
fn marks_lie_in_the_frame_where_they_lay_on_their_picture() {
    let views = views();
    let mut outline = paired(&SHIFTED, &views);
    let marked = |points: &[u64]| Marked {
        shape: garboard_record::word::MarkShape::Line,
        points: points.to_vec(),
        words: String::new(),
    };
    // The frame is what both show: the earlier picture from a tenth on.
    let set = |blocks: &mut [Block]| {
        fn within(blocks: &mut [Block], set: &dyn Fn(&mut Pair)) {
            for block in blocks {
                match block {
                    Block::Story(story) => within(&mut story.blocks, set),
                    Block::Pair(pair) => set(pair),
                    _ => {}
                }
            }
        }
        within(blocks, &|pair| {
            pair.before.marks = vec![marked(&[550, 550, 1000, 100]), marked(&[50, 500, 600, 600])];
            pair.after.marks = vec![marked(&[450, 450])];
        });
    };
    for section in &mut outline.sections {
        set(&mut section.blocks);
    }
    in_one_frame(&mut outline, by_digest(&views));
    let pair = pair(&outline).unwrap();
    let points = |figure: &Figure| -> Vec<Vec<u64>> {
        figure
            .marks
            .iter()
            .map(|mark| mark.points.clone())
            .collect()
    };
    let near = |found: &[u64], wanted: &[u64]| {
        found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| a.abs_diff(*b) <= 2)
    };
    let before = points(&pair.before);
    assert!(
        before.len() == 1 && near(&before[0], &[500, 500, 1000, 0]),
        "{before:?}"
    );
    assert!(pair.before.caption.contains("1 mark lies outside it."));
    let after = points(&pair.after);
    assert!(
        after.len() == 1 && near(&after[0], &[500, 500]),
        "{after:?}"
    );
}

#[test]
fn a_pair_that_cannot_be_laid_stays_as_it_is() {
    let views = views();
    let without = paired(&[], &views);
    let with = paired(&SHIFTED, &views);
    // Nobody set spots; the later picture is not here; it is no picture.
    for (outline, at_hand) in [
        (&without, views.clone()),
        (&with, [views[0].clone(), Vec::new()]),
    ] {
        let mut tried = outline.clone();
        assert!(in_one_frame(&mut tried, by_digest(&at_hand)).is_empty());
        assert_eq!(&tried, outline);
    }
    let mut tried = with.clone();
    assert!(in_one_frame(&mut tried, |_| Some(b"no picture".to_vec())).is_empty());
    assert_eq!(tried, with);
}
