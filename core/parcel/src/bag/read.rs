//! Checking a bag: every file against every manifest, every manifest against what is there.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Read, Seek};

use zip::result::ZipError;

use garboard_record::Digest;

use super::{Digests, SIGNATURES};
use crate::Error;

/// The most bytes of a manifest or another tag file that is read whole.
const MAX_TAG_BYTES: u64 = 64 << 20;
/// Texts shrink to a tenth or so, pictures not at all: what unpacks to more than so many times its size was made to.
const MOST_TIMES: u64 = 200;
/// The digests that are known here; others are not enough by themselves.
const KNOWN: [&str; 2] = ["sha256", "sha512"];

/// What was found in a bag.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Checked {
    /// The name of its folder.
    pub name: String,
    /// How many files of its payload are as the manifests say.
    pub n_intact: usize,
    /// What is wrong, a sentence each; nothing when it is whole.
    pub faults: Vec<String>,
    /// What is odd and no fault, a sentence each.
    pub remarks: Vec<String>,
    /// The labels and values of `bag-info.txt`.
    pub info: Vec<(String, String)>,
    /// The sheet of signatures as it lies there; blank when nobody signed.
    pub signatures: String,
    /// The files of its payload that are as the manifests say, each with its SHA-256.
    pub payload: Vec<(String, String)>,
    /// The digest of the manifest that such a sheet is about, where it is there.
    pub manifest: Option<Digest>,
}

/// Whether a ZIP is a bag by its look.
pub fn is_bag<R: Read + Seek>(from: R) -> bool {
    zip::ZipArchive::new(from).is_ok_and(|zip| folder_of(&zip).is_some())
}

/// The folder in which `bagit.txt` lies, with the stroke behind it; empty when it lies at the top.
fn folder_of<R: Read + Seek>(zip: &zip::ZipArchive<R>) -> Option<String> {
    zip.file_names()
        .flatten()
        .filter_map(|name| Some(name.strip_suffix("bagit.txt")?.to_owned()))
        .filter(|folder| folder.is_empty() || folder.find('/') == Some(folder.len() - 1))
        .min_by_key(String::len)
}

/// Checks a bag in a ZIP. `progress` hears how many bytes are done.
///
/// # Errors
///
/// - [`Error::NotZip`] when the file is no ZIP or was cut short
/// - [`Error::NotParcel`] when there is no `bagit.txt` in it
/// - [`Error::Compressed`] when somebody packed it anew, in a way that is not read here
/// - [`Error::TooLarge`] when a file in it would unpack to far more than files do
pub fn check<R: Read + Seek>(from: R, mut progress: impl FnMut(u64)) -> Result<Checked, Error> {
    let mut zip = zip::ZipArchive::new(from).map_err(not_zip)?;
    let folder = folder_of(&zip).ok_or(Error::NotParcel {
        missing: "bagit.txt",
    })?;
    let mut is_anew = false;
    for at in 0..zip.len() {
        is_anew |= unpacks(&mut zip, at)?;
    }
    let mut checked = Checked {
        name: folder.trim_end_matches('/').to_owned(),
        ..Checked::default()
    };
    if is_anew {
        checked.remarks.push(
            "somebody packed it anew and compressed it; what lies in it is checked all the same"
                .to_owned(),
        );
    }
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let names = zip.file_names().flatten();
    for name in names.filter(|name| !name.ends_with('/')) {
        match name.strip_prefix(&folder) {
            Some(path) => {
                seen.insert(path.to_owned());
            }
            None => checked
                .remarks
                .push(format!("{name} lies beside the bag and is not checked")),
        }
    }
    checked.info = info(&text(&mut zip, &folder, "bag-info.txt"));
    declaration(&text(&mut zip, &folder, "bagit.txt"), &mut checked);
    checked.signatures = text(&mut zip, &folder, SIGNATURES);
    checked.manifest = digests(&mut zip, &format!("{folder}manifest-sha256.txt"))
        .ok()
        .and_then(|(_, [sha256, _])| sha256.parse().ok());
    let manifests = lists(&mut zip, &folder, &seen, "manifest-", &mut checked);
    let tag_manifests = lists(&mut zip, &folder, &seen, "tagmanifest-", &mut checked);
    if !KNOWN.iter().any(|known| manifests.contains_key(*known)) {
        checked.faults.push(
            "it has no manifest with SHA-256 or SHA-512, so what lies in it cannot be checked"
                .to_owned(),
        );
    }
    let (mut n_payload_bytes, mut n_payload) = (0, 0);
    let mut n_done = 0;
    for path in &seen {
        let is_payload = path.starts_with("data/");
        let named_in = if is_payload {
            &manifests
        } else {
            &tag_manifests
        };
        let named: Vec<(&str, Option<&String>)> = named_in
            .iter()
            .map(|(algorithm, list)| (algorithm.as_str(), list.get(path)))
            .collect();
        if !is_payload && named.iter().all(|(_, sum)| sum.is_none()) {
            continue;
        }
        let found = digests(&mut zip, &format!("{folder}{path}"));
        let (n_bytes, sums) = match found {
            Ok(found) => found,
            Err(cause) => {
                checked
                    .faults
                    .push(format!("{path} cannot be read ({cause})"));
                continue;
            }
        };
        n_done += n_bytes;
        progress(n_done);
        let manifest = |algorithm: &str| {
            let kind = if is_payload { "" } else { "tag" };
            format!("{kind}manifest-{algorithm}.txt")
        };
        let (mut lacking, mut unlike) = (Vec::new(), Vec::new());
        for (algorithm, sum) in named {
            let own = KNOWN
                .iter()
                .position(|known| *known == algorithm)
                .and_then(|at| sums.get(at));
            match (sum, own) {
                (None, _) if is_payload => lacking.push(manifest(algorithm)),
                (Some(sum), Some(own)) if !own.eq_ignore_ascii_case(sum) => {
                    unlike.push(manifest(algorithm));
                }
                _ => {}
            }
        }
        let is_intact = lacking.is_empty() && unlike.is_empty();
        if !lacking.is_empty() {
            let lists = lacking.join(" and ");
            checked
                .faults
                .push(format!("{path} was added: it is not in {lists}"));
        }
        if !unlike.is_empty() {
            let lists = unlike.join(" and ");
            checked
                .faults
                .push(format!("{path} was altered: it does not fit {lists}"));
        }
        if is_payload {
            n_payload += 1;
            n_payload_bytes += n_bytes;
            if is_intact {
                checked.n_intact += 1;
                let [sha256, _] = sums;
                checked.payload.push((path.clone(), sha256));
            }
        }
    }
    missing(&seen, &manifests, &tag_manifests, &mut checked);
    oxum(n_payload_bytes, n_payload, &mut checked);
    checked.faults.sort();
    checked.faults.dedup();
    Ok(checked)
}

/// Whether a file is compressed; refuses what cannot be unpacked here, and what was made to fill a memory or a day.
fn unpacks<R: Read + Seek>(zip: &mut zip::ZipArchive<R>, at: usize) -> Result<bool, Error> {
    let part = zip.by_index_raw(at).map_err(not_zip)?;
    match part.compression() {
        zip::CompressionMethod::Stored => Ok(false),
        zip::CompressionMethod::Deflated => {
            let is_bloated = part.size() / MOST_TIMES > part.compressed_size();
            if part.size() > MAX_TAG_BYTES && is_bloated {
                return Err(Error::TooLarge {
                    name: part.name().unwrap_or_default().to_string(),
                    bytes: part.size(),
                });
            }
            Ok(true)
        }
        _ => Err(Error::Compressed),
    }
}

/// One file of a bag's payload, like `log/statements.jsonl`; `None` when it is not there, is no UTF-8 or cannot be read.
pub fn words<R: Read + Seek>(from: R, path: &str) -> Option<String> {
    let mut zip = zip::ZipArchive::new(from).ok()?;
    let folder = folder_of(&zip)?;
    let mut out = String::new();
    let part = zip.by_name(&format!("{folder}data/{path}")).ok()?;
    part.take(MAX_TAG_BYTES).read_to_string(&mut out).ok()?;
    Some(out)
}

fn not_zip(source: ZipError) -> Error {
    Error::NotZip {
        source: Box::new(source),
    }
}

/// A tag file's text, without a byte order mark; what is no UTF-8 is replaced and will not agree with anything.
fn text<R: Read + Seek>(zip: &mut zip::ZipArchive<R>, folder: &str, path: &str) -> String {
    let mut bytes = Vec::new();
    if let Ok(part) = zip.by_name(&format!("{folder}{path}")) {
        // What cannot be read to its end is reported when its digest is taken.
        let _n = part.take(MAX_TAG_BYTES).read_to_end(&mut bytes);
    }
    String::from_utf8_lossy(&bytes)
        .trim_start_matches('\u{feff}')
        .to_owned()
}

fn declaration(text: &str, checked: &mut Checked) {
    let mut lines = text.lines().map(str::trim_end);
    let version = lines
        .next()
        .and_then(|line| line.strip_prefix("BagIt-Version: "));
    let encoding = lines
        .next()
        .and_then(|line| line.strip_prefix("Tag-File-Character-Encoding: "));
    match version {
        Some("1.0" | "0.97") => {}
        Some(other) => checked.remarks.push(format!(
            "it is of BagIt version {other}; it is read like 1.0"
        )),
        None => checked
            .faults
            .push("bagit.txt does not say a version of BagIt".to_owned()),
    }
    match encoding {
        Some(name) if name.eq_ignore_ascii_case("UTF-8") => {}
        Some(other) => checked.faults.push(format!(
            "its tag files are written in {other}; only UTF-8 can be read here"
        )),
        None => checked
            .faults
            .push("bagit.txt does not say how tag files are written".to_owned()),
    }
}

/// Labels and values; a line that begins with a blank goes on with the one before.
fn info(text: &str) -> Vec<(String, String)> {
    let mut out: Vec<(String, String)> = Vec::new();
    for line in text.lines() {
        if line.starts_with([' ', '\t']) {
            if let Some((_, value)) = out.last_mut() {
                value.push(' ');
                value.push_str(line.trim());
            }
        } else if let Some((label, value)) = line.split_once(':') {
            out.push((label.trim().to_owned(), value.trim().to_owned()));
        }
    }
    out
}

type Lists = BTreeMap<String, BTreeMap<String, String>>;

/// The manifests by their algorithms: digests by path.
fn lists<R: Read + Seek>(
    zip: &mut zip::ZipArchive<R>,
    folder: &str,
    seen: &BTreeSet<String>,
    start: &str,
    checked: &mut Checked,
) -> Lists {
    let mut lists = Lists::new();
    for name in seen {
        let Some(algorithm) = name
            .strip_prefix(start)
            .and_then(|rest| rest.strip_suffix(".txt"))
        else {
            continue;
        };
        if !KNOWN.contains(&algorithm) {
            checked.remarks.push(format!(
                "{name} is not checked: only SHA-256 and SHA-512 are known here"
            ));
            continue;
        }
        let mut list = BTreeMap::new();
        for line in text(zip, folder, name).lines().map(str::trim_end) {
            if line.is_empty() {
                continue;
            }
            let parts = line.split_once([' ', '\t']);
            let Some((sum, path)) = parts else {
                checked
                    .faults
                    .push(format!("{name} has a line that is none: {line}"));
                continue;
            };
            let path = unescaped(path.trim_start_matches([' ', '\t', '*']));
            let path = path.strip_prefix("./").unwrap_or(&path).to_owned();
            let is_ours = if start == "manifest-" {
                path.starts_with("data/")
            } else {
                !path.starts_with("data/") && !path.starts_with("tagmanifest-")
            };
            if !is_ours || path.split('/').any(|part| part == "..") {
                checked
                    .faults
                    .push(format!("{name} names what it must not: {path}"));
                continue;
            }
            if list.insert(path.clone(), sum.to_owned()).is_some() {
                checked.faults.push(format!("{name} names {path} twice"));
            }
        }
        lists.insert(algorithm.to_owned(), list);
    }
    lists
}

/// A path as it is, from how a manifest writes it.
fn unescaped(path: &str) -> String {
    path.replace("%0A", "\n")
        .replace("%0a", "\n")
        .replace("%0D", "\r")
        .replace("%0d", "\r")
        .replace("%25", "%")
}

fn digests<R: Read + Seek>(
    zip: &mut zip::ZipArchive<R>,
    name: &str,
) -> std::io::Result<(u64, [String; 2])> {
    let part = zip.by_name(name).map_err(std::io::Error::other)?;
    // No more than it says of itself, so that a false size cannot go on for ever; the digest then fits nothing.
    let most = part.size();
    Digests::of(part.take(most), |_| Ok(()))
}

/// What manifests name and is not there.
fn missing(
    seen: &BTreeSet<String>,
    manifests: &Lists,
    tag_manifests: &Lists,
    checked: &mut Checked,
) {
    let is_to_be_fetched = seen.contains("fetch.txt");
    for path in manifests
        .values()
        .chain(tag_manifests.values())
        .flat_map(BTreeMap::keys)
    {
        if !seen.contains(path) {
            checked.faults.push(format!("{path} is missing"));
        }
    }
    if is_to_be_fetched {
        checked.remarks.push(
            "it names files that lie elsewhere (fetch.txt); nothing is fetched here".to_owned(),
        );
    }
}

/// Reads `bag-info.txt`'s sum of sizes, where there is one, and compares.
fn oxum(n_bytes: u64, n_files: u64, checked: &mut Checked) {
    let said = checked
        .info
        .iter()
        .find(|(label, _)| label.eq_ignore_ascii_case("Payload-Oxum"));
    if let Some((_, said)) = said
        && *said != format!("{n_bytes}.{n_files}")
    {
        let fault = format!(
            "bag-info.txt says {said} (bytes and files of the payload), and {n_bytes}.{n_files} is here"
        );
        checked.faults.push(fault);
    }
}
