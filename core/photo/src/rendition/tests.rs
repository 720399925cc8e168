//! Sizes, uprightness and what a rendition carries.

use super::*;
use crate::examine::tests::{jpeg, jpeg_with_exif, png};

#[test]
fn the_long_side_is_fitted_and_nothing_is_enlarged() {
    assert_eq!(fitted(4000, 3000, 2048), (2048, 1536));
    assert_eq!(fitted(3000, 4000, 320), (240, 320));
    assert_eq!(fitted(100, 60, 2048), (100, 60));
    assert_eq!(fitted(65_535, 1, 320), (320, 1));
    assert_eq!(fitted(2049, 1000, 2048), (2048, 1000)); // 999.51
}

#[test]
fn a_small_picture_keeps_its_size_in_both() {
    let made = renditions(&jpeg(100, 60)).unwrap();
    assert_eq!((made.view.width, made.view.height), (100, 60));
    assert_eq!((made.thumbnail.width, made.thumbnail.height), (100, 60));
    assert_eq!(made.view.digest, digest(&made.view.bytes));
}

#[test]
fn a_wide_picture_is_fitted_into_both() {
    let made = renditions(&jpeg(2500, 500)).unwrap();
    assert_eq!((made.view.width, made.view.height), (2048, 410));
    assert_eq!((made.thumbnail.width, made.thumbnail.height), (320, 64));
}

#[test]
fn a_phone_held_upright_gives_an_upright_view_without_exif() {
    let original = jpeg_with_exif(90, 50, 6);
    let made = renditions(&original).unwrap();
    assert_eq!((made.view.width, made.view.height), (50, 90));
    let again = examine(&made.view.bytes).unwrap();
    assert_eq!(again.orientation, Orientation::UPRIGHT);
    assert_eq!(again.camera, None);
    assert!(!made.view.bytes.windows(4).any(|window| window == b"Exif"));
}

#[test]
fn transparency_is_shown_on_white() {
    let clear = image::RgbaImage::from_pixel(16, 16, image::Rgba([10, 20, 30, 0]));
    let mut bytes = Vec::new();
    clear
        .write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png)
        .unwrap();
    let view = renditions(&bytes).unwrap().view;
    let seen = image::load_from_memory(&view.bytes).unwrap().into_rgb8();
    assert!(
        seen.pixels()
            .all(|pixel| pixel.0.iter().all(|&channel| channel >= 253))
    );
}

#[test]
fn a_grey_picture_stays_grey() {
    let grey = image::GrayImage::from_pixel(40, 30, image::Luma([77]));
    let mut bytes = Vec::new();
    grey.write_to(&mut Cursor::new(&mut bytes), ImageFormat::Png)
        .unwrap();
    let view = renditions(&bytes).unwrap().view;
    assert_eq!(
        image::load_from_memory(&view.bytes).unwrap().color(),
        ColorType::L8
    );
}

#[test]
fn a_png_is_shown_as_it_is() {
    let view = renditions(&png(64, 48)).unwrap().view;
    let seen = image::load_from_memory(&view.bytes).unwrap().into_rgb8();
    let meant = image::load_from_memory(&png(64, 48)).unwrap().into_rgb8();
    let worst = seen
        .pixels()
        .zip(meant.pixels())
        .flat_map(|(a, b)| (0..3).map(|i| a.0[i].abs_diff(b.0[i])));
    assert!(worst.max().unwrap() < 40);
}

#[test]
fn a_heic_is_kept_and_says_that_it_is_not_decoded_here() {
    let refused = renditions(&crate::examine::tests::heic(4032, 3024, 3)).unwrap_err();
    assert_eq!(
        refused,
        Error::NotDecodedHere {
            media: MediaType::Heic
        }
    );
}
