//! Marks on a photograph as they are drawn, the same on a page and on paper: a light line within a dark one, so that it
//! stands out on any picture.

use garboard_record::word::MarkShape;

use crate::outline::Marked;

/// Points are whole thousandths of a picture's sides.
const WHOLE: f32 = 1000.0;

/// Half the opening of an arrow's head, 30 degrees, as a tangent.
const OPENING: f32 = 0.577;

/// The width of a letter beside a spot and the white before the first, in thousandths of the long side.
const LETTER: f32 = 24.0;
const GAP: f32 = 16.0;

/// A point in the units of the ground.
pub(crate) type Spot = [f32; 2];

/// How large the picture is shown.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ground {
    pub(crate) width: f32,
    pub(crate) height: f32,
}

/// What is drawn of a mark.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Stroke {
    /// A line through spots.
    Line { spots: Vec<Spot>, is_closed: bool },
    /// A number in a ring.
    Ring { at: Spot, words: String },
    /// A dot, with words on the side where there is room.
    Dot {
        at: Spot,
        words: String,
        is_left: bool,
    },
}

impl Ground {
    /// So many thousandths of the long side.
    pub(crate) fn part(self, thousandths: f32) -> f32 {
        self.width.max(self.height) * thousandths / WHOLE
    }

    /// The side of a spot that has more room, and the words as far as they go there; the caption has all of them.
    fn beside(self, [x, _]: Spot, words: &str) -> (bool, String) {
        let is_left = x > self.width / 2.0;
        let room = x.max(self.width - x) - self.part(GAP);
        let goes =
            |n: &usize| u16::try_from(*n).is_ok_and(|n| f32::from(n) * self.part(LETTER) <= room);
        let n_letters = words.chars().count();
        if goes(&n_letters) {
            return (is_left, words.to_owned());
        }
        let most = (0..n_letters).take_while(goes).last().unwrap_or(0);
        let mut short: String = words.chars().take(most.saturating_sub(1)).collect();
        short.truncate(short.trim_end().len());
        short.push('…');
        (is_left, short)
    }

    fn spots(self, points: &[u64]) -> Vec<Spot> {
        let (pairs, _) = points.as_chunks::<2>();
        let share = |at: u64| u16::try_from(at).map_or(WHOLE, f32::from).min(WHOLE) / WHOLE;
        pairs
            .iter()
            .map(|[x, y]| [share(*x) * self.width, share(*y) * self.height])
            .collect()
    }

    /// The head of an arrow that comes from `tail`.
    fn head(self, [from_x, from_y]: Spot, [x, y]: Spot) -> Vec<Spot> {
        let (dx, dy) = (from_x - x, from_y - y);
        let length = (dx * dx + dy * dy).sqrt();
        if length <= 0.0 {
            return Vec::new();
        }
        let head = self.part(40.0).min(length) / length;
        let (back_x, back_y) = (dx * head, dy * head);
        let (side_x, side_y) = (-back_y * OPENING, back_x * OPENING);
        vec![
            [x + back_x + side_x, y + back_y + side_y],
            [x, y],
            [x + back_x - side_x, y + back_y - side_y],
        ]
    }
}

/// What is drawn of marks, in their order.
pub(crate) fn strokes(marks: &[Marked], on: Ground) -> Vec<Stroke> {
    let mut out = Vec::new();
    for mark in marks {
        let spots = on.spots(&mark.points);
        let Some(first) = spots.first().copied() else {
            continue;
        };
        if mark.shape == MarkShape::Number {
            out.push(Stroke::Ring {
                at: first,
                words: mark.words.clone(),
            });
            continue;
        }
        if mark.shape != MarkShape::Words && spots.len() > 1 {
            let head = match (&mark.shape, spots.as_slice()) {
                (MarkShape::Arrow, [.., tail, tip]) => on.head(*tail, *tip),
                _ => Vec::new(),
            };
            let is_closed = mark.shape == MarkShape::Outline;
            out.push(Stroke::Line { spots, is_closed });
            if !head.is_empty() {
                out.push(Stroke::Line {
                    spots: head,
                    is_closed: false,
                });
            }
            if mark.words.is_empty() {
                continue;
            }
        }
        let (is_left, words) = on.beside(first, &mark.words);
        out.push(Stroke::Dot {
            at: first,
            words,
            is_left,
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(shape: MarkShape, points: &[u64], words: &str) -> Marked {
        Marked {
            shape,
            points: points.to_vec(),
            words: words.to_owned(),
        }
    }

    const ON: Ground = Ground {
        width: 400.0,
        height: 300.0,
    };

    #[test]
    fn an_arrow_points_at_its_last_spot() {
        let arrow = marked(MarkShape::Arrow, &[0, 500, 500, 500], "wet");
        let drawn = strokes(&[arrow], ON);
        let [
            Stroke::Line { spots, .. },
            Stroke::Line { spots: head, .. },
            Stroke::Dot { at, words, is_left },
        ] = drawn.as_slice()
        else {
            panic!("{drawn:?}");
        };
        assert_eq!(spots, &[[0.0, 150.0], [200.0, 150.0]]);
        // 16 back along the arrow, and 0.577 of that to either side.
        let [[x, above], [tip, level], [_, below]] = head.as_slice() else {
            panic!("{head:?}");
        };
        assert!((tip - 200.0).abs() < 1e-3 && (level - 150.0).abs() < 1e-3);
        assert!((x - 184.0).abs() < 1e-3 && (above - 150.0 + 9.232).abs() < 1e-3);
        assert!((below - 159.232).abs() < 1e-3);
        assert_eq!(
            (at, words.as_str(), *is_left),
            (&[0.0, 150.0], "wet", false)
        );
    }

    #[test]
    fn an_outline_closes_and_a_number_stands_in_a_ring() {
        let outline = marked(MarkShape::Outline, &[100, 100, 900, 100, 900, 900], "");
        let number = marked(MarkShape::Number, &[900, 1000], "3");
        let drawn = strokes(&[outline, number], ON);
        assert!(matches!(&drawn[0], Stroke::Line { is_closed: true, spots } if spots.len() == 3));
        assert!(matches!(&drawn[1], Stroke::Ring { at: [360.0, 300.0], words } if words == "3"));
        assert_eq!(drawn.len(), 2);
    }

    #[test]
    fn words_stand_where_there_is_room_and_end_before_the_pictures_edge() {
        let told = |x: u64, words: &str| {
            let drawn = strokes(&[marked(MarkShape::Words, &[x, 100], words)], ON);
            let [Stroke::Dot { words, is_left, .. }] = drawn.as_slice() else {
                panic!("{drawn:?}");
            };
            (*is_left, words.clone())
        };
        assert_eq!(told(0, "Wet"), (false, "Wet".into()));
        assert_eq!(told(1000, "Wet"), (true, "Wet".into()));
        // From the middle, 200 less 6.4 on the ground, at 9.6 a letter: twenty, the last of them a sign of more.
        let long = "Core crumbles from here to the third bay";
        assert_eq!(told(500, long), (false, "Core crumbles from…".into()));
        assert_eq!(told(10, long), (false, long.into()));
    }

    #[test]
    fn what_has_no_spot_is_not_drawn_and_a_lone_spot_is_a_dot() {
        assert!(strokes(&[marked(MarkShape::Line, &[], "x")], ON).is_empty());
        let lone = strokes(&[marked(MarkShape::Line, &[700, 10], "")], ON);
        assert!(matches!(&lone[0], Stroke::Dot { is_left: true, .. }));
    }
}
