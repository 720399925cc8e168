//! The dossier on paper.

use garboard_dossier::{Paper, pdf};
use garboard_protocol::{DossierForm, PressAnswer, PressAsk, Sheet};
use garboard_record::Digest;

use super::file::Blob;
use super::{Pictures, note, printed, refused, said};

/// So many bytes of pictures may lie in a phone's memory together, which the writer of the file needs; it takes as much
/// again for the file. What comes after them is printed in its small size.
const MOST_BYTES: usize = 96 << 20;
/// No thumbnail is as large.
const SMALL_BYTES: usize = 64 << 10;

/// Pictures within what a phone's memory holds.
struct Frugal {
    pictures: Pictures,
    n_bytes: usize,
    n_made_small: u32,
}

impl Frugal {
    fn take(&mut self, digest: Digest) -> Option<Vec<u8>> {
        let bytes = self.pictures.take(digest)?;
        if bytes.len() > SMALL_BYTES && self.n_bytes + bytes.len() > MOST_BYTES {
            self.n_made_small += 1;
            return None;
        }
        self.n_bytes += bytes.len();
        Some(bytes)
    }
}

/// Sets a dossier on paper; it does nothing else.
pub async fn paper(asked: PressAsk, files: Vec<Blob>) -> (PressAnswer, Vec<Blob>) {
    let PressAsk::Print {
        statements,
        options,
        day,
        pictures,
    } = asked
    else {
        note("this press only sets dossiers on paper");
        return (refused("it was asked of the wrong press"), Vec::new());
    };
    let paper = match options.form {
        DossierForm::Paper(Sheet::Letter) => Paper::Letter,
        DossierForm::Paper(Sheet::A4) | DossierForm::Page => Paper::A4,
    };
    let mut pictures = Pictures::new(pictures, files);
    let outline = said(statements, &options, &day, &mut pictures);
    let mut found = Frugal {
        pictures,
        n_bytes: 0,
        n_made_small: 0,
    };
    match pdf(&outline, paper, &day, |digest| found.take(digest)) {
        Ok(made) => {
            let mut remarks = vec![format!("It has {} pages.", made.n_pages)];
            if found.n_made_small > 0 {
                remarks.push(format!(
                    "{} pictures are printed in their small size, since more do not fit into a phone's memory; the command line prints them all.",
                    found.n_made_small
                ));
            }
            remarks.extend(made.unprintable.iter().map(|(at, sign)| {
                format!(
                    "No face has the sign {sign} (U+{:04X}); it is printed by its number, in: {at}",
                    u32::from(*sign)
                )
            }));
            printed(
                &made.bytes,
                "application/pdf",
                found.pictures.n_missing,
                remarks,
            )
        }
        Err(error) => (refused(&error.to_string()), Vec::new()),
    }
}
