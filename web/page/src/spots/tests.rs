//! Spots as fingers and keys set them.

use super::{Side, Spots};

fn two() -> Spots {
    Spots::of(&[1000, 1000, 1500, 1200, 9000, 8000, 9500, 8200])
}

fn touch(spots: &mut Spots, side: Side, at: (u32, u32)) {
    spots.press(side, at);
    spots.lift();
}

#[test]
fn what_is_kept_reads_back() {
    let kept = two().kept();
    assert_eq!(Spots::of(&kept).kept(), kept);
    assert!(two().are_enough());
}

#[test]
fn a_spot_is_set_in_one_picture_and_then_in_the_other() {
    let mut spots = Spots::default();
    touch(&mut spots, Side::Later, (2000, 2000));
    assert!(
        spots.next().contains("spot 1 in the earlier"),
        "{}",
        spots.next()
    );
    // Elsewhere in the same picture it only moves.
    touch(&mut spots, Side::Later, (6000, 6000));
    assert_eq!(spots.on(Side::Later), [(6000, 6000)]);
    touch(&mut spots, Side::Earlier, (5000, 5500));
    assert_eq!(spots.kept(), [5000, 5500, 6000, 6000]);
    assert!(!spots.are_enough());
}

#[test]
fn a_finger_near_a_spot_takes_hold_of_it_and_moves_it() {
    let mut spots = two();
    spots.press(Side::Earlier, (9200, 8100));
    spots.draw(Side::Earlier, (8000, 7000));
    spots.lift();
    // Lifted, it moves nothing.
    spots.draw(Side::Earlier, (0, 0));
    assert_eq!(spots.on(Side::Earlier), [(1000, 1000), (8000, 7000)]);
    assert_eq!(spots.held, Some((Side::Earlier, 1)));
}

#[test]
fn a_fifth_spot_is_not_set() {
    let mut spots = Spots::of(&[
        0, 0, 0, 0, 9999, 0, 9999, 0, 9999, 9999, 9999, 9999, 0, 9999, 0, 9999,
    ]);
    touch(&mut spots, Side::Earlier, (5000, 5000));
    spots.enter(Side::Later);
    assert_eq!(spots.len(), 4);
}

#[test]
fn keys_set_move_and_take_away() {
    let mut spots = Spots::default();
    spots.enter(Side::Earlier);
    spots.nudge(-20, 30);
    assert_eq!(spots.on(Side::Earlier), [(4980, 5030)]);
    spots.nudge(-9999, 9999);
    assert_eq!(spots.on(Side::Earlier), [(0, 10_000)]);
    // Until the other picture has it too, Enter takes hold of it again.
    spots.enter(Side::Earlier);
    assert_eq!(spots.held, Some((Side::Earlier, 0)));
    spots.enter(Side::Later);
    spots.take_away();
    assert_eq!((spots.len(), spots.held), (0, None));
}
