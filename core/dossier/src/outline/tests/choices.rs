//! The seller's choices of units and of the size of pictures.

use super::*;

#[test]
fn amounts_are_shown_in_the_units_chosen_and_what_was_written_stands_beside_them() {
    let mut log = Log::new("Dunlin");
    let place = log.say(
        Kind::Place,
        json!({ "name": "Deck", "along": "3.40 m", "layers": [{ "material": "Skin", "thickness": "1/2 in" }, { "material": "Core", "thickness": "12.7 mm" }] }),
    );
    log.say(Kind::Reading, json!({ "quantity": "gap", "value": "0.01 mm", "range": "under", "place": place, "air": "68 F" }));
    log.say(
        Kind::Reading,
        json!({ "quantity": "sag", "value": "3 mm", "dry_reference": "1", "place": place }),
    );
    log.say(Kind::Material, json!({ "what": "Resin", "fate": "bought", "quantity": "5.0 kg", "unit_price": "23.80 EUR" }));
    let told = |units: Option<System>| {
        outline(
            &log.snapshot(),
            &Options {
                units,
                ..Options::default()
            },
        )
    };
    let written = told(None);
    for (units, shown, said) in [
        (
            System::UsCustomary,
            [
                "11.2 ft (as written: 3.40 m)",
                "Skin | 0.5 in (entered as 1/2 in) |",
                "Core | 0.500 in (as written: 12.7 mm) |",
                "under the range (0.000394 in (as written: 0.01 mm))",
                "air 68 °F",
                "sag | 3 mm | 1 |",
            ],
            "amounts are shown in US customary units",
        ),
        (
            System::Metric,
            [
                "3.40 m along",
                "Skin | 12.7 mm (as written: 1/2 in) |",
                "Core | 12.7 mm |",
                "under the range (0.01 mm)",
                "air 20.0 °C (as written: 68 °F)",
                "sag | 3 mm | 1 |",
            ],
            "amounts are shown in metric units",
        ),
    ] {
        let outline = told(Some(units));
        let chapter = section_text(&outline, "place-1");
        for shown in shown {
            assert!(chapter.contains(shown), "{shown:?} is not in: {chapter}");
        }
        assert!(section_text(&outline, "reading").contains(said));
        assert_eq!(
            section_text(&outline, "stock"),
            section_text(&written, "stock")
        );
    }
    assert!(!format!("{written:?}").contains("(as written:"));
    assert!(!section_text(&written, "reading").contains("Units."));
}

/// The demonstration was written in metric units.
#[test]
fn a_converted_amount_never_stands_without_the_written_one_and_sums_are_as_they_were() {
    let (_, snapshot) = demonstration();
    let told = |units: Option<System>| {
        outline(
            snapshot,
            &Options {
                units,
                ..Options::default()
            },
        )
    };
    let written = told(None);
    for units in [System::Metric, System::UsCustomary] {
        let outline = told(Some(units));
        let mut n_converted = 0;
        for (section, before) in outline.sections.iter().zip(&written.sections) {
            assert_eq!(section.key, before.key);
            let (shown, before) = (text_of(&section.blocks), text_of(&before.blocks));
            let lines: Vec<&str> = shown
                .lines()
                .filter(|line| !line.contains("Units.: "))
                .collect();
            assert_eq!(lines.len(), before.lines().count());
            for (line, before) in lines.into_iter().zip(before.lines()) {
                n_converted += line.matches(" (as written: ").count();
                assert!(is_written(line, before), "{line}\n{before}");
            }
        }
        assert_eq!(n_converted > 0, units == System::UsCustomary);
        for key in ["costs", "stock", "hours"] {
            assert_eq!(section_text(&outline, key), section_text(&written, key));
        }
    }
}

/// Whether a line is the written one but for amounts, each shown as a figure with the written one in the bracket behind it.
fn is_written(line: &str, written: &str) -> bool {
    let mut parts = line.split(" (as written: ");
    let (mut shown, mut rest) = (parts.next().unwrap(), written);
    for part in parts {
        let (amount, after) = part.split_once(')').unwrap();
        let is_there = |(at, _): &(usize, &str)| {
            shown
                .strip_prefix(&rest[..*at])
                .is_some_and(|figure| figure.starts_with(|c: char| c.is_ascii_digit()))
        };
        let Some((at, _)) = rest.match_indices(amount).find(is_there) else {
            return false;
        };
        rest = &rest[at + amount.len()..];
        shown = after;
    }
    shown == rest
}

#[test]
fn small_pictures_are_named_as_such_and_have_no_view() {
    let mut log = Log::new("Dunlin");
    let [both, large] = ["both", "large"].map(|name| {
        log.say(
            Kind::Photograph,
            json!({ "digest": Digest::of(name.as_bytes()), "shows": name }),
        )
    });
    for (photograph, size, side) in [
        (both, "view", 2048),
        (both, "thumbnail", 320),
        (large, "view", 2048),
    ] {
        log.say(Kind::Rendition, json!({ "photograph": photograph, "size": size, "digest": Digest::of(size.as_bytes()), "width": side, "height": side / 2 }));
    }
    let outline = outline(
        &log.snapshot(),
        &Options {
            small_pictures: true,
            ..Options::default()
        },
    );
    let figures: Vec<&Figure> = blocks(&outline)
        .into_iter()
        .filter_map(|block| match block {
            Block::Figures(figures) => Some(figures),
            _ => None,
        })
        .flatten()
        .collect();
    assert_eq!(figures[0].shown, [Digest::of(b"thumbnail")]);
    assert_eq!(figures[0].sides, Some((320, 160)));
    assert_eq!(figures[0].instead, None);
    assert!(figures[1].shown.is_empty());
    assert!(
        figures[1]
            .instead
            .as_deref()
            .unwrap()
            .contains("no small size")
    );
    let says = "pictures are in their small size, at most 320 pixels";
    assert!(section_text(&outline, "reading").contains(says));
    assert!(!section_text(&log.outline(), "reading").contains(says));
}
