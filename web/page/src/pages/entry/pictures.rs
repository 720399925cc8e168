//! The pictures on an entry's page: pairs from the same view, then the others.

use garboard_protocol::{Ask, EntryView, PictureSize, PictureView, Shoot};
use yew::{Callback, Html, Properties, component, html};

use crate::browser::media::can_ask;
use crate::browser::{event, file, file::Files, locale};
use crate::components::{Ground, StrokesProps, each, over, stage_idx, stage_word, strokes};
use crate::hooks::{Desk, Laid, use_laid};
use crate::pages::part::Picture;
use crate::pages::shell::going;
use crate::sketch::all_in_words;
use crate::spots::Side;
use crate::state::Route;

/// All pictures of an entry.
pub(super) fn pictures(desk: &Desk, view: &EntryView) -> Html {
    let is_photograph = view.kind == "photograph";
    if view.pictures.is_empty() && !is_photograph {
        return Html::default();
    }
    let paired: Vec<&str> = view
        .pictures
        .iter()
        .filter_map(|picture| picture.answers.as_ref())
        .map(|earlier| earlier.entry.as_str())
        .collect();
    let (pairs, singles): (Vec<&PictureView>, Vec<&PictureView>) = view
        .pictures
        .iter()
        .filter(|picture| picture.answers.is_some() || !paired.contains(&picture.entry.as_str()))
        .partition(|picture| picture.answers.is_some());
    html! {
        <section class="part stack" aria-label="Photographs">
            { for pairs.into_iter().filter_map(|later| {
                let earlier = later.answers.as_deref()?.clone();
                Some(html! { <Pair desk={desk.clone()} {earlier} later={later.clone()} key={later.entry.clone()} /> })
            }) }
            if is_photograph {
                { each(&singles, &|picture| large(desk, picture)) }
            } else if !singles.is_empty() {
                <div class="pics large">{ each(&singles, &|picture| small(desk, picture)) }</div>
            }
            if is_photograph && !view.is_struck && desk.state.can_write() { { to_marks(desk, view) }{ same_view(desk, view) } }
        </section>
    }
}

#[derive(Properties, PartialEq)]
struct PairProps {
    desk: Desk,
    earlier: PictureView,
    later: PictureView,
}

/// Two pictures from the same view: one over the other with an edge that moves between them, in one frame where the
/// spots are set that both show, and a way to each.
#[component]
fn Pair(props: &PairProps) -> Html {
    let PairProps {
        desk,
        earlier,
        later,
    } = props;
    let are_here = earlier.is_here && later.is_here;
    let spots: &[u64] = if are_here { &later.same_spots } else { &[] };
    let laid = use_laid(desk, &later.entry, spots);
    if !are_here {
        return side_by_side(desk, earlier, later);
    }
    let to_frame = (desk.state.can_write() && !later.is_struck).then(|| {
        let onclick = going(desk, Route::Frame(later.entry.clone()));
        let words = if later.same_spots.is_empty() {
            "Lay them into one frame"
        } else {
            "Set the spots anew"
        };
        html! { <button type="button" class="link" {onclick}>{ words }</button> }
    });
    let said = match &laid {
        Laid::Here(..) => format!(
            "In one frame, by {} spots that both show.",
            later.same_spots.len() / 4
        ),
        Laid::Not(why) => format!("Not in one frame: {why}."),
        Laid::Waiting => String::new(),
    };
    html! {
        <div>
            { over(&format!("edge-{}", later.entry), [earlier, later], |side| match (&laid, side) {
                (Laid::Here(one, _), Side::Earlier) => html! { <img src={one.text().to_owned()} alt={earlier.alt.clone()} /> },
                (Laid::Here(_, one), Side::Later) => html! { <img src={one.text().to_owned()} alt={later.alt.clone()} /> },
                (_, Side::Earlier) => picture_within(desk, earlier, PictureSize::View, Fit::Filling),
                (_, Side::Later) => picture_within(desk, later, PictureSize::View, Fit::Filling),
            }) }
            <p class="small soft" role="status">{ said }</p>
            { to_frame.unwrap_or_default() }
            <div class="two">
                { for [earlier, later].map(|picture| {
                    let onclick = going(desk, Route::Entry(picture.entry.clone()));
                    html! { <div>{ caption(picture) }<button type="button" class="link" {onclick}>{ "Its page" }<span class="unseen">{ format!(", {}", picture.alt) }</span></button></div> }
                }) }
            </div>
        </div>
    }
}

/// Where one of the two is not on this device.
fn side_by_side(desk: &Desk, earlier: &PictureView, later: &PictureView) -> Html {
    html! {
        <div class="pair">
            { for [earlier, later].map(|picture| html! {
                <figure>
                    { opening(desk, picture, "shot", PictureSize::View) }
                    { caption(picture) }
                </figure>
            }) }
        </div>
    }
}

fn large(desk: &Desk, picture: &PictureView) -> Html {
    html! {
        <figure>
            <div class="shot">{ picture_of(desk, picture, PictureSize::View) }</div>
            <figcaption>{ words(picture) }</figcaption>
            { marked(picture) }
            if !picture.has_original { <p class="small soft">{ "The original is on another device; this is a smaller size." }</p> }
        </figure>
    }
}

fn small(desk: &Desk, picture: &PictureView) -> Html {
    html! {
        <figure>
            { opening(desk, picture, "pic", PictureSize::Thumbnail) }
            { caption(picture) }
        </figure>
    }
}

/// What is marked on it, in words.
fn marked(picture: &PictureView) -> Html {
    let words = all_in_words(&picture.marks);
    if words.is_empty() {
        return Html::default();
    }
    html! { <p class="small">{ format!("Marked: {words}") }</p> }
}

fn picture_of(desk: &Desk, picture: &PictureView, size: PictureSize) -> Html {
    picture_within(desk, picture, size, Fit::Whole)
}

/// How a picture lies in its frame.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fit {
    /// All of it is seen.
    Whole,
    /// It fills the frame.
    Filling,
    /// It fills a small frame: numbers and words on it are larger beside it.
    Small,
}

fn picture_within(desk: &Desk, picture: &PictureView, size: PictureSize, fit: Fit) -> Html {
    // A thumbnail is too small to read marks on.
    let ground = (picture.width > 0 && picture.height > 0 && size != PictureSize::Thumbnail)
        .then_some(Ground {
            width: picture.width,
            height: picture.height,
            is_small: fit == Fit::Small,
            is_filling: fit != Fit::Whole,
        });
    html! {
        <Picture desk={desk.clone()} digest={picture.digest.clone()} alt={picture.alt.clone()} {size} is_here={picture.is_here} trouble={picture.trouble.clone()} {ground} marks={picture.marks.clone()} />
    }
}

fn words(picture: &PictureView) -> Html {
    let when = locale::moment_shown(&picture.happened);
    let what = if picture.is_drawing {
        "drawing, not a photograph"
    } else {
        ""
    };
    let rest: Vec<&str> = [when.as_str(), what]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect();
    let stage = stage_word(picture);
    let struck = if picture.is_struck { "struck" } else { "" };
    let rest: Vec<&str> = rest
        .into_iter()
        .chain([struck])
        .filter(|part| !part.is_empty())
        .collect();
    html! { <><span class="caption-stage">{ strokes(&StrokesProps { filled: stage_idx(&picture.stage), words: stage.to_owned().into() }) }</span>{ rest.join(" · ") }</> }
}

/// A picture that leads to its own page.
fn opening(desk: &Desk, picture: &PictureView, class: &'static str, size: PictureSize) -> Html {
    let onclick = going(desk, Route::Entry(picture.entry.clone()));
    html! { <button type="button" {class} {onclick}>{ picture_within(desk, picture, size, Fit::Small) }</button> }
}

fn caption(picture: &PictureView) -> Html {
    let class = picture.is_struck.then_some("struck");
    html! { <figcaption {class}>{ words(picture) }</figcaption> }
}

/// To the marks, where the picture is here to draw on.
fn to_marks(desk: &Desk, view: &EntryView) -> Html {
    let can_mark = view
        .pictures
        .iter()
        .any(|picture| picture.is_here && picture.width > 0 && picture.height > 0);
    if !can_mark {
        return Html::default();
    }
    let onclick = going(desk, Route::Marks(view.id.clone()));
    let as_plan = {
        let (desk, photograph) = (desk.clone(), view.id.clone());
        Callback::from(move |_| {
            let told = desk.clone();
            desk.capture(
                "The boat's plan",
                Ask::UseAsPlan {
                    photograph: photograph.clone(),
                },
                &Files::default(),
                Callback::from(move |_| told.go(&Route::Boat)),
            );
        })
    };
    html! {
        <div class="rowed">
            <button type="button" class="key" {onclick}>{ "Mark this picture" }</button>
            <button type="button" class="link" onclick={as_plan}>{ "Use it as the boat's plan" }</button>
        </div>
    }
}

/// The same view again: before and after stand side by side from then on.
fn same_view(desk: &Desk, view: &EntryView) -> Html {
    let with_ghost = going(
        desk,
        Route::Camera {
            answers: Some(view.id.clone()),
        },
    );
    let desk = desk.clone();
    let (answers, place) = (
        view.id.clone(),
        view.place.as_ref().map(|place| place.id.clone()),
    );
    let field = |name: &str| {
        view.values
            .iter()
            .find(|value| value.field == name)
            .and_then(|value| value.link.clone())
    };
    let (finding, repair) = (field("finding"), field("repair"));
    let shot = Callback::from(move |files: Files| {
        let ask = Ask::Shoot(Shoot {
            stage: desk.state.stage.clone(),
            answers: Some(answers.clone()),
            place: place.clone(),
            finding: finding.clone(),
            repair: repair.clone(),
            ..Shoot::default()
        });
        let told = desk.clone();
        desk.capture(
            "A photograph from the same view",
            ask,
            &files,
            Callback::from(move |entries: Vec<String>| {
                if let Some(entry) = entries.first() {
                    told.go(&Route::Entry(entry.clone()));
                }
            }),
        );
    });
    html! {
        <div class="rowed">
            if can_ask() { <button type="button" class="key" onclick={with_ghost}>{ "Same view again" }</button> }
            <label class={if can_ask() { "link filed" } else { "key" }}>{ if can_ask() { "With the phone’s own camera" } else { "Shoot the same view again" } }<input type="file" accept="image/*" capture="environment" onchange={event::picked(shot)} /></label>
            <p class="small soft">{ "Stand where you stood. The two are then laid one over the other." }</p>
        </div>
    }
}

/// Pictures that were taken before, for a finding, a repair or a place.
pub(super) fn from_files(desk: &Desk, view: &EntryView) -> Html {
    let id = Some(view.id.clone());
    let place = view.place.as_ref().map(|place| place.id.clone());
    let shoot = match view.kind.as_str() {
        "place" => Shoot {
            place: id,
            ..Shoot::default()
        },
        "finding" => Shoot {
            place,
            finding: id,
            ..Shoot::default()
        },
        "repair" => Shoot {
            place,
            repair: id,
            ..Shoot::default()
        },
        _ => return Html::default(),
    };
    let desk = desk.clone();
    let for_place = (view.kind == "place").then(|| view.id.clone());
    let picked = Callback::from(move |files: Files| {
        if let Some(place) = for_place.as_deref().filter(|_| files.len() > 1) {
            // Many are put in order first, and can go to several places.
            file::lay_by(&files, place);
            return desk.go(&Route::Gallery);
        }
        let words = match files.len() {
            1 => "A picture".to_owned(),
            n => format!("{n} pictures"),
        };
        desk.capture(words, Ask::Shoot(shoot.clone()), &files, Callback::noop());
    });
    html! {
        <p class="space-above"><label class="key">{ "Pictures taken before" }<input type="file" accept="image/*" multiple=true onchange={event::picked(picked)} /></label></p>
    }
}
