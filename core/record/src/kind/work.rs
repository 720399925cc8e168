//! What is done: repairs and their steps, batches, materials, costs, hours and reckonings.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::kinds;
use crate::shape::Shape;
use crate::unit::group;
use crate::word::{Decision, Fate, Role, Word as _, Work};
use crate::{Decimal, Id, Money, Quantity, When};

/// One part of a batch.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Part {
    /// What it is.
    pub material: Option<String>,
    /// The lot on its label.
    pub lot: Option<String>,
    /// How much of it.
    pub amount: Option<Quantity>,
}

kinds! {
    /// What is done, about findings or as an improvement; it is made of steps.
    Repair, needs("title") {
        /// A few words that name it.
        title: Option<String> = Shape::Text;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// What was decided.
        decision: Option<Decision> = Shape::Word(Decision::WORDS);
        /// Why.
        why: Option<String> = Shape::Prose;
        /// Who decided.
        person: Option<Id> = Shape::Entry(&["person", "hand"]);
        /// How many hours it was thought to take.
        hours_estimate: Option<Decimal> = Shape::Number;
        /// What it was thought to cost.
        cost_estimate: Option<Money> = Shape::Money;
        /// When the work began.
        begun: Option<When> = Shape::When;
        /// When the work was finished.
        finished: Option<When> = Shape::When;
        /// Whether it alters structure, ballast, fuel, gas, electrics or through-hulls, so that an insurer must be told.
        alters: Option<String> = Shape::Prose;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// One planned or done action in a repair.
    Step, needs("repair", "title") {
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// What is done.
        title: Option<String> = Shape::Text;
        /// What kind of work it is.
        work: Option<Work> = Shape::Word(Work::WORDS);
        /// Where in the order it stands, where nothing else says.
        order: Option<u64> = Shape::Count;
        /// How the ground is prepared.
        preparation: Option<String> = Shape::Prose;
        /// The product, by its generic name and the label's.
        product: Option<String> = Shape::Text;
        /// Which coat it is.
        coat: Option<u64> = Shape::Count;
        /// The earliest time for the next coat, by the product's data sheet.
        recoat_earliest: Option<When> = Shape::When;
        /// The latest time for the next coat without new preparation, by the product's data sheet.
        recoat_latest: Option<When> = Shape::When;
        /// When it is planned.
        planned: Option<When> = Shape::When;
        /// When it was begun.
        begun: Option<When> = Shape::When;
        /// When it was done.
        done: Option<When> = Shape::When;
        /// Who did it.
        person: Option<Id> = Shape::Entry(&["person", "hand"]);
        /// For a hold point: what must be shown before the work goes on.
        hold: Option<String> = Shape::Text;
        /// For a hold point on a reading: the quantity.
        hold_quantity: Option<String> = Shape::Text;
        /// For a hold point on a reading: not below this.
        hold_least: Option<Quantity> = Shape::Amount(group::ANY);
        /// For a hold point on a reading: not above this.
        hold_most: Option<Quantity> = Shape::Amount(group::ANY);
        /// For a hold point: the reading or the paper that met it.
        hold_met: Option<Id> = Shape::Entry(&["reading", "paper", "test"]);
        /// Air temperature while it was done.
        air: Option<Quantity> = Shape::Amount(group::TEMPERATURE);
        /// Surface temperature while it was done.
        surface: Option<Quantity> = Shape::Amount(group::TEMPERATURE);
        /// Relative humidity while it was done.
        humidity: Option<Quantity> = Shape::Amount(group::SHARE);
        /// What else, and where the work left the plan.
        words: Option<String> = Shape::Prose;
    }

    /// One mix of resin, filler, paint or bedding.
    Batch, needs("step") {
        /// The step that it was mixed for.
        step: Option<Id> = Shape::Entry(&["step"]);
        /// When it was mixed.
        mixed: Option<When> = Shape::When;
        /// How long it can be used, by the data sheet, at the temperature at which it was mixed.
        pot_life: Option<Quantity> = Shape::Amount(group::TIME);
        /// Its parts with their lots and amounts.
        parts: Vec<Part> = Shape::Parts;
        /// Air temperature.
        air: Option<Quantity> = Shape::Amount(group::TEMPERATURE);
        /// Surface temperature.
        surface: Option<Quantity> = Shape::Amount(group::TEMPERATURE);
        /// Relative humidity.
        humidity: Option<Quantity> = Shape::Amount(group::SHARE);
        /// How the cure was checked, and what it came to.
        cure_check: Option<String> = Shape::Prose;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// Covering what was opened: the last moment to photograph and measure what will be hidden.
    ClosingUp, needs("place") {
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// What is hidden now.
        hides: Option<String> = Shape::Prose;
        /// What had not been photographed, measured or tested when it was closed.
        missing: Option<String> = Shape::Prose;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// Material: needed, bought, used, returned, removed or disposed of.
    Material, needs("what", "fate") {
        /// What it is, by its generic trade name.
        what: Option<String> = Shape::Text;
        /// What happened to it.
        fate: Option<Fate> = Shape::Word(Fate::WORDS);
        /// How much.
        quantity: Option<Quantity> = Shape::Amount(group::AMOUNT);
        /// The price of one unit of the quantity.
        unit_price: Option<Money> = Shape::Money;
        /// The price of the whole, where no unit price is known.
        price: Option<Money> = Shape::Money;
        /// Tax in per cent, where it is not in the price.
        tax: Option<Decimal> = Shape::Number;
        /// The repair that it belongs to.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// The step that it was used in.
        step: Option<Id> = Shape::Entry(&["step"]);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The purchase that it was taken from.
        from: Option<Id> = Shape::Entry(&["material"]);
        /// The maker's grade.
        grade: Option<String> = Shape::Text;
        /// The lot.
        lot: Option<String> = Shape::Text;
        /// The date code on the label.
        date_code: Option<String> = Shape::Text;
        /// The mass, for what changes the boat's weight.
        mass: Option<Quantity> = Shape::Amount(group::MASS);
        /// The receipt.
        receipt: Option<Id> = Shape::Entry(&["paper"]);
        /// Where it was bought or how it was disposed of.
        where_to: Option<String> = Shape::Text;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// Money that was spent on no material: haul-out, storage, hire, disposal, a yard's lump sum.
    Cost, needs("what", "amount") {
        /// What for.
        what: Option<String> = Shape::Text;
        /// How much.
        amount: Option<Money> = Shape::Money;
        /// Tax in per cent, where it is not in the amount.
        tax: Option<Decimal> = Shape::Number;
        /// The repair that it belongs to.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// Who was paid.
        person: Option<Id> = Shape::Entry(&["person"]);
        /// The receipt.
        receipt: Option<Id> = Shape::Entry(&["paper"]);
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// One person's unbroken stretch of labour.
    Stint, needs() {
        /// Who worked; the writer, where nobody is named.
        person: Option<Id> = Shape::Entry(&["person", "hand"]);
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// When it began.
        start: Option<When> = Shape::When;
        /// When it ended; a running stint has none.
        end: Option<When> = Shape::When;
        /// How long it was, in hours, where start and end are not known.
        hours: Option<Decimal> = Shape::Number;
        /// What kind of work it was.
        work: Option<Work> = Shape::Word(Work::WORDS);
        /// What was done.
        words: Option<String> = Shape::Prose;
    }

    /// A computed estimate: its inputs and its method are kept, its result is computed again when it is shown.
    Reckoning, needs("method") {
        /// The computation's name.
        method: Option<String> = Shape::Text;
        /// The revision of the computation.
        revision: Option<u64> = Shape::Count;
        /// Its inputs by name.
        inputs: Option<Value> = Shape::Any;
        /// The repair that it is for.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// That one entry belongs to another: a finding to a repair, a step to what it waits for, a test to what it rests on.
    Member, needs("whole", "part", "role") {
        /// The entry that has several.
        whole: Option<Id> = Shape::Entry(&[]);
        /// The entry that is one of them.
        part: Option<Id> = Shape::Entry(&[]);
        /// What the part is to the whole.
        role: Option<Role> = Shape::Word(Role::WORDS);
    }
}
