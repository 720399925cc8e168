//! What this browser remembers of the person's habits; nothing of the log is kept here.

use web_sys::Storage;

fn storage() -> Option<Storage> {
    web_sys::window().and_then(|window| window.local_storage().ok().flatten())
}

/// What was kept under a name; blank when nothing was.
pub(crate) fn recall(name: &str) -> String {
    storage()
        .and_then(|storage| storage.get_item(&format!("garboard.{name}")).ok().flatten())
        .unwrap_or_default()
}

/// Keeps a habit. When the browser refuses, the habit is forgotten and nothing else happens.
pub(crate) fn keep(name: &str, value: &str) {
    if let Some(storage) = storage() {
        let key = format!("garboard.{name}");
        if value.is_empty() {
            drop(storage.remove_item(&key));
        } else {
            drop(storage.set_item(&key, value));
        }
    }
}
