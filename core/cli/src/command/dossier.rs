//! Making the before-and-after history for a buyer.

use std::io::Write as _;
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use garboard_dossier::{Options, html, outline};
use garboard_record::Digest;
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure};
use crate::machine;
use crate::store::{Store, write_file};

/// Makes the before-and-after history for a buyer.
#[derive(Debug, Args)]
pub struct Dossier {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The file to write.
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
    /// Its form.
    #[arg(long, value_enum, default_value = "html")]
    pub form: Form,
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
}

/// `garboard dossier`
///
/// # Errors
///
/// A mistake in folder or file; the environment's when it cannot be written.
pub fn dossier(c: &Dossier, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let store = Store::at(&c.dir)?;
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
        made: Some(made),
    };
    progress("working out what is said");
    let said = outline(opened.log.snapshot(), &options);
    let (mut n_pictures, mut n_missing) = (0_usize, 0_usize);
    let page = html(&said, |digest| {
        // A picture that was altered on the disk is not printed as if it were whole.
        let found = store
            .photo(digest)
            .ok()
            .filter(|bytes| Digest::of(bytes) == digest);
        if found.is_some() {
            n_pictures += 1;
        } else {
            n_missing += 1;
        }
        found
    });
    let Form::Html = c.form;
    let bytes = write_file(&c.output, |mut file| {
        file.write_all(page.as_bytes())
            .map_err(|cause| Failure::file("cannot write", &c.output, &cause))?;
        Ok(file)
    })?;
    let mut text = format!(
        "Written: {} ({} KB, {n_pictures} pictures). It opens in any browser and prints from there.",
        c.output.display(),
        bytes / 1000
    );
    if n_missing > 0 {
        text.push_str(&format!("\n{n_missing} pictures are not on this device or were altered; they are named in it by their digests."));
    }
    text.push_str("\nIt is written by the seller and is no survey, and says both.");
    let digest = Digest::of(page.as_bytes());
    Ok(Answer::new(
        text,
        json!({ "file": c.output, "bytes": bytes, "pictures": n_pictures, "pictures_missing": n_missing, "digest": digest }),
        c.json,
    ))
}
