//! The page's own style: type, margins, tables, and how it breaks on paper.

use super::mark::base64;

/// The faces, all under the SIL Open Font License 1.1; cut down to the letters of western European languages.
///
/// What they lack is set in the reader's own serif.
const FACES: [(&str, &str, &str, &[u8]); 5] = [
    (
        "Dossier Serif",
        "400",
        "normal",
        include_bytes!("../../faces/source-serif-regular.woff2"),
    ),
    (
        "Dossier Serif",
        "400",
        "italic",
        include_bytes!("../../faces/source-serif-italic.woff2"),
    ),
    (
        "Dossier Serif",
        "600",
        "normal",
        include_bytes!("../../faces/source-serif-semibold.woff2"),
    ),
    (
        "Dossier Sans",
        "400",
        "normal",
        include_bytes!("../../faces/atkinson-next-regular.woff2"),
    ),
    (
        "Dossier Sans",
        "600",
        "normal",
        include_bytes!("../../faces/atkinson-next-semibold.woff2"),
    ),
];

/// The faces as a part of the style sheet.
pub(super) fn faces() -> String {
    let mut out = String::new();
    for (family, weight, style, bytes) in FACES {
        out.push_str(&format!("@font-face {{ font-family: \"{family}\"; font-weight: {weight}; font-style: {style}; src: url(data:font/woff2;base64,"));
        base64(bytes, &mut out);
        out.push_str(") format(\"woff2\"); }\n");
    }
    out
}

/// The style sheet.
pub(super) const SHEET: &str = include_str!("style.css");
