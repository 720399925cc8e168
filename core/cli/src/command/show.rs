//! Showing the log, or one entry with its history and its conflicts.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use garboard_record::standing::{progress, standing};
use garboard_record::tally::{sum_costs, sum_hours, tally};
use garboard_record::{
    Body, Entry, Field, Id, Index, Kind, Snapshot, Version, oddity, snapshot::count_by_kind,
};
use serde_json::{Map, Value, json};

use super::{Answer, id};
use crate::failure::Done;
use crate::store::{Opened, Store};

/// Shows the log, or one entry with its history and its conflicts.
#[derive(Debug, Args)]
pub struct Show {
    /// The log folder.
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// One entry; without it, the whole log.
    #[arg(value_name = "ID", value_parser = id)]
    pub id: Option<Id>,
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// `garboard show`
///
/// # Errors
///
/// A mistake when there is no such log or entry.
pub fn show(c: &Show) -> Done<Answer> {
    let opened = Store::at(&c.dir)?.open()?;
    let snapshot = opened.log.snapshot();
    let index = Index::of(snapshot);
    match c.id {
        Some(id) => {
            let entry = snapshot
                .entry(id)
                .ok_or(garboard_record::Error::NoSuchEntry { id })?;
            Ok(Answer::new(
                entry_text(snapshot, &index, entry),
                entry_json(snapshot, &index, entry),
                c.json,
            ))
        }
        None if c.json => Ok(Answer::new(String::new(), log_json(&opened, &index), true)),
        None => Ok(Answer::new(log_text(&opened, &index), Value::Null, false)),
    }
}

fn version_json(snapshot: &Snapshot, version: &Version) -> Value {
    json!({
        "statement": version.statement,
        "value": version.value,
        "hand": version.hand,
        "hand_name": snapshot.hand_name(version.hand),
        "device": version.device,
        "written": version.written,
        "reason": version.reason,
    })
}

fn entry_json(snapshot: &Snapshot, index: &Index, entry: &Entry) -> Value {
    let statement = &entry.statement;
    let disputes: Map<String, Value> = entry
        .disputes()
        .map(|(field, versions)| {
            (
                field.to_owned(),
                versions
                    .iter()
                    .map(|version| version_json(snapshot, version))
                    .collect(),
            )
        })
        .collect();
    let strikes: Vec<Value> = entry
        .strikes
        .iter()
        .map(|strike| json!({ "statement": strike.statement, "hand": strike.hand, "hand_name": snapshot.hand_name(strike.hand), "written": strike.written, "why": strike.why }))
        .collect();
    let history: Vec<Value> = std::iter::once(entry.id)
        .chain(entry.about.iter().copied())
        .filter_map(|id| {
            let said = snapshot.statement(id)?;
            Some(json!({ "id": id, "kind": said.kind.as_str(), "hand": said.hand, "hand_name": snapshot.hand_name(said.hand), "device": said.device,
                "written": said.written, "digest": said.digest(), "fields": said.fields() }))
        })
        .collect();
    let mut out = json!({
        "id": entry.id,
        "kind": statement.kind.as_str(),
        "title": entry.title(),
        "hand": statement.hand,
        "hand_name": snapshot.hand_name(statement.hand),
        "device": statement.device,
        "count": statement.count,
        "happened": statement.happened,
        "written": statement.written,
        "late": statement.is_late(),
        "digest": statement.digest(),
        "fields": entry.fields(),
        "struck": entry.is_struck(),
        "strikes": strikes,
        "disputes": disputes,
        "history": history,
    });
    let stands = match entry.body {
        Body::Finding(_) => Some(standing(snapshot, index, entry.id).to_string()),
        Body::Repair(_) => Some(progress(snapshot, index, entry.id).to_string()),
        _ => None,
    };
    if let (Some(stands), Some(object)) = (stands, out.as_object_mut()) {
        object.insert("stands".to_owned(), stands.into());
    }
    out
}

fn log_json(opened: &Opened, index: &Index) -> Value {
    let snapshot = opened.log.snapshot();
    let tally = tally(snapshot, index);
    let remarks: Vec<Value> = oddity::remarks(snapshot, index).iter().map(|remark| json!({ "about": remark.about, "field": remark.field, "text": remark.oddity.to_string() })).collect();
    let trouble: Vec<String> = opened
        .trouble
        .iter()
        .map(ToString::to_string)
        .chain(opened.strays.iter().cloned())
        .collect();
    let counts: Map<String, Value> = count_by_kind(snapshot)
        .into_iter()
        .map(|(kind, n)| (kind.as_str().to_owned(), n.into()))
        .collect();
    json!({
        "log": snapshot.log_id(),
        "boat": snapshot.boat_name(),
        "n_statements": snapshot.n_statements(),
        "counts": counts,
        "entries": snapshot.entries().map(|entry| entry_json(snapshot, index, entry)).collect::<Vec<_>>(),
        "hours": sum_hours(&tally.hours),
        "costs": sum_costs(&tally.costs),
        "remarks": remarks,
        "trouble": trouble,
    })
}

/// A value in words, with the help of what its field holds.
fn value_text(snapshot: &Snapshot, field: Option<&Field>, value: &Value) -> String {
    use garboard_record::Shape;
    let parsed = |value: &Value| value.as_str().and_then(|text| text.parse::<Id>().ok());
    match (field.map(|field| field.shape), value) {
        (_, Value::Null) => "(nothing)".to_owned(),
        (Some(Shape::Amount(_)), _) => {
            serde_json::from_value::<garboard_record::Quantity>(value.clone())
                .map_or_else(|_| value.to_string(), |amount| amount.to_string())
        }
        (Some(Shape::Money), _) => serde_json::from_value::<garboard_record::Money>(value.clone())
            .map_or_else(|_| value.to_string(), |money| money.to_string()),
        (Some(Shape::Entry(_)), _) => parsed(value).map_or_else(
            || value.to_string(),
            |id| format!("{} ({id})", snapshot.title(id)),
        ),
        (Some(Shape::Word(list)), Value::String(word)) => list
            .iter()
            .find(|(known, _)| known == word)
            .map_or(word.as_str(), |(_, shown)| shown)
            .to_owned(),
        (Some(Shape::Words(list)), Value::Array(words)) => words
            .iter()
            .filter_map(Value::as_str)
            .map(|word| {
                list.iter()
                    .find(|(known, _)| *known == word)
                    .map_or(word, |(_, shown)| shown)
            })
            .collect::<Vec<_>>()
            .join(", "),
        (_, Value::String(text)) => text.clone(),
        (_, Value::Bool(yes)) => if *yes { "yes" } else { "no" }.to_owned(),
        (_, other) => other.to_string(),
    }
}

fn entry_text(snapshot: &Snapshot, index: &Index, entry: &Entry) -> String {
    let statement = &entry.statement;
    let when = |when: &Option<garboard_record::When>| {
        when.as_ref()
            .map_or_else(|| "(unreadable)".to_owned(), ToString::to_string)
    };
    let mut out = format!("{} {}\n{}", statement.kind.shown(), entry.id, entry.title());
    // Writing into a string cannot fail.
    let mut line = |text: String| _ = write!(out, "\n{text}");
    if let Some(place) = index
        .place_of(snapshot, entry.id)
        .filter(|place| *place != entry.id)
    {
        line(format!("at {}", index.path_shown(snapshot, place)));
    }
    line(format!(
        "happened {}, written {} by {} on {}",
        when(&statement.happened),
        when(&statement.written),
        snapshot.hand_name(statement.hand),
        snapshot.device_name(statement.device)
    ));
    if statement.is_late() {
        line("written late".to_owned());
    }
    match entry.body {
        Body::Finding(_) => line(format!("stands: {}", standing(snapshot, index, entry.id))),
        Body::Repair(_) => line(format!("stands: {}", progress(snapshot, index, entry.id))),
        _ => {}
    }
    for strike in &entry.strikes {
        line(format!(
            "STRUCK by {} on {}: {}",
            snapshot.hand_name(strike.hand),
            when(&strike.written),
            strike.why.as_deref().unwrap_or("no reason given")
        ));
    }
    line(String::new());
    let fields = entry.fields();
    for field in statement.kind.fields() {
        if let Some(value) = fields.get(field.name) {
            line(format!(
                "  {:<18} {}",
                field.label(),
                value_text(snapshot, Some(field), value)
            ));
        }
    }
    for (name, value) in fields
        .iter()
        .filter(|(name, _)| statement.kind.field(name).is_none())
    {
        line(format!(
            "  {name:<18} {value}   (written by later software)"
        ));
    }
    for (field, versions) in entry.disputes() {
        line(format!(
            "\nTwo hands wrote {field} differently; choose with: garboard choose DIR {} {field} STATEMENT",
            entry.id
        ));
        for version in versions {
            let shown = value_text(snapshot, statement.kind.field(field), &version.value);
            line(format!(
                "  {}  {shown}   {} on {}, {}",
                version.statement,
                snapshot.hand_name(version.hand),
                snapshot.device_name(version.device),
                when(&version.written)
            ));
        }
    }
    if !entry.about.is_empty() {
        line("\nHistory:".to_owned());
        for id in &entry.about {
            if let Some(said) = snapshot.statement(*id) {
                let what = match snapshot.about_body(*id) {
                    Some(Body::Amendment(a)) => amended(
                        snapshot,
                        &statement.kind,
                        a.field.as_deref(),
                        a.value.as_ref(),
                        a.reason.as_deref(),
                    ),
                    Some(Body::Choice(c)) => amended(
                        snapshot,
                        &statement.kind,
                        c.field.as_deref(),
                        c.value.as_ref(),
                        c.reason.as_deref(),
                    ),
                    Some(Body::Strike(s)) => s.why.clone().unwrap_or_default(),
                    Some(Body::Lift(l)) => l.why.clone().unwrap_or_default(),
                    _ => String::new(),
                };
                line(format!(
                    "  {}  {} by {}: {} {what}",
                    when(&said.written),
                    said.kind.shown(),
                    snapshot.hand_name(said.hand),
                    id
                ));
            }
        }
    }
    out
}

fn amended(
    snapshot: &Snapshot,
    kind: &Kind,
    field: Option<&str>,
    value: Option<&Value>,
    reason: Option<&str>,
) -> String {
    let name = field.unwrap_or_default();
    let shown = value_text(snapshot, kind.field(name), value.unwrap_or(&Value::Null));
    match reason {
        Some(reason) => format!("{name} = {shown} ({reason})"),
        None => format!("{name} = {shown}"),
    }
}

fn log_text(opened: &Opened, index: &Index) -> String {
    let snapshot = opened.log.snapshot();
    let mut out = format!(
        "{}: {} statements",
        snapshot.boat_name(),
        snapshot.n_statements()
    );
    let mut line = |text: String| _ = write!(out, "\n{text}");
    let counts = count_by_kind(snapshot)
        .into_iter()
        .map(|(kind, n)| format!("{} {n}", kind.shown()))
        .collect::<Vec<_>>()
        .join(", ");
    line(counts);
    line("\nPlaces and what stands there".to_owned());
    let mut at_places: Vec<(String, String)> = Vec::new();
    let mut mark = |id: Id, text: String| {
        let place = index.place_of(snapshot, id).map_or_else(
            || "(no place)".to_owned(),
            |place| index.path_shown(snapshot, place),
        );
        at_places.push((place, text));
    };
    for entry in snapshot.entries() {
        let struck = if entry.is_struck() { " (struck)" } else { "" };
        match &entry.body {
            Body::Place(_) => mark(entry.id, format!("place      {}{struck}", entry.id)),
            Body::Finding(_) => mark(
                entry.id,
                format!(
                    "finding    {}  {} [{}]{struck}",
                    entry.id,
                    entry.title(),
                    standing(snapshot, index, entry.id)
                ),
            ),
            Body::Repair(_) => mark(
                entry.id,
                format!(
                    "repair     {}  {} [{}]{struck}",
                    entry.id,
                    entry.title(),
                    progress(snapshot, index, entry.id)
                ),
            ),
            Body::WayIn(_) => mark(
                entry.id,
                format!("way in     {}  {}{struck}", entry.id, entry.title()),
            ),
            _ => {}
        }
    }
    at_places.sort();
    let mut last = String::new();
    for (place, text) in at_places {
        if place != last {
            line(format!("  {place}"));
            last = place;
        }
        line(format!("    {text}"));
    }
    let tally = tally(snapshot, index);
    line(format!("\nHours: {}", sum_hours(&tally.hours)));
    for (currency, sum) in sum_costs(&tally.costs) {
        line(format!(
            "Costs: {sum} {currency} for materials used and other costs"
        ));
    }
    let mut first = true;
    for entry in snapshot.entries() {
        for (field, versions) in entry.disputes() {
            if std::mem::take(&mut first) {
                line("\nWritten differently by two hands".to_owned());
            }
            let values = versions
                .iter()
                .map(|v| {
                    format!(
                        "{} ({})",
                        value_text(snapshot, entry.statement.kind.field(field), &v.value),
                        snapshot.hand_name(v.hand)
                    )
                })
                .collect::<Vec<_>>();
            line(format!(
                "  {}  {} of {} {:?}: {}",
                entry.id,
                field,
                entry.statement.kind.shown(),
                entry.title(),
                values.join(" or ")
            ));
        }
    }
    let remarks = oddity::remarks(snapshot, index);
    if !(remarks.is_empty() && opened.trouble.is_empty() && opened.strays.is_empty()) {
        line("\nRemarks".to_owned());
    }
    for remark in remarks {
        line(format!("  {remark}"));
    }
    for trouble in &opened.trouble {
        line(format!("  {trouble}"));
    }
    for stray in &opened.strays {
        line(format!("  chunks/{stray}"));
    }
    out
}
