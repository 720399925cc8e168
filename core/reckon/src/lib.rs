//! Computations of the trade: pure functions, each declared once with its source, its caution and its check values.
//!
//! A [`Reckoning`] says what it asks for and what it answers; the form on the screen, the command line, the help, the JSON Schema,
//! the page in the documentation, the record in the log and the page in the dossier all come from that one description.
//! Inputs come as JSON and are read and checked in one place into [`Given`]; what cannot be reckoned is [`Unreckoned`], with the
//! input's name and how to mend it: never NaN, zero or a guess.
//!
//! ```
//! let reckoning = garboard_reckon::find("scarf").unwrap();
//! let inputs = serde_json::json!({ "thickness": "12 mm", "slope": "8" });
//! let reckoned = reckoning.run(&inputs).unwrap();
//! assert_eq!(reckoned.outcome.figure("length").unwrap().to_string(), "96.0");
//! ```
//!
//! What this crate does not do: it knows no log, no document, no clock, no chance and no screen.
//! It is no compliance check of anything, and it says so beside each result.

pub mod caution;
pub mod check;
pub mod drawing;
pub mod given;
pub mod input;
pub mod number;
pub mod outcome;
pub mod output;
pub mod page;
mod reckoning;
mod schema;
mod solve;
pub mod source;
pub mod unreckoned;

pub mod ballast;
pub mod coating;
pub mod dew;
pub mod drying;
pub mod fastening;
pub mod grid;
pub mod labour;
pub mod laminate;
pub mod mix;
pub mod moisture;
pub mod panel;
pub mod photo;
pub mod plan;
pub mod resin;
pub mod sandwich;
pub mod scarf;
pub mod shaft;
pub mod tank;
pub mod water;

pub use drawing::Drawing;
pub use given::Given;
pub use input::Input;
pub use outcome::{Answer, Outcome};
pub use output::Output;
pub use reckoning::{Begin, Begun, Reckoned, Reckoning, Slices, Topic};
pub use unreckoned::Unreckoned;

/// Every reckoning, sorted by name.
pub static ALL: &[&Reckoning] = &[
    &coating::COATING,
    &ballast::CONCRETE,
    &moisture::CORE_WATER,
    &sandwich::PANEL,
    &shaft::COUPLING,
    &panel::CUTTING,
    &dew::DEW_POINT,
    &drying::DRYING,
    &fastening::ROW,
    &ballast::INCLINING,
    &laminate::LAMINATE,
    &laminate::STRENGTH,
    &sandwich::STACK,
    &fastening::OVERDRILL,
    &photo::PHOTO_SCALE,
    &resin::POT_LIFE,
    &coating::RECOAT,
    &resin::BATCH,
    &scarf::SCARF,
    &labour::SHARES,
    &moisture::SHRINKAGE,
    &fastening::SISTER,
    &grid::SURVEY_GRID,
    &tank::TANK,
    &tank::PRESSURE,
    &mix::THICKENED,
    &labour::THREE_POINT,
    &water::WATER_PATH,
    &ballast::WEIGHTS,
    &moisture::EQUILIBRIUM,
    &fastening::SCREW,
    &plan::WORK_PLAN,
];

/// The reckoning of this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Reckoning> {
    ALL.iter().copied().find(|reckoning| reckoning.name == name)
}

#[cfg(test)]
mod laws;
#[cfg(test)]
mod tests;
