//! Reading a parcel: everything is checked before anything is taken in.

use std::io::{Read, Seek, Write};

use garboard_log::{Log, MAX_CHUNK_BYTES};
use garboard_photo::Hasher;
use garboard_record::{Digest, Snapshot};
use zip::result::ZipError;

use crate::{Error, Manifest, PictureName};

/// The most bytes that a manifest may have.
const MAX_MANIFEST_BYTES: u64 = 64 << 20;
/// The most bytes that a picture or sound may have.
const MAX_PICTURE_BYTES: u64 = 1 << 30;

/// A parcel that is being read.
pub struct Reader<R> {
    zip: zip::ZipArchive<R>,
    manifest: Manifest,
}

impl<R: Read + Seek> Reader<R> {
    /// Opens a parcel and reads its manifest.
    ///
    /// # Errors
    ///
    /// - [`Error::NotZip`], [`Error::NotParcel`], [`Error::Manifest`], [`Error::Future`]
    pub fn open(from: R) -> Result<Self, Error> {
        let mut zip = zip::ZipArchive::new(from).map_err(|source| Error::NotZip {
            source: Box::new(source),
        })?;
        let mut text = Vec::new();
        {
            let part = zip
                .by_name("manifest.json")
                .map_err(|source| match source {
                    ZipError::FileNotFound => Error::NotParcel {
                        missing: "manifest.json",
                    },
                    other => Error::NotZip {
                        source: Box::new(other),
                    },
                })?;
            must_be_stored(&part)?;
            if part.size() > MAX_MANIFEST_BYTES {
                return Err(Error::TooLarge {
                    name: "manifest.json".to_owned(),
                    bytes: part.size(),
                });
            }
            part.take(MAX_MANIFEST_BYTES)
                .read_to_end(&mut text)
                .map_err(|cause| Error::NotZip {
                    source: Box::new(ZipError::Io(cause)),
                })?;
        }
        let manifest = Manifest::from_json(&text)?;
        Ok(Self { zip, manifest })
    }

    /// What the parcel says of itself.
    #[must_use]
    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// Refuses a parcel of another boat's log.
    ///
    /// # Errors
    ///
    /// - [`Error::OtherBoat`], with both names
    pub fn check_boat(&self, snapshot: &Snapshot) -> Result<(), Error> {
        if snapshot.log_id().is_none_or(|log| log == self.manifest.log) {
            return Ok(());
        }
        Err(Error::OtherBoat {
            theirs: self.manifest.boat.clone(),
            ours: snapshot.boat_name().to_owned(),
        })
    }

    /// Checks every part against its digest, and every chunk's form. `progress` hears the bytes done.
    ///
    /// # Errors
    ///
    /// - [`Error::Altered`], [`Error::Missing`], [`Error::TooLarge`], [`Error::Chunk`]
    pub fn check(&mut self, mut progress: impl FnMut(u64)) -> Result<(), Error> {
        let mut done = 0;
        for chunk in self.manifest.chunks.clone() {
            let bytes = self.part(&chunk.path(), chunk.digest, MAX_CHUNK_BYTES as u64)?;
            Log::check_chunk(chunk.digest, &bytes).map_err(|source| Error::Chunk {
                name: chunk.digest,
                source: Box::new(source),
            })?;
            done += bytes.len() as u64;
            progress(done);
        }
        for picture in self.manifest.pictures.clone() {
            done += self.copy_part(&picture.path(), picture.digest, &mut std::io::sink())?;
            progress(done);
        }
        Ok(())
    }

    /// The chunks, checked, in order of their names.
    ///
    /// # Errors
    ///
    /// - [`Error::Altered`], [`Error::Missing`], [`Error::TooLarge`]
    pub fn chunks(&mut self) -> Result<Vec<(Digest, Vec<u8>)>, Error> {
        self.manifest
            .chunks
            .clone()
            .into_iter()
            .map(|chunk| {
                Ok((
                    chunk.digest,
                    self.part(&chunk.path(), chunk.digest, MAX_CHUNK_BYTES as u64)?,
                ))
            })
            .collect()
    }

    /// The bytes of one picture, checked.
    ///
    /// # Errors
    ///
    /// - [`Error::Altered`], [`Error::Missing`], [`Error::TooLarge`]
    pub fn picture(&mut self, picture: &PictureName) -> Result<Vec<u8>, Error> {
        self.part(&picture.path(), picture.digest, MAX_PICTURE_BYTES)
    }

    fn part(&mut self, name: &str, digest: Digest, most: u64) -> Result<Vec<u8>, Error> {
        let part = self
            .zip
            .by_name(name)
            .map_err(|cause| of_part(cause, name))?;
        must_be_stored(&part)?;
        if part.size() > most {
            return Err(Error::TooLarge {
                name: name.to_owned(),
                bytes: part.size(),
            });
        }
        let mut bytes = Vec::new();
        part.take(most)
            .read_to_end(&mut bytes)
            .map_err(|_cut| Error::Altered {
                name: name.to_owned(),
            })?;
        if Digest::of(&bytes) != digest {
            return Err(Error::Altered {
                name: name.to_owned(),
            });
        }
        Ok(bytes)
    }

    fn copy_part(&mut self, name: &str, digest: Digest, to: &mut impl Write) -> Result<u64, Error> {
        let altered = || Error::Altered {
            name: name.to_owned(),
        };
        let mut part = self
            .zip
            .by_name(name)
            .map_err(|cause| of_part(cause, name))?;
        must_be_stored(&part)?;
        if part.size() > MAX_PICTURE_BYTES {
            return Err(Error::TooLarge {
                name: name.to_owned(),
                bytes: part.size(),
            });
        }
        let mut hasher = Hasher::new();
        let mut buffer = vec![0; 64 << 10];
        let mut done = 0;
        loop {
            let n = part.read(&mut buffer).map_err(|_cut| altered())?;
            let slice = buffer.get(..n).unwrap_or_default();
            if slice.is_empty() {
                break;
            }
            hasher.update(slice);
            to.write_all(slice)?;
            done += n as u64;
        }
        if hasher.finish() != digest.to_string() {
            return Err(altered());
        }
        Ok(done)
    }
}

/// A parcel is read into memory part by part, and its parts are as large as they say: nothing in it is unpacked.
fn must_be_stored<R: Read>(part: &zip::read::ZipFile<'_, R>) -> Result<(), Error> {
    if part.compression() == zip::CompressionMethod::Stored {
        Ok(())
    } else {
        Err(Error::Compressed)
    }
}

fn of_part(cause: ZipError, name: &str) -> Error {
    match cause {
        ZipError::FileNotFound => Error::Missing {
            name: name.to_owned(),
        },
        ZipError::UnsupportedArchive(_) | ZipError::InvalidArchive(_) => Error::Altered {
            name: name.to_owned(),
        },
        source => Error::NotZip {
            source: Box::new(source),
        },
    }
}
