//! One row of the log's page: the margin with time and hand, what was said, and whether it is saved.

use garboard_protocol::{Row, Thumb};
use yew::{AttrValue, Callback, Html, classes, html};

use super::each;

use super::{Drawing, IconProps, StrokesProps, icon, strokes};

/// A row with the texts that only the browser can make.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RowShown {
    /// The row.
    pub(crate) row: Row,
    /// The time for the margin: "14:22"; blank when only the day is known.
    pub(crate) time: AttrValue,
    /// When it was written, for late ones; blank otherwise.
    pub(crate) written: AttrValue,
}

/// What [`entry_row`] shows.
pub(crate) struct EntryRowProps {
    /// The row.
    pub(crate) shown: RowShown,
    /// What this device is called in a sentence: "this phone".
    pub(crate) device: AttrValue,
    /// Whether its page is open beside.
    pub(crate) is_here: bool,
    /// Whether it was saved just now.
    pub(crate) is_fresh: bool,
    /// Whether the saved mark is left out (in lists of things that hang on another).
    pub(crate) is_brief: bool,
    /// While several rows are chosen: whether this one is.
    pub(crate) picked: Option<bool>,
    /// Draws a thumbnail.
    pub(crate) picture: Callback<Thumb, Html>,
    /// To the entry's page.
    pub(crate) onopen: Callback<String>,
}

/// One row of the log's page.
pub(crate) fn entry_row(props: &EntryRowProps) -> Html {
    let RowShown { row, time, written } = &props.shown;
    let id = row.id.clone();
    let onclick = props.onopen.reform(move |_| id.clone());
    let class = classes!(
        "row",
        row.is_struck.then_some("struck"),
        props.is_here.then_some("here"),
        props.is_fresh.then_some("fresh-row"),
    );
    // A place's own row says its name already.
    let place = row
        .place
        .as_ref()
        .filter(|_| row.kind != "place")
        .map(|place| place.path.join(" › "));
    html! {
        <li {class} key={row.id.clone()}>
            <div class="row-margin">
                if let Some(is_picked) = props.picked { <span class={classes!("row-pick", is_picked.then_some("picked"))}>if is_picked { { icon(&IconProps { drawing: Drawing::Tick }) } }</span> }
                <span>{ time.clone() }</span><span class="hand">{ row.hand.clone() }</span></div>
            <div>
                <button type="button" class="row-link" {onclick} aria-current={props.is_here.then_some("true")} aria-pressed={props.picked.map(|is_picked| is_picked.to_string())}>
                    if row.is_struck { <span class="unseen">{ "Struck: " }</span> }
                    { lead(row) }
                </button>
                if let Some(detail) = detail(row) { <p class="row-words">{ detail }</p> }
                if !row.standing.is_empty() {
                    <p class="small">{ strokes(&StrokesProps { filled: row.strokes, words: row.standing.clone().into() }) }</p>
                }
                if !row.thumbs.is_empty() && props.picked.is_some() {
                    <p class="row-where">{ match row.thumbs.len() { 1 => "1 picture".to_owned(), n => format!("{n} pictures") } }</p>
                } else if !row.thumbs.is_empty() {
                    <div class={classes!("pics", (row.thumbs.len() == 1).then_some("one"))}>
                        { each(&row.thumbs, &|thumb| props.picture.emit(thumb.clone())) }
                    </div>
                }
                if row.is_disputed { <p class="row-why"><strong>{ "Two hands wrote this differently" }</strong></p> }
                if row.is_struck { <p class="row-why">{ "Struck" }</p> }
                if row.is_late { <p class="row-why">{ format!("Written later, {written}") }</p> }
                <div class="row-foot">
                    if !props.is_brief { { saved_mark(&SavedMarkProps { device: props.device.clone().into(), also_on: row.also_on.clone() }) } }
                    if let Some(place) = place { <p class="row-where">{ place }</p> }
                </div>
            </div>
        </li>
    }
}

fn lead(row: &Row) -> Html {
    match &row.figure {
        Some(figure) => {
            let rest = [figure.unit.as_str(), figure.note.as_str()]
                .iter()
                .filter(|part| !part.is_empty())
                .copied()
                .collect::<Vec<_>>();
            html! { <>
                <span class="row-figure">{ figure.value.clone() }<small>{ format!(" {}", rest.join(" ")) }</small></span>
                <span class="row-where">{ format!(" {}", row.headline) }</span>
            </> }
        }
        None if row.strokes > 0 && row.standing.is_empty() => {
            html! { <span class="row-lead">{ strokes(&StrokesProps { filled: row.strokes, words: row.headline.clone().into() }) }</span> }
        }
        None => html! { <span class="row-lead">{ row.headline.clone() }</span> },
    }
}

/// The words after the headline; what the headline says already is not said twice.
fn detail(row: &Row) -> Option<String> {
    let rest = row
        .detail
        .strip_prefix(row.headline.as_str())
        .map_or(row.detail.as_str(), |rest| {
            rest.trim_start_matches(['.', ';', ':', ' ', '\n'])
        });
    (!rest.is_empty()).then(|| rest.to_owned())
}

/// What [`saved_mark`] shows.
pub(crate) struct SavedMarkProps {
    /// What this device is called in a sentence.
    pub(crate) device: AttrValue,
    /// The other devices that are known to have it.
    pub(crate) also_on: Vec<String>,
}

/// *Saved on this phone*, and who else has it.
pub(crate) fn saved_mark(props: &SavedMarkProps) -> Html {
    let also = if props.also_on.is_empty() {
        String::new()
    } else {
        format!(" · also on {}", props.also_on.join(", "))
    };
    html! {
        <p class="row-saved">{ icon(&IconProps { drawing: Drawing::Tick }) }<span>{ format!("Saved on {}{also}", props.device) }</span></p>
    }
}
