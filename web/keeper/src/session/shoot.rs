//! Photographs: their statements, and those of their smaller sizes.

use garboard_photo::{CameraTime, Examined};
use garboard_protocol::{Deed, Saved, Shoot, Trouble};
use garboard_record::{Digest, Draft, Id, Kind, When};
use serde_json::{Map, Value, json};

use super::{Now, Session, Written, read_when};
use crate::trouble;
use crate::view::entry::stage_reached;

/// A camera's clock this near to the device's tells the same moment.
const SAME_MOMENT_MILLIS: i64 = 15 * 60_000;

/// A picture's file as it arrived.
#[derive(Debug, Clone)]
pub struct Arrived {
    /// The SHA-256 of its bytes.
    pub digest: Digest,
    /// How many bytes.
    pub size: u64,
    /// The file's name; blank when it has none.
    pub name: String,
    /// The media type that the browser gave; blank when none.
    pub media_type: String,
    /// What its bytes say of themselves; `None` when they say nothing.
    pub facts: Option<Facts>,
}

/// What a picture's bytes say of themselves.
pub type Facts = Examined;

/// A smaller size of a photograph.
#[derive(Debug, Clone)]
pub struct Small {
    /// `view` or `thumbnail`.
    pub size: &'static str,
    /// The SHA-256 of its bytes.
    pub digest: Digest,
    /// How many bytes.
    pub n_bytes: u64,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// What made it.
    pub made_by: &'static str,
}

impl Session {
    /// Writes a photograph's statement. `None` in place of a chunk: the log has this very photograph
    /// at this very place already.
    ///
    /// # Errors
    ///
    /// A trouble that says what does not fit; nothing was changed.
    pub fn shoot(
        &mut self,
        shoot: &Shoot,
        arrived: &Arrived,
        now: &mut Now<'_>,
    ) -> Result<(Option<Written>, Deed), Trouble> {
        let mut fields = Map::new();
        fields.insert("digest".to_owned(), json!(arrived.digest));
        fields.insert("bytes".to_owned(), json!(arrived.size));
        self.fill_in_shoot(shoot, &mut fields);
        let text = |text: &str| Some(Value::from(text.trim())).filter(|_| !text.trim().is_empty());
        if let Some(stage) = self.stage_of(shoot, &fields) {
            fields.insert("stage".to_owned(), stage.into());
        }
        let known = [
            ("shows", text(&shoot.shows)),
            ("answers", shoot.answers.as_deref().and_then(text)),
            ("file_name", text(&arrived.name)),
            ("device_time", Some(json!(now.here()))),
        ];
        for (name, value) in known {
            if let Some(value) = value {
                fields.insert(name.to_owned(), value);
            }
        }
        let camera_time = self.add_facts(arrived, &mut fields);
        let alike = ["digest", "stage", "place", "finding", "repair", "answers"];
        if let Some(deed) = self.repeat_of(&Kind::Photograph, &alike, &fields) {
            return Ok((None, deed));
        }
        let happened = match read_when(shoot.happened.as_deref())? {
            Some(given) => Some(given),
            None => camera_time.filter(|time| !is_now(time, now)),
        };
        let is_repeat = self.has_picture(arrived.digest);
        let draft = Draft::of(Kind::Photograph, fields)
            .map_err(|error| trouble::mistake(&error))?
            .at(happened);
        draft
            .check_targets(self.snapshot())
            .map_err(|error| trouble::mistake(&error))?;
        self.stamper.offset_minutes = now.offset_minutes;
        let (id, text) = self.stamper.stamp(&draft, now.millis, (now.chance)());
        let mut said = vec![(id, text)];
        if let Some(position) = position(id, arrived) {
            said.push(self.stamper.stamp(&position, now.millis, (now.chance)()));
        }
        let mut written = self.append(&said, |_| id)?;
        written.saved.deeds.truncate(1);
        let deed = Deed {
            id: id.to_string(),
            entry: id.to_string(),
            is_repeat,
        };
        written.saved = Saved {
            deeds: vec![deed.clone()],
            remarks: written.saved.remarks,
        };
        Ok((Some(written), deed))
    }

    fn fill_in_shoot(&self, shoot: &Shoot, fields: &mut Map<String, Value>) {
        let given = [
            ("place", &shoot.place),
            ("finding", &shoot.finding),
            ("repair", &shoot.repair),
        ];
        for (name, id) in given {
            if let Some(id) = id {
                fields.insert(name.to_owned(), id.clone().into());
            }
        }
        self.fill_in(&Kind::Photograph, fields);
    }

    /// The stage as given, or the one that the finding has come to; a finding's first photograph
    /// shows it as found.
    fn stage_of(&self, shoot: &Shoot, fields: &Map<String, Value>) -> Option<String> {
        if let Some(stage) = &shoot.stage {
            return Some(stage.clone()).filter(|stage| !stage.is_empty());
        }
        let finding: Id = fields.get("finding")?.as_str()?.parse().ok()?;
        Some(
            stage_reached(self.sight(), finding)
                .map_or_else(|| "found".to_owned(), |stage| stage.as_str().to_owned()),
        )
    }

    /// Adds what the bytes say, and gives the camera's time.
    fn add_facts(&self, arrived: &Arrived, fields: &mut Map<String, Value>) -> Option<When> {
        let Some(facts) = &arrived.facts else {
            if !arrived.media_type.is_empty() {
                fields.insert("media_type".to_owned(), arrived.media_type.clone().into());
            }
            return None;
        };
        fields.insert("media_type".to_owned(), facts.media.name().into());
        if facts.stored.width > 0 {
            fields.insert("width".to_owned(), facts.stored.width.into());
            fields.insert("height".to_owned(), facts.stored.height.into());
        }
        fields.insert("orientation".to_owned(), facts.orientation.number().into());
        if let Some(camera) = &facts.camera {
            let name = [camera.make.as_deref(), camera.model.as_deref()]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" ");
            if !name.trim().is_empty() {
                fields.insert("camera".to_owned(), name.trim().into());
            }
        }
        let time = facts.taken.as_ref().and_then(camera_time)?;
        fields.insert("camera_time".to_owned(), json!(time));
        Some(time)
    }

    /// Writes the statements of a photograph's smaller sizes.
    ///
    /// # Errors
    ///
    /// A trouble when the log refuses; nothing was changed.
    pub fn shrunk(
        &mut self,
        photograph: Id,
        sizes: &[Small],
        now: &mut Now<'_>,
    ) -> Result<Written, Trouble> {
        let drafts = sizes
            .iter()
            .map(|small| {
                let mut fields = Map::new();
                fields.insert("photograph".to_owned(), json!(photograph));
                fields.insert("size".to_owned(), small.size.into());
                fields.insert("digest".to_owned(), json!(small.digest));
                fields.insert("bytes".to_owned(), small.n_bytes.into());
                fields.insert("width".to_owned(), small.width.into());
                fields.insert("height".to_owned(), small.height.into());
                fields.insert("made_by".to_owned(), small.made_by.into());
                Draft::of(Kind::Rendition, fields).map_err(|error| trouble::mistake(&error))
            })
            .collect::<Result<Vec<_>, _>>()?;
        self.write(&drafts, now)
    }
}

/// When the camera says that a picture was taken, as the log would write it; blank when it does not say.
#[must_use]
pub fn taken_text(facts: &Facts) -> String {
    facts
        .taken
        .as_ref()
        .and_then(camera_time)
        .map_or_else(String::new, |time| time.to_string())
}

/// The camera's time as the log writes it; `None` where its text is no time.
fn camera_time(taken: &CameraTime) -> Option<When> {
    let mut text = taken.local.clone();
    if let Some(offset) = &taken.offset {
        text.push_str(offset);
    }
    text.parse().ok()
}

/// Whether a camera's time, with or without a zone, is the device's own now.
fn is_now(time: &When, now: &Now<'_>) -> bool {
    let mut here = i64::try_from(now.millis).unwrap_or(i64::MAX);
    if time.precision() == garboard_record::when::Precision::LocalTime {
        here = here.saturating_add(i64::from(now.offset_minutes) * 60_000);
    }
    here.abs_diff(time.sort_key()) <= SAME_MOMENT_MILLIS.unsigned_abs()
}

/// Where the photograph was taken, as a statement of its own.
fn position(photograph: Id, arrived: &Arrived) -> Option<Draft> {
    let position = arrived.facts.as_ref()?.position.as_ref()?;
    let mut fields = Map::new();
    fields.insert("photograph".to_owned(), json!(photograph));
    fields.insert("latitude".to_owned(), position.latitude.clone().into());
    fields.insert("longitude".to_owned(), position.longitude.clone().into());
    if let Some(altitude) = &position.altitude {
        fields.insert(
            "altitude".to_owned(),
            json!({ "value": altitude, "unit": "m" }),
        );
    }
    // A position that lies outside the earth is the camera's mistake, and the picture none the worse.
    Draft::of(Kind::Position, fields).ok()
}
