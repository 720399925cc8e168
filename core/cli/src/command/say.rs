//! Saying things: new, add, amend, strike, lift, choose, withdraw.

use std::io::Read as _;
use std::path::PathBuf;

use clap::Args;
use garboard_record::{Draft, Entry, Id, Kind, Snapshot, When};
use serde_json::{Map, Value, json};

use super::{Answer, By, id};
use crate::failure::{Done, Failure};
use crate::session::Session;

/// Begins a log folder for one boat.
#[derive(Debug, Args)]
pub struct New {
    /// The folder; it must be empty or not there yet.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// What the boat is called.
    #[arg(long, value_name = "NAME")]
    pub boat: String,
    /// The currency in which the log counts, like EUR.
    #[arg(long, value_name = "CODE")]
    pub currency: Option<String>,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Says one thing: adds a statement to the log and prints its id.
#[derive(Debug, Args)]
pub struct Add {
    /// The log folder.
    #[arg(value_name = "DIR", required_unless_present = "describe")]
    pub dir: Option<PathBuf>,
    /// What is said: finding, reading, place, repair, step, material, stint and so on.
    #[arg(value_name = "KIND", required_unless_present = "describe")]
    pub kind: Option<String>,
    /// A file with the fields as one JSON object, or - for standard input.
    #[arg(long, value_name = "FILE|-", required_unless_present = "describe")]
    pub json: Option<String>,
    /// When it happened, like 2026-05-09 or 2026-05-09T14:22:00+02:00; without it, now.
    #[arg(long, value_name = "TIME")]
    pub happened: Option<String>,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Prints the JSON Schema of a kind's fields and does nothing else; `all` lists the kinds.
    #[arg(long, value_name = "KIND", conflicts_with_all = ["dir", "kind", "json"])]
    pub describe: Option<String>,
}

/// Replaces fields of an entry; what they replace stays in its history.
#[derive(Debug, Args)]
pub struct Amend {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The entry.
    #[arg(value_name = "ID", value_parser = id)]
    pub id: Id,
    /// A file with the fields and their new values as one JSON object, or - for standard input; null takes a field away.
    #[arg(long, value_name = "FILE|-")]
    pub json: String,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
}

/// Strikes an entry; it stays legible, struck through.
#[derive(Debug, Args)]
pub struct Strike {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The entry.
    #[arg(value_name = "ID", value_parser = id)]
    pub id: Id,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub why: String,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Takes the strikes of an entry back.
#[derive(Debug, Args)]
pub struct Lift {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The entry.
    #[arg(value_name = "ID", value_parser = id)]
    pub id: Id,
    /// Why.
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub why: String,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Chooses between the values that two hands gave a field.
#[derive(Debug, Args)]
pub struct Choose {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The entry.
    #[arg(value_name = "ID", value_parser = id)]
    pub id: Id,
    /// The field.
    #[arg(value_name = "FIELD")]
    pub field: String,
    /// The statement whose value is chosen, as `garboard show DIR ID` prints it.
    #[arg(value_name = "STATEMENT", value_parser = id)]
    pub statement: Id,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Withdraws the bytes of a photograph or sound note; its statement and digest stay.
#[derive(Debug, Args)]
pub struct Withdraw {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// The photograph, sound note or paper.
    #[arg(value_name = "ID", value_parser = id)]
    pub id: Id,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub why: String,
    /// Who writes.
    #[command(flatten)]
    pub by: By,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Reads a file, or standard input for `-`.
pub(super) fn read_input(from: &str) -> Done<String> {
    /// No fields are larger; a photograph is no JSON.
    const MOST_BYTES: u64 = 16 << 20;
    let mut bytes = Vec::new();
    let read = if from == "-" {
        std::io::stdin()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
    } else {
        std::fs::File::open(from).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
    };
    read.map_err(|cause| Failure::file("cannot read", std::path::Path::new(from), &cause))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Failure::mistake(
            format!("{from} has more than 16 MB"),
            "give the fields of one statement; pictures come in with `garboard photo`",
        ));
    }
    String::from_utf8(bytes).map_err(|_other| {
        Failure::mistake(
            format!("{from} is not written in UTF-8"),
            "save it as UTF-8",
        )
    })
}

/// `garboard new`
///
/// # Errors
///
/// A mistake in name or folder; the environment's when it cannot be written.
pub fn new(c: &New) -> Done<Answer> {
    let mut fields = Map::new();
    fields.insert("name".to_owned(), c.boat.trim().into());
    if let Some(currency) = &c.currency {
        fields.insert("currency".to_owned(), currency.as_str().into());
    }
    let session = Session::begin(&c.dir, &Draft::of(Kind::Boat, fields)?, &c.by.writer())?;
    let log = session.snapshot().log_id();
    let text = format!(
        "Begun: the log of {} in {}\nYou write as {}. Next: garboard add {} place --json - <<< '{{\"name\":\"Side deck, port\"}}'",
        c.boat.trim(),
        c.dir.display(),
        session.snapshot().hand_name(session.hand()),
        c.dir.display()
    );
    Ok(Answer::new(
        text,
        json!({ "log": log, "boat": c.boat.trim(), "hand": session.hand() }),
        c.json,
    ))
}

/// `garboard add`
///
/// # Errors
///
/// A mistake in kind or fields; the environment's when it cannot be written.
pub fn add(c: &Add) -> Done<Answer> {
    if let Some(kind) = &c.describe {
        return describe(kind);
    }
    let (Some(dir), Some(kind), Some(from)) = (&c.dir, &c.kind, &c.json) else {
        return Err(Failure::mistake(
            "a folder, a kind and --json are needed",
            "see `garboard add --help`",
        ));
    };
    let kind: Kind = kind.parse()?;
    if !kind.is_entry() {
        let instead = match kind {
            Kind::Strike => "garboard strike",
            Kind::Lift => "garboard lift",
            Kind::Choice => "garboard choose",
            Kind::Withdrawal => "garboard withdraw",
            _ => "garboard amend",
        };
        return Err(Failure::mistake(
            format!("a {kind} is said about an entry"),
            format!("use `{instead}`"),
        ));
    }
    let draft = Draft::parse(kind, &read_input(from)?)?.at(happened(c.happened.as_deref())?);
    let mut session = Session::open(dir, &c.by.writer())?;
    if matches!(draft.kind, Kind::Boat) {
        return Err(Failure::mistake(
            "this log has its boat",
            "amend the boat's particulars with `garboard amend`, or begin another log with `garboard new`",
        ));
    }
    let id = session.say(&draft)?;
    Ok(Answer::new(id.to_string(), json!({ "id": id }), false))
}

fn happened(text: Option<&str>) -> Done<Option<When>> {
    Ok(text.map(str::parse::<When>).transpose()?)
}

fn describe(kind: &str) -> Done<Answer> {
    if kind == "all" {
        let entries: Vec<&Kind> = Kind::ALL.iter().filter(|kind| kind.is_entry()).collect();
        let text = entries
            .iter()
            .map(|kind| format!("{:<14} {}", kind.as_str(), kind.help().trim()))
            .collect::<Vec<_>>()
            .join("\n");
        return Ok(Answer::new(text, Value::Null, false));
    }
    let schema = kind.parse::<Kind>()?.schema();
    let text =
        serde_json::to_string_pretty(&schema).map_err(|cause| Failure::ours(cause.to_string()))?;
    Ok(Answer::new(text, schema, false))
}

fn entry(snapshot: &Snapshot, id: Id) -> Done<&Entry> {
    snapshot
        .entry(id)
        .ok_or_else(|| match snapshot.statement(id) {
            Some(statement) => Failure::mistake(
                format!("{id} is a {}, no entry", statement.kind),
                "give the id of the entry that it is about",
            ),
            None => garboard_record::Error::NoSuchEntry { id }.into(),
        })
}

/// `garboard amend`
///
/// # Errors
///
/// A mistake in the entry or the fields; the environment's when it cannot be written.
pub fn amend(c: &Amend) -> Done<Answer> {
    let fields: Map<String, Value> =
        serde_json::from_str(&read_input(&c.json)?).map_err(|cause| {
            Failure::mistake(
                format!("the fields are one JSON object: {cause}"),
                "for example {\"extent\": {\"value\": \"0.42\", \"unit\": \"m2\"}}",
            )
        })?;
    if fields.is_empty() {
        return Err(Failure::mistake(
            "there is no field to amend",
            "give at least one field with its new value",
        ));
    }
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    let target = entry(session.snapshot(), c.id)?;
    let mut drafts = Vec::new();
    for (field, value) in fields {
        drafts.push(Draft::amendment(target, &field, value, c.why.as_deref())?);
    }
    let ids = session.say_all(&drafts)?;
    let text = ids
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n");
    Ok(Answer::new(text, json!({ "ids": ids }), false))
}

/// `garboard strike`
///
/// # Errors
///
/// A mistake in the entry; the environment's when it cannot be written.
pub fn strike(c: &Strike) -> Done<Answer> {
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    let target = entry(session.snapshot(), c.id)?;
    if target.is_struck() {
        return Err(Failure::mistake(
            format!("{} is struck already", c.id),
            "`garboard lift` takes a strike back",
        ));
    }
    if Some(c.id) == session.snapshot().log_id() {
        return Err(Failure::mistake(
            "the boat that began the log cannot be struck",
            "amend its fields instead",
        ));
    }
    let id = session.say(&Draft::strike(target, &c.why)?)?;
    Ok(Answer::new(
        id.to_string(),
        json!({ "id": id, "entry": c.id }),
        c.json,
    ))
}

/// `garboard lift`
///
/// # Errors
///
/// A mistake in the entry; the environment's when it cannot be written.
pub fn lift(c: &Lift) -> Done<Answer> {
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    let draft = Draft::lift(entry(session.snapshot(), c.id)?, &c.why)?;
    let id = session.say(&draft)?;
    Ok(Answer::new(
        id.to_string(),
        json!({ "id": id, "entry": c.id }),
        c.json,
    ))
}

/// `garboard choose`
///
/// # Errors
///
/// A mistake in entry, field or statement; the environment's when it cannot be written.
pub fn choose(c: &Choose) -> Done<Answer> {
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    let target = entry(session.snapshot(), c.id)?;
    if !target.is_disputed(&c.field) {
        let disputed: Vec<&str> = target.disputes().map(|(field, _)| field).collect();
        let hint = if disputed.is_empty() {
            "nothing of this entry is disputed; `garboard amend` changes a field".to_owned()
        } else {
            format!("disputed are: {}", disputed.join(", "))
        };
        return Err(Failure::mistake(
            format!("the field {:?} is not disputed", c.field),
            hint,
        ));
    }
    let draft = Draft::choice(target, &c.field, c.statement, c.why.as_deref())?;
    let id = session.say(&draft)?;
    Ok(Answer::new(
        id.to_string(),
        json!({ "id": id, "entry": c.id, "field": c.field }),
        c.json,
    ))
}

/// `garboard withdraw`
///
/// # Errors
///
/// A mistake in the entry; the environment's when it cannot be written.
pub fn withdraw(c: &Withdraw) -> Done<Answer> {
    let mut session = Session::open(&c.dir, &c.by.writer())?;
    let target = entry(session.snapshot(), c.id)?;
    let digest = target.fields().get("digest").cloned();
    let Some(digest) = digest.filter(|_| {
        matches!(
            target.statement.kind,
            Kind::Photograph | Kind::SoundNote | Kind::Paper
        )
    }) else {
        return Err(Failure::mistake(
            format!("{} has no bytes to withdraw", c.id),
            "only photographs, sound notes and papers have; other entries are struck",
        ));
    };
    let mut fields = Map::new();
    fields.insert("digest".to_owned(), digest);
    fields.insert("entry".to_owned(), json!(c.id));
    fields.insert("why".to_owned(), c.why.as_str().into());
    let id = session.say(&Draft::of(Kind::Withdrawal, fields)?)?;
    let n_deleted = session.opened.store.delete_withdrawn(&session.opened.log)?;
    Ok(Answer::new(
        id.to_string(),
        json!({ "id": id, "entry": c.id, "files_deleted": n_deleted }),
        c.json,
    ))
}
