//! The seal of a page that goes its way alone: a comment after its end, with a sheet of signatures over all that stands before.

use garboard_record::{Digest, Id};

use crate::Sheet;
use crate::sheet::{Fault, Found, Signed, Signer, Standing, of_statements};

const START: &str = "<!-- garboard seal ";
const END: &str = " -->\n";
/// No seal takes more bytes.
pub const MOST_SEAL_BYTES: usize = 4096;

/// What a seal signs for: the SHA-256 of the one line `<digest>  page`, where the digest is that of every byte before the seal. It
/// is the manifest of a page, as a bag has a manifest of all its files.
#[must_use]
pub fn of_page(page: Digest) -> Digest {
    Digest::of(format!("{page}  page\n").as_bytes())
}

impl Signer {
    /// The seal of a page with this digest, to be written at its end; `statements` are those of all statements of the log.
    #[must_use]
    pub fn seal(&self, day: &str, page: Digest, statements: &[Digest]) -> String {
        let found = Found {
            manifest: of_page(page),
            statements: of_statements(statements.iter().copied()),
        };
        let n = statements.len() as u64;
        let signed = Signed::by(&self.secret, self.log, self.device, day, n, found);
        format!("{START}{}{END}", Sheet::of(signed).to_json())
    }
}

/// The sheet of a seal at the end of these bytes, with the number of bytes that the seal takes; `None` when there is none.
#[must_use]
pub fn seal_in(end: &[u8]) -> Option<(String, usize)> {
    let text = end.strip_suffix(END.as_bytes())?;
    let start = text
        .windows(START.len())
        .rposition(|part| part == START.as_bytes())?;
    let sheet = text.get(start + START.len()..)?;
    let sheet = std::str::from_utf8(sheet).ok()?.to_owned();
    Some((sheet, end.len() - start))
}

/// Holds a seal's sheet against the digest of what stands before it. The statements cannot be looked at in a page: of them the
/// sheet is believed.
///
/// # Errors
///
/// - those of [`Sheet::read`]
pub fn sealed(sheet: &str, page: Digest) -> Result<Vec<(Id, Standing)>, Fault> {
    let sheet = Sheet::read(sheet)?;
    sheet
        .signatures
        .iter()
        .map(|signed| {
            let found = Found {
                manifest: of_page(page),
                statements: signed.statements,
            };
            Ok((signed.log, signed.held_against(found)?))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Secret;

    fn signer() -> Signer {
        Signer {
            log: "01890000-0000-7000-8000-000000000001".parse().unwrap(),
            device: "01890000-0000-7000-8000-000000000002".parse().unwrap(),
            secret: Secret::of([7; 32]),
        }
    }

    fn page() -> Vec<u8> {
        let text = b"<!DOCTYPE html>\n<title>x</title>\n".to_vec();
        let seal = signer().seal("2026-11-28", Digest::of(&text), &[Digest::of(b"a")]);
        [text, seal.into_bytes()].concat()
    }

    fn faults(page: &[u8]) -> Option<usize> {
        let (sheet, n_bytes) = seal_in(page)?;
        let before = page.get(..page.len() - n_bytes)?;
        let standings = sealed(&sheet, Digest::of(before));
        Some(standings.map_or(1, |all| all.iter().map(|(_, one)| one.faults.len()).sum()))
    }

    #[test]
    fn a_sealed_page_holds_and_each_altered_byte_is_noticed() {
        let page = page();
        assert!(page.len() < MOST_SEAL_BYTES);
        assert_eq!(faults(&page), Some(0));
        for at in 0..page.len() {
            let mut altered = page.clone();
            if let Some(byte) = altered.get_mut(at) {
                *byte ^= 1;
            }
            assert_ne!(faults(&altered), Some(0), "byte {at}");
        }
        for n in 0..page.len() {
            assert_ne!(faults(page.get(..n).unwrap()), Some(0), "cut to {n}");
        }
        assert_ne!(
            faults(&[page.clone(), b"<p>more</p>".to_vec()].concat()),
            Some(0)
        );
        assert_ne!(faults(&[b"<p>more</p>".to_vec(), page].concat()), Some(0));
    }
}
