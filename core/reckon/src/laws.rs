//! What must hold for every reckoning over the whole range that it allows: nothing fails in another way than by naming an
//! input, the unit in which an amount is written makes no difference, and a default is what it says.
//!
//! Each law starts from the cases of the check values and changes one input at a time, cells of tables as well.

use proptest::prelude::{Strategy as _, any, proptest};
use serde_json::{Map, Value, json};

use garboard_record::{Decimal, Quantity};

use crate::input::{Input, Need, Shape};
use crate::{ALL, Answer, Reckoning, Unreckoned, number};

/// An input by its place: alone, or in a row of a table.
#[derive(Debug, Clone)]
struct Place {
    input: &'static Input,
    row: Option<(&'static str, usize)>,
}

/// Every input and every cell of the first two rows that these inputs have, or could have.
fn places(inputs: &'static [Input], given: &Value) -> Vec<Place> {
    let mut out = Vec::new();
    for input in inputs {
        match input.shape {
            Shape::Rows { columns, .. } => {
                let n_rows = given[input.name].as_array().map_or(0, Vec::len).min(2);
                for row in 0..n_rows {
                    out.extend(columns.iter().map(|column| Place {
                        input: column,
                        row: Some((input.name, row)),
                    }));
                }
            }
            _ => out.push(Place { input, row: None }),
        }
    }
    out
}

fn fields<'a>(given: &'a mut Value, place: &Place) -> &'a mut Map<String, Value> {
    match place.row {
        Some((table, row)) => given[table][row].as_object_mut().unwrap(),
        None => given.as_object_mut().unwrap(),
    }
}

fn with(given: &Value, place: &Place, value: Value) -> Value {
    let mut changed = given.clone();
    fields(&mut changed, place).insert(place.input.name.to_owned(), value);
    changed
}

/// The ends of an input's range, and what lies between at a share of the way.
fn at(input: &Input, share: f64) -> Option<Value> {
    let between = |from: &str, to: &str| {
        let (from, to): (f64, f64) = (from.parse().unwrap(), to.parse().unwrap());
        if share <= 0.0 {
            return from;
        }
        if share >= 1.0 {
            return to;
        }
        // Over many powers of ten, in equal steps of the power.
        if from > 0.0 && to / from > 100.0 {
            from * number::pow(to / from, share)
        } else {
            from + (to - from) * share
        }
    };
    let plain = |x: f64, from: &str, to: &str| -> String {
        if share <= 0.0 {
            from.to_owned()
        } else if share >= 1.0 {
            to.to_owned()
        } else {
            number::decimal_of("x", x, number::Rounding::Figures(6))
                .unwrap()
                .to_string()
        }
    };
    match input.shape {
        Shape::Amount { units, from, to } => {
            let value = plain(between(from, to), from, to);
            Some(json!({ "value": value, "unit": units[0] }))
        }
        Shape::Number { from, to } => Some(json!(plain(between(from, to), from, to))),
        Shape::Whole { from, to } => {
            let steps = (to - from).min(40);
            let step = i64::try_from(number::count_of(
                share * f64::from(i32::try_from(steps).unwrap()),
            ))
            .unwrap();
            Some(json!(if share >= 1.0 { to } else { from + step }))
        }
        _ => None,
    }
}

/// Runs, and says what is wrong with how it failed, where it did.
fn failed_badly(reckoning: &'static Reckoning, inputs: &Value) -> Option<String> {
    match reckoning.run(inputs) {
        Err(Unreckoned::Ours { what }) => Some(format!("{}: {what}: {inputs}", reckoning.name)),
        Err(Unreckoned::NotInputs { found }) => {
            Some(format!("{}: {found}: {inputs}", reckoning.name))
        }
        Err(cause) => {
            let named = cause.input();
            let known = reckoning.inputs.iter().any(|input| {
                named == input.name || named.starts_with(&format!("{}, row ", input.name))
            });
            (!known).then(|| format!("{}: names no input: {cause}: {inputs}", reckoning.name))
        }
        Ok(_) => None,
    }
}

fn cases() -> impl Iterator<Item = (&'static Reckoning, Value)> {
    ALL.iter().copied().flat_map(|reckoning| {
        reckoning.checks.iter().map(move |check| {
            (
                reckoning,
                serde_json::from_str::<Value>(check.inputs).unwrap(),
            )
        })
    })
}

#[test]
fn law_at_each_end_of_each_range_there_is_a_result_or_an_input_is_named() {
    let mut wrong = Vec::new();
    let mut n = 0;
    for (reckoning, given) in cases() {
        // Large tables are the matter of their own tests.
        if given.to_string().len() > 4000 {
            continue;
        }
        for place in places(reckoning.inputs, &given) {
            for share in [0.0, 1.0] {
                let Some(value) = at(place.input, share) else {
                    continue;
                };
                n += 1;
                wrong.extend(failed_badly(reckoning, &with(&given, &place, value)));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(
        wrong.is_empty(),
        "{} of {n}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(n > 1000, "{n}");
}

#[test]
fn law_the_unit_in_which_an_amount_is_written_makes_no_difference() {
    let mut wrong = Vec::new();
    let mut n = 0;
    for (reckoning, given) in cases() {
        let Ok(first) = reckoning.run(&given) else {
            continue;
        };
        if given.to_string().len() > 4000 {
            continue;
        }
        for place in places(reckoning.inputs, &given) {
            let Shape::Amount { units, .. } = place.input.shape else {
                continue;
            };
            let mut copy = given.clone();
            let Some(written) = fields(&mut copy, &place).get(place.input.name).cloned() else {
                continue;
            };
            let Some(amount) = as_quantity(&written, units) else {
                continue;
            };
            for unit in units {
                let Some(other) = amount.converted(unit) else {
                    wrong.push(format!("{}: {amount} not in {unit}", reckoning.name));
                    continue;
                };
                // Only what is the same amount exactly; a rounded one is another input.
                if other.unit == amount.unit
                    || !other.equals(&amount)
                    || other.value.to_string().parse::<Decimal>().is_err()
                {
                    continue;
                }
                n += 1;
                let changed = with(&given, &place, json!(other));
                match reckoning.run(&changed) {
                    Ok(second) => {
                        if let Some(off) = differ(&first.outcome.answers, &second.outcome.answers) {
                            wrong.push(format!("{}: {amount} as {other}: {off}", reckoning.name));
                        }
                    }
                    Err(cause) => {
                        wrong.push(format!("{}: {amount} as {other}: {cause}", reckoning.name));
                    }
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {n}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(n > 200, "{n}");
}

fn as_quantity(written: &Value, units: &[&str]) -> Option<Quantity> {
    match written {
        Value::String(text) => {
            Quantity::from_written(text, units.first().copied().unwrap_or("")).ok()
        }
        Value::Object(_) => serde_json::from_value(written.clone()).ok(),
        _ => None,
    }
}

/// The first result that differs by more than the last digit; drawings and words follow from the figures.
fn differ(a: &crate::outcome::Answers, b: &crate::outcome::Answers) -> Option<String> {
    for ((output, left), (_, right)) in a.iter().zip(b.iter()) {
        let same = match (left, right) {
            (Answer::Figure { value: x, .. }, Answer::Figure { value: y, .. }) => {
                let (x, y) = (number::of_decimal(*x), number::of_decimal(*y));
                let last = 1.0 / number::pow(10.0, places_of(left));
                (x - y).abs() <= last * 1.000_001 + x.abs() * 1e-9
            }
            (Answer::Table(x), Answer::Table(y)) => {
                x.len() == y.len() && x.iter().zip(y).all(|(x, y)| differ(x, y).is_none())
            }
            (Answer::Drawing(_), Answer::Drawing(_)) | (Answer::Words(_), Answer::Words(_)) => true,
            (left, right) => left == right,
        };
        if !same {
            return Some(format!(
                "{} is {} and {}",
                output.name,
                left.shown(),
                right.shown()
            ));
        }
    }
    None
}

fn places_of(answer: &Answer) -> f64 {
    match answer {
        Answer::Figure { value, .. } => {
            let text = value.to_string();
            number::of_count(text.split_once('.').map_or(0, |(_, places)| places.len()))
        }
        _ => 0.0,
    }
}

#[test]
fn law_a_default_that_is_written_out_changes_nothing() {
    for (reckoning, given) in cases() {
        let Ok(first) = reckoning.run(&given) else {
            continue;
        };
        for input in reckoning.inputs {
            let Need::Default { value, .. } = input.need else {
                continue;
            };
            if given.get(input.name).is_some() {
                continue;
            }
            let place = Place { input, row: None };
            let second = reckoning.run(&with(&given, &place, json!(value))).unwrap();
            assert_eq!(
                second.outcome, first.outcome,
                "{}: {}",
                reckoning.name, input.name
            );
        }
    }
}

#[test]
fn law_an_input_that_is_needed_is_named_when_it_is_missing() {
    for (reckoning, given) in cases() {
        if reckoning.run(&given).is_err() {
            continue;
        }
        for input in reckoning
            .inputs
            .iter()
            .filter(|input| input.need == Need::Required)
        {
            let mut less = given.clone();
            less.as_object_mut().unwrap().remove(input.name);
            let cause = reckoning.run(&less).unwrap_err();
            assert_eq!(cause.input(), input.name, "{}: {cause}", reckoning.name);
        }
    }
}

/// A result that never falls, or never rises, as an input rises: reckoning, result, input, whether it rises.
const MONOTONE: &[(&str, &str, &str, bool)] = &[
    ("coating", "litres", "area", true),
    ("coating", "litres", "dry", true),
    ("coating", "litres", "loss", true),
    ("coating", "litres", "solids", false),
    ("coating", "coats", "most", false),
    ("coating", "wet_each", "thinner", true),
    ("concrete", "mass", "volume", true),
    ("concrete", "mass", "density", true),
    ("concrete", "mass", "metal_share", true),
    ("concrete", "bags", "volume", true),
    ("dew-point", "dew_point", "air", true),
    ("dew-point", "dew_point", "humidity", true),
    ("dew-point", "margin", "surface", true),
    ("fastening-row", "count", "length", true),
    ("fastening-row", "count", "spacing", false),
    ("fastening-row", "count", "rows", true),
    ("laminate", "thickness", "weight", true),
    ("laminate", "thickness", "layers", true),
    ("laminate", "thickness", "share", false),
    ("laminate", "resin_total", "area", true),
    ("laminate", "resin_total", "waste", true),
    ("laminate", "thickness", "resin_density", false),
    ("overdrill", "each", "hole", true),
    ("overdrill", "each", "depth", true),
    ("overdrill", "all", "holes", true),
    ("pot-life", "pot_life", "temperature", false),
    ("pot-life", "pot_life", "pot_life", true),
    ("pot-life", "batch", "rate", true),
    ("resin-batch", "hardener", "batch", true),
    ("resin-batch", "hardener", "ratio", false),
    ("resin-batch", "hardener", "hardener_density", true),
    ("scarf", "length", "thickness", true),
    ("scarf", "length", "slope", true),
    ("scarf", "area_factor", "slope", true),
    ("scarf", "angle_to_surface", "slope", false),
    ("sister", "modulus_left", "lost", false),
    ("sister", "stiffness", "sister_width", true),
    ("sister", "sister_share", "sister_modulus", true),
    ("tank", "litres", "dip", true),
    ("thickened-mix", "yield", "per_hundred", true),
    ("thickened-mix", "yield", "resin", true),
    ("wood-in-air", "moisture", "humidity", true),
    ("wood-in-air", "humidity", "wanted", true),
    ("wood-screw", "allowed", "gauge", true),
    ("wood-screw", "allowed", "gravity", true),
    ("wood-screw", "allowed_all", "screws", true),
    ("wood-screw", "shank", "gauge", true),
];

#[test]
fn law_results_rise_or_fall_as_the_trade_says() {
    let mut wrong = Vec::new();
    for (name, result, input, rises) in MONOTONE {
        let reckoning = crate::find(name).unwrap();
        let mut n = 0;
        for check in reckoning.checks {
            let given: Value = serde_json::from_str(check.inputs).unwrap();
            for place in places(reckoning.inputs, &given) {
                if place.input.name != *input {
                    continue;
                }
                let mut last: Option<f64> = None;
                for step in 0..=40 {
                    // Closer together at the small end, where most ranges matter.
                    let way = f64::from(step) / 40.0;
                    let value = at(place.input, way * way * way).unwrap();
                    let Ok(reckoned) = reckoning.run(&with(&given, &place, value.clone())) else {
                        continue;
                    };
                    let Some(found) = reckoned.outcome.figure(result).map(number::of_decimal)
                    else {
                        continue;
                    };
                    if let Some(last) = last {
                        n += 1;
                        let back = if *rises { last - found } else { found - last };
                        if back > 1e-9 * found.abs() {
                            wrong.push(format!(
                                "{name}, {}: {result} is {last}, then {found} at {input} {value}",
                                check.case
                            ));
                        }
                    }
                    last = Some(found);
                }
            }
        }
        if n < 10 {
            wrong.push(format!(
                "{name}: {result} over {input} was compared {n} times only"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn figure(name: &str, inputs: &Value, result: &str) -> f64 {
    let reckoned = crate::find(name).unwrap().run(inputs).unwrap();
    number::of_decimal(reckoned.outcome.figure(result).unwrap())
}

#[test]
fn law_a_whole_takes_what_its_parts_take() {
    let near = |whole: f64, parts: f64, within: f64| {
        assert!((whole - parts).abs() <= within, "{whole} and {parts}");
    };
    for part in [0.3, 2.0, 5.25, 11.5] {
        let litres = |area: f64| {
            let inputs = json!({ "area": format!("{area} m2"), "dry": "250 um", "solids": "60 %" });
            figure("coating", &inputs, "litres")
        };
        near(litres(14.0), litres(part) + litres(14.0 - part), 0.0015);
        let resin = |area: f64| {
            let plies = json!([{ "reinforcement": "mat", "weight": "1.5 oz/ft2" }, { "reinforcement": "roving", "weight": "18 oz/yd2" }]);
            let inputs = json!({ "plies": plies, "area": format!("{area} m2") });
            figure("laminate", &inputs, "resin_total")
        };
        near(resin(14.0), resin(part) + resin(14.0 - part), 0.015);
    }
    // Three layers in a row of the table are three rows.
    let ply = json!({ "reinforcement": "cloth", "weight": "10 oz/yd2" });
    let mut three = ply.clone();
    three["layers"] = json!(3);
    for result in ["thickness", "resin", "mass", "fibre"] {
        near(
            figure("laminate", &json!({ "plies": [three] }), result),
            figure("laminate", &json!({ "plies": [ply, ply, ply] }), result),
            0.0,
        );
    }
    let fill = |holes: i64| {
        let inputs = json!({ "hole": "1/2 in", "depth": "1/2 in", "holes": holes });
        figure("overdrill", &inputs, "all")
    };
    near(fill(24), fill(7) + fill(17), 0.02);
}

proptest! {
    /// Several inputs moved at once anywhere in their ranges.
    #[test]
    fn law_anywhere_in_the_ranges_there_is_a_result_or_an_input_is_named(
        (which, moves) in (any::<u32>(), proptest::collection::vec((any::<u16>(), 0.0..1.0_f64), 1..6))
            .prop_map(|(which, moves)| (which, moves))
    ) {
        // One case of each reckoning a run; the cases take turns.
        for reckoning in ALL {
            let n = reckoning.checks.len();
            let check = &reckoning.checks[usize::try_from(which).unwrap() % n];
            let mut given: Value = serde_json::from_str(check.inputs).unwrap();
            if given.to_string().len() > 1500 || reckoning.begin.is_some() {
                continue;
            }
            let all = places(reckoning.inputs, &given);
            for (place, share) in &moves {
                let place = &all[usize::from(*place) % all.len()];
                if let Some(value) = at(place.input, *share) {
                    given = with(&given, place, value);
                }
            }
            if let Some(wrong) = failed_badly(reckoning, &given) {
                proptest::prop_assert!(false, "{}", wrong);
            }
        }
    }
}
