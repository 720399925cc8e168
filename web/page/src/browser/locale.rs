//! Dates and numbers in the manner of the person's own locale.

use js_sys::{Date, Function, Object, Reflect};
use wasm_bindgen::{JsCast as _, JsValue};

use crate::moment::Moment;

/// Milliseconds since 1970, now.
pub(crate) fn now_millis() -> i64 {
    whole(Date::now())
}

/// Today as the person's clock shows it: `2026-05-09`.
pub(crate) fn today() -> String {
    let now = Date::new_0();
    format!(
        "{:04}-{:02}-{:02}",
        now.get_full_year(),
        now.get_month() + 1,
        now.get_date()
    )
}

/// A local wall-clock time (`2026-05-09T14:22`) with the zone that this device keeps on that day.
pub(crate) fn with_zone(local: &str) -> Option<String> {
    let moment = Moment::read(local)?;
    let (hour, minute) = moment.time?;
    let date = Date::new_with_year_month_day_hr_min(
        u32::try_from(moment.year).ok()?,
        i32::from(moment.month?) - 1,
        i32::from(moment.day?),
        i32::from(hour),
        i32::from(minute),
    );
    let minutes = -whole(date.get_timezone_offset());
    let sign = if minutes < 0 { '-' } else { '+' };
    let size = minutes.abs();
    Some(format!(
        "{}T{hour:02}:{minute:02}:00{sign}{:02}:{:02}",
        moment.date_text(),
        size / 60,
        size % 60
    ))
}

/// The day of a log's page: "Saturday 9 May", with the year when it is another one.
pub(crate) fn day(moment: &Moment) -> String {
    let (Some(month), Some(day)) = (moment.month, moment.day) else {
        return reduced(moment);
    };
    let is_this_year = Date::new_0().get_full_year() == u32::try_from(moment.year).unwrap_or(0);
    let mut options = vec![
        ("weekday", "long"),
        ("day", "numeric"),
        ("month", "long"),
        ("timeZone", "UTC"),
    ];
    if !is_this_year {
        options.push(("year", "numeric"));
    }
    formatted(
        &utc(moment.year, month, day, 0, 0),
        "toLocaleDateString",
        &options,
    )
}

/// A day in few words: "9 May 2026".
pub(crate) fn short_day(moment: &Moment) -> String {
    let (Some(month), Some(day)) = (moment.month, moment.day) else {
        return reduced(moment);
    };
    let options = [
        ("day", "numeric"),
        ("month", "short"),
        ("year", "numeric"),
        ("timeZone", "UTC"),
    ];
    formatted(
        &utc(moment.year, month, day, 0, 0),
        "toLocaleDateString",
        &options,
    )
}

/// A day in the fewest words: "9 May", with the year when it is another one.
pub(crate) fn margin_day(moment: &Moment) -> String {
    let (Some(month), Some(day)) = (moment.month, moment.day) else {
        return reduced(moment);
    };
    let is_this_year = Date::new_0().get_full_year() == u32::try_from(moment.year).unwrap_or(0);
    let mut options = vec![("day", "numeric"), ("month", "short"), ("timeZone", "UTC")];
    if !is_this_year {
        options.push(("year", "numeric"));
    }
    let date = utc(moment.year, month, day, 0, 0);
    formatted(&date, "toLocaleDateString", &options)
}

/// When something was written, on this device's clock: "9 May 2026, 14:31".
pub(crate) fn written(text: &str) -> String {
    if text.len() <= 10 {
        return moment_shown(text);
    }
    let date = Date::new(&JsValue::from_str(text));
    if date.get_time().is_nan() {
        return text.to_owned();
    }
    let options = [
        ("day", "numeric"),
        ("month", "short"),
        ("year", "numeric"),
        ("hour", "2-digit"),
        ("minute", "2-digit"),
        ("hourCycle", "h23"),
    ];
    formatted(&date, "toLocaleString", &options)
}

/// When something was written, on the clock by which it happened, so that the two can be compared: a reader elsewhere
/// would otherwise see it written before it happened. On this device's clock where that clock is not known.
pub(crate) fn written_beside(text: &str, happened: &str) -> String {
    let shifted = Moment::offset_minutes(happened).map(|minutes| {
        let date = Date::new(&JsValue::from_str(text));
        date.set_time(date.get_time() + f64::from(minutes) * 60_000.0);
        date
    });
    match shifted.filter(|date| text.len() > 10 && !date.get_time().is_nan()) {
        Some(date) => moment_shown(&String::from(date.to_iso_string())),
        None => written(text),
    }
}

/// When something happened, on the clock of the place where it did: "9 May 2026, 14:22".
pub(crate) fn moment_shown(text: &str) -> String {
    let Some(moment) = Moment::read(text) else {
        return text.to_owned();
    };
    match moment.time {
        Some((hour, minute)) => format!("{}, {hour:02}:{minute:02}", short_day(&moment)),
        None => short_day(&moment),
    }
}

fn reduced(moment: &Moment) -> String {
    match moment.month {
        Some(month) => formatted(
            &utc(moment.year, month, 1, 0, 0),
            "toLocaleDateString",
            &[("month", "long"), ("year", "numeric"), ("timeZone", "UTC")],
        ),
        None => moment.year.to_string(),
    }
}

fn utc(year: i32, month: u8, day: u8, hour: u8, minute: u8) -> Date {
    let text = format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:00Z");
    Date::new(&JsValue::from_str(&text))
}

/// `date.toLocale…(undefined, options)`; falls back to ISO when the browser does not know the method.
fn formatted(date: &Date, method: &str, options: &[(&str, &str)]) -> String {
    let bag = Object::new();
    for (name, value) in options {
        drop(Reflect::set(
            &bag,
            &JsValue::from_str(name),
            &JsValue::from_str(value),
        ));
    }
    Reflect::get(date, &JsValue::from_str(method))
        .ok()
        .and_then(|method| method.dyn_into::<Function>().ok())
        .and_then(|method| method.call2(date, &JsValue::UNDEFINED, &bag).ok())
        .and_then(|shown| shown.as_string())
        .unwrap_or_else(|| String::from(date.to_iso_string()))
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "times of this age fit an i64 by far"
)]
fn whole(number: f64) -> i64 {
    number as i64
}
