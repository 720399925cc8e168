//! Words from fixed lists: the stage of a photograph, the kinds of a finding, how urgent it is.
//!
//! A word that a later version adds is kept and shown as it is.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A list of words that a field may hold.
pub trait Word: Sized {
    /// Every word of the list, in the order in which it is offered: as stored, and as shown.
    const WORDS: &'static [(&'static str, &'static str)];
}

macro_rules! words {
    ($($(#[doc = $doc:literal])* $name:ident { $($(#[doc = $vdoc:literal])* $variant:ident = $word:literal, $shown:literal;)* })*) => {$(
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum $name {
            $(#[doc = $shown] $variant,)*
            /// A word that this version does not know.
            Other(Box<str>),
        }

        impl Word for $name {
            const WORDS: &'static [(&'static str, &'static str)] = &[$(($word, $shown)),*];
        }

        impl $name {
            /// The word as it is stored.
            #[must_use]
            pub fn as_str(&self) -> &str {
                match self {
                    $(Self::$variant => $word,)*
                    Self::Other(word) => word,
                }
            }

            /// The word as it is shown.
            #[must_use]
            pub fn shown(&self) -> &str {
                match self {
                    $(Self::$variant => $shown,)*
                    Self::Other(word) => word,
                }
            }

            /// The word for a stored text.
            #[must_use]
            pub fn of(word: &str) -> Self {
                match word {
                    $($word => Self::$variant,)*
                    other => Self::Other(other.into()),
                }
            }
        }

        impl crate::index::Refers for $name {}

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.as_str())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let text = std::borrow::Cow::<'de, str>::deserialize(from)?;
                Ok(Self::of(&text))
            }
        }
    )*};
}

words! {
    /// What of the work a photograph shows.
    Stage {
        Found = "found", "found";
        Opened = "opened", "opened";
        Prepared = "prepared", "prepared";
        Rebuilt = "rebuilt", "rebuilt";
        Finished = "finished", "finished";
    }
    /// On which side of the boat a place lies.
    Side {
        Port = "port", "port";
        Starboard = "starboard", "starboard";
        Centre = "centre", "centre";
        Across = "across", "across";
    }
    /// How a place was examined.
    Method {
        Looked = "looked", "looked at";
        Tapped = "tapped", "tapped";
        Metered = "metered", "metered";
        Probed = "probed", "probed";
        Opened = "opened", "opened";
    }
    /// What an examination came to.
    Outcome {
        NothingFound = "nothing-found", "nothing found";
        SomethingFound = "something-found", "something found";
        Undecided = "undecided", "cannot be said yet";
        NotReached = "not-reached", "not reached";
    }
    /// What is wrong at a place.
    Damage {
        WetCore = "wet-core", "wet core";
        Rot = "rot", "rot";
        Corrosion = "corrosion", "corrosion";
        Delamination = "delamination", "delamination";
        FailedBedding = "failed-bedding", "failed bedding";
        Crack = "crack", "crack";
        Blister = "blister", "blister";
        SaltSeepage = "seepage-salt", "seepage, salt";
        FreshSeepage = "seepage-fresh", "seepage, fresh";
        Mould = "mould", "mould";
        Wiring = "wiring", "wiring";
        Hose = "hose", "hose";
        Wear = "wear", "wear";
        LooseFastening = "loose-fastening", "loose fastening";
        EarlierRepair = "earlier-repair", "earlier repair";
        NotListed = "other", "other";
    }
    /// How soon a finding must be dealt with.
    Urgency {
        AtOnce = "at-once", "at once";
        BeforeClosing = "before-closing-up", "before closing up";
        BeforeLaunch = "before-launch", "before launch";
        ThisSeason = "this-season", "this season";
        Watch = "watch", "watch";
        Cosmetic = "cosmetic", "cosmetic";
    }
    /// How sure something is.
    Certainty {
        Seen = "seen", "seen";
        Likely = "likely", "likely";
        Possible = "possible", "possible";
    }
    /// How the core or skin of a place is made.
    Core {
        Balsa = "balsa", "end-grain balsa";
        Plywood = "plywood", "plywood";
        Foam = "foam", "foam";
        Timber = "timber", "timber";
        Solid = "none", "solid laminate, no core";
        NotListed = "other", "other";
    }
    /// What is decided about findings.
    Decision {
        Repair = "repair", "repair";
        Temporary = "temporary", "temporary repair";
        Improvement = "improvement", "improvement";
        Leave = "leave", "leave as it is";
    }
    /// What kind of work a step is.
    Work {
        Opening = "opening", "opening up";
        Drying = "drying", "drying";
        Preparing = "preparing", "preparing";
        Bonding = "bonding", "bonding";
        Laminating = "laminating", "laminating";
        Coring = "coring", "new core";
        Fastening = "fastening", "fastening";
        Bedding = "bedding", "bedding";
        Fairing = "fairing", "fairing";
        Coating = "coating", "coating";
        Testing = "testing", "testing";
        Closing = "closing-up", "closing up";
        NotListed = "other", "other work";
    }
    /// What happened to a material.
    Fate {
        Needed = "needed", "needed";
        Bought = "bought", "bought";
        Used = "used", "used";
        Returned = "returned", "returned";
        Removed = "removed", "removed from the boat";
        Disposed = "disposed", "disposed of";
    }
    /// What shows a repair good.
    Trial {
        DryReading = "dry-reading", "dry reading";
        CrispTap = "crisp-tap", "crisp tap";
        HoseTest = "hose-test", "hose test";
        Photograph = "after-photograph", "after photograph";
        LoadTest = "load-test", "load test";
        PressureTest = "pressure-test", "pressure test";
        RunningTest = "running-test", "running test";
        NotListed = "other", "other test";
    }
    /// What a test came to.
    Verdict {
        Good = "good", "good";
        Failed = "failed", "failed";
        Undecided = "undecided", "undecided";
    }
    /// Whether the boat floats.
    Lie {
        Afloat = "afloat", "afloat";
        Ashore = "ashore", "ashore";
    }
    /// What a member is to the whole it belongs to.
    Role {
        Finding = "finding", "a finding that the repair is about";
        WaitsFor = "waits-for", "a step that must be done first";
        RestsOn = "rests-on", "what a test rests on";
        Shows = "shows", "what a photograph shows";
        About = "about", "what it is about";
    }
    /// What a mark on a photograph is.
    MarkShape {
        Arrow = "arrow", "arrow";
        Outline = "outline", "outline";
        Line = "line", "line";
        Number = "number", "number";
        Words = "words", "words";
    }
    /// What a paper is.
    PaperKind {
        Invoice = "invoice", "invoice";
        Survey = "survey", "earlier survey";
        Certificate = "certificate", "certificate";
        DataSheet = "data-sheet", "data sheet";
        Registration = "registration", "registration";
        Drawing = "drawing", "drawing";
        NotListed = "other", "other paper";
    }
    /// What a reading's value is when it is not a plain number.
    Range {
        Within = "within", "within the range";
        Over = "over", "over the range";
        Under = "under", "under the range";
    }
}

words! {
    /// The sizes in which a picture is kept.
    Size {
        View = "view", "view, long side 2048 px";
        Thumbnail = "thumbnail", "thumbnail, long side 320 px";
    }
}
