//! Why a command could not be done: whose fault it is, and how to mend it.

use std::fmt;

/// Whose fault it is; scripts see it as the exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// The user's mistake; exit code 1.
    Mistake,
    /// The environment: disk, permissions, missing tools; exit code 2.
    Environment,
    /// Ours; exit code 3.
    Ours,
}

impl Fault {
    /// The exit code.
    #[must_use]
    pub fn exit_code(self) -> u8 {
        match self {
            Self::Mistake => 1,
            Self::Environment => 2,
            Self::Ours => 3,
        }
    }

    /// The word in `--json` output.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Mistake => "mistake",
            Self::Environment => "environment",
            Self::Ours => "fault",
        }
    }
}

/// Why a command could not be done.
#[derive(Debug)]
pub struct Failure {
    /// Whose fault it is.
    pub fault: Fault,
    /// What was attempted and what was found.
    pub message: String,
    /// How to mend it; empty where nothing can be said.
    pub hint: String,
}

/// What commands return.
pub type Done<T> = Result<T, Failure>;

impl Failure {
    /// The user's mistake.
    pub fn mistake(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            fault: Fault::Mistake,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// The environment's.
    pub fn environment(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            fault: Fault::Environment,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// Ours.
    pub fn ours(message: impl Into<String>) -> Self {
        Self {
            fault: Fault::Ours,
            message: message.into(),
            hint: "please report it; the log itself is safe".to_owned(),
        }
    }

    /// A failed read or write of a file.
    pub fn file(what: &str, path: &std::path::Path, cause: &std::io::Error) -> Self {
        let hint = match cause.kind() {
            std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => {
                "the disk is full: nothing was saved; free some space and do it again"
            }
            std::io::ErrorKind::PermissionDenied | std::io::ErrorKind::ReadOnlyFilesystem => {
                "this user may not write there"
            }
            std::io::ErrorKind::NotFound => "look whether the name is right",
            _ => "look whether the disk and the path are in order",
        };
        let fault = if cause.kind() == std::io::ErrorKind::NotFound {
            Fault::Mistake
        } else {
            Fault::Environment
        };
        Self {
            fault,
            message: format!("{what} {}: {cause}", path.display()),
            hint: hint.to_owned(),
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

/// An error with its causes, in one line.
#[must_use]
pub fn whole(error: &dyn std::error::Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source();
    while let Some(inner) = cause {
        text = format!("{text}: {inner}");
        cause = inner.source();
    }
    text
}

impl From<garboard_record::Error> for Failure {
    fn from(cause: garboard_record::Error) -> Self {
        let hint = match &cause {
            garboard_record::Error::NoSuchEntry { .. } | garboard_record::Error::Id { .. } => {
                "`garboard show DIR` lists the entries with their ids"
            }
            garboard_record::Error::NoSuchKind { .. } => {
                "`garboard add --describe KIND` prints a kind's fields"
            }
            garboard_record::Error::NotFields { .. } => {
                "give the fields as one JSON object, for example {\"words\": \"…\"}"
            }
            _ => "`garboard add --describe KIND` prints the fields and what they hold",
        };
        Self::mistake(cause.to_string(), hint)
    }
}

impl From<garboard_log::Error> for Failure {
    fn from(cause: garboard_log::Error) -> Self {
        Self::ours(whole(&cause))
    }
}

impl From<garboard_parcel::Error> for Failure {
    fn from(cause: garboard_parcel::Error) -> Self {
        use garboard_parcel::Error as E;
        let hint = match &cause {
            E::NotZip { .. }
            | E::Altered { .. }
            | E::Missing { .. }
            | E::Chunk { .. }
            | E::TooLarge { .. } => "nothing was changed; let the sender send it again",
            E::NotParcel { .. } | E::Manifest { .. } => {
                "nothing was changed; choose a file that `garboard parcel` made"
            }
            E::Compressed => {
                "nothing was changed; send the parcel file as it was made, without unpacking it"
            }
            E::Future { .. } => {
                "nothing was changed; bring this software up to date, then receive it again"
            }
            E::OtherBoat { .. } => {
                "nothing was changed; to keep that boat's log too, merge it into a folder of its own"
            }
            E::Write { .. } => "look whether the disk is full or the path is right",
        };
        let fault = if matches!(cause, E::Write { .. }) {
            Fault::Environment
        } else {
            Fault::Mistake
        };
        Self {
            fault,
            message: whole(&cause),
            hint: hint.to_owned(),
        }
    }
}
