//! A log folder: chunks named by their content, photographs by SHA-256, and nothing else that matters.
//!
//! Everything is written to a temporary file, synced, renamed, and the folder synced, before anything says *saved*.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::time::Duration;

use garboard_log::{Chunk, Log, MAX_CHUNK_BYTES, PACK_FROM, Trouble};
use garboard_record::{Digest, Index};

use crate::failure::{Done, Failure};
use crate::machine;

/// A chunk that a pack covers is deleted when the pack has had this long to reach the other copies.
const PACK_KEPT_BESIDE: Duration = Duration::from_secs(14 * 24 * 3600);
/// From so many chunks that were not in the last saved opening on, a new opening is saved.
const OPENING_FROM: usize = 64;

/// Chunks by the digests that name them.
pub type Chunks = BTreeMap<Digest, Vec<u8>>;

/// A log folder.
#[derive(Debug, Clone)]
pub struct Store {
    dir: PathBuf,
}

/// A log folder that was opened.
pub struct Opened {
    /// The folder.
    pub store: Store,
    /// The log.
    pub log: Log,
    /// What is odd about its chunks.
    pub trouble: Vec<Trouble>,
    /// Files in the chunks folder that are none.
    pub strays: Vec<String>,
}

impl Store {
    /// Begins a folder; refuses one that has something in it.
    ///
    /// # Errors
    ///
    /// A mistake when the folder is in use, the environment's when it cannot be made.
    pub fn create(dir: &Path) -> Done<Self> {
        if dir.join("chunks").exists() {
            return Err(Failure::mistake(
                format!("there is a log in {} already", dir.display()),
                "choose another folder, or add to this one with `garboard add`",
            ));
        }
        if dir.exists() {
            let mut entries = fs::read_dir(dir)
                .map_err(|cause| Failure::file("cannot look into", dir, &cause))?;
            if entries.next().is_some() {
                return Err(Failure::mistake(
                    format!("the folder {} is not empty", dir.display()),
                    "choose a folder that is empty or not there yet",
                ));
            }
        }
        let store = Self {
            dir: dir.to_path_buf(),
        };
        for folder in [store.chunks(), store.photos()] {
            fs::create_dir_all(&folder)
                .map_err(|cause| Failure::file("cannot make the folder", &folder, &cause))?;
        }
        sync_folder(dir)?;
        Ok(store)
    }

    /// The folder of a log that is there.
    ///
    /// # Errors
    ///
    /// A mistake when there is none.
    pub fn at(dir: &Path) -> Done<Self> {
        if !dir.join("chunks").is_dir() {
            return Err(Failure::mistake(
                format!("there is no log in {}", dir.display()),
                "begin one with: garboard new DIR --boat NAME",
            ));
        }
        Ok(Self {
            dir: dir.to_path_buf(),
        })
    }

    /// The folder itself.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    fn chunks(&self) -> PathBuf {
        self.dir.join("chunks")
    }

    fn photos(&self) -> PathBuf {
        self.dir.join("photos")
    }

    /// Where the saved opening lies; it can be deleted at any time.
    fn opening(&self) -> PathBuf {
        self.dir.join("opening")
    }

    /// Opens the log: takes what it finds, never fails on what a chunk holds.
    ///
    /// # Errors
    ///
    /// The environment's when the folder cannot be read.
    pub fn open(&self) -> Done<Opened> {
        let (chunks, strays) = self.read_chunks()?;
        let opening = fs::read(self.opening()).ok();
        let had_opening = opening.is_some();
        let n_chunks = chunks.len();
        let (log, trouble) = Log::open(machine::random()?, chunks, opening.as_deref());
        // A saved opening only makes the next one faster: where it cannot be written, nothing is lost.
        if (n_chunks >= OPENING_FROM)
            && !(had_opening && opening.is_some_and(|bytes| covers(&bytes, n_chunks)))
            && let Some(bytes) = log.opening()
        {
            drop(write_durably(&self.dir, "opening", &bytes));
        }
        Ok(Opened {
            store: self.clone(),
            log,
            trouble,
            strays,
        })
    }

    /// Every chunk's bytes by the name of its file, and the names of files that are none.
    ///
    /// # Errors
    ///
    /// The environment's when the folder cannot be read.
    pub fn read_chunks(&self) -> Done<(Chunks, Vec<String>)> {
        let folder = self.chunks();
        let mut chunks = BTreeMap::new();
        let mut strays = Vec::new();
        for entry in fs::read_dir(&folder)
            .map_err(|cause| Failure::file("cannot look into", &folder, &cause))?
        {
            let entry =
                entry.map_err(|cause| Failure::file("cannot look into", &folder, &cause))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with('.') {
                continue;
            }
            let path = entry.path();
            let size = entry
                .metadata()
                .map(|found| found.len())
                .unwrap_or_default();
            if size > MAX_CHUNK_BYTES as u64 {
                strays.push(format!(
                    "{name}: {size} bytes are more than a chunk can have"
                ));
                continue;
            }
            let bytes = match fs::read(&path) {
                Ok(bytes) => bytes,
                Err(cause) => {
                    strays.push(format!("{name}: cannot be read: {cause}"));
                    continue;
                }
            };
            match name.parse::<Digest>() {
                Ok(digest) => {
                    chunks.insert(digest, bytes);
                }
                // A file tool may have renamed a copy: what it holds counts all the same.
                Err(_) if Log::texts_in(&bytes).is_ok() => {
                    chunks.insert(Digest::of(&bytes), bytes);
                    strays.push(format!(
                        "{name}: holds a chunk under another name; what it says is taken in"
                    ));
                }
                Err(_) => strays.push(format!("{name}: is no chunk and was passed over")),
            }
        }
        strays.sort();
        Ok((chunks, strays))
    }

    /// Keeps a chunk durably.
    ///
    /// # Errors
    ///
    /// The environment's when it cannot be written; then nothing of it is there.
    pub fn keep(&self, chunk: &Chunk) -> Done<()> {
        self.keep_all([(chunk.name, chunk.bytes.as_slice())])
    }

    /// Keeps chunks durably under their names, all or none.
    ///
    /// # Errors
    ///
    /// The environment's when one of them cannot be written; then none of them is there.
    pub fn keep_all<'a>(&self, chunks: impl IntoIterator<Item = (Digest, &'a [u8])>) -> Done<()> {
        let folder = self.chunks();
        let mut begun: Vec<(PathBuf, PathBuf)> = Vec::new();
        let write_all = || {
            for (name, bytes) in chunks {
                let target = folder.join(name.to_string());
                // A file of this name that is damaged is written anew.
                if fs::read(&target).is_ok_and(|found| Digest::of(&found) == name) {
                    continue;
                }
                let temporary = folder.join(format!(".{name}.{}", machine::random_word()?));
                begun.push((temporary.clone(), target.clone()));
                write_synced(&temporary, bytes)
                    .map_err(|cause| Failure::file("cannot write", &target, &cause))?;
            }
            Ok(())
        };
        if let Err(failure) = write_all() {
            for (temporary, _) in begun {
                drop(fs::remove_file(temporary));
            }
            return Err(failure);
        }
        for (temporary, target) in begun {
            fs::rename(&temporary, &target)
                .map_err(|cause| Failure::file("cannot write", &target, &cause))?;
        }
        sync_folder(&folder)
    }

    /// Keeps the bytes of a photograph, sound or rendition durably, under their digest.
    ///
    /// # Errors
    ///
    /// The environment's when they cannot be written; then nothing of them is there.
    pub fn keep_photo(&self, digest: Digest, bytes: &[u8]) -> Done<()> {
        let folder = self.photos();
        if fs::metadata(folder.join(digest.to_string()))
            .is_ok_and(|found| found.len() == bytes.len() as u64)
            && self.photo(digest).is_ok_and(|found| found == bytes)
        {
            return Ok(());
        }
        fs::create_dir_all(&folder)
            .map_err(|cause| Failure::file("cannot make the folder", &folder, &cause))?;
        write_durably(&folder, &digest.to_string(), bytes)
    }

    /// Takes back bytes that nothing names.
    ///
    /// # Errors
    ///
    /// The environment's when the file cannot be deleted.
    pub fn forget_photo(&self, digest: Digest) -> Done<()> {
        let path = self.photos().join(digest.to_string());
        fs::remove_file(&path).map_err(|cause| Failure::file("cannot delete", &path, &cause))
    }

    /// The bytes of a photograph, sound or rendition.
    ///
    /// # Errors
    ///
    /// What the system says, when they are not here.
    pub fn photo(&self, digest: Digest) -> std::io::Result<Vec<u8>> {
        fs::read(self.photos().join(digest.to_string()))
    }

    /// The size of what is held under a digest; `None` when it is not here.
    #[must_use]
    pub fn photo_size(&self, digest: Digest) -> Option<u64> {
        fs::metadata(self.photos().join(digest.to_string()))
            .ok()
            .map(|found| found.len())
    }

    /// Every digest that is held, in order.
    #[must_use]
    pub fn photos_held(&self) -> Vec<Digest> {
        let mut held: Vec<Digest> = fs::read_dir(self.photos())
            .into_iter()
            .flatten()
            .flatten()
            .filter_map(|entry| entry.file_name().to_string_lossy().parse().ok())
            .collect();
        held.sort_unstable();
        held
    }

    /// Deletes the bytes that were withdrawn.
    ///
    /// # Errors
    ///
    /// The environment's when a file cannot be deleted.
    pub fn delete_withdrawn(&self, log: &Log) -> Done<usize> {
        let mut n_deleted = 0;
        for digest in Index::of(log.snapshot()).withdrawn_bytes(log.snapshot()) {
            let path = self.photos().join(digest.to_string());
            if path.exists() {
                fs::remove_file(&path)
                    .map_err(|cause| Failure::file("cannot delete", &path, &cause))?;
                n_deleted += 1;
            }
        }
        Ok(n_deleted)
    }

    /// Packs the device's own loose chunks, where there are many, and deletes those that a pack of some age covers.
    ///
    /// A chunk is deleted only after its pack has been read back and has had two weeks to reach the other copies.
    ///
    /// # Errors
    ///
    /// The environment's when a pack cannot be written; then nothing is deleted.
    pub fn pack_if_many(&self, device: garboard_record::Id) -> Done<()> {
        let (chunks, _) = self.read_chunks()?;
        let (own, packs): (Vec<_>, Vec<_>) = chunks
            .iter()
            .filter(|(_, bytes)| Log::is_own(bytes, device).is_some())
            .partition(|(_, bytes)| Log::is_loose(bytes, device));
        let old_enough = |name: &Digest| {
            let path = self.chunks().join(name.to_string());
            fs::metadata(path)
                .and_then(|found| found.modified())
                .is_ok_and(|at| at.elapsed().is_ok_and(|age| age > PACK_KEPT_BESIDE))
        };
        for (name, bytes) in &own {
            if packs
                .iter()
                .any(|(pack_name, pack)| old_enough(pack_name) && Log::is_covered(bytes, pack))
            {
                let path = self.chunks().join(name.to_string());
                fs::remove_file(&path)
                    .map_err(|cause| Failure::file("cannot delete", &path, &cause))?;
            }
        }
        let packed = |bytes: &[u8]| packs.iter().any(|(_, pack)| Log::is_covered(bytes, pack));
        if own.len() >= PACK_FROM {
            let loose: Vec<&[u8]> = own
                .iter()
                .map(|(_, bytes)| bytes.as_slice())
                .filter(|bytes| !packed(bytes))
                .collect();
            if loose.len() >= PACK_FROM {
                self.keep(&Log::pack(loose)?)?;
            }
        }
        Ok(())
    }
}

/// Whether a saved opening stands for all but a few of so many chunks.
fn covers(opening: &[u8], n_chunks: usize) -> bool {
    let count = opening
        .get(8..12)
        .and_then(|four| <[u8; 4]>::try_from(four).ok())
        .map(u32::from_be_bytes);
    count
        .and_then(|count| usize::try_from(count).ok())
        .is_some_and(|count| count + OPENING_FROM > n_chunks)
}

/// Writes a file so that it is there whole or not at all, and stays when the power goes.
///
/// # Errors
///
/// The environment's when it cannot be written.
pub fn write_durably(folder: &Path, name: &str, bytes: &[u8]) -> Done<()> {
    let temporary = folder.join(format!(".{name}.{}", machine::random_word()?));
    let target = folder.join(name);
    if let Err(cause) =
        write_synced(&temporary, bytes).and_then(|()| fs::rename(&temporary, &target))
    {
        // What was begun goes; if even that fails, a name with a leading dot is passed over at opening.
        drop(fs::remove_file(&temporary));
        return Err(Failure::file("cannot write", &target, &cause));
    }
    sync_folder(folder)
}

/// Writes a file that the user named, by way of a temporary one beside it: whole or not at all.
///
/// # Errors
///
/// The environment's when it cannot be written; a mistake when its folder is not there; those of `write`.
pub fn write_file(path: &Path, write: impl FnOnce(File) -> Done<File>) -> Done<u64> {
    let (folder, temporary) = beside(path)?;
    if path.is_dir() {
        return Err(Failure::mistake(
            format!("{} is a folder", path.display()),
            "give the name of a file",
        ));
    }
    let of_file = |cause: std::io::Error| Failure::file("cannot write", path, &cause);
    let written = File::create_new(&temporary)
        .map_err(of_file)
        .and_then(write)
        .and_then(|file| {
            file.sync_all().map_err(of_file)?;
            let size = file.metadata().map_err(of_file)?.len();
            fs::rename(&temporary, path).map_err(of_file)?;
            Ok(size)
        });
    if written.is_err() {
        drop(fs::remove_file(&temporary));
    } else {
        sync_folder(folder)?;
    }
    written
}

/// Fills a folder that is not there yet, by way of a temporary one beside it: all of it or nothing. `fill` is handed the
/// temporary folder.
///
/// # Errors
///
/// The environment's when it cannot be written; a mistake when the folder exists or the one that it belongs into does not.
pub fn write_folder<O>(path: &Path, fill: impl FnOnce(&Path) -> std::io::Result<O>) -> Done<O> {
    if path.exists() {
        return Err(Failure::mistake(
            format!("this exists already: {}", path.display()),
            "name another folder, or move that one away",
        ));
    }
    let (folder, temporary) = beside(path)?;
    let written = fs::create_dir(&temporary)
        .and_then(|()| fill(&temporary))
        .and_then(|out| fs::rename(&temporary, path).map(|()| out))
        .map_err(|cause| Failure::file("cannot write", path, &cause));
    if written.is_err() {
        drop(fs::remove_dir_all(&temporary));
    } else {
        sync_folder(folder)?;
    }
    written
}

/// The folder that a path belongs into, and a temporary name in it.
fn beside(path: &Path) -> Done<(&Path, PathBuf)> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let Some(name) = path.file_name() else {
        return Err(Failure::mistake(
            format!("{} names nothing that can be written", path.display()),
            "give a name",
        ));
    };
    if !folder.is_dir() {
        return Err(Failure::mistake(
            format!("the folder {} is not there", folder.display()),
            "make the folder first, or choose another place",
        ));
    }
    let name = name.to_string_lossy();
    Ok((
        folder,
        folder.join(format!(".{name}.{}", machine::random_word()?)),
    ))
}

/// Writes a file that is not there yet.
///
/// # Errors
///
/// The disk's.
pub fn write_synced(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn sync_folder(folder: &Path) -> Done<()> {
    // Only Unix can sync a folder; elsewhere the rename is durable with the file.
    if cfg!(unix) {
        File::open(folder)
            .and_then(|file| file.sync_all())
            .map_err(|cause| Failure::file("cannot sync the folder", folder, &cause))?;
    }
    Ok(())
}
