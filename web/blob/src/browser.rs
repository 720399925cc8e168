//! The browser's own types, and what is made of them.

mod lent;

use js_sys::{Array, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;

pub use lent::read;

#[wasm_bindgen]
extern "C" {
    /// A file or blob, which lies outside the module's memory until it is read.
    #[wasm_bindgen(js_name = Blob)]
    #[derive(Debug, Clone)]
    pub type Blob;
    #[wasm_bindgen(constructor, js_class = Blob, catch)]
    fn of_parts(parts: &Array, options: &JsValue) -> Result<Blob, JsValue>;
    #[wasm_bindgen(method, getter)]
    fn size(this: &Blob) -> f64;
    #[wasm_bindgen(method, catch, js_name = slice)]
    fn cut(this: &Blob, from: f64, to: f64) -> Result<Blob, JsValue>;
    #[wasm_bindgen(method, getter, js_name = type)]
    fn of_type(this: &Blob) -> String;
    #[wasm_bindgen(method, getter, structural, js_name = name)]
    fn named(this: &Blob) -> JsValue;
    #[wasm_bindgen(method, js_name = arrayBuffer, catch)]
    fn array_buffer(this: &Blob) -> Result<Promise, JsValue>;

    #[wasm_bindgen(js_name = FileReaderSync)]
    type SyncReader;
    #[wasm_bindgen(constructor, js_class = FileReaderSync, catch)]
    fn new() -> Result<SyncReader, JsValue>;
    #[wasm_bindgen(method, js_name = readAsArrayBuffer, catch)]
    fn read(this: &SyncReader, blob: &Blob) -> Result<JsValue, JsValue>;
}

impl Blob {
    /// The name of a file; blank for a blob that has none.
    #[must_use]
    pub fn name(&self) -> String {
        self.named().as_string().unwrap_or_default()
    }

    /// The media type that the browser gives it; blank when it knows none.
    #[must_use]
    pub fn media_type(&self) -> String {
        self.of_type()
    }

    /// The bytes from `from` up to `to`, still outside the module's memory.
    ///
    /// # Errors
    ///
    /// What the browser throws.
    #[expect(
        clippy::cast_precision_loss,
        reason = "sizes of files lie far below 2^53"
    )]
    pub fn slice(&self, from: u64, to: u64) -> Result<Self, JsValue> {
        self.cut(from as f64, to as f64)
    }
}

/// How many bytes it has.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a size is a whole positive number below 2^53"
)]
pub fn size_of(blob: &Blob) -> u64 {
    blob.size() as u64
}

/// Joins parts (blobs and byte arrays) to one blob.
///
/// # Errors
///
/// What the browser throws.
pub fn joined(parts: &Array, media_type: &str) -> Result<Blob, JsValue> {
    let options = Object::new();
    Reflect::set(&options, &"type".into(), &media_type.into())?;
    Blob::of_parts(parts, &options)
}

/// Makes a blob of these bytes.
///
/// # Errors
///
/// What the browser throws.
pub fn made(bytes: &[u8], media_type: &str) -> Result<Blob, JsValue> {
    joined(&Array::of1(&Uint8Array::from(bytes)), media_type)
}

/// All bytes of a blob, at once and without waiting, as a worker may.
///
/// # Errors
///
/// What the browser throws.
pub fn read_now(blob: &Blob) -> Result<Vec<u8>, JsValue> {
    let buffer = SyncReader::new()?.read(blob)?;
    Ok(Uint8Array::new(&buffer).to_vec())
}
