//! Which pictures go along.

use std::collections::BTreeMap;

use garboard_record::word::Size as Rendition;
use garboard_record::{Body, Digest, Index, Snapshot};

use crate::{Manifest, PictureName, Size};

/// Which sizes of pictures go along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pictures {
    /// Thumbnails only.
    Thumbnails,
    /// Thumbnails and views.
    Views,
    /// Every size, and sound notes and papers too.
    Originals,
}

/// The pictures that go along, in order of their digests: those of the chosen sizes that the log names,
/// less what was withdrawn and what the receiver has already.
///
/// `size_of` gives the size in bytes of what this device holds, and nothing for what it lacks.
#[must_use]
pub fn pictures(
    snapshot: &Snapshot,
    index: &Index,
    sizes: Pictures,
    since: Option<&Manifest>,
    size_of: impl Fn(Digest) -> Option<u64>,
) -> Vec<PictureName> {
    let mut chosen: BTreeMap<Digest, PictureName> = BTreeMap::new();
    let mut add = |digest: Option<Digest>, size: Size, media_type: &str| {
        let Some(digest) = digest.filter(|digest| !snapshot.is_withdrawn(*digest)) else {
            return;
        };
        if since.is_some_and(|manifest| manifest.holds.contains(&digest)) {
            return;
        }
        if let Some(bytes) = size_of(digest) {
            chosen.entry(digest).or_insert_with(|| PictureName {
                digest,
                bytes,
                size,
                media_type: media_type.to_owned(),
            });
        }
    };
    for entry in snapshot.entries() {
        match &entry.body {
            Body::Photograph(photograph) => {
                let withdrawn = photograph
                    .digest
                    .is_some_and(|digest| snapshot.is_withdrawn(digest));
                let rendition = |size: &Rendition| {
                    index
                        .rendition(snapshot, entry.id, size)
                        .filter(|_| !withdrawn)
                        .and_then(|r| r.digest)
                };
                add(
                    rendition(&Rendition::Thumbnail),
                    Size::Thumbnail,
                    "image/jpeg",
                );
                if sizes >= Pictures::Views {
                    add(rendition(&Rendition::View), Size::View, "image/jpeg");
                }
                if sizes >= Pictures::Originals {
                    add(
                        photograph.digest,
                        Size::Original,
                        photograph
                            .media_type
                            .as_deref()
                            .unwrap_or("application/octet-stream"),
                    );
                }
            }
            Body::SoundNote(sound) if sizes >= Pictures::Originals => add(
                sound.digest,
                Size::Original,
                sound
                    .media_type
                    .as_deref()
                    .unwrap_or("application/octet-stream"),
            ),
            Body::Paper(paper) if sizes >= Pictures::Originals => add(
                paper.digest,
                Size::Original,
                paper
                    .media_type
                    .as_deref()
                    .unwrap_or("application/octet-stream"),
            ),
            _ => {}
        }
    }
    chosen.into_values().collect()
}
