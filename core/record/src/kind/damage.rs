//! What was looked at, what was found, what was measured, where the water came in, and what was tested.

use super::kinds;
use crate::shape::Shape;
use crate::unit::group;
use crate::word::{Certainty, Damage, Method, Outcome, Range, Trial, Urgency, Verdict, Word as _};
use crate::{Decimal, Id, Quantity, When};

kinds! {
    /// Who looked at a place, when and how. Nothing found is a result, and so is what could not be reached.
    Examination, needs("place") {
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// Who examined it; the writer, where nobody is named.
        person: Option<Id> = Shape::Entry(&["person", "hand"]);
        /// How.
        methods: Vec<Method> = Shape::Words(Method::WORDS);
        /// How much of the place was covered.
        share: Option<Quantity> = Shape::Amount(group::SHARE);
        /// What it came to.
        outcome: Option<Outcome> = Shape::Word(Outcome::WORDS);
        /// What could not be reached, and why.
        not_reached: Option<String> = Shape::Prose;
        /// What was seen.
        words: Option<String> = Shape::Prose;
    }

    /// Something wrong at a place. What was observed stays apart from what is supposed.
    Finding, needs("title") {
        /// A few words that name it.
        title: Option<String> = Shape::Text;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// What was seen, felt, heard, smelt or measured.
        observed: Option<String> = Shape::Prose;
        /// What is thought to be the reason; not observed.
        supposed: Option<String> = Shape::Prose;
        /// What is wrong.
        kinds: Vec<Damage> = Shape::Words(Damage::WORDS);
        /// How far it reaches.
        extent: Option<Quantity> = Shape::Amount(group::EXTENT);
        /// How soon it must be dealt with.
        urgency: Option<Urgency> = Shape::Word(Urgency::WORDS);
        /// For an earlier repair: who made it, as far as known.
        earlier_by: Option<String> = Shape::Text;
        /// For an earlier repair: when it was made, known or supposed.
        earlier_when: Option<String> = Shape::Text;
        /// The earlier finding that came back as this one.
        again_of: Option<Id> = Shape::Entry(&["finding"]);
    }

    /// One measured value, with its instrument, its conditions and its spot.
    Reading, needs("quantity") {
        /// What was measured: moisture, thickness, gap, temperature, resistance.
        quantity: Option<String> = Shape::Text;
        /// The value with its unit, as entered. A relative moisture scale has the unit *scale*, never per cent.
        value: Option<Quantity> = Shape::Amount(group::ANY);
        /// The value as a word on a named scale: *dull*, *crisp*, *hard*.
        word: Option<String> = Shape::Text;
        /// The value as yes or no.
        yes: Option<bool> = Shape::YesNo;
        /// Whether the instrument showed a value, or over or under its range.
        range: Option<Range> = Shape::Word(Range::WORDS);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The finding.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// The spot within the place: *C4*.
        spot: Option<String> = Shape::Text;
        /// The instrument.
        instrument: Option<Id> = Shape::Entry(&["instrument"]);
        /// The scale or mode it was set to.
        mode: Option<String> = Shape::Text;
        /// The timber species that the instrument was set to or corrected for.
        species: Option<String> = Shape::Text;
        /// The correction that was applied.
        correction: Option<String> = Shape::Text;
        /// What the same instrument shows on a sound, dry part of the same boat.
        dry_reference: Option<Decimal> = Shape::Number;
        /// Air temperature.
        air: Option<Quantity> = Shape::Amount(group::TEMPERATURE);
        /// Surface temperature.
        surface: Option<Quantity> = Shape::Amount(group::TEMPERATURE);
        /// Relative humidity of the air.
        humidity: Option<Quantity> = Shape::Amount(group::SHARE);
        /// What else bears on the value.
        conditions: Option<String> = Shape::Prose;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// A thing that measures.
    Instrument, needs("name") {
        /// What it is called aboard: *pin meter*.
        name: Option<String> = Shape::Text;
        /// The maker's kind.
        model: Option<String> = Shape::Text;
        /// The serial number.
        serial: Option<String> = Shape::Text;
        /// When it was last checked, and against what.
        checked: Option<When> = Shape::When;
        /// Against what it was checked.
        checked_against: Option<String> = Shape::Text;
        /// What it shows: per cent of dry wood, or a relative scale from 0 to 100.
        shows: Option<String> = Shape::Text;
        /// The quantity that is usually measured with it.
        quantity: Option<String> = Shape::Text;
        /// The unit that it shows.
        unit: Option<String> = Shape::Text;
    }

    /// Where water gets in.
    WayIn, needs("title") {
        /// A few words that name it.
        title: Option<String> = Shape::Text;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The fitting that it goes through.
        fitting: Option<Id> = Shape::Entry(&["fitting"]);
        /// How sure it is.
        certainty: Option<Certainty> = Shape::Word(Certainty::WORDS);
        /// What shows it.
        observed: Option<String> = Shape::Prose;
        /// What is thought of it; not observed.
        supposed: Option<String> = Shape::Prose;
        /// When it was stopped.
        stopped: Option<When> = Shape::When;
        /// How it was stopped.
        stopped_how: Option<String> = Shape::Prose;
    }

    /// The way that water took from where it came in to what it did.
    WaterPath, needs("way_in", "finding") {
        /// Where it came in.
        way_in: Option<Id> = Shape::Entry(&["way-in"]);
        /// What it did.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// How sure it is.
        certainty: Option<Certainty> = Shape::Word(Certainty::WORDS);
        /// Along what it ran.
        words: Option<String> = Shape::Prose;
    }

    /// What shows a repair good, or not.
    Test, needs("trial", "verdict") {
        /// What was tested.
        trial: Option<Trial> = Shape::Word(Trial::WORDS);
        /// What it came to.
        verdict: Option<Verdict> = Shape::Word(Verdict::WORDS);
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// The finding.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// Who tested.
        person: Option<Id> = Shape::Entry(&["person", "hand"]);
        /// How it was done, and what was seen.
        words: Option<String> = Shape::Prose;
    }
}
