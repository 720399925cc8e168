//! What a reckoning answers: names, units and digits, declared once.

use crate::number::Rounding;

/// One result of a reckoning, or one column of a table of results.
#[derive(Debug, Clone, Copy)]
pub struct Output {
    /// The name in JSON: lower case, words joined by `_`.
    pub name: &'static str,
    /// The name as people read it.
    pub label: &'static str,
    /// What it holds.
    pub shape: Shape,
    /// Whether every answer has it; otherwise it depends on the inputs.
    pub always: bool,
}

/// What a result holds.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A number with its unit; the unit is empty for a pure number.
    Figure {
        /// The unit.
        unit: &'static str,
        /// How many digits are shown.
        rounding: Rounding,
    },
    /// One word of a list: as given, and as shown.
    Verdict(&'static [(&'static str, &'static str)]),
    /// Words.
    Words,
    /// A time.
    When,
    /// An amount of money.
    Money,
    /// A table; each row has these columns.
    Table(&'static [Output]),
    /// A drawing.
    Drawing,
}

const fn output(name: &'static str, label: &'static str, shape: Shape) -> Output {
    Output {
        name,
        label,
        shape,
        always: true,
    }
}

/// A number with decimal places.
#[must_use]
pub const fn figure(
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    places: u32,
) -> Output {
    output(
        name,
        label,
        Shape::Figure {
            unit,
            rounding: Rounding::Places(places),
        },
    )
}

/// A number with so many figures from the first that is not nought.
#[must_use]
pub const fn figures(
    name: &'static str,
    label: &'static str,
    unit: &'static str,
    figures: u32,
) -> Output {
    output(
        name,
        label,
        Shape::Figure {
            unit,
            rounding: Rounding::Figures(figures),
        },
    )
}

/// One word of a list.
#[must_use]
pub const fn verdict(
    name: &'static str,
    label: &'static str,
    words: &'static [(&'static str, &'static str)],
) -> Output {
    output(name, label, Shape::Verdict(words))
}

/// Words.
#[must_use]
pub const fn words(name: &'static str, label: &'static str) -> Output {
    output(name, label, Shape::Words)
}

/// A time.
#[must_use]
pub const fn when(name: &'static str, label: &'static str) -> Output {
    output(name, label, Shape::When)
}

/// An amount of money.
#[must_use]
pub const fn money(name: &'static str, label: &'static str) -> Output {
    output(name, label, Shape::Money)
}

/// A table with these columns.
#[must_use]
pub const fn table(name: &'static str, label: &'static str, columns: &'static [Output]) -> Output {
    output(name, label, Shape::Table(columns))
}

/// A drawing.
#[must_use]
pub const fn drawing(name: &'static str, label: &'static str) -> Output {
    output(name, label, Shape::Drawing)
}

impl Output {
    /// The same, where not every answer has it.
    #[must_use]
    pub const fn sometimes(mut self) -> Self {
        self.always = false;
        self
    }
}
