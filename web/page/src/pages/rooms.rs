//! Which screens a module of the page has.

use yew::{Html, component, html, use_effect_with, use_state};

use super::add::Add;
use super::boat::Boat;
use super::camera::Camera;
use super::change::Change;
use super::differences::Differences;
use super::entry::Entry;
use super::frame::Frame;
use super::gallery::Gallery;
use super::log::Log;
use super::marks::Marks;
use super::measure::Measure;
use super::reckon::{Reckon, Sheet};
use super::share::Share;
use super::shell::PageProps;
use super::sound::Say;
use super::work::{StillOpen, Work};
use super::write::Write;
use crate::browser::{self, Error};
use crate::hooks::Desk;
use crate::state::{Route, Section};

/// The screens of a module.
pub(crate) trait Rooms: 'static {
    /// A tab's own screen.
    fn main(desk: &Desk, section: Section) -> Html;

    /// The screen over or beside it that the address names; `None` when it names a tab.
    fn detail(desk: &Desk, route: &Route) -> Option<Html>;

    /// What stands beside the log where there is room.
    fn beside(desk: &Desk) -> Html;
}

/// What a first visit needs: the log's running page, and the screens that capture.
pub(crate) struct Rail;

impl Rooms for Rail {
    fn main(desk: &Desk, section: Section) -> Html {
        match section {
            Section::Log => html! { <Log desk={desk.clone()} /> },
            _ => html! { <Elsewhere desk={desk.clone()} /> },
        }
    }

    fn detail(desk: &Desk, route: &Route) -> Option<Html> {
        match route {
            Route::Measure | Route::Write | Route::Change => capturing(desk, route),
            route if route.section().is_some() => None,
            _ => Some(html! { <Elsewhere desk={desk.clone()} /> }),
        }
    }

    fn beside(desk: &Desk) -> Html {
        html! { <Elsewhere desk={desk.clone()} /> }
    }
}

/// Every screen.
pub(crate) struct Whole;

impl Rooms for Whole {
    fn main(desk: &Desk, section: Section) -> Html {
        match section {
            Section::Log => html! { <Log desk={desk.clone()} /> },
            Section::Boat => html! { <Boat desk={desk.clone()} /> },
            Section::Work => html! { <Work desk={desk.clone()} /> },
            Section::Reckon => html! { <Reckon desk={desk.clone()} /> },
            Section::Share => html! { <Share desk={desk.clone()} /> },
        }
    }

    fn detail(desk: &Desk, route: &Route) -> Option<Html> {
        let key = route.hash();
        let detail = match route {
            Route::Entry(id) => {
                html! { <Entry desk={desk.clone()} id={id.clone()} {key} /> }
            }
            Route::Add { kind, about } => {
                html! { <Add desk={desk.clone()} kind={kind.clone()} about={about.clone()} {key} /> }
            }
            Route::Reckoning { name, about } => {
                html! { <Sheet desk={desk.clone()} name={name.clone()} about={about.clone().map(yew::AttrValue::from)} {key} /> }
            }
            Route::Differences => html! { <Differences desk={desk.clone()} /> },
            Route::Say => html! { <Say desk={desk.clone()} /> },
            Route::Camera { answers } => {
                html! { <Camera desk={desk.clone()} answers={answers.clone()} {key} /> }
            }
            Route::Gallery => html! { <Gallery desk={desk.clone()} /> },
            Route::Marks(id) => html! { <Marks desk={desk.clone()} id={id.clone()} {key} /> },
            Route::Frame(id) => html! { <Frame desk={desk.clone()} id={id.clone()} {key} /> },
            route => return capturing(desk, route),
        };
        Some(detail)
    }

    fn beside(desk: &Desk) -> Html {
        html! { <StillOpen desk={desk.clone()} /> }
    }
}

/// The screens that both modules have.
fn capturing(desk: &Desk, route: &Route) -> Option<Html> {
    match route {
        Route::Measure => Some(html! { <Measure desk={desk.clone()} /> }),
        Route::Write => Some(html! { <Write desk={desk.clone()} /> }),
        Route::Change => Some(html! { <Change desk={desk.clone()} /> }),
        _ => None,
    }
}

/// A screen that the rail lacks: the module that has it takes over, once nothing is on its way into the log.
#[component]
fn Elsewhere(props: &PageProps) -> Html {
    let pending = &props.desk.state.pending;
    let is_free = pending.is_empty();
    let failed = use_state(|| None::<Error>);
    let n_tries = use_state(|| 0_u32);
    {
        let failed = failed.clone();
        use_effect_with((is_free, *n_tries), move |(is_free, _)| {
            if *is_free {
                wasm_bindgen_futures::spawn_local(async move {
                    if let Err(error) = browser::keeper::take_whole().await {
                        failed.set(Some(error));
                    }
                });
            }
        });
    }
    let again = {
        let failed = failed.clone();
        yew::Callback::from(move |_| {
            failed.set(None);
            n_tries.set(n_tries.wrapping_add(1));
        })
    };
    let is_stuck = pending.iter().any(|pending| pending.trouble.is_some());
    html! {
        <div class="empty" role="status">
            if is_stuck {
                <h2>{ "Something is not saved yet" }</h2>
                <p>{ "Try it again, save it as a file or let it go in the log first; then this screen opens." }</p>
            } else if failed.is_some() {
                <h2>{ "This screen is not here yet" }</h2>
                <p>{ "It comes over the network once, and works without it from then on. What you capture meanwhile is saved." }</p>
                <button type="button" class="key" onclick={again}>{ "Try again" }</button>
            } else {
                <p>{ "Opening…" }</p>
            }
        </div>
    }
}
