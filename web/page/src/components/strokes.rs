//! The five small strokes that say the stage, filled as far as it has come.

use yew::{AttrValue, Html, html};

/// The five stages, in order.
pub(crate) const STAGES: [&str; 5] = ["found", "opened", "prepared", "rebuilt", "finished"];

/// How many strokes a stage fills; 0 for a word that is none.
pub(crate) fn stage_idx(stage: &str) -> u8 {
    (1_u8..)
        .zip(STAGES)
        .find(|(_, known)| *known == stage)
        .map_or(0, |(n_filled, _)| n_filled)
}

/// What [`strokes`] shows.
pub(crate) struct StrokesProps {
    /// How many are filled, 0 to 5.
    pub(crate) filled: u8,
    /// Words beside them; blank leaves the stage's own word for those who hear.
    pub(crate) words: AttrValue,
}

/// Five strokes with words.
pub(crate) fn strokes(props: &StrokesProps) -> Html {
    let stage = props
        .filled
        .checked_sub(1)
        .and_then(|idx| STAGES.get(usize::from(idx)))
        .copied();
    let heard = stage.map_or_else(
        || "nothing photographed yet".to_owned(),
        |stage| format!("photographed as far as {stage}"),
    );
    html! {
        <span class="strokes">
            <svg viewBox="0 0 44 16" role="img" aria-label={heard}>
                { for (0_u8..5).map(|idx| html! {
                    <rect x={(1 + u16::from(idx) * 9).to_string()} y="1" width="5" height="14" class={(idx < props.filled).then_some("on")} />
                }) }
            </svg>
            if !props.words.is_empty() { <span>{ props.words.clone() }</span> }
        </span>
    }
}
