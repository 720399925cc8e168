//! Which kind of picture it is, by its first bytes and never by its name.

use std::fmt;

use crate::bytes::{array, be32, part};

/// A kind of picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MediaType {
    /// JPEG (ISO/IEC 10918-1).
    Jpeg,
    /// PNG (ISO/IEC 15948).
    Png,
    /// WebP (RFC 9649).
    Webp,
    /// HEIC (ISO/IEC 23008-12 with HEVC).
    Heic,
    /// Another HEIF of ISO/IEC 23008-12 whose brand does not say how it is compressed.
    Heif,
    /// AVIF (AV1 in the container of ISO/IEC 23008-12).
    Avif,
}

impl MediaType {
    /// Returns the registered media type, as `image/jpeg`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
            Self::Heic => "image/heic",
            Self::Heif => "image/heif",
            Self::Avif => "image/avif",
        }
    }

    /// Returns whether [`renditions`](crate::renditions) can decode this kind.
    #[must_use]
    pub fn is_decoded_here(self) -> bool {
        matches!(self, Self::Jpeg | Self::Png | Self::Webp)
    }
}

impl fmt::Display for MediaType {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::Webp => "WebP",
            Self::Heic => "HEIC",
            Self::Heif => "HEIF",
            Self::Avif => "AVIF",
        })
    }
}

/// Returns the kind of picture that the first bytes announce.
///
/// The first few dozen bytes are enough; that the picture is whole is for [`examine`](crate::examine) to say.
#[must_use]
pub fn sniff(bytes: &[u8]) -> Option<MediaType> {
    if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        Some(MediaType::Jpeg)
    } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(MediaType::Png)
    } else if bytes.starts_with(b"RIFF") && part(bytes, 8, 4) == Some(b"WEBP") {
        Some(MediaType::Webp)
    } else {
        heif(bytes)
    }
}

/// Tells HEIC, AVIF and other HEIF by the brands of the `ftyp` box.
fn heif(bytes: &[u8]) -> Option<MediaType> {
    let brands = brands(bytes)?;
    let is_heic = |brand: &&[u8; 4]| {
        matches!(
            *brand,
            b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx"
        )
    };
    let is_avif = |brand: &&[u8; 4]| matches!(*brand, b"avif" | b"avis");
    let is_heif = |brand: &&[u8; 4]| matches!(*brand, b"mif1" | b"mif2" | b"msf1");
    if brands.iter().any(|brand| is_avif(&brand)) {
        Some(MediaType::Avif)
    } else if brands.iter().any(|brand| is_heic(&brand)) {
        Some(MediaType::Heic)
    } else if brands.iter().any(|brand| is_heif(&brand)) {
        Some(MediaType::Heif)
    } else {
        None
    }
}

/// Returns the major brand and then the compatible ones, of at most 64.
fn brands(bytes: &[u8]) -> Option<Vec<[u8; 4]>> {
    if part(bytes, 4, 4)? != b"ftyp" {
        return None;
    }
    let size = usize::try_from(be32(bytes, 0)?)
        .ok()?
        .min(8 + 4 * 64)
        .min(bytes.len());
    let mut brands = vec![array(bytes, 8)?];
    let mut at = 16;
    while at + 4 <= size {
        brands.push(array(bytes, at)?);
        at += 4;
    }
    Some(brands)
}

/// Returns a name for what the bytes look like when they are no picture that is known here.
pub(crate) fn looks_like(bytes: &[u8]) -> Option<&'static str> {
    if part(bytes, 4, 4) == Some(b"ftyp") {
        return Some("a film");
    }
    let known: [(&[u8], &str); 8] = [
        (b"GIF8", "GIF"),
        (b"BM", "a bitmap"),
        (b"II*\0", "TIFF or a camera's raw file"),
        (b"MM\0*", "TIFF or a camera's raw file"),
        (b"%PDF", "PDF"),
        (b"PK\x03\x04", "a ZIP archive"),
        (b"<", "a page or a drawing in text"),
        (b"\xFF\xD8", "the first two bytes of a JPEG"),
    ];
    known
        .iter()
        .find(|(start, _)| bytes.starts_with(start))
        .map(|(_, name)| *name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heic_is_told_by_any_of_its_brands() {
        assert_eq!(
            sniff(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
            Some(MediaType::Heic)
        );
        assert_eq!(
            sniff(b"\0\0\0\x18ftypmif1\0\0\0\0mif1heix"),
            Some(MediaType::Heic)
        );
        assert_eq!(
            sniff(b"\0\0\0\x14ftypmif1\0\0\0\0mif1"),
            Some(MediaType::Heif)
        );
    }

    #[test]
    fn a_film_is_no_picture_and_an_avif_is_told_apart() {
        assert_eq!(sniff(b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom"), None);
        assert_eq!(
            looks_like(b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom"),
            Some("a film")
        );
        assert_eq!(
            sniff(b"\0\0\0\x18ftypavif\0\0\0\0mif1miaf"),
            Some(MediaType::Avif)
        );
    }

    #[test]
    fn names_are_the_registered_ones() {
        assert_eq!(MediaType::Jpeg.name(), "image/jpeg");
        assert_eq!(MediaType::Heic.to_string(), "HEIC");
    }
}
