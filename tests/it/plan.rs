//! Work plans, planned a second time by scipy's linear programming and by networkx.

use std::process::Command;

use serde_json::{Value, json};

use crate::tool::{python, root};

/// Numbers that look like chance and are the same in every run (the step of Knuth's MMIX).
struct Draw(u64);

impl Draw {
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n
    }

    fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }
}

/// Up to a dozen tasks with what they wait for; some with windows, some with fixed times.
fn tasks(draw: &mut Draw) -> Vec<Value> {
    let n = 3 + draw.below(10);
    let windows = !draw.one_in(4);
    (0..n)
        .map(|at| {
            let after: Vec<String> = (0..at)
                .filter(|_| draw.one_in(3))
                .map(|other| format!("t{other}"))
                .collect();
            let coat = windows && at > 0 && draw.one_in(3);
            let earliest = draw.below(9);
            let latest = earliest + draw.below(20);
            let open = draw.one_in(4);
            let begins_at = (windows && draw.one_in(12)).then(|| draw.below(60));
            json!({
                "name": format!("t{at}"),
                "duration": f64::from(u32::try_from(draw.below(20)).unwrap()) / 2.0,
                "after": after,
                "coat_over": coat.then(|| format!("t{}", draw.below(at))),
                "earliest": earliest,
                "latest": (!open).then_some(latest),
                "not_before": if begins_at.is_none() && draw.one_in(4) { draw.below(40) } else { 0 },
                "begins_at": begins_at,
            })
        })
        .collect()
}

/// The inputs of the reckoning for such tasks.
fn inputs(tasks: &[Value]) -> Value {
    let rows: Vec<Value> = tasks
        .iter()
        .map(|task| {
            let mut row = json!({
                "name": task["name"],
                "duration": format!("{} h", task["duration"]),
                "after": task["after"].as_array().unwrap().iter().map(|name| name.as_str().unwrap()).collect::<Vec<_>>().join(", "),
                "not_before": format!("{} h", task["not_before"]),
            });
            if !task["begins_at"].is_null() {
                row["begins_at"] = json!(format!("{} h", task["begins_at"]));
            }
            if let Some(coat) = task["coat_over"].as_str() {
                row["coat_over"] = json!(coat);
                row["earliest"] = json!(format!("{} h", task["earliest"]));
                if !task["latest"].is_null() {
                    row["latest"] = json!(format!("{} h", task["latest"]));
                }
            }
            row
        })
        .collect();
    json!({ "missed": "refuse", "tasks": rows })
}

fn number(figure: &Value) -> Value {
    let text = figure["value"].as_str().unwrap();
    json!(text.parse::<f64>().unwrap())
}

/// What the reckoning found, as plain numbers; nothing where it refused.
fn found(tasks: &[Value]) -> Value {
    let plan = garboard_reckon::find("work-plan").unwrap();
    let Ok(reckoned) = plan.run(&inputs(tasks)) else {
        return Value::Null;
    };
    let results = plan.json(&reckoned)["results"].clone();
    let rows: Vec<Value> = results["tasks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| {
            json!({
                "earliest_begin": number(&row["earliest_begin"]),
                "latest_begin": number(&row["latest_begin"]),
            })
        })
        .collect();
    json!({ "length": number(&results["length"]), "tasks": rows })
}

#[test]
fn scipy_and_networkx_find_the_same_earliest_and_latest_times() {
    let mut draw = Draw(20_261_125);
    let cases: Vec<Value> = (0..400)
        .map(|_| {
            let tasks = tasks(&mut draw);
            json!({ "found": found(&tasks), "tasks": tasks })
        })
        .collect();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plans.json");
    std::fs::write(&path, json!(cases).to_string()).unwrap();
    let output = Command::new(python())
        .arg(root().join("tests/it/plan.py"))
        .arg(&path)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    let held: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(held["wrong"], json!([]));
    // The cases are worth something: many can be met, many cannot, many tasks may slip.
    for (count, least) in [
        ("feasible", 150),
        ("refused", 40),
        ("slips", 300),
        ("plain", 40),
    ] {
        assert!(held[count].as_u64().unwrap() >= least, "{held}");
    }
}
