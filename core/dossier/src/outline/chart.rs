//! Readings over time as a chart, where one spot was read often enough.

use garboard_record::kind::damage::Reading;
use garboard_record::word::Range;
use garboard_record::{Body, Decimal, Entry, Id};

use super::Block;
use super::book::Book;
use super::drawing::{Drawing, Form, LETTER, Lie, Pen, Piece};
use crate::words;

/// A spot is drawn that was read so often, on more than one day.
const LEAST: usize = 3;
/// No chart has more lines.
const MOST_LINES: usize = 6;

const DAY: i64 = 86_400_000;
const WIDTH: i32 = 3400;
const LEFT: i32 = 380;
const RIGHT: i32 = 3280;
const PLOT: i32 = 1150;
const ROW: i32 = 130;

/// What readings must share to stand on one scale.
#[derive(Clone, PartialEq)]
struct Scale {
    what: String,
    unit: String,
    instrument: Option<Id>,
    mode: Option<String>,
    species: Option<String>,
}

/// A reading that can be drawn.
struct Point {
    /// Milliseconds, to order by.
    at: i64,
    day: String,
    /// Thousandths of the unit.
    value: i64,
    dry: Option<Decimal>,
}

/// The readings of a spot.
struct Line {
    spot: String,
    points: Vec<Point>,
}

/// The readings on one scale.
struct Group {
    scale: Scale,
    lines: Vec<Line>,
}

/// A chart for each scale on which a spot was read often enough.
pub(super) fn charts(book: &Book<'_>, entries: &[&Entry]) -> Vec<Block> {
    let mut out = Vec::new();
    for mut group in groups(entries) {
        let n_spots = group.lines.len();
        for line in &mut group.lines {
            line.points.sort_by_key(|point| point.at);
        }
        group.lines.retain(is_told);
        let n_left = n_spots - group.lines.len();
        let caption = caption(book, &group.scale, n_left, n_beyond(entries, &group.scale));
        for lines in group.lines.chunks(MOST_LINES) {
            out.push(Block::Drawing(chart(&group.scale, lines, caption.clone())));
        }
    }
    out
}

fn is_told(line: &Line) -> bool {
    let mut days = line.points.iter().map(|point| point.at.div_euclid(DAY));
    let first = days.next();
    line.points.len() >= LEAST && days.any(|day| Some(day) != first)
}

fn is_beyond(reading: &Reading) -> bool {
    matches!(reading.range, Some(Range::Over | Range::Under))
}

/// How many readings of an instrument lay beyond its end, so that they have no height.
fn n_beyond(entries: &[&Entry], scale: &Scale) -> usize {
    let is_so = |entry: &&&Entry| {
        matches!(&entry.body, Body::Reading(reading) if is_beyond(reading)
            && reading.instrument == scale.instrument
            && reading.quantity.as_deref().unwrap_or_default() == scale.what)
    };
    entries.iter().filter(is_so).count()
}

fn groups(entries: &[&Entry]) -> Vec<Group> {
    let mut out: Vec<Group> = Vec::new();
    for entry in entries {
        let (Body::Reading(reading), Some(happened)) = (&entry.body, &entry.statement.happened)
        else {
            continue;
        };
        let Some(value) = reading.value.as_ref().filter(|_| !is_beyond(reading)) else {
            continue;
        };
        let scale = Scale {
            what: reading.quantity.clone().unwrap_or_default(),
            unit: value.unit_shown().to_owned(),
            instrument: reading.instrument,
            mode: reading.mode.clone(),
            species: reading.species.clone(),
        };
        let at = out.iter().position(|group| group.scale == scale);
        let at = at.unwrap_or_else(|| {
            out.push(Group {
                scale,
                lines: Vec::new(),
            });
            out.len() - 1
        });
        let (Some(group), Some(thousandths)) = (out.get_mut(at), thousandths(value.value)) else {
            continue;
        };
        let point = Point {
            at: happened.sort_key(),
            day: words::day(happened),
            value: thousandths,
            dry: reading.dry_reference,
        };
        let spot = reading.spot.clone().unwrap_or_default();
        match group.lines.iter_mut().find(|line| line.spot == spot) {
            Some(line) => line.points.push(point),
            None => group.lines.push(Line {
                spot,
                points: vec![point],
            }),
        }
    }
    out
}

/// Thousandths of an amount; none for one that no chart could show.
fn thousandths(value: Decimal) -> Option<i64> {
    let value = value.times(Decimal::whole(1000))?.rounded(0);
    let value = i64::try_from(value.0.mantissa()).ok()?;
    (value.abs() < 1_000_000_000_000).then_some(value)
}

/// Thousandths as they are written.
fn shown(value: i64) -> String {
    let (whole, rest) = (value.abs() / 1000, value.abs() % 1000);
    let sign = if value < 0 { "−" } else { "" };
    let rest = format!("{rest:03}");
    match rest.trim_end_matches('0') {
        "" => format!("{sign}{whole}"),
        rest => format!("{sign}{whole}.{rest}"),
    }
}

/// The smallest round step that parts a span into at most five.
fn step(span: i64) -> i64 {
    let least = (span + 4) / 5;
    let mut ten = 1;
    loop {
        for step in [ten, 2 * ten, 5 * ten] {
            if step >= least {
                return step;
            }
        }
        ten *= 10;
    }
}

/// Where an amount lies between two that have their heights, or a moment between two that have their places.
fn between(value: i64, (low, high): (i64, i64), (from, to): (i32, i32)) -> i32 {
    let share = (value - low) * i64::from(to - from) / (high - low).max(1);
    from + i32::try_from(share).unwrap_or_default()
}

fn chart(scale: &Scale, lines: &[Line], caption: String) -> Drawing {
    let all = || lines.iter().flat_map(|line| &line.points);
    let dry = all()
        .next()
        .and_then(|point| point.dry)
        .filter(|dry| all().all(|point| point.dry == Some(*dry)));
    let limit = dry.and_then(thousandths);
    let heights = || all().map(|point| point.value).chain(limit);
    let (low, high) = (
        heights().min().unwrap_or_default(),
        heights().max().unwrap_or_default(),
    );
    // What is all above zero and reaches far above its lowest begins at zero.
    let low = if low >= 0 && low < high - low { 0 } else { low };
    let step = step((high - low).max(1));
    let low = low.div_euclid(step) * step;
    let high = -((-high).div_euclid(step)) * step;
    let high = if high == low { low + step } else { high };
    let moments = (
        all().map(|point| point.at).min().unwrap_or_default(),
        all().map(|point| point.at).max().unwrap_or_default(),
    );

    let mut pieces = Vec::new();
    let mut y = ROW / 2;
    let what = format!("{}, {}", words::capital(&scale.what), scale.unit);
    pieces.push(Piece::Words {
        at: (0, y),
        words: what,
        lie: Lie::After,
        is_strong: true,
    });
    for (line, form) in lines.iter().zip(Form::ALL) {
        y += ROW;
        pieces.push(Piece::Dot { at: (40, y), form });
        pieces.push(Piece::Words {
            at: (110, y),
            words: within(&line.spot, WIDTH - 110),
            lie: Lie::After,
            is_strong: false,
        });
    }
    let top = y + ROW;
    let foot = top + PLOT;
    let of_value = |value: i64| between(value, (low, high), (foot, top));
    let of_moment = |at: i64| between(at, moments, (LEFT + 80, RIGHT - 80));
    let mut value = low;
    while value <= high {
        let y = of_value(value);
        pieces.push(Piece::Line {
            spots: vec![(LEFT, y), (RIGHT, y)],
            pen: if value == low { Pen::Axis } else { Pen::Grid },
        });
        pieces.push(Piece::Words {
            at: (LEFT - 50, y),
            words: shown(value),
            lie: Lie::Before,
            is_strong: false,
        });
        value += step;
    }
    days(lines, of_moment, foot, &mut pieces);
    if let (Some(limit), Some(dry)) = (limit, dry) {
        let y = of_value(limit);
        pieces.push(Piece::Line {
            spots: vec![(LEFT, y), (RIGHT, y)],
            pen: Pen::Limit,
        });
        pieces.push(Piece::Words {
            at: (RIGHT, y - 60),
            words: format!("dry reference {dry}"),
            lie: Lie::Before,
            is_strong: false,
        });
    }
    for line in lines {
        let spots = line
            .points
            .iter()
            .map(|point| (of_moment(point.at), of_value(point.value)));
        pieces.push(Piece::Line {
            spots: spots.collect(),
            pen: Pen::Line,
        });
    }
    for (line, form) in lines.iter().zip(Form::ALL) {
        let dots = line.points.iter().map(|point| Piece::Dot {
            at: (of_moment(point.at), of_value(point.value)),
            form,
        });
        pieces.extend(dots);
    }
    Drawing {
        alt: told(scale, lines),
        caption,
        width: WIDTH,
        height: foot + 2 * ROW,
        pieces,
    }
}

/// Words as far as they go into a width.
fn within(words: &str, width: i32) -> String {
    let most = usize::try_from(width / LETTER).unwrap_or_default();
    if words.chars().count() <= most {
        return words.to_owned();
    }
    let short: String = words.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", short.trim_end())
}

/// The days of readings below the base line, where there is room for them; the first and the last always.
fn days(lines: &[Line], of_moment: impl Fn(i64) -> i32, foot: i32, pieces: &mut Vec<Piece>) {
    let mut all: Vec<(i32, &str)> = lines
        .iter()
        .flat_map(|line| &line.points)
        .map(|point| (of_moment(point.at), point.day.as_str()))
        .collect();
    all.sort_unstable();
    let half = |day: &str| i32::try_from(day.chars().count()).unwrap_or_default() * LETTER / 2;
    let Some((end, last)) = all.last().copied() else {
        return;
    };
    let end_from = end.min(WIDTH - half(last)) - half(last);
    let mut free = 0;
    for (at, (x, day)) in all.iter().enumerate() {
        let is_last = at + 1 == all.len();
        let x_from = x - half(day);
        pieces.push(Piece::Line {
            spots: vec![(*x, foot), (*x, foot + 35)],
            pen: Pen::Axis,
        });
        if is_last || (x_from >= free && x + half(day) + LETTER < end_from) {
            pieces.push(Piece::Words {
                at: ((*x).min(WIDTH - half(day)), foot + 35 + ROW / 2),
                words: (*day).to_owned(),
                lie: Lie::Around,
                is_strong: false,
            });
            free = x + half(day) + 2 * LETTER;
        }
    }
}

/// What the lines show, for those who cannot see them; every figure stands in the table.
fn told(scale: &Scale, lines: &[Line]) -> String {
    let each: Vec<String> = lines
        .iter()
        .filter_map(|line| {
            let (first, last) = (line.points.first()?, line.points.last()?);
            let highest = line.points.iter().map(|point| point.value).max()?;
            Some(format!(
                "{}: {} readings, from {} on {} to {} on {}, the highest {}",
                line.spot,
                line.points.len(),
                shown(first.value),
                first.day,
                shown(last.value),
                last.day,
                shown(highest)
            ))
        })
        .collect();
    format!(
        "Chart of {} in {} over time. {}.",
        scale.what,
        scale.unit,
        each.join("; ")
    )
}

fn caption(book: &Book<'_>, scale: &Scale, n_left: usize, n_beyond: usize) -> String {
    let by: Vec<String> = scale
        .instrument
        .map(|id| book.snapshot.title(id))
        .into_iter()
        .chain(scale.mode.clone())
        .chain(scale.species.clone())
        .collect();
    let mut out = format!("{} over time", words::capital(&scale.what));
    if !by.is_empty() {
        out.push_str(&format!(": {}", by.join(", ")));
    }
    out.push_str(". Between two readings nobody looked; the line only joins them.");
    let mut left = Vec::new();
    if n_left > 0 {
        left.push(format!(
            "{} read less than three times, or on one day only",
            words::count(n_left, "spot was", "spots were")
        ));
    }
    if n_beyond > 0 {
        left.push(format!(
            "{} beyond the instrument’s end",
            words::count(n_beyond, "reading was", "readings were")
        ));
    }
    if !left.is_empty() {
        out.push_str(&format!(
            " {}; these stand in the table only.",
            words::capital(&left.join(", and "))
        ));
    }
    out
}

#[cfg(test)]
mod tests;
