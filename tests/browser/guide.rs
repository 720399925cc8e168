//! The pictures of the user's guide are made from the real screens: `GARBOARD_GUIDE=write` makes them anew.

use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};
use garboard_protocol::{Answer, Ask, Filter, Window};
use serde_json::json;

use crate::engine::{Devtools, Engine, served};
use crate::keeper::Keeper;

/// A picture of the guide: its name, the screen, words that show that it is drawn, and what is brought into view.
struct Shot {
    name: &'static str,
    /// The address after `#`; `entry` stands for an entry that has the words.
    screen: &'static str,
    words: &'static str,
    shows: &'static str,
}

const SHOTS: &[Shot] = &[
    Shot {
        name: "log",
        screen: "/log",
        words: "Filter",
        shows: ".day",
    },
    Shot {
        name: "measure",
        screen: "/measure",
        words: "Save reading",
        shows: "h1",
    },
    Shot {
        name: "plan",
        screen: "/boat",
        words: "Bow up",
        shows: ".plan",
    },
    Shot {
        name: "work",
        screen: "/work",
        words: "Can be done now",
        shows: "h1",
    },
    Shot {
        name: "before-and-after",
        screen: "entry:panel varnished",
        words: "Same view again",
        shows: "h1",
    },
    Shot {
        name: "closing-up",
        screen: "entry:new core from below",
        words: "Before you close up",
        shows: ".lacks",
    },
    Shot {
        name: "differences",
        screen: "/differences",
        words: "Keep this",
        shows: "h1",
    },
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/pictures")
}

#[expect(
    clippy::disallowed_methods,
    reason = "a person asks for new pictures by it"
)]
fn writes() -> bool {
    std::env::var("GARBOARD_GUIDE").is_ok_and(|how| how == "write")
}

#[tokio::test]
async fn the_guide_shows_the_screens_as_they_are() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(Ask::OpenDemo).await?;
    let mut screens = Vec::new();
    for shot in SHOTS {
        let screen = match shot.screen.strip_prefix("entry:") {
            None => shot.screen.to_owned(),
            Some(words) => {
                let filter = Filter {
                    words: words.to_owned(),
                    ..Filter::default()
                };
                let window = Window { skip: 0, take: 50 };
                let Answer::Rows(rows) = keeper.ask(Ask::Rows { filter, window }).await? else {
                    anyhow::bail!("no rows for {words}");
                };
                let wanted = if shot.name == "closing-up" {
                    "repair"
                } else {
                    "photograph"
                };
                let row = rows
                    .rows
                    .iter()
                    .find(|row| row.kind == wanted)
                    .with_context(|| format!("no {wanted} with {words:?}"))?;
                format!("/entry/{}", row.id)
            }
        };
        screens.push(screen);
    }
    let phone = json!({ "width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": true });
    let screen = Devtools("Emulation.setDeviceMetricsOverride", phone);
    browser.client.issue_cmd(screen).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Saved on this").await?;
    let guide = std::fs::read_to_string(folder().with_file_name("guide.md"))?;
    let writes = writes();
    for (shot, screen) in SHOTS.iter().zip(&screens) {
        let script = "location.hash = arguments[0]";
        browser.client.execute(script, vec![json!(screen)]).await?;
        browser.until_it_says(shot.words).await.context(shot.name)?;
        let script = "document.querySelector(arguments[0])?.scrollIntoView({ block: 'center' })";
        browser
            .client
            .execute(script, vec![json!(shot.shows)])
            .await?;
        // Pictures are drawn when they have been decoded.
        let script = "const done = arguments[0];
            const isSeen = image => { const at = image.getBoundingClientRect(); return at.bottom > 0 && at.top < innerHeight; };
            const look = () => [...document.images].some(image => isSeen(image) && !image.complete) ? setTimeout(look, 50) : done(true);
            setTimeout(look, 500);";
        browser.client.execute_async(script, vec![]).await?;
        let png = browser.client.screenshot().await?;
        let path = folder().join(format!("{}.png", shot.name));
        if writes {
            std::fs::create_dir_all(folder())?;
            std::fs::write(&path, &png)?;
        }
        let kept = std::fs::read(&path).with_context(|| {
            format!(
                "docs/pictures/{}.png is missing; GARBOARD_GUIDE=write makes it",
                shot.name
            )
        })?;
        let (now, then) = (
            image::load_from_memory(&png)?,
            image::load_from_memory(&kept)?,
        );
        assert_eq!(
            now.width(),
            then.width(),
            "{}: as wide as the screen",
            shot.name
        );
        assert!(
            guide.contains(&format!("(pictures/{}.png)", shot.name)),
            "the guide shows {}",
            shot.name
        );
    }
    browser.close().await
}
