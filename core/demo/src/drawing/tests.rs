//! The drawings are pictures, say what they are, and are the same everywhere.

use super::*;

#[test]
fn every_drawing_is_a_picture_that_others_can_read() {
    for drawing in Drawing::ALL {
        let png = drawing.png();
        let seen = garboard_photo::examine(&png).unwrap();
        assert_eq!((seen.stored.width, seen.stored.height), (1200, 900));
        // The decoder checks every chunk's checksum and the compressed stream's own.
        let made = garboard_photo::renditions(&png).unwrap();
        assert!(made.view.width == 1200 && made.thumbnail.width == 320);
        assert!(
            png.len() < 120_000,
            "{}: {} bytes",
            drawing.file_name(),
            png.len()
        );
        assert!(drawing.file_name().starts_with("drawing-"));
    }
}

#[test]
fn a_drawing_is_drawn_the_same_twice() {
    assert_eq!(Drawing::BehindTank.png(), Drawing::BehindTank.png());
}
