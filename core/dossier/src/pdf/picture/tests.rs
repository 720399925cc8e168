//! Heads that stand for pictures, and a file in which pictures took their places.

use super::*;
use crate::outline::tests::demonstration;
use crate::{Options, Paper, outline, pdf};

/// A picture with a note of so many signs beside its colours.
fn noted(n: usize) -> Vec<u8> {
    let (told, _) = demonstration();
    let bytes = &told.rendered.first().unwrap().bytes;
    let length = u16::try_from(n + 2).unwrap().to_be_bytes();
    let (start, rest) = bytes.split_at(2);
    [start, &[0xff, 0xe1], &length, &vec![b'n'; n], rest].concat()
}

#[test]
fn a_head_is_read_as_its_picture_is_and_holds_neither_pixels_nor_notes() {
    let bytes = noted(9000);
    let digest = Digest::of(&bytes);
    let head = head(digest, &bytes).unwrap();
    assert!(head.len() < 1500, "{}", head.len());
    assert!(memmem::find(&head, b"nnnn").is_none());
    let [whole, stands] =
        [bytes, head].map(|bytes| Image::from_jpeg(Data::from(bytes), false).unwrap());
    assert_eq!(whole.size(), stands.size());
}

#[test]
fn what_is_no_picture_is_not_taken_and_nothing_cut_is_misread() {
    let bytes = noted(3);
    let mut pictures = Pictures::default();
    for n in 0..bytes.len().min(700) {
        let cut = bytes.get(..n).unwrap_or_default();
        let is_whole = head(Digest::of(cut), cut).is_some();
        assert_eq!(
            pictures.take(Digest::of(cut), cut.to_vec()),
            is_whole,
            "{n}"
        );
    }
    assert!(!pictures.take(Digest::of(b""), b"\xff\xd8\xff\xe0 no picture".to_vec()));
}

#[test]
fn every_object_stands_where_the_table_says_it_does() {
    let (told, snapshot) = demonstration();
    let said = outline(snapshot, &Options::default());
    let picture = |wanted| told.picture(wanted);
    let file = pdf(&said, Paper::A4, "2026-06-14", picture).unwrap();
    let mut bytes = Vec::new();
    file.write(picture, &mut bytes).unwrap();
    let table = Table::of(&bytes).unwrap();
    assert!(table.offsets.len() > 100);
    for (number, offset) in table.offsets.iter().enumerate().skip(1) {
        let object = bytes.get(offset.unwrap()..).unwrap();
        let named = format!("{number} 0 obj");
        assert!(object.starts_with(named.as_bytes()), "{named}");
    }
    // Nothing of what stood for the pictures is left.
    assert!(memmem::find(&bytes, NOTE).is_none());
    assert!(file.n_pictures > 10);
}

#[test]
fn a_file_in_which_heads_lie_otherwise_is_refused() {
    let bytes = noted(3);
    let digest = Digest::of(&bytes);
    let head = head(digest, &bytes).unwrap();
    let mut pictures = Pictures::default();
    assert!(pictures.take(digest, bytes));
    let file = |before: &[u8], after: &[u8]| [before, &head, after].concat();
    let table = b"\nendstream\nendobj\nxref\n0 1\n0000000000 65535 f\r\ntrailer\nstartxref\n";
    let stream = b"1 0 obj\n<< /Length 1 >>\nstream\n";
    let at = stream.len() + head.len() + 18;
    let end = [table.as_slice(), format!("{at}\n%%EOF").as_bytes()].concat();
    assert_eq!(pictures.placed(file(stream, &end)).unwrap().len(), 3);
    for (before, after, what) in [
        (
            b"1 0 obj".as_slice(),
            end.as_slice(),
            "otherwise than it should",
        ),
        (stream, b"\nendstream", "the table of offsets"),
    ] {
        let error = pictures
            .placed(file(before, after))
            .unwrap_err()
            .to_string();
        assert!(error.contains(what), "{error}");
    }
}
