//! What the seller has left out, in one place for every form.

use garboard_reckon::{find, input, output};
use garboard_record::{Body, Entry, Id, Snapshot, Statement};

use crate::Options;

/// Whether a field says what was left out.
pub(crate) fn field(options: &Options, name: &str) -> bool {
    let is_money = matches!(
        name,
        "amount" | "price" | "unit_price" | "cost_estimate" | "tax"
    );
    let is_hours = matches!(name, "hours" | "start" | "end" | "hours_estimate");
    let is_position = matches!(name, "latitude" | "longitude" | "altitude");
    (is_money && !options.costs)
        || (is_hours && !options.hours)
        || (is_position && !options.positions)
}

/// Whether an entry is of a kind that was left out whole.
pub(crate) fn body(options: &Options, body: &Body) -> bool {
    match body {
        Body::Cost(_) => !options.costs,
        Body::Stint(_) => !options.hours,
        Body::Position(_) => !options.positions,
        Body::Reckoning(kept) => reckoning(options, kept.method.as_deref().unwrap_or_default()),
        _ => false,
    }
}

/// Whether a method reckons what was left out. Of a method that is not known here nobody can tell.
fn reckoning(options: &Options, method: &str) -> bool {
    let Some(of) = find(method) else {
        return !options.costs || !options.hours;
    };
    let is_money = of.inputs.iter().any(|one| is_money_in(&one.shape))
        || of.results.iter().any(|one| is_money_out(&one.shape));
    let is_hours = of.topic == garboard_reckon::Topic::Labour && !is_money;
    (is_money && !options.costs) || (is_hours && !options.hours)
}

fn is_money_in(shape: &input::Shape) -> bool {
    match shape {
        input::Shape::Money => true,
        input::Shape::Rows { columns, .. } => columns.iter().any(|one| is_money_in(&one.shape)),
        _ => false,
    }
}

fn is_money_out(shape: &output::Shape) -> bool {
    match shape {
        output::Shape::Money => true,
        output::Shape::Table(columns) => columns.iter().any(|one| is_money_out(&one.shape)),
        _ => false,
    }
}

/// Whether nothing of an entry may be told.
pub(crate) fn entry(options: &Options, entry: &Entry) -> bool {
    body(options, &entry.body) || (entry.is_struck() && !options.struck)
}

/// Whether a statement says what was left out, so that only its digest may leave.
pub(crate) fn statement(
    snapshot: &Snapshot,
    options: &Options,
    id: Id,
    statement: &Statement,
) -> bool {
    let is_of_withheld = |target: Option<Id>| {
        target
            .and_then(|target| snapshot.entry(target))
            .is_some_and(|target| entry(options, target))
    };
    match snapshot.about_body(id) {
        Some(Body::Amendment(said)) => {
            is_of_withheld(said.entry)
                || said
                    .field
                    .as_deref()
                    .is_some_and(|name| field(options, name))
        }
        Some(Body::Choice(said)) => {
            is_of_withheld(said.entry)
                || said
                    .field
                    .as_deref()
                    .is_some_and(|name| field(options, name))
        }
        Some(Body::Strike(said)) => is_of_withheld(said.entry),
        Some(Body::Lift(said)) => is_of_withheld(said.entry),
        Some(_) => false,
        None => {
            is_of_withheld(Some(id)) || statement.fields().keys().any(|name| field(options, name))
        }
    }
}
