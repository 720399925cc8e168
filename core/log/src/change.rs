//! Changes: how they stand one after another in a chunk, and what each of them says.

use automerge::{Change, ScalarValue, legacy};

use crate::Error;

/// The first four bytes of every part of an Automerge file.
const MAGIC: [u8; 4] = [0x85, 0x6f, 0x4a, 0x83];

/// Walks the parts of a chunk: changes, and also whole documents and bundles where someone made a chunk of them.
pub(crate) struct Split<'a>(pub(crate) &'a [u8]);

impl Iterator for Split<'_> {
    type Item = Result<Vec<Change>, Error>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.0.is_empty() {
            return None;
        }
        let part = split_first(self.0);
        let Some((kind, part, rest)) = part else {
            self.0 = &[];
            return Some(Err(Error::NotChunk {
                why: "it is cut short or was never a chunk".to_owned(),
            }));
        };
        self.0 = rest;
        Some(read_part(kind, part))
    }
}

/// Whether some bytes are changes alone, without whole documents or bundles.
pub(crate) fn is_plain(mut bytes: &[u8]) -> bool {
    while let Some((kind, _, rest)) = split_first(bytes) {
        if !matches!(kind, 1 | 2) {
            return false;
        }
        bytes = rest;
    }
    true
}

fn read_part(kind: u8, part: &[u8]) -> Result<Vec<Change>, Error> {
    let refused = |why: String| Error::NotChunk { why };
    match kind {
        1 | 2 => Ok(vec![
            Change::try_from(part).map_err(|cause| refused(cause.to_string()))?,
        ]),
        #[cfg(feature = "documents")]
        0 => Ok(automerge::Automerge::load(part)
            .map_err(|cause| refused(cause.to_string()))?
            .get_changes(&[])),
        #[cfg(feature = "documents")]
        3 => automerge::Bundle::try_from(part)
            .map_err(|cause| refused(cause.to_string()))?
            .to_changes()
            .map_err(|cause| refused(cause.to_string())),
        #[cfg(not(feature = "documents"))]
        0 | 3 => Err(refused(
            "it holds a whole document or a bundle, which only the program for a computer reads; merge it there, and take a parcel from there".to_owned(),
        )),
        other => Err(refused(format!(
            "it holds a part of the unknown kind {other}"
        ))),
    }
}

/// Takes the first part off: its kind, its bytes with their head, and the rest.
///
/// A part is four magic bytes, a checksum of four, its kind, and its length as LEB128 before the content.
fn split_first(bytes: &[u8]) -> Option<(u8, &[u8], &[u8])> {
    let after_magic = bytes.strip_prefix(&MAGIC)?;
    let kind = *after_magic.get(4)?;
    let mut length: u64 = 0;
    let mut at = 5;
    loop {
        let byte = *after_magic.get(at)?;
        let shift = u32::try_from(at - 5).ok()? * 7;
        length |= u64::from(byte & 0x7f)
            .checked_shl(shift)
            .filter(|_| shift < 63)?;
        at += 1;
        if byte & 0x80 == 0 {
            break;
        }
    }
    let end = MAGIC.len() + at + usize::try_from(length).ok()?;
    let (part, rest) = bytes.split_at_checked(end)?;
    Some((kind, part, rest))
}

/// What a change says: texts by their keys, or `None` when it does anything but add texts under new keys of the root map.
pub(crate) fn texts(change: &Change) -> Option<Vec<(String, String)>> {
    change
        .decode()
        .operations
        .into_iter()
        .map(|op| {
            let added = op.pred.is_empty() && !op.insert && op.obj == legacy::ObjectId::Root;
            match (op.key, op.action) {
                (legacy::Key::Map(key), legacy::OpType::Put(ScalarValue::Str(text))) if added => {
                    Some((key.to_string(), text.to_string()))
                }
                _ => None,
            }
        })
        .collect()
}
