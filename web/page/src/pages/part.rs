//! Parts that several pages share and that need the desk: pictures, lists of rows.

use garboard_protocol::{MarkView, PictureSize, Row, Thumb};
use yew::{AttrValue, Callback, Html, Properties, component, html};

use crate::browser::locale;
use crate::components::{EntryRowProps, Ground, RowShown, each, entry_row, marks};
use crate::hooks::{Desk, use_picture};
use crate::moment::Moment;
use crate::sketch::all_in_words;
use crate::state::Route;

#[derive(Properties, PartialEq)]
pub(crate) struct PictureProps {
    /// The desk.
    pub(crate) desk: Desk,
    /// The original's digest.
    pub(crate) digest: AttrValue,
    /// What it shows.
    pub(crate) alt: AttrValue,
    /// Which size.
    pub(crate) size: PictureSize,
    /// Whether any of it is on this device.
    pub(crate) is_here: bool,
    /// Why there is no smaller picture; blank otherwise.
    #[prop_or_default]
    pub(crate) trouble: AttrValue,
    /// The picture's own pixels, where marks lie on it.
    #[prop_or_default]
    pub(crate) ground: Option<Ground>,
    /// The marks.
    #[prop_or_default]
    pub(crate) marks: Vec<MarkView>,
}

/// A picture, or the words for why it is not there.
#[component]
pub(crate) fn Picture(props: &PictureProps) -> Html {
    match use_picture(&props.desk, &props.digest, props.size) {
        Some(url) if props.ground.is_some() && props.marks.iter().any(|mark| !mark.is_struck) => {
            marked(props, &url)
        }
        Some(url) => {
            html! { <img src={url} alt={props.alt.clone()} loading="lazy" decoding="async" /> }
        }
        None if !props.trouble.is_empty() => {
            html! { <span class="shot-none">{ props.trouble.clone() }</span> }
        }
        None if props.is_here => {
            html! { <span class="shot-none" role="img" aria-label={props.alt.clone()}>{ "…" }</span> }
        }
        None => {
            html! { <span class="shot-none">{ format!("{}: cannot be shown here", props.alt) }</span> }
        }
    }
}

/// A picture under its marks. It fills its frame as an image without marks does.
fn marked(props: &PictureProps, url: &str) -> Html {
    let Some(ground) = props.ground else {
        return Html::default();
    };
    let (width, height) = (ground.width.to_string(), ground.height.to_string());
    let label = format!("{}. Marked: {}", props.alt, all_in_words(&props.marks));
    let fit = if ground.is_filling {
        "xMidYMid slice"
    } else {
        "xMidYMid meet"
    };
    html! {
        <svg class="framed" viewBox={format!("0 0 {width} {height}")} preserveAspectRatio={fit} role="img" aria-label={label}>
            <image href={url.to_owned()} {width} {height} />
            { marks(&props.marks, ground) }
        </svg>
    }
}

/// What this device is called in a sentence.
pub(crate) fn device_word(desk: &Desk) -> &'static str {
    if desk.state.is_wide {
        "this computer"
    } else {
        "this phone"
    }
}

/// A row with its texts: the time in the margin, or the day where the rows are of many days.
fn shown(row: &Row, is_brief: bool) -> RowShown {
    let moment = Moment::read(&row.happened);
    let time = match (&moment, is_brief) {
        (Some(moment), true) => locale::margin_day(moment),
        (Some(moment), false) => moment.clock().unwrap_or_default(),
        (None, _) => String::new(),
    };
    let written = if row.is_late {
        locale::written_beside(&row.written, &row.happened)
    } else {
        String::new()
    };
    RowShown {
        row: row.clone(),
        time: time.into(),
        written: written.into(),
    }
}

/// Draws thumbnails for rows.
pub(crate) fn thumbs(desk: &Desk) -> Callback<Thumb, Html> {
    let desk = desk.clone();
    Callback::from(move |thumb: Thumb| {
        html! {
            <button type="button" class="pic" key={thumb.entry.clone()} onclick={super::shell::going(&desk, Route::Entry(thumb.entry.clone()))}>
                <Picture desk={desk.clone()} digest={thumb.digest} alt={thumb.alt} size={PictureSize::Thumbnail} is_here={thumb.is_here} />
            </button>
        }
    })
}

/// To an entry's page.
pub(crate) fn opening(desk: &Desk) -> Callback<String> {
    let desk = desk.clone();
    Callback::from(move |id: String| desk.go(&Route::Entry(id)))
}

/// The entry whose page is open.
pub(crate) fn open_entry(desk: &Desk) -> Option<&str> {
    match &desk.state.route {
        Route::Entry(id) => Some(id),
        _ => None,
    }
}

/// Rows of which several are being chosen.
pub(crate) struct Picking {
    /// The rows that are chosen, by their entry.
    pub(crate) picked: Vec<String>,
    /// A row was touched.
    pub(crate) onpick: Callback<String>,
}

/// Rows one after the other, as in the log.
pub(crate) fn row_list(desk: &Desk, rows: &[&Row], is_brief: bool) -> Html {
    rows_of(desk, rows, is_brief, None)
}

/// The same, while several of them are being chosen.
pub(crate) fn pick_list(desk: &Desk, rows: &[&Row], picking: &Picking) -> Html {
    rows_of(desk, rows, false, Some(picking))
}

fn rows_of(desk: &Desk, rows: &[&Row], is_brief: bool, picking: Option<&Picking>) -> Html {
    let here = open_entry(desk);
    let picture = thumbs(desk);
    let onopen = picking.map_or_else(|| opening(desk), |picking| picking.onpick.clone());
    let device = device_word(desk);
    html! {
        <ol>
            { each(rows, &|row| html! {
                { entry_row(&EntryRowProps { shown: shown(row, is_brief), device: device.into(), is_here: here == Some(row.id.as_str()), is_fresh: desk.state.fresh.contains(&row.id), is_brief, picked: picking.map(|picking| picking.picked.contains(&row.id)), picture: picture.clone(), onopen: onopen.clone() }) }
            }) }
        </ol>
    }
}

/// Kinds that come about in another way than by a form.
const NOT_TYPED: [&str; 7] = [
    "hand",
    "device",
    "boat",
    "photograph",
    "sound-note",
    "mark",
    "member",
];

/// A key for each kind that can be added, the ones given first.
pub(crate) fn kinds_to_add(desk: &Desk, about: Option<&str>, first: &[&str]) -> Html {
    let Some(choices) = &desk.state.choices else {
        return Html::default();
    };
    let key = |kind: &str, title: &str| {
        let route = Route::Add {
            kind: kind.to_owned(),
            about: about.map(str::to_owned),
        };
        html! { <button type="button" class="choice" onclick={super::shell::going(desk, route)}>{ title.to_owned() }</button> }
    };
    let of = |kind: &&str| choices.forms.iter().find(|form| form.kind == **kind);
    let others: Vec<_> = choices
        .forms
        .iter()
        .filter(|form| {
            !first.contains(&form.kind.as_str()) && !NOT_TYPED.contains(&form.kind.as_str())
        })
        .collect();
    html! {
        <div class="stack">
            <div class="choices">{ for first.iter().filter_map(of).map(|form| key(&form.kind, &form.title)) }</div>
            if !others.is_empty() {
                <details>
                    <summary>{ "Something else" }</summary>
                    <div class="choices">{ each(&others, &|form| key(&form.kind, &form.title)) }</div>
                </details>
            }
        </div>
    }
}

/// A sentence's first letter, large.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

/// How many of what: "1 photograph", "3 photographs".
pub(crate) fn counted(n: u32, one: &str, many: &str) -> String {
    if n == 1 {
        format!("1 {one}")
    } else {
        format!("{n} {many}")
    }
}

/// Bytes as people read them.
pub(crate) fn size_words(n_bytes: u64) -> String {
    const KB: u64 = 1000;
    match n_bytes {
        n if n < KB => format!("{n} bytes"),
        n if n < KB * KB => format!("{} kB", n / KB),
        n if n < KB * KB * KB => format!("{}.{} MB", n / KB / KB, n / KB / 100 % 10),
        n => format!("{}.{} GB", n / KB / KB / KB, n / KB / KB / 100 % 10),
    }
}
