//! Files read and written step by step, as a worker may: a parcel never lies in memory whole.

use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};

use js_sys::{Array, Uint8Array};
use wasm_bindgen::prelude::*;

use super::files::{self, Blob};

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = FileReaderSync)]
    type SyncReader;
    #[wasm_bindgen(constructor, js_class = FileReaderSync, catch)]
    fn new() -> std::result::Result<SyncReader, JsValue>;
    #[wasm_bindgen(method, js_name = readAsArrayBuffer, catch)]
    fn read(this: &SyncReader, blob: &Blob) -> std::result::Result<JsValue, JsValue>;
}

fn failed(thrown: &JsValue) -> Error {
    Error::other(super::Error::of(thrown).to_string())
}

/// All bytes of a blob, at once and without waiting.
pub(crate) fn read_now(blob: &Blob) -> Result<Vec<u8>> {
    let reader = SyncReader::new().map_err(|thrown| failed(&thrown))?;
    let buffer = reader.read(blob).map_err(|thrown| failed(&thrown))?;
    Ok(Uint8Array::new(&buffer).to_vec())
}

/// A blob as a file to read.
pub(crate) struct BlobReader {
    blob: Blob,
    size: u64,
    at: u64,
}

impl BlobReader {
    /// Reads from the beginning.
    pub(crate) fn new(blob: Blob) -> Self {
        let size = files::size_of(&blob);
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
        let slice = files::slice(&self.blob, self.at, self.at + n)
            .map_err(|error| Error::other(error.to_string()))?;
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
pub(crate) struct BlobWriter {
    parts: Array,
    /// Where the kept bytes begin.
    base: u64,
    kept: Vec<u8>,
    /// Where the next byte goes, from the beginning of the file.
    at: u64,
}

impl BlobWriter {
    /// The file as a blob.
    pub(crate) fn finish(mut self, media_type: &str) -> std::result::Result<Blob, super::Error> {
        self.hand_over(self.kept.len());
        files::joined(&self.parts, media_type)
    }

    fn hand_over(&mut self, n: usize) {
        if n == 0 {
            return;
        }
        let rest = self.kept.split_off(n);
        // As a blob the bytes may lie wherever the browser likes; as an array they would be memory.
        let part = files::blob(&self.kept, "").map_or_else(
            |_| JsValue::from(Uint8Array::from(self.kept.as_slice())),
            JsValue::from,
        );
        self.parts.push(&part);
        self.base += n as u64;
        self.kept = rest;
    }
}

impl Write for BlobWriter {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        let start = self
            .at
            .checked_sub(self.base)
            .and_then(|start| usize::try_from(start).ok())
            .ok_or_else(|| Error::other("that part of the file was handed over already"))?;
        let end = start + bytes.len();
        if self.kept.len() < end {
            self.kept.resize(end, 0);
        }
        if let Some(to) = self.kept.get_mut(start..end) {
            to.copy_from_slice(bytes);
        }
        self.at += bytes.len() as u64;
        if self.kept.len() > 2 * KEPT && end == self.kept.len() {
            self.hand_over(self.kept.len() - KEPT);
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
