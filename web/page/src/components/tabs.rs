//! The tabs at the foot.

use yew::{Callback, Html, html};

use super::each;

use crate::state::Section;

/// What [`tabs`] shows.
pub(crate) struct TabsProps {
    /// The one that is open.
    pub(crate) open: Section,
    /// Another was chosen.
    pub(crate) onopen: Callback<Section>,
}

/// Log, Boat, Work, Share.
pub(crate) fn tabs(props: &TabsProps) -> Html {
    html! {
        <nav class="tabs" aria-label="Parts of the log">
            { each(&Section::ALL, &|&section| {
                let onclick = props.onopen.reform(move |_| section);
                let current = (section == props.open).then_some("page");
                html! { <button type="button" class="tab" aria-current={current} {onclick}>{ section.word() }</button> }
            }) }
        </nav>
    }
}
