//! Writing a parcel.

use std::io::{Seek, Write};

use garboard_log::Chunk;
use garboard_record::{Digest, Id, When, small};
use zip::write::SimpleFileOptions;

use crate::error::of_write;
use crate::{Error, FORMAT, Manifest, PartName, PictureName};

/// What goes into a parcel.
#[derive(Debug, Clone)]
pub struct Contents {
    /// The log.
    pub log: Id,
    /// The boat's name.
    pub boat: String,
    /// The device that makes it.
    pub device: Option<Id>,
    /// When.
    pub written: When,
    /// The heads of the document.
    pub heads: Vec<String>,
    /// Every picture that this device has.
    pub holds: Vec<Digest>,
    /// The chunks.
    pub chunks: Vec<Chunk>,
    /// The pictures.
    pub pictures: Vec<PictureName>,
    /// Which part of how many.
    pub part: (u64, u64),
}

impl Contents {
    /// What a manifest describes, with its chunks at hand.
    #[must_use]
    pub fn of(manifest: Manifest, chunks: Vec<(Digest, Vec<u8>)>) -> Self {
        Self {
            log: manifest.log,
            boat: manifest.boat,
            device: manifest.device,
            written: manifest.written,
            heads: manifest.heads,
            holds: manifest.holds,
            chunks: chunks
                .into_iter()
                .map(|(name, bytes)| Chunk { name, bytes })
                .collect(),
            pictures: manifest.pictures,
            part: manifest.part,
        }
    }

    /// What the parcel says of itself: chunks in order of their names, pictures in order of their digests.
    #[must_use]
    pub fn manifest(&self) -> Manifest {
        let mut chunks: Vec<PartName> = self
            .chunks
            .iter()
            .map(|chunk| PartName {
                digest: chunk.name,
                bytes: chunk.bytes.len() as u64,
            })
            .collect();
        small::sort(&mut chunks);
        chunks.dedup();
        let mut pictures = self.pictures.clone();
        small::sort(&mut pictures);
        Manifest {
            garboard: "parcel".to_owned(),
            format: FORMAT,
            log: self.log,
            boat: self.boat.clone(),
            device: self.device,
            written: self.written.clone(),
            heads: self.heads.clone(),
            holds: self.holds.clone(),
            chunks,
            pictures,
            part: self.part,
        }
    }
}

/// Splits a parcel so that no file holds more than about `most_bytes`.
///
/// All chunks go into the first part, pictures fill up the parts in the order of their digests. Every part can be received alone and in any order.
#[must_use]
pub fn parts(whole: &Contents, most_bytes: u64) -> Vec<Contents> {
    let mut files: Vec<Vec<PictureName>> = vec![Vec::new()];
    let mut room = most_bytes.saturating_sub(
        whole
            .chunks
            .iter()
            .map(|chunk| chunk.bytes.len() as u64)
            .sum(),
    );
    for picture in &whole.pictures {
        if picture.bytes > room && files.last().is_some_and(|file| !file.is_empty()) {
            files.push(Vec::new());
            room = most_bytes;
        }
        room = room.saturating_sub(picture.bytes);
        if let Some(file) = files.last_mut() {
            file.push(picture.clone());
        }
    }
    let of = files.len() as u64;
    files
        .into_iter()
        .zip(1..)
        .map(|(pictures, number)| Contents {
            pictures,
            part: (number, of),
            chunks: if number == 1 {
                whole.chunks.clone()
            } else {
                Vec::new()
            },
            ..whole.clone()
        })
        .collect()
}

/// Writes a parcel; the same contents give the same bytes.
///
/// `fetch` gives the bytes of a picture by its digest; `progress` hears how many bytes of pictures are done.
///
/// # Errors
///
/// - [`Error::Write`] when the target or `fetch` fails; throw away what was written
/// - [`Error::Altered`] when a picture's bytes do not have its digest
pub fn write<W: Write + Seek>(
    contents: &Contents,
    to: W,
    mut fetch: impl FnMut(Digest) -> std::io::Result<Vec<u8>>,
    mut progress: impl FnMut(u64),
) -> Result<W, Error> {
    let said = contents.manifest();
    let (chunks, pictures) = (&said.chunks, &said.pictures);
    let manifest = said.to_json();
    let mut sums = format!("{}  manifest.json\n", Digest::of(manifest.as_bytes()));
    for chunk in chunks {
        sums.push_str(&format!("{}  {}\n", chunk.digest, chunk.path()));
    }
    for picture in pictures {
        sums.push_str(&format!("{}  {}\n", picture.digest, picture.path()));
    }
    let mut zip = zip::ZipWriter::new(to);
    let options = SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Stored)
        .last_modified_time(zip::DateTime::default())
        .unix_permissions(0o644);
    let mut put = |name: &str, bytes: &[u8]| -> Result<(), Error> {
        zip.start_file(name, options).map_err(of_write)?;
        zip.write_all(bytes)?;
        Ok(())
    };
    put("READ-ME.txt", read_me(contents).as_bytes())?;
    put("manifest.json", manifest.as_bytes())?;
    put("SHA256SUMS", sums.as_bytes())?;
    for name in chunks {
        if let Some(chunk) = contents
            .chunks
            .iter()
            .find(|chunk| chunk.name == name.digest)
        {
            put(&name.path(), &chunk.bytes)?;
        }
    }
    let mut done = 0;
    for picture in pictures {
        let bytes = fetch(picture.digest)?;
        if Digest::of(&bytes) != picture.digest {
            return Err(Error::Altered {
                name: picture.path(),
            });
        }
        put(&picture.path(), &bytes)?;
        done += bytes.len() as u64;
        progress(done);
    }
    zip.finish().map_err(of_write)
}

fn read_me(contents: &Contents) -> String {
    let (number, of) = contents.part;
    let part = if of > 1 {
        format!("This is part {number} of {of}; each can be received alone, in any order.\n")
    } else {
        String::new()
    };
    format!(
        "A parcel of the log of the boat {}.\n\nReceive it in Garboard on another device: Share, then Receive a parcel;\nor on a computer: garboard merge FOLDER THIS-FILE\n{part}\n\
         chunks/       the log's statements\nphotographs/  pictures, each named by its SHA-256\nmanifest.json what is in here\nSHA256SUMS    check with: sha256sum -c SHA256SUMS\n",
        contents.boat
    )
}
