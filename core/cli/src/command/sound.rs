//! Taking sound notes in.

use std::path::PathBuf;

use clap::Args;
use garboard_photo::{MOST_SOUND_BYTES, sniff_sound};
use garboard_record::kind::picture::SoundNote;
use garboard_record::{Body, Digest, Draft, Kind, When};
use serde_json::json;

use super::{About, Answer, By};
use crate::failure::{Done, Failure, whole};
use crate::session::Session;

/// Takes a sound note in, untouched: words said aloud, to be written out later.
#[derive(Debug, Args)]
pub struct Sound {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The sound as the recorder made it: WebM, MP4, Ogg, WAVE, MP3, FLAC, AAC or AMR.
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// What was said, written out.
    #[arg(long, value_name = "TEXT")]
    pub words: Option<String>,
    /// When it was said; without it, now.
    #[arg(long, value_name = "WHEN")]
    pub at: Option<String>,
    /// What it is about.
    #[command(flatten)]
    pub about: About,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// `garboard sound`
///
/// # Errors
///
/// A mistake when the file is no sound that is known here; nothing is taken in. The environment's when it cannot be written.
pub fn sound(c: &Sound) -> Done<Answer> {
    let at =
        c.at.as_deref()
            .map(|at| {
                at.parse::<When>()
                    .map_err(|cause| Failure::mistake(whole(&cause), "nothing was taken in"))
            })
            .transpose()?;
    let file = c.file.display().to_string();
    let size = std::fs::metadata(&c.file)
        .map_err(|cause| Failure::file("cannot read", &c.file, &cause))?
        .len();
    if size > MOST_SOUND_BYTES {
        return Err(Failure::mistake(
            format!("{file} has {size} bytes, more than a sound note may have"),
            "nothing was taken in; cut it into several",
        ));
    }
    let bytes =
        std::fs::read(&c.file).map_err(|cause| Failure::file("cannot read", &c.file, &cause))?;
    let Some(media_type) = sniff_sound(&bytes) else {
        return Err(Failure::mistake(
            format!("{file} is no sound that is known here"),
            "nothing was taken in; give it as a phone's recorder makes it: WebM, MP4, Ogg, WAVE, MP3, FLAC, AAC or AMR",
        ));
    };
    let digest = Digest::of(&bytes);
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    if session.snapshot().is_withdrawn(digest) {
        return Err(Failure::mistake(
            format!("{file}: the bytes of this sound were withdrawn from the log"),
            "a withdrawn sound is not taken in again",
        ));
    }
    let known = session
        .snapshot()
        .standing()
        .find(|entry| matches!(&entry.body, Body::SoundNote(note) if note.digest == Some(digest)))
        .map(|entry| entry.id);
    let draft = Draft::from_typed(
        Kind::SoundNote,
        &SoundNote {
            digest: Some(digest),
            media_type: Some(media_type.to_owned()),
            bytes: Some(size),
            place: c.about.place,
            finding: c.about.finding,
            repair: c.about.repair,
            words: c.words.clone(),
            ..SoundNote::default()
        },
    )?
    .at(at);
    draft.check_targets(session.snapshot())?;
    // The bytes first: when the statement is there, what it names is there too.
    session.opened.store.keep_photo(digest, &bytes)?;
    let (id, line, is_new) = match known {
        Some(known) => (
            known,
            format!("{known}  {file} is in the log already"),
            false,
        ),
        None => {
            let id = session.fresh_id()?;
            session.say_as(&[(id, draft)])?;
            (id, format!("{id}  {file}"), true)
        }
    };
    let json = json!({ "id": id, "digest": digest, "file": file, "new": is_new });
    Ok(Answer::new(line, json, c.json))
}
