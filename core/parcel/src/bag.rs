//! Bags: a folder of files with its digests, in one ZIP (BagIt 1.0, RFC 8493).
//!
//! Any unzip opens it, any BagIt tool checks it, and `sha256sum -c manifest-sha256.txt` does too.

mod read;
mod signed;

use std::collections::BTreeMap;
use std::io::{Read, Seek, Write};

use garboard_key::Sheet;
use garboard_record::Digest;
use sha2::{Digest as _, Sha256, Sha512};
use zip::write::SimpleFileOptions;

pub use read::{Checked, check, is_bag, words};
pub use signed::{Marks, marks};

use crate::Error;
use crate::error::of_write;

/// Bytes that are copied at a time, so that memory stays small whatever a file's size.
const STEP: usize = 1 << 16;

/// The tag file of signatures; tools that do not know it leave it alone (RFC 8493, section 2.2.4).
const SIGNATURES: &str = "signatures.json";
const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

/// Both digests of what passes by, in hexadecimal digits.
#[derive(Default)]
struct Digests {
    sha256: Sha256,
    sha512: Sha512,
}

impl Digests {
    fn update(&mut self, bytes: &[u8]) {
        self.sha256.update(bytes);
        self.sha512.update(bytes);
    }

    fn sums(self) -> [String; 2] {
        [hex(&self.sha256.finalize()), hex(&self.sha512.finalize())]
    }

    /// Reads to the end, step by step, hands each step on to `also`, and gives the number of bytes with both digests.
    fn of(
        mut from: impl Read,
        mut also: impl FnMut(&[u8]) -> std::io::Result<()>,
    ) -> std::io::Result<(u64, [String; 2])> {
        let mut seen = Self::default();
        let mut buffer = vec![0; STEP];
        let mut n_bytes = 0;
        loop {
            let n = from.read(&mut buffer)?;
            let Some(bytes) = buffer.get(..n).filter(|bytes| !bytes.is_empty()) else {
                return Ok((n_bytes, seen.sums()));
            };
            seen.update(bytes);
            also(bytes)?;
            n_bytes += n as u64;
        }
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A bag in the making.
pub struct Bag<W: Write + Seek> {
    zip: zip::ZipWriter<W>,
    name: String,
    /// By path within the bag.
    payload: BTreeMap<String, [String; 2]>,
    n_bytes: u64,
}

impl<W: Write + Seek> Bag<W> {
    /// Begins a bag whose folder is called `name`.
    #[must_use]
    pub fn begin(to: W, name: &str) -> Self {
        Self {
            zip: zip::ZipWriter::new(to),
            name: name.to_owned(),
            payload: BTreeMap::new(),
            n_bytes: 0,
        }
    }

    /// Puts a file into the payload, under a path like `photographs/1.jpg`; returns its size in bytes. Files of the same
    /// names in the same order give the same bag.
    ///
    /// # Errors
    ///
    /// - [`Error::Write`] when the target or `from` fails, or a path comes twice; throw away what was written
    pub fn put(&mut self, path: &str, from: impl Read) -> Result<u64, Error> {
        let path = format!("data/{path}");
        let (n_bytes, digests) = self.copy(&path, from)?;
        self.n_bytes += n_bytes;
        self.payload.insert(path, digests);
        Ok(n_bytes)
    }

    /// Writes manifests and tags, and gives the target back. `info` becomes `bag-info.txt`: labels and values, in order.
    ///
    /// # Errors
    ///
    /// - [`Error::Write`] when the target fails; throw away what was written
    pub fn finish(self, info: &[(&str, String)]) -> Result<W, Error> {
        self.finish_signed(info, |_manifest| None)
    }

    /// Does so with a sheet of signatures, which `sign` makes of the digest of the manifest of all files.
    ///
    /// # Errors
    ///
    /// - [`Error::Write`] when the target fails; throw away what was written
    pub fn finish_signed(
        mut self,
        info: &[(&str, String)],
        sign: impl FnOnce(Digest) -> Option<Sheet>,
    ) -> Result<W, Error> {
        let mut about: String = info
            .iter()
            .map(|(label, value)| format!("{label}: {}\n", one_line(value)))
            .collect();
        about.push_str(&format!(
            "Payload-Oxum: {}.{}\n",
            self.n_bytes,
            self.payload.len()
        ));
        let mut tags: BTreeMap<String, [String; 2]> = BTreeMap::new();
        let mut files = vec![
            ("bagit.txt", DECLARATION.to_owned()),
            ("bag-info.txt", about),
        ];
        for (which, name) in ["manifest-sha256.txt", "manifest-sha512.txt"]
            .into_iter()
            .enumerate()
        {
            files.push((name, lines(&self.payload, which)));
        }
        let manifest = Digest::of(lines(&self.payload, 0).as_bytes());
        if let Some(sheet) = sign(manifest) {
            files.push((SIGNATURES, sheet.to_json()));
        }
        for (name, text) in files {
            let (_, digests) = self.copy(name, text.as_bytes())?;
            tags.insert(name.to_owned(), digests);
        }
        for (which, name) in ["tagmanifest-sha256.txt", "tagmanifest-sha512.txt"]
            .into_iter()
            .enumerate()
        {
            self.copy(name, lines(&tags, which).as_bytes())?;
        }
        self.zip.finish().map_err(of_write)
    }

    /// Puts a file into the payload as [`put`](Self::put) does, as `write` writes it step by step.
    ///
    /// # Errors
    ///
    /// - [`Error::Write`] when the target or `write` fails, or a path comes twice; throw away what was written
    pub fn put_written(
        &mut self,
        path: &str,
        write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
    ) -> Result<u64, Error> {
        let path = format!("data/{path}");
        self.start(&path)?;
        let mut to = Passing {
            to: &mut self.zip,
            seen: Digests::default(),
            n_bytes: 0,
        };
        write(&mut to)?;
        let (n_bytes, digests) = (to.n_bytes, to.seen.sums());
        self.n_bytes += n_bytes;
        self.payload.insert(path, digests);
        Ok(n_bytes)
    }

    fn copy(&mut self, path: &str, from: impl Read) -> Result<(u64, [String; 2]), Error> {
        self.start(path)?;
        Ok(Digests::of(from, |bytes| self.zip.write_all(bytes))?)
    }

    fn start(&mut self, path: &str) -> Result<(), Error> {
        let options = SimpleFileOptions::default()
            .compression_method(zip::CompressionMethod::Stored)
            .last_modified_time(zip::DateTime::default())
            .large_file(true)
            .unix_permissions(0o644);
        let name = format!("{}/{path}", self.name);
        self.zip.start_file(name, options).map_err(of_write)
    }
}

/// A file on its way into the ZIP, with its digests.
struct Passing<'a, W: Write + Seek> {
    to: &'a mut zip::ZipWriter<W>,
    seen: Digests,
    n_bytes: u64,
}

impl<W: Write + Seek> Write for Passing<'_, W> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        let n = self.to.write(bytes)?;
        let written = bytes.get(..n).unwrap_or_default();
        self.seen.update(written);
        self.n_bytes += n as u64;
        Ok(n)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.to.flush()
    }
}

fn lines(files: &BTreeMap<String, [String; 2]>, which: usize) -> String {
    files
        .iter()
        .filter_map(|(path, digests)| Some(format!("{}  {}\n", digests.get(which)?, escaped(path))))
        .collect()
}

/// A path as manifests write it (RFC 8493, section 2.1.3).
fn escaped(path: &str) -> String {
    path.replace('%', "%25")
        .replace('\n', "%0A")
        .replace('\r', "%0D")
}

fn one_line(value: &str) -> String {
    value.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests;
