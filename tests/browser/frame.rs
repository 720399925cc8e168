//! Two pictures of one view: laid into one frame by spots that are set with keys, and found where that is certain.

use anyhow::{Context as _, Result};
use fantoccini::Locator;
use garboard_protocol::{Answer, Ask, Report, Shoot};

use crate::begin;
use crate::engine::{Engine, served};
use crate::keeper::Keeper;
use crate::lens::entry;

/// A picture with corners to hold on to, seen from a little to the right of where the first one was taken.
fn seen(shift: u32) -> Result<Vec<u8>> {
    let picture = image::RgbImage::from_fn(1200, 900, |x, y| {
        let (x, y) = (x + shift, y + shift / 2);
        // Flakes of one size, each of its own brightness: an integer hash of the cell (from memory).
        let cell = (x / 24).wrapping_mul(0x9E37_79B1) ^ (y / 24).wrapping_mul(0x85EB_CA77);
        let cell = (cell ^ (cell >> 15)).wrapping_mul(0x2C1B_3C6D);
        let grey = u8::try_from(40 + (cell >> 24) % 180).unwrap_or(u8::MAX);
        image::Rgb([grey, grey, grey / 2])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Jpeg)?;
    Ok(bytes.into_inner())
}

#[tokio::test]
async fn two_pictures_of_one_view_are_laid_into_one_frame() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let mut shoot = Shoot::default();
    let mut photographs = Vec::new();
    for (name, bytes) in [
        ("before.jpg", seen(0)?),
        ("after.jpg", seen(48)?),
        ("elsewhere.jpg", crate::drawn(1200, 900, 5)),
    ] {
        keeper.give(name, &bytes).await?;
        photographs.push(crate::saved(keeper.ask(Ask::Shoot(shoot.clone())).await?));
        shoot.answers = photographs.first().cloned();
    }
    keeper
        .until(3, |report| matches!(report, Report::PictureReady { .. }))
        .await?;
    let [_, after, elsewhere] = photographs.as_slice() else {
        anyhow::bail!("three photographs were taken: {photographs:?}")
    };

    // Found: what lies at x in the later picture lies at x + 48 in the earlier.
    let found = Ask::FindSpots {
        photograph: after.clone(),
    };
    let Answer::Spots(Ok(spots)) = keeper.ask(found).await? else {
        panic!("nothing was found")
    };
    for four in spots.as_chunks::<4>().0 {
        let [x, y, to_x, to_y] = four.map(|part| i64::try_from(part).unwrap_or_default());
        // A pixel is 8.3 parts across and 11.1 down.
        assert!((x - to_x - 400).abs() <= 8, "{spots:?}");
        assert!((y - to_y - 267).abs() <= 11, "{spots:?}");
    }
    keeper
        .ask(Ask::Lay {
            photograph: after.clone(),
            spots,
        })
        .await?;
    let files = keeper.files().await?;
    let sizes = files
        .iter()
        .map(|bytes| {
            image::load_from_memory(bytes).map(|picture| (picture.width(), picture.height()))
        })
        .collect::<std::result::Result<Vec<_>, _>>()?;
    assert_eq!(sizes.len(), 2);
    assert_eq!(sizes.first(), sizes.last());
    assert!(
        sizes
            .iter()
            .all(|(width, _)| width.abs_diff(1200 - 48) <= 2),
        "{sizes:?}"
    );

    // Not found, and said so.
    let unlike = Ask::FindSpots {
        photograph: elsewhere.clone(),
    };
    let Answer::Spots(Err(why)) = keeper.ask(unlike).await? else {
        panic!("something was found")
    };
    assert!(why.contains("set the points by hand"), "{why}");

    // By keys: two spots in each picture, moved apart, and kept.
    browser
        .client
        .goto(&format!("{address}/#/frame/{elsewhere}"))
        .await?;
    browser.until_it_says("Touch spot 1").await?;
    for (keys, wanted) in [
        (
            "\u{e007}\u{e012}\u{e012}",
            "Now touch spot 1 in the later picture",
        ),
        ("\u{e007}\u{e013}", "Touch spot 2"),
    ] {
        let which = usize::from(wanted.starts_with("Touch"));
        press(&browser, which, keys).await?;
        browser.until_it_says(wanted).await?;
    }
    let far = "\u{e007}".to_owned() + &"\u{e008}\u{e014}".repeat(12);
    press(&browser, 0, &far).await?;
    browser
        .until_it_says("Now touch spot 2 in the later")
        .await?;
    press(&browser, 1, &far).await?;
    browser.until_it_says("In one frame").await?;
    browser.press("Keep").await?;
    browser.until_it_says("Pictures taken before").await?;
    browser
        .client
        .goto(&format!("{address}/#/entry/{elsewhere}"))
        .await?;
    browser.until_it_says("by 2 spots that both show").await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    let view = entry(&mut keeper, elsewhere).await?;
    let kept = view
        .pictures
        .iter()
        .find(|picture| picture.entry == *elsewhere)
        .context("the photograph shows itself")?;
    assert_eq!(kept.same_spots.len(), 8, "{kept:?}");
    browser.close().await
}

/// Types on one of the two pictures.
async fn press(browser: &crate::engine::Browser, which: usize, keys: &str) -> Result<()> {
    let surfaces = browser.client.find_all(Locator::Css("svg.drawing")).await?;
    let surface = surfaces.get(which).context("a picture to set spots on")?;
    surface.send_keys(keys).await?;
    Ok(())
}
