//! Drawings of our own: lines, dots and words on a ground, the same on a page and on paper.

/// The size of words in a drawing, in tenths of a point.
pub(crate) const LETTERS: i32 = 85;
/// How wide a letter of that size is reckoned, in tenths of a point.
pub(crate) const LETTER: i32 = 46;
/// Half the size of a dot and of a pin, in tenths of a point.
pub(crate) const DOT: i32 = 28;
pub(crate) const PIN: i32 = 68;

/// A spot on a drawing: tenths of a point from its left upper corner, to the right and down.
pub type At = (i32, i32);

/// A drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Drawing {
    /// What it shows, for those who cannot see it.
    pub alt: String,
    /// What stands below it.
    pub caption: String,
    /// Its width in tenths of a point.
    pub width: i32,
    /// Its height in tenths of a point.
    pub height: i32,
    /// What is drawn, the lowest first.
    pub pieces: Vec<Piece>,
}

/// One thing that is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// A line through spots.
    Line {
        /// The spots.
        spots: Vec<At>,
        /// How it looks.
        pen: Pen,
    },
    /// A dot of one of several forms.
    Dot {
        /// Its middle.
        at: At,
        /// Its form.
        form: Form,
    },
    /// A number on a pin: a disc, or a square on its corner for what is open.
    Pin {
        /// Its middle.
        at: At,
        /// The number.
        number: usize,
        /// Whether what it stands for is open.
        is_open: bool,
    },
    /// Words, halfway up at their spot.
    Words {
        /// The spot.
        at: At,
        /// The words.
        words: String,
        /// Where they lie to the spot.
        lie: Lie,
        /// Whether they are a heading.
        is_strong: bool,
    },
}

/// How a line looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// A faint line to read amounts by.
    Grid,
    /// A base line.
    Axis,
    /// What is told.
    Line,
    /// A limit: broken.
    Limit,
    /// The edge of a body, closed and filled.
    Body,
}

/// The form of a dot, so that lines differ without their colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A full disc.
    Disc,
    /// A full square.
    Square,
    /// A full triangle.
    Triangle,
    /// A ring.
    Ring,
    /// An empty square.
    Frame,
    /// An empty triangle.
    Tent,
}

/// Where words lie to their spot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// They begin there.
    After,
    /// They end there.
    Before,
    /// Their middle is there.
    Around,
}

impl Form {
    /// All, in the order in which lines take them.
    pub(crate) const ALL: [Self; 6] = [
        Self::Disc,
        Self::Square,
        Self::Triangle,
        Self::Ring,
        Self::Frame,
        Self::Tent,
    ];

    /// Whether it is full.
    pub(crate) fn is_full(self) -> bool {
        matches!(self, Self::Disc | Self::Square | Self::Triangle)
    }

    /// Its corners around a spot; none for a round one.
    pub(crate) fn corners(self, (x, y): At) -> Vec<At> {
        match self {
            Self::Disc | Self::Ring => Vec::new(),
            Self::Square | Self::Frame => vec![
                (x - DOT, y - DOT),
                (x + DOT, y - DOT),
                (x + DOT, y + DOT),
                (x - DOT, y + DOT),
            ],
            Self::Triangle | Self::Tent => {
                vec![
                    (x, y - DOT - 6),
                    (x + DOT + 6, y + DOT),
                    (x - DOT - 6, y + DOT),
                ]
            }
        }
    }
}

/// The corners of a pin that stands on its corner.
pub(crate) fn on_corner((x, y): At) -> Vec<At> {
    // As much ink as the disc has, and a little more for a number of two digits.
    let reach = PIN * 6 / 5;
    vec![
        (x, y - reach),
        (x + reach, y),
        (x, y + reach),
        (x - reach, y),
    ]
}
