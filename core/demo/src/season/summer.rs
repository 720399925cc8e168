//! May to July: an earlier repair that has failed, a chainplate, and the stain once its source is closed.

use garboard_record::Kind;
use serde_json::json;

use crate::drawing::Drawing;
use crate::script::Script;
use crate::teller::{Who::Ann, Who::Ben};

/// Tells foredeck, chainplate, coaming and window.
pub(super) fn tell(t: &mut Script) {
    foredeck(t);
    chainplate(t);
    coaming(t);
    window(t);
}

/// The patch that somebody laid before.
fn foredeck(t: &mut Script) {
    t.apart("2026-05-23 15:35", "2026-05-24 18:00");
    t.say(Ann, "2026-05-23 15:10", "patch", Kind::Finding, json!({
        "title": "Earlier repair of the foredeck has let go", "place": "@abaft hatch",
        "observed": "A patch of one ply of mat over the old skin, 48 × 38 cm, its after edge lifted by 4 mm, two cracks through it. Under the edge black plywood, wet. 82 to 96 on the relative scale round it.",
        "supposed": "Polyester laid on wet wood and unground paint; the wet core beneath was left in.",
        "kinds": ["earlier-repair", "wet-core", "delamination"], "extent": "0.35 m2", "urgency": "this-season",
        "earlier_by": "not known; before the present owner", "earlier_when": "supposed about 2009: the paint under it is the 2008 colour" }));
    t.picture(Ann, "2026-05-23 15:14", "patch before", Drawing::PatchFound, json!({
        "shows": "Drawing: the old patch abaft the hatch, its edge lifted.", "stage": "found", "place": "@abaft hatch", "finding": "@patch" }));
    t.say(Ann, "2026-05-23 15:20", "", Kind::Reading, json!({
        "quantity": "moisture", "value": { "value": "96", "unit": "scale" }, "finding": "@patch", "place": "@abaft hatch", "spot": "after edge",
        "instrument": "@capacitance", "mode": "deep", "dry_reference": "12", "air": "18 C", "humidity": "64 %" }));
    t.amend(Ann, "2026-05-23 15:40", "patch", "extent", json!("0.42 m2"));
    t.amend(Ben, "2026-05-23 21:15", "patch", "extent", json!("0.50 m2"));
    t.say(Ben, "2026-05-24 19:05", "patch repair", Kind::Repair, json!({
        "title": "Patch sealed for the season", "place": "@abaft hatch", "decision": "temporary",
        "why": "The side deck comes first; the foredeck is opened next winter. Sealed so that no more water gets in, not so that it dries.",
        "person": "@ben", "hours_estimate": "2", "begun": "2026-05-31", "finished": "2026-05-31" }));
    t.member(Ben, "2026-05-24 19:06", "patch repair", "patch", "finding");
    t.say_of(Ben, "2026-05-31 20:00", "2026-05-31", "tape", Kind::Material, json!({
        "what": "Butyl sealing tape, 80 mm", "fate": "bought", "quantity": "5.0 m", "unit_price": "2.35 EUR", "repair": "@patch repair", "lot": "BT-502" }));
    t.say_of(Ben, "2026-05-31 20:02", "2026-05-31", "", Kind::Material, json!({
        "what": "Butyl sealing tape, 80 mm", "fate": "used", "quantity": "2.2 m", "from": "@tape", "repair": "@patch repair", "lot": "BT-502" }));
    t.say_of(Ben, "2026-05-31 20:03", "2026-05-31", "", Kind::Stint, json!({
        "person": "@ben", "repair": "@patch repair", "start": "2026-05-31T10:00:00+02:00", "end": "2026-05-31T11:20:00+02:00", "work": "other", "words": "Cleaned, dried with rags, taped." }));
    t.picture(Ben, "2026-05-31 11:25", "patch after", Drawing::PatchSealed, json!({
        "shows": "Drawing: the patch taped round, marked temporary.", "stage": "finished", "place": "@abaft hatch", "finding": "@patch",
        "repair": "@patch repair", "answers": "@patch before" }));
    t.say(Ben, "2026-05-31 11:40", "", Kind::Test, json!({
        "trial": "hose-test", "verdict": "undecided", "repair": "@patch repair", "place": "@abaft hatch", "person": "@ben",
        "words": "Ten minutes of hose: nothing more came out below, but the core is wet anyway and would hide it." }));
}

/// The plate that holds the mast up.
fn chainplate(t: &mut Script) {
    t.say(Ann, "2026-06-06 16:05", "rust", Kind::Finding, json!({
        "title": "Chainplate weeps rust, bedding failed", "place": "@chainplate place",
        "observed": "Rust runs from under the cover plate; with the plate drawn, pitting on the after edge where it passes the deck, deepest 0.6 mm of 6 mm. No crack to be seen with a glass of ten times.",
        "supposed": "Crevice corrosion in the wet, airless slot.", "kinds": ["corrosion", "failed-bedding"], "extent": "1 pcs", "urgency": "before-launch" }));
    t.picture(Ann, "2026-06-06 16:08", "rust before", Drawing::ChainplateFound, json!({
        "shows": "Drawing: chainplate and cover plate, rust below.", "stage": "found", "place": "@chainplate place", "finding": "@rust" }));
    t.say(Ann, "2026-06-06 16:30", "", Kind::Reading, json!({
        "quantity": "depth of pitting", "value": "0.6 mm", "finding": "@rust", "place": "@chainplate place", "spot": "after edge, at deck level",
        "words": "Needle and calliper; the plate measures 6.0 mm beside it." }));
    t.say(Ann, "2026-06-07 18:00", "plate repair", Kind::Repair, json!({
        "title": "New chainplate by the yard, bedded anew", "place": "@chainplate place", "decision": "repair",
        "why": "Pitting at the place that cannot be seen when it is in; a plate costs less than a mast.", "person": "@ann",
        "hours_estimate": "3", "cost_estimate": "260.00 EUR", "begun": "2026-06-08", "finished": "2026-06-13",
        "alters": "Standing rigging: the insurer was told on 12 June." }));
    t.member(Ann, "2026-06-07 18:01", "plate repair", "rust", "finding");
    t.say_of(Ann, "2026-06-13 18:10", "2026-06-12", "plate invoice", Kind::Paper, json!({
        "title": "Yard's invoice, chainplate", "paper": "invoice", "dated": "2026-06-12", "issuer": "@yard", "number": "Y-0612 (invented)", "of": "@plate repair",
        "words": "Plate to the old one's pattern, same thickness; material certificate attached to the invoice." }));
    t.say_of(Ann, "2026-06-13 18:12", "2026-06-12", "", Kind::Cost, json!({
        "what": "Chainplate made and fitted, yard's lump sum", "amount": "198.35 EUR", "tax": "21", "repair": "@plate repair", "person": "@yard", "receipt": "@plate invoice" }));
    t.say_of(Ann, "2026-06-13 18:14", "2026-06-13", "", Kind::Material, json!({
        "what": "Polysulfide bedding compound", "fate": "used", "quantity": "0.05 l", "from": "@bedding", "repair": "@plate repair", "lot": "B-77" }));
    t.say_of(Ann, "2026-06-13 18:15", "2026-06-13", "", Kind::Stint, json!({
        "person": "@ann", "repair": "@plate repair", "start": "2026-06-13T14:00:00+02:00", "end": "2026-06-13T16:15:00+02:00", "work": "bedding", "words": "Slot cleaned and sealed, plate bedded, cover screwed down." }));
    t.picture(Ann, "2026-06-13 16:20", "rust after", Drawing::ChainplateFinished, json!({
        "shows": "Drawing: new chainplate, bedding squeezed out all round.", "stage": "finished", "place": "@chainplate place", "finding": "@rust",
        "repair": "@plate repair", "answers": "@rust before" }));
}

/// What is left as it is.
fn coaming(t: &mut Script) {
    t.say(Ann, "2026-06-21 10:00", "crazing", Kind::Finding, json!({
        "title": "Crazing of the gelcoat on the coaming", "place": "@coaming",
        "observed": "Fine cracks in a star of 60 mm, not through the gelcoat at the one that was scraped; dry, 13 on the relative scale.",
        "kinds": ["crack"], "extent": "60 mm", "urgency": "cosmetic" }));
    t.say(Ann, "2026-06-21 10:05", "crazing left", Kind::Repair, json!({
        "title": "Crazing left as it is", "place": "@coaming", "decision": "leave", "why": "Dry beneath and not growing since the survey of 2019.", "person": "@ann" }));
    t.member(
        Ann,
        "2026-06-21 10:06",
        "crazing left",
        "crazing",
        "finding",
    );
    t.say(
        Ann,
        "2026-06-21 10:30",
        "stray",
        Kind::Note,
        json!({
        "words": "The cockpit drains run freely; flaps checked.", "place": "@cockpit" }),
    );
    t.strike(Ann, "2026-06-21 10:31", "stray", "Slip of the thumb.");
    t.lift(Ann, "2026-06-21 10:33", "stray", "It was right after all.");
}

/// The stain, once its water is stopped.
fn window(t: &mut Script) {
    t.say(Ann, "2026-07-04 15:30", "", Kind::Reading, json!({
        "quantity": "moisture", "value": "14 %", "finding": "@stain", "place": "@window", "spot": "panel, 100 mm below the frame",
        "instrument": "@pins", "species": "softwood plywood face, instrument's own calibration", "air": "22 C", "humidity": "58 %" }));
    t.say_of(Ann, "2026-07-04 18:00", "2026-07-04", "varnish", Kind::Material, json!({
        "what": "Varnish, one-part", "fate": "bought", "quantity": "0.375 l", "unit_price": "38.40 EUR", "repair": "@stain repair", "lot": "V-210" }));
    t.say_of(Ann, "2026-07-04 18:02", "2026-07-04", "", Kind::Material, json!({
        "what": "Varnish, one-part", "fate": "used", "quantity": "0.15 l", "from": "@varnish", "repair": "@stain repair", "lot": "V-210" }));
    t.say_of(Ann, "2026-07-04 18:04", "2026-07-04", "", Kind::Stint, json!({
        "person": "@ann", "repair": "@stain repair", "start": "2026-07-04T15:40:00+02:00", "end": "2026-07-04T17:45:00+02:00", "work": "coating", "words": "Scraped, bleached, first coat." }));
    t.say_of(Ann, "2026-07-12 18:00", "2026-07-12", "", Kind::Stint, json!({
        "person": "@ann", "repair": "@stain repair", "hours": "1.5", "work": "coating", "words": "Four more coats over the week, by the quarter hour." }));
    t.amend(
        Ann,
        "2026-07-12 18:05",
        "stain repair",
        "finished",
        json!("2026-07-12"),
    );
    t.picture(Ann, "2026-07-12 18:10", "stain after", Drawing::WindowFinished, json!({
        "shows": "Drawing: window 2 from inside, panel varnished.", "stage": "finished", "place": "@window", "finding": "@stain",
        "repair": "@stain repair", "answers": "@stain before" }));
}
