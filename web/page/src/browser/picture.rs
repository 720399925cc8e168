//! Pictures as addresses that an image element takes.

use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};

use garboard_protocol::PictureSize;
use web_sys::Url;

use super::file::Files;

/// More than a screen can show; the oldest give way.
const AT_MOST: usize = 600;

#[derive(Default)]
struct Shelf {
    urls: BTreeMap<(String, PictureSize), String>,
    order: VecDeque<(String, PictureSize)>,
}

thread_local! {
    static SHELF: RefCell<Shelf> = RefCell::default();
}

/// The address of a picture that came before.
pub(crate) fn known(digest: &str, size: PictureSize) -> Option<String> {
    SHELF.with_borrow(|shelf| shelf.urls.get(&(digest.to_owned(), size)).cloned())
}

/// Makes an address for a picture that came.
pub(crate) fn shelve(digest: &str, size: PictureSize, files: &Files) -> Option<String> {
    let url = Url::create_object_url_with_blob(files.first()?).ok()?;
    SHELF.with_borrow_mut(|shelf| {
        let key = (digest.to_owned(), size);
        if let Some(old) = shelf.urls.insert(key.clone(), url.clone()) {
            drop(Url::revoke_object_url(&old));
        } else {
            shelf.order.push_back(key);
        }
        while shelf.order.len() > AT_MOST {
            if let Some(url) = shelf.order.pop_front().and_then(|key| shelf.urls.remove(&key)) {
                drop(Url::revoke_object_url(&url));
            }
        }
    });
    Some(url)
}
