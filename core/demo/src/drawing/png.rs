//! A PNG with a palette, written here so that its bytes are the same on every machine.
//!
//! ISO/IEC 15948 for the chunks, RFC 1950 and 1951 for the compression: fixed Huffman codes, and matches against the last few
//! thousand bytes.

use std::collections::BTreeMap;

use super::mask::len;
use super::sheet::Colour;

/// Writes a picture; colours beyond 256 become the nearest of the 256 most used.
pub(super) fn write(pixels: &[Colour], size: (i32, i32)) -> Vec<u8> {
    let (palette, places) = palette(pixels);
    let mut rows = Vec::with_capacity(pixels.len() + len(size.1));
    // Most pixels have the colour of the one before them.
    let mut last = (pixels.first().copied().unwrap_or_default(), 0);
    last.1 = places.get(&last.0).copied().unwrap_or(0);
    for row in pixels.chunks_exact(len(size.0).max(1)) {
        // No filter: a palette's numbers have no slope.
        rows.push(0);
        for colour in row {
            if *colour != last.0 {
                last = (*colour, places.get(colour).copied().unwrap_or(0));
            }
            rows.push(last.1);
        }
    }
    let mut head = Vec::new();
    head.extend(size.0.to_be_bytes());
    head.extend(size.1.to_be_bytes());
    head.extend([8, 3, 0, 0, 0]);
    let mut out = b"\x89PNG\r\n\x1a\n".to_vec();
    chunk(&mut out, b"IHDR", &head);
    chunk(&mut out, b"PLTE", palette.as_flattened());
    chunk(&mut out, b"IDAT", &zlib(&rows));
    chunk(&mut out, b"IEND", &[]);
    out
}

/// The colours of the palette, and each colour's place in it.
fn palette(pixels: &[Colour]) -> (Vec<Colour>, BTreeMap<Colour, u8>) {
    let mut counts: BTreeMap<Colour, u32> = BTreeMap::new();
    for run in pixels.chunk_by(|a, b| a == b) {
        if let Some(colour) = run.first() {
            *counts.entry(*colour).or_default() += u32::try_from(run.len()).unwrap_or(u32::MAX);
        }
    }
    let mut by_use: Vec<(u32, Colour)> = counts.iter().map(|(colour, n)| (*n, *colour)).collect();
    by_use.sort_unstable_by(|a, b| b.cmp(a));
    let palette: Vec<Colour> = by_use.iter().take(256).map(|(_, colour)| *colour).collect();
    let far = |a: &Colour, b: &Colour| -> u32 {
        a.iter()
            .zip(b)
            .map(|(a, b)| u32::from(a.abs_diff(*b)).pow(2))
            .sum()
    };
    let places = counts
        .keys()
        .map(|colour| {
            let nearest = palette
                .iter()
                .enumerate()
                .min_by_key(|(_, own)| far(own, colour));
            let place = nearest.and_then(|(place, _)| u8::try_from(place).ok());
            (*colour, place.unwrap_or(0))
        })
        .collect();
    (palette, places)
}

/// Writes a chunk with its length and checksum.
fn chunk(out: &mut Vec<u8>, name: &[u8; 4], data: &[u8]) {
    out.extend(u32::try_from(data.len()).unwrap_or(0).to_be_bytes());
    out.extend(name);
    out.extend(data);
    let mut crc = u32::MAX;
    for byte in name.iter().chain(data) {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = (crc >> 1) ^ (0xEDB8_8320 * (crc & 1));
        }
    }
    out.extend((crc ^ u32::MAX).to_be_bytes());
}

/// Bits, lowest first.
struct Bits {
    out: Vec<u8>,
    held: u32,
    n_held: u32,
}

impl Bits {
    /// Writes the lowest `n` bits of a value, at most 16.
    fn put(&mut self, value: u32, n: u32) {
        self.held |= (value & ((1 << n) - 1)) << self.n_held;
        self.n_held += n;
        while self.n_held >= 8 {
            self.out.extend(self.held.to_le_bytes().first());
            self.held >>= 8;
            self.n_held -= 8;
        }
    }

    /// Writes a Huffman code, which begins with its highest bit.
    fn code(&mut self, code: u32, n: u32) {
        self.put(code.reverse_bits() >> (32 - n), n);
    }

    /// Writes a literal or a length symbol in the fixed code of RFC 1951, 3.2.6.
    fn symbol(&mut self, symbol: u32) {
        match symbol {
            0..=143 => self.code(0x30 + symbol, 8),
            144..=255 => self.code(0x190 + symbol - 144, 9),
            256..=279 => self.code(symbol - 256, 7),
            _ => self.code(0xC0 + symbol - 280, 8),
        }
    }

    /// Writes a match: so many bytes, 3 to 258, as so many bytes ago, up to 32768.
    fn repeat(&mut self, length: u32, distance: u32) {
        let (symbol, extra, n) = match length {
            258 => (285, 0, 0),
            3..=10 => (254 + length, 0, 0),
            _ => {
                let n = (length - 3).ilog2() - 2;
                let step = (length - 3) >> n;
                (257 + 4 * n + step, (length - 3) & ((1 << n) - 1), n)
            }
        };
        self.symbol(symbol);
        self.put(extra, n);
        match distance {
            1..=4 => self.code(distance - 1, 5),
            _ => {
                let n = (distance - 1).ilog2() - 1;
                let step = (distance - 1) >> n;
                self.code(2 * n + step, 5);
                self.put((distance - 1) & ((1 << n) - 1), n);
            }
        }
    }
}

/// How many earlier places with the same three bytes are tried.
const TRIES: usize = 24;

/// Compresses by RFC 1950 and 1951.
fn zlib(data: &[u8]) -> Vec<u8> {
    let mut bits = Bits {
        out: vec![0x78, 0x01],
        held: 0,
        n_held: 0,
    };
    // One last block with the fixed codes.
    bits.put(0b011, 3);
    let mut seen: BTreeMap<[u8; 3], Vec<usize>> = BTreeMap::new();
    let mut at = 0;
    while at < data.len() {
        let found = longest(data, at, &seen);
        let step = match found {
            Some((length, distance)) => {
                let small = |value: usize| u32::try_from(value).unwrap_or(0);
                bits.repeat(small(length), small(distance));
                length
            }
            None => {
                bits.symbol(data.get(at).copied().map_or(0, u32::from));
                1
            }
        };
        // In a long match only its beginning is worth remembering.
        for place in at..at + step.min(8) {
            if let Some(key) = key(data, place) {
                let places = seen.entry(key).or_default();
                if places.len() >= 4 * TRIES {
                    places.drain(..3 * TRIES);
                }
                places.push(place);
            }
        }
        at += step;
    }
    bits.symbol(256);
    bits.put(0, 7);
    let mut out = bits.out;
    out.extend(adler(data).to_be_bytes());
    out
}

fn key(data: &[u8], at: usize) -> Option<[u8; 3]> {
    data.get(at..at + 3)?.try_into().ok()
}

/// The longest earlier run of the same bytes: its length and how far back it is; the nearest of equals.
fn longest(data: &[u8], at: usize, seen: &BTreeMap<[u8; 3], Vec<usize>>) -> Option<(usize, usize)> {
    let rest = data.get(at..)?;
    let rest = rest.get(..rest.len().min(258)).unwrap_or_default();
    let mut best: Option<(usize, usize)> = None;
    let places = seen.get(&key(data, at)?)?;
    for &place in places.iter().rev().take(TRIES) {
        let distance = at - place;
        if distance > 32_768 {
            break;
        }
        let earlier = data.get(place..).unwrap_or_default();
        let length = rest.iter().zip(earlier).take_while(|(a, b)| a == b).count();
        if length >= 3 && best.is_none_or(|(most, _)| length > most) {
            best = Some((length, distance));
        }
        if length >= 200 {
            break;
        }
    }
    // A far match of three bytes takes more room than three literals.
    best.filter(|(length, distance)| *length > 3 || *distance < 1024)
}

/// The checksum of RFC 1950.
fn adler(data: &[u8]) -> u32 {
    let (mut low, mut high) = (1_u32, 0_u32);
    // Up to 5552 bytes cannot overflow 32 bits.
    for part in data.chunks(5552) {
        for byte in part {
            low += u32::from(*byte);
            high += low;
        }
        low %= 65_521;
        high %= 65_521;
    }
    (high << 16) | low
}
