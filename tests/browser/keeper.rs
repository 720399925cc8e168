//! The keeper of a bare page, spoken to in its own messages.

use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use garboard_protocol::{Answer, Ask, Asked, Report, Told, Trouble, decode, encode};
use serde_json::{Value, json};

use crate::engine::Browser;

/// Starts a keeper on a page that has none, and keeps what it says until it is fetched.
const START: &str = r"
    const hex = (buffer) => [...new Uint8Array(buffer)].map(b => b.toString(16).padStart(2, '0')).join('');
    window.told = []; window.came = []; window.given = [];
    window.worker = new Worker('/keeper/boot.js', { type: 'module' });
    worker.postMessage({ drawn: true });
    worker.onmessage = ({ data }) => { if (data.files?.length) window.came = data.files; told.push(hex(data.bytes)); };
    addEventListener('pagehide', () => worker.terminate());
    worker.onerror = (event) => told.push('fault ' + event.message);
";

/// Sends bytes in hexadecimal digits, with the files that were given.
pub(crate) const SEND: &str = r"
    const [text] = arguments;
    const bytes = Uint8Array.from(text.match(/../g) ?? [], pair => parseInt(pair, 16));
    worker.postMessage({ bytes: bytes.buffer, files: window.given }, [bytes.buffer]);
    window.given = [];
";

/// A keeper and what it reported unasked.
pub(crate) struct Keeper<'a> {
    pub(crate) browser: &'a Browser,
    number: u32,
    /// The reports, oldest first.
    pub(crate) reports: Vec<Report>,
}

impl<'a> Keeper<'a> {
    /// Starts a keeper on a page that has none, and greets it.
    pub(crate) async fn start(browser: &'a Browser, address: &str) -> Result<(Self, Answer)> {
        browser
            .client
            .goto(&format!("{address}/fonts/OFL.txt"))
            .await?;
        browser.client.execute(START, vec![]).await?;
        let text = "const text = await (await fetch('/keeper/boot.js')).text(); return text.match(/BUILD = '(\\w+)'/)[1];";
        let script = format!("const done = arguments[0]; (async () => {{ {text} }})().then(done)");
        let build = browser.client.execute_async(&script, vec![]).await?;
        let build = build
            .as_str()
            .context("the boot file names its build")?
            .to_owned();
        let mut keeper = Self {
            browser,
            number: 0,
            reports: Vec::new(),
        };
        let hello = keeper.ask(Ask::Hello { build }).await?;
        Ok((keeper, hello))
    }

    /// Starts a keeper in a tab of its own and closes the one before: WebKit puts a page aside that was left, and its
    /// worker holds on to the right to write.
    pub(crate) async fn start_alone(browser: &'a Browser, address: &str) -> Result<Self> {
        let new = browser.client.new_window(true).await?.handle;
        browser.client.close_window().await?;
        browser.client.switch_to_window(new).await?;
        let (mut keeper, hello) = Self::start(browser, address).await?;
        if matches!(hello, Answer::Hello(hello) if !hello.is_writer) {
            let may_write = |report: &Report| matches!(report, Report::Writer { is_writer: true });
            keeper.until(1, may_write).await?;
        }
        Ok(keeper)
    }

    /// Asks, and gives the answer when all went well.
    pub(crate) async fn ask(&mut self, ask: Ask) -> Result<Answer> {
        let said = format!("{ask:?}");
        let told = self.tried(ask).await?;
        told.map_err(|trouble| {
            let reports = &self.reports;
            anyhow::anyhow!("{said}: {trouble:?}, after the reports {reports:?}")
        })
    }

    /// Asks, and gives the trouble that came of it.
    pub(crate) async fn refused(&mut self, ask: Ask) -> Result<Trouble> {
        let said = format!("{ask:?}");
        match self.tried(ask).await? {
            Err(trouble) => Ok(trouble),
            Ok(answer) => bail!("{said} was not refused: {answer:?}"),
        }
    }

    /// Asks, and gives the answer or the trouble that came of it.
    pub(crate) async fn tried(&mut self, ask: Ask) -> Result<Result<Answer, Trouble>> {
        let bytes = self.asked(ask)?;
        self.browser
            .client
            .execute(SEND, vec![json!(bytes)])
            .await?;
        for _ in 0..1_200 {
            for told in self.fetch().await? {
                match told {
                    Told::Report(report) => self.reports.push(report),
                    Told::Answer { number, answer } if number == self.number => {
                        return Ok(answer);
                    }
                    Told::Answer { number, .. } => {
                        bail!("an answer to {number}, which was not asked")
                    }
                }
            }
            tokio::time::sleep(Duration::from_millis(25)).await;
        }
        bail!("no answer within thirty seconds")
    }

    /// The next ask's bytes in hexadecimal digits.
    pub(crate) fn asked(&mut self, ask: Ask) -> Result<String> {
        self.number += 1;
        let asked = Asked {
            number: self.number,
            ask,
        };
        Ok(encode(&asked)?
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect())
    }

    /// What was told since the last look.
    pub(crate) async fn fetch(&self) -> Result<Vec<Told>> {
        let told = self
            .browser
            .client
            .execute("return told.splice(0)", vec![])
            .await?;
        let lines = told.as_array().cloned().unwrap_or_default();
        lines
            .iter()
            .map(|line| {
                let text = line.as_str().unwrap_or_default();
                if let Some(fault) = text.strip_prefix("fault ") {
                    bail!("the keeper failed: {fault}");
                }
                Ok(decode(&from_hex(text))?)
            })
            .collect()
    }

    /// Waits until a report comes that fits, and fetches what else is said meanwhile.
    pub(crate) async fn until(&mut self, n: usize, fits: impl Fn(&Report) -> bool) -> Result<()> {
        for _ in 0..1_200 {
            for told in self.fetch().await? {
                if let Told::Report(report) = told {
                    self.reports.push(report);
                }
            }
            if self.reports.iter().filter(|report| fits(report)).count() >= n {
                return Ok(());
            }
            tokio::time::sleep(Duration::from_millis(25)).await;
        }
        bail!(
            "it was not reported within thirty seconds; what was: {:?}",
            self.reports
        )
    }

    /// The files that came with the last answer.
    pub(crate) async fn files(&self) -> Result<Vec<Vec<u8>>> {
        let script = "const done = arguments[0]; \
            const hex = (buffer) => [...new Uint8Array(buffer)].map(b => b.toString(16).padStart(2, '0')).join(''); \
            Promise.all(came.map(file => file.arrayBuffer())).then(all => done(all.map(hex)))";
        let files = self.browser.client.execute_async(script, vec![]).await?;
        let files = files.as_array().cloned().unwrap_or_default();
        Ok(files
            .iter()
            .map(|text| from_hex(text.as_str().unwrap_or_default()))
            .collect())
    }

    /// Puts a file beside the next ask.
    pub(crate) async fn give(&self, name: &str, bytes: &[u8]) -> Result<()> {
        let text: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        let script = "const [name, text] = arguments; \
            const bytes = new Uint8Array(text.length / 2); \
            for (let i = 0; i < bytes.length; i++) bytes[i] = parseInt(text.slice(2 * i, 2 * i + 2), 16); \
            given.push(new File([bytes], name));";
        let arguments: Vec<Value> = vec![json!(name), json!(text)];
        self.browser.client.execute(script, arguments).await?;
        Ok(())
    }
}

fn from_hex(text: &str) -> Vec<u8> {
    text.as_bytes()
        .chunks(2)
        .filter_map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok())
        .collect()
}
