//! Charts against amounts worked by hand.

use serde_json::{Value, json};

use super::super::tests::Log;
use super::*;
use crate::outline::{Options, Outline, outline};
use garboard_record::Kind;

/// Drawings anywhere in the outline, stories included.
fn drawings(of: &Outline) -> Vec<Drawing> {
    fn within(blocks: &[Block], out: &mut Vec<Drawing>) {
        for block in blocks {
            match block {
                Block::Story(story) => within(&story.blocks, out),
                Block::Drawing(drawing) => out.push(drawing.clone()),
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    for section in &of.sections {
        within(&section.blocks, &mut out);
    }
    out
}

fn read(log: &mut Log, day: &str, spot: &str, value: &Value, dry: Option<&str>) {
    let mut fields = json!({ "quantity": "moisture", "spot": spot });
    if value == "over" {
        fields["range"] = json!("over");
    } else {
        fields["value"] = value.clone();
    }
    if let Some(dry) = dry {
        fields["dry_reference"] = json!(dry);
    }
    log.say_of(Kind::Reading, fields, Some(day));
}

fn charts_of(log: &Log) -> Vec<Drawing> {
    drawings(&outline(&log.snapshot(), &Options::default()))
}

#[test]
fn amounts_and_days_stand_where_they_belong() {
    let mut log = Log::new("Dunlin");
    // Half the days and a quarter of the height: 10 of 40 per cent.
    for (day, value) in [
        ("2026-03-01", "40 %"),
        ("2026-03-11", "10 %"),
        ("2026-03-21", "20 %"),
    ] {
        read(&mut log, day, "A1", &json!(value), None);
    }
    let charts = charts_of(&log);
    let [chart] = charts.as_slice() else {
        panic!("{charts:?}");
    };
    let foot = ROW / 2 + 2 * ROW + PLOT;
    let (first, last) = (LEFT + 80, RIGHT - 80);
    let told = chart.pieces.iter().find_map(|piece| match piece {
        Piece::Line {
            spots,
            pen: Pen::Line,
        } => Some(spots.clone()),
        _ => None,
    });
    assert_eq!(
        told.unwrap(),
        [
            (first, foot - PLOT),
            ((first + last) / 2, foot - PLOT / 4),
            (last, foot - PLOT / 2),
        ]
    );
    let words: Vec<&str> = chart
        .pieces
        .iter()
        .filter_map(|piece| match piece {
            Piece::Words { words, .. } => Some(words.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(
        words,
        [
            "Moisture, %",
            "A1",
            "0",
            "10",
            "20",
            "30",
            "40",
            "1\u{a0}March\u{a0}2026",
            "11\u{a0}March\u{a0}2026",
            "21\u{a0}March\u{a0}2026"
        ]
    );
    assert_eq!(
        chart.alt.replace('\u{a0}', " "),
        "Chart of moisture in % over time. A1: 3 readings, from 40 on 1 March 2026 to 20 on 21 March 2026, the highest 40."
    );
}

#[test]
fn only_what_was_read_often_on_one_scale_is_drawn() {
    let mut log = Log::new("Dunlin");
    for day in ["2026-03-01", "2026-03-08", "2026-03-15"] {
        read(&mut log, day, "A1", &json!("20 %"), Some("12"));
        read(
            &mut log,
            day,
            "B1",
            &json!({ "value": "80", "unit": "scale" }),
            None,
        );
    }
    read(&mut log, "2026-03-01", "A2", &json!("30 %"), Some("12"));
    read(&mut log, "2026-03-02", "A1", &json!("over"), None);
    // Three on one day tell of no time.
    for _ in 0..3 {
        read(&mut log, "2026-03-03", "A3", &json!("30 %"), Some("12"));
    }
    let charts = charts_of(&log);
    let [per_cent, scale] = charts.as_slice() else {
        panic!("{charts:?}");
    };
    assert!(
        per_cent
            .caption
            .contains("2 spots were read less than three times, or on one day only, and 1 reading was beyond the instrument’s end; these stand in the table only."),
        "{}",
        per_cent.caption
    );
    let is_limit = |piece: &Piece| {
        matches!(
            piece,
            Piece::Line {
                pen: Pen::Limit,
                ..
            }
        )
    };
    assert!(per_cent.pieces.iter().any(is_limit));
    assert!(!scale.pieces.iter().any(is_limit));
    assert!(scale.alt.starts_with("Chart of moisture in scale") || scale.alt.contains("scale"));
}

#[test]
fn steps_are_round_and_at_most_five() {
    for (span, wanted) in [
        (1, 1),
        (5, 1),
        (6, 2),
        (26, 10),
        (5000, 1000),
        (5001, 2000),
        (23_000, 5000),
    ] {
        assert_eq!(step(span), wanted, "{span}");
    }
    assert_eq!(shown(-1250), "−1.25");
    assert_eq!(shown(12_000), "12");
}
