//! The dossier on paper is made in each engine, offline module and all, and other readers open it.

use std::process::Command;

use anyhow::{Context as _, Result, ensure};
use garboard_protocol::{Answer, Ask, DossierForm, DossierOptions, Sheet, Shoot};
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
    ensure!(made.media_type == "application/pdf" && made.name.ends_with(".pdf"));
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
