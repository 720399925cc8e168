//! Parcels: what goes along, how they are split, and what is refused.

use std::io::Cursor;

use garboard_log::{Chunk, Log};
use garboard_record::{Digest, Draft, Id, Index, Kind, Snapshot, Stamper, draft};
use proptest::prelude::{any, proptest};
use proptest::{prop_assert, prop_assert_eq};

use crate::{
    Contents, Error, Manifest, PictureName, Pictures, Reader, Report, Size, parts, pictures, write,
};

/// A log with one photograph in three sizes, whose bytes are their own names.
struct Built {
    log: Log,
    chunks: Vec<Chunk>,
    stamper: Stamper,
    photograph: Id,
}

const SIZES: [&[u8]; 3] = [b"original", b"view", b"thumbnail"];

fn built() -> Built {
    let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#).unwrap();
    let (stamper, said) =
        draft::begin_log(&boat, "Ada", "phone", 1_000, [[1; 10], [2; 10], [3; 10]], 0).unwrap();
    let mut built = Built {
        log: Log::new([1; 16]),
        chunks: Vec::new(),
        photograph: stamper.log,
        stamper,
    };
    for (id, text) in said {
        built.chunks.push(built.log.append(id, &text).unwrap());
    }
    let [original, view, thumbnail] = SIZES.map(Digest::of);
    built.photograph = say(
        &mut built,
        "photograph",
        &format!(r#"{{"digest":"{original}","media_type":"image/jpeg"}}"#),
    );
    for (size, digest) in [("view", view), ("thumbnail", thumbnail)] {
        let fields = format!(
            r#"{{"photograph":"{}","size":"{size}","digest":"{digest}"}}"#,
            built.photograph
        );
        say(&mut built, "rendition", &fields);
    }
    built
}

fn say(built: &mut Built, kind: &str, fields: &str) -> Id {
    let draft = Draft::parse(Kind::of(kind), fields).unwrap();
    let (id, text) = built.stamper.stamp(&draft, 5_000, [9; 10]);
    built.chunks.push(built.log.append(id, &text).unwrap());
    id
}

fn bytes_of(digest: Digest) -> std::io::Result<Vec<u8>> {
    SIZES
        .into_iter()
        .find(|bytes| Digest::of(bytes) == digest)
        .map(<[u8]>::to_vec)
        .ok_or_else(|| std::io::ErrorKind::NotFound.into())
}

fn chosen(snapshot: &Snapshot, sizes: Pictures, since: Option<&Manifest>) -> Vec<PictureName> {
    pictures(snapshot, &Index::of(snapshot), sizes, since, |digest| {
        bytes_of(digest).ok().map(|bytes| bytes.len() as u64)
    })
}

fn contents(built: &Built, sizes: Pictures) -> Contents {
    Contents {
        log: built.log.snapshot().log_id().unwrap(),
        boat: "Merganser".to_owned(),
        device: None,
        written: "2026-05-09T12:00:00Z".parse().unwrap(),
        heads: built.log.heads(),
        holds: SIZES.map(Digest::of).to_vec(),
        chunks: built.chunks.clone(),
        pictures: chosen(built.log.snapshot(), sizes, None),
        part: (1, 1),
    }
}

fn written(contents: &Contents) -> Vec<u8> {
    write(contents, Cursor::new(Vec::new()), bytes_of, |_| {})
        .unwrap()
        .into_inner()
}

#[test]
fn what_is_written_reads_back_and_merges() {
    let built = built();
    let bytes = written(&contents(&built, Pictures::Originals));
    assert_eq!(
        bytes,
        written(&contents(&built, Pictures::Originals)),
        "the same contents give the same bytes"
    );
    let mut reader = Reader::open(Cursor::new(bytes)).unwrap();
    reader.check(|_| {}).unwrap();
    reader.check_boat(built.log.snapshot()).unwrap();
    let mut other = Log::new([2; 16]);
    let chunks = reader.chunks().unwrap();
    let taken = other
        .take_in_all(chunks.iter().map(|(name, bytes)| (*name, bytes.as_slice())))
        .unwrap();
    assert_eq!(other.snapshot(), built.log.snapshot());
    let report = Report::of(&taken, other.snapshot(), 3);
    assert_eq!(
        (
            report.n_statements,
            report.by_kind["rendition"],
            report.by_hand["Ada"]
        ),
        (6, 2, 6)
    );
    let picture = reader
        .manifest()
        .pictures
        .iter()
        .find(|picture| picture.size == Size::Original)
        .unwrap()
        .clone();
    assert_eq!(reader.picture(&picture).unwrap(), b"original");
    assert!(picture.path().ends_with(".jpg"));
}

#[test]
fn the_chosen_sizes_go_along_and_withdrawn_bytes_never_do() {
    let mut built = built();
    let n = |built: &Built, sizes| chosen(built.log.snapshot(), sizes, None).len();
    assert_eq!(
        (
            n(&built, Pictures::Thumbnails),
            n(&built, Pictures::Views),
            n(&built, Pictures::Originals)
        ),
        (1, 2, 3)
    );
    let manifest = Reader::open(Cursor::new(written(&contents(&built, Pictures::Views))))
        .unwrap()
        .manifest()
        .clone();
    assert!(
        chosen(built.log.snapshot(), Pictures::Originals, Some(&manifest)).is_empty(),
        "the receiver has them all"
    );
    let fields = format!(
        r#"{{"digest":"{}","entry":"{}","why":"a face"}}"#,
        Digest::of(b"original"),
        built.photograph
    );
    say(&mut built, "withdrawal", &fields);
    assert_eq!(
        n(&built, Pictures::Originals),
        0,
        "the renditions of a withdrawn photograph stay here too"
    );
}

#[test]
fn a_sound_note_goes_along_with_originals_until_it_is_withdrawn() {
    let mut built = built();
    let digest = Digest::of(b"sound");
    let note = say(
        &mut built,
        "sound-note",
        &format!(r#"{{"digest":"{digest}","media_type":"audio/webm"}}"#),
    );
    let with = |built: &Built, sizes| {
        let snapshot = built.log.snapshot();
        pictures(snapshot, &Index::of(snapshot), sizes, None, |_| Some(5))
            .into_iter()
            .find(|name| name.digest == digest)
    };
    let named = with(&built, Pictures::Originals).unwrap();
    assert_eq!(
        (named.size, &*named.media_type),
        (Size::Original, "audio/webm")
    );
    assert_eq!(with(&built, Pictures::Views), None);
    let withdrawal = format!(r#"{{"entry":"{note}","digest":"{digest}","why":"private"}}"#);
    say(&mut built, "withdrawal", &withdrawal);
    assert_eq!(with(&built, Pictures::Originals), None);
}

#[test]
fn another_boat_is_refused_by_name() {
    let built = built();
    let boat = Draft::parse(Kind::Boat, r#"{"name":"Pintail"}"#).unwrap();
    let (_, said) = draft::begin_log(
        &boat,
        "Eve",
        "tablet",
        9_000,
        [[4; 10], [5; 10], [6; 10]],
        0,
    )
    .unwrap();
    let reader = Reader::open(Cursor::new(written(&contents(
        &built,
        Pictures::Thumbnails,
    ))))
    .unwrap();
    let refused = reader.check_boat(&Snapshot::of(said)).unwrap_err();
    assert!(
        matches!(&refused, Error::OtherBoat { theirs, ours } if theirs == "Merganser" && ours == "Pintail")
    );
}

#[test]
fn a_picture_that_is_not_what_it_is_called_is_not_sent() {
    let built = built();
    let refused = write(
        &contents(&built, Pictures::Views),
        Cursor::new(Vec::new()),
        |_| Ok(b"other".to_vec()),
        |_| {},
    );
    assert!(matches!(refused, Err(Error::Altered { .. })));
    let failed = write(
        &contents(&built, Pictures::Views),
        Cursor::new(Vec::new()),
        |_| Err(std::io::ErrorKind::NotFound.into()),
        |_| {},
    );
    assert!(matches!(failed, Err(Error::Write { .. })));
}

proptest! {
    #[test]
    fn law_a_split_parcel_loses_nothing_and_fills_its_parts(sizes in proptest::collection::vec(1..400_u64, 0..40), most in 100..1000_u64) {
        let built = built();
        let pictures: Vec<PictureName> = sizes.iter().zip(0_u32..).map(|(bytes, n)| PictureName {
            digest: Digest::of(&n.to_be_bytes()), bytes: *bytes, size: Size::Original, media_type: "image/jpeg".to_owned(),
        }).collect();
        let whole = Contents { pictures: pictures.clone(), chunks: Vec::new(), ..contents(&built, Pictures::Thumbnails) };
        let files = parts(&whole, most);
        let again: Vec<PictureName> = files.iter().flat_map(|file| file.pictures.clone()).collect();
        prop_assert_eq!(again, pictures);
        for (file, number) in files.iter().zip(1..) {
            let sum: u64 = file.pictures.iter().map(|picture| picture.bytes).sum();
            prop_assert!(sum <= most || file.pictures.len() == 1);
            prop_assert_eq!(file.part, (number, files.len() as u64));
        }
    }

    #[test]
    fn law_any_bytes_are_refused_and_never_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600), at in any::<usize>(), flip in 1..=255_u8) {
        prop_assert!(Reader::open(Cursor::new(bytes)).is_err());
        let built = built();
        let mut good = written(&contents(&built, Pictures::Views));
        let at = at % good.len();
        good[at] ^= flip;
        if let Ok(mut reader) = Reader::open(Cursor::new(good)) {
            // Whatever passes the check is what was sent.
            if reader.check(|_| {}).is_ok() {
                for (name, bytes) in reader.chunks().unwrap() {
                    prop_assert!(built.chunks.iter().any(|chunk| chunk.name == name && chunk.bytes == bytes));
                }
            }
        }
    }
}
