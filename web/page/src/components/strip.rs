//! The strip that says where everything captured goes.

use garboard_protocol::WorkingAt;
use yew::{Callback, Html, MouseEvent, html};

use super::{STAGES, StrokesProps, stage_idx, strokes};

/// What [`working_at_strip`] shows.
pub(crate) struct WorkingAtStripProps {
    /// Where.
    pub(crate) working_at: WorkingAt,
    /// The stage chosen by hand; `None` leaves it to how far the finding has come.
    pub(crate) stage: Option<String>,
    /// Whether it can be changed from here.
    pub(crate) can_change: bool,
    /// Whether nothing was captured for so long that the person may be elsewhere.
    pub(crate) is_stale: bool,
    /// The person is still there.
    pub(crate) onstay: Callback<MouseEvent>,
    /// To the choice of another place.
    pub(crate) onchange: Callback<MouseEvent>,
}

/// Place, finding or repair, and the stage of the photographs.
pub(crate) fn working_at_strip(props: &WorkingAtStripProps) -> Html {
    let at = &props.working_at;
    let place = at.place.as_ref().map(|place| place.path.join(" › "));
    let about = at
        .repair
        .as_ref()
        .or(at.finding.as_ref())
        .map(|about| about.title.clone());
    let filled = props.stage.as_deref().map_or(at.strokes, stage_idx);
    let stage = filled
        .checked_sub(1)
        .and_then(|idx| STAGES.get(usize::from(idx)))
        .copied();
    let words = match (&about, props.stage.as_deref().or(stage)) {
        (Some(about), _) => Some(about.clone()),
        (None, Some(stage)) => Some(format!("photographs: {stage}")),
        (None, None) => None,
    };
    html! {
        <header class="strip">
            <div class="strip-row">
                <div class="strip-words">
                    <p class="small soft">{ "Working at" }</p>
                    <p class="strip-place">{ place.unwrap_or_else(|| "no place chosen yet".to_owned()) }</p>
                    if let Some(words) = words {
                        <p class="strip-about">{ strokes(&StrokesProps { filled, words: words.into() }) }</p>
                    }
                </div>
                if props.can_change {
                    <button type="button" class="link" onclick={props.onchange.clone()}>
                        { "Change" }<span class="unseen">{ " where I am working" }</span>
                    </button>
                }
            </div>
            if props.is_stale && props.can_change && at.place.is_some() {
                <div class="strip-row"><p class="strip-words small">{ "That was hours ago. Are you still there?" }</p><button type="button" class="link" onclick={props.onstay.clone()}>{ "Still here" }</button></div>
            }
        </header>
    }
}
