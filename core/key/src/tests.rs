//! What is published of Ed25519, and what must hold of sheets.

use garboard_record::{Digest, Id};
use proptest::prelude::*;

use crate::key::{read, written};
use crate::{Fault, Found, Key, Secret, Sheet, Signed, of_statements};

/// Source: RFC 8032, section 7.1, tests 1 to 3: secret, public key, message, signature.
const PUBLISHED: [[&str; 4]; 3] = [
    [
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ],
    [
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ],
    [
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ],
];

fn message(hex: &str) -> Vec<u8> {
    (0..hex.len() / 2)
        .map(|n| u8::from_str_radix(&hex[2 * n..2 * n + 2], 16).unwrap())
        .collect()
}

#[test]
fn keys_and_signatures_are_those_of_the_standard() {
    for [secret, key, said, signature] in PUBLISHED {
        let secret = Secret::of(read(secret).unwrap());
        assert_eq!(secret.key().to_string(), key);
        assert_eq!(written(&secret.sign(&message(said))), signature);
        let (key, signature): (Key, [u8; 64]) = (key.parse().unwrap(), read(signature).unwrap());
        assert!(key.fits(&message(said), &signature));
        assert!(!key.fits(b"another message", &signature));
    }
}

#[test]
fn a_key_of_small_order_fits_nothing() {
    // The neutral point: with R the same point and S = 0 the plain equation holds for every message (RFC 8032, 5.1.7).
    let mut point = [0; 32];
    point[0] = 1;
    let key: Key = written(&point).parse().unwrap();
    let mut signature = [0; 64];
    signature[0] = 1;
    assert!(!key.fits(b"anything", &signature));
}

#[test]
fn a_secret_is_not_shown() {
    let secret = Secret::of([7; 32]);
    assert_eq!(format!("{secret:?}"), format!("Secret of {}", secret.key()));
    assert!(!format!("{secret:?}").contains(&"07".repeat(8)));
}

#[test]
fn what_is_no_key_is_refused() {
    let long = "0".repeat(66);
    let upper = "A".repeat(64);
    for text in ["", "zz", long.as_str(), upper.as_str(), &"é".repeat(32)] {
        let error = text.parse::<Key>().unwrap_err();
        assert!(
            error.to_string().ends_with("is not 64 hexadecimal digits"),
            "{error}"
        );
    }
}

fn found() -> Found {
    Found {
        manifest: Digest::of(b"manifest"),
        statements: of_statements([Digest::of(b"a"), Digest::of(b"b")]),
    }
}

fn sheet() -> Sheet {
    let ids = [Id::new(1, [1; 10]), Id::new(2, [2; 10])];
    let secret = Secret::of([9; 32]);
    Sheet::of(Signed::by(
        &secret,
        ids[0],
        ids[1],
        "2026-11-28",
        2,
        found(),
    ))
}

fn faults(sheet: &Sheet, found: Found) -> Vec<Fault> {
    let standings = sheet.held_against(found).unwrap();
    assert_eq!(standings.len(), 1);
    standings[0].faults.clone()
}

#[test]
fn a_sheet_reads_back_and_holds() {
    let sheet = sheet();
    let again = Sheet::read(&sheet.to_json()).unwrap();
    assert_eq!(again, sheet);
    assert_eq!(faults(&again, found()), []);
}

#[test]
fn other_files_and_other_statements_are_told_apart() {
    let files = Found {
        manifest: Digest::of(b"other"),
        ..found()
    };
    assert!(matches!(
        faults(&sheet(), files)[..],
        [Fault::OtherFiles { .. }]
    ));
    let statements = Found {
        statements: of_statements([Digest::of(b"a")]),
        ..found()
    };
    assert!(matches!(
        faults(&sheet(), statements)[..],
        [Fault::OtherStatements { .. }]
    ));
}

#[test]
fn a_later_form_is_named() {
    let text = sheet().to_json().replace("\"form\":1", "\"form\":2");
    assert_eq!(Sheet::read(&text), Err(Fault::Future { found: 2 }));
}

#[test]
fn every_altered_sign_of_a_sheet_is_noticed() {
    let text = sheet().to_json();
    for at in 0..text.len() {
        for with in [b'0', b'1', b'f', b'x', b'"', b' '] {
            let mut bytes = text.clone().into_bytes();
            if bytes[at] == with {
                continue;
            }
            bytes[at] = with;
            let Ok(altered) = String::from_utf8(bytes) else {
                continue;
            };
            let Ok(sheet) = Sheet::read(&altered) else {
                continue;
            };
            let is_noticed = sheet
                .held_against(found())
                .map_or(true, |all| all.iter().any(|one| !one.faults.is_empty()));
            assert!(is_noticed, "{at}: {altered}");
        }
    }
}

proptest! {
    #[test]
    fn the_order_of_statements_does_not_matter(mut words in proptest::collection::vec(".{0,8}", 0..12)) {
        let digests = |words: &[String]| of_statements(words.iter().map(|word| Digest::of(word.as_bytes())));
        let before = digests(&words);
        words.reverse();
        if let Some(first) = words.first().cloned() {
            words.push(first);
        }
        prop_assert_eq!(before, digests(&words));
        words.push("one more than any of these".to_owned());
        prop_assert_ne!(before, digests(&words));
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".{0,400}") {
        prop_assert!(Sheet::read(&text).is_err());
    }
}
