//! Pictures that this program cannot decode: kept as they came, with a view where the browser can show them.
//!
//! Chromium decodes AVIF, which this program does not, and no HEIC: no engine for this system has the patented codec.

use std::path::Path;
use std::process::Command;

use anyhow::{Result, ensure};
use garboard_protocol::{Answer, Ask, PictureSize, Report, Shoot};

use crate::begin;
use crate::engine::{Engine, served};
use crate::keeper::Keeper;

const DRAW: &str = "import sys
from PIL import Image
import pillow_heif
pillow_heif.register_heif_opener()
picture = Image.linear_gradient('L').resize((2600, 1300)).convert('RGB')
picture.save(sys.argv[1] + '/av1.avif', quality=60)
picture.save(sys.argv[1] + '/hevc.heic', quality=60)
";

fn drawn(folder: &Path) -> Result<(Vec<u8>, Vec<u8>)> {
    let python = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/python/bin/python");
    let made = Command::new(python)
        .args(["-c", DRAW])
        .arg(folder)
        .output()?;
    ensure!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    let read = |name| std::fs::read(folder.join(name));
    Ok((read("av1.avif")?, read("hevc.heic")?))
}

#[tokio::test]
async fn a_picture_that_only_the_browser_decodes_is_kept_as_it_came_and_gets_a_view() -> Result<()>
{
    let (room, folder) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let (shown, unshown) = drawn(folder.path())?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;

    keeper.give("one.avif", &shown).await?;
    keeper.ask(Ask::Shoot(Shoot::default())).await?;
    keeper
        .until(1, |report| matches!(report, Report::PictureReady { .. }))
        .await?;
    let digest = garboard_record::Digest::of(&shown).to_string();
    let picture = |size| Ask::Picture {
        digest: digest.clone(),
        size,
    };
    let Answer::Picture(Some(_)) = keeper.ask(picture(PictureSize::Original)).await? else {
        panic!("no original")
    };
    assert_eq!(keeper.files().await?, std::slice::from_ref(&shown));
    let Answer::Picture(Some(given)) = keeper.ask(picture(PictureSize::View)).await? else {
        panic!("no view")
    };
    assert_eq!(given.size, PictureSize::View);
    let view = keeper.files().await?.remove(0);
    let size = image::load_from_memory(&view)?;
    assert_eq!((size.width(), size.height()), (2048, 1024));

    // Where the browser cannot either, the original is kept, and the reason is said.
    keeper.give("two.heic", &unshown).await?;
    keeper.ask(Ask::Shoot(Shoot::default())).await?;
    keeper
        .until(1, |report| {
            matches!(report, Report::PictureFailed { why, .. } if why.contains("HEIC") && why.contains("browser"))
        })
        .await?;
    let digest = garboard_record::Digest::of(&unshown).to_string();
    let Answer::Picture(Some(_)) = keeper
        .ask(Ask::Picture {
            digest,
            size: PictureSize::Original,
        })
        .await?
    else {
        panic!("no original")
    };
    assert_eq!(keeper.files().await?, [unshown]);
    browser.close().await
}
