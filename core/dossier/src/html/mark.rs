//! Words made safe for markup and style, and bytes made into text.

use std::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

/// Escapes text for an element or a quoted attribute. Characters that HTML forbids become the replacement character.
pub(super) fn text(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + words.len() / 8);
    for c in words.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(c),
            '\r' => {}
            c if c.is_control() || is_noncharacter(c) => out.push('\u{FFFD}'),
            // Marks that turn the direction of writing could make a figure read backwards.
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => out.push('\u{FFFD}'),
            c => out.push(c),
        }
    }
    out
}

/// Code points that are no characters and never will be.
fn is_noncharacter(c: char) -> bool {
    matches!(u32::from(c), 0xFDD0..=0xFDEF) || u32::from(c) & 0xFFFE == 0xFFFE
}

/// Escapes text for a quoted string in a style sheet: everything but plain letters, digits and blanks by its number.
pub(super) fn css_text(words: &str) -> String {
    let mut out = String::new();
    for c in words.chars() {
        if c.is_ascii_alphanumeric() || c == ' ' {
            out.push(c);
        } else if !c.is_control() {
            // Writing into a string cannot fail.
            _ = write!(out, "\\{:x} ", u32::from(c));
        }
    }
    out
}

/// Appends bytes in base64 (RFC 4648, section 4).
pub(super) fn base64(bytes: &[u8], out: &mut String) {
    STANDARD.encode_string(bytes, out);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn the_standard_s_vectors_come_out() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            let mut out = String::new();
            base64(plain.as_bytes(), &mut out);
            assert_eq!(out, coded);
        }
    }

    #[test]
    fn markup_in_words_stays_words() {
        assert_eq!(
            text("<b a='1'>&\"</b>\u{0}\u{202E}"),
            "&lt;b a=&#39;1&#39;&gt;&amp;&quot;&lt;/b&gt;\u{FFFD}\u{FFFD}"
        );
        assert_eq!(
            css_text("a\"</style>}\n"),
            "a\\22 \\3c \\2f style\\3e \\7d "
        );
    }
}
