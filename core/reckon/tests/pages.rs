//! The pages of the documentation are those that the descriptions give.
//!
//! `GARBOARD_PAGES=write cargo test -p garboard-reckon --test pages` writes them.

use std::path::{Path, PathBuf};

use garboard_reckon::{ALL, page};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs")
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "the one command that writes the pages is this test"
)]
fn every_page_is_as_its_reckoning_says() {
    let write = std::env::var("GARBOARD_PAGES").is_ok_and(|word| word == "write");
    let pages = folder().join("reckonings");
    let mut all: Vec<(String, String)> = ALL
        .iter()
        .map(|reckoning| (format!("{}.md", reckoning.name), page::of(reckoning)))
        .collect();
    all.push(("README.md".to_owned(), page::index()));
    if write {
        drop(std::fs::remove_dir_all(&pages));
        std::fs::create_dir_all(&pages).unwrap();
        for (name, text) in &all {
            std::fs::write(pages.join(name), text).unwrap();
        }
    }
    let mut wrong = Vec::new();
    for (name, text) in &all {
        if std::fs::read_to_string(pages.join(name)).ok().as_ref() != Some(text) {
            wrong.push(name.clone());
        }
    }
    let n_files = std::fs::read_dir(&pages).map_or(0, Iterator::count);
    assert!(
        wrong.is_empty() && n_files == all.len(),
        "these pages are not as their reckonings say; GARBOARD_PAGES=write writes them: {wrong:?}, {n_files} files"
    );
}

#[test]
fn every_published_source_has_its_page() {
    for reckoning in ALL {
        for source in reckoning
            .sources
            .iter()
            .filter(|source| !source.key.is_empty())
        {
            let page = folder().join("sources").join(format!("{}.md", source.key));
            assert!(page.is_file(), "{}: {}", reckoning.name, page.display());
        }
    }
}
