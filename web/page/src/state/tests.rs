//! The reducer, without a browser.

use garboard_protocol::{
    Answer, Filter, HandCard, Hello, Opened, PlaceRef, Ref, Remembered, Report, Row, Rows, Trouble,
    TroubleKind, WorkingAt,
};

use super::{Action, Phase, Route, Section, State, by_day};

fn opened(log: &str) -> Opened {
    Opened {
        log: log.to_owned(),
        boat: "Wagtail".to_owned(),
        boat_entry: None,
        hand: HandCard {
            id: "h".to_owned(),
            name: "Ada".to_owned(),
        },
        device: Ref::default(),
        working_at: WorkingAt::default(),
        stints: Vec::new(),
        n_statements: 3,
        n_disputes: 0,
        n_alone: 0,
        last_sent: String::new(),
        units: String::new(),
        remarks: Vec::new(),
        is_demo: false,
    }
}

fn rows(n: u32) -> Rows {
    let rows = (0..n).map(|idx| Row {
        id: idx.to_string(),
        happened: "2026-05-09T14:22:00+02:00".to_owned(),
        ..Row::default()
    });
    Rows {
        rows: rows.collect(),
        n_all: n,
        skip: 0,
    }
}

fn after(actions: impl IntoIterator<Item = Action>) -> State {
    actions
        .into_iter()
        .fold(State::new(Route::Log, false), |state, action| {
            state.after(action)
        })
}

#[test]
fn what_was_remembered_is_shown_and_can_be_captured_to() {
    let remembered = Remembered {
        opened: opened("a"),
        rows: rows(2),
    };
    let state = after([Action::Told(Report::Remembered(Box::new(remembered)))]);
    assert_eq!(state.phase, Phase::Remembered);
    assert_eq!(state.rows.as_ref().unwrap().rows.len(), 2);
    assert!(
        state.can_write(),
        "a capture waits for the keeper, the person does not"
    );
    let state = state.after(Action::Greeted(Hello {
        build: String::new(),
        opened: Some(opened("a")),
        is_writer: true,
    }));
    assert!(state.can_write());
    assert!(
        state.rows.is_some(),
        "the rows of the same log stay until newer ones come"
    );
}

#[test]
fn another_log_shows_nothing_of_the_one_before() {
    let filter = Filter {
        words: "rot".to_owned(),
        ..Filter::default()
    };
    let state = after([
        Action::Opened(opened("a")),
        Action::Sift(filter.clone()),
        Action::Rows(filter, rows(2)),
        Action::Stage(Some("opened".to_owned())),
        Action::Opened(opened("b")),
    ]);
    assert!(state.rows.is_none() && state.stage.is_none() && state.filter == Filter::default());
}

#[test]
fn rows_for_an_older_filter_are_not_shown() {
    let filter = Filter {
        words: "rot".to_owned(),
        ..Filter::default()
    };
    let state = after([
        Action::Opened(opened("a")),
        Action::Sift(filter),
        Action::Rows(Filter::default(), rows(2)),
    ]);
    assert!(state.rows.is_none());
}

#[test]
fn a_capture_is_shown_until_it_is_saved() {
    let captured = Action::Captured {
        number: 7,
        words: "a reading".to_owned(),
    };
    let state = after([Action::Opened(opened("a")), captured]);
    assert_eq!(state.pending.len(), 1);
    let before = state.revision;
    let state = state.after(Action::Saved {
        number: 7,
        entries: vec!["e".to_owned()],
    });
    assert!(state.pending.is_empty());
    assert_eq!(state.fresh, ["e"]);
    assert_ne!(state.revision, before);
}

#[test]
fn what_was_not_saved_stays_with_its_reason_until_let_go() {
    let trouble = Trouble::new(
        TroubleKind::Full,
        "The storage is full.",
        "All before is safe.",
        "Make room.",
    );
    let state = after([
        Action::Opened(opened("a")),
        Action::Captured {
            number: 7,
            words: "a reading".to_owned(),
        },
        Action::NotSaved {
            number: 7,
            trouble: trouble.clone(),
        },
    ]);
    assert_eq!(state.pending[0].trouble, Some(trouble));
    assert!(state.fresh.is_empty());
    assert!(state.after(Action::LetGo(7)).pending.is_empty());
}

#[test]
fn a_stage_chosen_by_hand_lasts_until_the_person_moves() {
    let at = |place: &str| WorkingAt {
        place: Some(PlaceRef {
            id: place.to_owned(),
            path: vec![place.to_owned()],
        }),
        ..WorkingAt::default()
    };
    let state = after([
        Action::Opened(opened("a")),
        Action::WorkingAt(at("bow")),
        Action::Stage(Some("prepared".to_owned())),
        Action::WorkingAt(WorkingAt {
            strokes: 3,
            ..at("bow")
        }),
    ]);
    assert_eq!(state.stage.as_deref(), Some("prepared"));
    assert_eq!(state.after(Action::WorkingAt(at("stern"))).stage, None);
}

#[test]
fn an_entry_keeps_the_tab_from_which_it_was_opened() {
    let state = after([
        Action::Opened(opened("a")),
        Action::Went(Route::Boat),
        Action::Went(Route::Entry("x".to_owned())),
    ]);
    assert_eq!((state.section, state.depth), (Section::Boat, 1));
    assert_eq!(state.after(Action::Went(Route::Log)).depth, 0);
}

#[test]
fn progress_is_replaced_and_ends() {
    let progress = |done| {
        Action::Told(Report::Progress {
            number: Some(3),
            what: "Reading the parcel".to_owned(),
            done,
            of: 9,
        })
    };
    let state = after([progress(1), progress(2)]);
    assert_eq!((state.progress.len(), state.progress[0].done), (1, 2));
    assert!(state.after(progress(9)).progress.is_empty());
    assert!(state.after(Action::Ended(3)).progress.is_empty());
}

#[test]
fn a_second_tab_follows_until_it_may_write() {
    let state = after([Action::Greeted(Hello {
        build: String::new(),
        opened: Some(opened("a")),
        is_writer: false,
    })]);
    assert!(!state.can_write());
    assert!(
        state
            .after(Action::Told(Report::Writer { is_writer: true }))
            .can_write()
    );
}

#[test]
fn a_log_that_is_gone_leads_to_the_start() {
    let trouble = Trouble::new(TroubleKind::NoLog, "", "", "");
    let state = after([
        Action::Opened(opened("a")),
        Action::Told(Report::Trouble(trouble)),
    ]);
    assert_eq!(state.phase, Phase::Start);
}

#[test]
fn the_same_notice_is_shown_once_and_at_most_three() {
    let notice = |lead: &str| Action::Notice {
        lead: lead.to_owned(),
        rest: String::new(),
        entry: None,
        is_passing: false,
    };
    let state = after([
        notice("a"),
        notice("a"),
        notice("b"),
        notice("c"),
        notice("d"),
    ]);
    let leads: Vec<&str> = state
        .notices
        .iter()
        .map(|notice| notice.lead.as_str())
        .collect();
    assert_eq!(leads, ["b", "c", "d"]);
}

#[test]
fn rows_are_grouped_by_the_day_on_which_they_happened() {
    let row = |happened: &str| Row {
        happened: happened.to_owned(),
        ..Row::default()
    };
    let rows = [
        row("2026-05-09T14:22:00+02:00"),
        row("2026-05-09T00:01:00+02:00"),
        row("2026-05-08"),
        row("1987"),
    ];
    let days: Vec<(&str, usize)> = by_day(&rows)
        .into_iter()
        .map(|day| (day.date, day.rows.len()))
        .collect();
    assert_eq!(days, [("2026-05-09", 2), ("2026-05-08", 1), ("1987", 1)]);
}

#[test]
fn every_screen_has_an_address_that_leads_back_to_it() {
    let routes = [
        Route::Log,
        Route::Boat,
        Route::Work,
        Route::Share,
        Route::Entry("id".to_owned()),
        Route::Add {
            kind: "test".to_owned(),
            about: None,
        },
        Route::Add {
            kind: "test".to_owned(),
            about: Some("id".to_owned()),
        },
        Route::Measure,
        Route::Write,
        Route::Change,
    ];
    for route in routes {
        assert_eq!(Route::of_hash(&route.hash()), route);
    }
    assert_eq!(Route::of_hash(""), Route::Log);
    assert_eq!(Route::of_hash("/nowhere/at/all"), Route::Log);
}

#[test]
fn answers_are_small_enough_to_hand_around() {
    assert!(size_of::<Answer>() <= 400);
}
