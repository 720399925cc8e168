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

/// A parcel that is of another boat than the open log, or whose files are of two boats.
fn other_boat(theirs: &str, ours: &str) -> Trouble {
    Trouble::new(
        TroubleKind::BadFile,
        format!(
            "Nothing was taken in: {}.",
            garboard_parcel::other_boat(theirs, ours)
        ),
        "The log on this device is as it was.",
        "Leave this log first; then the parcel opens as the other boat's log.",
    )
}
