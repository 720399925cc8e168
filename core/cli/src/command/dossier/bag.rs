//! The bag: the history with its pictures, its ledgers and the log's statements, in one ZIP that any BagIt tool checks.

use std::io::{BufWriter, Write as _};

use garboard_dossier::handover::{self, Holds};
use garboard_dossier::{Options, Outline, volumes, write_html};
use garboard_key::Signer;
use garboard_parcel::bag::Bag;
use garboard_record::Snapshot;
use serde_json::json;

use super::set::on_paper;
use super::{Dossier, Pictures};
use crate::command::Answer;
use crate::failure::{Done, Failure};
use crate::store::write_file;

/// Writes the bag. Pictures are read one by one, so that memory stays small whatever the log's size.
pub(super) fn into_bag(
    snapshot: &Snapshot,
    said: &Outline,
    options: &Options,
    pictures: &mut Pictures<'_>,
    signer: &Result<Option<Signer>, Failure>,
    c: &Dossier,
    progress: &mut dyn FnMut(&str),
) -> Done<Answer> {
    let made = options.made.as_deref().unwrap_or_default();
    progress("setting the paper");
    let (papers, told) = on_paper(said, c, made, pictures)?;
    let chunks: Vec<_> = pictures.store.read_chunks()?.0.into_iter().collect();
    let cannot = |cause: &std::io::Error| Failure::file("cannot write", c.file(), cause);
    let mut outcome = None;
    let n_bytes = write_file(c.file(), |file| {
        let folder = handover::folder_name(snapshot, Holds::History, made);
        let mut bag = Bag::begin(BufWriter::new(file), &folder);
        bag.put_written("history.html", |to| {
            write_html(said, |digest| pictures.again(digest), to)
        })?;
        for (number, paper) in (1..).zip(&papers) {
            let name = volumes::name("history.pdf", number, papers.len());
            bag.put_written(&name, |to| paper.write(|digest| pictures.again(digest), to))?;
        }
        outcome = Some(handover::fill(
            snapshot,
            options,
            &chunks,
            |digest| pictures.kept(digest),
            |path, bytes| bag.put(path, bytes).map(|_n_bytes| ()),
            |number, of| {
                if number % 50 == 0 {
                    progress(&format!("original {number} of {of}"));
                }
            },
        )?);
        let agent = concat!("Garboard ", env!("CARGO_PKG_VERSION"));
        let info = handover::info(snapshot, options, Holds::History, made, agent);
        let digests = outcome
            .as_ref()
            .map(|(handed, _)| handed.digests.as_slice());
        let whole = bag.finish_signed(&info, |manifest| {
            let signer = signer.as_ref().ok()?.as_ref()?;
            Some(signer.sheet(made, manifest, digests?))
        })?;
        let mut file = whole.into_inner().map_err(|error| cannot(error.error()))?;
        file.flush().map_err(|cause| cannot(&cause))?;
        Ok(file)
    })?;
    let (handed, fates) = outcome.unwrap_or_default();
    let mut text = format!(
        "Written: {} ({} KB). {told}",
        c.file().display(),
        n_bytes / 1000
    );
    for remark in handover::remarks(&handed, &fates) {
        text.push('\n');
        text.push_str(&remark);
    }
    text.push_str(&match signer {
        Ok(Some(signer)) => format!(
            "\nSigned with the key {} of this machine's device. Tell the buyer these signs yourself.",
            signer.secret.key().spoken()
        ),
        Ok(None) => "\nNot signed: this machine has not written in the log. Make the bag where the log was written.".to_owned(),
        Err(failure) => format!("\nNot signed: {}.", failure.message),
    });
    text.push_str("\nCheck it with garboard check, or with any BagIt tool (RFC 8493). It is written by the seller and is no survey, and says both.");
    Ok(Answer::new(
        text,
        json!({
            "file": c.file(), "bytes": n_bytes, "originals": fates.n_here, "originals_missing": fates.n_missing,
            "originals_with_position": fates.n_with_position, "originals_with_name": fates.n_with_name, "statements_left_out": handed.n_withheld,
            "key": signer.as_ref().ok().and_then(Option::as_ref).map(|signer| signer.secret.key().to_string()),
        }),
        c.json,
    ))
}
