//! A field on which hands differ: every value with who and when, and a way to keep one.

use garboard_protocol::Dispute;
use yew::{AttrValue, Callback, Html, html};

/// What [`conflict_box`] shows.
pub(crate) struct ConflictBoxProps {
    /// The field and its values.
    pub(crate) dispute: Dispute,
    /// When each value was written, in the person's manner; as many as there are values.
    pub(crate) written: Vec<AttrValue>,
    /// Keeps a value: the statement that says it. `None` when this tab may not write.
    pub(crate) onkeep: Option<Callback<String>>,
}

/// Two hands wrote this differently.
pub(crate) fn conflict_box(props: &ConflictBoxProps) -> Html {
    let dispute = &props.dispute;
    html! {
        <section class="differ" aria-label={format!("{}: written differently", dispute.label)}>
            <div>
                <h2>{ "Two hands wrote this differently" }</h2>
                <p class="soft">{ dispute.label.clone() }</p>
            </div>
            <div class="differ-values">
                { for dispute.values.iter().zip(&props.written).map(|(value, written)| {
                    let statement = value.statement.clone();
                    let onkeep = props.onkeep.clone().map(|onkeep| onkeep.reform(move |_| statement.clone()));
                    html! {
                        <div class="differ-value">
                            <p class="figure">{ value.shown.clone() }</p>
                            <p class="small soft">{ format!("{}, {}", value.hand, value.device) }<br />{ written.clone() }</p>
                            if let Some(onclick) = onkeep {
                                <button type="button" class="key" {onclick} aria-label={format!("Keep this: {}", value.shown)}>{ "Keep this" }</button>
                            }
                        </div>
                    }
                }) }
            </div>
            <p class="small soft">{ "What is not kept stays in the history." }</p>
        </section>
    }
}
