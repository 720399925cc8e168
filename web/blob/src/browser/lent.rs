//! Reading through one buffer that is lent to the browser again and again.
//!
//! A browser that gives a buffer for each file clears them up late: hundreds of pictures would lie in memory at once.

use js_sys::{ArrayBuffer, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::{Blob, size_of};

/// The bytes of the buffer.
const LENT: u32 = 1 << 20;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = Blob)]
    type Streamed;
    #[wasm_bindgen(method, catch)]
    fn stream(this: &Streamed) -> Result<Stream, JsValue>;

    type Stream;
    #[wasm_bindgen(method, js_name = getReader, catch)]
    fn reader(this: &Stream, options: &Object) -> Result<Reader, JsValue>;

    type Reader;
    #[wasm_bindgen(method, catch)]
    fn read(this: &Reader, into: &Uint8Array) -> Result<Promise, JsValue>;

    type Step;
    #[wasm_bindgen(method, getter)]
    fn done(this: &Step) -> bool;
    #[wasm_bindgen(method, getter)]
    fn value(this: &Step) -> JsValue;
}

/// All bytes of a blob.
///
/// # Errors
///
/// What the browser throws, when the file has moved or changed.
pub async fn read(blob: &Blob) -> Result<Vec<u8>, JsValue> {
    match lending(blob) {
        Ok(reader) => in_steps(blob, &reader).await,
        // A browser that takes no buffer gives one of its own.
        Err(_) => {
            let buffer = JsFuture::from(blob.array_buffer()?).await?;
            Ok(Uint8Array::new(&buffer).to_vec())
        }
    }
}

fn lending(blob: &Blob) -> Result<Reader, JsValue> {
    let options = Object::new();
    Reflect::set(&options, &"mode".into(), &"byob".into())?;
    blob.unchecked_ref::<Streamed>().stream()?.reader(&options)
}

async fn in_steps(blob: &Blob, reader: &Reader) -> Result<Vec<u8>, JsValue> {
    let size = size_of(blob);
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or_default());
    let mut lent = ArrayBuffer::new(u32::try_from(size).map_or(LENT, |size| size.clamp(1, LENT)));
    loop {
        let step = JsFuture::from(reader.read(&Uint8Array::new(&lent))?).await?;
        let step: Step = step.unchecked_into();
        if step.done() {
            return Ok(bytes);
        }
        // The buffer that was lent is gone; the same memory comes back as another.
        let part: Uint8Array = step.value().dyn_into()?;
        let from = bytes.len();
        bytes.resize(from + usize::try_from(part.length()).unwrap_or_default(), 0);
        part.copy_to(bytes.get_mut(from..).unwrap_or_default());
        lent = part.buffer();
    }
}
