//! Marks as a hand draws and moves them.

use garboard_protocol::MarkView;

use super::{Bench, Drawn, Point, Tool, next_number, pairs, shifted, simplified, under, written};

fn mark(entry: &str, shape: &str, points: &[u32]) -> MarkView {
    MarkView {
        entry: entry.to_owned(),
        shape: shape.to_owned(),
        points: points.to_vec(),
        ..MarkView::default()
    }
}

fn with(tool: Tool) -> Bench {
    let mut bench = Bench::default();
    bench.take(Some(tool));
    bench
}

fn touch(bench: &mut Bench, at: Point, marks: &[MarkView]) -> Option<Drawn> {
    bench.press(at, marks);
    bench.lift(at, marks)
}

#[test]
fn an_arrow_is_drawn_in_one_stroke_or_by_two_touches() {
    let mut bench = with(Tool::Arrow);
    bench.press((100, 100), &[]);
    bench.draw((200, 150), &[]);
    let arrow = Some(Drawn::New(Tool::Arrow, vec![(100, 100), (300, 200)]));
    assert_eq!(bench.lift((300, 200), &[]), arrow);
    assert!(bench.points.is_empty());

    assert_eq!(touch(&mut bench, (100, 100), &[]), None);
    assert_eq!(touch(&mut bench, (300, 200), &[]), arrow);
}

#[test]
fn an_outline_is_drawn_freehand_or_corner_by_corner() {
    let mut bench = with(Tool::Outline);
    bench.press((100, 100), &[]);
    for at in [(200, 101), (300, 100), (299, 200), (300, 300), (200, 300)] {
        bench.draw(at, &[]);
    }
    let Some(Drawn::New(Tool::Outline, points)) = bench.lift((100, 300), &[]) else {
        panic!("no outline")
    };
    assert_eq!(points, [(100, 100), (300, 100), (300, 300), (100, 300)]);

    for at in [(10, 10), (500, 10), (500, 500)] {
        assert_eq!(touch(&mut bench, at, &[]), None);
    }
    let closed = bench.close();
    assert_eq!(
        closed,
        Some(Drawn::New(
            Tool::Outline,
            vec![(10, 10), (500, 10), (500, 500)]
        ))
    );
    assert_eq!(bench.close(), None);
}

#[test]
fn a_mark_is_moved_whole_by_its_point_and_by_a_touch() {
    let marks = [mark("a", "arrow", &[100, 100, 300, 300])];
    let mut bench = Bench::default();
    // On the shaft, away from both ends: all of it is held.
    bench.press((200, 200), &marks);
    bench.draw((250, 200), &marks);
    assert_eq!(
        bench.lift((250, 200), &marks),
        Some(Drawn::Moved("a".to_owned(), vec![(150, 100), (350, 300)]))
    );
    // The chosen mark's tip.
    bench.press((300, 300), &marks);
    assert_eq!(
        bench.lift((400, 310), &marks),
        Some(Drawn::Moved("a".to_owned(), vec![(100, 100), (400, 310)]))
    );
    // The point stays chosen: a touch elsewhere puts it there, with no dragging.
    assert_eq!(
        touch(&mut bench, (800, 800), &marks),
        Some(Drawn::Moved("a".to_owned(), vec![(100, 100), (800, 800)]))
    );
}

#[test]
fn keys_move_a_mark_and_are_kept_or_left() {
    let marks = [mark("a", "line", &[0, 100, 300, 995])];
    let mut bench = Bench::default();
    assert!(!bench.nudge(5, 0, &marks));
    bench.choose(Some("a".to_owned()));
    assert!(bench.nudge(-5, 10, &marks));
    // The edge holds the whole mark, whose form stays.
    assert_eq!(bench.moved, Some(vec![(0, 105), (300, 1000)]));
    bench.back();
    assert_eq!(bench.moved, None);
    bench.part = Some(0);
    bench.nudge(50, 0, &marks);
    assert_eq!(
        bench.keep(),
        Some(Drawn::Moved("a".to_owned(), vec![(50, 100), (300, 995)]))
    );
}

#[test]
fn a_finger_that_the_browser_takes_away_draws_nothing() {
    let mut bench = with(Tool::Line);
    bench.press((1, 1), &[]);
    bench.draw((500, 500), &[]);
    bench.let_go();
    assert!(bench.points.is_empty());
    assert_eq!(bench.lift((600, 600), &[]), None);
}

#[test]
fn the_nearest_mark_lies_under_a_finger_and_struck_ones_do_not() {
    let outline = mark("o", "outline", &[100, 100, 300, 100, 300, 300, 100, 300]);
    let mut number = mark("n", "number", &[110, 200]);
    let marks = [outline.clone(), number.clone()];
    // The closing stretch of the outline runs along x = 100.
    assert_eq!(under(&marks, (95, 250)).map(|mark| &*mark.entry), Some("o"));
    assert_eq!(
        under(&marks, (112, 201)).map(|mark| &*mark.entry),
        Some("n")
    );
    number.is_struck = true;
    let marks = [outline, number];
    assert_eq!(
        under(&marks, (112, 201)).map(|mark| &*mark.entry),
        Some("o")
    );
    assert_eq!(under(&marks, (700, 700)), None);
}

#[test]
fn numbers_go_on_from_the_highest_even_when_it_is_struck() {
    let mut first = mark("a", "number", &[1, 1]);
    first.words = "3".to_owned();
    first.is_struck = true;
    assert_eq!(next_number(&[first, mark("b", "arrow", &[])]), 4);
    assert_eq!(next_number(&[]), 1);
}

#[test]
fn points_are_written_as_the_log_reads_them() {
    assert_eq!(written(&pairs(&[1, 2, 1000, 0, 7])), "[1,2,1000,0]");
}

proptest::proptest! {
    #[test]
    fn law_what_is_drawn_stays_on_the_picture(points in proptest::collection::vec((0_u32..=1000, 0_u32..=1000), 1..40), dx in -2000_i64..2000, dy in -2000_i64..2000) {
        let moved = shifted(&points, dx, dy);
        proptest::prop_assert!(moved.iter().all(|(x, y)| *x <= 1000 && *y <= 1000));
        let kept = simplified(&points);
        proptest::prop_assert!(kept.len() <= points.len() && kept.iter().all(|point| points.contains(point)));
        proptest::prop_assert_eq!(kept.first(), points.first());
    }
}
