//! Laws of the photo scale: what a known plane shows is found again.

use proptest::prelude::*;

use super::*;

/// The map of a plane into a photograph, and so the other way round.
fn seen(h: &[f64; 8], (x, y): Point) -> Point {
    let weight = h[6] * x + h[7] * y + 1.0;
    (
        (h[0] * x + h[1] * y + h[2]) / weight,
        (h[3] * x + h[4] * y + h[5]) / weight,
    )
}

fn views() -> impl Strategy<Value = [f64; 8]> {
    (
        (0.5..6.0_f64, -0.4..0.4_f64, -500.0..900.0_f64),
        (-0.4..0.4_f64, 0.5..6.0_f64, -500.0..900.0_f64),
        (-8e-4..8e-4_f64, -8e-4..8e-4_f64),
    )
        .prop_map(|(a, b, c)| [a.0, a.1, a.2, b.0, b.1, b.2, c.0, c.1])
}

const CORNERS: [Point; 4] = [(0.0, 0.0), (297.0, 0.0), (297.0, 210.0), (0.0, 210.0)];

proptest! {
    #[test]
    fn law_a_square_that_is_seen_is_found_again(view in views(), x in 0.0..400.0_f64, y in 0.0..300.0_f64, extra in proptest::collection::vec((0.0..400.0_f64, 0.0..300.0_f64), 0..6)) {
        let known: Vec<Pair> = CORNERS
            .into_iter()
            .chain(extra)
            .map(|place| Pair { pixel: seen(&view, place), place })
            .collect();
        let square = [(x, y), (x + 100.0, y), (x + 100.0, y + 100.0), (x, y + 100.0)];
        let clicked = Clicked { known, sought: square.map(|place| seen(&view, place)).to_vec(), is_closed: true };
        // Seen so slantwise that three corners lie almost on a line, it is refused, and that is another law.
        prop_assume!(Plane::through(&clicked.known).is_ok());
        let found = measured(&clicked).unwrap();
        prop_assert!((found.area - 10_000.0).abs() < 1e-4, "{}", found.area);
        for length in &found.lengths {
            prop_assert!((length - 100.0).abs() < 1e-6, "{length}");
        }
        // Twice the error of a click is twice the error of the result.
        let (one, total, area) = spread(&clicked, 1.0).unwrap();
        let (two, total_two, area_two) = spread(&clicked, 2.0).unwrap();
        prop_assert!((2.0 * total - total_two).abs() < 1e-9 * total_two);
        prop_assert!((2.0 * area - area_two).abs() < 1e-9 * area_two);
        prop_assert!(one.iter().zip(&two).all(|(one, two)| *one > 0.0 && (2.0 * one - two).abs() < 1e-9 * two));
    }

    #[test]
    fn law_where_the_corners_begin_does_not_matter(view in views(), turn in 0_usize..4) {
        let pairs = CORNERS.map(|place| Pair { pixel: seen(&view, place), place });
        let mut turned = pairs;
        turned.rotate_left(turn);
        let at = seen(&view, (120.0, 70.0));
        let (one, other) = match (Plane::through(&pairs), Plane::through(&turned)) {
            (Ok(one), Ok(other)) => (one, other),
            (one, other) => {
                prop_assert!(one.is_err() && other.is_err(), "refused from one corner alone");
                return Ok(());
            }
        };
        let (a, b) = (one.place(at).unwrap(), other.place(at).unwrap());
        prop_assert!((a.0 - b.0).abs() < 1e-8 && (a.1 - b.1).abs() < 1e-8);
    }
}

#[test]
fn corners_out_of_turn_and_points_beyond_the_horizon_are_refused() {
    // A regular bow tie has its horizon in its middle, another one beside it.
    for (last, words) in [
        ((0.0, 150.0), "determine no plane"),
        ((0.0, 110.0), "not in turn"),
    ] {
        let pixels = [(0.0, 0.0), (200.0, 150.0), (200.0, 0.0), last];
        let pairs: Vec<Pair> = pixels
            .into_iter()
            .zip(CORNERS)
            .map(|(pixel, place)| Pair { pixel, place })
            .collect();
        let told = Plane::through(&pairs).unwrap_err().to_string();
        assert!(
            told.contains(words) && told.contains("in turn round an area"),
            "{told}"
        );
    }
    // A deck that runs away from the camera: above its horizon there is nothing of it.
    let view = [1.0, 0.5, 300.0, 0.0, -0.2, 600.0, 0.0, 1e-3];
    let pairs = CORNERS.map(|place| Pair {
        pixel: seen(&view, place),
        place,
    });
    let plane = Plane::through(&pairs).unwrap();
    assert!(plane.place((300.0, 500.0)).is_some());
    assert_eq!(plane.place((300.0, -1000.0)), None);
}
