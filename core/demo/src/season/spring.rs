//! March and April: looking round, the hose in the bilge, and a stain below a window.

use garboard_record::Kind;
use serde_json::json;

use crate::drawing::Drawing;
use crate::script::Script;
use crate::teller::{Who::Ann, Who::Ben};

/// Tells the examinations and the two first findings.
pub(super) fn tell(t: &mut Script) {
    t.say(Ann, "2026-03-21 14:10", "", Kind::Examination, json!({
        "place": "@cockpit", "methods": ["tapped", "metered"], "share": "90 %", "outcome": "nothing-found",
        "words": "Sole and seats sound crisp; 11 to 13 on the relative scale all over. This is the dry reference, 12." }));
    t.say(Ann, "2026-03-21 15:05", "", Kind::Examination, json!({
        "place": "@side starboard", "methods": ["tapped", "metered"], "share": "80 %", "outcome": "nothing-found",
        "words": "Crisp from the house front to the cockpit; 12 to 15. The strip under the tarpaulin's lashing was not reached." }));
    t.say(Ann, "2026-03-21 16:20", "tank examined", Kind::Examination, json!({
        "place": "@behind tank", "methods": ["looked"], "share": "10 %", "outcome": "not-reached",
        "not_reached": "A mirror and a torch show the first 90 mm. The tank is glassed in and would have to be cut out; that was not done.",
        "words": "No smell of diesel, no water seen." }));
    t.picture(Ann, "2026-03-21 16:25", "tank", Drawing::BehindTank, json!({
        "shows": "Drawing: the tank with the gap behind it, as far as the torch reaches.", "stage": "found",
        "place": "@behind tank", "of": "@tank examined" }));

    // The hose.
    t.say(Ann, "2026-04-11 10:20", "clip", Kind::Finding, json!({
        "title": "Hose clip rusted through at the seacock", "place": "@bilge",
        "observed": "The only clip of the cooling water intake is rusted through under its screw; drops run down, about one in ten seconds with the seacock open.",
        "supposed": "Carbon steel screw in a stainless band.", "kinds": ["corrosion", "hose"], "extent": "1 pcs", "urgency": "at-once" }));
    t.picture(Ann, "2026-04-11 10:22", "clip before", Drawing::BilgeFound, json!({
        "shows": "Drawing: hose and seacock, one clip, rusted.", "stage": "found", "place": "@bilge", "finding": "@clip" }));
    t.say(Ann, "2026-04-11 10:40", "clip repair", Kind::Repair, json!({
        "title": "New hose with two clips at each end", "place": "@bilge", "decision": "repair",
        "why": "Below the waterline; nothing to wait for.", "person": "@ann", "begun": "2026-04-12", "finished": "2026-04-12",
        "alters": "A through-hull connection was remade; the seacock itself was left." }));
    t.member(Ann, "2026-04-11 10:41", "clip repair", "clip", "finding");
    t.say_of(Ben, "2026-04-12 20:10", "2026-04-11", "clips bought", Kind::Material, json!({
        "what": "Hose clips, all stainless, 32-50 mm", "fate": "bought", "quantity": "4 pcs", "unit_price": "3.90 EUR",
        "repair": "@clip repair", "lot": "HC-26-02", "where_to": "chandler's counter" }));
    t.say_of(Ben, "2026-04-12 20:12", "2026-04-11", "hose bought", Kind::Material, json!({
        "what": "Cooling water hose, wire reinforced, 38 mm", "fate": "bought", "quantity": "1.0 m", "unit_price": "11.40 EUR",
        "repair": "@clip repair", "grade": "ISO 13363 type", "lot": "H-3318" }));
    t.say_of(Ben, "2026-04-12 20:14", "2026-04-12", "", Kind::Material, json!({
        "what": "Hose clips, all stainless", "fate": "used", "quantity": "4 pcs", "from": "@clips bought", "repair": "@clip repair", "lot": "HC-26-02" }));
    t.say_of(Ben, "2026-04-12 20:15", "2026-04-12", "", Kind::Material, json!({
        "what": "Cooling water hose, 38 mm", "fate": "used", "quantity": "0.6 m", "from": "@hose bought", "repair": "@clip repair", "lot": "H-3318" }));
    t.picture(Ann, "2026-04-12 12:05", "clip after", Drawing::BilgeFinished, json!({
        "shows": "Drawing: hose and seacock, two new clips.", "stage": "finished", "place": "@bilge", "finding": "@clip",
        "repair": "@clip repair", "answers": "@clip before" }));

    // The stain.
    t.say(Ann, "2026-04-18 11:15", "stain", Kind::Finding, json!({
        "title": "Brown stain below window 2", "place": "@window",
        "observed": "A stain from the lower forward corner of the window frame down to the shelf, 140 mm wide, varnish lifted, wet to the finger two days after rain. Tastes of nothing.",
        "supposed": "The window's bedding.", "kinds": ["seepage-fresh", "mould"], "extent": "0.08 m2", "urgency": "before-closing-up" }));
    t.picture(Ann, "2026-04-18 11:18", "stain before", Drawing::WindowFound, json!({
        "shows": "Drawing: window 2 from inside, stain below its forward corner.", "stage": "found", "place": "@window", "finding": "@stain" }));
    t.say(Ann, "2026-04-18 11:30", "", Kind::Reading, json!({
        "quantity": "moisture", "value": "27 %", "finding": "@stain", "place": "@window", "spot": "panel, 100 mm below the frame",
        "instrument": "@pins", "species": "softwood plywood face, instrument's own calibration", "correction": "none for temperature",
        "air": "14 C", "humidity": "70 %", "conditions": "Varnish scraped off at the pins." }));
    t.say(Ann, "2026-04-18 11:34", "", Kind::Reading, json!({
        "quantity": "moisture", "value": "13 %", "place": "@window", "spot": "same panel, 600 mm aft",
        "instrument": "@pins", "species": "softwood plywood face, instrument's own calibration", "air": "14 C", "humidity": "70 %" }));
    t.say(Ann, "2026-04-18 11:50", "locker mould", Kind::Finding, json!({
        "title": "Mould in the hanging locker", "place": "@locker",
        "observed": "Grey bloom on the hull lining behind the coats, wipes off.", "kinds": ["mould"], "extent": "0.3 m2", "urgency": "cosmetic" }));
}
