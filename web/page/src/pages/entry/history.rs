//! What was said about an entry, oldest first.

use garboard_protocol::EntryView;
use yew::{Html, classes, html};

use crate::browser::locale;
use crate::components::each;

/// The history, and the digest by which it is known outside.
pub(super) fn history(view: &EntryView) -> Html {
    html! {
        <section class="part">
            <details open={view.history.len() > 1}>
                <summary>{ format!("History ({})", view.history.len()) }</summary>
                <ol class="history">
                    { each(&view.history, &|line| html! {
                        <li>
                            <div class="when">{ locale::written(&line.written) }<br />{ line.hand.clone() }<br />{ line.device.clone() }</div>
                            <div class={classes!(line.is_replaced.then_some("struck"))}>
                                <p><strong>{ line.deed.clone() }</strong>{ if line.label.is_empty() { String::new() } else { format!(": {}", line.label) } }</p>
                                if !line.shown.is_empty() { <p class="row-words">{ line.shown.clone() }</p> }
                                if line.is_replaced { <p class="small soft">{ "A later statement took its place." }</p> }
                            </div>
                        </li>
                    }) }
                </ol>
                <p class="small soft digest">{ format!("SHA-256 of the statement: {}", view.digest) }</p>
            </details>
        </section>
    }
}
