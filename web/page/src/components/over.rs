//! Two pictures of one view, one over the other, with an edge between them that moves.

use garboard_protocol::PictureView;
use yew::{Html, html};

use crate::browser::event;
use crate::spots::Side;

/// A picture's stage in words.
pub(crate) fn stage_word(picture: &PictureView) -> &str {
    if picture.stage.is_empty() {
        "stage not said"
    } else {
        &picture.stage
    }
}

/// The earlier picture over the later one; `show` draws each, and `id` names the edge's slider.
pub(crate) fn over(
    id: &str,
    [earlier, later]: [&PictureView; 2],
    show: impl Fn(Side) -> Html,
) -> Html {
    let both = format!("{} to {}", stage_word(earlier), stage_word(later));
    html! {
        <div class="before-after">
            <div class="shot">
                <div class="after">{ show(Side::Later) }</div>
                <div class="before">{ show(Side::Earlier) }</div>
                <span class="edge" aria-hidden="true"></span>
            </div>
            <label class="unseen" for={id.to_owned()}>{ format!("How much is seen of the earlier picture, {both}") }</label>
            <input class="edge-slider" id={id.to_owned()} type="range" min="0" max="100" value="50" oninput={event::slid()} />
        </div>
    }
}
