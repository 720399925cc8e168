//! A full disk: what cannot be saved is called not saved, and what was saved before stays.
//!
//! The browser's profile lies on a small disk of its own, which something else fills. Chromium throws away all that a site
//! has stored when the journal of its storage meets a full disk, and tells of it only at the next start.

use std::io::Write as _;
use std::path::Path;
use std::time::Duration;

use anyhow::{Result, ensure};
use garboard_protocol::{Ask, Shoot, Trouble, TroubleKind};
use serde_json::json;

use super::{begin, drawn, rows, say};
use crate::engine::{Engine, served};
use crate::keeper::Keeper;

/// Writes until nothing more goes in.
fn fill(path: &Path) -> Result<()> {
    let mut file = std::fs::File::create(path)?;
    while file.write_all(&[0; 4096]).is_ok() {}
    Ok(())
}

/// One refusal, which says what it is.
fn is_told(trouble: &Trouble) -> Result<usize> {
    ensure!(
        matches!(trouble.kind, TroubleKind::Full | TroubleKind::NotSaved),
        "{trouble:?}"
    );
    Ok(1)
}

async fn a_full_disk_costs_nothing_that_was_saved(engine: Engine) -> Result<()> {
    let profile = tempfile::tempdir()?;
    let address = served().await?;
    let browser = engine.start_on_a_small_disk(profile.path(), 200).await?;
    let filler = browser.seen_from_outside(&engine.kept_in(profile.path()).join("filler"));
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let note = |words: &str| say("note", &json!({ "words": words }));
    keeper.ask(note("before")).await?;
    // What the next start needs is kept in a pause.
    tokio::time::sleep(Duration::from_secs(2)).await;

    fill(&filler)?;
    // Where an engine still finds room in files of its own, what it calls saved must be there.
    let mut called_saved = vec!["before".to_owned()];
    let mut n_refused = 0;
    let mut n_pictures = 0;
    for round in 0..4 {
        let words = format!("while it is full, {round}");
        match keeper.tried(note(&words)).await? {
            Ok(_) => called_saved.push(words),
            Err(trouble) => n_refused += is_told(&trouble)?,
        }
        keeper
            .give(&format!("{round}.jpg"), &drawn(3_000, 2_000, round))
            .await?;
        match keeper.tried(Ask::Shoot(Shoot::default())).await? {
            Ok(_) => n_pictures += 1,
            Err(trouble) => n_refused += is_told(&trouble)?,
        }
        tokio::time::sleep(Duration::from_secs(1)).await;
    }
    ensure!(n_refused > 0, "the disk was never full");

    std::fs::remove_file(&filler)?;
    tokio::time::sleep(Duration::from_secs(2)).await;
    keeper.ask(note("after")).await?;
    called_saved.push("after".to_owned());
    let mut keeper = Keeper::start_alone(&browser, &address).await?;
    let all = rows(&mut keeper, "").await?;
    for words in &called_saved {
        ensure!(
            all.iter().any(|row| row.headline == *words),
            "“{words}” was called saved, and there is only {all:?}"
        );
    }
    let n_kept: usize = all.iter().map(|row| row.thumbs.len()).sum();
    ensure!(
        n_kept == n_pictures && all.iter().any(|row| row.kind == "boat"),
        "{n_pictures} pictures were called saved: {all:?}"
    );
    ensure!(
        all.iter().filter(|row| row.kind == "note").count() == called_saved.len(),
        "what was refused is there: {all:?}"
    );
    browser.close().await
}

#[tokio::test]
async fn in_chromium_a_full_disk_costs_nothing_that_was_saved() -> Result<()> {
    a_full_disk_costs_nothing_that_was_saved(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_a_full_disk_costs_nothing_that_was_saved() -> Result<()> {
    a_full_disk_costs_nothing_that_was_saved(Engine::Firefox).await
}

#[tokio::test]
async fn in_webkit_a_full_disk_costs_nothing_that_was_saved() -> Result<()> {
    a_full_disk_costs_nothing_that_was_saved(Engine::WebKit).await
}
