//! How the scenario is told: two hands, two devices, a clock that is handed in, and names for what was said.

use std::collections::BTreeMap;

use garboard_photo::said;
use garboard_record::word::Size;
use garboard_record::{Digest, Draft, Id, Kind, Snapshot, Stamper, When, draft};
use serde_json::{Map, Value, json};

use crate::drawing::Drawing;

/// Why the scenario cannot be told; only a mistake in it can be the reason.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// When a statement does not fit its kind. Mend the scenario.
    #[error("the demonstration's {key} does not fit")]
    Statement {
        /// The scenario's name for it.
        key: String,
        /// What does not fit.
        source: Box<garboard_record::Error>,
    },
    /// When a line of the scenario cannot be understood. Mend the scenario.
    #[error("line {n_line} of the demonstration cannot be understood: {what}")]
    Script {
        /// The line, from 1.
        n_line: usize,
        /// What is wrong or missing.
        what: String,
    },
    /// When something is named before it is said. Mend the scenario.
    #[error("the demonstration names {key:?} before it is said")]
    NotSaid {
        /// The name.
        key: String,
    },
    /// When a drawing is no picture. Mend the drawing.
    #[error("the demonstration's drawing {name} is no picture")]
    Picture {
        /// Its file name.
        name: &'static str,
        /// What is wrong with it.
        source: garboard_photo::Error,
    },
}

/// One device of the demonstration with all that it said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Writer {
    /// Whose hand it is.
    pub hand: &'static str,
    /// The device.
    pub device: Id,
    /// Ids and canonical texts, in the order of the device's count, which begins at 1 and has no gap.
    pub statements: Vec<(Id, String)>,
}

/// A picture as it came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Original {
    /// Its SHA-256.
    pub digest: Digest,
    /// Its name as a file, which says that it is a drawing.
    pub file_name: &'static str,
    /// The bytes of a PNG.
    pub bytes: Vec<u8>,
}

/// A smaller picture made of an original.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rendered {
    /// Its SHA-256.
    pub digest: Digest,
    /// Which of the sizes it is.
    pub size: Size,
    /// The bytes of a JPEG.
    pub bytes: Vec<u8>,
}

/// The whole demonstration.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// The log's id, which is the boat statement's.
    pub log: Id,
    /// The devices; the first one began the log.
    pub writers: Vec<Writer>,
    /// The pictures, in the order in which they were taken.
    pub originals: Vec<Original>,
    /// Their views and thumbnails.
    pub rendered: Vec<Rendered>,
}

impl Told {
    /// What both devices know once their logs are merged.
    #[must_use]
    pub fn snapshot(&self) -> Snapshot {
        let said = self.writers.iter().flat_map(|writer| &writer.statements);
        Snapshot::of(said.cloned())
    }

    /// The view or thumbnail with that digest.
    #[must_use]
    pub fn picture(&self, digest: Digest) -> Option<Vec<u8>> {
        let found = self.rendered.iter().find(|made| made.digest == digest);
        found.map(|made| made.bytes.clone())
    }
}

/// One of the two hands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Who {
    /// The owner, with her phone.
    Ann,
    /// The partner, with his laptop at home.
    Ben,
}

/// A hand's device and what it knows.
struct Side {
    hand: &'static str,
    stamper: Stamper,
    knows: Snapshot,
    said: Vec<(Id, String)>,
}

/// Tells the scenario.
pub(crate) struct Teller {
    ann: Side,
    ben: Side,
    names: BTreeMap<String, Id>,
    /// Whether the hands write without knowing of each other just now.
    apart: bool,
    n_drawn: u64,
    originals: Vec<Original>,
    rendered: Vec<Rendered>,
}

/// Ten bytes that look like chance and never change.
fn random(n: u64) -> [u8; 10] {
    let digest = Digest::of(format!("garboard demonstration {n}").as_bytes());
    let mut out = [0; 10];
    for (to, from) in out.iter_mut().zip(digest.as_bytes()) {
        *to = *from;
    }
    out
}

/// The clock's offset on a day of 2026: summer time from 29 March to 24 October, as in most of Europe.
fn offset_minutes(day: &str) -> i32 {
    if ("2026-03-29".."2026-10-25").contains(&day) {
        120
    } else {
        60
    }
}

/// A time as the scenario writes it, `2026-05-09 14:22`, with the offset of that day.
fn instant(written: &str) -> Result<(u64, i32), Error> {
    let (day, time) = written.split_once(' ').unwrap_or((written, "12:00"));
    let offset = offset_minutes(day);
    let text = format!("{day}T{time}:00+{:02}:00", offset / 60);
    let when: When = text.parse().map_err(|source| Error::Statement {
        key: written.to_owned(),
        source: Box::new(source),
    })?;
    Ok((u64::try_from(when.sort_key()).unwrap_or(0), offset))
}

impl Teller {
    /// Begins the log: the boat by Ann, then Ben's device joins.
    pub(crate) fn begin(at: &str, boat: Value, ben_at: &str) -> Result<Self, Error> {
        let fail = |source| Error::Statement {
            key: "boat".to_owned(),
            source: Box::new(source),
        };
        let (now, offset) = instant(at)?;
        let boat = Draft::of(Kind::Boat, object(boat)).map_err(fail)?;
        let chance = [random(1), random(2), random(3)];
        let begun = draft::begin_log(&boat, "Ann", "Ann's phone", now, chance, offset);
        let (stamper, said) = begun.map_err(fail)?;
        let knows = Snapshot::of(said.clone());
        let names = [
            ("boat", stamper.log),
            ("ann", stamper.hand),
            ("phone", stamper.device),
        ];
        let mut names: BTreeMap<String, Id> = names
            .into_iter()
            .map(|(key, id)| (key.to_owned(), id))
            .collect();
        let ann = Side {
            hand: "Ann",
            stamper,
            knows,
            said,
        };
        let (now, offset) = instant(ben_at)?;
        let chance = [random(4), random(5)];
        let joined = draft::join_log(
            &ann.knows,
            "Ben",
            "laptop at home",
            None,
            now,
            chance,
            offset,
        );
        let (stamper, said) = joined.map_err(fail)?;
        names.insert("ben".to_owned(), stamper.hand);
        names.insert("laptop".to_owned(), stamper.device);
        let mut ben = Side {
            hand: "Ben",
            stamper,
            knows: ann.knows.clone(),
            said,
        };
        for (id, text) in &ben.said {
            ben.knows.insert(*id, text.as_str());
        }
        Ok(Self {
            ann,
            ben,
            names,
            apart: false,
            n_drawn: 5,
            originals: Vec::new(),
            rendered: Vec::new(),
        })
    }

    fn side(&mut self, who: Who) -> &mut Side {
        match who {
            Who::Ann => &mut self.ann,
            Who::Ben => &mut self.ben,
        }
    }

    /// The id of what was said under a name.
    fn id(&self, key: &str) -> Result<Id, Error> {
        let found = self.names.get(key).copied();
        found.ok_or_else(|| Error::NotSaid {
            key: key.to_owned(),
        })
    }

    /// Puts ids in the place of names: `@finding` becomes the finding's id.
    fn resolved(&self, value: Value) -> Result<Value, Error> {
        Ok(match value {
            Value::String(text) => match text.strip_prefix('@') {
                Some(key) => json!(self.id(key)?),
                None => Value::String(text),
            },
            Value::Array(list) => {
                let list: Result<Vec<Value>, Error> =
                    list.into_iter().map(|value| self.resolved(value)).collect();
                Value::Array(list?)
            }
            Value::Object(map) => {
                let map: Result<Map<String, Value>, Error> = map
                    .into_iter()
                    .map(|(name, value)| Ok((name, self.resolved(value)?)))
                    .collect();
                Value::Object(map?)
            }
            other => other,
        })
    }

    /// Stamps a draft and lets its hand know of it.
    fn put(&mut self, who: Who, at: &str, key: &str, draft: &Draft) -> Result<(), Error> {
        let fail = |source| Error::Statement {
            key: key.to_owned(),
            source: Box::new(source),
        };
        let (now, offset) = instant(at)?;
        self.meet_unless_apart();
        self.n_drawn += 1;
        let chance = random(self.n_drawn);
        let side = self.side(who);
        draft.check_targets(&side.knows).map_err(fail)?;
        side.stamper.offset_minutes = offset;
        let (id, text) = side.stamper.stamp(draft, now, chance);
        side.knows.insert(id, text.as_str());
        side.said.push((id, text));
        if !key.is_empty() {
            self.names.insert(key.to_owned(), id);
        }
        Ok(())
    }

    /// Says something, now or of an earlier time.
    pub(crate) fn say(
        &mut self,
        who: Who,
        at: &str,
        happened: Option<&str>,
        key: &str,
        kind: &Kind,
        fields: Value,
    ) -> Result<(), Error> {
        let fail = |source| Error::Statement {
            key: key.to_owned(),
            source: Box::new(source),
        };
        let fields = object(self.resolved(fields)?);
        let draft = Draft::of(kind.clone(), fields).map_err(fail)?;
        let happened: Option<When> = match happened {
            Some(text) => Some(text.parse().map_err(fail)?),
            None => None,
        };
        self.put(who, at, key, &draft.at(happened))
    }

    /// Amends a field as far as its hand has seen it.
    pub(crate) fn amend(
        &mut self,
        who: Who,
        at: &str,
        key: &str,
        field: &str,
        value: Value,
    ) -> Result<(), Error> {
        self.meet_unless_apart();
        let id = self.id(key)?;
        let value = self.resolved(value)?;
        let entry = self.side(who).knows.entry(id).cloned();
        let entry = entry.ok_or_else(|| Error::NotSaid {
            key: key.to_owned(),
        })?;
        let draft = Draft::amendment(&entry, field, value, None);
        let draft = draft.map_err(|source| Error::Statement {
            key: key.to_owned(),
            source: Box::new(source),
        })?;
        self.put(who, at, &format!("{key} {field} by {who:?}"), &draft)
    }

    /// Chooses between two values that the hands gave a field.
    pub(crate) fn choose(
        &mut self,
        who: Who,
        at: &str,
        key: &str,
        field: &str,
        of: Who,
        why: &str,
    ) -> Result<(), Error> {
        self.meet_unless_apart();
        let id = self.id(key)?;
        let chosen = self.id(&format!("{key} {field} by {of:?}"))?;
        let entry = self.side(who).knows.entry(id).cloned();
        let entry = entry.ok_or_else(|| Error::NotSaid {
            key: key.to_owned(),
        })?;
        let draft = Draft::choice(&entry, field, chosen, Some(why));
        let draft = draft.map_err(|source| Error::Statement {
            key: key.to_owned(),
            source: Box::new(source),
        })?;
        self.put(who, at, "", &draft)
    }

    /// Strikes an entry.
    pub(crate) fn strike(&mut self, who: Who, at: &str, key: &str, why: &str) -> Result<(), Error> {
        self.about(who, at, key, |entry| Draft::strike(entry, why))
    }

    /// Lifts the strikes of an entry.
    pub(crate) fn lift(&mut self, who: Who, at: &str, key: &str, why: &str) -> Result<(), Error> {
        self.about(who, at, key, |entry| Draft::lift(entry, why))
    }

    fn about(
        &mut self,
        who: Who,
        at: &str,
        key: &str,
        draft: impl Fn(&garboard_record::Entry) -> Result<Draft, garboard_record::Error>,
    ) -> Result<(), Error> {
        self.meet_unless_apart();
        let id = self.id(key)?;
        let entry = self.side(who).knows.entry(id);
        let entry = entry.ok_or_else(|| Error::NotSaid {
            key: key.to_owned(),
        })?;
        let draft = draft(entry).map_err(|source| Error::Statement {
            key: key.to_owned(),
            source: Box::new(source),
        })?;
        self.put(who, at, "", &draft)
    }

    /// Says that one entry belongs to another.
    pub(crate) fn member(
        &mut self,
        who: Who,
        at: &str,
        whole: &str,
        part: &str,
        role: &str,
    ) -> Result<(), Error> {
        let fields =
            json!({ "whole": format!("@{whole}"), "part": format!("@{part}"), "role": role });
        self.say(who, at, None, "", &Kind::Member, fields)
    }

    /// Takes a picture in: the original, then its view and thumbnail.
    pub(crate) fn picture(
        &mut self,
        who: Who,
        at: &str,
        key: &str,
        drawing: Drawing,
        fields: Value,
    ) -> Result<(), Error> {
        let name = drawing.file_name();
        let fail = |source| Error::Picture { name, source };
        let bytes = drawing.png();
        let examined = garboard_photo::examine(&bytes).map_err(fail)?;
        let made = garboard_photo::renditions(&bytes).map_err(fail)?;
        let digest = Digest::of(&bytes);
        let (now, offset) = instant(at)?;
        let device_time = Some(When::from_unix_millis_at(now, offset));
        let seen = said::photograph(&examined, digest, Some(name), device_time);
        let mut all = object(json!(seen));
        all.insert("is_drawing".to_owned(), true.into());
        all.extend(object(self.resolved(fields)?));
        self.say(who, at, None, key, &Kind::Photograph, Value::Object(all))?;
        let photograph = self.id(key)?;
        for (made, size) in [(made.view, Size::View), (made.thumbnail, Size::Thumbnail)] {
            let stated = said::rendition(&made, photograph, size.clone());
            self.say(who, at, None, "", &Kind::Rendition, json!(stated))?;
            let digest = Digest::of(&made.bytes);
            self.rendered.push(Rendered {
                digest,
                size,
                bytes: made.bytes,
            });
        }
        self.originals.push(Original {
            digest,
            file_name: name,
            bytes,
        });
        Ok(())
    }

    /// From here on the hands write without knowing of each other, until they meet.
    pub(crate) fn part(&mut self) {
        self.meet();
        self.apart = true;
    }

    /// Both hands take in all that the other has said, and go on doing so.
    pub(crate) fn meet(&mut self) {
        self.apart = false;
        for (id, text) in &self.ann.said {
            self.ben.knows.insert(*id, text.as_str());
        }
        for (id, text) in &self.ben.said {
            self.ann.knows.insert(*id, text.as_str());
        }
    }

    fn meet_unless_apart(&mut self) {
        if !self.apart {
            self.meet();
        }
    }

    /// All that was told.
    pub(crate) fn done(self) -> Told {
        let log = self.ann.stamper.log;
        let writer = |side: Side| Writer {
            hand: side.hand,
            device: side.stamper.device,
            statements: side.said,
        };
        Told {
            log,
            writers: vec![writer(self.ann), writer(self.ben)],
            originals: self.originals,
            rendered: self.rendered,
        }
    }
}

/// The fields of a JSON object.
fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(fields) => fields,
        _ => Map::new(),
    }
}
