//! Failures in words: what happened, what is safe, what to do.

use garboard_protocol::{Trouble, TroubleKind};

use crate::sight::capital;

/// What was said does not fit; `error` says what, where and how to mend it.
#[must_use]
pub fn mistake(error: &garboard_record::Error) -> Trouble {
    Trouble::new(
        TroubleKind::Mistake,
        format!("{}.", capital(error.to_string().trim_end_matches('.'))),
        "Nothing was changed, and what you entered is still here.",
        "Mend what is named and save again.",
    )
}

/// Something that was named is not there.
#[must_use]
pub fn not_found(what: &str) -> Trouble {
    Trouble::new(
        TroubleKind::NotFound,
        format!("{what} is not in this log on this device."),
        "Nothing was changed.",
        "It may come with the next parcel; go back to the log.",
    )
}

/// No log is open.
#[must_use]
pub fn no_log() -> Trouble {
    Trouble::new(
        TroubleKind::NoLog,
        "No log is open.",
        "Every log on this device is as it was.",
        "Open one, or begin one.",
    )
}

/// Another tab writes.
#[must_use]
pub fn other_tab() -> Trouble {
    Trouble::new(
        TroubleKind::OtherTab,
        "Not saved: this log is open for writing in another tab or window.",
        "What the other tab has saved is untouched and is shown here.",
        "Write there, or close it: this tab may then write.",
    )
}

/// A page and a keeper of different builds.
#[must_use]
pub fn other_build() -> Trouble {
    Trouble::new(
        TroubleKind::OtherBuild,
        "The screens and the log's keeper are of different builds.",
        "Everything that was saved is untouched.",
        "Load the page again.",
    )
}

/// Long work was stopped.
#[must_use]
pub fn stopped() -> Trouble {
    Trouble::new(
        TroubleKind::Stopped,
        "Stopped, as you asked.",
        "Nothing was left half done.",
        "Start it again whenever you like.",
    )
}

/// The press did not come, or gave up.
#[must_use]
pub fn no_press() -> Trouble {
    Trouble::new(
        TroubleKind::Fault,
        "The part of the app that prints and draws did not come, or this device gave it too little memory or time.",
        "Everything in the log is as it was.",
        "It is loaded once with a network and is there without one from then on. Try again; for a large log, on a device with more memory.",
    )
}

/// Our own fault.
#[must_use]
pub fn fault(what: &str) -> Trouble {
    Trouble::new(
        TroubleKind::Fault,
        format!("Something went wrong in the program itself: {what}."),
        "Everything that was marked as saved is untouched.",
        "Load the page again and repeat the last step.",
    )
}
