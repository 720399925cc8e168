//! Making the before-and-after history for a buyer.

mod bag;

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use garboard_dossier::{
    Options, Outline, Paper, html, in_one_frame, ledgers, outline, pdf, short_pdf,
};
use garboard_key::Signer;
use garboard_record::unit::System;
use garboard_record::{Digest, Id, Index, Snapshot};
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure};
use crate::machine;
use crate::session::Session;
use crate::store::{Store, write_file, write_folder};

/// Makes the before-and-after history for a buyer.
#[derive(Debug, Args)]
pub struct Dossier {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The file to write; for ledgers, the folder.
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// Its form.
    #[arg(long, value_enum, default_value = "html")]
    pub form: Form,
    /// The paper that a dossier on paper is set for.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: Sheet,
    /// The short form on paper: at most twelve pages; what it does not tell is said and counted.
    #[arg(long)]
    pub short: bool,
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
    /// The size of the pictures in the history; in a bag, originals and views lie beside it all the same.
    #[arg(long, value_enum, default_value = "views")]
    pub pictures: Size,
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

/// The forms of a dossier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// One self-contained file that any browser shows and prints.
    Html,
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

    fn take(&mut self, digest: Digest) -> Option<Vec<u8>> {
        let laid = self.laid.get(&digest).cloned();
        let found = laid.or_else(|| self.kept(digest));
        if found.is_some() {
            self.n_found += 1;
        } else {
            self.n_missing += 1;
        }
        found
    }
}

/// Writes the ledgers into a folder that is not there yet.
fn into_folder(snapshot: &Snapshot, options: &Options, c: &Dossier) -> Done<Answer> {
    let made = ledgers(snapshot, options);
    write_folder(
        &c.output,
        made.iter().map(|file| (file.name, file.bytes.as_slice())),
    )?;
    let names: Vec<&str> = made.iter().map(|file| file.name).collect();
    Ok(Answer::new(
        format!("Written: {} ({}).", c.output.display(), names.join(", ")),
        json!({ "folder": c.output, "files": names }),
        c.json,
    ))
}

/// Sets what is said on paper, and says what could not be printed as it was written.
fn on_paper(
    said: &Outline,
    c: &Dossier,
    made: &str,
    pictures: &mut Pictures<'_>,
) -> Done<(Vec<u8>, String)> {
    let paper = match c.paper {
        Sheet::A4 => Paper::A4,
        Sheet::Letter => Paper::Letter,
    };
    let picture = |digest| pictures.take(digest);
    let file = if c.short {
        short_pdf(said, paper, made, picture)
    } else {
        pdf(said, paper, made, picture)
    };
    let file = file.map_err(|error| match error {
        pdf::Error::Day { .. } => Failure::mistake(
            error.to_string(),
            "say a whole day with --made, like --made 2026-11-25",
        ),
        pdf::Error::Long { .. } => Failure::mistake(
            error.to_string(),
            "leave places out with --without-place, or make the long form",
        ),
        pdf::Error::Refused { .. } => Failure::ours(error.to_string()),
    })?;
    let mut told = format!("It has {} pages.", file.n_pages);
    for (at, sign) in &file.unprintable {
        told.push_str(&format!(
            "\nNo face has the sign {sign} (U+{:04X}); it is printed by its number, in: {at}",
            u32::from(*sign)
        ));
    }
    Ok((file.bytes, told))
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
        std::fs::metadata(&c.output).is_ok_and(|found| found.is_file() && found.len() > 0);
    if holds_something && !c.replace {
        return Err(Failure::mistake(
            format!("this exists already: {}", c.output.display()),
            "choose another name, or say --replace",
        ));
    }
    if c.short && c.form != Form::Pdf {
        return Err(Failure::mistake(
            "only a dossier on paper has a short form",
            "say --form pdf with --short, or leave --short away",
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
    let signer = if c.form == Form::Bag {
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
        made: Some(made.clone()),
        key: signer
            .as_ref()
            .ok()
            .and_then(Option::as_ref)
            .map(|signer| signer.secret.key().spoken()),
    };
    if c.form == Form::Ledgers {
        return into_folder(opened.log.snapshot(), &options, c);
    }
    progress("working out what is said");
    let mut said = outline(opened.log.snapshot(), &options);
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
    let (page, told) = if c.form == Form::Pdf {
        on_paper(&said, c, &made, &mut pictures)?
    } else {
        (
            html(&said, |digest| pictures.take(digest)).into_bytes(),
            "It opens in any browser and prints from there.".to_owned(),
        )
    };
    let Pictures {
        n_found: n_pictures,
        n_missing,
        ..
    } = pictures;
    let bytes = write_file(&c.output, |mut file| {
        file.write_all(&page)
            .map_err(|cause| Failure::file("cannot write", &c.output, &cause))?;
        Ok(file)
    })?;
    let mut text = format!(
        "Written: {} ({} KB, {n_pictures} pictures). {told}",
        c.output.display(),
        bytes / 1000
    );
    if n_missing > 0 {
        text.push_str(&format!("\n{n_missing} pictures are not on this device or were altered; they are named in it by their digests."));
    }
    text.push_str("\nIt is written by the seller and is no survey, and says both.");
    let digest = Digest::of(&page);
    Ok(Answer::new(
        text,
        json!({ "file": c.output, "bytes": bytes, "pictures": n_pictures, "pictures_missing": n_missing, "digest": digest }),
        c.json,
    ))
}
