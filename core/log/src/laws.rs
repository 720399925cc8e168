//! Laws of merging: any parcels, in any order, twice, cut short or lost, make the same log.

use std::collections::{BTreeMap, BTreeSet};

use garboard_record::{Body, Digest, Draft, Entry, Id, Kind, Snapshot, Stamper, draft};
use proptest::prelude::{Just, Strategy, any, prop, prop_oneof, proptest};
use proptest::test_runner::TestCaseError;
use proptest::{prop_assert, prop_assert_eq};
use serde_json::{Value, json};

use crate::plain_model::{self, PlainEntry};
use crate::{Chunk, Log};

/// What one replica does next; numbers pick among what is there.
#[derive(Debug, Clone)]
enum Act {
    Add(usize),
    Amend {
        on: usize,
        pick: usize,
        field: usize,
        value: usize,
    },
    Choose {
        on: usize,
        pick: usize,
    },
    Strike {
        on: usize,
        pick: usize,
    },
    Lift {
        on: usize,
        pick: usize,
    },
    Join {
        on: usize,
        pick: usize,
        other: usize,
    },
    Send {
        from: usize,
        to: usize,
        mask: u64,
        twice: bool,
    },
    SendCut {
        from: usize,
        to: usize,
        pick: usize,
        at: usize,
    },
    /// The process ends and the log is opened anew, with another actor.
    Reopen(usize),
    /// A profile is copied, its files beside those that were there: the same device writes on both sides from then on.
    Copy {
        from: usize,
        to: usize,
    },
}

const REPLICAS: usize = 3;

struct Replica {
    log: Log,
    chunks: BTreeMap<Digest, Vec<u8>>,
    stamper: Stamper,
}

struct World {
    replicas: Vec<Replica>,
    said: BTreeMap<String, String>,
    ticks: u64,
}

impl World {
    fn new() -> Self {
        let boat = Draft::parse(Kind::Boat, r#"{"name":"Merganser"}"#).unwrap();
        let (stamper, first) =
            draft::begin_log(&boat, "Ada", "phone", 1_000, [[1; 10], [2; 10], [3; 10]], 0).unwrap();
        let mut world = Self {
            replicas: Vec::new(),
            said: BTreeMap::new(),
            ticks: 10,
        };
        let mut log = Log::new([1; 16]);
        let mut chunks = BTreeMap::new();
        for (id, text) in first {
            let chunk = log.append(id, &text).unwrap();
            chunks.insert(chunk.name, chunk.bytes);
            world.said.insert(id.to_string(), text);
        }
        world.replicas.push(Replica {
            log,
            chunks: chunks.clone(),
            stamper,
        });
        for n in 1..REPLICAS {
            let mut actor = [9; 16];
            actor[0] = u8::try_from(n).unwrap();
            let (log, _) = Log::open(actor, chunks.clone(), None);
            let random = [
                [u8::try_from(n).unwrap() + 20; 10],
                [u8::try_from(n).unwrap() + 40; 10],
            ];
            let (stamper, joined) = draft::join_log(
                log.snapshot(),
                &format!("Hand {n}"),
                "laptop",
                None,
                2_000 + n as u64 * 10,
                random,
                0,
            )
            .unwrap();
            world.replicas.push(Replica {
                log,
                chunks: chunks.clone(),
                stamper,
            });
            for (id, text) in joined {
                world.keep(n, id, text);
            }
        }
        world
    }

    fn keep(&mut self, on: usize, id: Id, text: String) {
        let replica = &mut self.replicas[on];
        let chunk = replica.log.append(id, &text).unwrap();
        replica.chunks.insert(chunk.name, chunk.bytes);
        self.said.insert(id.to_string(), text);
    }

    fn random(&mut self) -> [u8; 10] {
        self.ticks += 1;
        let mut bytes = [0; 10];
        bytes[2..].copy_from_slice(&self.ticks.wrapping_mul(0x9e37_79b9_7f4a_7c15).to_be_bytes());
        bytes
    }

    fn say(&mut self, on: usize, draft: Result<Draft, garboard_record::Error>) {
        if let Ok(draft) = draft {
            let random = self.random();
            let now = 10_000 + self.ticks / 2;
            let (id, text) = self.replicas[on].stamper.stamp(&draft, now, random);
            self.keep(on, id, text);
        }
    }

    fn pick(&self, on: usize, pick: usize) -> Option<Entry> {
        let found: Vec<&Entry> = self.replicas[on]
            .log
            .snapshot()
            .entries()
            .filter(|e| matches!(e.body, Body::Finding(_)))
            .collect();
        found
            .get(pick % found.len().max(1))
            .map(|entry| (*entry).clone())
    }

    fn act(&mut self, act: &Act) -> Result<(), TestCaseError> {
        match *act {
            Act::Add(on) => self.say(
                on,
                Draft::parse(Kind::Finding, r#"{"title":"Wet core","extent":"12.7 mm"}"#),
            ),
            Act::Amend {
                on,
                pick,
                field,
                value,
            } => {
                if let Some(entry) = self.pick(on, pick) {
                    let values = [
                        json!("12.7 mm"),
                        json!("0.5 in"),
                        json!("1.27 cm"),
                        json!("13 mm"),
                    ];
                    let draft = match field % 3 {
                        0 => Draft::amendment(&entry, "extent", values[value % 4].clone(), None),
                        1 => Draft::amendment(
                            &entry,
                            "title",
                            json!(format!("Title {}", value % 3)),
                            None,
                        ),
                        _ => Draft::amendment(
                            &entry,
                            "observed",
                            if value % 3 == 0 {
                                Value::Null
                            } else {
                                json!(format!("seen {}", value % 2))
                            },
                            Some("why"),
                        ),
                    };
                    self.say(on, draft);
                }
            }
            Act::Choose { on, pick } => {
                if let Some(entry) = self.pick(on, pick) {
                    let chosen = entry.disputes().next().map(|(field, versions)| {
                        (field.to_owned(), versions.last().unwrap().statement)
                    });
                    if let Some((field, statement)) = chosen {
                        self.say(
                            on,
                            Draft::choice(&entry, &field, statement, Some("measured again")),
                        );
                    }
                }
            }
            Act::Strike { on, pick } => {
                if let Some(entry) = self.pick(on, pick) {
                    self.say(on, Draft::strike(&entry, "wrong place"));
                }
            }
            Act::Lift { on, pick } => {
                if let Some(entry) = self.pick(on, pick) {
                    self.say(on, Draft::lift(&entry, "right after all"));
                }
            }
            Act::Join { on, pick, other } => {
                if let (Some(a), Some(b)) = (self.pick(on, pick), self.pick(on, other)) {
                    self.say(
                        on,
                        Draft::parse(
                            Kind::Member,
                            &json!({ "whole": a.id, "part": b.id, "role": "about" }).to_string(),
                        ),
                    );
                }
            }
            Act::Send {
                from,
                to,
                mask,
                twice,
            } => {
                let sent: Vec<(Digest, Vec<u8>)> = self.replicas[from]
                    .chunks
                    .iter()
                    .enumerate()
                    .filter(|(at, _)| mask >> (at % 64) & 1 == 1)
                    .map(|(_, (name, bytes))| (*name, bytes.clone()))
                    .collect();
                for _ in 0..=usize::from(twice) {
                    for (name, bytes) in sent.iter().rev() {
                        self.replicas[to].log.take_in(*name, bytes).unwrap();
                    }
                }
                self.replicas[to].chunks.extend(sent);
            }
            Act::SendCut { from, to, pick, at } => {
                let chunks = &self.replicas[from].chunks;
                let (name, bytes) = chunks.iter().nth(pick % chunks.len()).unwrap();
                let (name, cut) = (*name, bytes[..at % bytes.len()].to_vec());
                if self.replicas[to].chunks.contains_key(&name) {
                    return Ok(());
                }
                let before = self.replicas[to].log.snapshot().clone();
                prop_assert!(self.replicas[to].log.take_in(name, &cut).is_err());
                prop_assert_eq!(self.replicas[to].log.snapshot(), &before);
            }
            Act::Reopen(on) => self.reopen(on)?,
            Act::Copy { from, to } => {
                let copied = self.replicas[from].chunks.clone();
                self.replicas[to].chunks.extend(copied);
                self.replicas[to].stamper = self.replicas[from].stamper.clone();
                self.ticks += 2;
                let (log, trouble) =
                    Log::open(self.actor(), self.replicas[to].chunks.clone(), None);
                prop_assert!(
                    trouble
                        .iter()
                        .all(|t| matches!(t, crate::Trouble::Waiting { .. })),
                    "{trouble:?}"
                );
                self.replicas[to].log = log;
            }
        }
        Ok(())
    }

    fn actor(&mut self) -> [u8; 16] {
        let mut actor = [3; 16];
        actor[..10].copy_from_slice(&self.random());
        actor
    }

    fn reopen(&mut self, on: usize) -> Result<(), TestCaseError> {
        let actor = self.actor();
        let replica = &mut self.replicas[on];
        let opening = replica.log.opening();
        let (log, trouble) = Log::open(actor, replica.chunks.clone(), opening.as_deref());
        prop_assert!(
            trouble
                .iter()
                .all(|t| matches!(t, crate::Trouble::Waiting { .. })),
            "{trouble:?}"
        );
        prop_assert_eq!(log.snapshot(), replica.log.snapshot());
        replica.log = log;
        Ok(())
    }
}

fn act() -> impl Strategy<Value = Act> {
    let on = 0..REPLICAS;
    let pick = 0..8_usize;
    prop_oneof![
        3 => on.clone().prop_map(Act::Add),
        6 => (on.clone(), pick.clone(), 0..3_usize, 0..12_usize).prop_map(|(on, pick, field, value)| Act::Amend { on, pick, field, value }),
        2 => (on.clone(), pick.clone()).prop_map(|(on, pick)| Act::Choose { on, pick }),
        2 => (on.clone(), pick.clone()).prop_map(|(on, pick)| Act::Strike { on, pick }),
        2 => (on.clone(), pick.clone()).prop_map(|(on, pick)| Act::Lift { on, pick }),
        1 => (on.clone(), pick.clone(), pick).prop_map(|(on, pick, other)| Act::Join { on, pick, other }),
        4 => (on.clone(), on.clone(), any::<u64>(), any::<bool>()).prop_map(|(from, to, mask, twice)| Act::Send { from, to, mask, twice }),
        1 => (on.clone(), on.clone(), any::<usize>(), any::<usize>()).prop_map(|(from, to, pick, at)| Act::SendCut { from, to, pick, at }),
        1 => on.clone().prop_map(Act::Reopen),
        1 => (on.clone(), on).prop_map(|(from, to)| Act::Copy { from, to }),
    ]
}

/// What the snapshot says, in the plain model's form.
fn plain(snapshot: &Snapshot) -> BTreeMap<String, PlainEntry> {
    snapshot
        .entries()
        .map(|entry| {
            let plain = PlainEntry {
                fields: entry
                    .fields()
                    .into_iter()
                    .map(|(name, value)| (name, value.to_string()))
                    .collect(),
                disputes: entry
                    .disputes()
                    .map(|(field, versions)| {
                        (
                            field.to_owned(),
                            versions
                                .iter()
                                .map(|v| (v.statement.to_string(), v.value.to_string()))
                                .collect(),
                        )
                    })
                    .collect(),
                strikes: entry
                    .strikes
                    .iter()
                    .map(|strike| strike.statement.to_string())
                    .collect(),
            };
            (entry.id.to_string(), plain)
        })
        .collect()
}

fn ids(snapshot: &Snapshot) -> BTreeSet<String> {
    snapshot
        .statements()
        .map(|(id, _)| id.to_string())
        .collect()
}

proptest! {
    #[test]
    fn law_any_schedule_ends_in_the_same_log_with_nothing_lost(acts in prop::collection::vec(act(), 1..60), order in any::<u64>(), lost in any::<usize>()) {
        let mut world = World::new();
        for act in &acts {
            world.act(act)?;
            // Whatever has arrived, the plain model makes the same of it.
            for replica in &world.replicas {
                let known: BTreeMap<String, String> = replica.log.snapshot().statements().map(|(id, s)| (id.to_string(), s.text.to_string())).collect();
                prop_assert_eq!(plain(replica.log.snapshot()), plain_model::entries(&known));
            }
        }
        let mut all: Vec<(Digest, Vec<u8>)> = world.replicas.iter().flat_map(|r| r.chunks.clone()).collect::<BTreeMap<_, _>>().into_iter().collect();
        // Every replica receives everything, each in an order of its own, one after another or all at once.
        for (n, replica) in world.replicas.iter_mut().enumerate() {
            all.sort_by_key(|(name, _)| Digest::of(&[name.as_bytes().as_slice(), &(order + n as u64).to_be_bytes()].concat()));
            if n == 0 {
                replica.log.take_in_all(all.iter().map(|(name, bytes)| (*name, bytes.as_slice()))).unwrap();
            } else {
                for (name, bytes) in &all {
                    replica.log.take_in(*name, bytes).unwrap();
                }
            }
        }
        let said: BTreeSet<String> = world.said.keys().cloned().collect();
        let first = world.replicas[0].log.snapshot();
        prop_assert_eq!(&ids(first), &said);
        prop_assert_eq!(plain(first), plain_model::entries(&world.said));
        for replica in &world.replicas {
            prop_assert_eq!(replica.log.snapshot(), first);
            prop_assert!(replica.log.trouble().is_empty(), "{:?}", replica.log.trouble());
        }
        // Opening what is kept says the same, packed or not.
        let (opened, trouble) = Log::open([5; 16], all.clone(), None);
        prop_assert!(trouble.is_empty());
        prop_assert_eq!(opened.snapshot(), first);
        let pack = Log::pack(all.iter().map(|(_, bytes)| bytes.as_slice())).unwrap();
        prop_assert!(all.iter().all(|(_, bytes)| Log::is_covered(bytes, &pack.bytes)));
        let (packed, _) = Log::open([6; 16], [(pack.name, pack.bytes)], None);
        prop_assert_eq!(packed.snapshot(), first);
        // A pack stands for some of the chunks: what is left says the same, and nothing that is needed goes.
        let half: Vec<&[u8]> = all.iter().step_by(2).map(|(_, bytes)| bytes.as_slice()).collect();
        if !half.is_empty() {
            let pack = Log::pack(half).unwrap();
            let (mut log, _) = Log::open([7; 16], all.clone(), None);
            let gone = log.repack(&pack).unwrap();
            prop_assert_eq!(log.repack(&pack).unwrap(), Vec::<Digest>::new());
            prop_assert!(!gone.contains(&pack.name));
            let left: Vec<(Digest, Vec<u8>)> = all
                .iter()
                .filter(|(name, _)| !gone.contains(name))
                .cloned()
                .chain([(pack.name, pack.bytes.clone())])
                .collect();
            prop_assert_eq!(log.snapshot(), first);
            prop_assert_eq!(log.chunks().collect::<BTreeSet<_>>(), left.iter().map(|(name, _)| *name).collect());
            let whole = log.since(&[]);
            prop_assert_eq!(whole, opened.since(&[]));
            let opening = log.opening();
            let (again, trouble) = Log::open([8; 16], left, opening.as_deref());
            prop_assert!(trouble.is_empty());
            prop_assert_eq!(again.snapshot(), first);
            prop_assert_eq!(again.since(&[]), opened.since(&[]));
        }
        // Automerge puts the same document together.
        prop_assert_eq!(opened.disagreeing(), Vec::<String>::new());
        prop_assert_eq!(packed.disagreeing(), Vec::<String>::new());
        // The statements alone, in any order, say the same.
        let mut texts: Vec<(Id, String)> = first.statements().map(|(id, s)| (id, s.text.to_string())).collect();
        texts.sort_by_key(|(id, _)| Digest::of(&[id.as_bytes().as_slice(), &order.to_be_bytes()].concat()));
        prop_assert_eq!(&Snapshot::of(texts.clone()), first);
        let mut grown = Snapshot::default();
        for (id, text) in texts {
            grown.insert(id, text);
        }
        prop_assert_eq!(&grown, first);
        // A chunk that is lost hides nothing but itself.
        let (gone_name, gone) = all.remove(lost % all.len());
        let hidden: BTreeSet<String> = Log::texts_in(&gone).unwrap().into_iter().map(|(id, _)| id).collect();
        let (rest, _) = Log::open([7; 16], all.clone(), None);
        prop_assert_eq!(ids(rest.snapshot()), said.difference(&hidden).cloned().collect::<BTreeSet<_>>());
        prop_assert_eq!(rest.disagreeing(), Vec::<String>::new());
        // A chunk that was cut short is set aside, and the rest opens.
        let cut = gone[..gone.len() / 2].to_vec();
        let (with_cut, trouble) = Log::open([8; 16], all.into_iter().chain([(gone_name, cut)]), None);
        prop_assert_eq!(with_cut.snapshot(), rest.snapshot());
        let set_aside = trouble.iter().any(|t| matches!(t, crate::Trouble::SetAside { chunk, .. } if *chunk == gone_name));
        prop_assert!(set_aside);
    }

    #[test]
    fn law_since_sends_just_what_is_missing(acts in prop::collection::vec(act(), 1..40)) {
        let mut world = World::new();
        for act in &acts {
            world.act(act)?;
        }
        let heads = world.replicas[1].log.heads();
        let chunk = world.replicas[0].log.since(&heads);
        let before = ids(world.replicas[1].log.snapshot());
        if let Some(chunk) = chunk {
            world.replicas[1].log.take_in(chunk.name, &chunk.bytes).unwrap();
        }
        let union: BTreeSet<String> = before.union(&ids(world.replicas[0].log.snapshot())).cloned().collect();
        prop_assert_eq!(ids(world.replicas[1].log.snapshot()), union);
    }

    #[test]
    fn law_any_bytes_are_refused_or_read_and_never_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..400), flip in any::<usize>(), with in Just(0x40_u8)) {
        let _read = Log::texts_in(&bytes);
        let (log, trouble) = Log::open([1; 16], [(Digest::of(&bytes), bytes.clone())], Some(&bytes));
        prop_assert!(log.snapshot().n_statements() == 0 && !trouble.is_empty());
        let mut world = World::new();
        let Chunk { bytes: mut good, .. } = world.replicas[0].log.since(&[]).unwrap();
        let at = flip % good.len();
        good[at] ^= with;
        let (log, _) = Log::open([2; 16], [(Digest::of(&good), good.clone())], None);
        prop_assert!(log.snapshot().n_statements() <= world.said.len());
        prop_assert!(world.replicas[1].log.take_in(Digest::of(b"another name"), &good).is_err());
    }
}
