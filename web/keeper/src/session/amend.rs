//! Statements about entries: amendments, choices, strikes and lifts, naming what the person saw.

use std::collections::BTreeSet;

use garboard_protocol::{Amend, Choose, Lift, Strike, Trouble};
use garboard_record::{Draft, Entry, Id};
use serde_json::{Value, json};

use super::{Now, Session, Written};
use crate::trouble;

impl Session {
    /// Replaces one field.
    ///
    /// # Errors
    ///
    /// A trouble that says what does not fit; nothing was changed.
    pub fn amend(&mut self, amend: &Amend, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let entry = self.found(&amend.entry)?;
        let value: Value = serde_json::from_str(&amend.value).map_err(|error| {
            trouble::mistake(&garboard_record::Error::NotFields {
                kind: entry.statement.kind.clone(),
                found: error.to_string(),
            })
        })?;
        let mut draft = Draft::amendment(entry, &amend.field, value, None)
            .map_err(|error| trouble::mistake(&error))?;
        only_seen(&mut draft, &amend.sees, &entry.seen(&amend.field))?;
        self.about(draft, &amend.entry, now)
    }

    /// Whether the log names this key as that of this device.
    #[must_use]
    pub fn names_key(&self, key: &str) -> bool {
        let named = self.snapshot().entry(self.identity.device);
        named.is_some_and(|entry| entry.fields().get("key") == Some(&json!(key)))
    }

    /// Names this device's public key in the log.
    ///
    /// # Errors
    ///
    /// A trouble when this device is not in the log.
    pub fn name_key(&mut self, key: &str, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let device = self.identity.device.to_string();
        let draft = Draft::amendment(self.found(&device)?, "key", json!(key), None)
            .map_err(|error| trouble::mistake(&error))?;
        self.about(draft, &device, now)
    }

    /// Settles a dispute.
    ///
    /// # Errors
    ///
    /// A trouble when the field has no such value; nothing was changed.
    pub fn choose(&mut self, choose: &Choose, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let entry = self.found(&choose.entry)?;
        let chosen = read_id(&choose.statement)?;
        let reason = Some(choose.reason.trim()).filter(|reason| !reason.is_empty());
        let mut draft = Draft::choice(entry, &choose.field, chosen, reason)
            .map_err(|error| trouble::mistake(&error))?;
        let mut sees: BTreeSet<Id> = read_ids(&choose.sees)?;
        if !sees.is_empty() {
            // What the values in dispute had replaced was seen with them.
            let in_dispute: BTreeSet<Id> = garboard_record::small::set(
                entry
                    .versions(&choose.field)
                    .iter()
                    .map(|version| version.statement),
            );
            sees.extend(
                entry
                    .seen(&choose.field)
                    .into_iter()
                    .filter(|id| !in_dispute.contains(id)),
            );
            sees.insert(chosen);
            draft.fields.insert("sees".to_owned(), json!(sees));
        }
        self.about(draft, &choose.entry, now)
    }

    /// Strikes an entry.
    ///
    /// # Errors
    ///
    /// A trouble when it is not here, or is struck already.
    pub fn strike(&mut self, strike: &Strike, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let entry = self.found(&strike.entry)?;
        if entry.is_struck() {
            return Err(already(entry));
        }
        let mut draft =
            Draft::strike(entry, &strike.why).map_err(|error| trouble::mistake(&error))?;
        only_seen(&mut draft, &strike.sees, &entry.about)?;
        self.about(draft, &strike.entry, now)
    }

    /// Lifts the strikes that were seen.
    ///
    /// # Errors
    ///
    /// A trouble when the entry is not struck.
    pub fn lift(&mut self, lift: &Lift, now: &mut Now<'_>) -> Result<Written, Trouble> {
        let entry = self.found(&lift.entry)?;
        let strikes: Vec<Id> = entry
            .strikes
            .iter()
            .map(|strike| strike.statement)
            .collect();
        let mut draft = Draft::lift(entry, "").map_err(|error| trouble::mistake(&error))?;
        only_seen(&mut draft, &lift.sees, &strikes)?;
        self.about(draft, &lift.entry, now)
    }

    /// Stops a running stint now.
    ///
    /// # Errors
    ///
    /// A trouble when it does not run.
    pub fn stop_stint(&mut self, id: &str, now: &mut Now<'_>) -> Result<Written, Trouble> {
        if !self.stints().iter().any(|stint| stint.id == id) {
            return Err(trouble::not_found("That running clock"));
        }
        let entry = self.found(id)?;
        let draft = Draft::amendment(entry, "end", json!(now.here()), None)
            .map_err(|error| trouble::mistake(&error))?;
        self.about(draft, id, now)
    }

    pub(super) fn about(
        &mut self,
        draft: Draft,
        entry: &str,
        now: &mut Now<'_>,
    ) -> Result<Written, Trouble> {
        let mut written = self.write(&[draft], now)?;
        for deed in &mut written.saved.deeds {
            entry.clone_into(&mut deed.entry);
        }
        Ok(written)
    }
}

/// Keeps of what the log knows only what the person saw; nothing given means all of it was seen.
fn only_seen(draft: &mut Draft, sees: &[String], known: &[Id]) -> Result<(), Trouble> {
    let seen = read_ids(sees)?;
    if !seen.is_empty() {
        let seen: Vec<Id> = known
            .iter()
            .filter(|id| seen.contains(id))
            .copied()
            .collect();
        if !seen.is_empty() {
            draft.fields.insert("sees".to_owned(), json!(seen));
        }
    }
    Ok(())
}

fn already(entry: &Entry) -> Trouble {
    Trouble::new(
        garboard_protocol::TroubleKind::Mistake,
        format!("“{}” is struck already.", entry.title()),
        "It stays legible, with who struck it and when.",
        "Lift the strike if it should count again.",
    )
}

fn read_id(text: &str) -> Result<Id, Trouble> {
    text.parse().map_err(|error| trouble::mistake(&error))
}

fn read_ids(texts: &[String]) -> Result<BTreeSet<Id>, Trouble> {
    let mut ids = BTreeSet::new();
    for text in texts {
        ids.insert(read_id(text)?);
    }
    Ok(ids)
}
