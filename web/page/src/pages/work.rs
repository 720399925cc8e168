//! What runs, what can be done, repairs, what is open, hours and costs, and upkeep that falls due.

mod order;

use garboard_protocol::{Answer, Ask, OpenLine, RepairLine, RunningStint, Sum, WorkView};
use yew::{Callback, Html, component, html};

use super::add::adding;
use super::shell::{PageProps, going};
use crate::browser::{file::Files, locale};
use crate::components::{StrokesProps, TroubleBoxProps, each, strokes, trouble_box};
use crate::hooks::{AskedFor, Desk, use_asked, use_minutes};
use crate::moment::lasting;
use crate::state::Route;

/// The work.
#[component]
pub(crate) fn Work(props: &PageProps) -> Html {
    let desk = &props.desk;
    let asked = use_asked(desk, Ask::Work);
    let now = use_minutes(true);
    html! {
        <article class="page">
            <header class="page-head"><p class="page-kind">{ desk.state.opened.as_ref().map(|opened| opened.boat.clone()) }</p><h1>{ "Work" }</h1></header>
            { clocks(desk, now) }
            { match asked {
                AskedFor::Waiting => html! { <p class="part" role="status">{ "Adding up…" }</p> },
                AskedFor::Trouble(trouble) => html! { <div class="part">{ trouble_box(&TroubleBoxProps { trouble: (*trouble).clone() }) }</div> },
                AskedFor::Here(answer) => match &*answer {
                    Answer::Work(view) => whole(desk, view, now),
                    _ => Html::default(),
                },
            } }
        </article>
    }
}

fn whole(desk: &Desk, view: &WorkView, now: i64) -> Html {
    html! { <>
        { order::today(&view.today) }
        { order::windows(desk, &view.windows, now) }
        if !view.repairs.is_empty() {
            { order::ready(desk, &view.ready) }
            { order::waiting(desk, &view.waiting) }
        }
        <section class="part">
            <h2>{ "Repairs" }</h2>
            if view.repairs.is_empty() {
                <p class="soft">{ "No repairs yet. A repair says what was decided and why, and gathers its steps, hours and materials." }</p>
            } else {
                <ul class="things">{ each(&view.repairs, &|line| repair(desk, line)) }</ul>
            }
            if desk.state.can_write() { <p><button type="button" class="key" onclick={going(desk, adding("repair", None))}>{ "Begin a repair" }</button></p> }
        </section>
        { order::short(desk, &view.short) }
        { open_part(desk, &view.open) }
        { totals(view) }
        <section class="part">
            <h2>{ "Upkeep" }</h2>
            if view.upkeep.is_empty() {
                <p class="soft">{ "Nothing is written down that must be looked at or done again." }</p>
            } else {
                <ul class="things">
                    { each(&view.upkeep, &|line| html! {
                        <li><button type="button" class="thing" onclick={going(desk, Route::Entry(line.upkeep.id.clone()))}>
                            <span class="thing-name">{ line.upkeep.title.clone() }</span>
                            <span class="thing-more">{ [place_words(line.place.as_ref()), line.every.clone()].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · ") }</span>
                            <span class="thing-end">{ due(line.is_due, &line.next) }</span>
                        </button></li>
                    }) }
                </ul>
            }
            if desk.state.can_write() { <p><button type="button" class="key" onclick={going(desk, adding("upkeep", None))}>{ "Add upkeep" }</button></p> }
        </section>
    </> }
}

fn due(is_due: bool, next: &str) -> Html {
    let when = if next.is_empty() {
        "no date".to_owned()
    } else {
        locale::moment_shown(next)
    };
    if is_due {
        html! { <strong>{ format!("due {when}") }</strong> }
    } else {
        html! { { when } }
    }
}

fn place_words(place: Option<&garboard_protocol::PlaceRef>) -> String {
    place
        .map(|place| place.path.join(" › "))
        .unwrap_or_default()
}

fn repair(desk: &Desk, line: &RepairLine) -> Html {
    let mut more = vec![place_words(line.place.as_ref())];
    if line.n_steps > 0 {
        more.push(format!("{} of {} steps done", line.n_done, line.n_steps));
    }
    if !line.hours.is_empty() {
        more.push(format!("{} h", line.hours));
    }
    more.extend(
        line.spent
            .iter()
            .map(|sum| format!("{} {}", sum.figure, sum.of)),
    );
    if !line.estimate.is_empty() {
        more.push(format!("estimated {}", line.estimate));
    }
    if !more.contains(&line.detail) {
        more.push(line.detail.clone());
    }
    more.retain(|part| !part.is_empty());
    html! {
        <li><button type="button" class="thing" onclick={going(desk, Route::Entry(line.repair.id.clone()))}>
            <span class="thing-name">{ line.repair.title.clone() }</span>
            <span class="thing-more">{ strokes(&StrokesProps { filled: line.strokes, words: line.standing.clone().into() }) }<br />{ more.join(" · ") }</span>
        </button></li>
    }
}

fn open_part(desk: &Desk, open: &[OpenLine]) -> Html {
    html! {
        <section class="part">
            <h2>{ format!("Still open ({})", open.len()) }</h2>
            if open.is_empty() {
                <p class="soft">{ "No finding stands open." }</p>
            } else {
                <ul class="things">
                    { each(open, &|line| html! {
                        <li><button type="button" class="thing" onclick={going(desk, Route::Entry(line.finding.id.clone()))}>
                            <span class="thing-name">{ line.finding.title.clone() }</span>
                            <span class="thing-more">{ strokes(&StrokesProps { filled: line.strokes, words: line.standing.clone().into() }) }<br />{ place_words(line.place.as_ref()) }</span>
                            <span class="thing-end">{ line.urgency.clone() }</span>
                        </button></li>
                    }) }
                </ul>
            }
        </section>
    }
}

fn totals(view: &WorkView) -> Html {
    if view.hours.is_empty() && view.spent.is_empty() {
        return Html::default();
    }
    let table = |title: &'static str, lines: &[Sum], total: Option<&str>| {
        if lines.is_empty() {
            return Html::default();
        }
        html! {
            <table class="ledger">
                <thead><tr><th scope="col">{ title }</th><th scope="col" class="num">{ "Total" }</th></tr></thead>
                <tbody>{ each(lines, &|line| html! { <tr><th scope="row">{ line.of.clone() }</th><td class="num">{ line.figure.clone() }</td></tr> }) }</tbody>
                if let Some(total) = total { <tfoot><tr><th scope="row">{ "All" }</th><td class="num">{ total.to_owned() }</td></tr></tfoot> }
            </table>
        }
    };
    html! {
        <section class="part stack">
            <h2>{ "Hours and costs" }</h2>
            { table("Hours", &view.hours_by_person, Some(&view.hours)) }
            { table("Spent", &view.spent, None) }
        </section>
    }
}

/// The clocks that run now, of every hand.
fn clocks(desk: &Desk, now: i64) -> Html {
    let Some(opened) = desk
        .state
        .opened
        .as_ref()
        .filter(|opened| !opened.stints.is_empty())
    else {
        return Html::default();
    };
    html! {
        <section class="part">
            <h2>{ "Clocks that run" }</h2>
            <ul class="things">{ each(&opened.stints, &|stint| running(desk, stint, now)) }</ul>
        </section>
    }
}

/// A clock that runs longer than this was probably forgotten.
const FORGOTTEN_MILLIS: i64 = 12 * 3_600_000;

fn running(desk: &Desk, stint: &RunningStint, now: i64) -> Html {
    let stop = {
        let (desk, id) = (desk.clone(), stint.id.clone());
        Callback::from(move |_| {
            desk.capture(
                "The end of a stint",
                Ask::StopStint { id: id.clone() },
                &Files::default(),
                Callback::noop(),
            );
        })
    };
    let about = stint
        .repair
        .as_ref()
        .map(|repair| repair.title.clone())
        .unwrap_or_default();
    html! {
        <li><div class="thing">
            <span class="thing-name">{ format!("{}: {}", stint.hand, lasting(now - stint.start_millis)) }</span>
            <span class="thing-more">
                { format!("since {} {about}", locale::moment_shown(&stint.start)) }
                if now - stint.start_millis > FORGOTTEN_MILLIS { <><br /><strong>{ "Forgotten? Stop it, then amend its end to when you stopped working." }</strong></> }
            </span>
            if desk.state.can_write() { <span class="thing-end"><button type="button" class="link" onclick={stop}>{ "Stop" }</button></span> }
        </div></li>
    }
}

/// What is still open, beside the log where there is room.
#[component]
pub(crate) fn StillOpen(props: &PageProps) -> Html {
    let desk = &props.desk;
    let AskedFor::Here(answer) = use_asked(desk, Ask::Work) else {
        return Html::default();
    };
    let Answer::Work(view) = &*answer else {
        return Html::default();
    };
    html! { <article class="page">{ open_part(desk, &view.open) }</article> }
}
