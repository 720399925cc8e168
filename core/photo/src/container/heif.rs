//! HEIF's boxes, ISO/IEC 14496-12 and 23008-12: how large the primary item is and how it is turned.

use super::{Broken, Shell};
use crate::bytes::{be16, be32, be64, byte, part};
use crate::upright::Orientation;

/// A box: its four-letter kind and what is inside.
struct Part<'a> {
    kind: &'a [u8],
    body: &'a [u8],
}

/// Walks the top boxes to the end of the file and reads the primary item's properties.
pub(super) fn walk(bytes: &[u8]) -> Result<Shell, Broken> {
    let top = boxes(bytes)?;
    let meta =
        find(&top, b"meta").ok_or(Broken::Damaged("it has no description of its pictures"))?;
    // `meta` is a full box: version and flags come first.
    let meta = boxes(meta.get(4..).unwrap_or_default())?;
    let properties =
        find(&meta, b"iprp").ok_or(Broken::Damaged("its pictures have no properties"))?;
    let properties = boxes(properties)?;
    let shared = boxes(find(&properties, b"ipco").unwrap_or_default())?;
    let primary = find(&meta, b"pitm")
        .and_then(primary_id)
        .ok_or(Broken::Damaged("it names no primary picture"))?;
    let links = find(&properties, b"ipma").and_then(|body| linked(body, primary));
    let links = links.ok_or(Broken::Damaged("its primary picture has no properties"))?;
    let mut size = None;
    let mut orientation = Orientation::UPRIGHT;
    for index in links {
        let Some(property) = index.checked_sub(1).and_then(|index| shared.get(index)) else {
            continue;
        };
        match property.kind {
            b"ispe" => size = Some((be32(property.body, 4), be32(property.body, 8))),
            b"irot" => orientation = turned(byte(property.body, 0).unwrap_or(0)),
            _ => {}
        }
    }
    match size {
        Some((Some(width), Some(height))) => Ok(Shell {
            width,
            height,
            orientation: Some(orientation),
        }),
        _ => Err(Broken::Damaged("its primary picture has no size")),
    }
}

/// Splits bytes into boxes; the last may say that it reaches to the end.
fn boxes(bytes: &[u8]) -> Result<Vec<Part<'_>>, Broken> {
    let mut parts = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let short = be32(bytes, at).ok_or(Broken::Cut("the length of a box"))?;
        let kind = part(bytes, at + 4, 4).ok_or(Broken::Cut("the name of a box"))?;
        let (head, len) = match short {
            0 => (8, bytes.len() - at),
            1 => {
                let long = be64(bytes, at + 8).ok_or(Broken::Cut("the length of a box"))?;
                (
                    16,
                    usize::try_from(long)
                        .ok()
                        .ok_or(Broken::Cut("the rest of a box"))?,
                )
            }
            len => (
                8,
                usize::try_from(len)
                    .ok()
                    .ok_or(Broken::Cut("the rest of a box"))?,
            ),
        };
        if len < head {
            return Err(Broken::Damaged("a box is shorter than its own head"));
        }
        let body = part(bytes, at + head, len - head).ok_or(Broken::Cut("the rest of a box"))?;
        parts.push(Part { kind, body });
        at += len;
    }
    Ok(parts)
}

/// Returns the inside of the first box of a kind.
fn find<'a>(parts: &[Part<'a>], kind: &[u8; 4]) -> Option<&'a [u8]> {
    parts
        .iter()
        .find(|part| part.kind == kind)
        .map(|part| part.body)
}

/// Reads which item is the primary one.
fn primary_id(body: &[u8]) -> Option<u32> {
    match byte(body, 0)? {
        0 => be16(body, 4).map(u32::from),
        _ => be32(body, 4),
    }
}

/// Reads which properties belong to an item: places in the shared list, counted from 1.
fn linked(body: &[u8], item: u32) -> Option<Vec<usize>> {
    let has_wide_items = byte(body, 0)? >= 1;
    let has_wide_links = byte(body, 3)? & 1 == 1;
    let n_items = be32(body, 4)?;
    let mut at = 8;
    for _ in 0..n_items {
        let this;
        (this, at) = if has_wide_items {
            (be32(body, at)?, at + 4)
        } else {
            (u32::from(be16(body, at)?), at + 2)
        };
        let n_links = byte(body, at)?;
        at += 1;
        let mut links = Vec::new();
        for _ in 0..n_links {
            if has_wide_links {
                links.push(usize::from(be16(body, at)? & 0x7FFF));
                at += 2;
            } else {
                links.push(usize::from(byte(body, at)? & 0x7F));
                at += 1;
            }
        }
        if this == item {
            return Some(links);
        }
    }
    None
}

/// Translates a turn in quarters against the clock.
fn turned(quarters: u8) -> Orientation {
    match quarters & 3 {
        1 => Orientation::TURN_LEFT,
        2 => Orientation::TURN_ROUND,
        3 => Orientation::TURN_RIGHT,
        _ => Orientation::UPRIGHT,
    }
}
