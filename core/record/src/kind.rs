//! The kinds of statements and what each says.
//!
//! Every kind is declared once, in the module of its group: its word, its fields, what each holds, and its help.
//! Its type, its JSON Schema, its form on the screen and its checks all come from there.

pub mod about;
pub mod boat;
pub mod damage;
pub mod part;
pub mod people;
pub mod picture;
pub mod work;

use std::fmt;
use std::str::FromStr;

use serde_json::{Map, Value, json};

use crate::{Error, Field};

/// Declares a group of kinds: a struct each, with its fields and their shapes.
macro_rules! kinds {
    ($($(#[doc = $doc:literal])* $name:ident, needs($($needed:literal),*) {
        $($(#[doc = $help:literal])* $field:ident: $type:ty = $shape:expr;)*
    })*) => {$(
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Default, PartialEq, serde::Serialize)]
        pub struct $name {
            $($(#[doc = $help])* pub $field: $type,)*
        }

        impl $name {
            /// What the kind is, in a sentence or two.
            pub const HELP: &'static str = concat!($($doc),*);
            /// The fields that the kind cannot do without.
            pub const NEEDED: &'static [&'static str] = &[$($needed),*];
            /// The fields, in the order in which a form shows them.
            pub const FIELDS: &'static [$crate::Field] = &[$($crate::Field {
                name: stringify!($field),
                help: concat!($($help),*),
                shape: $shape,
                needed: $crate::kind::among(stringify!($field), Self::NEEDED),
            }),*];

            /// Sets one field from its JSON value; a name that this version does not know is passed over.
            pub(crate) fn set(&mut self, name: &str, value: serde_json::Value) -> Result<(), serde_json::Error> {
                match name {
                    $(stringify!($field) => self.$field = $crate::kind::FromField::from_field(value)?,)*
                    _ => {}
                }
                Ok(())
            }

            /// Calls `f` with each entry that is named, and the field that names it.
            pub(crate) fn refer(&self, f: &mut dyn FnMut(&'static str, $crate::Id)) {
                $($crate::index::Refers::refer(&self.$field, &mut |target| f(stringify!($field), target));)*
            }
        }
    )*};
}
use kinds;

/// A field's type, read from its JSON value.
///
/// One small function a type reads all fields of that type: derived readers of whole structs made the browser's module
/// a quarter larger.
pub(crate) trait FromField: Sized {
    /// The value of a field; null is none.
    fn from_field(value: Value) -> Result<Self, serde_json::Error>;
}

impl<T: serde::de::DeserializeOwned> FromField for Option<T> {
    #[inline(never)]
    fn from_field(value: Value) -> Result<Self, serde_json::Error> {
        if value.is_null() {
            Ok(None)
        } else {
            serde_json::from_value(value).map(Some)
        }
    }
}

impl<T: serde::de::DeserializeOwned> FromField for Vec<T> {
    #[inline(never)]
    fn from_field(value: Value) -> Result<Self, serde_json::Error> {
        if value.is_null() {
            Ok(Self::new())
        } else {
            serde_json::from_value(value)
        }
    }
}

/// Reads a JSON object field by field, straight into what the fields are set in.
struct Fields<'a>(&'a mut dyn FnMut(&str, Value) -> Result<(), serde_json::Error>);

impl<'de> serde::de::DeserializeSeed<'de> for Fields<'_> {
    type Value = ();

    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<(), D::Error> {
        from.deserialize_map(self)
    }
}

impl<'de> serde::de::Visitor<'de> for Fields<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object of fields")
    }

    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        #[derive(serde::Deserialize)]
        struct Name<'a>(#[serde(borrow)] std::borrow::Cow<'a, str>);
        while let Some((Name(name), value)) = map.next_entry::<Name<'_>, Value>()? {
            (self.0)(&name, value).map_err(serde::de::Error::custom)?;
        }
        Ok(())
    }
}

/// Whether a word is in a list; usable in constants.
#[must_use]
pub const fn among(word: &str, list: &[&str]) -> bool {
    let mut rest = list;
    while let [first, more @ ..] = rest {
        if same(word.as_bytes(), first.as_bytes()) {
            return true;
        }
        rest = more;
    }
    false
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    match (a, b) {
        ([], []) => true,
        ([x, a @ ..], [y, b @ ..]) => *x == *y && same(a, b),
        _ => false,
    }
}

macro_rules! kind_list {
    ($($variant:ident = $word:literal, $shown:literal, $path:path;)*) => {
        /// What a statement is about: one of the words of the log.
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
        #[expect(missing_docs, reason = "each variant's type says what it is")]
        pub enum Kind {
            $($variant,)*
            /// A kind that this version does not know.
            Unknown(Box<str>),
        }

        /// What an entry says, after its amendments, in the type of its kind.
        #[derive(Debug, Clone, PartialEq)]
        #[expect(missing_docs, reason = "each variant's type says what it is")]
        pub enum Body {
            $($variant(Box<$path>),)*
            /// What this version does not understand; its text is kept.
            Unknown,
        }

        impl Kind {
            /// Every kind that is known.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// The word in the statement.
            #[must_use]
            pub fn as_str(&self) -> &str {
                match self {
                    $(Self::$variant => $word,)*
                    Self::Unknown(word) => word,
                }
            }

            /// The word as people read it.
            #[must_use]
            pub fn shown(&self) -> &str {
                match self {
                    $(Self::$variant => $shown,)*
                    Self::Unknown(word) => word,
                }
            }

            /// The kind of a word.
            #[must_use]
            pub fn of(word: &str) -> Self {
                match word {
                    $($word => Self::$variant,)*
                    other => Self::Unknown(other.into()),
                }
            }

            /// What the kind is.
            #[must_use]
            pub fn help(&self) -> &'static str {
                match self {
                    $(Self::$variant => <$path>::HELP,)*
                    Self::Unknown(_) => "A kind that this version does not know.",
                }
            }

            /// The fields of the kind, in the order in which a form shows them.
            #[must_use]
            pub fn fields(&self) -> &'static [Field] {
                match self {
                    $(Self::$variant => <$path>::FIELDS,)*
                    Self::Unknown(_) => &[],
                }
            }
        }

        impl Body {
            /// Calls `f` with each entry that is named, and the field that names it.
            pub fn refer(&self, f: &mut dyn FnMut(&'static str, crate::Id)) {
                match self {
                    $(Self::$variant(body) => body.refer(f),)*
                    Self::Unknown => {}
                }
            }

            /// Reads the fields of a kind, all or nothing.
            ///
            /// # Errors
            ///
            /// The reader's words when a field does not fit its type.
            pub fn read(kind: &Kind, fields: &str) -> Result<Self, serde_json::Error> {
                let mut body = Self::empty(kind);
                let mut from = serde_json::Deserializer::from_str(fields);
                serde::de::DeserializeSeed::deserialize(Fields(&mut |name, value| body.set(name, value)), &mut from)?;
                Ok(body)
            }

            /// Reads the fields of a kind from a map, all or nothing.
            ///
            /// # Errors
            ///
            /// The reader's words when a field does not fit its type.
            pub fn read_map(kind: &Kind, fields: Map<String, Value>) -> Result<Self, serde_json::Error> {
                let mut body = Self::empty(kind);
                for (name, value) in fields {
                    body.set(&name, value)?;
                }
                Ok(body)
            }

            fn empty(kind: &Kind) -> Self {
                match kind {
                    $(Kind::$variant => Self::$variant(Box::default()),)*
                    Kind::Unknown(_) => Self::Unknown,
                }
            }

            fn set(&mut self, name: &str, value: Value) -> Result<(), serde_json::Error> {
                match self {
                    $(Self::$variant(body) => body.set(name, value),)*
                    Self::Unknown => Ok(()),
                }
            }
        }
    };
}

kind_list! {
    Boat = "boat", "boat", boat::Boat;
    BoatState = "boat-state", "boat state", boat::BoatState;
    Place = "place", "place", boat::Place;
    Examination = "examination", "examination", damage::Examination;
    Finding = "finding", "finding", damage::Finding;
    Reading = "reading", "reading", damage::Reading;
    Instrument = "instrument", "instrument", damage::Instrument;
    WayIn = "way-in", "way in", damage::WayIn;
    WaterPath = "water-path", "water path", damage::WaterPath;
    Test = "test", "test", damage::Test;
    Fitting = "fitting", "fitting", part::Fitting;
    Upkeep = "upkeep", "upkeep", part::Upkeep;
    UpkeepDone = "upkeep-done", "upkeep done", part::UpkeepDone;
    Photograph = "photograph", "photograph", picture::Photograph;
    Position = "position", "position of a photograph", picture::Position;
    Rendition = "rendition", "rendition", picture::Rendition;
    Mark = "mark", "mark on a photograph", picture::Mark;
    SoundNote = "sound-note", "sound note", picture::SoundNote;
    Note = "note", "note", picture::Note;
    Paper = "paper", "paper", picture::Paper;
    Repair = "repair", "repair", work::Repair;
    Step = "step", "step", work::Step;
    Batch = "batch", "batch", work::Batch;
    ClosingUp = "closing-up", "closing up", work::ClosingUp;
    Material = "material", "material", work::Material;
    Cost = "cost", "cost", work::Cost;
    Stint = "stint", "stint", work::Stint;
    Reckoning = "reckoning", "reckoning", work::Reckoning;
    Member = "member", "member", work::Member;
    Person = "person", "person", people::Person;
    Hand = "hand", "hand", people::Hand;
    Device = "device", "device", people::Device;
    Signature = "signature", "signature", people::Signature;
    Amendment = "amendment", "amendment", about::Amendment;
    Choice = "choice", "choice", about::Choice;
    Strike = "strike", "strike", about::Strike;
    Lift = "lift", "lift", about::Lift;
    Withdrawal = "withdrawal", "withdrawal", about::Withdrawal;
}

impl Kind {
    /// Whether statements of this kind are entries, which can be amended and struck.
    #[must_use]
    pub fn is_entry(&self) -> bool {
        !matches!(
            self,
            Self::Amendment | Self::Choice | Self::Strike | Self::Lift | Self::Withdrawal
        )
    }

    /// The field of this name.
    #[must_use]
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields().iter().find(|field| field.name == name)
    }

    /// The JSON Schema (draft 2020-12) of the kind's fields.
    #[must_use]
    pub fn schema(&self) -> Value {
        let properties: Map<String, Value> = self
            .fields()
            .iter()
            .map(|field| {
                let mut schema = field.shape.schema();
                if let Some(object) = schema.as_object_mut() {
                    let help = match object.get("description").and_then(Value::as_str) {
                        Some(more) => format!("{} ({more})", field.help.trim()),
                        None => field.help.trim().to_owned(),
                    };
                    object.insert("description".to_owned(), Value::String(help));
                }
                (field.name.to_owned(), schema)
            })
            .collect();
        let required: Vec<&str> = self
            .fields()
            .iter()
            .filter(|field| field.needed)
            .map(|field| field.name)
            .collect();
        json!({
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": self.as_str(),
            "description": self.help().trim(),
            "type": "object",
            "properties": properties,
            "required": required,
            "additionalProperties": false,
        })
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Kind {
    type Err = Error;

    fn from_str(word: &str) -> Result<Self, Error> {
        match Self::of(word) {
            Self::Unknown(found) => {
                let kinds = Self::ALL
                    .iter()
                    .map(Self::as_str)
                    .collect::<Vec<_>>()
                    .join(", ");
                Err(Error::NoSuchKind {
                    found: found.into(),
                    kinds,
                })
            }
            known => Ok(known),
        }
    }
}
