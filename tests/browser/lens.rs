//! What is made with the camera, the microphone and a finger: marks, sound notes, pictures from the live view.

use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use fantoccini::actions::{InputSource as _, MOUSE_BUTTON_LEFT, MouseActions, PointerAction};
use garboard_protocol::{
    Answer, Ask, EntryView, KeepSound, MarkView, ParcelScope, PictureSize, Report, Shoot,
    TroubleKind,
};
use serde_json::json;

use crate::engine::{Browser, Engine, served};
use crate::keeper::Keeper;
use crate::{begin, drawn, receive, rows, saved};

/// What the browser complained of, less what a bare page lacks that a keeper was started on.
async fn complaints(browser: &Browser) -> Result<Vec<String>> {
    let mut found = browser.complaints().await?;
    found.retain(|line| !line.contains("/fonts/"));
    Ok(found)
}

/// Where an element lies on the screen: left, top, width, height.
async fn frame(browser: &Browser, selector: &str) -> Result<[f64; 4]> {
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
async fn stroke(browser: &Browser, on: [f64; 4], points: &[(f64, f64)]) -> Result<()> {
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
async fn marks_kept(browser: &Browser, address: &str, photograph: &str) -> Result<Vec<MarkView>> {
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
    let browser = Engine::Chromium.start(room.path()).await?;
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
    assert_eq!(complaints(&browser).await?, Vec::<String>::new());
    let found = marks_kept(&browser, &address, &photograph).await?;
    assert!(!found[0].is_struck, "{found:?}");
    browser.close().await
}

pub(crate) async fn entry(keeper: &mut Keeper<'_>, id: &str) -> Result<EntryView> {
    match keeper.ask(Ask::Entry { id: id.to_owned() }).await? {
        Answer::Entry(view) => Ok(*view),
        other => bail!("no entry: {other:?}"),
    }
}

#[tokio::test]
async fn a_sound_note_is_said_kept_played_and_sent() -> Result<()> {
    let (room, other_room) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.press("Write").await?;
    browser.press("Say it instead").await?;
    browser.press("Record").await?;
    browser.until_it_says("0:02").await?;
    browser.press("Stop").await?;
    browser.until_it_says("Not kept yet").await?;
    // It can be listened to before it is kept, under the site's policy.
    const HEARD: &str = "const done = arguments[0]; const sound = document.querySelector('audio.sound'); \
        if (!sound) return done('no player'); \
        sound.onerror = () => done('error ' + sound.error?.message); \
        sound.ontimeupdate = () => sound.currentTime > 0.2 && done('heard'); \
        sound.play().catch(error => done(String(error)));";
    assert_eq!(
        browser.client.execute_async(HEARD, vec![]).await?,
        json!("heard")
    );
    browser.press("Keep it").await?;
    browser.until_it_says("not written out yet").await?;
    browser.until_it_says("Saved on this").await?;
    browser.press("Sound note").await?;
    browser.until_it_says("Write out what was said").await?;
    frame(&browser, "audio.sound").await?;
    assert_eq!(
        browser.client.execute_async(HEARD, vec![]).await?,
        json!("heard")
    );
    browser.press("Write out what was said").await?;
    frame(&browser, "form textarea").await?;
    browser
        .client
        .find(fantoccini::Locator::Css("form textarea"))
        .await?
        .send_keys("Brown to the third bay")
        .await?;
    browser.press("Save").await?;
    browser.until_it_says("Amended and saved").await?;
    assert_eq!(complaints(&browser).await?, Vec::<String>::new());

    // Whoever leaves while it is recorded loses nothing of what was said, and the microphone is let go of.
    browser.client.goto(&format!("{address}/#/write")).await?;
    browser.press("Say it instead").await?;
    browser.press("Record").await?;
    browser.until_it_says("0:01").await?;
    browser.press("Leave").await?;
    browser.until_it_says("The sound note was kept").await?;
    assert_eq!(complaints(&browser).await?, Vec::<String>::new());

    // The bytes went with the statement, and go along in a parcel.
    let (mut a, _) = Keeper::start(&browser, &address).await?;
    let all = rows(&mut a, "").await?;
    assert_eq!(
        all.iter().filter(|row| row.kind == "sound-note").count(),
        2,
        "{all:?}"
    );
    let note = rows(&mut a, "third bay").await?.remove(0);
    assert_eq!(note.kind, "sound-note");
    let digest = entry(&mut a, &note.id)
        .await?
        .sound
        .context("it is a sound note")?
        .digest;
    let whole = Ask::MakeParcel {
        scope: ParcelScope::Whole,
        pictures: Some(PictureSize::Original),
    };
    a.ask(whole.clone()).await?;
    let parcel = a.files().await?.remove(0);
    // What is no sound is refused, and changes nothing.
    a.give("note.txt", b"these are words").await?;
    let trouble = a.refused(Ask::KeepSound(KeepSound::default())).await?;
    assert!(
        trouble.kind == TroubleKind::BadFile && trouble.happened.contains("note.txt"),
        "{trouble:?}"
    );

    let laptop = Engine::Chromium.start(other_room.path()).await?;
    let (mut b, _) = Keeper::start(&laptop, &address).await?;
    b.give("parcel.zip", &parcel).await?;
    b.ask(receive("Ben")).await?;
    let sound = entry(&mut b, &note.id)
        .await?
        .sound
        .context("it is a sound note")?;
    assert!(sound.is_here && sound.digest == digest, "{sound:?}");
    let original = Ask::Picture {
        digest: digest.clone(),
        size: PictureSize::Original,
    };
    b.ask(original.clone()).await?;
    let bytes = b.files().await?.remove(0);
    assert_eq!(garboard_record::Digest::of(&bytes).to_string(), digest);

    // Withdrawn on one device, it is gone there, and gone on the other when that is told.
    let withdrawal = json!({ "entry": note.id, "digest": digest, "why": "private" });
    b.ask(crate::say("withdrawal", &withdrawal)).await?;
    assert_eq!(b.ask(original.clone()).await?, Answer::Picture(None));
    b.ask(whole).await?;
    let back = b.files().await?.remove(0);
    assert!(
        back.len() + bytes.len() / 2 < parcel.len(),
        "{} {} {}",
        back.len(),
        bytes.len(),
        parcel.len()
    );
    a.give("parcel.zip", &back).await?;
    a.ask(receive("")).await?;
    assert_eq!(a.ask(original).await?, Answer::Picture(None));
    browser.close().await?;
    laptop.close().await
}

#[tokio::test]
async fn the_live_camera_takes_several_pictures_and_is_let_go_of() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser
        .press("Pictures taken before, and other ways")
        .await?;
    browser.press("Use the camera in the page").await?;
    // The light of the camera is on while it is seen.
    const LIVE: &str = "const video = document.querySelector('video.live'); \
        window.track ??= video?.srcObject?.getVideoTracks()[0]; \
        return video && video.videoWidth > 0 ? 'seen' : 'not yet'";
    for _ in 0..200 {
        if browser.client.execute(LIVE, vec![]).await? == json!("seen") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    let state = "return window.track?.readyState";
    assert_eq!(browser.client.execute(state, vec![]).await?, json!("live"));
    browser.press("Shoot opens this").await?;
    for _ in 0..3 {
        // Nothing is waited for between them.
        browser
            .client
            .execute("document.querySelector('button.shutter').click()", vec![])
            .await?;
        tokio::time::sleep(Duration::from_millis(150)).await;
    }
    browser.until_it_says("3 taken and saved").await?;
    browser.press("Done").await?;
    browser.until_it_says("Pictures taken before").await?;
    assert_eq!(browser.client.execute(state, vec![]).await?, json!("ended"));
    assert_eq!(complaints(&browser).await?, Vec::<String>::new());

    // The habit is remembered: *Shoot* opens it again.
    browser.client.goto(&format!("{address}/#/log")).await?;
    browser.client.refresh().await?;
    browser.press("Shoot").await?;
    frame(&browser, "video.live").await?;

    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    let all = rows(&mut keeper, "").await?;
    let n_pictures: usize = all.iter().map(|row| row.thumbs.len()).sum();
    assert_eq!(n_pictures, 3, "{all:?}");
    let photograph = all
        .iter()
        .flat_map(|row| &row.thumbs)
        .next()
        .context("there is one")?
        .entry
        .clone();
    keeper
        .until(0, |report| matches!(report, Report::PictureReady { .. }))
        .await?;

    // The same view again: the new picture answers the earlier one by itself.
    browser
        .client
        .goto(&format!("{address}/#/camera/{photograph}"))
        .await?;
    frame(&browser, "svg.over image").await?;
    frame(&browser, "input#ghost").await?;
    for _ in 0..200 {
        if browser.client.execute(LIVE, vec![]).await? == json!("seen") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    browser.press("Shoot").await?;
    browser.until_it_says("1 taken and saved").await?;
    browser.press("Look at the two together").await?;
    frame(&browser, "input.edge-slider").await?;
    let moved = "const slider = document.querySelector('input.edge-slider'); slider.value = 20; \
        slider.dispatchEvent(new Event('input', { bubbles: true })); \
        return getComputedStyle(document.querySelector('.before-after .before')).clipPath";
    let clip = browser.client.execute(moved, vec![]).await?;
    assert!(
        clip.as_str()
            .is_some_and(|clip| clip.contains("80%") || clip.contains("100% - 20%")),
        "{clip}"
    );
    assert_eq!(complaints(&browser).await?, Vec::<String>::new());
    browser.close().await
}

#[tokio::test]
async fn many_pictures_are_put_in_order_given_their_places_and_taken_in_once() -> Result<()> {
    let (room, folder) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    keeper.ask(begin("Merganser", "Ada")).await?;
    let deck = saved(
        keeper
            .ask(crate::say("place", &json!({ "name": "Foredeck" })))
            .await?,
    );
    let house = saved(
        keeper
            .ask(crate::say("place", &json!({ "name": "House" })))
            .await?,
    );
    // The last is the first once more, under another name; one is no picture.
    let named = [
        ("one.jpg", 1),
        ("two.jpg", 2),
        ("three.jpg", 3),
        ("one-again.jpg", 1),
    ];
    for (name, seed) in named {
        std::fs::write(folder.path().join(name), drawn(900, 700, seed))?;
    }
    std::fs::write(folder.path().join("words.jpg"), "bilge water")?;
    let all = [
        "one.jpg",
        "two.jpg",
        "three.jpg",
        "one-again.jpg",
        "words.jpg",
    ];
    let paths = all
        .map(|name| folder.path().join(name).display().to_string())
        .join("\n");
    let choose = async |browser: &Browser, paths: &str| -> Result<()> {
        browser
            .client
            .goto(&format!("{address}/#/pictures"))
            .await?;
        browser.until_it_says("Choose pictures").await?;
        browser
            .client
            .find(fantoccini::Locator::Css(".sheet-body input[type=file]"))
            .await?
            .send_keys(paths)
            .await?;
        Ok(())
    };
    choose(&browser, &paths).await?;
    browser.until_it_says("1 here twice").await?;
    browser.until_it_says("1 file cannot be taken in").await?;
    let unfold = "document.querySelector('.runs details summary').click()";
    browser.client.execute(unfold, vec![]).await?;
    // From the third on they go to another place.
    let split = "const keys = [...document.querySelectorAll('.run-one .link')]; keys[1].click();";
    browser.client.execute(split, vec![]).await?;
    frame(&browser, "#run-1").await?;
    let choice = "const [id, value] = arguments; const list = document.getElementById(id); \
        list.value = value; list.dispatchEvent(new Event('change', { bubbles: true }));";
    browser
        .client
        .execute(choice, vec![json!("run-0"), json!(deck)])
        .await?;
    browser
        .client
        .execute(choice, vec![json!("run-1"), json!(house)])
        .await?;
    browser.press("Take in 3 pictures").await?;
    browser
        .until_it_says("All 3 are in the log and saved")
        .await?;
    assert_eq!(complaints(&browser).await?, Vec::<String>::new());

    // Chosen once more, all of them are known.
    browser.client.goto(&format!("{address}/#/log")).await?;
    choose(&browser, &paths).await?;
    browser.until_it_says("4 in the log already").await?;
    let words = browser.words().await?;
    assert!(!words.contains("Take in"), "{words}");

    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    for (place, wanted) in [(deck, 2), (house, 1)] {
        let view = entry(&mut keeper, &place).await?;
        assert_eq!(view.pictures.len(), wanted, "{view:?}");
    }
    browser.close().await
}

#[tokio::test]
async fn what_was_being_said_when_the_browser_was_killed_is_a_sound_note_at_the_next_start()
-> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.press("Write").await?;
    browser.press("Say it instead").await?;
    browser.press("Record").await?;
    browser.until_it_says("0:04").await?;
    browser.kill().await?;

    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("not written out yet").await?;
    browser.until_it_says("Saved on this").await?;
    // Once, and only once.
    browser.client.refresh().await?;
    browser.until_it_says("not written out yet").await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    let kept = rows(&mut keeper, "").await?;
    let notes: Vec<_> = kept.iter().filter(|row| row.kind == "sound-note").collect();
    assert_eq!(notes.len(), 1, "{kept:?}");
    let view = entry(&mut keeper, &notes[0].id).await?;
    assert!(view.sound.is_some_and(|sound| sound.is_here));
    browser.close().await
}
