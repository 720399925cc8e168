//! The outermost component: which of the two worlds is shown, the start or an open log.

use yew::{Html, component, html};

use super::rooms::Rooms;
use super::shell::Shell;
use super::start::Start;
use crate::hooks::use_desk_here;
use crate::state::Phase;

/// The whole page.
#[component]
pub(crate) fn App<R: Rooms>() -> Html {
    let desk = use_desk_here();
    match desk.state.phase {
        Phase::Opening => html! {
            <div class="opening" role="status"><p class="opening-name">{ "Garboard" }</p><p>{ "Opening the log…" }</p></div>
        },
        Phase::Start => html! { <Start {desk} /> },
        Phase::Remembered | Phase::Open => html! { <Shell<R> {desk} /> },
    }
}
