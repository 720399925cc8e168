//! The site can be put on a home screen: Chromium finds nothing wrong with its manifest, and everything that it names is there.

use anyhow::{Context as _, Result, bail, ensure};
use serde_json::{Value, json};
use url::Url;

use crate::engine::{Browser, Devtools, Engine, served};

/// Asks Chromium, in its own protocol.
async fn ask(browser: &Browser, command: &'static str) -> Result<Value> {
    Ok(browser
        .client
        .issue_cmd(Devtools(command, json!({})))
        .await?)
}

/// The list under this name, which must be there.
fn list<'a>(of: &'a Value, name: &str) -> Result<&'a Vec<Value>> {
    of[name]
        .as_array()
        .with_context(|| format!("no list of {name} in {of}"))
}

/// Fetches an icon and decodes it in the page: its type, and its width and height.
const LOOK: &str = "const [address, done] = arguments; (async () => { \
    const answer = await fetch(address); \
    if (!answer.ok) throw Error(`${answer.status} ${address}`); \
    const bytes = new Uint8Array(await answer.clone().arrayBuffer()); \
    const image = new Image(); image.src = address; await image.decode(); \
    return { type: answer.headers.get('content-type'), start: [...bytes.slice(0, 8)], \
        width: image.naturalWidth, height: image.naturalHeight }; \
    })().then(done, error => done(String(error)));";

/// The first bytes of every PNG file (ISO/IEC 15948, 5.2).
const PNG: [u8; 8] = [137, 80, 78, 71, 13, 10, 26, 10];

#[tokio::test]
async fn the_site_can_be_put_on_a_home_screen() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Begin a log").await?;

    let found = ask(&browser, "Page.getAppManifest").await?;
    ensure!(list(&found, "errors")?.is_empty(), "{}", found["errors"]);
    let wrong = ask(&browser, "Page.getInstallabilityErrors").await?;
    let wrong = list(&wrong, "installabilityErrors")?;
    ensure!(wrong.is_empty(), "it cannot be installed: {wrong:?}");

    // What it names lies within the site, and the site's own start within its scope.
    let site = Url::parse(&format!("{address}/"))?;
    let at = found["url"]
        .as_str()
        .context("the manifest has no address")?;
    let at = Url::parse(at)?;
    let text = found["data"].as_str().context("the manifest is empty")?;
    let manifest: Value = serde_json::from_str(text)?;
    let resolved = |name: &str| -> Result<Url> {
        let given = manifest[name]
            .as_str()
            .with_context(|| format!("the manifest has no {name}"))?;
        Ok(at.join(given)?)
    };
    let (start, scope) = (resolved("start_url")?, resolved("scope")?);
    // An id is resolved against the start.
    let id = start.join(manifest["id"].as_str().context("the manifest has no id")?)?;
    for url in [&start, &scope, &id] {
        ensure!(
            url.as_str().starts_with(site.as_str()),
            "{url} is elsewhere"
        );
    }
    ensure!(
        start.as_str().starts_with(scope.as_str()),
        "{start} is outside of {scope}"
    );
    for name in ["name", "short_name", "description", "display", "lang"] {
        let words = manifest[name].as_str().unwrap_or_default();
        ensure!(!words.is_empty(), "the manifest has no {name}");
    }

    // Each icon is served, is what it is said to be, and has the size that is stated.
    let mut n_maskable = 0;
    let mut squares = Vec::new();
    for icon in list(&manifest, "icons")? {
        let src = icon["src"].as_str().context("an icon without an address")?;
        let url = at.join(src)?;
        let seen = browser
            .client
            .execute_async(LOOK, vec![json!(url.as_str())])
            .await?;
        ensure!(seen["width"].is_u64(), "{src}: {seen}");
        ensure!(seen["type"] == icon["type"], "{src}: {seen}");
        match icon["sizes"].as_str() {
            Some("any") => ensure!(icon["type"] == "image/svg+xml", "{src} has one size"),
            Some(sizes) => {
                ensure!(seen["start"] == json!(PNG), "{src} is no PNG: {seen}");
                let shown = format!("{}x{}", seen["width"], seen["height"]);
                ensure!(shown == sizes, "{src} is said to be {sizes} and is {shown}");
                squares.push(seen["width"].as_u64());
            }
            None => bail!("{src} has no size"),
        }
        let purpose = icon["purpose"].as_str().unwrap_or("any");
        n_maskable += usize::from(purpose.split(' ').any(|word| word == "maskable"));
    }
    ensure!(n_maskable > 0, "no icon may be cut to a shape");
    for wanted in [192, 512] {
        ensure!(squares.contains(&Some(wanted)), "no icon of {wanted} px");
    }
    browser.close().await
}
