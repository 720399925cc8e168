//! Every statement is there, or its digest only; what is left out is in none of the lines.

use garboard_record::Kind;

use super::*;
use crate::outline::tests::Log;

fn lines(made: &Handover) -> Vec<Value> {
    String::from_utf8(made.statements.clone())
        .unwrap()
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

#[test]
fn with_nothing_left_out_every_statement_is_there_with_its_digest() {
    let told = garboard_demo::told().unwrap();
    let snapshot = told.snapshot();
    let options = Options {
        positions: true,
        ..Options::default()
    };
    let made = handover(&snapshot, &options);
    assert_eq!((made.n_withheld, made.has_chunks), (0, true));
    let text = String::from_utf8(made.statements.clone()).unwrap();
    assert_eq!(text.lines().count(), snapshot.n_statements());
    for line in text.lines() {
        assert!(garboard_record::canonical::is_canonical(line), "{line}");
        let (_, rest) = line.split_once("\"sha256\":\"").unwrap();
        let (digest, rest) = rest.split_once("\",\"statement\":").unwrap();
        let statement = rest.strip_suffix('}').unwrap();
        assert_eq!(Digest::of(statement.as_bytes()).to_string(), digest);
    }
    let said = read(&text);
    assert_eq!(
        (said.boat.as_str(), said.n_intact, said.n_left_out),
        ("Dunlin", snapshot.n_statements(), 0)
    );
    assert!(said.faults.is_empty());
    // A letter that is another, and a line that is none.
    let altered = text.replacen("\"kind\":\"finding\"", "\"kind\":\"Finding\"", 1) + "{}\n";
    let said = read(&altered);
    assert_eq!(said.faults.len(), 2, "{:?}", said.faults);
    let of_file = format!("data/{}.png was altered", told.originals[0].digest);
    assert!(read(&text).faults(vec![of_file])[0].contains("(it shows: "));
    assert_eq!(made.originals.len(), told.originals.len());
}

#[test]
fn what_is_left_out_is_there_by_its_digest_only() {
    let mut log = Log::new("Dunlin");
    let repair = log.say(
        Kind::Repair,
        json!({ "title": "New core", "cost_estimate": { "amount": "1234.56", "currency": "EUR" } }),
    );
    log.say(Kind::Cost, json!({ "what": "surveyor-secret", "amount": { "amount": "77.31", "currency": "EUR" }, "repair": repair }));
    log.say(
        Kind::Stint,
        json!({ "hours": "13.75", "words": "hours-secret" }),
    );
    let photograph = log.say(
        Kind::Photograph,
        json!({ "digest": Digest::of(b"a picture") }),
    );
    log.say(
        Kind::Position,
        json!({ "photograph": photograph, "latitude": "51.98765", "longitude": "4.12345" }),
    );
    let struck = log.say(Kind::Note, json!({ "words": "struck-secret" }));
    log.say(
        Kind::Strike,
        json!({ "entry": struck, "why": "why-secret", "sees": [struck] }),
    );
    let snapshot = log.snapshot();
    let all = Options {
        positions: true,
        ..Options::default()
    };
    type Leave = fn(&mut Options);
    let cases: [(Leave, &[&str], usize); 4] = [
        (
            |o| o.costs = false,
            &["1234.56", "77.31", "surveyor-secret"],
            2,
        ),
        (|o| o.hours = false, &["13.75", "hours-secret"], 1),
        (|o| o.positions = false, &["51.98765", "4.12345"], 1),
        (|o| o.struck = false, &["struck-secret", "why-secret"], 2),
    ];
    for (leave, secrets, n) in cases {
        let whole = String::from_utf8(handover(&snapshot, &all).statements).unwrap();
        let mut options = all.clone();
        leave(&mut options);
        let made = handover(&snapshot, &options);
        let text = String::from_utf8(made.statements.clone()).unwrap();
        for secret in secrets {
            assert!(whole.contains(secret), "{secret}");
            assert!(!text.contains(secret), "{secret}: {text}");
        }
        assert_eq!((made.n_withheld, made.has_chunks), (n, false));
        let digests = |lines: Vec<Value>| {
            lines
                .iter()
                .map(|line| line["sha256"].as_str().unwrap().to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(
            digests(lines(&made)),
            digests(lines(&handover(&snapshot, &all)))
        );
        let out = lines(&made);
        assert_eq!(
            out.iter().filter(|line| line["left_out"] == true).count(),
            n
        );
    }
}

#[test]
fn a_withdrawn_picture_does_not_go_along_and_the_list_says_what_became_of_the_others() {
    let mut log = Log::new("Dunlin");
    let kept = log.say(Kind::Photograph, json!({ "digest": Digest::of(b"kept"), "media_type": "image/jpeg", "stage": "found", "shows": "The \"deck\", wet" }));
    log.say(
        Kind::Rendition,
        json!({ "photograph": kept, "size": "view", "digest": Digest::of(b"view") }),
    );
    let private = log.say(
        Kind::Photograph,
        json!({ "digest": Digest::of(b"private") }),
    );
    log.say(
        Kind::Withdrawal,
        json!({ "digest": Digest::of(b"private"), "entry": private, "why": "private" }),
    );
    let made = handover(&log.snapshot(), &Options::default());
    let [one] = made.originals.as_slice() else {
        panic!("{:?}", made.originals);
    };
    assert_eq!(
        one.path,
        format!("photographs/originals/{}.jpg", Digest::of(b"kept"))
    );
    let csv = |fate| String::from_utf8(list([(one, fate, true)])).unwrap();
    assert!(csv(Fate::Here).contains("\"The \"\"deck\"\", wet\""));
    assert!(csv(Fate::Here).contains(&one.path));
    assert!(!csv(Fate::Missing).contains(&one.path));
    assert!(csv(Fate::HoldsPosition).contains("it holds a position"));
}

#[test]
fn what_was_reckoned_of_money_is_left_out_with_the_costs() {
    let mut log = Log::new("Dunlin");
    let repair = log.say(Kind::Repair, json!({ "title": "New core" }));
    let inputs = json!({ "sum": { "amount": "987.65", "currency": "EUR" } });
    log.say(Kind::Reckoning, json!({ "method": "shares", "revision": 1, "inputs": inputs, "repair": repair, "words": "money-words" }));
    let options = Options {
        costs: false,
        ..Options::default()
    };
    let snapshot = log.snapshot();
    let page = crate::html(&crate::outline(&snapshot, &options), |_| None);
    assert!(page.contains("The seller has left this one out."));
    assert!(!page.contains("987.65") && !page.contains("money-words"));
    let whole = crate::html(&crate::outline(&snapshot, &Options::default()), |_| None);
    assert!(whole.contains("money-words"));
}
