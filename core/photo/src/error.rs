//! Why a picture is refused.

use crate::media::MediaType;

/// Why a picture cannot be examined or shown.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// When there are no bytes at all: the camera or the copy wrote an empty file. Take the picture again or copy it again.
    #[error("the picture is empty: it has 0 bytes; copy it again from where it came")]
    Empty,

    /// When the bytes are something else than a picture this crate knows. Save it as JPEG or PNG first.
    #[error("this is no JPEG, PNG, WebP, HEIC or AVIF picture{}; save it as JPEG or PNG and try again", looks_like.map(|name| format!(", it looks like {name}")).unwrap_or_default())]
    NotAPicture {
        /// What the first bytes look like, where that can be told.
        looks_like: Option<&'static str>,
    },

    /// When the file stops before the picture does. Copy it again; the copy was broken off.
    #[error(
        "the {media} picture is cut short after {size} bytes: {missing} is missing; copy it again from where it came"
    )]
    Cut {
        /// What kind of picture it is.
        media: MediaType,
        /// How many bytes there are.
        size: usize,
        /// What should have followed.
        missing: &'static str,
    },

    /// When the file is whole but its contents contradict themselves. Copy it again, or take the picture again.
    #[error("the {media} picture is damaged: {what}; copy it again from where it came")]
    Damaged {
        /// What kind of picture it is.
        media: MediaType,
        /// What is wrong with it.
        what: String,
    },

    /// When the file is larger than [`MOST_BYTES`](crate::MOST_BYTES). Save a smaller copy.
    #[error(
        "the picture has {size} bytes, more than the {most} that can be taken in; save a smaller copy"
    )]
    TooManyBytes {
        /// How many bytes there are.
        size: usize,
        /// How many there may be.
        most: usize,
    },

    /// When it has more pixels than [`MOST_PIXELS`](crate::MOST_PIXELS). Save a smaller copy.
    #[error(
        "the picture has {width} × {height} pixels, more than the {most} that can be taken in; save a smaller copy"
    )]
    TooManyPixels {
        /// Pixels across, as stored.
        width: u32,
        /// Pixels down, as stored.
        height: u32,
        /// How many pixels there may be in all.
        most: u64,
    },

    /// When the picture is good but its compression cannot be undone here. It is kept as it came; another device may show it.
    #[error(
        "a {media} picture cannot be decoded here; it is kept as it came, and a device that can show it may make the view"
    )]
    NotDecodedHere {
        /// What kind of picture it is.
        media: MediaType,
    },
}
