//! The dossier as a page, opened from a disk: search, the edge between two pictures, and nobody shut out.

use anyhow::{Context as _, Result, ensure};
use fantoccini::Locator;
use garboard_dossier::html::PICTURES;
use garboard_dossier::{Options, frame, html, html_beside, outline};
use serde_json::json;

use crate::access;
use crate::engine::Engine;

async fn opens_from_a_disk(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let page = room.path().join("history.html");
    let (written, folder) = (page.clone(), room.path().to_owned());
    tokio::task::spawn_blocking(move || -> Result<()> {
        let told = garboard_demo::told()?;
        let mut said = outline(&told.snapshot(), &Options::default());
        let laid = frame::in_one_frame(&mut said, |digest| told.picture(digest));
        let picture = |digest| laid.get(&digest).cloned().or_else(|| told.picture(digest));
        std::fs::write(&written, html(&said, picture))?;
        // The same as a folder.
        std::fs::create_dir(folder.join(PICTURES))?;
        let beside = std::fs::File::create(folder.join("beside.html"))?;
        let put = |path: &str, bytes: &[u8]| std::fs::write(folder.join(path), bytes);
        Ok(html_beside(&said, picture, put, beside)?)
    })
    .await??;
    let browser = engine.start(room.path()).await?;
    // Pictures that lie beside the page are shown, and none from elsewhere could be.
    let beside = url::Url::from_file_path(room.path().join("beside.html"));
    browser
        .client
        .goto(beside.ok().context("a path")?.as_str())
        .await?;
    let shown = "const all = [...document.images]; const [done] = [...arguments].reverse(); \
        Promise.all(all.map(one => one.decode().catch(() => 0))).then(() => \
            done([all.length, all.filter(one => one.naturalWidth > 0 && one.src.includes('/pictures/')).length]))";
    let shown = browser.client.execute_async(shown, vec![]).await?;
    let n_shown = shown.get(1).and_then(serde_json::Value::as_u64);
    ensure!(
        shown.get(0) == shown.get(1) && n_shown.unwrap_or(0) > 10,
        "{shown}"
    );
    let address = url::Url::from_file_path(&page).ok().context("a path")?;
    browser.client.goto(address.as_str()).await?;

    // Every word must be there; accents and capitals do not matter; what is found is gone to.
    let search = browser.client.find(Locator::Css("#search")).await?;
    search.send_keys("HÖSE seacock").await?;
    let told = "return document.querySelector('.told-of').textContent";
    let n_places = "return document.querySelectorAll('.search li').length";
    let said = browser.client.execute(told, vec![]).await?;
    let n_found = browser.client.execute(n_places, vec![]).await?;
    let n_found = n_found.as_u64().unwrap_or_default();
    ensure!(
        n_found > 1 && said == json!(format!("{n_found} places.")),
        "{said}, {n_found}"
    );
    browser
        .client
        .find(Locator::Css(".search li:last-child button"))
        .await?
        .click()
        .await?;
    let found = "const found = document.activeElement; const { top, bottom } = found.getBoundingClientRect(); \
        return found.classList.contains('found') && top < innerHeight && bottom > 0 ? found.innerText : String(top)";
    let found = browser.client.execute(found, vec![]).await?;
    let found = found.as_str().unwrap_or_default().to_lowercase();
    ensure!(
        found.contains("hose") && found.contains("seacock"),
        "{found}"
    );
    search.send_keys(" nowhere").await?;
    let said = browser.client.execute(told, vec![]).await?;
    ensure!(
        said == json!("Nothing found with all of these words."),
        "{said}"
    );

    // The edge moves by keys; the later picture lies from the edge on.
    let edge = browser
        .client
        .find(Locator::Css(".over-each-other input"))
        .await?;
    edge.send_keys("\u{E012}\u{E012}").await?;
    let lies = "const part = document.querySelector('.over-each-other'); \
        return [part.querySelector('input').value, part.querySelector('.later').style.clipPath, \
            getComputedStyle(part.parentElement.querySelector('figure img')).display]";
    let lie = browser.client.execute(lies, vec![]).await?;
    ensure!(
        lie == json!(["48", "inset(0px 0px 0px 48%)", "none"]),
        "{lie}"
    );
    browser
        .client
        .find(Locator::Css(".over-each-other button"))
        .await?
        .click()
        .await?;
    let lie = browser.client.execute(lies, vec![]).await?;
    ensure!(lie[2] == json!("block"), "{lie}");

    let complaints = access::findings(&browser, &access::axe()?).await?;
    ensure!(complaints.is_empty(), "{complaints:#?}");
    browser.close().await
}

#[tokio::test]
async fn a_dossier_is_searched_and_compared_in_chromium() -> Result<()> {
    opens_from_a_disk(Engine::Chromium).await
}

#[tokio::test]
async fn a_dossier_is_searched_and_compared_in_firefox() -> Result<()> {
    opens_from_a_disk(Engine::Firefox).await
}

#[tokio::test]
async fn a_dossier_is_searched_and_compared_in_webkit() -> Result<()> {
    opens_from_a_disk(Engine::WebKit).await
}
