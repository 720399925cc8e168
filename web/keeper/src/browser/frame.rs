//! Two photographs of one view in one frame, laid by the press.

use garboard_protocol::{Answer, PictureSize, PressAnswer, PressAsk, Trouble};
use garboard_record::{Body, Digest, Id};

use super::desk::candidates;
use super::files::Blob;
use super::post::Reply;
use super::press::Press;
use super::run::Keeper;
use crate::session::Session;
use crate::trouble;

/// An earlier and a later photograph, by their originals, and the spots that both show.
struct Both {
    originals: [Digest; 2],
    spots: Vec<u64>,
}

impl Keeper {
    pub(super) async fn lay(
        &self,
        number: u32,
        photograph: &str,
        spots: Vec<u64>,
    ) -> Result<Reply, Trouble> {
        let (both, files) = self.both(photograph).await?;
        let spots = if spots.is_empty() { both.spots } else { spots };
        let press = Press::at_work()?;
        let asked = PressAsk::Lay { spots };
        match self
            .have_pressed(number, "Laying", &press, &asked, &files)
            .await?
        {
            (PressAnswer::Laid(laid), files) => Ok(Reply {
                answer: Answer::Laid(laid.err()),
                files,
            }),
            _ => Err(trouble::no_press()),
        }
    }

    pub(super) async fn find_spots(&self, number: u32, photograph: &str) -> Result<Reply, Trouble> {
        let (_, files) = self.both(photograph).await?;
        let press = Press::at_work()?;
        match self
            .have_pressed(number, "Looking", &press, &PressAsk::FindSpots, &files)
            .await?
        {
            (PressAnswer::Spots(found), _) => Ok(Answer::Spots(found).into()),
            _ => Err(trouble::no_press()),
        }
    }

    /// A photograph and the earlier one that it answers, in a size to look at.
    async fn both(&self, photograph: &str) -> Result<(Both, Vec<Blob>), Trouble> {
        let (log, both, names) = {
            let session = self.session.borrow();
            let session = session.as_ref().ok_or_else(trouble::no_log)?;
            let both = both(session, photograph)?;
            let names = both
                .originals
                .map(|digest| candidates(session, &digest.to_string(), PictureSize::View));
            (session.identity.log.to_string(), both, names)
        };
        let mut files = Vec::new();
        for names in names {
            let mut found = None;
            for (_, name) in names {
                found = self
                    .store
                    .picture(&log, &name.to_string())
                    .await
                    .map_err(|error| error.not_read())?;
                if found.is_some() {
                    break;
                }
            }
            files.push(found.ok_or_else(|| trouble::not_found("One of the two pictures"))?);
        }
        Ok((both, files))
    }
}

fn both(session: &Session, photograph: &str) -> Result<Both, Trouble> {
    let original = |id: Id| match session.snapshot().entry(id).map(|entry| &entry.body) {
        Some(Body::Photograph(photograph)) => Some(photograph),
        _ => None,
    };
    let later = photograph
        .parse()
        .ok()
        .and_then(original)
        .ok_or_else(|| trouble::not_found("That photograph"))?;
    let earlier = later
        .answers
        .and_then(original)
        .ok_or_else(|| trouble::not_found("The earlier photograph"))?;
    match (earlier.digest, later.digest) {
        (Some(earlier), Some(digest)) => Ok(Both {
            originals: [earlier, digest],
            spots: later.same_spots.clone(),
        }),
        _ => Err(trouble::not_found("One of the two pictures")),
    }
}
