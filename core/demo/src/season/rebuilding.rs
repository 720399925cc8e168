//! May to July: the side deck's new core, from the shopping list to the last dry reading.

use garboard_record::Kind;
use serde_json::{Value, json};

use super::side_deck::stint;
use crate::drawing::Drawing;
use crate::script::Script;
use crate::teller::{Who::Ann, Who::Ben};

/// Tells what was bought, rebuilt, finished and tested.
pub(super) fn tell(t: &mut Script) {
    bought(t);
    rebuilt(t);
    finished(t);
    tested(t);
}

/// 22 May: what the repair takes.
fn bought(t: &mut Script) {
    t.say_of(Ben, "2026-05-22 20:05", "2026-05-22", "invoice", Kind::Paper, json!({
        "title": "Invoice for resin, cloth, plywood and paint", "paper": "invoice", "dated": "2026-05-22", "number": "26-1187 (invented)", "of": "@deck repair" }));
    let buy = |what: &str, quantity: &str, price: &str, grade: &str, lot: &str| json!({ "what": what, "fate": "bought", "quantity": quantity, "unit_price": price, "repair": "@deck repair", "grade": grade, "lot": lot, "receipt": "@invoice" });
    for (minute, key, fields) in [
        (
            10,
            "resin",
            buy(
                "Epoxy laminating resin with slow hardener",
                "5.0 kg",
                "23.80 EUR",
                "2:1 by volume",
                "R-2217 / H-0561",
            ),
        ),
        (
            11,
            "cloth",
            buy(
                "Biaxial glass cloth, 600 g/m²",
                "3.0 m2",
                "16.50 EUR",
                "±45°, stitched",
                "BX-118",
            ),
        ),
        (
            12,
            "ply",
            buy(
                "Marine plywood, 6 mm",
                "1.5 m2",
                "29.50 EUR",
                "BS 1088",
                "M-118",
            ),
        ),
        (
            13,
            "fillers",
            buy(
                "Colloidal silica and balloons",
                "0.5 kg",
                "47.00 EUR",
                "",
                "F-04",
            ),
        ),
        (
            14,
            "primer",
            buy(
                "Epoxy primer, two-part",
                "0.75 l",
                "52.00 EUR",
                "grey",
                "P-0931",
            ),
        ),
        (
            15,
            "topcoat",
            buy(
                "Polyurethane topcoat, two-part",
                "0.75 l",
                "68.00 EUR",
                "pale green",
                "T-4410",
            ),
        ),
        (
            16,
            "bedding",
            buy(
                "Polysulfide bedding compound",
                "0.31 l",
                "62.00 EUR",
                "black",
                "B-77",
            ),
        ),
        (
            17,
            "plate",
            buy(
                "Aluminium backing plate, 6 mm, drilled",
                "1 pcs",
                "14.85 EUR",
                "seawater grade",
                "",
            ),
        ),
    ] {
        t.say_of(
            Ben,
            &format!("2026-05-22 20:{minute}"),
            "2026-05-22",
            key,
            Kind::Material,
            fields,
        );
    }
    t.say_of(Ben, "2026-05-28 21:00", "2026-05-28", "", Kind::Stint, json!({
        "person": "@ben", "repair": "@deck repair", "hours": "1.25", "work": "drying", "words": "Five visits of a quarter of an hour: tent, dehumidifier, readings." }));
    t.say_of(Ben, "2026-05-28 21:05", "2026-05-28", "", Kind::Cost, json!({
        "what": "Hire of a dehumidifier, eleven days", "amount": "65.00 EUR", "repair": "@deck repair" }));
}

/// 28 to 30 May: dry enough, closed, glassed.
fn rebuilt(t: &mut Script) {
    t.say(
        Ben,
        "2026-05-24 18:10",
        "edge wet",
        Kind::Reading,
        edge("17"),
    );
    t.say(
        Ben,
        "2026-05-28 18:05",
        "edge dry",
        Kind::Reading,
        edge("12"),
    );
    t.amend(
        Ann,
        "2026-05-28 20:00",
        "s hold",
        "hold_met",
        json!("@edge dry"),
    );
    t.amend(
        Ann,
        "2026-05-28 20:01",
        "s hold",
        "done",
        json!("2026-05-28"),
    );
    t.say(Ann, "2026-05-29 10:40", "closed", Kind::ClosingUp, json!({
        "place": "@third bay", "repair": "@deck repair", "hides": "Inner skin, lamp wire's hole (sealed), the plywood's underside.",
        "missing": "Nothing: photographed, 12 per cent at the edge, inner skin measured." }));
    t.say(Ann, "2026-05-29 11:00", "", Kind::Batch, json!({
        "step": "@s core", "mixed": "2026-05-29T10:50:00+02:00", "air": "18 C", "surface": "17 C", "humidity": "58 %",
        "parts": [
            { "material": "laminating resin", "lot": "R-2217", "amount": { "value": "421", "unit": "g" } },
            { "material": "slow hardener", "lot": "H-0561", "amount": { "value": "179", "unit": "g" } },
            { "material": "colloidal silica", "lot": "F-04", "amount": { "value": "36", "unit": "g" } }
        ],
        "cure_check": "Cup hard under the thumbnail after 20 h." }));
    t.say(Ann, "2026-05-30 09:30", "", Kind::Batch, json!({
        "step": "@s glass", "mixed": "2026-05-30T09:20:00+02:00", "air": "19 C", "surface": "18 C", "humidity": "55 %",
        "parts": [
            { "material": "laminating resin", "lot": "R-2217", "amount": { "value": "421", "unit": "g" } },
            { "material": "slow hardener", "lot": "H-0561", "amount": { "value": "179", "unit": "g" } }
        ],
        "cure_check": "Hard next morning, no blush." }));
    t.picture(Ann, "2026-05-29 12:40", "deck rebuilt", Drawing::SideDeckRebuilt, json!({
        "shows": "Drawing: the upper layer of plywood bedded, weighed down, resin squeezed out at the joint.", "stage": "rebuilt",
        "place": "@third bay", "finding": "@wet core", "repair": "@deck repair" }));
    let use_of = |what: &str, quantity: &str, from: &str, step: &str, lot: &str| json!({ "what": what, "fate": "used", "quantity": quantity, "from": format!("@{from}"), "repair": "@deck repair", "step": format!("@{step}"), "lot": lot });
    for (minute, fields) in [
        (
            10,
            use_of(
                "Epoxy laminating resin with hardener",
                "3.9 kg",
                "resin",
                "s glass",
                "R-2217 / H-0561",
            ),
        ),
        (
            11,
            use_of(
                "Biaxial glass cloth, 600 g/m²",
                "2.2 m2",
                "cloth",
                "s glass",
                "BX-118",
            ),
        ),
        (
            12,
            use_of("Marine plywood, 6 mm", "1.4 m2", "ply", "s core", "M-118"),
        ),
        (
            13,
            use_of(
                "Colloidal silica and balloons",
                "0.3 kg",
                "fillers",
                "s core",
                "F-04",
            ),
        ),
    ] {
        t.say_of(
            Ann,
            &format!("2026-05-30 14:{minute}"),
            "2026-05-30",
            "",
            Kind::Material,
            fields,
        );
    }
    stint(
        t,
        Ann,
        "2026-05-29 13:10",
        "@ann",
        "coring",
        ("2026-05-29T09:55:00+02:00", "2026-05-29T12:55:00+02:00"),
        "Core bedded.",
    );
    stint(
        t,
        Ben,
        "2026-05-29 21:00",
        "@ben",
        "coring",
        ("2026-05-29T10:20:00+02:00", "2026-05-29T12:55:00+02:00"),
        "Mixing, weights.",
    );
    stint(
        t,
        Ann,
        "2026-05-30 14:00",
        "@ann",
        "laminating",
        ("2026-05-30T09:05:00+02:00", "2026-05-30T13:00:00+02:00"),
        "Three plies.",
    );
    stint(
        t,
        Ben,
        "2026-05-30 21:00",
        "@ben",
        "laminating",
        ("2026-05-30T09:15:00+02:00", "2026-05-30T13:00:00+02:00"),
        "Wetting out, rolling.",
    );
    t.say_of(Ben, "2026-05-30 21:02", "2026-05-30", "twice", Kind::Stint, json!({
        "person": "@ben", "repair": "@deck repair", "hours": "3.75", "work": "laminating", "words": "Laminating." }));
    t.strike(Ben, "2026-05-30 21:04", "twice", "Written twice.");
    for (minute, key, day) in [(15, "s core", "2026-05-29"), (16, "s glass", "2026-05-30")] {
        t.amend(
            Ann,
            &format!("2026-05-30 15:{minute}"),
            key,
            "done",
            json!(day),
        );
    }
}

/// A pin reading of the bare edge.
fn edge(value: &str) -> Value {
    json!({ "quantity": "moisture", "value": { "value": value, "unit": "%" }, "finding": "@wet core", "place": "@third bay",
        "spot": "bare plywood at the after edge", "instrument": "@pins", "species": "softwood plywood, instrument's own calibration",
        "correction": "none for temperature", "air": "16 C", "humidity": "57 %" })
}

/// June: faired, painted, bedded.
fn finished(t: &mut Script) {
    stint(
        t,
        Ann,
        "2026-06-06 15:00",
        "@ann",
        "fairing",
        ("2026-06-06T12:05:00+02:00", "2026-06-06T14:50:00+02:00"),
        "Faired, sanded.",
    );
    stint(
        t,
        Ann,
        "2026-06-07 12:00",
        "@ann",
        "coating",
        ("2026-06-07T10:05:00+02:00", "2026-06-07T11:25:00+02:00"),
        "Primer, both coats four hours apart.",
    );
    stint(
        t,
        Ben,
        "2026-06-14 19:00",
        "@ben",
        "coating",
        ("2026-06-14T09:30:00+02:00", "2026-06-14T11:45:00+02:00"),
        "Topcoat, grit in the second.",
    );
    stint(
        t,
        Ann,
        "2026-06-20 13:00",
        "@ann",
        "bedding",
        ("2026-06-20T10:10:00+02:00", "2026-06-20T11:55:00+02:00"),
        "Stanchion bedded.",
    );
    let use_of = |what: &str, quantity: &str, from: &str, step: &str, lot: &str| json!({ "what": what, "fate": "used", "quantity": quantity, "from": format!("@{from}"), "repair": "@deck repair", "step": format!("@{step}"), "lot": lot });
    for (at, day, fields) in [
        (
            "2026-06-07 12:10",
            "2026-06-07",
            use_of(
                "Epoxy primer, two-part",
                "0.45 l",
                "primer",
                "s prime",
                "P-0931",
            ),
        ),
        (
            "2026-06-14 19:10",
            "2026-06-14",
            use_of(
                "Polyurethane topcoat, two-part",
                "0.40 l",
                "topcoat",
                "s paint",
                "T-4410",
            ),
        ),
        (
            "2026-06-20 13:05",
            "2026-06-20",
            use_of(
                "Polysulfide bedding compound",
                "0.10 l",
                "bedding",
                "s bed",
                "B-77",
            ),
        ),
        (
            "2026-06-20 13:06",
            "2026-06-20",
            use_of(
                "Aluminium backing plate, 6 mm",
                "1 pcs",
                "plate",
                "s bed",
                "",
            ),
        ),
    ] {
        t.say_of(Ann, at, day, "", Kind::Material, fields);
    }
    for (minute, key, day) in [
        (20, "s fair", "2026-06-06"),
        (21, "s prime", "2026-06-07"),
        (22, "s paint", "2026-06-14"),
        (23, "s bed", "2026-06-20"),
    ] {
        t.amend(
            Ann,
            &format!("2026-06-20 13:{minute}"),
            key,
            "done",
            json!(day),
        );
    }
    t.amend(
        Ann,
        "2026-06-20 13:30",
        "deck repair",
        "finished",
        json!("2026-06-20"),
    );
    t.amend(
        Ann,
        "2026-06-20 13:32",
        "stanchion",
        "bedded",
        json!("2026-06-20"),
    );
    t.amend(
        Ann,
        "2026-06-20 13:33",
        "stanchion",
        "bedding",
        json!("polysulfide, black"),
    );
    t.amend(
        Ann,
        "2026-06-20 13:34",
        "stanchion",
        "backing",
        json!("aluminium plate 6 mm, 140 × 90 mm"),
    );
    t.amend(
        Ann,
        "2026-06-20 13:35",
        "stanchion",
        "hole_plugged",
        json!(true),
    );
    t.amend(
        Ann,
        "2026-06-20 13:40",
        "way in",
        "stopped",
        json!("2026-06-20"),
    );
    t.amend(
        Ann,
        "2026-06-20 13:41",
        "way in",
        "stopped_how",
        json!(
            "Holes plugged with resin through the core, base bedded in polysulfide, backing plate."
        ),
    );
    t.picture(Ann, "2026-06-20 13:45", "deck finished", Drawing::SideDeckFinished, json!({
        "shows": "Drawing: the bay from forward, painted, stanchion bedded.", "stage": "finished",
        "place": "@third bay", "finding": "@wet core", "repair": "@deck repair", "answers": "@deck found" }));
}

/// 27 June and 5 July: what shows it good.
fn tested(t: &mut Script) {
    t.say(Ben, "2026-06-27 10:50", "deck good", Kind::Test, json!({
        "trial": "hose-test", "verdict": "good", "repair": "@deck repair", "finding": "@wet core", "place": "@third bay", "person": "@ben",
        "words": "Stanchion foot and seams, low to high, twenty minutes: dry below and at the window." }));
    t.say(Ann, "2026-06-27 11:00", "", Kind::Test, json!({
        "trial": "crisp-tap", "verdict": "good", "repair": "@deck repair", "finding": "@wet core", "place": "@third bay", "person": "@ann",
        "words": "Crisp over the whole bay and 20 cm round it." }));
    for (at, value, key) in [
        ("2026-06-27 11:05", "13", "dry one"),
        ("2026-07-05 10:10", "11", "dry two"),
    ] {
        t.say(Ann, at, key, Kind::Reading, json!({
            "quantity": "moisture", "value": { "value": value, "unit": "scale" }, "finding": "@wet core", "place": "@third bay", "spot": "A1 to C3, the highest",
            "instrument": "@capacitance", "mode": "deep", "dry_reference": "12", "air": "21 C", "humidity": "60 %" }));
    }
    t.say(Ann, "2026-07-05 10:15", "deck dry", Kind::Test, json!({
        "trial": "dry-reading", "verdict": "good", "repair": "@deck repair", "finding": "@wet core", "place": "@third bay", "person": "@ann",
        "words": "11 to 13 on two visits eight days apart, dry reference 12." }));
    t.member(Ann, "2026-07-05 10:16", "deck dry", "dry one", "rests-on");
    t.member(Ann, "2026-07-05 10:16", "deck dry", "dry two", "rests-on");
    stint(
        t,
        Ann,
        "2026-06-27 12:00",
        "@ann",
        "testing",
        ("2026-06-27T10:25:00+02:00", "2026-06-27T11:05:00+02:00"),
        "Hose, hammer, meter.",
    );
    stint(
        t,
        Ben,
        "2026-06-27 20:00",
        "@ben",
        "testing",
        ("2026-06-27T10:25:00+02:00", "2026-06-27T10:55:00+02:00"),
        "At the hose.",
    );
}
