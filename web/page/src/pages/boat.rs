//! The boat: its particulars, its places, its plan, and what is aboard.

mod plan;

use garboard_protocol::{Answer, Ask, Filter, PlaceLine};
use yew::{Callback, Html, component, html};

use super::add::adding;
use super::part::counted;
use super::shell::{PageProps, going};
use crate::components::{Fact, FactsProps, TroubleBoxProps, each, fact_list, trouble_box};
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::state::Route;

/// Lists of what is aboard and who had to do with it: the kind, and its word.
const LISTS: [(&str, &str); 8] = [
    ("fitting", "Fittings"),
    ("way-in", "Ways in"),
    ("examination", "Examinations"),
    ("upkeep", "Upkeep"),
    ("boat-state", "Afloat and ashore"),
    ("instrument", "Instruments"),
    ("person", "People"),
    ("paper", "Papers"),
];

/// The boat.
#[component]
pub(crate) fn Boat(props: &PageProps) -> Html {
    let desk = &props.desk;
    let Some(opened) = desk.state.opened.clone() else {
        return Html::default();
    };
    let places = use_asked(desk, Ask::Places);
    html! {
        <article class="page">
            <header class="page-head">
                <p class="page-kind">{ "Boat" }</p>
                <h1>{ opened.boat.clone() }</h1>
            </header>
            <plan::Plan desk={desk.clone()} />
            <section class="part">
                <h2>{ "Places" }</h2>
                { match &places {
                    AskedFor::Waiting => html! { <p role="status">{ "Reading the places…" }</p> },
                    AskedFor::Trouble(trouble) => html! { { trouble_box(&TroubleBoxProps { trouble: (**trouble).clone() }) } },
                    AskedFor::Here(answer) => match &**answer {
                        Answer::Places(lines) if lines.is_empty() => html! {
                            <p class="soft">{ "No places yet. A place is a part of the boat, as large or small as you like: side deck, port; third bay aft of the house front." }</p>
                        },
                        Answer::Places(lines) => html! { <ul class="things">{ each(lines, &|line| place(desk, line)) }</ul> },
                        _ => Html::default(),
                    },
                } }
                if desk.state.can_write() { <p><button type="button" class="key" onclick={going(desk, adding("place", None))}>{ "Add a place" }</button></p> }
            </section>
            if let Some(entry) = &opened.boat_entry { <Particulars desk={desk.clone()} id={entry.clone()} /> }
            { lists(desk) }
            if !opened.remarks.is_empty() {
                <section class="part">
                    <details>
                        <summary>{ format!("What is odd in the log ({})", opened.remarks.len()) }</summary>
                        <ul class="things">{ each(&opened.remarks, &|remark| html! { <li><p class="thing">{ remark.clone() }</p></li> }) }</ul>
                    </details>
                </section>
            }
        </article>
    }
}

#[derive(yew::Properties, PartialEq)]
struct ParticularsProps {
    desk: Desk,
    id: yew::AttrValue,
}

#[component]
fn Particulars(props: &ParticularsProps) -> Html {
    let asked = use_asked(
        &props.desk,
        Ask::Entry {
            id: props.id.to_string(),
        },
    );
    let AskedFor::Here(answer) = asked else {
        return Html::default();
    };
    let Answer::Entry(view) = &*answer else {
        return Html::default();
    };
    let facts: Vec<Fact> = view
        .values
        .iter()
        .filter(|value| value.field != "name")
        .map(|value| Fact::plain(value.label.clone(), value.shown.clone()))
        .collect();
    let open = going(&props.desk, Route::Entry(view.id.clone()));
    let is_bare = facts.is_empty();
    html! {
        <section class="part">
            <h2>{ "Particulars" }</h2>
            if is_bare {
                <p class="soft">{ "Nothing but the name so far. Hull number, builder, measures and engines make a history that a buyer can check." }</p>
            } else {
                { fact_list(&FactsProps { facts }) }
            }
            <p><button type="button" class="key" onclick={open}>{ if is_bare { "Add particulars" } else { "Amend or add to them" } }</button></p>
        </section>
    }
}

fn place(desk: &Desk, line: &PlaceLine) -> Html {
    let onclick = going(desk, Route::Entry(line.id.clone()));
    let mut more = Vec::new();
    if !line.side.is_empty() && !line.name.contains(&line.side) {
        more.push(line.side.clone());
    }
    if line.n_findings > 0 {
        more.push(counted(line.n_findings, "finding", "findings"));
    }
    if line.n_photographs > 0 {
        more.push(counted(line.n_photographs, "photograph", "photographs"));
    }
    if !line.unseen.is_empty() {
        more.push(line.unseen.clone());
    }
    let is_open = super::part::open_entry(desk) == Some(line.id.as_str());
    let class = yew::classes!(
        "thing",
        format!("in-{}", line.depth.min(6)),
        line.is_struck.then_some("struck"),
        is_open.then_some("chosen")
    );
    html! {
        <li>
            <button type="button" {class} {onclick}>
                <span class="thing-name">{ if line.is_struck { html! { <s>{ line.name.clone() }</s> } } else { html! { { line.name.clone() } } } }</span>
                <span class="thing-more">{ more.join(" · ") }</span>
                <span class="thing-end">{ if line.n_open > 0 { html! { <strong>{ format!("{} open", line.n_open) }</strong> } } else { Html::default() } }</span>
            </button>
        </li>
    }
}

fn lists(desk: &Desk) -> Html {
    html! {
        <section class="part">
            <h2>{ "In the log" }</h2>
            <div class="choices">
                { each(&LISTS, &|&(kind, word)| {
                    let desk = desk.clone();
                    let onclick = Callback::from(move |_| desk.sift(Filter { kinds: vec![kind.to_owned()], ..Filter::default() }));
                    html! { <button type="button" class="choice" {onclick}>{ word }</button> }
                }) }
            </div>
            if desk.state.can_write() {
                <h3 class="space-above">{ "Write down" }</h3>
                { super::part::kinds_to_add(desk, None, &["person", "instrument", "fitting", "upkeep", "boat-state"]) }
            }
        </section>
    }
}
