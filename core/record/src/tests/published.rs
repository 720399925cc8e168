//! Values that others published.

use serde_json::{Value, json};

use crate::{Decimal, Money, Quantity, When, canonical, hull};

/// RFC 8785, section 3.2.2: the example object and its canonical form.
#[test]
fn rfc_8785_example_of_literals_numbers_and_strings() {
    let input = r#"{
        "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
        "literals": [null, true, false]
    }"#;
    let value: Value = serde_json::from_str(input).unwrap();
    let expected = r#"{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}"#;
    assert_eq!(canonical::text(&value).unwrap(), expected);
    assert!(canonical::is_canonical(expected));
    assert!(!canonical::is_canonical(input));
}

/// RFC 8785, section 3.2.3: names are sorted by UTF-16 code units.
#[test]
fn rfc_8785_example_of_sorting() {
    let value = json!({
        "\u{20ac}": "Euro Sign", "\r": "Carriage Return", "\u{fb33}": "Hebrew Letter Dalet With Dagesh", "1": "One",
        "\u{1f600}": "Emoji: Grinning Face", "\u{80}": "Control", "\u{f6}": "Latin Small Letter O With Diaeresis"
    });
    let text = canonical::text(&value).unwrap();
    let order = [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O",
        "Euro Sign",
        "Emoji",
        "Hebrew",
    ];
    let at: Vec<usize> = order.iter().map(|word| text.find(word).unwrap()).collect();
    assert!(at.is_sorted(), "{text}");
}

/// RFC 8785, appendix B: IEEE 754 numbers and their text.
#[test]
fn rfc_8785_appendix_b_numbers() {
    let samples: [(u64, &str); 23] = [
        (0x0000_0000_0000_0000, "0"),
        (0x8000_0000_0000_0000, "0"),
        (0x0000_0000_0000_0001, "5e-324"),
        (0x8000_0000_0000_0001, "-5e-324"),
        (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
        (0xffef_ffff_ffff_ffff, "-1.7976931348623157e+308"),
        (0x4340_0000_0000_0000, "9007199254740992"),
        (0xc340_0000_0000_0000, "-9007199254740992"),
        (0x4430_0000_0000_0000, "295147905179352830000"),
        (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
        (0x44b5_2d02_c7e1_4af6, "1e+23"),
        (0x44b5_2d02_c7e1_4af7, "1.0000000000000001e+23"),
        (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
        (0x444b_1ae4_d6e2_ef4f, "999999999999999900000"),
        (0x444b_1ae4_d6e2_ef50, "1e+21"),
        (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
        (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
        (0x41b3_de43_5555_5553, "333333333.3333332"),
        (0x41b3_de43_5555_5554, "333333333.33333325"),
        (0x41b3_de43_5555_5555, "333333333.3333333"),
        (0x41b3_de43_5555_5556, "333333333.3333334"),
        (0x41b3_de43_5555_5557, "333333333.33333343"),
        (0xbecb_f647_612f_3696, "-0.0000033333333333333333"),
    ];
    for (bits, text) in samples {
        assert_eq!(
            canonical::text(&f64::from_bits(bits)).unwrap(),
            text,
            "{bits:016x}"
        );
    }
    assert_eq!(canonical::text(&f64::NAN), None);
}

/// RFC 3339, section 5.8: the examples, by the seconds since 1970 that they stand for (worked by hand).
#[test]
fn rfc_3339_examples_of_times() {
    let check = |text: &str, millis: i64| {
        assert_eq!(text.parse::<When>().unwrap().sort_key(), millis, "{text}");
    };
    check("1985-04-12T23:20:50.52Z", 482_196_050_520);
    check("1996-12-19T16:39:57-08:00", 851_042_397_000);
    check("1996-12-20T00:39:57Z", 851_042_397_000);
    check("1937-01-01T12:00:27.87+00:20", -1_041_337_172_130);
    assert!(
        "1990-12-31T23:59:60Z"
            .parse::<When>()
            .unwrap_err()
            .to_string()
            .contains("leap seconds")
    );
}

/// ISO 8601-1:2019: calendar dates, complete (5.2.2.1) and with reduced precision (5.2.2.2), with the standard's own day.
#[test]
fn iso_8601_dates_of_every_precision() {
    let order: Vec<i64> = [
        "1985",
        "1985-04",
        "1985-04-12",
        "1985-04-12T10:15",
        "1985-04-12T10:15:30",
    ]
    .iter()
    .map(|text| text.parse::<When>().unwrap().sort_key())
    .collect();
    assert!(order.is_sorted());
    for wrong in [
        "",
        "85-04-12",
        "1985-4-12",
        "1985-13-01",
        "1985-02-29",
        "1985-04-12 10:15",
        "1985-04-12T25:00Z",
        "0000-01-01",
        "12/04/1985",
        "１９８５",
        "1985-04-12T10:15:30+2",
        "19850412",
    ] {
        assert!(wrong.parse::<When>().is_err(), "{wrong}");
    }
    assert_eq!(
        "1834-05-09".parse::<When>().unwrap().as_str(),
        "1834-05-09",
        "before 1900 is a date like any other"
    );
}

/// NIST Special Publication 811 (2008), appendix B.8: factors that are exact by definition, set there in bold.
#[test]
fn nist_sp_811_exact_factors() {
    let same = |a: &str, b: &str| {
        let (a_amount, b_amount) = (
            Quantity::from_written(a, "").unwrap(),
            Quantity::from_written(b, "").unwrap(),
        );
        assert!(a_amount.equals(&b_amount), "{a} is {b}");
        assert!(b_amount.equals(&a_amount), "{b} is {a}");
    };
    same("1 in", "25.4 mm");
    same("1 ft", "0.3048 m");
    same("1 mil", "25.4 um");
    same("1 ft²", "0.09290304 m²");
    same("1 yd²", "0.83612736 m²");
    same("1 in²", "6.4516 cm²");
    same("1 lb", "0.45359237 kg");
    same("1 oz", "28.349523125 g");
    same("1 gal", "3.785411784 L");
    same("1 qt", "946.352946 ml");
    same("1 fl oz", "29.5735295625 ml");
    same("32 F", "0 C");
    same("212 F", "100 C");
    same("-40 F", "-40 C");
    same("0 C", "273.15 K");
    same("1 month", "1 month");
    same("2 years", "24 months");
    same("1/2 in", "12.7 mm");
    same("9 oz/ft2", "81 oz/yd2");
    same("1 in3", "16.387064 ml");
    same("1 ft3", "28.316846592 L");
    same("1 yd3", "0.764554857984 m3");
    same("1 gal imp", "4.54609 L");
    same("62.428 lb/ft3", "62.428 lb/ft³");
    same("1 lbf", "4.4482216152605 N");
    same("25.4 lbf/in", "4.4482216152605 N/mm");
    same("0.64516 psi", "4.4482216152605 kPa");
    same("9 lb/ft2", "1296 oz/yd²");
    same("1 g/ml", "1000 kg/m³");
}

/// The trade's areal masses: 17 oz/yd² is 576.398 g/m², 1.5 oz/ft² mat is 457.728 g/m² (by the factors above, to a thousandth).
#[test]
fn areal_masses_of_mat_and_cloth() {
    let shown = |text: &str| {
        Quantity::from_written(text, "")
            .unwrap()
            .converted("g/m2")
            .unwrap()
            .value
            .rounded(3)
            .to_string()
    };
    assert_eq!(shown("17 oz/yd2"), "576.398");
    assert_eq!(shown("1.5 oz/ft2"), "457.728");
    assert_eq!(shown("24 oz/yd2"), "813.738");
}

/// ISO 4217: the minor units of currencies; Council Regulation (EC) No 1103/97, article 5: halves are rounded up.
#[test]
fn money_is_rounded_to_its_minor_unit() {
    let check = |amount: &str, currency: &str, expected: &str| {
        assert_eq!(
            amount
                .parse::<Decimal>()
                .unwrap()
                .rounded(Money::places(currency))
                .to_string(),
            expected,
            "{amount} {currency}"
        );
    };
    check("1.005", "EUR", "1.01");
    check("1.0049", "EUR", "1.00");
    check("2.5", "JPY", "3");
    check("1.2345", "KWD", "1.235");
    check("7", "EUR", "7.00");
}

/// 33 CFR 181.25: twelve characters, manufacturer's code, serial number, month and year; ISO 10087 sets the country before.
/// The numbers are invented; the form is the published one.
#[test]
fn hull_identification_numbers() {
    for right in ["XX-ABC12345D404", "ABC12345D404", "XXABC00017L526"] {
        assert_eq!(hull::odd_form(right), None, "{right}");
    }
    for (wrong, why) in [
        ("GARBOARD 7", "14 characters"),
        ("XX-ABC12O45D404", "without I, O and Q"),
        ("XX-ABC12345M404", "letter from A"),
        ("1X-ABC12345D404", "country"),
        ("XX-abc12345D404", "builder's mark"),
        ("", "14 characters"),
    ] {
        assert!(
            hull::odd_form(wrong).is_some_and(|found| found.contains(why)),
            "{wrong}: {:?}",
            hull::odd_form(wrong)
        );
    }
}
