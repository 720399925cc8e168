//! One season of an invented boat, March to September 2026.
//!
//! The amounts follow the trade's own sums. A ply of biaxial cloth of 600 g/m² laid by hand at a glass share of one half by mass
//! takes as much resin as glass (ISO 12215-5:2008, Annex C, as transcribed in a secondary source): three plies of together
//! 2.2 m² take 1.3 kg. Sealing bare wood at 0.15 kg/m², two beds of thickened resin of 1.5 mm each, the fairing and what stays
//! in the pots make it 3.9 kg (common practice, no source). Plywood core of 12.7 mm and 600 kg/m³ at 80 per cent moisture
//! holds 6.1 kg of water a square metre, so that 0.61 m² of it weigh a good 8 kg when they come out.
//!
//! The scenario itself is data, `season.jsonl`: a line each thing that is said, in the order of time. `@name` stands for the
//! id of what was said under that name. Between *part* and *meet* the hands write without knowing of each other.

use garboard_record::Kind;
use serde_json::Value;

use crate::drawing::Drawing;
use crate::teller::{Error, Teller, Told, Who};

/// The scenario.
const SCRIPT: &str = include_str!("season.jsonl");

/// Tells the whole season: the statements of both devices and every picture.
///
/// # Errors
///
/// None, unless the scenario itself has a mistake; a test tells it from end to end.
pub fn told() -> Result<Told, Error> {
    let mut teller: Option<Teller> = None;
    for (line, n_line) in SCRIPT.lines().zip(1..) {
        let line = Line::read(line, n_line)?;
        match &mut teller {
            Some(teller) => line.tell(teller)?,
            None => teller = Some(line.begin()?),
        }
    }
    teller.map(Teller::done).ok_or(Error::Script {
        n_line: 1,
        what: "no lines".to_owned(),
    })
}

/// One line of the scenario.
struct Line {
    said: Value,
    n_line: usize,
}

impl Line {
    fn read(text: &str, n_line: usize) -> Result<Self, Error> {
        match serde_json::from_str(text) {
            Ok(said) => Ok(Self { said, n_line }),
            Err(error) => Err(Error::Script {
                n_line,
                what: error.to_string(),
            }),
        }
    }

    fn wrong(&self, what: &str) -> Error {
        Error::Script {
            n_line: self.n_line,
            what: what.to_owned(),
        }
    }

    /// A text that may be left out.
    fn maybe(&self, name: &str) -> Option<&str> {
        self.said.get(name).and_then(Value::as_str)
    }

    fn text(&self, name: &str) -> Result<&str, Error> {
        self.maybe(name).ok_or_else(|| self.wrong(name))
    }

    fn value(&self, name: &str) -> Result<Value, Error> {
        self.said.get(name).cloned().ok_or_else(|| self.wrong(name))
    }

    fn hand(&self, name: &str) -> Result<Who, Error> {
        match self.text(name)? {
            "Ann" => Ok(Who::Ann),
            "Ben" => Ok(Who::Ben),
            other => Err(self.wrong(other)),
        }
    }

    /// The first line, which begins the log.
    fn begin(&self) -> Result<Teller, Error> {
        Teller::begin(self.text("at")?, self.value("boat")?, self.text("ben_at")?)
    }

    fn tell(&self, teller: &mut Teller) -> Result<(), Error> {
        let key = self.maybe("key").unwrap_or_default();
        let at = self.text("at")?;
        match self.text("do")? {
            "part" => teller.part(),
            "meet" => teller.meet(),
            "say" => {
                let kind = Kind::of(self.text("kind")?);
                teller.say(
                    self.hand("who")?,
                    at,
                    self.maybe("happened"),
                    key,
                    &kind,
                    self.value("fields")?,
                )?;
            }
            "amend" => teller.amend(
                self.hand("who")?,
                at,
                key,
                self.text("field")?,
                self.value("value")?,
            )?,
            "choose" => {
                let (field, why) = (self.text("field")?, self.text("why")?);
                teller.choose(self.hand("who")?, at, key, field, self.hand("of")?, why)?;
            }
            "strike" => teller.strike(self.hand("who")?, at, key, self.text("why")?)?,
            "lift" => teller.lift(self.hand("who")?, at, key, self.text("why")?)?,
            "member" => {
                let (whole, part) = (self.text("whole")?, self.text("part")?);
                teller.member(self.hand("who")?, at, whole, part, self.text("role")?)?;
            }
            "picture" => {
                let name = self.text("drawing")?;
                let drawing = Drawing::ALL
                    .into_iter()
                    .find(|drawing| drawing.file_name() == name);
                let drawing = drawing.ok_or_else(|| self.wrong(name))?;
                teller.picture(self.hand("who")?, at, key, drawing, self.value("fields")?)?;
            }
            other => return Err(self.wrong(other)),
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
