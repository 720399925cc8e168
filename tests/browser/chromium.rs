//! A Chromium of its own for each test: its own profile, driver and server, ended with the test.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use fantoccini::{Client, ClientBuilder};
use serde_json::json;

/// How long anything on a screen may take before a test gives up.
const PATIENCE: Duration = Duration::from_secs(30);

/// A browser with one profile on disk.
pub(crate) struct Chromium {
    /// The session.
    pub(crate) client: Client,
    driver: Child,
    profile: std::path::PathBuf,
}

/// Serves the built site on a free port until the test ends; gives the address.
pub(crate) async fn served() -> Result<String> {
    let folders = garboard_cli::site::Folders::find()?;
    let site = folders.site();
    if !site.join("index.html").is_file() {
        bail!(
            "there is no built site in {}; run `cargo run --release -- site` first",
            site.display()
        );
    }
    let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await?;
    let address = format!("http://{}", listener.local_addr()?);
    let router = garboard_cli::serve::router(&site);
    tokio::spawn(async move { axum::serve(listener, router).await });
    Ok(address)
}

impl Chromium {
    /// Starts a browser at a phone's size on a profile, new or used before.
    pub(crate) async fn start(profile: &Path) -> Result<Self> {
        let port = std::net::TcpListener::bind(("127.0.0.1", 0))?
            .local_addr()?
            .port();
        let mut driver = Command::new("chromedriver")
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .context(
                "chromedriver cannot be started; install the Debian package chromium-driver",
            )?;
        let arguments = [
            "--headless".to_owned(),
            "--no-sandbox".to_owned(),
            "--disable-gpu".to_owned(),
            "--disable-quic".to_owned(),
            "--no-first-run".to_owned(),
            "--disable-background-networking".to_owned(),
            "--disable-component-update".to_owned(),
            "--disable-sync".to_owned(),
            "--window-size=390,844".to_owned(),
            // A camera and a microphone that the browser makes up, allowed without asking.
            "--use-fake-device-for-media-stream".to_owned(),
            "--use-fake-ui-for-media-stream".to_owned(),
            format!("--user-data-dir={}", profile.display()),
        ];
        let capabilities = json!({
            "goog:chromeOptions": { "args": arguments },
            "goog:loggingPrefs": { "browser": "ALL" },
        });
        let capabilities = capabilities.as_object().cloned().unwrap_or_default();
        for _ in 0..100 {
            tokio::time::sleep(Duration::from_millis(100)).await;
            let started = ClientBuilder::native()
                .capabilities(capabilities.clone())
                .connect(&format!("http://127.0.0.1:{port}"))
                .await;
            match started {
                Ok(client) => {
                    return Ok(Self {
                        client,
                        driver,
                        profile: profile.to_path_buf(),
                    });
                }
                Err(fantoccini::error::NewSessionError::Lost(_)) => {}
                Err(error) => {
                    driver.kill().ok();
                    return Err(error).context("the browser cannot be started");
                }
            }
        }
        driver.kill().ok();
        bail!("chromedriver did not answer within ten seconds")
    }

    /// Ends the browser without any warning, as an empty battery does.
    pub(crate) async fn kill(mut self) -> Result<()> {
        let ids = self.process_ids()?;
        assert!(!ids.is_empty(), "the browser runs");
        for id in ids {
            // One of them may have gone with its parent meanwhile.
            Command::new("kill")
                .args(["-9", &id.to_string()])
                .stderr(Stdio::null())
                .status()?;
        }
        self.driver.kill()?;
        self.driver.wait()?;
        for _ in 0..100 {
            if self.process_ids()?.is_empty() {
                return Ok(());
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        bail!("the browser outlived its killing")
    }

    /// Ends the browser as a person does.
    pub(crate) async fn close(mut self) -> Result<()> {
        self.client.clone().close().await?;
        self.driver.kill()?;
        self.driver.wait()?;
        Ok(())
    }

    /// The processes of this browser, known by its profile.
    fn process_ids(&self) -> Result<Vec<u32>> {
        let mark = format!("--user-data-dir={}", self.profile.display());
        let mut found = Vec::new();
        for entry in std::fs::read_dir("/proc")? {
            let path = entry?.path();
            let id = path
                .file_name()
                .and_then(|name| name.to_str()?.parse::<u32>().ok());
            let line = std::fs::read(path.join("cmdline")).unwrap_or_default();
            if let Some(id) = id
                && String::from_utf8_lossy(&line)
                    .split('\0')
                    .any(|part| part == mark)
            {
                found.push(id);
            }
        }
        Ok(found)
    }

    /// All the words on the screen.
    pub(crate) async fn words(&self) -> Result<String> {
        let words = self
            .client
            .execute(
                "return document.body ? document.body.innerText : ''",
                vec![],
            )
            .await?;
        Ok(words.as_str().unwrap_or_default().to_owned())
    }

    /// Waits until the screen says something.
    pub(crate) async fn until_it_says(&self, wanted: &str) -> Result<()> {
        let start = tokio::time::Instant::now();
        loop {
            let words = self.words().await.unwrap_or_default();
            if words.contains(wanted) {
                return Ok(());
            }
            if start.elapsed() > PATIENCE {
                bail!("the screen never says {wanted:?}; it says:\n{words}");
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Presses the key with this word.
    pub(crate) async fn press(&self, word: &str) -> Result<()> {
        let script = "const [word] = arguments; \
            const key = [...document.querySelectorAll('button, a, label')] \
                .find(key => key.innerText.trim() === word && key.getClientRects().length > 0); \
            if (key) key.click(); return Boolean(key);";
        let start = tokio::time::Instant::now();
        loop {
            let pressed = self.client.execute(script, vec![json!(word)]).await?;
            if pressed == json!(true) {
                return Ok(());
            }
            if start.elapsed() > PATIENCE {
                bail!(
                    "there is no key {word:?}; the screen says:\n{}",
                    self.words().await?
                );
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// Writes into a field, as typing does.
    pub(crate) async fn write(&self, id: &str, words: &str) -> Result<()> {
        let field = self
            .client
            .wait()
            .at_most(PATIENCE)
            .for_element(fantoccini::Locator::Id(id))
            .await?;
        field.send_keys(words).await?;
        Ok(())
    }

    /// What the browser complained of: violations of the policy, errors of scripts. A missing icon of
    /// a bare page is none of them.
    pub(crate) async fn complaints(&self) -> Result<Vec<String>> {
        let told = self.client.issue_cmd(Log).await?;
        let lines = told.as_array().cloned().unwrap_or_default();
        Ok(lines
            .iter()
            .filter(|line| line["level"] == "SEVERE")
            .filter_map(|line| line["message"].as_str())
            .filter(|message| !message.contains("favicon.ico"))
            .map(str::to_owned)
            .collect())
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        self.driver.kill().ok();
        for id in self.process_ids().unwrap_or_default() {
            Command::new("kill")
                .args(["-9", &id.to_string()])
                .stderr(Stdio::null())
                .status()
                .ok();
        }
    }
}

/// A screen of a phone's size, without what only a desktop's window has.
#[derive(Debug)]
pub(crate) struct PhoneScreen;

impl fantoccini::wd::WebDriverCompatibleCommand for PhoneScreen {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/goog/cdp/execute",
            session.unwrap_or_default()
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        let screen = json!({ "width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": true });
        (
            http::Method::POST,
            Some(
                json!({ "cmd": "Emulation.setDeviceMetricsOverride", "params": screen })
                    .to_string(),
            ),
        )
    }
}

/// The browser's own log, which the standard does not have.
#[derive(Debug)]
struct Log;

impl fantoccini::wd::WebDriverCompatibleCommand for Log {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/se/log", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (
            http::Method::POST,
            Some(json!({ "type": "browser" }).to_string()),
        )
    }
}
