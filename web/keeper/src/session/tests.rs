//! Acts on a session and what the screens then show.

mod deed;

use garboard_log::Chunk;
use garboard_protocol::{
    Amend, Choose, Filter, KeepSound, Lift, Saved, Say, Shoot, Strike, Trouble, TroubleKind,
    Window, WorkAt,
};
use garboard_record::Digest;

use super::{Arrived, ArrivedSound, Now, Session, Small, Written};

/// A device with the chunks that it has kept, a clock that steps, and chance that never repeats.
struct Device {
    session: Session,
    kept: Vec<Chunk>,
    millis: u64,
    drawn: u64,
    seed: u8,
}

const START: u64 = 1_778_000_000_000;

fn chance(seed: u8, drawn: &mut u64) -> [u8; 10] {
    *drawn += 1;
    let mut bytes = [seed; 10];
    bytes[2..].copy_from_slice(&drawn.to_be_bytes());
    bytes
}

impl Device {
    fn begin(boat: &str, hand: &str) -> Self {
        let mut drawn = 0;
        let (session, chunk) = Session::begin(
            boat,
            hand,
            "phone",
            [1; 16],
            &mut Now {
                millis: START,
                offset_minutes: 120,
                chance: &mut || chance(1, &mut drawn),
            },
        )
        .unwrap();
        Self {
            session,
            kept: vec![chunk],
            millis: START,
            drawn,
            seed: 1,
        }
    }

    /// Another device that joins with what this one has kept.
    fn join(&self, hand: &str, seed: u8) -> Self {
        let mut log = garboard_log::Log::new([seed; 16]);
        log.take_in_all(self.kept.iter().map(|c| (c.name, c.bytes.as_slice())))
            .unwrap();
        let mut drawn = 0;
        let (session, chunk) = Session::join(
            log,
            hand,
            "laptop",
            None,
            &mut Now {
                millis: self.millis + 1,
                offset_minutes: 120,
                chance: &mut || chance(seed, &mut drawn),
            },
        )
        .unwrap();
        let mut kept = self.kept.clone();
        kept.push(chunk);
        Self {
            session,
            kept,
            millis: self.millis + 1,
            drawn,
            seed,
        }
    }

    fn act<T>(&mut self, act: impl FnOnce(&mut Session, &mut Now<'_>) -> T) -> T {
        self.millis += 60_000;
        let (seed, drawn) = (self.seed, &mut self.drawn);
        act(
            &mut self.session,
            &mut Now {
                millis: self.millis,
                offset_minutes: 120,
                chance: &mut || chance(seed, drawn),
            },
        )
    }

    fn save(
        &mut self,
        act: impl FnOnce(&mut Session, &mut Now<'_>) -> Result<Written, Trouble>,
    ) -> Saved {
        let written = self.act(act).unwrap();
        self.kept.push(written.chunk);
        written.saved
    }

    fn say(&mut self, kind: &str, fields: &str) -> String {
        let say = say(kind, fields);
        let saved = self.save(|session, now| session.say(&say, now));
        saved.deeds[0].id.clone()
    }

    fn merge(&mut self, other: &Self) {
        self.session
            .take_in(other.kept.iter().map(|c| (c.name, c.bytes.as_slice())))
            .unwrap();
        self.kept.extend(other.kept.iter().cloned());
    }

    fn rows(&self, filter: &Filter) -> Vec<String> {
        let rows = self.session.rows(filter, Window::default());
        rows.rows.into_iter().map(|row| row.headline).collect()
    }
}

fn say(kind: &str, fields: &str) -> Say {
    Say {
        kind: kind.to_owned(),
        fields: fields.to_owned(),
        happened: None,
        at_work: true,
    }
}

fn work_at(finding: Option<&str>, place: Option<&str>) -> WorkAt {
    WorkAt {
        place: place.map(str::to_owned),
        finding: finding.map(str::to_owned),
        repair: None,
    }
}

fn picture(byte: u8) -> Arrived {
    Arrived {
        digest: Digest::of(&[byte]),
        size: 1,
        name: "a.jpg".to_owned(),
        media_type: "image/jpeg".to_owned(),
        facts: None,
    }
}

#[test]
fn a_blank_name_is_refused_and_begins_nothing() {
    let mut drawn = 0;
    let refused = Session::begin(
        "  ",
        "Ada",
        "phone",
        [1; 16],
        &mut Now {
            millis: START,
            offset_minutes: 0,
            chance: &mut || chance(1, &mut drawn),
        },
    );
    assert_eq!(refused.err().unwrap().kind, TroubleKind::Mistake);
}

#[test]
fn what_is_kept_opens_to_what_was_shown() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck, port"}"#);
    ada.act(|session, _| session.work_at(&work_at(None, Some(&deck))))
        .unwrap();
    ada.say("note", r#"{"words":"Bedding is hard and cracked"}"#);
    let identity = ada.session.identity.clone();
    let chunks = ada.kept.iter().map(|c| (c.name, c.bytes.clone())).collect();
    let again = Session::open(identity, chunks, None, [9; 16]);
    assert_eq!(again.snapshot(), ada.session.snapshot());
    assert_eq!(again.opened(), ada.session.opened());
    let everything = Filter::default();
    assert_eq!(
        again.rows(&everything, Window::default()),
        ada.session.rows(&everything, Window::default())
    );
}

#[test]
fn captures_go_where_the_person_works() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck, port"}"#);
    let bay = ada.say(
        "place",
        &format!(r#"{{"name":"third bay","parent":"{deck}"}}"#),
    );
    let finding = ada.say(
        "finding",
        &format!(r#"{{"title":"Wet core","place":"{bay}"}}"#),
    );
    let at = ada
        .act(|session, _| session.work_at(&work_at(Some(&finding), None)))
        .unwrap();
    assert_eq!(at.place.unwrap().path, ["Side deck, port", "third bay"]);
    let reading = ada.say("reading", r#"{"quantity":"moisture","value":"34.5 %"}"#);
    let entry = ada.session.entry(&reading).unwrap();
    assert_eq!(entry.place.unwrap().id, bay);
    assert_eq!(entry.links[0].to.id, finding);
    // A repair that is decided on here is about the finding.
    let repair = ada.say("repair", r#"{"title":"New core"}"#);
    let shown = ada.session.entry(&finding).unwrap();
    assert!(shown.links.iter().any(|link| link.to.id == repair));
    // What names its own place is left alone.
    let elsewhere = ada.say(
        "note",
        &format!(r#"{{"words":"Look here","place":"{deck}"}}"#),
    );
    let note = ada.session.entry(&elsewhere).unwrap();
    assert_eq!(note.place.unwrap().id, deck);
    assert!(note.links.is_empty());
    // A struck finding is worked at no longer.
    let strike = Strike {
        entry: finding,
        why: String::new(),
        sees: Vec::new(),
    };
    ada.save(|session, now| session.strike(&strike, now));
    assert!(ada.session.working_at().finding.is_none());
}

#[test]
fn bad_fields_change_nothing() {
    let mut ada = Device::begin("Merganser", "Ada");
    let before = ada.session.snapshot().clone();
    for (kind, fields) in [
        ("reading", r#"{"quantity":"moisture","value":"wet"}"#),
        ("finding", r#"{"title":"x","extent":"-3 mm"}"#),
        ("finding", "{}"),
        ("finding", "no JSON"),
        ("finding", r#"{"title":"x","colour":"red"}"#),
        (
            "note",
            r#"{"words":"x","place":"01a21214-c03f-737e-83e7-2efd6a5fb727"}"#,
        ),
        ("thing", "{}"),
    ] {
        let say = say(kind, fields);
        let refused = ada.act(|session, now| session.say(&say, now).map(|_| ()));
        let trouble = refused.unwrap_err();
        assert_eq!(trouble.kind, TroubleKind::Mistake, "{fields}");
        assert_eq!(*ada.session.snapshot(), before, "{fields}");
    }
    let mut late = say("note", r#"{"words":"x"}"#);
    late.happened = Some("yesterday".to_owned());
    assert!(ada.act(|session, now| session.say(&late, now).is_err()));
    assert_eq!(*ada.session.snapshot(), before);
}

#[test]
fn two_hands_that_differ_are_both_shown_until_one_chooses() {
    let mut ada = Device::begin("Merganser", "Ada");
    let finding = ada.say("finding", r#"{"title":"Wet core","observed":"soft"}"#);
    let mut ben = ada.join("Ben", 2);
    let amend = |value: &str| Amend {
        entry: finding.clone(),
        field: "observed".to_owned(),
        value: value.to_owned(),
        sees: vec![finding.clone()],
    };
    ada.save(|session, now| session.amend(&amend(r#""soft to 60 cm aft""#), now));
    ben.save(|session, now| session.amend(&amend(r#""soft to the stanchion""#), now));
    ada.merge(&ben);
    ben.merge(&ada);
    assert_eq!(ada.session.snapshot(), ben.session.snapshot());
    let shown = ben.session.entry(&finding).unwrap();
    assert_eq!(shown.disputes.len(), 1);
    let hands: Vec<_> = shown.disputes[0]
        .values
        .iter()
        .map(|value| (value.hand.as_str(), value.shown.as_str()))
        .collect();
    assert_eq!(
        hands,
        [
            ("Ada", "soft to 60 cm aft"),
            ("Ben", "soft to the stanchion")
        ]
    );
    assert_eq!(ben.session.opened().n_disputes, 1);
    let only = Filter {
        only_disputed: true,
        ..Filter::default()
    };
    assert_eq!(ben.rows(&only), ["Wet core"]);
    let choose = Choose {
        entry: finding.clone(),
        field: "observed".to_owned(),
        statement: shown.disputes[0].values[0].statement.clone(),
        sees: shown.disputes[0]
            .values
            .iter()
            .map(|value| value.statement.clone())
            .collect(),
        reason: "measured again".to_owned(),
    };
    ben.save(|session, now| session.choose(&choose, now));
    let shown = ben.session.entry(&finding).unwrap();
    assert!(shown.disputes.is_empty());
    let observed = shown.values.iter().find(|v| v.field == "observed").unwrap();
    assert_eq!(observed.shown, "soft to 60 cm aft");
    let deeds: Vec<_> = shown
        .history
        .iter()
        .map(|line| line.deed.as_str())
        .collect();
    assert_eq!(
        deeds,
        ["Written", "Written", "Amended", "Amended", "Chosen"]
    );
}

#[test]
fn a_choice_made_without_seeing_a_third_value_leaves_the_dispute_open() {
    let mut ada = Device::begin("Merganser", "Ada");
    let finding = ada.say("finding", r#"{"title":"Wet core"}"#);
    let mut ben = ada.join("Ben", 2);
    let mut cem = ada.join("Cem", 3);
    let amend = |value: &str| Amend {
        entry: finding.clone(),
        field: "title".to_owned(),
        value: value.to_owned(),
        sees: vec![finding.clone()],
    };
    ada.save(|session, now| session.amend(&amend(r#""one""#), now));
    ben.save(|session, now| session.amend(&amend(r#""two""#), now));
    cem.save(|session, now| session.amend(&amend(r#""three""#), now));
    ada.merge(&ben);
    let values = ada.session.entry(&finding).unwrap().disputes[0]
        .values
        .clone();
    // The third value comes before the choice is sent, and was never before the eyes.
    ada.merge(&cem);
    let choose = Choose {
        entry: finding.clone(),
        field: "title".to_owned(),
        statement: values[0].statement.clone(),
        sees: values.iter().map(|value| value.statement.clone()).collect(),
        reason: String::new(),
    };
    ada.save(|session, now| session.choose(&choose, now));
    let shown = ada.session.entry(&finding).unwrap();
    let left: Vec<_> = shown.disputes[0]
        .values
        .iter()
        .map(|v| v.shown.as_str())
        .collect();
    assert_eq!(left, ["three", "one"]);
}

#[test]
fn a_strike_stays_legible_and_can_be_lifted() {
    let mut ada = Device::begin("Merganser", "Ada");
    let note = ada.say("note", r#"{"words":"22 % at C4"}"#);
    let strike = Strike {
        entry: note.clone(),
        why: "wrong spot".to_owned(),
        sees: Vec::new(),
    };
    ada.save(|session, now| session.strike(&strike, now));
    let shown = ada.session.entry(&note).unwrap();
    assert!(shown.is_struck);
    assert_eq!(shown.strikes[0].why, "wrong spot");
    assert_eq!(ada.rows(&Filter::default())[0], "22 % at C4");
    assert!(ada.act(|session, now| session.strike(&strike, now).is_err()));
    let lift = Lift {
        entry: note.clone(),
        sees: shown.sees,
    };
    ada.save(|session, now| session.lift(&lift, now));
    assert!(!ada.session.entry(&note).unwrap().is_struck);
    assert!(ada.act(|session, now| session.lift(&lift, now).is_err()));
}

#[test]
fn a_clock_runs_through_a_restart_and_is_stopped_once() {
    let mut ada = Device::begin("Merganser", "Ada");
    ada.save(Session::start_stint);
    assert!(ada.act(|session, now| session.start_stint(now).is_err()));
    let chunks = ada.kept.iter().map(|c| (c.name, c.bytes.clone())).collect();
    let mut again = Session::open(ada.session.identity.clone(), chunks, None, [9; 16]);
    std::mem::swap(&mut again, &mut ada.session);
    let running = ada.session.stints();
    assert_eq!(running.len(), 1);
    assert!(running[0].is_mine);
    let id = running[0].id.clone();
    ada.millis += 2 * 3_600_000;
    ada.save(|session, now| session.stop_stint(&id, now));
    assert!(ada.session.stints().is_empty());
    let figure = ada.session.entry(&id).unwrap().figure.unwrap();
    assert_eq!((figure.value.as_str(), figure.unit.as_str()), ("2.03", "h"));
    assert!(ada.act(|session, now| session.stop_stint(&id, now).is_err()));
}

#[test]
fn photographs_shot_in_one_go_share_a_row_and_are_not_taken_in_twice() {
    let mut ada = Device::begin("Merganser", "Ada");
    let finding = ada.say("finding", r#"{"title":"Wet core"}"#);
    ada.act(|session, _| session.work_at(&work_at(Some(&finding), None)))
        .unwrap();
    let shoot = Shoot::default();
    let mut ids = Vec::new();
    for byte in [1, 2, 3] {
        let (written, deed) = ada
            .act(|session, now| session.shoot(&shoot, &picture(byte), now))
            .unwrap();
        ada.kept.push(written.unwrap().chunk);
        ada.session.add_pictures([Digest::of(&[byte])]);
        assert!(!deed.is_repeat);
        ids.push(deed.id);
    }
    let (written, deed) = ada
        .act(|session, now| session.shoot(&shoot, &picture(2), now))
        .unwrap();
    assert!(written.is_none() && deed.is_repeat);
    assert_eq!(deed.entry, ids[1]);
    let rows = ada.session.rows(&Filter::default(), Window::default()).rows;
    let entries: Vec<_> = rows[0].thumbs.iter().map(|thumb| &thumb.entry).collect();
    assert_eq!(entries, ids.iter().collect::<Vec<_>>());
    // The first photographs of a finding show it as found; the strokes say so.
    assert_eq!(rows[0].headline, "Found");
    assert_eq!(ada.session.working_at().strokes, 1);
    assert!(!rows[0].thumbs[0].is_here);

    let small = |size, byte| Small {
        size,
        digest: Digest::of(&[byte]),
        n_bytes: 1,
        width: 320,
        height: 240,
        made_by: "a test",
    };
    let photograph = ids[0].parse().unwrap();
    let sizes = [small("view", 11), small("thumbnail", 12)];
    ada.save(|session, now| session.shrunk(photograph, &sizes, now));
    ada.session.add_pictures(sizes.iter().map(|one| one.digest));
    let shown = ada.session.entry(&ids[0]).unwrap();
    assert!(shown.pictures[0].is_here && shown.pictures[0].has_original);
    assert_eq!(
        (shown.pictures[0].width, shown.pictures[0].height),
        (320, 240)
    );
}

#[test]
fn the_page_is_windowed_filtered_and_searched() {
    let mut ada = Device::begin("Merganser", "Ada");
    let deck = ada.say("place", r#"{"name":"Side deck, port"}"#);
    let bay = ada.say(
        "place",
        &format!(r#"{{"name":"third bay","parent":"{deck}"}}"#),
    );
    ada.say(
        "note",
        &format!(r#"{{"words":"Screws TURN freely","place":"{bay}"}}"#),
    );
    ada.say("note", r#"{"words":"Rain all day"}"#);
    let all = ada.session.rows(&Filter::default(), Window::default());
    assert_eq!(all.n_all, 5);
    let second = ada
        .session
        .rows(&Filter::default(), Window { skip: 1, take: 1 });
    assert_eq!(second.rows, all.rows[1..2]);
    let find = |words: &str| {
        ada.rows(&Filter {
            words: words.to_owned(),
            ..Filter::default()
        })
    };
    assert_eq!(find("turn screws"), ["Screws TURN freely"]);
    assert_eq!(find("turn rain"), Vec::<String>::new());
    let within = Filter {
        place: Some(deck),
        kinds: vec!["note".to_owned()],
        ..Filter::default()
    };
    assert_eq!(ada.rows(&within), ["Screws TURN freely"]);
    let nonsense = Filter {
        place: Some("not an id".to_owned()),
        ..Filter::default()
    };
    assert_eq!(ada.rows(&nonsense), Vec::<String>::new());
}

#[test]
fn marks_lie_on_their_photograph_and_are_moved_and_struck_like_anything_else() {
    let mut phone = Device::begin("Merganser", "Ada");
    let (written, deed) = phone
        .act(|session, now| session.shoot(&Shoot::default(), &picture(1), now))
        .unwrap();
    phone.kept.push(written.unwrap().chunk);
    let of = |phone: &Device| {
        let view = phone.session.entry(&deed.entry).unwrap();
        view.pictures[0].marks.clone()
    };
    assert!(of(&phone).is_empty());
    let fields = format!(
        r#"{{"photograph":"{}","shape":"arrow","points":[100,200,300,1000]}}"#,
        deed.entry
    );
    let arrow = phone.say("mark", &fields);
    let mark = of(&phone).remove(0);
    assert_eq!(
        (mark.entry.as_str(), mark.shape.as_str()),
        (&*arrow, "arrow")
    );
    assert_eq!(mark.points, [100, 200, 300, 1000]);

    let mut laptop = phone.join("Ben", 2);
    for (device, points) in [(&mut phone, "[0,0,1,1]"), (&mut laptop, "[9,9,8,8]")] {
        let moved = Amend {
            entry: arrow.clone(),
            field: "points".to_owned(),
            value: points.to_owned(),
            sees: mark.sees.clone(),
        };
        device.save(|session, now| session.amend(&moved, now));
    }
    phone.merge(&laptop);
    let both = of(&phone).remove(0);
    // Two hands moved it without knowing of each other: it lies at the lower statement's place, and says so.
    assert!(both.is_disputed && [vec![0, 0, 1, 1], vec![9, 9, 8, 8]].contains(&both.points));
    // Who saw both and moves it settles it.
    let settled = Amend {
        entry: arrow.clone(),
        field: "points".to_owned(),
        value: "[5,5,6,6]".to_owned(),
        sees: both.sees,
    };
    phone.save(|session, now| session.amend(&settled, now));
    let mark = of(&phone).remove(0);
    assert!(!mark.is_disputed);
    assert_eq!(mark.points, [5, 5, 6, 6]);

    let strike = Strike {
        entry: arrow.clone(),
        why: String::new(),
        sees: Vec::new(),
    };
    phone.save(|session, now| session.strike(&strike, now));
    assert!(of(&phone)[0].is_struck);
    let lift = Lift {
        entry: arrow,
        sees: Vec::new(),
    };
    phone.save(|session, now| session.lift(&lift, now));
    assert!(!of(&phone)[0].is_struck);
}

#[test]
fn points_that_lie_outside_the_picture_are_refused() {
    let mut phone = Device::begin("Merganser", "Ada");
    let (written, deed) = phone
        .act(|session, now| session.shoot(&Shoot::default(), &picture(1), now))
        .unwrap();
    phone.kept.push(written.unwrap().chunk);
    for points in ["[1001,0]", "[1.5,2]", "[\"1\",2]", "7"] {
        let fields = format!(
            r#"{{"photograph":"{}","shape":"number","points":{points}}}"#,
            deed.entry
        );
        let said = say("mark", &fields);
        let refused = phone.act(|session, now| session.say(&said, now));
        assert!(refused.is_err(), "{points}");
    }
}

#[test]
fn a_sound_note_goes_where_the_person_works_and_is_written_out_later() {
    let mut phone = Device::begin("Merganser", "Ada");
    let finding = phone.say("finding", r#"{"title":"Wet core"}"#);
    phone
        .session
        .work_at(&work_at(Some(&finding), None))
        .unwrap();
    let arrived = ArrivedSound {
        digest: Digest::of(b"words said aloud"),
        size: 16,
        media_type: "audio/webm",
    };
    let said = KeepSound {
        secs: "42.5".to_owned(),
        ..KeepSound::default()
    };
    let (written, deed) = phone
        .act(|session, now| session.keep_sound(&said, &arrived, now))
        .unwrap();
    phone.kept.push(written.unwrap().chunk);
    assert!(!deed.is_repeat);
    let view = phone.session.entry(&deed.entry).unwrap();
    let sound = view.sound.unwrap();
    assert_eq!(sound.digest, arrived.digest.to_string());
    assert!(!sound.is_here && !sound.is_withdrawn);
    assert!(
        view.values.iter().any(
            |value| value.field == "finding" && value.link.as_deref() == Some(finding.as_str())
        )
    );
    let row = |phone: &Device| {
        let rows = phone.session.rows(&Filter::default(), Window::default());
        let row = rows.rows.into_iter().find(|row| row.kind == "sound-note");
        row.map(|row| (row.headline, row.detail)).unwrap()
    };
    let shown = row(&phone);
    assert_eq!(shown.0, "Sound note");
    assert!(
        shown.1.contains("42.5") && shown.1.contains("not written out yet"),
        "{shown:?}"
    );

    // The same bytes at the same place are one note.
    let (again, repeat) = phone
        .act(|session, now| session.keep_sound(&said, &arrived, now))
        .unwrap();
    assert!(again.is_none() && repeat.is_repeat && repeat.entry == deed.entry);

    phone.session.add_pictures([arrived.digest]);
    let amend = Amend {
        entry: deed.entry.clone(),
        field: "words".to_owned(),
        value: r#""The core is brown to the third bay.""#.to_owned(),
        sees: Vec::new(),
    };
    phone.save(|session, now| session.amend(&amend, now));
    let shown = row(&phone);
    assert_eq!(shown.0, "The core is brown to the third bay.");
    assert!(
        phone
            .session
            .entry(&deed.entry)
            .unwrap()
            .sound
            .unwrap()
            .is_here
    );

    let fields = format!(
        r#"{{"entry":"{}","digest":"{}","why":"private"}}"#,
        deed.entry, arrived.digest
    );
    phone.say("withdrawal", &fields);
    assert!(
        phone
            .session
            .entry(&deed.entry)
            .unwrap()
            .sound
            .unwrap()
            .is_withdrawn
    );
}

#[test]
fn a_moisture_reading_carries_its_caution() {
    let mut ada = Device::begin("Merganser", "Ada");
    for (value, word) in [("34 %", "bare wood"), ("60 scale", "no percentage")] {
        let id = ada.say(
            "reading",
            &format!(r#"{{"quantity":"moisture","value":"{value}"}}"#),
        );
        let cautions = ada.session.entry(&id).unwrap().cautions;
        assert!(cautions[0].contains(word), "{cautions:?}");
    }
    let id = ada.say("reading", r#"{"quantity":"thickness","value":"12.7 mm"}"#);
    assert!(ada.session.entry(&id).unwrap().cautions.is_empty());
}

#[test]
fn a_copy_of_the_device_becomes_another_device() {
    let mut ada = Device::begin("Merganser", "Ada");
    // A restored backup writes on from the same state.
    let mut copy = Device {
        session: Session::open(
            ada.session.identity.clone(),
            ada.kept.iter().map(|c| (c.name, c.bytes.clone())).collect(),
            None,
            [7; 16],
        ),
        kept: ada.kept.clone(),
        millis: ada.millis,
        drawn: 1_000,
        seed: 7,
    };
    ada.say("note", r#"{"words":"on the phone"}"#);
    copy.say("note", r#"{"words":"on the copy"}"#);
    let came = copy
        .session
        .take_in(ada.kept.iter().map(|c| (c.name, c.bytes.as_slice())))
        .unwrap();
    assert!(copy.session.is_copied(&came.statements));
    let before = copy.session.identity.device;
    let chunk = copy
        .act(|session, now| session.become_another(now))
        .unwrap();
    copy.kept.push(chunk);
    assert_ne!(copy.session.identity.device, before);
    copy.say("note", r#"{"words":"after"}"#);
    ada.merge(&copy);
    let notes = Filter {
        kinds: vec!["note".to_owned()],
        ..Filter::default()
    };
    let mut found = ada.rows(&notes);
    found.sort();
    assert_eq!(found, ["after", "on the copy", "on the phone"]);
}

#[test]
fn what_another_device_has_is_known_from_its_heads() {
    let mut ada = Device::begin("Merganser", "Ada");
    ada.say("note", r#"{"words":"one"}"#);
    let ben = ada.join("Ben", 2);
    ada.merge(&ben);
    let heads = ben.session.log().heads();
    let after = ada.say("note", r#"{"words":"two"}"#);
    let counts = ada.session.counts_at(&heads);
    ada.session
        .device_has(ben.session.identity.device, counts, "2026-05-09T12:00:00Z");
    let rows = ada.session.rows(&Filter::default(), Window::default()).rows;
    let on = |id: &str| {
        rows.iter()
            .find(|row| row.id == id)
            .unwrap()
            .also_on
            .clone()
    };
    assert_eq!(on(&after), Vec::<String>::new());
    let one = rows.iter().find(|row| row.headline == "one").unwrap();
    assert_eq!(one.also_on, ["Ben: laptop"]);
    let devices = ada.session.devices();
    assert!(devices[0].is_this);
    assert_eq!(devices[1].n_lacks, 1);
}

#[test]
fn every_form_names_fields_that_its_kind_has() {
    let ada = Device::begin("Merganser", "Ada");
    let choices = ada.session.choices();
    assert!(choices.forms.len() > 20);
    for form in &choices.forms {
        let kind = garboard_record::Kind::of(&form.kind);
        assert!(!form.fields.is_empty(), "{}", form.kind);
        assert!(
            form.fields.iter().any(|field| field.is_first),
            "{} shows nothing at once",
            form.kind
        );
        for field in &form.fields {
            assert!(kind.field(&field.name).is_some(), "{}", field.name);
        }
    }
}
