//! What each ask comes to: reads from the open log, and writes that are durable before they are
//! answered.

use std::rc::Rc;

use garboard_protocol::{
    Answer, Ask, Filter, Hello, PictureGiven, PictureSize, Remembered, Report, StorageState, Told,
    Trouble, Window, encode,
};
use garboard_record::word::Size;
use garboard_record::{Body, Digest, Id};

use super::chance;
use super::files::Blob;
use super::post::{self, Reply};
use super::run::Keeper;
use super::store::{self, Batch};
use super::tab;
use crate::session::{Identity, Now, Session, Written};
use crate::trouble;

const OPEN: &str = "open";
const N_REMEMBERED: u32 = 60;
const N_UNKEPT: usize = 64;

/// Does something at the time of the browser's clock, with its chance.
pub(super) fn with_now<T>(act: impl FnOnce(&mut Now<'_>) -> T) -> T {
    act(&mut Now {
        millis: chance::now_millis(),
        offset_minutes: chance::offset_minutes(),
        chance: &mut chance::random,
    })
}

pub(super) fn identity_key(log: Id) -> String {
    format!("log/{log}")
}

fn opening_key(log: Id) -> String {
    format!("opening/{log}")
}

impl Keeper {
    pub(super) async fn answer(
        self: &Rc<Self>,
        number: u32,
        ask: Ask,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        match ask {
            Ask::Hello { build } => self.greet(&build).await,
            Ask::Logs => self.logs().await,
            Ask::Begin { boat, hand, device } => self.begin(&boat, &hand, &device).await,
            Ask::Open { log } => self.open(&log).await,
            Ask::OpenDemo => self.open_demo(number).await,
            Ask::Leave => self.leave().await,
            Ask::Overview => self.look(|session| Answer::Opened(Box::new(session.opened()))),
            Ask::Rows { filter, window } => {
                self.look(|session| Answer::Rows(session.rows(&filter, window)))
            }
            Ask::Entry { id } => {
                self.tried(|session| Ok(Answer::Entry(Box::new(session.entry(&id)?))))
            }
            Ask::Places => self.look(|session| Answer::Places(session.places())),
            Ask::Plan => self.look(|session| Answer::Plan(session.plan())),
            Ask::Pin {
                place,
                along_mm,
                across_mm,
            } => {
                self.save(|session, now| session.pin(&place, along_mm, across_mm, now))
                    .await
            }
            Ask::PinOnPicture { place, right, down } => {
                self.save(|session, now| session.pin_on_picture(&place, [right, down], now))
                    .await
            }
            Ask::UseAsPlan { photograph } => {
                self.save(|session, now| session.use_as_plan(&photograph, now))
                    .await
            }
            Ask::WorkAt(at) => self.work_at(&at).await,
            Ask::Units { units } => {
                self.keep_about(|session| session.set_units(&units)).await?;
                Ok(Answer::Done.into())
            }
            Ask::Stints => self.look(|session| Answer::Stints(session.stints())),
            Ask::StartStint => self.save(Session::start_stint).await,
            Ask::StopStint { id } => self.save(|session, now| session.stop_stint(&id, now)).await,
            Ask::FinishStep { id } => {
                self.save(|session, now| session.finish_step(&id, now))
                    .await
            }
            Ask::Again { id } => self.save(|session, now| session.again(&id, now)).await,
            Ask::Move { entries, place } => {
                self.save(|session, now| session.move_all(&entries, &place, now))
                    .await
            }
            Ask::Say(say) => self.save(|session, now| session.say(&say, now)).await,
            Ask::Amend(amend) => self.save(|session, now| session.amend(&amend, now)).await,
            Ask::Choose(choose) => self.save(|session, now| session.choose(&choose, now)).await,
            Ask::Strike(strike) => self.save(|session, now| session.strike(&strike, now)).await,
            Ask::Lift(lift) => self.save(|session, now| session.lift(&lift, now)).await,
            Ask::Shoot(shoot) => self.shoot(number, &shoot, files).await,
            Ask::KeepSound(said) => self.keep_sound(&said, files).await,
            Ask::SoundPart { is_first } => self.keep_sound_part(is_first, files).await,
            Ask::LookAt => self.look_at(number, files).await,
            Ask::Picture { digest, size } => self.picture(&digest, size).await,
            Ask::Lay { photograph, spots } => self.lay(number, &photograph, spots).await,
            Ask::FindSpots { photograph } => self.find_spots(number, &photograph).await,
            Ask::Devices => self.look(|session| Answer::Devices(session.devices())),
            Ask::MakeParcel { scope, pictures } => self.make_parcel(number, &scope, pictures).await,
            Ask::Receive { hand, device } => self.take_parcel(number, &hand, &device, files).await,
            Ask::MakeDossier(options) => self.make_dossier(number, &options).await,
            Ask::SeeDossier(options) => self.see_dossier(&options).await,
            Ask::Choices => self.look(|session| Answer::Choices(Box::new(session.choices()))),
            Ask::Storage => {
                let (used, allowed, is_persisted) = store::room().await;
                Ok(Answer::Storage(StorageState {
                    used,
                    allowed,
                    is_persisted,
                })
                .into())
            }
            Ask::Work => {
                self.look(|session| with_now(|now| Answer::Work(Box::new(session.work(now)))))
            }
            Ask::Differences => self.look(|session| Answer::Differences(session.differences())),
            Ask::Check => self.check(number, files).await,
            Ask::Stop { .. } => Ok(Answer::Done.into()),
        }
    }

    /// Answers from the open log.
    fn look(&self, answer: impl FnOnce(&Session) -> Answer) -> Result<Reply, Trouble> {
        self.tried(|session| Ok(answer(session)))
    }

    pub(super) fn tried(
        &self,
        answer: impl FnOnce(&Session) -> Result<Answer, Trouble>,
    ) -> Result<Reply, Trouble> {
        let session = self.session.borrow();
        let session = session.as_ref().ok_or_else(trouble::no_log)?;
        answer(session).map(Reply::from)
    }

    async fn greet(&self, build: &str) -> Result<Reply, Trouble> {
        if build != self.build {
            self.is_refused.set(true);
            return Err(trouble::other_build());
        }
        // A page that was loaded anew gets the right from its earlier self, which takes a moment.
        for _ in 0..10 {
            if self.is_writer.get() {
                break;
            }
            tab::wait(40).await;
        }
        let is_writer = self.is_writer.get();
        self.told_writer.set(Some(is_writer));
        let session = self.session.borrow();
        Ok(Answer::Hello(Box::new(Hello {
            build: self.build.clone(),
            opened: session.as_ref().map(Session::opened),
            is_writer,
        }))
        .into())
    }

    // Logs.

    /// Opens the log that was open last, if there is one.
    pub(super) async fn begin_session(self: &Rc<Self>) {
        let opened = match self.store.state(OPEN).await {
            Ok(Some(log)) => self.load(&log).await.map(|_: bool| ()),
            Ok(None) => Ok(()),
            Err(error) => Err(error.not_read()),
        };
        if let Err(trouble) = opened {
            post::report(Report::Trouble(trouble));
        }
        self.want_missing_sizes().await;
        self.keep_unfinished_sound().await;
    }

    /// Reads a log from the storage and makes it the open one. `false` when there is none.
    pub(super) async fn load(&self, log: &str) -> Result<bool, Trouble> {
        let read = |error: super::Error| error.not_read();
        let Ok(id) = log.parse::<Id>() else {
            return Ok(false);
        };
        let Some(identity) = self.store.state(&identity_key(id)).await.map_err(read)? else {
            return Ok(false);
        };
        let identity: Identity = serde_json::from_str(&identity).map_err(|error| {
            trouble::fault(&format!("the log's own page is unreadable: {error}"))
        })?;
        let chunks: Vec<(Digest, Vec<u8>)> = self
            .store
            .chunks(log)
            .await
            .map_err(read)?
            .into_iter()
            .filter_map(|(name, bytes)| Some((name.parse().ok()?, bytes)))
            .collect();
        let opening = self.store.spare(&opening_key(id)).await.map_err(read)?;
        let pictures = self.store.picture_names(log).await.map_err(read)?;
        let n_kept = opening.as_deref().map_or(0, n_covered);
        self.n_unkept.set(chunks.len().saturating_sub(n_kept));
        let mut session =
            Session::open(identity, chunks, opening.as_deref(), chance::random::<16>());
        session.set_pictures(pictures.iter().filter_map(|name| name.parse().ok()));
        self.session.replace(Some(session));
        self.must_remember.set(true);
        Ok(true)
    }

    async fn logs(&self) -> Result<Reply, Trouble> {
        let texts = self
            .store
            .states("log")
            .await
            .map_err(|error| error.not_read())?;
        let mut cards: Vec<_> = texts
            .iter()
            .filter_map(|text| serde_json::from_str::<Identity>(text).ok())
            .map(|identity| identity.card())
            .collect();
        garboard_record::small::sort_by_key(&mut cards, |card| {
            std::cmp::Reverse(card.written.clone())
        });
        Ok(Answer::Logs(cards).into())
    }

    async fn begin(&self, boat: &str, hand: &str, device: &str) -> Result<Reply, Trouble> {
        self.must_write()?;
        let device = if device.trim().is_empty() {
            "phone"
        } else {
            device
        };
        let actor = chance::random::<16>();
        let (session, chunk) = with_now(|now| Session::begin(boat, hand, device, actor, now))?;
        let mut batch = Batch::default();
        let log = session.identity.log.to_string();
        batch.chunk(&log, &chunk.name.to_string(), &chunk.bytes);
        self.adopt(session, batch).await
    }

    /// Makes a session the open one, once all that it needs is durable.
    pub(super) async fn adopt(&self, session: Session, mut batch: Batch) -> Result<Reply, Trouble> {
        let log = session.identity.log;
        batch.state(OPEN, &log.to_string());
        keep_identity(&mut batch, &session)?;
        self.store
            .write(&batch)
            .await
            .map_err(|error| error.not_saved())?;
        let opened = session.opened();
        self.session.replace(Some(session));
        self.n_unkept.set(1);
        self.must_remember.set(true);
        Ok(Answer::Opened(Box::new(opened)).into())
    }

    pub(super) async fn open(self: &Rc<Self>, log: &str) -> Result<Reply, Trouble> {
        if !self.load(log).await? {
            return Err(trouble::not_found("That log"));
        }
        let mut batch = Batch::default();
        batch.state(OPEN, log);
        self.store
            .write(&batch)
            .await
            .map_err(|error| error.not_saved())?;
        self.want_missing_sizes().await;
        self.look(|session| Answer::Opened(Box::new(session.opened())))
    }

    async fn leave(&self) -> Result<Reply, Trouble> {
        self.session.take();
        self.must_remember.set(false);
        let mut batch = Batch::default();
        batch.forget_state(OPEN);
        batch.forget();
        self.store
            .write(&batch)
            .await
            .map_err(|error| error.not_saved())?;
        Ok(Answer::Done.into())
    }

    async fn work_at(&self, at: &garboard_protocol::WorkAt) -> Result<Reply, Trouble> {
        let working_at = self.keep_about(|session| session.work_at(at)).await??;
        Ok(Answer::WorkingAt(working_at).into())
    }

    /// Notes that a parcel was made. Where it cannot be kept, only the date of a reminder is lost.
    pub(super) async fn note_sent(&self) {
        if !self.is_writer.get() {
            return;
        }
        let noted = self
            .keep_about(|session| with_now(|now| session.note_sent(now)))
            .await;
        if noted.is_err() {
            post::note("when the log was last sent could not be kept");
        }
    }

    /// Changes what this device keeps about the log outside of it, and keeps that.
    pub(super) async fn keep_about<T>(
        &self,
        change: impl FnOnce(&mut Session) -> T,
    ) -> Result<T, Trouble> {
        let (changed, batch) = {
            let mut session = self.session.borrow_mut();
            let session = session.as_mut().ok_or_else(trouble::no_log)?;
            let changed = change(session);
            let mut batch = Batch::default();
            keep_identity(&mut batch, session)?;
            (changed, batch)
        };
        self.store
            .write(&batch)
            .await
            .map_err(|error| error.not_saved())?;
        self.must_remember.set(true);
        Ok(changed)
    }

    // Writing.

    pub(super) fn must_write(&self) -> Result<(), Trouble> {
        if self.is_writer.get() {
            Ok(())
        } else {
            Err(trouble::other_tab())
        }
    }

    pub(super) async fn save(
        self: &Rc<Self>,
        act: impl FnOnce(&mut Session, &mut Now<'_>) -> Result<Written, Trouble>,
    ) -> Result<Reply, Trouble> {
        self.must_write()?;
        let (before, written) = {
            let mut session = self.session.borrow_mut();
            let session = session.as_mut().ok_or_else(trouble::no_log)?;
            (session.working_at(), with_now(|now| act(session, now))?)
        };
        self.keep(&written, Batch::default()).await?;
        let after = self.session.borrow().as_ref().map(Session::working_at);
        if let Some(after) = after.filter(|after| *after != before) {
            // What the person works at was struck, or has another name now.
            post::report(Report::WorkingAt(after));
        }
        Ok(Answer::Saved(written.saved).into())
    }

    /// Makes what was written durable, together with what else is in the batch. When that fails the
    /// log is opened anew from what is kept, so that nothing unsaved is shown.
    pub(super) async fn keep(&self, written: &Written, mut batch: Batch) -> Result<(), Trouble> {
        let (log, gone) = {
            let session = self.session.borrow();
            let session = session.as_ref().ok_or_else(trouble::no_log)?;
            let log = session.identity.log;
            batch.chunk(
                &log.to_string(),
                &written.chunk.name.to_string(),
                &written.chunk.bytes,
            );
            let gone = withdrawn_here(session);
            for digest in &gone {
                batch.drop_picture(&log.to_string(), &digest.to_string());
            }
            keep_identity(&mut batch, session)?;
            (log, gone)
        };
        if let Err(error) = self.store.write(&batch).await {
            let not_saved = error.not_saved();
            if self.load(&log.to_string()).await.is_err() {
                self.session.take();
            }
            return Err(not_saved);
        }
        if let Some(session) = self.session.borrow_mut().as_mut() {
            session.drop_pictures(&gone);
        }
        self.n_unkept.set(self.n_unkept.get() + 1);
        self.must_remember.set(true);
        if let Some(others) = self.others.get() {
            others.tell(&log.to_string());
        }
        Ok(())
    }

    /// Takes in what another tab has written in the open log.
    pub(super) async fn follow(self: &Rc<Self>, log: &str) {
        let is_ours = self
            .session
            .borrow()
            .as_ref()
            .is_some_and(|session| session.identity.log.to_string() == log);
        if is_ours {
            self.follow_open().await;
        }
    }

    pub(super) async fn follow_open(self: &Rc<Self>) {
        let Some((log, known)) = self.session.borrow().as_ref().map(|session| {
            let known: Vec<String> = session
                .log()
                .chunks()
                .map(|name| name.to_string())
                .collect();
            (session.identity.log.to_string(), known)
        }) else {
            return;
        };
        let followed = async {
            let names = self.store.chunk_names(&log).await?;
            let mut came: Vec<(Digest, Vec<u8>)> = Vec::new();
            for name in names.iter().filter(|name| !known.contains(name)) {
                if let (Ok(digest), Some(bytes)) =
                    (name.parse(), self.store.chunk(&log, name).await?)
                {
                    came.push((digest, bytes));
                }
            }
            let pictures = self.store.picture_names(&log).await?;
            let identity = match log.parse::<Id>() {
                Ok(id) => self.store.state(&identity_key(id)).await?,
                Err(_) => None,
            };
            Ok::<_, super::Error>((came, pictures, identity))
        }
        .await;
        let Ok((came, pictures, identity)) = followed else {
            return;
        };
        if let Some(session) = self.session.borrow_mut().as_mut() {
            if let Some(identity) =
                identity.and_then(|text| serde_json::from_str::<Identity>(&text).ok())
            {
                session.adopt_identity(identity);
            }
            session.set_pictures(pictures.iter().filter_map(|name| name.parse().ok()));
            let came = came.iter().map(|(name, bytes)| (*name, bytes.as_slice()));
            if session.take_in(came).is_err() {
                post::note("what another tab wrote cannot be read");
            }
        }
        post::report(Report::Changed);
    }

    /// Keeps what the next start shows first, and, now and then, the opening that makes it fast.
    pub(super) async fn remember(&self) {
        if !self.is_writer.get() {
            return;
        }
        let mut batch = self.pack().await;
        {
            let session = self.session.borrow();
            let Some(session) = session.as_ref() else {
                return;
            };
            let window = Window {
                skip: 0,
                take: N_REMEMBERED,
            };
            let told = Told::Report(Report::Remembered(Box::new(Remembered {
                opened: session.opened(),
                rows: session.rows(&Filter::default(), window),
            })));
            let Ok(bytes) = encode(&told) else { return };
            if batch.remember(&self.build, &bytes).is_err() {
                return;
            }
            if self.n_unkept.get() >= N_UNKEPT
                && let Some(opening) = session.log().opening()
            {
                batch.spare(&opening_key(session.identity.log), &opening);
                self.n_unkept.set(0);
            }
        }
        // It can be made again at any time: a failure loses nothing.
        if self.store.write(&batch).await.is_err() {
            post::note("what the next start shows first could not be kept");
        }
        self.store.hold_room().await;
    }

    /// Packs this device's own chunks, where there are many. The pack is durable and was read back when this returns;
    /// what it stands for goes with the batch, which must write the opening as well.
    async fn pack(&self) -> Batch {
        let mut batch = Batch::default();
        if self.n_unkept.get() < N_UNKEPT {
            return batch;
        }
        let packed = self
            .session
            .borrow()
            .as_ref()
            .and_then(|session| Some((session.identity.log.to_string(), session.packed()?)));
        let Some((log, pack)) = packed else {
            return batch;
        };
        let mut kept = Batch::default();
        kept.chunk(&log, &pack.name.to_string(), &pack.bytes);
        if self.store.write(&kept).await.is_err() {
            post::note("what was written could not be packed; it is all there as it was");
            return batch;
        }
        let gone = match self.session.borrow_mut().as_mut() {
            Some(session) if session.identity.log.to_string() == log => session.repack(&pack),
            _ => Vec::new(),
        };
        for name in gone {
            batch.drop_chunk(&log, &name.to_string());
        }
        if let Some(others) = self.others.get() {
            others.tell(&log);
        }
        batch
    }

    // Pictures.

    /// A picture's bytes, in the size asked for or the next smaller that is here.
    pub(super) async fn picture(&self, digest: &str, size: PictureSize) -> Result<Reply, Trouble> {
        let (log, found) = {
            let session = self.session.borrow();
            let session = session.as_ref().ok_or_else(trouble::no_log)?;
            (
                session.identity.log.to_string(),
                candidates(session, digest, size),
            )
        };
        for (size, name) in found {
            let blob = self
                .store
                .picture(&log, &name.to_string())
                .await
                .map_err(|error| error.not_read())?;
            if let Some(blob) = blob {
                return Ok(Reply {
                    answer: Answer::Picture(Some(PictureGiven {
                        digest: digest.to_owned(),
                        size,
                        media_type: blob.media_type(),
                    })),
                    files: vec![blob],
                });
            }
        }
        Ok(Answer::Picture(None).into())
    }
}

/// How many chunks a kept opening stands for, by its head; 0 when it has none.
fn n_covered(opening: &[u8]) -> usize {
    opening
        .get(8..12)
        .and_then(|count| count.try_into().ok())
        .map_or(0, |count| {
            usize::try_from(u32::from_be_bytes(count)).unwrap_or_default()
        })
}

pub(super) fn keep_identity(batch: &mut Batch, session: &Session) -> Result<(), Trouble> {
    let text = serde_json::to_string(&session.identity)
        .map_err(|error| trouble::fault(&error.to_string()))?;
    batch.state(&identity_key(session.identity.log), &text);
    Ok(())
}

/// The bytes that are here though they were withdrawn: originals and their smaller sizes.
pub(super) fn withdrawn_here(session: &Session) -> Vec<Digest> {
    let snapshot = session.snapshot();
    let mut gone: Vec<Digest> = snapshot.withdrawn().collect();
    if gone.is_empty() {
        return gone;
    }
    for entry in snapshot.entries() {
        if let Body::Photograph(photograph) = &entry.body
            && photograph
                .digest
                .is_some_and(|digest| snapshot.is_withdrawn(digest))
        {
            for size in [Size::View, Size::Thumbnail] {
                gone.extend(
                    session
                        .index()
                        .rendition(snapshot, entry.id, &size)
                        .and_then(|rendition| rendition.digest),
                );
            }
        }
    }
    gone.retain(|digest| session.has_picture(*digest));
    gone
}

/// The digests under which a picture may be kept, from the size asked for downwards.
pub(super) fn candidates(
    session: &Session,
    digest: &str,
    size: PictureSize,
) -> Vec<(PictureSize, Digest)> {
    let Ok(original) = digest.parse::<Digest>() else {
        return Vec::new();
    };
    let snapshot = session.snapshot();
    let mut found = Vec::new();
    if snapshot.is_withdrawn(original) {
        return found;
    }
    if size == PictureSize::Original {
        found.push((PictureSize::Original, original));
    }
    let photographs: Vec<Id> = snapshot
        .entries()
        .filter(|entry| {
            matches!(&entry.body, Body::Photograph(photograph) if photograph.digest == Some(original))
        })
        .map(|entry| entry.id)
        .collect();
    for (as_given, as_kept) in [
        (PictureSize::View, Size::View),
        (PictureSize::Thumbnail, Size::Thumbnail),
    ] {
        if as_given > size {
            continue;
        }
        found.extend(photographs.iter().filter_map(|id| {
            let rendition = session.index().rendition(snapshot, *id, &as_kept)?;
            Some((as_given, rendition.digest?))
        }));
    }
    found
}
