//! What is fastened to the boat, and what must be kept up.

use super::kinds;
use crate::shape::Shape;
use crate::unit::group;
use crate::word::{Side, Word as _};
use crate::{Id, Quantity, When};

kinds! {
    /// A thing fastened through or to the boat.
    Fitting, needs("name") {
        /// What it is: *stanchion base*.
        name: Option<String> = Shape::Text;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// On which side.
        side: Option<Side> = Shape::Word(Side::WORDS);
        /// The fastenings: how many, what, how long.
        fastenings: Option<String> = Shape::Text;
        /// The metal of the fitting and of its fastenings.
        metal: Option<String> = Shape::Text;
        /// The backing: plate, washers, none.
        backing: Option<String> = Shape::Text;
        /// What it is bedded in.
        bedding: Option<String> = Shape::Text;
        /// When it was bedded.
        bedded: Option<When> = Shape::When;
        /// Whether the hole through the core is plugged.
        hole_plugged: Option<bool> = Shape::YesNo;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// What must be looked at or done again.
    Upkeep, needs("what") {
        /// What is to be done.
        what: Option<String> = Shape::Text;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The fitting.
        fitting: Option<Id> = Shape::Entry(&["fitting"]);
        /// The finding that it watches.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// How it is done.
        how: Option<String> = Shape::Prose;
        /// How often.
        interval: Option<Quantity> = Shape::Amount(group::INTERVAL);
        /// When it was last done.
        last: Option<When> = Shape::When;
        /// When it is next due.
        next: Option<When> = Shape::When;
    }

    /// Upkeep that was done once.
    UpkeepDone, needs("upkeep") {
        /// The upkeep.
        upkeep: Option<Id> = Shape::Entry(&["upkeep"]);
        /// Who did it.
        person: Option<Id> = Shape::Entry(&["person", "hand"]);
        /// What was seen and done.
        words: Option<String> = Shape::Prose;
    }
}
