//! The shell is assembled as page and keeper expect it.

use std::fs;
use std::path::Path;

use super::{Error, assemble, files, fingerprint};

fn lay(folder: &Path, all: &[(&str, &str)]) {
    for (name, text) in all {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
}

#[test]
fn the_build_and_the_list_of_files_are_written_into_the_shell() {
    let room = tempfile::tempdir().unwrap();
    let (source, site) = (room.path().join("source"), room.path().join("site"));
    lay(
        &source,
        &[
            ("web/keeper/boot.js", "start('__BUILD__')"),
            ("web/press/boot.js", "receive()"),
            ("www/index.html", "<p>__BUILD__"),
            ("www/icons/a.svg", "__BUILD__ is left alone here"),
            ("www/sw.js", "'__BUILD__' /*PRECACHE*/[] /*LATER*/[]"),
        ],
    );
    lay(&site, &[("page_bg.wasm", "module")]);
    let build = assemble::shell(&source, &site).unwrap();
    assert_eq!(build.len(), 16);
    let read = |name: &str| fs::read_to_string(site.join(name)).unwrap();
    assert_eq!(read("index.html"), format!("<p>{build}"));
    assert_eq!(read("keeper/boot.js"), format!("start('{build}')"));
    assert_eq!(read("icons/a.svg"), "__BUILD__ is left alone here");
    assert_eq!(
        read("sw.js"),
        format!(
            r#"'{build}' ["./icons/a.svg", "./index.html", "./keeper/boot.js"] ["./page_bg.wasm", "./press/boot.js"]"#
        )
    );

    // Another module gives another build, the same one the same.
    let again = room.path().join("again");
    lay(&again, &[("page_bg.wasm", "module")]);
    assert_eq!(assemble::shell(&source, &again).unwrap(), build);
    let changed = room.path().join("changed");
    lay(&changed, &[("page_bg.wasm", "another module")]);
    assert_ne!(assemble::shell(&source, &changed).unwrap(), build);
}

#[test]
fn a_shell_without_its_tokens_is_refused() {
    for text in [
        "'__BUILD__' /*LATER*/[]",
        "/*PRECACHE*/[] /*LATER*/[]",
        "'__BUILD__' /*PRECACHE*/[]",
    ] {
        let room = tempfile::tempdir().unwrap();
        let source = room.path().join("source");
        lay(
            &source,
            &[
                ("web/keeper/boot.js", ""),
                ("web/press/boot.js", ""),
                ("www/sw.js", text),
            ],
        );
        let refused = assemble::shell(&source, &room.path().join("site"));
        assert!(matches!(refused, Err(Error::Shell { .. })), "{text}");
    }
}

#[test]
fn compressed_siblings_hold_the_same_bytes() {
    let room = tempfile::tempdir().unwrap();
    let text = "the garboard is the plank beside the keel ".repeat(200);
    lay(room.path(), &[("a.js", &text), ("b.png", &text)]);
    let n_wire = assemble::compress(room.path()).unwrap();
    let names: Vec<_> = files(room.path()).unwrap();
    let names: Vec<_> = names.iter().map(|name| name.to_str().unwrap()).collect();
    assert_eq!(names, ["a.js", "a.js.br", "a.js.gz", "b.png"]);
    let packed = fs::read(room.path().join("a.js.br")).unwrap();
    assert_eq!(n_wire, (packed.len() + text.len()) as u64);
    let mut opened = Vec::new();
    brotli::BrotliDecompress(&mut &*packed, &mut opened).unwrap();
    assert_eq!(opened, text.as_bytes());
}

#[test]
fn the_fingerprint_follows_what_the_site_is_made_of() {
    let room = tempfile::tempdir().unwrap();
    lay(
        room.path(),
        &[
            ("Cargo.toml", ""),
            ("Cargo.lock", ""),
            ("core/cli/src/site.rs", ""),
            ("www/index.html", "one"),
        ],
    );
    let of = || fingerprint::of(room.path()).unwrap();
    let first = of();
    lay(room.path(), &[("core/cli/src/other.rs", "not in the site")]);
    assert_eq!(of(), first);
    lay(room.path(), &[("www/index.html", "two")]);
    assert_ne!(of(), first);
}
