//! What a sound's first bytes say of its container; sounds are kept as they came, and never decoded here.

use crate::bytes::part;

/// The most bytes a sound may have: 256 MiB, as a picture.
pub const MOST_SOUND_BYTES: u64 = 256 * 1024 * 1024;

/// Returns the media type of the sound that the first bytes announce, or nothing when they are no sound's.
///
/// The first 64 bytes are enough. Containers that can hold films too are taken for sounds; what they hold is for the
/// player to say.
#[must_use]
pub fn sniff_sound(bytes: &[u8]) -> Option<&'static str> {
    // Matroska and WebM are EBML documents (RFC 8794, section 11.2.1; RFC 9559).
    if bytes.starts_with(&[0x1A, 0x45, 0xDF, 0xA3]) {
        return Some("audio/webm");
    }
    // ISO/IEC 14496-12: the first box is `ftyp`. HEIF pictures begin alike.
    if part(bytes, 4, 4) == Some(b"ftyp") {
        let is_picture =
            crate::sniff(bytes).is_some() || matches!(part(bytes, 8, 4), Some(b"avif" | b"avis"));
        return (!is_picture).then_some("audio/mp4");
    }
    if bytes.starts_with(b"RIFF") {
        return (part(bytes, 8, 4) == Some(b"WAVE")).then_some("audio/wav");
    }
    let known: [(&[u8], &str); 4] = [
        // RFC 3533, section 6; RFC 5334.
        (b"OggS", "audio/ogg"),
        // RFC 9639, section 6.
        (b"fLaC", "audio/flac"),
        // RFC 4867, section 5.
        (b"#!AMR", "audio/amr"),
        // A tag before MPEG audio, as its makers write it; from memory.
        (b"ID3", "audio/mpeg"),
    ];
    if let Some((_, name)) = known.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Some(name);
    }
    // MPEG audio frames begin with eleven set bits; the layer follows the version (ISO/IEC 11172-3, 2.4.1.3). ADTS has
    // layer 0 (ISO/IEC 13818-7).
    match bytes {
        [0xFF, second, ..] if second & 0xF6 == 0xF0 => Some("audio/aac"),
        [0xFF, second, ..] if second & 0xE6 == 0xE2 => Some("audio/mpeg"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sounds_are_told_from_pictures_and_from_anything_else() {
        for (bytes, wanted) in [
            (&b"\x1A\x45\xDF\xA3\x9F\x42\x86"[..], Some("audio/webm")),
            (b"\0\0\0\x1CftypM4A \0\0\0\0", Some("audio/mp4")),
            (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", None),
            (b"\0\0\0\x18ftypavif\0\0\0\0mif1miaf", None),
            (b"RIFF\x24\0\0\0WAVEfmt ", Some("audio/wav")),
            (b"RIFF\x24\0\0\0WEBPVP8 ", None),
            (b"OggS\0\x02", Some("audio/ogg")),
            (b"fLaC\0\0\0\x22", Some("audio/flac")),
            (b"#!AMR\n", Some("audio/amr")),
            (b"ID3\x04\0", Some("audio/mpeg")),
            (b"\xFF\xFB\x90\x00", Some("audio/mpeg")),
            (b"\xFF\xF1\x50\x80", Some("audio/aac")),
            (b"\xFF\xD8\xFF\xE0", None),
            (b"\xFF", None),
            (b"", None),
            (b"bilge water", None),
        ] {
            assert_eq!(sniff_sound(bytes), wanted, "{bytes:?}");
        }
    }
}
