//! Reckonings over their whole range against reference libraries: psychrolib, SciPy.

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

/// What the references say to all of them: a line each for what is too far off, and how many were compared.
fn compared(cases: &[Value]) -> (usize, String) {
    let mut reference = Command::new(python())
        .arg(root().join("tests/it/reckon.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let input = serde_json::to_vec(cases).unwrap();
    reference.stdin.take().unwrap().write_all(&input).unwrap();
    let output = reference.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "reckon.py failed; tests/run installs what it needs\n{said}"
    );
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let off: Vec<&str> = answer["off"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let n = usize::try_from(answer["compared"].as_u64().unwrap()).unwrap();
    (n, off.join("\n"))
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
    assert!(cases.len() > 450, "only {} were worked out", cases.len());
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
}
