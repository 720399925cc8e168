//! Files and folders that nobody else on this machine may read.

use std::fs::{self, File};
use std::io::Write as _;
use std::path::Path;

use crate::failure::{Done, Failure};
use crate::machine;

/// Makes a folder that this user alone can look into.
///
/// # Errors
///
/// The environment's when it cannot be made.
pub fn private_folder(folder: &Path) -> Done<()> {
    fs::create_dir_all(folder)
        .map_err(|cause| Failure::file("cannot make the folder", folder, &cause))?;
    permit(folder, 0o700)
}

/// Takes everybody else's permissions away, where the system has such.
///
/// # Errors
///
/// The environment's when it may not.
#[cfg(unix)]
pub fn permit(path: &Path, mode: u32) -> Done<()> {
    use std::os::unix::fs::PermissionsExt as _;
    fs::set_permissions(path, fs::Permissions::from_mode(mode))
        .map_err(|cause| Failure::file("cannot close to others", path, &cause))
}

#[cfg(not(unix))]
#[expect(clippy::unnecessary_wraps, reason = "elsewhere it can fail")]
pub fn permit(_path: &Path, _mode: u32) -> Done<()> {
    // The state folder lies in the user's own profile, which others cannot read.
    Ok(())
}

/// Writes a file that this user alone can read from its first byte on.
///
/// # Errors
///
/// The environment's when it cannot be written.
pub fn write_private(folder: &Path, name: &str, bytes: &[u8]) -> Done<()> {
    let temporary = folder.join(format!(".{name}.{}", machine::random_word()?));
    let target = folder.join(name);
    let mut options = File::options();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let written = options
        .open(&temporary)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&temporary, &target));
    written.map_err(|cause| {
        drop(fs::remove_file(&temporary));
        Failure::file("cannot write", &target, &cause)
    })
}
