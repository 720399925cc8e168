//! What a reckoning comes to: figures, verdicts, tables, drawings, remarks and needed materials.

use garboard_record::{Decimal, Money, Quantity, When};
use serde_json::{Map, Value, json};

use crate::drawing::Drawing;
use crate::number;
use crate::output::{Output, Shape};
use crate::unreckoned::Unreckoned;

/// One result.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A number, rounded as declared; the unit is empty for a pure number.
    Figure {
        /// The number.
        value: Decimal,
        /// The unit.
        unit: &'static str,
    },
    /// One word of a list.
    Verdict {
        /// As given in JSON.
        word: &'static str,
        /// As shown.
        shown: &'static str,
    },
    /// Words.
    Words(String),
    /// A time.
    When(When),
    /// Money.
    Money(Money),
    /// The rows of a table.
    Table(Vec<Answers>),
    /// A drawing.
    Drawing(Drawing),
}

/// Results by name, in the order of their description; a row of a table is the same.
#[derive(Debug, Clone)]
pub struct Answers {
    described: &'static [Output],
    answers: Vec<(&'static Output, Answer)>,
}

impl PartialEq for Answers {
    fn eq(&self, other: &Self) -> bool {
        self.answers.len() == other.answers.len()
            && self
                .answers
                .iter()
                .zip(&other.answers)
                .all(|((a, left), (b, right))| a.name == b.name && left == right)
    }
}

/// A material that the work needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Needed {
    /// What it is, in trade words.
    pub material: String,
    /// What kind or grade of it.
    pub grade: String,
    /// How much.
    pub amount: Quantity,
}

/// What a reckoning comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The results by name.
    pub answers: Answers,
    /// What is odd about these inputs or this result, in sentences.
    pub remarks: Vec<String>,
    /// The materials that the work needs.
    pub needed: Vec<Needed>,
}

impl Answers {
    /// No results yet.
    #[must_use]
    pub fn new(described: &'static [Output]) -> Self {
        Self {
            described,
            answers: Vec::new(),
        }
    }

    /// Each result with its description, in the order of the description.
    pub fn iter(&self) -> impl Iterator<Item = (&'static Output, &Answer)> {
        self.described.iter().filter_map(|output| {
            let (_, answer) = self.answers.iter().find(|(of, _)| of.name == output.name)?;
            Some((output, answer))
        })
    }

    /// One result.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Answer> {
        self.answers
            .iter()
            .find_map(|(output, answer)| (output.name == name).then_some(answer))
    }

    fn put(
        &mut self,
        name: &str,
        fits: impl Fn(&Shape) -> Option<Answer>,
    ) -> Result<(), Unreckoned> {
        let output = self.described.iter().find(|output| output.name == name);
        let answer = output.and_then(|output| Some((output, fits(&output.shape)?)));
        let Some(answer) = answer else {
            return Err(Unreckoned::Ours {
                what: format!("no such result as {name} is declared"),
            });
        };
        if self.get(name).is_some() {
            return Err(Unreckoned::Ours {
                what: format!("{name} is said twice"),
            });
        }
        self.answers.push(answer);
        Ok(())
    }

    /// Adds a number, rounded as it is declared.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Unwritable`] when it is no finite number, or has more than 15 digits
    /// - [`Unreckoned::Ours`] when no such number is declared
    pub fn figure(&mut self, name: &str, value: f64) -> Result<(), Unreckoned> {
        let rounding = self
            .described
            .iter()
            .find(|output| output.name == name)
            .and_then(|output| match output.shape {
                Shape::Figure { rounding, .. } => Some(rounding),
                _ => None,
            });
        let Some(rounding) = rounding else {
            return Err(Unreckoned::Ours {
                what: format!("no such number as {name} is declared"),
            });
        };
        let value = number::decimal_of(name, value, rounding)?;
        self.put(name, |shape| match shape {
            Shape::Figure { unit, .. } => Some(Answer::Figure { value, unit }),
            _ => None,
        })
    }

    /// Adds an exact number as it stands.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when no such number is declared
    pub fn exact(&mut self, name: &str, value: Decimal) -> Result<(), Unreckoned> {
        self.put(name, |shape| match shape {
            Shape::Figure { unit, .. } => Some(Answer::Figure { value, unit }),
            _ => None,
        })
    }

    /// Adds one word of the declared list.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when no such word is declared
    pub fn verdict(&mut self, name: &str, word: &str) -> Result<(), Unreckoned> {
        self.put(name, |shape| match shape {
            Shape::Verdict(list) => list
                .iter()
                .find(|(known, _)| *known == word)
                .map(|(word, shown)| Answer::Verdict { word, shown }),
            _ => None,
        })
    }

    /// Adds words.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when none are declared
    pub fn words(&mut self, name: &str, words: impl Into<String>) -> Result<(), Unreckoned> {
        let words = words.into();
        self.put(name, |shape| {
            matches!(shape, Shape::Words).then(|| Answer::Words(words.clone()))
        })
    }

    /// Adds a time.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when none is declared
    pub fn when(&mut self, name: &str, when: &When) -> Result<(), Unreckoned> {
        self.put(name, |shape| {
            matches!(shape, Shape::When).then(|| Answer::When(when.clone()))
        })
    }

    /// Adds money.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when none is declared
    pub fn money(&mut self, name: &str, money: &Money) -> Result<(), Unreckoned> {
        self.put(name, |shape| {
            matches!(shape, Shape::Money).then(|| Answer::Money(money.clone()))
        })
    }

    /// Adds a drawing.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when none is declared
    pub fn drawing(&mut self, name: &str, drawing: &Drawing) -> Result<(), Unreckoned> {
        self.put(name, |shape| {
            matches!(shape, Shape::Drawing).then(|| Answer::Drawing(drawing.clone()))
        })
    }

    /// An empty row for a declared table; fill it, then [`Self::push`] it.
    #[must_use]
    pub fn row(&self, table: &str) -> Self {
        let columns = self.described.iter().find_map(|output| match output.shape {
            Shape::Table(columns) if output.name == table => Some(columns),
            _ => None,
        });
        Self::new(columns.unwrap_or_default())
    }

    /// Adds a row to a declared table.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when no such table is declared
    pub fn push(&mut self, table: &str, row: Self) -> Result<(), Unreckoned> {
        for (output, answer) in &mut self.answers {
            if let Answer::Table(rows) = answer
                && output.name == table
            {
                rows.push(row);
                return Ok(());
            }
        }
        self.put(table, |shape| {
            matches!(shape, Shape::Table(_)).then(|| Answer::Table(vec![row.clone()]))
        })
    }

    /// Adds a table that may be empty.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Ours`] when no such table is declared
    pub fn table(&mut self, name: &str, rows: &[Self]) -> Result<(), Unreckoned> {
        self.put(name, |shape| {
            matches!(shape, Shape::Table(_)).then(|| Answer::Table(rows.to_vec()))
        })
    }

    /// The results as JSON.
    #[must_use]
    pub fn json(&self) -> Value {
        let fields = self
            .iter()
            .map(|(output, answer)| (output.name.to_owned(), answer.json()));
        Value::Object(fields.collect::<Map<_, _>>())
    }
}

impl Answer {
    /// The result as JSON.
    #[must_use]
    pub fn json(&self) -> Value {
        match self {
            Self::Figure { value, unit: "" } => json!({ "value": value }),
            Self::Figure { value, unit } => json!({ "value": value, "unit": unit }),
            Self::Verdict { word, shown } => json!({ "word": word, "shown": shown }),
            Self::Words(words) => json!(words),
            Self::When(when) => json!(when),
            Self::Money(money) => json!(money),
            Self::Table(rows) => rows.iter().map(Answers::json).collect(),
            Self::Drawing(drawing) => {
                json!({ "title": drawing.title, "says": drawing.says, "svg": drawing.svg() })
            }
        }
    }

    /// The result as people read it; tables and drawings are shown by their faces.
    #[must_use]
    pub fn shown(&self) -> String {
        match self {
            Self::Figure { value, unit } => {
                let unit = crate::input::shown_unit(unit);
                if unit.is_empty() {
                    value.to_string()
                } else {
                    format!("{value} {unit}")
                }
            }
            Self::Verdict { shown, .. } => (*shown).to_owned(),
            Self::Words(words) => words.clone(),
            Self::When(when) => when.as_str().replace('T', " "),
            Self::Money(money) => money.to_string(),
            Self::Table(rows) => format!("{} rows", rows.len()),
            Self::Drawing(drawing) => drawing.says.clone(),
        }
    }
}

impl Outcome {
    /// No results yet.
    #[must_use]
    pub fn new(described: &'static [Output]) -> Self {
        Self {
            answers: Answers::new(described),
            remarks: Vec::new(),
            needed: Vec::new(),
        }
    }

    /// Adds a number, rounded as it is declared.
    ///
    /// # Errors
    ///
    /// As [`Answers::figure`].
    pub fn say(&mut self, name: &str, value: f64) -> Result<(), Unreckoned> {
        self.answers.figure(name, value)
    }

    /// Adds a remark, a sentence.
    pub fn remark(&mut self, sentence: impl Into<String>) {
        self.remarks.push(sentence.into());
    }

    /// Adds a material that the work needs, rounded up to so many decimal places.
    ///
    /// # Errors
    ///
    /// - [`Unreckoned::Unwritable`] when the amount is no finite number, or has more than 15 digits
    pub fn need(
        &mut self,
        material: impl Into<String>,
        grade: impl Into<String>,
        amount: f64,
        unit: &str,
        places: u32,
    ) -> Result<(), Unreckoned> {
        let material = material.into();
        let raise = number::pow(10.0, f64::from(places));
        let amount = number::whole_up(amount * raise) / raise;
        let value = number::decimal_of(&material, amount, number::Rounding::Places(places))?;
        self.needed.push(Needed {
            material,
            grade: grade.into(),
            amount: Quantity::new(value, unit),
        });
        Ok(())
    }

    /// A number among the results.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<Decimal> {
        match self.answers.get(name) {
            Some(Answer::Figure { value, .. }) => Some(*value),
            _ => None,
        }
    }
}
