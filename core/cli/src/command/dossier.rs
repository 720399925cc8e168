//! Making the before-and-after history for a buyer.

mod bag;
mod set;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use garboard_dossier::handover::digests;
use garboard_dossier::{Exchange, Options, Outline, in_one_frame, outline, preview};
use garboard_key::Signer;
use garboard_record::unit::System;
use garboard_record::{Digest, Id, Index, Snapshot};
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure};
use crate::machine;
use crate::session::Session;
use crate::store::Store;

/// Makes the before-and-after history for a buyer.
#[derive(Debug, Args)]
pub struct Dossier {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The file to write; for a folder and for ledgers, the folder.
    #[arg(short, long, value_name = "FILE", required_unless_present = "preview")]
    pub output: Option<PathBuf>,
    /// Says what it would say, part by part, and writes nothing.
    #[arg(long)]
    pub preview: bool,
    /// Its form.
    #[arg(long, value_enum, default_value = "html")]
    pub form: Form,
    /// The paper that a dossier on paper is set for.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: Sheet,
    /// The short form on paper: at most twelve pages; what it does not tell is said and counted.
    #[arg(long)]
    pub short: bool,
    /// Splits a long dossier on paper into volumes of at most a thousand pictures or four thousand lines, as a phone does:
    /// history-1.pdf, history-2.pdf and so on.
    #[arg(long)]
    pub volumes: bool,
    /// Leaves the costs out; the dossier says so.
    #[arg(long)]
    pub no_costs: bool,
    /// Leaves the hours out; the dossier says so.
    #[arg(long)]
    pub no_hours: bool,
    /// Prints where on the earth photographs were taken, which is left out otherwise.
    #[arg(long)]
    pub positions: bool,
    /// Leaves the text of struck entries out; they are counted in any case, and the dossier says so.
    #[arg(long)]
    pub no_struck: bool,
    /// Prints initials where names stand; the dossier says so.
    #[arg(long)]
    pub initials: bool,
    /// Leaves a place out, with all that lies within it and belongs to it; its name, its path as it is printed, or its id. It
    /// can be given again. The dossier counts what is left out.
    #[arg(long, value_name = "PLACE")]
    pub without_place: Vec<String>,
    /// The units in which amounts are shown, with what was written beside them; without it, as they were written. Costs,
    /// purchases and ledgers stay as written, and the dossier says so.
    #[arg(long, value_enum)]
    pub units: Option<Units>,
    /// A currency, like EUR, in which sums of money are said once more, at the rates of --rate; what was paid stays as written.
    #[arg(long, value_name = "CODE", default_value = "")]
    pub currency: String,
    /// What one of another currency is worth in that of --currency, like "USD 0.92". It can be given again.
    #[arg(long, value_name = "RATE")]
    pub rate: Vec<String>,
    /// The size of the pictures in the history; in a bag, originals and views lie beside it all the same.
    #[arg(long, value_enum, default_value = "views")]
    pub pictures: Size,
    /// Seals the page with this machine's key, so that it can be checked without its bag; a bag is signed in any case.
    #[arg(long)]
    pub seal: bool,
    /// Writes over a file that is there already; without it, nothing is ever overwritten.
    #[arg(long)]
    pub replace: bool,
    /// The day on which it is made, as it is to be printed, so that the same log gives the same bytes; without it, today.
    #[arg(long, value_name = "DAY")]
    pub made: Option<String>,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

impl Dossier {
    /// Where it goes; a preview goes nowhere.
    fn file(&self) -> &Path {
        self.output.as_deref().unwrap_or(Path::new(""))
    }
}

/// The forms of a dossier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// One self-contained file that any browser shows and prints.
    Html,
    /// The same with the pictures beside it, in a new folder: for a log whose pictures make one file too large for a browser.
    Folder,
    /// On paper: an archival and accessible file (PDF/A-2a, PDF/UA-1).
    Pdf,
    /// The history with its pictures, ledgers and statements in one ZIP that any BagIt tool checks (RFC 8493).
    Bag,
    /// The ledgers alone, in a new folder: hours, costs and materials as CSV and JSON.
    Ledgers,
}

/// The papers that a dossier can be set for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sheet {
    /// 210 by 297 millimetres.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

/// The units in which a dossier can show amounts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Metric.
    Metric,
    /// US customary.
    Us,
}

/// The sizes in which a dossier can show pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Size {
    /// As they are looked at, at most 2048 pixels along the longer side.
    Views,
    /// At most 320 pixels along the longer side: a light file to send by mail. The dossier says so.
    Small,
}

/// Pictures as they lie in the log, and how many were found and how many were not.
struct Pictures<'a> {
    store: &'a Store,
    /// Pairs in one frame, made for this dossier.
    laid: BTreeMap<Digest, Vec<u8>>,
    n_found: usize,
    n_missing: usize,
}

impl Pictures<'_> {
    /// A picture that was altered on the disk is not printed as if it were whole.
    fn kept(&self, digest: Digest) -> Option<Vec<u8>> {
        let bytes = self.store.photo(digest).ok();
        bytes.filter(|bytes| Digest::of(bytes) == digest)
    }

    /// A picture that was taken before, once more.
    fn again(&self, digest: Digest) -> Option<Vec<u8>> {
        let laid = self.laid.get(&digest).cloned();
        laid.or_else(|| self.kept(digest))
    }

    fn take(&mut self, digest: Digest) -> Option<Vec<u8>> {
        let found = self.again(digest);
        if found.is_some() {
            self.n_found += 1;
        } else {
            self.n_missing += 1;
        }
        found
    }
}

/// The place that somebody means by its id, its path as printed, or its name.
fn place(snapshot: &Snapshot, said: &str) -> Done<Id> {
    let index = Index::of(snapshot);
    let places: Vec<(Id, String)> = index
        .tree()
        .into_iter()
        .map(|(id, _)| (id, index.path_shown(snapshot, id)))
        .collect();
    let same = |one: &str| one.to_lowercase() == said.trim().to_lowercase();
    let meant = |is: &dyn Fn(&(Id, String)) -> bool| {
        let found: Vec<Id> = places
            .iter()
            .filter(|one| is(one))
            .map(|(id, _)| *id)
            .collect();
        found
    };
    let by_path = meant(&|(id, path)| same(&id.to_string()) || same(path));
    let by_name = meant(&|(id, _)| same(&snapshot.title(*id)));
    match (by_path.as_slice(), by_name.as_slice()) {
        ([one, ..], _) | ([], [one]) => Ok(*one),
        ([], several) => {
            let known: Vec<&str> = places.iter().map(|(_, path)| path.as_str()).collect();
            Err(Failure::mistake(
                if several.is_empty() {
                    format!("there is no place {said:?} in this log")
                } else {
                    format!("{} places are called {said:?}", several.len())
                },
                if known.is_empty() {
                    "this log has no places; leave --without-place away".to_owned()
                } else {
                    format!("name one of these: {}", known.join("; "))
                },
            ))
        }
    }
}

/// What it would say.
fn seen(said: &Outline, store: &Store, c: &Dossier) -> Answer {
    let seen = preview(said, |digest| store.photo_size(digest).is_some());
    let mut lines = seen.says.clone();
    let counted = |n: usize, what: &str| (n > 0).then(|| format!("{what}: {n}"));
    for (label, text) in &seen.choices {
        lines.push(format!("{label}: {text}"));
    }
    lines.push(String::new());
    for part in &seen.parts {
        let counts: Vec<String> = [
            counted(part.n_pictures, "pictures"),
            counted(part.n_lines, "lines in tables"),
        ]
        .into_iter()
        .flatten()
        .collect();
        lines.push(if counts.is_empty() {
            part.heading.clone()
        } else {
            format!("{} ({})", part.heading, counts.join(", "))
        });
        lines.extend(part.stories.iter().map(|story| format!("    {story}")));
    }
    lines.push(String::new());
    lines.push(format!("Pictures in all: {}.", seen.n_pictures));
    if seen.n_missing > 0 {
        lines.push(format!(
            "Not on this device, and named by their digests only: {}.",
            seen.n_missing
        ));
    }
    lines.push("Nothing was written.".to_owned());
    let parts: Vec<_> = seen
        .parts
        .iter()
        .map(|part| json!({ "heading": part.heading, "stories": part.stories, "pictures": part.n_pictures, "lines": part.n_lines }))
        .collect();
    let choices: Vec<_> = seen
        .choices
        .iter()
        .map(|(label, text)| json!({ "label": label, "text": text }))
        .collect();
    Answer::new(
        lines.join("\n"),
        json!({ "says": seen.says, "choices": choices, "parts": parts, "pictures": seen.n_pictures, "pictures_missing": seen.n_missing }),
        c.json,
    )
}

/// The device that signs a bag: this machine's, where it has written in the log. A log that cannot be written in is
/// handed over without a signature, and why is said.
fn signer(c: &Dossier, store: &Store) -> Done<Result<Option<Signer>, Failure>> {
    let Some(log) = store.open()?.log.snapshot().log_id() else {
        return Ok(Ok(None));
    };
    Ok(Session::signer(&c.dir, log))
}

/// `garboard dossier`
///
/// # Errors
///
/// A mistake in folder or file; the environment's when it cannot be written.
pub fn dossier(c: &Dossier, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let store = Store::at(&c.dir)?;
    // An empty file holds nothing that could be lost.
    let holds_something =
        std::fs::metadata(c.file()).is_ok_and(|found| found.is_file() && found.len() > 0);
    if holds_something && !c.replace {
        return Err(Failure::mistake(
            format!("this exists already: {}", c.file().display()),
            "choose another name, or say --replace",
        ));
    }
    if c.short && c.form != Form::Pdf {
        return Err(Failure::mistake(
            "only a dossier on paper has a short form",
            "say --form pdf with --short, or leave --short away",
        ));
    }
    if c.seal && c.form != Form::Html {
        return Err(Failure::mistake(
            "only a page in one file is sealed; a bag is signed in any case",
            "leave --seal away, or choose another --form",
        ));
    }
    if c.volumes && (c.short || !matches!(c.form, Form::Pdf | Form::Bag)) {
        return Err(Failure::mistake(
            "only the long form on paper has volumes",
            "say --form pdf or --form bag with --volumes, or leave --volumes away",
        ));
    }
    if c.form == Form::Ledgers && c.units.is_some() {
        return Err(Failure::mistake(
            "ledgers keep amounts as they were written, so that they add up",
            "leave --units away, or choose another --form",
        ));
    }
    if c.form == Form::Ledgers && c.pictures == Size::Small {
        return Err(Failure::mistake(
            "ledgers have no pictures",
            "leave --pictures away, or choose another --form",
        ));
    }
    let exchange = Exchange::read(&c.currency, &c.rate.join("; ")).map_err(|error| {
        Failure::mistake(
            error.to_string(),
            "say --currency EUR --rate \"USD 0.92\", with a --rate for each other currency",
        )
    })?;
    if c.form == Form::Ledgers && (exchange.is_some() || c.preview) {
        return Err(Failure::mistake(
            "ledgers keep sums as they were written, and have no preview",
            "leave --currency and --preview away, or choose another --form",
        ));
    }
    let signer = if (c.form == Form::Bag || c.seal) && !c.preview {
        signer(c, &store)?
    } else {
        Ok(None)
    };
    let opened = store.open()?;
    let made = match &c.made {
        Some(day) => day.parse::<garboard_record::When>()?.to_string(),
        None => garboard_record::When::from_unix_millis_at(
            machine::now_millis(),
            machine::offset_minutes(),
        )
        .day()
        .unwrap_or_default()
        .to_owned(),
    };
    let options = Options {
        hours: !c.no_hours,
        costs: !c.no_costs,
        positions: c.positions,
        struck: !c.no_struck,
        names: !c.initials,
        left_places: c
            .without_place
            .iter()
            .map(|said| place(opened.log.snapshot(), said))
            .collect::<Done<_>>()?,
        units: c.units.map(|units| match units {
            Units::Metric => System::Metric,
            Units::Us => System::UsCustomary,
        }),
        small_pictures: c.pictures == Size::Small,
        exchange,
        made: Some(made.clone()),
        key: signer
            .as_ref()
            .ok()
            .and_then(Option::as_ref)
            .map(|signer| signer.secret.key().spoken()),
        is_sealed: c.seal,
    };
    if c.form == Form::Ledgers {
        return set::ledgers_into(opened.log.snapshot(), &options, c);
    }
    progress("working out what is said");
    let mut said = outline(opened.log.snapshot(), &options);
    if let Some(Err(error)) = options.exchange.as_ref().map(|one| one.check(&said)) {
        return Err(Failure::mistake(
            error.to_string(),
            "say it with --rate, like --rate \"USD 0.92\"",
        ));
    }
    if c.preview {
        return Ok(seen(&said, &store, c));
    }
    let mut pictures = Pictures {
        store: &store,
        laid: BTreeMap::new(),
        n_found: 0,
        n_missing: 0,
    };
    progress("laying pairs into one frame");
    pictures.laid = in_one_frame(&mut said, |digest| pictures.kept(digest));
    if c.form == Form::Bag {
        return bag::into_bag(
            opened.log.snapshot(),
            &said,
            &options,
            &mut pictures,
            &signer,
            c,
            progress,
        );
    }
    let seal = match &signer {
        Ok(signer) => signer.as_ref(),
        Err(failure) => {
            return Err(Failure::mistake(
                format!("it cannot be sealed: {}", failure.message),
                "leave --seal away, or make the page where the log is written",
            ));
        }
    };
    if c.seal && seal.is_none() {
        return Err(Failure::mistake(
            "it cannot be sealed: this machine has not written in the log",
            "leave --seal away, or make the page where the log is written",
        ));
    }
    let seal = seal.map(|signer| set::Seal {
        signer,
        statements: digests(opened.log.snapshot()),
    });
    set::into_place(&said, &made, &mut pictures, seal.as_ref(), c)
}
