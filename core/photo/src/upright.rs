//! Standing a picture upright, however the phone was held.

/// How stored pixels must be turned to stand upright: the numbers 1 to 8 of EXIF's tag 0x0112.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Orientation(u8);

impl Orientation {
    /// Stored as it should be seen.
    pub const UPRIGHT: Self = Self(1);
    /// Must be turned half round.
    pub const TURN_ROUND: Self = Self(3);
    /// Must be turned a quarter with the clock.
    pub const TURN_RIGHT: Self = Self(6);
    /// Must be turned a quarter against the clock.
    pub const TURN_LEFT: Self = Self(8);

    /// Takes EXIF's number, if it is one of the eight.
    #[must_use]
    pub fn from_exif(number: u32) -> Option<Self> {
        u8::try_from(number)
            .ok()
            .filter(|number| (1..=8).contains(number))
            .map(Self)
    }

    /// Returns EXIF's number, 1 to 8.
    #[must_use]
    pub fn number(self) -> u8 {
        self.0
    }

    /// Returns whether width and height change places.
    #[must_use]
    pub fn swaps_sides(self) -> bool {
        self.0 >= 5
    }
}

/// Returns the pixels turned upright; `N` bytes a pixel, `width` pixels a row.
pub(crate) fn turn<const N: usize>(
    pixels: &[u8],
    width: usize,
    orientation: Orientation,
) -> Vec<u8> {
    let (pixels, _) = pixels.as_chunks::<N>();
    let mut out = Vec::with_capacity(pixels.len() * N);
    let rows = pixels.chunks_exact(width.max(1));
    match orientation.number() {
        2 => rows.for_each(|row| {
            row.iter()
                .rev()
                .for_each(|pixel| out.extend_from_slice(pixel));
        }),
        3 => pixels
            .iter()
            .rev()
            .for_each(|pixel| out.extend_from_slice(pixel)),
        4 => rows
            .rev()
            .for_each(|row| out.extend_from_slice(row.as_flattened())),
        5 => columns(&rows.collect::<Vec<_>>(), 0..width, &mut out),
        6 => columns(&rows.rev().collect::<Vec<_>>(), 0..width, &mut out),
        7 => columns(&rows.rev().collect::<Vec<_>>(), (0..width).rev(), &mut out),
        8 => columns(&rows.collect::<Vec<_>>(), (0..width).rev(), &mut out),
        _ => out.extend_from_slice(pixels.as_flattened()),
    }
    out
}

/// Writes columns as rows.
fn columns<const N: usize>(
    rows: &[&[[u8; N]]],
    columns: impl Iterator<Item = usize>,
    out: &mut Vec<u8>,
) {
    for column in columns {
        for row in rows {
            if let Some(pixel) = row.get(column) {
                out.extend_from_slice(pixel);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows of letters, one byte a pixel. `ab/cd/ef` is two across and three down.
    fn check(number: u32, expect: &str) {
        let turned = turn::<1>(b"abcdef", 2, Orientation::from_exif(number).unwrap());
        assert_eq!(
            String::from_utf8(turned).unwrap(),
            expect.replace('/', ""),
            "orientation {number}"
        );
    }

    /// Worked by hand from the table of tag 0x0112: where the 0th row and the 0th column lie.
    #[test]
    fn the_eight_orientations_stand_upright() {
        check(1, "ab/cd/ef");
        check(2, "ba/dc/fe"); // row 0 top, column 0 right
        check(3, "fe/dc/ba"); // row 0 bottom, column 0 right
        check(4, "ef/cd/ab"); // row 0 bottom, column 0 left
        check(5, "ace/bdf"); // row 0 left, column 0 top
        check(6, "eca/fdb"); // row 0 right, column 0 top
        check(7, "fdb/eca"); // row 0 right, column 0 bottom
        check(8, "bdf/ace"); // row 0 left, column 0 bottom
    }

    #[test]
    fn only_eight_numbers_are_orientations() {
        assert_eq!(Orientation::from_exif(0), None);
        assert_eq!(Orientation::from_exif(9), None);
        assert_eq!(Orientation::from_exif(65_542), None);
    }
}
