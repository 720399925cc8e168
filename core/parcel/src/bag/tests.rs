//! What is put into a bag is found in it, and whatever is altered afterwards is named.

use std::io::Cursor;

use proptest::prelude::*;

use super::*;

mod suite;

fn bag(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut bag = Bag::begin(Cursor::new(Vec::new()), "dunlin");
    for (path, bytes) in files {
        bag.put(path, *bytes).unwrap();
    }
    let info = [(
        "External-Description",
        "the boat Dunlin:\nher history".to_owned(),
    )];
    bag.finish(&info).unwrap().into_inner()
}

fn checked(bytes: &[u8]) -> Checked {
    check(Cursor::new(bytes), |_| {}).unwrap()
}

/// The files of a ZIP, by name.
fn unpacked(bytes: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let names: Vec<String> = zip
        .file_names()
        .map(|name| name.unwrap().into_owned())
        .collect();
    names
        .into_iter()
        .map(|name| {
            let mut out = Vec::new();
            zip.by_name(&name).unwrap().read_to_end(&mut out).unwrap();
            (name, out)
        })
        .collect()
}

fn packed(files: &BTreeMap<String, Vec<u8>>) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

const FILES: [(&str, &[u8]); 3] = [
    ("history.html", b"<p>told</p>"),
    ("photographs/1.jpg", &[1; 200_000]),
    ("odd 100%\nname.txt", b""),
];

#[test]
fn a_bag_is_whole_and_the_same_to_the_last_byte() {
    let bytes = bag(&FILES);
    assert_eq!(bytes, bag(&FILES));
    let found = checked(&bytes);
    assert_eq!((found.n_intact, found.name.as_str()), (3, "dunlin"));
    assert_eq!(found.faults, Vec::<String>::new());
    assert_eq!(found.remarks, Vec::<String>::new());
    assert_eq!(found.info[0].1, "the boat Dunlin: her history");
    assert_eq!(found.info[1].1, "200011.3");
    let files = unpacked(&bytes);
    let sums = String::from_utf8(files["dunlin/manifest-sha256.txt"].clone()).unwrap();
    assert!(sums.contains("  data/odd 100%25%0Aname.txt\n"), "{sums}");
}

/// The digests of nothing and of "abc": FIPS 180-4 with NIST's example values.
#[test]
fn manifests_name_the_published_digests() {
    let files = unpacked(&bag(&[("abc", b"abc"), ("empty", b"")]));
    let text = |name: &str| String::from_utf8(files[&format!("dunlin/{name}")].clone()).unwrap();
    assert_eq!(
        text("manifest-sha256.txt"),
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  data/abc\n\
         e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  data/empty\n"
    );
    assert!(text("manifest-sha512.txt").starts_with(
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f  data/abc\n"
    ));
}

#[test]
fn whatever_is_altered_is_named() {
    type Act = fn(&mut BTreeMap<String, Vec<u8>>);
    let acts: [(Act, &str); 9] = [
        (
            |f| f.get_mut("dunlin/data/history.html").unwrap().push(b'!'),
            "data/history.html was altered: it does not fit manifest-sha256.txt and manifest-sha512.txt",
        ),
        (
            |f| {
                f.remove("dunlin/data/photographs/1.jpg");
            },
            "data/photographs/1.jpg is missing",
        ),
        (
            |f| {
                f.insert("dunlin/data/more.txt".to_owned(), Vec::new());
            },
            "data/more.txt was added: it is not in manifest-sha256.txt and manifest-sha512.txt",
        ),
        (
            |f| f.get_mut("dunlin/bag-info.txt").unwrap().push(b'\n'),
            "bag-info.txt was altered: it does not fit tagmanifest-sha256.txt and tagmanifest-sha512.txt",
        ),
        (
            |f| f.get_mut("dunlin/manifest-sha512.txt").unwrap()[0] ^= 1,
            "manifest-sha512.txt was altered: it does not fit tagmanifest-sha256.txt and tagmanifest-sha512.txt",
        ),
        (
            |f| {
                f.remove("dunlin/manifest-sha256.txt");
                f.remove("dunlin/manifest-sha512.txt");
            },
            "it has no manifest with SHA-256 or SHA-512, so what lies in it cannot be checked",
        ),
        (
            |f| *f.get_mut("dunlin/bagit.txt").unwrap() = b"a bag".to_vec(),
            "bagit.txt does not say a version of BagIt",
        ),
        (
            |f| {
                let list = f.get_mut("dunlin/manifest-sha256.txt").unwrap();
                list.extend(b"00  data/../../x\n");
            },
            "manifest-sha256.txt names what it must not: data/../../x",
        ),
        (
            |f| {
                let list = f.get_mut("dunlin/manifest-sha256.txt").unwrap();
                list.extend(b"nothing\n");
            },
            "manifest-sha256.txt has a line that is none: nothing",
        ),
    ];
    for (act, says) in acts {
        let mut files = unpacked(&bag(&FILES));
        act(&mut files);
        let found = checked(&packed(&files));
        assert!(
            found.faults.iter().any(|fault| fault == says),
            "{says}: {:?}",
            found.faults
        );
    }
}

#[test]
fn what_is_no_bag_is_refused() {
    assert!(matches!(
        check(Cursor::new(b"no zip".to_vec()), |_| {}),
        Err(Error::NotZip { .. })
    ));
    let other = packed(&BTreeMap::from([("a.txt".to_owned(), Vec::new())]));
    assert!(matches!(
        check(Cursor::new(other.clone()), |_| {}),
        Err(Error::NotParcel { .. })
    ));
    assert!(!is_bag(Cursor::new(other)));
    assert!(is_bag(Cursor::new(bag(&FILES))));
}

/// RFC 8493, section 2.2.2: a value may go on in the next line, which then begins with a blank.
#[test]
fn labels_go_on_over_lines() {
    let mut files = unpacked(&bag(&FILES));
    files.insert(
        "dunlin/bag-info.txt".to_owned(),
        b"Source-Organization: A yard\n  by the river\nPayload-Oxum: 200011.3\n".to_vec(),
    );
    let found = checked(&packed(&files));
    assert_eq!(found.info[0].1, "A yard by the river");
}

proptest! {
    #[test]
    fn a_flipped_bit_is_found_wherever_it_is(at in any::<prop::sample::Index>(), bit in 0..8_u8) {
        let mut files = unpacked(&bag(&FILES[..1]));
        let names: Vec<String> = files.keys().filter(|name| !name.contains("/tagmanifest")).cloned().collect();
        let name = names.get(at.index(names.len())).unwrap();
        let bytes = files.get_mut(name).unwrap();
        let at = at.index(bytes.len());
        bytes[at] ^= 1 << bit;
        let found = checked(&packed(&files));
        prop_assert!(!found.faults.is_empty(), "{} at {}", name, at);
    }

    #[test]
    fn no_bytes_make_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), at in any::<prop::sample::Index>()) {
        let _tried = check(Cursor::new(bytes.clone()), |_| {});
        let mut whole = bag(&FILES[..1]);
        let at = at.index(whole.len());
        whole.truncate(at);
        whole.extend(bytes);
        let _tried = check(Cursor::new(whole), |_| {});
    }
}
