//! The plan as bars along the time.

use super::Plan;
use super::in_hours;
use crate::drawing::{Drawing, Stand, Tone, spot};

const LEFT: f64 = 190.0;
const RIGHT: f64 = 630.0;
const ROW: f64 = 26.0;
const TOP: f64 = 40.0;

/// Bars from the earliest beginning to the earliest end, a dashed line as far as the task may slip.
pub(super) fn chart(plan: &Plan) -> Drawing {
    let start = plan.network.start;
    let n = plan.network.tasks.len();
    let length = in_hours(plan.finish() - start);
    let critical = (0..n).filter(|at| plan.slack(*at) == 0).count();
    let height = TOP + ROW * crate::number::of_count(n) + 20.0;
    let mut drawing = Drawing::new(
        "The plan along the time",
        format!(
            "{n} tasks over {length:.1} hours; {critical} of them must not slip and are drawn dark."
        ),
        height,
    );
    let x = |time: i64| {
        let share = if length > 0.0 {
            in_hours(time - start) / length
        } else {
            0.0
        };
        LEFT + (RIGHT - LEFT) * share
    };
    let (first, last) = (spot(LEFT, TOP - 14.0), spot(RIGHT, TOP - 14.0));
    drawing.line(Tone::Thin, [first, last]);
    drawing.words(Stand::From, spot(LEFT, TOP - 20.0), "0 h");
    drawing.words(Stand::To, spot(RIGHT, TOP - 20.0), format!("{length:.1} h"));
    for (at, ((task, span), latest)) in plan
        .network
        .tasks
        .iter()
        .zip(&plan.spans)
        .zip(&plan.latest)
        .enumerate()
    {
        let y = TOP + ROW * crate::number::of_count(at);
        let middle = y + ROW / 2.0;
        drawing.words(Stand::To, spot(LEFT - 8.0, middle + 5.0), short(&task.name));
        let slips_to = plan.network.hours.end(task.runs, task.work, *latest);
        if plan.slack(at) > 0 {
            drawing.line(
                Tone::Dashed,
                [spot(x(span.end), middle), spot(x(slips_to), middle)],
            );
        }
        let tone = if task.row.is_none() {
            Tone::Wrong
        } else if plan.slack(at) == 0 {
            Tone::Second
        } else {
            Tone::Core
        };
        let end = x(span.end).max(x(span.begin) + 2.0);
        drawing.rectangle(tone, spot(x(span.begin), y + 4.0), spot(end, y + ROW - 4.0));
    }
    drawing
}

/// A name that fits beside its bar.
fn short(name: &str) -> String {
    if name.chars().count() <= 24 {
        name.to_owned()
    } else {
        name.chars().take(23).collect::<String>() + "…"
    }
}
