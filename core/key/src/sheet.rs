//! The sheet of signatures that goes along in a bag: who signed which files and which statements.

use garboard_record::{Digest, Id, canonical, small};
use serde::{Deserialize, Serialize};

use crate::key::{read, written};
use crate::{Key, Secret};

/// The form of sheets that this version writes, and the latest that it reads.
pub const FORM: u64 = 1;
const NAME: &str = "signatures";
const ALGORITHM: &str = "Ed25519";

/// A sheet of signatures, canonical JSON.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// The word `signatures`.
    pub garboard: String,
    /// The form, [`FORM`].
    pub form: u64,
    /// One for each device that signed.
    pub signatures: Vec<Signed>,
}

/// What a device signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Signed {
    /// The word `Ed25519`.
    pub algorithm: String,
    /// The log.
    pub log: Id,
    /// The device.
    pub device: Id,
    /// Its public key, 64 hexadecimal digits.
    pub key: String,
    /// The day on which it signed, by its own clock.
    pub day: String,
    /// The SHA-256 of the bag's `manifest-sha256.txt`, which names every file.
    pub manifest: Digest,
    /// The digest of all statements together: see [`of_statements`].
    pub statements: Digest,
    /// How many statements there are.
    pub n_statements: u64,
    /// The signature over the canonical JSON of all that stands above, 128 hexadecimal digits.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub value: String,
}

/// A device that signs what it hands over.
#[derive(Debug)]
pub struct Signer {
    /// The log.
    pub log: Id,
    /// The device.
    pub device: Id,
    /// Its secret.
    pub secret: Secret,
}

impl Signer {
    /// The sheet over a bag: `manifest` is the digest of its `manifest-sha256.txt`, `statements` are those of all statements.
    #[must_use]
    pub fn sheet(&self, day: &str, manifest: Digest, statements: &[Digest]) -> Sheet {
        let found = Found {
            manifest,
            statements: of_statements(statements.iter().copied()),
        };
        let n = statements.len() as u64;
        Sheet::of(Signed::by(
            &self.secret,
            self.log,
            self.device,
            day,
            n,
            found,
        ))
    }
}

/// What is found in a bag, to hold a sheet against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// The SHA-256 of its `manifest-sha256.txt`.
    pub manifest: Digest,
    /// The digest of its statements together.
    pub statements: Digest,
}

/// A signature that was checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// Who signed, as the signature has it.
    pub device: Id,
    /// With which key.
    pub key: Key,
    /// On which day, by the device's own clock.
    pub day: String,
    /// What is wrong with it; nothing when it holds.
    pub faults: Vec<Fault>,
}

/// What is wrong with a signature.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The text is no sheet of signatures.
    #[error("signatures.json cannot be read ({cause})")]
    Unread {
        /// Why.
        cause: String,
    },
    /// The sheet is of a later form.
    #[error(
        "signatures.json has the form {found}, and this version knows up to {FORM}: check it with a newer one"
    )]
    Future {
        /// The form.
        found: u64,
    },
    /// The signature is not of its key and text.
    #[error(
        "the signature of the key {key} does not fit what it says it signed: one of the two was altered"
    )]
    Unfit {
        /// The key as it stands there.
        key: String,
    },
    /// It is good, and the files are others.
    #[error(
        "the key {key} signed other files than these: files or manifests were altered after it signed"
    )]
    OtherFiles {
        /// The key.
        key: String,
    },
    /// It is good, and the statements are others.
    #[error(
        "the key {key} signed other statements than these: some were altered, added or taken away after it signed"
    )]
    OtherStatements {
        /// The key.
        key: String,
    },
}

impl Sheet {
    /// A sheet of one signature.
    #[must_use]
    pub fn of(signed: Signed) -> Self {
        Self {
            garboard: NAME.to_owned(),
            form: FORM,
            signatures: vec![signed],
        }
    }

    /// The sheet as canonical JSON.
    #[must_use]
    pub fn to_json(&self) -> String {
        canonical::text(self).unwrap_or_default()
    }

    /// Reads a sheet.
    ///
    /// # Errors
    ///
    /// - [`Fault::Unread`], [`Fault::Future`]
    pub fn read(text: &str) -> Result<Self, Fault> {
        // The form is looked at first: a later one may have other fields.
        #[derive(Deserialize)]
        struct Form {
            form: u64,
        }
        let unread = |cause: serde_json::Error| Fault::Unread {
            cause: cause.to_string(),
        };
        let Form { form } = serde_json::from_str(text).map_err(unread)?;
        if form > FORM {
            return Err(Fault::Future { found: form });
        }
        let sheet: Self = serde_json::from_str(text).map_err(unread)?;
        if sheet.garboard != NAME || sheet.form != FORM {
            return Err(Fault::Unread {
                cause: "it does not call itself a sheet of signatures of a known form".to_owned(),
            });
        }
        Ok(sheet)
    }

    /// Every signature against what was found.
    ///
    /// # Errors
    ///
    /// - [`Fault::Unread`] when a key is none
    pub fn held_against(&self, found: Found) -> Result<Vec<Standing>, Fault> {
        self.signatures
            .iter()
            .map(|signed| signed.held_against(found))
            .collect()
    }
}

impl Signed {
    /// Signs: `self` says everything but the key and the value.
    #[must_use]
    pub fn by(
        secret: &Secret,
        log: Id,
        device: Id,
        day: &str,
        n_statements: u64,
        what: Found,
    ) -> Self {
        let mut signed = Self {
            algorithm: ALGORITHM.to_owned(),
            log,
            device,
            key: secret.key().to_string(),
            day: day.to_owned(),
            manifest: what.manifest,
            statements: what.statements,
            n_statements,
            value: String::new(),
        };
        signed.value = written(&secret.sign(signed.message().as_bytes()));
        signed
    }

    /// What is signed: the canonical JSON of everything but the value.
    fn message(&self) -> String {
        let bare = Self {
            value: String::new(),
            ..self.clone()
        };
        canonical::text(&bare).unwrap_or_default()
    }

    pub(crate) fn held_against(&self, found: Found) -> Result<Standing, Fault> {
        let key: Key = self
            .key
            .parse()
            .map_err(|cause: crate::Unread| Fault::Unread {
                cause: cause.to_string(),
            })?;
        let is_good = self.algorithm == ALGORITHM
            && read::<64>(&self.value)
                .is_ok_and(|value| key.fits(self.message().as_bytes(), &value));
        let mut faults = Vec::new();
        let spoken = key.spoken();
        if !is_good {
            faults.push(Fault::Unfit { key: spoken });
        } else {
            if self.manifest != found.manifest {
                faults.push(Fault::OtherFiles {
                    key: spoken.clone(),
                });
            }
            if self.statements != found.statements {
                faults.push(Fault::OtherStatements { key: spoken });
            }
        }
        Ok(Standing {
            device: self.device,
            key,
            day: self.day.clone(),
            faults,
        })
    }
}

/// The digest of statements together: the SHA-256 of their digests in hexadecimal digits, sorted, a line each. The order
/// in which they come does not matter; one that comes twice counts once.
#[must_use]
pub fn of_statements(digests: impl IntoIterator<Item = Digest>) -> Digest {
    let mut all: Vec<Digest> = digests.into_iter().collect();
    small::sort(&mut all);
    all.dedup();
    let lines: String = all.iter().map(|digest| format!("{digest}\n")).collect();
    Digest::of(lines.as_bytes())
}
