//! One entry whole: what it says, what was said about it, and what hangs on it.

use std::collections::BTreeSet;

use garboard_protocol::{
    Dispute, DisputeValue, EntryView, HistoryLine, Link, PictureView, SoundView, Standing,
    StrikeView, Value,
};
use garboard_record::kind::picture::Photograph;
use garboard_record::word::{Role, Size};
use garboard_record::{Body, Entry, Id, Index, Kind, Oddity, Remark, Snapshot, standing};

use super::row::{alt, figure, row, thumb};
use super::rows::has_row;
use crate::shown;
use crate::sight::{Sight, capital, named, stroke};

const MOST_CHILDREN: usize = 300;

/// Makes an entry's page; `remarks` are those of the whole log.
#[must_use]
pub fn entry(sight: Sight<'_>, entry: &Entry, remarks: &[Remark]) -> EntryView {
    let base = row(sight, entry);
    let statement = &entry.statement;
    EntryView {
        id: base.id,
        kind: base.kind,
        kind_word: base.kind_word,
        title: title(sight, entry, base.headline),
        happened: base.happened,
        written: base.written,
        is_late: base.is_late,
        hand: base.hand,
        device: sight.snapshot.device_name(statement.device).to_owned(),
        place: base.place,
        figure: figure(sight, entry),
        standing: stands(sight, entry),
        values: values(sight, entry),
        pictures: pictures(sight, entry),
        sound: sound(sight, entry),
        links: links(sight, entry),
        history: history(sight, entry),
        disputes: disputes(sight, entry),
        strikes: strikes(sight, entry),
        is_struck: entry.is_struck(),
        sees: entry.about.iter().map(ToString::to_string).collect(),
        children: children(sight, entry),
        lacks: match &entry.body {
            Body::Repair(_) if !entry.is_struck() => super::order::lacks(sight, entry.id),
            _ => Vec::new(),
        },
        cautions: cautions(entry),
        remarks: remarks
            .iter()
            .filter(|remark| remark.about == Some(entry.id))
            .map(|remark| remark_shown(sight, remark))
            .collect(),
        digest: statement.digest().to_string(),
        also_on: base.also_on,
    }
}

fn title(sight: Sight<'_>, entry: &Entry, headline: String) -> String {
    match &entry.body {
        Body::Reading(_) | Body::Reckoning(_) => capital(&entry.title()),
        Body::Photograph(photograph) if photograph.shows.is_none() => alt(sight, entry, photograph),
        Body::Note(_) => entry.title(),
        _ => headline,
    }
}

/// The fields that have a value: those of the kind in their order, then those of later software.
fn values(sight: Sight<'_>, entry: &Entry) -> Vec<Value> {
    let kind = &entry.statement.kind;
    let fields = entry.fields();
    let known = kind.fields().iter().map(|field| field.name);
    let names: Vec<&str> = known
        .clone()
        .filter(|name| fields.contains_key(*name))
        .chain(
            fields
                .keys()
                .map(String::as_str)
                .filter(|name| kind.field(name).is_none()),
        )
        .collect();
    names
        .into_iter()
        .filter_map(|name| {
            let value = fields.get(name)?;
            Some(Value {
                field: name.to_owned(),
                label: shown::label(kind, name),
                shown: shown::value(sight, kind, name, value),
                raw: value.to_string(),
                manner: shown::manner(kind, name),
                link: shown::link(kind, name, value).map(|id| id.to_string()),
                sees: entry.seen(name).iter().map(ToString::to_string).collect(),
                is_amended: entry.amended.contains_key(name),
                is_disputed: entry.is_disputed(name),
            })
        })
        .collect()
}

fn stands(sight: Sight<'_>, entry: &Entry) -> Option<Standing> {
    let (snapshot, index) = (sight.snapshot, sight.index);
    match &entry.body {
        Body::Finding(_) => {
            let stands = standing::standing(snapshot, index, entry.id);
            Some(Standing {
                word: stands.to_string(),
                detail: match stands {
                    standing::Standing::Open => "no repair has been decided",
                    standing::Standing::InHand => "",
                    standing::Standing::NotTested => "no test has shown it good yet",
                    standing::Standing::TestedGood => "",
                    standing::Standing::Temporary => "a lasting repair is still to be made",
                    standing::Standing::CameBack => "what was repaired is there again",
                    standing::Standing::Left => "",
                }
                .to_owned(),
                strokes: sight.strokes(entry.id),
                is_open: stands.is_open(),
            })
        }
        Body::Repair(_) => Some(repair_stands(
            snapshot,
            index,
            entry.id,
            sight.strokes(entry.id),
        )),
        _ => None,
    }
}

/// How a repair stands.
#[must_use]
pub fn repair_stands(snapshot: &Snapshot, index: &Index, repair: Id, strokes: u8) -> Standing {
    let progress = standing::progress(snapshot, index, repair);
    let steps = standing::steps_of(snapshot, index, repair);
    let n_done = steps
        .iter()
        .filter(|entry| matches!(&entry.body, Body::Step(step) if step.done.is_some()))
        .count();
    let is_tested = index
        .by_field(snapshot, repair, "repair")
        .any(|entry| matches!(entry.body, Body::Test(_)));
    let detail = match progress {
        standing::Progress::Done if !is_tested => "no test yet".to_owned(),
        standing::Progress::Planned | standing::Progress::InHand if !steps.is_empty() => {
            format!("{n_done} of {} steps done", steps.len())
        }
        _ => String::new(),
    };
    Standing {
        word: progress.to_string(),
        detail,
        strokes,
        is_open: matches!(
            progress,
            standing::Progress::Planned | standing::Progress::InHand
        ),
    }
}

/// A photograph's own picture, or the photographs of the entry.
fn pictures(sight: Sight<'_>, entry: &Entry) -> Vec<PictureView> {
    match &entry.body {
        Body::Photograph(photograph) => picture(sight, entry, photograph, true)
            .into_iter()
            .collect(),
        _ => sight
            .photographs(entry.id)
            .into_iter()
            .filter_map(|entry| match &entry.body {
                Body::Photograph(photograph) => picture(sight, entry, photograph, true),
                _ => None,
            })
            .collect(),
    }
}

pub(super) fn picture(
    sight: Sight<'_>,
    entry: &Entry,
    photograph: &Photograph,
    with_earlier: bool,
) -> Option<PictureView> {
    let thumb = thumb(sight, entry)?;
    let (width, height) = upright(sight, entry, photograph);
    let answers = photograph
        .answers
        .filter(|earlier| with_earlier && *earlier != entry.id)
        .and_then(|earlier| sight.snapshot.entry(earlier))
        .and_then(|earlier| match &earlier.body {
            Body::Photograph(body) => picture(sight, earlier, body, false),
            _ => None,
        });
    Some(PictureView {
        has_original: photograph.digest.is_some_and(|digest| sight.has(digest)),
        trouble: sight
            .around
            .picture_troubles
            .get(&entry.id)
            .cloned()
            .unwrap_or_default(),
        happened: entry
            .statement
            .happened
            .as_ref()
            .map_or_else(String::new, ToString::to_string),
        entry: thumb.entry,
        digest: thumb.digest,
        stage: thumb.stage,
        alt: thumb.alt,
        is_here: thumb.is_here,
        is_drawing: thumb.is_drawing,
        width,
        height,
        answers: answers.map(Box::new),
        same_spots: photograph.same_spots.clone(),
        is_struck: entry.is_struck(),
        marks: super::mark::marks(sight, entry.id),
    })
}

/// The pixels of the upright picture: those of its rendition, or the original's with its turn.
fn upright(sight: Sight<'_>, entry: &Entry, photograph: &Photograph) -> (u32, u32) {
    let small = [Size::View, Size::Thumbnail].iter().find_map(|size| {
        let rendition = sight.index.rendition(sight.snapshot, entry.id, size)?;
        Some((rendition.width?, rendition.height?))
    });
    let own = || {
        let (width, height) = (photograph.width?, photograph.height?);
        Some(if photograph.orientation.is_some_and(|turn| turn >= 5) {
            (height, width)
        } else {
            (width, height)
        })
    };
    let (width, height) = small.or_else(own).unwrap_or_default();
    (
        u32::try_from(width).unwrap_or_default(),
        u32::try_from(height).unwrap_or_default(),
    )
}

/// The sound of a sound note, unless it names none.
fn sound(sight: Sight<'_>, entry: &Entry) -> Option<SoundView> {
    let Body::SoundNote(note) = &entry.body else {
        return None;
    };
    let digest = note.digest?;
    Some(SoundView {
        digest: digest.to_string(),
        is_here: sight.has(digest),
        is_withdrawn: sight.snapshot.is_withdrawn(digest),
    })
}

fn links(sight: Sight<'_>, entry: &Entry) -> Vec<Link> {
    let (snapshot, index) = (sight.snapshot, sight.index);
    let kind = &entry.statement.kind;
    let mut links = Vec::new();
    let mut add = |label: String, to: Id, note: String| {
        links.push(Link {
            label,
            to: sight.to(to),
            note,
        });
    };
    entry.body.refer(&mut |field, target| {
        if field != "place" && field != "parent" {
            add(shown::label(kind, field), target, String::new());
        }
    });
    match &entry.body {
        Body::Finding(_) => {
            for repair in standing::repairs_of(snapshot, index, entry.id) {
                let progress = standing::progress(snapshot, index, repair.id);
                add("Repair".to_owned(), repair.id, progress.to_string());
            }
            for path in index.by_field(snapshot, entry.id, "finding") {
                if let Body::WaterPath(path) = &path.body
                    && let Some(way_in) = path.way_in
                {
                    let note = path.certainty.as_ref().map_or("", |sure| sure.shown());
                    add("Way in".to_owned(), way_in, note.to_owned());
                }
            }
        }
        Body::WayIn(_) => {
            for path in index.by_field(snapshot, entry.id, "way_in") {
                if let Body::WaterPath(path) = &path.body
                    && let Some(finding) = path.finding
                {
                    let note = path.certainty.as_ref().map_or("", |sure| sure.shown());
                    add("Runs to".to_owned(), finding, note.to_owned());
                }
            }
        }
        Body::Repair(_) => {
            for finding in index.parts(entry.id, &Role::Finding) {
                let stands = standing::standing(snapshot, index, finding);
                add("Finding".to_owned(), finding, stands.to_string());
            }
        }
        Body::Step(_) => {
            for step in index.parts(entry.id, &Role::WaitsFor) {
                let is_done = matches!(snapshot.entry(step).map(|e| &e.body), Some(Body::Step(step)) if step.done.is_some());
                let note = if is_done { "done" } else { "not done yet" };
                add("Waits for".to_owned(), step, note.to_owned());
            }
        }
        Body::Test(_) => {
            for basis in index.parts(entry.id, &Role::RestsOn) {
                add("Rests on".to_owned(), basis, String::new());
            }
        }
        _ => {}
    }
    links
}

fn history(sight: Sight<'_>, entry: &Entry) -> Vec<HistoryLine> {
    let snapshot = sight.snapshot;
    let kind = &entry.statement.kind;
    let line = |id: Id, deed: &str, label: String, shown: String, is_replaced: bool| {
        let statement = snapshot.statement(id)?;
        Some(HistoryLine {
            statement: id.to_string(),
            deed: deed.to_owned(),
            label,
            shown,
            hand: snapshot.hand_name(statement.hand).to_owned(),
            device: snapshot.device_name(statement.device).to_owned(),
            written: statement
                .written
                .as_ref()
                .map_or_else(String::new, ToString::to_string),
            is_replaced,
        })
    };
    let mut lines: Vec<HistoryLine> =
        line(entry.id, "Written", String::new(), String::new(), false)
            .into_iter()
            .collect();
    let mut first_told = BTreeSet::new();
    for id in &entry.about {
        let Some(body) = snapshot.about_body(*id) else {
            continue;
        };
        let stands = |field: &str| {
            entry
                .versions(field)
                .iter()
                .any(|version| version.statement == *id)
        };
        let told = match body {
            Body::Amendment(amendment) => amendment.field.as_deref().and_then(|field| {
                let value = amendment.value.clone().unwrap_or_default();
                // What the entry said first is told before what replaced it.
                if first_told.insert(field.to_owned()) {
                    let first = entry.statement.fields();
                    let first = first.get(field).cloned().unwrap_or_default();
                    let stood = entry
                        .versions(field)
                        .iter()
                        .any(|version| version.statement == entry.id);
                    let mut was = line(
                        entry.id,
                        "Written",
                        shown::label(kind, field),
                        blank(shown::value(sight, kind, field, &first)),
                        !stood,
                    )?;
                    was.statement = entry.id.to_string();
                    lines.push(was);
                }
                line(
                    *id,
                    "Amended",
                    shown::label(kind, field),
                    blank(shown::value(sight, kind, field, &value)),
                    !stands(field),
                )
            }),
            Body::Choice(choice) => choice.field.as_deref().and_then(|field| {
                let value = choice.value.clone().unwrap_or_default();
                let mut text = blank(shown::value(sight, kind, field, &value));
                if let Some(reason) = choice.reason.as_deref().filter(|why| !why.is_empty()) {
                    text = format!("{text} ({reason})");
                }
                line(
                    *id,
                    "Chosen",
                    shown::label(kind, field),
                    text,
                    !stands(field),
                )
            }),
            Body::Strike(strike) => {
                let stands = entry.strikes.iter().any(|held| held.statement == *id);
                line(
                    *id,
                    "Struck",
                    String::new(),
                    strike.why.clone().unwrap_or_default(),
                    !stands,
                )
            }
            Body::Lift(lift) => line(
                *id,
                "Strike lifted",
                String::new(),
                lift.why.clone().unwrap_or_default(),
                false,
            ),
            _ => line(*id, "Said about it", String::new(), String::new(), false),
        };
        lines.extend(told);
    }
    lines
}

fn blank(shown: String) -> String {
    if shown.is_empty() {
        "(nothing)".to_owned()
    } else {
        shown
    }
}

/// The fields of an entry on which hands differ.
#[must_use]
pub fn disputes(sight: Sight<'_>, entry: &Entry) -> Vec<Dispute> {
    let kind = &entry.statement.kind;
    entry
        .disputes()
        .map(|(field, versions)| Dispute {
            field: field.to_owned(),
            label: shown::label(kind, field),
            values: versions
                .iter()
                .map(|version| DisputeValue {
                    statement: version.statement.to_string(),
                    shown: blank(shown::value(sight, kind, field, &version.value)),
                    raw: version.value.to_string(),
                    hand: sight.snapshot.hand_name(version.hand).to_owned(),
                    device: sight.snapshot.device_name(version.device).to_owned(),
                    written: version
                        .written
                        .as_ref()
                        .map_or_else(String::new, ToString::to_string),
                })
                .collect(),
        })
        .collect()
}

fn strikes(sight: Sight<'_>, entry: &Entry) -> Vec<StrikeView> {
    entry
        .strikes
        .iter()
        .map(|strike| StrikeView {
            statement: strike.statement.to_string(),
            why: strike.why.clone().unwrap_or_default(),
            hand: sight.snapshot.hand_name(strike.hand).to_owned(),
            written: strike
                .written
                .as_ref()
                .map_or_else(String::new, ToString::to_string),
        })
        .collect()
}

/// What hangs on an entry, newest first; steps of a repair in their own order, first.
fn children(sight: Sight<'_>, entry: &Entry) -> Vec<garboard_protocol::Row> {
    let steps = match &entry.body {
        Body::Repair(_) => standing::steps_of(sight.snapshot, sight.index, entry.id),
        _ => Vec::new(),
    };
    let in_order: BTreeSet<Id> = garboard_record::small::set(steps.iter().map(|step| step.id));
    let is_picture = |child: &Entry| {
        matches!(child.statement.kind, Kind::Photograph)
            && !child.is_struck()
            && !matches!(entry.statement.kind, Kind::Photograph)
    };
    let by: BTreeSet<Id> = garboard_record::small::set(
        sight
            .index
            .referring(entry.id)
            .iter()
            .map(|(id, _)| *id)
            .filter(|id| !in_order.contains(id)),
    );
    let mut others: Vec<&Entry> = by
        .into_iter()
        .filter_map(|id| sight.snapshot.entry(id))
        .filter(|child| has_row(child) && !is_picture(child))
        .collect();
    garboard_record::small::sort_by_key(&mut others, |child| {
        std::cmp::Reverse((child.sort_key(), child.id))
    });
    steps
        .into_iter()
        .chain(others)
        .take(MOST_CHILDREN)
        .map(|child| row(sight, child))
        .collect()
}

/// Cautions that belong beside an entry.
fn cautions(entry: &Entry) -> Vec<String> {
    let mut cautions = Vec::new();
    if let Body::Reading(reading) = &entry.body
        && reading
            .quantity
            .as_deref()
            .is_some_and(|quantity| quantity.to_lowercase().contains("moist"))
        && let Some(value) = &reading.value
    {
        if value.unit == "%" {
            cautions.push(
                "A pin meter's per cent holds for bare wood of a known species only; salt, glue, \
                 resin and copper make it read high."
                    .to_owned(),
            );
        } else {
            cautions.push(
                "A relative scale is no percentage: compare it only with the same instrument on a \
                 sound, dry part of the same boat."
                    .to_owned(),
            );
        }
    }
    if matches!(&entry.body, Body::Finding(finding) if finding.kinds.iter().any(|kind| kind.as_str() == "mould"))
    {
        cautions.push(
            "Mould: keep its dust out of your lungs; a close-fitting mask of class P2 or N95 and \
             gloves are common practice (no source is named here)."
                .to_owned(),
        );
    }
    cautions
}

/// A remark in words, with titles in place of ids.
#[must_use]
pub fn remark_shown(sight: Sight<'_>, remark: &Remark) -> String {
    let title = |id: &Id| format!("“{}”", sight.snapshot.title(*id));
    let mut text = remark.oddity.to_string();
    match &remark.oddity {
        Oddity::TargetNoEntry { target } | Oddity::HangsOnStruck { target } => {
            text = text.replace(&target.to_string(), &title(target));
        }
        Oddity::StintsOverlap { with } => {
            text = text.replace(&with.to_string(), &title(with));
        }
        Oddity::DeviceCopied { device, .. } => {
            text = text.replace(&device.to_string(), &sight.device_shown(*device));
        }
        _ => {}
    }
    match &remark.field {
        Some(field) => format!("{}: {text}.", capital(&field.replace('_', " "))),
        None => format!("{}.", capital(&text)),
    }
}

/// How far a photograph's stage has come, for the default of the next one.
#[must_use]
pub fn stage_reached(sight: Sight<'_>, id: Id) -> Option<garboard_record::word::Stage> {
    sight
        .photographs(id)
        .into_iter()
        .filter_map(|entry| match &entry.body {
            Body::Photograph(photograph) => photograph.stage.clone(),
            _ => None,
        })
        .max_by_key(stroke)
}

/// The place that a field names, or that of what it names.
#[must_use]
pub fn place_named(sight: Sight<'_>, entry: &Entry) -> Option<Id> {
    named(entry, "place").or_else(|| sight.index.place_of(sight.snapshot, entry.id))
}
