//! What a picture's bytes say about it, without decoding them.

use crate::container;
use crate::error::Error;
use crate::exif::{self, Camera, CameraTime, Position, Remark};
use crate::media::{MediaType, looks_like, sniff};
use crate::upright::Orientation;

/// The most bytes an original may have: 256 MiB.
pub const MOST_BYTES: usize = 256 * 1024 * 1024;

/// The most pixels a picture may have: 200 million, so that a small file cannot fill the memory when it is decoded.
pub const MOST_PIXELS: u64 = 200_000_000;

/// Pixels across and down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pixels {
    /// Across; at least 1.
    pub width: u32,
    /// Down; at least 1.
    pub height: u32,
}

/// What a picture's bytes say about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Examined {
    /// What kind of file it is.
    pub media: MediaType,
    /// How many bytes it has.
    pub size: u64,
    /// Its pixels as stored.
    pub stored: Pixels,
    /// Its pixels when it stands upright.
    pub upright: Pixels,
    /// How it must be turned to stand upright.
    pub orientation: Orientation,
    /// The camera, as far as it named itself.
    pub camera: Option<Camera>,
    /// When the camera's own clock says that the picture was taken.
    pub taken: Option<CameraTime>,
    /// Where the camera says that it was; kept apart so that it can be left out.
    pub position: Option<Position>,
    /// What is odd about the EXIF data, in no order that matters; empty when nothing is.
    pub remarks: Vec<Remark>,
}

/// Examines a picture: what it is, how large, how it stands, and what the camera wrote beside it.
///
/// Damaged EXIF data does not refuse a good picture; it is remarked on and left unread.
///
/// # Errors
///
/// - [`Error::Empty`], [`Error::NotAPicture`], [`Error::Cut`], [`Error::Damaged`] when the bytes are no whole picture
/// - [`Error::TooManyBytes`], [`Error::TooManyPixels`] when it is larger than can be taken in
pub fn examine(bytes: &[u8]) -> Result<Examined, Error> {
    if bytes.is_empty() {
        return Err(Error::Empty);
    }
    if bytes.len() > MOST_BYTES {
        return Err(Error::TooManyBytes {
            size: bytes.len(),
            most: MOST_BYTES,
        });
    }
    let media = sniff(bytes).ok_or_else(|| Error::NotAPicture {
        looks_like: looks_like(bytes),
    })?;
    let shell = container::walk(media, bytes)?;
    check_pixels(shell.width, shell.height)?;
    let written = exif::read(bytes);
    let orientation = shell
        .orientation
        .or(written.orientation)
        .unwrap_or(Orientation::UPRIGHT);
    let stored = Pixels {
        width: shell.width,
        height: shell.height,
    };
    let upright = match orientation.swaps_sides() {
        true => Pixels {
            width: stored.height,
            height: stored.width,
        },
        false => stored,
    };
    Ok(Examined {
        media,
        size: u64::try_from(bytes.len()).unwrap_or(u64::MAX),
        stored,
        upright,
        orientation,
        camera: written.camera,
        taken: written.taken,
        position: written.position,
        remarks: written.remarks,
    })
}

/// Refuses more pixels than can be decoded.
pub(crate) fn check_pixels(width: u32, height: u32) -> Result<(), Error> {
    match u64::from(width) * u64::from(height) {
        n_pixels if n_pixels > MOST_PIXELS => Err(Error::TooManyPixels {
            width,
            height,
            most: MOST_PIXELS,
        }),
        _ => Ok(()),
    }
}

#[cfg(test)]
pub(crate) mod tests;
