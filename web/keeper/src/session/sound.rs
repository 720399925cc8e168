//! Sound notes: their statements.

use garboard_protocol::{Deed, KeepSound, Trouble};
use garboard_record::{Digest, Draft, Kind};
use serde_json::{Map, json};

use super::{Now, Session, Written, read_when};
use crate::trouble;

/// A sound's file as it arrived.
#[derive(Debug, Clone)]
pub struct ArrivedSound {
    /// The SHA-256 of its bytes.
    pub digest: Digest,
    /// How many bytes.
    pub size: u64,
    /// What its first bytes say it is.
    pub media_type: &'static str,
}

impl Session {
    /// Writes a sound note's statement. `None` in place of a chunk: the log has this very sound at this very place
    /// already.
    ///
    /// # Errors
    ///
    /// A trouble that says what does not fit; nothing was changed.
    pub fn keep_sound(
        &mut self,
        said: &KeepSound,
        arrived: &ArrivedSound,
        now: &mut Now<'_>,
    ) -> Result<(Option<Written>, Deed), Trouble> {
        let mut fields = Map::new();
        fields.insert("digest".to_owned(), json!(arrived.digest));
        fields.insert("bytes".to_owned(), json!(arrived.size));
        fields.insert("media_type".to_owned(), arrived.media_type.into());
        if !said.secs.is_empty() {
            fields.insert(
                "length".to_owned(),
                json!({ "value": said.secs, "unit": "s" }),
            );
        }
        if !said.words.trim().is_empty() {
            fields.insert("words".to_owned(), said.words.trim().into());
        }
        self.fill_in(&Kind::SoundNote, &mut fields);
        let alike = ["digest", "place", "finding", "repair"];
        if let Some(deed) = self.repeat_of(&Kind::SoundNote, &alike, &fields) {
            return Ok((None, deed));
        }
        let draft = Draft::of(Kind::SoundNote, fields)
            .map_err(|error| trouble::mistake(&error))?
            .at(read_when(said.happened.as_deref())?);
        let written = self.write(&[draft], now)?;
        let deed = written.saved.deeds.first().cloned().ok_or_else(|| {
            trouble::fault("a sound note was written and has no statement of its own")
        })?;
        Ok((Some(written), deed))
    }
}
