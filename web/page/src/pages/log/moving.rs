//! Several rows at once to another place.

use garboard_protocol::{Ask, Row};
use yew::{Callback, Html, UseStateHandle, html};

use crate::browser::event;
use crate::components::each;
use crate::hooks::Desk;
use crate::json::Json;
use crate::pages::part::{Picking, counted};

/// What is being moved; `None` while nobody chooses.
pub(super) type Moving = UseStateHandle<Option<Chosen>>;

/// Rows that are chosen, and where they are to go.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Chosen {
    rows: Vec<String>,
    /// The place as its choice has it; blank while none is chosen.
    to: String,
}

/// What the rows need while some are being chosen.
pub(super) fn picking(moving: &Moving) -> Option<Picking> {
    let chosen = (**moving).clone()?;
    let (moving, known) = (moving.clone(), chosen.clone());
    let onpick = Callback::from(move |id: String| {
        let mut next = known.clone();
        match next.rows.iter().position(|known| *known == id) {
            Some(idx) => drop(next.rows.remove(idx)),
            None => next.rows.push(id),
        }
        moving.set(Some(next));
    });
    Some(Picking {
        picked: chosen.rows,
        onpick,
    })
}

/// The key that begins choosing; then how many are chosen, and where they go.
pub(super) fn bar(desk: &Desk, moving: &Moving) -> Html {
    let Some(chosen) = (**moving).clone() else {
        let moving = moving.clone();
        let onclick = Callback::from(move |_| moving.set(Some(Chosen::default())));
        return html! { <p class="sift-more"><button type="button" class="link" {onclick}>{ "Move several" }</button></p> };
    };
    let leave = {
        let moving = moving.clone();
        Callback::from(move |_| moving.set(None))
    };
    let places = desk
        .state
        .choices
        .as_ref()
        .map(|choices| choices.places.clone())
        .unwrap_or_default();
    let choose = {
        let (moving, chosen) = (moving.clone(), chosen.clone());
        event::selected(Callback::from(move |to: String| {
            moving.set(Some(Chosen {
                to,
                ..chosen.clone()
            }));
        }))
    };
    let place = Json::read(&chosen.to).and_then(|json| json.text().map(str::to_owned));
    let is_ready = place.is_some() && !chosen.rows.is_empty();
    let go = {
        let (desk, moving, rows) = (desk.clone(), moving.clone(), chosen.rows.clone());
        Callback::from(move |_| {
            if let Some(place) = place.clone() {
                move_to(&desk, &rows, place);
                moving.set(None);
            }
        })
    };
    html! {
        <div class="fresh" role="group" aria-label="Move several">
            <p role="status">{ if chosen.rows.is_empty() { "Touch the entries that belong elsewhere.".to_owned() } else { format!("{} chosen", counted(u32::try_from(chosen.rows.len()).unwrap_or(u32::MAX), "entry", "entries")) } }</p>
            <select aria-label="Where they belong" onchange={choose}>
                <option value="" selected={chosen.to.is_empty()}>{ "Where they belong…" }</option>
                { each(&places, &|place| html! { <option value={place.raw.clone()} selected={place.raw == chosen.to}>{ if place.note.is_empty() { place.label.clone() } else { format!("{} · {}", place.label, place.note) } }</option> }) }
            </select>
            <div class="rowed">
                <button type="button" class="key main-key" disabled={!is_ready} onclick={go}>{ "Move them" }</button>
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
