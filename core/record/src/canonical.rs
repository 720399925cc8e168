//! Canonical JSON (RFC 8785): the one way in which a statement is written.

use serde::Serialize;

/// Writes a value as canonical JSON.
///
/// Returns `None` when the value cannot be JSON at all (a map whose keys are no strings, a number that is not finite).
#[must_use]
pub fn text<T: Serialize>(value: &T) -> Option<String> {
    serde_json_canonicalizer::to_string(value).ok()
}

/// Whether a text is canonical JSON already.
#[must_use]
pub fn is_canonical(json: &str) -> bool {
    serde_json::from_str::<serde_json::Value>(json)
        .ok()
        .and_then(|value| text(&value))
        .is_some_and(|again| again == json)
}
