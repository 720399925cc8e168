//! Making the dossier.

use std::collections::BTreeMap;
use std::rc::Rc;

use garboard_protocol::{
    Answer, DossierForm, DossierMade, DossierOptions, PressAnswer, PressAsk, Report, Trouble,
};
use garboard_record::word::Size;
use garboard_record::{Body, Digest, Id, When};

use super::send::stem;
use crate::browser::chance;
use crate::browser::files::{self, Blob};
use crate::browser::post::{self, Reply};
use crate::browser::press::Press;
use crate::browser::run::Keeper;
use crate::session::Session;
use crate::trouble;

impl Keeper {
    pub(in crate::browser) async fn make_dossier(
        self: &Rc<Self>,
        number: u32,
        options: &DossierOptions,
    ) -> Result<Reply, Trouble> {
        let log = self.open_log()?;
        let is_bag = matches!(options.form, DossierForm::Bag(_));
        let wanted = self
            .session
            .borrow()
            .as_ref()
            .filter(|_| options.form != DossierForm::Ledgers)
            .map(|session| wanted_pictures(session, is_bag))
            .unwrap_or_default();
        // Handles only: the bytes are read one by one when the page comes to them.
        let mut blobs: BTreeMap<Digest, Blob> = BTreeMap::new();
        for (idx, digest) in wanted.iter().enumerate() {
            if idx % 16 == 0 {
                self.progress(Some(number), "Gathering pictures", idx, wanted.len());
                if self.is_stopped(number).await {
                    return Err(trouble::stopped());
                }
            }
            let blob = self
                .store
                .picture(&log.to_string(), &digest.to_string())
                .await
                .map_err(|error| error.not_read())?;
            if let Some(blob) = blob {
                blobs.insert(*digest, blob);
            }
        }
        if self.is_stopped(number).await {
            return Err(trouble::stopped());
        }
        let press = match options.form {
            DossierForm::Page => Press::at_work()?,
            DossierForm::Paper(_)
            | DossierForm::Short(_)
            | DossierForm::Bag(_)
            | DossierForm::Ledgers => Press::for_paper()?,
        };
        let is_signed = is_bag || (options.form == DossierForm::Page && options.is_sealed);
        // Another tab has the right to write, and with it to name the key.
        let signer = if is_signed && self.is_writer.get() {
            Some(self.signer(&press).await?)
        } else {
            None
        };

        let day = today();
        let (statements, boat) = {
            let session = self.session.borrow();
            let session = session.as_ref().ok_or_else(trouble::no_log)?;
            let boat = session.snapshot().boat_name().to_owned();
            (all_texts(session), boat)
        };
        let mut chunks = Vec::new();
        if is_bag {
            let kept = self.store.chunks(&log.to_string()).await;
            let kept = kept.map_err(|error| error.not_read())?;
            chunks.extend(
                kept.into_iter()
                    .filter_map(|(name, bytes)| Some((name.parse().ok()?, bytes))),
            );
        }
        self.progress(Some(number), "Setting the dossier", 0, 0);
        let (what, end, media_type) = match options.form {
            DossierForm::Page => ("dossier", "html", "text/html"),
            DossierForm::Paper(_) => ("dossier", "pdf", "application/pdf"),
            DossierForm::Short(_) => ("dossier-short", "pdf", "application/pdf"),
            DossierForm::Bag(_) => ("dossier", "zip", "application/zip"),
            DossierForm::Ledgers => ("ledgers", "zip", "application/zip"),
        };
        let asked = PressAsk::Print {
            statements,
            options: options.clone(),
            day: day.clone(),
            pictures: blobs.keys().copied().collect(),
            chunks,
            signer,
        };
        let printed = self
            .have_pressed(
                number,
                "Setting the dossier",
                &press,
                &asked,
                blobs.values(),
            )
            .await?;
        drop(press);
        let (PressAnswer::Printed { n_missing, remarks }, files) = printed else {
            return Err(trouble::no_press());
        };
        if files.is_empty() {
            return Err(trouble::no_press());
        }
        if self.is_stopped(number).await {
            return Err(trouble::stopped());
        }
        let n_bytes = files.iter().map(files::size_of).sum();
        let stem = format!("{}-{what}-{day}", stem(&boat));
        let names = match files.len() {
            1 => vec![format!("{stem}.{end}")],
            n => (1..=n)
                .map(|number| format!("{stem}-volume-{number}-of-{n}.{end}"))
                .collect(),
        };
        let mut all_remarks = left_out(options);
        all_remarks.extend(remarks);
        if n_missing > 0 {
            all_remarks.push(format!(
                "{n_missing} pictures are not on this device in that size; where there is a smaller one it is printed, else the digest."
            ));
        }
        Ok(Reply {
            answer: Answer::Dossier(DossierMade {
                names,
                media_type: media_type.to_owned(),
                n_bytes,
                remarks: all_remarks,
            }),
            files,
        })
    }
}

impl Keeper {
    /// Says what a dossier would say.
    pub(in crate::browser) async fn see_dossier(
        self: &Rc<Self>,
        options: &DossierOptions,
    ) -> Result<Reply, Trouble> {
        self.open_log()?;
        let (statements, pictures) = {
            let session = self.session.borrow();
            let session = session.as_ref().ok_or_else(trouble::no_log)?;
            (all_texts(session), wanted_pictures(session, false))
        };
        let asked = PressAsk::See {
            statements,
            options: options.clone(),
            day: today(),
            pictures,
        };
        let press = Press::at_work()?;
        match press.ask(&asked, []).await {
            Some(PressAnswer::Seen(seen)) => Ok(Answer::Seen(seen?).into()),
            _ => Err(trouble::no_press()),
        }
    }

    /// This device with the secret that it signs with, which is kept, and whose public key the log names from now on.
    async fn signer(self: &Rc<Self>, press: &Press) -> Result<(Id, [u8; 32]), Trouble> {
        let known = {
            let session = self.session.borrow();
            session
                .as_ref()
                .ok_or_else(trouble::no_log)?
                .identity
                .secret
        };
        let secret = match known {
            Some(secret) => secret,
            None => {
                let drawn = chance::random::<32>();
                self.keep_about(|session| session.identity.secret = Some(drawn))
                    .await?;
                drawn
            }
        };
        let asked = PressAsk::Key { secret };
        let Some(PressAnswer::Key(key)) = press.ask(&asked, []).await else {
            return Err(trouble::no_press());
        };
        let is_named = {
            let session = self.session.borrow();
            session
                .as_ref()
                .ok_or_else(trouble::no_log)?
                .names_key(&key)
        };
        if !is_named {
            self.save(|session, now| session.name_key(&key, now))
                .await?;
            post::report(Report::Changed);
        }
        let session = self.session.borrow();
        let session = session.as_ref().ok_or_else(trouble::no_log)?;
        Ok((session.identity.device, secret))
    }
}

fn today() -> String {
    let today = When::from_unix_millis_at(chance::now_millis(), chance::offset_minutes());
    today.day().unwrap_or_default().to_owned()
}

/// Every statement of the log with its id.
fn all_texts(session: &Session) -> Vec<(Id, String)> {
    let texts = session.snapshot().texts();
    texts.map(|(id, text)| (id, text.to_string())).collect()
}

/// The renditions that a dossier may print; for a bag, the originals of photographs and sounds too.
fn wanted_pictures(session: &Session, with_originals: bool) -> Vec<Digest> {
    let snapshot = session.snapshot();
    let mut found: Vec<Digest> = Vec::new();
    for entry in snapshot.entries() {
        let original = match &entry.body {
            Body::Photograph(photograph) => photograph.digest,
            Body::SoundNote(sound) => sound.digest,
            _ => continue,
        };
        found.extend(original.filter(|_| with_originals));
        let sizes = [Size::View, Size::Thumbnail];
        found.extend(
            sizes
                .iter()
                .filter_map(|size| session.index().rendition(snapshot, entry.id, size)?.digest),
        );
    }
    found.retain(|digest| session.has_picture(*digest));
    garboard_record::small::sort(&mut found);
    found.dedup();
    found
}

fn left_out(options: &DossierOptions) -> Vec<String> {
    let mut parts = vec![
        (options.with_costs, "Costs"),
        (options.with_hours, "Hours"),
        (options.with_names, "Names (initials stand for them)"),
        (
            options.without_places.is_empty(),
            "Places, with all that lies within them,",
        ),
    ];
    if options.form != DossierForm::Ledgers {
        parts.push((options.with_positions, "Positions of photographs"));
        parts.push((options.with_struck, "Struck entries"));
    }
    parts
        .into_iter()
        .filter(|(is_in, _)| !is_in)
        .map(|(_, part)| format!("{part} are left out, and the dossier says so."))
        .collect()
}
