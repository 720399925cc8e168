//! The camera in the page: picture after picture without leaving it, and the same view as an earlier photograph.

mod eye;

use std::cell::RefCell;
use std::rc::Rc;

use garboard_protocol::{Answer, Ask, EntryView, PictureSize, PictureView, Shoot};
use yew::{
    AttrValue, Callback, Html, NodeRef, Properties, UseForceUpdateHandle, component, html,
    use_effect_with, use_force_update, use_mut_ref, use_node_ref,
};

use super::part::counted;
use super::shell::going;
use crate::browser::camera::Camera as Lens;
use crate::browser::file::{Address, Files};
use crate::browser::media::NoMedia;
use crate::browser::{device, event, memory};
use crate::components::STAGES;
use crate::hooks::{AskedFor, Desk, use_asked, use_picture};
use crate::state::{Action, Route};

/// Under this name it is remembered that *Shoot* opens the camera in the page.
const HABIT: &str = "camera";

/// Whether *Shoot* opens the camera in the page: the hand chose it once, and this browser can.
pub(super) fn is_wanted() -> bool {
    memory::recall(HABIT) == "page" && crate::browser::media::can_ask()
}

#[derive(Properties, PartialEq)]
pub(crate) struct CameraProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The earlier photograph whose view is wanted again.
    pub(crate) answers: Option<AttrValue>,
}

/// What the screen holds.
#[derive(Default)]
struct View {
    lens: Option<Lens>,
    /// Why there is no picture; `None` while it opens or is open.
    trouble: Option<NoMedia>,
    /// Whether the screen is left, so that a camera that opens late is let go of.
    is_left: bool,
    n_taken: u32,
    n_saved: u32,
    last: Option<Address>,
    last_entry: Option<String>,
    is_lit: bool,
    /// How strongly the earlier picture is seen, 0 to 100; `None` before the hand has moved it.
    strength: Option<u32>,
    is_outline: bool,
    has_grid: bool,
    says: String,
}

#[derive(Clone)]
struct Eye {
    desk: Desk,
    view: Rc<RefCell<View>>,
    shown: NodeRef,
    redraw: UseForceUpdateHandle,
}

/// The camera in the page.
#[component]
pub(crate) fn Camera(props: &CameraProps) -> Html {
    let desk = &props.desk;
    let view = use_mut_ref(View::default);
    let eye = Eye {
        desk: desk.clone(),
        view: Rc::clone(&view),
        shown: use_node_ref(),
        redraw: use_force_update(),
    };
    {
        let eye = eye.clone();
        use_effect_with((), move |()| {
            eye.open();
            let seen = eye.clone();
            // The light of the camera goes out whenever the page is out of sight.
            let sight = device::on_sight(Callback::from(move |is_seen| {
                if is_seen {
                    seen.open();
                } else {
                    seen.rest();
                }
            }));
            move || {
                drop(sight);
                let mut view = eye.view.borrow_mut();
                view.is_left = true;
                view.lens = None;
            }
        });
    }
    // Hooks are asked in every case; without an earlier photograph the heading is, and is not used.
    let asked = use_asked(
        desk,
        props
            .answers
            .as_ref()
            .map_or(Ask::Overview, |id| Ask::Entry { id: id.to_string() }),
    );
    let earlier = match &asked {
        AskedFor::Here(answer) => match &**answer {
            Answer::Entry(entry) => Some((**entry).clone()),
            _ => None,
        },
        _ => None,
    };
    let picture = earlier
        .as_ref()
        .and_then(|entry| {
            entry
                .pictures
                .iter()
                .find(|picture| picture.entry == entry.id)
        })
        .cloned();
    let digest = picture
        .as_ref()
        .map_or("", |picture| picture.digest.as_str());
    let url = use_picture(desk, digest, PictureSize::View);
    let ghost = url.zip(picture);
    let done = {
        let desk = desk.clone();
        Callback::from(move |_: yew::MouseEvent| desk.back())
    };
    let view = view.borrow();
    html! {
        <section class="sheet camera">
            <div class="sheet-head"><h1>{ if props.answers.is_some() { "Same view again" } else { "Camera" } }</h1><button type="button" class="link" onclick={done}>{ "Done" }</button></div>
            { finder(&eye, &view, ghost.as_ref()) }
            { settings(&eye, &view, ghost.as_ref(), props.answers.is_some()) }
            { foot(&eye, &view, earlier.as_ref()) }
        </section>
    }
}

/// What is seen, under the earlier picture and the thirds.
fn finder(eye: &Eye, view: &View, ghost: Option<&(String, PictureView)>) -> Html {
    let on_size = {
        let redraw = eye.redraw.clone();
        Callback::from(move |_: yew::Event| redraw.force_update())
    };
    let again = {
        let eye = eye.clone();
        Callback::from(move |_| eye.open())
    };
    html! {
        <div class="finder">
            <video class="live" ref={eye.shown.clone()} autoplay=true playsinline=true muted=true onloadedmetadata={on_size} aria-label="What the camera sees" />
            if let Some((url, picture)) = ghost { { ghost_of(url, picture, view) } }
            if view.has_grid { { thirds(view.lens.as_ref().map_or((4, 3), Lens::size)) } }
            if let Some(trouble) = &view.trouble {
                <div class="notice" role="alert">
                    <p><strong>{ trouble.words("camera") }</strong></p>
                    <p>{ "Nothing is lost. The phone’s own camera works as always: the key below opens it." }</p>
                    <div><button type="button" class="key" onclick={again}>{ "Try again" }</button></div>
                </div>
            } else if view.lens.is_none() {
                <p class="finder-says" role="status">{ "The camera opens…" }</p>
            }
        </div>
    }
}

fn ghost_of(url: &str, picture: &PictureView, view: &View) -> Html {
    let (width, height) = (picture.width.max(4), picture.height.max(3));
    let strength = view.strength.unwrap_or(50);
    let opacity = format!("{}.{:02}", strength / 100, strength % 100);
    let (width, height) = (width.to_string(), height.to_string());
    html! {
        <svg class="over" viewBox={format!("0 0 {width} {height}")} preserveAspectRatio="xMidYMid meet" aria-hidden="true">
            <filter id="edges">
                <feColorMatrix type="saturate" values="0" />
                <feGaussianBlur stdDeviation="1.2" />
                <feConvolveMatrix order="3" kernelMatrix="-1 -1 -1 -1 8 -1 -1 -1 -1" preserveAlpha="true" edgeMode="duplicate" />
                <feColorMatrix type="matrix" values="0 0 0 0 1  0 0 0 0 0.95  0 0 0 0 0.84  9 0 0 0 -0.5" />
            </filter>
            <image href={url.to_owned()} {width} {height} {opacity} filter={view.is_outline.then_some("url(#edges)")} />
        </svg>
    }
}

/// Lines at the thirds of what is seen.
fn thirds((width, height): (u32, u32)) -> Html {
    let (width, height) = (width.max(3), height.max(3));
    let path = format!(
        "M{} 0V{height}M{} 0V{height}M0 {}H{width}M0 {}H{width}",
        width / 3,
        width * 2 / 3,
        height / 3,
        height * 2 / 3
    );
    html! {
        <svg class="over" viewBox={format!("0 0 {width} {height}")} preserveAspectRatio="xMidYMid meet" aria-hidden="true">
            <path class="third-under" d={path.clone()} /><path class="third-over" d={path} />
        </svg>
    }
}

fn settings(
    eye: &Eye,
    view: &View,
    ghost: Option<&(String, PictureView)>,
    has_earlier: bool,
) -> Html {
    let toggle = |words: &'static str, is_on: bool, flip: fn(&mut View)| {
        let eye = eye.clone();
        html! { <button type="button" class="choice" aria-pressed={is_on.to_string()} onclick={Callback::from(move |_| eye.change(flip))}>{ words }</button> }
    };
    let on_strength = {
        let eye = eye.clone();
        event::typed(Callback::from(move |value: String| {
            eye.change(|view| view.strength = value.parse().ok());
        }))
    };
    let on_habit = {
        let redraw = eye.redraw.clone();
        Callback::from(move |_| {
            memory::keep(HABIT, if is_wanted() { "" } else { "page" });
            redraw.force_update();
        })
    };
    let turned = ghost
        .filter(|(_, picture)| {
            let (width, height) = view.lens.as_ref().map_or((0, 0), Lens::size);
            width > 0 && (picture.width > picture.height) != (width > height)
        })
        .map(|(_, picture)| {
            if picture.width > picture.height {
                "The earlier picture lies across: turn the phone."
            } else {
                "The earlier picture stands upright: turn the phone."
            }
        });
    html! {
        <div class="camera-set">
            if ghost.is_some() {
                <div class="field ghost-line">
                    <label for="ghost">{ "Earlier picture" }</label>
                    <input id="ghost" type="range" min="0" max="100" step="5" value={view.strength.unwrap_or(50).to_string()} oninput={on_strength} />
                </div>
            }
            <div class="choices">
                if ghost.is_some() { { toggle("Edges only", view.is_outline, |view| view.is_outline = !view.is_outline) } }
                { toggle("Thirds", view.has_grid, |view| view.has_grid = !view.has_grid) }
                if view.lens.as_ref().is_some_and(Lens::has_torch) {
                    <button type="button" class="choice" aria-pressed={view.is_lit.to_string()} onclick={ let eye = eye.clone(); Callback::from(move |_| eye.light()) }>{ "Lamp" }</button>
                }
                if !has_earlier {
                    <button type="button" class="choice" aria-pressed={is_wanted().to_string()} onclick={on_habit}>{ "Shoot opens this" }</button>
                }
            </div>
            if let Some(words) = turned { <p class="small">{ words }</p> }
        </div>
    }
}

fn foot(eye: &Eye, view: &View, earlier: Option<&EntryView>) -> Html {
    let state = &eye.desk.state;
    let n_failed = state
        .pending
        .iter()
        .filter(|pending| pending.trouble.is_some())
        .count();
    let on_stage = {
        let desk = eye.desk.clone();
        event::selected(Callback::from(move |stage: String| {
            desk.dispatch(Action::Stage(Some(stage).filter(|stage| !stage.is_empty())));
        }))
    };
    let shoot = shot(&eye.desk, earlier);
    let on_file = {
        let (eye, shoot) = (eye.clone(), shoot.clone());
        event::picked(Callback::from(move |files: Files| {
            eye.keep(&files, shoot.clone());
        }))
    };
    let on_shutter = {
        let eye = eye.clone();
        Callback::from(move |_| eye.take(shoot.clone()))
    };
    let count = match (view.n_taken, view.n_saved) {
        (0, _) => "None taken yet".to_owned(),
        (taken, saved) if taken == saved => format!("{taken} taken and saved"),
        (taken, saved) => format!("{taken} taken, {saved} saved"),
    };
    let pair = view
        .last_entry
        .clone()
        .map(|entry| going(&eye.desk, Route::Entry(entry)));
    html! {
        <div class="sheet-foot">
            <div class="camera-line">
                <div class="camera-last">
                    if let Some(last) = &view.last { <img src={last.text().to_owned()} alt="The picture taken last" /> }
                    <p class="small" role="status">{ count }</p>
                </div>
                if view.trouble.is_some() {
                    <label class="key main-key shutter">{ "Shoot" }<input type="file" accept="image/*" capture="environment" onchange={on_file} /></label>
                } else {
                    <button type="button" class="key main-key shutter" onclick={on_shutter} disabled={view.lens.is_none()}>{ "Shoot" }</button>
                }
                <div class="field camera-stage">
                    <label for="camera-stage" class="small">{ "Stage" }</label>
                    <select id="camera-stage" onchange={on_stage}>
                        <option value="" selected={state.stage.is_none()}>{ "as it is" }</option>
                        { for STAGES.iter().map(|stage| html! { <option value={*stage} selected={state.stage.as_deref() == Some(*stage)}>{ *stage }</option> }) }
                    </select>
                </div>
            </div>
            if !view.says.is_empty() { <p role="alert">{ view.says.clone() }</p> }
            if n_failed > 0 {
                <div class="rowed"><p role="alert"><strong>{ format!("{} not saved", counted(u32::try_from(n_failed).unwrap_or(u32::MAX), "picture", "pictures")) }</strong></p><button type="button" class="link" onclick={going(&eye.desk, Route::Log)}>{ "See why" }</button></div>
            }
            if let (Some(onclick), true) = (pair, earlier.is_some()) { <button type="button" class="key" {onclick}>{ "Look at the two together" }</button> }
        </div>
    }
}

/// Where a picture that is taken now goes.
fn shot(desk: &Desk, earlier: Option<&EntryView>) -> Shoot {
    let stage = desk.state.stage.clone();
    let Some(earlier) = earlier else {
        return Shoot {
            stage,
            ..Shoot::default()
        };
    };
    let field = |name: &str| {
        earlier
            .values
            .iter()
            .find(|value| value.field == name)
            .and_then(|value| value.link.clone())
    };
    Shoot {
        stage,
        answers: Some(earlier.id.clone()),
        place: earlier.place.as_ref().map(|place| place.id.clone()),
        finding: field("finding"),
        repair: field("repair"),
        ..Shoot::default()
    }
}
