//! The form on paper: what it refuses and reports, and that it is the same every time.

use garboard_record::Snapshot;

use super::*;
use crate::outline::Block;
use crate::{Options, outline};

fn demonstration() -> (Outline, Vec<(Digest, Vec<u8>)>) {
    let told = garboard_demo::told().unwrap();
    let pictures = told
        .rendered
        .iter()
        .map(|made| (made.digest, made.bytes.clone()))
        .collect();
    (outline(&told.snapshot(), &Options::default()), pictures)
}

fn kept(pictures: &[(Digest, Vec<u8>)]) -> impl Fn(Digest) -> Option<Vec<u8>> {
    |wanted| {
        let found = pictures.iter().find(|(digest, _)| *digest == wanted);
        found.map(|(_, bytes)| bytes.clone())
    }
}

fn made(outline: &Outline, pictures: &[(Digest, Vec<u8>)], paper: Paper) -> Pdf {
    pdf(outline, paper, "2026-06-14", kept(pictures)).unwrap()
}

fn written(file: &Pdf, pictures: &[(Digest, Vec<u8>)]) -> Vec<u8> {
    let mut out = Vec::new();
    file.write(kept(pictures), &mut out).unwrap();
    assert_eq!(out.len() as u64, file.n_bytes);
    out
}

#[test]
fn the_demonstration_is_set_on_both_papers_and_twice_the_same() {
    let (said, pictures) = demonstration();
    for paper in [Paper::A4, Paper::Letter] {
        let once = made(&said, &pictures, paper);
        let bytes = written(&once, &pictures);
        assert!(bytes.starts_with(b"%PDF-1.7"));
        assert_eq!(once.n_missing, 0);
        assert_eq!(once.unprintable, []);
        assert!(bytes == written(&made(&said, &pictures, paper), &pictures));
    }
}

#[test]
fn pictures_go_through_untouched() {
    let (said, pictures) = demonstration();
    let file = written(&made(&said, &pictures, Paper::A4), &pictures);
    let mut n = 0;
    for (_, picture) in &pictures {
        n += usize::from(file.windows(picture.len()).any(|part| part == picture));
    }
    assert_eq!(n, made(&said, &pictures, Paper::A4).n_pictures);
    assert!(n > 10);
}

#[test]
fn small_pictures_make_a_light_file_without_a_view() {
    let (whole, pictures) = demonstration();
    let small = Options {
        small_pictures: true,
        ..Options::default()
    };
    let small = outline(&garboard_demo::told().unwrap().snapshot(), &small);
    let [whole, small] = [&whole, &small].map(|said| made(said, &pictures, Paper::A4));
    let views = outline::tests::views();
    let n_views = |file: &[u8]| {
        let is_in = |picture: &[u8]| file.windows(picture.len()).any(|part| part == picture);
        let views = pictures.iter().filter(|(digest, _)| views.contains(digest));
        views.filter(|(_, bytes)| is_in(bytes)).count()
    };
    assert!(n_views(&written(&whole, &pictures)) > 10);
    assert_eq!(n_views(&written(&small, &pictures)), 0);
    assert_eq!(
        (small.n_pictures, small.n_missing),
        (whole.n_pictures, whole.n_missing)
    );
    assert!(small.n_bytes * 2 < whole.n_bytes);
}

#[test]
fn a_log_without_anything_can_be_set() {
    let empty = Snapshot::of(Vec::<(garboard_record::Id, String)>::new());
    let said = outline(&empty, &Options::default());
    assert!(made(&said, &[], Paper::A4).n_pages >= 3);
}

#[test]
fn a_picture_that_is_not_at_hand_is_counted() {
    let (said, _) = demonstration();
    let file = made(&said, &[], Paper::A4);
    assert_eq!(file.n_pictures, 0);
    assert!(file.n_missing > 10);
}

#[test]
fn a_day_that_is_none_is_refused() {
    let (said, _) = demonstration();
    for day in ["", "tomorrow", "2026-06", "2026"] {
        let error = pdf(&said, Paper::A4, day, |_| None).unwrap_err();
        assert!(matches!(error, Error::Day { .. }), "{day}: {error}");
    }
}

#[test]
fn what_no_face_has_is_named_by_its_number_and_reported() {
    let (mut said, _) = demonstration();
    said.title
        .statements
        .push("Gebaut in \u{4E2D}\u{6587} werft".to_owned());
    let file = made(&said, &[], Paper::A4);
    let expected =
        ["\u{4E2D}", "\u{6587}"].map(|c| ("the title page".to_owned(), c.chars().next().unwrap()));
    assert_eq!(file.unprintable, expected);
}

#[test]
fn a_row_taller_than_a_sheet_goes_on_over_the_next() {
    let (mut said, _) = demonstration();
    let long = "a word and another ".repeat(3000);
    for section in &mut said.sections {
        for block in &mut section.blocks {
            if let Block::Table(table) = block
                && let Some(cell) = table.rows.first_mut().and_then(|row| row.cells.first_mut())
            {
                cell.text.clone_from(&long);
            }
        }
    }
    let (plain, _) = demonstration();
    assert!(made(&said, &[], Paper::A4).n_pages > made(&plain, &[], Paper::A4).n_pages + 5);
}

#[test]
fn a_picture_that_changes_while_the_file_is_written_is_refused() {
    let (said, mut pictures) = demonstration();
    let file = made(&said, &pictures, Paper::A4);
    for (_, bytes) in &mut pictures {
        bytes.push(0);
    }
    for now in [pictures.as_slice(), &[]] {
        let error = file.write(kept(now), Vec::new()).unwrap_err();
        assert_eq!(error.kind(), std::io::ErrorKind::InvalidData);
        assert!(error.to_string().contains("was altered meanwhile"));
    }
}
