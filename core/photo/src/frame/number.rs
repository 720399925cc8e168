//! Turning counts into numbers that can be divided, and back.

/// A count as a number.
#[expect(
    clippy::cast_precision_loss,
    reason = "counts here are pixels and points, far below 2^52"
)]
pub(super) fn real(count: usize) -> f64 {
    count as f64
}

/// The whole number below, as a position; what is negative or no number becomes 0.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates, which is what is wanted"
)]
pub(super) fn position(number: f64) -> usize {
    number as usize
}

/// A number with the precision of a picture's values.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a picture's values have eight bits"
)]
pub(super) fn single(number: f64) -> f32 {
    number as f32
}

/// The nearest byte.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates, which is what is wanted"
)]
pub(super) fn byte(number: f64) -> u8 {
    (number + 0.5) as u8
}
