//! A reckoning that was kept: reckoned again from its inputs.

use garboard_protocol::EntryView;
use garboard_reckon::find;
use yew::{Html, Properties, component, html};

use crate::components::outcome;
use crate::hooks::Desk;
use crate::pages::shell::going;
use crate::reckon::{Came, came};
use crate::state::Route;

#[derive(Properties, PartialEq)]
pub(crate) struct KeptProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The entry.
    pub(crate) view: EntryView,
}

/// A kept reckoning on its entry's page.
#[component]
pub(crate) fn Kept(props: &KeptProps) -> Html {
    let value = |name: &str| {
        props
            .view
            .values
            .iter()
            .find(|value| value.field == name)
            .map_or("", |value| value.raw.as_str())
    };
    let method = value("method").trim_matches('"');
    let Some(of) = find(method) else {
        return html! { <section class="part"><p class="notice">{ format!("This version does not know the reckoning “{method}”. Its inputs are kept as they came.") }</p></section> };
    };
    let is_changed = value("revision").parse() != Ok(of.revision);
    let came = came(of, &Ok(value("inputs").to_owned()));
    let again = going(
        &props.desk,
        Route::Reckoning {
            name: of.name.to_owned(),
            about: Some(props.view.id.clone()),
        },
    );
    html! {
        <section class="part stack">
            <h2>{ of.title }</h2>
            if is_changed { <p class="notice">{ format!("It was kept with revision {} of the method; this is revision {}, reckoned anew from the same inputs. The figures may differ from those that were seen then.", value("revision"), of.revision) }</p> }
            { match came {
                Came::Here(reckoned) => outcome(of, &reckoned.outcome),
                Came::Wrong(_, why) => html! { <p class="notice">{ format!("It cannot be reckoned from these inputs any more. {why}") }</p> },
                Came::Lacking(lacking) => html! { <p class="notice">{ format!("It cannot be reckoned from these inputs any more; missing: {}.", lacking.join(", ")) }</p> },
            } }
            <p><button type="button" class="key" onclick={again}>{ "Reckon with other inputs" }</button></p>
        </section>
    }
}
