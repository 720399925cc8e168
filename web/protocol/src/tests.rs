//! Every shape of message survives the way to the other side.

use crate::{
    Answer, Ask, Asked, Garbled, PictureView, Report, Row, Rows, Say, Told, Trouble, TroubleKind,
    decode, encode,
};

#[test]
fn an_ask_comes_back_as_it_was() {
    let asked = Asked {
        number: 7,
        ask: Ask::Say(Say {
            kind: "finding".to_owned(),
            fields: r#"{"title":"Kern naß ≈ ¾"}"#.to_owned(),
            happened: None,
            at_work: true,
        }),
    };
    let bytes = encode(&asked).unwrap();
    assert_eq!(decode::<Asked>(&bytes).unwrap(), asked);
}

#[test]
fn answers_and_troubles_come_back_as_they_were() {
    let row = Row {
        id: "a".to_owned(),
        also_on: vec!["Ben's laptop".to_owned()],
        ..Row::default()
    };
    let rows = Rows {
        rows: vec![row],
        n_all: 1,
        skip: 0,
    };
    for answer in [
        Ok(Answer::Rows(rows)),
        Err(Trouble::new(TroubleKind::Full, "a", "b", "c")),
    ] {
        let told = Told::Answer { number: 3, answer };
        let bytes = encode(&told).unwrap();
        assert_eq!(decode::<Told>(&bytes).unwrap(), told);
    }
}

#[test]
fn a_picture_that_answers_another_nests() {
    let pair = PictureView {
        answers: Some(Box::new(PictureView::default())),
        ..PictureView::default()
    };
    let bytes = encode(&pair).unwrap();
    assert_eq!(decode::<PictureView>(&bytes).unwrap(), pair);
}

#[test]
fn bytes_cut_short_are_refused() {
    let told = Told::Report(Report::Progress {
        number: Some(1),
        what: "Reading".to_owned(),
        done: 1,
        of: 2,
    });
    let bytes = encode(&told).unwrap();
    for end in 0..bytes.len() {
        let cut: Result<Told, Garbled> = decode(&bytes[..end]);
        assert!(cut.is_err(), "{end} of {} bytes", bytes.len());
    }
}
