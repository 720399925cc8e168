//! A browser of each engine is killed at random moments while it writes: what was called saved is there, and nothing half done.
//!
//! Twenty kills an engine and run; `GARBOARD_KILLS=200` for more. A failure names its seed, and `GARBOARD_SEED` repeats its choices.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write as _;
use std::path::Path;
use std::time::Duration;

use anyhow::{Context as _, Result, ensure};
use garboard_protocol::{Amend, Answer, Ask, Checked, Filter, Row, Shoot, Strike, Window};
use serde_json::json;

use super::{begin, drawn, say};
use crate::engine::{Engine, served};
use crate::keeper::Keeper;

/// A generator that is good enough to choose moments: xorshift64.
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % n
    }
}

/// What was called saved.
#[derive(Default)]
struct Kept {
    /// Notes with the words that they said last.
    notes: BTreeMap<String, String>,
    /// The words of amendments on their way when the browser went: they may be there or not.
    perhaps: BTreeMap<String, BTreeSet<String>>,
    struck: BTreeSet<String>,
    /// What was asked to be struck: when the browser went meanwhile, it may be struck or not.
    perhaps_struck: BTreeSet<String>,
    photographs: BTreeSet<String>,
    n_said: u32,
}

#[expect(
    clippy::disallowed_methods,
    reason = "a person sets the number of kills and repeats a run's choices"
)]
fn from_environment(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// Writes one thing after another until the browser is gone.
async fn write_on(keeper: &mut Keeper<'_>, chance: &mut Chance, kept: &mut Kept) -> Result<()> {
    let picture = drawn(64, 48, 7);
    loop {
        kept.n_said += 1;
        let words = format!("note {}", kept.n_said);
        let known: Vec<String> = kept
            .notes
            .keys()
            .filter(|id| !kept.perhaps_struck.contains(*id))
            .cloned()
            .collect();
        let some = known
            .get(usize::try_from(chance.below(known.len().max(1) as u64))?)
            .cloned();
        match (chance.below(5), some) {
            (0, Some(entry)) => {
                kept.perhaps
                    .entry(entry.clone())
                    .or_default()
                    .insert(words.clone());
                let amend = Amend {
                    entry: entry.clone(),
                    field: "words".to_owned(),
                    value: json!(words).to_string(),
                    sees: Vec::new(),
                };
                keeper.ask(Ask::Amend(amend)).await?;
                kept.perhaps.remove(&entry);
                kept.notes.insert(entry, words);
            }
            (1, Some(entry)) => {
                kept.perhaps_struck.insert(entry.clone());
                let strike = Strike {
                    entry: entry.clone(),
                    why: words,
                    sees: Vec::new(),
                };
                keeper.ask(Ask::Strike(strike)).await?;
                kept.struck.insert(entry);
            }
            (2, _) => {
                keeper.give("a.jpg", &picture).await?;
                let answer = keeper.ask(Ask::Shoot(Shoot::default())).await?;
                kept.photographs.insert(super::saved(answer));
            }
            _ => {
                let answer = keeper.ask(say("note", &json!({ "words": words }))).await?;
                kept.notes.insert(super::saved(answer), words);
            }
        }
    }
}

async fn all_rows(keeper: &mut Keeper<'_>) -> Result<Vec<Row>> {
    let mut all = Vec::new();
    loop {
        let window = Window {
            skip: u32::try_from(all.len())?,
            take: 500,
        };
        let filter = Filter::default();
        let Answer::Rows(rows) = keeper.ask(Ask::Rows { filter, window }).await? else {
            anyhow::bail!("no rows");
        };
        let n_all = usize::try_from(rows.n_all)?;
        all.extend(rows.rows);
        if all.len() >= n_all {
            return Ok(all);
        }
    }
}

/// Looks at what is there after a kill.
async fn look(keeper: &mut Keeper<'_>, kept: &Kept) -> Result<()> {
    let all = all_rows(keeper).await?;
    let thumbs: BTreeSet<&str> = all
        .iter()
        .flat_map(|row| row.thumbs.iter().map(|thumb| thumb.entry.as_str()))
        .collect();
    for photograph in &kept.photographs {
        ensure!(
            thumbs.contains(photograph.as_str()),
            "a photograph is missing"
        );
    }
    for (id, words) in &kept.notes {
        let row = all.iter().find(|row| row.id == *id);
        let row =
            row.ok_or_else(|| anyhow::anyhow!("{words:?} was called saved and is missing"))?;
        let may_be = kept
            .perhaps
            .get(id)
            .is_some_and(|perhaps| perhaps.contains(&row.headline));
        ensure!(
            row.headline == *words || may_be,
            "{words:?} reads {:?}",
            row.headline
        );
        if kept.struck.contains(id) {
            ensure!(row.is_struck, "{words:?} was struck");
        }
    }
    // Whatever else is there was said whole, by the hand that was writing when the browser went.
    for row in all.iter().filter(|row| row.kind == "note") {
        let number = row.headline.strip_prefix("note ").map(str::parse::<u32>);
        ensure!(
            matches!(number, Some(Ok(number)) if number <= kept.n_said),
            "nobody wrote {:?}",
            row.headline
        );
        ensure!(
            !row.is_struck || kept.perhaps_struck.contains(&row.id),
            "nobody struck {:?}",
            row.headline
        );
    }
    // Nothing half done: every chunk and every picture agrees with its digest.
    match keeper.ask(Ask::Check).await? {
        Answer::Checked(Checked {
            is_intact: true, ..
        }) => Ok(()),
        other => anyhow::bail!("not intact: {other:?}"),
    }
}

#[tokio::test]
async fn nothing_that_was_called_saved_is_missing_after_random_kills() -> Result<()> {
    some_kills(Engine::Chromium).await
}

#[tokio::test]
async fn nothing_that_was_called_saved_is_missing_after_random_kills_of_firefox() -> Result<()> {
    some_kills(Engine::Firefox).await
}

#[tokio::test]
async fn nothing_that_was_called_saved_is_missing_after_random_kills_of_webkit() -> Result<()> {
    some_kills(Engine::WebKit).await
}

async fn some_kills(engine: Engine) -> Result<()> {
    let n_kills = from_environment("GARBOARD_KILLS").unwrap_or(20);
    let seed = from_environment("GARBOARD_SEED").unwrap_or_else(drawn_seed);
    killed(engine, n_kills, seed)
        .await
        .with_context(|| format!("{engine:?}: GARBOARD_SEED={seed} makes the same choices"))
}

/// What LevelDB leaves when it is killed between a record's head and its body: a checksum, a length, and that it is whole.
fn tear(profile: &Path, length: u16) -> Result<()> {
    let mut journals = Vec::new();
    for site in std::fs::read_dir(profile.join("Default/IndexedDB"))? {
        let site = site?.path();
        if site.extension().is_some_and(|end| end == "leveldb") {
            for file in std::fs::read_dir(site)? {
                journals.push(file?.path());
            }
        }
    }
    journals.retain(|file| file.extension().is_some_and(|end| end == "log"));
    let newest = journals.iter().max().context("there is a journal")?;
    let mut journal = std::fs::OpenOptions::new().append(true).open(newest)?;
    let [low, high] = length.to_le_bytes();
    Ok(journal.write_all(&[1, 2, 3, 4, low, high, 1])?)
}

/// A kill tears a record only once in many hundred times, so this does it by hand: in a plain database of this engine
/// everything is gone, or what was written last, at the second start after it.
#[tokio::test]
async fn a_record_torn_by_a_kill_of_chromium_costs_nothing_that_was_called_saved() -> Result<()> {
    for length in [100, 5_000] {
        let mut kept = Kept::default();
        let room = tempfile::tempdir()?;
        let address = served().await?;
        for n_starts in 0..4_u32 {
            let browser = Engine::Chromium.start(room.path()).await?;
            let (mut keeper, _) = Keeper::start(&browser, &address).await?;
            if n_starts == 0 {
                keeper.ask(begin("Merganser", "Ada")).await?;
            }
            let looked = look(&mut keeper, &kept).await;
            looked.with_context(|| format!("start {n_starts} with a record of {length} bytes"))?;
            kept.n_said += 1;
            let words = format!("note {}", kept.n_said);
            let answer = keeper.ask(say("note", &json!({ "words": words }))).await?;
            kept.notes.insert(super::saved(answer), words);
            browser.kill().await?;
            if n_starts == 1 {
                tear(room.path(), length)?;
            }
        }
    }
    Ok(())
}

#[expect(
    clippy::disallowed_methods,
    reason = "each run draws other moments; a failure names its seed"
)]
fn drawn_seed() -> u64 {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    since.map_or(1, |since| u64::from(since.subsec_nanos()) << 20 | 1)
}

async fn killed(engine: Engine, n_kills: u64, seed: u64) -> Result<()> {
    let mut chance = Chance(seed);
    let mut kept = Kept::default();
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = engine.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    browser.kill().await?;
    for _ in 0..n_kills {
        let browser = engine.start(room.path()).await?;
        let (mut keeper, _) = Keeper::start(&browser, &address).await?;
        look(&mut keeper, &kept).await?;
        let moment = Duration::from_millis(50 + chance.below(1_200));
        tokio::select! {
            () = tokio::time::sleep(moment) => {}
            failed = write_on(&mut keeper, &mut chance, &mut kept) => failed?,
        }
        browser.kill().await?;
    }
    let browser = engine.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    look(&mut keeper, &kept).await?;
    browser.close().await
}
