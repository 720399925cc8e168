//! Our own line drawings; each stands beside its word.

use yew::{Html, html};

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Drawing {
    /// A box with a lens and a lamp above it.
    Shoot,
    /// A meter with its needle and two pins.
    Measure,
    /// A carpenter's pencil on a line.
    Write,
    /// A clock face.
    Clock,
    /// A tick.
    Tick,
    /// An arrow to the left.
    Back,
    /// A garboard plank against the keel.
    Keel,
}

/// What [`icon`] shows.
pub(crate) struct IconProps {
    /// What is drawn.
    pub(crate) drawing: Drawing,
}

/// A drawing in the colour of the words around it; hidden from those who hear the word.
pub(crate) fn icon(props: &IconProps) -> Html {
    let lines = match props.drawing {
        Drawing::Shoot => html! { <>
            <path d="M3 9h4l2-3h6" /><path d="M3 9v10h18V9h-3" /><circle cx="12" cy="14" r="3.2" /><path d="M18 3v3M15.8 4.2l1 1.4M20.2 4.2l-1 1.4" />
        </> },
        Drawing::Measure => html! { <>
            <path d="M5 3h14v11H5z" /><path d="M8 10a4.6 4.6 0 0 1 8 0" /><path d="M12 10.5l2-3" /><path d="M9 14v7M15 14v7" />
        </> },
        Drawing::Write => html! { <>
            <path d="M5 15.5 15.5 5l3.5 3.5L8.5 19 4 20z" /><path d="M13 7.5l3.5 3.5" /><path d="M12 20.5h8" />
        </> },
        Drawing::Clock => html! { <>
            <circle cx="12" cy="13" r="8" /><path d="M12 8.5V13l3 2" /><path d="M12 2.5V5M7 3.6l1 1.8M17 3.6l-1 1.8" />
        </> },
        Drawing::Tick => html! { <path d="M4 12.5 10 18 20 6" /> },
        Drawing::Back => html! { <path d="M19 12H5M11 6l-6 6 6 6" /> },
        Drawing::Keel => html! { <>
            <path d="M9.6 8h4.8l-.5 12h-3.8z" /><path d="M10 12 4.4 9.2 3.6 12l6.6 3.6" /><path d="M14 12l5.6-2.8.8 2.8-6.6 3.6" /><path d="M4.4 9.2 4 4.6l-2 .6L3.6 12M19.6 9.2l.4-4.6 2 .6-1.6 6.8" />
        </> },
    };
    html! { <svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">{ lines }</svg> }
}
