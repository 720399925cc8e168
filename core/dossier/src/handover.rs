//! What lies in a bag beside the dossier itself: the statements, the list of pictures, and how to check it all.

use std::collections::{BTreeMap, BTreeSet};

use garboard_record::word::Size;
use garboard_record::{Body, Digest, Id, Index, Snapshot};
use serde_json::{Value, json};

use crate::withheld::Withheld;
use crate::{Options, ledger};

/// The version of the form of what is handed over.
const FORM: u64 = 1;

/// What is handed over with a dossier.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Handover {
    /// Each statement of the log in a line of JSON: its text where nothing in it was left out, its digest in any case.
    pub statements: Vec<u8>,
    /// How many statements are there by their digests only.
    pub n_withheld: usize,
    /// Whether the log's own chunks may go along: only when nothing is left out of any statement.
    pub has_chunks: bool,
    /// The photographs and sound notes whose bytes go along.
    pub originals: Vec<Original>,
    /// The digest of every statement, left out or not, in the order of the lines.
    pub digests: Vec<Digest>,
}

/// A photograph or a sound note whose bytes go along.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Original {
    /// Its entry.
    pub entry: Id,
    /// The SHA-256 of the original, as the entry names it.
    pub digest: Digest,
    /// Where the original goes within the bag.
    pub path: String,
    /// The rendition that goes along with it, and where; sound has none.
    pub view: Option<(Digest, String)>,
    kind: &'static str,
    stage: String,
    shows: String,
    happened: String,
}

/// What became of an original.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It is in the bag.
    Here,
    /// The device that made the bag had it not, or had other bytes.
    Missing,
    /// It holds a position, which the seller has left out; the view has none.
    HoldsPosition,
    /// It holds a name, and the seller has kept names to initials; the view has none.
    HoldsName,
}

/// What became of the originals, counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fates {
    /// So many are in the bag.
    pub n_here: usize,
    /// So many the device had not, or had other bytes.
    pub n_missing: usize,
    /// So many hold a position and stayed behind.
    pub n_with_position: usize,
    /// So many hold a name and stayed behind.
    pub n_with_name: usize,
}

/// Puts all that is handed over beside the dossier itself into a bag, picture by picture.
///
/// `chunks` are the log's own; they are left where they are when they hold what was left out. `kept` hands out bytes by
/// their digest, `put` takes a file, `progress` hears how many originals are done.
///
/// # Errors
///
/// - those of `put`
pub fn fill<E>(
    snapshot: &Snapshot,
    options: &Options,
    chunks: &[(Digest, Vec<u8>)],
    kept: impl Fn(Digest) -> Option<Vec<u8>>,
    mut put: impl FnMut(&str, &[u8]) -> Result<(), E>,
    mut progress: impl FnMut(usize, usize),
) -> Result<(Handover, Fates), E> {
    let withheld = Withheld::of(snapshot, options);
    let handed = handed(snapshot, options, &withheld);
    let read_me = read_me(snapshot, options, handed.n_withheld);
    put("read-me.txt", read_me.as_bytes())?;
    for one in ledger::ledgers(snapshot, options) {
        put(&format!("ledgers/{}", one.name), &one.bytes)?;
    }
    put("log/statements.jsonl", &handed.statements)?;
    put("log/statements.schema.json", &ledger::pretty(&schema()))?;
    if handed.has_chunks {
        for (name, bytes) in chunks {
            put(&format!("log/chunks/{name}"), bytes)?;
        }
    }
    let mut fates = Fates::default();
    let mut listed: Vec<(&Original, Fate, bool)> = Vec::new();
    let mut views = BTreeSet::new();
    for (number, one) in (1_usize..).zip(&handed.originals) {
        progress(number, handed.originals.len());
        let fate = match kept(one.digest) {
            None => Fate::Missing,
            Some(bytes) if !options.positions && garboard_photo::may_hold_position(&bytes) => {
                Fate::HoldsPosition
            }
            Some(bytes)
                if withheld
                    .names()
                    .is_some_and(|names| names.are_in_file(&bytes)) =>
            {
                Fate::HoldsName
            }
            Some(bytes) => {
                put(&one.path, &bytes)?;
                Fate::Here
            }
        };
        match fate {
            Fate::Here => fates.n_here += 1,
            Fate::Missing => fates.n_missing += 1,
            Fate::HoldsPosition => fates.n_with_position += 1,
            Fate::HoldsName => fates.n_with_name += 1,
        }
        let mut has_view = false;
        if let Some((digest, path)) = &one.view
            && let Some(bytes) = kept(*digest)
        {
            has_view = true;
            if views.insert(path) {
                put(path, &bytes)?;
            }
        }
        listed.push((one, fate, has_view));
    }
    put("photographs.csv", &list(listed))?;
    Ok((handed, fates))
}

/// What a person is told of a bag that was made, a sentence each.
#[must_use]
pub fn remarks(handed: &Handover, fates: &Fates) -> Vec<String> {
    let mut out = vec![format!(
        "Originals of photographs and sounds in it: {}.",
        fates.n_here
    )];
    if fates.n_with_position > 0 {
        out.push(format!(
            "{} originals hold a position and stay behind; their views, which hold none, are there.",
            fates.n_with_position
        ));
    }
    if fates.n_with_name > 0 {
        out.push(format!(
            "{} originals may hold a name and stay behind; their views, which hold none, are there.",
            fates.n_with_name
        ));
    }
    if fates.n_missing > 0 {
        out.push(format!(
            "{} originals are not on this device or were altered; photographs.csv in it says which.",
            fates.n_missing
        ));
    }
    if handed.n_withheld > 0 {
        out.push(format!(
            "{} statements are there by their digests only, as you left out what they say; so the log's own chunks are not in it.",
            handed.n_withheld
        ));
    }
    out
}

/// What a bag holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// The history with all that belongs to it.
    History,
    /// The ledgers alone.
    Ledgers,
}

/// The name of a bag's folder: the boat, what it holds and the day.
#[must_use]
pub fn folder_name(snapshot: &Snapshot, holds: Holds, day: &str) -> String {
    let name: String = snapshot
        .boat_name()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let name = name.trim_matches('-').to_lowercase();
    let name = if name.is_empty() { "boat" } else { &name };
    match holds {
        Holds::History => format!("{name}-history-{day}"),
        Holds::Ledgers => format!("{name}-ledgers-{day}"),
    }
}

/// The digest of every statement of the log, for a seal.
#[must_use]
pub fn digests(snapshot: &Snapshot) -> Vec<Digest> {
    let texts = snapshot.texts();
    texts.map(|(_, text)| Digest::of(text.as_bytes())).collect()
}

/// Says what is handed over.
#[must_use]
pub fn handover(snapshot: &Snapshot, options: &Options) -> Handover {
    handed(snapshot, options, &Withheld::of(snapshot, options))
}

fn handed(snapshot: &Snapshot, options: &Options, withheld: &Withheld<'_>) -> Handover {
    let mut statements = Vec::new();
    let mut n_withheld = 0;
    let mut digests = Vec::new();
    let mut one = |id: Id, text: &str, is_withheld: bool| {
        digests.push(Digest::of(text.as_bytes()));
        n_withheld += usize::from(is_withheld);
        statements.extend(line(id, text, is_withheld).into_bytes());
        statements.push(b'\n');
    };
    let leaves_out = !(options.costs
        && options.hours
        && options.positions
        && options.struck
        && options.names
        && options.left_places.is_empty());
    let mut own = BTreeSet::new();
    for (id, statement) in snapshot.statements() {
        own.insert((id, statement.text.to_string()));
        let is_withheld = withheld.statement(snapshot, id, statement);
        one(id, &statement.text, is_withheld);
    }
    // What cannot be read, or came in two texts, may say anything.
    for (id, text) in snapshot.texts() {
        if !own.contains(&(id, text.to_string())) {
            one(id, &text, leaves_out);
        }
    }
    let index = Index::of(snapshot);
    let mut originals: Vec<Original> = Vec::new();
    for entry in snapshot.entries() {
        let (digest, media_type, kind, stage, shows) = match &entry.body {
            Body::Photograph(one) => (
                one.digest,
                &one.media_type,
                "photograph",
                one.stage.as_ref().map(|stage| stage.shown().to_owned()),
                one.shows.clone(),
            ),
            Body::SoundNote(one) => (
                one.digest,
                &one.media_type,
                "sound note",
                None,
                one.words.clone(),
            ),
            _ => continue,
        };
        let Some(digest) = digest else { continue };
        if withheld.entry(entry)
            || snapshot.is_withdrawn(digest)
            || originals.iter().any(|other| other.digest == digest)
        {
            continue;
        }
        let folder = if kind == "photograph" {
            "photographs"
        } else {
            "sounds"
        };
        let view = [Size::View, Size::Thumbnail]
            .iter()
            .find_map(|size| index.rendition(snapshot, entry.id, size)?.digest)
            .map(|view| (view, format!("{folder}/views/{digest}.jpg")));
        originals.push(Original {
            entry: entry.id,
            digest,
            path: format!(
                "{folder}/originals/{digest}{}",
                ending(media_type.as_deref())
            ),
            view,
            kind,
            stage: stage.unwrap_or_default(),
            shows: withheld.told(&shows.unwrap_or_default()),
            happened: entry
                .statement
                .happened
                .as_ref()
                .map_or_else(String::new, ToString::to_string),
        });
    }
    Handover {
        statements,
        n_withheld,
        has_chunks: n_withheld == 0,
        originals,
        digests,
    }
}

/// A statement's line. What stands under `statement` is its text to the last byte, so that its digest can be taken.
fn line(id: Id, text: &str, is_withheld: bool) -> String {
    let digest = Digest::of(text.as_bytes());
    if is_withheld {
        return json!({ "id": id, "left_out": true, "sha256": digest }).to_string();
    }
    if garboard_record::canonical::is_canonical(text) {
        return format!("{{\"id\":\"{id}\",\"sha256\":\"{digest}\",\"statement\":{text}}}");
    }
    json!({ "id": id, "sha256": digest, "text": text }).to_string()
}

/// What the statements of a bag say of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// The boat's name, as the log began with it.
    pub boat: String,
    /// How many statements agree with their digests.
    pub n_intact: usize,
    /// How many are there by their digests only.
    pub n_left_out: usize,
    /// What is altered, a sentence each.
    pub faults: Vec<String>,
    /// The digest of every statement as its line names it, in the order of the lines.
    pub digests: Vec<Digest>,
    /// What each picture shows, by the digest of its original.
    shows: BTreeMap<String, String>,
    /// The names of devices.
    devices: BTreeMap<String, String>,
    /// The keys that devices named, with the devices.
    keys: BTreeSet<(String, String)>,
}

#[derive(serde::Deserialize)]
struct Line<'a> {
    id: String,
    sha256: String,
    #[serde(borrow)]
    statement: Option<&'a serde_json::value::RawValue>,
    text: Option<String>,
}

/// Reads `log/statements.jsonl` of a bag, every statement against its digest.
#[must_use]
pub fn read(lines: &str) -> Said {
    let mut out = Said::default();
    for (number, text) in (1_usize..).zip(lines.lines()) {
        let Ok(line) = serde_json::from_str::<Line<'_>>(text) else {
            out.faults.push(format!(
                "line {number} of log/statements.jsonl cannot be read"
            ));
            continue;
        };
        if let Ok(digest) = line.sha256.parse() {
            out.digests.push(digest);
        }
        let statement = line.statement.map(|statement| statement.get().to_owned());
        let Some(text) = statement.or(line.text) else {
            out.n_left_out += 1;
            continue;
        };
        if Digest::of(text.as_bytes()).to_string() != line.sha256 {
            out.faults
                .push(format!("the statement {} was altered", line.id));
            continue;
        }
        out.n_intact += 1;
        let said: Value = serde_json::from_str(&text).unwrap_or_default();
        let word = |at: &str| said.pointer(at).and_then(Value::as_str);
        if let (Some("boat"), Some(name)) = (word("/kind"), word("/fields/name")) {
            name.clone_into(&mut out.boat);
        }
        if let (Some("device"), Some(name)) = (word("/kind"), word("/fields/name")) {
            out.devices.insert(line.id.clone(), name.to_owned());
        }
        // A device names its own key, in an amendment of its own entry.
        if let (Some("amendment"), Some(device), Some(key)) =
            (word("/kind"), word("/device"), word("/fields/value"))
            && word("/fields/field") == Some("key")
            && word("/fields/entry") == Some(device)
        {
            out.keys.insert((device.to_owned(), key.to_owned()));
        }
        if let (Some(digest), Some(shows)) = (word("/fields/digest"), word("/fields/shows")) {
            out.shows.insert(digest.to_owned(), shows.to_owned());
        }
    }
    out
}

impl Said {
    /// Puts faults found in files before those of the statements, and says of each picture what it shows.
    #[must_use]
    pub fn faults(&self, of_files: Vec<String>) -> Vec<String> {
        let mut out = of_files;
        for fault in &mut out {
            // A picture's name is its digest.
            let shows = self
                .shows
                .iter()
                .find(|(digest, _)| fault.contains(*digest));
            if let Some((_, shows)) = shows {
                fault.push_str(&format!(" (it shows: {shows})"));
            }
        }
        out.extend(self.faults.clone());
        out
    }

    /// What is no fault and must be known, a sentence each.
    #[must_use]
    pub fn remarks(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.n_left_out > 0 {
            out.push(format!(
                "{} statements are there by their digests only: the seller left out what they say",
                self.n_left_out
            ));
        }
        out
    }

    /// The name of the device, where it said itself that this is its key (64 hexadecimal digits).
    #[must_use]
    pub fn device_with(&self, device: Id, key: &str) -> Option<String> {
        let device = device.to_string();
        let is_named = self.keys.contains(&(device.clone(), key.to_owned()));
        let name = self.devices.get(&device).filter(|_| is_named)?;
        Some(format!("the device “{name}”"))
    }
}

/// The JSON Schema (draft 2020-12) of a line.
#[must_use]
pub fn schema() -> Value {
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A statement of a boat's log, form 1",
        "description": "Each line is one object. The SHA-256 is of the text of the statement in UTF-8: of what stands under statement, byte for byte, or of the string under text where a statement is no canonical JSON (RFC 8785). Of what was left out there is the digest only.",
        "type": "object",
        "required": ["id", "sha256"],
        "properties": {
            "id": { "type": "string", "format": "uuid" },
            "sha256": { "type": "string", "pattern": "^[0-9a-f]{64}$" },
            "statement": { "type": "object" },
            "text": { "type": "string" },
            "left_out": { "const": true }
        },
        "oneOf": [
            { "required": ["statement"] },
            { "required": ["text"] },
            { "required": ["left_out"] }
        ],
        "additionalProperties": false
    })
}

fn ending(media_type: Option<&str>) -> &'static str {
    match media_type.unwrap_or_default() {
        "image/jpeg" => ".jpg",
        "image/png" => ".png",
        "image/webp" => ".webp",
        "image/heic" | "image/heif" => ".heic",
        "image/avif" => ".avif",
        "image/gif" => ".gif",
        "image/tiff" => ".tif",
        "audio/webm" => ".webm",
        "audio/mp4" => ".m4a",
        "audio/ogg" => ".ogg",
        "audio/mpeg" => ".mp3",
        "audio/wav" | "audio/x-wav" => ".wav",
        _ => "",
    }
}

/// The list of pictures and sounds as CSV (RFC 4180), with what became of each original and of its view.
#[must_use]
pub fn list<'a>(originals: impl IntoIterator<Item = (&'a Original, Fate, bool)>) -> Vec<u8> {
    let mut rows = vec![
        [
            "entry", "sha256", "kind", "stage", "shows", "happened", "original", "view",
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    for (one, fate, has_view) in originals {
        let view = one.view.as_ref().filter(|_| has_view);
        rows.push(vec![
            one.entry.to_string(),
            one.digest.to_string(),
            one.kind.to_owned(),
            one.stage.clone(),
            one.shows.clone(),
            one.happened.clone(),
            match fate {
                Fate::Here => one.path.clone(),
                Fate::Missing => "not on the device that made this bag".to_owned(),
                Fate::HoldsPosition => "left out: it holds a position".to_owned(),
                Fate::HoldsName => "left out: it may hold a name".to_owned(),
            },
            view.map(|(_, path)| path.clone()).unwrap_or_default(),
        ]);
    }
    ledger::lines(rows)
}

/// What `bag-info.txt` says (RFC 8493, section 2.2.2), in order.
#[must_use]
pub fn info(
    snapshot: &Snapshot,
    options: &Options,
    holds: Holds,
    day: &str,
    agent: &str,
) -> Vec<(&'static str, String)> {
    let boat = snapshot.boat_name();
    let description = match holds {
        Holds::History => format!(
            "Documented history of the boat {boat}, written by its seller; it is no survey."
        ),
        Holds::Ledgers => {
            format!("Hours, costs and materials of the boat {boat}, written down by its seller.")
        }
    };
    let mut out = vec![
        ("External-Description", description),
        ("Bagging-Date", day.to_owned()),
        ("Bag-Software-Agent", agent.to_owned()),
    ];
    if let Some(log) = snapshot.log_id() {
        out.push(("Internal-Sender-Identifier", log.to_string()));
    }
    let number = snapshot.entries().find_map(|entry| match &entry.body {
        Body::Boat(boat) => boat.hull_number.clone(),
        _ => None,
    });
    if let Some(number) = number {
        out.push(("External-Identifier", number));
    }
    out.push(("Garboard-Form", FORM.to_string()));
    out.push(("Left-Out", left_out(options)));
    out
}

fn left_out(options: &Options) -> String {
    let parts: Vec<&str> = [
        (options.hours, "hours"),
        (options.costs, "costs"),
        (options.positions, "positions of photographs"),
        (options.struck, "struck entries"),
        (options.names, "names"),
        (options.left_places.is_empty(), "some places"),
    ]
    .into_iter()
    .filter_map(|(is_in, what)| (!is_in).then_some(what))
    .collect();
    if parts.is_empty() {
        "nothing".to_owned()
    } else {
        parts.join(", ")
    }
}

/// How to read and to check a bag, in words.
#[must_use]
pub fn read_me(snapshot: &Snapshot, options: &Options, n_withheld: usize) -> String {
    let boat = snapshot.boat_name();
    let withheld = if n_withheld == 0 {
        String::new()
    } else {
        format!(
            "\nLeft out by the seller: {}. Of the {n_withheld} statements concerned there is the digest only,\n\
             and the log's own chunks are not here, since they hold all statements.\n",
            left_out(options)
        )
    };
    format!(
        "The documented history of the boat {boat}\n\n\
         It was written by the seller. It is no survey: have the boat surveyed by somebody who is independent.\n\n\
         history.html                the history, for any browser\n\
         history.pdf                 the same, on paper; in volumes history-1.pdf and so on, where it is long\n\
         ledgers/                    hours, costs and materials as CSV and JSON, with their description\n\
         photographs/, sounds/       originals, each named by its SHA-256, and views of them\n\
         photographs.csv             the list of them: what each shows, and what is not here and why\n\
         log/statements.jsonl        every statement of the log, a line each, with its SHA-256\n\
         log/statements.schema.json  the form of such a line (JSON Schema)\n\
         log/chunks/                 the log's own files, where nothing was left out\n\
         {withheld}\n\
         To check that nothing was altered since the bag was made, use any BagIt tool (RFC 8493), or, in the folder\n\
         above this one:\n\n    sha256sum -c manifest-sha256.txt\n\n\
         or garboard check with the bag as it came. What this shows: that the files are those that were bagged. What it\n\
         does not show: who made the bag, and whether what was written is true.\n\n{}",
        signing(options.key.as_deref())
    )
}

fn signing(key: Option<&str>) -> String {
    match key {
        Some(key) => format!(
            "signatures.json, beside the manifests, is signed with the key {key}\n\
             (Ed25519, RFC 8032, over the canonical JSON, RFC 8785, of everything in it but value). It covers\n\
             manifest-sha256.txt, and so every file, and all statements together. Have the seller tell you the signs of\n\
             the key himself: anybody can make one.\n"
        ),
        None => "Nothing in it is signed.\n".to_owned(),
    }
}

#[cfg(test)]
mod tests;
