//! Builds the site: the front end's two modules and the shell, ready to be served by any host.
//!
//! Everything is put together beside the old site and takes its place by a rename, so that a build
//! that fails or is stopped leaves the old site as it was. A fingerprint of all that goes into the
//! site lies beside it; when it still fits, there is nothing to do.

mod assemble;
mod compile;
mod error;
mod fingerprint;

use std::fs;
use std::path::{Path, PathBuf};

pub use error::Error;

/// The folders that the site comes from and goes to.
#[derive(Debug, Clone)]
pub struct Folders {
    /// The workspace: holds `Cargo.toml`, `core`, `web`, `www`.
    pub source: PathBuf,
    /// Where cargo puts what it builds.
    pub target: PathBuf,
}

impl Folders {
    /// Finds the folders of the workspace that this program was built from.
    ///
    /// # Errors
    ///
    /// [`Error::NoSource`] when they are no longer there.
    pub fn find() -> Result<Self, Error> {
        let built_from = Path::new(env!("CARGO_MANIFEST_DIR"));
        let source = built_from
            .ancestors()
            .nth(2)
            .filter(|folder| folder.join("www/index.html").is_file())
            .map(Path::to_path_buf)
            .ok_or_else(|| Error::NoSource {
                folder: built_from.to_path_buf(),
            })?;
        let target = std::env::current_exe()
            .ok()
            .and_then(|exe| {
                exe.ancestors()
                    .find(|folder| folder.join("CACHEDIR.TAG").is_file())
                    .map(Path::to_path_buf)
            })
            .unwrap_or_else(|| source.join("target"));
        Ok(Self { source, target })
    }

    /// Where the site lies.
    #[must_use]
    pub fn site(&self) -> PathBuf {
        self.target.join("site")
    }

    fn fingerprint(&self) -> PathBuf {
        self.target.join("site.fingerprint")
    }
}

/// What came of a build.
#[derive(Debug, Clone)]
pub struct Built {
    /// Where the site lies.
    pub site: PathBuf,
    /// Whether anything had to be done.
    pub is_new: bool,
    /// What a first load takes over the wire, in bytes (brotli); 0 when nothing had to be done.
    pub n_wire_bytes: u64,
}

/// Builds the site unless it is there already and fits its sources; `say` gets lines of progress.
///
/// # Errors
///
/// [`Error`] says what could not be done; the old site is then as it was.
pub fn build(folders: &Folders, say: &mut dyn FnMut(&str)) -> Result<Built, Error> {
    let fingerprint = fingerprint::of(&folders.source)?;
    let site = folders.site();
    let fits = fs::read_to_string(folders.fingerprint()).is_ok_and(|old| old == fingerprint);
    if fits && site.join("index.html").is_file() {
        return Ok(Built {
            site,
            is_new: false,
            n_wire_bytes: 0,
        });
    }

    say("Building the site: the screens and the log's keeper, for a phone's browser.");
    say("The first time this takes some minutes; later only what changed.");
    compile::ensure_target(&folders.source, say)?;
    let modules = compile::modules(folders, say)?;

    let beside = folders.target.join("site.new");
    remove_folder(&beside)?;
    say("Binding the modules to the browser");
    assemble::bind(&modules, &beside)?;
    let build = assemble::shell(&folders.source, &beside)?;
    say("Compressing");
    let n_all_bytes = assemble::compress(&beside)?;
    let n_later_bytes = assemble::n_later_bytes(&beside)?;
    let n_wire_bytes = n_all_bytes.saturating_sub(n_later_bytes);

    let old = folders.target.join("site.old");
    remove_folder(&old)?;
    if site.exists() {
        rename(&site, &old)?;
    }
    rename(&beside, &site)?;
    write(&folders.fingerprint(), fingerprint.as_bytes())?;
    remove_folder(&old)?;
    say(&format!(
        "The site is built ({build}): {} KB for a first load, {} KB more afterwards for the other screens, pictures and dossiers, in {}",
        n_wire_bytes.div_ceil(1000),
        n_later_bytes.div_ceil(1000),
        site.display()
    ));
    Ok(Built {
        site,
        is_new: true,
        n_wire_bytes,
    })
}

fn rename(from: &Path, to: &Path) -> Result<(), Error> {
    fs::rename(from, to).map_err(|source| Error::Disk {
        doing: "putting the new site in place of",
        path: to.to_path_buf(),
        source,
    })
}

fn remove_folder(folder: &Path) -> Result<(), Error> {
    match fs::remove_dir_all(folder) {
        Err(source) if source.kind() != std::io::ErrorKind::NotFound => Err(Error::Disk {
            doing: "removing",
            path: folder.to_path_buf(),
            source,
        }),
        _ => Ok(()),
    }
}

fn read(path: &Path) -> Result<Vec<u8>, Error> {
    fs::read(path).map_err(|source| Error::Disk {
        doing: "reading",
        path: path.to_path_buf(),
        source,
    })
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Error> {
    let made = match path.parent() {
        Some(folder) => fs::create_dir_all(folder),
        None => Ok(()),
    };
    made.and_then(|()| fs::write(path, bytes))
        .map_err(|source| Error::Disk {
            doing: "writing",
            path: path.to_path_buf(),
            source,
        })
}

/// All files in a folder and its folders, sorted, as paths relative to it.
fn files(folder: &Path) -> Result<Vec<PathBuf>, Error> {
    let mut found = Vec::new();
    let mut waiting = vec![PathBuf::new()];
    while let Some(inner) = waiting.pop() {
        let at = folder.join(&inner);
        let disk = |source| Error::Disk {
            doing: "looking into",
            path: at.clone(),
            source,
        };
        for entry in fs::read_dir(&at).map_err(disk)? {
            let entry = entry.map_err(disk)?;
            let path = inner.join(entry.file_name());
            if entry.file_type().map_err(disk)?.is_dir() {
                waiting.push(path);
            } else {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}

#[cfg(test)]
mod tests;
