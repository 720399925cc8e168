//! Where places lie on the plan.

use super::Built;
use crate::Index;
use crate::plan::{half_breadth, plan};

#[test]
fn places_lie_where_they_were_measured() {
    let mut built = Built::new();
    let boat = built.snapshot.boat().unwrap().0.id;
    built.amend(
        boat,
        "length_overall",
        serde_json::json!({"value":"30","unit":"ft"}),
    );
    built.amend(boat, "beam", serde_json::json!({"value":"3.00","unit":"m"}));
    let deck = built.say("place", r#"{"name":"Deck"}"#);
    let bay = built.say("place", &format!(r#"{{"name":"bay","parent":"{deck}","side":"port","along":{{"value":"3.40","unit":"m"}},"across":{{"value":"1.20","unit":"m"}}}}"#));
    let locker = built.say("place", r#"{"name":"locker","side":"starboard","along":{"value":"144","unit":"mm"},"datum":"transom"}"#);
    let struck = built.say("place", r#"{"name":"nothing"}"#);
    let strike = crate::Draft::strike(built.snapshot.entry(struck).unwrap(), "").unwrap();
    built.draft(&strike);
    let plan = plan(&built.snapshot, &Index::of(&built.snapshot));
    assert_eq!((plan.length_mm, plan.beam_mm), (Some(9144), Some(3000)));
    let pins: Vec<_> = plan
        .pins
        .iter()
        .map(|pin| {
            (
                pin.place,
                pin.number,
                pin.along_mm,
                pin.across_mm,
                pin.is_drawn_by_side,
            )
        })
        .collect();
    assert_eq!(
        pins,
        [
            (deck, 1, None, 0, false),
            (bay, 2, Some(3400), -1200, false),
            (locker, 3, Some(9000), 754, true),
        ]
    );
}

#[test]
fn a_picture_serves_as_the_plan_and_its_marks_as_pins() {
    let mut built = Built::new();
    let boat = built.snapshot.boat().unwrap().0.id;
    let place = built.say("place", r#"{"name":"Deck"}"#);
    let digest = "0".repeat(64);
    let sketch = built.say("photograph", &format!(r#"{{"digest":"{digest}"}}"#));
    let mark = built.say(
        "mark",
        &format!(
            r#"{{"photograph":"{sketch}","shape":"number","points":[500,250],"shows":"{place}"}}"#
        ),
    );
    built.say(
        "mark",
        &format!(
            r#"{{"photograph":"{sketch}","shape":"number","points":[1,1],"shows":"{place}"}}"#
        ),
    );
    let of = |built: &Built| plan(&built.snapshot, &Index::of(&built.snapshot));
    assert_eq!(
        (of(&built).picture, of(&built).pins[0].mark),
        (None, None),
        "no picture serves as the plan yet"
    );
    built.amend(boat, "plan", sketch.to_string().into());
    assert_eq!(
        (of(&built).picture, of(&built).pins[0].mark),
        (Some(sketch), Some(mark))
    );
    let strike = crate::Draft::strike(built.snapshot.entry(sketch).unwrap(), "").unwrap();
    built.draft(&strike);
    assert_eq!(of(&built).picture, None, "a struck picture serves nothing");
}

#[test]
fn the_outline_is_pointed_forward_and_never_wider_than_the_beam() {
    assert_eq!(
        [
            half_breadth(-5),
            half_breadth(0),
            half_breadth(500),
            half_breadth(1000)
        ],
        [0, 0, 1000, 700]
    );
    for along in 0..1000 {
        assert!((0..=1000).contains(&half_breadth(along)));
        assert!(
            (half_breadth(along + 1) >= half_breadth(along)) == (along < 500)
                || half_breadth(along + 1) == half_breadth(along)
        );
    }
}
