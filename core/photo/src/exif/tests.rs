//! Times, zones and positions as cameras write them.

use super::*;

#[test]
fn a_time_of_the_calendar_becomes_iso() {
    assert_eq!(
        iso_from_exif("2026:05:09 14:22:00").as_deref(),
        Some("2026-05-09T14:22:00")
    );
    assert_eq!(
        iso_from_exif("2024:02:29 00:00:59").as_deref(),
        Some("2024-02-29T00:00:59")
    );
    assert_eq!(
        iso_from_exif("1899/12/31 23:59:59").as_deref(),
        Some("1899-12-31T23:59:59")
    );
}

#[test]
fn what_is_no_time_is_none() {
    for written in [
        "0000:00:00 00:00:00",
        "    :  :     :  :  ",
        "2026:02:29 12:00:00",
        "2026:13:01 12:00:00",
        "2026:05:09 24:00:00",
        "2026:05:09",
        "2026:05:0914:22:00x",
        "2026:05:09 14:22:0é",
        "",
    ] {
        assert_eq!(iso_from_exif(written), None, "{written:?}");
    }
}

#[test]
fn only_offsets_of_the_world_are_taken() {
    assert_eq!(offset_from_exif("+02:00").as_deref(), Some("+02:00"));
    assert_eq!(offset_from_exif("-03:30").as_deref(), Some("-03:30"));
    assert_eq!(offset_from_exif("+14:00").as_deref(), Some("+14:00"));
    assert_eq!(offset_from_exif("Z").as_deref(), Some("+00:00"));
    for written in [
        "+15:00", "-13:00", "02:00", "+2:00", "+02:60", "   :  ", "+0200",
    ] {
        assert_eq!(offset_from_exif(written), None, "{written:?}");
    }
}

#[test]
fn degrees_come_out_as_decimals() {
    // 54° 19' 18.12" = 54 + 19/60 + 18.12/3600 = 54.3217 (worked by hand).
    let parts = [(54, 1, 1), (19, 1, 60), (1812, 100, 3600)];
    let sum: u128 = parts
        .iter()
        .map(|&(num, denom, share)| scaled(&Rational { num, denom }, share).unwrap())
        .sum();
    assert_eq!(decimal(sum, 7, false), "54.3217");
    assert_eq!(decimal(sum, 7, true), "-54.3217");
    assert_eq!(decimal(0, 7, true), "0");
    assert_eq!(decimal(ONE / 3, 7, false), "0.3333333");
    assert_eq!(decimal(ONE * 2 / 3, 2, false), "0.67");
}

#[test]
fn the_largest_rationals_do_not_overflow() {
    let most = Rational {
        num: u32::MAX,
        denom: 1,
    };
    assert_eq!(scaled(&most, 1), Some(u128::from(u32::MAX) * ONE));
    assert_eq!(scaled(&Rational { num: 1, denom: 0 }, 1), None);
    assert_eq!(scaled(&Rational { num: 0, denom: 0 }, 60), Some(0));
}
