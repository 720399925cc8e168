//! Drawings in plain vector shapes, with words for those who cannot see them.
//!
//! A drawing says what it shows in [`Drawing::says`]; how it looks is up to the page that shows it, by its [`Tone`]s.

/// A point: x to the right, y downwards, in units of the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Downwards.
    pub y: f64,
}

/// A point of a drawing.
#[must_use]
pub const fn spot(x: f64, y: f64) -> Spot {
    Spot { x, y }
}

/// What a shape stands for; a page gives each its look, and looks differ by pattern as well as by colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// An outline or a cut.
    Line,
    /// A thin line for measures and help.
    Thin,
    /// A dashed line for what is hidden or allowed.
    Dashed,
    /// Plain material.
    Body,
    /// The second of alternating materials.
    Second,
    /// Core, filler or something else within.
    Core,
    /// What is left over.
    Offcut,
    /// Wet, wrong or outside what is allowed.
    Wrong,
    /// Not known or not measured.
    Unknown,
}

impl Tone {
    /// The class in SVG.
    #[must_use]
    pub fn class(self) -> &'static str {
        match self {
            Self::Line => "rk-line",
            Self::Thin => "rk-thin",
            Self::Dashed => "rk-dashed",
            Self::Body => "rk-body",
            Self::Second => "rk-second",
            Self::Core => "rk-core",
            Self::Offcut => "rk-offcut",
            Self::Wrong => "rk-wrong",
            Self::Unknown => "rk-unknown",
        }
    }

    /// A look of its own, for where no page gives one.
    fn look(self) -> &'static str {
        match self {
            Self::Line => r##"fill="none" stroke="#1c1c1c" stroke-width="1.5""##,
            Self::Thin => r##"fill="none" stroke="#555" stroke-width="0.75""##,
            Self::Dashed => {
                r##"fill="none" stroke="#1c1c1c" stroke-width="1" stroke-dasharray="6 4""##
            }
            Self::Body => r##"fill="#e9e2d4" stroke="#1c1c1c" stroke-width="1""##,
            Self::Second => r##"fill="#cfc4ad" stroke="#1c1c1c" stroke-width="1""##,
            Self::Core => r##"fill="#f6f3ec" stroke="#1c1c1c" stroke-width="1""##,
            Self::Offcut => {
                r##"fill="#ffffff" stroke="#555" stroke-width="1" stroke-dasharray="3 3""##
            }
            Self::Wrong => r##"fill="#f0c7bb" stroke="#7a1f0a" stroke-width="1.5""##,
            Self::Unknown => {
                r##"fill="#ffffff" stroke="#777" stroke-width="1" stroke-dasharray="1 3""##
            }
        }
    }
}

/// Where words stand beside their spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// They begin there.
    From,
    /// Their middle is there.
    Middle,
    /// They end there.
    To,
}

/// One shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line through these spots.
    Line {
        /// The spots.
        through: Vec<Spot>,
        /// What it stands for.
        tone: Tone,
    },
    /// A closed area with these corners.
    Area {
        /// The corners.
        corners: Vec<Spot>,
        /// What it stands for.
        tone: Tone,
    },
    /// A circle.
    Circle {
        /// Its centre.
        centre: Spot,
        /// Its radius.
        radius: f64,
        /// What it stands for.
        tone: Tone,
    },
    /// Words.
    Words {
        /// Where.
        at: Spot,
        /// What.
        words: String,
        /// How they stand there.
        stand: Stand,
    },
}

/// A drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it is called.
    pub title: String,
    /// What it shows, in sentences, for those who cannot see it.
    pub says: String,
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
    /// How large its words are, in the same unit.
    pub letter: f64,
    /// Its shapes, from the back to the front.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// An empty drawing of 640 units in width.
    #[must_use]
    pub fn new(title: impl Into<String>, says: impl Into<String>, height: f64) -> Self {
        Self {
            title: title.into(),
            says: says.into(),
            width: 640.0,
            height,
            letter: 14.0,
            marks: Vec::new(),
        }
    }

    /// Adds a line.
    pub fn line(&mut self, tone: Tone, through: impl Into<Vec<Spot>>) {
        self.marks.push(Mark::Line {
            through: through.into(),
            tone,
        });
    }

    /// Adds an area.
    pub fn area(&mut self, tone: Tone, corners: impl Into<Vec<Spot>>) {
        self.marks.push(Mark::Area {
            corners: corners.into(),
            tone,
        });
    }

    /// Adds a rectangle by its corners top left and bottom right.
    pub fn rectangle(&mut self, tone: Tone, from: Spot, to: Spot) {
        self.area(tone, [from, spot(to.x, from.y), to, spot(from.x, to.y)]);
    }

    /// Adds a circle.
    pub fn circle(&mut self, tone: Tone, centre: Spot, radius: f64) {
        self.marks.push(Mark::Circle {
            centre,
            radius,
            tone,
        });
    }

    /// Adds words.
    pub fn words(&mut self, stand: Stand, at: Spot, words: impl Into<String>) {
        self.marks.push(Mark::Words {
            at,
            words: words.into(),
            stand,
        });
    }

    /// The drawing as SVG, the same bytes everywhere: without style sheet, script or outside address.
    #[must_use]
    pub fn svg(&self) -> String {
        let mut svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" font-family="sans-serif" font-size="{}"><title>{}</title><desc>{}</desc>"#,
            at(self.width),
            at(self.height),
            at(self.letter),
            escaped(&self.title),
            escaped(&self.says)
        );
        for mark in &self.marks {
            let written = match mark {
                Mark::Line { through, tone } => format!(
                    r#"<polyline class="{}" {} points="{}"/>"#,
                    tone.class(),
                    tone.look(),
                    points(through)
                ),
                Mark::Area { corners, tone } => format!(
                    r#"<polygon class="{}" {} points="{}"/>"#,
                    tone.class(),
                    tone.look(),
                    points(corners)
                ),
                Mark::Circle {
                    centre,
                    radius,
                    tone,
                } => format!(
                    r#"<circle class="{}" {} cx="{}" cy="{}" r="{}"/>"#,
                    tone.class(),
                    tone.look(),
                    at(centre.x),
                    at(centre.y),
                    at(*radius)
                ),
                Mark::Words {
                    at: place,
                    words,
                    stand,
                } => format!(
                    r#"<text class="rk-words" text-anchor="{}" x="{}" y="{}">{}</text>"#,
                    match stand {
                        Stand::From => "start",
                        Stand::Middle => "middle",
                        Stand::To => "end",
                    },
                    at(place.x),
                    at(place.y),
                    escaped(words)
                ),
            };
            svg.push_str(&written);
        }
        svg.push_str("</svg>");
        svg
    }
}

fn points(list: &[Spot]) -> String {
    list.iter()
        .map(|spot| format!("{},{}", at(spot.x), at(spot.y)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// A coordinate to a hundredth, without trailing noughts.
fn at(x: f64) -> String {
    let text = format!("{x:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
