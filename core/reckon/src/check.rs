//! Check values: what a reckoning must come to, from outside, each with its source.

use serde_json::Value;

use crate::outcome::{Answer, Answers};
use crate::source::Mark;
use crate::{Reckoning, number};

/// One case from outside.
#[derive(Debug, Clone, Copy)]
pub struct Check {
    /// What the case is, in a few words.
    pub case: &'static str,
    /// The inputs as JSON.
    pub inputs: &'static str,
    /// What must come out.
    pub expect: &'static [Expect],
    /// How far the source can be trusted.
    pub mark: Mark,
    /// The source, with page, table or clause.
    pub source: &'static str,
}

/// What must come out.
#[derive(Debug, Clone, Copy)]
pub enum Expect {
    /// A number, within a tolerance in the result's unit.
    Near {
        /// The result; a cell of a table is `layers/0/thickness`.
        result: &'static str,
        /// The value.
        value: f64,
        /// How far off it may be.
        within: f64,
    },
    /// A verdict's word, or words that begin so.
    Word {
        /// The result.
        result: &'static str,
        /// The word.
        word: &'static str,
    },
    /// A refusal that names this input.
    Refused {
        /// The input that must be named.
        input: &'static str,
    },
}

/// A number, within a tolerance in the result's unit.
#[must_use]
pub const fn near(result: &'static str, value: f64, within: f64) -> Expect {
    Expect::Near {
        result,
        value,
        within,
    }
}

/// A verdict's word.
#[must_use]
pub const fn word(result: &'static str, word: &'static str) -> Expect {
    Expect::Word { result, word }
}

/// A refusal that names this input.
#[must_use]
pub const fn refused(input: &'static str) -> Expect {
    Expect::Refused { input }
}

/// How many values were held against how many agree, by mark, with what does not agree in words.
#[derive(Debug, Clone, Default)]
pub struct Held {
    /// Values that were checked.
    pub n_checked: usize,
    /// Values that agree.
    pub n_agreeing: usize,
    /// What does not agree.
    pub wrong: Vec<String>,
}

impl Check {
    /// Holds the reckoning against the case.
    #[must_use]
    pub fn hold(&self, reckoning: &'static Reckoning) -> Held {
        let mut held = Held::default();
        let place = format!("{}, {}", reckoning.name, self.case);
        let inputs: Value = match serde_json::from_str(self.inputs) {
            Ok(inputs) => inputs,
            Err(cause) => {
                held.n_checked = self.expect.len();
                held.wrong
                    .push(format!("{place}: the inputs are no JSON: {cause}"));
                return held;
            }
        };
        let reckoned = reckoning.run(&inputs);
        for expect in self.expect {
            held.n_checked += 1;
            let wrong = match (expect, &reckoned) {
                (Expect::Refused { input }, Err(cause)) => {
                    let named = cause.input();
                    (named != *input && !named.starts_with(&format!("{input}, ")))
                        .then(|| format!("refused for another reason: {cause}"))
                }
                (Expect::Refused { .. }, Ok(_)) => Some("was not refused".to_owned()),
                (_, Err(cause)) => Some(cause.to_string()),
                (
                    Expect::Near {
                        result,
                        value,
                        within,
                    },
                    Ok(reckoned),
                ) => match found(&reckoned.outcome.answers, result).and_then(plain_number) {
                    Some(found) if (found - value).abs() <= *within * (1.0 + 1e-9) => None,
                    Some(found) => Some(format!(
                        "{result}: {found}, expected {value} within {within}"
                    )),
                    None => Some(format!("{result}: no such number")),
                },
                (Expect::Word { result, word }, Ok(reckoned)) => {
                    let said = found(&reckoned.outcome.answers, result).map(plain_words);
                    match said {
                        Some(said) if said.starts_with(word) => None,
                        said => Some(format!("{result}: {said:?}, expected {word:?}")),
                    }
                }
            };
            match wrong {
                Some(wrong) => held.wrong.push(format!("{place}: {wrong}")),
                None => held.n_agreeing += 1,
            }
        }
        held
    }
}

/// A result by its path.
pub(crate) fn found<'a>(answers: &'a Answers, path: &str) -> Option<&'a Answer> {
    let Some((table, rest)) = path.split_once('/') else {
        return answers.get(path);
    };
    let (row, column) = rest.split_once('/')?;
    match answers.get(table)? {
        Answer::Table(rows) => found(rows.get(row.parse::<usize>().ok()?)?, column),
        _ => None,
    }
}

fn plain_number(answer: &Answer) -> Option<f64> {
    match answer {
        Answer::Figure { value, .. } => Some(number::of_decimal(*value)),
        Answer::Money(money) => Some(number::of_decimal(money.amount)),
        Answer::Table(rows) => Some(number::of_count(rows.len())),
        _ => None,
    }
}

fn plain_words(answer: &Answer) -> String {
    match answer {
        Answer::Verdict { word, .. } => (*word).to_owned(),
        other => other.shown(),
    }
}
