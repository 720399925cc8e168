//! Making a parcel.

use std::collections::BTreeMap;
use std::rc::Rc;

use garboard_log::Chunk;
use garboard_parcel::{Contents, FORMAT, Manifest, Pictures, pictures};
use garboard_protocol::{
    Answer, ParcelMade, ParcelScope, PictureSize, PressAnswer, PressAsk, Trouble,
};
use garboard_record::{Digest, Id, When};

use super::held_key;
use crate::browser::files::{self, Blob};
use crate::browser::post::Reply;
use crate::browser::press::Press;
use crate::browser::run::Keeper;
use crate::browser::{Error, chance};
use crate::session::{Held, Session};
use crate::trouble;

/// The most bytes of one part: a phone's share sheet and mail refuse more.
const MOST_BYTES: u64 = 256_000_000;

impl Keeper {
    pub(in crate::browser) async fn make_parcel(
        self: &Rc<Self>,
        number: u32,
        scope: &ParcelScope,
        sizes: Option<PictureSize>,
    ) -> Result<Reply, Trouble> {
        let read = |error: Error| error.not_read();
        let log = self.open_log()?;
        let since = self.since(log, scope).await?;
        self.progress(Some(number), "Gathering the log", 0, 0);
        let chunks: Vec<Chunk> = match &since {
            Some(manifest) => self
                .session
                .borrow()
                .as_ref()
                .and_then(|session| session.log().since(&manifest.heads))
                .into_iter()
                .collect(),
            None => {
                let known: Vec<Digest> = self
                    .session
                    .borrow()
                    .as_ref()
                    .map(|session| session.log().chunks().collect())
                    .unwrap_or_default();
                let mut chunks: Vec<Chunk> = self
                    .store
                    .chunks(&log.to_string())
                    .await
                    .map_err(read)?
                    .into_iter()
                    .filter_map(|(name, bytes)| Some((name.parse::<Digest>().ok()?, bytes)))
                    .filter(|(name, _)| known.contains(name))
                    .map(|(name, bytes)| Chunk { name, bytes })
                    .collect();
                if chunks.len() < known.len() {
                    // Another tab has packed some of them a moment ago.
                    let session = self.session.borrow();
                    chunks.extend(session.as_ref().and_then(|one| one.log().since(&[])));
                }
                chunks
            }
        };

        // Handles of the pictures; their bytes stay with the browser until they are written.
        let names = self
            .store
            .picture_names(&log.to_string())
            .await
            .map_err(read)?;
        let mut blobs: BTreeMap<Digest, Blob> = BTreeMap::new();
        if sizes.is_some() {
            for (idx, name) in names.iter().enumerate() {
                if idx % 32 == 0 && self.is_stopped(number).await {
                    return Err(trouble::stopped());
                }
                if let (Ok(digest), Some(blob)) = (
                    name.parse(),
                    self.store
                        .picture(&log.to_string(), name)
                        .await
                        .map_err(read)?,
                ) {
                    blobs.insert(digest, blob);
                }
            }
        }
        let holds: Vec<Digest> = names.iter().filter_map(|name| name.parse().ok()).collect();
        let whole = {
            let session = self.session.borrow();
            let session = session.as_ref().ok_or_else(trouble::no_log)?;
            contents(session, chunks, holds, since.as_ref(), sizes, &blobs)
        };

        let mut made = ParcelMade {
            n_statements: n_statements(&whole.chunks),
            n_pictures: u32::try_from(whole.pictures.len()).unwrap_or(u32::MAX),
            says: says(&whole.boat, since.is_some(), sizes),
            ..ParcelMade::default()
        };
        let (boat, written) = (whole.boat.clone(), whole.written.clone());
        let pictures: Vec<Blob> = whole
            .pictures
            .iter()
            .filter_map(|picture| blobs.get(&picture.digest).cloned())
            .collect();
        drop(blobs);
        let manifest = whole.manifest().to_json();
        let asked = PressAsk::Pack {
            manifest,
            chunks: whole
                .chunks
                .into_iter()
                .map(|chunk| (chunk.name, chunk.bytes))
                .collect(),
            most_bytes: MOST_BYTES,
        };
        let press = Press::at_work()?;
        let (answer, files_made) = self
            .have_pressed(number, "Writing pictures", &press, &asked, &pictures)
            .await?;
        drop(press);
        if answer != PressAnswer::Packed {
            return Err(trouble::no_press());
        }
        for (idx, file) in files_made.iter().enumerate() {
            made.n_bytes += files::size_of(file);
            made.names
                .push(file_name(&boat, &written, idx + 1, files_made.len()));
        }
        self.note_sent().await;
        Ok(Reply {
            answer: Answer::Parcel(made),
            files: files_made,
        })
    }

    pub(in crate::browser) fn open_log(&self) -> Result<Id, Trouble> {
        self.session
            .borrow()
            .as_ref()
            .map(|session| session.identity.log)
            .ok_or_else(trouble::no_log)
    }

    /// What the other device is known to have; `None` for a whole parcel.
    async fn since(&self, log: Id, scope: &ParcelScope) -> Result<Option<Manifest>, Trouble> {
        let ParcelScope::Lacking { device } = scope else {
            return Ok(None);
        };
        let device: Id = device.parse().map_err(|error| trouble::mistake(&error))?;
        let kept = self
            .store
            .state(&held_key(log, device))
            .await
            .map_err(|error| error.not_read())?;
        // A device that has sent nothing yet lacks everything.
        let Some(held) = kept.and_then(|text| serde_json::from_str::<Held>(&text).ok()) else {
            return Ok(None);
        };
        Ok(Some(Manifest {
            garboard: "parcel".to_owned(),
            format: FORMAT,
            log,
            boat: String::new(),
            device: Some(device),
            written: When::from_unix_millis(0),
            heads: held.heads,
            holds: held.holds,
            chunks: Vec::new(),
            pictures: Vec::new(),
            part: (1, 1),
        }))
    }
}

fn contents(
    session: &Session,
    chunks: Vec<Chunk>,
    mut holds: Vec<Digest>,
    since: Option<&Manifest>,
    sizes: Option<PictureSize>,
    blobs: &BTreeMap<Digest, Blob>,
) -> Contents {
    let snapshot = session.snapshot();
    garboard_record::small::sort(&mut holds);
    let chosen = match sizes {
        None => Vec::new(),
        Some(size) => pictures(
            snapshot,
            session.index(),
            match size {
                PictureSize::Thumbnail => Pictures::Thumbnails,
                PictureSize::View => Pictures::Views,
                PictureSize::Original => Pictures::Originals,
            },
            since,
            |digest| blobs.get(&digest).map(files::size_of),
        ),
    };
    Contents {
        log: session.identity.log,
        boat: snapshot.boat_name().to_owned(),
        device: Some(session.identity.device),
        written: When::from_unix_millis(chance::now_millis()),
        heads: session.log().heads(),
        holds,
        chunks,
        pictures: chosen,
        part: (1, 1),
    }
}

fn n_statements(chunks: &[Chunk]) -> u32 {
    let n: usize = chunks
        .iter()
        .filter_map(|chunk| garboard_log::Log::texts_in(&chunk.bytes).ok())
        .map(|texts| texts.len())
        .sum();
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn says(boat: &str, is_part: bool, sizes: Option<PictureSize>) -> String {
    let log = if is_part {
        "What the other device lacks"
    } else {
        "The whole log"
    };
    let pictures = match sizes {
        None => "without pictures",
        Some(PictureSize::Thumbnail) => "with small pictures only",
        Some(PictureSize::View) => "with pictures of screen size, without originals",
        Some(PictureSize::Original) => "with the original pictures",
    };
    format!("{log} of {boat}, {pictures}. It is not sealed: whoever has it can read it.")
}

/// `merganser-2026-05-09.zip`, with the part's number where there are several.
fn file_name(boat: &str, written: &When, number: usize, of: usize) -> String {
    let name = stem(boat);
    let day = written.day().unwrap_or_default();
    if of > 1 {
        format!("{name}-{day}-{number}-of-{of}.zip")
    } else {
        format!("{name}-{day}.zip")
    }
}

/// A boat's name as the beginning of a file's name.
pub(super) fn stem(boat: &str) -> String {
    let name: String = boat
        .chars()
        .map(|letter| {
            if letter.is_alphanumeric() {
                letter
            } else {
                '-'
            }
        })
        .take(40)
        .collect::<String>()
        .to_lowercase();
    let name = name.trim_matches('-');
    if name.is_empty() {
        "log".to_owned()
    } else {
        name.to_owned()
    }
}
