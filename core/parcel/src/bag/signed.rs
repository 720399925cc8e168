//! What the signatures of a bag come to, in words.

use garboard_key::{Found, Key, Sheet, Standing};
use garboard_record::{Digest, Id};

use super::Checked;

/// What the signatures of a bag come to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Marks {
    /// What is wrong with them, a sentence each.
    pub faults: Vec<String>,
    /// What they show and what they do not, a sentence each.
    pub remarks: Vec<String>,
}

/// Holds the signatures of a bag against what was found in it. `statements` is the digest of its statements together;
/// `name_of` tells under which name its log has a device whose key this is.
pub fn marks(
    checked: &Checked,
    statements: Digest,
    name_of: impl Fn(Id, &Key) -> Option<String>,
) -> Marks {
    let mut out = Marks::default();
    if checked.signatures.is_empty() {
        out.remarks
            .push("nothing in it is signed: who made the bag cannot be known from it".to_owned());
        return out;
    }
    let Some(manifest) = checked.manifest else {
        out.faults.push(
            "it is signed, and the manifest that was signed (manifest-sha256.txt) is missing"
                .to_owned(),
        );
        return out;
    };
    let found = Found {
        manifest,
        statements,
    };
    match Sheet::read(&checked.signatures).and_then(|sheet| sheet.held_against(found)) {
        Err(fault) => out.faults.push(fault.to_string()),
        Ok(standings) if standings.is_empty() => out
            .remarks
            .push("its sheet of signatures is empty: nobody signed it".to_owned()),
        Ok(standings) => {
            for standing in standings {
                if standing.faults.is_empty() {
                    out.remarks.push(holds(&standing, &name_of));
                }
                let faults = standing.faults.iter().map(ToString::to_string);
                out.faults.extend(faults);
            }
        }
    }
    out
}

fn holds(standing: &Standing, name_of: impl Fn(Id, &Key) -> Option<String>) -> String {
    let key = standing.key.spoken();
    let whose = match name_of(standing.device, &standing.key) {
        Some(name) => format!("the log names it as that of {name}"),
        None => "the statements that can be read here name no device with it".to_owned(),
    };
    format!(
        "signed with the key {key} ({whose}); by that device's own clock on {}. No file and no statement was changed, added \
         or taken away since. Compare the key with the one that the seller tells you himself: anybody can make one. That \
         what was written is true, and when it was written, no signature shows",
        standing.day
    )
}
