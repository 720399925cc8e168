//! The other engines: Firefox and WebKit open the site under its policy, work without a network, and keep what they call saved.

use anyhow::{Result, ensure};

use crate::engine::{Engine, Server};

/// Waits until every file of the site is kept, and the page served from there.
const ALL_KEPT: &str = "const done = arguments[0];
    const look = async () => {
        const kept = await caches.match(new URL('press_bg.wasm', location.href).href);
        kept && navigator.serviceWorker.controller ? done(true) : setTimeout(look, 50);
    };
    navigator.serviceWorker.ready.then(look);";

/// Breaks the policy: a script that stands in the page.
const BREAK_POLICY: &str = "const script = document.createElement('script'); \
    script.textContent = 'window.ran = true'; document.head.append(script); return window.ran ?? false;";

async fn opens_and_works_without_a_network(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&server.address).await?;
    browser.until_it_says("Begin a log").await?;
    browser.client.execute_async(ALL_KEPT, vec![]).await?;
    ensure!(
        server.violations().is_empty(),
        "the policy is broken: {:?}",
        server.violations()
    );

    // The network goes, with every connection.
    let address = server.address.clone();
    server.end().await?;
    ensure!(
        tokio::net::TcpStream::connect(address.trim_start_matches("http://"))
            .await
            .is_err(),
        "nobody serves any more"
    );
    browser
        .client
        .execute("window.was_here = true; location.reload()", vec![])
        .await?;
    let mut has_reloaded = false;
    for _ in 0..200 {
        let gone = browser
            .client
            .execute("return window.was_here !== true", vec![])
            .await;
        has_reloaded = gone.is_ok_and(|gone| gone == true);
        if has_reloaded {
            break;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    ensure!(has_reloaded, "the page did not load anew");
    browser.until_it_says("Begin a log").await?;
    browser.begin_log("Merganser ≈ Ü", "Ada").await?;
    browser.until_it_says("Working at").await?;
    // The module with all screens takes over, and gives way to no network either.
    browser.press("Boat").await?;
    browser.until_it_says("No places yet").await?;
    browser.press("Log").await?;
    browser.until_it_says("Begins the log").await?;
    browser.close().await
}

async fn the_policy_holds_and_its_breach_is_heard(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&server.address).await?;
    browser.until_it_says("Begin a log").await?;
    let ran = browser.client.execute(BREAK_POLICY, vec![]).await?;
    ensure!(ran == false, "a script in the page ran");
    for _ in 0..200 {
        if !server.violations().is_empty() {
            return browser.close().await;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    anyhow::bail!("the breach was not reported, so silence proves nothing")
}

async fn saved_survives_a_kill(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&server.address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.press("Write").await?;
    let words = "the last words before the battery went";
    browser.write("words", words).await?;
    browser.press("Save note").await?;
    browser.until_it_says(words).await?;
    browser.until_it_says("Saved on this").await?;
    browser.kill().await?;

    let browser = engine.start(room.path()).await?;
    browser.client.goto(&server.address).await?;
    browser.until_it_says(words).await?;
    browser.close().await?;
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&server.address).await?;
    browser.until_it_says(words).await?;
    browser.close().await
}

/// A browser may put a page aside that was left, with its keeper: that must neither keep others from writing nor come back stale.
async fn a_page_that_was_left_gives_the_right_to_write_away(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&server.address).await?;
    browser.until_it_says("Begin a log").await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.until_it_says("Working at").await?;
    for words in ["after leaving once", "after leaving twice"] {
        let elsewhere = format!("{}/fonts/OFL.txt", server.address);
        browser.client.goto(&elsewhere).await?;
        browser.client.goto(&server.address).await?;
        browser.until_it_says("Working at").await?;
        browser.press("Write").await?;
        browser.write("words", words).await?;
        browser.press("Save note").await?;
        browser.until_it_says(words).await?;
        browser.until_it_says("Saved on this").await?;
    }
    browser.client.back().await?;
    browser.client.back().await?;
    browser.until_it_says("after leaving twice").await?;
    browser.close().await
}

#[tokio::test]
async fn chromium_gives_the_right_to_write_away_with_a_page() -> Result<()> {
    a_page_that_was_left_gives_the_right_to_write_away(Engine::Chromium).await
}

#[tokio::test]
async fn firefox_gives_the_right_to_write_away_with_a_page() -> Result<()> {
    a_page_that_was_left_gives_the_right_to_write_away(Engine::Firefox).await
}

#[tokio::test]
async fn webkit_gives_the_right_to_write_away_with_a_page() -> Result<()> {
    a_page_that_was_left_gives_the_right_to_write_away(Engine::WebKit).await
}

#[tokio::test]
async fn firefox_opens_the_site_and_works_without_a_network() -> Result<()> {
    opens_and_works_without_a_network(Engine::Firefox).await
}

#[tokio::test]
async fn firefox_holds_the_policy_and_reports_its_breach() -> Result<()> {
    the_policy_holds_and_its_breach_is_heard(Engine::Firefox).await
}

#[tokio::test]
async fn firefox_keeps_what_the_screen_calls_saved() -> Result<()> {
    saved_survives_a_kill(Engine::Firefox).await
}

#[tokio::test]
async fn webkit_opens_the_site_and_works_without_a_network() -> Result<()> {
    opens_and_works_without_a_network(Engine::WebKit).await
}

#[tokio::test]
async fn webkit_holds_the_policy_and_reports_its_breach() -> Result<()> {
    the_policy_holds_and_its_breach_is_heard(Engine::WebKit).await
}

#[tokio::test]
async fn webkit_keeps_what_the_screen_calls_saved() -> Result<()> {
    saved_survives_a_kill(Engine::WebKit).await
}
