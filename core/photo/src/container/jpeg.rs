//! JPEG's markers, ISO/IEC 10918-1 Annex B.

use super::{Broken, Shell};
use crate::bytes::{be16, byte};

/// Start of image, end of image, start of scan.
const SOI: u8 = 0xD8;
const EOI: u8 = 0xD9;
const SOS: u8 = 0xDA;

/// Walks the segments and scans to the end mark.
pub(super) fn walk(bytes: &[u8]) -> Result<Shell, Broken> {
    let mut at = 2;
    let mut size = None;
    let mut has_scan = false;
    loop {
        let (marker, after) = next_marker(bytes, at).ok_or(Broken::Cut("its end mark"))?;
        at = after;
        match marker {
            EOI => break,
            SOI | 0x01 | 0xD0..=0xD7 => {}
            _ => {
                let len =
                    usize::from(be16(bytes, at).ok_or(Broken::Cut("the length of a segment"))?);
                if len < 2 {
                    return Err(Broken::Damaged("a segment is shorter than its own length"));
                }
                if is_frame(marker) && size.is_none() {
                    let height = be16(bytes, at + 3).ok_or(Broken::Cut("the frame header"))?;
                    let width = be16(bytes, at + 5).ok_or(Broken::Cut("the frame header"))?;
                    size = Some((u32::from(width), u32::from(height)));
                }
                at += len;
                if at > bytes.len() {
                    return Err(Broken::Cut("the rest of a segment"));
                }
                has_scan |= marker == SOS;
            }
        }
    }
    let (width, height) = size.ok_or(Broken::Damaged("it has no frame header"))?;
    if !has_scan {
        return Err(Broken::Damaged("it has no picture data"));
    }
    Ok(Shell {
        width,
        height,
        orientation: None,
    })
}

/// Returns the next marker from `at`, passing over picture data and stray bytes, and where it ends.
fn next_marker(bytes: &[u8], mut at: usize) -> Option<(u8, usize)> {
    loop {
        let rest = bytes.get(at..)?;
        at += memchr::memchr(0xFF, rest)?;
        // Any number of fill bytes may stand before a marker.
        while byte(bytes, at)? == 0xFF {
            at += 1;
        }
        let marker = byte(bytes, at)?;
        at += 1;
        // A stuffed zero and the restart marks belong to the picture data.
        if marker != 0x00 && !(0xD0..=0xD7).contains(&marker) {
            return Some((marker, at));
        }
    }
}

/// Returns whether a marker begins a frame header: SOF0 to SOF15 without DHT, JPG and DAC.
fn is_frame(marker: u8) -> bool {
    (0xC0..=0xCF).contains(&marker) && !matches!(marker, 0xC4 | 0xC8 | 0xCC)
}
