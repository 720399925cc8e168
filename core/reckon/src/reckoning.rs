//! One computation of the trade, declared once.

use serde_json::{Value, json};

use crate::caution::{self, Caution};
use crate::check::Check;
use crate::given::Given;
use crate::input::Input;
use crate::outcome::Outcome;
use crate::output::Output;
use crate::source::Source;
use crate::unreckoned::Unreckoned;

/// What part of the trade a reckoning belongs to, in the order in which they are offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "`shown` says what each is")]
pub enum Topic {
    Laminate,
    Resin,
    Coating,
    Moisture,
    Survey,
    Stiffness,
    Scarf,
    Fastening,
    Panel,
    Weight,
    Tank,
    Shaft,
    Photograph,
    Labour,
    Plan,
    Water,
}

impl Topic {
    /// As it is shown.
    #[must_use]
    pub fn shown(self) -> &'static str {
        match self {
            Self::Laminate => "laminate",
            Self::Resin => "resin",
            Self::Coating => "coatings",
            Self::Moisture => "wood and moisture",
            Self::Survey => "survey grid",
            Self::Stiffness => "core and skins",
            Self::Scarf => "scarf",
            Self::Fastening => "sisters and fastenings",
            Self::Panel => "panels",
            Self::Weight => "ballast and weights",
            Self::Tank => "tanks",
            Self::Shaft => "shaft",
            Self::Photograph => "photo scale",
            Self::Labour => "labour and money",
            Self::Plan => "work plan",
            Self::Water => "water path",
        }
    }
}

/// One computation of the trade.
#[derive(Debug)]
pub struct Reckoning {
    /// The name, words joined by `-`; the log keeps it as the method.
    pub name: &'static str,
    /// The name in trade words.
    pub title: &'static str,
    /// What it is good for, a sentence or two.
    pub purpose: &'static str,
    /// What part of the trade it belongs to.
    pub topic: Topic,
    /// Raised whenever the same inputs may give another result.
    pub revision: u64,
    /// What it asks for, in the order in which it asks.
    pub inputs: &'static [Input],
    /// What it answers, in the order in which it is shown.
    pub results: &'static [Output],
    /// The formula in the letters of its source, with the letters explained; a line each.
    pub formula: &'static str,
    /// Where it comes from.
    pub sources: &'static [Source],
    /// What it does not cover, a sentence each.
    pub limits: &'static [&'static str],
    /// What can hurt someone; [`caution::ESTIMATE`] is added to all.
    pub cautions: &'static [&'static Caution],
    /// Reckons.
    pub reckon: fn(&Given) -> Result<Outcome, Unreckoned>,
    /// Reckons in slices, where it may take long.
    pub begin: Option<Begin>,
    /// Check values from outside.
    pub checks: &'static [Check],
}

/// Begins a reckoning that goes on in slices.
pub type Begin = fn(&Given) -> Result<Box<dyn Slices>, Unreckoned>;

/// What was given, and the reckoning that goes on with it.
pub type Begun = (Given, Box<dyn Slices>);

/// A reckoning that is going on, for what may take long: whoever runs it keeps the clock and may stop.
pub trait Slices {
    /// Goes on for about `budget` units of work; whether it is finished.
    fn step(&mut self, budget: u32) -> bool;
    /// The best that was found so far.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned`] when nothing was found
    fn best(&self) -> Result<Outcome, Unreckoned>;
}

/// A reckoning with what it was given and what it came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoned {
    /// What it was given.
    pub given: Given,
    /// What it came to.
    pub outcome: Outcome,
}

fn parsed(inputs: &str) -> Result<Value, Unreckoned> {
    serde_json::from_str(inputs).map_err(|cause| Unreckoned::NotInputs {
        found: cause.to_string(),
    })
}

impl Reckoned {
    /// The inputs as they are kept in a log, those that were taken by default as well: one JSON object.
    #[must_use]
    pub fn inputs(&self) -> String {
        self.given.json().to_string()
    }
}

impl Reckoning {
    /// Reads the inputs and reckons.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned`] with the input to look at and how to mend it
    pub fn run(&self, inputs: &Value) -> Result<Reckoned, Unreckoned> {
        let given = Given::read(self.inputs, inputs)?;
        let outcome = (self.reckon)(&given).map_err(|cause| {
            let input = given.outermost(self.inputs);
            cause.laid_to(input.as_deref().unwrap_or_default())
        })?;
        Ok(Reckoned { given, outcome })
    }

    /// Reads the inputs from JSON text and reckons.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned`] with the input to look at and how to mend it
    pub fn run_text(&self, inputs: &str) -> Result<Reckoned, Unreckoned> {
        self.run(&parsed(inputs)?)
    }

    /// Reads the inputs from JSON text, and begins where it goes on in slices.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned`] with the input to look at and how to mend it
    pub fn begin_text(&self, inputs: &str) -> Result<Option<Begun>, Unreckoned> {
        let given = Given::read(self.inputs, &parsed(inputs)?)?;
        let Some(begin) = self.begin else {
            return Ok(None);
        };
        let slices = begin(&given)?;
        Ok(Some((given, slices)))
    }

    /// Every caution that stands beside the result; the last says that it is an estimate.
    pub fn all_cautions(&self) -> impl Iterator<Item = &'static Caution> {
        self.cautions.iter().copied().chain([&caution::ESTIMATE])
    }

    /// The JSON Schema (draft 2020-12) of inputs and results.
    #[must_use]
    pub fn describe(&self) -> Value {
        crate::schema::of(self)
    }

    /// A result as JSON, with sources, limits and cautions.
    #[must_use]
    pub fn json(&self, reckoned: &Reckoned) -> Value {
        let needed: Vec<Value> = reckoned
            .outcome
            .needed
            .iter()
            .map(|needed| {
                json!({ "material": needed.material, "grade": needed.grade, "amount": needed.amount })
            })
            .collect();
        let sources: Vec<Value> = self
            .sources
            .iter()
            .map(|source| json!({ "mark": source.mark.word(), "citation": source.citation }))
            .collect();
        json!({
            "reckoning": self.name,
            "title": self.title,
            "revision": self.revision,
            "inputs": reckoned.given.json(),
            "defaults_taken": reckoned.given.defaulted,
            "results": reckoned.outcome.answers.json(),
            "remarks": reckoned.outcome.remarks,
            "needed": needed,
            "formula": self.formula,
            "sources": sources,
            "not_covered": self.limits,
            "cautions": self.all_cautions().map(|caution| caution.words).collect::<Vec<_>>(),
        })
    }
}
