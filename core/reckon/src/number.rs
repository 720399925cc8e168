//! Arithmetic that gives the same digits natively and in a browser.
//!
//! `f64`'s own transcendental functions differ in the last digit between targets, so they are taken from `libm`;
//! sums, products, quotients and square roots are the same everywhere.

use garboard_record::Decimal;

use crate::Unreckoned;

pub use std::f64::consts::PI;

/// What a computed number of things may lie above a whole one and still count as it: binary fractions are not exact.
const GUARD: f64 = 1e-9;

/// e to the power of x.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// The natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// x to the power of y.
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// The square root.
#[must_use]
pub fn sqrt(x: f64) -> f64 {
    libm::sqrt(x)
}

/// The sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// The cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// The tangent of an angle in radians.
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// The angle in radians with this tangent.
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// The angle in radians of the direction (x, y).
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// The angle in radians with this cosine.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// The error function.
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// An angle in degrees from one in radians.
#[must_use]
pub fn degrees(radians: f64) -> f64 {
    radians * 180.0 / PI
}

/// An angle in radians from one in degrees.
#[must_use]
pub fn radians(degrees: f64) -> f64 {
    degrees * PI / 180.0
}

/// The next whole number up, where a billionth too much still counts as whole.
#[must_use]
pub fn whole_up(x: f64) -> f64 {
    let nearest = libm::round(x);
    if (x - nearest).abs() <= GUARD * nearest.abs().max(1.0) {
        nearest
    } else {
        libm::ceil(x)
    }
}

/// The next whole number down, where a billionth too little still counts as whole.
#[must_use]
pub fn whole_down(x: f64) -> f64 {
    let nearest = libm::round(x);
    if (x - nearest).abs() <= GUARD * nearest.abs().max(1.0) {
        nearest
    } else {
        libm::floor(x)
    }
}

/// A count as a number.
#[must_use]
pub fn of_count(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::from(u32::MAX), f64::from)
}

/// A number that is whole and not negative as a count; what is less counts as none, what is too much as the most.
#[must_use]
pub fn count_of(x: f64) -> usize {
    if x.is_nan() || x < 0.5 {
        return 0;
    }
    let text = format!("{:.0}", x.min(4_294_967_295.0));
    text.parse().unwrap_or(0)
}

/// The nearest binary fraction of a decimal.
#[must_use]
pub fn of_decimal(decimal: Decimal) -> f64 {
    decimal.to_string().parse().unwrap_or(f64::NAN)
}

/// How many digits a result is written with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// Decimal places.
    Places(u32),
    /// Figures from the first that is not nought.
    Figures(u32),
}

/// A result as the decimal that is shown.
///
/// # Errors
///
/// - [`Unreckoned::Unwritable`] when it is no finite number, or has more than 15 digits
pub fn decimal_of(name: &str, x: f64, rounding: Rounding) -> Result<Decimal, Unreckoned> {
    let beyond = || Unreckoned::Unwritable {
        result: name.to_owned(),
        value: if x.is_finite() {
            format!("{x:.2e}")
        } else {
            "no finite number".to_owned()
        },
    };
    if !x.is_finite() {
        return Err(beyond());
    }
    let places = match rounding {
        Rounding::Places(places) => places,
        Rounding::Figures(figures) => {
            let text = format!("{:.*e}", as_size(figures.saturating_sub(1)), x);
            let (_, power) = text.split_once('e').ok_or_else(beyond)?;
            let power: i64 = power.parse().map_err(|_other| beyond())?;
            let places = i64::from(figures) - 1 - power;
            if let Ok(places) = u32::try_from(places) {
                places.min(15)
            } else {
                let plain: f64 = text.parse().map_err(|_other| beyond())?;
                return written(&format!("{plain:.0}")).ok_or_else(beyond);
            }
        }
    };
    // A large number keeps as many of its places as 15 digits hold.
    (0..=places)
        .rev()
        .find_map(|places| written(&format!("{:.*}", as_size(places), x)))
        .ok_or_else(beyond)
}

fn as_size(n: u32) -> usize {
    usize::try_from(n).unwrap_or(usize::MAX)
}

/// Plain digits as a decimal; minus nought is nought.
fn written(text: &str) -> Option<Decimal> {
    let nought = text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    let text = if nought {
        text.trim_start_matches('-')
    } else {
        text
    };
    text.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(x: f64, rounding: Rounding) -> String {
        decimal_of("x", x, rounding).unwrap().to_string()
    }

    #[test]
    fn results_are_rounded_as_declared() {
        assert_eq!(shown(2.953_125, Rounding::Places(3)), "2.953");
        assert_eq!(shown(-0.000_1, Rounding::Places(2)), "0.00");
        assert_eq!(shown(495_487_123.0, Rounding::Figures(4)), "495500000");
        assert_eq!(shown(0.001_234_56, Rounding::Figures(3)), "0.00123");
        assert_eq!(shown(0.0, Rounding::Figures(3)), "0.00");
        assert_eq!(
            shown(5_832_123_456_789.432, Rounding::Places(5)),
            "5832123456789.43"
        );
        assert!(decimal_of("x", f64::NAN, Rounding::Places(1)).is_err());
        assert!(decimal_of("x", 1e300, Rounding::Places(1)).is_err());
    }

    #[test]
    fn a_billionth_is_not_one_more_coat() {
        assert!((whole_up(0.3 / 0.1) - 3.0).abs() < f64::EPSILON);
        assert!((whole_up(3.001) - 4.0).abs() < f64::EPSILON);
        assert!((whole_down(2.999_999_999_9) - 3.0).abs() < f64::EPSILON);
        assert_eq!(count_of(17.0), 17);
    }
}
