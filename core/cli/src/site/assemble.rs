//! Puts modules and shell together, names the build and compresses.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use flate2::{Compression, write::GzEncoder};
use sha2::{Digest as _, Sha256};
use wasm_bindgen_cli_support::Bindgen;

use super::compile::Modules;
use super::fingerprint::hex;
use super::{Error, files, read, write};

const BUILD: &str = "__BUILD__";
const PRECACHE: &str = "/*PRECACHE*/[]";
const LATER: &str = "/*LATER*/[]";
const WORKER: &str = "sw.js";
const CHANGELOG: &str = "docs/changelog.md";

/// Binds the modules to the browser: `page.js`, `page_bg.wasm`, and so on for `rail`, `keeper`, `press` and `paper`.
pub(super) fn bind(modules: &Modules, site: &Path) -> Result<(), Error> {
    for (module, wasm) in [
        ("rail", &modules.rail),
        ("page", &modules.page),
        ("keeper", &modules.keeper),
        ("press", &modules.press),
        ("paper", &modules.paper),
    ] {
        let bound = Bindgen::new()
            .input_path(wasm)
            .out_name(module)
            .typescript(false)
            .remove_name_section(true)
            .remove_producers_section(true)
            .web(true)
            .and_then(|binder| binder.generate(site));
        bound.map_err(|error| Error::Bind {
            module,
            said: format!("{error:#}"),
        })?;
    }
    Ok(())
}

/// Copies the shell and the keeper's boot file, names the build over everything in the site, and
/// lists the files for the service worker. Returns the build.
pub(super) fn shell(source: &Path, site: &Path) -> Result<String, Error> {
    let www = source.join("www");
    let mut shell = files(&www)?;
    for file in &shell {
        write(&site.join(file), &read(&www.join(file))?)?;
    }
    for boot in ["keeper/boot.js", "press/boot.js"].map(PathBuf::from) {
        write(&site.join(&boot), &read(&source.join("web").join(&boot))?)?;
        shell.push(boot);
    }
    write(
        &site.join("news.txt"),
        news(&source.join(CHANGELOG))?.as_bytes(),
    )?;
    let all = files(site)?;

    let mut sum = Sha256::new();
    for file in &all {
        sum.update(address(file));
        sum.update([0]);
        sum.update(Sha256::digest(read(&site.join(file))?));
    }
    let build: String = hex(&sum.finalize()).chars().take(16).collect();

    let (later, first): (Vec<String>, Vec<String>) = all
        .iter()
        .map(|file| address(file))
        .filter(|name| name != WORKER)
        .partition(|name| is_later(name));
    let list = |names: &[String]| {
        let quoted: Vec<String> = names.iter().map(|name| format!("\"./{name}\"")).collect();
        format!("[{}]", quoted.join(", "))
    };
    let (later, list) = (list(&later), list(&first));

    let mut has_worker = false;
    for file in shell {
        let name = address(&file);
        if ![".js", ".html", ".webmanifest"]
            .iter()
            .any(|end| name.ends_with(end))
        {
            continue;
        }
        let path = site.join(&file);
        let bytes = read(&path)?;
        let Ok(text) = String::from_utf8(bytes) else {
            continue;
        };
        let mut new = text.replace(BUILD, &build);
        if name == WORKER {
            for token in [PRECACHE, LATER] {
                if !new.contains(token) {
                    return Err(Error::Shell {
                        file: WORKER,
                        token,
                    });
                }
            }
            if new == text {
                return Err(Error::Shell {
                    file: WORKER,
                    token: BUILD,
                });
            }
            has_worker = true;
            new = new.replace(PRECACHE, &list).replace(LATER, &later);
        }
        if new != text {
            write(&path, new.as_bytes())?;
        }
    }
    if has_worker {
        Ok(build)
    } else {
        Err(Error::Shell {
            file: WORKER,
            token: PRECACHE,
        })
    }
}

/// What the newest version brings, a line each, for the person who is asked to change over.
fn news(changelog: &Path) -> Result<String, Error> {
    let text = String::from_utf8_lossy(&read(changelog)?).into_owned();
    let newest = text.split("\n## ").nth(1).unwrap_or_default();
    let lines: Vec<&str> = newest
        .lines()
        .take_while(|line| !line.starts_with("Known to be short"))
        .filter_map(|line| line.strip_prefix("- "))
        .collect();
    Ok(lines.join("\n"))
}

/// Whether a file is fetched when the first load is over: the page with every screen, both presses, letters that few names
/// have, and the large icons of an installed app.
fn is_later(name: &str) -> bool {
    const LATER: [&str; 6] = [
        "press",
        "paper",
        "page",
        "fonts/OFL",
        "fonts/atkinson-next-extended",
        "icons/icon-",
    ];
    LATER.iter().any(|start| name.starts_with(start))
}

/// Writes `.br` and `.gz` beside every file that gets smaller by it. Returns how many bytes a
/// first load of everything takes over the wire.
pub(super) fn compress(site: &Path) -> Result<u64, Error> {
    let mut all = files(site)?;
    // The largest first, dealt to two hands: the two modules take nearly all the time.
    let mut sized = Vec::new();
    for file in all.drain(..) {
        let bytes = read(&site.join(&file))?;
        sized.push((bytes, site.join(file)));
    }
    sized.sort_by(|one, other| other.0.len().cmp(&one.0.len()).then(one.1.cmp(&other.1)));
    let (mut left, mut right) = (Vec::new(), Vec::new());
    for (idx, item) in sized.into_iter().enumerate() {
        if idx % 2 == 0 {
            left.push(item);
        } else {
            right.push(item);
        }
    }
    let (one, other) = std::thread::scope(|scope| {
        let one = scope.spawn(|| compress_all(&left));
        let other = compress_all(&right);
        (one.join(), other)
    });
    let one = one.unwrap_or_else(|_| {
        Err(Error::Disk {
            doing: "compressing",
            path: site.to_path_buf(),
            source: std::io::Error::other("the thread ended early"),
        })
    })?;
    Ok(one + other?)
}

/// How many bytes of the compressed site come after the first load.
pub(super) fn n_later_bytes(site: &Path) -> Result<u64, Error> {
    let mut sum = 0;
    for file in files(site)? {
        let name = address(&file);
        let is_smallest = name.ends_with(".br") || !site.join(format!("{name}.br")).is_file();
        if is_later(&name) && is_smallest && !name.ends_with(".gz") {
            sum += read(&site.join(&file))?.len() as u64;
        }
    }
    Ok(sum)
}

fn compress_all(files: &[(Vec<u8>, PathBuf)]) -> Result<u64, Error> {
    let mut n_wire_bytes = 0;
    for (bytes, path) in files {
        n_wire_bytes += compress_one(bytes, path)?;
    }
    Ok(n_wire_bytes)
}

fn compress_one(bytes: &[u8], path: &Path) -> Result<u64, Error> {
    let n = bytes.len() as u64;
    let is_packed = path.extension().is_some_and(|end| {
        ["png", "woff2", "jpg", "webp"]
            .iter()
            .any(|packed| end == *packed)
    });
    if is_packed {
        return Ok(n);
    }
    let disk = |source| Error::Disk {
        doing: "compressing",
        path: path.to_path_buf(),
        source,
    };
    let mut brotli = Vec::new();
    let settings = brotli::enc::BrotliEncoderParams {
        quality: 11,
        lgwin: 22,
        size_hint: bytes.len(),
        ..Default::default()
    };
    brotli::BrotliCompress(&mut &*bytes, &mut brotli, &settings).map_err(disk)?;
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    gzip.write_all(bytes).map_err(disk)?;
    let gzip = gzip.finish().map_err(disk)?;
    if gzip.len() < bytes.len() {
        write(&with_more(path, ".gz"), &gzip)?;
    }
    if brotli.len() < bytes.len() {
        write(&with_more(path, ".br"), &brotli)?;
        return Ok(brotli.len() as u64);
    }
    Ok(n)
}

fn with_more(path: &Path, more: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(more);
    PathBuf::from(name)
}

/// A relative path as an address writes it.
fn address(path: &Path) -> String {
    path.iter()
        .map(|part| part.to_string_lossy())
        .collect::<Vec<_>>()
        .join("/")
}
