//! Deeds of one touch: a step is done, the same again, these belong elsewhere.

use garboard_protocol::Trouble;
use garboard_record::{Draft, Id, Kind, order, plan};
use serde_json::{Map, Value, json};

use super::{Now, Session, Written};
use crate::trouble;

/// What is said anew each time, and never repeated from the entry before.
const NOT_AGAIN: [&str; 12] = [
    "planned",
    "begun",
    "done",
    "recoat_earliest",
    "recoat_latest",
    "hold_met",
    "air",
    "surface",
    "humidity",
    "cure_check",
    "receipt",
    "words",
];

impl Session {
    /// Says that a step is done now.
    ///
    /// # Errors
    ///
    /// A trouble when it is not here, is no step, or is done already.
    pub fn finish_step(&mut self, id: &str, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let entry = self.found(id)?;
        if entry.statement.kind != Kind::Step || entry.fields().contains_key("done") {
            return Err(trouble::not_found("That step, still to be done"));
        }
        let draft = Draft::amendment(entry, "done", json!(now.here()), None)
            .map_err(|error| trouble::mistake(&error))?;
        self.about(draft, id, now)
    }

    /// Says the same again: the next coat waits for the one before, another batch is mixed now.
    ///
    /// # Errors
    ///
    /// A trouble when it is not here, or is of a kind that is not repeated.
    pub fn again(&mut self, id: &str, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let entry = self.found(id)?;
        let (before, kind) = (entry.id, entry.statement.kind.clone());
        let mut fields: Map<String, Value> = entry.fields();
        fields.retain(|name, _| !NOT_AGAIN.contains(&name.as_str()));
        match kind {
            Kind::Step => {
                for name in ["coat", "order"] {
                    if let Some(number) = fields.get(name).and_then(Value::as_u64) {
                        fields.insert(name.to_owned(), json!(number.saturating_add(1)));
                    }
                }
                fields.insert("begun".to_owned(), json!(now.here()));
            }
            Kind::Batch => {
                fields.insert("mixed".to_owned(), json!(now.here()));
            }
            Kind::Material | Kind::Cost => {}
            _ => {
                return Err(trouble::not_found(
                    "Something that can be said again: a step, a batch, a material or a cost",
                ));
            }
        }
        let is_step = kind == Kind::Step;
        let draft = Draft::of(kind, fields).map_err(|error| trouble::mistake(&error))?;
        if is_step {
            self.write_joined(&draft, before, "waits-for", now)
        } else {
            self.write(&[draft], now)
        }
    }

    /// Moves entries to another place, all or none.
    ///
    /// # Errors
    ///
    /// A trouble when the place or an entry is not here, or an entry has no place of its own.
    pub fn move_all(
        &mut self,
        entries: &[String],
        place: &str,
        now: &mut Now<'_>,
    ) -> Result<Written, Trouble> {
        let place = self.found(place)?.id;
        let mut drafts = Vec::new();
        for id in entries {
            let entry = self.found(id)?;
            let draft = Draft::amendment(entry, "place", json!(place), None)
                .map_err(|error| trouble::mistake(&error))?;
            drafts.push(draft);
        }
        let mut written = self.write(&drafts, now)?;
        for (deed, entry) in written.saved.deeds.iter_mut().zip(entries) {
            entry.clone_into(&mut deed.entry);
        }
        Ok(written)
    }

    /// Puts a place on the plan: how far aft of the stem head, and how far off the centreline on which side.
    ///
    /// # Errors
    ///
    /// A trouble when it is not here or is no place.
    pub fn pin(
        &mut self,
        place: &str,
        along_mm: i64,
        across_mm: i64,
        now: &mut Now<'_>,
    ) -> Result<Written, Trouble> {
        let entry = self.found(place)?;
        let metres = |millimetres: i64| json!({"unit": "m", "value": format!("{}.{:03}", millimetres / 1000, millimetres % 1000)});
        let side = match across_mm {
            0 => "centre",
            ..0 => "port",
            _ => "starboard",
        };
        let fields = [
            ("along", metres(along_mm.max(0))),
            ("across", metres(across_mm.abs())),
            ("side", json!(side)),
            ("datum", json!("stem head and centreline")),
        ];
        let mut drafts = Vec::new();
        for (field, value) in fields {
            let draft = Draft::amendment(entry, field, value, None)
                .map_err(|error| trouble::mistake(&error))?;
            drafts.push(draft);
        }
        let mut written = self.write(&drafts, now)?;
        written.saved.deeds.truncate(1);
        for deed in &mut written.saved.deeds {
            place.clone_into(&mut deed.entry);
        }
        Ok(written)
    }

    /// Pins a place on the picture that serves as the plan: a mark that points at it, moved where there is one.
    ///
    /// # Errors
    ///
    /// A trouble when the place is not here, or no picture serves as the plan.
    pub fn pin_on_picture(
        &mut self,
        place: &str,
        at: [u32; 2],
        now: &mut Now<'_>,
    ) -> Result<Written, Trouble> {
        let place_id = self.found(place)?.id;
        let plan = plan::plan(self.snapshot(), self.index());
        let picture = plan
            .picture
            .ok_or_else(|| trouble::not_found("A picture that serves as the plan"))?;
        let pin = plan.pins.iter().find(|pin| pin.place == place_id);
        let points = json!(at.map(|share| share.min(1000)));
        let draft = match pin
            .and_then(|pin| pin.mark)
            .and_then(|mark| self.snapshot().entry(mark))
        {
            Some(mark) => Draft::amendment(mark, "points", points, None),
            None => {
                let mut fields = Map::new();
                fields.insert("photograph".to_owned(), json!(picture));
                fields.insert("shape".to_owned(), "number".into());
                fields.insert("points".to_owned(), points);
                fields.insert("shows".to_owned(), json!(place_id));
                if let Some(pin) = pin {
                    fields.insert("words".to_owned(), pin.number.to_string().into());
                }
                Draft::of(Kind::Mark, fields)
            }
        };
        let draft = draft.map_err(|error| trouble::mistake(&error))?;
        self.about(draft, place, now)
    }

    /// Makes a photograph or drawing the boat's plan.
    ///
    /// # Errors
    ///
    /// A trouble when it is not here or is no photograph.
    pub fn use_as_plan(&mut self, photograph: &str, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let picture = self.found(photograph)?.id;
        let Some((boat, _)) = self.snapshot().boat() else {
            return Err(trouble::not_found("The boat"));
        };
        let draft = Draft::amendment(boat, "plan", json!(picture), None)
            .map_err(|error| trouble::mistake(&error))?;
        self.about(draft, photograph, now)
    }

    /// Writes an entry together with the statement that joins it with another one.
    pub(super) fn write_joined(
        &mut self,
        draft: &Draft,
        part: Id,
        role: &str,
        now: &mut Now<'_>,
    ) -> Result<Written, Trouble> {
        draft
            .check_targets(self.snapshot())
            .map_err(|error| trouble::mistake(&error))?;
        self.stamper.offset_minutes = now.offset_minutes;
        let (id, text) = self.stamper.stamp(draft, now.millis, (now.chance)());
        let mut fields = Map::new();
        fields.insert("whole".to_owned(), json!(id));
        fields.insert("part".to_owned(), json!(part));
        fields.insert("role".to_owned(), role.into());
        let member = Draft::of(Kind::Member, fields).map_err(|error| trouble::mistake(&error))?;
        let (member_id, member_text) = self.stamper.stamp(&member, now.millis, (now.chance)());
        self.append(&[(id, text), (member_id, member_text)], |_| id)
            .map(|mut written| {
                written.saved.deeds.truncate(1);
                written
            })
    }

    /// Says with a closing up what had not been recorded before it, unless the person says so.
    pub(super) fn fill_in_lacks(&self, fields: &mut Map<String, Value>) {
        let repair = fields
            .get("repair")
            .and_then(Value::as_str)
            .and_then(|id| id.parse::<Id>().ok());
        let (Some(repair), None) = (repair, fields.get("missing")) else {
            return;
        };
        let lacks = order::lacks(self.snapshot(), self.index(), repair);
        if !lacks.is_empty() {
            let words: Vec<String> = lacks
                .iter()
                .map(|lack| lack.shown(self.snapshot()))
                .collect();
            fields.insert("missing".to_owned(), words.join("; ").into());
        }
    }
}
