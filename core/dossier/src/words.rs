//! Dates, amounts and names as a buyer reads them.

use garboard_record::unit::System;
use garboard_record::{Body, Decimal, Entry, Id, Money, Quantity, Snapshot, When};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A date as far as it is known: `1987`, `May 2026`, `9 May 2026`.
pub(crate) fn day(when: &When) -> String {
    let text = when.as_str();
    let month = text.get(5..7).and_then(|month| month.parse::<usize>().ok());
    let month = month.and_then(|month| MONTHS.get(month.checked_sub(1)?));
    let year = text.get(..4).unwrap_or(text).trim_start_matches('0');
    match (month, text.get(8..10)) {
        (Some(month), Some(day)) => {
            format!("{}\u{a0}{month}\u{a0}{year}", day.trim_start_matches('0'))
        }
        (Some(month), None) => format!("{month}\u{a0}{year}"),
        _ => year.to_owned(),
    }
}

/// A date with its time of day, where one is known: `9 May 2026, 14:22`.
pub(crate) fn moment(when: &When) -> String {
    match when.time() {
        Some(time) => format!("{}, {}", day(when), time.get(..5).unwrap_or(time)),
        None => day(when),
    }
}

/// An amount with its unit, and as it was entered where that says more.
pub(crate) fn amount(quantity: &Quantity) -> String {
    let plain = Quantity {
        entered: None,
        ..quantity.clone()
    }
    .to_string();
    match &quantity.entered {
        Some(entered) if *entered != plain => format!("{plain} (entered as {entered})"),
        _ => plain,
    }
}

/// An amount in a system of units, with what was written behind it; as it was written where no system is chosen, or where
/// it is in that system as it stands.
pub(crate) fn amount_in(quantity: &Quantity, units: Option<System>) -> String {
    match units.and_then(|units| quantity.in_system(units)) {
        Some(converted) => format!("{converted} (as written: {quantity})"),
        None => amount(quantity),
    }
}

/// An amount of money with the decimal places of its currency.
pub(crate) fn money(money: &Money) -> String {
    format!(
        "{} {}",
        figure(money.amount, &money.currency),
        money.currency
    )
}

/// A figure of a currency, with its decimal places.
pub(crate) fn figure(amount: Decimal, currency: &str) -> String {
    amount.rounded(Money::places(currency)).to_string()
}

/// The name of a hand or a person.
pub(crate) fn name(snapshot: &Snapshot, id: Id) -> String {
    let found = snapshot.entry(id).and_then(|entry| match &entry.body {
        Body::Hand(hand) => hand.name.clone(),
        Body::Person(person) => person.name.clone(),
        _ => None,
    });
    found.unwrap_or_else(|| format!("somebody whose name has not arrived ({})", short(id)))
}

/// A hand's name with the part it plays, where that is said.
pub(crate) fn hand(snapshot: &Snapshot, id: Id) -> String {
    let part = snapshot.entry(id).and_then(|entry| match &entry.body {
        Body::Hand(hand) => hand.part.clone(),
        _ => None,
    });
    match part {
        Some(part) => format!("{} ({part})", name(snapshot, id)),
        None => name(snapshot, id),
    }
}

/// The last digits of an id: enough to tell it from others by eye.
pub(crate) fn short(id: Id) -> String {
    let text = id.to_string();
    format!(
        "…{}",
        text.get(text.len().saturating_sub(8)..).unwrap_or(&text)
    )
}

/// What a field's value says, whatever its form.
pub(crate) fn value(value: &serde_json::Value) -> String {
    if let Ok(quantity) = serde_json::from_value::<Quantity>(value.clone()) {
        return amount(&quantity);
    }
    if let Ok(sum) = serde_json::from_value::<Money>(value.clone()) {
        return money(&sum);
    }
    match value {
        serde_json::Value::Null => "nothing".to_owned(),
        serde_json::Value::Bool(true) => "yes".to_owned(),
        serde_json::Value::Bool(false) => "no".to_owned(),
        serde_json::Value::String(text) => match text.parse::<When>() {
            Ok(when) => moment(&when),
            Err(_) => text.clone(),
        },
        serde_json::Value::Array(list) => {
            list.iter().map(self::value).collect::<Vec<_>>().join("; ")
        }
        other => other.to_string(),
    }
}

/// What a value says, with the titles of entries in the place of their ids.
pub(crate) fn value_in(snapshot: &Snapshot, said: &serde_json::Value) -> String {
    let entry = said
        .as_str()
        .and_then(|text| text.parse::<Id>().ok())
        .and_then(|id| snapshot.entry(id));
    entry.map_or_else(|| value(said), Entry::title)
}

/// Several things in one sentence: `a, b and c`.
pub(crate) fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// So many of a thing: `1 entry`, `3 entries`.
pub(crate) fn count(n: usize, one: &str, many: &str) -> String {
    match n {
        0 => format!("no {many}"),
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

/// The text with its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
