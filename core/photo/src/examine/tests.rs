//! Whole, cut, damaged, oversized and foreign files, and the laws that hold for any bytes.

use std::io::Cursor;

use image::{ImageFormat, Rgb, RgbImage};
use proptest::prelude::*;

use super::*;
use crate::rendition::renditions;

/// A gentle slope of colours, so that neither side nor corner is like another.
fn slope(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let across = u8::try_from(x * 200 / width).unwrap();
        let down = u8::try_from(y * 200 / height).unwrap();
        Rgb([across, down, 100])
    })
}

fn written(picture: &RgbImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture
        .write_to(&mut Cursor::new(&mut bytes), format)
        .unwrap();
    bytes
}

pub(crate) fn jpeg(width: u32, height: u32) -> Vec<u8> {
    written(&slope(width, height), ImageFormat::Jpeg)
}

pub(crate) fn png(width: u32, height: u32) -> Vec<u8> {
    written(&slope(width, height), ImageFormat::Png)
}

fn webp(width: u32, height: u32) -> Vec<u8> {
    written(&slope(width, height), ImageFormat::WebP)
}

/// A little-endian EXIF block with an orientation, a maker, a time and a zone.
fn exif_block(orientation: u16, time: &[u8; 20], zone: &[u8; 7]) -> Vec<u8> {
    let mut out = b"II*\0\x08\0\0\0".to_vec();
    let push = |out: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        out.extend(tag.to_le_bytes());
        out.extend(kind.to_le_bytes());
        out.extend(count.to_le_bytes());
        out.extend(value);
    };
    // Directory 0 at 8: three entries, ends at 50; the maker (8 bytes) at 50; the Exif directory at 58.
    out.extend(3_u16.to_le_bytes());
    push(&mut out, 0x010F, 2, 8, 50_u32.to_le_bytes());
    push(
        &mut out,
        0x0112,
        3,
        1,
        [
            orientation.to_le_bytes()[0],
            orientation.to_le_bytes()[1],
            0,
            0,
        ],
    );
    push(&mut out, 0x8769, 4, 1, 58_u32.to_le_bytes());
    out.extend([0; 4]);
    out.extend(b"Tinbox \0");
    // Two entries, ends at 88; the time (20 bytes) at 88, the zone (7 bytes) at 108.
    out.extend(2_u16.to_le_bytes());
    push(&mut out, 0x9003, 2, 20, 88_u32.to_le_bytes());
    push(&mut out, 0x9011, 2, 7, 108_u32.to_le_bytes());
    out.extend([0; 4]);
    out.extend(time);
    out.extend(zone);
    out
}

/// A JPEG with an APP1 segment put in after its first two bytes.
fn with_app1(jpeg: &[u8], exif: &[u8]) -> Vec<u8> {
    let mut bytes = jpeg[..2].to_vec();
    bytes.extend([0xFF, 0xE1]);
    bytes.extend(u16::try_from(exif.len() + 8).unwrap().to_be_bytes());
    bytes.extend(b"Exif\0\0");
    bytes.extend(exif);
    bytes.extend(&jpeg[2..]);
    bytes
}

pub(crate) fn jpeg_with_exif(width: u32, height: u32, orientation: u16) -> Vec<u8> {
    with_app1(
        &jpeg(width, height),
        &exif_block(orientation, b"2026:05:09 14:22:00\0", b"+02:00\0"),
    )
}

/// The shell of a HEIC with one picture turned by so many quarters against the clock, and no picture data.
pub(crate) fn heic(width: u32, height: u32, quarters: u8) -> Vec<u8> {
    fn part(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
        let mut bytes = u32::try_from(body.len() + 8)
            .unwrap()
            .to_be_bytes()
            .to_vec();
        bytes.extend(kind);
        bytes.extend(body);
        bytes
    }
    let size = [&[0; 4][..], &width.to_be_bytes(), &height.to_be_bytes()].concat();
    let shared = part(
        b"ipco",
        &[part(b"ispe", &size), part(b"irot", &[quarters])].concat(),
    );
    let links = part(b"ipma", &[0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 2, 0x81, 2]);
    let properties = part(b"iprp", &[shared, links].concat());
    let primary = part(b"pitm", &[0, 0, 0, 0, 0, 1]);
    let meta = part(b"meta", &[&[0; 4][..], &primary, &properties].concat());
    [
        part(b"ftyp", b"heic\0\0\0\0mif1heic"),
        meta,
        part(b"mdat", b""),
    ]
    .concat()
}

#[test]
fn a_picture_of_each_kind_says_its_size() {
    for (bytes, media) in [
        (jpeg(90, 50), MediaType::Jpeg),
        (png(90, 50), MediaType::Png),
        (webp(90, 50), MediaType::Webp),
        (heic(90, 50, 0), MediaType::Heic),
    ] {
        let seen = examine(&bytes).unwrap();
        assert_eq!(seen.media, media);
        assert_eq!(
            seen.stored,
            Pixels {
                width: 90,
                height: 50
            },
            "{media}"
        );
        assert_eq!(seen.size, u64::try_from(bytes.len()).unwrap());
        assert_eq!(seen.remarks, []);
    }
}

#[test]
fn the_camera_s_words_are_read_and_its_zone_kept_apart() {
    let seen = examine(&jpeg_with_exif(90, 50, 6)).unwrap();
    assert_eq!(seen.orientation.number(), 6);
    assert_eq!(
        seen.upright,
        Pixels {
            width: 50,
            height: 90
        }
    );
    assert_eq!(
        seen.camera,
        Some(Camera {
            make: Some("Tinbox".to_owned()),
            model: None
        })
    );
    let taken = seen.taken.unwrap();
    assert_eq!(
        (taken.local.as_str(), taken.offset.as_deref()),
        ("2026-05-09T14:22:00", Some("+02:00"))
    );
}

#[test]
fn no_zone_is_invented() {
    let bytes = with_app1(
        &jpeg(9, 5),
        &exif_block(1, b"2026:05:09 14:22:00\0", b"   :  \0"),
    );
    let taken = examine(&bytes).unwrap().taken.unwrap();
    assert_eq!(
        (taken.local.as_str(), taken.offset),
        ("2026-05-09T14:22:00", None)
    );
}

#[test]
fn odd_exif_is_remarked_on_and_does_not_refuse_the_picture() {
    let odd = examine(&with_app1(
        &jpeg(9, 5),
        &exif_block(42, b"0000:00:00 00:00:00\0", b"+99:00\0"),
    ))
    .unwrap();
    assert_eq!(odd.orientation, Orientation::UPRIGHT);
    assert!(
        odd.remarks.contains(&Remark::OddOrientation {
            written: "42".to_owned()
        }),
        "{:?}",
        odd.remarks
    );
    assert!(
        odd.remarks.contains(&Remark::OddTime {
            written: "0000:00:00 00:00:00".to_owned()
        }),
        "{:?}",
        odd.remarks
    );
    let rubbish = examine(&with_app1(&jpeg(9, 5), b"II*\0\xFF\xFF\xFF\xFF")).unwrap();
    assert!(
        matches!(
            rubbish.remarks.as_slice(),
            [Remark::Unreadable { .. } | Remark::PartlyUnreadable { .. }]
        ),
        "{:?}",
        rubbish.remarks
    );
}

#[test]
fn a_heic_stands_as_its_own_turn_says() {
    let seen = examine(&heic(4032, 3024, 3)).unwrap();
    assert_eq!(seen.orientation, Orientation::TURN_RIGHT);
    assert_eq!(
        seen.upright,
        Pixels {
            width: 3024,
            height: 4032
        }
    );
}

#[test]
fn nothing_and_other_things_are_refused() {
    assert_eq!(examine(b""), Err(Error::Empty));
    assert_eq!(
        examine(b"GIF89a..."),
        Err(Error::NotAPicture {
            looks_like: Some("GIF")
        })
    );
    assert_eq!(
        examine(b"bilge"),
        Err(Error::NotAPicture { looks_like: None })
    );
    let said = examine(b"%PDF-1.7").unwrap_err().to_string();
    assert_eq!(
        said,
        "this is no JPEG, PNG, WebP, HEIC or AVIF picture, it looks like PDF; save it as JPEG or PNG and try again"
    );
}

#[test]
fn a_picture_cut_anywhere_is_refused() {
    for bytes in [jpeg(40, 30), png(40, 30), webp(40, 30), heic(40, 30, 0)] {
        for len in 1..bytes.len() {
            let cut = &bytes[..len];
            // An odd WebP chunk's padding byte may be missing, and an empty last box is no loss.
            let is_harmless = match examine(&bytes).unwrap().media {
                MediaType::Webp => len + 1 == bytes.len(),
                MediaType::Heic => len + 8 == bytes.len(),
                _ => false,
            };
            assert!(
                is_harmless || examine(cut).is_err(),
                "{len} of {} bytes",
                bytes.len()
            );
            assert!(
                is_harmless || renditions(cut).is_err(),
                "{len} of {} bytes",
                bytes.len()
            );
        }
    }
}

#[test]
fn a_few_bytes_that_announce_a_sea_of_pixels_are_refused() {
    let mut bomb = png(9, 5);
    bomb[16..24].copy_from_slice(&[0, 0, 0x75, 0x30, 0, 0, 0x75, 0x30]);
    let refused = Error::TooManyPixels {
        width: 30_000,
        height: 30_000,
        most: MOST_PIXELS,
    };
    assert_eq!(examine(&bomb), Err(refused.clone()));
    assert_eq!(renditions(&bomb), Err(refused));
}

#[test]
fn a_picture_without_pixels_is_damaged() {
    let mut none = png(9, 5);
    none[16..20].copy_from_slice(&[0; 4]);
    assert!(matches!(examine(&none), Err(Error::Damaged { .. })));
}

#[test]
fn an_altered_png_is_refused_when_it_is_decoded() {
    let mut altered = png(40, 30);
    let middle = altered.len() / 2;
    altered[middle] ^= 0x10;
    assert!(matches!(renditions(&altered), Err(Error::Damaged { .. })));
}

proptest! {
    #[test]
    fn law_any_bytes_are_refused_or_examined(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let examined = examine(&bytes);
        let made = renditions(&bytes);
        prop_assert!(examined.is_ok() || made.is_err());
    }

    #[test]
    fn law_a_picture_with_altered_bytes_never_panics(
        kind in 0..5_usize,
        changes in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..12),
    ) {
        let mut bytes = [jpeg(33, 17), jpeg_with_exif(33, 17, 5), png(33, 17), webp(33, 17), heic(33, 17, 1)][kind].clone();
        for (at, value) in changes {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        if let Ok(made) = renditions(&bytes) {
            prop_assert!(made.view.width <= VIEW && made.view.height <= VIEW);
        }
        prop_assert!(examine(&bytes).is_ok() || renditions(&bytes).is_err());
    }

    #[test]
    fn law_renditions_fit_and_keep_their_proportion(width in 1..700_u32, height in 1..700_u32) {
        let made = renditions(&jpeg(width, height)).unwrap();
        prop_assert_eq!((made.view.width, made.view.height), (width, height));
        let (small_width, small_height) = (made.thumbnail.width, made.thumbnail.height);
        prop_assert!(small_width.max(small_height) == width.max(height).min(320));
        let off = (i64::from(small_width) * i64::from(height) - i64::from(small_height) * i64::from(width)).abs();
        prop_assert!(off <= i64::from(width.max(height)));
    }

    #[test]
    fn law_slices_hash_like_the_whole(bytes in proptest::collection::vec(any::<u8>(), 0..400), at in any::<proptest::sample::Index>()) {
        let at = at.index(bytes.len() + 1);
        let mut hasher = crate::Hasher::new();
        hasher.update(&bytes[..at]);
        hasher.update(&bytes[at..]);
        prop_assert_eq!(hasher.finish(), crate::digest(&bytes));
    }
}

const VIEW: u32 = crate::VIEW_SIDE;
