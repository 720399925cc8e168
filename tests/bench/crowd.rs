//! Five hundred pictures of 12 megapixels taken in at one go: the most memory that the browser's processes hold over
//! what they held before.
//!
//! The screen is asked once a second and in few words, since asking makes the browser hold memory as well.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use fantoccini::Locator;

use super::engine::{Browser, Engine};

const N_PICTURES: usize = 500;

/// One such picture, decoded, as a browser holds it.
const DECODED: u64 = 4_000 * 3_000 * 4;

/// The kilobytes that processes hold for themselves or share among each other, files aside.
fn held(ids: &[u32]) -> u64 {
    let kilobytes = |text: &str, name: &str| -> u64 {
        text.lines()
            .find_map(|line| line.strip_prefix(name))
            .and_then(|rest| rest.split_whitespace().next()?.parse().ok())
            .unwrap_or(0)
    };
    ids.iter()
        // One of them may end meanwhile.
        .filter_map(|id| std::fs::read_to_string(format!("/proc/{id}/smaps_rollup")).ok())
        .map(|text| kilobytes(&text, "Pss_Anon:") + kilobytes(&text, "Pss_Shmem:"))
        .sum()
}

async fn until(browser: &Browser, script: &str) -> Result<()> {
    for _ in 0..900 {
        let told = browser.client.execute(script, vec![]).await?;
        if told.as_bool() == Some(true) {
            return Ok(());
        }
        tokio::time::sleep(Duration::from_secs(1)).await;
    }
    bail!("this did not come true: {script}")
}

/// Takes them in on a profile that has a log, and prints what it took.
pub(crate) async fn crowd(room: &Path, profile: &Path, address: &str) -> Result<()> {
    let drawn = super::picture(7)?;
    let (start, rest) = drawn.split_at(2);
    let mut paths = Vec::new();
    for n in 0..N_PICTURES {
        // A comment of its own makes each another picture.
        let path = room.join(format!("crowd-{n}.jpg"));
        let note = format!("picture {n:04}");
        let length = u16::try_from(note.len() + 2)?.to_be_bytes();
        std::fs::write(
            &path,
            [start, &[0xff, 0xfe], &length, note.as_bytes(), rest].concat(),
        )?;
        paths.push(path.to_str().context("a path in letters")?.to_owned());
    }
    let browser = Engine::Chromium.start(profile).await?;
    browser
        .client
        .goto(&format!("{address}/#/pictures"))
        .await?;
    browser.until_it_says("Choose pictures").await?;
    tokio::time::sleep(Duration::from_secs(4)).await;
    let ids = browser.process_ids()?;
    let before = held(&ids);
    let (most, is_over) = (
        Arc::new(AtomicU64::new(0)),
        Arc::new(AtomicBool::new(false)),
    );
    let watch = {
        let (most, is_over) = (Arc::clone(&most), Arc::clone(&is_over));
        tokio::task::spawn_blocking(move || {
            while !is_over.load(Ordering::Relaxed) {
                most.fetch_max(held(&ids), Ordering::Relaxed);
                std::thread::sleep(Duration::from_millis(60));
            }
        })
    };
    browser
        .client
        .find(Locator::Css(".sheet-body input[type=file]"))
        .await?
        .send_keys(&paths.join("\n"))
        .await?;
    let press = "const key = [...document.querySelectorAll('.sheet button')]
            .find(key => key.textContent.startsWith('Take in')); key?.click(); return Boolean(key);";
    until(&browser, press).await?;
    let is_saved =
        "return document.querySelector('.sheet').textContent.includes('are in the log and saved')";
    until(&browser, is_saved).await?;
    is_over.store(true, Ordering::Relaxed);
    watch.await?;
    browser.close().await?;
    let peak = most.load(Ordering::Relaxed).saturating_sub(before) * 1024;
    println!(
        "500 pictures of 12 MP in one go, memory         {:>7} MB = {}.{} × one such picture decoded; aim: under 200 MB",
        peak >> 20,
        peak / DECODED,
        peak % DECODED * 10 / DECODED
    );
    Ok(())
}
