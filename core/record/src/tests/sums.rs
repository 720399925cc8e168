//! Hours, costs and stock: worked by hand.

use super::Built;
use crate::tally::{Tally, hours_by, sum_costs, sum_hours, tally};
use crate::{Id, Index, Oddity, oddity};

fn tallied(built: &Built) -> Tally {
    tally(&built.snapshot, &Index::of(&built.snapshot))
}

fn eur(tally: &Tally) -> String {
    sum_costs(&tally.costs)
        .get("EUR")
        .map(ToString::to_string)
        .unwrap_or_default()
}

#[test]
fn sums_are_those_of_the_printed_lines() {
    let mut built = Built::new();
    // 3 × 0.333 kg at 10 EUR: each line 3.33, so the sum is 9.99 and not 9.99 rounded from 9.990.
    for _ in 0..3 {
        built.say(
            "material",
            r#"{"what":"Resin","fate":"used","quantity":"0.333 kg","unit_price":"10 EUR"}"#,
        );
    }
    // 1.5 m² at 8.15 EUR less nothing, 19 % tax not in the price: 12.225 × 1.19 = 14.54775, printed 14.55.
    built.say(
        "material",
        r#"{"what":"Cloth","fate":"used","quantity":"1.5 m2","unit_price":"8.15 EUR","tax":"19"}"#,
    );
    built.say("cost", r#"{"what":"Haul-out","amount":"240 EUR"}"#);
    built.say(
        "material",
        r#"{"what":"Not bought yet","fate":"needed","quantity":"1 kg","unit_price":"99 EUR"}"#,
    );
    let tally = tallied(&built);
    let printed: Vec<String> = tally
        .costs
        .iter()
        .map(|line| line.money.as_ref().unwrap().amount.to_string())
        .collect();
    assert_eq!(printed, ["3.33", "3.33", "3.33", "14.55", "240.00"]);
    assert_eq!(eur(&tally), "264.54");
}

#[test]
fn what_was_used_is_priced_by_its_purchase_and_stock_reconciles() {
    let mut built = Built::new();
    let can = built.say("material", r#"{"what":"Laminating resin","fate":"bought","quantity":"5 kg","price":"120 EUR","lot":"R-1"}"#);
    let repair = built.say("repair", r#"{"title":"New core"}"#);
    built.say("material", &format!(r#"{{"what":"Laminating resin","fate":"used","quantity":"3900 g","from":"{can}","repair":"{repair}"}}"#));
    built.say(
        "material",
        &format!(
            r#"{{"what":"Laminating resin","fate":"disposed","quantity":"0.1 kg","from":"{can}"}}"#
        ),
    );
    let tally = tallied(&built);
    assert_eq!(eur(&tally), "93.60", "3.9 kg of 5 kg at 120 EUR");
    assert_eq!(tally.costs[0].repair, Some(repair));
    let line = &tally.stock[0];
    assert_eq!(
        (
            line.bought.to_string(),
            line.used.to_string(),
            line.disposed.to_string(),
            line.left.to_string()
        ),
        ("5".into(), "3.9".into(), "0.1".into(), "1.0".into())
    );
}

#[test]
fn hours_by_person_and_running_stints_left_out() {
    let mut built = Built::new();
    let ben = built.say("person", r#"{"name":"Ben"}"#);
    built.say("stint", r#"{"hours":"3.5"}"#);
    built.say("stint", &format!(r#"{{"hours":"1.25","person":"{ben}"}}"#));
    built.say("stint", r#"{"start":"2026-05-09T14:00:00+02:00"}"#);
    let tally = tallied(&built);
    assert_eq!(sum_hours(&tally.hours).to_string(), "4.75");
    let by = hours_by(&tally.hours, |line| line.person);
    assert_eq!(
        (by[&built.stamper.hand].to_string(), by[&ben].to_string()),
        ("3.50".to_owned(), "1.25".to_owned())
    );
}

#[test]
fn a_disputed_figure_counts_at_the_lowest_id_and_the_other_is_told() {
    let mut built = Built::new();
    let cost = built.say("cost", r#"{"what":"Haul-out","amount":"240 EUR"}"#);
    let mut other = Built {
        snapshot: built.snapshot.clone(),
        stamper: crate::Stamper {
            device: Id::new(9, [9; 10]),
            ..built.stamper.clone()
        },
        ticks: 100,
    };
    built.amend(cost, "amount", "250 EUR".into());
    other.amend(cost, "amount", "265.50 EUR".into());
    for (id, text) in other.snapshot.texts() {
        built.snapshot.insert(id, text);
    }
    let tally = tallied(&built);
    assert_eq!(eur(&tally), "250.00");
    assert_eq!(
        tally.costs[0]
            .disputed
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>(),
        ["265.50 EUR"]
    );
    let remarks = oddity::remarks(&built.snapshot, &Index::of(&built.snapshot));
    assert!(
        remarks
            .iter()
            .any(|remark| remark.oddity == Oddity::DisputedFigure)
    );
}

#[test]
fn overlapping_stints_count_as_written_with_a_remark() {
    let mut built = Built::new();
    built.say(
        "stint",
        r#"{"start":"2026-05-09T14:00:00+02:00","end":"2026-05-09T16:00:00+02:00"}"#,
    );
    built.say(
        "stint",
        r#"{"start":"2026-05-09T15:00:00+02:00","end":"2026-05-09T17:00:00+02:00"}"#,
    );
    assert_eq!(sum_hours(&tallied(&built).hours).to_string(), "4.00");
    let remarks = oddity::remarks(&built.snapshot, &Index::of(&built.snapshot));
    assert_eq!(
        remarks
            .iter()
            .filter(|remark| matches!(remark.oddity, Oddity::StintsOverlap { .. }))
            .count(),
        1
    );
}
