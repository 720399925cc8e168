//! Every screen in both lights under axe-core in every engine: nothing to complain of by WCAG 2.2 A and AA, and by its own good practice.

use anyhow::{Context as _, Result, bail, ensure};
use garboard_protocol::{Answer, Ask, Filter, Window};
use serde_json::{Value, json};

use crate::engine::{Browser, Engine, Light, served};
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
pub(crate) fn axe() -> Result<String> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../target/npm/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(&path)
        .with_context(|| format!("{} is missing; tests/run brings it", path.display()))
}

/// Runs axe and gives a line a finding. A target that the foot of a sheet covers is looked at again where it can be
/// scrolled to.
const RUN: &str = "
    const run = runOnly => axe.run(document, { resultTypes: ['violations'], runOnly });
    const found = await run(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']);
    if (found.passes.length < 5) throw Error(`axe only looked at ${found.passes.length} things`);
    const lines = [];
    for (const { id, nodes } of found.violations) for (const node of nodes) {
        const target = node.target.join(' ');
        if (id === 'target-size') {
            document.querySelector(target).scrollIntoView({ block: 'center' });
            const [again] = (await run({ type: 'rule', values: [id] })).violations;
            if (!again?.nodes.some(node => node.target.join(' ') === target)) continue;
        }
        lines.push(`${id}: ${target}: ${node.failureSummary}`);
    }
    return lines;
";

/// What axe finds on the screen as it stands.
pub(crate) async fn findings(browser: &Browser, axe: &str) -> Result<Vec<String>> {
    let is_here = "return Boolean(window.axe)";
    if browser.client.execute(is_here, vec![]).await? != json!(true) {
        browser.client.execute(axe, vec![]).await?;
    }
    let script = format!(
        "const done = arguments[arguments.length - 1]; const axe = window.axe;
        (async () => {{ {RUN} }})().then(done, error => done(String(error)));"
    );
    let found = browser.client.execute_async(&script, vec![]).await?;
    let Some(found) = found.as_array() else {
        bail!("axe does not answer: {found}");
    };
    Ok(found
        .iter()
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect())
}

/// The colours and the scheme of the two lights, as they reach the page.
const COLOURS: &str = "const look = getComputedStyle(document.documentElement); \
    return ['--page', '--panel', '--ink', '--soft', '--rule', '--key', '--mark', '--on-mark', '--picture', 'color-scheme'] \
        .map(name => look.getPropertyValue(name).trim()).join('; ');";

/// Chooses a light by hand, as the strip's key does; nothing follows the system.
const CHOOSE: &str = "const [light] = arguments; const root = document.documentElement; \
    light ? root.setAttribute('data-light', light) : root.removeAttribute('data-light');";

/// Walks through every screen on a system of each light; a light that is chosen by hand must be the same one.
async fn shuts_nobody_out(engine: Engine) -> Result<()> {
    let axe = axe()?;
    let address = served().await?;
    let mut all = Vec::new();
    let mut followed = Vec::new();
    let mut chosen = Vec::new();
    // A phone's size, and in one engine that of a desk, where the boat and an entry stand beside the page.
    let is_wide = matches!(engine, Engine::Firefox);
    let lights = [(Light::Deck, "deck"), (Light::Bilge, "bilge")];
    for (light, name) in lights {
        let room = tempfile::tempdir()?;
        let browser = engine.start_in(light, room.path()).await?;
        if is_wide {
            browser.client.set_window_size(1280, 900).await?;
        }
        browser.client.goto(&address).await?;
        let wide = "return matchMedia('(min-width: 1100px)').matches";
        let found = browser.client.execute(wide, vec![]).await?;
        ensure!(
            found == json!(is_wide),
            "the window is not of the size wanted"
        );
        browser.until_it_says("Begin a log").await?;
        let dark = "return matchMedia('(prefers-color-scheme: dark)').matches";
        let is_dark = browser.client.execute(dark, vec![]).await?;
        ensure!(
            is_dark == json!(matches!(light, Light::Bilge)),
            "the system of {engine:?} is not set to {name}"
        );
        followed.push(browser.client.execute(COLOURS, vec![]).await?);
        // By hand the other one, against the system.
        let (_, other) = lights[usize::from(matches!(light, Light::Deck))];
        browser.client.execute(CHOOSE, vec![json!(other)]).await?;
        chosen.insert(0, browser.client.execute(COLOURS, vec![]).await?);
        browser.client.execute(CHOOSE, vec![Value::Null]).await?;
        for line in findings(&browser, &axe).await? {
            all.push(format!("start, {name}: {line}"));
        }
        let entries = entries(&browser, &address).await?;
        browser.client.goto(&address).await?;
        browser.until_it_says("Saved on this").await?;
        for (screen, words) in SCREENS {
            let hash = hash(screen, &entries)?;
            let go = "location.hash = arguments[0]";
            browser.client.execute(go, vec![json!(hash)]).await?;
            browser
                .until_it_says(words)
                .await
                .with_context(|| hash.clone())?;
            for line in findings(&browser, &axe).await? {
                all.push(format!("{screen}, {name}: {line}"));
            }
        }
        browser.close().await?;
    }
    ensure!(
        followed == chosen && followed[0] != followed[1],
        "a light is not the same by the system as by hand: {followed:?}, {chosen:?}"
    );
    ensure!(
        all.is_empty(),
        "{} findings:\n{}",
        all.len(),
        all.join("\n")
    );
    Ok(())
}

#[tokio::test]
async fn no_screen_shuts_anybody_out_in_chromium() -> Result<()> {
    shuts_nobody_out(Engine::Chromium).await
}

#[tokio::test]
async fn no_screen_shuts_anybody_out_in_firefox() -> Result<()> {
    shuts_nobody_out(Engine::Firefox).await
}

#[tokio::test]
async fn no_screen_shuts_anybody_out_in_webkit() -> Result<()> {
    shuts_nobody_out(Engine::WebKit).await
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

/// Opens the demonstration boat; gives one entry of each kind that is wanted.
pub(crate) async fn entries(browser: &Browser, address: &str) -> Result<Value> {
    let mut keeper = Keeper::start_alone(browser, address).await?;
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
