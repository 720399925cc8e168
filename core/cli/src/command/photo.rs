//! Taking photographs in.

use std::path::PathBuf;

use clap::Args;
use garboard_photo::{Error as PhotoError, Examined, examine, renditions, said};
use garboard_record::word::{Size, Stage, Word as _};
use garboard_record::{Body, Digest, Draft, Id, Kind, When};
use serde_json::json;

use super::{About, Answer, By, id};
use crate::failure::{Done, Failure, whole};
use crate::machine;
use crate::session::Session;

/// Takes photographs in, untouched, and makes their views and thumbnails.
#[derive(Debug, Args)]
pub struct Photo {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The pictures: JPEG, PNG, WebP, or HEIC or AVIF, which are kept as they came.
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
    /// What of the work they show: found, opened, prepared, rebuilt or finished.
    #[arg(long, value_name = "STAGE")]
    pub stage: Option<String>,
    /// What it is about.
    #[command(flatten)]
    pub about: About,
    /// The earlier photograph that it answers, from the same viewpoint.
    #[arg(long, value_name = "ID", value_parser = id)]
    pub answers: Option<Id>,
    /// What they show, in words.
    #[arg(long, value_name = "TEXT")]
    pub shows: Option<String>,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// A picture that can be taken in.
struct Picture {
    path: PathBuf,
    bytes: Vec<u8>,
    digest: Digest,
    examined: Examined,
}

/// `garboard photo`
///
/// # Errors
///
/// A mistake when one of the files is no whole picture; then none is taken in. The environment's when they cannot be written.
pub fn photo(c: &Photo, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let stage = match &c.stage {
        Some(word) if Stage::WORDS.iter().any(|(known, _)| known == word) => Some(Stage::of(word)),
        Some(word) => {
            let words = Stage::WORDS
                .iter()
                .map(|(word, _)| *word)
                .collect::<Vec<_>>()
                .join(", ");
            return Err(Failure::mistake(
                format!("{word:?} is no stage"),
                format!("the stages are: {words}"),
            ));
        }
        None => None,
    };
    let mut pictures = Vec::new();
    for path in &c.files {
        pictures.push(read(path)?);
    }
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    let mut answers = Vec::new();
    let n_pictures = pictures.len();
    for (number, picture) in (1..).zip(pictures) {
        progress(&format!(
            "{number} of {n_pictures}: {}",
            picture.path.display()
        ));
        answers.push(take_in(&mut session, c, stage.clone(), picture)?);
    }
    let text = answers
        .iter()
        .map(|answer| answer.line.clone())
        .collect::<Vec<_>>()
        .join("\n");
    let json = answers.iter().map(|a| json!({ "id": a.id, "digest": a.digest, "file": a.file, "new": a.is_new, "remarks": a.remarks })).collect::<Vec<_>>();
    Ok(Answer::new(text, json!({ "photographs": json }), c.json))
}

struct Taken {
    id: Id,
    digest: Digest,
    file: String,
    is_new: bool,
    remarks: Vec<String>,
    line: String,
}

fn read(path: &PathBuf) -> Done<Picture> {
    let size = std::fs::metadata(path)
        .map_err(|cause| Failure::file("cannot read", path, &cause))?
        .len();
    if size > garboard_photo::MOST_BYTES as u64 {
        return Err(Failure::mistake(
            format!(
                "{} has {size} bytes, more than a picture may have",
                path.display()
            ),
            "nothing was taken in; choose a smaller file",
        ));
    }
    let bytes = std::fs::read(path).map_err(|cause| Failure::file("cannot read", path, &cause))?;
    let examined = examine(&bytes).map_err(|cause| {
        Failure::mistake(
            format!("{}: {}", path.display(), whole(&cause)),
            "nothing was taken in; leave this file out, or copy it anew from the camera",
        )
    })?;
    Ok(Picture {
        path: path.clone(),
        digest: Digest::of(&bytes),
        bytes,
        examined,
    })
}

fn take_in(
    session: &mut Session,
    c: &Photo,
    stage: Option<Stage>,
    picture: Picture,
) -> Done<Taken> {
    let Picture {
        path,
        bytes,
        digest,
        examined,
    } = picture;
    let file = path.display().to_string();
    if session.snapshot().is_withdrawn(digest) {
        return Err(Failure::mistake(
            format!("{file}: the bytes of this picture were withdrawn from the log"),
            "a withdrawn picture is not taken in again",
        ));
    }
    let known = session.snapshot().standing().find(|entry| matches!(&entry.body, Body::Photograph(photograph) if photograph.digest == Some(digest))).map(|entry| entry.id);
    if let Some(known) = known {
        // Its bytes may have been missing here.
        session.opened.store.keep_photo(digest, &bytes)?;
        return Ok(Taken {
            id: known,
            digest,
            line: format!("{known}  {file} is in the log already"),
            file,
            is_new: false,
            remarks: Vec::new(),
        });
    }
    // The original goes to the disk while its view is made.
    let store = &session.opened.store;
    let was_held = store.photo_size(digest).is_some();
    let (made, kept) = std::thread::scope(|scope| {
        let keeping = scope.spawn(|| store.keep_photo(digest, &bytes));
        (renditions(&bytes), keeping.join())
    });
    kept.map_err(|_panic| Failure::ours("writing the original stopped half way"))??;
    let made = match made {
        Ok(made) => Some(made),
        Err(PhotoError::NotDecodedHere { .. }) => None,
        Err(cause) => {
            if !was_held {
                store.forget_photo(digest)?;
            }
            return Err(Failure::mistake(
                format!("{file}: {}", whole(&cause)),
                "this file was not taken in; copy it anew from the camera",
            ));
        }
    };
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let fields = garboard_record::kind::picture::Photograph {
        stage,
        shows: c.shows.clone(),
        place: c.about.place,
        finding: c.about.finding,
        repair: c.about.repair,
        answers: c.answers,
        ..said::photograph(
            &examined,
            digest,
            name.as_deref(),
            Some(When::from_unix_millis_at(
                machine::now_millis(),
                machine::offset_minutes(),
            )),
        )
    };
    let draft = Draft::from_typed(Kind::Photograph, &fields)?.at(said::happened(&examined));
    draft.check_targets(session.snapshot())?;
    let id = session.fresh_id()?;
    let mut drafts = vec![(id, draft)];
    if let Some(position) = said::position(&examined, id) {
        drafts.push((
            session.fresh_id()?,
            Draft::from_typed(Kind::Position, &position)?,
        ));
    }
    let mut remarks: Vec<String> = examined.remarks.iter().map(ToString::to_string).collect();
    if let Some(made) = &made {
        for (size, rendition) in [(Size::View, &made.view), (Size::Thumbnail, &made.thumbnail)] {
            drafts.push((
                session.fresh_id()?,
                Draft::from_typed(Kind::Rendition, &said::rendition(rendition, id, size))?,
            ));
            if let Ok(digest) = rendition.digest.parse() {
                session.opened.store.keep_photo(digest, &rendition.bytes)?;
            }
        }
    } else {
        remarks.push("it is kept as it came; no view could be made of it here".to_owned());
    }
    session.say_as(&drafts)?;
    let line = match remarks.as_slice() {
        [] => format!("{id}  {file}"),
        some => format!("{id}  {file}: {}", some.join("; ")),
    };
    Ok(Taken {
        id,
        digest,
        file,
        is_new: true,
        remarks,
        line,
    })
}
