//! No request goes anywhere but to the site's own origin: Chromium's own record of a session is read, in which
//! pages, workers and the service worker all appear.

use std::path::Path;

use anyhow::{Context as _, Result, ensure};
use garboard_protocol::{Ask, DossierOptions, ParcelScope, PictureSize};
use serde_json::{Value, json};

use crate::access::{SCREENS, entries, hash};
use crate::engine::{Engine, served};
use crate::keeper::Keeper;

/// Who asked, and for what.
#[derive(Debug)]
struct Request {
    initiator: String,
    url: String,
}

/// The record of one session: a line an event.
fn requests(profile: &Path) -> Result<Vec<Request>> {
    let text = std::fs::read_to_string(profile.join("requests.json"))?;
    Ok(text
        .lines()
        .filter_map(|line| serde_json::from_str::<Value>(line.trim_end_matches(',')).ok())
        .filter_map(|event| {
            let of = |name: &str| Some(event["params"][name].as_str()?.to_owned());
            Some(Request {
                initiator: of("initiator")?,
                url: of("url")?,
            })
        })
        .collect())
}

#[tokio::test]
async fn every_request_goes_to_the_sites_own_origin() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Begin a log").await?;
    let entries = entries(&browser, &address).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper
        .ask(Ask::MakeParcel {
            scope: ParcelScope::Whole,
            pictures: Some(PictureSize::Original),
        })
        .await?;
    keeper
        .ask(Ask::MakeDossier(DossierOptions::default()))
        .await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Saved on this").await?;
    for (screen, words) in SCREENS {
        let script = "location.hash = arguments[0]";
        let hash = hash(screen, &entries)?;
        browser.client.execute(script, vec![json!(hash)]).await?;
        browser.until_it_says(words).await.context(hash)?;
    }
    // A page of nobody's asks elsewhere, so that it is known that the record would tell.
    let elsewhere = served().await?;
    let page = format!("data:text/html,<img src='{elsewhere}/sought'><p>drawn</p>");
    browser.client.goto(&page).await?;
    browser.until_it_says("drawn").await?;
    tokio::time::sleep(std::time::Duration::from_millis(500)).await;
    browser.close().await?;

    let all = requests(room.path())?;
    let sought = format!("{elsewhere}/sought");
    ensure!(
        all.iter().any(|request| request.url == sought),
        "the record does not tell: {all:?}"
    );
    for file in ["sw.js", "keeper_bg.wasm", "press_bg.wasm", "page_bg.wasm"] {
        let url = format!("{address}/{file}");
        ensure!(
            all.iter().any(|request| request.url.starts_with(&url)),
            "{file} is not in the record, which is not whole then"
        );
    }
    // The browser's own requests have no origin; whatever the site causes names it.
    let own = format!("{address}/");
    let strays: Vec<&Request> = all
        .iter()
        .filter(|request| request.initiator == address)
        .filter(|request| !request.url.starts_with(&own))
        .filter(|request| {
            !["blob:", "data:"]
                .iter()
                .any(|scheme| request.url.starts_with(scheme))
        })
        .collect();
    ensure!(strays.is_empty(), "requests elsewhere: {strays:?}");
    Ok(())
}
