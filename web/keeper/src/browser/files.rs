//! Blobs: read in slices, made from bytes.

use garboard_record::Digest;
use js_sys::{Array, Promise, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::{Error, OrError as _};

const SLICE: f64 = 4_194_304.0;

#[wasm_bindgen]
extern "C" {
    /// A file or blob, which lies outside the module's memory until it is read.
    #[wasm_bindgen(js_name = Blob)]
    #[derive(Debug, Clone)]
    pub(crate) type Blob;
    #[wasm_bindgen(constructor, js_class = Blob, catch)]
    fn make(parts: &Array, options: &JsValue) -> Result<Blob, JsValue>;
    #[wasm_bindgen(method, getter)]
    fn size(this: &Blob) -> f64;
    #[wasm_bindgen(method, getter, js_name = type)]
    fn media_type(this: &Blob) -> String;
    #[wasm_bindgen(method, getter, structural)]
    fn name(this: &Blob) -> JsValue;
    #[wasm_bindgen(method, catch)]
    fn slice(this: &Blob, from: f64, to: f64) -> Result<Blob, JsValue>;
    #[wasm_bindgen(method, js_name = arrayBuffer, catch)]
    fn array_buffer(this: &Blob) -> Result<Promise, JsValue>;
}

/// Makes a blob of these bytes.
pub(crate) fn blob(bytes: &[u8], media_type: &str) -> Result<Blob, Error> {
    of_parts(&Array::of1(&Uint8Array::from(bytes)), media_type)
}

/// Joins blobs to one.
pub(crate) fn joined<'a>(
    parts: impl IntoIterator<Item = &'a Blob>,
    media_type: &str,
) -> Result<Blob, Error> {
    of_parts(&parts.into_iter().collect(), media_type)
}

fn of_parts(parts: &Array, media_type: &str) -> Result<Blob, Error> {
    let options = js_sys::Object::new();
    js_sys::Reflect::set(&options, &"type".into(), &media_type.into()).or_error()?;
    Blob::make(parts, &options).or_error()
}

/// A part of a blob.
#[expect(
    clippy::cast_precision_loss,
    reason = "sizes of files lie far below 2^53"
)]
pub(crate) fn slice(blob: &Blob, from: u64, to: u64) -> Result<Blob, Error> {
    blob.slice(from as f64, to as f64).or_error()
}

/// How many bytes it has.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a size is a whole positive number below 2^53"
)]
pub(crate) fn size_of(blob: &Blob) -> u64 {
    blob.size() as u64
}

/// The name of a file; blank for a blob that has none.
pub(crate) fn name_of(blob: &Blob) -> String {
    blob.name().as_string().unwrap_or_default()
}

/// The media type that the browser gives it; blank when it knows none.
pub(crate) fn media_type_of(blob: &Blob) -> String {
    blob.media_type()
}

/// All its bytes.
pub(crate) async fn read(blob: &Blob) -> Result<Vec<u8>, Error> {
    let buffer = JsFuture::from(blob.array_buffer().or_error()?)
        .await
        .or_error()?;
    Ok(Uint8Array::new(&buffer).to_vec())
}

/// The SHA-256 of its bytes, read slice by slice so that a large picture never lies in memory whole.
pub(crate) async fn digest(blob: &Blob) -> Result<Digest, Error> {
    let size = blob.size();
    let mut sum = garboard_photo::Hasher::new();
    let mut at = 0.0;
    while at < size {
        let to = (at + SLICE).min(size);
        sum.update(&read(&blob.slice(at, to).or_error()?).await?);
        at = to;
    }
    sum.finish()
        .parse()
        .map_err(|error: garboard_record::Error| Error::new("Error", &error.to_string()))
}
