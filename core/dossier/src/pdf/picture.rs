//! Pictures on paper. While sheets are drawn, a picture is stood for by its own head alone, and its bytes are put in its place when
//! the file is written: however many there are, one at a time lies in memory.

use std::collections::BTreeMap;

use garboard_record::Digest;
use krilla::Data;
use krilla::image::Image;
use memchr::memmem;

use super::Error;

/// What begins the comment by which a head is found in the file; the picture's digest follows.
const NOTE: &[u8] = b"stands for the picture ";
/// A digest in hexadecimal digits.
const DIGITS: usize = 64;

/// A picture's head, which stands for it.
pub(super) struct Stand {
    head: Vec<u8>,
    n_bytes: u64,
}

/// A stretch of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Bytes(Vec<u8>),
    Picture { digest: Digest, n_bytes: u64 },
}

/// The pictures at hand, by what stands for them.
#[derive(Default)]
pub(super) struct Pictures {
    pub(super) images: BTreeMap<Digest, Image>,
    stands: BTreeMap<Digest, Stand>,
}

impl Pictures {
    /// Takes a picture in; false when it cannot be read.
    pub(super) fn take(&mut self, digest: Digest, bytes: Vec<u8>) -> bool {
        let n_bytes = bytes.len() as u64;
        let head = head(digest, &bytes).filter(|head| head.len() < bytes.len());
        let image = match &head {
            Some(head) => Image::from_jpeg(Data::from(head.clone()), false),
            // What is laid out unlike other pictures goes in as it is.
            None => Image::from_jpeg(Data::from(bytes), false),
        };
        let Ok(image) = image else { return false };
        self.images.insert(digest, image);
        if let Some(head) = head {
            self.stands.insert(digest, Stand { head, n_bytes });
        }
        true
    }

    /// The file in parts, with each picture in the place of its head, and lengths and offsets as they are then.
    pub(super) fn placed(&self, file: Vec<u8>) -> Result<Vec<Part>, Error> {
        let places = self.places(&file)?;
        if places.is_empty() {
            return Ok(vec![Part::Bytes(file)]);
        }
        let refused = |what: &str| Error::Refused {
            why: format!("{what} of the file cannot be found"),
        };
        let table = Table::of(&file).ok_or_else(|| refused("the table of offsets"))?;
        // What stands at an offset moves by as much as everything before it grows.
        let moved = |offset: usize| {
            places
                .iter()
                .take_while(|place| place.length.0 < offset)
                .fold(offset as u64, |sum, place| {
                    sum + place.n_bytes - place.head.len() as u64
                        + place.n_bytes.to_string().len() as u64
                        - (place.length.1 - place.length.0) as u64
                })
        };
        let mut out = Vec::new();
        let mut from = 0;
        let piece = |from: usize, to: usize| {
            let bytes = file.get(from..to).map(<[u8]>::to_vec);
            bytes.ok_or_else(|| refused("a part"))
        };
        for place in &places {
            let mut bytes = piece(from, place.length.0)?;
            bytes.extend(place.n_bytes.to_string().bytes());
            bytes.extend(piece(place.length.1, place.head.start)?);
            out.push(Part::Bytes(bytes));
            out.push(Part::Picture {
                digest: place.digest,
                n_bytes: place.n_bytes,
            });
            from = place.head.end;
        }
        let mut rest = piece(from, table.entries)?;
        for offset in &table.offsets {
            match offset {
                Some(offset) => {
                    rest.extend(format!("{:010} 00000 n\r\n", moved(*offset)).bytes());
                }
                None => rest.extend(b"0000000000 65535 f\r\n"),
            }
        }
        rest.extend(piece(table.end, table.start_offset.0)?);
        rest.extend(moved(table.at).to_string().bytes());
        rest.extend(piece(table.start_offset.1, file.len())?);
        out.push(Part::Bytes(rest));
        Ok(out)
    }

    /// Where the heads lie, in the order of the file. Each picture that stands in it stands in it once.
    fn places(&self, file: &[u8]) -> Result<Vec<Place>, Error> {
        let mut out: Vec<Place> = Vec::new();
        for at in memmem::find_iter(file, NOTE) {
            let digits = file.get(at + NOTE.len()..at + NOTE.len() + DIGITS);
            let digest = digits.and_then(|digits| std::str::from_utf8(digits).ok()?.parse().ok());
            let Some((digest, stand)) =
                digest.and_then(|digest: Digest| Some((digest, self.stands.get(&digest)?)))
            else {
                continue;
            };
            // Before the note lie the marks of image and comment and the comment's length.
            let start = at.saturating_sub(6);
            let head = start..start + stand.head.len();
            let length = length_before(file, start);
            let (true, Some(length)) = (
                file.get(head.clone()) == Some(stand.head.as_slice()),
                length,
            ) else {
                return Err(Error::Refused {
                    why: format!("the picture {digest} lies in the file otherwise than it should"),
                });
            };
            out.push(Place {
                digest,
                n_bytes: stand.n_bytes,
                head,
                length,
            });
        }
        Ok(out)
    }
}

/// Where a head lies in the file, and where its length is said.
struct Place {
    digest: Digest,
    n_bytes: u64,
    head: std::ops::Range<usize>,
    length: (usize, usize),
}

/// Where the digits of a stream's length stand; `start` is the stream's first byte.
fn length_before(file: &[u8], start: usize) -> Option<(usize, usize)> {
    const KEY: &[u8] = b"/Length ";
    let before = file.get(..start)?.strip_suffix(b"stream\n")?;
    let key = memmem::rfind(before, KEY)? + KEY.len();
    let n = digits(before.get(key..)?);
    (n > 0).then_some((key, key + n))
}

/// So many digits stand at the beginning.
fn digits(bytes: &[u8]) -> usize {
    bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count()
}

/// The table of offsets at a file's end (ISO 32000-1, 7.5.4).
struct Table {
    at: usize,
    /// Where its entries of twenty bytes begin and end.
    entries: usize,
    end: usize,
    offsets: Vec<Option<usize>>,
    /// Where the digits of the table's own offset stand.
    start_offset: (usize, usize),
}

impl Table {
    fn of(file: &[u8]) -> Option<Self> {
        const START: &[u8] = b"startxref\n";
        let start = memmem::rfind(file, START)? + START.len();
        let start_offset = (start, start + digits(file.get(start..)?));
        let number = |bytes: &[u8]| std::str::from_utf8(bytes).ok()?.parse::<usize>().ok();
        let at = number(file.get(start..start_offset.1)?)?;
        let count = file.get(at..)?.strip_prefix(b"xref\n0 ")?;
        let n_digits = digits(count);
        let n = number(count.get(..n_digits)?)?;
        let entries = at + 7 + n_digits + 1;
        let end = entries + n.checked_mul(20)?;
        let (rows, _) = file.get(entries..end)?.as_chunks::<20>();
        let offsets = rows.iter().map(|row| {
            let (offset, state) = row.split_at_checked(10)?;
            match state {
                b" 00000 n\r\n" => Some(Some(number(offset)?)),
                b" 65535 f\r\n" => Some(None),
                _ => None,
            }
        });
        Some(Self {
            at,
            entries,
            end,
            offsets: offsets.collect::<Option<_>>()?,
            start_offset,
        })
    }
}

/// A picture's head: all that says how to read it, with a comment in front that names it, and nothing of its pixels.
fn head(digest: Digest, bytes: &[u8]) -> Option<Vec<u8>> {
    let note = [NOTE, digest.to_string().as_bytes()].concat();
    let length = u16::try_from(note.len() + 2).ok()?.to_be_bytes();
    let mut out = [&[0xff, 0xd8, 0xff, 0xfe], length.as_slice(), &note].concat();
    let mut rest = bytes.strip_prefix(&[0xff, 0xd8])?;
    loop {
        let &[0xff, mark, high, low, ..] = rest else {
            return None;
        };
        let n = 2 + usize::from(u16::from_be_bytes([high, low]));
        let (segment, after) = rest.split_at_checked(n)?;
        match mark {
            // The start of the pixels ends the head.
            0xda => {
                out.extend(segment);
                out.extend([0xff, 0xd9]);
                return Some(out);
            }
            // How the colours are meant: JFIF, a profile, and whether they are inverted.
            0xe0 | 0xe2 | 0xee => out.extend(segment),
            // What else was noted by a camera or a program.
            0xe1..=0xef | 0xfe => {}
            0xc0..=0xfd => out.extend(segment),
            _ => return None,
        }
        rest = after;
    }
}

#[cfg(test)]
mod tests;
