//! The plan: a deck outline, or the owner's own sketch or photograph, with the places as numbered pins; and a way to put
//! a place where it lies.

use garboard_protocol::{Answer, Ask, PictureSize, PictureView, PlanPin, PlanView};
use garboard_record::plan::{free, half_breadth};
use yew::{Callback, Html, UseStateHandle, component, html, use_state};

use crate::browser::{event, file::Files};
use crate::components::each;
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::pages::part::Picture;
use crate::pages::shell::{PageProps, going};
use crate::state::Route;

/// Drawn length of the boat, and drawn width of a picture.
const LENGTH: i64 = 1000;
/// Room around the outline.
const ROOM: i64 = 60;
/// Pins stand so far from each other, on the sheet.
const APART: i64 = 70;
/// What a nudge moves a pin by, on the sheet.
const NUDGE: i64 = 10;

/// What the pins stand on.
#[derive(Debug, Clone, PartialEq)]
enum Sheet {
    /// The outline drawn from length and beam.
    Outline {
        /// The boat's length, millimetres.
        length_mm: i64,
        /// Half the drawn breadth.
        half: i64,
    },
    /// The owner's own sketch or photograph.
    Picture {
        /// It.
        picture: Box<PictureView>,
        /// Its drawn height.
        height: i64,
    },
}

/// A pin that is being put somewhere on the sheet.
#[derive(Debug, Clone, PartialEq)]
struct Putting {
    place: String,
    x: i64,
    y: i64,
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
            { match Sheet::of(plan) { Some(sheet) => drawn(desk, plan, &sheet, &putting), None => without_measures(desk) } }
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
        <p class="soft">{ "Give the boat's length overall and beam, and a plan is drawn here on which the places are pinned. Or open a photograph or sketch of the deck in the log and use it as the plan." }</p>
        if let Some(entry) = to_boat { <p><button type="button" class="key" onclick={going(desk, Route::Entry(entry))}>{ "Give length and beam" }</button></p> }
    </> }
}

impl Sheet {
    /// The owner's picture where there is one, else the outline; `None` when neither can be drawn.
    fn of(plan: &PlanView) -> Option<Self> {
        if let Some(picture) = &plan.picture {
            let (width, height) = (i64::from(picture.width), i64::from(picture.height));
            let height = if width > 0 {
                height * LENGTH / width
            } else {
                LENGTH
            };
            return Some(Self::Picture {
                picture: Box::new(picture.clone()),
                height,
            });
        }
        (plan.length_mm > 0 && plan.beam_mm > 0).then(|| Self::Outline {
            length_mm: plan.length_mm,
            half: LENGTH * plan.beam_mm / plan.length_mm / 2,
        })
    }

    /// Left, top, width and height of what is seen.
    fn frame(&self) -> [i64; 4] {
        match self {
            Self::Outline { half, .. } => {
                [-half - ROOM, -ROOM, 2 * (half + ROOM), LENGTH + 2 * ROOM]
            }
            Self::Picture { height, .. } => [0, 0, LENGTH, *height],
        }
    }

    /// Where a pin stands, when it stands on this sheet.
    fn point(&self, pin: &PlanPin) -> Option<(i64, i64)> {
        match self {
            Self::Outline { length_mm, .. } => Some((
                pin.across_mm * LENGTH / length_mm,
                pin.along_mm? * LENGTH / length_mm,
            )),
            Self::Picture { height, .. } => {
                let (right, down) = pin.at?;
                Some((i64::from(right), i64::from(down) * height / 1000))
            }
        }
    }

    /// Where the pins stand, each beside the last where places lie close together.
    fn stands(&self, pins: &[&PlanPin]) -> Vec<(i64, i64)> {
        let [left, top, width, height] = self.frame();
        let is_within = |(x, y): (i64, i64)| {
            (left..=left + width).contains(&x) && (top..=top + height).contains(&y)
        };
        let reach = match self {
            Self::Outline { .. } => APART,
            Self::Picture { .. } => APART * 3 / 2,
        };
        let mut taken = Vec::new();
        for spot in pins.iter().filter_map(|pin| self.point(pin)) {
            taken.push(free(spot, &taken, reach, is_within));
        }
        taken
    }

    /// The nearest point on the sheet at which a pin can stand.
    fn within(&self, x: i64, y: i64) -> (i64, i64) {
        match self {
            Self::Outline { half, .. } => (x.clamp(-half, *half), y.clamp(0, LENGTH)),
            Self::Picture { height, .. } => (x.clamp(0, LENGTH), y.clamp(0, *height)),
        }
    }

    /// A point of the outline in millimetres, along and across, rounded to a centimetre.
    fn millimetres(x: i64, y: i64, length_mm: i64) -> (i64, i64) {
        let of = |units: i64| (units * length_mm / LENGTH + 5).div_euclid(10) * 10;
        (of(y), of(x))
    }

    /// What puts a place at a point.
    fn putting(&self, now: &Putting) -> Ask {
        let place = now.place.clone();
        match self {
            Self::Outline { length_mm, .. } => {
                let (along_mm, across_mm) = Self::millimetres(now.x, now.y, *length_mm);
                Ask::Pin {
                    place,
                    along_mm,
                    across_mm,
                }
            }
            Self::Picture { height, .. } => {
                let share = |units: i64, of: i64| {
                    u32::try_from(units * 1000 / of.max(1)).unwrap_or_default()
                };
                Ask::PinOnPicture {
                    place,
                    right: share(now.x, LENGTH),
                    down: share(now.y, *height),
                }
            }
        }
    }

    /// A point in words.
    fn where_words(&self, now: &Putting) -> String {
        match self {
            Self::Outline { length_mm, .. } => {
                let (along, across) = Self::millimetres(now.x, now.y, *length_mm);
                metres_words(along, across)
            }
            Self::Picture { height, .. } => format!(
                "{} per cent from the left, {} per cent from the top",
                now.x * 100 / LENGTH,
                now.y * 100 / height.max(&1)
            ),
        }
    }

    /// How large a pin is drawn: a picture is wider than the outline and is shrunk more.
    fn pin_scale(&self) -> &'static str {
        match self {
            Self::Outline { .. } => "",
            Self::Picture { .. } => " scale(1.5)",
        }
    }
}

fn drawn(
    desk: &Desk,
    plan: &PlanView,
    sheet: &Sheet,
    putting: &UseStateHandle<Option<Putting>>,
) -> Html {
    let [left, top, width, height] = sheet.frame();
    let view_box = format!("{left} {top} {width} {height}");
    let ontouch = (**putting).clone().map(|now| {
        let (putting, sheet) = (putting.clone(), sheet.clone());
        Callback::from(move |event: yew::MouseEvent| {
            let Some((right, down)) = event::within(&event) else {
                return;
            };
            let units = |share: f64, of: i64| event::rounded(share * event::real(of));
            let (x, y) = sheet.within(units(right, width) + left, units(down, height) + top);
            putting.set(Some(Putting {
                place: now.place.clone(),
                x,
                y,
            }));
        })
    });
    let (there, elsewhere): (Vec<&PlanPin>, Vec<&PlanPin>) =
        plan.pins.iter().partition(|pin| sheet.point(pin).is_some());
    let pins: Vec<(&PlanPin, (i64, i64))> =
        there.iter().copied().zip(sheet.stands(&there)).collect();
    let is_outline = matches!(sheet, Sheet::Outline { .. });
    html! { <>
        <div class={yew::classes!("plan", (!is_outline).then_some("pictured"))}>
            if let Sheet::Picture { picture, .. } = sheet {
                <Picture desk={desk.clone()} digest={picture.digest.clone()} alt={picture.alt.clone()} size={PictureSize::View} is_here={picture.is_here} trouble={picture.trouble.clone()} />
            }
            <svg class={yew::classes!("plan-sheet", ontouch.is_some().then_some("putting"))} viewBox={view_box} onclick={ontouch} role="group" aria-label={if is_outline { "Plan of the deck, bow up" } else { "Pins on the plan" }}>
                if let Sheet::Outline { half, .. } = sheet {
                    <path class="plan-hull" d={outline(*half)} />
                    <path class="plan-line" d={format!("M0 0V{LENGTH}")} />
                }
                { each(&pins, &|(pin, stands)| lead(sheet, pin, *stands)) }
                { each(&pins, &|(pin, stands)| {
                    let is_put = putting.as_ref().is_some_and(|now| now.place == pin.place.id);
                    if is_put { Html::default() } else { pinned(desk, sheet, pin, *stands, putting.is_some()) }
                }) }
                if let Some(now) = putting.as_ref() {
                    <g transform={format!("translate({} {}){}", now.x, now.y, sheet.pin_scale())}><circle class="pin-put" r="40" /><path class="pin-put" d="M-70 0H70M0-70V70" /></g>
                }
            </svg>
        </div>
        { match putting.as_ref() {
            Some(now) => placing(desk, plan, sheet, now, putting),
            None => html! { <>
                <p class="small soft">{ if is_outline { "Bow up. A round pin is a place; a pin on its corner has open findings within it. The outline is a plain drawing to put pins on, not this boat's lines." } else { "A round pin is a place; a pin on its corner has open findings within it." } }</p>
                <ol class="things">{ each(&there, &|pin| legend(desk, sheet, pin, putting)) }</ol>
                if !elsewhere.is_empty() && desk.state.can_write() {
                    <details>
                        <summary>{ format!("Not on the plan yet ({})", elsewhere.len()) }</summary>
                        <ol class="things">{ each(&elsewhere, &|pin| legend(desk, sheet, pin, putting)) }</ol>
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

/// A line from where a place lies to its pin, where that stands beside it; below all pins.
fn lead(sheet: &Sheet, pin: &PlanPin, (x, y): (i64, i64)) -> Html {
    match sheet.point(pin).filter(|lies| *lies != (x, y)) {
        Some((there, down)) => {
            html! { <path class="pin-lead" d={format!("M{there} {down}L{x} {y}")} /> }
        }
        None => Html::default(),
    }
}

fn pinned(desk: &Desk, sheet: &Sheet, pin: &PlanPin, (x, y): (i64, i64), is_still: bool) -> Html {
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
        <g class="pin" transform={format!("translate({x} {y}){}", sheet.pin_scale())} role="button" {tabindex} aria-label={words} {onclick} {onkeydown}>
            <circle class="pin-reach" r="52" />
            if pin.n_open > 0 { <rect class="pin-head open" x="-27" y="-27" width="54" height="54" transform="rotate(45)" /> } else { <circle class="pin-head" r="32" /> }
            <text class="pin-number" y="13">{ pin.number }</text>
        </g>
    }
}

fn legend(
    desk: &Desk,
    sheet: &Sheet,
    pin: &PlanPin,
    putting: &UseStateHandle<Option<Putting>>,
) -> Html {
    let at = sheet.point(pin);
    let [left, top, width, height] = sheet.frame();
    // A pin that is new begins in the middle.
    let (x, y) = at.unwrap_or((left + width / 2, top + height / 2));
    let begin = {
        let putting = putting.clone();
        let now = Putting {
            place: pin.place.id.clone(),
            x,
            y,
        };
        Callback::from(move |_| putting.set(Some(now.clone())))
    };
    let words = if at.is_some() {
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
    sheet: &Sheet,
    now: &Putting,
    putting: &UseStateHandle<Option<Putting>>,
) -> Html {
    let title = plan
        .pins
        .iter()
        .find(|pin| pin.place.id == now.place)
        .map_or_else(String::new, |pin| pin.place.title.clone());
    let nudge = |words: &'static str, across: i64, along: i64| {
        let (putting, now, sheet) = (putting.clone(), now.clone(), sheet.clone());
        let onclick = Callback::from(move |_| {
            let (x, y) = sheet.within(now.x + across, now.y + along);
            putting.set(Some(Putting {
                place: now.place.clone(),
                x,
                y,
            }));
        });
        html! { <button type="button" class="choice" {onclick}>{ words }</button> }
    };
    let ways = match sheet {
        Sheet::Outline { .. } => ["Forward", "Aft", "To port", "To starboard"],
        Sheet::Picture { .. } => ["Up", "Down", "Left", "Right"],
    };
    let save = {
        let (desk, putting, ask) = (desk.clone(), putting.clone(), sheet.putting(now));
        let words = format!("“{title}” on the plan");
        Callback::from(move |_| {
            desk.capture(
                words.clone(),
                ask.clone(),
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
    let [up, down, left, right] = ways;
    html! {
        <div class="stack">
            <p role="status"><strong>{ title }</strong>{ format!(": {}. Touch the plan where it lies, or nudge it.", sheet.where_words(now)) }</p>
            <div class="choices" role="group" aria-label="Nudge the pin">
                { nudge(up, 0, -NUDGE) }{ nudge(down, 0, NUDGE) }{ nudge(left, -NUDGE, 0) }{ nudge(right, NUDGE, 0) }
            </div>
            <div class="rowed">
                <button type="button" class="key main-key" onclick={save}>{ "Put it here" }</button>
                <button type="button" class="link" onclick={leave}>{ "Leave it" }</button>
            </div>
        </div>
    }
}

/// "2.40 m abaft the stem head, 0.80 m to port".
fn metres_words(along_mm: i64, across_mm: i64) -> String {
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
    use garboard_protocol::{Ask, PictureView, PlanPin, PlanView};

    use super::{Putting, Sheet, metres_words, outline};

    #[test]
    fn a_position_is_said_in_words() {
        assert_eq!(
            metres_words(2400, -800),
            "2.40 m abaft the stem head, 0.80 m to port"
        );
        assert_eq!(
            metres_words(50, 0),
            "0.05 m abaft the stem head, on the centreline"
        );
        assert_eq!(
            metres_words(9000, 1250),
            "9.00 m abaft the stem head, 1.25 m to starboard"
        );
    }

    #[test]
    fn a_pin_goes_where_it_was_put_on_either_sheet() {
        let putting = |x, y| Putting {
            place: "p".to_owned(),
            x,
            y,
        };
        let mut plan = PlanView {
            length_mm: 9600,
            beam_mm: 3200,
            ..PlanView::default()
        };
        let outline = Sheet::of(&plan).unwrap();
        assert_eq!(outline.within(900, -5), (166, 0));
        match outline.putting(&putting(-100, 250)) {
            Ask::Pin {
                along_mm,
                across_mm,
                ..
            } => assert_eq!((along_mm, across_mm), (2400, -960)),
            other => panic!("{other:?}"),
        }
        plan.picture = Some(PictureView {
            width: 400,
            height: 300,
            ..PictureView::default()
        });
        let picture = Sheet::of(&plan).unwrap();
        match picture.putting(&putting(500, 375)) {
            Ask::PinOnPicture { right, down, .. } => assert_eq!((right, down), (500, 500)),
            other => panic!("{other:?}"),
        }
        let pin = PlanPin {
            at: Some((500, 500)),
            ..PlanPin::default()
        };
        assert_eq!(picture.point(&pin), Some((500, 375)));
        assert_eq!(
            outline.point(&pin),
            None,
            "what was only pinned on a picture has no measures"
        );
        assert_eq!(Sheet::of(&PlanView::default()), None);
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
