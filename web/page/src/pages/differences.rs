//! Every field on which hands differ, in one list, with all values side by side.

use garboard_protocol::{Answer, Ask, Choose, Dispute};
use yew::{AttrValue, Callback, Html, component, html};

use super::shell::{PageProps, going};
use crate::browser::locale;
use crate::components::{
    ConflictBoxProps, Drawing, IconProps, TroubleBoxProps, conflict_box, each, icon, trouble_box,
};
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::state::Route;

/// The differences.
#[component]
pub(crate) fn Differences(props: &PageProps) -> Html {
    let desk = &props.desk;
    let asked = use_asked(desk, Ask::Differences);
    let back = {
        let desk = desk.clone();
        Callback::from(move |_: yew::MouseEvent| desk.back())
    };
    html! {
        <article class="page">
            <header class="page-head">
                <button type="button" class="link back" onclick={back}>{ icon(&IconProps { drawing: Drawing::Back }) }{ desk.state.section.word() }</button>
                <h1>{ "Written differently" }</h1>
                <p class="soft">{ "Two hands changed the same field before they had seen each other's words. Both stand until one of you chooses." }</p>
            </header>
            { match asked {
                AskedFor::Waiting => html! { <p class="part" role="status">{ "Reading…" }</p> },
                AskedFor::Trouble(trouble) => html! { <div class="part">{ trouble_box(&TroubleBoxProps { trouble: (*trouble).clone() }) }</div> },
                AskedFor::Here(answer) => match &*answer {
                    Answer::Differences(list) if list.is_empty() => html! { <p class="part">{ "Nothing is: every field has one value." }</p> },
                    Answer::Differences(list) => html! { <>{ each(list, &|difference| html! {
                        <section class="part stack">
                            <div>
                                <p class="page-kind">{ [difference.kind_word.clone()].into_iter().chain(difference.place.as_ref().map(|place| place.path.join(" › "))).collect::<Vec<_>>().join(" · ") }</p>
                                <button type="button" class="link inline" onclick={going(desk, Route::Entry(difference.entry.id.clone()))}>{ difference.entry.title.clone() }</button>
                            </div>
                            { boxed(desk, &difference.entry.id, &difference.dispute) }
                        </section>
                    }) }</> },
                    _ => Html::default(),
                },
            } }
        </article>
    }
}

/// One field on which hands differ, with keys that keep one of the values.
pub(super) fn boxed(desk: &Desk, entry: &str, dispute: &Dispute) -> Html {
    let written: Vec<AttrValue> = dispute
        .values
        .iter()
        .map(|value| locale::written(&value.written).into())
        .collect();
    let onkeep = desk.state.can_write().then(|| {
        let (desk, dispute, entry) = (desk.clone(), dispute.clone(), entry.to_owned());
        Callback::from(move |statement: String| {
            let ask = Ask::Choose(Choose {
                entry: entry.clone(),
                field: dispute.field.clone(),
                statement,
                sees: dispute
                    .values
                    .iter()
                    .map(|value| value.statement.clone())
                    .collect(),
                reason: String::new(),
            });
            let told = desk.clone();
            desk.say_about(
                ask,
                Callback::from(move |outcome| match outcome {
                    Ok(_) => told.tell("Chosen and saved", "The other value stays in the history."),
                    Err(trouble) => told.tell_trouble(&trouble),
                }),
            );
        })
    });
    conflict_box(&ConflictBoxProps {
        dispute: dispute.clone(),
        written,
        onkeep,
    })
}
