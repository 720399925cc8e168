//! Reckonings over their whole range against reference libraries: psychrolib, SciPy, sectionproperties, PyKrige, contourpy,
//! OpenCV; and their descriptions against a JSON Schema validator.

use std::io::Write as _;
use std::process::{Command, Stdio};

use garboard_reckon::find;
use serde_json::{Value, json};

use crate::tool::{python, root};

/// Works a reckoning out; refusals are left out.
fn worked(name: &str, inputs: &Value) -> Option<Value> {
    let reckoned = find(name).unwrap().run(inputs).ok()?;
    Some(json!({ "name": name, "inputs": inputs, "results": reckoned.outcome.answers.json() }))
}

fn amount(value: f64, unit: &str) -> Value {
    json!(format!("{value} {unit}"))
}

/// What a script answers to JSON.
fn asked(script: &str, question: &Value) -> Value {
    let mut reference = Command::new(python())
        .arg(root().join("tests/it").join(script))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let input = serde_json::to_vec(question).unwrap();
    reference.stdin.take().unwrap().write_all(&input).unwrap();
    let output = reference.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{script} failed; tests/run installs what it needs\n{said}"
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

/// What the references say to all of them: a line each for what is too far off, and how many were compared.
fn compared(cases: &[Value]) -> (usize, String) {
    let answer = asked("reckon.py", &cases.into());
    let off: Vec<&str> = answer["off"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let n = usize::try_from(answer["compared"].as_u64().unwrap()).unwrap();
    (n, off.join("\n"))
}

/// A number between 0 and 1 without chance: a fixed sequence.
fn spread(n: u32) -> f64 {
    f64::from(n.wrapping_mul(2_654_435_769) >> 8) / f64::from(1_u32 << 24)
}

/// Kriging at spots between scattered readings, and wet areas of readings on a grid.
fn surveys() -> Vec<Value> {
    let mut out = Vec::new();
    let reading = |along: f64, across: f64, value: f64| json!({ "along": amount(along, "m"), "across": amount(across, "m"), "value": format!("{value:.2}") });
    for seed in 0..8_u32 {
        let readings: Vec<Value> = (0..9 + seed * 3)
            .map(|n| {
                let [along, across, value] = [0, 1, 2].map(|k| spread(1000 * seed + 3 * n + k));
                reading(
                    (along * 8.0 * 1e3).round() / 1e3,
                    (across * 3.0 * 1e3).round() / 1e3,
                    8.0 + 30.0 * value,
                )
            })
            .collect();
        for method in ["exponential", "spherical", "linear"] {
            let mut inputs = json!({ "readings": readings, "threshold": "20", "method": method, "at_along": "3.1 m", "at_across": "1.3 m" });
            if method == "linear" {
                inputs["slope"] = json!("14");
            } else {
                inputs["sill"] = json!("80");
                inputs["range"] = json!("4 m");
            }
            out.extend(worked("survey-grid", &inputs));
        }
    }
    for seed in 0..8_u32 {
        let lean = f64::from(seed) / 3.0;
        let readings: Vec<Value> = (0..7 * 11)
            .map(|n| {
                let (along, across) = (f64::from(n % 11), f64::from(n / 11));
                let hill =
                    30.0 / (1.0 + ((along - 5.0 - lean).powi(2) + (across - 3.0).powi(2)) / 9.0);
                reading(along / 5.0, across / 5.0, hill + along * 0.3)
            })
            .collect();
        let threshold = format!("{:.1}", 14.35 + lean);
        let inputs = json!({ "readings": readings, "threshold": threshold, "cell": "200 mm", "reach": "300 mm" });
        out.extend(worked("survey-grid", &inputs));
    }
    assert_eq!(out.len(), 32, "some were refused");
    out
}

/// Points measured in photographs of a board that lies askew: with four known points, and with more that were clicked badly.
fn photographs() -> Vec<Value> {
    let mut out = Vec::new();
    for seed in 0..12_u32 {
        let n = if seed < 6 { 4 } else { 9 };
        let known: Vec<Value> = (0..n)
            .map(|k| {
                let (x, y) = match n {
                    4 => (f64::from(k % 2) * 400.0, f64::from(k / 2) * 300.0),
                    _ => (f64::from(k % 3) * 200.0, f64::from(k / 3) * 150.0),
                };
                let slip = |k: u32| (spread(500 * seed + k) - 0.5) * if n == 4 { 60.0 } else { 2.0 };
                let far = 1.0 + y / (900.0 + 40.0 * f64::from(seed));
                let right = 300.0 + (x * 2.1 + y * 0.2) / far + slip(2 * k);
                let down = 200.0 + (y * 1.9 + x * 0.1) / far + slip(2 * k + 1);
                json!({ "right": format!("{right:.1}"), "down": format!("{down:.1}"), "x": amount(x, "mm"), "y": amount(y, "mm") })
            })
            .collect();
        let sought: Vec<Value> = (0..5)
            .map(|k| {
                let [right, down] = [10, 11].map(|n| spread(700 * seed + 13 * k + n));
                json!({ "right": format!("{:.1}", 380.0 + right * 500.0), "down": format!("{:.1}", 260.0 + down * 250.0) })
            })
            .collect();
        out.extend(worked(
            "photo-scale",
            &json!({ "known": known, "sought": sought }),
        ));
    }
    out
}

#[test]
fn reckonings_agree_with_reference_libraries_over_their_range() {
    let mut cases = Vec::new();
    // The dew point against psychrolib (ASHRAE 2017), where it lies above freezing: below, that library gives frost points.
    for t in (0..=50).step_by(2) {
        for rh in (10..=100).step_by(5) {
            let inputs =
                json!({ "air": amount(t.into(), "C"), "humidity": amount(rh.into(), "%") });
            cases.extend(worked("dew-point", &inputs));
        }
    }
    // Contents of a lying cylinder against numerical integration.
    for step in 0..=20 {
        let dip = 0.5 * f64::from(step) / 20.0;
        let inputs = json!({ "shape": "lying", "diameter": "0.5 m", "length": "1.2 m", "dip": amount(dip, "m") });
        cases.extend(worked("tank", &inputs));
    }
    // Drying with noise against curve_fit.
    for seed in 0..12_u32 {
        let readings: Vec<Value> = [0, 3, 7, 12, 18, 25, 33, 42]
            .into_iter()
            .map(|day| {
                // Noise without chance: a fixed sequence from the day and the seed.
                let noise = f64::from((day * 37 + seed * 101) % 17) / 17.0 - 0.5;
                let m = 12.0
                    + f64::from(seed) / 4.0
                    + 26.0 * (-f64::from(day) / (8.0 + f64::from(seed))).exp()
                    + noise;
                json!({ "day": amount(day.into(), "d"), "moisture": format!("{m:.3}") })
            })
            .collect();
        cases.extend(worked(
            "drying",
            &json!({ "wanted": "20", "readings": readings }),
        ));
    }
    // Three-point estimates against the normal distribution.
    for n in 1..=12_u32 {
        let tasks: Vec<Value> = (0..n)
            .map(|k| {
                let o = 1.0 + f64::from(k * 3 % 5);
                json!({ "least": amount(o, "h"), "likely": amount(o + 2.0, "h"), "most": amount(o + 7.0, "h") })
            })
            .collect();
        let promised = amount(f64::from(n) * 6.5, "h");
        cases.extend(worked(
            "three-point",
            &json!({ "tasks": tasks, "promised": promised }),
        ));
    }
    // Layered and sistered sections against a finite-element section library.
    for k in 1..=8_u32 {
        let layer = |thickness: u32, width: u32, modulus: u32| json!({ "thickness": amount(thickness.into(), "mm"), "width": amount(width.into(), "mm"), "modulus": amount(modulus.into(), "MPa") });
        let built = [
            layer(3 + k, 400, 8000),
            layer(40 + 7 * k, 30 + k, 9000 + 250 * k),
            layer(6 + 2 * k, 350 + 10 * k, 7000 + 900 * k),
        ];
        cases.extend(worked("layers", &json!({ "built": built })));
        for flush in ["middle", "edge"] {
            let inputs = json!({ "width": amount(f64::from(30 + 5 * k), "mm"), "depth": "145 mm", "sister_width": amount(f64::from(6 * k), "mm"),
                "sister_depth": amount(f64::from(145 - 10 * k), "mm"), "sister_modulus": amount(f64::from(7000 + 20_000 * (k - 1)), "MPa"), "flush": flush });
            cases.extend(worked("sister", &inputs));
        }
    }
    cases.extend(surveys());
    cases.extend(photographs());
    assert!(cases.len() > 520, "only {} were worked out", cases.len());
    let (n, off) = compared(&cases);
    assert_eq!(n, cases.len());
    assert!(off.is_empty(), "{off}");
}

#[test]
fn a_wrong_value_is_noticed_by_the_references() {
    let inputs = json!({ "air": "20 C", "humidity": "50 %" });
    let mut case = worked("dew-point", &inputs).unwrap();
    case["results"]["dew_point"]["value"] = json!("9.5");
    let (_, off) = compared(&[case]);
    assert!(off.contains("dew-point"), "{off}");
    for (mut case, result) in [
        (surveys().remove(0), "value_at"),
        (surveys().remove(24), "wet"),
        (photographs().remove(0), "length"),
    ] {
        let (_, off) = compared(std::slice::from_ref(&case));
        assert_eq!(off, "");
        let text = case["results"][result]["value"].as_str().unwrap();
        assert!(!text.starts_with("0.00"), "{text}");
        let wrong = text.parse::<f64>().unwrap() * 1.01;
        case["results"][result]["value"] = json!(format!("{wrong:.6}"));
        let (_, off) = compared(&[case]);
        assert!(off.contains(result), "{result}: {off}");
    }
}

#[test]
fn every_description_is_a_json_schema_that_its_own_cases_meet() {
    let all: Vec<Value> = garboard_reckon::ALL
        .iter()
        .map(|reckoning| {
            let mut meets = Vec::new();
            let mut does_not_meet = Vec::new();
            for check in reckoning.checks {
                let inputs: Value = serde_json::from_str(check.inputs).unwrap();
                let Ok(reckoned) = reckoning.run(&inputs) else {
                    continue;
                };
                let results = reckoned.outcome.answers.json();
                // As it was asked, and as a log keeps it.
                meets.push(json!({ "inputs": inputs, "results": results }));
                meets.push(json!({ "inputs": reckoned.given.json(), "results": results }));
                if does_not_meet.is_empty() {
                    let mut more = inputs.clone();
                    more["not_an_input"] = json!("1 mm");
                    does_not_meet.push(json!({ "inputs": more, "results": results }));
                    let mut odd = results.clone();
                    odd["not_a_result"] = json!("1");
                    does_not_meet.push(json!({ "inputs": inputs, "results": odd }));
                    for name in results.as_object().unwrap().keys() {
                        let mut odd = results.clone();
                        odd[name] = json!(7);
                        does_not_meet.push(json!({ "inputs": inputs, "results": odd }));
                    }
                }
            }
            assert!(!meets.is_empty(), "{}", reckoning.name);
            json!({ "name": reckoning.name, "schema": reckoning.describe(), "meets": meets, "does_not_meet": does_not_meet })
        })
        .collect();
    let answer = asked("schema.py", &all.into());
    assert_eq!(answer["wrong"], json!([]), "{answer:#}");
    assert!(answer["met"].as_u64().unwrap() > 300, "{answer}");
    assert!(answer["refused"].as_u64().unwrap() > 150, "{answer}");
}
