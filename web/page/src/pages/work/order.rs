//! What can be done now, what waits for what, which mixes and coats run, and what must be bought.

use garboard_protocol::{Ask, ShortLine, StepLine, Sum, WindowLine};
use garboard_record::calendar::{Reminder, calendar};
use yew::{Callback, Html, html};

use crate::browser::{file::Files, locale::now_millis};
use crate::components::each;
use crate::hooks::Desk;
use crate::moment::lasting;
use crate::pages::shell::going;
use crate::state::Route;

/// Mixes and coats whose time runs.
pub(super) fn windows(desk: &Desk, lines: &[WindowLine], now: i64) -> Html {
    if lines.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part">
            <h2>{ "Mixes and coats" }</h2>
            <ul class="things">
                { each(lines, &|line| html! {
                    <li class="thing-pair">
                        <button type="button" class="thing" onclick={going(desk, Route::Entry(line.entry.id.clone()))}>
                            <span class="thing-name">{ line.entry.title.clone() }</span>
                            <span class="thing-more" role="timer">{ window_words(line, now) }</span>
                            <span class="thing-end">{ if line.is_mix { "mix" } else { "coat" } }</span>
                        </button>
                        if let Some(sounds) = next_moment(line, now) {
                            <button type="button" class="key" onclick={to_calendar(desk, line, sounds)} aria-label={format!("Calendar file with an alarm: {}", line.entry.title)}>{ "Alarm" }</button>
                        }
                    </li>
                }) }
            </ul>
            <p class="small soft">{ "These times are what you wrote down from the data sheet, for the temperature that it names. A mix that warms or thickens is at its end whatever the clock says. A page cannot make a locked phone ring: Alarm gives a calendar file that your phone's calendar rings by." }</p>
        </section>
    }
}

/// The next moment that is worth an alarm: a window opens, or it is about to close.
fn next_moment(line: &WindowLine, now: i64) -> Option<i64> {
    const WARNING_MILLIS: i64 = 5 * 60_000;
    let opens = line.opens.filter(|opens| !line.is_mix && *opens > now);
    opens.or_else(|| {
        let closes = line.closes.filter(|closes| *closes > now)?;
        Some((closes - WARNING_MILLIS).max(now))
    })
}

/// Gives a calendar file with one alarm.
fn to_calendar(desk: &Desk, line: &WindowLine, sounds: i64) -> Callback<yew::MouseEvent> {
    let (desk, line) = (desk.clone(), line.clone());
    Callback::from(move |_| {
        let now = now_millis();
        let whole = |millis: i64| u64::try_from(millis).unwrap_or_default();
        let begins = line.opens.unwrap_or(sounds);
        let title = if line.is_mix {
            format!("{}: the mix is at its end", line.entry.title)
        } else {
            format!("{}: the next coat", line.entry.title)
        };
        let made = calendar(&Reminder {
            uid: &format!(
                "{}-{}@garboard",
                line.entry.id,
                if line.is_mix { "pot" } else { "coat" }
            ),
            title: &title,
            words: "As written down from the data sheet, for the temperature that it names. The data sheet on the tin holds, and so does what you see and feel.",
            begins: whole(begins),
            ends: whole(line.closes.unwrap_or(begins).max(begins)),
            sounds: whole(sounds),
            written: whole(now),
        });
        let saved = match made {
            Ok(file) => Files::of_text_as(&file, "text/calendar")
                .download(&["garboard-alarm.ics".to_owned()])
                .map_err(|error| error.0),
            Err(why) => Err(why.to_string()),
        };
        if let Err(why) = saved {
            desk.warn("No calendar file was made", why);
        }
    })
}

/// How long a window still lasts.
fn window_words(line: &WindowLine, now: i64) -> String {
    let until = |at: i64| long(at - now);
    match (line.is_mix, line.opens, line.closes) {
        (true, _, Some(closes)) if closes > now => format!("{} left to use it", until(closes)),
        (true, ..) => {
            "its pot life is over: use none of it, and let it cure where it can warm nothing"
                .to_owned()
        }
        (false, Some(opens), _) if opens > now => format!("may be covered in {}", until(opens)),
        (false, _, Some(closes)) if closes > now => {
            format!("may be covered now, for another {}", until(closes))
        }
        (false, _, Some(_)) => {
            "the window has closed: new preparation by the data sheet before the next coat"
                .to_owned()
        }
        (false, _, None) => "may be covered now".to_owned(),
    }
}

/// A length of time: "2 d 3 h", "2 h 10", "8 min".
fn long(millis: i64) -> String {
    const DAY: i64 = 86_400_000;
    if millis >= DAY {
        format!("{} d {} h", millis / DAY, millis % DAY / 3_600_000)
    } else {
        lasting(millis + 59_999)
    }
}

/// The steps that can be done now, each with a key that says it is done.
pub(super) fn ready(desk: &Desk, lines: &[StepLine]) -> Html {
    html! {
        <section class="part">
            <h2>{ "Can be done now" }</h2>
            if lines.is_empty() {
                <p class="soft">{ "No step of an open repair is ready. Steps are added on a repair's page." }</p>
            } else {
                <ul class="things">
                    { each(lines, &|line| html! {
                        <li class="thing-pair">
                            { step(desk, line) }
                            if desk.state.can_write() { <button type="button" class="key" onclick={finish(desk, line)} aria-label={format!("“{}” is done", line.step.title)}>{ "Done" }</button> }
                        </li>
                    }) }
                </ul>
            }
        </section>
    }
}

/// The steps that wait.
pub(super) fn waiting(desk: &Desk, lines: &[StepLine]) -> Html {
    if lines.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part">
            <h2>{ format!("Waits ({})", lines.len()) }</h2>
            <ul class="things">{ each(lines, &|line| html! { <li>{ step(desk, line) }</li> }) }</ul>
        </section>
    }
}

fn step(desk: &Desk, line: &StepLine) -> Html {
    html! {
        <button type="button" class="thing" onclick={going(desk, Route::Entry(line.step.id.clone()))}>
            <span class="thing-name">{ line.step.title.clone() }</span>
            <span class="thing-more">
                { line.repair.title.clone() }
                { each(&line.waits, &|words| html! { <><br /><strong>{ words.clone() }</strong></> }) }
            </span>
        </button>
    }
}

/// Says that a step is done now; the notice leads to its page, where that can be amended.
fn finish(desk: &Desk, line: &StepLine) -> Callback<yew::MouseEvent> {
    let (desk, id, title) = (desk.clone(), line.step.id.clone(), line.step.title.clone());
    Callback::from(move |_| {
        let (told, words) = (desk.clone(), format!("“{title}” is done."));
        desk.capture(
            format!("“{title}” done"),
            Ask::FinishStep { id: id.clone() },
            &Files::default(),
            Callback::from(move |entries: Vec<String>| {
                told.dispatch(crate::state::Action::Notice {
                    lead: words.clone(),
                    rest: "If that was too early, clear its time on its page.".to_owned(),
                    entry: entries.first().cloned(),
                    is_passing: true,
                });
            }),
        );
    })
}

/// What must be bought.
pub(super) fn short(desk: &Desk, lines: &[ShortLine]) -> Html {
    if lines.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part">
            <h2>{ "To buy" }</h2>
            <table class="ledger">
                <thead><tr><th scope="col">{ "Material" }</th><th scope="col" class="num">{ "Short by" }</th></tr></thead>
                <tbody>{ each(lines, &|line| html! {
                    <tr><th scope="row"><button type="button" class="link inline" onclick={going(desk, Route::Entry(line.material.id.clone()))}>{ line.material.title.clone() }</button></th><td class="num">{ line.amount.clone() }</td></tr>
                }) }</tbody>
            </table>
        </section>
    }
}

/// What was worked today.
pub(super) fn today(lines: &[Sum]) -> Html {
    if lines.is_empty() {
        return Html::default();
    }
    let words: Vec<String> = lines
        .iter()
        .map(|line| format!("{} {} h", line.of, line.figure))
        .collect();
    html! { <p class="part">{ format!("Worked today: {}.", words.join(", ")) }</p> }
}

#[cfg(test)]
mod tests {
    use garboard_protocol::WindowLine;

    use super::window_words;

    const HOUR: i64 = 3_600_000;

    fn words(is_mix: bool, opens: Option<i64>, closes: Option<i64>) -> String {
        let line = WindowLine {
            is_mix,
            opens: opens.map(|hours| hours * HOUR),
            closes: closes.map(|hours| hours * HOUR),
            ..WindowLine::default()
        };
        window_words(&line, 10 * HOUR)
    }

    #[test]
    fn the_alarm_sounds_when_a_window_opens_or_before_it_closes() {
        let line = |is_mix, opens, closes| WindowLine {
            is_mix,
            opens,
            closes,
            ..WindowLine::default()
        };
        let minute = 60_000;
        assert_eq!(
            super::next_moment(&line(false, Some(HOUR), Some(9 * HOUR)), 0),
            Some(HOUR)
        );
        assert_eq!(
            super::next_moment(&line(false, Some(-HOUR), Some(HOUR)), 0),
            Some(HOUR - 5 * minute)
        );
        assert_eq!(
            super::next_moment(&line(true, Some(0), Some(2 * minute)), 0),
            Some(0)
        );
        assert_eq!(
            super::next_moment(&line(true, Some(0), Some(minute)), HOUR),
            None
        );
    }

    #[test]
    fn windows_count_down_and_then_say_what_follows() {
        assert_eq!(words(true, None, Some(11)), "1 h 00 left to use it");
        assert!(words(true, None, Some(9)).contains("over"));
        assert_eq!(words(false, Some(12), None), "may be covered in 2 h 00");
        assert_eq!(
            words(false, Some(9), Some(60)),
            "may be covered now, for another 2 d 2 h"
        );
        assert!(words(false, Some(1), Some(9)).contains("closed"));
        assert_eq!(words(false, Some(1), None), "may be covered now");
    }
}
