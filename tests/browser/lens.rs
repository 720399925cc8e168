//! What is made with the camera, the microphone and a finger: marks, sound notes, pictures from the live view.

use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use fantoccini::actions::{InputSource as _, MOUSE_BUTTON_LEFT, MouseActions, PointerAction};
use garboard_protocol::{Answer, Ask, MarkView, Report, Shoot};
use serde_json::json;

use crate::chromium::{Chromium, served};
use crate::keeper::Keeper;
use crate::{begin, drawn, saved};

/// Where an element lies on the screen: left, top, width, height.
async fn frame(browser: &Chromium, selector: &str) -> Result<[f64; 4]> {
    let script = "const element = document.querySelector(arguments[0]); if (!element) return null; \
        const { x, y, width, height } = element.getBoundingClientRect(); return [x, y, width, height];";
    for _ in 0..400 {
        let found = browser
            .client
            .execute(script, vec![json!(selector)])
            .await?;
        if let Ok(frame) = serde_json::from_value::<[f64; 4]>(found)
            && frame[2] > 0.0
        {
            return Ok(frame);
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    bail!(
        "{selector} is not there; the screen says:\n{}",
        browser.words().await?
    )
}

/// Draws from one point of an element to another; both in parts of its width and height.
async fn stroke(browser: &Chromium, on: [f64; 4], points: &[(f64, f64)]) -> Result<()> {
    let to = |(x, y): (f64, f64), millis| PointerAction::MoveTo {
        duration: Some(Duration::from_millis(millis)),
        x: (on[0] + on[2] * x).round(),
        y: (on[1] + on[3] * y).round(),
    };
    let (first, rest) = points.split_first().context("a stroke has points")?;
    let mut mouse = MouseActions::new("mouse".to_owned())
        .then(to(*first, 0))
        .then(PointerAction::Down {
            button: MOUSE_BUTTON_LEFT,
        });
    for point in rest {
        mouse = mouse.then(to(*point, 60));
    }
    mouse = mouse.then(PointerAction::Up {
        button: MOUSE_BUTTON_LEFT,
    });
    browser.client.perform_actions(mouse).await?;
    Ok(())
}

/// The marks of the only photograph, as a keeper that starts anew reads them.
async fn marks_kept(browser: &Chromium, address: &str, photograph: &str) -> Result<Vec<MarkView>> {
    let (mut keeper, _) = Keeper::start(browser, address).await?;
    let ask = Ask::Entry {
        id: photograph.to_owned(),
    };
    match keeper.ask(ask).await? {
        Answer::Entry(view) => Ok(view.pictures[0].marks.clone()),
        other => bail!("no entry: {other:?}"),
    }
}

#[tokio::test]
async fn a_mark_is_drawn_by_hand_moved_by_keys_struck_and_taken_back() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Chromium::start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    keeper.give("bay.jpg", &drawn(1200, 900, 1)).await?;
    let photograph = saved(keeper.ask(Ask::Shoot(Shoot::default())).await?);
    keeper
        .until(1, |report| matches!(report, Report::PictureReady { .. }))
        .await?;

    let page = format!("{address}/#/marks/{photograph}");
    browser.client.goto(&page).await?;
    browser.press("Arrow").await?;
    let on = frame(&browser, "svg.drawing").await?;
    stroke(&browser, on, &[(0.2, 0.3), (0.4, 0.4), (0.6, 0.7)]).await?;
    browser.until_it_says("Arrow drawn, and saved").await?;
    let on = frame(&browser, "svg.drawing").await?;
    browser.press("Number").await?;
    stroke(&browser, on, &[(0.8, 0.2)]).await?;
    browser.until_it_says("Number drawn, and saved").await?;
    let found = marks_kept(&browser, &address, &photograph).await?;
    let near = |given: u32, wanted: u32| given.abs_diff(wanted) <= 4;
    let wanted = [200, 300, 600, 700];
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found[0].shape == "arrow"
            && found[0].points.len() == 4
            && found[0]
                .points
                .iter()
                .zip(wanted)
                .all(|(given, wanted)| near(*given, wanted)),
        "{found:?}"
    );
    assert!(
        found[1].shape == "number" && found[1].words == "1",
        "{found:?}"
    );

    // The arrow is chosen in the list, moved by keys, and struck; then both is taken back, one by one.
    browser.client.goto(&page).await?;
    browser.press("arrow").await?;
    frame(&browser, "rect.mark-handle").await?;
    let surface = browser
        .client
        .find(fantoccini::Locator::Css("svg.drawing"))
        .await?;
    surface.send_keys("\u{E014}\u{E014}\u{E006}").await?;
    browser.until_it_says("Moved, and saved").await?;
    let moved = marks_kept(&browser, &address, &photograph).await?;
    assert_eq!(moved[0].points[0], found[0].points[0] + 10);
    assert_eq!(moved[0].points[1], found[0].points[1]);

    browser.client.goto(&page).await?;
    browser.press("arrow").await?;
    let surface = browser
        .client
        .find(fantoccini::Locator::Css("svg.drawing"))
        .await?;
    surface.send_keys("\u{E017}").await?;
    browser.until_it_says("Struck, and saved").await?;
    browser.press("Undo").await?;
    browser.until_it_says("The strike is lifted").await?;
    assert_eq!(browser.complaints().await?, Vec::<String>::new());
    let found = marks_kept(&browser, &address, &photograph).await?;
    assert!(!found[0].is_struck, "{found:?}");
    browser.close().await
}
