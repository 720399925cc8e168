//! Two photographs in one frame, against OpenCV: points that a hand sets, drawing, and what is found without a hand.
//!
//! `frame.py` makes the pairs, from photographs that `tests/fetch-pictures` fetches and from drawings of the demonstration boat,
//! with transformations that it knows. What is missing fails with the command that brings it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use garboard_photo::frame::{
    Crop, Fit, Pair, Picture, Point, Proposal, Transform, Unframed, fit, propose,
};
use serde_json::Value;

use crate::tool::{python, root};

/// Makes the pairs, once a run.
fn made() -> &'static Path {
    static MADE: OnceLock<PathBuf> = OnceLock::new();
    MADE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("frame");
        drop(std::fs::remove_dir_all(&folder));
        let drawings = folder.join("drawings");
        std::fs::create_dir_all(&drawings).unwrap();
        let told = garboard_demo::told().unwrap();
        for original in told.originals.iter().take(2) {
            std::fs::write(drawings.join(original.file_name), &original.bytes).unwrap();
        }
        let output = Command::new(python())
            .arg(root().join("tests/it/frame.py"))
            .arg(root().join("target/pictures"))
            .args([&drawings, &folder])
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "frame.py failed; if pictures are missing, run tests/fetch-pictures\n{}",
            String::from_utf8_lossy(&output.stderr)
        );
        folder
    })
}

fn listed(name: &str) -> Vec<Value> {
    let bytes = std::fs::read(made().join(name)).unwrap();
    serde_json::from_slice(&bytes).unwrap()
}

fn path(pair: &Value, side: &str) -> PathBuf {
    made().join(pair[side].as_str().unwrap())
}

fn picture(path: &Path) -> Picture {
    Picture::decoded(&std::fs::read(path).unwrap()).unwrap()
}

fn transform(rows: &Value) -> Transform {
    Transform::from_rows(serde_json::from_value(rows.clone()).unwrap()).unwrap()
}

fn points(list: &Value) -> Vec<Point> {
    let list: Vec<[f64; 2]> = serde_json::from_value(list.clone()).unwrap();
    list.into_iter().map(|[x, y]| Point { x, y }).collect()
}

fn distance(a: Point, b: Point) -> f64 {
    ((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y)).sqrt()
}

/// The mean distance of the corners of a picture under two transformations.
fn corners_px(width: f64, height: f64, a: &Transform, b: &Transform) -> f64 {
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let off = corners.map(|(x, y)| {
        let corner = Point { x, y };
        distance(a.map(corner).unwrap(), b.map(corner).unwrap())
    });
    off.iter().sum::<f64>() / 4.0
}

#[test]
fn points_that_a_hand_sets_give_what_opencv_makes_of_them() {
    for case in listed("points.json") {
        let (first, second) = (points(&case["first"]), points(&case["second"]));
        let pairs = first
            .iter()
            .zip(&second)
            .map(|(first, second)| Pair {
                first: *first,
                second: *second,
            })
            .collect::<Vec<_>>();
        let Fit {
            transform: found,
            residuals,
            ..
        } = fit(&pairs).unwrap();
        let n = pairs.len();
        let noise = case["noise"].as_f64().unwrap();
        if n <= 4 {
            assert!(
                residuals.iter().all(|off| *off < 1e-6),
                "{n}: {residuals:?}"
            );
        }
        // Exact to the points' error: with exact points the plane itself, and with others what OpenCV finds.
        if noise <= 0.0 {
            let off = corners_px(2048.0, 1536.0, &found, &transform(&case["truth"]));
            assert!(off < 1e-6, "{n} exact points: {off} px");
        }
        let off = corners_px(2048.0, 1536.0, &found, &transform(&case["opencv"]));
        assert!(
            off < 2e-3,
            "{n} points, noise {noise}: {off} px from OpenCV's"
        );
    }
}

#[test]
fn a_picture_is_drawn_as_opencv_draws_it() {
    let all = listed("laid.json");
    assert!(all.len() >= 8, "{}", all.len());
    for case in all {
        let side = |name: &str| u32::try_from(case[name].as_u64().unwrap()).unwrap();
        let size = garboard_photo::frame::Size {
            width: side("width"),
            height: side("height"),
        };
        let crop = Crop {
            left: 0,
            top: 0,
            size,
        };
        let ours = picture(&path(&case, "second"))
            .laid(&transform(&case["truth"]), crop)
            .unwrap();
        let meant = picture(&path(&case, "laid"));
        let off = ours.pixels().iter().zip(meant.pixels());
        let sum: u64 = off.map(|(a, b)| u64::from(a.abs_diff(*b))).sum();
        let mean = f64::from(u32::try_from(sum).unwrap())
            / f64::from(u32::try_from(meant.pixels().len()).unwrap());
        // OpenCV rounds positions to a thirty-second of a pixel.
        assert!(mean < 0.5, "{}: {mean} levels", case["second"]);
    }
}

/// What is found for a pair.
fn proposed(pair: &Value) -> (Result<Proposal, Unframed>, Picture) {
    let first = picture(&path(pair, "first"));
    let second = picture(&path(pair, "second"));
    (propose(&first.grey(), &second.grey(), 1), second)
}

#[test]
fn what_is_found_is_right_to_a_pixel_at_the_corners_and_no_worse_than_opencv() {
    let (mut n, mut n_refused, mut ours_px, mut opencv_px) = (0_u32, 0_u32, 0.0, 0.0);
    let mut wrong = Vec::new();
    for pair in listed("pairs.json") {
        let kind = pair["kind"].as_str().unwrap();
        if kind != "same" && kind != "repaired" {
            continue;
        }
        n += 1;
        let (found, second) = proposed(&pair);
        let name = &pair["second"];
        let Ok(found) = found else {
            n_refused += 1;
            continue;
        };
        let (width, height) = (second.size().width, second.size().height);
        let truth = transform(&pair["truth"]);
        let off = corners_px(width.into(), height.into(), &found.transform, &truth);
        if off >= 1.0 {
            wrong.push(format!("{name}: {off} px; {found:?}"));
        }
        if let Some(reference) = pair["opencv_px"].as_f64() {
            ours_px += off;
            opencv_px += reference;
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(n >= 60, "{n} pairs");
    // Certain is the rule, not the exception: photographs with something to hold on to are found.
    assert!(n_refused * 10 <= n, "{n_refused} of {n} refused");
    let n_found = f64::from(n - n_refused);
    assert!(
        ours_px <= opencv_px,
        "mean corner distance {} px, OpenCV {} px",
        ours_px / n_found,
        opencv_px / n_found
    );
}

#[test]
fn what_shares_nothing_repeats_itself_or_shifts_with_depth_is_refused() {
    let mut n = 0;
    let mut wrong = Vec::new();
    for pair in listed("pairs.json") {
        let kind = pair["kind"].as_str().unwrap();
        if kind == "same" || kind == "repaired" {
            continue;
        }
        n += 1;
        if let (Ok(found), _) = proposed(&pair) {
            wrong.push(format!("{pair}: {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(n >= 45, "{n} pairs");
}
