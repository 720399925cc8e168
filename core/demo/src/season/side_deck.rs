//! May: the wet core of the side deck, traced to its way in, and taken out.

use garboard_record::Kind;
use serde_json::{Value, json};

use crate::drawing::Drawing;
use crate::script::Script;
use crate::teller::{Who, Who::Ann, Who::Ben};

/// Tells the main repair from the first dull sound to the clean inner skin.
pub(super) fn tell(t: &mut Script) {
    found(t);
    opened(t);
    traced(t);
    planned(t);
}

/// 9 May: tapped, metered, marked.
fn found(t: &mut Script) {
    t.say(Ann, "2026-05-09 14:22", "wet core", Kind::Finding, json!({
        "title": "Wet core aft of the third stanchion", "place": "@third bay",
        "observed": "The skin gives under a boot and sounds dull from the stanchion's foot to 60 cm aft of it. Hairline cracks run from the foot. Eight of twelve spots read high on the relative scale.",
        "supposed": "Water along the stanchion's screws.", "kinds": ["wet-core", "failed-bedding", "crack"],
        "extent": "0.55 m2", "urgency": "before-launch" }));
    t.picture(Ann, "2026-05-09 14:24", "deck found", Drawing::SideDeckFound, json!({
        "shows": "Drawing: the bay from forward, cracks at the stanchion's foot, the dull area in chalk.", "stage": "found",
        "place": "@third bay", "finding": "@wet core" }));
    t.say(Ann, "2026-05-09 14:26", "stanchion", Kind::Fitting, json!({
        "name": "third stanchion, port", "place": "@third bay", "side": "port", "fastenings": "four screws M8 × 60",
        "metal": "stainless, base and screws", "backing": "washers only", "bedding": "hard, cracked, no name to be seen",
        "hole_plugged": false, "words": "The screws went through bare core." }));
    for (minute, spot, value) in [
        (30, "A1", "95"),
        (31, "A2", "90"),
        (32, "A3", "78"),
        (33, "B1", "92"),
        (34, "B2", "88"),
        (35, "B3", "70"),
        (36, "C1", "74"),
        (37, "C2", "71"),
        (38, "C3", "16"),
        (39, "D1", "14"),
        (40, "D2", "12"),
        (41, "D3", "12"),
    ] {
        let key = if spot == "D3" { "spot D3" } else { "" };
        t.say(
            Ann,
            &format!("2026-05-09 14:{minute}"),
            key,
            Kind::Reading,
            relative(spot, value, "@wet core"),
        );
    }
    t.say(
        Ann,
        "2026-05-09 14:45",
        "wrong spot",
        Kind::Reading,
        relative("E1", "60", "@wet core"),
    );
    t.strike(
        Ann,
        "2026-05-09 14:47",
        "wrong spot",
        "A bolt of the toe rail was under the meter.",
    );
    t.say(Ann, "2026-05-09 14:50", "", Kind::Reading, json!({
        "quantity": "sound", "word": "dull", "finding": "@wet core", "place": "@third bay", "spot": "A1 to C2", "instrument": "@hammer" }));
}

/// A reading on the relative scale.
fn relative(spot: &str, value: &str, finding: &str) -> Value {
    json!({ "quantity": "moisture", "value": { "value": value, "unit": "scale" }, "finding": finding, "place": "@third bay",
        "spot": spot, "instrument": "@capacitance", "mode": "deep", "dry_reference": "12",
        "air": "17 C", "surface": "19 C", "humidity": "62 %", "conditions": "Third dry day; through the skin of 3 mm." })
}

/// 10 May: the skin comes off.
fn opened(t: &mut Script) {
    t.apart("2026-05-10 12:05", "2026-05-11 19:00");
    t.picture(Ann, "2026-05-10 11:40", "deck opened", Drawing::SideDeckOpened, json!({
        "shows": "Drawing: the skin lifted; brown, wet blocks, water standing in the forward corner.", "stage": "opened",
        "place": "@third bay", "finding": "@wet core" }));
    t.say(Ann, "2026-05-10 11:50", "", Kind::Reading, json!({
        "quantity": "moisture", "range": "over", "finding": "@wet core", "place": "@third bay", "spot": "core at A1",
        "instrument": "@pins", "species": "plywood, softwood calibration", "conditions": "Water pressed out at the pins; the meter ends at 40 per cent." }));
    t.amend(
        Ann,
        "2026-05-10 12:10",
        "wet core",
        "extent",
        json!("0.61 m2"),
    );
    t.amend(
        Ben,
        "2026-05-10 21:05",
        "wet core",
        "extent",
        json!("0.58 m2"),
    );
    t.choose(
        Ben,
        "2026-05-11 19:40",
        "wet core",
        "extent",
        Ann,
        "Ann measured the opening; mine was off the sketch.",
    );
}

/// 16 May: the hose, low to high, until it drips inside.
fn traced(t: &mut Script) {
    t.say(Ben, "2026-05-16 10:30", "window hosed", Kind::Test, json!({
        "trial": "hose-test", "verdict": "good", "place": "@window", "person": "@ben",
        "words": "Window 2 alone, masked off from the deck, fifteen minutes low to high: nothing inside. The window is not the way in." }));
    t.say(Ben, "2026-05-16 11:05", "deck hosed", Kind::Test, json!({
        "trial": "hose-test", "verdict": "failed", "place": "@third bay", "finding": "@wet core", "person": "@ben",
        "words": "Stanchion foot alone: after six minutes drops at the window's forward corner inside, after nine water in the open core." }));
    t.say(Ann, "2026-05-16 11:30", "way in", Kind::WayIn, json!({
        "title": "Bedding of the third stanchion, two of four screws", "place": "@third bay", "fitting": "@stanchion",
        "certainty": "seen", "observed": "With the base off: bedding hard and cracked round the two after screws, rust on their shanks, bare plywood black in the holes." }));
    t.say(Ann, "2026-05-16 11:34", "", Kind::WaterPath, json!({
        "way_in": "@way in", "finding": "@wet core", "certainty": "seen", "words": "Down the screws into the bare core and aft along the saw cuts between the blocks." }));
    t.say(Ann, "2026-05-16 11:36", "", Kind::WaterPath, json!({
        "way_in": "@way in", "finding": "@stain", "certainty": "seen", "words": "Through the inner skin at the lamp's wire, along the wire to the window frame, out at its lower corner." }));
    t.amend(Ann, "2026-05-16 11:40", "stain", "supposed", json!("Not the window: water from the third stanchion that follows the lamp's wire (hose test of 16 May)."));
}

/// 17 May: what is decided, in which order.
fn planned(t: &mut Script) {
    t.say(Ann, "2026-05-10 08:30", "deck repair", Kind::Repair, json!({
        "title": "New core in the third bay, stanchion bedded anew", "place": "@third bay", "decision": "repair",
        "why": "Dull over half a square metre and more: drying it in place would take longer than the season and leave the holes bare. From above, because the headlining is sound.",
        "person": "@ann", "hours_estimate": "24", "cost_estimate": "300.00 EUR", "begun": "2026-05-10",
        "alters": "Deck core replaced in kind over 0.61 m²; stanchion foot with a backing plate now." }));
    t.member(
        Ann,
        "2026-05-10 08:31",
        "deck repair",
        "wet core",
        "finding",
    );
    t.say(Ann, "2026-05-17 09:14", "stain repair", Kind::Repair, json!({
        "title": "Panel below window 2 dried and varnished", "place": "@window", "decision": "repair",
        "why": "Only when the way in is closed and tested; before that it would be wasted.", "person": "@ann", "begun": "2026-07-04" }));
    t.member(Ann, "2026-05-17 09:15", "stain repair", "stain", "finding");
    let step = |order: u64, title: &str, work: &str, more: Value| {
        let mut fields =
            json!({ "repair": "@deck repair", "order": order, "title": title, "work": work });
        if let (Some(to), Value::Object(more)) = (fields.as_object_mut(), more) {
            to.extend(more);
        }
        fields
    };
    let steps = [
        (
            "s open",
            step(
                1,
                "Cut the outer skin and lift it",
                "opening",
                json!({
            "begun": "2026-05-10", "done": "2026-05-10", "person": "@ann", "words": "Cut to 3 mm depth, 30 mm inside the panel's smooth margin." }),
            ),
        ),
        (
            "s grind",
            step(
                2,
                "Dig out the core, grind shelf and edges",
                "preparing",
                json!({
            "preparation": "Inner skin ground to clean glass; edge of the outer skin tapered twelve to one.", "begun": "2026-05-17", "done": "2026-05-17", "person": "@ann" }),
            ),
        ),
        (
            "s dry",
            step(
                3,
                "Dry the inner skin and the edges",
                "drying",
                json!({
            "begun": "2026-05-17", "done": "2026-05-28", "person": "@ben", "words": "Tarpaulin as a tent, dehumidifier by night, eleven days." }),
            ),
        ),
        (
            "s hold",
            step(
                4,
                "Hold: bare struts and edges at or under 14 per cent",
                "drying",
                json!({
            "hold": "pin reading of the bare edge wood", "hold_quantity": "moisture", "hold_most": "14 %" }),
            ),
        ),
        (
            "s core",
            step(
                5,
                "Bed two layers of 6 mm plywood",
                "coring",
                json!({
            "preparation": "Both faces sealed with unfilled resin, wet in wet.", "product": "laminating resin, slow hardener, 2:1 by volume, thickened" }),
            ),
        ),
        (
            "s glass",
            step(
                6,
                "Three plies of biaxial cloth over it",
                "laminating",
                json!({ "product": "biaxial cloth 600 g/m², same resin" }),
            ),
        ),
        (
            "s fair",
            step(
                7,
                "Fair and sand",
                "fairing",
                json!({ "product": "same resin with balloons; none under the stanchion" }),
            ),
        ),
        (
            "s prime",
            step(
                8,
                "Prime, two coats",
                "coating",
                json!({ "product": "two-part epoxy primer", "coat": 2 }),
            ),
        ),
        (
            "s paint",
            step(
                9,
                "Paint, two coats, the second with grit",
                "coating",
                json!({ "product": "two-part polyurethane topcoat", "coat": 2 }),
            ),
        ),
        (
            "s bed",
            step(
                10,
                "Fill the stanchion's holes, drill anew, bed and fasten",
                "bedding",
                json!({
            "preparation": "Holes drilled to 16 mm, filled with thickened resin, drilled to 8.2 mm.", "product": "polysulfide bedding; aluminium backing plate 6 mm" }),
            ),
        ),
    ];
    for (minute, (key, fields)) in (20..).zip(steps) {
        t.say(
            Ann,
            &format!("2026-05-17 09:{minute}"),
            key,
            Kind::Step,
            fields,
        );
    }
    for (whole, part) in [
        ("s dry", "s grind"),
        ("s hold", "s dry"),
        ("s core", "s hold"),
        ("s glass", "s core"),
        ("s fair", "s glass"),
        ("s prime", "s fair"),
        ("s paint", "s prime"),
        ("s bed", "s paint"),
    ] {
        t.member(Ann, "2026-05-17 09:40", whole, part, "waits-for");
    }
    stint(
        t,
        Ann,
        "2026-05-10 13:00",
        "@ann",
        "opening",
        ("2026-05-10T09:05:00+02:00", "2026-05-10T12:35:00+02:00"),
        "Skin cut and lifted.",
    );
    stint(
        t,
        Ben,
        "2026-05-10 21:00",
        "@ben",
        "opening",
        ("2026-05-10T11:30:00+02:00", "2026-05-10T12:35:00+02:00"),
        "Lifting, clearing away.",
    );
    stint(
        t,
        Ann,
        "2026-05-17 15:00",
        "@ann",
        "preparing",
        ("2026-05-17T10:00:00+02:00", "2026-05-17T14:20:00+02:00"),
        "Core dug out, ground, tapered.",
    );
    t.picture(Ann, "2026-05-17 14:30", "deck prepared", Drawing::SideDeckPrepared, json!({
        "shows": "Drawing: the inner skin ground clean, the edge tapered, the stanchion's holes open.", "stage": "prepared",
        "place": "@third bay", "finding": "@wet core", "repair": "@deck repair" }));
    t.say(Ann, "2026-05-17 15:10", "core out", Kind::Material, json!({
        "what": "Plywood core, wet, with its bedding", "fate": "removed", "quantity": "8.3 kg", "mass": "8.3 kg", "repair": "@deck repair", "place": "@third bay" }));
    t.say(Ann, "2026-05-17 15:12", "", Kind::Material, json!({
        "what": "Plywood core and grindings", "fate": "disposed", "quantity": "9.1 kg", "repair": "@deck repair", "where_to": "yard's container for building waste" }));
}

/// A stint on the deck's repair.
pub(super) fn stint(
    t: &mut Script,
    who: Who,
    at: &str,
    person: &str,
    work: &str,
    (start, end): (&str, &str),
    words: &str,
) {
    let day = start.get(..10).unwrap_or(start);
    t.say_of(who, at, day, "", Kind::Stint, json!({
        "person": person, "repair": "@deck repair", "start": start, "end": end, "work": work, "words": words }));
}
