//! Checking what is here, or a parcel, against its digests.

use std::rc::Rc;

use garboard_log::Log;
use garboard_protocol::{Answer, Checked, PressAnswer, PressAsk, Trouble};
use garboard_record::{Body, Digest};

use crate::browser::files::{self, Blob};
use crate::browser::post::Reply;
use crate::browser::press::Press;
use crate::browser::run::Keeper;
use crate::trouble;

impl Keeper {
    pub(in crate::browser) async fn check(
        self: &Rc<Self>,
        number: u32,
        files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        let checked = if files.is_empty() {
            self.check_here(number).await?
        } else {
            self.check_parcel(number, &files).await?
        };
        Ok(Answer::Checked(checked).into())
    }

    async fn check_parcel(&self, number: u32, files: &[Blob]) -> Result<Checked, Trouble> {
        let press = Press::at_work()?;
        let found = self
            .have_pressed(
                number,
                "Checking pictures",
                &press,
                &PressAsk::Inspect,
                files,
            )
            .await?;
        let (
            PressAnswer::Inspected {
                chunks,
                n_pictures,
                n_statements,
                faults,
                remarks,
            },
            _,
        ) = found
        else {
            return Err(trouble::no_press());
        };
        let mut checked = Checked {
            says: "Every part against the digest that its manifest or its seal names.".to_owned(),
            n_statements,
            n_pictures,
            faults,
            remarks,
            ..Checked::default()
        };
        for (name, bytes) in &chunks {
            match Log::texts_in(bytes) {
                Ok(texts) => {
                    checked.n_statements += u32::try_from(texts.len()).unwrap_or_default();
                }
                Err(error) => checked.faults.push(format!("chunk {name}: {error}")),
            }
        }
        checked.is_intact = checked.faults.is_empty();
        Ok(checked)
    }

    async fn check_here(&self, number: u32) -> Result<Checked, Trouble> {
        let log = self.open_log()?.to_string();
        let mut checked = Checked {
            says:
                "All that this device holds of the log: every chunk and picture against its name."
                    .to_owned(),
            ..Checked::default()
        };
        let chunks = self
            .store
            .chunks(&log)
            .await
            .map_err(|error| error.not_read())?;
        for (name, bytes) in &chunks {
            let read = name
                .parse::<Digest>()
                .map_err(|error| error.to_string())
                .and_then(|name| Log::check_chunk(name, bytes).map_err(|error| error.to_string()));
            if let Err(why) = read {
                checked.faults.push(format!("chunk {name}: {why}"));
            }
        }
        if let Some(session) = self.session.borrow().as_ref() {
            checked.n_statements =
                u32::try_from(session.snapshot().n_statements()).unwrap_or(u32::MAX);
        }
        let names = self
            .store
            .picture_names(&log)
            .await
            .map_err(|error| error.not_read())?;
        for (idx, name) in names.iter().enumerate() {
            self.progress(Some(number), "Checking pictures", idx, names.len());
            if self.is_stopped(number).await {
                return Err(trouble::stopped());
            }
            let blob = self
                .store
                .picture(&log, name)
                .await
                .map_err(|error| error.not_read())?;
            let Some(blob) = blob else { continue };
            match files::digest(&blob).await {
                Ok(digest) if digest.to_string() == *name => checked.n_pictures += 1,
                Ok(digest) => checked.faults.push(format!(
                    "the picture {name} was altered: its bytes have the digest {digest}"
                )),
                Err(error) => checked
                    .faults
                    .push(format!("the picture {name} cannot be read ({error})")),
            }
        }
        checked.faults.extend(self.lost_originals(&names));
        checked.is_intact = checked.faults.is_empty();
        Ok(checked)
    }

    /// Photographs and sound notes of this very device whose originals are not here: they were here once.
    fn lost_originals(&self, here: &[String]) -> Vec<String> {
        let session = self.session.borrow();
        let Some(session) = session.as_ref() else {
            return Vec::new();
        };
        let snapshot = session.snapshot();
        snapshot
            .entries()
            .filter(|entry| entry.statement.device == session.identity.device)
            .filter_map(|entry| match &entry.body {
                Body::Photograph(photograph) => Some((entry, photograph.digest?)),
                Body::SoundNote(sound) => Some((entry, sound.digest?)),
                _ => None,
            })
            .filter(|(_, digest)| {
                !snapshot.is_withdrawn(*digest) && !here.contains(&digest.to_string())
            })
            .map(|(entry, digest)| {
                format!(
                    "the original of “{}” ({digest}), made on this device, is missing",
                    entry.title()
                )
            })
            .collect()
    }
}
