//! The frame around an open log: the strip above, the page between, the rail and the tabs below.

use garboard_protocol::{Ask, Shoot};
use yew::{
    Callback, Html, Properties, classes, component, html, use_effect_with, use_mut_ref,
    use_node_ref,
};

use super::camera;
use super::part::device_word;
use super::rooms::Rooms;
use crate::browser::{self, event, file::Files};
use crate::components::{
    NoticeBarProps, RailProps, TabsProps, WorkingAtStripProps, notice_bar, rail, tabs,
    working_at_strip,
};
use crate::hooks::{Desk, use_minutes};
use crate::moment::lasting;
use crate::state::{Route, Section};

/// What every page gets.
#[derive(Properties, PartialEq, Clone)]
pub(crate) struct PageProps {
    /// The desk.
    pub(crate) desk: Desk,
}

/// An open log.
#[component]
pub(crate) fn Shell<R: Rooms>(props: &PageProps) -> Html {
    let desk = &props.desk;
    let state = &desk.state;
    let stint = state.own_stint().cloned();
    let now = use_minutes(stint.is_some());
    use_awake(desk, stint.is_some() || !state.progress.is_empty());

    let detail_node = use_node_ref();
    {
        let node = detail_node.clone();
        use_effect_with(state.route.clone(), move |_| event::scroll_to_top(&node));
    }
    let main_node = use_node_ref();
    {
        let node = main_node.clone();
        use_effect_with((state.section, state.filter.clone()), move |_| {
            event::scroll_to_top(&node);
        });
    }

    {
        let boat = state
            .opened
            .as_ref()
            .map_or("", |opened| opened.boat.as_str());
        let title = format!("{}, {boat}", state.section.word());
        use_effect_with(title, |title| browser::address::set_title(title));
    }

    let is_sheet = state.route.is_sheet();
    let detail = R::detail(desk, &state.route);
    let has_detail = detail.is_some();
    let beside = match detail {
        Some(detail) => Some(detail),
        None if state.is_wide && state.section == Section::Log => Some(R::beside(desk)),
        None => None,
    };
    let main = R::main(desk, state.section);

    let onopen = {
        let desk = desk.clone();
        Callback::from(move |entry: String| desk.go(&Route::Entry(entry)))
    };
    let onaway = {
        let desk = desk.clone();
        Callback::from(move |number| desk.dispatch(crate::state::Action::PutAway(number)))
    };
    let class = classes!(
        "shell",
        has_detail.then_some("detail"),
        is_sheet.then_some("capturing"),
        beside.is_none().then_some("alone"),
    );
    html! {
        <div {class} ondragover={event::dragged()} ondrop={event::dropped(to_gallery(desk))}>
            if state.section != Section::Share || is_sheet || state.is_wide { { working_at_strip(&WorkingAtStripProps { working_at: state.working_at().cloned().unwrap_or_default(), stage: state.stage.clone(), can_change: state.can_write() && state.route != Route::Change, onchange: going(desk, Route::Change), is_stale: desk.is_stale(), onstay: desk_stays(desk) }) } }
            <section class="brand" aria-label="This log">{ brand(desk) }</section>
            <main class="pages">
            <div class="main" tabindex="-1" ref={main_node}>
                if !has_detail || state.is_wide { { bars(desk, onaway.clone(), onopen.clone()) } }
                { main }
            </div>
            <div class="beside" ref={detail_node}>
                if has_detail && !state.is_wide { { bars(desk, onaway, onopen) } }
                { beside.unwrap_or_default() }
            </div>
            </main>
            <footer class="foot">
                if state.can_write() && state.section != Section::Share {
                    { rail(&RailProps { running: stint.as_ref().map(|stint| yew::AttrValue::from(lasting(now - stint.start_millis))), onshoot: event::picked(shoot(desk)), oncamera: camera::is_wanted().then(|| going(desk, Route::Camera { answers: None })), onmeasure: going(desk, Route::Measure), onwrite: going(desk, Route::Write), onclock: clock(desk) }) }
                }
                { tabs(&TabsProps { open: state.section, onopen: to_section(desk) }) }
            </footer>
        </div>
    }
}

/// A newer build lies ready.
pub(super) fn newer(desk: &Desk) -> Html {
    let Some(news) = &desk.state.newer else {
        return Html::default();
    };
    html! {
        <div class="notice" role="status">
            <p><strong>{ "A newer build of Garboard is here." }</strong>{ " Your log stays as it is." }</p>
            if !news.is_empty() {
                <details><summary>{ "What changed" }</summary><ul class="bullets">{ for news.lines().map(|line| html! { <li>{ line.to_owned() }</li> }) }</ul></details>
            }
            <button type="button" class="link" onclick={Callback::from(|_| browser::device::take_newer())}>{ "Change over now" }</button>
        </div>
    }
}

/// Notices, and what this tab must say about itself.
fn bars(desk: &Desk, onaway: Callback<u32>, onopen: Callback<String>) -> Html {
    let state = &desk.state;
    html! { <>
        { newer(desk) }
        if state.is_follower {
            <div class="notice" role="status">
                <p><strong>{ "Another tab writes in this log." }</strong>{ " This one shows what it writes, and may write when that one is closed." }</p>
            </div>
        }
        { notice_bar(&NoticeBarProps { notices: state.notices.clone(), onaway, onopen }) }
    </> }
}

/// The boat and the hand, where there is room for them.
fn brand(desk: &Desk) -> Html {
    let Some(opened) = &desk.state.opened else {
        return Html::default();
    };
    html! { <>
        <h1>{ opened.boat.clone() }</h1>
        <p class="soft">{ format!("{} writes here", opened.hand.name) }</p>
        <p class="small soft">{ format!("{} statements on {}", opened.n_statements, device_word(desk)) }</p>
        if opened.n_disputes > 0 {
            <button type="button" class="link" onclick={going(desk, Route::Differences)}>{ format!("{} written differently", opened.n_disputes) }</button>
        }
        if opened.is_demo { <p class="small soft">{ "The demonstration boat: invented, and yours to try things on." }</p> }
    </> }
}

/// The person is still where the strip says.
fn desk_stays(desk: &Desk) -> Callback<yew::MouseEvent> {
    let desk = desk.clone();
    Callback::from(move |_| desk.stay())
}

/// To a tab.
fn to_section(desk: &Desk) -> Callback<Section> {
    let desk = desk.clone();
    Callback::from(move |section: Section| desk.go(&section.route()))
}

/// To a screen.
pub(super) fn going(desk: &Desk, route: Route) -> Callback<yew::MouseEvent> {
    let desk = desk.clone();
    Callback::from(move |_| desk.go(&route))
}

/// What was dropped on the page goes to the screen that takes in many.
fn to_gallery(desk: &Desk) -> Callback<Files> {
    let desk = desk.clone();
    Callback::from(move |files: Files| {
        if desk.state.can_write() {
            browser::file::lay_by(&files, "");
            desk.go(&Route::Gallery);
            // The screen may be open already, and then looks again.
            desk.dispatch(crate::state::Action::Touched);
        }
    })
}

/// Takes in what the camera gave, at the place where the person works.
pub(super) fn shoot(desk: &Desk) -> Callback<Files> {
    let desk = desk.clone();
    Callback::from(move |files: Files| {
        let words = match files.len() {
            1 => "A photograph".to_owned(),
            n => format!("{n} photographs"),
        };
        let ask = Ask::Shoot(Shoot {
            stage: desk.state.stage.clone(),
            ..Shoot::default()
        });
        desk.capture(words, ask, &files, Callback::noop());
        if desk.state.section != Section::Log || !matches!(desk.state.route, Route::Log) {
            desk.go(&Route::Log);
        }
    })
}

/// Starts the clock, or stops it.
fn clock(desk: &Desk) -> Callback<yew::MouseEvent> {
    let desk = desk.clone();
    Callback::from(move |_| {
        let is_on_its_way = desk
            .state
            .pending
            .iter()
            .any(|pending| pending.words.contains("stint") && pending.trouble.is_none());
        if is_on_its_way {
            return;
        }
        match desk.state.own_stint() {
            Some(stint) => {
                let lasted = lasting(browser::locale::now_millis() - stint.start_millis);
                let told = desk.clone();
                desk.capture("The end of a stint", Ask::StopStint { id: stint.id.clone() }, &Files::default(), Callback::from(move |entries: Vec<String>| {
                    told.dispatch(crate::state::Action::Notice {
                        lead: format!("The clock stands. The stint lasted {lasted}."),
                        rest: "If that is not right, its start and end can be amended on its page.".to_owned(),
                        entry: entries.first().cloned(), is_passing: true,
                    });
                }));
            }
            None => desk.capture(
                "The start of a stint",
                Ask::StartStint,
                &Files::default(),
                Callback::noop(),
            ),
        }
    })
}

/// Keeps the screen awake while something runs.
#[yew::hook]
fn use_awake(desk: &Desk, is_running: bool) {
    let held = use_mut_ref(|| None::<browser::device::Awake>);
    let _ = desk;
    use_effect_with(is_running, move |is_running| {
        let is_running = *is_running;
        let take = move || {
            let held = held.clone();
            wasm_bindgen_futures::spawn_local(async move {
                let lock = if is_running {
                    browser::device::stay_awake().await
                } else {
                    None
                };
                *held.borrow_mut() = lock;
            });
        };
        take();
        // The browser lets go of the lock when the page goes out of sight.
        let seen = is_running.then(|| browser::device::on_seen(Callback::from(move |()| take())));
        move || drop(seen)
    });
}
