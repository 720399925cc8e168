//! One thing said once, by one hand, on one device.

use std::borrow::Cow;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use serde_json::{Map, Value};

use crate::{Digest, Error, Id, Kind, When};

/// A statement as it was read: its text as it came, and what stands around its fields.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement {
    /// What it is about.
    pub kind: Kind,
    /// The log that it belongs to: the id of the boat statement that began it.
    pub log: Id,
    /// Who says it.
    pub hand: Id,
    /// On which device.
    pub device: Id,
    /// The device's running count, from 1.
    pub count: u64,
    /// When it happened; `None` when the text cannot be read as a time.
    pub happened: Option<When>,
    /// When it was written down; `None` when the text cannot be read as a time.
    pub written: Option<When>,
    /// The canonical JSON text, byte for byte as it came.
    pub text: Arc<str>,
    /// Where the fields stand in the text.
    fields: (usize, usize),
}

#[derive(Deserialize)]
struct Read<'a> {
    count: u64,
    device: Id,
    #[serde(borrow)]
    fields: &'a RawValue,
    hand: Id,
    #[serde(borrow, default)]
    happened: Cow<'a, str>,
    #[serde(borrow)]
    kind: Cow<'a, str>,
    log: Id,
    #[serde(borrow, default)]
    written: Cow<'a, str>,
}

/// What a statement is written from.
#[derive(Serialize)]
pub(crate) struct Written<'a> {
    pub(crate) count: u64,
    pub(crate) device: Id,
    pub(crate) fields: &'a Map<String, Value>,
    pub(crate) hand: Id,
    pub(crate) happened: &'a When,
    pub(crate) kind: &'a str,
    pub(crate) log: Id,
    pub(crate) written: &'a When,
}

impl Statement {
    /// Reads a statement's text.
    ///
    /// # Errors
    ///
    /// - [`Error::NotStatement`] when it is no JSON object with the parts that every statement has; keep the text as it is
    pub fn read(text: impl Into<Arc<str>>) -> Result<Self, Error> {
        let text: Arc<str> = text.into();
        let read: Read<'_> = serde_json::from_str(&text).map_err(|cause| Error::NotStatement {
            found: cause.to_string(),
        })?;
        if !read.fields.get().starts_with('{') {
            return Err(Error::NotStatement {
                found: "its fields are no object".to_owned(),
            });
        }
        let start = (read.fields.get().as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
        let end = start + read.fields.get().len();
        Ok(Self {
            kind: Kind::of(&read.kind),
            log: read.log,
            hand: read.hand,
            device: read.device,
            count: read.count,
            happened: read.happened.parse().ok(),
            written: read.written.parse().ok(),
            fields: (start, end),
            text: Arc::clone(&text),
        })
    }

    /// The fields as JSON text.
    #[must_use]
    pub fn fields_text(&self) -> &str {
        self.text.get(self.fields.0..self.fields.1).unwrap_or("{}")
    }

    /// The fields by name.
    #[must_use]
    pub fn fields(&self) -> Map<String, Value> {
        serde_json::from_str(self.fields_text()).unwrap_or_default()
    }

    /// The SHA-256 of the text: the statement's name to the outside.
    #[must_use]
    pub fn digest(&self) -> Digest {
        Digest::of(self.text.as_bytes())
    }

    /// Whether it was written down more than a day after it happened.
    #[must_use]
    pub fn is_late(&self) -> bool {
        match (&self.happened, &self.written) {
            (Some(happened), Some(written)) => happened.days_until(written) > 1,
            _ => false,
        }
    }

    /// When it happened, for sorting; the time in the id where no other can be read.
    #[must_use]
    pub fn sort_key(&self, id: Id) -> i64 {
        self.happened
            .as_ref()
            .or(self.written.as_ref())
            .map_or_else(
                || i64::try_from(id.unix_millis()).unwrap_or(i64::MAX),
                When::sort_key,
            )
    }
}
