//! What happened, what is safe, what to do.

use garboard_protocol::Trouble;
use yew::{Callback, Html, html};

use crate::state::{Notice, rest_of};

/// What [`notice_bar`] shows.
pub(crate) struct NoticeBarProps {
    /// What there is to tell.
    pub(crate) notices: Vec<Notice>,
    /// Puts one away.
    pub(crate) onaway: Callback<u32>,
    /// To the entry that one speaks of.
    pub(crate) onopen: Callback<String>,
}

/// The newest notice above a page; the others come as it is put away. A screen reader hears it as it comes.
pub(crate) fn notice_bar(props: &NoticeBarProps) -> Html {
    let Some(notice) = props.notices.last() else {
        return html! { <div class="notices" role="status" aria-live="polite"></div> };
    };
    let number = notice.number;
    let away = props.onaway.reform(move |_| number);
    let look = notice
        .entry
        .clone()
        .map(|entry| props.onopen.reform(move |_| entry.clone()));
    let n_more = props.notices.len() - 1;
    html! {
        <div class="notices" role="status" aria-live="polite">
            <div class="notice" key={number}>
                <div>
                    <p><strong>{ notice.lead.clone() }</strong></p>
                    if !notice.rest.is_empty() { <p>{ notice.rest.clone() }</p> }
                    if let Some(onclick) = look { <button type="button" class="link" {onclick}>{ "Look at it" }</button> }
                </div>
                <div class="notice-end">
                    <button type="button" class="link" onclick={away}>{ "Put away" }</button>
                    if n_more > 0 { <p class="small soft">{ format!("{n_more} more") }</p> }
                </div>
            </div>
        </div>
    }
}

/// What could not be saved, above the form that still holds it.
pub(crate) fn not_saved(trouble: &Trouble) -> Html {
    html! {
        <div class="notice" role="alert">
            <p><strong>{ "Not saved" }</strong></p>
            <p>{ trouble.happened.clone() }</p>
            <p>{ rest_of(trouble) }</p>
        </div>
    }
}

/// What [`trouble_box`] shows.
pub(crate) struct TroubleBoxProps {
    /// What went wrong.
    pub(crate) trouble: Trouble,
}

/// What went wrong, where it went wrong.
pub(crate) fn trouble_box(props: &TroubleBoxProps) -> Html {
    html! {
        <div class="notice" role="alert">
            <p><strong>{ props.trouble.happened.clone() }</strong></p>
            <p>{ rest_of(&props.trouble) }</p>
        </div>
    }
}
