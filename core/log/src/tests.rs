//! What is odd about changes and chunks: each case is kept, named and hides nothing else.

use automerge::transaction::Transactable as _;
use automerge::{ActorId, Automerge, ROOT};
use garboard_record::{Body, Digest, Draft, Id, Index, Kind, Oddity, Stamper, draft, oddity};

use crate::{Chunk, Error, Log, Trouble};

const LOG: &str = "00000000-03e8-7101-8101-010101010101";

/// A log with a boat, a hand and a device, and its chunks.
fn begun() -> (Log, Vec<Chunk>, Stamper) {
    let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#).unwrap();
    let (stamper, said) =
        draft::begin_log(&boat, "Ada", "phone", 1_000, [[1; 10], [2; 10], [3; 10]], 0).unwrap();
    let mut log = Log::new([1; 16]);
    let chunks = said
        .iter()
        .map(|(id, text)| log.append(*id, text).unwrap())
        .collect();
    (log, chunks, stamper)
}

fn note(stamper: &mut Stamper, words: &str) -> (Id, String) {
    let draft = Draft::parse(Kind::Note, &format!(r#"{{"words":"{words}"}}"#)).unwrap();
    stamper.stamp(&draft, 5_000, [7; 10])
}

fn open(chunks: &[Chunk]) -> (Log, Vec<Trouble>) {
    Log::open(
        [9; 16],
        chunks.iter().map(|chunk| (chunk.name, chunk.bytes.clone())),
        None,
    )
}

/// A document that holds these chunks, for writing what the log itself never writes.
fn foreign(chunks: &[Chunk]) -> Automerge {
    let mut doc = Automerge::new().with_actor(ActorId::from(vec![200; 16]));
    doc.load_incremental(
        &chunks
            .iter()
            .flat_map(|chunk| chunk.bytes.clone())
            .collect::<Vec<_>>(),
    )
    .unwrap();
    doc
}

fn last_change(doc: &Automerge) -> Chunk {
    Chunk::of(doc.get_last_local_change().unwrap().raw_bytes().to_vec())
}

#[test]
fn a_change_that_overwrites_is_held_apart() {
    let (_, mut chunks, _) = begun();
    let mut doc = foreign(&chunks);
    let mut tx = doc.transaction();
    tx.put(ROOT, LOG, "overwritten").unwrap();
    tx.commit();
    chunks.push(last_change(&doc));
    let (log, trouble) = open(&chunks);
    assert_eq!(log.snapshot().boat_name(), "Merganser");
    assert!(
        matches!(trouble.as_slice(), [Trouble::HeldApart { .. }]),
        "{trouble:?}"
    );
    assert!(
        log.opening().is_none(),
        "an opening would forget what is held apart"
    );
}

#[test]
fn a_change_that_deletes_is_held_apart_and_what_follows_it_is_read() {
    let (_, mut chunks, mut stamper) = begun();
    let mut doc = foreign(&chunks);
    let mut tx = doc.transaction();
    tx.delete(ROOT, LOG).unwrap();
    tx.commit();
    chunks.push(last_change(&doc));
    let (id, text) = note(&mut stamper, "written after the deletion");
    let mut tx = doc.transaction();
    tx.put(ROOT, id.to_string(), text).unwrap();
    tx.commit();
    chunks.push(last_change(&doc));
    let (log, trouble) = open(&chunks);
    assert_eq!(log.snapshot().boat_name(), "Merganser");
    assert_eq!(log.snapshot().title(id), "written after the deletion");
    assert_eq!(trouble.len(), 2, "{trouble:?}");
}

#[cfg(feature = "documents")]
#[test]
fn a_document_with_an_overwrite_inside_shows_both_texts() {
    let (_, chunks, mut stamper) = begun();
    let mut doc = foreign(&chunks);
    let (id, text) = note(&mut stamper, "first");
    for words in [text.as_str(), "second"] {
        let mut tx = doc.transaction();
        tx.put(ROOT, id.to_string(), words).unwrap();
        tx.commit();
    }
    let (log, trouble) = open(&[Chunk::of(doc.save())]);
    assert_eq!(log.snapshot().title(id), "first");
    assert!(
        matches!(trouble.as_slice(), [Trouble::HeldApart { .. }]),
        "{trouble:?}"
    );
}

/// Nothing of ours writes a chunk with a whole document in it: a build for the browser refuses it in words.
#[cfg(not(feature = "documents"))]
#[test]
fn a_document_in_a_chunk_is_set_aside_with_words_that_help() {
    let (_, chunks, _) = begun();
    let (log, trouble) = open(&[Chunk::of(foreign(&chunks).save())]);
    assert_eq!(log.snapshot().n_statements(), 0);
    assert!(
        matches!(trouble.as_slice(), [Trouble::SetAside { why, .. }] if why.contains("merge it there")),
        "{trouble:?}"
    );
}

#[test]
fn a_chunk_of_documents_becomes_one_of_changes_and_others_stay_as_they_are() {
    let (_, chunks, _) = begun();
    assert_eq!(Log::as_changes(chunks[0].clone()).unwrap(), chunks[0]);
    let whole = Chunk::of(foreign(&chunks).save());
    match Log::as_changes(whole.clone()) {
        Ok(plain) => {
            assert_ne!(plain, whole);
            assert_eq!(
                open(&[plain]).0.snapshot(),
                open(&chunks).0.snapshot(),
                "it says the same"
            );
        }
        Err(refused) if cfg!(not(feature = "documents")) => {
            assert!(refused.to_string().contains("merge it there"));
        }
        Err(refused) => panic!("documents are read, and not: {refused}"),
    }
}

/// The log writes its changes itself; Automerge, asked to write the same, writes the same bytes.
#[test]
fn law_a_chunk_is_what_automerge_itself_would_write() {
    let (mut log, chunks, mut stamper) = begun();
    let mut doc = foreign(&chunks).with_actor(ActorId::from(vec![1; 16]));
    let mut other = foreign(&chunks);
    for n in 0..12_u8 {
        let mut said: Vec<(Id, String)> = (0..=n % 3)
            .map(|_| {
                note(
                    &mut stamper,
                    &format!("{} words", "many ".repeat(usize::from(n) * 9)),
                )
            })
            .collect();
        // The clock of the tests stands still, so ids need chance of their own.
        for (idx, (id, _)) in said.iter_mut().enumerate() {
            *id = Id::new(
                5_000,
                [n, u8::try_from(idx).unwrap(), 0, 0, 0, 0, 0, 0, 0, 0],
            );
        }
        let chunk = log
            .append_all(said.iter().map(|(id, text)| (*id, text.as_str())))
            .unwrap();
        let mut tx = doc.transaction();
        for (id, text) in &said {
            tx.put(ROOT, id.to_string(), text.as_str()).unwrap();
        }
        tx.commit_with(automerge::transaction::CommitOptions::default().with_time(0));
        let mut theirs = doc.get_last_local_change().unwrap();
        assert_eq!(chunk.bytes, theirs.bytes().into_owned(), "at {n}");
        // Now and then another device has written meanwhile, so that there are two heads.
        if n % 4 == 1 {
            let mut tx = other.transaction();
            let (_, text) = note(&mut stamper, "from elsewhere");
            tx.put(ROOT, Id::new(6_000, [n; 10]).to_string(), text)
                .unwrap();
            tx.commit();
            let came = last_change(&other);
            log.take_in(came.name, &came.bytes).unwrap();
            doc.load_incremental(&came.bytes).unwrap();
        }
        let heads: Vec<String> = doc.get_heads().iter().map(ToString::to_string).collect();
        assert_eq!(log.heads(), heads);
    }
}

#[test]
fn a_log_from_an_opening_goes_on_like_the_one_that_wrote_it() {
    let (mut log, mut chunks, mut stamper) = begun();
    let opening = log.opening().unwrap();
    let kept =
        |chunks: &[Chunk]| -> Vec<_> { chunks.iter().map(|c| (c.name, c.bytes.clone())).collect() };
    let (mut quick, trouble) = Log::open([9; 16], kept(&chunks), Some(&opening));
    let (mut slow, _) = open(&chunks);
    assert!(trouble.is_empty());
    assert_eq!(quick.opening(), Some(opening.clone()));
    let (id, text) = note(&mut stamper, "after the opening");
    let first = quick.append(id, &text).unwrap();
    assert_eq!(first, slow.append(id, &text).unwrap());
    log.take_in(first.name, &first.bytes).unwrap();
    chunks.push(first);
    // An older opening and a chunk that it does not know.
    let (again, _) = Log::open([9; 16], kept(&chunks), Some(&opening));
    for other in [&quick, &slow, &again] {
        assert_eq!(other.snapshot(), log.snapshot());
        assert_eq!(other.heads(), log.heads());
        assert_eq!(other.since(&[]), log.since(&[]));
        assert_eq!(other.opening(), log.opening());
    }
    assert_eq!(log.since(&log.heads()), None);
}

#[test]
fn two_texts_under_one_id_are_both_kept() {
    let (mut log, mut chunks, mut stamper) = begun();
    let mut other = stamper.clone();
    let (id, text) = note(&mut stamper, "port");
    let (same, twin) = note(&mut other, "starboard");
    assert_eq!(id, same);
    chunks.push(log.append(id, &text).unwrap());
    let (mut elsewhere, _) = open(&chunks[..3]);
    chunks.push(elsewhere.append(id, &twin).unwrap());
    let (both, trouble) = open(&chunks);
    assert!(trouble.is_empty(), "{trouble:?}");
    assert_eq!(both.snapshot().twins().count(), 1);
    assert_eq!(both.snapshot().title(id), "port", "the lower text is shown");
    let remarks = oddity::remarks(both.snapshot(), &Index::of(both.snapshot()));
    assert!(remarks.iter().any(|remark| remark.oddity == Oddity::Twins));
    let opening = both.opening().unwrap();
    let (again, _) = Log::open(
        [4; 16],
        chunks.iter().map(|chunk| (chunk.name, chunk.bytes.clone())),
        Some(&opening),
    );
    assert_eq!(again.snapshot(), both.snapshot());
}

#[test]
fn a_reused_actor_stops_nothing() {
    let (_, chunks, mut stamper) = begun();
    let (mut left, _) = Log::open(
        [77; 16],
        chunks.iter().map(|c| (c.name, c.bytes.clone())),
        None,
    );
    let (mut right, _) = Log::open(
        [77; 16],
        chunks.iter().map(|c| (c.name, c.bytes.clone())),
        None,
    );
    let (a, a_text) = note(&mut stamper, "left");
    let (b, b_text) = note(&mut stamper, "right");
    let left_chunk = left.append(a, &a_text).unwrap();
    let right_chunk = right.append(b, &b_text).unwrap();
    left.take_in(right_chunk.name, &right_chunk.bytes).unwrap();
    right.take_in(left_chunk.name, &left_chunk.bytes).unwrap();
    assert_eq!(left.snapshot(), right.snapshot());
    assert_eq!(
        (left.snapshot().title(a), left.snapshot().title(b)),
        ("left".to_owned(), "right".to_owned())
    );
    assert!(matches!(
        left.trouble().as_slice(),
        [Trouble::DoubledWriting { .. }]
    ));
}

#[test]
fn a_chunk_under_a_wrong_name_is_refused_and_changes_nothing() {
    let (mut log, chunks, _) = begun();
    let before = log.snapshot().clone();
    let named = Digest::of(b"something else");
    assert!(matches!(
        log.take_in(named, &chunks[0].bytes),
        Err(Error::Altered { .. })
    ));
    assert!(matches!(
        log.take_in(Digest::of(b""), b""),
        Err(Error::NotChunk { .. })
    ));
    assert_eq!(log.snapshot(), &before);
}

#[test]
fn an_opening_with_a_missing_chunk_is_not_believed() {
    let (log, chunks, _) = begun();
    let opening = log.opening().unwrap();
    let (shorter, _) = Log::open(
        [3; 16],
        chunks.iter().skip(1).map(|c| (c.name, c.bytes.clone())),
        Some(&opening),
    );
    assert_eq!(
        shorter.snapshot().n_statements(),
        2,
        "the boat's chunk is gone, and so is what it said"
    );
    let mut damaged = opening;
    let last = damaged.len() - 1;
    damaged[last] ^= 1;
    let (whole, _) = Log::open(
        [3; 16],
        chunks.iter().map(|c| (c.name, c.bytes.clone())),
        Some(&damaged),
    );
    assert_eq!(whole.snapshot(), log.snapshot());
}

#[test]
fn what_is_no_statement_is_refused() {
    let (mut log, _, mut stamper) = begun();
    let (id, text) = note(&mut stamper, "words");
    assert!(matches!(
        log.append(id, "{}"),
        Err(Error::NotStatement { .. })
    ));
    assert!(matches!(
        log.append(id, &text.replace("{\"count\"", "{ \"count\"")),
        Err(Error::NotStatement { source: None })
    ));
    log.append(id, &text).unwrap();
    assert!(matches!(log.append(id, &text), Err(Error::IdInUse { .. })));
}

#[test]
fn tomorrows_kinds_fields_and_forms_are_kept_and_passed_on() {
    let (mut log, _, mut stamper) = begun();
    let (id, text) = note(&mut stamper, "words");
    let (unknown_kind, _) = note(&mut stamper, "x");
    log.append(
        id,
        &text.replace(r#""fields":{"#, r#""fields":{"aura":"green","#),
    )
    .unwrap();
    log.append(unknown_kind, &text.replace("\"note\"", "\"seance\""))
        .unwrap();
    let entry = log.snapshot().entry(id).unwrap();
    assert_eq!(entry.fields()["aura"], "green");
    assert_eq!(entry.title(), "words");
    assert_eq!(
        log.snapshot().entry(unknown_kind).unwrap().body,
        Body::Unknown
    );
    let (odd_form, _) = note(&mut stamper, "y");
    log.append(
        odd_form,
        &text.replace(
            r#""words":"words""#,
            r#""of":{"later":true},"words":"still read""#,
        ),
    )
    .unwrap();
    let entry = log.snapshot().entry(odd_form).unwrap();
    assert_eq!(
        (entry.title().as_str(), entry.unknown_forms.as_slice()),
        ("still read", ["of".to_owned()].as_slice())
    );
    let sent = log.since(&[]).unwrap();
    let mut other = Log::new([55; 16]);
    other.take_in(sent.name, &sent.bytes).unwrap();
    assert_eq!(other.snapshot(), log.snapshot());
}

#[test]
fn the_document_holds_every_statement_under_its_id() {
    let (log, _, _) = begun();
    let doc = Automerge::load(&log.document()).unwrap();
    use automerge::ReadDoc as _;
    let keys: Vec<String> = doc.keys(ROOT).collect();
    let ids: Vec<String> = log
        .snapshot()
        .statements()
        .map(|(id, _)| id.to_string())
        .collect();
    assert_eq!(keys, ids);
    assert_eq!(log.disagreeing(), Vec::<String>::new());
    // No machine's clock reaches the document: the same statements by the same writing give the same chunks.
    let (_, again, _) = begun();
    let (_, first, _) = begun();
    assert_eq!(again, first);
}

#[test]
fn a_device_packs_what_it_wrote_itself_once_there_is_much_of_it() {
    let (mut log, _, mut stamper) = begun();
    let device = log
        .snapshot()
        .entries()
        .find(|entry| matches!(entry.body, Body::Device(_)))
        .unwrap()
        .id;
    let other = Id::new(9, [9; 10]);
    for n in 0..crate::PACK_FROM {
        let (_, text) = note(&mut stamper, &format!("No. {n}"));
        let id = Id::new(6_000 + n as u64, [7; 10]);
        log.append(id, &text).unwrap();
    }
    assert_eq!(log.packed(other), None);
    let before = log.chunks().count();
    let pack = log.packed(device).unwrap();
    let gone = log.repack(&pack).unwrap();
    assert!(gone.len() >= crate::PACK_FROM);
    assert_eq!(log.chunks().count(), before - gone.len() + 1);
    assert_eq!(log.packed(device), None);
    // What is written afterwards finds its place after the pack.
    let (_, text) = note(&mut stamper, "after");
    let after = log.append(Id::new(9_000, [7; 10]), &text).unwrap();
    let (again, trouble) = open(&[pack, after]);
    assert_eq!(trouble, []);
    assert_eq!(again.snapshot(), log.snapshot());
}
