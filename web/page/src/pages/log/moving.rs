//! Several rows at once to another place.

use garboard_protocol::{Ask, Row};
use yew::{Callback, Html, UseStateHandle, html};

use crate::browser::event;
use crate::components::each;
use crate::hooks::Desk;
use crate::json::Json;
use crate::pages::part::{Picking, counted};

/// The rows that are chosen; `None` while nobody chooses.
type Picked = UseStateHandle<Option<Vec<String>>>;

/// What the rows need while some are being chosen.
pub(super) fn picking(picked: &Picked) -> Option<Picking> {
    let chosen = (**picked).clone()?;
    let picked = picked.clone();
    let known = chosen.clone();
    let onpick = Callback::from(move |id: String| {
        let mut next = known.clone();
        match next.iter().position(|known| *known == id) {
            Some(idx) => drop(next.remove(idx)),
            None => next.push(id),
        }
        picked.set(Some(next));
    });
    Some(Picking {
        picked: chosen,
        onpick,
    })
}

/// The key that begins choosing; then how many are chosen, and where they go.
pub(super) fn bar(desk: &Desk, picked: &Picked) -> Html {
    let Some(chosen) = (**picked).clone() else {
        let picked = picked.clone();
        let onclick = Callback::from(move |_| picked.set(Some(Vec::new())));
        return html! { <p class="sift-more"><button type="button" class="link" {onclick}>{ "Move several" }</button></p> };
    };
    let leave = {
        let picked = picked.clone();
        Callback::from(move |_| picked.set(None))
    };
    let places = desk
        .state
        .choices
        .as_ref()
        .map(|choices| choices.places.clone())
        .unwrap_or_default();
    let to = {
        let (desk, picked, chosen) = (desk.clone(), picked.clone(), chosen.clone());
        event::selected(Callback::from(move |raw: String| {
            let Some(place) = Json::read(&raw).and_then(|json| json.text().map(str::to_owned))
            else {
                return;
            };
            move_to(&desk, &chosen, place);
            picked.set(None);
        }))
    };
    html! {
        <div class="fresh" role="group" aria-label="Move several">
            <p role="status">{ if chosen.is_empty() { "Touch the entries that belong elsewhere.".to_owned() } else { format!("{} chosen", counted(u32::try_from(chosen.len()).unwrap_or(u32::MAX), "entry", "entries")) } }</p>
            <div class="pairs">
                <select aria-label="Move them to" onchange={to} disabled={chosen.is_empty()}>
                    <option value="" selected=true>{ "Move them to…" }</option>
                    { each(&places, &|place| html! { <option value={place.raw.clone()}>{ if place.note.is_empty() { place.label.clone() } else { format!("{} · {}", place.label, place.note) } }</option> }) }
                </select>
                <button type="button" class="link" onclick={leave}>{ "Leave it" }</button>
            </div>
        </div>
    }
}

/// Moves the rows, with all pictures that share one.
fn move_to(desk: &Desk, chosen: &[String], place: String) {
    let of = |row: &Row| {
        let mut ids: Vec<String> = row.thumbs.iter().map(|thumb| thumb.entry.clone()).collect();
        if !ids.contains(&row.id) && (row.thumbs.is_empty() || row.kind != "photograph") {
            ids = vec![row.id.clone()];
        }
        ids
    };
    let entries: Vec<String> = desk
        .state
        .rows
        .iter()
        .flat_map(|rows| &rows.rows)
        .filter(|row| chosen.contains(&row.id))
        .flat_map(of)
        .collect();
    let n = u32::try_from(entries.len()).unwrap_or(u32::MAX);
    let told = desk.clone();
    desk.say_about(
        Ask::Move { entries, place },
        Callback::from(move |outcome| match outcome {
            Ok(_) => told.tell(
                format!("{} moved and saved", counted(n, "entry", "entries")),
                "Where they were stays in the history of each.",
            ),
            Err(trouble) => told.tell_trouble(&trouble),
        }),
    );
}
