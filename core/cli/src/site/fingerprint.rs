//! One digest over all that goes into the site.

use std::path::Path;

use sha2::{Digest as _, Sha256};

use super::{Error, files, read};

/// What the site is made of; the command line's own code is not, but for the builder.
const PARTS: &[&str] = &["core", "web", "www"];

/// Of the command line, only the builder's folder counts.
const NOT: &str = "core/cli";
const BUILDER: &str = "core/cli/src/site";

const FILES: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "core/cli/src/site.rs",
    "docs/changelog.md",
];

/// Returns the fingerprint of the sources under a workspace.
pub(super) fn of(source: &Path) -> Result<String, Error> {
    let mut sum = Sha256::new();
    let mut add = |name: &Path, bytes: &[u8]| {
        sum.update(name.as_os_str().as_encoded_bytes());
        sum.update([0]);
        sum.update(Sha256::digest(bytes));
    };
    for file in FILES {
        add(Path::new(file), &read(&source.join(file))?);
    }
    for part in PARTS {
        let folder = source.join(part);
        if !folder.is_dir() {
            continue;
        }
        for file in files(&folder)? {
            let name = Path::new(part).join(&file);
            if !name.starts_with(NOT) || name.starts_with(BUILDER) {
                add(&name, &read(&folder.join(&file))?);
            }
        }
    }
    Ok(hex(&sum.finalize()))
}

/// Writes bytes as hexadecimal digits.
pub(super) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
