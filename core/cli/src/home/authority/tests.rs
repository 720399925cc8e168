//! The authority is kept, is private, ends, and does not go on with a key that is not its own.

use super::*;
use crate::failure::Fault;

const NOW: u64 = 1_778_068_800_000;

#[test]
fn it_is_kept_and_ends_after_a_year() {
    let folder = tempfile::tempdir().unwrap();
    let first = Authority::open(folder.path(), NOW).unwrap();
    assert!(first.is_new());
    assert_eq!(first.last_day(), "2027-05-05");
    let later = NOW + 364 * DAY_MILLIS;
    let again = Authority::open(folder.path(), later).unwrap();
    assert!(!again.is_new());
    assert_eq!(again.fingerprint(), first.fingerprint());
    assert_eq!(again.name(), first.name());
    let next = Authority::open(folder.path(), NOW + 365 * DAY_MILLIS).unwrap();
    assert!(next.is_new());
    assert_ne!(next.fingerprint(), first.fingerprint());
    assert_ne!(next.name(), first.name());
}

#[cfg(unix)]
#[test]
fn its_key_is_for_this_user_alone_even_after_somebody_opened_it() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("home-network");
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    Authority::open(&dir, NOW).unwrap();
    assert_eq!(mode(&dir), 0o700);
    assert_eq!(mode(&dir.join(KEY)), 0o600);
    fs::set_permissions(dir.join(KEY), fs::Permissions::from_mode(0o644)).unwrap();
    Authority::open(&dir, NOW).unwrap();
    assert_eq!(mode(&dir.join(KEY)), 0o600);
}

#[test]
fn a_damaged_one_is_refused_with_the_way_to_mend_it() {
    let folder = tempfile::tempdir().unwrap();
    let other = tempfile::tempdir().unwrap();
    Authority::open(folder.path(), NOW).unwrap();
    Authority::open(other.path(), NOW).unwrap();
    let refused = || {
        let failure = Authority::open(folder.path(), NOW).err().unwrap();
        assert_eq!(failure.fault, Fault::Environment);
        assert!(failure.hint.contains("start again"), "{}", failure.hint);
        failure.message
    };
    fs::copy(other.path().join(KEY), folder.path().join(KEY)).unwrap();
    assert!(refused().ends_with("its key is that of another one"));
    fs::write(folder.path().join(KEY), "no key").unwrap();
    refused();
    fs::write(folder.path().join(NOTE), "{}").unwrap();
    refused();
}

#[test]
fn what_was_broken_off_while_it_was_made_is_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let first = Authority::open(folder.path(), NOW).unwrap();
    fs::remove_file(folder.path().join(NOTE)).unwrap();
    let next = Authority::open(folder.path(), NOW).unwrap();
    assert!(next.is_new());
    assert_ne!(next.fingerprint(), first.fingerprint());
}
