//! What is made with the camera, the microphone and a finger, in every engine: marks, sound notes, pictures from the live view.

use std::time::Duration;

use anyhow::{Context as _, Result, bail};
use garboard_protocol::{
    Answer, Ask, EntryView, KeepSound, MarkView, ParcelScope, PictureSize, Report, Shoot,
    TroubleKind,
};
use serde_json::{Value, json};

use crate::engine::{Browser, Engine, Server};
use crate::keeper::Keeper;
use crate::{begin, drawn, receive, rows, saved};

/// What broke the policy, as the browser reported it; in Chromium also what it wrote in its log, less what a bare page
/// lacks that a keeper was started on. The others show no log to a driver.
async fn complaints(engine: Engine, browser: &Browser, server: &Server) -> Result<Vec<String>> {
    let mut found = server.violations();
    if matches!(engine, Engine::Chromium) {
        found.extend(browser.complaints().await?);
    }
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

/// Actions of a pointer in whole pixels, since Firefox's driver takes no others.
#[derive(Debug)]
struct Pointer(Vec<Value>);

impl fantoccini::wd::WebDriverCompatibleCommand for Pointer {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/actions", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        let body = json!({ "actions": [{ "type": "pointer", "id": "mouse", "actions": self.0 }] });
        (http::Method::POST, Some(body.to_string()))
    }
}

/// Draws from one point of an element to another; both in parts of its width and height.
async fn stroke(browser: &Browser, on: [f64; 4], points: &[(f64, f64)]) -> Result<()> {
    let mut actions = Vec::new();
    for (at, (x, y)) in points.iter().enumerate() {
        #[expect(clippy::cast_possible_truncation, reason = "a screen has few pixels")]
        let whole = |value: f64| value.round() as i64;
        let (x, y) = (whole(on[0] + on[2] * x), whole(on[1] + on[3] * y));
        let duration = if at == 0 { 0 } else { 60 };
        actions.push(json!({ "type": "pointerMove", "duration": duration, "x": x, "y": y }));
        if at == 0 {
            actions.push(json!({ "type": "pointerDown", "button": 0 }));
        }
    }
    actions.push(json!({ "type": "pointerUp", "button": 0 }));
    browser.client.issue_cmd(Pointer(actions)).await?;
    Ok(())
}

/// The marks of the only photograph, as a keeper that starts anew reads them.
async fn marks_kept(browser: &Browser, address: &str, photograph: &str) -> Result<Vec<MarkView>> {
    let mut keeper = Keeper::start_alone(browser, address).await?;
    let ask = Ask::Entry {
        id: photograph.to_owned(),
    };
    match keeper.ask(ask).await? {
        Answer::Entry(view) => Ok(view.pictures[0].marks.clone()),
        other => bail!("no entry: {other:?}"),
    }
}

async fn a_mark_is_drawn_moved_struck_and_taken_back(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let address = server.address.clone();
    let browser = engine.start(room.path()).await?;
    let mut keeper = Keeper::start_alone(&browser, &address).await?;
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
    assert_eq!(
        complaints(engine, &browser, &server).await?,
        Vec::<String>::new()
    );
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

/// Two seconds of a low tone, as a recorder's file: WAVE, one channel, 8,000 samples of 16 bits a second.
fn tone() -> Vec<u8> {
    let samples: Vec<u8> = (0..16_000_i16)
        .flat_map(|at| (at % 50 * 200).to_le_bytes())
        .collect();
    let long = |n: usize| u32::try_from(n).unwrap_or_default().to_le_bytes();
    let parts: [&[u8]; 9] = [
        b"RIFF",
        &long(36 + samples.len()),
        b"WAVEfmt ",
        &long(16),
        &[1, 0, 1, 0],
        &long(8_000),
        &long(16_000),
        &[2, 0, 16, 0],
        b"data",
    ];
    [&parts.concat(), &long(samples.len())[..], &samples].concat()
}

async fn a_sound_note_is_said_kept_played_and_sent(engine: Engine) -> Result<()> {
    let (room, other_room) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let server = Server::start().await?;
    let address = server.address.clone();
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.press("Write").await?;
    browser.press("Say it instead").await?;
    browser.press("Record").await?;
    let can_record = !matches!(engine, Engine::WebKit);
    if can_record {
        browser.until_it_says("0:02").await?;
        browser.press("Stop").await?;
    } else {
        // Debian's build names a recorder that refuses whatever it is given: that is said, and a recorder's file serves.
        browser
            .until_it_says("gives a page the microphone but makes no recording of it")
            .await?;
        browser
            .until_it_says("Nothing was recorded, and nothing is lost")
            .await?;
        let file = room.path().join("brown.wav");
        std::fs::write(&file, tone())?;
        browser
            .client
            .find(fantoccini::Locator::Css(".sheet-foot input[type=file]"))
            .await?
            .send_keys(&file.display().to_string())
            .await?;
    }
    browser.until_it_says("Not kept yet").await?;
    // It can be listened to before it is kept, under the site's policy; muted, since no machine of tests need have a
    // sound card.
    const HEARD: &str = "const done = arguments[0]; const sound = document.querySelector('audio.sound'); \
        if (!sound) return done('no player'); sound.muted = true; \
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
    assert_eq!(
        complaints(engine, &browser, &server).await?,
        Vec::<String>::new()
    );

    // Whoever leaves while it is recorded loses nothing of what was said, and the microphone is let go of.
    if can_record {
        browser.client.goto(&format!("{address}/#/write")).await?;
        browser.press("Say it instead").await?;
        browser.press("Record").await?;
        browser.until_it_says("0:01").await?;
        browser.press("Leave").await?;
        browser.until_it_says("The sound note was kept").await?;
        assert_eq!(
            complaints(engine, &browser, &server).await?,
            Vec::<String>::new()
        );
    }

    // The bytes went with the statement, and go along in a parcel.
    let mut a = Keeper::start_alone(&browser, &address).await?;
    let all = rows(&mut a, "").await?;
    assert_eq!(
        all.iter().filter(|row| row.kind == "sound-note").count(),
        1 + usize::from(can_record),
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

    let laptop = engine.start(other_room.path()).await?;
    let mut b = Keeper::start_alone(&laptop, &address).await?;
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

async fn the_live_camera_takes_several_and_is_let_go_of(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let address = server.address.clone();
    let browser = engine.start(room.path()).await?;
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
    // Nothing is waited for between them but another frame: the same one twice is one picture.
    const SHOOT: &str = "const video = document.querySelector('video.live'); \
        if (video.currentTime === window.shotAt) return false; \
        window.shotAt = video.currentTime; document.querySelector('button.shutter').click(); return true";
    for _ in 0..3 {
        for _ in 0..100 {
            if browser.client.execute(SHOOT, vec![]).await? == json!(true) {
                break;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        tokio::time::sleep(Duration::from_millis(150)).await;
    }
    browser.until_it_says("3 taken and saved").await?;
    browser.press("Done").await?;
    browser.until_it_says("Pictures taken before").await?;
    assert_eq!(browser.client.execute(state, vec![]).await?, json!("ended"));
    assert_eq!(
        complaints(engine, &browser, &server).await?,
        Vec::<String>::new()
    );

    // The habit is remembered: *Shoot* opens it again.
    browser.client.goto(&format!("{address}/#/log")).await?;
    browser.client.refresh().await?;
    browser.until_it_says("Begins the log").await?;
    browser.press("Shoot").await?;
    frame(&browser, "video.live").await?;

    let mut keeper = Keeper::start_alone(&browser, &address).await?;
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
    assert_eq!(
        complaints(engine, &browser, &server).await?,
        Vec::<String>::new()
    );
    browser.close().await
}

async fn many_pictures_are_put_in_order_and_taken_in_once(engine: Engine) -> Result<()> {
    let (room, folder) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let server = Server::start().await?;
    let address = server.address.clone();
    let browser = engine.start(room.path()).await?;
    let mut keeper = Keeper::start_alone(&browser, &address).await?;
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
    assert_eq!(
        complaints(engine, &browser, &server).await?,
        Vec::<String>::new()
    );

    // Chosen once more, all of them are known.
    browser.client.goto(&format!("{address}/#/log")).await?;
    choose(&browser, &paths).await?;
    browser.until_it_says("4 in the log already").await?;
    let words = browser.words().await?;
    assert!(!words.contains("Take in"), "{words}");

    let mut keeper = Keeper::start_alone(&browser, &address).await?;
    for (place, wanted) in [(deck, 2), (house, 1)] {
        let view = entry(&mut keeper, &place).await?;
        assert_eq!(view.pictures.len(), wanted, "{view:?}");
    }
    browser.close().await
}

async fn what_was_being_said_outlives_a_kill(engine: Engine) -> Result<()> {
    let room = tempfile::tempdir()?;
    let server = Server::start().await?;
    let address = server.address.clone();
    let browser = engine.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.press("Write").await?;
    browser.press("Say it instead").await?;
    browser.press("Record").await?;
    browser.until_it_says("0:04").await?;
    browser.kill().await?;

    let browser = engine.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("not written out yet").await?;
    browser.until_it_says("Saved on this").await?;
    // Once, and only once.
    browser.client.refresh().await?;
    browser.until_it_says("not written out yet").await?;
    let mut keeper = Keeper::start_alone(&browser, &address).await?;
    let kept = rows(&mut keeper, "").await?;
    let notes: Vec<_> = kept.iter().filter(|row| row.kind == "sound-note").collect();
    assert_eq!(notes.len(), 1, "{kept:?}");
    let view = entry(&mut keeper, &notes[0].id).await?;
    assert!(view.sound.is_some_and(|sound| sound.is_here));
    browser.close().await
}

#[tokio::test]
async fn in_chromium_a_mark_is_drawn_moved_struck_and_taken_back() -> Result<()> {
    a_mark_is_drawn_moved_struck_and_taken_back(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_a_mark_is_drawn_moved_struck_and_taken_back() -> Result<()> {
    a_mark_is_drawn_moved_struck_and_taken_back(Engine::Firefox).await
}

#[tokio::test]
async fn in_webkit_a_mark_is_drawn_moved_struck_and_taken_back() -> Result<()> {
    a_mark_is_drawn_moved_struck_and_taken_back(Engine::WebKit).await
}

#[tokio::test]
async fn in_chromium_a_sound_note_is_said_kept_played_and_sent() -> Result<()> {
    a_sound_note_is_said_kept_played_and_sent(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_a_sound_note_is_said_kept_played_and_sent() -> Result<()> {
    a_sound_note_is_said_kept_played_and_sent(Engine::Firefox).await
}

#[tokio::test]
async fn in_webkit_a_sound_note_is_said_kept_played_and_sent() -> Result<()> {
    a_sound_note_is_said_kept_played_and_sent(Engine::WebKit).await
}

#[tokio::test]
async fn in_chromium_the_live_camera_takes_several_and_is_let_go_of() -> Result<()> {
    the_live_camera_takes_several_and_is_let_go_of(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_the_live_camera_takes_several_and_is_let_go_of() -> Result<()> {
    the_live_camera_takes_several_and_is_let_go_of(Engine::Firefox).await
}

#[tokio::test]
async fn in_webkit_the_live_camera_takes_several_and_is_let_go_of() -> Result<()> {
    the_live_camera_takes_several_and_is_let_go_of(Engine::WebKit).await
}

#[tokio::test]
async fn in_chromium_many_pictures_are_put_in_order_and_taken_in_once() -> Result<()> {
    many_pictures_are_put_in_order_and_taken_in_once(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_many_pictures_are_put_in_order_and_taken_in_once() -> Result<()> {
    many_pictures_are_put_in_order_and_taken_in_once(Engine::Firefox).await
}

#[tokio::test]
async fn in_webkit_many_pictures_are_put_in_order_and_taken_in_once() -> Result<()> {
    many_pictures_are_put_in_order_and_taken_in_once(Engine::WebKit).await
}

#[tokio::test]
async fn in_chromium_what_was_being_said_outlives_a_kill() -> Result<()> {
    what_was_being_said_outlives_a_kill(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_what_was_being_said_outlives_a_kill() -> Result<()> {
    what_was_being_said_outlives_a_kill(Engine::Firefox).await
}
