//! The hull identification number, in the form of ISO 10087.
//!
//! Fourteen characters: `CC-MMMSSSSSMYNN`, where CC is the country of the builder (two letters),
//! MMM the builder's mark (three characters), SSSSS the serial number (five, letters I, O and Q not used),
//! M the month of manufacture as a letter A to L, Y the last digit of the year of manufacture, and NN the last two of the model year.
//! The United States write twelve characters without the country (33 CFR 181.25).

/// What does not fit the form, or nothing.
///
/// The number is kept as it is in any case: an older or home-made boat has what it has.
#[must_use]
pub fn odd_form(number: &str) -> Option<&'static str> {
    let plain: Vec<char> = number.chars().filter(|c| !matches!(c, '-' | ' ')).collect();
    let body: &[char] = match plain.len() {
        14 => {
            let (country, body) = plain.split_at_checked(2)?;
            if !country.iter().all(char::is_ascii_uppercase) {
                return Some("the first two characters are the country's capital letters");
            }
            body
        }
        12 => &plain,
        _ => return Some("it has 14 characters (12 without the country), as in XX-ABC12345D626"),
    };
    let (mark, rest) = body.split_at_checked(3)?;
    let (serial, date) = rest.split_at_checked(5)?;
    if !mark
        .iter()
        .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit())
    {
        return Some("the builder's mark is three capital letters or digits");
    }
    if !serial
        .iter()
        .all(|c| (c.is_ascii_uppercase() && !matches!(c, 'I' | 'O' | 'Q')) || c.is_ascii_digit())
    {
        return Some("the serial number is five capital letters or digits, without I, O and Q");
    }
    match date {
        [month, year, model @ ..]
            if ('A'..='L').contains(month)
                && year.is_ascii_digit()
                && model.len() == 2
                && model.iter().all(char::is_ascii_digit) =>
        {
            None
        }
        [month, ..] if !('A'..='L').contains(month) => {
            Some("the month of manufacture is a letter from A (January) to L (December)")
        }
        _ => {
            Some("it ends with the year of manufacture (one digit) and the model year (two digits)")
        }
    }
}
