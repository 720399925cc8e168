//! What can be learnt from and made of a picture's bytes; and of a sound's, which kind it is.
//!
//! Four questions, each a pure function on bytes:
//!
//! - *what is it called?* [`digest()`], or a [`Hasher`] fed in slices: the SHA-256 that names the original;
//! - *what is it?* [`examine`]: kind of file, pixels, how it stands, and what the camera wrote beside it;
//! - *what is shown of it?* [`renditions`]: an upright view and a thumbnail, JPEGs that carry nothing but pixels;
//! - *how does one lie in another?* [`frame`]: before and after laid into the same frame, from points set by hand or found.
//!
//! ```
//! let not_a_picture = garboard_photo::examine(b"bilge water");
//! assert!(not_a_picture.is_err());
//! ```
//!
//! The same bytes give the same renditions on every machine, in the browser as in a terminal: resampling and encoding work
//! in whole numbers, and the filter's weights are polynomials, so that no transcendental function with a last digit of its
//! own takes part.
//!
//! # What this crate does not do
//!
//! It alters no original, keeps nothing, asks no clock and invents no time zone that the camera did not write. It does not
//! decode HEIC, whose compression is patented, nor AVIF: such a picture is kept as it came, and its size, position and times are read.
//! Colour profiles are not converted: a rendition shows the stored numbers as sRGB.

mod bytes;
mod container;
mod digest;
mod error;
mod examine;
mod exif;
pub mod frame;
mod media;
mod position;
mod rendition;
pub mod said;
mod sound;
mod upright;

pub use digest::{Hashed, Hasher, digest};
pub use error::Error;
pub use examine::{Examined, MOST_BYTES, MOST_PIXELS, Pixels, examine};
pub use exif::{Camera, CameraTime, Position, Remark};
pub use media::{MediaType, sniff};
pub use position::may_hold_position;
pub use rendition::{QUALITY, Rendition, Renditions, THUMBNAIL_SIDE, VIEW_SIDE, renditions};
pub use sound::{MOST_SOUND_BYTES, sniff_sound};
pub use upright::Orientation;
