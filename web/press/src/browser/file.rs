//! Files: read and written step by step, as a worker may, so that a large one never lies in memory whole.

use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};

use js_sys::{Array, Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::words;

#[wasm_bindgen]
extern "C" {
    /// A file or blob, which lies outside the module's memory until it is read.
    #[wasm_bindgen(js_name = Blob)]
    #[derive(Debug, Clone)]
    pub type Blob;
    #[wasm_bindgen(constructor, js_class = Blob, catch)]
    fn make(parts: &Array, options: &JsValue) -> std::result::Result<Blob, JsValue>;
    #[wasm_bindgen(method, getter)]
    fn size(this: &Blob) -> f64;
    #[wasm_bindgen(method, catch)]
    fn slice(this: &Blob, from: f64, to: f64) -> std::result::Result<Blob, JsValue>;
    #[wasm_bindgen(method, js_name = arrayBuffer, catch)]
    fn array_buffer(this: &Blob) -> std::result::Result<Promise, JsValue>;

    #[wasm_bindgen(js_name = FileReaderSync)]
    type SyncReader;
    #[wasm_bindgen(constructor, js_class = FileReaderSync, catch)]
    fn new() -> std::result::Result<SyncReader, JsValue>;
    #[wasm_bindgen(method, js_name = readAsArrayBuffer, catch)]
    fn read(this: &SyncReader, blob: &Blob) -> std::result::Result<JsValue, JsValue>;
}

fn failed(thrown: &JsValue) -> Error {
    Error::other(words(thrown))
}

/// Joins parts (blobs and byte arrays) to one blob.
fn joined(parts: &Array, media_type: &str) -> std::result::Result<Blob, JsValue> {
    let options = Object::new();
    Reflect::set(&options, &"type".into(), &media_type.into())?;
    Blob::make(parts, &options)
}

/// Makes a blob of these bytes.
pub(super) fn blob(bytes: &[u8], media_type: &str) -> Result<Blob> {
    joined(&Array::of1(&Uint8Array::from(bytes)), media_type).map_err(|thrown| failed(&thrown))
}

/// How many bytes a blob has.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a size is a whole positive number below 2^53"
)]
pub(super) fn size_of(blob: &Blob) -> u64 {
    blob.size() as u64
}

/// All bytes of a blob.
pub(super) async fn read(blob: &Blob) -> std::result::Result<Vec<u8>, String> {
    let reading = blob.array_buffer().map_err(|thrown| words(&thrown))?;
    let buffer = JsFuture::from(reading)
        .await
        .map_err(|thrown| words(&thrown))?;
    Ok(Uint8Array::new(&buffer).to_vec())
}

/// All bytes of a blob, at once and without waiting.
pub(super) fn read_now(blob: &Blob) -> Result<Vec<u8>> {
    let reader = SyncReader::new().map_err(|thrown| failed(&thrown))?;
    let buffer = reader.read(blob).map_err(|thrown| failed(&thrown))?;
    Ok(Uint8Array::new(&buffer).to_vec())
}

/// A blob as a file to read.
pub(super) struct BlobReader {
    blob: Blob,
    size: u64,
    at: u64,
}

impl BlobReader {
    /// Reads from the beginning.
    pub(super) fn new(blob: Blob) -> Self {
        let size = size_of(&blob);
        Self { blob, size, at: 0 }
    }
}

impl Read for BlobReader {
    fn read(&mut self, into: &mut [u8]) -> Result<usize> {
        let left = self.size.saturating_sub(self.at);
        let n = left.min(into.len() as u64);
        if n == 0 {
            return Ok(0);
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "sizes of files lie far below 2^53"
        )]
        let slice = self
            .blob
            .slice(self.at as f64, (self.at + n) as f64)
            .map_err(|thrown| failed(&thrown))?;
        let bytes = read_now(&slice)?;
        let got = bytes.len().min(into.len());
        if let (Some(to), Some(from)) = (into.get_mut(..got), bytes.get(..got)) {
            to.copy_from_slice(from);
        }
        self.at += got as u64;
        Ok(got)
    }
}

impl Seek for BlobReader {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        let at = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::End(by) => self.size.checked_add_signed(by),
            SeekFrom::Current(by) => self.at.checked_add_signed(by),
        };
        self.at = at.ok_or_else(|| Error::new(ErrorKind::InvalidInput, "before the beginning"))?;
        Ok(self.at)
    }
}

/// So much stays in memory, where a writer may still go back to it.
const KEPT: usize = 64 << 20;

/// A file that is written into a blob: what lies far behind is handed to the browser.
#[derive(Default)]
pub(super) struct BlobWriter {
    parts: Array,
    /// Where the kept bytes begin.
    base: u64,
    kept: Vec<u8>,
    /// Where the next byte goes, from the beginning of the file.
    at: u64,
}

impl BlobWriter {
    /// The file as a blob.
    pub(super) fn finish(mut self, media_type: &str) -> Result<Blob> {
        self.hand_over(self.kept.len())?;
        joined(&self.parts, media_type).map_err(|thrown| failed(&thrown))
    }

    /// Writes over bytes that were handed over: the parts that they lie in are cut and put together anew.
    fn amend(&mut self, bytes: &[u8]) -> std::result::Result<usize, JsValue> {
        let mut start = 0.0;
        #[expect(
            clippy::cast_precision_loss,
            reason = "sizes of files lie far below 2^53"
        )]
        let at = self.at as f64;
        for idx in 0..self.parts.length() {
            let part: Blob = self.parts.get(idx).dyn_into()?;
            let end = start + part.size();
            if at < end {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a part is far smaller than 2^32 bytes, and larger than nothing"
                )]
                let n = bytes.len().min((end - at) as usize);
                let fresh = Uint8Array::from(bytes.get(..n).unwrap_or(bytes));
                let cut = Array::of3(
                    &part.slice(0.0, at - start)?.into(),
                    &fresh.clone().into(),
                    &part
                        .slice(at - start + f64::from(fresh.length()), part.size())?
                        .into(),
                );
                self.parts.set(idx, joined(&cut, "")?.into());
                self.at += n as u64;
                return Ok(n);
            }
            start = end;
        }
        Err(JsValue::from_str("that part of the file is not there"))
    }

    fn hand_over(&mut self, n: usize) -> Result<()> {
        if n == 0 {
            return Ok(());
        }
        let rest = self.kept.split_off(n);
        // As a blob the bytes may lie wherever the browser likes; as an array they would be memory.
        self.parts.push(&blob(&self.kept, "")?.into());
        self.base += n as u64;
        self.kept = rest;
        Ok(())
    }
}

impl Write for BlobWriter {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        let Some(start) = self.at.checked_sub(self.base) else {
            return self.amend(bytes).map_err(|thrown| failed(&thrown));
        };
        let start = usize::try_from(start).map_err(Error::other)?;
        let end = start + bytes.len();
        if self.kept.len() < end {
            self.kept.resize(end, 0);
        }
        if let Some(to) = self.kept.get_mut(start..end) {
            to.copy_from_slice(bytes);
        }
        self.at += bytes.len() as u64;
        if self.kept.len() > 2 * KEPT && end == self.kept.len() {
            self.hand_over(self.kept.len() - KEPT)?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> Result<()> {
        Ok(())
    }
}

impl Seek for BlobWriter {
    fn seek(&mut self, to: SeekFrom) -> Result<u64> {
        let end = self.base + self.kept.len() as u64;
        let at = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::End(by) => end.checked_add_signed(by),
            SeekFrom::Current(by) => self.at.checked_add_signed(by),
        };
        self.at = at.ok_or_else(|| Error::new(ErrorKind::InvalidInput, "before the beginning"))?;
        Ok(self.at)
    }
}
