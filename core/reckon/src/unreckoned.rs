//! Why something could not be reckoned: which input, what is allowed, and how to mend it.

/// Why something could not be reckoned.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unreckoned {
    /// When the inputs are not one JSON object.
    #[error("the inputs are one JSON object: {found}")]
    NotInputs {
        /// What was found.
        found: String,
    },
    /// When an input is named that the reckoning does not have.
    #[error("there is no input {input:?}; the inputs are: {inputs}")]
    NoSuchInput {
        /// What was named.
        input: String,
        /// The names that there are.
        inputs: String,
    },
    /// When an input that is needed is not given.
    #[error("{input:?} is missing: {help}")]
    Missing {
        /// The input.
        input: String,
        /// What it is, and what is allowed.
        help: String,
    },
    /// When an input cannot be read.
    #[error("{input:?} cannot be read: found {found:?}; {mend}")]
    Unreadable {
        /// The input.
        input: String,
        /// What was found.
        found: String,
        /// How to mend it.
        mend: String,
    },
    /// When an amount has no unit, or one that does not fit.
    #[error("{input:?} has the wrong unit: found {found:?}; allowed are {allowed}")]
    WrongUnit {
        /// The input.
        input: String,
        /// What was found.
        found: String,
        /// The units that are allowed.
        allowed: String,
    },
    /// When an input lies outside what the formula holds for.
    #[error("{input:?} is out of range: found {value}; allowed is {allowed}")]
    OutOfRange {
        /// The input.
        input: String,
        /// What was found.
        value: String,
        /// What is allowed.
        allowed: String,
    },
    /// When inputs that are each allowed are impossible together, or the trade forbids what they ask for.
    #[error("{input:?} is impossible: {why}; {mend}")]
    Impossible {
        /// The input to look at first.
        input: String,
        /// What is impossible.
        why: String,
        /// How to mend it.
        mend: String,
    },
    /// When a result is no number, or one with more than the 15 digits that a log keeps; a whole reckoning says
    /// [`Unreckoned::Impossible`] instead, with the input to look at.
    #[error("{result:?} comes to {value}, which cannot be written")]
    Unwritable {
        /// The result or the material.
        result: String,
        /// What it came to.
        value: String,
    },
    /// When the code and its description do not fit each other; please report it.
    #[error("the reckoning is not in order: {what}")]
    Ours {
        /// What does not fit.
        what: String,
    },
}

impl Unreckoned {
    /// Inputs that are impossible together.
    #[must_use]
    pub fn impossible(input: &str, why: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::Impossible {
            input: input.to_owned(),
            why: why.into(),
            mend: mend.into(),
        }
    }

    /// An input outside its range, where the range is worked out from other inputs.
    #[must_use]
    pub fn out_of_range(input: &str, value: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self::OutOfRange {
            input: input.to_owned(),
            value: value.into(),
            allowed: allowed.into(),
        }
    }

    /// The input to look at; empty when it is none.
    #[must_use]
    pub fn input(&self) -> &str {
        match self {
            Self::NoSuchInput { input, .. }
            | Self::Missing { input, .. }
            | Self::Unreadable { input, .. }
            | Self::WrongUnit { input, .. }
            | Self::OutOfRange { input, .. }
            | Self::Impossible { input, .. } => input,
            Self::NotInputs { .. } | Self::Unwritable { .. } | Self::Ours { .. } => "",
        }
    }

    /// The same about a cell of a table: the input's name becomes `plies, row 2, weight`.
    #[must_use]
    pub fn in_row(mut self, rows: &str, row: usize) -> Self {
        match &mut self {
            Self::NoSuchInput { input, .. }
            | Self::Missing { input, .. }
            | Self::Unreadable { input, .. }
            | Self::WrongUnit { input, .. }
            | Self::OutOfRange { input, .. }
            | Self::Impossible { input, .. } => {
                *input = format!("{rows}, row {}, {input}", row + 1);
            }
            Self::NotInputs { found } => *found = format!("{rows}, row {}: {found}", row + 1),
            Self::Unwritable { .. } | Self::Ours { .. } => {}
        }
        self
    }

    /// The same, where a result that cannot be written is laid to this input.
    #[must_use]
    pub fn laid_to(self, input: &str) -> Self {
        match self {
            Self::Unwritable { result, value } => Self::impossible(
                input,
                format!("{result:?} comes to {value}, which cannot be written in 15 digits"),
                "this input is the farthest from usual sizes, so look here first",
            ),
            other => other,
        }
    }
}
