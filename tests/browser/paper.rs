//! The dossier on paper and the bag are made in each engine, and other readers open them.

use std::io::Cursor;
use std::process::Command;

use anyhow::{Context as _, Result, ensure};
use garboard_protocol::{
    Answer, Ask, Checked, DossierForm, DossierOptions, KeepSound, Sheet, Shoot,
};
use serde_json::json;

use super::{begin, drawn, say};
use crate::engine::{Engine, served};
use crate::keeper::Keeper;

/// What a program of the system says about a file.
fn told_by(program: &str, arguments: &[&str]) -> Result<String> {
    let ran = Command::new(program).args(arguments).output();
    let ran = ran.with_context(|| format!("{program} cannot be started; tests/run installs it"))?;
    ensure!(ran.status.success(), "{program} refuses: {ran:?}");
    Ok(String::from_utf8(ran.stdout)?)
}

async fn set_on_paper(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = engine.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let words = "The core is wet from the stanchion aft";
    keeper.ask(say("note", &json!({ "words": words }))).await?;
    keeper.give("a.jpg", &drawn(640, 480, 7)).await?;
    keeper.ask(Ask::Shoot(Shoot::default())).await?;
    let options = DossierOptions {
        form: DossierForm::Paper(Sheet::Letter),
        with_costs: false,
        ..DossierOptions::default()
    };
    let Answer::Dossier(made) = keeper.ask(Ask::MakeDossier(options)).await? else {
        anyhow::bail!("no dossier");
    };
    ensure!(made.media_type == "application/pdf" && made.names.concat().ends_with(".pdf"));
    ensure!(
        made.remarks.iter().any(|remark| remark.contains("pages"))
            && made.remarks.iter().any(|remark| remark.contains("Costs")),
        "{:?}",
        made.remarks
    );
    let file = room.path().join("history.pdf");
    std::fs::write(&file, keeper.files().await?.remove(0))?;
    let file = file.to_str().context("a path in words")?;
    told_by("qpdf", &["--check", file])?;
    let text = told_by("pdftotext", &["-layout", file, "-"])?;
    ensure!(text.contains(words), "{text}");
    ensure!(text.contains("no survey"), "{text}");
    let about = told_by("pdfinfo", &[file])?;
    ensure!(about.contains("612 x 792"), "{about}");

    // The short form, with initials.
    let options = DossierOptions {
        form: DossierForm::Short(Sheet::A4),
        with_names: false,
        ..DossierOptions::default()
    };
    let Answer::Dossier(made) = keeper.ask(Ask::MakeDossier(options)).await? else {
        anyhow::bail!("no short dossier");
    };
    ensure!(
        made.names.concat().contains("-dossier-short-"),
        "{}",
        made.names.concat()
    );
    let short = room.path().join("short.pdf");
    std::fs::write(&short, keeper.files().await?.remove(0))?;
    let short = short.to_str().context("a path in words")?;
    told_by("qpdf", &["--check", short])?;
    let text = told_by("pdftotext", &["-layout", short, "-"])?;
    ensure!(
        text.contains("This is the short form") && text.contains("boat: A."),
        "{text}"
    );
    ensure!(!text.contains("Ada"), "{text}");
    browser.close().await
}

/// What a check of a file says: whether it is intact, how many statements and files are, and what is to be known.
async fn checked(keeper: &mut Keeper<'_>) -> Result<Checked> {
    match keeper.ask(Ask::Check).await? {
        Answer::Checked(checked) => Ok(checked),
        other => anyhow::bail!("not checked: {other:?}"),
    }
}

/// Asks for everything in a bag.
fn bag() -> Ask {
    Ask::MakeDossier(DossierOptions {
        form: DossierForm::Bag(Sheet::A4),
        ..DossierOptions::default()
    })
}

async fn packed_in_a_bag(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = engine.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let words = "The core is wet from the stanchion aft";
    keeper.ask(say("note", &json!({ "words": words }))).await?;
    let picture = drawn(640, 480, 7);
    keeper.give("a.jpg", &picture).await?;
    keeper.ask(Ask::Shoot(Shoot::default())).await?;
    let Answer::Dossier(made) = keeper.ask(bag()).await? else {
        anyhow::bail!("no bag");
    };
    ensure!(made.media_type == "application/zip" && made.names.concat().ends_with(".zip"));
    let bytes = keeper.files().await?.remove(0);
    // The same reader as the command line's finds all of it whole, and so does unzip.
    let found = garboard_parcel::bag::check(Cursor::new(&bytes), |_| {})?;
    ensure!(
        found.faults.is_empty() && found.remarks.is_empty(),
        "{found:?}"
    );
    let file = room.path().join("bag.zip");
    std::fs::write(&file, &bytes)?;
    let listed = told_by("unzip", &["-l", file.to_str().context("a path in words")?])?;
    for part in [
        "history.html",
        "history.pdf",
        "ledgers.json",
        "statements.jsonl",
        "log/chunks/",
    ] {
        ensure!(listed.contains(part), "{part}: {listed}");
    }
    ensure!(bytes.windows(picture.len()).any(|at| at == picture));
    // The screen's own check says the same, and names what is altered.
    keeper.give("bag.zip", &bytes).await?;
    let whole = checked(&mut keeper).await?;
    ensure!(whole.is_intact && whole.n_statements >= 4, "{whole:?}");
    ensure!(whole.remarks.iter().any(|remark| remark.contains("signed")));
    // The ledgers alone come in a bag too, without pictures and statements.
    let Answer::Dossier(alone) = keeper
        .ask(Ask::MakeDossier(DossierOptions {
            form: DossierForm::Ledgers,
            ..DossierOptions::default()
        }))
        .await?
    else {
        anyhow::bail!("no ledgers");
    };
    ensure!(alone.names.concat().contains("-ledgers-") && alone.names.concat().ends_with(".zip"));
    let ledgers = keeper.files().await?.remove(0);
    std::fs::write(&file, &ledgers)?;
    let listed = told_by("unzip", &["-l", file.to_str().context("a path in words")?])?;
    for part in [
        "hours.csv",
        "costs.csv",
        "totals.csv",
        "ledgers.json",
        "bag-info.txt",
    ] {
        ensure!(listed.contains(part), "{part}: {listed}");
    }
    ensure!(!listed.contains("statements"), "{listed}");
    keeper.give("ledgers.zip", &ledgers).await?;
    let found = checked(&mut keeper).await?;
    ensure!(found.is_intact && found.n_statements == 0, "{found:?}");
    let at = bytes
        .windows(words.len())
        .position(|at| at == words.as_bytes());
    let mut altered = bytes.clone();
    altered[at.context("the words are there")?] = b't';
    keeper.give("bag.zip", &altered).await?;
    let found = checked(&mut keeper).await?;
    ensure!(!found.is_intact && !found.faults.is_empty(), "{found:?}");
    browser.close().await
}

#[tokio::test]
async fn a_bag_is_packed_and_checked_in_chromium() -> Result<()> {
    packed_in_a_bag(Engine::Chromium).await
}

#[tokio::test]
async fn a_bag_is_packed_and_checked_in_firefox() -> Result<()> {
    packed_in_a_bag(Engine::Firefox).await
}

#[tokio::test]
async fn a_bag_is_packed_and_checked_in_webkit() -> Result<()> {
    packed_in_a_bag(Engine::WebKit).await
}

/// A page by itself: seen before it is made, sealed, checked alone and with its bag, and told from an altered one.
async fn sealed_and_checked(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = engine.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let words = "The core is wet from the stanchion aft";
    keeper.ask(say("note", &json!({ "words": words }))).await?;
    let cost = json!({ "what": "haul-out", "amount": { "amount": "100.05", "currency": "USD" } });
    keeper.ask(say("cost", &cost)).await?;
    let in_euro = |rates: &str| DossierOptions {
        currency: "EUR".to_owned(),
        rates: rates.to_owned(),
        ..DossierOptions::default()
    };
    let Answer::Seen(seen) = keeper.ask(Ask::SeeDossier(in_euro("USD 0.925"))).await? else {
        anyhow::bail!("nothing seen");
    };
    ensure!(seen.parts.len() > 5, "{seen:?}");
    ensure!(seen.choices.iter().any(|(label, _)| label == "Currency"));
    let refused = keeper.ask(Ask::SeeDossier(in_euro("GBP 1.15"))).await;
    let refused = format!("{refused:?}");
    ensure!(refused.contains("costs in USD without a rate"), "{refused}");
    let options = in_euro("USD 0.925");
    keeper.ask(Ask::MakeDossier(options)).await?;
    let page = keeper.files().await?.remove(0);
    let text = String::from_utf8_lossy(&page).into_owned();
    ensure!(text.contains("together 92.55 EUR at the seller’s rates"));
    let form = garboard_parcel::history::form_of(page.as_slice())?.context("a page")?;
    let history = garboard_parcel::history::History::read(form, Cursor::new(&page))?;
    let marks = history.marks();
    ensure!(history.is_sealed() && marks.faults.is_empty(), "{marks:?}");
    // The screen says the same of it, alone and with a bag that it is not from.
    keeper.give("history.html", &page).await?;
    let found = checked(&mut keeper).await?;
    ensure!(found.is_intact, "{found:?}");
    ensure!(found.remarks.iter().any(|one| one.contains("sealed")));
    let mut altered = page.clone();
    let at = page
        .windows(words.len())
        .position(|at| at == words.as_bytes());
    altered[at.context("the words are there")?] = b't';
    keeper.give("history.html", &altered).await?;
    let found = checked(&mut keeper).await?;
    ensure!(!found.is_intact, "{found:?}");
    keeper.ask(bag()).await?;
    let packed = keeper.files().await?.remove(0);
    keeper.give("bag.zip", &packed).await?;
    keeper.give("history.html", &page).await?;
    let found = checked(&mut keeper).await?;
    ensure!(
        found
            .faults
            .iter()
            .any(|one| one.contains("is none of the bag")),
        "{found:?}"
    );
    // What bears no seal is not called intact.
    keeper
        .give("history.html", b"<!DOCTYPE html>\n<title>x</title>")
        .await?;
    let refused = format!("{:?}", keeper.ask(Ask::Check).await);
    ensure!(refused.contains("bears no seal"), "{refused}");
    browser.close().await
}

#[tokio::test]
async fn a_page_is_seen_sealed_and_checked_in_chromium() -> Result<()> {
    sealed_and_checked(Engine::Chromium).await
}

#[tokio::test]
async fn a_page_is_seen_sealed_and_checked_in_firefox() -> Result<()> {
    sealed_and_checked(Engine::Firefox).await
}

#[tokio::test]
async fn a_page_is_seen_sealed_and_checked_in_webkit() -> Result<()> {
    sealed_and_checked(Engine::WebKit).await
}

/// What is larger than the part of a file that stays in memory is written over where it was handed to the browser.
#[tokio::test]
async fn a_bag_with_a_sound_of_160_megabytes_is_whole() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let long = "const head = new TextEncoder().encode('RIFF\\x24\\0\\0\\0WAVEfmt '); \
        const body = new Uint8Array(160e6).fill(7); given.push(new File([head, body], 'long.wav', { type: 'audio/wav' }));";
    browser.client.execute(long, vec![]).await?;
    let said = KeepSound {
        secs: "600".to_owned(),
        words: "All of it.".to_owned(),
        happened: None,
    };
    keeper.ask(Ask::KeepSound(said)).await?;
    keeper.ask(bag()).await?;
    let size = browser
        .client
        .execute("window.given = [came[0]]; return came[0].size", vec![])
        .await?;
    ensure!(size.as_f64().is_some_and(|size| size > 160e6), "{size}");
    let found = checked(&mut keeper).await?;
    ensure!(found.is_intact, "{found:?}");
    browser.close().await
}

#[tokio::test]
async fn a_dossier_is_set_on_paper_in_chromium() -> Result<()> {
    set_on_paper(Engine::Chromium).await
}

#[tokio::test]
async fn a_dossier_is_set_on_paper_in_firefox() -> Result<()> {
    set_on_paper(Engine::Firefox).await
}

#[tokio::test]
async fn a_dossier_is_set_on_paper_in_webkit() -> Result<()> {
    set_on_paper(Engine::WebKit).await
}
