//! What holds for the table of ways in.

use super::*;

fn every_question() -> impl Iterator<Item = [&'static str; 4]> {
    SIGNS.iter().flat_map(|(sign, _)| {
        PLACES.iter().flat_map(move |(place, _)| {
            WETS.iter().flat_map(move |(wets, _)| {
                READINGS
                    .iter()
                    .map(move |(readings, _)| [*sign, *place, *wets, *readings])
            })
        })
    })
}

#[test]
fn no_question_has_one_answer_alone_and_the_likeliest_come_first() {
    for [sign, place, wets, readings] in every_question() {
        let list = candidates(sign, place, wets, readings);
        assert!(list.len() >= FEWEST, "{sign} {place} {wets} {readings}");
        assert!(list.is_sorted_by(|a, b| a.likelihood >= b.likelihood));
    }
}

#[test]
fn what_is_watched_never_makes_a_way_in_likelier_than_its_sign_and_place() {
    for [sign, place, wets, readings] in every_question() {
        for way in WAYS {
            let plain = candidate(way, sign, place, "unknown", "not-metered");
            let watched = candidate(way, sign, place, wets, readings);
            assert!(watched.likelihood <= plain.likelihood);
        }
    }
}

#[test]
fn every_way_in_can_come_first_and_every_word_of_the_table_is_known() {
    for way in WAYS {
        let first = every_question().any(|[sign, place, wets, readings]| {
            let list = candidates(sign, place, wets, readings);
            list[0].way.title == way.title && list[0].likelihood == LIKELY
        });
        assert!(first, "{} never comes first", way.title);
        for (list, known) in [(way.signs, SIGNS), (way.places, PLACES)] {
            for (at, (word, often)) in list.iter().enumerate() {
                assert!(known.iter().any(|(other, _)| other == word), "{word}");
                assert!(
                    !list[..at].iter().any(|(other, _)| other == word),
                    "{word} twice"
                );
                assert!((1..=LIKELY).contains(often));
            }
        }
        for (list, known) in [(way.wets, WETS), (way.readings, READINGS)] {
            assert!(!list.is_empty(), "{}", way.title);
            for word in list {
                assert!(known[1..].iter().any(|(other, _)| other == word), "{word}");
            }
        }
    }
}

#[test]
fn every_sign_and_every_place_leads_somewhere_likely() {
    for (sign, _) in SIGNS {
        assert!(
            WAYS.iter().any(|way| often(way.signs, sign) == LIKELY),
            "{sign}"
        );
    }
    for (place, _) in PLACES {
        assert!(
            WAYS.iter().any(|way| often(way.places, place) == LIKELY),
            "{place}"
        );
    }
}

#[test]
fn every_way_in_says_how_to_confirm_it_how_to_rule_it_out_and_how_to_mend_it() {
    for way in WAYS {
        for words in [
            way.travels,
            way.tell_tale,
            way.inspect,
            way.confirms,
            way.rules_out,
            way.order,
        ] {
            assert!(words.ends_with('.'), "{}: {words}", way.title);
        }
        assert!(way.danger.is_empty() || way.danger.ends_with('.'));
    }
}
