//! Files: read and written step by step, as a worker may, so that a large one never lies in memory whole.

use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};

use garboard_blob::joined;
use js_sys::{Array, Uint8Array};
use wasm_bindgen::prelude::*;

use super::words;

pub use garboard_blob::Blob;

pub(super) use garboard_blob::size_of;

fn failed(thrown: &JsValue) -> Error {
    Error::other(words(thrown))
}

/// Makes a blob of these bytes.
pub(super) fn blob(bytes: &[u8], media_type: &str) -> Result<Blob> {
    garboard_blob::made(bytes, media_type).map_err(|thrown| failed(&thrown))
}

/// All bytes of a blob.
pub(super) async fn read(blob: &Blob) -> std::result::Result<Vec<u8>, String> {
    garboard_blob::read(blob)
        .await
        .map_err(|thrown| words(&thrown))
}

/// All bytes of a blob, at once and without waiting.
pub(super) fn read_now(blob: &Blob) -> Result<Vec<u8>> {
    garboard_blob::read_now(blob).map_err(|thrown| failed(&thrown))
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
        let slice = self
            .blob
            .slice(self.at, self.at + n)
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
const KEPT: usize = 4 << 20;

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
        let mut start = 0;
        for idx in 0..self.parts.length() {
            let part: Blob = self.parts.get(idx).dyn_into()?;
            let (size, within) = (size_of(&part), self.at - start);
            if within < size {
                let n = bytes
                    .len()
                    .min(usize::try_from(size - within).unwrap_or(usize::MAX));
                let fresh = Uint8Array::from(bytes.get(..n).unwrap_or(bytes));
                let cut = Array::of3(
                    &part.slice(0, within)?.into(),
                    &fresh.into(),
                    &part.slice(within + n as u64, size)?.into(),
                );
                self.parts.set(idx, joined(&cut, "")?.into());
                self.at += n as u64;
                return Ok(n);
            }
            start += size;
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
