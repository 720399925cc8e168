//! Two pictures of one view laid into one frame: by spots that a hand sets, or by what is found where that is certain.

use std::cell::RefCell;
use std::rc::Rc;

use garboard_protocol::{Amend, Answer, Ask, PictureSize, PictureView, Trouble};
use yew::{
    AttrValue, Callback, Html, Properties, UseForceUpdateHandle, component, html, use_force_update,
    use_mut_ref,
};

use super::add::leave;
use crate::browser::event::{self, Finger};
use crate::browser::file::Files;
use crate::components::{TroubleBoxProps, over, trouble_box};
use crate::hooks::{AskedFor, Desk, Laid, use_asked, use_laid, use_picture};
use crate::spots::{AT_MOST, PARTS, Side, Spots};
use crate::state::rest_of;

#[derive(Properties, PartialEq)]
pub(crate) struct FrameProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The later photograph.
    pub(crate) id: AttrValue,
}

/// What the screen holds.
#[derive(Default)]
struct Held {
    /// The spots; none before the log's own were read.
    spots: Option<Spots>,
    says: String,
    is_looking: bool,
}

/// Everything that the hand's deeds need.
#[derive(Clone)]
struct Hand {
    desk: Desk,
    later: Rc<PictureView>,
    sees: Rc<Vec<String>>,
    held: Rc<RefCell<Held>>,
    redraw: UseForceUpdateHandle,
}

/// Two pictures, laid into one frame.
#[component]
pub(crate) fn Frame(props: &FrameProps) -> Html {
    let desk = &props.desk;
    let ask = Ask::Entry {
        id: props.id.to_string(),
    };
    let asked = use_asked(desk, ask);
    let held = use_mut_ref(Held::default);
    let redraw = use_force_update();
    let found = match &asked {
        AskedFor::Here(answer) => match &**answer {
            Answer::Entry(view) => {
                let later = view.pictures.iter().find(|one| one.entry == view.id);
                let sees = view
                    .values
                    .iter()
                    .find(|value| value.field == "same_spots")
                    .map(|value| value.sees.clone());
                later.map(|later| (later.clone(), sees.unwrap_or_default()))
            }
            _ => None,
        },
        _ => None,
    };
    let earlier = found
        .as_ref()
        .and_then(|(later, _)| later.answers.as_deref());
    let digests = (
        earlier.map_or("", |earlier| earlier.digest.as_str()),
        found
            .as_ref()
            .map_or("", |(later, _)| later.digest.as_str()),
    );
    let urls = [
        use_picture(desk, digests.0, PictureSize::View),
        use_picture(desk, digests.1, PictureSize::View),
    ];
    if let Some((later, _)) = &found {
        held.borrow_mut()
            .spots
            .get_or_insert_with(|| Spots::of(&later.same_spots));
    }
    let spots = held.borrow().spots.clone().unwrap_or_default();
    let shown = if spots.are_enough() {
        spots.kept()
    } else {
        Vec::new()
    };
    let laid = use_laid(desk, &props.id, &shown);
    let body = match (&asked, found) {
        (AskedFor::Trouble(trouble), _) => trouble_box(&TroubleBoxProps {
            trouble: (**trouble).clone(),
        }),
        (AskedFor::Waiting, _) => html! { <p role="status">{ "Reading…" }</p> },
        (AskedFor::Here(_), Some((later, sees))) if later.answers.is_some() => {
            let hand = Hand {
                desk: desk.clone(),
                later: Rc::new(later),
                sees: Rc::new(sees),
                held,
                redraw,
            };
            return sheet(&hand, &spots, urls, &laid);
        }
        (AskedFor::Here(_), _) => {
            html! { <p>{ "This photograph answers no earlier one. Take one of the same view first: on the earlier photograph’s page, “Same view again”." }</p> }
        }
    };
    html! { <section class="sheet">{ head(desk) }<div class="sheet-body">{ body }</div></section> }
}

fn head(desk: &Desk) -> Html {
    html! { <div class="sheet-head"><h1>{ "One frame" }</h1>{ leave(desk) }</div> }
}

fn sheet(hand: &Hand, spots: &Spots, urls: [Option<String>; 2], laid: &Laid) -> Html {
    let later = &hand.later;
    let Some(earlier) = later.answers.as_deref() else {
        return Html::default();
    };
    let (is_looking, says) = {
        let held = hand.held.borrow();
        (held.is_looking, held.says.clone())
    };
    let look = {
        let hand = hand.clone();
        Callback::from(move |_| hand.look())
    };
    let [earlier_url, later_url] = urls;
    let shown = match laid {
        Laid::Here(one, other) => {
            let (earlier_url, later_url) = (one.text(), other.text());
            html! {
                <section class="stack" aria-label="In one frame">
                    <h2>{ "In one frame" }</h2>
                    { over("in-frame", [earlier, later], |side| {
                        let url = if side == Side::Earlier { earlier_url } else { later_url };
                        html! { <img src={url.to_owned()} alt={if side == Side::Earlier { earlier.alt.clone() } else { later.alt.clone() }} /> }
                    }) }
                </section>
            }
        }
        Laid::Not(why) => html! { <p class="notice" role="status">{ why.clone() }</p> },
        Laid::Waiting if spots.are_enough() => {
            html! { <p role="status">{ "Laying one over the other…" }</p> }
        }
        Laid::Waiting => Html::default(),
    };
    html! {
        <section class="sheet">
            { head(&hand.desk) }
            <div class="sheet-body marking">
                <p class="small soft">{ "The later picture is laid into the earlier one’s frame. Both stay as they are. It fits where the boat is flat there; near and far things still shift against each other." }</p>
                <p id="spots-how" role="status">{ spots.next() }</p>
                { surface(hand, spots, Side::Earlier, earlier, earlier_url.as_deref()) }
                { surface(hand, spots, Side::Later, later, later_url.as_deref()) }
                { closely(hand, spots, [(earlier, earlier_url.as_deref()), (later, later_url.as_deref())]) }
                <p class="rowed"><button type="button" class="key" onclick={look} disabled={is_looking}>{ if is_looking { "Looking…" } else { "Look for spots" } }</button></p>
                { shown }
            </div>
            <div class="sheet-foot">
                <p role="status">{ says }</p>
                <div class="rowed">
                    { key(hand, "Take the last away", "link", spots.len() > 0, Hand::take_away) }
                    { key(hand, "Keep", "key main-key", matches!(laid, Laid::Here(..)) && spots.kept() != later.same_spots, Hand::keep) }
                </div>
            </div>
        </section>
    }
}

fn key(hand: &Hand, words: &'static str, class: &'static str, can: bool, act: fn(&Hand)) -> Html {
    let hand = hand.clone();
    html! { <button type="button" {class} disabled={!can} onclick={Callback::from(move |_| act(&hand))}>{ words }</button> }
}

/// Where a spot lies in a picture's own pixels.
fn at(part: u32, side: u32) -> u64 {
    u64::from(part) * u64::from(side) / u64::from(PARTS)
}

/// A picture on which spots are set.
fn surface(
    hand: &Hand,
    spots: &Spots,
    side: Side,
    picture: &PictureView,
    url: Option<&str>,
) -> Html {
    let (width, height) = (picture.width.max(1), picture.height.max(1));
    let fingers = |what| {
        let hand = hand.clone();
        event::finger(
            (width, height),
            PARTS,
            what,
            Callback::from(move |(what, at)| hand.finger(side, what, at)),
        )
    };
    let keys = {
        let hand = hand.clone();
        event::keyed(move |key, is_shift| hand.key(side, key, is_shift))
    };
    let ring = u64::from(width.max(height)) * 28 / 1000;
    let size = (width.to_string(), height.to_string());
    html! {
        <figure>
            <figcaption>{ if side == Side::Earlier { "Earlier" } else { "Later" } }{ format!(": {}", picture.alt) }</figcaption>
            <div class="shot">
                <svg class="framed drawing" viewBox={format!("0 0 {width} {height}")} tabindex="0" role="application" aria-label={format!("The {} picture: {}. {} spots set", side.word(), picture.alt, spots.on(side).len())} aria-describedby="spots-keys"
                    onpointerdown={fingers(Finger::Down)} onpointermove={fingers(Finger::Along)} onpointerup={fingers(Finger::Up)} onpointercancel={fingers(Finger::Gone)} onkeydown={keys}>
                    if let Some(url) = url { <image href={url.to_owned()} width={size.0} height={size.1} /> }
                    { for spots.on(side).iter().enumerate().map(|(idx, spot)| {
                        let (x, y) = (at(spot.0, width), at(spot.1, height));
                        let is_held = spots.held == Some((side, idx));
                        let cross = format!("M{} {y}H{}M{x} {}V{}", x.saturating_sub(ring), x + ring, y.saturating_sub(ring), y + ring);
                        html! { <>
                            <path class="mark-under" d={cross.clone()} /><path class="mark-over" d={cross} />
                            <text class="mark-words" x={(x + ring / 2).to_string()} y={y.saturating_sub(ring).to_string()} font-size={(ring * 2).to_string()} stroke-width={(ring / 2).to_string()}>{ if is_held { format!("{}•", idx + 1) } else { (idx + 1).to_string() } }</text>
                        </> }
                    }) }
                </svg>
            </div>
        </figure>
    }
}

/// The spot in hand in both pictures, large, with keys that move it by a little.
fn closely(hand: &Hand, spots: &Spots, pictures: [(&PictureView, Option<&str>); 2]) -> Html {
    let Some((held, idx)) = spots.held else {
        return html! { <p class="unseen" id="spots-keys">{ "By keys: Enter sets a spot in the middle or takes hold of the next one, the arrow keys move it, Delete takes the last one away." }</p> };
    };
    let step = |words: &'static str, dx: i32, dy: i32, sign: &'static str| {
        let hand = hand.clone();
        let onclick = Callback::from(move |_| hand.change(|spots| spots.nudge(dx, dy)));
        html! { <button type="button" class="key" aria-label={words} {onclick}>{ sign }</button> }
    };
    html! {
        <section class="stack" aria-label={format!("Spot {} of the {} picture, large", idx + 1, held.word())}>
            <h2>{ format!("Spot {}, large", idx + 1) }</h2>
            <div class="two">
                { for [Side::Earlier, Side::Later].into_iter().zip(pictures).map(|(side, (picture, url))| html! {
                    <figure>
                        <div class="shot">{ glass(spots, side, idx, picture, url) }</div>
                        <figcaption class={(side == held).then_some("strong")}>{ side.word() }</figcaption>
                    </figure>
                }) }
            </div>
            <div class="rowed" role="group" aria-label={format!("Move the spot in the {} picture", held.word())}>
                { step("left", -10, 0, "←") }{ step("up", 0, -10, "↑") }{ step("down", 0, 10, "↓") }{ step("right", 10, 0, "→") }
            </div>
            <p class="unseen" id="spots-keys">{ "By keys: Enter sets a spot in the middle or takes hold of the next one, the arrow keys move it, Delete takes the last one away." }</p>
        </section>
    }
}

/// A small part of a picture around a spot.
fn glass(spots: &Spots, side: Side, idx: usize, picture: &PictureView, url: Option<&str>) -> Html {
    let (Some(spot), Some(url)) = (spots.on(side).get(idx), url) else {
        return html! { <p class="shot-none small">{ "not set yet" }</p> };
    };
    let (width, height) = (picture.width.max(1), picture.height.max(1));
    let half = i64::from(width.max(height) / 24).max(8);
    let place = |part, side| i64::try_from(at(part, side)).unwrap_or_default();
    let (x, y) = (place(spot.0, width), place(spot.1, height));
    let gap = half / 6;
    let cross = format!(
        "M{} {y}H{}M{} {y}H{}M{x} {}V{}M{x} {}V{}",
        x - half,
        x - gap,
        x + gap,
        x + half,
        y - half,
        y - gap,
        y + gap,
        y + half
    );
    html! {
        <svg class="framed glass" viewBox={format!("{} {} {} {}", x - half, y - half, 2 * half, 2 * half)} aria-hidden="true">
            <image href={url.to_owned()} width={width.to_string()} height={height.to_string()} />
            <path class="mark-under fine" d={cross.clone()} /><path class="mark-over fine" d={cross} />
        </svg>
    }
}

impl Hand {
    fn change(&self, change: impl FnOnce(&mut Spots)) {
        {
            let mut held = self.held.borrow_mut();
            held.says.clear();
            change(held.spots.get_or_insert_default());
        }
        self.redraw.force_update();
    }

    fn say(&self, says: String) {
        self.held.borrow_mut().says = says;
        self.redraw.force_update();
    }

    fn finger(&self, side: Side, what: Finger, at: (u32, u32)) {
        self.change(|spots| match what {
            Finger::Down => spots.press(side, at),
            Finger::Along => spots.draw(side, at),
            Finger::Up | Finger::Gone => spots.lift(),
        });
    }

    /// Whether the key does something here.
    fn key(&self, side: Side, key: &str, is_shift: bool) -> bool {
        let step = if is_shift { 200 } else { 10 };
        let (dx, dy) = match key {
            "ArrowLeft" => (-step, 0),
            "ArrowRight" => (step, 0),
            "ArrowUp" => (0, -step),
            "ArrowDown" => (0, step),
            "Enter" | " " => {
                self.change(|spots| spots.enter(side));
                return true;
            }
            "Delete" | "Backspace" => {
                self.take_away();
                return true;
            }
            _ => return false,
        };
        let is_held = self
            .held
            .borrow()
            .spots
            .as_ref()
            .is_some_and(|spots| spots.held.is_some_and(|(held, _)| held == side));
        if is_held {
            self.change(|spots| spots.nudge(dx, dy));
        }
        is_held
    }

    fn take_away(&self) {
        self.change(Spots::take_away);
    }

    /// Asks for spots that are found in the pictures themselves.
    fn look(&self) {
        {
            let mut held = self.held.borrow_mut();
            held.is_looking = true;
            held.says = "Looking for what both pictures show…".to_owned();
        }
        self.redraw.force_update();
        let hand = self.clone();
        let ask = Ask::FindSpots {
            photograph: self.later.entry.clone(),
        };
        self.desk.ask(ask, &Files::default(), move |outcome| {
            hand.held.borrow_mut().is_looking = false;
            match outcome {
                Ok((Answer::Spots(Ok(found)), _)) => {
                    hand.held.borrow_mut().spots = Some(Spots::of(&found));
                    hand.say(format!(
                        "{AT_MOST} spots were found. Look at both in one frame before you keep them."
                    ));
                }
                Ok((Answer::Spots(Err(why)), _)) => {
                    hand.say(format!("Nothing certain was found: {why}."));
                }
                Ok(_) => hand.say(String::new()),
                Err(trouble) => hand.say(in_words(&trouble)),
            }
        });
    }

    /// Writes the spots into the log.
    fn keep(&self) {
        let kept = self
            .held
            .borrow()
            .spots
            .as_ref()
            .map(Spots::kept)
            .unwrap_or_default();
        let numbers: Vec<String> = kept.iter().map(ToString::to_string).collect();
        let ask = Ask::Amend(Amend {
            entry: self.later.entry.clone(),
            field: "same_spots".to_owned(),
            value: format!("[{}]", numbers.join(",")),
            sees: self.sees.to_vec(),
        });
        let hand = self.clone();
        self.desk.say_about(
            ask,
            Callback::from(move |outcome: Result<Vec<String>, Trouble>| match outcome {
                Ok(_) => hand.desk.back(),
                Err(trouble) => hand.say(format!("Not saved: {}", in_words(&trouble))),
            }),
        );
    }
}

fn in_words(trouble: &Trouble) -> String {
    format!("{} {}", trouble.happened, rest_of(trouble))
}
