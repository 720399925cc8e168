//! The trade's computations: which there are, and what was kept of them.

mod kept;
mod sheet;

use garboard_protocol::{Answer, Ask, Filter, Window};
use garboard_reckon::{ALL, Reckoning, Topic};
use yew::{Callback, Html, component, html, use_state};

use super::part::row_list;
use super::shell::{PageProps, going};
use crate::browser::event;
use crate::components::each;
use crate::hooks::{AskedFor, Desk, use_asked};
use crate::state::Route;

pub(super) use kept::Kept;
pub(super) use sheet::Sheet;

/// As many kept ones as are shown.
const N_KEPT: u32 = 30;

/// Which reckonings there are.
#[component]
pub(crate) fn Reckon(props: &PageProps) -> Html {
    let desk = &props.desk;
    let filter = Filter {
        kinds: vec!["reckoning".to_owned()],
        ..Filter::default()
    };
    let asked = use_asked(
        desk,
        Ask::Rows {
            filter,
            window: Window {
                skip: 0,
                take: N_KEPT,
            },
        },
    );
    let words = use_state(String::new);
    let on_words = {
        let words = words.clone();
        event::typed(Callback::from(move |typed: String| words.set(typed)))
    };
    let wanted = words.trim().to_lowercase();
    let found: Vec<&'static Reckoning> = ALL
        .iter()
        .copied()
        .filter(|of| {
            wanted.is_empty()
                || [of.title, of.purpose, of.topic.shown()]
                    .iter()
                    .any(|text| text.to_lowercase().contains(&wanted))
        })
        .collect();
    let mut topics: Vec<Topic> = found.iter().map(|of| of.topic).collect();
    topics.sort_unstable();
    topics.dedup();
    html! {
        <article class="page">
            <header class="page-head"><p class="page-kind">{ desk.state.opened.as_ref().map(|opened| opened.boat.clone()) }</p><h1>{ "Reckon" }</h1></header>
            <section class="part stack">
                <p class="soft">{ "What a repair takes, from what was measured. Each shows its source and its cautions; none is a compliance check." }</p>
                <input type="search" class="search" aria-label="Search the reckonings" placeholder="Search: resin, screws, dew point" value={(*words).clone()} oninput={on_words} />
                if found.is_empty() { <p role="status">{ "None is called like that. A shorter word may find it." }</p> }
            </section>
            { each(&topics, &|topic| html! {
                <section class="part">
                    <h2>{ heading(*topic) }</h2>
                    <ul class="things">
                        { for found.iter().filter(|of| of.topic == *topic).map(|of| html! {
                            <li key={of.name}><button type="button" class="thing" onclick={going(desk, Route::Reckoning { name: of.name.to_owned(), about: None })}>
                                <span class="thing-name">{ of.title }</span>
                                <span class="thing-more">{ of.purpose }</span>
                            </button></li>
                        }) }
                    </ul>
                </section>
            }) }
            { kept_ones(desk, &asked) }
        </article>
    }
}

fn heading(topic: Topic) -> String {
    let words = topic.shown();
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn kept_ones(desk: &Desk, asked: &AskedFor) -> Html {
    let AskedFor::Here(answer) = asked else {
        return Html::default();
    };
    let Answer::Rows(rows) = &**answer else {
        return Html::default();
    };
    let rows: Vec<_> = rows.rows.iter().collect();
    html! {
        <section class="part">
            <h2>{ "Kept in this log" }</h2>
            if rows.is_empty() {
                <p class="soft">{ "Nothing yet. A result can be kept with its repair; it is reckoned again whenever it is shown." }</p>
            } else {
                { row_list(desk, &rows, true) }
            }
        </section>
    }
}
