//! Lettering with the same pen: capitals on a grid of four by six.

use super::sheet::{Colour, Sheet};

/// The strokes of a letter: points as two digits, strokes parted by a bar.
fn strokes(letter: char) -> &'static str {
    match letter {
        'A' => "06 20 46|14 34",
        'B' => "00 30 41 42 33 03|33 44 45 36 06 00",
        'C' => "41 30 10 01 05 16 36 45",
        'D' => "00 20 41 45 26 06 00",
        'E' => "40 00 06 46|03 33",
        'F' => "40 00 06|03 33",
        'G' => "41 30 10 01 05 16 36 45 43 23",
        'H' => "00 06|40 46|03 43",
        'I' => "00 06",
        'J' => "40 45 36 16 05",
        'K' => "00 06|40 03 46",
        'L' => "00 06 46",
        'M' => "06 00 23 40 46",
        'N' => "06 00 46 40",
        'O' | '0' => "10 30 41 45 36 16 05 01 10",
        'P' => "06 00 30 41 42 33 03",
        'Q' => "10 30 41 45 36 16 05 01 10|34 46",
        'R' => "06 00 30 41 42 33 03|23 46",
        'S' => "41 30 10 01 02 13 33 44 45 36 16 05",
        'T' => "00 40|20 26",
        'U' => "00 05 16 36 45 40",
        'V' => "00 26 40",
        'W' => "00 16 23 36 40",
        'X' => "00 46|40 06",
        'Y' => "00 23 40|23 26",
        'Z' => "00 40 06 46",
        '1' => "01 10 16",
        '2' => "01 10 30 41 42 06 46",
        '3' => "00 40 23 33 44 45 36 16 05",
        '4' => "30 04 44|30 36",
        '5' => "40 00 03 33 44 45 36 16 05",
        '6' => "40 10 01 05 16 36 45 44 33 03",
        '7' => "00 40 16",
        '8' => "10 30 41 42 33 13 02 01 10|13 04 05 16 36 45 44 33",
        '9' => "43 13 02 01 10 30 41 45 36 06",
        ',' => "15 07",
        '.' => "06 06",
        '-' => "13 33",
        '?' => "01 10 30 41 42 23 24|26 26",
        _ => "",
    }
}

impl Sheet {
    /// Writes a line of capitals, `unit` pixels to a step of the grid; returns where it ends.
    pub(super) fn write(
        &mut self,
        at: (i32, i32),
        unit: i32,
        width: i32,
        colour: Colour,
        text: &str,
    ) -> i32 {
        let mut x = at.0;
        for letter in text.chars() {
            for stroke in strokes(letter).split('|').filter(|s| !s.is_empty()) {
                let points: Vec<(i32, i32)> = stroke
                    .split(' ')
                    .filter_map(|point| {
                        let number: i32 = point.parse().ok()?;
                        Some((x + number / 10 * unit, at.1 + number % 10 * unit))
                    })
                    .collect();
                self.line(&points, width, colour);
            }
            x += match letter {
                'I' | '.' => unit * 2,
                '1' | ',' => unit * 3,
                ' ' => unit * 4,
                _ => unit * 6,
            };
        }
        x
    }
}
