//! Pictures in colour, and drawing one as another camera saw it.

use super::crop::Crop;
use super::number::{byte, position};
use super::plane::Plane;
use super::{Point, Size, Transform, Unframed};
use crate::error::Error;
use crate::rendition::{self, Rendition, VIEW_SIDE};

/// A picture of red, green and blue bytes, upright, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    size: Size,
    pixels: Vec<u8>,
}

impl Picture {
    /// Takes pixels, three bytes each.
    ///
    /// # Errors
    ///
    /// [`Unframed::WrongLength`] when there are not as many as the size says.
    pub fn new(size: Size, pixels: Vec<u8>) -> Result<Self, Unframed> {
        let meant = u64::from(size.width) * u64::from(size.height) * 3;
        if u64::try_from(pixels.len()) != Ok(meant) || meant == 0 {
            return Err(Unframed::WrongLength {
                n_bytes: pixels.len(),
                width: size.width,
                height: size.height,
            });
        }
        Ok(Self { size, pixels })
    }

    /// Decodes a photograph or its view, upright and no larger than a view.
    ///
    /// # Errors
    ///
    /// Those of [`renditions`](crate::renditions).
    pub fn decoded(bytes: &[u8]) -> Result<Self, Error> {
        let (pixels, width, height) = rendition::upright_rgb(bytes, VIEW_SIDE)?;
        Ok(Self {
            size: Size { width, height },
            pixels,
        })
    }

    /// Its size.
    #[must_use]
    pub fn size(&self) -> Size {
        self.size
    }

    /// Its bytes, three a pixel.
    #[must_use]
    pub fn pixels(&self) -> &[u8] {
        &self.pixels
    }

    /// Its brightness (ITU-R BT.601's weights, in whole numbers).
    #[must_use]
    pub fn grey(&self) -> Plane {
        let (pixels, _) = self.pixels.as_chunks::<3>();
        let bright = pixels.iter().map(|&[red, green, blue]| {
            let sum = u32::from(red) * 299 + u32::from(green) * 587 + u32::from(blue) * 114;
            u8::try_from((sum + 500) / 1000).unwrap_or(u8::MAX)
        });
        Plane::of(self.size, bright)
    }

    /// Returns the part of this picture that a crop names; what lies outside shows the nearest edge.
    #[must_use]
    pub fn cropped(&self, crop: Crop) -> Self {
        self.laid(&Transform::NONE, crop)
            .unwrap_or_else(|| self.clone())
    }

    /// Returns this picture, the second, as the first saw it, within a crop of the first; none when the transformation has no
    /// way back. What this picture does not show is filled with its nearest edge.
    ///
    /// Between pixels it is bilinear, so a picture that becomes much smaller shows jagged lines.
    #[must_use]
    pub fn laid(&self, transform: &Transform, crop: Crop) -> Option<Self> {
        let back = transform.inverse()?;
        let n_bytes = u64::from(crop.size.width) * u64::from(crop.size.height) * 3;
        let mut pixels = Vec::with_capacity(usize::try_from(n_bytes).ok()?);
        for row in 0..crop.size.height {
            for column in 0..crop.size.width {
                let at = Point {
                    x: f64::from(crop.left) + f64::from(column) + 0.5,
                    y: f64::from(crop.top) + f64::from(row) + 0.5,
                };
                let from = back.map(at).unwrap_or(Point { x: 0.0, y: 0.0 });
                pixels.extend(self.between(from));
            }
        }
        Some(Self {
            size: crop.size,
            pixels,
        })
    }

    /// The colour at a point, bilinear between the four nearest centres.
    fn between(&self, at: Point) -> [u8; 3] {
        let limit = |value: f64, side: u32| (value - 0.5).max(0.0).min(f64::from(side) - 1.0);
        let (x, y) = (limit(at.x, self.size.width), limit(at.y, self.size.height));
        let (left, top) = (x.floor(), y.floor());
        let (along, down) = (x - left, y - top);
        let (column, row) = (position(left), position(top));
        let (upper, lower) = (self.row(row), self.row(row + 1));
        [0, 1, 2].map(|channel| {
            let of = |row: &[u8], column: usize| {
                let last = row.len().saturating_sub(3);
                f64::from(
                    row.get((column * 3).min(last) + channel)
                        .copied()
                        .unwrap_or(0),
                )
            };
            let above = of(upper, column) * (1.0 - along) + of(upper, column + 1) * along;
            let below = of(lower, column) * (1.0 - along) + of(lower, column + 1) * along;
            byte(above * (1.0 - down) + below * down)
        })
    }

    /// A row's bytes; past the last one, the last.
    fn row(&self, row: usize) -> &[u8] {
        let n_bytes = usize::try_from(self.size.width).unwrap_or(0) * 3;
        let start = row * n_bytes;
        self.pixels
            .get(start..start + n_bytes)
            .or_else(|| self.pixels.get(self.pixels.len() - n_bytes..))
            .unwrap_or_default()
    }

    /// Writes the picture as a JPEG without any note, as renditions are written.
    ///
    /// # Errors
    ///
    /// [`Error::Damaged`] when a side is longer than a JPEG's may be.
    pub fn encoded(self) -> Result<Rendition, Error> {
        rendition::encoded_rgb(self.pixels, self.size.width, self.size.height)
    }
}
