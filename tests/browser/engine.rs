//! A browser of its own for each test, in one of three engines: its own profile, driver and server, ended with the test.

use std::collections::BTreeMap;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use axum::response::Response;
use fantoccini::{Client, ClientBuilder};
use serde_json::{Value, json};

/// How long anything on a screen may take before a test gives up.
const PATIENCE: Duration = Duration::from_secs(30);

/// What draws the page and keeps its data.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Engine {
    Chromium,
    Firefox,
    /// In a window of our own that keeps its data, since the engine's own test shell forgets.
    WebKit,
}

/// What the system's setting says of light and dark; the product calls its two lights deck and bilge.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Light {
    Deck,
    Bilge,
}

/// A browser with one profile on disk.
pub(crate) struct Browser {
    /// The session.
    pub(crate) client: Client,
    driver: Child,
    /// The screen of an engine that cannot do without one.
    screen: Option<Child>,
    profile: PathBuf,
}

/// Serves the built site on a free port until the test ends; gives the address.
pub(crate) async fn served() -> Result<String> {
    Ok(Server::start().await?.address)
}

/// The built site, served until it is ended, and what browsers reported of its policy.
pub(crate) struct Server {
    pub(crate) address: String,
    violations: Arc<Mutex<Vec<String>>>,
    ending: tokio::sync::oneshot::Sender<()>,
    serving: tokio::task::JoinHandle<std::io::Result<()>>,
}

impl Server {
    /// Serves the built site on a free port, under its policy and with an address for reports of what breaks it.
    pub(crate) async fn start() -> Result<Self> {
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
        let violations = Arc::new(Mutex::new(Vec::new()));
        let heard = Arc::clone(&violations);
        let hear = move |report: String| async move {
            if let Ok(mut heard) = heard.lock() {
                heard.push(report);
            }
        };
        let router = garboard_cli::serve::router(&site)
            .layer(axum::middleware::map_response(asking_for_reports))
            .route("/violations", axum::routing::post(hear));
        let (ending, ended) = tokio::sync::oneshot::channel();
        let serving = tokio::spawn(async move {
            axum::serve(listener, router)
                .with_graceful_shutdown(async {
                    // A test that lets go of the sender serves until its process ends.
                    if ended.await.is_err() {
                        std::future::pending::<()>().await;
                    }
                })
                .await
        });
        Ok(Self {
            address,
            violations,
            ending,
            serving,
        })
    }

    /// What broke the policy so far, as the browser reported it.
    pub(crate) fn violations(&self) -> Vec<String> {
        self.violations
            .lock()
            .map(|violations| violations.clone())
            .unwrap_or_default()
    }

    /// Takes the server away, with every connection to it.
    pub(crate) async fn end(self) -> Result<()> {
        self.ending.send(()).ok();
        tokio::time::timeout(PATIENCE, self.serving).await???;
        Ok(())
    }
}

/// Adds to the policy where violations are reported.
async fn asking_for_reports(mut response: Response) -> Response {
    let name = http::header::CONTENT_SECURITY_POLICY;
    if let Some(policy) = response.headers().get(&name)
        && let Ok(policy) = policy.to_str()
        && let Ok(policy) = format!("{policy}; report-uri /violations").parse()
    {
        response.headers_mut().insert(name, policy);
    }
    response
}

impl Engine {
    /// Starts a browser at a phone's size on a profile, new or used before.
    pub(crate) async fn start(self, profile: &Path) -> Result<Browser> {
        self.start_in(Light::Deck, profile).await
    }

    /// Starts a browser on a system that is set to a light.
    pub(crate) async fn start_in(self, light: Light, profile: &Path) -> Result<Browser> {
        let port = free_port()?;
        let (command, package) = self.driver(port)?;
        self.begun(command, package, port, light, profile).await
    }

    /// Where in a profile what sites store is kept. WebKit's driver answers with errors when its caches have no room either.
    pub(crate) fn kept_in(self, profile: &Path) -> PathBuf {
        match self {
            Self::WebKit => profile.join("data"),
            Self::Chromium | Self::Firefox => profile.to_path_buf(),
        }
    }

    /// Starts a browser that keeps what sites store on a disk of so many megabytes, which nobody else sees and which goes with it.
    pub(crate) async fn start_on_a_small_disk(
        self,
        profile: &Path,
        megabytes: u32,
    ) -> Result<Browser> {
        let port = free_port()?;
        let (driver, _) = self.driver(port)?;
        let mut command = Command::new("unshare");
        command.args(["-rm", "sh", "-c"]);
        command.arg(format!(
            "mkdir -p \"$0\" && mount -t tmpfs -o size={megabytes}m tmpfs \"$0\" && exec \"$@\""
        ));
        command
            .arg(self.kept_in(profile))
            .arg(driver.get_program())
            .args(driver.get_args());
        self.begun(
            command,
            "the Debian package util-linux",
            port,
            Light::Deck,
            profile,
        )
        .await
    }

    async fn begun(
        self,
        mut command: Command,
        package: &str,
        port: u16,
        light: Light,
        profile: &Path,
    ) -> Result<Browser> {
        let mut screen = None;
        if matches!(self, Self::WebKit) {
            let (child, number) = virtual_screen()?;
            command.env("DISPLAY", format!(":{number}"));
            screen = Some(child);
        }
        let driver = command
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .with_context(|| format!("the driver of {self:?} cannot be started; {package} has it"));
        let driver = match driver {
            Ok(driver) => driver,
            Err(error) => {
                end(screen);
                return Err(error);
            }
        };
        match self.session(port, light, profile).await {
            Ok(client) => Ok(Browser {
                client,
                driver,
                screen,
                profile: profile.to_path_buf(),
            }),
            Err(error) => {
                kill_all(&descendants(driver.id())?)?;
                end(Some(driver));
                end(screen);
                Err(error)
            }
        }
    }

    /// The command of the driver, and where it comes from.
    fn driver(self, port: u16) -> Result<(Command, &'static str)> {
        Ok(match self {
            Self::Chromium => {
                let mut command = Command::new("chromedriver");
                command.arg(format!("--port={port}"));
                (command, "the Debian package chromium-driver")
            }
            Self::Firefox => {
                let folders = garboard_cli::site::Folders::find()?;
                let target = folders.site().with_file_name("gecko");
                let mut command = Command::new(target.join("geckodriver"));
                command.arg(format!("--port={port}"));
                command.arg("--marionette-port=0");
                command.arg(format!("--websocket-port={}", free_port()?));
                (command, "tests/run")
            }
            Self::WebKit => {
                let mut command = Command::new("WebKitWebDriver");
                command.arg(format!("--port={port}"));
                // No accessibility bus, no sound server, no graphics card: none is needed for what is tested.
                command.env("NO_AT_BRIDGE", "1").env("GDK_BACKEND", "x11");
                (command, "the Debian package webkit2gtk-driver")
            }
        })
    }

    /// What the driver is asked for.
    fn capabilities(self, light: Light, profile: &Path) -> Value {
        let is_dark = matches!(light, Light::Bilge);
        let profile = profile.display();
        match self {
            Self::Chromium => json!({
                "goog:chromeOptions": { "args": [
                    "--headless",
                    "--no-sandbox",
                    "--disable-gpu",
                    "--disable-quic",
                    "--no-first-run",
                    "--disable-background-networking",
                    "--disable-component-update",
                    "--disable-sync",
                    "--window-size=390,844",
                    // A camera and a microphone that the browser makes up, allowed without asking.
                    "--use-fake-device-for-media-stream",
                    "--use-fake-ui-for-media-stream",
                    format!("--blink-settings=preferredColorScheme={}", u8::from(!is_dark)),
                    format!("--user-data-dir={profile}"),
                    // Every request of every page, worker and service worker, and who asked for it.
                    format!("--log-net-log={profile}/requests.json"),
                ] },
                "goog:loggingPrefs": { "browser": "ALL" },
            }),
            Self::Firefox => json!({
                "moz:firefoxOptions": {
                    "binary": "/usr/bin/firefox-esr",
                    "args": ["-headless", "-profile", profile.to_string()],
                    "prefs": {
                        // 0 is dark, 1 is light.
                        "layout.css.prefers-color-scheme.content-override": u8::from(!is_dark),
                        // A camera and a microphone that the browser makes up, allowed without asking.
                        "media.navigator.streams.fake": true,
                        "media.navigator.permission.disabled": true,
                    },
                },
            }),
            Self::WebKit => json!({
                "webkitgtk:browserOptions": {
                    "binary": concat!(env!("CARGO_MANIFEST_DIR"), "/browser/host.py"),
                    "args": [format!("--profile={profile}"), if is_dark { "--dark" } else { "--light" }],
                },
            }),
        }
    }

    async fn session(self, port: u16, light: Light, profile: &Path) -> Result<Client> {
        let capabilities = self.capabilities(light, profile);
        let capabilities = capabilities.as_object().cloned().unwrap_or_default();
        for _ in 0..100 {
            tokio::time::sleep(Duration::from_millis(100)).await;
            let started = ClientBuilder::native()
                .capabilities(capabilities.clone())
                .connect(&format!("http://127.0.0.1:{port}"))
                .await;
            match started {
                Ok(client) => return Ok(client),
                Err(fantoccini::error::NewSessionError::Lost(_)) => {}
                Err(error) => return Err(error).context("the browser cannot be started"),
            }
        }
        bail!("the driver of {self:?} did not answer within ten seconds")
    }
}

fn free_port() -> Result<u16> {
    Ok(std::net::TcpListener::bind(("127.0.0.1", 0))?
        .local_addr()?
        .port())
}

/// A screen that nobody sees, and its number.
fn virtual_screen() -> Result<(Child, String)> {
    let mut screen = Command::new("Xvfb")
        .args(["-displayfd", "1", "-screen", "0", "800x1000x24"])
        .args(["-nolisten", "tcp"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .context("Xvfb cannot be started; install the Debian package xvfb")?;
    let mut number = String::new();
    if let Some(told) = screen.stdout.take() {
        BufReader::new(told).read_line(&mut number)?;
    }
    Ok((screen, number.trim().to_owned()))
}

/// Ends a process of ours, if there is one.
fn end(process: Option<Child>) {
    if let Some(mut process) = process {
        process.kill().ok();
        process.wait().ok();
    }
}

/// The processes that a process started, and theirs.
fn descendants(of: u32) -> Result<Vec<u32>> {
    let mut children: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for entry in std::fs::read_dir("/proc")? {
        let path = entry?.path();
        let Some(id) = path
            .file_name()
            .and_then(|name| name.to_str()?.parse().ok())
        else {
            continue;
        };
        let stat = std::fs::read_to_string(path.join("stat")).unwrap_or_default();
        // The name in brackets may hold anything; after it come the state and the parent.
        let parent = stat
            .rsplit_once(')')
            .and_then(|(_, rest)| rest.split_whitespace().nth(1)?.parse().ok());
        if let Some(parent) = parent {
            children.entry(parent).or_default().push(id);
        }
    }
    let mut found = Vec::new();
    let mut open = vec![of];
    while let Some(next) = open.pop() {
        let of_it = children.remove(&next).unwrap_or_default();
        found.extend(&of_it);
        open.extend(of_it);
    }
    Ok(found)
}

/// Ends processes at once and without warning. One of them may have gone with its parent meanwhile.
fn kill_all(ids: &[u32]) -> Result<()> {
    Command::new("kill")
        .arg("-9")
        .args(ids.iter().map(u32::to_string))
        .stderr(Stdio::null())
        .status()?;
    Ok(())
}

impl Browser {
    /// Where a path lies for this browser, whose disk may be its own.
    pub(crate) fn seen_from_outside(&self, path: &Path) -> PathBuf {
        let root = PathBuf::from(format!("/proc/{}/root", self.driver.id()));
        root.join(path.strip_prefix("/").unwrap_or(path))
    }

    /// Ends the browser without any warning, as an empty battery does.
    pub(crate) async fn kill(mut self) -> Result<()> {
        let ids = self.process_ids()?;
        assert!(!ids.is_empty(), "the browser runs");
        kill_all(&ids)?;
        self.driver.kill()?;
        self.driver.wait()?;
        for _ in 0..100 {
            if !ids.iter().any(|id| is_running(*id)) && self.process_ids()?.is_empty() {
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

    /// The processes of this browser: those of its driver, and those that name its profile.
    pub(crate) fn process_ids(&self) -> Result<Vec<u32>> {
        let mark = format!("--user-data-dir={}", self.profile.display());
        let mut found = descendants(self.driver.id())?;
        for entry in std::fs::read_dir("/proc")? {
            let path = entry?.path();
            let id = path
                .file_name()
                .and_then(|name| name.to_str()?.parse::<u32>().ok());
            let line = std::fs::read(path.join("cmdline")).unwrap_or_default();
            if let Some(id) = id
                && !found.contains(&id)
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

    /// Begins a log on the first screen, as a person does.
    pub(crate) async fn begin_log(&self, boat: &str, hand: &str) -> Result<()> {
        self.write("boat", boat).await?;
        self.write("hand", hand).await?;
        self.press("Begin the log").await
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

    /// What Chromium complained of: violations of the policy, errors of scripts. A missing icon of
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

/// Whether a process still does anything; one that is dead and not yet asked after does not.
fn is_running(id: u32) -> bool {
    std::fs::read_to_string(format!("/proc/{id}/stat")).is_ok_and(|stat| {
        stat.rsplit_once(')')
            .is_some_and(|(_, rest)| !rest.trim_start().starts_with('Z'))
    })
}

impl Drop for Browser {
    fn drop(&mut self) {
        kill_all(&self.process_ids().unwrap_or_default()).ok();
        self.driver.kill().ok();
        self.driver.wait().ok();
        end(self.screen.take());
    }
}

/// Any command of Chromium's own protocol.
#[derive(Debug)]
pub(crate) struct Devtools(pub(crate) &'static str, pub(crate) Value);

impl fantoccini::wd::WebDriverCompatibleCommand for Devtools {
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
        let body = json!({ "cmd": self.0, "params": self.1 });
        (http::Method::POST, Some(body.to_string()))
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
