//! Taking a parcel in: everything is checked first; then all of it is kept, or nothing.

use std::rc::Rc;

use garboard_log::{Log, TakenIn};
use garboard_parcel::{Manifest, PictureName, Report as Came};
use garboard_protocol::{
    Answer, PressAnswer, PressAsk, Received, ReceivedLine, Ref, Trouble, TroubleKind,
};
use garboard_record::{Digest, Id};

use super::{held_key, other_boat};
use crate::browser::chance;
use crate::browser::desk::{identity_key, keep_identity, with_now, withdrawn_here};
use crate::browser::files::Blob;
use crate::browser::post::Reply;
use crate::browser::press::Press;
use crate::browser::run::Keeper;
use crate::browser::store::Batch;
use crate::session::{Held, Session};
use crate::sight::capital;
use crate::trouble;

/// So many bytes of pictures go into one transaction.
const BATCH_BYTES: u64 = 24 << 20;

const OPENING: &str = "Checking the parcel";

impl Keeper {
    pub(in crate::browser) async fn take_parcel(
        self: &Rc<Self>,
        number: u32,
        hand: &str,
        device: &str,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        self.must_write()?;
        let press = Press::at_work()?;
        let manifests = self.unpack(number, &press, &files).await?;
        let manifest = first(&manifests)?;
        self.must_be_of_open_log(&manifest)?;
        let is_known = self.make_open(&manifest).await?;
        if !is_known && hand.trim().is_empty() {
            return Err(Trouble::new(
                TroubleKind::Mistake,
                format!(
                    "The log of “{}” is not on this device yet, and nobody is named who writes here.",
                    manifest.boat
                ),
                "Nothing was changed.",
                "Say your name, and open the parcel again.",
            ));
        }

        // 1. Everything is checked.
        let chunks = self.check_all(number, &press).await?;
        // 2. Pictures first: when the statements are there, what they name is there too.
        let (n_pictures, stored) = self
            .keep_pictures(number, &manifest, &manifests, &press)
            .await?;
        drop(press);
        // 3. The statements, in one transaction.
        let done = if is_known {
            self.merge(&manifest, &chunks, n_pictures, &stored).await
        } else {
            self.join(&manifest, &chunks, hand, device, n_pictures, &stored)
                .await
        };
        match done {
            Ok(received) => {
                self.must_remember.set(true);
                self.want_missing_sizes().await;
                Ok(Answer::Received(received).into())
            }
            Err(trouble) => {
                self.undo(&manifest, &stored).await;
                Err(trouble)
            }
        }
    }

    /// While a log is open, a parcel of another boat is refused by name.
    fn must_be_of_open_log(&self, manifest: &Manifest) -> Result<(), Trouble> {
        let session = self.session.borrow();
        match session.as_ref() {
            Some(session) if session.identity.log != manifest.log => {
                Err(other_boat(&manifest.boat, session.snapshot().boat_name()))
            }
            _ => Ok(()),
        }
    }

    /// Opens the parcel's log where it is on this device; whether it is.
    async fn make_open(&self, manifest: &Manifest) -> Result<bool, Trouble> {
        if self.session.borrow().is_some() {
            return Ok(true);
        }
        let kept = self
            .store
            .state(&identity_key(manifest.log))
            .await
            .map_err(|error| error.not_read())?;
        match kept {
            Some(_) => self.load(&manifest.log.to_string()).await,
            None => Ok(false),
        }
    }

    /// Opens the parcel's files; gives their manifests in the order of the parts.
    async fn unpack(
        &self,
        number: u32,
        press: &Press,
        files: &[Blob],
    ) -> Result<Vec<Manifest>, Trouble> {
        let opened = self
            .have_pressed(number, OPENING, press, &PressAsk::Unpack, files)
            .await?;
        let (PressAnswer::Unpacked { manifests }, _) = opened else {
            return Err(trouble::no_press());
        };
        manifests
            .iter()
            .map(|text| Manifest::from_json(text.as_bytes()))
            .collect::<Result<_, _>>()
            .map_err(|error| trouble::fault(&error.to_string()))
    }

    async fn check_all(
        &self,
        number: u32,
        press: &Press,
    ) -> Result<Vec<(Digest, Vec<u8>)>, Trouble> {
        let verified = self
            .have_pressed(number, OPENING, press, &PressAsk::Verify, [])
            .await?;
        let (PressAnswer::Verified { chunks }, _) = verified else {
            return Err(trouble::no_press());
        };
        for (name, bytes) in &chunks {
            Log::check_chunk(*name, bytes).map_err(|error| {
                Trouble::new(
                    TroubleKind::BadFile,
                    format!(
                        "Nothing was taken in: the part {name} is no chunk of a log ({error})."
                    ),
                    "The log on this device is as it was.",
                    "Ask for the parcel once more; it may have been cut short on its way.",
                )
            })?;
        }
        Ok(chunks)
    }

    /// Keeps the pictures that are not here yet; gives how many, and which.
    async fn keep_pictures(
        &self,
        number: u32,
        manifest: &Manifest,
        manifests: &[Manifest],
        press: &Press,
    ) -> Result<(usize, Vec<Digest>), Trouble> {
        let log = manifest.log.to_string();
        let here = self
            .store
            .picture_names(&log)
            .await
            .map_err(|error| error.not_read())?;
        let all = manifests.iter().flat_map(|manifest| &manifest.pictures);
        let mut wanted: Vec<&PictureName> = Vec::new();
        for picture in all {
            let is_gone = self
                .session
                .borrow()
                .as_ref()
                .is_some_and(|session| session.snapshot().is_withdrawn(picture.digest));
            let is_twice = wanted.iter().any(|one| one.digest == picture.digest);
            if !is_gone && !is_twice && !here.contains(&picture.digest.to_string()) {
                wanted.push(picture);
            }
        }
        let of = wanted.len();
        let mut stored: Vec<Digest> = Vec::new();
        let mut rest = wanted.into_iter().peekable();
        while rest.peek().is_some() {
            self.progress(Some(number), "Keeping pictures", stored.len(), of);
            let mut n_bytes = 0;
            let mut digests = Vec::new();
            while let Some(picture) = rest.next_if(|_| n_bytes < BATCH_BYTES) {
                n_bytes += picture.bytes;
                digests.push(picture.digest);
            }
            let kept = self
                .keep_batch(number, manifest, press, &digests, &mut stored)
                .await;
            if let Err(trouble) = kept {
                self.undo(manifest, &stored).await;
                return Err(trouble);
            }
        }
        Ok((stored.len(), stored))
    }

    async fn keep_batch(
        &self,
        number: u32,
        manifest: &Manifest,
        press: &Press,
        digests: &[Digest],
        stored: &mut Vec<Digest>,
    ) -> Result<(), Trouble> {
        if self.is_stopped(number).await {
            return Err(trouble::stopped());
        }
        let asked = PressAsk::Pictures {
            digests: digests.to_vec(),
        };
        let (_, blobs) = self
            .have_pressed(number, "Keeping pictures", press, &asked, [])
            .await?;
        if blobs.len() != digests.len() {
            return Err(trouble::no_press());
        }
        let mut batch = Batch::default();
        for (digest, blob) in digests.iter().zip(&blobs) {
            batch.picture(&manifest.log.to_string(), &digest.to_string(), blob);
        }
        stored.extend(digests);
        self.store
            .write(&batch)
            .await
            .map_err(|error| error.not_saved())
    }

    /// Takes away pictures that were kept for a parcel which then was not taken in.
    async fn undo(&self, manifest: &Manifest, stored: &[Digest]) {
        let mut batch = Batch::default();
        for digest in stored {
            batch.drop_picture(&manifest.log.to_string(), &digest.to_string());
        }
        if self.store.write(&batch).await.is_err() {
            crate::browser::post::note("pictures without a statement could not be removed");
        }
    }

    /// Merges into the open log.
    async fn merge(
        &self,
        manifest: &Manifest,
        chunks: &[(Digest, Vec<u8>)],
        n_pictures: usize,
        stored: &[Digest],
    ) -> Result<Received, Trouble> {
        let (received, batch) = {
            let mut session = self.session.borrow_mut();
            let session = session.as_mut().ok_or_else(trouble::no_log)?;
            let before = session.disputed();
            let n_before = session.snapshot().n_statements();
            let taken = session
                .take_in(chunks.iter().map(|(name, bytes)| (*name, bytes.as_slice())))
                .map_err(|error| trouble::fault(&error.to_string()))?;
            session.add_pictures(stored.iter().copied());
            let mut batch = Batch::default();
            if session.is_copied(&taken.statements) {
                let chunk = with_now(|now| session.become_another(now))?;
                batch.chunk(
                    &manifest.log.to_string(),
                    &chunk.name.to_string(),
                    &chunk.bytes,
                );
            }
            let mut received = report(session, manifest, &taken, n_pictures);
            received.n_known = u32::try_from(
                n_in(chunks).saturating_sub(session.snapshot().n_statements() - n_before),
            )
            .unwrap_or_default();
            received.disputes = new_disputes(session, &before);
            fill(&mut batch, session, manifest, &taken, chunks)?;
            (received, batch)
        };
        if let Err(error) = self.store.write(&batch).await {
            if self.load(&manifest.log.to_string()).await.is_err() {
                self.session.take();
            }
            return Err(error.not_saved());
        }
        if let Some(others) = self.others.get() {
            others.tell(&manifest.log.to_string());
        }
        self.n_unkept.set(self.n_unkept.get() + chunks.len());
        Ok(received)
    }

    /// Begins the log on this device as a copy.
    async fn join(
        &self,
        manifest: &Manifest,
        chunks: &[(Digest, Vec<u8>)],
        hand: &str,
        device: &str,
        n_pictures: usize,
        stored: &[Digest],
    ) -> Result<Received, Trouble> {
        let mut log = Log::new(chance::random::<16>());
        let taken = log
            .take_in_all(chunks.iter().map(|(name, bytes)| (*name, bytes.as_slice())))
            .map_err(|error| trouble::fault(&error.to_string()))?;
        if log.snapshot().log_id() != Some(manifest.log) {
            return Err(Trouble::new(
                TroubleKind::BadFile,
                format!(
                    "This is part {} of {} of a parcel, and the log itself is in the first part.",
                    manifest.part.0, manifest.part.1
                ),
                "Nothing was changed.",
                "Take in the first part first, or all parts at once.",
            ));
        }
        let device = if device.trim().is_empty() {
            "phone"
        } else {
            device
        };
        let (mut session, chunk) = with_now(|now| Session::join(log, hand, device, None, now))?;
        session.add_pictures(stored.iter().copied());
        let mut received = report(&session, manifest, &taken, n_pictures);
        received.is_new_log = true;
        received.disputes = new_disputes(&session, &std::collections::BTreeSet::new());
        let mut batch = Batch::default();
        batch.chunk(
            &manifest.log.to_string(),
            &chunk.name.to_string(),
            &chunk.bytes,
        );
        note_sender(&mut batch, &mut session, manifest)?;
        fill(&mut batch, &mut session, manifest, &taken, chunks)?;
        self.adopt(session, batch).await?;
        Ok(received)
    }
}

/// Puts new chunks, what is known of the sender, and withdrawals into a batch.
fn fill(
    batch: &mut Batch,
    session: &mut Session,
    manifest: &Manifest,
    taken: &TakenIn,
    chunks: &[(Digest, Vec<u8>)],
) -> Result<(), Trouble> {
    let log = manifest.log.to_string();
    for (name, bytes) in chunks {
        if taken.chunks.contains(name) {
            batch.chunk(&log, &name.to_string(), bytes);
        }
    }
    let gone = withdrawn_here(session);
    for digest in &gone {
        batch.drop_picture(&log, &digest.to_string());
    }
    session.drop_pictures(&gone);
    note_sender(batch, session, manifest)?;
    keep_identity(batch, session)
}

/// Remembers what the sender has.
fn note_sender(
    batch: &mut Batch,
    session: &mut Session,
    manifest: &Manifest,
) -> Result<(), Trouble> {
    let Some(device) = manifest
        .device
        .filter(|device| *device != session.identity.device)
    else {
        return Ok(());
    };
    let counts = session.counts_at(&manifest.heads);
    session.device_has(device, counts, manifest.written.as_str());
    let held = Held {
        heads: manifest.heads.clone(),
        holds: manifest.holds.clone(),
    };
    let text = serde_json::to_string(&held).map_err(|error| trouble::fault(&error.to_string()))?;
    batch.state(&held_key(manifest.log, device), &text);
    Ok(())
}

/// The manifest of the first part; all parts must be of one log.
fn first(manifests: &[Manifest]) -> Result<Manifest, Trouble> {
    let first = manifests.first().ok_or_else(|| {
        Trouble::new(
            TroubleKind::Mistake,
            "No parcel came.",
            "Nothing was changed.",
            "Choose the parcel's file.",
        )
    })?;
    match manifests.iter().find(|other| other.log != first.log) {
        Some(other) => Err(other_boat(&other.boat, &first.boat)),
        None => Ok(first.clone()),
    }
}

/// How many statements lie in some chunks.
fn n_in(chunks: &[(Digest, Vec<u8>)]) -> usize {
    let keys = garboard_record::small::set(
        chunks
            .iter()
            .filter_map(|(_, bytes)| Log::texts_in(bytes).ok())
            .flatten()
            .map(|(key, _)| key),
    );
    keys.len()
}

fn report(session: &Session, manifest: &Manifest, taken: &TakenIn, n_pictures: usize) -> Received {
    let came = Came::of(taken, session.snapshot(), n_pictures);
    let n = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let lines = |counts: &std::collections::BTreeMap<String, usize>, in_words: bool| {
        counts
            .iter()
            .map(|(word, count)| ReceivedLine {
                word: if in_words {
                    capital(garboard_record::Kind::of(word).shown())
                } else {
                    word.clone()
                },
                n: n(*count),
            })
            .collect()
    };
    Received {
        log: manifest.log.to_string(),
        boat: session.snapshot().boat_name().to_owned(),
        is_new_log: false,
        n_new: n(came.n_statements),
        n_known: 0,
        by_kind: lines(&came.by_kind, true),
        by_hand: lines(&came.by_hand, false),
        n_pictures: n(came.n_pictures),
        disputes: Vec::new(),
        remarks: session
            .log()
            .trouble()
            .iter()
            .map(|trouble| format!("{}.", capital(&trouble.to_string())))
            .collect(),
    }
}

fn new_disputes(session: &Session, before: &std::collections::BTreeSet<(Id, String)>) -> Vec<Ref> {
    let mut entries: Vec<Id> = session
        .disputed()
        .difference(before)
        .map(|(entry, _)| *entry)
        .collect();
    entries.dedup();
    entries
        .into_iter()
        .map(|id| session.sight().to(id))
        .collect()
}
