//! The shells in which pixels travel: how many there are, and whether the file is whole.

mod heif;
mod jpeg;
mod png;
mod webp;

use crate::error::Error;
use crate::media::MediaType;
use crate::upright::Orientation;

/// What a file's shell says about the picture in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Shell {
    /// Pixels across, as stored.
    pub(crate) width: u32,
    /// Pixels down, as stored.
    pub(crate) height: u32,
    /// How the shell itself says that the picture stands. Only HEIF does; it overrules EXIF there.
    pub(crate) orientation: Option<Orientation>,
}

/// Walks through a file from its first byte to its end mark.
///
/// # Errors
///
/// - [`Error::Cut`] when the file ends before the end mark
/// - [`Error::Damaged`] when its parts contradict each other
pub(crate) fn walk(media: MediaType, bytes: &[u8]) -> Result<Shell, Error> {
    let broken = match media {
        MediaType::Jpeg => jpeg::walk(bytes),
        MediaType::Png => png::walk(bytes),
        MediaType::Webp => webp::walk(bytes),
        MediaType::Heic | MediaType::Heif | MediaType::Avif => heif::walk(bytes),
    };
    match broken {
        Ok(shell) if shell.width == 0 || shell.height == 0 => Err(Error::Damaged {
            media,
            what: format!(
                "it says that it has {} × {} pixels",
                shell.width, shell.height
            ),
        }),
        Ok(shell) => Ok(shell),
        Err(Broken::Cut(missing)) => Err(Error::Cut {
            media,
            size: bytes.len(),
            missing,
        }),
        Err(Broken::Damaged(what)) => Err(Error::Damaged {
            media,
            what: what.to_owned(),
        }),
    }
}

/// In which of two ways a file is broken.
#[derive(Debug)]
enum Broken {
    /// It ends too early; what is missing.
    Cut(&'static str),
    /// It contradicts itself; how.
    Damaged(&'static str),
}
