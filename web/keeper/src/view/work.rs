//! The work: repairs, what is open, hours, costs and upkeep, worked out from the log.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use garboard_protocol::{OpenLine, RepairLine, Sum, UpkeepLine, WorkView};
use garboard_record::tally::{self, CostLine, HourLine, Tally};
use garboard_record::word::{Urgency, Word as _};
use garboard_record::{Body, Decimal, Entry, Id, When, standing};

use super::entry::repair_stands;
use crate::sight::Sight;

/// A key that puts the newest first.
type Newest = Reverse<(i64, Id)>;

/// Makes the work page; `now` says what is due.
#[must_use]
pub fn work(sight: Sight<'_>, now: &When) -> WorkView {
    let sums = tally::tally(sight.snapshot, sight.index);
    let repairs = repairs(sight, &sums);
    let mut ready = Vec::new();
    let mut waiting = Vec::new();
    for line in repairs.iter().filter(|line| line.is_open) {
        if let Ok(repair) = line.repair.id.parse() {
            let (now_ready, still_waiting) = super::order::steps(sight, repair, now);
            ready.extend(now_ready);
            waiting.extend(still_waiting);
        }
    }
    WorkView {
        windows: super::order::windows(sight, now),
        ready,
        waiting,
        short: super::order::short(sight),
        today: today(sight, &sums, now),
        repairs,
        open: open(sight),
        upkeep: upkeep(sight, now),
        hours: hours_shown(sums.hours.iter()),
        hours_by_person: by_person(sight, &sums.hours),
        spent: spent(sums.costs.iter()),
    }
}

fn repairs(sight: Sight<'_>, sums: &Tally) -> Vec<RepairLine> {
    let mut found: Vec<(bool, Newest, RepairLine)> = sight
        .snapshot
        .standing()
        .filter(|entry| matches!(entry.body, Body::Repair(_)))
        .map(|entry| {
            let line = repair(sight, sums, entry);
            (!line.is_open, Reverse((entry.sort_key(), entry.id)), line)
        })
        .collect();
    garboard_record::small::sort_by_key(&mut found, |(is_done, newest, _)| (*is_done, *newest));
    found.into_iter().map(|(.., line)| line).collect()
}

fn repair(sight: Sight<'_>, sums: &Tally, entry: &Entry) -> RepairLine {
    let id = entry.id;
    let stands = repair_stands(sight.snapshot, sight.index, id, sight.strokes(id));
    let steps = standing::steps_of(sight.snapshot, sight.index, id);
    let n_done = steps
        .iter()
        .filter(|step| matches!(&step.body, Body::Step(step) if step.done.is_some()))
        .count();
    RepairLine {
        repair: sight.to(id),
        place: sight.place_of(id),
        standing: stands.word,
        detail: stands.detail,
        strokes: stands.strokes,
        is_open: stands.is_open,
        n_steps: u32::try_from(steps.len()).unwrap_or(u32::MAX),
        n_done: u32::try_from(n_done).unwrap_or(u32::MAX),
        hours: hours_shown(sums.hours.iter().filter(|line| line.repair == Some(id))),
        spent: spent(sums.costs.iter().filter(|line| line.repair == Some(id))),
        estimate: estimate(entry),
    }
}

/// What was thought beforehand.
fn estimate(entry: &Entry) -> String {
    let Body::Repair(repair) = &entry.body else {
        return String::new();
    };
    let hours = repair.hours_estimate.map(|hours| format!("{hours} h"));
    let money = repair.cost_estimate.as_ref().map(ToString::to_string);
    hours
        .into_iter()
        .chain(money)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The hours of the stints that ended today, by person.
fn today(sight: Sight<'_>, sums: &Tally, now: &When) -> Vec<Sum> {
    let is_today = |line: &&HourLine| {
        let ended = match sight.snapshot.entry(line.entry).map(|entry| &entry.body) {
            Some(Body::Stint(stint)) => stint
                .end
                .as_ref()
                .or(stint.start.as_ref())
                .and_then(When::day),
            _ => None,
        };
        ended.is_some() && ended == now.day()
    };
    let lines: Vec<HourLine> = sums.hours.iter().filter(is_today).cloned().collect();
    by_person(sight, &lines)
}

fn hours_shown<'a>(lines: impl Iterator<Item = &'a HourLine>) -> String {
    let sum = tally::sum_hours(lines);
    if sum == Decimal::ZERO {
        String::new()
    } else {
        sum.to_string()
    }
}

fn spent<'a>(lines: impl Iterator<Item = &'a CostLine>) -> Vec<Sum> {
    tally::sum_costs(lines)
        .into_iter()
        .map(|(of, figure)| Sum {
            of,
            figure: figure.to_string(),
        })
        .collect()
}

fn by_person(sight: Sight<'_>, lines: &[HourLine]) -> Vec<Sum> {
    let by_name: BTreeMap<String, Decimal> = tally::hours_by(lines, |line| {
        sight.snapshot.hand_name(line.person).to_owned()
    });
    by_name
        .into_iter()
        .map(|(of, figure)| Sum {
            of,
            figure: figure.to_string(),
        })
        .collect()
}

fn open(sight: Sight<'_>) -> Vec<OpenLine> {
    let mut found: Vec<(usize, Newest, OpenLine)> = sight
        .snapshot
        .standing()
        .filter_map(|entry| {
            let Body::Finding(finding) = &entry.body else {
                return None;
            };
            let stands = standing::standing(sight.snapshot, sight.index, entry.id);
            if !stands.is_open() {
                return None;
            }
            let rank = finding.urgency.as_ref().map_or(usize::MAX, |urgency| {
                Urgency::WORDS
                    .iter()
                    .position(|(word, _)| *word == urgency.as_str())
                    .unwrap_or(usize::MAX)
            });
            let line = OpenLine {
                finding: sight.to(entry.id),
                place: sight.place_of(entry.id),
                urgency: finding
                    .urgency
                    .as_ref()
                    .map_or_else(String::new, |urgency| urgency.shown().to_owned()),
                standing: stands.to_string(),
                strokes: sight.strokes(entry.id),
            };
            Some((rank, Reverse((entry.sort_key(), entry.id)), line))
        })
        .collect();
    garboard_record::small::sort_by_key(&mut found, |(rank, newest, _)| (*rank, *newest));
    found.into_iter().map(|(.., line)| line).collect()
}

fn upkeep(sight: Sight<'_>, now: &When) -> Vec<UpkeepLine> {
    let mut found: Vec<(i64, Id, UpkeepLine)> = sight
        .snapshot
        .standing()
        .filter_map(|entry| {
            let Body::Upkeep(upkeep) = &entry.body else {
                return None;
            };
            let (_, next) = standing::upkeep_dates(sight.snapshot, sight.index, entry.id);
            let line = UpkeepLine {
                upkeep: sight.to(entry.id),
                place: sight.place_of(entry.id),
                every: upkeep
                    .interval
                    .as_ref()
                    .map_or_else(String::new, ToString::to_string),
                is_due: next
                    .as_ref()
                    .is_some_and(|next| next.sort_key() <= now.sort_key()),
                next: next.as_ref().map_or_else(String::new, ToString::to_string),
            };
            let at = next.map_or(i64::MAX, |next| next.sort_key());
            Some((at, entry.id, line))
        })
        .collect();
    garboard_record::small::sort_by_key(&mut found, |(at, id, _)| (*at, *id));
    found.into_iter().map(|(.., line)| line).collect()
}
