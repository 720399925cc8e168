//! What a hand does on a picture: pressing, drawing and lifting, by a finger, a mouse or keys. It knows no browser.

use garboard_protocol::MarkView;

use super::{FARTHEST, Point, Tool, pairs, point_under, shifted, simplified, under};

/// A press that went no farther than so many thousandths is a touch and no stroke.
const STILL: i64 = 12;

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Drawn {
    /// A new mark.
    New(Tool, Vec<Point>),
    /// A mark has other points.
    Moved(String, Vec<Point>),
}

/// How the last deed is taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Undo {
    /// What was drawn is struck.
    Strike(String),
    /// What was struck is lifted.
    Lift(String),
    /// What was moved lies where it lay.
    Move(String, Vec<Point>),
}

/// The state of a picture that is being marked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Bench {
    /// What is being drawn; `None` while marks are chosen and moved.
    pub(crate) tool: Option<Tool>,
    /// The points of the mark that is not finished.
    pub(crate) points: Vec<Point>,
    /// The chosen mark.
    pub(crate) chosen: Option<String>,
    /// Which of its points moves; `None` for all of it.
    pub(crate) part: Option<usize>,
    /// Where the chosen mark lies while it is moved.
    pub(crate) moved: Option<Vec<Point>>,
    /// The words for the next mark of words.
    pub(crate) words: String,
    /// What was done last, in words.
    pub(crate) says: String,
    /// How that is taken back.
    pub(crate) undo: Option<Undo>,
    pressed: Option<Press>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Press {
    at: Point,
    n_before: usize,
    is_stroke: bool,
    /// Whether something is held that a stroke moves.
    is_held: bool,
}

impl Bench {
    /// Takes up a tool, or lays it down.
    pub(crate) fn take(&mut self, tool: Option<Tool>) {
        self.tool = tool;
        self.points.clear();
        self.choose(None);
    }

    /// Chooses a mark.
    pub(crate) fn choose(&mut self, mark: Option<String>) {
        self.chosen = mark;
        self.part = None;
        self.moved = None;
    }

    /// The chosen mark, where it is not struck.
    pub(crate) fn chosen_of<'a>(&self, marks: &'a [MarkView]) -> Option<&'a MarkView> {
        let chosen = self.chosen.as_ref()?;
        marks
            .iter()
            .find(|mark| mark.entry == *chosen && !mark.is_struck)
    }

    /// Where the chosen mark lies now.
    fn lies(&self, marks: &[MarkView]) -> Option<Vec<Point>> {
        self.moved
            .clone()
            .or_else(|| Some(pairs(&self.chosen_of(marks)?.points)))
    }

    /// A finger went down.
    pub(crate) fn press(&mut self, at: Point, marks: &[MarkView]) {
        let mut press = Press {
            at,
            n_before: self.points.len(),
            is_stroke: false,
            is_held: false,
        };
        if self.tool.is_some() {
            self.points.push(at);
        } else {
            let handle = self.lies(marks).and_then(|points| point_under(&points, at));
            if handle.is_some() {
                press.is_held = true;
                self.part = handle;
            } else if let Some(mark) = under(marks, at) {
                press.is_held = true;
                if self.chosen.as_ref() != Some(&mark.entry) {
                    self.choose(Some(mark.entry.clone()));
                }
                self.part = None;
            }
        }
        self.pressed = Some(press);
    }

    /// The finger goes along.
    pub(crate) fn draw(&mut self, at: Point, marks: &[MarkView]) {
        let Some(mut press) = self.pressed else {
            return;
        };
        let (dx, dy) = (apart(press.at.0, at.0), apart(press.at.1, at.1));
        press.is_stroke |= dx * dx + dy * dy > STILL * STILL;
        self.pressed = Some(press);
        if !press.is_stroke {
            return;
        }
        match self.tool {
            Some(Tool::Outline) if self.points.last() != Some(&at) => self.points.push(at),
            Some(Tool::Arrow | Tool::Line) => {
                self.points.truncate(1);
                self.points.push(at);
            }
            Some(Tool::Number | Tool::Words) => self.points = vec![at],
            None if press.is_held => {
                let Some(chosen) = self.chosen_of(marks) else {
                    return;
                };
                let points = pairs(&chosen.points);
                self.moved = Some(match self.part {
                    Some(part) => with_point(&points, part, at),
                    None => shifted(&points, dx, dy),
                });
            }
            None | Some(Tool::Outline) => {}
        }
    }

    /// The finger was lifted.
    pub(crate) fn lift(&mut self, at: Point, marks: &[MarkView]) -> Option<Drawn> {
        self.draw(at, marks);
        let press = self.pressed.take()?;
        match self.tool {
            Some(tool @ (Tool::Arrow | Tool::Line)) => {
                // One touch leaves the first end, and waits for the other.
                if self.points.len() < 2 || self.points.first() == self.points.last() {
                    self.points.truncate(1);
                    return None;
                }
                Some(Drawn::New(tool, self.finished(2)))
            }
            Some(Tool::Outline) if press.is_stroke && press.n_before == 0 => {
                let points = simplified(&self.points);
                self.points.clear();
                (points.len() > 2).then_some(Drawn::New(Tool::Outline, points))
            }
            Some(Tool::Outline) => {
                // Corners are touched one after the other; a slip of the finger is no stroke then.
                self.points.truncate(press.n_before + 1);
                None
            }
            Some(tool) => Some(Drawn::New(tool, self.finished(1))),
            None if press.is_stroke => self.keep(),
            None if press.is_held => None,
            None => {
                // A touch beside the mark puts its chosen point there.
                let (mark, part) = (self.chosen_of(marks)?, self.part?);
                self.moved = Some(with_point(&pairs(&mark.points), part, at));
                self.keep()
            }
        }
    }

    /// The browser took the finger away, for its own ends.
    pub(crate) fn let_go(&mut self) {
        if let Some(press) = self.pressed.take() {
            self.points.truncate(press.n_before);
            self.moved = None;
        }
    }

    /// An outline of corners is closed.
    pub(crate) fn close(&mut self) -> Option<Drawn> {
        (self.tool == Some(Tool::Outline) && self.points.len() > 2)
            .then(|| Drawn::New(Tool::Outline, std::mem::take(&mut self.points)))
    }

    /// Moves the chosen mark, or its chosen point, by so many thousandths; whether there is one.
    pub(crate) fn nudge(&mut self, dx: i64, dy: i64, marks: &[MarkView]) -> bool {
        let Some(points) = self.lies(marks).filter(|_| self.chosen_of(marks).is_some()) else {
            return false;
        };
        self.moved = Some(match self.part {
            Some(part) => match points.get(part) {
                Some(point) => {
                    let moved = shifted(&[*point], dx, dy);
                    with_point(&points, part, moved.first().copied().unwrap_or(*point))
                }
                None => points,
            },
            None => shifted(&points, dx, dy),
        });
        true
    }

    /// Where the chosen mark lies now is where it shall stay.
    pub(crate) fn keep(&mut self) -> Option<Drawn> {
        let points = self.moved.take()?;
        Some(Drawn::Moved(self.chosen.clone()?, points))
    }

    /// Leaves off what is not finished, then the tool, then the chosen mark.
    pub(crate) fn back(&mut self) {
        if self.moved.take().is_none() {
            if !self.points.is_empty() {
                self.points.clear();
            } else if self.tool.is_some() {
                self.tool = None;
            } else {
                self.choose(None);
            }
        }
    }

    fn finished(&mut self, n_points: usize) -> Vec<Point> {
        let mut points = std::mem::take(&mut self.points);
        points.truncate(n_points);
        points
    }
}

fn apart(from: u32, to: u32) -> i64 {
    i64::from(to) - i64::from(from)
}

fn with_point(points: &[Point], part: usize, at: Point) -> Vec<Point> {
    let at = (at.0.min(FARTHEST), at.1.min(FARTHEST));
    points
        .iter()
        .enumerate()
        .map(|(idx, point)| if idx == part { at } else { *point })
        .collect()
}
