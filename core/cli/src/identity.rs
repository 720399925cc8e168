//! This machine's device in a log: kept outside the log, so that a copied log folder does not write as the same device.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use garboard_key::Secret;
use garboard_record::{Digest, Id, Snapshot, Stamper};
use serde::{Deserialize, Serialize};

use crate::failure::{Done, Failure};
use crate::machine;
use crate::private::{permit, write_private};
use crate::store::write_durably;

/// What is kept of a device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Identity {
    /// The device.
    pub device: Id,
    /// Whose hand writes on it.
    pub hand: Id,
    /// The count of what it said last.
    pub count: u64,
    /// The time of its last id.
    pub last_millis: u64,
    /// The digest of what it said last.
    pub last: Option<Digest>,
}

/// The identity's place on disk, locked against other processes while it is held.
pub struct Held {
    folder: PathBuf,
    name: String,
    _lock: File,
}

impl Held {
    /// Locks the identity of this machine in a log folder; waits for other processes that write there.
    ///
    /// # Errors
    ///
    /// The environment's when the state folder cannot be written.
    pub fn lock(log: Id, dir: &Path) -> Done<Self> {
        let folder = machine::state_folder()?.join(log.to_string());
        fs::create_dir_all(&folder)
            .map_err(|cause| Failure::file("cannot make the folder", &folder, &cause))?;
        let path =
            fs::canonicalize(dir).map_err(|cause| Failure::file("cannot find", dir, &cause))?;
        let name: String = Digest::of(path.as_os_str().as_encoded_bytes())
            .to_string()
            .chars()
            .take(16)
            .collect();
        let lock_path = folder.join(format!("{name}.lock"));
        let lock = File::options()
            .create(true)
            .append(true)
            .open(&lock_path)
            .map_err(|cause| Failure::file("cannot open", &lock_path, &cause))?;
        lock.lock()
            .map_err(|cause| Failure::file("cannot lock", &lock_path, &cause))?;
        Ok(Self {
            folder,
            name: format!("{name}.json"),
            _lock: lock,
        })
    }

    /// The identity, where this machine has written in the folder before.
    ///
    /// # Errors
    ///
    /// The environment's when its file cannot be read.
    pub fn read(&self) -> Done<Option<Identity>> {
        let path = self.folder.join(&self.name);
        match fs::read(&path) {
            // A damaged file is as none: a new device is drawn.
            Ok(bytes) => Ok(serde_json::from_slice(&bytes).ok()),
            Err(cause) if cause.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(cause) => Err(Failure::file("cannot read", &path, &cause)),
        }
    }

    /// The secret with which a device of this machine signs; drawn when it is first asked for. Another device has another.
    ///
    /// # Errors
    ///
    /// The environment's when its file cannot be read or written, or holds something else.
    pub fn secret(&self, device: Id) -> Done<Secret> {
        let name = format!("{device}.secret");
        let path = self.folder.join(&name);
        let bytes: [u8; 32] = match fs::read(&path) {
            Ok(bytes) => {
                permit(&path, 0o600)?;
                bytes.try_into().map_err(|_other| {
                    Failure::environment(
                        format!("this is no device's secret: {}", path.display()),
                        "put the file back as it was, or remove it: the device then draws a new secret, and signs with another key",
                    )
                })?
            }
            Err(cause) if cause.kind() == std::io::ErrorKind::NotFound => {
                let drawn = machine::random::<32>()?;
                write_private(&self.folder, &name, &drawn)?;
                drawn
            }
            Err(cause) => return Err(Failure::file("cannot read", &path, &cause)),
        };
        Ok(Secret::of(bytes))
    }

    /// Keeps the identity.
    ///
    /// # Errors
    ///
    /// The environment's when it cannot be written.
    pub fn write(&self, identity: &Identity) -> Done<()> {
        let bytes =
            serde_json::to_vec(identity).map_err(|cause| Failure::ours(cause.to_string()))?;
        write_durably(&self.folder, &self.name, &bytes)
    }
}

impl Identity {
    /// Whether a copy of this device has written: the log knows a higher count of it, or another statement at one of its counts.
    #[must_use]
    pub fn is_copied(&self, snapshot: &Snapshot) -> bool {
        let highest = snapshot.highest_count(self.device).unwrap_or_default();
        if highest > self.count {
            return true;
        }
        let at_last: Vec<Id> = snapshot.at_count(self.device, self.count).collect();
        let differs = at_last
            .iter()
            .filter_map(|id| snapshot.statement(*id))
            .any(|statement| Some(statement.digest()) != self.last);
        differs
            || snapshot
                .doubled_counts()
                .any(|(device, ..)| device == self.device)
    }

    /// A stamper that goes on where this device stopped.
    #[must_use]
    pub fn stamper(&self, log: Id) -> Stamper {
        Stamper {
            log,
            hand: self.hand,
            device: self.device,
            count: self.count,
            offset_minutes: machine::offset_minutes(),
            last_millis: self.last_millis,
        }
    }

    /// The identity after a stamper has written a text.
    #[must_use]
    pub fn after(stamper: &Stamper, text: &str) -> Self {
        Self {
            device: stamper.device,
            hand: stamper.hand,
            count: stamper.count,
            last_millis: stamper.last_millis,
            last: Some(Digest::of(text.as_bytes())),
        }
    }
}
