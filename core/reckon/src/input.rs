//! What a reckoning asks for: names, units, ranges, defaults and help, declared once.

use garboard_record::unit::Unit;

/// One input of a reckoning, or one column of a table of inputs.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// The name in JSON and on the command line: lower case, words joined by `_`.
    pub name: &'static str,
    /// The name as people read it.
    pub label: &'static str,
    /// One or two sentences on what it is and where it is read.
    pub help: &'static str,
    /// What it holds.
    pub shape: Shape,
    /// Whether it must be given.
    pub need: Need,
}

/// What an input holds.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// An amount with one of these units; the range is in the first.
    Amount {
        /// The units that are allowed; the first is the usual one.
        units: &'static [&'static str],
        /// The least that is allowed, a decimal in the first unit.
        from: &'static str,
        /// The most that is allowed, a decimal in the first unit.
        to: &'static str,
    },
    /// A number without a unit.
    Number {
        /// The least that is allowed.
        from: &'static str,
        /// The most that is allowed.
        to: &'static str,
    },
    /// A whole number.
    Whole {
        /// The least that is allowed.
        from: i64,
        /// The most that is allowed.
        to: i64,
    },
    /// One word of a list: as given, and as shown.
    Choice(&'static [(&'static str, &'static str)]),
    /// Yes or no.
    YesNo,
    /// A few words of one's own.
    Words,
    /// A date or a time.
    When,
    /// An amount of money.
    Money,
    /// A table; each row has these columns.
    Rows {
        /// What a row holds.
        columns: &'static [Input],
        /// The fewest rows.
        least: usize,
        /// The most rows.
        most: usize,
    },
}

/// Whether an input must be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Nothing can be reckoned without it.
    Required,
    /// It may be left out, and then something else is said or less.
    Optional,
    /// Taken when it is left out.
    Default {
        /// As people write it.
        value: &'static str,
        /// Where it comes from.
        from: &'static str,
    },
}

const fn input(name: &'static str, label: &'static str, help: &'static str, shape: Shape) -> Input {
    Input {
        name,
        label,
        help,
        shape,
        need: Need::Required,
    }
}

/// An amount; its range is in the first unit.
#[must_use]
pub const fn amount(
    name: &'static str,
    label: &'static str,
    help: &'static str,
    units: &'static [&'static str],
    from: &'static str,
    to: &'static str,
) -> Input {
    input(name, label, help, Shape::Amount { units, from, to })
}

/// A number without a unit.
#[must_use]
pub const fn number(
    name: &'static str,
    label: &'static str,
    help: &'static str,
    from: &'static str,
    to: &'static str,
) -> Input {
    input(name, label, help, Shape::Number { from, to })
}

/// A whole number.
#[must_use]
pub const fn whole(
    name: &'static str,
    label: &'static str,
    help: &'static str,
    from: i64,
    to: i64,
) -> Input {
    input(name, label, help, Shape::Whole { from, to })
}

/// One word of a list.
#[must_use]
pub const fn choice(
    name: &'static str,
    label: &'static str,
    help: &'static str,
    words: &'static [(&'static str, &'static str)],
) -> Input {
    input(name, label, help, Shape::Choice(words))
}

/// Yes or no.
#[must_use]
pub const fn yes_no(name: &'static str, label: &'static str, help: &'static str) -> Input {
    input(name, label, help, Shape::YesNo)
}

/// A few words of one's own.
#[must_use]
pub const fn words(name: &'static str, label: &'static str, help: &'static str) -> Input {
    input(name, label, help, Shape::Words)
}

/// A date or a time.
#[must_use]
pub const fn when(name: &'static str, label: &'static str, help: &'static str) -> Input {
    input(name, label, help, Shape::When)
}

/// An amount of money.
#[must_use]
pub const fn money(name: &'static str, label: &'static str, help: &'static str) -> Input {
    input(name, label, help, Shape::Money)
}

/// A table with these columns.
#[must_use]
pub const fn rows(
    name: &'static str,
    label: &'static str,
    help: &'static str,
    columns: &'static [Input],
    least: usize,
    most: usize,
) -> Input {
    input(
        name,
        label,
        help,
        Shape::Rows {
            columns,
            least,
            most,
        },
    )
}

impl Input {
    /// The same, and it may be left out.
    #[must_use]
    pub const fn optional(mut self) -> Self {
        self.need = Need::Optional;
        self
    }

    /// The same, with what is taken when it is left out, and where that comes from.
    #[must_use]
    pub const fn or(mut self, value: &'static str, from: &'static str) -> Self {
        self.need = Need::Default { value, from };
        self
    }

    /// What is allowed, in words.
    #[must_use]
    pub fn allowed(&self) -> String {
        match self.shape {
            Shape::Amount { units, from, to } => {
                let first = units.first().copied().unwrap_or_default();
                let others = if units.len() > 1 {
                    format!(" (units: {})", shown_units(units))
                } else {
                    String::new()
                };
                format!("{from} to {to} {}{others}", shown_unit(first))
            }
            Shape::Number { from, to } => format!("{from} to {to}"),
            Shape::Whole { from, to } => format!("whole numbers from {from} to {to}"),
            Shape::Choice(list) => list
                .iter()
                .map(|(word, _)| *word)
                .collect::<Vec<_>>()
                .join(", "),
            Shape::YesNo => "yes or no".to_owned(),
            Shape::Words => "a few words".to_owned(),
            Shape::When => "a date or time like 2026-05-09T14:22".to_owned(),
            Shape::Money => "an amount with its currency, like 38.00 EUR".to_owned(),
            Shape::Rows { least, most, .. } => format!("{least} to {most} rows"),
        }
    }
}

/// A unit as it is shown.
#[must_use]
pub fn shown_unit(symbol: &str) -> &str {
    Unit::of(symbol).map_or(symbol, |unit| unit.shown)
}

fn shown_units(units: &[&str]) -> String {
    units
        .iter()
        .map(|unit| shown_unit(unit))
        .collect::<Vec<_>>()
        .join(", ")
}

/// The units that are allowed, as they are written.
#[must_use]
pub(crate) fn written_units(units: &[&str]) -> String {
    units.join(", ")
}
