//! The view and the thumbnail: upright, small, and nothing but pixels.

use std::io::Cursor;

use fast_image_resize::images::{TypedImage, TypedImageRef};
use fast_image_resize::pixels::{U8, U8x3};
use fast_image_resize::{FilterType, PixelTrait, ResizeAlg, ResizeOptions, Resizer};
use image::{ColorType, DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};
use jpeg_encoder::{ColorType as Encoded, Encoder};

use crate::digest::digest;
use crate::error::Error;
use crate::examine::{MOST_PIXELS, check_pixels, examine};
use crate::media::MediaType;
use crate::upright::{Orientation, turn};

/// The long side of a view, in pixels.
pub const VIEW_SIDE: u32 = 2048;

/// The long side of a thumbnail, in pixels.
pub const THUMBNAIL_SIDE: u32 = 320;

/// The JPEG quality of both, on the usual scale of 1 to 100.
pub const QUALITY: u8 = 82;

/// A picture derived from an original; it can be made again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rendition {
    /// A baseline JPEG without EXIF or any other note.
    pub bytes: Vec<u8>,
    /// The SHA-256 of the bytes.
    pub digest: String,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

/// What is shown of a picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renditions {
    /// Long side at most [`VIEW_SIDE`].
    pub view: Rendition,
    /// Long side at most [`THUMBNAIL_SIDE`].
    pub thumbnail: Rendition,
}

/// Makes the upright view and thumbnail of a picture; neither is ever larger than the picture itself.
///
/// What is transparent is shown on white, as paper shows it. Of a picture that moves, the first image counts.
///
/// # Errors
///
/// - the errors of [`examine`](crate::examine())
/// - [`Error::NotDecodedHere`] when the picture is good but its compression cannot be undone here
/// - [`Error::Damaged`] when its pixels cannot be decoded
pub fn renditions(bytes: &[u8]) -> Result<Renditions, Error> {
    let (picture, orientation, media) = opened(bytes)?;
    let view = picture.shrunk(VIEW_SIDE, media)?;
    // The large one goes first, so that a phone holds no more than it must.
    drop(picture);
    let thumbnail = view.shrunk(THUMBNAIL_SIDE, media)?;
    Ok(Renditions {
        view: view.upright(orientation).encoded(media)?,
        thumbnail: thumbnail.upright(orientation).encoded(media)?,
    })
}

/// Decodes a picture to upright red, green and blue bytes with its long side at most `side`; also its width and height.
pub(crate) fn upright_rgb(bytes: &[u8], side: u32) -> Result<(Vec<u8>, u32, u32), Error> {
    let (picture, orientation, media) = opened(bytes)?;
    let shrunk = picture.shrunk(side, media)?;
    drop(picture);
    let upright = shrunk.upright(orientation);
    let pixels = match upright.is_grey {
        true => upright.pixels.iter().flat_map(|grey| [*grey; 3]).collect(),
        false => upright.pixels,
    };
    Ok((pixels, upright.width, upright.height))
}

/// Writes red, green and blue bytes as a JPEG that carries nothing but pixels.
pub(crate) fn encoded_rgb(pixels: Vec<u8>, width: u32, height: u32) -> Result<Rendition, Error> {
    let picture = Picture {
        pixels,
        width,
        height,
        is_grey: false,
    };
    picture.encoded(MediaType::Jpeg)
}

/// Decodes a picture as it is stored, and tells how it must be turned.
fn opened(bytes: &[u8]) -> Result<(Picture, Orientation, MediaType), Error> {
    let examined = examine(bytes)?;
    let media = examined.media;
    let format = match media {
        MediaType::Jpeg => ImageFormat::Jpeg,
        MediaType::Png => ImageFormat::Png,
        MediaType::Webp => ImageFormat::WebP,
        MediaType::Heic | MediaType::Heif | MediaType::Avif => {
            return Err(Error::NotDecodedHere { media });
        }
    };
    Ok((decode(bytes, media, format)?, examined.orientation, media))
}

/// Pixels of one byte (grey) or three (red, green, blue).
struct Picture {
    pixels: Vec<u8>,
    width: u32,
    height: u32,
    is_grey: bool,
}

/// Decodes a picture to eight bits a channel without transparency.
fn decode(bytes: &[u8], media: MediaType, format: ImageFormat) -> Result<Picture, Error> {
    let damaged = |error: image::ImageError| Error::Damaged {
        media,
        what: error.to_string(),
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_PIXELS * 8);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    check_pixels(width, height)?;
    let is_grey = match decoder.color_type() {
        ColorType::L8 => true,
        ColorType::Rgb8 => false,
        _ => {
            let pixels = on_white(DynamicImage::from_decoder(decoder).map_err(damaged)?);
            return Ok(Picture {
                pixels,
                width,
                height,
                is_grey: false,
            });
        }
    };
    let len = usize::try_from(decoder.total_bytes())
        .ok()
        .ok_or(Error::TooManyPixels {
            width,
            height,
            most: MOST_PIXELS,
        })?;
    let mut pixels = vec![0; len];
    decoder.read_image(&mut pixels).map_err(damaged)?;
    Ok(Picture {
        pixels,
        width,
        height,
        is_grey,
    })
}

/// Lays a picture with transparency or deeper colours on white, in whole numbers.
fn on_white(picture: DynamicImage) -> Vec<u8> {
    let rgba = picture.into_rgba8().into_raw();
    let (pixels, _) = rgba.as_chunks::<4>();
    let mut out = Vec::with_capacity(pixels.len() * 3);
    for &[red, green, blue, alpha] in pixels {
        out.extend([red, green, blue].map(|channel| {
            let sum = u32::from(channel) * u32::from(alpha) + 255 * (255 - u32::from(alpha));
            u8::try_from((sum + 127) / 255).unwrap_or(u8::MAX)
        }));
    }
    out
}

/// Resamples pixels of one kind from one width and height to another.
///
/// The kind is a type: chosen while running, it would bring the code of every kind into a phone's browser, with half a
/// megabyte of tables for transparent pixels of sixteen bits that no picture here has.
fn resized<P: PixelTrait>(
    pixels: &[u8],
    ((from_width, from_height), (width, height)): ((u32, u32), (u32, u32)),
) -> Result<Vec<u8>, String> {
    let options = ResizeOptions::new()
        .resize_alg(ResizeAlg::Convolution(FilterType::CatmullRom))
        .use_alpha(false);
    let source = TypedImageRef::<P>::from_buffer(from_width, from_height, pixels)
        .map_err(|error| error.to_string())?;
    let n_pixels = usize::try_from(u64::from(width) * u64::from(height)).unwrap_or(usize::MAX);
    let mut out = vec![0; n_pixels.saturating_mul(size_of::<P>())];
    let mut shrunk =
        TypedImage::<P>::from_buffer(width, height, &mut out).map_err(|error| error.to_string())?;
    Resizer::new()
        .resize_typed(&source, &mut shrunk, &options)
        .map_err(|error| error.to_string())?;
    drop(shrunk);
    Ok(out)
}

impl Picture {
    /// Returns the picture with its long side at most `side`, by a Catmull-Rom filter.
    ///
    /// That filter is a polynomial. A windowed sinc would be a little crisper, but its sines end in digits that differ between
    /// machines, and with them now and then a pixel.
    fn shrunk(&self, side: u32, media: MediaType) -> Result<Self, Error> {
        let (width, height) = fitted(self.width, self.height, side);
        let is_grey = self.is_grey;
        if (width, height) == (self.width, self.height) {
            return Ok(Self {
                pixels: self.pixels.clone(),
                width,
                height,
                is_grey,
            });
        }
        let sides = ((self.width, self.height), (width, height));
        let pixels = if is_grey {
            resized::<U8>(&self.pixels, sides)
        } else {
            resized::<U8x3>(&self.pixels, sides)
        };
        Ok(Self {
            pixels: pixels.map_err(|what| Error::Damaged { media, what })?,
            width,
            height,
            is_grey,
        })
    }

    /// Turns the picture upright.
    fn upright(self, orientation: Orientation) -> Self {
        if orientation == Orientation::UPRIGHT {
            return self;
        }
        let width = usize::try_from(self.width).unwrap_or(usize::MAX);
        let pixels = match self.is_grey {
            true => turn::<1>(&self.pixels, width, orientation),
            false => turn::<3>(&self.pixels, width, orientation),
        };
        let (width, height) = match orientation.swaps_sides() {
            true => (self.height, self.width),
            false => (self.width, self.height),
        };
        Self {
            pixels,
            width,
            height,
            is_grey: self.is_grey,
        }
    }

    /// Writes the picture as a JPEG.
    fn encoded(self, media: MediaType) -> Result<Rendition, Error> {
        let damaged = |what: String| Error::Damaged { media, what };
        let width = u16::try_from(self.width).map_err(|error| damaged(error.to_string()))?;
        let height = u16::try_from(self.height).map_err(|error| damaged(error.to_string()))?;
        let kind = if self.is_grey {
            Encoded::Luma
        } else {
            Encoded::Rgb
        };
        let mut bytes = Vec::with_capacity(self.pixels.len() / 8);
        let done = Encoder::new(&mut bytes, QUALITY).encode(&self.pixels, width, height, kind);
        done.map_err(|error| damaged(error.to_string()))?;
        Ok(Rendition {
            digest: digest(&bytes),
            bytes,
            width: self.width,
            height: self.height,
        })
    }
}

/// Returns the sides with the long one at most `side`, in the same proportion, rounded half up, at least 1.
fn fitted(width: u32, height: u32, side: u32) -> (u32, u32) {
    let long = width.max(height);
    if long <= side {
        return (width, height);
    }
    let scaled = |length: u32| {
        let rounded =
            (u64::from(length) * u64::from(side) * 2 + u64::from(long)) / (u64::from(long) * 2);
        u32::try_from(rounded).unwrap_or(side).max(1)
    };
    (scaled(width), scaled(height))
}

#[cfg(test)]
mod tests;
