//! The marks on a photograph: drawn by hand or by keys, moved, struck, and taken back.

mod hand;

use std::cell::RefCell;
use std::rc::Rc;

use garboard_protocol::{Answer, Ask, Choice, MarkView, PictureSize, PictureView};
use yew::{
    AttrValue, Callback, Html, Properties, UseForceUpdateHandle, component, html, use_force_update,
    use_mut_ref,
};

use super::add::leave;
use super::shell::going;
use crate::browser::event::{self, Finger};
use crate::components::{
    ChoiceKeysProps, Ground, TroubleBoxProps, choice_keys, each, handles, marks, one_mark,
    trouble_box,
};
use crate::hooks::{AskedFor, Desk, use_asked, use_picture};
use crate::sketch::{Bench, FARTHEST, Tool, in_words, next_number, pairs};
use crate::state::Route;

#[derive(Properties, PartialEq)]
pub(crate) struct MarksProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The photograph.
    pub(crate) id: AttrValue,
}

/// Everything that the hand's deeds need.
#[derive(Clone)]
struct Hand {
    desk: Desk,
    photograph: String,
    picture: Rc<PictureView>,
    bench: Rc<RefCell<Bench>>,
    redraw: UseForceUpdateHandle,
}

/// The marks on a photograph.
#[component]
pub(crate) fn Marks(props: &MarksProps) -> Html {
    let desk = &props.desk;
    let asked = use_asked(
        desk,
        Ask::Entry {
            id: props.id.to_string(),
        },
    );
    let bench = use_mut_ref(Bench::default);
    let redraw = use_force_update();
    let picture = match &asked {
        AskedFor::Here(answer) => match &**answer {
            Answer::Entry(view) => view
                .pictures
                .iter()
                .find(|picture| picture.entry == view.id)
                .cloned(),
            _ => None,
        },
        _ => None,
    };
    let digest = picture
        .as_ref()
        .map_or("", |picture| picture.digest.as_str());
    let url = use_picture(desk, digest, PictureSize::View);
    let body = match (&asked, picture) {
        (AskedFor::Trouble(trouble), _) => trouble_box(&TroubleBoxProps {
            trouble: (**trouble).clone(),
        }),
        (AskedFor::Waiting, _) => html! { <p role="status">{ "Reading…" }</p> },
        (AskedFor::Here(_), Some(picture)) if picture.width > 0 && picture.height > 0 => {
            let hand = Hand {
                desk: desk.clone(),
                photograph: props.id.to_string(),
                picture: Rc::new(picture),
                bench,
                redraw,
            };
            return sheet(desk, &hand, url);
        }
        (AskedFor::Here(_), _) => {
            html! { <p>{ "This picture cannot be marked here: it is not on this device in a size that can be shown." }</p> }
        }
    };
    html! { <section class="sheet">{ head(desk) }<div class="sheet-body">{ body }</div></section> }
}

fn head(desk: &Desk) -> Html {
    html! { <div class="sheet-head"><h1>{ "Marks" }</h1>{ leave(desk) }</div> }
}

fn sheet(desk: &Desk, hand: &Hand, url: Option<String>) -> Html {
    let bench = hand.bench.borrow().clone();
    let tools = Tool::ALL.map(|tool| Choice {
        raw: tool.word().to_owned(),
        label: tool.label().to_owned(),
        note: String::new(),
    });
    let on_tool = {
        let hand = hand.clone();
        Callback::from(move |raw: String| {
            hand.change(|bench| {
                bench.take(Tool::ALL.into_iter().find(|tool| tool.word() == raw));
                bench.says.clear();
                bench.undo = None;
            });
        })
    };
    let how = match (bench.tool, &bench.chosen) {
        (Some(tool), _) => tool.how(),
        (None, Some(_)) => {
            "Draw it, or one of its squares, to another place. By keys: the arrow keys move it, Enter keeps it there, Delete strikes it."
        }
        (None, None) => "Choose what to draw, or touch a mark to move it.",
    };
    let on_words = {
        let hand = hand.clone();
        event::typed(Callback::from(move |words: String| {
            hand.change(|bench| bench.words = words);
        }))
    };
    html! {
        <section class="sheet">
            { head(desk) }
            <div class="sheet-body marking">
                { choice_keys(&ChoiceKeysProps { label: "What to draw".into(), choices: tools.to_vec(), chosen: bench.tool.map_or("", Tool::word).into(), onchoose: on_tool }) }
                if bench.tool == Some(Tool::Words) {
                    <div class="field">
                        <label for="mark-words">{ "The words" }</label>
                        <input id="mark-words" type="text" autocomplete="off" value={bench.words.clone()} oninput={on_words} />
                    </div>
                }
                <p class="small soft" id="mark-how">{ how }</p>
                { surface(hand, &bench, url) }
                { list(hand, &bench) }
            </div>
            { foot(hand, &bench) }
        </section>
    }
}

/// The picture with its marks, which can be drawn on.
fn surface(hand: &Hand, bench: &Bench, url: Option<String>) -> Html {
    let picture = &hand.picture;
    let ground = Ground {
        width: picture.width,
        height: picture.height,
        is_small: false,
        is_filling: false,
    };
    let fingers = |what| {
        let hand = hand.clone();
        event::finger(
            (ground.width, ground.height),
            FARTHEST,
            what,
            Callback::from(move |(what, at)| hand.finger(what, at)),
        )
    };
    let keys = {
        let hand = hand.clone();
        event::keyed(move |key, is_shift| hand.key(key, is_shift))
    };
    let chosen = bench.chosen_of(&picture.marks);
    // What is moved is drawn where it is now, and not where it was.
    let still: Vec<MarkView> = picture
        .marks
        .iter()
        .filter(|mark| chosen.is_none_or(|chosen| chosen.entry != mark.entry))
        .cloned()
        .collect();
    let chosen = chosen.map(|mark| {
        let points = bench.moved.clone().unwrap_or_else(|| pairs(&mark.points));
        html! { <>{ one_mark(&mark.shape, &points, &mark.words, ground) }{ handles(&points, bench.part, ground) }</> }
    });
    let drawing = bench.tool.map(|tool| {
        let shape = if tool == Tool::Outline { "line" } else { tool.word() };
        let words = match tool {
            Tool::Number => next_number(&picture.marks).to_string(),
            Tool::Words => bench.words.clone(),
            _ => String::new(),
        };
        html! { <>{ one_mark(shape, &bench.points, &words, ground) }if bench.points.len() == 1 { { handles(&bench.points, None, ground) } }</> }
    });
    let (width, height) = (ground.width.to_string(), ground.height.to_string());
    // Without a tool and beside a mark, a finger scrolls the page as everywhere.
    let class = if bench.tool.is_some() || bench.chosen.is_some() {
        "framed drawing"
    } else {
        "framed"
    };
    html! {
        <div class="shot">
            <svg {class} viewBox={format!("0 0 {width} {height}")} tabindex="0" role="application" aria-label={format!("{}. Drawing surface", picture.alt)} aria-describedby="mark-how"
                onpointerdown={fingers(Finger::Down)} onpointermove={fingers(Finger::Along)} onpointerup={fingers(Finger::Up)} onpointercancel={fingers(Finger::Gone)} onkeydown={keys}>
                if let Some(url) = url { <image href={url} {width} {height} /> }
                { marks(&still, ground) }
                { drawing.unwrap_or_default() }
                { chosen.unwrap_or_default() }
            </svg>
        </div>
    }
}

/// All marks in words, with what can be done to each.
fn list(hand: &Hand, bench: &Bench) -> Html {
    let marks = &hand.picture.marks;
    if marks.is_empty() {
        return html! { <p class="soft">{ "Nothing is marked yet. The picture itself stays as it came; marks lie beside it." }</p> };
    }
    html! {
        <ul class="things">
            { each(marks, &|mark| {
                let is_chosen = bench.chosen.as_ref() == Some(&mark.entry) && !mark.is_struck;
                let words = in_words(mark);
                let choose = {
                    let (hand, entry) = (hand.clone(), mark.entry.clone());
                    Callback::from(move |_| hand.change(|bench| {
                        bench.tool = None;
                        bench.points.clear();
                        bench.choose((!is_chosen).then(|| entry.clone()));
                    }))
                };
                let strike = {
                    let (hand, entry, is_struck) = (hand.clone(), mark.entry.clone(), mark.is_struck);
                    Callback::from(move |_| if is_struck { hand.lift_strike(&entry) } else { hand.strike(&entry) })
                };
                html! {
                    <li class="mark-line" key={mark.entry.clone()}>
                        if mark.is_struck {
                            <s>{ words.clone() }</s>
                        } else {
                            <button type="button" class="choice" aria-pressed={is_chosen.to_string()} onclick={choose}>{ words.clone() }</button>
                        }
                        if mark.is_disputed { <span class="small">{ "Two hands wrote it differently" }</span> }
                        <span class="mark-do">
                            <button type="button" class="link" onclick={going(&hand.desk, Route::Entry(mark.entry.clone()))}>{ "Its page" }<span class="unseen">{ format!(", {words}") }</span></button>
                            <button type="button" class="link" onclick={strike}>{ if mark.is_struck { "Lift the strike" } else { "Strike" } }<span class="unseen">{ format!(" {words}") }</span></button>
                        </span>
                    </li>
                }
            }) }
        </ul>
    }
}

/// What was done last, and what there is to decide.
fn foot(hand: &Hand, bench: &Bench) -> Html {
    let key = |words: &'static str, class: &'static str, act: fn(&Hand)| {
        let hand = hand.clone();
        html! { <button type="button" {class} onclick={Callback::from(move |_| act(&hand))}>{ words }</button> }
    };
    let parts = bench
        .chosen_of(&hand.picture.marks)
        .map(|mark| pairs(&mark.points).len())
        .filter(|n_points| *n_points > 1);
    let on_part = {
        let hand = hand.clone();
        event::selected(Callback::from(move |part: String| {
            hand.change(|bench| bench.part = part.parse().ok());
        }))
    };
    html! {
        <div class="sheet-foot">
            if let Some(n_points) = parts {
                <div class="field mark-part">
                    <label for="mark-part">{ "Moves" }</label>
                    <select id="mark-part" onchange={on_part}>
                        <option value="" selected={bench.part.is_none()}>{ "all of it" }</option>
                        { for (0..n_points).map(|idx| html! { <option value={idx.to_string()} selected={bench.part == Some(idx)}>{ format!("its point {} of {n_points}", idx + 1) }</option> }) }
                    </select>
                </div>
            }
            if bench.moved.is_some() {
                <div class="rowed">{ key("Keep it there", "key main-key", Hand::keep) }{ key("Put it back", "link", |hand| hand.change(Bench::back)) }</div>
            }
            if bench.tool == Some(Tool::Outline) && !bench.points.is_empty() {
                <div class="rowed">
                    if bench.points.len() > 2 { { key("Close the outline", "key main-key", |hand| { let drawn = hand.bench.borrow_mut().close(); hand.done(drawn); }) } }
                    { key("Leave it", "link", |hand| hand.change(Bench::back)) }
                </div>
            }
            <div class="rowed">
                <p role="status">{ bench.says.clone() }</p>
                if bench.undo.is_some() { { key("Undo", "key", Hand::undo) } }
            </div>
        </div>
    }
}
