//! Cases of the BagIt conformance suite (Library of Congress, in the public domain) and the examples of RFC 8493, section 4.
//!
//! The suite's bags are built here again from the texts and digests of its files, in a ZIP. Tag manifests leave out the lines of
//! files that are left away.

use super::*;

const VERSION_97: &str = "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n";
const VERSION_1: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

fn bag_of(files: &[(&str, &str)]) -> Checked {
    let files = files
        .iter()
        .map(|(path, text)| (format!("bag/{path}"), text.as_bytes().to_vec()))
        .collect();
    checked(&packed(&files))
}

/// `v0.97/valid/basic-bag-sha256`: payload, manifest and tag manifest as they stand there.
#[test]
fn the_suites_basic_bag_with_sha_256_is_whole_and_an_altered_one_is_not() {
    let text = "Tue, Jul 24, 2018  9:45:38 AM\n";
    let manifest =
        "1dd056f18456057df5e333e0dc894ff8e9d600817ae26ec89c49e37ad2d555d4  data/text-file.txt\n";
    let tags = "e91f941be5973ff71f1dccbdd1a32d598881893a7f21be516aca743da38b1689 bagit.txt\n\
        f03860318c2b9cea1d6d322ccb14fef1732038efeacf9be5cc6d2ed00216f680 manifest-sha256.txt\n";
    let files = [
        ("bagit.txt", VERSION_97),
        ("data/text-file.txt", text),
        ("manifest-sha256.txt", manifest),
        ("tagmanifest-sha256.txt", tags),
    ];
    let found = bag_of(&files);
    assert_eq!(found.faults, Vec::<String>::new());
    assert_eq!(found.n_intact, 1);
    for (at, (path, text)) in files.iter().enumerate().take(3) {
        let mut altered = files;
        let other = format!("{text} ");
        altered[at] = (path, &other);
        assert!(!bag_of(&altered).faults.is_empty(), "{path}");
    }
}

/// `v0.97/valid/basic-bag-sha512`.
#[test]
fn the_suites_basic_bag_with_sha_512_is_whole() {
    let manifest = "1d1a9083e03045a84404ffc8b7b4dc921adf0019a39aabcfb49111886cd1168f8e3c62261f2cfdef9e042a8cfa159e0567b394ca41e7bf8f490b0a9730de378c  data/text-file.txt\n";
    let tags = "418dcfbe17d5f4b454b18630be795462cf7da4ceb6313afa49451aa2568e41f7ca3d34cf0280c7d056dc5681a70c37586aa1755620520b9198eede905ba2d0f6 bagit.txt\n\
        6f9cdfe8f547e88680e8c0b4701d8a0bcc5fd9edb1e63d3b5ce1ae0318446a1c5e02a1817605d5f8f6c4767605f163724f4b45ecee2667c1e1ffc2af51f57e65 manifest-sha512.txt\n";
    let found = bag_of(&[
        ("bagit.txt", VERSION_97),
        ("data/text-file.txt", "Tue, Jul 24, 2018  9:46:02 AM\n"),
        ("manifest-sha512.txt", manifest),
        ("tagmanifest-sha512.txt", tags),
    ]);
    assert_eq!(found.faults, Vec::<String>::new());
    assert_eq!(found.n_intact, 1);
}

/// `v0.97/valid/basic-bag-sha1` is valid there. Here SHA-1 alone is not enough, and that is said: a known difference.
#[test]
fn the_suites_basic_bag_with_sha_1_alone_cannot_be_checked_and_that_is_said() {
    let found = bag_of(&[
        ("bagit.txt", VERSION_97),
        ("data/test-file.txt", "x\n"),
        (
            "manifest-sha1.txt",
            "cbf04e6fb6ccca3287639848a8c3ff45d81c13de  data/test-file.txt\n",
        ),
    ]);
    assert!(
        found
            .remarks
            .iter()
            .any(|one| one.contains("manifest-sha1.txt is not checked"))
    );
    assert!(
        found
            .faults
            .iter()
            .any(|one| one.contains("cannot be checked"))
    );
}

/// `v0.97/invalid/out-of-scope-file-paths-using-dot-notation`: a manifest that names a file outside of the bag.
#[test]
fn the_suites_path_out_of_the_bag_is_a_fault() {
    let nothing = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    let manifest = format!("{nothing}  data/bare-filename\n{nothing}  ../../../README.md\n");
    let found = bag_of(&[
        ("bagit.txt", VERSION_97),
        ("data/bare-filename", ""),
        ("manifest-sha256.txt", &manifest),
    ]);
    assert!(
        found
            .faults
            .iter()
            .any(|one| one.contains("../../../README.md")),
        "{found:?}"
    );
}

/// `v0.97/warning/same-filename-listed-twice-with-different-normalization`: two empty files, both named as they stand.
#[test]
fn the_suites_one_name_in_two_normal_forms_is_two_files() {
    let nothing = "cf83e1357eefb8bdf1542850d66d8007d620e4050b5715dc83f4a921d36ce9ce47d0d13c5d85f2b0ff8318d2877eec2f63b931bd47417a81a538327af927da3e";
    let names = ["data/N\u{FA}\u{F1}ez", "data/Nu\u{301}n\u{303}ez"];
    let manifest = names.map(|name| format!("{nothing}  {name}\n")).concat();
    let found = bag_of(&[
        ("bagit.txt", VERSION_97),
        (names[0], ""),
        (names[1], ""),
        ("manifest-sha512.txt", &manifest),
    ]);
    assert_eq!((found.faults.len(), found.n_intact), (0, 2), "{found:?}");
}

/// `v0.97/valid/duplicate-metadata-entries`: labels that come twice are both kept.
#[test]
fn the_suites_labels_that_come_twice_are_both_kept() {
    let found = bag_of(&[
        ("bagit.txt", VERSION_97),
        (
            "bag-info.txt",
            "Bagging-Date: 2016-02-26\nBagging-Date: 2016-03-10\n",
        ),
        ("manifest-sha256.txt", ""),
    ]);
    let dates = ["2016-02-26", "2016-03-10"];
    let wanted: Vec<(String, String)> = dates
        .iter()
        .map(|date| ("Bagging-Date".to_owned(), (*date).to_owned()))
        .collect();
    assert_eq!(found.info, wanted);
    assert_eq!(found.faults, Vec::<String>::new());
}

/// `v0.97/valid/UTF-16-encoded-tag-files`. Here only UTF-8 is read, and that is said: a known difference.
#[test]
fn the_suites_tag_files_in_utf_16_are_refused_by_name() {
    let found = bag_of(&[
        (
            "bagit.txt",
            "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-16BE\n",
        ),
        ("manifest-sha256.txt", ""),
    ]);
    assert!(
        found.faults.iter().any(|one| one.contains("UTF-16BE")),
        "{found:?}"
    );
}

/// RFC 8493, sections 4.1 and 4.2: the examples, from memory; the payload's bytes are not printed there, and MD5 is not taken.
#[test]
fn the_standards_examples_are_read_and_said_to_be_unchecked() {
    let manifest = "49afbd86a1ca9f34b677a3f09655eae9 data/27613-h/images/q172.png\n\
        408ad21d50cef31da4df6d9ed81b01a7 data/27613-h/images/q172.txt\n";
    let files = [
        ("bagit.txt", VERSION_1),
        ("manifest-md5.txt", manifest),
        ("data/27613-h/images/q172.png", "... image bytes ..."),
        ("data/27613-h/images/q172.txt", "... OCR text ..."),
    ];
    let found = bag_of(&files);
    assert!(
        found
            .remarks
            .iter()
            .any(|one| one.contains("manifest-md5.txt is not checked"))
    );
    assert!(
        found
            .faults
            .iter()
            .any(|one| one.contains("cannot be checked"))
    );
    // Section 4.2: files that lie elsewhere. Nothing is fetched.
    let fetch = (
        "fetch.txt",
        "http://www.example.org/q172.png - data/27613-h/images/q172.png\n",
    );
    let found = bag_of(&[&files[..2], &[fetch]].concat());
    assert!(
        found
            .remarks
            .iter()
            .any(|one| one.contains("nothing is fetched")),
        "{found:?}"
    );
}
