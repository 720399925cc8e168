//! The boat, how she lies, and her places.

use serde::{Deserialize, Serialize};

use super::kinds;
use crate::shape::Shape;
use crate::unit::group;
use crate::word::{Lie, Side, Word as _};
use crate::{Decimal, Id, Quantity, When};

/// One engine.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Engine {
    /// What it is called.
    pub name: Option<String>,
    /// Its serial number.
    pub serial: Option<String>,
    /// Running hours when it was read.
    pub hours: Option<Decimal>,
    /// The year of manufacture, as known.
    pub made: Option<String>,
}

/// One layer of a skin or a core, as measured.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Layer {
    /// What it is made of.
    pub material: Option<String>,
    /// How thick it is.
    pub thickness: Option<Quantity>,
    /// What else was seen.
    pub note: Option<String>,
}

kinds! {
    /// The boat's particulars. The first one begins the log and gives it its id.
    Boat, needs("name") {
        /// What she is called.
        name: Option<String> = Shape::Text;
        /// The hull identification number, in the form of ISO 10087; an older or home-made one is kept as it is.
        hull_number: Option<String> = Shape::Text;
        /// Who built her.
        builder: Option<String> = Shape::Text;
        /// The photograph or drawing of her deck that serves as the plan.
        plan: Option<Id> = Shape::Entry(&["photograph"]);
        /// Who designed her.
        designer: Option<String> = Shape::Text;
        /// The type or model.
        model: Option<String> = Shape::Text;
        /// When she was built.
        built: Option<When> = Shape::When;
        /// Length overall.
        length_overall: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Length on the waterline.
        length_waterline: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Greatest beam.
        beam: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Draught.
        draught: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Displacement.
        displacement: Option<Quantity> = Shape::Amount(group::MASS);
        /// How the hull is built.
        hull_construction: Option<String> = Shape::Prose;
        /// How the deck is built.
        deck_construction: Option<String> = Shape::Prose;
        /// Engines with serial numbers and running hours.
        engines: Vec<Engine> = Shape::Engines;
        /// Where and under what number she is registered.
        registration: Option<String> = Shape::Text;
        /// Names she bore earlier.
        former_names: Vec<String> = Shape::Texts;
        /// Who owned her earlier.
        former_owners: Vec<String> = Shape::Texts;
        /// The currency in which this log counts by default (ISO 4217).
        currency: Option<String> = Shape::Text;
        /// What else is worth knowing.
        words: Option<String> = Shape::Prose;
    }

    /// How the boat lay at a time: readings and levels depend on it.
    BoatState, needs("lie") {
        /// Afloat or ashore.
        lie: Option<Lie> = Shape::Word(Lie::WORDS);
        /// How she is blocked and shored.
        blocked: Option<String> = Shape::Prose;
        /// What is in the tanks.
        tanks: Option<String> = Shape::Prose;
        /// Whether the mast is stepped.
        mast_stepped: Option<bool> = Shape::YesNo;
        /// Freeboard forward, port.
        freeboard_forward_port: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Freeboard forward, starboard.
        freeboard_forward_starboard: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Freeboard aft, port.
        freeboard_aft_port: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Freeboard aft, starboard.
        freeboard_aft_starboard: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// Under cover, in the rain, heated: what bears on drying.
        shelter: Option<String> = Shape::Prose;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// A part of the boat; places lie within places.
    Place, needs("name") {
        /// What it is called: *third bay aft of the house front*.
        name: Option<String> = Shape::Text;
        /// The place that it is part of.
        parent: Option<Id> = Shape::Entry(&["place"]);
        /// On which side.
        side: Option<Side> = Shape::Word(Side::WORDS);
        /// How far along, from the datum.
        along: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// How far across, from the centreline.
        across: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// How high, above the datum.
        height: Option<Quantity> = Shape::Amount(group::LENGTH);
        /// From where these are measured.
        datum: Option<String> = Shape::Text;
        /// The skins and the core as measured, from outside in.
        layers: Vec<Layer> = Shape::Layers;
        /// Pipes, wires and tanks that run behind it.
        behind: Option<String> = Shape::Prose;
        /// What else.
        words: Option<String> = Shape::Prose;
    }
}
