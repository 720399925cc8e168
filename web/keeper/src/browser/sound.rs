//! Sound notes on their way in: bytes and statement in one durable write.

use std::rc::Rc;

use garboard_photo::{MOST_SOUND_BYTES, sniff_sound};
use garboard_protocol::{Answer, KeepSound, Report, Saved, Trouble, TroubleKind};

use super::desk::with_now;
use super::files::{self, Blob};
use super::post::{self, Reply};
use super::run::Keeper;
use super::store::Batch;
use crate::session::ArrivedSound;
use crate::trouble;

/// The first bytes tell what it is.
const FIRST_BYTES: u64 = 64;

impl Keeper {
    pub(super) async fn keep_sound(
        self: &Rc<Self>,
        said: &KeepSound,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        self.must_write()?;
        let Some(file) = files.into_iter().next() else {
            return Err(Trouble::new(
                TroubleKind::Mistake,
                "No sound came.",
                "Nothing was changed.",
                "Record it again, or choose a sound file.",
            ));
        };
        let size = files::size_of(&file);
        if size == 0 {
            return Err(refused(&file, "it is empty"));
        }
        if size > MOST_SOUND_BYTES {
            return Err(refused(&file, "it has more than 256 MiB"));
        }
        let unread = |error: super::Error| {
            Trouble::new(
                TroubleKind::BadFile,
                format!("Not saved: the sound cannot be read ({error})."),
                "Nothing was changed, and the file is where it was.",
                "Choose it again; it may have been moved, or not have been fetched to this device yet.",
            )
        };
        let first = files::slice(&file, 0, size.min(FIRST_BYTES)).map_err(unread)?;
        let first = files::read(&first).await.map_err(unread)?;
        let Some(media_type) = sniff_sound(&first) else {
            return Err(refused(
                &file,
                "its first bytes are those of no sound that is known here",
            ));
        };
        let arrived = ArrivedSound {
            digest: files::digest(&file).await.map_err(unread)?,
            size,
            media_type,
        };
        let (written, deed, is_here, log) = {
            let mut session = self.session.borrow_mut();
            let session = session.as_mut().ok_or_else(trouble::no_log)?;
            let is_here = session.has_picture(arrived.digest);
            let (written, deed) = with_now(|now| session.keep_sound(said, &arrived, now))?;
            (written, deed, is_here, session.identity.log.to_string())
        };
        let mut batch = Batch::default();
        if !is_here {
            batch.picture(&log, &arrived.digest.to_string(), &file);
        }
        let remarks = match written {
            Some(written) => {
                self.keep(&written, batch).await?;
                written.saved.remarks
            }
            // The statement is known; its bytes may have been missing here.
            None => {
                self.store
                    .write(&batch)
                    .await
                    .map_err(|error| error.not_saved())?;
                Vec::new()
            }
        };
        if let Some(session) = self.session.borrow_mut().as_mut() {
            session.add_pictures([arrived.digest]);
        }
        self.must_remember.set(true);
        self.forget_sound_parts().await;
        let deeds = vec![deed];
        Ok(Answer::Saved(Saved { deeds, remarks }).into())
    }
}

/// Under this prefix lie the parts of a sound that is being said in a log.
fn said_key(log: &str) -> String {
    format!("said/{log}")
}

impl Keeper {
    /// Keeps a part of a sound that is still being said, so that a page that is killed loses a second of it.
    pub(super) async fn keep_sound_part(
        self: &Rc<Self>,
        is_first: bool,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        self.must_write()?;
        let log = self.open_log()?.to_string();
        if is_first {
            self.forget_sound_parts().await;
            self.n_sound_parts.set(0);
        }
        let mut batch = Batch::default();
        for file in &files {
            let number = self.n_sound_parts.get();
            self.n_sound_parts.set(number + 1);
            batch.piece(&format!("{}/{number:06}", said_key(&log)), file);
        }
        self.store
            .write(&batch)
            .await
            .map_err(|error| error.not_saved())?;
        Ok(Answer::Done.into())
    }

    async fn forget_sound_parts(&self) {
        let Ok(log) = self.open_log() else { return };
        let Ok(parts) = self.store.pieces(&said_key(&log.to_string())).await else {
            return;
        };
        let mut batch = Batch::default();
        for (key, _) in &parts {
            batch.forget_state(key);
        }
        if self.store.write(&batch).await.is_err() {
            post::note("the parts of a sound that is kept could not be removed");
        }
    }

    /// Makes a sound note of what was being said when the page was killed.
    pub(super) async fn keep_unfinished_sound(self: &Rc<Self>) {
        if !self.is_writer.get() {
            return;
        }
        let Ok(log) = self.open_log() else { return };
        let Ok(parts) = self.store.pieces(&said_key(&log.to_string())).await else {
            return;
        };
        let Some((_, first)) = parts.first() else {
            return;
        };
        let Ok(whole) = files::joined(parts.iter().map(|(_, part)| part), &first.media_type())
        else {
            return;
        };
        match self.keep_sound(&KeepSound::default(), vec![whole]).await {
            Ok(_) => post::report(Report::Changed),
            // What cannot be read as a sound will not become one by waiting.
            Err(trouble) if trouble.kind == TroubleKind::BadFile => {
                self.forget_sound_parts().await;
            }
            Err(trouble) => post::report(Report::Trouble(trouble)),
        }
    }
}

fn refused(file: &Blob, why: &str) -> Trouble {
    let name = file.name();
    let named = if name.is_empty() {
        String::new()
    } else {
        format!(" “{name}”")
    };
    Trouble::new(
        TroubleKind::BadFile,
        format!("Not saved: the sound{named} was refused: {why}."),
        "Nothing was changed, and the file is where it was.",
        "Choose a sound file, as a phone's recorder makes it.",
    )
}
