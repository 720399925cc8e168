//! A certificate authority of this machine's own, which can vouch for addresses of a home network and for nothing else.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::Duration;

use garboard_record::{Digest, When};
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType,
    ExtendedKeyUsagePurpose, GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose,
    NameConstraints, date_time_ymd,
};
use rustls::pki_types::CertificateDer;
use rustls::pki_types::pem::PemObject as _;
use serde::{Deserialize, Serialize};

use super::address::{NAMES, RANGES};
use crate::failure::{Done, Failure};
use crate::private::{permit, private_folder, write_private};

const DAY_MILLIS: u64 = 24 * 3600 * 1000;

/// How long the authority is good for.
const AUTHORITY_DAYS: u64 = 365;

/// How long what it vouches for is good for, and after how long it is made anew.
const LEAF_DAYS: u64 = 8;
const RENEWED_AFTER_DAYS: u64 = 4;

/// How far back a certificate begins, for phones whose clock is slow.
const SLOW_CLOCK_DAYS: u64 = 2;

const KEY: &str = "authority.key";
const CERTIFICATE: &str = "authority.crt";
const NOTE: &str = "authority.json";

/// What is kept beside the key.
#[derive(Debug, Clone, Serialize, Deserialize)]
struct Note {
    /// As a phone lists it.
    name: String,
    /// When it was made, in milliseconds since 1970.
    made: u64,
}

/// The authority: its key lies in this machine's state folder and is read by this user alone.
pub struct Authority {
    folder: PathBuf,
    note: Note,
    key: KeyPair,
    der: Vec<u8>,
    is_new: bool,
}

/// What the authority vouches for: one key for some addresses, for a few days.
pub struct Leaf {
    /// The certificate, DER.
    pub certificate: Vec<u8>,
    /// Its key, PKCS #8.
    pub key: Vec<u8>,
    /// From when on it is to be made anew, in milliseconds since 1970.
    pub renew_at: u64,
}

impl Authority {
    /// Opens the authority in a folder, or makes one where there is none or the old one is past its time.
    ///
    /// # Errors
    ///
    /// The environment's when the folder cannot be read or written, or what lies in it is damaged.
    pub fn open(folder: &Path, now: u64) -> Done<Self> {
        private_folder(folder)?;
        let lock_path = folder.join("lock");
        let lock = File::options()
            .create(true)
            .append(true)
            .open(&lock_path)
            .map_err(|cause| Failure::file("cannot open", &lock_path, &cause))?;
        lock.lock()
            .map_err(|cause| Failure::file("cannot lock", &lock_path, &cause))?;
        let [key_path, certificate_path, note_path] =
            [KEY, CERTIFICATE, NOTE].map(|name| folder.join(name));
        if !note_path.exists() {
            return Self::make(folder, now);
        }
        let read = |path: &Path| {
            fs::read_to_string(path).map_err(|cause| Failure::file("cannot read", path, &cause))
        };
        permit(&key_path, 0o600)?;
        let (key, note) = (read(&key_path)?, read(&note_path)?);
        let damaged = |what: String| {
            Failure::environment(
                format!("the home network's authority is damaged: {what}"),
                format!(
                    "remove the folder {} and start again; phones must then be told to trust the new one, and to forget the old",
                    folder.display()
                ),
            )
        };
        let key = KeyPair::from_pem(&key).map_err(|cause| damaged(cause.to_string()))?;
        let note: Note = serde_json::from_str(&note).map_err(|cause| damaged(cause.to_string()))?;
        let der = CertificateDer::from_pem_slice(read(&certificate_path)?.as_bytes())
            .map_err(|cause| damaged(cause.to_string()))?
            .to_vec();
        let public = key.public_key_raw();
        if !der.windows(public.len()).any(|part| part == public) {
            return Err(damaged("its key is that of another one".to_owned()));
        }
        if now >= note.made + AUTHORITY_DAYS * DAY_MILLIS {
            return Self::make(folder, now);
        }
        Ok(Self {
            folder: folder.to_path_buf(),
            note,
            key,
            der,
            is_new: false,
        })
    }

    fn make(folder: &Path, now: u64) -> Done<Self> {
        let key = KeyPair::generate().map_err(ours)?;
        // Two authorities of one day can be told apart in a phone's list.
        let mark: String = Digest::of(key.public_key_raw())
            .to_string()
            .chars()
            .take(4)
            .collect();
        let name = format!("Garboard at home, {} ({mark})", day(now));
        let certificate = params(&name, now).self_signed(&key).map_err(ours)?;
        let note = Note { name, made: now };
        let text = serde_json::to_string_pretty(&note)
            .map_err(|cause| Failure::ours(cause.to_string()))?;
        // The note last: what was broken off is made anew.
        write_private(folder, KEY, key.serialize_pem().as_bytes())?;
        write_private(folder, CERTIFICATE, certificate.pem().as_bytes())?;
        write_private(folder, NOTE, text.as_bytes())?;
        Ok(Self {
            folder: folder.to_path_buf(),
            note,
            key,
            der: certificate.der().to_vec(),
            is_new: true,
        })
    }

    /// As a phone lists it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.note.name
    }

    /// Where it is kept.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Whether it was made just now, so that no phone knows it yet.
    #[must_use]
    pub fn is_new(&self) -> bool {
        self.is_new
    }

    /// Its certificate, DER: what a phone is given. There is no secret in it.
    #[must_use]
    pub fn certificate(&self) -> &[u8] {
        &self.der
    }

    /// The SHA-256 of its certificate, as phones print it: pairs of digits.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let digits = Digest::of(&self.der).to_string().to_uppercase();
        let pairs: Vec<String> = digits
            .chars()
            .collect::<Vec<_>>()
            .chunks(2)
            .map(|pair| pair.iter().collect())
            .collect();
        pairs.join(":")
    }

    /// The last day on which it is good, `2027-05-09`.
    #[must_use]
    pub fn last_day(&self) -> String {
        day(self.note.made + (AUTHORITY_DAYS - 1) * DAY_MILLIS)
    }

    /// Vouches for addresses and names with a new key.
    ///
    /// # Errors
    ///
    /// Ours when the certificate cannot be made.
    pub fn leaf(&self, names: &[String], now: u64) -> Done<Leaf> {
        let mut wanted = CertificateParams::new(names.to_vec()).map_err(ours)?;
        let mut subject = DistinguishedName::new();
        subject.push(DnType::CommonName, "Garboard on this network");
        wanted.distinguished_name = subject;
        // Never longer than the authority itself.
        let until =
            (now + LEAF_DAYS * DAY_MILLIS).min(self.note.made + AUTHORITY_DAYS * DAY_MILLIS);
        wanted.not_before =
            date_time_ymd(1970, 1, 1) + since(now.saturating_sub(SLOW_CLOCK_DAYS * DAY_MILLIS));
        wanted.not_after = date_time_ymd(1970, 1, 1) + since(until);
        wanted.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        wanted.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        wanted.use_authority_key_identifier_extension = true;
        let key = KeyPair::generate().map_err(ours)?;
        let own = params(&self.note.name, self.note.made);
        let issuer = Issuer::from_params(&own, &self.key);
        let certificate = wanted.signed_by(&key, &issuer).map_err(ours)?;
        Ok(Leaf {
            certificate: certificate.der().to_vec(),
            key: key.serialize_der(),
            renew_at: now + RENEWED_AFTER_DAYS * DAY_MILLIS,
        })
    }
}

/// What the authority says of itself: it signs certificates of servers at home, and those certificates sign nothing.
fn params(name: &str, made: u64) -> CertificateParams {
    let mut own = CertificateParams::default();
    let mut subject = DistinguishedName::new();
    subject.push(DnType::CommonName, name);
    own.distinguished_name = subject;
    own.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    own.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    own.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    let addresses = RANGES.iter().map(|(range, n_bits)| {
        GeneralSubtree::IpAddress(CidrSubnet::from_v4_prefix(*range, *n_bits))
    });
    let names = NAMES
        .iter()
        .map(|name| GeneralSubtree::DnsName((*name).to_owned()));
    own.name_constraints = Some(NameConstraints {
        permitted_subtrees: addresses.chain(names).collect(),
        // No kind of address that is not named above: IPv6 and electronic mail are closed whole.
        excluded_subtrees: vec![GeneralSubtree::IpAddress(CidrSubnet::from_v6_prefix(
            [0; 16], 0,
        ))],
    });
    own.not_before =
        date_time_ymd(1970, 1, 1) + since(made.saturating_sub(SLOW_CLOCK_DAYS * DAY_MILLIS));
    own.not_after = date_time_ymd(1970, 1, 1) + since(made + AUTHORITY_DAYS * DAY_MILLIS);
    own
}

/// The whole seconds since 1970.
fn since(millis: u64) -> Duration {
    Duration::from_secs(millis / 1000)
}

/// The day of a time in UTC.
fn day(millis: u64) -> String {
    let when = When::from_unix_millis(millis);
    when.day().unwrap_or_default().to_owned()
}

#[expect(clippy::needless_pass_by_value, reason = "as `map_err` hands it over")]
fn ours(cause: rcgen::Error) -> Failure {
    Failure::ours(format!("the certificate cannot be made: {cause}"))
}

#[cfg(test)]
mod tests;
