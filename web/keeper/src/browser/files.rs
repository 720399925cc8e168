//! Files and blobs, with the keeper's own errors; digests in slices.

use garboard_record::Digest;

use super::{Error, OrError as _};

pub(crate) use garboard_blob::{Blob, size_of};

const SLICE: u64 = 4_194_304;

/// Makes a blob of these bytes.
pub(crate) fn blob(bytes: &[u8], media_type: &str) -> Result<Blob, Error> {
    garboard_blob::made(bytes, media_type).or_error()
}

/// Joins blobs to one.
pub(crate) fn joined<'a>(
    parts: impl IntoIterator<Item = &'a Blob>,
    media_type: &str,
) -> Result<Blob, Error> {
    garboard_blob::joined(&parts.into_iter().collect(), media_type).or_error()
}

/// A part of a blob.
pub(crate) fn slice(blob: &Blob, from: u64, to: u64) -> Result<Blob, Error> {
    blob.slice(from, to).or_error()
}

/// All its bytes.
pub(crate) async fn read(blob: &Blob) -> Result<Vec<u8>, Error> {
    garboard_blob::read(blob).await.or_error()
}

/// The SHA-256 of its bytes, read slice by slice so that a large picture never lies in memory whole.
pub(crate) async fn digest(blob: &Blob) -> Result<Digest, Error> {
    let size = size_of(blob);
    let mut sum = garboard_photo::Hasher::new();
    let mut at = 0;
    while at < size {
        let to = (at + SLICE).min(size);
        sum.update(&read(&slice(blob, at, to)?).await?);
        at = to;
    }
    sum.finish()
        .parse()
        .map_err(|error: garboard_record::Error| Error::new("Error", &error.to_string()))
}
