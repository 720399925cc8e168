//! Grids against surfaces whose area is known, and their laws.

use std::f64::consts::PI;

use proptest::prelude::*;

use super::interpolate::{Between, Border, Method, Spot, Survey, Variogram, between};
use super::wet::Field;

/// A surface over −4 … 4 with its corners `h` apart.
fn over(h: f64, n: u32, value: impl Fn(f64, f64) -> f64) -> Field {
    let at = |idx: u32| -4.0 + f64::from(idx) * h;
    Field {
        n_columns: n as usize,
        step_x: h,
        step_y: h,
        values: (0..n)
            .flat_map(|row| (0..n).map(move |column| (column, row)))
            .map(|(column, row)| value(at(column), at(row)))
            .collect(),
    }
}

fn within(found: f64, expected: f64, off: f64) {
    assert!(
        (found - expected).abs() <= off,
        "{found} is not {expected} ± {off}"
    );
}

const FINER: [(f64, u32); 4] = [(1.0, 9), (0.5, 17), (0.25, 33), (0.1, 81)];

/// Cut cell by cell by hand; skimage and contourpy agree to 1e-6.
#[test]
fn a_bowl_and_a_cone_have_the_area_that_their_cells_give() {
    let bowl = [11.555556, 12.320000, 12.504380, 12.556294];
    let cone = [11.867106, 12.408219, 12.524994, 12.559783];
    for (((h, n), bowl), cone) in FINER.into_iter().zip(bowl).zip(cone) {
        let found = over(h, n, |x, y| 100.0 - 10.0 * (x * x + y * y))
            .wet(60.0)
            .wet;
        within(found, bowl, 1e-6);
        // Never more than the true area, and off by the square of the step.
        assert!(
            found <= 4.0 * PI && (4.0 * PI - found) / (4.0 * PI) <= 0.35 * (h / 2.0) * (h / 2.0)
        );
        let found = over(h, n, |x, y| {
            100.0 - 20.0 * crate::number::sqrt(x * x + y * y)
        })
        .wet(60.0)
        .wet;
        within(found, cone, 1e-6);
    }
}

/// A plane is cut exactly, where its line meets the survey's edge too.
#[test]
fn a_plane_is_cut_exactly() {
    let plane = Field {
        n_columns: 11,
        step_x: 1.0,
        step_y: 1.0,
        values: (0..11).flat_map(|_| (0..11).map(f64::from)).collect(),
    };
    within(plane.wet(4.0).wet, 60.0, 1e-12);
    within(plane.wet(3.3).wet, 67.0, 1e-12);
    within(plane.wet(3.3).dry, 33.0, 1e-12);
    let line = &plane.wet(3.3).contour;
    assert_eq!(line.len(), 1);
    assert_eq!(line[0].len(), 11);
    within(plane.wet(-1.0).wet, 100.0, 1e-12);
    within(plane.wet(11.0).wet, 0.0, 1e-12);
}

#[test]
fn what_was_not_measured_is_neither_wet_nor_dry() {
    let mut field = over(1.0, 9, |_, _| 50.0);
    field.values[4 * 9 + 4] = f64::NAN;
    let found = field.wet(40.0);
    within(found.unmeasured, 4.0, 1e-12);
    within(found.wet, 60.0, 1e-12);
    within(found.dry, 0.0, 1e-12);
}

#[test]
fn the_line_round_a_bowl_is_one_that_closes() {
    let found = over(0.25, 33, |x, y| 100.0 - 10.0 * (x * x + y * y)).wet(60.0);
    assert_eq!(found.contour.len(), 1);
    let line = &found.contour[0];
    assert_eq!(line.first(), line.last());
    within(super::wet::area(line), found.wet, 1e-9);
}

const FOUR: [Spot; 4] = [
    Spot {
        x: 0.0,
        y: 0.0,
        value: 10.0,
    },
    Spot {
        x: 1.0,
        y: 0.0,
        value: 20.0,
    },
    Spot {
        x: 0.0,
        y: 1.0,
        value: 30.0,
    },
    Spot {
        x: 1.0,
        y: 1.0,
        value: 40.0,
    },
];

/// Worked by hand; PyKrige agrees to 1e-6.
#[test]
fn values_between_four_readings() {
    let check = |method, at, value, variance: Option<f64>| {
        let Between {
            value: found,
            variance: off,
        } = between(&FOUR, at, method).unwrap();
        within(found, value, 1e-6);
        if let (Some(off), Some(variance)) = (off, variance) {
            within(off, variance, 1e-6);
        }
    };
    let (middle, quarter, edge) = ((0.5, 0.5), (0.25, 0.25), (0.5, 0.0));
    for (power, values) in [
        (2.0, [25.0, 16.176471, 18.333333]),
        (1.0, [25.0, 20.511187, 21.180340]),
    ] {
        for (at, value) in [middle, quarter, edge].into_iter().zip(values) {
            check(Method::InverseDistance(power), at, value, None);
        }
    }
    let exponential = Method::Kriging(Variogram::Exponential {
        sill: 100.0,
        range: 3.0,
    });
    check(exponential, middle, 25.0, Some(50.858152));
    check(exponential, quarter, 17.945517, Some(42.339042));
    check(exponential, edge, 17.611575, Some(45.797293));
    check(exponential, (0.0, 0.0), 10.0, Some(0.0));
    let spherical = Method::Kriging(Variogram::Spherical {
        sill: 100.0,
        range: 2.0,
    });
    check(spherical, middle, 25.0, Some(45.174513));
    check(spherical, quarter, 17.218750, Some(35.997015));
    check(spherical, edge, 16.311262, Some(38.682561));
    let linear = Method::Kriging(Variogram::Linear { slope: 10.0 });
    check(linear, middle, 25.0, Some(5.606602));
    check(linear, quarter, 17.5, Some(4.554544));
    check(linear, edge, 16.259680, Some(4.943898));
}

#[test]
fn nothing_is_interpolated_across_a_joint_or_far_from_a_reading() {
    let joint: Border = ((0.5, -1.0), (0.5, 2.0));
    let mut survey = Survey {
        spots: &FOUR,
        borders: &[joint],
        method: Method::InverseDistance(2.0),
        reach: 10.0,
    };
    let field = survey.field((0.25, 0.5), (2, 1), 0.5);
    within(field.values[0], 20.0, 1e-12);
    within(field.values[1], 30.0, 1e-12);
    survey.reach = 0.5;
    assert!(survey.field((0.0, 0.5), (1, 1), 1.0).values[0].is_finite());
    assert!(survey.field((3.0, 3.0), (1, 1), 1.0).values[0].is_nan());
}

fn spots(n: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Spot>> {
    prop::collection::vec(
        (0..400_i32, 0..300_i32, 0..400_i32).prop_map(|(x, y, value)| Spot {
            x: f64::from(x) / 10.0,
            y: f64::from(y) / 10.0,
            value: f64::from(value) / 10.0,
        }),
        n,
    )
}

proptest! {
    #[test]
    fn law_wet_dry_and_unmeasured_make_up_the_survey_and_wet_shrinks_as_the_threshold_rises(
        values in prop::collection::vec(prop_oneof![5 => (0..60_i32).prop_map(f64::from), 1 => Just(f64::NAN)], 12..80),
        columns in 2..8_usize,
    ) {
        let rows = values.len() / columns;
        let field = Field { n_columns: columns, step_x: 2.0, step_y: 0.5, values: values[..rows * columns].to_vec() };
        let cells = f64::from(u32::try_from((columns - 1) * rows.saturating_sub(1)).unwrap());
        let mut before = f64::INFINITY;
        for threshold in [-1.0, 10.0, 20.5, 30.0, 61.0] {
            let found = field.wet(threshold);
            prop_assert!((found.wet + found.dry + found.unmeasured - cells).abs() < 1e-9);
            prop_assert!(found.wet <= before + 1e-9);
            before = found.wet;
        }
    }

    #[test]
    fn law_inverse_distances_never_go_beyond_the_readings_and_meet_them(spots in spots(1..150)) {
        let survey = Survey { spots: &spots, borders: &[], method: Method::InverseDistance(2.0), reach: 1e6 };
        let low = spots.iter().map(|spot| spot.value).fold(f64::INFINITY, f64::min);
        let high = spots.iter().map(|spot| spot.value).fold(f64::NEG_INFINITY, f64::max);
        let field = survey.field((-5.0, -5.0), (12, 9), 5.0);
        for value in field.values {
            prop_assert!(value >= low - 1e-9 && value <= high + 1e-9);
        }
    }

    #[test]
    fn law_the_nearest_are_those_that_looking_at_all_finds(spots in spots(1..200), x in -20..60_i32, y in -20..50_i32) {
        let at = (f64::from(x), f64::from(y));
        let survey = Survey { spots: &spots, borders: &[], method: Method::InverseDistance(2.0), reach: 1e6 };
        let found = survey.field(at, (1, 1), 1.0).values[0];
        let mut all = super::interpolate::tests_only_without_repeats(&spots);
        all.sort_by(|one, other| {
            let far = |spot: &Spot| (spot.x - at.0) * (spot.x - at.0) + (spot.y - at.1) * (spot.y - at.1);
            far(one).total_cmp(&far(other))
        });
        let far = |spot: &Spot| (spot.x - at.0) * (spot.x - at.0) + (spot.y - at.1) * (spot.y - at.1);
        let n = super::interpolate::NEAREST;
        // Where two are equally far, either may be the last.
        if all.len() > n && (far(&all[n - 1]) - far(&all[n])).abs() < 1e-9 {
            return Ok(());
        }
        all.truncate(n);
        let expected = between(&all, at, Method::InverseDistance(2.0)).unwrap().value;
        prop_assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }
}

#[test]
fn ten_thousand_readings_make_one_survey() {
    let spots: Vec<Spot> = (0..10_000_u32)
        .map(|n| {
            let (x, y) = (f64::from(n % 100), f64::from(n / 100));
            Spot {
                x: x + f64::from(n * 7919 % 97) / 200.0,
                y: y + f64::from(n * 104_729 % 89) / 200.0,
                value: f64::from(n * 31 % 40),
            }
        })
        .collect();
    let survey = Survey {
        spots: &spots,
        borders: &[],
        method: Method::InverseDistance(2.0),
        reach: 3.0,
    };
    let field = survey.field((0.0, 0.0), (100, 100), 1.0);
    let found = field.wet(20.0);
    within(found.wet + found.dry + found.unmeasured, 99.0 * 99.0, 1e-6);
}
