//! The open log of this device: what is said goes in, chunks that must be kept come out.
//!
//! Nothing here is saved: every act gives a [`Written`], and only when its chunk is durable may
//! anyone be told. Where that fails, the session is thrown away and opened anew from what is kept.

mod amend;
mod deed;
mod identity;
mod shoot;
mod show;
mod sound;

use std::cell::OnceCell;
use std::collections::BTreeMap;

use garboard_log::{Chunk, Log, TakenIn};
use garboard_protocol::{Deed, Saved, Say, Trouble, TroubleKind};
use garboard_record::draft::{begin_log, join_log};
use garboard_record::unit::System;
use garboard_record::{
    Digest, Draft, Entry, Id, Index, Kind, Remark, Snapshot, Stamper, When, oddity,
};
use serde_json::{Map, Value, json};

pub use identity::{Held, Identity, Other, Work};
pub use shoot::{Arrived, Facts, Small, taken_text};
pub use sound::ArrivedSound;

use crate::sight::{Around, Sight};
use crate::{trouble, view};

/// The clock and chance of one act.
pub struct Now<'a> {
    /// Milliseconds since 1970.
    pub millis: u64,
    /// Minutes east of UTC.
    pub offset_minutes: i32,
    /// Draws random bytes.
    pub chance: &'a mut dyn FnMut() -> [u8; 10],
}

impl Now<'_> {
    fn here(&self) -> When {
        When::from_unix_millis_at(self.millis, self.offset_minutes)
    }
}

/// What an act wrote: the chunk that must be made durable, and what to answer then.
#[derive(Debug, Clone)]
pub struct Written {
    /// The chunk.
    pub chunk: Chunk,
    /// The answer, once the chunk is durable.
    pub saved: Saved,
}

/// The open log.
pub struct Session {
    log: Log,
    stamper: Stamper,
    /// What this device keeps about the log outside of it.
    pub identity: Identity,
    around: Around,
    index: OnceCell<Index>,
    remarks: OnceCell<Vec<Remark>>,
    pages: OnceCell<view::rows::Pages>,
    trouble: Vec<String>,
}

impl Session {
    /// Begins a log: the boat, the hand and this device.
    ///
    /// # Errors
    ///
    /// A trouble when a name is blank or cannot be kept.
    pub fn begin(
        boat: &str,
        hand: &str,
        device: &str,
        actor: [u8; 16],
        now: &mut Now<'_>,
    ) -> Result<(Self, Chunk), Trouble> {
        let mut fields = Map::new();
        fields.insert("name".to_owned(), boat.trim().into());
        let boat = Draft::of(Kind::Boat, fields).map_err(|error| trouble::mistake(&error))?;
        let random = [(now.chance)(), (now.chance)(), (now.chance)()];
        let (stamper, said) =
            begin_log(&boat, hand, device, now.millis, random, now.offset_minutes)
                .map_err(|error| trouble::mistake(&error))?;
        let mut log = Log::new(actor);
        let chunk = log
            .append_all(said.iter().map(|(id, text)| (*id, text.as_str())))
            .map_err(|error| trouble::fault(&error.to_string()))?;
        let identity = Identity::new(stamper.log, stamper.hand, stamper.device);
        Ok((Self::of(log, identity, Vec::new()), chunk))
    }

    /// Opens what is kept of a log on this device. It never fails: what is odd is remarked on.
    #[must_use]
    pub fn open(
        identity: Identity,
        chunks: Vec<(Digest, Vec<u8>)>,
        opening: Option<&[u8]>,
        actor: [u8; 16],
    ) -> Self {
        let (log, trouble) = Log::open(actor, chunks, opening);
        let trouble = trouble.iter().map(ToString::to_string).collect();
        Self::of(log, identity, trouble)
    }

    /// Joins a log that came from elsewhere: gives this device its own identity in it.
    ///
    /// # Errors
    ///
    /// A trouble when a name is blank, or the boat has not arrived.
    pub fn join(
        log: Log,
        hand: &str,
        device: &str,
        copy_of: Option<Id>,
        now: &mut Now<'_>,
    ) -> Result<(Self, Chunk), Trouble> {
        let mut log = log;
        let random = [(now.chance)(), (now.chance)()];
        let (stamper, said) = join_log(
            log.snapshot(),
            hand,
            device,
            copy_of,
            now.millis,
            random,
            now.offset_minutes,
        )
        .map_err(|error| trouble::mistake(&error))?;
        let chunk = log
            .append_all(said.iter().map(|(id, text)| (*id, text.as_str())))
            .map_err(|error| trouble::fault(&error.to_string()))?;
        let identity = Identity::new(stamper.log, stamper.hand, stamper.device);
        Ok((Self::of(log, identity, Vec::new()), chunk))
    }

    fn of(log: Log, identity: Identity, trouble: Vec<String>) -> Self {
        let mut stamper = Stamper::begin(identity.log, identity.hand, identity.device);
        stamper.count = log
            .snapshot()
            .highest_count(identity.device)
            .unwrap_or_default();
        // A clock that was set back meanwhile draws no ids before those that this device has used.
        stamper.last_millis = log
            .snapshot()
            .at_count(identity.device, stamper.count)
            .map(|id| id.unix_millis())
            .max()
            .unwrap_or_default();
        let mut session = Self {
            log,
            stamper,
            identity,
            around: Around::default(),
            index: OnceCell::new(),
            remarks: OnceCell::new(),
            pages: OnceCell::new(),
            trouble,
        };
        session.look_around();
        session.describe();
        session
    }

    fn look_around(&mut self) {
        self.around.device = Some(self.identity.device);
        self.around.units = System::of(&self.identity.units);
        self.around
            .picture_troubles
            .clone_from(&self.identity.picture_troubles);
        self.around.others = garboard_record::small::map(
            self.identity
                .others
                .iter()
                .map(|(device, other)| (*device, other.counts.clone())),
        );
    }

    /// Brings what the list of logs shows up to date.
    fn describe(&mut self) {
        let snapshot = self.log.snapshot();
        self.identity.boat = snapshot.boat_name().to_owned();
        self.identity.hand_name = snapshot.hand_name(self.identity.hand).to_owned();
        self.identity.n_statements = u32::try_from(snapshot.n_statements()).unwrap_or(u32::MAX);
        self.identity.written = snapshot
            .statements()
            .next_back()
            .and_then(|(_, statement)| statement.written.as_ref())
            .map_or_else(String::new, ToString::to_string);
    }

    /// Takes over what another tab keeps about the log outside of it.
    pub fn adopt_identity(&mut self, identity: Identity) {
        self.identity = identity;
        self.look_around();
    }

    /// Which pictures' bytes are here.
    pub fn set_pictures(&mut self, pictures: impl IntoIterator<Item = Digest>) {
        self.around.pictures = garboard_record::small::set(pictures);
    }

    /// Some pictures' bytes are here from now on.
    pub fn add_pictures(&mut self, pictures: impl IntoIterator<Item = Digest>) {
        self.around.pictures.extend(pictures);
    }

    /// Some pictures' bytes are here no longer.
    pub fn drop_pictures(&mut self, pictures: &[Digest]) {
        for digest in pictures {
            self.around.pictures.remove(digest);
        }
    }

    /// Whether a picture's bytes are here.
    #[must_use]
    pub fn has_picture(&self, digest: Digest) -> bool {
        self.around.pictures.contains(&digest)
    }

    /// No smaller sizes can be made of a photograph.
    pub fn picture_failed(&mut self, entry: Id, why: &str) {
        self.identity.picture_troubles.insert(entry, why.to_owned());
        self.look_around();
    }

    /// Another device is known to have all that is here now, and wrote so at `when`.
    pub fn device_has(&mut self, device: Id, counts: BTreeMap<Id, u64>, when: &str) {
        let other = self.identity.others.entry(device).or_default();
        for (writer, count) in counts {
            let known = other.counts.entry(writer).or_default();
            *known = count.max(*known);
        }
        when.clone_into(&mut other.last_parcel);
        self.look_around();
    }

    /// The log itself, for parcels and checks.
    #[must_use]
    pub fn log(&self) -> &Log {
        &self.log
    }

    /// A pack of this device's own loose chunks, where there are many; it must be kept before [`Self::repack`].
    #[must_use]
    pub fn packed(&self) -> Option<Chunk> {
        self.log.packed(self.identity.device)
    }

    /// Lets a pack that is kept stand for what it holds; gives the chunks that are needed no more.
    #[must_use]
    pub fn repack(&mut self, pack: &Chunk) -> Vec<Digest> {
        self.log.repack(pack).unwrap_or_default()
    }

    /// What the statements mean together.
    #[must_use]
    pub fn snapshot(&self) -> &Snapshot {
        self.log.snapshot()
    }

    /// What refers to what.
    #[must_use]
    pub fn index(&self) -> &Index {
        self.index.get_or_init(|| Index::of(self.log.snapshot()))
    }

    /// The log as the views see it.
    #[must_use]
    pub fn sight(&self) -> Sight<'_> {
        Sight {
            snapshot: self.log.snapshot(),
            index: self.index(),
            around: &self.around,
        }
    }

    fn remarks(&self) -> &[Remark] {
        self.remarks
            .get_or_init(|| oddity::remarks(self.log.snapshot(), self.index()))
    }

    fn changed(&mut self) {
        self.index.take();
        self.remarks.take();
        self.pages.take();
        self.describe();
    }

    /// Takes in chunks that another tab or a parcel brought, all or none.
    ///
    /// # Errors
    ///
    /// The log's error when one of them is altered or no chunk.
    pub fn take_in<'a>(
        &mut self,
        chunks: impl IntoIterator<Item = (Digest, &'a [u8])>,
    ) -> Result<TakenIn, garboard_log::Error> {
        let taken = self.log.take_in_all(chunks)?;
        self.stamper.count = self
            .snapshot()
            .highest_count(self.identity.device)
            .unwrap_or_default();
        self.changed();
        Ok(taken)
    }

    /// Whether statements of this very device have come from elsewhere: then it is a copy of itself.
    #[must_use]
    pub fn is_copied(&self, came: &[Id]) -> bool {
        came.iter().any(|id| {
            self.snapshot()
                .statement(*id)
                .is_some_and(|statement| statement.device == self.identity.device)
        })
    }

    /// Gives this device a new identity, because a copy of it has written elsewhere.
    ///
    /// # Errors
    ///
    /// A trouble when the log refuses; nothing was changed.
    pub fn become_another(&mut self, now: &mut Now<'_>) -> Result<Chunk, Trouble> {
        let snapshot = self.log.snapshot();
        let hand = snapshot.hand_name(self.identity.hand).to_owned();
        let device = snapshot.device_name(self.identity.device).to_owned();
        let random = [(now.chance)(), (now.chance)()];
        let (stamper, said) = join_log(
            snapshot,
            &hand,
            &device,
            Some(self.identity.device),
            now.millis,
            random,
            now.offset_minutes,
        )
        .map_err(|error| trouble::mistake(&error))?;
        let chunk = self
            .log
            .append_all(said.iter().map(|(id, text)| (*id, text.as_str())))
            .map_err(|error| trouble::fault(&error.to_string()))?;
        self.identity.hand = stamper.hand;
        self.identity.device = stamper.device;
        self.stamper = stamper;
        self.look_around();
        self.changed();
        Ok(chunk)
    }

    /// Adds an entry.
    ///
    /// # Errors
    ///
    /// A trouble that says what does not fit; nothing was changed.
    pub fn say(&mut self, say: &Say, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let kind: Kind = say.kind.parse().map_err(|error| trouble::mistake(&error))?;
        let mut fields: Map<String, Value> =
            serde_json::from_str(&say.fields).map_err(|error| {
                trouble::mistake(&garboard_record::Error::NotFields {
                    kind: kind.clone(),
                    found: error.to_string(),
                })
            })?;
        if say.at_work {
            self.fill_in(&kind, &mut fields);
        }
        if kind == Kind::ClosingUp {
            self.fill_in_lacks(&mut fields);
        }
        let happened = read_when(say.happened.as_deref())?;
        let about = match kind {
            Kind::Repair if say.at_work => self.identity.work.finding,
            _ => None,
        };
        let draft = Draft::of(kind, fields)
            .map_err(|error| trouble::mistake(&error))?
            .at(happened);
        match about.filter(|finding| self.stands(*finding)) {
            // A repair that is decided on while working at a finding is about that finding.
            Some(finding) => self.write_joined(&draft, finding, "finding", now),
            None => self.write(&[draft], now),
        }
    }

    /// Fills in where the person works, unless the fields name a place, finding or repair themselves.
    fn fill_in(&self, kind: &Kind, fields: &mut Map<String, Value>) {
        let names = ["place", "finding", "repair"];
        if names
            .iter()
            .any(|name| fields.get(*name).is_some_and(|value| !value.is_null()))
        {
            return;
        }
        let work = &self.identity.work;
        let known = [
            ("place", work.place),
            ("finding", work.finding),
            ("repair", work.repair),
        ];
        for (name, id) in known {
            if let Some(id) = id.filter(|id| self.stands(*id))
                && kind.field(name).is_some()
            {
                fields.insert(name.to_owned(), json!(id));
            }
        }
    }

    fn stands(&self, id: Id) -> bool {
        self.snapshot()
            .entry(id)
            .is_some_and(|entry| !entry.is_struck())
    }

    /// Starts a stint of this hand where the person works.
    ///
    /// # Errors
    ///
    /// A trouble when one runs already.
    pub fn start_stint(&mut self, now: &mut Now<'_>) -> Result<Written, Trouble> {
        if let Some(running) = self.stints().into_iter().find(|stint| stint.is_mine) {
            return Err(Trouble::new(
                TroubleKind::Mistake,
                format!(
                    "Your clock runs already, since {}.",
                    crate::shown::when(&running.start)
                ),
                "It goes on running.",
                "Stop it first, then start the next stint.",
            ));
        }
        let mut fields = Map::new();
        fields.insert("start".to_owned(), json!(now.here()));
        fields.insert("person".to_owned(), json!(self.identity.hand));
        self.fill_in(&Kind::Stint, &mut fields);
        let draft = Draft::of(Kind::Stint, fields).map_err(|error| trouble::mistake(&error))?;
        self.write(&[draft], now)
    }

    /// Writes drafts that belong together in one change; the answer has a deed for each.
    fn write(&mut self, drafts: &[Draft], now: &mut Now<'_>) -> Result<Written, Trouble> {
        for draft in drafts {
            draft
                .check_targets(self.snapshot())
                .map_err(|error| trouble::mistake(&error))?;
        }
        self.stamper.offset_minutes = now.offset_minutes;
        let said: Vec<(Id, String)> = drafts
            .iter()
            .map(|draft| self.stamper.stamp(draft, now.millis, (now.chance)()))
            .collect();
        self.append(&said, |id| id)
    }

    fn append(
        &mut self,
        said: &[(Id, String)],
        entry_of: impl Fn(Id) -> Id,
    ) -> Result<Written, Trouble> {
        let appended = self
            .log
            .append_all(said.iter().map(|(id, text)| (*id, text.as_str())));
        let chunk = match appended {
            Ok(chunk) => chunk,
            Err(error) => {
                // What was stamped was not said: the next statement takes the same counts.
                self.stamper.count = self
                    .snapshot()
                    .highest_count(self.identity.device)
                    .unwrap_or_default();
                return Err(trouble::fault(&error.to_string()));
            }
        };
        self.changed();
        let ids: Vec<Id> = said.iter().map(|(id, _)| *id).collect();
        let sight = self.sight();
        let remarks = self
            .remarks()
            .iter()
            .filter(|remark| remark.about.is_some_and(|about| ids.contains(&about)))
            .map(|remark| view::entry::remark_shown(sight, remark))
            .collect();
        Ok(Written {
            chunk,
            saved: Saved {
                deeds: ids
                    .into_iter()
                    .map(|id| Deed {
                        id: id.to_string(),
                        entry: entry_of(id).to_string(),
                        is_repeat: false,
                    })
                    .collect(),
                remarks,
            },
        })
    }

    /// The deed that says that this is in the log already: an entry of the kind that is not struck and is alike in these
    /// fields.
    fn repeat_of(&self, kind: &Kind, alike: &[&str], fields: &Map<String, Value>) -> Option<Deed> {
        let known = self.snapshot().standing().find(|entry| {
            entry.statement.kind == *kind && {
                let known = entry.fields();
                alike
                    .iter()
                    .all(|name| known.get(*name) == fields.get(*name))
            }
        })?;
        Some(Deed {
            id: known.id.to_string(),
            entry: known.id.to_string(),
            is_repeat: true,
        })
    }

    /// The entry of an id as text.
    fn found(&self, id: &str) -> Result<&Entry, Trouble> {
        id.parse::<Id>()
            .ok()
            .and_then(|id| self.snapshot().entry(id))
            .ok_or_else(|| trouble::not_found("That entry"))
    }
}

/// Reads a time that came with an ask.
fn read_when(text: Option<&str>) -> Result<Option<When>, Trouble> {
    text.map(|text| {
        text.trim()
            .parse::<When>()
            .map_err(|error| trouble::mistake(&error))
    })
    .transpose()
}

#[cfg(test)]
mod tests;
