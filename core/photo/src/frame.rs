//! Two photographs laid into the same frame: before and after, seen as if from one place.
//!
//! The *first* picture gives the frame, and the *second* is laid into it. How the second lies in the first is a plane
//! [`Transform`]. A hand sets two or more pairs of matching points, and [`fit`] works the transformation out; or [`propose`]
//! looks for it, and refuses with its reason where it cannot be certain. [`common`] is the part that both pictures show, and
//! [`Picture::laid`] draws the second as the first saw it.
//!
//! A plane transformation holds exactly where the scene is flat, or where the camera only turned. Where neither is so, near and
//! far things shift against each other, and no transformation lays all of them at once.
//!
//! # Shape
//!
//! A point is measured in pixels from the left and the top *edge* of its picture, so that the centre of the first pixel is
//! (0.5, 0.5), and a point in a view becomes one in its original by multiplying alone.
//!
//! # Same everywhere
//!
//! Nothing but additions, multiplications, divisions and square roots takes part, whose last digit is fixed by IEEE 754, and
//! chance is handed in: natively and in wasm the same pictures give the same transformation, to the last digit.
//!
//! # Source
//!
//! See `docs/sources/frame.md`.

mod crop;
mod fit;
mod lay;
mod number;
mod picture;
mod plane;
mod proposal;
mod solve;
mod transform;
mod unframed;

pub use crop::{Crop, common};
pub use fit::{Fit, MOST_PAIRS, Model, fit};
pub use lay::{Laid, PARTS, Unlaid, laid, spots};
pub use picture::Picture;
pub use plane::Plane as Grey;
pub use proposal::{Proposal, propose};
pub use transform::Transform;
pub use unframed::{Side, Unframed};

/// A point in a picture, in pixels from its left and top edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// From the left edge.
    pub x: f64,
    /// From the top edge.
    pub y: f64,
}

/// The same spot of the boat in both pictures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// Where the first picture shows it.
    pub first: Point,
    /// Where the second picture shows it.
    pub second: Point,
}

/// How many pixels a picture has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

impl Point {
    /// Returns how far another point is.
    fn distance(self, other: Self) -> f64 {
        let (x, y) = (self.x - other.x, self.y - other.y);
        (x * x + y * y).sqrt()
    }
}

impl Size {
    /// The four corners, in the order in which a clock's hand goes round.
    fn corners(self) -> [Point; 4] {
        let (right, bottom) = (f64::from(self.width), f64::from(self.height));
        [(0.0, 0.0), (right, 0.0), (right, bottom), (0.0, bottom)].map(|(x, y)| Point { x, y })
    }
}

#[cfg(test)]
mod tests;
