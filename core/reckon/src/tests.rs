//! What holds for every reckoning.

use serde_json::Value;

use crate::input::{Input, Need, Shape};
use crate::outcome::{Answer, Answers};
use crate::source::Mark;
use crate::{ALL, Given, Reckoning, find, output};

fn inputs_of(reckoning: &Reckoning) -> Vec<Value> {
    reckoning
        .checks
        .iter()
        .map(|check| serde_json::from_str(check.inputs).unwrap())
        .collect()
}

#[test]
#[expect(clippy::print_stdout, reason = "tests/run shows how many agree")]
fn every_check_value_agrees() {
    let mut wrong = Vec::new();
    let mut counts = Mark::ALL.map(|mark| (mark, 0, 0));
    for reckoning in ALL {
        for check in reckoning.checks {
            let held = check.hold(reckoning);
            wrong.extend(held.wrong);
            for (mark, n_checked, n_agreeing) in &mut counts {
                if *mark == check.mark {
                    *n_checked += held.n_checked;
                    *n_agreeing += held.n_agreeing;
                }
            }
        }
    }
    for (mark, n_checked, n_agreeing) in counts {
        println!(
            "check values, {}: {n_checked} checked, {n_agreeing} agree",
            mark.shown()
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn names_are_sorted_single_and_plain() {
    let names: Vec<&str> = ALL.iter().map(|reckoning| reckoning.name).collect();
    assert!(names.is_sorted_by(|a, b| a < b), "{names:?}");
    for reckoning in ALL {
        let plain = |name: &str, joint: char| {
            name.chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == joint)
        };
        assert!(plain(reckoning.name, '-'), "{}", reckoning.name);
        check_inputs(reckoning.name, reckoning.inputs, &plain);
        check_results(reckoning.name, reckoning.results, &plain);
    }
}

fn check_inputs(of: &str, inputs: &'static [Input], plain: &dyn Fn(&str, char) -> bool) {
    for (at, input) in inputs.iter().enumerate() {
        assert!(plain(input.name, '_'), "{of}: {}", input.name);
        assert!(
            !inputs[..at].iter().any(|other| other.name == input.name),
            "{of}: {} twice",
            input.name
        );
        assert!(
            !input.label.is_empty() && !input.label.ends_with('.'),
            "{of}: {}",
            input.name
        );
        assert!(input.help.ends_with('.'), "{of}: {}", input.name);
        if let Shape::Amount { units, .. } = input.shape {
            for unit in units {
                assert!(
                    garboard_record::unit::Unit::of(unit).is_some(),
                    "{of}, {}: {unit}",
                    input.name
                );
            }
        }
        if let Shape::Rows { columns, .. } = input.shape {
            check_inputs(of, columns, plain);
        }
        if let Need::Default { value, from } = input.need {
            assert!(
                !value.is_empty() && !from.is_empty(),
                "{of}: {}",
                input.name
            );
            let alone: &'static [Input] = std::slice::from_ref(input);
            let given = Given::read(alone, &serde_json::json!({}));
            assert!(
                given.is_ok(),
                "{of}: the default of {}: {given:?}",
                input.name
            );
        }
    }
}

fn check_results(of: &str, results: &[output::Output], plain: &dyn Fn(&str, char) -> bool) {
    for (at, result) in results.iter().enumerate() {
        assert!(plain(result.name, '_'), "{of}: {}", result.name);
        assert!(
            !results[..at].iter().any(|other| other.name == result.name),
            "{of}: {} twice",
            result.name
        );
        match result.shape {
            output::Shape::Figure { unit, .. } if !unit.is_empty() => {
                assert!(
                    garboard_record::unit::Unit::of(unit).is_some(),
                    "{of}, {}: {unit}",
                    result.name
                );
            }
            output::Shape::Table(columns) => check_results(of, columns, plain),
            _ => {}
        }
    }
}

#[test]
fn each_has_check_values_sources_limits_and_a_caution() {
    for reckoning in ALL {
        let name = reckoning.name;
        assert!(!reckoning.checks.is_empty(), "{name}");
        assert!(!reckoning.sources.is_empty(), "{name}");
        assert!(!reckoning.limits.is_empty(), "{name}");
        assert!(!reckoning.cautions.is_empty(), "{name}");
        assert!(!reckoning.formula.trim().is_empty(), "{name}");
        assert!(reckoning.revision >= 1, "{name}");
        assert!(reckoning.purpose.ends_with('.'), "{name}");
        assert!(
            reckoning.limits.iter().all(|limit| limit.ends_with('.')),
            "{name}"
        );
        for source in reckoning.sources {
            assert!(
                source.mark != Mark::Published || !source.key.is_empty(),
                "{name}: {} has no page",
                source.citation
            );
        }
    }
}

#[test]
fn every_result_that_is_promised_is_there_and_every_answer_reads_back() {
    for reckoning in ALL {
        let mut seen: Vec<&str> = Vec::new();
        for inputs in inputs_of(reckoning) {
            let Ok(reckoned) = reckoning.run(&inputs) else {
                continue;
            };
            complete(reckoning.name, reckoning.results, &reckoned.outcome.answers);
            seen.extend(
                reckoned
                    .outcome
                    .answers
                    .iter()
                    .map(|(output, _)| output.name),
            );
            // What a log keeps gives the same again.
            let again = reckoning.run(&reckoned.given.json()).unwrap();
            assert_eq!(again.outcome, reckoned.outcome, "{}", reckoning.name);
        }
        for result in reckoning.results {
            assert!(
                seen.contains(&result.name),
                "{}: no check value's case answers {}",
                reckoning.name,
                result.name
            );
        }
    }
}

fn complete(of: &str, described: &[output::Output], answers: &Answers) {
    for result in described {
        let answer = answers.get(result.name);
        assert!(
            answer.is_some() || !result.always,
            "{of}: {} is missing",
            result.name
        );
        if let (Some(Answer::Table(rows)), output::Shape::Table(columns)) = (answer, result.shape) {
            for row in rows {
                complete(of, columns, row);
            }
        }
    }
}

#[test]
fn a_bad_input_is_named() {
    let run = |inputs: &str| {
        crate::scarf::SCARF
            .run(&serde_json::from_str(inputs).unwrap())
            .unwrap_err()
            .to_string()
    };
    let check = |inputs: &str, part: &str| {
        let told = run(inputs);
        assert!(told.contains(part), "{inputs}: {told}");
    };
    check("[]", "one JSON object");
    check("{}", "\"thickness\" is missing");
    check(
        r#"{"thickness": "12"}"#,
        "12 without a unit\"; allowed are mm, in, cm",
    );
    check(r#"{"thickness": 12}"#, "without a unit");
    check(r#"{"thickness": "12 kg"}"#, "wrong unit: found \"kg\"");
    check(
        r#"{"thickness": "0 mm"}"#,
        "out of range: found 0 mm; allowed is 0.2 to 500 mm",
    );
    check(r#"{"thickness": "thick"}"#, "cannot be read");
    check(
        r#"{"thickness": "12 mm", "slop": 8}"#,
        "there is no input \"slop\"",
    );
    check(
        r#"{"thickness": "12 mm", "material": "glass"}"#,
        "plywood, solid, laminate",
    );
    check(
        r#"{"thickness": "12 mm", "slope": "1e9"}"#,
        "cannot be read",
    );
}

#[test]
fn amounts_are_read_as_people_write_them() {
    let length = |thickness: &str| {
        let inputs = serde_json::json!({ "thickness": thickness, "slope": "8" });
        crate::scarf::SCARF
            .run(&inputs)
            .unwrap()
            .outcome
            .figure("length")
            .unwrap()
            .to_string()
    };
    assert_eq!(length("12,7 mm"), "101.6");
    assert_eq!(length("1/2 in"), "101.6");
    assert_eq!(length("0' 1/2\""), "101.6");
    assert_eq!(length("½ in"), "101.6");
    assert_eq!(length("1.27 cm"), "101.6");
}

#[test]
fn a_result_too_long_to_write_is_laid_to_the_input_that_is_farthest_out() {
    let inputs = serde_json::json!({
        "built": [{ "thickness": "0.05 mm", "modulus": "1 MPa", "width": "100 mm" }],
        "repaired": [{ "thickness": "900 mm", "modulus": "8000 MPa", "width": "100 mm" }],
    });
    let cause = find("layers").unwrap().run(&inputs).unwrap_err();
    assert_eq!(
        cause.to_string(),
        "\"built, row 1, thickness\" is impossible: \"ratio\" comes to 4.67e16, which cannot be written in 15 digits; this input is the farthest from usual sizes, so look here first"
    );
}
