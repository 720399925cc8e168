//! The commands and their arguments.

pub mod check;
pub mod demo;
pub mod dossier;
pub mod merge;
pub mod parcel;
pub mod photo;
pub mod reckon;
pub mod say;
pub mod show;
pub mod site;
pub mod sound;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use garboard_record::Id;
use serde_json::Value;

use crate::failure::Done;
use crate::session::Writer;

/// A field log for people who open up an old boat.
///
/// A log is a folder: it can be copied, kept in any synced folder, and merged with other copies of itself.
/// Without a command: builds the site if need be, makes the demonstration boat, serves both on this machine, and prints the address.
#[derive(Debug, Parser)]
#[command(name = "garboard", version, max_term_width = 100)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Begins a log folder for one boat.
    New(say::New),
    /// Says one thing: adds a statement to the log and prints its id.
    Add(say::Add),
    /// Replaces fields of an entry; what they replace stays in its history.
    Amend(say::Amend),
    /// Strikes an entry; it stays legible, struck through.
    Strike(say::Strike),
    /// Takes the strikes of an entry back.
    Lift(say::Lift),
    /// Chooses between the values that two hands gave a field.
    Choose(say::Choose),
    /// Takes photographs in, untouched, and makes their views and thumbnails.
    Photo(photo::Photo),
    /// Takes a sound note in, untouched: words said aloud.
    Sound(sound::Sound),
    /// Withdraws the bytes of a photograph or sound note; its statement and digest stay.
    Withdraw(say::Withdraw),
    /// Shows the log, or one entry with its history and its conflicts.
    Show(show::Show),
    /// Writes a parcel for another device.
    Parcel(parcel::Parcel),
    /// Merges parcels, or other copies of the same log; a folder that is not there yet begins as a copy.
    Merge(merge::Merge),
    /// Reckons what a repair takes, with source and caution, and keeps it in a log where asked.
    Reckon(reckon::Reckon),
    /// Makes the before-and-after history for a buyer.
    Dossier(dossier::Dossier),
    /// Checks what is intact and what is altered; exit code 1 when anything is.
    Check(check::Check),
    /// Makes the demonstration boat: an invented scenario with drawn pictures.
    Demo(demo::Demo),
    /// Builds the site unless it is there and fits its sources.
    Site(site::Site),
    /// Builds the site if need be and serves it on this machine.
    Serve(site::Serve),
}

/// What something is about.
#[derive(Debug, Clone, Copy, Args)]
pub struct About {
    /// The place.
    #[arg(long, value_name = "ID", value_parser = id)]
    pub place: Option<Id>,
    /// The finding.
    #[arg(long, value_name = "ID", value_parser = id)]
    pub finding: Option<Id>,
    /// The repair.
    #[arg(long, value_name = "ID", value_parser = id)]
    pub repair: Option<Id>,
}

/// Who writes.
#[derive(Debug, Clone, Default, Args)]
pub struct By {
    /// Whose hand writes; without it, the hand that wrote here last from this machine, else the user's name.
    #[arg(long, value_name = "NAME")]
    pub hand: Option<String>,
    /// What this device is called, when it writes here for the first time.
    #[arg(long, value_name = "NAME")]
    pub device: Option<String>,
}

impl By {
    /// Who writes.
    #[must_use]
    pub fn writer(&self) -> Writer {
        Writer {
            hand: self.hand.clone(),
            device: self.device.clone(),
        }
    }
}

/// An id on the command line.
///
/// # Errors
///
/// When it is none.
pub fn id(text: &str) -> Result<Id, String> {
    text.parse()
        .map_err(|cause: garboard_record::Error| cause.to_string())
}

/// The sizes of pictures that go along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sizes {
    /// Long side 320 px.
    Thumbnails,
    /// Thumbnails and views of 2048 px.
    Views,
    /// Everything, the untouched originals too.
    Originals,
}

/// What a command answers: words for people, and the same for scripts.
#[derive(Debug, Default)]
pub struct Answer {
    /// For people; without a line break at the end.
    pub text: String,
    /// For scripts.
    pub json: Value,
    /// Whether the answer is printed as JSON.
    pub as_json: bool,
    /// Whether the command was done but found something wrong, so that the exit code is 1.
    pub found_wrong: bool,
}

impl Answer {
    /// An answer in both forms.
    #[must_use]
    pub fn new(text: impl Into<String>, json: Value, as_json: bool) -> Self {
        Self {
            text: text.into(),
            json,
            as_json,
            found_wrong: false,
        }
    }
}

/// Whether scripts asked: needed where even a failure is to be printed as JSON.
#[must_use]
pub fn wants_json(command: &Command) -> bool {
    match command {
        Command::New(c) => c.json,
        Command::Add(_) | Command::Amend(_) => false,
        Command::Strike(c) => c.json,
        Command::Lift(c) => c.json,
        Command::Choose(c) => c.json,
        Command::Photo(c) => c.json,
        Command::Sound(c) => c.json,
        Command::Withdraw(c) => c.json,
        Command::Show(c) => c.json,
        Command::Parcel(c) => c.json,
        Command::Merge(c) => c.json,
        Command::Reckon(c) => c.json,
        Command::Dossier(c) => c.json,
        Command::Check(c) => c.json,
        Command::Demo(c) => c.json,
        Command::Site(c) => c.json,
        Command::Serve(c) => c.json,
    }
}

/// Does what was asked. Progress of long work goes to `progress`, a line each.
///
/// # Errors
///
/// Whose fault it was, what was found, and how to mend it.
pub fn run(command: &Command, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    match command {
        Command::New(c) => say::new(c),
        Command::Add(c) => say::add(c),
        Command::Amend(c) => say::amend(c),
        Command::Strike(c) => say::strike(c),
        Command::Lift(c) => say::lift(c),
        Command::Choose(c) => say::choose(c),
        Command::Photo(c) => photo::photo(c, progress),
        Command::Sound(c) => sound::sound(c),
        Command::Withdraw(c) => say::withdraw(c),
        Command::Show(c) => show::show(c),
        Command::Parcel(c) => parcel::parcel(c, progress),
        Command::Merge(c) => merge::merge(c, progress),
        Command::Reckon(c) => reckon::reckon(c),
        Command::Dossier(c) => dossier::dossier(c, progress),
        Command::Check(c) => check::check(c, progress),
        Command::Demo(c) => demo::demo(c, progress),
        Command::Site(c) => site::site(c, progress),
        Command::Serve(c) => site::serve(c, progress),
    }
}

/// The folder and path arguments that many commands share.
#[derive(Debug, Clone, Args)]
pub struct Dir {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
}
