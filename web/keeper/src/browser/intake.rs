//! Photographs on their way in: original and statement first, in one durable write; then their
//! smaller sizes.

use std::rc::Rc;

use garboard_protocol::{
    Answer, Deed, Looked, Report, Saved, Shoot, Shrunk, SmallBytes, Trouble, TroubleKind,
};
use garboard_record::word::Size;
use garboard_record::{Body, Digest, Id};

use super::desk::with_now;
use super::files::{self, Blob};
use super::pictures::{Unmade, Wanted};
use super::post::{self, Reply};
use super::run::Keeper;
use super::store::Batch;
use crate::session::{Arrived, Small, taken_text};
use crate::trouble;

const MADE_BY: &str = concat!("garboard-photo ", env!("CARGO_PKG_VERSION"));
const MADE_BY_BROWSER: &str = concat!(
    "decoded by the browser, garboard-photo ",
    env!("CARGO_PKG_VERSION")
);

impl Keeper {
    pub(super) async fn shoot(
        self: &Rc<Self>,
        number: u32,
        shoot: &Shoot,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        self.must_write()?;
        if files.is_empty() {
            return Err(Trouble::new(
                TroubleKind::Mistake,
                "No picture came.",
                "Nothing was changed.",
                "Choose a picture, or take one.",
            ));
        }
        let n_files = files.len();
        let mut saved = Saved {
            deeds: Vec::new(),
            remarks: Vec::new(),
        };
        for (idx, file) in files.into_iter().enumerate() {
            if n_files > 1 {
                self.progress(Some(number), "Taking in pictures", idx, n_files);
                if self.is_stopped(number).await {
                    return Err(after(trouble::stopped(), &saved));
                }
            }
            match self.shoot_one(shoot, file).await {
                Ok((deed, remarks)) => {
                    saved.deeds.push(deed);
                    saved.remarks.extend(remarks);
                }
                Err(trouble) => return Err(after(trouble, &saved)),
            }
        }
        Ok(Answer::Saved(saved).into())
    }

    /// Looks at pictures that may be taken in, one after the other; nothing is kept of them.
    pub(super) async fn look_at(
        self: &Rc<Self>,
        number: u32,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        let n_files = files.len();
        let mut digests: Vec<Option<Digest>> = Vec::new();
        let mut looked: Vec<Looked> = Vec::new();
        for (idx, file) in files.iter().enumerate() {
            self.progress(Some(number), "Looking at the pictures", idx, n_files);
            if self.is_stopped(number).await {
                return Err(trouble::stopped());
            }
            let mut one = Looked {
                name: file.name(),
                n_bytes: files::size_of(file),
                ..Looked::default()
            };
            let digest = look_at_one(file, &mut one).await;
            one.twin_of = digest
                .and_then(|digest| digests.iter().position(|known| *known == Some(digest)))
                .and_then(|twin| u32::try_from(twin).ok());
            digests.push(digest);
            looked.push(one);
        }
        let session = self.session.borrow();
        let session = session.as_ref().ok_or_else(trouble::no_log)?;
        for entry in session.snapshot().standing() {
            if let Body::Photograph(photograph) = &entry.body
                && let Some(digest) = photograph.digest
            {
                for (one, _) in looked
                    .iter_mut()
                    .zip(&digests)
                    .filter(|(one, known)| one.known.is_none() && **known == Some(digest))
                {
                    one.known = Some(entry.id.to_string());
                }
            }
        }
        Ok(Answer::Looked(looked).into())
    }

    async fn shoot_one(
        self: &Rc<Self>,
        shoot: &Shoot,
        file: Blob,
    ) -> Result<(Deed, Vec<String>), Trouble> {
        // Read once: what is read twice lies in memory twice until the browser cleans up.
        let bytes = files::read(&file).await.map_err(|error| unread(&error))?;
        let digest = Digest::of(&bytes);
        let mut remarks = Vec::new();
        let facts = match garboard_photo::examine(&bytes) {
            Ok(facts) => {
                remarks.extend(facts.remarks.iter().map(ToString::to_string));
                Some(facts)
            }
            // The bytes are kept as they came where the file is some kind of picture; what is none is refused.
            Err(error) => return Err(refused(&file.name(), &error.to_string())),
        };
        drop(bytes);
        let media_type = facts
            .as_ref()
            .map_or_else(String::new, |facts| facts.media.name().to_owned());
        let arrived = Arrived {
            digest,
            size: files::size_of(&file),
            name: file.name(),
            media_type,
            facts,
        };
        let (written, deed, is_here, log) = {
            let mut session = self.session.borrow_mut();
            let session = session.as_mut().ok_or_else(trouble::no_log)?;
            let is_here = session.has_picture(digest);
            let (written, deed) = with_now(|now| session.shoot(shoot, &arrived, now))?;
            (written, deed, is_here, session.identity.log.to_string())
        };
        let mut batch = Batch::default();
        if !is_here {
            batch.picture(&log, &digest.to_string(), &file);
        }
        match written {
            Some(written) => {
                self.keep(&written, batch).await?;
                remarks.extend(written.saved.remarks);
            }
            // The statement is known; its bytes may have been missing here.
            None => self
                .store
                .write(&batch)
                .await
                .map_err(|error| error.not_saved())?,
        }
        if let Some(session) = self.session.borrow_mut().as_mut() {
            session.add_pictures([digest]);
        }
        if let Ok(entry) = deed.entry.parse::<Id>()
            && self.lacks_sizes(entry)
        {
            self.want_sizes(entry, digest, file);
        }
        Ok((deed, remarks))
    }

    /// Whether a smaller size of a photograph is not here.
    fn lacks_sizes(&self, entry: Id) -> bool {
        let session = self.session.borrow();
        session.as_ref().is_some_and(|session| {
            [Size::View, Size::Thumbnail].iter().any(|size| {
                session
                    .index()
                    .rendition(session.snapshot(), entry, size)
                    .and_then(|rendition| rendition.digest)
                    .is_none_or(|digest| !session.has_picture(digest))
            })
        })
    }

    fn want_sizes(&self, entry: Id, digest: Digest, original: Blob) {
        if let Some(shrinker) = self.shrinker.get() {
            if shrinker.is_waiting(entry) {
                return;
            }
            shrinker.want(Wanted {
                entry,
                digest,
                original,
            });
            self.progress(None, "Making small pictures", 0, shrinker.n_waiting());
        }
    }

    /// Makes the smaller sizes that an earlier start did not come to, where the original is here.
    pub(super) async fn want_missing_sizes(self: &Rc<Self>) {
        if !self.is_writer.get() {
            return;
        }
        let Some((log, missing)) = self.session.borrow().as_ref().map(|session| {
            let missing: Vec<(Id, Digest)> = session
                .snapshot()
                .standing()
                .filter_map(|entry| match &entry.body {
                    Body::Photograph(photograph) => Some((entry.id, photograph.digest?)),
                    _ => None,
                })
                .filter(|(id, digest)| {
                    session.has_picture(*digest)
                        && !session.identity.picture_troubles.contains_key(id)
                })
                .collect();
            (session.identity.log.to_string(), missing)
        }) else {
            return;
        };
        for (entry, digest) in missing {
            if !self.lacks_sizes(entry) {
                continue;
            }
            if let Ok(Some(original)) = self.store.picture(&log, &digest.to_string()).await {
                self.want_sizes(entry, digest, original);
            }
        }
    }

    /// Keeps the smaller sizes of a photograph, or why there are none.
    pub(super) async fn shrunk(self: &Rc<Self>, wanted: Wanted, told: Result<Shrunk, Unmade>) {
        let n_waiting = self
            .shrinker
            .get()
            .map_or(0, |shrinker| shrinker.n_waiting());
        self.progress(None, "Making small pictures", 1, n_waiting.max(1));
        let (entry, digest) = (wanted.entry.to_string(), wanted.digest.to_string());
        let kept = match told {
            Ok(shrunk) => self.keep_sizes(&wanted, &shrunk).await,
            Err(Unmade::NoPress) => {
                // Nothing is noted: it is tried again at the next start.
                let why = "the part of the app that makes small pictures is not on this device yet; they are made when it has been opened with a network once more".to_owned();
                return post::report(Report::PictureFailed { entry, digest, why });
            }
            Err(Unmade::Picture(why)) => {
                self.note_failed_sizes(&wanted, &why).await;
                return post::report(Report::PictureFailed { entry, digest, why });
            }
        };
        match kept {
            Ok(()) => post::report(Report::PictureReady { entry, digest }),
            Err(trouble) => post::report(Report::Trouble(trouble)),
        }
    }

    async fn keep_sizes(&self, wanted: &Wanted, shrunk: &Shrunk) -> Result<(), Trouble> {
        let made_by = if shrunk.is_by_browser {
            MADE_BY_BROWSER
        } else {
            MADE_BY
        };
        let small = |size: &'static str, made: &SmallBytes| {
            Some(Small {
                size,
                digest: made.digest.parse().ok()?,
                n_bytes: u64::try_from(made.bytes.len()).unwrap_or(u64::MAX),
                width: made.width,
                height: made.height,
                made_by,
            })
        };
        let made = [("view", &shrunk.view), ("thumbnail", &shrunk.thumbnail)];
        let sizes: Vec<Small> = made
            .iter()
            .filter_map(|(size, bytes)| small(size, bytes))
            .collect();

        let mut batch = Batch::default();
        let (written, log) = {
            let mut session = self.session.borrow_mut();
            let session = session.as_mut().ok_or_else(trouble::no_log)?;
            let log = session.identity.log.to_string();
            if session.snapshot().entry(wanted.entry).is_none() {
                // Another log was opened meanwhile: they are made when this one is open again.
                return Ok(());
            }
            let known: Vec<Digest> = [Size::View, Size::Thumbnail]
                .iter()
                .filter_map(|size| {
                    session
                        .index()
                        .rendition(session.snapshot(), wanted.entry, size)?
                        .digest
                })
                .collect();
            let new: Vec<Small> = if known.is_empty() {
                sizes.clone()
            } else {
                Vec::new()
            };
            // Where another device named its own renditions first, those count, and only their bytes are kept.
            for (_, made) in made {
                let is_wanted = made
                    .digest
                    .parse::<Digest>()
                    .is_ok_and(|digest| known.is_empty() || known.contains(&digest));
                if is_wanted {
                    let blob = files::blob(&made.bytes, "image/jpeg")
                        .map_err(|error| error.not_saved())?;
                    batch.picture(&log, &made.digest, &blob);
                }
            }
            let written = if new.is_empty() {
                None
            } else {
                Some(with_now(|now| session.shrunk(wanted.entry, &new, now))?)
            };
            (written, log)
        };
        match written {
            Some(written) => self.keep(&written, batch).await?,
            None => {
                self.store
                    .write(&batch)
                    .await
                    .map_err(|error| error.not_saved())?;
                if let Some(others) = self.others.get() {
                    others.tell(&log);
                }
            }
        }
        if let Some(session) = self.session.borrow_mut().as_mut() {
            session.add_pictures(sizes.iter().map(|small| small.digest));
        }
        self.must_remember.set(true);
        Ok(())
    }

    async fn note_failed_sizes(&self, wanted: &Wanted, why: &str) {
        let mut batch = Batch::default();
        {
            let mut session = self.session.borrow_mut();
            let Some(session) = session.as_mut() else {
                return;
            };
            session.picture_failed(wanted.entry, why);
            if super::desk::keep_identity(&mut batch, session).is_err() {
                return;
            }
        }
        // It is found out again at the next start; nothing is lost.
        if self.store.write(&batch).await.is_err() {
            post::note("that a picture cannot be made smaller could not be kept");
        }
    }
}

/// Notes what a file says of itself; its digest, where it can be read.
async fn look_at_one(file: &Blob, one: &mut Looked) -> Option<Digest> {
    let most = u64::try_from(garboard_photo::MOST_BYTES).unwrap_or(u64::MAX);
    if one.n_bytes > most {
        "it has more than 256 MiB".clone_into(&mut one.refused);
        return None;
    }
    match files::read(file).await {
        Ok(bytes) => {
            match garboard_photo::examine(&bytes) {
                Ok(facts) => one.taken = taken_text(&facts),
                Err(error) => one.refused = error.to_string(),
            }
            Some(Digest::of(&bytes))
        }
        Err(error) => {
            one.refused = format!("it cannot be read ({error})");
            None
        }
    }
}

fn unread(error: &super::Error) -> Trouble {
    Trouble::new(
        TroubleKind::BadFile,
        format!("Not saved: the picture's file cannot be read ({error})."),
        "Nothing was changed, and the file is where it was.",
        "Choose it again; it may have been moved, or not have been fetched to this device yet.",
    )
}

fn refused(name: &str, why: &str) -> Trouble {
    let named = if name.is_empty() {
        String::new()
    } else {
        format!(" “{name}”")
    };
    Trouble::new(
        TroubleKind::BadFile,
        format!("Not saved: the file{named} was refused: {why}."),
        "Nothing was changed, and the file is where it was.",
        "Choose another file, or mend this one as said.",
    )
}

/// Says which of several pictures were saved before something went wrong.
fn after(mut trouble: Trouble, saved: &Saved) -> Trouble {
    if !saved.deeds.is_empty() {
        trouble.safe = format!(
            "{} {} of the pictures had been saved before, and stay.",
            trouble.safe,
            saved.deeds.len()
        );
    }
    trouble
}
