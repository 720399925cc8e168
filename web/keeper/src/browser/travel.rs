//! What goes out and comes in as files: parcels, dossiers, the demonstration boat, checks.

mod check;
mod demo;
mod dossier;
mod receive;
mod send;

use garboard_protocol::{Trouble, TroubleKind};
use garboard_record::Id;

/// Where what another device has is kept.
fn held_key(log: Id, device: Id) -> String {
    format!("held/{log}/{device}")
}

/// A parcel that is not taken in; `error` says what is wrong and how to mend it.
fn refused(error: &garboard_parcel::Error) -> Trouble {
    let mut said = error.to_string();
    let mut cause = std::error::Error::source(error);
    while let Some(inner) = cause {
        said = format!("{said} ({inner})");
        cause = inner.source();
    }
    let remedy = match error {
        garboard_parcel::Error::OtherBoat { .. } => {
            "Leave this log first; then the parcel opens as the other boat's log."
        }
        garboard_parcel::Error::Future { .. } => {
            "Load this site anew while there is a network, so that it is as new as the sender's."
        }
        _ => "Ask for the parcel once more; it may have been cut short on its way.",
    };
    Trouble::new(
        TroubleKind::BadFile,
        format!("Nothing was taken in: {said}."),
        "The log on this device is as it was.",
        remedy,
    )
}
