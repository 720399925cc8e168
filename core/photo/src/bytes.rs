//! Reading whole numbers out of bytes that may be too short.

/// Returns `len` bytes from `at`, if the bytes reach so far.
pub(crate) fn part(bytes: &[u8], at: usize, len: usize) -> Option<&[u8]> {
    bytes.get(at..at.checked_add(len)?)
}

/// Returns the bytes at `at` as an array.
pub(crate) fn array<const N: usize>(bytes: &[u8], at: usize) -> Option<[u8; N]> {
    part(bytes, at, N)?.try_into().ok()
}

/// Returns the byte at `at`.
pub(crate) fn byte(bytes: &[u8], at: usize) -> Option<u8> {
    bytes.get(at).copied()
}

/// Returns the big-endian 16 bits at `at`.
pub(crate) fn be16(bytes: &[u8], at: usize) -> Option<u16> {
    array(bytes, at).map(u16::from_be_bytes)
}

/// Returns the big-endian 32 bits at `at`.
pub(crate) fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    array(bytes, at).map(u32::from_be_bytes)
}

/// Returns the big-endian 64 bits at `at`.
pub(crate) fn be64(bytes: &[u8], at: usize) -> Option<u64> {
    array(bytes, at).map(u64::from_be_bytes)
}

/// Returns the little-endian 16 bits at `at`.
pub(crate) fn le16(bytes: &[u8], at: usize) -> Option<u16> {
    array(bytes, at).map(u16::from_le_bytes)
}

/// Returns the little-endian 24 bits at `at`.
pub(crate) fn le24(bytes: &[u8], at: usize) -> Option<u32> {
    let [a, b, c] = array(bytes, at)?;
    Some(u32::from_le_bytes([a, b, c, 0]))
}

/// Returns the little-endian 32 bits at `at`.
pub(crate) fn le32(bytes: &[u8], at: usize) -> Option<u32> {
    array(bytes, at).map(u32::from_le_bytes)
}
