//! Taking a parcel in: everything is checked first; then all of it is kept, or nothing.

use std::io::BufReader;
use std::rc::Rc;

use garboard_log::{Log, TakenIn};
use garboard_parcel::{Manifest, Reader, Report as Came};
use garboard_protocol::{Answer, Received, ReceivedLine, Ref, Trouble, TroubleKind};
use garboard_record::{Digest, Id};

use super::{held_key, refused};
use crate::browser::chance;
use crate::browser::desk::{identity_key, keep_identity, with_now, withdrawn_here};
use crate::browser::files::{self, Blob};
use crate::browser::post::Reply;
use crate::browser::run::Keeper;
use crate::browser::store::Batch;
use crate::browser::sync_file::BlobReader;
use crate::session::{Held, Session};
use crate::sight::capital;
use crate::trouble;

/// So many bytes of pictures go into one transaction.
const BATCH_BYTES: usize = 24 << 20;

type Parcel = Reader<BufReader<BlobReader>>;

impl Keeper {
    pub(in crate::browser) async fn take_parcel(
        self: &Rc<Self>,
        number: u32,
        hand: &str,
        device: &str,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        self.must_write()?;
        let mut parcels = open_all(files)?;
        let manifest = first(&parcels)?;
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
        let chunks = self.check_all(number, &mut parcels).await?;
        // 2. Pictures first: when the statements are there, what they name is there too.
        let (n_pictures, stored) = self.keep_pictures(number, &manifest, &mut parcels).await?;
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
                Err(refused(&garboard_parcel::Error::OtherBoat {
                    theirs: manifest.boat.clone(),
                    ours: session.snapshot().boat_name().to_owned(),
                }))
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

    async fn check_all(
        &self,
        number: u32,
        parcels: &mut [Parcel],
    ) -> Result<Vec<(Digest, Vec<u8>)>, Trouble> {
        let of: usize = parcels
            .iter()
            .map(|parcel| parcel.manifest().pictures.len() + 1)
            .sum();
        let mut done = 0;
        let mut chunks = Vec::new();
        for parcel in parcels {
            let found = parcel.chunks().map_err(|error| refused(&error))?;
            for (name, bytes) in &found {
                Log::check_chunk(*name, bytes).map_err(|source| {
                    refused(&garboard_parcel::Error::Chunk {
                        name: *name,
                        source: source.into(),
                    })
                })?;
            }
            chunks.extend(found);
            for picture in parcel.manifest().pictures.clone() {
                done += 1;
                self.progress(Some(number), "Checking the parcel", done, of);
                if self.is_stopped(number).await {
                    return Err(trouble::stopped());
                }
                parcel.picture(&picture).map_err(|error| refused(&error))?;
            }
            done += 1;
        }
        Ok(chunks)
    }

    /// Keeps the pictures that are not here yet; gives how many, and which.
    async fn keep_pictures(
        &self,
        number: u32,
        manifest: &Manifest,
        parcels: &mut [Parcel],
    ) -> Result<(usize, Vec<Digest>), Trouble> {
        let log = manifest.log.to_string();
        let here = self
            .store
            .picture_names(&log)
            .await
            .map_err(|error| error.not_read())?;
        let of: usize = parcels
            .iter()
            .map(|parcel| parcel.manifest().pictures.len())
            .sum();
        let mut stored: Vec<Digest> = Vec::new();
        let mut batch = Batch::default();
        let (mut n_bytes, mut done) = (0, 0);
        for parcel in parcels {
            for picture in parcel.manifest().pictures.clone() {
                done += 1;
                self.progress(Some(number), "Keeping pictures", done, of);
                let is_gone = self
                    .session
                    .borrow()
                    .as_ref()
                    .is_some_and(|session| session.snapshot().is_withdrawn(picture.digest));
                let name = picture.digest.to_string();
                if is_gone || here.contains(&name) || stored.contains(&picture.digest) {
                    continue;
                }
                if self.is_stopped(number).await {
                    self.undo(manifest, &stored).await;
                    return Err(trouble::stopped());
                }
                let bytes = match parcel.picture(&picture) {
                    Ok(bytes) => bytes,
                    Err(error) => {
                        self.undo(manifest, &stored).await;
                        return Err(refused(&error));
                    }
                };
                let blob =
                    files::blob(&bytes, &picture.media_type).map_err(|error| error.not_saved())?;
                n_bytes += bytes.len();
                batch.picture(&log, &name, &blob);
                stored.push(picture.digest);
                if n_bytes >= BATCH_BYTES {
                    self.write_pictures(manifest, &mut batch, &stored).await?;
                    n_bytes = 0;
                }
            }
        }
        self.write_pictures(manifest, &mut batch, &stored).await?;
        Ok((stored.len(), stored))
    }

    async fn write_pictures(
        &self,
        manifest: &Manifest,
        batch: &mut Batch,
        stored: &[Digest],
    ) -> Result<(), Trouble> {
        let full = std::mem::take(batch);
        if let Err(error) = self.store.write(&full).await {
            self.undo(manifest, stored).await;
            return Err(error.not_saved());
        }
        Ok(())
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

fn open_all(files: Vec<Blob>) -> Result<Vec<Parcel>, Trouble> {
    let mut parcels = files
        .into_iter()
        .map(|file| {
            Reader::open(BufReader::with_capacity(1 << 18, BlobReader::new(file)))
                .map_err(|error| refused(&error))
        })
        .collect::<Result<Vec<_>, _>>()?;
    // The log itself lies in the first part.
    garboard_record::small::sort_by_key(&mut parcels, |parcel| parcel.manifest().part);
    Ok(parcels)
}

/// The manifest of the first part; all parts must be of one log.
fn first(parcels: &[Parcel]) -> Result<Manifest, Trouble> {
    let manifest = parcels
        .first()
        .map(|parcel| parcel.manifest().clone())
        .ok_or_else(|| {
            Trouble::new(
                TroubleKind::Mistake,
                "No parcel came.",
                "Nothing was changed.",
                "Choose the parcel's file.",
            )
        })?;
    match parcels
        .iter()
        .find(|parcel| parcel.manifest().log != manifest.log)
    {
        Some(other) => Err(refused(&garboard_parcel::Error::OtherBoat {
            theirs: other.manifest().boat.clone(),
            ours: manifest.boat,
        })),
        None => Ok(manifest),
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
