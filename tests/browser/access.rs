//! Every screen in both lights under axe-core: nothing to complain of by WCAG 2.2 A and AA, and by its own good practice.

use anyhow::{Context as _, Result};
use garboard_protocol::{Answer, Ask, Filter, Window};
use serde_json::{Value, json};

use crate::engine::{Browser, Engine, served};
use crate::keeper::Keeper;

/// The screens by their address, with words that show that they are drawn; `ENTRY:kind` stands for an entry of that kind, on its page unless an address stands before it.
pub(crate) const SCREENS: &[(&str, &str)] = &[
    ("/log", "Filter"),
    ("/boat", "Plan"),
    ("/work", "Can be done now"),
    ("/reckon", "Kept in this log"),
    ("/reckon/scarf", "Still needed"),
    ("/share", "This device"),
    ("/measure", "Save reading"),
    ("/write", "In your own words"),
    ("/place", "Where are you working?"),
    ("/differences", "Written differently"),
    ("/add/finding", "What is wrong"),
    ("/add/step", "More ("),
    ("ENTRY:finding", "Belongs with"),
    ("ENTRY:repair", "What hangs on it"),
    ("ENTRY:photograph", "Same view again"),
    ("ENTRY:reading", "Happened"),
    ("ENTRY:place", "At this place"),
    ("ENTRY:step", "Happened"),
    ("/say", "Record"),
    ("/pictures", "Choose pictures"),
    ("/camera", "None taken yet"),
    ("/camera/ENTRY:photograph", "Earlier picture"),
    ("/marks/ENTRY:photograph", "Choose what to draw"),
    ("/frame/ENTRY:photograph", "One frame"),
];

/// axe-core as the package registry has it.
fn axe() -> Result<String> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../target/npm/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(&path)
        .with_context(|| format!("{} is missing; tests/run brings it", path.display()))
}

/// What axe finds on the screen as it stands, one line a finding.
async fn findings(browser: &Browser, axe: &str) -> Result<Vec<String>> {
    let script = format!(
        "const done = arguments[arguments.length - 1];
        {axe};
        window.axe.run(document, {{ resultTypes: ['violations'], runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }})
            .then(found => done(found.violations.flatMap(v => v.nodes.map(n => `${{v.id}}: ${{n.target.join(' ')}}: ${{n.failureSummary}}`))), error => done([String(error)]));"
    );
    let found = browser.client.execute_async(&script, vec![]).await?;
    Ok(found
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect())
}

#[tokio::test]
async fn no_screen_shuts_anybody_out() -> Result<()> {
    let axe = axe()?;
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Begin a log").await?;
    let mut all = Vec::new();
    let lights = ["deck", "bilge"];
    for light in lights {
        set_light(&browser, light).await?;
        for line in findings(&browser, &axe).await? {
            all.push(format!("start, {light}: {line}"));
        }
    }
    let entries = entries(&browser, &address).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Saved on this").await?;
    for (screen, words) in SCREENS {
        let hash = hash(screen, &entries)?;
        browser
            .client
            .execute("location.hash = arguments[0]", vec![json!(hash)])
            .await?;
        browser
            .until_it_says(words)
            .await
            .with_context(|| hash.clone())?;
        for light in lights {
            set_light(&browser, light).await?;
            for line in findings(&browser, &axe).await? {
                all.push(format!("{screen}, {light}: {line}"));
            }
        }
    }
    assert!(
        all.is_empty(),
        "{} findings:\n{}",
        all.len(),
        all.join("\n")
    );
    browser.close().await
}

/// The address of a screen after `#`.
pub(crate) fn hash(screen: &str, entries: &Value) -> Result<String> {
    let Some((before, kind)) = screen.split_once("ENTRY:") else {
        return Ok(screen.to_owned());
    };
    let id = entries[kind]
        .as_str()
        .with_context(|| format!("no {kind}"))?;
    let before = if before.is_empty() { "/entry/" } else { before };
    Ok(format!("{before}{id}"))
}

async fn set_light(browser: &Browser, light: &str) -> Result<()> {
    let script = "document.documentElement.setAttribute('data-light', arguments[0])";
    browser.client.execute(script, vec![json!(light)]).await?;
    Ok(())
}

/// Opens the demonstration boat; gives one entry of each kind that is wanted.
pub(crate) async fn entries(browser: &Browser, address: &str) -> Result<Value> {
    let (mut keeper, _) = Keeper::start(browser, address).await?;
    keeper.ask(Ask::OpenDemo).await?;
    let mut found = serde_json::Map::new();
    for kind in [
        "finding",
        "repair",
        "photograph",
        "reading",
        "place",
        "step",
    ] {
        let filter = Filter {
            kinds: vec![kind.to_owned()],
            ..Filter::default()
        };
        let window = Window { skip: 0, take: 1 };
        if let Answer::Rows(rows) = keeper.ask(Ask::Rows { filter, window }).await?
            && let Some(row) = rows.rows.first()
        {
            found.insert(kind.to_owned(), json!(row.id));
        }
    }
    Ok(Value::Object(found))
}
