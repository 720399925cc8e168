//! The short form against the demonstration and against logs that are far too long for it.

use garboard_record::{Digest, Kind};
use serde_json::json;

use super::*;
use crate::outline::tests::Log;
use crate::{Options, Paper, outline, pdf};

fn made(outline: &Outline) -> pdf::Pdf {
    pdf::short_pdf(outline, Paper::A4, "2026-11-28", |_| None).unwrap()
}

fn says(outline: &Outline) -> String {
    format!("{outline:?}")
}

#[test]
fn the_demonstration_goes_on_twelve_pages_and_tells_what_a_buyer_asks() {
    let told = garboard_demo::told().unwrap();
    let whole = outline(&told.snapshot(), &Options::default());
    let made = pdf::short_pdf(&whole, Paper::A4, "2026-11-28", |digest: Digest| {
        told.picture(digest)
    })
    .unwrap();
    assert!(made.n_pages <= MOST_PAGES, "{}", made.n_pages);
    assert!(made.n_pictures > 4, "{}", made.n_pictures);
    let short = shorter(&whole).next().unwrap();
    let says = says(&short);
    for wanted in [
        "This is the short form",
        "This is no survey",
        "Brown stain below window 2",
        "How the water came",
        "Decided",
        "Tested",
        "Labour",
        "Could not be reached",
        "What each device has written",
    ] {
        assert!(says.contains(wanted), "{wanted}");
    }
    assert!(!says.contains("caption: \"Readings\""));
}

#[test]
fn a_log_of_any_length_goes_on_twelve_pages_and_says_how_much_is_not_told() {
    let mut log = Log::new("Dunlin");
    let place = log.say(Kind::Place, json!({ "name": "Deck" }));
    for n in 0..250 {
        let finding = log.say(
            Kind::Finding,
            json!({ "title": format!("Soft spot {n}"), "observed": "Soft to the heel over a hand's breadth. ".repeat(30), "place": place }),
        );
        let repair = log.say(
            Kind::Repair,
            json!({ "title": format!("New core {n}"), "alters": "Core replaced." }),
        );
        log.say(
            Kind::Member,
            json!({ "whole": repair, "part": finding, "role": "finding" }),
        );
    }
    let whole = outline(&log.snapshot(), &Options::default());
    let made = made(&whole);
    assert!(made.n_pages <= MOST_PAGES, "{}", made.n_pages);
    let least = shorter(&whole).last().unwrap();
    assert!(says(&least).contains("and 246 more in the long form"));
}

#[test]
fn words_are_cut_between_words_and_totals_stay() {
    let measure = Measure {
        letters: 12,
        rows: 2,
        ..MEASURES[6]
    };
    let prose = measure.prose(Prose::plain("Brown stain below the frame"));
    assert_eq!(prose.text, "Brown stain …");
    let mut table = Table::new("Hours", &["#No.", "Who", "#Hours"]);
    for n in 1..=4 {
        table.row(None, vec![n.to_string().into(), "Ann".into(), "1".into()]);
    }
    table.total(vec!["".into(), "All".into(), "4".into()]);
    let cut = measure.table(table);
    let rows: Vec<Vec<&str>> = cut
        .rows
        .iter()
        .map(|row| row.cells.iter().map(|cell| cell.text.as_str()).collect())
        .collect();
    assert_eq!(
        rows,
        [
            vec!["1", "Ann", "1"],
            vec!["2", "Ann", "1"],
            vec!["", "and 2 more in the long form", ""],
            vec!["", "All", "4"],
        ]
    );
}
