//! What the screens show of the open log.

use std::collections::{BTreeMap, BTreeSet};

use garboard_key::Key;
use garboard_log::Log;
use garboard_protocol::{
    Choices, DeviceCard, Difference, EntryView, Filter, HandCard, Opened, PlaceLine, PlanView, Ref,
    Rows, RunningStint, Trouble, Window, WorkAt, WorkView, WorkingAt,
};
use garboard_record::{Body, Id, Kind, Oddity, Remark, When, standing};

use super::{Now, Session, Work};
use crate::{trouble, view};

const MOST_REMARKS: usize = 50;

impl Session {
    /// The heading.
    #[must_use]
    pub fn opened(&self) -> Opened {
        let snapshot = self.snapshot();
        let sight = self.sight();
        let n_disputes: usize = snapshot
            .entries()
            .map(|entry| entry.disputes().count())
            .sum();
        let late = |remark: &&Remark| !matches!(remark.oddity, Oddity::Late { .. });
        Opened {
            log: self.identity.log.to_string(),
            boat: snapshot.boat_name().to_owned(),
            boat_entry: snapshot.boat().map(|(entry, _)| entry.id.to_string()),
            hand: HandCard {
                id: self.identity.hand.to_string(),
                name: snapshot.hand_name(self.identity.hand).to_owned(),
            },
            device: Ref {
                id: self.identity.device.to_string(),
                title: snapshot.device_name(self.identity.device).to_owned(),
            },
            working_at: self.working_at(),
            stints: self.stints(),
            n_statements: self.identity.n_statements,
            n_disputes: u32::try_from(n_disputes).unwrap_or(u32::MAX),
            n_alone: self.n_alone(),
            last_sent: self.identity.sent.clone(),
            units: self.identity.units.clone(),
            remarks: self
                .trouble
                .iter()
                .cloned()
                .chain(self.remarks().iter().filter(late).map(|remark| {
                    let shown = view::entry::remark_shown(sight, remark);
                    match remark.about {
                        Some(about) if snapshot.entry(about).is_some() => {
                            format!("“{}”: {shown}", snapshot.title(about))
                        }
                        _ => shown,
                    }
                }))
                .take(MOST_REMARKS)
                .collect(),
            is_demo: self.identity.is_demo,
        }
    }

    /// How many statements of this device no other device is known to have.
    fn n_alone(&self) -> u32 {
        let own = self.identity.device;
        let written = self.snapshot().highest_count(own).unwrap_or_default();
        let known = self
            .identity
            .others
            .values()
            .filter_map(|other| other.counts.get(&own).copied())
            .max()
            .unwrap_or_default();
        u32::try_from(written.saturating_sub(known)).unwrap_or(u32::MAX)
    }

    /// Notes that a parcel was made; it must be kept with the identity.
    pub fn note_sent(&mut self, now: &Now<'_>) {
        self.identity.sent = When::from_unix_millis(now.millis).to_string();
    }

    /// Every field on which hands differ, in id order.
    #[must_use]
    pub fn differences(&self) -> Vec<Difference> {
        let sight = self.sight();
        self.snapshot()
            .entries()
            .flat_map(|entry| {
                view::entry::disputes(sight, entry)
                    .into_iter()
                    .map(|dispute| Difference {
                        entry: sight.to(entry.id),
                        kind_word: crate::sight::capital(entry.statement.kind.shown()),
                        place: sight.place_of(entry.id),
                        dispute,
                    })
            })
            .collect()
    }

    /// A window of the log's page.
    #[must_use]
    pub fn rows(&self, filter: &Filter, window: Window) -> Rows {
        let pages = self
            .pages
            .get_or_init(|| view::rows::Pages::of(self.sight()));
        view::rows::rows(self.sight(), pages, filter, window)
    }

    /// One entry whole.
    ///
    /// # Errors
    ///
    /// A trouble when it is not here.
    pub fn entry(&self, id: &str) -> Result<EntryView, Trouble> {
        let entry = self.found(id)?;
        Ok(view::entry::entry(self.sight(), entry, self.remarks()))
    }

    /// The places.
    #[must_use]
    pub fn places(&self) -> Vec<PlaceLine> {
        view::places::places(self.sight())
    }

    /// The plan.
    #[must_use]
    pub fn plan(&self) -> PlanView {
        view::places::plan(self.sight())
    }

    /// What forms are made of.
    #[must_use]
    pub fn choices(&self) -> Choices {
        view::choices::choices(self.sight())
    }

    /// The work page.
    #[must_use]
    pub fn work(&self, now: &Now<'_>) -> WorkView {
        view::work::work(self.sight(), &now.here())
    }

    /// The running stints, oldest first.
    #[must_use]
    pub fn stints(&self) -> Vec<RunningStint> {
        let sight = self.sight();
        standing::running(self.snapshot())
            .filter_map(|entry| {
                let Body::Stint(stint) = &entry.body else {
                    return None;
                };
                let start = stint.start.as_ref()?;
                let person = stint.person.unwrap_or(entry.statement.hand);
                Some(RunningStint {
                    id: entry.id.to_string(),
                    hand: self.snapshot().hand_name(person).to_owned(),
                    start: start.to_string(),
                    start_millis: start.sort_key(),
                    repair: stint.repair.map(|repair| sight.to(repair)),
                    is_mine: person == self.identity.hand,
                })
            })
            .collect()
    }

    /// Where the person works; what was struck meanwhile is left out.
    #[must_use]
    pub fn working_at(&self) -> WorkingAt {
        let sight = self.sight();
        let standing = |id: Option<Id>| {
            id.filter(|id| {
                self.snapshot()
                    .entry(*id)
                    .is_some_and(|entry| !entry.is_struck())
            })
        };
        let work = &self.identity.work;
        let finding = standing(work.finding);
        WorkingAt {
            place: standing(work.place).map(|place| sight.place(place)),
            finding: finding.map(|id| sight.to(id)),
            repair: standing(work.repair).map(|id| sight.to(id)),
            strokes: finding.map_or(0, |id| sight.strokes(id)),
        }
    }

    /// Sets where the person works; it must be kept with the identity.
    ///
    /// # Errors
    ///
    /// A trouble when one of them is not here or of another kind.
    pub fn work_at(&mut self, at: &WorkAt) -> Result<WorkingAt, Trouble> {
        let read = |id: &Option<String>, kind: Kind| match id {
            None => Ok(None),
            Some(id) => {
                let entry = self.found(id)?;
                if entry.statement.kind == kind {
                    Ok(Some(entry.id))
                } else {
                    Err(trouble::not_found(&format!("That {}", kind.shown())))
                }
            }
        };
        let finding = read(&at.finding, Kind::Finding)?;
        let repair = read(&at.repair, Kind::Repair)?;
        let place = read(&at.place, Kind::Place)?.or_else(|| {
            let of = finding.or(repair)?;
            self.index().place_of(self.snapshot(), of)
        });
        self.identity.work = Work {
            place,
            finding,
            repair,
        };
        Ok(self.working_at())
    }

    /// Sets the units in which amounts are shown; it must be kept with the identity.
    pub fn set_units(&mut self, units: &str) {
        units.clone_into(&mut self.identity.units);
        self.look_around();
    }

    /// The devices that write in this log, this one first.
    #[must_use]
    pub fn devices(&self) -> Vec<DeviceCard> {
        let snapshot = self.snapshot();
        let mut written: BTreeMap<Id, u32> = BTreeMap::new();
        for (_, statement) in snapshot.statements() {
            *written.entry(statement.device).or_default() += 1;
        }
        let mut ids: Vec<Id> = snapshot
            .standing()
            .filter(|entry| matches!(entry.body, Body::Device(_)))
            .map(|entry| entry.id)
            .chain(written.keys().copied())
            .collect();
        garboard_record::small::sort_by_key(&mut ids, |id| (*id != self.identity.device, *id));
        ids.dedup();
        ids.into_iter()
            .map(|id| {
                let is_this = id == self.identity.device;
                let other = self.identity.others.get(&id);
                let n_lacks = snapshot
                    .statements()
                    .filter(|(_, statement)| {
                        let has = other.and_then(|other| other.counts.get(&statement.device));
                        statement.device != id && has.is_none_or(|count| *count < statement.count)
                    })
                    .count();
                let (hand, key) = match snapshot.entry(id).map(|entry| &entry.body) {
                    Some(Body::Device(device)) => (
                        device.hand.map_or("", |hand| snapshot.hand_name(hand)),
                        device
                            .key
                            .as_deref()
                            .and_then(|key| key.parse::<Key>().ok()),
                    ),
                    _ => ("", None),
                };
                DeviceCard {
                    id: id.to_string(),
                    name: snapshot.device_name(id).to_owned(),
                    hand: hand.to_owned(),
                    is_this,
                    n_written: written.get(&id).copied().unwrap_or_default(),
                    last_parcel: other.map_or_else(String::new, |other| other.last_parcel.clone()),
                    n_lacks: if is_this {
                        0
                    } else {
                        u32::try_from(n_lacks).unwrap_or(u32::MAX)
                    },
                    key: key.map(|key| key.spoken()).unwrap_or_default(),
                }
            })
            .collect()
    }

    /// Up to which count of each writing device another device has the log, judged by the heads of
    /// its document: all that is here, less what comes after those heads.
    #[must_use]
    pub fn counts_at(&self, heads: &[String]) -> BTreeMap<Id, u64> {
        let mut counts: BTreeMap<Id, u64> = garboard_record::small::map(
            self.snapshot()
                .devices()
                .filter_map(|device| Some((device, self.snapshot().highest_count(device)?))),
        );
        let lacking = self
            .log
            .since(heads)
            .and_then(|chunk| Log::texts_in(&chunk.bytes).ok())
            .unwrap_or_default();
        for (key, _) in lacking {
            let statement = key
                .parse::<Id>()
                .ok()
                .and_then(|id| self.snapshot().statement(id));
            if let Some(statement) = statement {
                let count = counts.entry(statement.device).or_default();
                *count = (*count).min(statement.count.saturating_sub(1));
            }
        }
        counts
    }

    /// The fields on which hands differ, as entry and field.
    #[must_use]
    pub fn disputed(&self) -> BTreeSet<(Id, String)> {
        let disputes = self.snapshot().entries().flat_map(|entry| {
            entry
                .disputes()
                .map(|(field, _)| (entry.id, field.to_owned()))
        });
        garboard_record::small::set(disputes)
    }
}
