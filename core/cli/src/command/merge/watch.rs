//! A folder that is watched: whatever carries files there (a program that syncs, a stick, a share) carries the log.

use std::collections::BTreeMap;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::{Merge, merge};
use crate::failure::{Done, Failure};
use crate::machine;

/// So long between two looks.
const PAUSE_MILLIS: u64 = 2_000;

/// How a file looked: its size, and when it was changed.
type Look = (u64, Option<SystemTime>);

/// What was seen of a folder so far.
#[derive(Debug, Default)]
struct Watched {
    /// How each file looked last, and whether it was dealt with as it looks.
    files: BTreeMap<PathBuf, (Look, bool)>,
}

impl Watched {
    /// The files that are to be dealt with now: those that look as they did the last time, so that nobody is still writing them, and
    /// that were not dealt with as they look.
    fn ready(&mut self, now: BTreeMap<PathBuf, Look>) -> Vec<PathBuf> {
        let mut ready = Vec::new();
        let before = std::mem::take(&mut self.files);
        for (path, look) in now {
            let seen = before.get(&path).filter(|(then, _)| *then == look);
            let is_done = match seen {
                Some((_, true)) => true,
                Some((_, false)) => {
                    ready.push(path.clone());
                    true
                }
                None => false,
            };
            self.files.insert(path, (look, is_done));
        }
        ready
    }
}

/// Takes in every parcel that comes to lie in the folder, until it is stopped. Nothing in the folder is changed or removed; what is no
/// parcel of this boat is said once, and looked at again when it changes.
///
/// # Errors
///
/// A mistake when the folder is not there; the environment's when it cannot be read any more or the log cannot be written.
pub(super) fn watch(c: &Merge, folder: &Path, progress: &mut dyn FnMut(&str)) -> Done<()> {
    if !folder.is_dir() {
        return Err(Failure::mistake(
            format!("{} is no folder that could be watched", folder.display()),
            "name the folder in which parcels come to lie",
        ));
    }
    progress(&format!(
        "watching {}; stop it with Ctrl-C",
        folder.display()
    ));
    let mut watched = Watched::default();
    loop {
        for path in watched.ready(look(folder)?) {
            let one = Merge {
                dir: c.dir.clone(),
                from: vec![path.clone()],
                watch: None,
                json: false,
            };
            match merge(&one, &mut |_| ()) {
                Ok(answer) => progress(&format!("{}: {}", path.display(), answer.text)),
                Err(failure) if failure.fault == crate::failure::Fault::Mistake => {
                    progress(&format!("passed over: {}", failure.message));
                }
                Err(failure) => return Err(failure),
            }
        }
        machine::pause(PAUSE_MILLIS);
    }
}

/// The files of a folder that begin like a ZIP, as they look now. Those with a leading dot are somebody's work in progress.
fn look(folder: &Path) -> Done<BTreeMap<PathBuf, Look>> {
    let listed = std::fs::read_dir(folder)
        .map_err(|cause| Failure::file("cannot read the folder", folder, &cause))?;
    let mut out = BTreeMap::new();
    for entry in listed.flatten() {
        let path = entry.path();
        let is_hidden = entry.file_name().to_string_lossy().starts_with('.');
        // What goes away meanwhile is passed over.
        let Ok(about) = entry.metadata() else {
            continue;
        };
        if !is_hidden && about.is_file() && begins_like_a_zip(&path) {
            out.insert(path, (about.len(), about.modified().ok()));
        }
    }
    Ok(out)
}

fn begins_like_a_zip(path: &Path) -> bool {
    let mut start = [0; 4];
    std::fs::File::open(path)
        .and_then(|mut file| file.read_exact(&mut start))
        .is_ok_and(|()| start == *b"PK\x03\x04")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(of: &[(&str, u64)]) -> BTreeMap<PathBuf, Look> {
        of.iter()
            .map(|(name, size)| (PathBuf::from(name), (*size, None)))
            .collect()
    }

    #[test]
    fn a_file_is_dealt_with_once_it_rests_and_again_when_it_changed() {
        let mut watched = Watched::default();
        let none: Vec<PathBuf> = Vec::new();
        assert_eq!(watched.ready(files(&[("a", 10)])), none);
        // It still grows.
        assert_eq!(watched.ready(files(&[("a", 20)])), none);
        assert_eq!(
            watched.ready(files(&[("a", 20), ("b", 5)])),
            [PathBuf::from("a")]
        );
        assert_eq!(
            watched.ready(files(&[("a", 20), ("b", 5)])),
            [PathBuf::from("b")]
        );
        assert_eq!(watched.ready(files(&[("a", 20), ("b", 5)])), none);
        // Another file of the same name, and one that went and came again.
        assert_eq!(watched.ready(files(&[("a", 21)])), none);
        assert_eq!(
            watched.ready(files(&[("a", 21), ("b", 5)])),
            [PathBuf::from("a")]
        );
        assert_eq!(
            watched.ready(files(&[("a", 21), ("b", 5)])),
            [PathBuf::from("b")]
        );
    }
}
