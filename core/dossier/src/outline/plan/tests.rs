//! The plan against places worked by hand.

use serde_json::json;

use super::super::tests::Log;
use super::*;
use crate::outline::{Options, Section, outline};
use garboard_record::{Digest, Draft, Kind};

fn boat_section(log: &Log) -> Section {
    let all = outline(&log.snapshot(), &Options::default());
    all.sections
        .into_iter()
        .find(|section| section.key == "boat")
        .unwrap()
}

fn boat(log: &mut Log, fields: &[(&str, serde_json::Value)]) {
    let snapshot = log.snapshot();
    let (entry, _) = snapshot.boat().unwrap();
    for (field, value) in fields {
        log.put(&Draft::amendment(entry, field, value.clone(), None).unwrap());
    }
}

#[test]
fn findings_lie_on_the_place_around_them_and_cover_nothing() {
    let mut log = Log::new("Dunlin");
    boat(
        &mut log,
        &[("length_overall", json!("10 m")), ("beam", json!("3 m"))],
    );
    let deck = log.say(
        Kind::Place,
        json!({ "name": "Deck", "along": "2.5 m", "across": "1 m", "side": "port" }),
    );
    let hatch = log.say(Kind::Place, json!({ "name": "hatch", "parent": deck }));
    let nowhere = log.say(Kind::Place, json!({ "name": "Below" }));
    for place in [deck, hatch, nowhere] {
        log.say(
            Kind::Finding,
            json!({ "title": "Soft", "observed": "Soft.", "place": place }),
        );
    }
    let section = boat_section(&log);
    let drawn = section.blocks.iter().find_map(|block| match block {
        Block::Drawing(drawing) => Some(drawing),
        _ => None,
    });
    let pins: Vec<(At, usize, bool)> = drawn
        .unwrap()
        .pieces
        .iter()
        .filter_map(|piece| match piece {
            Piece::Pin {
                at,
                number,
                is_open,
            } => Some((*at, *number, *is_open)),
            _ => None,
        })
        .collect();
    // A quarter of 3080 from the stem at 160; the middle at 160 + 462, and a tenth of 3080 to port, which is down.
    let first = (160 + 770, 622 + 308);
    assert_eq!(pins[0], (first, 1, true));
    assert_eq!(pins.len(), 2);
    let ((x, y), number, _) = pins[1];
    assert_eq!(number, 2);
    assert_eq!((x - first.0).abs().max((y - first.1).abs()), APART);
    let Some(Block::List(list)) = section
        .blocks
        .iter()
        .find(|block| matches!(block, Block::List(_)))
    else {
        panic!("{section:?}");
    };
    assert_eq!(list.len(), 3);
    assert!(
        list[2].text.ends_with("its place was not put on a plan)"),
        "{list:?}"
    );
}

#[test]
fn the_owners_own_picture_bears_the_numbers() {
    let mut log = Log::new("Dunlin");
    let sketch = log.say(Kind::Photograph, json!({ "digest": Digest::of(b"sketch") }));
    let place = log.say(Kind::Place, json!({ "name": "Deck" }));
    log.say(
        Kind::Mark,
        json!({ "photograph": sketch, "shape": "number", "points": [300, 400], "words": "1", "shows": place }),
    );
    boat(&mut log, &[("plan", json!(sketch))]);
    log.say(
        Kind::Finding,
        json!({ "title": "Soft", "observed": "Soft.", "place": place }),
    );
    let section = boat_section(&log);
    let figure = section.blocks.iter().find_map(|block| match block {
        Block::Figures(figures) => figures.first(),
        _ => None,
    });
    let marks = &figure.unwrap().marks;
    assert_eq!(marks.len(), 1);
    assert_eq!(
        (marks[0].points.as_slice(), marks[0].words.as_str()),
        ([300, 400].as_slice(), "1")
    );
}

#[test]
fn without_findings_or_measures_nothing_is_drawn() {
    let mut log = Log::new("Dunlin");
    assert!(
        !boat_section(&log)
            .blocks
            .contains(&Block::Heading("Where the findings lie".to_owned()))
    );
    log.say(
        Kind::Finding,
        json!({ "title": "Soft", "observed": "Soft." }),
    );
    let blocks = boat_section(&log).blocks;
    assert!(blocks.contains(&Block::Heading("Where the findings lie".to_owned())));
    assert!(
        !blocks
            .iter()
            .any(|block| matches!(block, Block::Drawing(_)))
    );
}
