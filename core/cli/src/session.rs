//! Writing in a log folder: who writes, on which device, and each statement kept before it is called saved.

use std::path::Path;

use garboard_key::Signer;
use garboard_log::Log;
use garboard_record::{Draft, Id, Snapshot, Stamper, draft};

use crate::failure::{Done, Failure};
use crate::identity::{Held, Identity};
use crate::machine;
use crate::store::{Opened, Store};

/// From so many chunks on, packing is considered now and then.
const CONSIDER_PACKING: usize = 256;

/// Who writes, where the command line says so.
#[derive(Debug, Clone, Default)]
pub struct Writer {
    /// The name of the hand.
    pub hand: Option<String>,
    /// The name of the device.
    pub device: Option<String>,
}

/// A log folder that is being written in.
pub struct Session {
    /// The folder and its log.
    pub opened: Opened,
    held: Held,
    stamper: Stamper,
}

impl Session {
    /// Begins a log: the boat, its first hand and this device.
    ///
    /// # Errors
    ///
    /// A mistake in the boat's fields or the folder; the environment's when it cannot be written.
    pub fn begin(dir: &Path, boat: &Draft, writer: &Writer) -> Done<Self> {
        let hand = writer.hand.clone().unwrap_or_else(machine::user_name);
        let device = writer
            .device
            .clone()
            .unwrap_or_else(|| "computer".to_owned());
        let (stamper, said) = draft::begin_log(
            boat,
            &hand,
            &device,
            machine::now_millis(),
            [machine::random()?, machine::random()?, machine::random()?],
            machine::offset_minutes(),
        )?;
        let store = Store::create(dir)?;
        let mut session = Self {
            held: Held::lock(stamper.log, dir)?,
            opened: Opened {
                store,
                log: Log::new(machine::random()?),
                trouble: Vec::new(),
                strays: Vec::new(),
            },
            stamper,
        };
        session.keep(&said)?;
        Ok(session)
    }

    /// Opens a log folder for writing; draws a new device where this machine has none there or a copy of it has written.
    ///
    /// # Errors
    ///
    /// A mistake when there is no log; the environment's when it cannot be read or written.
    pub fn open(dir: &Path, writer: &Writer) -> Done<Self> {
        let store = Store::at(dir)?;
        let first = store.open()?;
        let log = first.log.snapshot().log_id().ok_or_else(|| {
            Failure::mistake(
                format!("the log in {} says nothing yet", dir.display()),
                "merge a parcel of the log into it first",
            )
        })?;
        let held = Held::lock(log, dir)?;
        let known = held.read()?;
        // Another process may have written between the first look and the lock.
        let opened = store.open()?;
        let snapshot = opened.log.snapshot();
        let device_of = |identity: &Identity| snapshot.device_name(identity.device).to_owned();
        let same_hand = |identity: &Identity| {
            writer
                .hand
                .as_deref()
                .is_none_or(|name| snapshot.hand_name(identity.hand) == name.trim())
        };
        let fits = known.as_ref().filter(|identity| {
            !identity.is_copied(snapshot)
                && same_hand(identity)
                && snapshot.entry(identity.device).is_some()
        });
        if let Some(identity) = fits {
            let stamper = identity.stamper(log);
            return Ok(Self {
                opened,
                held,
                stamper,
            });
        }
        let copy_of = known
            .as_ref()
            .filter(|identity| snapshot.entry(identity.device).is_some() && same_hand(identity))
            .map(|identity| identity.device);
        let hand = writer
            .hand
            .clone()
            .or_else(|| {
                known
                    .as_ref()
                    .map(|identity| snapshot.hand_name(identity.hand).to_owned())
            })
            .unwrap_or_else(machine::user_name);
        let device = writer
            .device
            .clone()
            .or_else(|| known.as_ref().map(device_of))
            .unwrap_or_else(|| "computer".to_owned());
        let (stamper, said) = draft::join_log(
            snapshot,
            &hand,
            &device,
            copy_of,
            machine::now_millis(),
            [machine::random()?, machine::random()?],
            machine::offset_minutes(),
        )?;
        let mut session = Self {
            opened,
            held,
            stamper,
        };
        session.keep(&said)?;
        Ok(session)
    }

    /// The device that signs what is handed over from a log folder, where this machine has written there; the log names its
    /// key from then on.
    ///
    /// # Errors
    ///
    /// Those of [`Self::open`] and [`Held::secret`].
    pub fn signer(dir: &Path, log: Id) -> Done<Option<Signer>> {
        if Held::lock(log, dir)?.read()?.is_none() {
            return Ok(None);
        }
        let mut session = Self::open(dir, &Writer::default())?;
        let device = session.stamper.device;
        let secret = session.held.secret(device)?;
        let key = serde_json::json!(secret.key().to_string());
        let named = session.snapshot().entry(device);
        if let Some(entry) = named.filter(|entry| entry.fields().get("key") != Some(&key)) {
            let naming = Draft::amendment(entry, "key", key, None)?;
            session.say(&naming)?;
        }
        Ok(Some(Signer {
            log,
            device,
            secret,
        }))
    }

    /// What the log says.
    #[must_use]
    pub fn snapshot(&self) -> &Snapshot {
        self.opened.log.snapshot()
    }

    /// Who writes.
    #[must_use]
    pub fn hand(&self) -> Id {
        self.stamper.hand
    }

    /// Says one thing, durably, and gives its id.
    ///
    /// # Errors
    ///
    /// A mistake when it names entries that are not there; the environment's when it cannot be written.
    pub fn say(&mut self, draft: &Draft) -> Done<Id> {
        let ids = self.say_all(std::slice::from_ref(draft))?;
        ids.first()
            .copied()
            .ok_or_else(|| Failure::ours("a statement was written without an id"))
    }

    /// Says things that belong together, durably, all or none, and gives their ids.
    ///
    /// # Errors
    ///
    /// Those of [`Self::say`].
    pub fn say_all(&mut self, drafts: &[Draft]) -> Done<Vec<Id>> {
        for draft in drafts {
            draft.check_targets(self.snapshot())?;
        }
        self.stamp_and_keep(drafts)
    }

    /// Says things whose targets are among each other.
    ///
    /// # Errors
    ///
    /// Those of [`Self::say`].
    pub fn stamp_and_keep(&mut self, drafts: &[Draft]) -> Done<Vec<Id>> {
        let now = machine::now_millis();
        let mut said = Vec::new();
        for draft in drafts {
            said.push(self.stamper.stamp(draft, now, machine::random()?));
        }
        self.keep(&said)?;
        Ok(said.into_iter().map(|(id, _)| id).collect())
    }

    /// An id for something that other statements will name.
    ///
    /// # Errors
    ///
    /// Those of [`machine::random`].
    pub fn fresh_id(&mut self) -> Done<Id> {
        self.stamper.last_millis = machine::now_millis().max(self.stamper.last_millis + 1);
        Ok(Id::new(self.stamper.last_millis, machine::random()?))
    }

    /// Says things under ids that were drawn before, durably, all or none.
    ///
    /// # Errors
    ///
    /// Those of [`Self::say`].
    pub fn say_as(&mut self, drafts: &[(Id, Draft)]) -> Done<()> {
        let now = machine::now_millis();
        let said: Vec<(Id, String)> = drafts
            .iter()
            .map(|(id, draft)| self.stamper.stamp_as(*id, draft, now))
            .collect();
        self.keep(&said)
    }

    /// Keeps statements: the device's count first, then the chunk, so that a crash between leaves a gap and no double.
    fn keep(&mut self, said: &[(Id, String)]) -> Done<()> {
        let Some((_, last)) = said.last() else {
            return Ok(());
        };
        self.held.write(&Identity::after(&self.stamper, last))?;
        let chunk = self
            .opened
            .log
            .append_all(said.iter().map(|(id, text)| (*id, text.as_str())))?;
        self.opened.store.keep(&chunk)?;
        let n_chunks = self.opened.log.chunks().count();
        if n_chunks >= CONSIDER_PACKING && self.stamper.count.is_multiple_of(64) {
            self.opened.store.pack_if_many(self.stamper.device)?;
        }
        Ok(())
    }
}
