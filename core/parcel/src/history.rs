//! A history that came without its bag: a page or a paper, checked by its seal or against a bag that it may have come from.

use std::io::{Read, Result, Seek, SeekFrom};

use garboard_key::{Fault, MOST_SEAL_BYTES, seal_in, sealed};
use garboard_photo::Hasher;
use garboard_record::Digest;

use crate::bag::{Checked, Marks};

/// What a history is set as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A page (HTML).
    Page,
    /// On paper (PDF).
    Paper,
}

/// A page or a paper, read to its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct History {
    /// Which of the two it is.
    pub form: Form,
    /// The SHA-256 of all of it.
    pub digest: String,
    /// The sheet of its seal with the digest of what stands before; a paper has none.
    seal: Option<(String, Digest)>,
}

/// Which of the two a file is, by how it begins; `None` when it is neither.
///
/// # Errors
///
/// - those of `from`
pub fn form_of(mut from: impl Read) -> Result<Option<Form>> {
    let mut start = Vec::new();
    from.by_ref().take(16).read_to_end(&mut start)?;
    Ok(if start.starts_with(b"%PDF-") {
        Some(Form::Paper)
    } else if start.to_ascii_lowercase().starts_with(b"<!doctype html") {
        Some(Form::Page)
    } else {
        None
    })
}

impl History {
    /// Reads a file in steps, so that memory stays small whatever its size.
    ///
    /// # Errors
    ///
    /// - those of `from`
    pub fn read(form: Form, mut from: impl Read + Seek) -> Result<Self> {
        let size = from.seek(SeekFrom::End(0))?;
        let most = MOST_SEAL_BYTES as u64;
        from.seek(SeekFrom::Start(size.saturating_sub(most)))?;
        let mut end = Vec::new();
        from.by_ref().take(most).read_to_end(&mut end)?;
        let seal = seal_in(&end).filter(|_| form == Form::Page);
        let n_before = seal.as_ref().map(|(_, n)| size - *n as u64);
        from.seek(SeekFrom::Start(0))?;
        let mut whole = Hasher::new();
        let mut before = None;
        let mut at = 0;
        let mut buffer = vec![0; 1 << 16];
        loop {
            // The step ends where the seal begins, if it would go beyond.
            let room = n_before.filter(|n| *n > at).map_or(u64::MAX, |n| n - at);
            let n = from.by_ref().take(room).read(&mut buffer)?;
            let Some(bytes) = buffer.get(..n).filter(|bytes| !bytes.is_empty()) else {
                break;
            };
            whole.update(bytes);
            at += n as u64;
            if Some(at) == n_before {
                before = whole.clone().finish().parse().ok();
            }
        }
        Ok(Self {
            form,
            digest: whole.finish(),
            seal: seal.and_then(|(sheet, _)| Some((sheet, before?))),
        })
    }

    /// Whether it bears a seal.
    #[must_use]
    pub fn is_sealed(&self) -> bool {
        self.seal.is_some()
    }

    fn called(&self) -> &'static str {
        match self.form {
            Form::Page => "the page",
            Form::Paper => "the paper",
        }
    }

    /// What its seal comes to.
    #[must_use]
    pub fn marks(&self) -> Marks {
        let mut out = Marks::default();
        let Some((sheet, page)) = &self.seal else {
            out.remarks.push(format!(
                "{} bears no seal: whether it was altered can be told only with the bag that it came in",
                self.called()
            ));
            return out;
        };
        match sealed(sheet, *page) {
            Err(fault) => out.faults.push(in_page(&fault)),
            Ok(standings) => {
                for (_, standing) in standings {
                    out.faults.extend(standing.faults.iter().map(in_page));
                    if standing.faults.is_empty() {
                        out.remarks.push(format!(
                            "sealed with the key {}; by that device's own clock on {}. No byte of the page was changed since. \
                             Compare the key with the one that the seller tells you himself: anybody can make one. That what was \
                             written is true, and when it was written, no seal shows",
                            standing.key.spoken(),
                            standing.day
                        ));
                    }
                }
            }
        }
        out
    }

    /// Looks for it among the files of a bag.
    #[must_use]
    pub fn in_bag(&self, bag: &Checked) -> Marks {
        let mut out = Marks::default();
        let found = bag.payload.iter().find(|(_, sum)| *sum == self.digest);
        match found {
            Some((path, _)) => out
                .remarks
                .push(format!("{} is {path} of the bag, byte for byte", self.called())),
            None => out.faults.push(format!(
                "{} is none of the bag's files: it was altered, or made at another time or with other choices",
                self.called()
            )),
        }
        out
    }
}

/// A fault of a sheet in the words of a page.
fn in_page(fault: &Fault) -> String {
    match fault {
        Fault::OtherFiles { key } => {
            format!("the key {key} sealed another page than this: it was altered after that")
        }
        Fault::Unread { cause } => format!("the seal of the page cannot be read ({cause})"),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use garboard_key::{Secret, Signer};

    use super::*;

    fn page(n: usize) -> Vec<u8> {
        let text = format!("<!DOCTYPE html>\n{}", "x".repeat(n)).into_bytes();
        let signer = Signer {
            log: "01890000-0000-7000-8000-000000000001".parse().unwrap(),
            device: "01890000-0000-7000-8000-000000000002".parse().unwrap(),
            secret: Secret::of([7; 32]),
        };
        let seal = signer.seal("2026-11-28", Digest::of(&text), &[]);
        [text, seal.into_bytes()].concat()
    }

    fn read(bytes: &[u8]) -> History {
        let form = form_of(bytes).unwrap().unwrap();
        History::read(form, Cursor::new(bytes)).unwrap()
    }

    #[test]
    fn a_sealed_page_of_any_length_holds_and_an_altered_one_does_not() {
        for n in [0, 1, 4000, 65_519, 65_520, 65_521, 200_000] {
            let whole = page(n);
            let history = read(&whole);
            assert!(history.is_sealed());
            assert_eq!(history.digest, garboard_photo::digest(&whole));
            assert_eq!(history.marks().faults, Vec::<String>::new(), "{n}");
            let mut altered = whole;
            if let Some(byte) = altered.get_mut(15) {
                *byte = b' ';
            }
            let faults = read(&altered).marks().faults;
            assert!(
                faults.iter().any(|one| one.contains("another page")),
                "{faults:?}"
            );
        }
    }

    #[test]
    fn without_a_seal_only_the_bag_can_tell() {
        let paper = read(b"%PDF-1.7 and more");
        assert!(!paper.is_sealed());
        assert_eq!(paper.marks().faults.len(), 0);
        let mut bag = Checked::default();
        assert_eq!(paper.in_bag(&bag).faults.len(), 1);
        bag.payload
            .push(("data/history.pdf".to_owned(), paper.digest.clone()));
        assert_eq!(
            paper.in_bag(&bag).remarks,
            ["the paper is data/history.pdf of the bag, byte for byte"]
        );
        assert_eq!(form_of(b"PK\x03\x04".as_slice()).unwrap(), None);
    }
}
