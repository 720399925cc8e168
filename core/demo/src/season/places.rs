//! March: who is there, how the boat is divided, and what is measured with.

use garboard_record::Kind;
use serde_json::json;

use crate::drawing::Drawing;
use crate::script::Script;
use crate::teller::{Who::Ann, Who::Ben};

/// Tells people, places, instruments and the first day.
pub(super) fn tell(t: &mut Script) {
    t.say(
        Ann,
        "2026-03-14 09:50",
        "yard",
        Kind::Person,
        json!({
        "name": "Cal", "trade": "yard hand: crane, moving, metalwork", "independent": true,
        "words": "Works for the yard where she stands. Invented." }),
    );
    t.say(Ann, "2026-03-14 09:52", "surveyor", Kind::Person, json!({
        "name": "Dora", "trade": "marine surveyor", "licence": "register of small craft surveyors, no. 0000 (invented)",
        "licence_until": "2027-12", "independent": true }));
    t.say(
        Ann,
        "2026-03-14 10:05",
        "deck",
        Kind::Place,
        json!({ "name": "Deck" }),
    );
    t.say(
        Ann,
        "2026-03-14 10:06",
        "side port",
        Kind::Place,
        json!({
        "name": "Side deck, port", "parent": "@deck", "side": "port" }),
    );
    t.say(Ann, "2026-03-14 10:08", "third bay", Kind::Place, json!({
        "name": "third bay aft of the house front", "parent": "@side port", "side": "port",
        "along": "3.40 m", "across": "1.20 m", "datum": "stem head and centreline",
        "layers": [
            { "material": "outer skin, mat and woven roving", "thickness": { "value": "3.2", "unit": "mm" }, "note": "measured at the edge of the opening, 10 May" },
            { "material": "plywood blocks", "thickness": { "value": "12.7", "unit": "mm" }, "note": "saw cuts between them every 100 mm: water runs along these" },
            { "material": "inner skin, mat", "thickness": { "value": "2.1", "unit": "mm" } }
        ],
        "behind": "Wire to the deck lamp, stapled under the inner skin; headlining of the saloon." }));
    t.say(
        Ann,
        "2026-03-14 10:10",
        "foredeck",
        Kind::Place,
        json!({
        "name": "Foredeck", "parent": "@deck", "side": "centre" }),
    );
    t.say(Ann, "2026-03-14 10:11", "abaft hatch", Kind::Place, json!({
        "name": "abaft the hatch", "parent": "@foredeck", "side": "centre", "along": "1.90 m", "datum": "stem head" }));
    t.say(
        Ann,
        "2026-03-14 10:12",
        "side starboard",
        Kind::Place,
        json!({
        "name": "Side deck, starboard", "parent": "@deck", "side": "starboard" }),
    );
    t.say(Ann, "2026-03-14 10:13", "chainplate place", Kind::Place, json!({
        "name": "cap shroud chainplate", "parent": "@side starboard", "side": "starboard", "along": "3.95 m", "datum": "stem head" }));
    t.say(
        Ann,
        "2026-03-14 10:14",
        "house",
        Kind::Place,
        json!({ "name": "House" }),
    );
    t.say(
        Ann,
        "2026-03-14 10:15",
        "window",
        Kind::Place,
        json!({
        "name": "window 2, lower forward corner, inside", "parent": "@house", "side": "port",
        "behind": "Hardwood frame, plywood panel 9 mm, the wire to the deck lamp." }),
    );
    t.say(
        Ann,
        "2026-03-14 10:17",
        "cockpit",
        Kind::Place,
        json!({ "name": "Cockpit", "side": "centre" }),
    );
    t.say(
        Ann,
        "2026-03-14 10:18",
        "coaming",
        Kind::Place,
        json!({
        "name": "coaming", "parent": "@cockpit", "side": "across" }),
    );
    t.say(
        Ann,
        "2026-03-14 10:19",
        "below",
        Kind::Place,
        json!({ "name": "Below" }),
    );
    t.say(
        Ann,
        "2026-03-14 10:20",
        "bilge",
        Kind::Place,
        json!({
        "name": "bilge, amidships", "parent": "@below", "side": "centre" }),
    );
    t.say(
        Ann,
        "2026-03-14 10:21",
        "behind tank",
        Kind::Place,
        json!({
        "name": "behind the fuel tank", "parent": "@below", "side": "starboard",
        "behind": "The tank is glassed in; 70 mm between it and the hull." }),
    );
    t.say(
        Ann,
        "2026-03-14 10:22",
        "locker",
        Kind::Place,
        json!({
        "name": "hanging locker", "parent": "@below", "side": "port" }),
    );
    t.say(Ann, "2026-03-14 10:30", "capacitance", Kind::Instrument, json!({
        "name": "moisture meter, capacitance", "model": "two-range, non-destructive", "serial": "4471",
        "checked": "2026-03-14", "checked_against": "its own check block",
        "shows": "a relative scale from 0 to 100, no per cent", "quantity": "moisture", "unit": "scale" }));
    t.say(Ann, "2026-03-14 10:32", "pins", Kind::Instrument, json!({
        "name": "moisture meter, two pins", "model": "resistance, pins of 10 mm", "serial": "0093",
        "checked": "2026-03-14", "checked_against": "resistor for 19 per cent",
        "shows": "per cent of dry wood, softwood calibration at 20 °C", "quantity": "moisture", "unit": "%" }));
    t.say(
        Ann,
        "2026-03-14 10:34",
        "hammer",
        Kind::Instrument,
        json!({
        "name": "hammer, plastic face", "quantity": "sound", "shows": "crisp, dull, dead" }),
    );
    t.say(Ann, "2026-03-14 11:00", "laid up", Kind::BoatState, json!({
        "lie": "ashore", "blocked": "Keel on three pairs of blocks, four props; level fore and aft, two degrees down to port.",
        "tanks": "Fuel a third, water empty.", "mast_stepped": true, "shelter": "In the open, tarpaulin over the side decks from April." }));
    t.picture(
        Ann,
        "2026-03-14 11:10",
        "ashore",
        Drawing::Ashore,
        json!({
        "shows": "Drawing: ashore on her blocks, port side.", "stage": "found", "of": "@laid up" }),
    );
    t.say_of(Ben, "2026-03-15 19:30", "2019-10", "old survey", Kind::Paper, json!({
        "title": "Earlier survey, for the purchase", "paper": "survey", "dated": "2019-10-04", "issuer": "@surveyor", "number": "OM-19-044 (invented)",
        "words": "Side decks \"dry where tapped\"; the foredeck abaft the hatch is called \"repaired, appears sound\". Headlinings were not taken down." }));
    t.amend(Ann, "2026-03-14 11:30", "ann", "part", json!("owner"));
    t.amend(
        Ben,
        "2026-03-15 19:35",
        "ben",
        "part",
        json!("owner’s partner"),
    );
}
