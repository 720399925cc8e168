//! Pictures as addresses that an image element takes.

use std::cell::RefCell;

use garboard_protocol::PictureSize;
use web_sys::Url;

use super::file::Files;

/// More than a screen can show; the oldest give way.
const AT_MOST: usize = 600;

/// A picture on the shelf, and its address.
struct Shelved {
    digest: String,
    size: PictureSize,
    url: String,
}

thread_local! {
    /// Oldest first.
    static SHELF: RefCell<Vec<Shelved>> = RefCell::default();
}

/// The address of a picture that came before.
pub(crate) fn known(digest: &str, size: PictureSize) -> Option<String> {
    SHELF.with_borrow(|shelf| {
        shelf
            .iter()
            .find(|one| one.size == size && one.digest == digest)
            .map(|one| one.url.clone())
    })
}

/// Makes an address for a picture that came.
pub(crate) fn shelve(digest: &str, size: PictureSize, files: &Files) -> Option<String> {
    let url = Url::create_object_url_with_blob(files.first()?).ok()?;
    SHELF.with_borrow_mut(|shelf| {
        let old = shelf
            .iter()
            .position(|one| one.size == size && one.digest == digest);
        let given_way = old
            .or((shelf.len() >= AT_MOST).then_some(0))
            .map(|idx| shelf.remove(idx));
        if let Some(old) = given_way {
            drop(Url::revoke_object_url(&old.url));
        }
        shelf.push(Shelved {
            digest: digest.to_owned(),
            size,
            url: url.clone(),
        });
    });
    Some(url)
}
