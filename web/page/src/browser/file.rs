//! Files that come in from the person and go out to them.

use std::rc::Rc;

use gloo::timers::callback::Timeout;
use js_sys::{Array, Reflect};
use wasm_bindgen::{JsCast as _, JsValue};
use web_sys::{Blob, DataTransfer, File, HtmlAnchorElement, HtmlInputElement, ShareData, Url};

use super::Error;

/// Files or pictures that travel beside a message.
#[derive(Debug, Clone, Default)]
pub(crate) struct Files(Rc<Vec<Blob>>);

impl PartialEq for Files {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0) || (self.0.is_empty() && other.0.is_empty())
    }
}

impl Files {
    /// What an input control holds.
    pub(super) fn of_input(input: &HtmlInputElement) -> Self {
        let Some(list) = input.files() else {
            return Self::default();
        };
        let files = (0..list.length())
            .filter_map(|idx| list.get(idx))
            .map(Blob::from);
        Self(Rc::new(files.collect()))
    }

    /// What was dropped on the page.
    pub(super) fn of_drop(dropped: &DataTransfer) -> Self {
        let Some(list) = dropped.files() else {
            return Self::default();
        };
        let files = (0..list.length())
            .filter_map(|idx| list.get(idx))
            .map(Blob::from);
        Self(Rc::new(files.collect()))
    }

    /// What a camera or a recorder made.
    pub(super) fn of_blob(blob: Blob) -> Self {
        Self(Rc::new(vec![blob]))
    }

    /// One of them alone; none when there are not so many.
    pub(crate) fn one(&self, idx: usize) -> Self {
        Self(Rc::new(self.0.get(idx).cloned().into_iter().collect()))
    }

    /// An address of the first, which a picture or a player takes.
    pub(crate) fn address(&self) -> Option<Address> {
        Url::create_object_url_with_blob(self.first()?)
            .ok()
            .map(Address)
    }

    /// What came beside a message.
    pub(super) fn of_message(files: &JsValue) -> Self {
        let Some(list) = files.dyn_ref::<Array>() else {
            return Self::default();
        };
        Self(Rc::new(
            list.iter()
                .filter_map(|file| file.dyn_into::<Blob>().ok())
                .collect(),
        ))
    }

    /// As the list that goes beside a message.
    pub(super) fn to_list(&self) -> Array {
        self.0.iter().collect()
    }

    /// The first.
    pub(super) fn first(&self) -> Option<&Blob> {
        self.0.first()
    }

    /// A text as a file.
    pub(crate) fn of_text(text: &str) -> Self {
        Self::of_text_as(text, "text/plain")
    }

    /// A text as a file of a media type.
    pub(crate) fn of_text_as(text: &str, media_type: &str) -> Self {
        let parts = Array::of1(&JsValue::from_str(text));
        let options = web_sys::BlobPropertyBag::new();
        options.set_type(&format!("{media_type};charset=utf-8"));
        let made = Blob::new_with_str_sequence_and_options(&parts, &options);
        Self(Rc::new(made.into_iter().collect()))
    }

    /// These and then others.
    pub(crate) fn and(&self, others: &Self) -> Self {
        Self(Rc::new(
            self.0.iter().chain(others.0.iter()).cloned().collect(),
        ))
    }

    /// How many.
    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Gives the files names, so that they can be sent.
    fn named(&self, names: &[String]) -> Result<Array, Error> {
        let list = Array::new();
        for (blob, name) in self.0.iter().zip(names) {
            let options = web_sys::BlobPropertyBag::new();
            options.set_type(&blob.type_());
            let parts = Array::of1(blob);
            // A File is a Blob with a name; the options are the same.
            let file =
                File::new_with_blob_sequence_and_options(&parts, name, options.unchecked_ref())?;
            list.push(&file);
        }
        Ok(list)
    }

    /// Whether this browser's share sheet takes them.
    pub(crate) fn can_be_shared(&self, names: &[String]) -> bool {
        let Some(navigator) = web_sys::window().map(|window| window.navigator()) else {
            return false;
        };
        let has = Reflect::has(&navigator, &"canShare".into()).unwrap_or(false);
        let Ok(list) = self.named(names) else {
            return false;
        };
        let data = ShareData::new();
        data.set_files(list.unchecked_ref());
        has && navigator.can_share_with_data(&data)
    }

    /// Opens the share sheet.
    pub(crate) async fn share(&self, names: &[String], title: &str) -> Result<(), Error> {
        let navigator = web_sys::window()
            .ok_or_else(|| Error("there is no window".to_owned()))?
            .navigator();
        let data = ShareData::new();
        data.set_files(self.named(names)?.unchecked_ref());
        data.set_title(title);
        wasm_bindgen_futures::JsFuture::from(navigator.share_with_data(&data)).await?;
        Ok(())
    }

    /// Saves them as downloads.
    pub(crate) fn download(&self, names: &[String]) -> Result<(), Error> {
        for (blob, name) in self.0.iter().zip(names) {
            let url = Url::create_object_url_with_blob(blob)?;
            let anchor = anchor()?;
            anchor.set_href(&url);
            anchor.set_download(name);
            anchor.click();
            release_later(url);
        }
        Ok(())
    }

    /// Opens the first in a tab of its own.
    pub(crate) fn open(&self) -> Result<(), Error> {
        let Some(blob) = self.first() else {
            return Ok(());
        };
        let url = Url::create_object_url_with_blob(blob)?;
        let anchor = anchor()?;
        anchor.set_href(&url);
        anchor.set_target("_blank");
        anchor.set_rel("noopener");
        anchor.click();
        release_later(url);
        Ok(())
    }
}

/// An address of bytes in this page; the browser lets go of them when it is dropped.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Address(String);

impl Address {
    /// The address itself.
    pub(crate) fn text(&self) -> &str {
        &self.0
    }
}

impl Drop for Address {
    fn drop(&mut self) {
        drop(Url::revoke_object_url(&self.0));
    }
}

/// Under this name files lie that were dropped or chosen on one screen, for another: beside the boot file's own things,
/// where the module that takes over finds them.
const LAID_BY: &str = "laidBy";

fn bench() -> Option<JsValue> {
    Reflect::get(&js_sys::global(), &"garboard".into())
        .ok()
        .filter(JsValue::is_object)
}

/// Lays files by for the screen that takes in many, with the place that they are meant for.
pub(crate) fn lay_by(files: &Files, place: &str) {
    if let Some(bench) = bench() {
        let laid = Array::of2(&files.to_list(), &place.into());
        // The object is the boot file's own and takes every field.
        drop(Reflect::set(&bench, &LAID_BY.into(), &laid));
    }
}

/// Takes what was laid by, once.
pub(crate) fn take_laid_by() -> Option<(Files, String)> {
    let bench = bench()?;
    let laid: Array = Reflect::get(&bench, &LAID_BY.into())
        .ok()?
        .dyn_into()
        .ok()?;
    drop(Reflect::set(&bench, &LAID_BY.into(), &JsValue::UNDEFINED));
    let files = Files::of_message(&laid.get(0));
    Some((files, laid.get(1).as_string().unwrap_or_default()))
}

fn anchor() -> Result<HtmlAnchorElement, Error> {
    web_sys::window()
        .and_then(|window| window.document())
        .ok_or_else(|| Error("there is no document".to_owned()))?
        .create_element("a")?
        .dyn_into::<HtmlAnchorElement>()
        .map_err(|_element| Error("the browser made no link".to_owned()))
}

/// A minute is enough for the browser to take the bytes over.
fn release_later(url: String) {
    Timeout::new(60_000, move || drop(Url::revoke_object_url(&url))).forget();
}
