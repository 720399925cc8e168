//! Cutting plans on the 21 instances of Hopper and Turton, beside the heuristics of another packer.

use std::process::Command;

use garboard_reckon::panel::job::{Grain, Job, Part, Sheet};
use garboard_reckon::panel::plan::Search;
use garboard_reckon::panel::proof::{Asked, prove};
use serde_json::Value;

use crate::tool::{python, root};

/// So many orders are tried; fewer than the two seconds of the screen allow by far.
const TRIES: u32 = 1000;

#[test]
fn no_plan_is_higher_than_what_rectpack_finds() {
    let output = Command::new(python())
        .arg(root().join("tests/it/cutting.py"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    let instances: Vec<Value> = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(instances.len(), 21);
    let mut wrong = Vec::new();
    for instance in &instances {
        let number = |of: &Value| of.as_i64().unwrap();
        let parts: Vec<Part> = instance["items"]
            .as_array()
            .unwrap()
            .iter()
            .map(|item| Part {
                length: number(&item[1]),
                width: number(&item[0]),
                count: 1,
                grain: Grain::Free,
                value: 1,
            })
            .collect();
        let best = &instance["best"];
        let (free, edge_to_edge) = (number(&best["free"]), number(&best["edge_to_edge"]));
        // Free plans beat both families; plans from edge to edge the one that is cut so, too.
        for (is_edge_to_edge, most) in [(false, free.min(edge_to_edge)), (true, edge_to_edge)] {
            let job = Job {
                parts: parts.clone(),
                sheets: vec![Sheet {
                    length: 10_000,
                    width: number(&instance["width"]),
                    count: 1,
                }],
                kerf: 0,
                trim: 0,
                edge_to_edge: is_edge_to_edge,
            };
            let mut search = Search::new(&job);
            search.step(TRIES);
            let height = search.used().unwrap();
            prove(&job, &search.best().unwrap(), Asked::Each).unwrap();
            assert!(
                height >= number(&instance["optimum"]),
                "{}",
                instance["name"]
            );
            if height > most {
                wrong.push(format!(
                    "{}, edge to edge {is_edge_to_edge}: {height}, rectpack {most}",
                    instance["name"]
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
