//! The history and the ledgers, each set in its form and written into its place.

use std::fs::File;
use std::io::{BufWriter, Result, Write as _};
use std::path::{Path, PathBuf};

use garboard_dossier::html::PICTURES;
use garboard_dossier::{
    Options, Outline, Paper, Pdf, html_beside, ledgers, pdf, short_pdf, volumes, write_html,
};
use garboard_key::Signer;
use garboard_photo::Hashed;
use garboard_record::{Digest, Snapshot};
use serde_json::json;

use super::{Dossier, Form, Pictures, Sheet};
use crate::command::Answer;
use crate::failure::{Done, Failure};
use crate::store::{write_file, write_folder, write_synced};

/// The page's name in a folder.
const PAGE: &str = "history.html";

/// Who seals a page, and over which statements.
pub(super) struct Seal<'a> {
    pub(super) signer: &'a Signer,
    pub(super) statements: Vec<Digest>,
}

/// Writes the ledgers into a folder that is not there yet.
pub(super) fn ledgers_into(snapshot: &Snapshot, options: &Options, c: &Dossier) -> Done<Answer> {
    let made = ledgers(snapshot, options);
    write_folder(c.file(), |folder| {
        made.iter()
            .try_for_each(|file| write_synced(&folder.join(file.name), &file.bytes))
    })?;
    let names: Vec<&str> = made.iter().map(|file| file.name).collect();
    Ok(Answer::new(
        format!("Written: {} ({}).", c.file().display(), names.join(", ")),
        json!({ "folder": c.file(), "files": names }),
        c.json,
    ))
}

/// Sets what is said on paper, whole or in volumes, and says what could not be printed as it was written.
pub(super) fn on_paper(
    said: &Outline,
    c: &Dossier,
    made: &str,
    pictures: &mut Pictures<'_>,
) -> Done<(Vec<Pdf>, String)> {
    let volumes = if c.volumes {
        volumes(said)
    } else {
        vec![said.clone()]
    };
    let mut told = Vec::new();
    let mut files = Vec::new();
    for said in &volumes {
        let (file, says) = one_file(said, c, made, pictures)?;
        files.push(file);
        told.push(says);
    }
    if volumes.len() > 1 {
        told.insert(0, format!("In {} volumes.", volumes.len()));
    }
    Ok((files, told.join(" ")))
}

fn one_file(
    said: &Outline,
    c: &Dossier,
    made: &str,
    pictures: &mut Pictures<'_>,
) -> Done<(Pdf, String)> {
    let paper = match c.paper {
        Sheet::A4 => Paper::A4,
        Sheet::Letter => Paper::Letter,
    };
    let picture = |digest| pictures.take(digest);
    let file = if c.short {
        short_pdf(said, paper, made, picture)
    } else {
        pdf(said, paper, made, picture)
    };
    let file = file.map_err(|error| match error {
        pdf::Error::Day { .. } => Failure::mistake(
            error.to_string(),
            "say a whole day with --made, like --made 2026-11-25",
        ),
        pdf::Error::Long { .. } => Failure::mistake(
            error.to_string(),
            "leave places out with --without-place, or make the long form",
        ),
        pdf::Error::Refused { .. } => Failure::ours(error.to_string()),
    })?;
    let mut told = format!("It has {} pages.", file.n_pages);
    for (at, sign) in &file.unprintable {
        told.push_str(&format!(
            "\nNo face has the sign {sign} (U+{:04X}); it is printed by its number, in: {at}",
            u32::from(*sign)
        ));
    }
    Ok((file, told))
}

/// Writes the history, as page, folder or paper. Pictures are read one by one, so that memory stays small whatever the log's size.
pub(super) fn into_place(
    said: &Outline,
    made: &str,
    pictures: &mut Pictures<'_>,
    seal: Option<&Seal<'_>>,
    c: &Dossier,
) -> Done<Answer> {
    let mut told = match c.form {
        Form::Folder => format!("Open {PAGE} in it, in any browser; it prints from there."),
        _ => "It opens in any browser and prints from there.".to_owned(),
    };
    let mut papers = Vec::new();
    if c.form == Form::Pdf {
        (papers, told) = on_paper(said, c, made, pictures)?;
    }
    // A single file has the name that was given, and was looked for before.
    let places: Vec<PathBuf> = (1..=papers.len().max(1))
        .map(|number| {
            c.file()
                .with_file_name(named(c.file(), number, papers.len()))
        })
        .collect();
    if papers.len() > 1
        && !c.replace
        && let Some(there) = places.iter().find(|place| place.exists())
    {
        return Err(Failure::mistake(
            format!("this exists already: {}", there.display()),
            "choose another name, or say --replace",
        ));
    }
    let set = |file: File,
               paper: Option<&Pdf>,
               beside: Option<&Path>,
               pictures: &mut Pictures<'_>|
     -> Result<(File, String, u64)> {
        let mut n_beside = 0;
        let mut to = Hashed::new(BufWriter::new(file));
        match (paper, beside) {
            (Some(paper), _) => paper.write(|digest| pictures.again(digest), &mut to)?,
            (None, None) => {
                write_html(said, |digest| pictures.take(digest), &mut to)?;
                let page = to.digest().parse().ok();
                if let (Some(seal), Some(page)) = (seal, page) {
                    let seal = seal.signer.seal(made, page, &seal.statements);
                    to.write_all(seal.as_bytes())?;
                }
            }
            (None, Some(folder)) => html_beside(
                said,
                |digest| pictures.take(digest),
                |path, bytes| {
                    n_beside += bytes.len() as u64;
                    write_synced(&folder.join(path), bytes)
                },
                &mut to,
            )?,
        }
        let (digest, n_bytes) = (to.digest(), to.n_bytes());
        let file = to
            .into_inner()
            .into_inner()
            .map_err(std::io::IntoInnerError::into_error)?;
        Ok((file, digest, n_bytes + n_beside))
    };
    let mut digests = Vec::new();
    let mut n_bytes = 0;
    if c.form == Form::Folder {
        let (digest, n) = write_folder(c.file(), |folder| {
            std::fs::create_dir(folder.join(PICTURES))?;
            let page = File::create_new(folder.join(PAGE))?;
            let (page, digest, n_bytes) = set(page, None, Some(folder), pictures)?;
            page.sync_all()?;
            Ok((digest, n_bytes))
        })?;
        digests.push(digest);
        n_bytes = n;
    } else {
        for (at, place) in places.iter().enumerate() {
            n_bytes += write_file(place, |file| {
                let (file, digest, _) = set(file, papers.get(at), None, pictures)
                    .map_err(|cause| Failure::file("cannot write", place, &cause))?;
                digests.push(digest);
                Ok(file)
            })?;
        }
    }
    let written: Vec<String> = places
        .iter()
        .map(|place| place.display().to_string())
        .collect();
    let (n_pictures, n_missing) = (pictures.n_found, pictures.n_missing);
    let mut text = format!(
        "Written: {} ({} KB, {n_pictures} pictures). {told}",
        written.join(", "),
        n_bytes / 1000
    );
    if n_missing > 0 {
        text.push_str(&format!("\n{n_missing} pictures are not on this device or were altered; they are named in it by their digests."));
    }
    if let Some(seal) = seal {
        text.push_str(&format!(
            "\nSealed with the key {} of this machine's device. Tell the buyer these signs yourself.",
            seal.signer.secret.key().spoken()
        ));
    }
    text.push_str("\nIt is written by the seller and is no survey, and says both.");
    let about = json!({ "bytes": n_bytes, "pictures": n_pictures, "pictures_missing": n_missing });
    let mut about = about.as_object().cloned().unwrap_or_default();
    if let [_, _, ..] = places.as_slice() {
        about.insert("files".to_owned(), json!(places));
        about.insert("digests".to_owned(), json!(digests));
    } else {
        let place = if c.form == Form::Folder {
            "folder"
        } else {
            "file"
        };
        about.insert(place.to_owned(), json!(c.file()));
        about.insert("digest".to_owned(), json!(digests.first()));
    }
    Ok(Answer::new(text, about.into(), c.json))
}

/// The name of a volume's file.
fn named(file: &Path, number: usize, of: usize) -> String {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    volumes::name(&name, number, of)
}
