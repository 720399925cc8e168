//! WebP's chunks, RFC 9649 section 2.

use super::{Broken, Shell};
use crate::bytes::{le16, le24, le32, part};

/// Reads the size from the first chunk and walks the rest to the end that the header announces.
pub(super) fn walk(bytes: &[u8]) -> Result<Shell, Broken> {
    let announced = le32(bytes, 4).ok_or(Broken::Cut("its header"))?;
    let end = usize::try_from(announced)
        .ok()
        .ok_or(Broken::Cut("most of the file"))?
        .saturating_add(8);
    // An odd last chunk's padding byte is left out by some writers.
    if end > bytes.len().saturating_add(1) {
        return Err(Broken::Cut("the rest of the file"));
    }
    let (width, height) = size(bytes)?;
    let mut at = 12_usize;
    let mut has_data = false;
    while at < end.min(bytes.len()) {
        let name = part(bytes, at, 4).ok_or(Broken::Cut("the name of a chunk"))?;
        let len = le32(bytes, at + 4).ok_or(Broken::Cut("the length of a chunk"))?;
        let len = usize::try_from(len)
            .ok()
            .ok_or(Broken::Cut("the rest of a chunk"))?;
        at = at.saturating_add(8).saturating_add(len);
        if at > bytes.len() {
            return Err(Broken::Cut("the rest of a chunk"));
        }
        at = at.saturating_add(len % 2);
        has_data |= matches!(name, b"VP8 " | b"VP8L" | b"ANMF");
    }
    if !has_data {
        return Err(Broken::Damaged("it has no picture data"));
    }
    Ok(Shell {
        width,
        height,
        orientation: None,
    })
}

/// Reads the pixels across and down from whichever of the three forms comes first.
fn size(bytes: &[u8]) -> Result<(u32, u32), Broken> {
    let cut = || Broken::Cut("its header");
    match part(bytes, 12, 4).ok_or_else(cut)? {
        b"VP8X" => Ok((
            le24(bytes, 24).ok_or_else(cut)? + 1,
            le24(bytes, 27).ok_or_else(cut)? + 1,
        )),
        b"VP8L" => {
            let bits = le32(bytes, 21).ok_or_else(cut)?;
            Ok(((bits & 0x3FFF) + 1, ((bits >> 14) & 0x3FFF) + 1))
        }
        b"VP8 " => {
            if part(bytes, 23, 3).ok_or_else(cut)? != [0x9D, 0x01, 0x2A] {
                return Err(Broken::Damaged("its first frame does not begin as one"));
            }
            let width = le16(bytes, 26).ok_or_else(cut)? & 0x3FFF;
            let height = le16(bytes, 28).ok_or_else(cut)? & 0x3FFF;
            Ok((u32::from(width), u32::from(height)))
        }
        _ => Err(Broken::Damaged(
            "its first chunk is none that begins a picture",
        )),
    }
}
