//! Whether bytes may say where they were made.

use crate::{Remark, examine, sniff_sound};

/// Names under which a position stands outside of Exif: in XMP, and in the containers of sounds.
const NAMES: [&[u8]; 3] = [b"GPSLatitude", b"\xA9xyz", b"quicktime.location"];

/// Whether a picture or a sound says, or may say, where it was taken. What cannot be read is taken to say so.
#[must_use]
pub fn may_hold_position(bytes: &[u8]) -> bool {
    let names_one = NAMES
        .iter()
        .any(|name| bytes.windows(name.len()).any(|at| at == *name));
    if names_one || sniff_sound(bytes).is_some() {
        return names_one;
    }
    examine(bytes).map_or(true, |found| {
        let is_odd = |remark: &Remark| remark.to_string().contains("position");
        found.position.is_some() || found.remarks.iter().any(is_odd)
    })
}
