//! The main job from end to end, on two devices: record, trace, repair, test, share, choose, hand over.

use crate::tool::{Device, picture};

#[test]
fn an_owner_records_a_partner_adds_and_both_hold_the_same_history() {
    let (phone, laptop) = (Device::new(), Device::new());
    // The owner begins the log and records what she finds.
    phone.run(&[
        "new",
        "boat",
        "--boat",
        "Merganser",
        "--hand",
        "Ada",
        "--device",
        "phone",
        "--currency",
        "EUR",
    ]);
    let deck = phone.add(
        "boat",
        "place",
        r#"{"name":"Side deck, port","side":"port"}"#,
    );
    let bay = phone.add(
        "boat",
        "place",
        &format!(r#"{{"name":"third bay","parent":"{deck}"}}"#),
    );
    let finding = phone.add("boat", "finding", &format!(r#"{{"title":"Wet core","place":"{bay}","observed":"dull tap","extent":"0.42 m2","kinds":["wet-core"],"urgency":"before-launch"}}"#));
    std::fs::write(phone.path("opened.jpg"), picture(90)).unwrap();
    std::fs::write(phone.path("finished.jpg"), picture(200)).unwrap();
    let before = phone.run(&[
        "photo",
        "boat",
        "opened.jpg",
        "--stage",
        "opened",
        "--finding",
        &finding,
    ]);
    let before = before.split_whitespace().next().unwrap();
    phone.add("boat", "reading", &format!(r#"{{"quantity":"moisture","value":{{"value":"85","unit":"scale"}},"dry_reference":"12","finding":"{finding}","spot":"C4"}}"#));
    // She traces the water and repairs.
    let way_in = phone.add(
        "boat",
        "way-in",
        &format!(r#"{{"title":"Stanchion screws","place":"{bay}","certainty":"seen"}}"#),
    );
    phone.add(
        "boat",
        "water-path",
        &format!(r#"{{"way_in":"{way_in}","finding":"{finding}","certainty":"likely"}}"#),
    );
    let repair = phone.add(
        "boat",
        "repair",
        &format!(
            r#"{{"title":"New core","place":"{bay}","decision":"repair","why":"soft underfoot"}}"#
        ),
    );
    phone.add(
        "boat",
        "member",
        &format!(r#"{{"whole":"{repair}","part":"{finding}","role":"finding"}}"#),
    );
    phone.add("boat", "step", &format!(r#"{{"repair":"{repair}","title":"Cut the top skin out","work":"opening","done":"2026-05-09T15:00:00+02:00"}}"#));
    phone.add("boat", "material", &format!(r#"{{"what":"Laminating resin","fate":"used","quantity":"3.9 kg","unit_price":"24 EUR","repair":"{repair}","lot":"R-2217"}}"#));
    let stint = phone.add("boat", "stint", &format!(r#"{{"start":"2026-05-09T13:00:00+02:00","end":"2026-05-09T16:30:00+02:00","repair":"{repair}"}}"#));
    // The partner receives the parcel at home, adds, and amends the same field meanwhile.
    phone.run(&[
        "parcel",
        "boat",
        "-o",
        "to-laptop.zip",
        "--pictures",
        "views",
    ]);
    std::fs::copy(phone.path("to-laptop.zip"), laptop.path("to-laptop.zip")).unwrap();
    laptop.run(&["merge", "boat", "to-laptop.zip"]);
    let amended = laptop.try_with(
        &["amend", "boat", &finding, "--json", "-", "--hand", "Ben"],
        r#"{"extent":"0.5 m2"}"#,
    );
    assert_eq!(amended.code, 0, "{amended:?}");
    laptop.add(
        "boat",
        "stint",
        &format!(r#"{{"hours":"1.25","repair":"{repair}"}}"#),
    );
    laptop.add(
        "boat",
        "cost",
        &format!(r#"{{"what":"Haul-out","amount":"240 EUR","repair":"{repair}"}}"#),
    );
    let amended = phone.try_with(
        &["amend", "boat", &finding, "--json", "-"],
        r#"{"extent":"4 ft2"}"#,
    );
    assert_eq!(amended.code, 0, "{amended:?}");
    // Parcels cross both ways, each with only what the other lacks.
    laptop.run(&[
        "parcel",
        "boat",
        "-o",
        "to-phone.zip",
        "--since",
        "to-laptop.zip",
    ]);
    std::fs::copy(laptop.path("to-phone.zip"), phone.path("to-phone.zip")).unwrap();
    let told = phone.run(&["merge", "boat", "to-phone.zip"]);
    assert!(
        told.contains("Ben 5"),
        "a hand, a device, an amendment, a stint and a cost: {told}"
    );
    assert!(told.contains("written differently"), "{told}");
    phone.run(&[
        "parcel",
        "boat",
        "-o",
        "again.zip",
        "--since",
        "to-phone.zip",
    ]);
    std::fs::copy(phone.path("again.zip"), laptop.path("again.zip")).unwrap();
    laptop.run(&["merge", "boat", "again.zip"]);
    assert_eq!(
        phone.show(&["boat"])["entries"],
        laptop.show(&["boat"])["entries"]
    );
    let disputed = laptop.show(&["boat", &finding]);
    let values = disputed["disputes"]["extent"].as_array().unwrap();
    assert_eq!(
        values
            .iter()
            .map(|v| v["hand_name"].as_str().unwrap())
            .collect::<Vec<_>>(),
        ["Ben", "Ada"]
    );
    // The partner chooses, and the choice reaches the phone.
    let chosen = values[1]["statement"].as_str().unwrap();
    laptop.run(&[
        "choose",
        "boat",
        &finding,
        "extent",
        chosen,
        "--why",
        "measured again together",
    ]);
    laptop.run(&["parcel", "boat", "-o", "choice.zip"]);
    phone.run(&["merge", "boat", laptop.path("choice.zip").to_str().unwrap()]);
    let settled = phone.show(&["boat", &finding]);
    assert!(settled["disputes"].as_object().unwrap().is_empty());
    assert_eq!(settled["fields"]["extent"]["unit"], "ft2");
    assert_eq!(settled["stands"], "repaired, not tested");
    // The after picture from the same viewpoint, and the test that shows it good.
    phone.run(&[
        "photo",
        "boat",
        "finished.jpg",
        "--stage",
        "finished",
        "--finding",
        &finding,
        "--answers",
        before,
    ]);
    phone.add(
        "boat",
        "test",
        &format!(r#"{{"trial":"hose-test","verdict":"good","repair":"{repair}"}}"#),
    );
    assert_eq!(phone.show(&["boat", &finding])["stands"], "tested good");
    // What was mistaken is struck and stays legible.
    phone.run(&["strike", "boat", &stint, "--why", "another day"]);
    phone.run(&["lift", "boat", &stint, "--why", "right after all"]);
    // Hand-worked: 3.9 kg × 24 EUR = 93.60 EUR, and 240 EUR; 3.5 h and 1.25 h.
    let log = phone.show(&["boat"]);
    assert_eq!(log["costs"]["EUR"], "333.60");
    assert_eq!(log["hours"], "4.75");
    assert_eq!(log["trouble"].as_array().unwrap().len(), 0);
    phone.run(&["check", "boat"]);
    // The history for the buyer says the same, and is the same whoever makes it from the same log.
    phone.run(&[
        "dossier",
        "boat",
        "-o",
        "history.html",
        "--made",
        "2026-06-14",
    ]);
    let history = std::fs::read_to_string(phone.path("history.html")).unwrap();
    for part in [
        "Merganser",
        "333.60",
        "4.75",
        "R-2217",
        "no survey",
        "tested good",
        "Stanchion screws",
        "data:image/jpeg;base64,",
        "Haul-out",
    ] {
        assert!(history.contains(part), "{part} is missing in the dossier");
    }
    phone.run(&["merge", "copy", "boat"]);
    phone.run(&[
        "dossier",
        "copy",
        "-o",
        "again.html",
        "--made",
        "2026-06-14",
    ]);
    let again = std::fs::read_to_string(phone.path("again.html")).unwrap();
    let differ: Vec<(&str, &str)> = again
        .lines()
        .zip(history.lines())
        .filter(|(a, b)| a != b)
        .map(|(a, b)| (a.get(..200).unwrap_or(a), b.get(..200).unwrap_or(b)))
        .collect();
    assert!(again == history, "{differ:?}");
    phone.run(&["dossier", "boat", "-o", "no-costs.html", "--no-costs"]);
    let without = std::fs::read_to_string(phone.path("no-costs.html")).unwrap();
    assert!(
        !without.contains("333.60")
            && !without.contains("93.60 EUR")
            && !without.contains("240.00 EUR"),
        "costs were left out"
    );
}
