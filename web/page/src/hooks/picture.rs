//! A picture's address, asked for once and shared by everyone who shows it.

use garboard_protocol::{Answer, Ask, PictureSize};
use yew::{hook, use_effect_with, use_state};

use super::Desk;
use crate::browser::{file::Files, picture};

/// The address of a picture, when it is here; asked for again when pictures have come.
#[hook]
pub(crate) fn use_picture(desk: &Desk, digest: &str, size: PictureSize) -> Option<String> {
    let came = use_state(|| 0_u32);
    let known = picture::known(digest, size);
    let pictures = (desk.state.pictures, desk.state.phase);
    {
        let desk = desk.clone();
        use_effect_with(
            (digest.to_owned(), size, pictures, known.is_some()),
            move |(digest, size, _, is_known)| {
                let size = *size;
                if *is_known || digest.is_empty() {
                    return;
                }
                let digest = digest.clone();
                desk.ask(
                    Ask::Picture {
                        digest: digest.clone(),
                        size,
                    },
                    &Files::default(),
                    move |outcome| {
                        if let Ok((Answer::Picture(Some(given)), files)) = outcome {
                            // A smaller one than was asked for is shown now, and asked for again later.
                            if picture::shelve(&digest, given.size, &files).is_some() {
                                came.set(came.wrapping_add(1));
                            }
                        }
                    },
                );
            },
        );
    }
    known.or_else(|| {
        picture::known(digest, PictureSize::Thumbnail).filter(|_| size != PictureSize::Thumbnail)
    })
}
