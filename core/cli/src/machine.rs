//! The machine's clock, chance and environment: read here and handed in everywhere else.

use std::path::PathBuf;
use std::time::UNIX_EPOCH;

use crate::failure::{Done, Failure};

/// Milliseconds since 1970.
#[must_use]
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the clock is read"
)]
pub fn now_millis() -> u64 {
    std::time::SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .ok()
        .and_then(|since| u64::try_from(since.as_millis()).ok())
        .unwrap_or_default()
}

/// Minutes east of UTC of this machine's time zone at present.
#[must_use]
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the clock is read"
)]
pub fn offset_minutes() -> i32 {
    chrono::Local::now().offset().local_minus_utc() / 60
}

/// Fresh random bytes.
///
/// # Errors
///
/// The environment's when the system gives none.
pub fn random<const N: usize>() -> Done<[u8; N]> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|cause| {
        Failure::environment(
            format!("the system gives no random bytes: {cause}"),
            "look whether /dev/urandom is there",
        )
    })?;
    Ok(bytes)
}

/// A random word for the name of a temporary file.
///
/// # Errors
///
/// Those of [`random`].
pub fn random_word() -> Done<String> {
    Ok(random::<8>()?
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

/// Waits.
pub fn pause(millis: u64) {
    std::thread::sleep(std::time::Duration::from_millis(millis));
}

/// A variable of the environment.
#[must_use]
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the environment is read"
)]
pub fn variable(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}

/// The folder for what belongs to this machine and not to a log: its devices' identities.
///
/// `GARBOARD_STATE`, else `XDG_STATE_HOME/garboard`, else `HOME/.local/state/garboard`, else `LOCALAPPDATA/garboard`.
///
/// # Errors
///
/// The environment's when none of them is set.
pub fn state_folder() -> Done<PathBuf> {
    if let Some(folder) = variable("GARBOARD_STATE") {
        return Ok(PathBuf::from(folder));
    }
    if let Some(folder) = variable("XDG_STATE_HOME") {
        return Ok(PathBuf::from(folder).join("garboard"));
    }
    if let Some(home) = variable("HOME") {
        return Ok(PathBuf::from(home).join(".local/state/garboard"));
    }
    if let Some(local) = variable("LOCALAPPDATA") {
        return Ok(PathBuf::from(local).join("garboard"));
    }
    Err(Failure::environment(
        "there is no home folder to keep this device's identity in",
        "set GARBOARD_STATE to a folder",
    ))
}

/// The name of whoever is at the machine, for the first hand where none is given.
#[must_use]
pub fn user_name() -> String {
    variable("GARBOARD_HAND")
        .or_else(|| variable("USER"))
        .or_else(|| variable("LOGNAME"))
        .or_else(|| variable("USERNAME"))
        .unwrap_or_else(|| "owner".to_owned())
}
