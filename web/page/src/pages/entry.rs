//! One entry's page: what it says, its pictures, what hangs on it, and everything that can be said about it.

mod amend;
mod closing;
mod history;
mod pictures;
mod strike;

use garboard_protocol::{Answer, Ask, EntryView, Filter, Manner, PictureSize, Row, WorkAt};
use yew::{
    AttrValue, Callback, Html, Properties, component, html, use_effect_with, use_node_ref,
    use_state,
};

use super::differences;
use super::part::{kinds_to_add, row_list};
use crate::browser::{event, file::Files, locale};
use crate::components::{
    Drawing, Fact, FactsProps, IconProps, SavedMarkProps, StrokesProps, TroubleBoxProps, each,
    fact_list, icon, saved_mark, strokes, trouble_box,
};
use crate::hooks::{AskedFor, Desk, use_asked, use_picture};
use crate::state::Route;

#[derive(Properties, PartialEq)]
pub(crate) struct EntryProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The entry.
    pub(crate) id: AttrValue,
}

/// One entry's page.
#[component]
pub(crate) fn Entry(props: &EntryProps) -> Html {
    let desk = &props.desk;
    let asked = use_asked(
        desk,
        Ask::Entry {
            id: props.id.to_string(),
        },
    );
    let amending = use_state(|| None::<AttrValue>);
    let heading = use_node_ref();
    let sound = match &asked {
        AskedFor::Here(answer) => match &**answer {
            Answer::Entry(view) => view
                .sound
                .as_ref()
                .filter(|sound| sound.is_here)
                .map(|sound| sound.digest.clone()),
            _ => None,
        },
        _ => None,
    };
    let sound = use_picture(desk, &sound.unwrap_or_default(), PictureSize::Original);
    let is_here = matches!(asked, AskedFor::Here(_));
    {
        let heading = heading.clone();
        use_effect_with(is_here, move |is_here| {
            if *is_here {
                event::focus(&heading);
            }
        });
    }
    let back = {
        let desk = desk.clone();
        Callback::from(move |_: yew::MouseEvent| desk.back())
    };
    let back_key = html! {
        <button type="button" class="link back" onclick={back}>{ icon(&IconProps { drawing: Drawing::Back }) }{ desk.state.section.word() }</button>
    };
    match asked {
        AskedFor::Waiting => {
            html! { <article class="page"><header class="page-head">{ back_key }<p role="status">{ "Reading…" }</p></header></article> }
        }
        AskedFor::Trouble(trouble) => html! {
            <article class="page"><header class="page-head">{ back_key }<h1>{ "Not found" }</h1></header><div class="part">{ trouble_box(&TroubleBoxProps { trouble: (*trouble).clone() }) }</div></article>
        },
        AskedFor::Here(answer) => {
            let Answer::Entry(view) = &*answer else {
                return Html::default();
            };
            html! {
                <article class="page">
                    <header class="page-head">
                        { back_key }
                        <p class="page-kind">{ kind_line(view) }</p>
                        <h1 tabindex="-1" ref={heading} class={view.is_struck.then_some("struck-title")}>
                            if view.is_struck { <s>{ view.title.clone() }</s> } else { { view.title.clone() } }
                        </h1>
                        if let Some(standing) = &view.standing {
                            <p>{ strokes(&StrokesProps { filled: standing.strokes, words: standing.word.clone().into() }) }</p>
                            if !standing.detail.is_empty() { <p class="small soft">{ standing.detail.clone() }</p> }
                        }
                    </header>
                    { strike::struck(desk, view) }
                    { disputes(desk, view) }
                    { pictures::pictures(desk, view) }
                    { super::sound::player(desk, view, sound, &amending) }
                    if view.kind == "reckoning" { <super::reckon::Kept desk={desk.clone()} view={(**view).clone()} /> }
                    { values(desk, view, &amending) }
                    { cautions(view) }
                    { links(desk, view) }
                    { closing::closing(desk, view) }
                    { working(desk, view) }
                    { deeds(desk, view) }
                    { children(desk, view) }
                    if desk.state.can_write() {
                        <section class="part">
                            <h2>{ "Add to this" }</h2>
                            { kinds_to_add(desk, Some(&view.id), first_kinds(&view.kind))
                            }
                            { pictures::from_files(desk, view) }
                        </section>
                    }
                    { history::history(view) }
                    if desk.state.can_write() { <strike::StrikeForm desk={desk.clone()} entry={view.id.clone()} sees={view.sees.clone()} is_struck={view.is_struck} /> }
                </article>
            }
        }
    }
}

fn kind_line(view: &EntryView) -> String {
    match &view.place {
        Some(place) if view.kind != "place" || place.path.len() > 1 => {
            format!("{} · {}", view.kind_word, place.path.join(" › "))
        }
        _ => view.kind_word.clone(),
    }
}

/// What a hand most often adds to an entry of a kind.
fn first_kinds(kind: &str) -> &'static [&'static str] {
    match kind {
        "finding" => &["reading", "repair", "way-in", "test", "note"],
        "repair" => &["step", "material", "stint", "cost", "test", "note"],
        "step" => &["material", "reading", "note"],
        "place" => &[
            "finding",
            "examination",
            "reading",
            "fitting",
            "upkeep",
            "place",
            "note",
        ],
        "photograph" => &["note"],
        "fitting" => &["finding", "upkeep", "note"],
        "way-in" => &["water-path", "repair", "test", "note"],
        "examination" => &["finding", "reading", "note"],
        "boat" => &["boat-state", "upkeep", "note"],
        "person" => &["stint", "paper", "note"],
        _ => &["note"],
    }
}

fn disputes(desk: &Desk, view: &EntryView) -> Html {
    if view.disputes.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part stack">
            { each(&view.disputes, &|dispute| differences::boxed(desk, &view.id, dispute)) }
        </section>
    }
}

fn values(
    desk: &Desk,
    view: &EntryView,
    amending: &yew::UseStateHandle<Option<AttrValue>>,
) -> Html {
    let facts = view.values.iter().map(|value| {
        let is_open = amending.as_ref().is_some_and(|field| *field == value.field);
        let shown = match (&value.link, is_open) {
            (_, true) => amend::form(desk, view, &value.field, amending),
            (Some(link), false) => {
                let onclick = super::shell::going(desk, Route::Entry(link.clone()));
                html! { <button type="button" class="link inline" {onclick}>{ value.shown.clone() }</button> }
            }
            (None, false) => Html::from(amend::shown(desk, view, value)),
        };
        let action = if is_open || !desk.state.can_write() { Html::default() } else { amend::key(&value.field, &value.label, amending) };
        let label = if value.is_amended { format!("{} (amended)", value.label) } else { value.label.clone() };
        Fact { label: label.into(), shown, class: if value.manner == Manner::Supposed { "supposed" } else { "" }, action }
    });
    let facts: Vec<Fact> = facts.chain(origin(view)).collect();
    html! {
        <section class="part">
            if let Some(figure) = &view.figure {
                <p class="reading-shown">{ figure.value.clone() }<small>{ figure.unit.clone() }</small></p>
                if !figure.note.is_empty() { <p class="soft">{ figure.note.clone() }</p> }
            }
            { fact_list(&FactsProps { facts }) }
            if desk.state.can_write() { <amend::MoreFields desk={desk.clone()} view={view.clone()} amending={amending.clone()} /> }
        </section>
    }
}

/// When, by whom and where it was written.
fn origin(view: &EntryView) -> Vec<Fact> {
    let mut facts = vec![Fact::plain(
        "Happened",
        locale::moment_shown(&view.happened),
    )];
    let late = if view.is_late {
        ", later than it happened"
    } else {
        ""
    };
    facts.push(Fact::plain(
        "Written",
        format!(
            "{}{late}\nby {}, {}",
            locale::written_beside(&view.written, &view.happened),
            view.hand,
            view.device
        ),
    ));
    facts
}

fn cautions(view: &EntryView) -> Html {
    if view.cautions.is_empty() && view.remarks.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part stack">
            { each(&view.cautions, &|caution| html! { <p class="caution">{ caution.clone() }</p> }) }
            { each(&view.remarks, &|remark| html! { <p class="caution">{ remark.clone() }</p> }) }
        </section>
    }
}

fn links(desk: &Desk, view: &EntryView) -> Html {
    // What a value names already is not listed again.
    let is_said = |id: &str| {
        view.values
            .iter()
            .any(|value| value.link.as_deref() == Some(id))
    };
    let links: Vec<_> = view
        .links
        .iter()
        .filter(|link| !is_said(&link.to.id))
        .collect();
    if links.is_empty() {
        return Html::default();
    }
    html! {
        <section class="part">
            <h2>{ "Belongs with" }</h2>
            <ul class="things">
                { each(&links, &|link| html! {
                    <li><button type="button" class="thing" onclick={super::shell::going(desk, Route::Entry(link.to.id.clone()))}>
                        <span class="thing-name">{ link.to.title.clone() }</span>
                        <span class="thing-more">{ link.note.clone() }</span>
                        <span class="thing-end">{ link.label.clone() }</span>
                    </button></li>
                }) }
            </ul>
        </section>
    }
}

/// Moves the strip to this place, finding or repair.
fn working(desk: &Desk, view: &EntryView) -> Html {
    if !desk.state.can_write() || view.is_struck {
        return Html::default();
    }
    let id = Some(view.id.clone());
    let place = view.place.as_ref().map(|place| place.id.clone());
    let (work_at, words) = match view.kind.as_str() {
        "place" => (
            WorkAt {
                place: id,
                ..WorkAt::default()
            },
            "Work at this place",
        ),
        "finding" => (
            WorkAt {
                place,
                finding: id,
                repair: None,
            },
            "Work on this finding",
        ),
        "repair" => (
            WorkAt {
                place,
                finding: None,
                repair: id,
            },
            "Work on this repair",
        ),
        _ => return Html::default(),
    };
    let is_there = desk
        .state
        .working_at()
        .is_some_and(|at| match view.kind.as_str() {
            "place" => {
                at.finding.is_none()
                    && at.repair.is_none()
                    && at.place.as_ref().is_some_and(|place| place.id == view.id)
            }
            "finding" => at
                .finding
                .as_ref()
                .is_some_and(|finding| finding.id == view.id),
            _ => at
                .repair
                .as_ref()
                .is_some_and(|repair| repair.id == view.id),
        });
    let only_this = {
        let id = Some(view.id.clone());
        let filter = match view.kind.as_str() {
            "place" => Filter {
                place: id,
                ..Filter::default()
            },
            "finding" => Filter {
                finding: id,
                ..Filter::default()
            },
            _ => Filter {
                repair: id,
                ..Filter::default()
            },
        };
        let desk = desk.clone();
        Callback::from(move |_| desk.sift(filter.clone()))
    };
    let there = if is_there {
        html! { <p class="soft">{ "You are working here: whatever you capture now is added to this." }</p> }
    } else {
        let desk = desk.clone();
        let onclick = Callback::from(move |_| desk.work_at(work_at.clone()));
        html! { <button type="button" class="key" {onclick}>{ words }</button> }
    };
    html! {
        <section class="part rowed">
            { there }
            <button type="button" class="link" onclick={only_this}>{ "Show it alone in the log" }</button>
        </section>
    }
}

/// What one touch does to a step, a batch, a material or a cost.
fn deeds(desk: &Desk, view: &EntryView) -> Html {
    if !desk.state.can_write() || view.is_struck {
        return Html::default();
    }
    let has = |name: &str| view.values.iter().any(|value| value.field == name);
    let again = match view.kind.as_str() {
        "step" if has("coat") => "The next coat, the same again",
        "step" | "batch" | "material" | "cost" => "The same again",
        _ => return Html::default(),
    };
    let deed = |words: &'static str, ask: Ask, is_new: bool| {
        let desk = desk.clone();
        Callback::from(move |_: yew::MouseEvent| {
            let told = desk.clone();
            desk.capture(
                words,
                ask.clone(),
                &Files::default(),
                Callback::from(move |entries: Vec<String>| {
                    if let (true, Some(entry)) = (is_new, entries.first()) {
                        told.go(&Route::Entry(entry.clone()));
                    }
                }),
            );
        })
    };
    html! {
        <section class="part rowed">
            if view.kind == "step" && !has("done") {
                <button type="button" class="key main-key" onclick={deed("The step", Ask::FinishStep { id: view.id.clone() }, false)}>{ "Done now" }</button>
            }
            <button type="button" class="key" onclick={deed("The same again", Ask::Again { id: view.id.clone() }, true)}>{ again }</button>
        </section>
    }
}

fn children(desk: &Desk, view: &EntryView) -> Html {
    if view.children.is_empty() {
        return Html::default();
    }
    let own_place = match view.kind.as_str() {
        "place" => Some(view.id.as_str()),
        _ => view.place.as_ref().map(|place| place.id.as_str()),
    };
    // The place of the entry itself is not said again at each row.
    let rows: Vec<Row> = view
        .children
        .iter()
        .map(|row| Row {
            place: row
                .place
                .clone()
                .filter(|place| Some(place.id.as_str()) != own_place),
            ..row.clone()
        })
        .collect();
    let rows: Vec<&Row> = rows.iter().collect();
    html! {
        <section class="part flush">
            <h2>{ if view.kind == "place" { "At this place" } else { "What hangs on it" } }</h2>
            { row_list(desk, &rows, true) }
            { saved_mark(&SavedMarkProps { device: (super::part::device_word(desk)).into(), also_on: view.also_on.clone() }) }
        </section>
    }
}
