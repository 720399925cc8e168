//! Pictures as addresses that an image element takes.

use std::cell::RefCell;

use garboard_protocol::PictureSize;
use js_sys::Promise;
use wasm_bindgen::prelude::{Closure, wasm_bindgen};
use wasm_bindgen::{JsCast as _, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, CanvasRenderingContext2d, HtmlCanvasElement, ImageBitmap, Url};

use super::file::{Address, Files};
use super::media::object;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(catch, js_name = createImageBitmap)]
    fn create_image_bitmap(blob: &Blob, options: &JsValue) -> Result<Promise, JsValue>;
}

/// How wide a small picture is that only this screen needs, in pixels.
const SMALL: u32 = 160;

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

/// A small picture of a file, for this screen only. The file itself shown small would lie decoded whole in memory.
pub(crate) async fn small(file: &Files) -> Option<Address> {
    let options = object(&[("resizeWidth", SMALL.into())]);
    let asked = create_image_bitmap(file.first()?, &options).ok()?;
    let bitmap: ImageBitmap = JsFuture::from(asked).await.ok()?.unchecked_into();
    let canvas: HtmlCanvasElement = web_sys::window()?
        .document()?
        .create_element("canvas")
        .ok()?
        .unchecked_into();
    canvas.set_width(bitmap.width());
    canvas.set_height(bitmap.height());
    let context: CanvasRenderingContext2d = canvas.get_context("2d").ok()??.unchecked_into();
    let drawn = context.draw_image_with_image_bitmap(&bitmap, 0.0, 0.0);
    bitmap.close();
    drawn.ok()?;
    let blob = as_jpeg(&canvas, 0.8).await?;
    Files::of_blob(blob).address()
}

/// What a canvas shows, as a JPEG.
pub(super) async fn as_jpeg(canvas: &HtmlCanvasElement, quality: f64) -> Option<Blob> {
    let mut is_asked = false;
    let made = Promise::new(&mut |done, _| {
        let give = Closure::once_into_js(move |blob: JsValue| {
            drop(done.call1(&JsValue::UNDEFINED, &blob));
        });
        is_asked = canvas
            .to_blob_with_type_and_encoder_options(
                give.unchecked_ref(),
                "image/jpeg",
                &quality.into(),
            )
            .is_ok();
    });
    if !is_asked {
        return None;
    }
    JsFuture::from(made).await.ok()?.dyn_into().ok()
}
