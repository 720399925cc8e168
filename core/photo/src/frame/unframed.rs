//! Why two pictures cannot be laid into one frame.

use std::fmt;

/// Which of the two pictures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The one that gives the frame.
    First,
    /// The one that is laid into it.
    Second,
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::First => "first",
            Self::Second => "second",
        })
    }
}

/// Why two pictures cannot be laid into one frame; pairs are numbered from 1, as they were set.
///
/// The first six are about points that a hand set, the others about what was looked for in the pictures: there, setting points by
/// hand is always the way on.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unframed {
    /// When there are fewer than two pairs. Set more.
    #[error("{n} matching points are too few; set at least two, better four, far apart")]
    TooFewPairs {
        /// How many pairs there are.
        n: usize,
    },

    /// When there are more than [`MOST_PAIRS`](super::MOST_PAIRS). Take some away.
    #[error("{n} matching points are more than the {most} that are taken; leave the best")]
    TooManyPairs {
        /// How many pairs there are.
        n: usize,
        /// How many there may be.
        most: usize,
    },

    /// When a coordinate is no number, or lies farther out than any picture reaches. Set that point again.
    #[error("point {pair} of the {side} picture is at no place in it; set it again")]
    NoPlace {
        /// The pair.
        pair: usize,
        /// In which picture.
        side: Side,
    },

    /// When two points of a picture lie (almost) in the same spot. Move one of them away.
    #[error(
        "points {one} and {other} lie in the same spot of the {side} picture; move one of them far away"
    )]
    Coincident {
        /// One pair.
        one: usize,
        /// The other.
        other: usize,
        /// In which picture.
        side: Side,
    },

    /// When the points of a picture lie (almost) on one line. Move one of them off it.
    #[error(
        "points {} lie on one line in the {side} picture; move one of them well away from that line",
        listed(pairs)
    )]
    Collinear {
        /// The pairs.
        pairs: Vec<usize>,
        /// In which picture.
        side: Side,
    },

    /// When going round three points turns to the left in one picture and to the right in the other, as no two photographs of the
    /// same side of a thing do. Two of them are exchanged, or one is set at the wrong spot.
    #[error(
        "points {} go round the other way in the second picture: two of them are exchanged, or one is at the wrong spot",
        listed(pairs)
    )]
    Crossed {
        /// The three pairs.
        pairs: [usize; 3],
    },

    /// When the points would have to be seen from behind, or so slantwise that nothing is left of the picture. Set them again.
    #[error(
        "no camera sees the two sets of points like that; look whether each pair is the same spot"
    )]
    Impossible,

    /// When a picture is too small to look for anything in it.
    #[error("the {side} picture is only {width} × {height} pixels; set the points by hand")]
    TooSmall {
        /// Which picture.
        side: Side,
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },

    /// When a picture shows too few corners: a blank panel, a dark bilge, a blurred picture.
    #[error("the {side} picture shows only {n} corners to hold on to; set the points by hand")]
    TooPlain {
        /// Which picture.
        side: Side,
        /// How many corners were found.
        n: usize,
    },

    /// When too few spots of one picture look like just one spot of the other.
    #[error("only {n} spots look alike in both pictures; set the points by hand")]
    TooFewMatches {
        /// How many pairs of spots look alike.
        n: usize,
    },

    /// When the spots that look alike do not lie alike.
    #[error(
        "only {n_agreeing} of {n_matches} spots that look alike agree where the second picture lies; set the points by hand"
    )]
    NoAgreement {
        /// How many agree.
        n_agreeing: usize,
        /// Of how many.
        n_matches: usize,
    },

    /// When the pictures would share too little of what they show, or be too different in scale or view.
    #[error(
        "the pictures seem to share {percent} per cent of what they show, which is too little to be certain; set the points by hand"
    )]
    TooLittleOverlap {
        /// How much of the smaller one.
        percent: u8,
    },

    /// When, looked at closely, too little of what they share looks the same.
    #[error(
        "looked at closely, only {n_agreeing} of {n_looked_at} spots look the same in both pictures; set the points by hand"
    )]
    TooMuchChanged {
        /// How many look the same.
        n_agreeing: usize,
        /// Of how many that were looked at.
        n_looked_at: usize,
    },

    /// When a second way of laying the picture agrees with nearly as many spots: a row of equal things, or near and far things that
    /// shift against each other.
    #[error(
        "{n_agreeing} spots say one way and {n_rival} another: equal things in a row, or near and far things; set the points by hand"
    )]
    TwoWays {
        /// How many spots agree with the better way.
        n_agreeing: usize,
        /// How many with the other.
        n_rival: usize,
    },

    /// When the spots that agree lie so close together that the picture's corners could be anywhere.
    #[error(
        "the spots that agree lie too close together: a corner could be {corner_px} pixels off; set the points by hand"
    )]
    NotCertain {
        /// How far a corner of the picture may be off, in whole pixels.
        corner_px: u32,
    },

    /// When the number of pixels is not what the size says.
    #[error("{n_bytes} bytes are no picture of {width} × {height} pixels")]
    WrongLength {
        /// How many bytes there are.
        n_bytes: usize,
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
}

/// Numbers as a person lists them.
fn listed(pairs: &[usize]) -> String {
    let all: Vec<String> = pairs.iter().map(ToString::to_string).collect();
    match all.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.join(""),
    }
}
