//! One season of an invented boat, March to September 2026.
//!
//! The amounts follow the trade's own sums. A ply of biaxial cloth of 600 g/m² laid by hand at a glass share of one half by mass
//! takes as much resin as glass (ISO 12215-5:2008, Annex C, as transcribed in a secondary source): three plies of together
//! 2.2 m² take 1.3 kg. Sealing bare wood at 0.15 kg/m², two beds of thickened resin of 1.5 mm each, the fairing and what stays
//! in the pots make it 3.9 kg (common practice, no source). Plywood core of 12.7 mm and 600 kg/m³ at 80 per cent moisture
//! holds 6.1 kg of water a square metre, so that 0.61 m² of it weigh a good 8 kg when they come out.

mod autumn;
mod places;
mod rebuilding;
mod side_deck;
mod spring;
mod summer;

use serde_json::json;

use crate::script::Script;
use crate::teller::{Error, Teller, Told};

/// Tells the whole season: the statements of both devices and every picture.
///
/// # Errors
///
/// None, unless the scenario itself has a mistake; a test tells it from end to end.
pub fn told() -> Result<Told, Error> {
    let boat = json!({
        "name": "Dunlin",
        "hull_number": "ZZ-OMY00017F787",
        "builder": "Ostermole boatyard (invented for this demonstration)",
        "designer": "drawn in the yard",
        "model": "motor-sailer, 9.6 m, centre house",
        "built": "1987",
        "length_overall": "9.60 m",
        "length_waterline": "8.20 m",
        "beam": "3.15 m",
        "draught": "1.35 m",
        "displacement": "6.2 t",
        "hull_construction": "Solid fibreglass laminate, mat and woven roving in polyester; iron ballast encapsulated in the keel.",
        "deck_construction": "Fibreglass skins over a core of plywood blocks, 12 mm; house front and sides framed in hardwood, plywood panels.",
        "engines": [{ "name": "diesel, four cylinders, 40 kW", "serial": "D4-20817", "hours": "3120", "made": "1987" }],
        "registration": "small craft register 0417 (invented)",
        "former_names": ["Whimbrel"],
        "former_owners": ["two before the present one; names left out"],
        "currency": "EUR",
        "words": "An invented boat. Nothing here is real; the pictures are drawings made by the program."
    });
    let mut teller = Teller::begin("2026-03-14 09:40", boat, "2026-03-14 20:15")?;
    let mut script = Script::default();
    places::tell(&mut script);
    spring::tell(&mut script);
    side_deck::tell(&mut script);
    rebuilding::tell(&mut script);
    summer::tell(&mut script);
    autumn::tell(&mut script);
    script.tell(&mut teller)?;
    Ok(teller.done())
}

#[cfg(test)]
mod tests;
