//! The plan: a deck outline with the places as numbered pins, and a way to put a place where it lies.

use garboard_protocol::{Answer, Ask, PlanPin, PlanView};
use garboard_record::plan::half_breadth;
use yew::{Callback, Html, UseStateHandle, component, html, use_state};

use crate::browser::{event, file::Files};
use crate::components::each;
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::pages::shell::{PageProps, going};
use crate::state::Route;

/// Drawn length of the boat; everything on the plan is in these units.
const LENGTH: i64 = 1000;
/// Room around the outline.
const ROOM: i64 = 60;
/// What a nudge moves a pin by.
const NUDGE_MM: i64 = 100;

/// A pin that is being put somewhere.
#[derive(Debug, Clone, PartialEq)]
struct Putting {
    place: String,
    along_mm: i64,
    across_mm: i64,
}

/// The plan.
#[component]
pub(super) fn Plan(props: &PageProps) -> Html {
    let desk = &props.desk;
    let asked = use_asked(desk, Ask::Plan);
    let putting = use_state(|| None::<Putting>);
    let AskedFor::Here(answer) = asked else {
        return Html::default();
    };
    let Answer::Plan(plan) = &*answer else {
        return Html::default();
    };
    if plan.pins.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part stack">
            <h2>{ "Plan" }</h2>
            { if plan.length_mm > 0 && plan.beam_mm > 0 { drawn(desk, plan, &putting) } else { without_measures(desk) } }
        </section>
    }
}

fn without_measures(desk: &Desk) -> Html {
    let to_boat = desk
        .state
        .opened
        .as_ref()
        .and_then(|opened| opened.boat_entry.clone());
    html! { <>
        <p class="soft">{ "Give the boat's length overall and beam, and a plan is drawn here on which the places are pinned." }</p>
        if let Some(entry) = to_boat { <p><button type="button" class="key" onclick={going(desk, Route::Entry(entry))}>{ "Give length and beam" }</button></p> }
    </> }
}

fn drawn(desk: &Desk, plan: &PlanView, putting: &UseStateHandle<Option<Putting>>) -> Html {
    let half = LENGTH * plan.beam_mm / plan.length_mm.max(1) / 2;
    let (width, height) = (2 * (half + ROOM), LENGTH + 2 * ROOM);
    let view_box = format!("{} {} {width} {height}", -half - ROOM, -ROOM);
    let ontouch = (**putting).clone().map(|now| {
        let (putting, plan) = (putting.clone(), plan.clone());
        Callback::from(move |event: yew::MouseEvent| {
            let Some((right, down)) = event::within(&event) else {
                return;
            };
            let units = |share: f64, of: i64| event::rounded(share * event::real(of));
            let along = units(down, height) - ROOM;
            let across = units(right, width) - half - ROOM;
            let millimetres =
                |units: i64| (units * plan.length_mm / LENGTH + 5).div_euclid(10) * 10;
            putting.set(Some(Putting {
                place: now.place.clone(),
                along_mm: millimetres(along).clamp(0, plan.length_mm),
                across_mm: millimetres(across).clamp(-plan.beam_mm / 2, plan.beam_mm / 2),
            }));
        })
    });
    let shown: Vec<&PlanPin> = plan
        .pins
        .iter()
        .filter(|pin| pin.along_mm.is_some())
        .collect();
    let (there, elsewhere): (Vec<&PlanPin>, Vec<&PlanPin>) =
        plan.pins.iter().partition(|pin| pin.along_mm.is_some());
    html! { <>
        <div class="plan">
            <svg class={yew::classes!("plan-sheet", ontouch.is_some().then_some("putting"))} viewBox={view_box} onclick={ontouch} role="group" aria-label="Plan of the deck, bow up">
                <path class="plan-hull" d={outline(half)} />
                <path class="plan-line" d={format!("M0 0V{LENGTH}")} />
                { each(&shown, &|pin| {
                    let is_put = putting.as_ref().is_some_and(|now| now.place == pin.place.id);
                    if is_put { Html::default() } else { pinned(desk, plan, pin, putting.is_some()) }
                }) }
                if let Some(now) = putting.as_ref() { { put(plan, now) } }
            </svg>
        </div>
        { match putting.as_ref() {
            Some(now) => placing(desk, plan, now, putting),
            None => html! { <>
                <p class="small soft">{ "Bow up. A round pin is a place; a pin on its corner has open findings within it. The outline is a plain drawing to put pins on, not this boat's lines." }</p>
                <ol class="things">{ each(&there, &|pin| legend(desk, pin, putting)) }</ol>
                if !elsewhere.is_empty() && desk.state.can_write() {
                    <details>
                        <summary>{ format!("Not on the plan yet ({})", elsewhere.len()) }</summary>
                        <ol class="things">{ each(&elsewhere, &|pin| legend(desk, pin, putting)) }</ol>
                    </details>
                }
            </> },
        } }
    </> }
}

/// The outline, from the stem along starboard and back along port.
fn outline(half: i64) -> String {
    let at =
        |along: i64, sign: i64| format!("L{} {along}", sign * half * half_breadth(along) / 1000);
    let starboard = (0..=LENGTH).step_by(40).map(|along| at(along, 1));
    let port = (0..=LENGTH).rev().step_by(40).map(|along| at(along, -1));
    format!("M0 0{}Z", starboard.chain(port).collect::<String>())
}

/// Where a pin stands on the sheet.
fn point(plan: &PlanView, along_mm: i64, across_mm: i64) -> (i64, i64) {
    let scale = plan.length_mm.max(1);
    (across_mm * LENGTH / scale, along_mm * LENGTH / scale)
}

fn pinned(desk: &Desk, plan: &PlanView, pin: &PlanPin, is_still: bool) -> Html {
    let (x, y) = point(plan, pin.along_mm.unwrap_or_default(), pin.across_mm);
    let open = going(desk, Route::Entry(pin.place.id.clone()));
    let onkey = {
        let (desk, id) = (desk.clone(), pin.place.id.clone());
        event::pressed(Callback::from(move |()| desk.go(&Route::Entry(id.clone()))))
    };
    let words = format!("{}: {}, {} open", pin.number, pin.place.title, pin.n_open);
    let (onclick, onkeydown, tabindex) = if is_still {
        (None, None, "-1")
    } else {
        (Some(open), Some(onkey), "0")
    };
    html! {
        <g class="pin" transform={format!("translate({x} {y})")} role="button" {tabindex} aria-label={words} {onclick} {onkeydown}>
            <circle class="pin-reach" r="52" />
            if pin.n_open > 0 { <rect class="pin-head open" x="-27" y="-27" width="54" height="54" transform="rotate(45)" /> } else { <circle class="pin-head" r="32" /> }
            <text class="pin-number" y="13">{ pin.number }</text>
        </g>
    }
}

/// The pin that is being put somewhere.
fn put(plan: &PlanView, now: &Putting) -> Html {
    let (x, y) = point(plan, now.along_mm, now.across_mm);
    html! { <g transform={format!("translate({x} {y})")}><circle class="pin-put" r="40" /><path class="pin-put" d="M-70 0H70M0-70V70" /></g> }
}

fn legend(desk: &Desk, pin: &PlanPin, putting: &UseStateHandle<Option<Putting>>) -> Html {
    let begin = {
        let putting = putting.clone();
        let now = Putting {
            place: pin.place.id.clone(),
            along_mm: pin.along_mm.unwrap_or_default(),
            across_mm: pin.across_mm,
        };
        Callback::from(move |_| putting.set(Some(now.clone())))
    };
    let words = if pin.along_mm.is_some() {
        "Move"
    } else {
        "Put on the plan"
    };
    html! {
        <li class="thing-pair">
            <button type="button" class="thing" onclick={going(desk, Route::Entry(pin.place.id.clone()))}>
                <span class="thing-name">{ format!("{}  {}", pin.number, pin.place.title) }</span>
                <span class="thing-end">{ if pin.n_open > 0 { format!("{} open", pin.n_open) } else { String::new() } }</span>
            </button>
            if desk.state.can_write() { <button type="button" class="link" onclick={begin} aria-label={format!("{words}: {}", pin.place.title)}>{ words }</button> }
        </li>
    }
}

/// Touch the plan, or nudge by keys; then save.
fn placing(
    desk: &Desk,
    plan: &PlanView,
    now: &Putting,
    putting: &UseStateHandle<Option<Putting>>,
) -> Html {
    let title = plan
        .pins
        .iter()
        .find(|pin| pin.place.id == now.place)
        .map_or_else(String::new, |pin| pin.place.title.clone());
    let nudge = |words: &'static str, along: i64, across: i64| {
        let (putting, now) = (putting.clone(), now.clone());
        let (length, half) = (plan.length_mm, plan.beam_mm / 2);
        let onclick = Callback::from(move |_| {
            putting.set(Some(Putting {
                place: now.place.clone(),
                along_mm: (now.along_mm + along).clamp(0, length),
                across_mm: (now.across_mm + across).clamp(-half, half),
            }));
        });
        html! { <button type="button" class="choice" {onclick}>{ words }</button> }
    };
    let save = {
        let (desk, putting, now) = (desk.clone(), putting.clone(), now.clone());
        let words = format!("“{title}” on the plan");
        Callback::from(move |_| {
            desk.capture(
                words.clone(),
                Ask::Pin {
                    place: now.place.clone(),
                    along_mm: now.along_mm,
                    across_mm: now.across_mm,
                },
                &Files::default(),
                Callback::noop(),
            );
            putting.set(None);
        })
    };
    let leave = {
        let putting = putting.clone();
        Callback::from(move |_| putting.set(None))
    };
    html! {
        <div class="stack">
            <p role="status"><strong>{ title }</strong>{ format!(": {}. Touch the plan where it lies, or nudge it.", where_words(now.along_mm, now.across_mm)) }</p>
            <div class="choices" role="group" aria-label="Nudge by 10 cm">
                { nudge("Forward", -NUDGE_MM, 0) }{ nudge("Aft", NUDGE_MM, 0) }{ nudge("To port", 0, -NUDGE_MM) }{ nudge("To starboard", 0, NUDGE_MM) }
            </div>
            <div class="rowed">
                <button type="button" class="key main-key" onclick={save}>{ "Put it here" }</button>
                <button type="button" class="link" onclick={leave}>{ "Leave it" }</button>
            </div>
        </div>
    }
}

/// "2.40 m abaft the stem head, 0.80 m to port".
fn where_words(along_mm: i64, across_mm: i64) -> String {
    let metres =
        |millimetres: i64| format!("{}.{:02} m", millimetres / 1000, millimetres % 1000 / 10);
    let across = match across_mm {
        0 => "on the centreline".to_owned(),
        ..0 => format!("{} to port", metres(-across_mm)),
        _ => format!("{} to starboard", metres(across_mm)),
    };
    format!("{} abaft the stem head, {across}", metres(along_mm))
}

#[cfg(test)]
mod tests {
    use super::{outline, where_words};

    #[test]
    fn a_position_is_said_in_words() {
        assert_eq!(
            where_words(2400, -800),
            "2.40 m abaft the stem head, 0.80 m to port"
        );
        assert_eq!(
            where_words(50, 0),
            "0.05 m abaft the stem head, on the centreline"
        );
        assert_eq!(
            where_words(9000, 1250),
            "9.00 m abaft the stem head, 1.25 m to starboard"
        );
    }

    #[test]
    fn the_outline_is_closed_and_alike_on_both_sides() {
        let path = outline(160);
        assert!(
            path.starts_with("M0 0L0 0") && path.ends_with("L0 0Z"),
            "{path}"
        );
        assert!(
            path.contains("L160 520") || path.contains("L159 520"),
            "{path}"
        );
    }
}
