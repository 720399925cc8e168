//! July to September: launched, what was written late, what is in dispute, and what must be kept up.

use garboard_record::Kind;
use serde_json::json;

use crate::script::Script;
use crate::teller::{Who::Ann, Who::Ben};

/// Tells the launch, the money, the late entries and the upkeep.
pub(super) fn tell(t: &mut Script) {
    t.apart("2026-07-20 18:00", "2026-07-20 22:00");
    t.say_of(Ann, "2026-07-18 20:00", "2026-07-18T11:30:00+02:00", "afloat", Kind::BoatState, json!({
        "lie": "afloat", "tanks": "Fuel two thirds, water full.", "mast_stepped": true,
        "freeboard_forward_port": "1.12 m", "freeboard_forward_starboard": "1.13 m", "freeboard_aft_port": "0.86 m", "freeboard_aft_starboard": "0.88 m" }));
    t.say_of(
        Ann,
        "2026-07-18 20:05",
        "2026-07-18",
        "crane",
        Kind::Cost,
        json!({
        "what": "Crane, out and in", "amount": "180.00 EUR", "person": "@yard" }),
    );
    t.amend(
        Ann,
        "2026-07-20 18:30",
        "crane",
        "amount",
        json!("195.00 EUR"),
    );
    t.amend(
        Ben,
        "2026-07-20 21:10",
        "crane",
        "amount",
        json!("185.00 EUR"),
    );
    t.say_of(Ben, "2026-07-20 21:15", "2026-07-18", "", Kind::Cost, json!({
        "what": "Place ashore, eighteen weeks at 31.50", "amount": "567.00 EUR", "person": "@yard" }));
    t.say_of(Ben, "2026-07-20 21:16", "2026-05-17", "", Kind::Cost, json!({
        "what": "Disposal of core and grindings", "amount": "18.50 EUR", "repair": "@deck repair" }));
    // Written long after it happened.
    t.say_of(Ben, "2026-08-02 19:20", "2026-04-12", "late stint", Kind::Stint, json!({
        "person": "@ben", "repair": "@clip repair", "hours": "1.5", "work": "other", "words": "Hose and clips; I never wrote it down at the time." }));
    t.say_of(Ben, "2026-08-02 19:25", "2026-04-12", "clip good", Kind::Test, json!({
        "trial": "pressure-test", "verdict": "good", "repair": "@clip repair", "finding": "@clip", "place": "@bilge", "person": "@ben",
        "words": "Seacock open for an hour with the hose full: dry with a paper towel round both ends." }));
    t.say(Ann, "2026-08-15 12:40", "weep", Kind::Finding, json!({
        "title": "Brown drops under the starboard side deck", "place": "@side starboard",
        "observed": "Two brown drops on the headlining below the second stanchion after the rain of 14 August; deck above sounds crisp, 19 and 21 on the relative scale.",
        "supposed": "The second stanchion, bedded like the third to port.", "kinds": ["seepage-fresh"], "urgency": "this-season" }));
    t.say(Ann, "2026-08-15 12:45", "way two", Kind::WayIn, json!({
        "title": "Second stanchion, starboard", "place": "@side starboard", "certainty": "possible", "supposed": "Same bedding, same age; not yet drawn." }));
    t.say(Ann, "2026-08-15 12:46", "", Kind::WaterPath, json!({
        "way_in": "@way two", "finding": "@weep", "certainty": "possible", "words": "Straight down." }));
    for (minute, key, fields) in [
        (
            10,
            "u bedding",
            json!({ "what": "Look at the bedding of all stanchions; hose the third to port", "place": "@deck", "fitting": "@stanchion",
            "how": "Any crack or lifted edge: draw and bed anew.", "interval": "1 year", "last": "2026-06-27" }),
        ),
        (
            11,
            "u clips",
            json!({ "what": "Hose clips of the cooling water intake", "place": "@bilge", "finding": "@clip",
            "how": "Paper towel round both ends with the seacock open; tighten, look for rust.", "interval": "6 month", "last": "2026-04-12" }),
        ),
        (
            12,
            "u patch",
            json!({ "what": "Tape round the foredeck patch", "place": "@abaft hatch", "finding": "@patch",
            "how": "Press down, renew where it lifts. The wet core beneath stays until it is opened.", "interval": "1 month", "last": "2026-08-01" }),
        ),
        (
            13,
            "u plate",
            json!({ "what": "Chainplate, starboard: look for rust below the cover plate", "place": "@chainplate place", "finding": "@rust",
            "how": "Draw it after ten years at the latest.", "interval": "1 year", "last": "2026-06-13" }),
        ),
    ] {
        t.say(
            Ann,
            &format!("2026-08-16 18:{minute}"),
            key,
            Kind::Upkeep,
            fields,
        );
    }
    t.say_of(Ann, "2026-09-05 17:20", "2026-09-05", "", Kind::UpkeepDone, json!({
        "upkeep": "@u patch", "person": "@ann", "words": "Tape lifted over 10 cm at the after edge, renewed." }));
    t.say(Ben, "2026-09-06 20:30", "", Kind::Note, json!({
        "words": "Next winter: open the foredeck from below, and draw the second stanchion to starboard before that.", "place": "@deck" }));
}
