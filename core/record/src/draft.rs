//! What is about to be said: checked before it is written, and stamped with who, where and when.

use serde_json::{Map, Value, json};

use crate::entry::same_value;
use crate::shape::Shape;
use crate::statement::Written;
use crate::{
    Body, Decimal, Entry, Error, Field, Id, Kind, Money, Quantity, Snapshot, When, canonical,
};

/// A statement that is not yet written.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// What it is about.
    pub kind: Kind,
    /// Its fields.
    pub fields: Map<String, Value>,
    /// When it happened; `None` is now.
    pub happened: Option<When>,
}

impl Draft {
    /// Checks the fields of a kind, given as one JSON object.
    ///
    /// Amounts and money may be given as people write them: `"12.7 mm"`, `"93.60 EUR"`.
    ///
    /// # Errors
    ///
    /// Says which field does not fit, what was found and how to mend it.
    pub fn parse(kind: Kind, json: &str) -> Result<Self, Error> {
        let fields: Map<String, Value> =
            serde_json::from_str(json).map_err(|cause| Error::NotFields {
                kind: kind.clone(),
                found: cause.to_string(),
            })?;
        Self::of(kind, fields)
    }

    /// Checks the fields of a kind.
    ///
    /// # Errors
    ///
    /// Says which field does not fit, what was found and how to mend it.
    pub fn of(kind: Kind, mut fields: Map<String, Value>) -> Result<Self, Error> {
        if let Kind::Unknown(found) = &kind {
            return Err(found.parse::<Kind>().err().unwrap_or(Error::NotStatement {
                found: found.to_string(),
            }));
        }
        fields.retain(|_, value| {
            !value.is_null() && value.as_array().is_none_or(|list| !list.is_empty())
        });
        for (name, value) in &mut fields {
            let field = kind.field(name).ok_or_else(|| no_such_field(&kind, name))?;
            check_value(&kind, field, value)?;
        }
        for field in kind.fields().iter().filter(|field| field.needed) {
            let empty = fields
                .get(field.name)
                .is_none_or(|value| value.as_str().is_some_and(|text| text.trim().is_empty()));
            // An amendment may take a field away.
            if empty && !(field.name == "value" && matches!(kind, Kind::Amendment | Kind::Choice)) {
                return Err(Error::Needed {
                    kind,
                    field: field.name.to_owned(),
                    help: field.help.trim().to_owned(),
                });
            }
        }
        let draft = Self {
            kind,
            fields,
            happened: None,
        };
        draft.check_sense()?;
        Ok(draft)
    }

    /// Checks the fields of a kind, given in its type.
    ///
    /// # Errors
    ///
    /// Says which field does not fit, what was found and how to mend it.
    pub fn from_typed<T: serde::Serialize>(kind: Kind, typed: &T) -> Result<Self, Error> {
        match serde_json::to_value(typed) {
            Ok(Value::Object(fields)) => Self::of(kind, fields),
            Ok(_) => Err(Error::NotFields {
                kind,
                found: "no object".to_owned(),
            }),
            Err(cause) => Err(Error::NotFields {
                kind,
                found: cause.to_string(),
            }),
        }
    }

    /// The same, at the time when it happened.
    #[must_use]
    pub fn at(mut self, happened: Option<When>) -> Self {
        self.happened = happened;
        self
    }

    /// An amendment of one field, naming all that the snapshot knows of it. A value of null takes the field away.
    ///
    /// # Errors
    ///
    /// - [`Error::NoSuchField`], [`Error::Field`], [`Error::Needed`] when the value does not fit the entry's kind
    pub fn amendment(
        entry: &Entry,
        field: &str,
        value: Value,
        reason: Option<&str>,
    ) -> Result<Self, Error> {
        let value = checked_amendment(entry, field, value)?;
        let mut fields = amendment_fields(entry, field, value);
        if let Some(reason) = reason {
            fields.insert("reason".to_owned(), reason.into());
        }
        Self::of(Kind::Amendment, fields)
    }

    /// A choice of the value that one statement gave a field.
    ///
    /// # Errors
    ///
    /// - [`Error::NoSuchField`] when the field has no such value to choose
    pub fn choice(
        entry: &Entry,
        field: &str,
        chosen: Id,
        reason: Option<&str>,
    ) -> Result<Self, Error> {
        let value = entry
            .versions(field)
            .into_iter()
            .find(|version| version.statement == chosen)
            .map(|version| version.value)
            .ok_or_else(|| Error::Field {
                kind: entry.statement.kind.clone(),
                field: field.to_owned(),
                found: format!("{chosen} gives it no value that could be chosen"),
            })?;
        let mut fields = amendment_fields(entry, field, value);
        fields.insert("chosen".to_owned(), json!(chosen));
        if let Some(reason) = reason {
            fields.insert("reason".to_owned(), reason.into());
        }
        Self::of(Kind::Choice, fields)
    }

    /// A strike of an entry, naming what was seen about it.
    ///
    /// # Errors
    ///
    /// None in practice; the fields are built here.
    pub fn strike(entry: &Entry, why: &str) -> Result<Self, Error> {
        let mut fields = Map::new();
        fields.insert("entry".to_owned(), json!(entry.id));
        fields.insert("sees".to_owned(), json!(entry.about));
        if !why.trim().is_empty() {
            fields.insert("why".to_owned(), why.trim().into());
        }
        Self::of(Kind::Strike, fields)
    }

    /// A lift of every strike that holds.
    ///
    /// # Errors
    ///
    /// - [`Error::Field`] when the entry is not struck
    pub fn lift(entry: &Entry, why: &str) -> Result<Self, Error> {
        if !entry.is_struck() {
            return Err(Error::Field {
                kind: Kind::Lift,
                field: "entry".to_owned(),
                found: format!("{} is not struck", entry.id),
            });
        }
        let mut fields = Map::new();
        fields.insert("entry".to_owned(), json!(entry.id));
        fields.insert(
            "sees".to_owned(),
            json!(
                entry
                    .strikes
                    .iter()
                    .map(|strike| strike.statement)
                    .collect::<Vec<_>>()
            ),
        );
        if !why.trim().is_empty() {
            fields.insert("why".to_owned(), why.trim().into());
        }
        Self::of(Kind::Lift, fields)
    }

    /// Checks that every entry that is named is in the log and of the right kind.
    ///
    /// # Errors
    ///
    /// - [`Error::NoSuchEntry`], [`Error::WrongTarget`]
    pub fn check_targets(&self, snapshot: &Snapshot) -> Result<(), Error> {
        let value = self.fields.get("value").cloned();
        if let (Kind::Amendment | Kind::Choice, Some(entry)) =
            (&self.kind, self.entry(snapshot, "entry"))
        {
            let field = self
                .fields
                .get("field")
                .and_then(Value::as_str)
                .unwrap_or_default();
            if let (Some(field), Some(value)) = (entry.statement.kind.field(field), &value) {
                check_target(&entry.statement.kind, field, value, snapshot)?;
            }
        }
        for (name, value) in &self.fields {
            if let Some(field) = self.kind.field(name) {
                check_target(&self.kind, field, value, snapshot)?;
            }
        }
        Ok(())
    }

    fn entry<'a>(&self, snapshot: &'a Snapshot, field: &str) -> Option<&'a Entry> {
        snapshot.entry(self.fields.get(field)?.as_str()?.parse().ok()?)
    }

    /// What no single field can tell.
    fn check_sense(&self) -> Result<(), Error> {
        let refuse = |field: &str, found: &str| {
            Err(Error::Field {
                kind: self.kind.clone(),
                field: field.to_owned(),
                found: found.to_owned(),
            })
        };
        let when = |name: &str| {
            self.fields
                .get(name)
                .and_then(Value::as_str)
                .and_then(|text| text.parse::<When>().ok())
        };
        let has = |name: &str| self.fields.contains_key(name);
        match self.kind {
            Kind::Stint => {
                if let (Some(start), Some(end)) = (when("start"), when("end")) {
                    match start.millis_until(&end) {
                        None => {
                            return refuse(
                                "end",
                                "start and end are both times of day, with their zones; otherwise give hours",
                            );
                        }
                        Some(millis) if millis < 0 => {
                            return refuse("end", "it is before the start");
                        }
                        Some(millis) if millis > 48 * 3_600_000 => {
                            return refuse(
                                "end",
                                "one unbroken stretch of labour is at most 48 hours; write several stints",
                            );
                        }
                        Some(_) => {}
                    }
                }
                if !has("start") && !has("hours") {
                    return refuse("start", "a stint has a start, or hours");
                }
                if has("end") && !has("start") {
                    return refuse("start", "a stint that has an end has a start");
                }
            }
            Kind::Reading if !(has("value") || has("word") || has("yes") || has("range")) => {
                return refuse(
                    "value",
                    "a reading has a value, a word, a yes or no, or a range",
                );
            }
            Kind::Boat => {
                if let Some(currency) = self.fields.get("currency").and_then(Value::as_str)
                    && !crate::quantity::is_currency(currency)
                {
                    return refuse(
                        "currency",
                        "three capital letters are wanted, like EUR (ISO 4217)",
                    );
                }
            }
            Kind::Position => {
                for (name, most) in [("latitude", 90), ("longitude", 180)] {
                    let value = self
                        .fields
                        .get(name)
                        .and_then(Value::as_str)
                        .and_then(|text| text.parse::<Decimal>().ok());
                    if value.is_some_and(|value| value.0.abs() > rust_decimal::Decimal::from(most))
                    {
                        return refuse(name, "it lies outside the earth");
                    }
                }
            }
            Kind::Step => {
                if let (Some(begun), Some(done)) = (when("begun"), when("done"))
                    && done.sort_key() < begun.sort_key()
                {
                    return refuse("done", "it is before the step was begun");
                }
                if let (Some(earliest), Some(latest)) =
                    (when("recoat_earliest"), when("recoat_latest"))
                    && latest.sort_key() < earliest.sort_key()
                {
                    return refuse("recoat_latest", "it is before the earliest");
                }
            }
            Kind::Member if self.fields.get("whole") == self.fields.get("part") => {
                return refuse("part", "an entry cannot be a part of itself");
            }
            _ => {}
        }
        Ok(())
    }
}

fn amendment_fields(entry: &Entry, field: &str, value: Value) -> Map<String, Value> {
    let mut fields = Map::new();
    fields.insert("entry".to_owned(), json!(entry.id));
    fields.insert("field".to_owned(), field.into());
    if !value.is_null() {
        fields.insert("value".to_owned(), value);
    }
    fields.insert("sees".to_owned(), json!(entry.seen(field)));
    fields
}

/// Checks an amendment against the kind of its entry, as the whole entry would stand with it.
fn checked_amendment(entry: &Entry, field: &str, mut value: Value) -> Result<Value, Error> {
    let kind = &entry.statement.kind;
    let described = kind
        .field(field)
        .ok_or_else(|| no_such_field(kind, field))?;
    if value.is_null() {
        if described.needed {
            return Err(Error::Needed {
                kind: kind.clone(),
                field: field.to_owned(),
                help: described.help.trim().to_owned(),
            });
        }
    } else {
        check_value(kind, described, &mut value)?;
    }
    let mut whole = entry.fields();
    let before = whole.get(field).cloned().unwrap_or(Value::Null);
    if same_value(kind, field, &before, &value) && !entry.is_disputed(field) && before == value {
        return Err(Error::Field {
            kind: kind.clone(),
            field: field.to_owned(),
            found: "it says this already".to_owned(),
        });
    }
    if value.is_null() {
        whole.remove(field);
    } else {
        whole.insert(field.to_owned(), value.clone());
    }
    // What later software wrote is left alone.
    whole.retain(|name, _| kind.field(name).is_some());
    Draft {
        kind: kind.clone(),
        fields: whole,
        happened: None,
    }
    .check_sense()?;
    Ok(value)
}

fn no_such_field(kind: &Kind, name: &str) -> Error {
    let names: Vec<&str> = kind.fields().iter().map(|field| field.name).collect();
    let near = names
        .iter()
        .min_by_key(|known| distance(known, name))
        .filter(|known| distance(known, name) <= 3);
    let hint = match near {
        Some(near) => format!("; did you mean {near:?}?"),
        None => format!("; its fields are: {}", names.join(", ")),
    };
    Error::NoSuchField {
        kind: kind.clone(),
        field: name.chars().take(60).collect(),
        hint,
    }
}

/// How many letters must change to make one word of the other (Levenshtein 1966).
fn distance(a: &str, b: &str) -> usize {
    let mut row: Vec<usize> = (0..=b.chars().count()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut corner = i;
        let mut left = i + 1;
        for (cell, y) in row.iter_mut().skip(1).zip(b.chars()) {
            let best = (corner + usize::from(x != y)).min(left + 1).min(*cell + 1);
            corner = *cell;
            *cell = best;
            left = best;
        }
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
    }
    row.last().copied().unwrap_or_default()
}

/// Checks one value against its field, and puts what people wrote into the form that is kept.
fn check_value(kind: &Kind, field: &Field, value: &mut Value) -> Result<(), Error> {
    let refuse = |found: String| Error::Field {
        kind: kind.clone(),
        field: field.name.to_owned(),
        found,
    };
    match field.shape {
        Shape::Number if value.is_number() => {
            return Err(refuse(format!(
                "write exact numbers as strings: \"{value}\""
            )));
        }
        Shape::Amount(units) => check_amount(field.name, units, value).map_err(refuse)?,
        Shape::Layers => {
            check_amounts_in(value, "thickness", crate::unit::group::LENGTH).map_err(refuse)?;
        }
        Shape::Parts => {
            check_amounts_in(value, "amount", crate::unit::group::AMOUNT).map_err(refuse)?;
        }
        Shape::Money => {
            if let Some(text) = value.as_str() {
                let money =
                    Money::from_written(text, "").map_err(|cause| refuse(cause.to_string()))?;
                *value = serde_json::to_value(money).unwrap_or_default();
            }
            let money: Money = serde_json::from_value(value.clone()).map_err(|cause| {
                refuse(format!(
                    "money is {{\"amount\": \"93.60\", \"currency\": \"EUR\"}}: {cause}"
                ))
            })?;
            if !crate::quantity::is_currency(&money.currency) {
                return Err(refuse(format!(
                    "the currency {:?} is not three capital letters, like EUR (ISO 4217)",
                    money.currency
                )));
            }
            if money.amount.is_negative() {
                return Err(refuse("it cannot be negative; write what came back as returned material or strike the entry".to_owned()));
            }
        }
        Shape::Word(list) => {
            check_word(value.as_str().unwrap_or_default(), list).map_err(refuse)?;
        }
        Shape::Words(list) => {
            for word in value.as_array().into_iter().flatten() {
                check_word(word.as_str().unwrap_or_default(), list).map_err(refuse)?;
            }
        }
        Shape::Points => check_points(value).map_err(refuse)?,
        Shape::SameSpots => check_same_spots(value).map_err(refuse)?,
        _ => {}
    }
    if let Some(text) = value.as_str()
        && text.len() > 100_000
    {
        return Err(refuse(
            "it is longer than 100,000 bytes; keep it as a paper instead".to_owned(),
        ));
    }
    let mut alone = Map::new();
    alone.insert(field.name.to_owned(), value.clone());
    let body = Body::read_map(kind, alone).map_err(|cause| refuse(cause.to_string()))?;
    let negative = match (&body, field.name) {
        (Body::Stint(stint), "hours") => stint.hours,
        (Body::Repair(repair), "hours_estimate") => repair.hours_estimate,
        (Body::Material(material), "tax") => material.tax,
        (Body::Cost(cost), "tax") => cost.tax,
        _ => None,
    };
    if negative.is_some_and(Decimal::is_negative) {
        return Err(refuse("it cannot be negative".to_owned()));
    }
    if let (Body::Stint(stint), "hours") = (&body, field.name)
        && stint.hours.is_some_and(|hours| hours > Decimal::whole(48))
    {
        return Err(refuse(
            "one unbroken stretch of labour is at most 48 hours; write several stints".to_owned(),
        ));
    }
    Ok(())
}

/// Checks points in a picture: pairs of whole thousandths, and no more of them than a hand draws.
fn check_points(value: &Value) -> Result<(), String> {
    const MOST: usize = 1000;
    let numbers = value.as_array().map_or(&[][..], Vec::as_slice);
    if let Some(outside) = numbers
        .iter()
        .find(|number| number.as_u64().is_none_or(|number| number > 1000))
    {
        return Err(format!(
            "points are whole thousandths of the picture's width and height, 0 to 1000; found {outside}"
        ));
    }
    if !numbers.len().is_multiple_of(2) {
        return Err("points are pairs: x, y, x, y; the last has no y".to_owned());
    }
    if numbers.len() / 2 > MOST {
        return Err(format!("at most {MOST} points are kept of one mark"));
    }
    Ok(())
}

fn check_same_spots(value: &Value) -> Result<(), String> {
    let numbers = value.as_array().map_or(&[][..], Vec::as_slice);
    if let Some(outside) = numbers
        .iter()
        .find(|number| number.as_u64().is_none_or(|number| number > 10_000))
    {
        return Err(format!(
            "spots are whole ten-thousandths of the pictures' width and height, 0 to 10000; found {outside}"
        ));
    }
    if !matches!(numbers.len(), 8 | 12 | 16) {
        return Err(format!(
            "two to four spots lay one picture over another, each x and y in the earlier and x and y in the later; found {} numbers",
            numbers.len()
        ));
    }
    Ok(())
}

/// Checks an amount, and puts what people wrote into the form that is kept.
fn check_amount(name: &str, units: &[&str], value: &mut Value) -> Result<(), String> {
    if let Some(text) = value.as_str() {
        let amount = Quantity::from_written(text, "").map_err(|cause| cause.to_string())?;
        *value = serde_json::to_value(amount).unwrap_or_default();
    }
    let amount: Quantity = serde_json::from_value(value.clone()).map_err(|cause| {
        format!("an amount is {{\"value\": \"12.7\", \"unit\": \"mm\"}}: {cause}")
    })?;
    if !units.is_empty() && !units.contains(&amount.unit.as_str()) {
        return Err(format!(
            "the unit {:?} does not fit; one of these does: {}",
            amount.unit,
            units.join(", ")
        ));
    }
    if amount.unit.trim().is_empty() {
        return Err("the unit is missing".to_owned());
    }
    let may_be_negative = units.is_empty()
        || units == crate::unit::group::TEMPERATURE
        || matches!(name, "along" | "across" | "height" | "altitude");
    if amount.value.is_negative() && !may_be_negative {
        return Err("it cannot be negative".to_owned());
    }
    if units == crate::unit::group::SHARE && amount.value > Decimal::whole(100) {
        return Err("it cannot be more than 100 %".to_owned());
    }
    Ok(())
}

/// Checks the amounts within a list of layers or parts as those of fields are checked, and says which item does not fit.
fn check_amounts_in(list: &mut Value, name: &str, units: &[&str]) -> Result<(), String> {
    for (item, number) in list.as_array_mut().into_iter().flatten().zip(1..) {
        if let Some(amount) = item.get_mut(name).filter(|amount| !amount.is_null()) {
            check_amount(name, units, amount)
                .map_err(|found| format!("item {number}, {name:?}: {found}"))?;
        }
    }
    Ok(())
}

fn check_word(word: &str, list: &[(&str, &str)]) -> Result<(), String> {
    if list.iter().any(|(known, _)| *known == word) {
        return Ok(());
    }
    let words = list
        .iter()
        .map(|(word, _)| *word)
        .collect::<Vec<_>>()
        .join(", ");
    Err(format!("{word:?} is none of its words: {words}"))
}

fn check_target(
    kind: &Kind,
    field: &Field,
    value: &Value,
    snapshot: &Snapshot,
) -> Result<(), Error> {
    let Shape::Entry(wanted) = field.shape else {
        return Ok(());
    };
    let id: Id = value.as_str().unwrap_or_default().parse()?;
    let found = match snapshot.entry(id) {
        Some(entry) => entry.statement.kind.clone(),
        // A choice names the statement whose value it takes, which need not be an entry.
        None if field.name == "chosen" && snapshot.statement(id).is_some() => return Ok(()),
        None => return Err(Error::NoSuchEntry { id }),
    };
    if wanted.is_empty() || wanted.contains(&found.as_str()) {
        return Ok(());
    }
    Err(Error::WrongTarget {
        kind: kind.clone(),
        field: field.name.to_owned(),
        id,
        found: found.to_string(),
        wanted: wanted.join(" or "),
    })
}

/// Stamps drafts with who says them, on which device, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamper {
    /// The log.
    pub log: Id,
    /// Who says it.
    pub hand: Id,
    /// On which device.
    pub device: Id,
    /// The device's running count of what it said last.
    pub count: u64,
    /// Minutes east of UTC of the device's clock, for the times that are not given.
    pub offset_minutes: i32,
    /// The time of the last id, so that ids grow even where the clock stands still.
    pub last_millis: u64,
}

impl Stamper {
    /// A stamper of a device that has said nothing yet.
    #[must_use]
    pub fn begin(log: Id, hand: Id, device: Id) -> Self {
        Self {
            log,
            hand,
            device,
            count: 0,
            offset_minutes: 0,
            last_millis: 0,
        }
    }

    /// Writes a draft: its id and its canonical text.
    pub fn stamp(&mut self, draft: &Draft, now_millis: u64, random: [u8; 10]) -> (Id, String) {
        self.last_millis = now_millis.max(self.last_millis + 1);
        let id = Id::new(self.last_millis, random);
        self.stamp_as(id, draft, now_millis)
    }

    /// Writes a draft under an id that was drawn before.
    pub fn stamp_as(&mut self, id: Id, draft: &Draft, now_millis: u64) -> (Id, String) {
        self.count += 1;
        self.last_millis = self.last_millis.max(id.unix_millis());
        let written = When::from_unix_millis(now_millis);
        let now_here = When::from_unix_millis_at(now_millis, self.offset_minutes);
        let text = canonical::text(&Written {
            count: self.count,
            device: self.device,
            fields: &draft.fields,
            hand: self.hand,
            happened: draft.happened.as_ref().unwrap_or(&now_here),
            kind: draft.kind.as_str(),
            log: self.log,
            written: &written,
        });
        (id, text.unwrap_or_default())
    }
}

/// The first statements of a new log: the boat, its first hand and that hand's device.
///
/// # Errors
///
/// Those of [`Draft::of`] for the boat.
pub fn begin_log(
    boat: &Draft,
    hand_name: &str,
    device_name: &str,
    now_millis: u64,
    random: [[u8; 10]; 3],
    offset_minutes: i32,
) -> Result<(Stamper, Vec<(Id, String)>), Error> {
    let [boat_random, hand_random, device_random] = random;
    let log = Id::new(now_millis, boat_random);
    let hand = Id::new(now_millis + 1, hand_random);
    let device = Id::new(now_millis + 2, device_random);
    let mut stamper = Stamper {
        offset_minutes,
        ..Stamper::begin(log, hand, device)
    };
    let mut said = vec![stamper.stamp_as(log, boat, now_millis)];
    said.push(stamper.stamp_as(hand, &hand_draft(hand_name)?, now_millis));
    said.push(stamper.stamp_as(device, &device_draft(device_name, hand, None)?, now_millis));
    Ok((stamper, said))
}

/// The first statements of a device that joins a log: its hand, where it is new, and itself.
///
/// # Errors
///
/// Those of [`Draft::of`] for an empty name.
pub fn join_log(
    snapshot: &Snapshot,
    hand_name: &str,
    device_name: &str,
    copy_of: Option<Id>,
    now_millis: u64,
    random: [[u8; 10]; 2],
    offset_minutes: i32,
) -> Result<(Stamper, Vec<(Id, String)>), Error> {
    let log = snapshot.log_id().ok_or(Error::NotStatement {
        found: "the log names no boat yet".to_owned(),
    })?;
    let [hand_random, device_random] = random;
    let known = snapshot.entries().find_map(|entry| match &entry.body {
        Body::Hand(hand)
            if !entry.is_struck() && hand.name.as_deref() == Some(hand_name.trim()) =>
        {
            Some(entry.id)
        }
        _ => None,
    });
    let hand = known.unwrap_or_else(|| Id::new(now_millis, hand_random));
    let device = Id::new(now_millis + 1, device_random);
    let mut stamper = Stamper {
        offset_minutes,
        ..Stamper::begin(log, hand, device)
    };
    let mut said = Vec::new();
    if known.is_none() {
        said.push(stamper.stamp_as(hand, &hand_draft(hand_name)?, now_millis));
    }
    said.push(stamper.stamp_as(
        device,
        &device_draft(device_name, hand, copy_of)?,
        now_millis,
    ));
    Ok((stamper, said))
}

fn hand_draft(name: &str) -> Result<Draft, Error> {
    let mut fields = Map::new();
    fields.insert("name".to_owned(), name.trim().into());
    Draft::of(Kind::Hand, fields)
}

fn device_draft(name: &str, hand: Id, copy_of: Option<Id>) -> Result<Draft, Error> {
    let mut fields = Map::new();
    fields.insert("name".to_owned(), name.trim().into());
    fields.insert("hand".to_owned(), json!(hand));
    fields.insert(
        "software".to_owned(),
        concat!("garboard ", env!("CARGO_PKG_VERSION")).into(),
    );
    if let Some(copy_of) = copy_of {
        fields.insert("copy_of".to_owned(), json!(copy_of));
    }
    Draft::of(Kind::Device, fields)
}
