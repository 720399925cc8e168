//! Set points, crops and drawing, by hand-worked cases, by brute force and as laws.

use proptest::prelude::*;

use super::*;

fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

fn pair(first: (f64, f64), second: (f64, f64)) -> Pair {
    Pair {
        first: at(first.0, first.1),
        second: at(second.0, second.1),
    }
}

/// Four spots of the second picture, far apart, and where a transformation lays them.
fn laid(transform: &Transform, n: usize) -> Vec<Pair> {
    let spots = [
        at(100.0, 150.0),
        at(1900.0, 180.0),
        at(200.0, 1300.0),
        at(1800.0, 1400.0),
        at(1000.0, 700.0),
        at(600.0, 1100.0),
    ];
    spots
        .into_iter()
        .take(n)
        .map(|second| Pair {
            first: transform.map(second).unwrap(),
            second,
        })
        .collect()
}

#[test]
fn two_points_give_shift_turn_and_scale() {
    // Worked by hand: twice as large, a quarter turn with the clock, shifted: (x, y) becomes (10 - 2 y, 20 + 2 x).
    let fit = fit(&[
        pair((10.0, 20.0), (0.0, 0.0)),
        pair((10.0, 220.0), (100.0, 0.0)),
    ])
    .unwrap();
    assert_eq!(fit.model, Model::Similarity);
    let there = fit.transform.map(at(7.0, 30.0)).unwrap();
    assert!(there.distance(at(-50.0, 34.0)) < 1e-9, "{there:?}");
}

#[test]
fn three_points_give_a_slanted_plane() {
    // Worked by hand: (x, y) becomes (x + y / 2, 3 y).
    let pairs = [
        pair((0.0, 0.0), (0.0, 0.0)),
        pair((100.0, 0.0), (100.0, 0.0)),
        pair((50.0, 300.0), (0.0, 100.0)),
    ];
    let fit = fit(&pairs).unwrap();
    assert_eq!(fit.model, Model::Affine);
    let there = fit.transform.map(at(40.0, 60.0)).unwrap();
    assert!(there.distance(at(70.0, 180.0)) < 1e-9, "{there:?}");
}

#[test]
fn four_points_give_a_plane_seen_aslant() {
    // Worked by hand: the unit square's far edge seen half as long: x' = x / (1 + y), y' = 2 y / (1 + y), times 1000.
    let pairs = [
        pair((0.0, 0.0), (0.0, 0.0)),
        pair((1000.0, 0.0), (1000.0, 0.0)),
        pair((0.0, 1000.0), (0.0, 1000.0)),
        pair((500.0, 1000.0), (1000.0, 1000.0)),
    ];
    let fit = fit(&pairs).unwrap();
    assert_eq!(fit.model, Model::Homography);
    let there = fit.transform.map(at(500.0, 500.0)).unwrap();
    assert!(
        there.distance(at(1000.0 / 3.0, 2000.0 / 3.0)) < 1e-9,
        "{there:?}"
    );
}

#[test]
fn a_fifth_point_that_was_set_badly_is_seen_in_its_residual() {
    let mut pairs = laid(&Transform::NONE, 6);
    pairs[4].first.x += 8.0;
    let fit = fit(&pairs).unwrap();
    let worst = fit
        .residuals
        .iter()
        .copied()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1));
    assert_eq!(worst.unwrap().0, 4);
    let sum = |pairs: &[Pair], transform: &Transform| -> f64 {
        let all = pairs
            .iter()
            .map(|pair| transform.map(pair.second).unwrap().distance(pair.first));
        all.map(|off| off * off).sum()
    };
    // It is the best there is: a little of anything else is worse.
    let least = sum(&pairs, &fit.transform);
    for (row, column, step) in [(0, 0, 1e-5), (0, 2, 1e-2), (1, 1, 1e-5), (2, 0, 1e-8)] {
        for sign in [1.0, -1.0] {
            let mut rows = fit.transform.rows();
            rows[row][column] += sign * step;
            let other = Transform::from_rows(rows).unwrap();
            assert!(sum(&pairs, &other) > least, "{row} {column} {sign}");
        }
    }
}

#[test]
fn points_that_leave_the_transformation_open_are_refused_by_number() {
    let refused = |pairs: &[Pair]| fit(pairs).unwrap_err();
    let good = laid(&Transform::NONE, 4);
    assert_eq!(refused(&[]), Unframed::TooFewPairs { n: 0 });
    assert_eq!(refused(&good[..1]), Unframed::TooFewPairs { n: 1 });
    let many = vec![good[0]; 65];
    assert_eq!(refused(&many), Unframed::TooManyPairs { n: 65, most: 64 });

    let mut pairs = good.clone();
    pairs[2].second.y = f64::NAN;
    let side = Side::Second;
    assert_eq!(refused(&pairs), Unframed::NoPlace { pair: 3, side });

    let mut pairs = good.clone();
    pairs[3].first = at(pairs[1].first.x + 2.0, pairs[1].first.y);
    let (one, other, side) = (2, 4, Side::First);
    assert_eq!(refused(&pairs), Unframed::Coincident { one, other, side });
    assert_eq!(
        refused(&pairs).to_string(),
        "points 2 and 4 lie in the same spot of the first picture; move one of them far away"
    );

    let mut pairs = good.clone();
    pairs[2].second = at(1000.0, 166.0);
    let said = refused(&pairs).to_string();
    assert_eq!(
        said,
        "points 1, 2 and 3 lie on one line in the second picture; move one of them well away from that line"
    );

    // Five of which four lie on a line determine nothing, either.
    let on_a_line = [0.0, 400.0, 900.0, 1500.0].map(|x| pair((x, 100.0), (x, 100.0)));
    let mut pairs = on_a_line.to_vec();
    pairs.push(pair((700.0, 900.0), (700.0, 900.0)));
    let (pairs, side) = (refused(&pairs), Side::First);
    assert_eq!(
        pairs,
        Unframed::Collinear {
            pairs: vec![1, 2, 3, 4],
            side
        }
    );

    let mut pairs = good;
    (pairs[0].first, pairs[1].first) = (pairs[1].first, pairs[0].first);
    assert!(matches!(refused(&pairs), Unframed::Crossed { .. }));
}

#[test]
fn the_whole_of_equal_pictures_is_common() {
    let size = Size {
        width: 2048,
        height: 1536,
    };
    let whole = Crop {
        left: 0,
        top: 0,
        size,
    };
    assert_eq!(common(size, size, &Transform::NONE), Some(whole));
    // By way of set points, whose last digits are not exact.
    let fit = fit(&laid(&Transform::NONE, 4)).unwrap();
    assert_eq!(common(size, size, &fit.transform), Some(whole));
    let shifted = Transform::from_rows([[1.0, 0.0, 100.0], [0.0, 1.0, -36.0], [0.0, 0.0, 1.0]]);
    let size = Size {
        width: 1948,
        height: 1500,
    };
    assert_eq!(
        common(whole.size, whole.size, &shifted.unwrap()),
        Some(Crop {
            left: 100,
            top: 0,
            size
        })
    );
}

#[test]
fn nothing_is_common_to_pictures_that_lie_apart_or_mirrored() {
    let size = Size {
        width: 200,
        height: 100,
    };
    let apart = Transform::from_rows([[1.0, 0.0, 201.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
    assert_eq!(common(size, size, &apart.unwrap()), None);
    let mirrored = Transform::from_rows([[-1.0, 0.0, 200.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
    assert_eq!(common(size, size, &mirrored.unwrap()), None);
    let behind = Transform::from_rows([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, -0.02, 1.0]]);
    assert_eq!(common(size, size, &behind.unwrap()), None);
    let huge = Size {
        width: u32::MAX,
        height: u32::MAX,
    };
    assert_eq!(common(huge, size, &Transform::NONE), None);
}

fn coloured(size: Size) -> Picture {
    let n = size.width * size.height * 3;
    let pixels = (0..n).map(|k| u8::try_from(k * 37 % 251).unwrap());
    Picture::new(size, pixels.collect()).unwrap()
}

#[test]
fn a_picture_laid_where_it_is_is_itself_and_shifted_is_shifted() {
    let size = Size {
        width: 17,
        height: 11,
    };
    let picture = coloured(size);
    let whole = Crop {
        left: 0,
        top: 0,
        size,
    };
    assert_eq!(picture.laid(&Transform::NONE, whole), Some(picture.clone()));
    let shift =
        |x| Transform::from_rows([[1.0, 0.0, x], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]).unwrap();
    let by_two = picture.laid(&shift(2.0), whole).unwrap();
    assert_eq!(by_two.pixels()[2 * 3..17 * 3], picture.pixels()[..15 * 3]);
    // Half a pixel on is the mean of two neighbours, rounded half up.
    let by_half = picture.laid(&shift(0.5), whole).unwrap();
    let mean = (u16::from(picture.pixels()[0]) + u16::from(picture.pixels()[3])).div_ceil(2);
    assert_eq!(u16::from(by_half.pixels()[3]), mean);
    let crop = Crop {
        left: 3,
        top: 2,
        size: Size {
            width: 5,
            height: 4,
        },
    };
    let cut = picture.cropped(crop);
    assert_eq!(
        cut.pixels()[..15],
        picture.pixels()[(2 * 17 + 3) * 3..][..15]
    );
}

#[test]
fn pixels_that_do_not_fit_their_size_are_refused() {
    let size = Size {
        width: 3,
        height: 2,
    };
    assert!(Picture::new(size, vec![0; 18]).is_ok());
    let said = Picture::new(size, vec![0; 17]).unwrap_err().to_string();
    assert_eq!(said, "17 bytes are no picture of 3 × 2 pixels");
}

#[test]
fn pictures_too_small_or_blank_give_no_proposal() {
    let grey = |side: u32| {
        let size = Size {
            width: side,
            height: side,
        };
        Grey::of(size, std::iter::repeat(90))
    };
    let said = propose(&grey(800), &grey(150), 1).unwrap_err().to_string();
    assert_eq!(
        said,
        "the second picture is only 150 × 150 pixels; set the points by hand"
    );
    let n = 0;
    let side = Side::First;
    assert_eq!(
        propose(&grey(800), &grey(800), 1),
        Err(Unframed::TooPlain { side, n })
    );
}

fn homographies() -> impl Strategy<Value = Transform> {
    let linear = (0.6..1.6, -0.5..0.5, -0.5..0.5, 0.6..1.6);
    let rest = (-300.0..300.0, -300.0..300.0, -1e-4..1e-4, -1e-4..1e-4);
    (linear, rest).prop_map(|((a, b, d, e), (c, f, g, h))| {
        Transform::from_rows([[a, b, c], [d, e, f], [g, h, 1.0]]).unwrap()
    })
}

proptest! {
    #[test]
    fn law_four_set_points_are_met_and_give_the_same_plane(transform in homographies()) {
        let fit = fit(&laid(&transform, 4)).unwrap();
        prop_assert!(fit.residuals.iter().all(|off| *off < 1e-7), "{:?}", fit.residuals);
        for second in [at(0.0, 0.0), at(2048.0, 0.0), at(2048.0, 1536.0), at(0.0, 1536.0)] {
            let (meant, found) = (transform.map(second).unwrap(), fit.transform.map(second).unwrap());
            prop_assert!(meant.distance(found) < 1e-6, "{meant:?} {found:?}");
        }
    }

    #[test]
    fn law_the_way_back_leads_back(transform in homographies(), x in 0.0..2048.0, y in 0.0..1536.0) {
        let there = transform.map(at(x, y)).unwrap();
        let back = transform.inverse().unwrap().map(there).unwrap();
        prop_assert!(back.distance(at(x, y)) < 1e-7, "{back:?}");
        let none = transform.after(&transform.inverse().unwrap());
        prop_assert!(none.map(there).unwrap().distance(there) < 1e-7);
    }

    #[test]
    fn law_a_smaller_picture_lies_as_the_large_one_does(transform in homographies(), x in 0.0..2048.0, y in 0.0..1536.0) {
        let meant = transform.map(at(x, y)).unwrap();
        let found = transform.scaled(0.5, 0.25).unwrap().map(at(x / 4.0, y / 4.0)).unwrap();
        prop_assert!(found.distance(at(meant.x / 2.0, meant.y / 2.0)) < 1e-7);
    }

    #[test]
    fn law_the_common_part_is_the_largest_that_is_covered(
        (a, b, d, e) in (0.5..1.5, -0.6..0.6, -0.6..0.6, 0.5..1.5),
        (c, f, g, h) in (-8.0..8.0, -8.0..8.0, -0.01..0.01, -0.01..0.01),
    ) {
        // Below nought the picture is seen from behind, and nothing is common; near it, it lies on edge.
        let turn: f64 = a * (e - f * h) - b * (d - f * g) + c * (d * h - e * g);
        prop_assume!(turn.abs() > 0.02);
        let transform = Transform::from_rows([[a, b, c], [d, e, f], [g, h, 1.0]]).unwrap();
        let first = Size { width: 13, height: 11 };
        let second = Size { width: 12, height: 14 };
        let back = transform.inverse().unwrap();
        let covered = |x: u32, y: u32| back.map(at(f64::from(x) + 0.5, f64::from(y) + 0.5)).is_some_and(|p| {
            (0.499_999..=11.500_001).contains(&p.x) && (0.499_999..=13.500_001).contains(&p.y)
        });
        let mut most = 0;
        for left in 0..if turn > 0.0 { 13 } else { 0 } { for right in left..13 { for top in 0..11 { for bottom in top..11 {
            let area = (right - left + 1) * (bottom - top + 1);
            if area > most && (left..=right).all(|x| (top..=bottom).all(|y| covered(x, y))) {
                most = area;
            }
        } } } }
        let found = common(first, second, &transform).map_or(0, |crop| crop.size.width * crop.size.height);
        prop_assert_eq!(found, most);
    }

    #[test]
    fn law_any_points_are_fitted_or_refused(numbers in proptest::collection::vec(
        prop_oneof![any::<f64>(), -10.0..10.0, 0.0..3000.0], 0..40)) {
        let (quads, _) = numbers.as_chunks::<4>();
        let pairs: Vec<Pair> = quads.iter().map(|[a, b, c, d]| pair((*a, *b), (*c, *d))).collect();
        if let Ok(fit) = fit(&pairs) {
            prop_assert_eq!(fit.residuals.len(), pairs.len());
            prop_assert!(fit.residuals.iter().all(|off| off.is_finite()));
        }
    }
}
