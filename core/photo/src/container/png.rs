//! PNG's chunks, ISO/IEC 15948 clause 5.

use super::{Broken, Shell};
use crate::bytes::{be32, part};

/// Walks the chunks to the end chunk.
pub(super) fn walk(bytes: &[u8]) -> Result<Shell, Broken> {
    if part(bytes, 12, 4).ok_or(Broken::Cut("its header"))? != b"IHDR" {
        return Err(Broken::Damaged("its first chunk is no header"));
    }
    let width = be32(bytes, 16).ok_or(Broken::Cut("its header"))?;
    let height = be32(bytes, 20).ok_or(Broken::Cut("its header"))?;
    let mut at = 8_usize;
    let mut has_data = false;
    loop {
        let len = be32(bytes, at).ok_or(Broken::Cut("its end chunk"))?;
        let name = part(bytes, at + 4, 4).ok_or(Broken::Cut("its end chunk"))?;
        let len = usize::try_from(len).ok().filter(|&len| len <= 0x7FFF_FFFF);
        let len = len.ok_or(Broken::Damaged("a chunk is longer than a chunk may be"))?;
        // Length, name and checksum stand around the data.
        at = at.saturating_add(len).saturating_add(12);
        if at > bytes.len() {
            return Err(Broken::Cut("the rest of a chunk"));
        }
        has_data |= name == b"IDAT";
        if name == b"IEND" {
            break;
        }
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
