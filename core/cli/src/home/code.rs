//! A QR code for the terminal, so that nobody types an address on a phone.

use fast_qr::ECL;
use fast_qr::qr::QRBuilder;

/// The quiet zone that the standard asks for around the code, in modules (ISO/IEC 18004).
const QUIET: usize = 4;

/// Returns a text as a QR code of half blocks, two rows of modules a line; none when it is too long for one.
///
/// A terminal's own colours may be either way round, so with `colours` they are set: black on white, as the standard asks.
#[must_use]
pub fn code(text: &str, colours: bool) -> Option<String> {
    let code = QRBuilder::new(text).ecl(ECL::M).build().ok()?;
    let side = code.size + 2 * QUIET;
    let is_dark = |row: usize, column: usize| -> bool {
        let (Some(row), Some(column)) = (row.checked_sub(QUIET), column.checked_sub(QUIET)) else {
            return false;
        };
        row < code.size
            && column < code.size
            && code
                .data
                .get(row * code.size + column)
                .is_some_and(|module| module.value())
    };
    let mut out = String::new();
    for row in (0..side).step_by(2) {
        if colours {
            out.push_str("\u{1b}[30;47m");
        }
        for column in 0..side {
            // Without colours a block is light, as on a dark terminal.
            let (upper, lower) = (is_dark(row, column), is_dark(row + 1, column));
            let (upper, lower) = match colours {
                true => (upper, lower),
                false => (!upper, !lower && row + 1 < side),
            };
            out.push(match (upper, lower) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            });
        }
        if colours {
            out.push_str("\u{1b}[0m");
        }
        out.push('\n');
    }
    Some(out)
}
