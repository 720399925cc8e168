//! Everything odd about a snapshot, as remarks.

use std::collections::BTreeMap;

use crate::standing::stint_millis;
use crate::tally::tally;
use crate::{
    Body, Decimal, Entry, Id, Index, Kind, Oddity, Quantity, Remark, Snapshot, hull, small,
};

/// Every remark about a snapshot, in order, without repeats.
#[must_use]
pub fn remarks(snapshot: &Snapshot, index: &Index) -> Vec<Remark> {
    let mut out = Vec::new();
    let mut say = |about: Option<Id>, field: Option<&str>, oddity: Oddity| {
        out.push(Remark {
            about,
            field: field.map(str::to_owned),
            oddity,
        });
    };
    for (id, text) in snapshot.unreadable() {
        let why = crate::Statement::read(text.clone())
            .err()
            .map(|cause| cause.to_string())
            .unwrap_or_default();
        say(Some(id), None, Oddity::Unreadable { why });
    }
    for (key, _) in snapshot.strange() {
        say(
            None,
            None,
            Oddity::StrangeKey {
                key: key.to_owned(),
            },
        );
    }
    for (id, _) in snapshot.twins() {
        say(Some(id), None, Oddity::Twins);
    }
    for (log, n_statements) in snapshot.other_logs() {
        say(None, None, Oddity::OtherLog { log, n_statements });
    }
    for (device, count, ids) in snapshot.doubled_counts() {
        if let Some(id) = ids.last() {
            say(Some(*id), None, Oddity::DeviceCopied { device, count });
        }
    }
    for (target, id) in snapshot.astray() {
        let oddity = if snapshot.statement(target).is_some() {
            Oddity::TargetNoEntry { target }
        } else {
            Oddity::TargetMissing { target }
        };
        say(Some(id), None, oddity);
    }
    for place in index.circle() {
        say(Some(place), Some("parent"), Oddity::PlaceCircle);
    }
    for step in index.waiting_circle(snapshot) {
        say(Some(step), None, Oddity::WaitingCircle);
    }
    for (id, statement) in snapshot.statements() {
        if let Kind::Unknown(kind) = &statement.kind {
            say(
                Some(id),
                None,
                Oddity::UnknownKind {
                    kind: kind.to_string(),
                },
            );
        }
        if statement.happened.is_none() || statement.written.is_none() {
            say(Some(id), None, Oddity::TimeUnreadable);
        }
        if let (Some(happened), Some(written)) = (&statement.happened, &statement.written)
            && written.days_until(happened) > 1
        {
            say(Some(id), Some("happened"), Oddity::HappenedAfterWritten);
        }
    }
    for entry in snapshot.entries() {
        entry_remarks(snapshot, entry, &mut say);
    }
    overlaps(snapshot, &mut say);
    for line in tally(snapshot, index).stock {
        if line.left.is_negative() {
            let by = Quantity::new(Decimal(-line.left.0), &line.unit).to_string();
            say(
                Some(line.entry),
                Some("quantity"),
                Oddity::StockShort { by },
            );
        }
    }
    small::sort(&mut out);
    out.dedup();
    out
}

fn entry_remarks(
    snapshot: &Snapshot,
    entry: &Entry,
    say: &mut impl FnMut(Option<Id>, Option<&str>, Oddity),
) {
    let id = Some(entry.id);
    for field in &entry.unknown_forms {
        say(id, Some(field), Oddity::UnknownForm);
    }
    if entry.amended_while_struck {
        say(id, None, Oddity::AmendedWhileStruck);
    }
    if entry.is_struck() {
        return;
    }
    if entry.statement.is_late()
        && let (Some(happened), Some(written)) =
            (&entry.statement.happened, &entry.statement.written)
    {
        say(
            id,
            None,
            Oddity::Late {
                days: happened.days_until(written),
            },
        );
    }
    entry
        .body
        .refer(&mut |field, target| match snapshot.entry(target) {
            Some(found) if found.is_struck() => {
                say(id, Some(field), Oddity::HangsOnStruck { target });
            }
            Some(_) => {}
            None if snapshot.statement(target).is_some() => {}
            None => say(id, Some(field), Oddity::TargetMissing { target }),
        });
    let figures = [
        "hours",
        "start",
        "end",
        "quantity",
        "unit_price",
        "price",
        "amount",
        "tax",
    ];
    for (field, _) in entry.disputes() {
        if figures.contains(&field)
            && matches!(
                entry.body,
                Body::Stint(_) | Body::Material(_) | Body::Cost(_)
            )
        {
            say(id, Some(field), Oddity::DisputedFigure);
        }
    }
    match &entry.body {
        Body::Boat(boat) => {
            if let Some(why) = boat.hull_number.as_deref().and_then(hull::odd_form) {
                say(
                    id,
                    Some("hull_number"),
                    Oddity::HullNumberForm {
                        why: why.to_owned(),
                    },
                );
            }
            if snapshot
                .boat()
                .is_some_and(|(first, _)| first.id != entry.id)
            {
                say(id, None, Oddity::SecondBoat);
            }
        }
        Body::Stint(stint) => {
            if stint_millis(stint).is_some_and(|millis| millis < 0) {
                say(id, Some("end"), Oddity::EndBeforeStart);
            }
            if stint.hours.is_some_and(Decimal::is_negative) {
                say(id, Some("hours"), Oddity::Negative);
            }
        }
        Body::Material(material)
            if material
                .quantity
                .as_ref()
                .is_some_and(|quantity| quantity.value.is_negative()) =>
        {
            say(id, Some("quantity"), Oddity::Negative);
        }
        Body::Cost(cost)
            if cost
                .amount
                .as_ref()
                .is_some_and(|money| money.amount.is_negative()) =>
        {
            say(id, Some("amount"), Oddity::Negative);
        }
        Body::Reading(reading) => {
            let moisture = reading
                .quantity
                .as_deref()
                .is_some_and(|quantity| quantity.to_lowercase().contains("moisture"));
            if moisture
                && reading.species.is_none()
                && reading
                    .value
                    .as_ref()
                    .is_some_and(|value| value.unit == "%")
            {
                say(id, Some("value"), Oddity::MoistureScale);
            }
        }
        Body::Step(step) => {
            if let (Some(begun), Some(done)) = (&step.begun, &step.done)
                && done.sort_key() < begun.sort_key()
            {
                say(id, Some("done"), Oddity::EndBeforeStart);
            }
        }
        _ => {}
    }
}

/// Stints of one person that overlap in time.
fn overlaps(snapshot: &Snapshot, say: &mut impl FnMut(Option<Id>, Option<&str>, Oddity)) {
    let mut by_person: BTreeMap<Id, Vec<(i64, i64, Id)>> = BTreeMap::new();
    for entry in snapshot.standing() {
        if let Body::Stint(stint) = &entry.body
            && let (Some(start), Some(millis)) = (&stint.start, stint_millis(stint))
            && millis > 0
        {
            by_person
                .entry(stint.person.unwrap_or(entry.statement.hand))
                .or_default()
                .push((start.sort_key(), start.sort_key() + millis, entry.id));
        }
    }
    for stints in by_person.values_mut() {
        small::sort(stints);
        let mut last: Option<(i64, Id)> = None;
        for (start, end, id) in stints.iter() {
            if let Some((last_end, with)) = last
                && *start < last_end
            {
                say(Some(*id), None, Oddity::StintsOverlap { with });
            }
            if last.is_none_or(|(last_end, _)| *end > last_end) {
                last = Some((*end, *id));
            }
        }
    }
}
