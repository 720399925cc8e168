//! What the browser refuses, without its own types.

use garboard_protocol::{Trouble, TroubleKind};
use wasm_bindgen::prelude::*;

/// The name of an error of our own.
const LOST: &str = "Lost";

/// What the browser said.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{name}: {message}")]
pub(crate) struct Error {
    /// The exception's name: `QuotaExceededError`, …
    pub(crate) name: String,
    /// The exception's words.
    pub(crate) message: String,
}

#[wasm_bindgen]
extern "C" {
    type Exception;
    #[wasm_bindgen(method, getter, structural)]
    fn name(this: &Exception) -> JsValue;
    #[wasm_bindgen(method, getter, structural)]
    fn message(this: &Exception) -> JsValue;
}

impl Error {
    /// An error of our own making.
    pub(crate) fn new(name: &str, message: &str) -> Self {
        Self {
            name: name.to_owned(),
            message: message.to_owned(),
        }
    }

    /// Reads what was thrown.
    pub(crate) fn of(thrown: &JsValue) -> Self {
        if thrown.is_object() {
            let exception: &Exception = thrown.unchecked_ref();
            let text = |value: JsValue| value.as_string();
            return Self {
                name: text(exception.name()).unwrap_or_else(|| "Error".to_owned()),
                message: text(exception.message()).unwrap_or_default(),
            };
        }
        Self::new("Error", &thrown.as_string().unwrap_or_default())
    }

    /// Whether the storage's handle is dead, so that it must be opened again.
    pub(crate) fn is_dead_handle(&self) -> bool {
        [
            "InvalidStateError",
            "UnknownError",
            "AbortError",
            "TransactionInactiveError",
        ]
        .contains(&self.name.as_str())
    }

    /// What was stored is not there any more.
    pub(crate) fn lost() -> Self {
        Self::new(LOST, "the browser threw away what this site had stored")
    }

    /// Whether the storage is full.
    pub(crate) fn is_full(&self) -> bool {
        self.name == "QuotaExceededError"
    }

    /// As a trouble of a write.
    pub(crate) fn not_saved(&self) -> Trouble {
        if self.is_full() {
            return Trouble::new(
                TroubleKind::Full,
                "Not saved: this device's storage is full.",
                "Everything that was marked as saved is untouched.",
                "Make room on the device, or send a parcel with the originals to another device first; then try again.",
            );
        }
        if self.name == LOST {
            return Trouble::new(
                TroubleKind::NotSaved,
                "Not saved, and what was saved on this device before is gone: the browser threw its storage away. A full device does that.",
                "What other devices have is safe there.",
                "Save this as a file, make room on the device, load the page again, and open the last parcel of the log.",
            );
        }
        Trouble::new(
            TroubleKind::NotSaved,
            format!("Not saved: the browser's storage refused it ({self})."),
            "Everything that was marked as saved is untouched.",
            "Try again. If it stays like this, load the page again; a private window may refuse to keep anything.",
        )
    }

    /// As a trouble of a read.
    pub(crate) fn not_read(&self) -> Trouble {
        Trouble::new(
            TroubleKind::Fault,
            format!("The browser's storage could not be read ({self})."),
            "Nothing was changed.",
            "Load the page again; a private window may have no storage at all.",
        )
    }
}

/// Turns what the browser throws into an [`Error`].
pub(crate) trait OrError<T> {
    /// The value, or the error.
    fn or_error(self) -> Result<T, Error>;
}

impl<T> OrError<T> for Result<T, JsValue> {
    fn or_error(self) -> Result<T, Error> {
        self.map_err(|thrown| Error::of(&thrown))
    }
}
