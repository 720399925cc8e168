//! Pictures that only the browser can decode, HEIC for instance.

use js_sys::Promise;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::file::{Blob, read};
use super::words;

const LONG_SIDE: f64 = 2048.0;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = createImageBitmap, catch)]
    fn create_image_bitmap(file: &Blob) -> Result<Promise, JsValue>;

    type Bitmap;
    #[wasm_bindgen(method, getter)]
    fn width(this: &Bitmap) -> f64;
    #[wasm_bindgen(method, getter)]
    fn height(this: &Bitmap) -> f64;

    #[wasm_bindgen(js_name = OffscreenCanvas)]
    type Canvas;
    #[wasm_bindgen(constructor, js_class = OffscreenCanvas, catch)]
    fn new(width: f64, height: f64) -> Result<Canvas, JsValue>;
    #[wasm_bindgen(method, js_name = getContext, catch)]
    fn get_context(this: &Canvas, kind: &str) -> Result<Context, JsValue>;
    #[wasm_bindgen(method, js_name = convertToBlob, catch)]
    fn convert_to_blob(this: &Canvas) -> Result<Promise, JsValue>;

    type Context;
    #[wasm_bindgen(method, js_name = drawImage, catch)]
    fn draw_image(
        this: &Context,
        image: &Bitmap,
        x: f64,
        y: f64,
        width: f64,
        height: f64,
    ) -> Result<(), JsValue>;
}

/// A picture of at most the view's size as PNG, decoded and turned upright by the browser.
pub(super) async fn png(file: &Blob) -> Result<Vec<u8>, String> {
    let said = |thrown: JsValue| words(&thrown);
    let decoding = create_image_bitmap(file).map_err(said)?;
    let image: Bitmap = JsFuture::from(decoding)
        .await
        .map_err(said)?
        .unchecked_into();
    let (width, height) = (image.width(), image.height());
    let shrink = (LONG_SIDE / width.max(height).max(1.0)).min(1.0);
    let (width, height) = (
        (width * shrink).round().max(1.0),
        (height * shrink).round().max(1.0),
    );
    let canvas = Canvas::new(width, height).map_err(said)?;
    canvas
        .get_context("2d")
        .and_then(|context| context.draw_image(&image, 0.0, 0.0, width, height))
        .map_err(said)?;
    let png = JsFuture::from(canvas.convert_to_blob().map_err(said)?)
        .await
        .map_err(said)?;
    read(&png.unchecked_into()).await
}
