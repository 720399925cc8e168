//! The site in a real Chromium: opens, works without a network, saves what it says is saved, and two
//! devices exchange parcels.

#![cfg(test)]

mod access;
mod bad;
mod disk;
mod engine;
mod engines;
mod foreign;
mod frame;
mod guide;
mod history;
mod keeper;
mod kills;
mod lens;
mod manifest;
mod paper;
mod requests;

use anyhow::{Context as _, Result};
use garboard_protocol::{
    Amend, Answer, Ask, Choose, DossierOptions, Filter, ParcelScope, PictureSize, Report, Row, Say,
    Shoot, TroubleKind, Window, WorkAt,
};
use serde_json::json;

use engine::{Engine, served};
use keeper::Keeper;

fn say(kind: &str, fields: &serde_json::Value) -> Ask {
    Ask::Say(Say {
        kind: kind.to_owned(),
        fields: fields.to_string(),
        happened: None,
        at_work: true,
    })
}

fn begin(boat: &str, hand: &str) -> Ask {
    Ask::Begin {
        boat: boat.to_owned(),
        hand: hand.to_owned(),
        device: "phone".to_owned(),
    }
}

fn receive(hand: &str) -> Ask {
    Ask::Receive {
        hand: hand.to_owned(),
        device: "laptop".to_owned(),
    }
}

fn saved(answer: Answer) -> String {
    match answer {
        Answer::Saved(saved) => saved.deeds[0].entry.clone(),
        other => panic!("not saved: {other:?}"),
    }
}

async fn rows(keeper: &mut Keeper<'_>, words: &str) -> Result<Vec<Row>> {
    let filter = Filter {
        words: words.to_owned(),
        ..Filter::default()
    };
    let window = Window { skip: 0, take: 500 };
    match keeper.ask(Ask::Rows { filter, window }).await? {
        Answer::Rows(rows) => Ok(rows.rows),
        other => panic!("no rows: {other:?}"),
    }
}

/// A drawn JPEG of the given size, in which no two parts are alike.
fn drawn(width: u32, height: u32, seed: u32) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(width, height, |x, y| {
        let byte = |n: u32| u8::try_from(n % 256).unwrap_or_default();
        image::Rgb([
            byte(x / 3 + seed),
            byte(y / 2),
            byte((x + y) / 5 + seed * 40),
        ])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .unwrap();
    bytes.into_inner()
}

#[tokio::test]
async fn the_site_opens_under_its_policy_and_without_a_network() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.until_it_says("Begin a log").await?;
    // Every file of the site is kept before the network is gone.
    let script = "const done = arguments[0]; navigator.serviceWorker.ready.then(() => done(true))";
    browser.client.execute_async(script, vec![]).await?;
    // The first visit itself is served from then on, and what makes pictures and dossiers follows.
    let script = "const done = arguments[0];
        const look = async () => {
            const kept = await caches.match(new URL('press_bg.wasm', location.href).href);
            kept && navigator.serviceWorker.controller ? done(true) : setTimeout(look, 50);
        };
        look();";
    browser.client.execute_async(script, vec![]).await?;
    assert_eq!(browser.complaints().await?, Vec::<String>::new());

    browser
        .client
        .issue_cmd(Network { is_offline: true })
        .await?;
    browser.client.refresh().await?;
    browser.until_it_says("Begin a log").await?;
    browser.begin_log("Merganser ≈ Ü", "Ada").await?;
    browser.until_it_says("Working at").await?;
    // The module with all screens takes over, and gives way to no network either.
    browser.press("Boat").await?;
    browser.until_it_says("No places yet").await?;
    browser.press("Log").await?;
    browser.until_it_says("Begins the log").await?;
    assert_eq!(browser.complaints().await?, Vec::<String>::new());
    browser.close().await
}

#[tokio::test]
async fn what_the_screen_calls_saved_survives_a_killed_browser() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser.begin_log("Merganser", "Ada").await?;
    browser.press("Write").await?;
    browser
        .write("words", "the last words before the battery went")
        .await?;
    browser.press("Save note").await?;
    browser
        .until_it_says("the last words before the battery went")
        .await?;
    browser.until_it_says("Saved on this").await?;
    browser.kill().await?;

    let browser = Engine::Chromium.start(room.path()).await?;
    browser.client.goto(&address).await?;
    browser
        .until_it_says("the last words before the battery went")
        .await?;
    browser.close().await
}

#[tokio::test]
async fn every_answer_of_saved_is_durable_from_that_instant() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let mut expected = Vec::new();
    for round in 0..3 {
        let browser = Engine::Chromium.start(room.path()).await?;
        let (mut keeper, hello) = Keeper::start(&browser, &address).await?;
        if round == 0 {
            keeper.ask(begin("Merganser", "Ada")).await?;
        } else {
            assert!(matches!(hello, Answer::Hello(hello) if hello.opened.is_some()));
        }
        for n in 0..4 {
            let words = format!("round {round}, note {n}");
            keeper.ask(say("note", &json!({ "words": words }))).await?;
            expected.push(words);
        }
        keeper.give("bay.jpg", &drawn(1600, 1200, round)).await?;
        keeper
            .ask(Ask::Shoot(Shoot {
                stage: Some("opened".to_owned()),
                shows: format!("round {round}, picture"),
                ..Shoot::default()
            }))
            .await?;
        expected.push(format!("Opened: round {round}, picture"));
        browser.kill().await?;
    }
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    let mut found: Vec<String> = rows(&mut keeper, "round")
        .await?
        .into_iter()
        .map(|row| row.headline)
        .collect();
    found.sort();
    expected.sort();
    assert_eq!(found, expected);
    // The small pictures that no start came to are made now, and the originals are whole.
    let mut n_here = 0;
    for _ in 0..300 {
        let pictures = rows(&mut keeper, "picture").await?;
        n_here = pictures
            .iter()
            .flat_map(|row| &row.thumbs)
            .filter(|thumb| thumb.is_here)
            .count();
        if n_here == 3 {
            break;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    assert_eq!(n_here, 3);
    match keeper.ask(Ask::Check).await? {
        Answer::Checked(checked) => assert!(checked.is_intact, "{:?}", checked.faults),
        other => panic!("not checked: {other:?}"),
    }
    browser.close().await
}

#[tokio::test]
async fn two_devices_exchange_parcels_and_settle_what_they_wrote_differently() -> Result<()> {
    let (room_a, room_b) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let address = served().await?;
    let (phone, laptop) = (
        Engine::Chromium.start(room_a.path()).await?,
        Engine::Chromium.start(room_b.path()).await?,
    );
    let (mut a, _) = Keeper::start(&phone, &address).await?;
    let (mut b, _) = Keeper::start(&laptop, &address).await?;

    // A records a finding with two pictures, a reading and a stint.
    a.ask(begin("Merganser", "Ada")).await?;
    let finding = saved(
        a.ask(say(
            "finding",
            &json!({ "title": "Wet core", "observed": "soft" }),
        ))
        .await?,
    );
    a.ask(Ask::WorkAt(WorkAt {
        finding: Some(finding.clone()),
        ..WorkAt::default()
    }))
    .await?;
    for seed in [1, 2] {
        a.give("bay.jpg", &drawn(2400, 1800, seed)).await?;
        a.ask(Ask::Shoot(Shoot::default())).await?;
    }
    a.until(2, |report| matches!(report, Report::PictureReady { .. }))
        .await?;
    a.ask(say(
        "reading",
        &json!({ "quantity": "moisture", "value": "34.5 %", "species": "balsa" }),
    ))
    .await?;
    a.ask(say(
        "stint",
        &json!({ "start": "2026-05-09T08:00:00+02:00", "end": "2026-05-09T10:15:00+02:00" }),
    ))
    .await?;
    let whole = Ask::MakeParcel {
        scope: ParcelScope::Whole,
        pictures: Some(PictureSize::Original),
    };
    a.ask(whole.clone()).await?;
    let parcel = a.files().await?.remove(0);

    // B begins from A's parcel, and both write at the same field.
    b.give("parcel.zip", &parcel).await?;
    assert_eq!(b.refused(receive("")).await?.kind, TroubleKind::Mistake);
    b.give("parcel.zip", &parcel).await?;
    let Answer::Received(received) = b.ask(receive("Ben")).await? else {
        panic!("not received")
    };
    assert!(
        received.is_new_log && received.n_pictures == 6,
        "{received:?}"
    );
    let amend = |value: &str| {
        Ask::Amend(Amend {
            entry: finding.clone(),
            field: "observed".to_owned(),
            value: json!(value).to_string(),
            sees: vec![finding.clone()],
        })
    };
    a.ask(amend("soft to 60 cm aft")).await?;
    b.ask(amend("soft to the stanchion")).await?;
    b.ask(say("note", &json!({ "words": "from home" }))).await?;

    // Parcels cross both ways, with only what the other lacks.
    let lacking = |devices: Answer| match devices {
        Answer::Devices(devices) => {
            let other = devices.into_iter().find(|device| !device.is_this).unwrap();
            Ask::MakeParcel {
                scope: ParcelScope::Lacking { device: other.id },
                pictures: Some(PictureSize::Original),
            }
        }
        other => panic!("no devices: {other:?}"),
    };
    let to_a = lacking(b.ask(Ask::Devices).await?);
    b.ask(to_a).await?;
    let parcel_b = b.files().await?.remove(0);
    assert!(parcel_b.len() < 10_000, "{} bytes", parcel_b.len());
    a.give("parcel.zip", &parcel_b).await?;
    let Answer::Received(received) = a.ask(receive("")).await? else {
        panic!("not received")
    };
    assert_eq!(received.disputes.len(), 1, "{received:?}");
    let to_b = lacking(a.ask(Ask::Devices).await?);
    a.ask(to_b).await?;
    let parcel_a = a.files().await?.remove(0);
    b.give("parcel.zip", &parcel_a).await?;
    b.ask(receive("")).await?;
    // Twice changes nothing.
    b.give("parcel.zip", &parcel_a).await?;
    let Answer::Received(received) = b.ask(receive("")).await? else {
        panic!("not received")
    };
    assert_eq!(received.n_new, 0);

    let seen = |rows: Vec<Row>| -> Vec<Row> {
        rows.into_iter()
            .map(|row| Row {
                also_on: Vec::new(),
                ..row
            })
            .collect()
    };
    assert_eq!(seen(rows(&mut a, "").await?), seen(rows(&mut b, "").await?));
    let Answer::Entry(entry) = b
        .ask(Ask::Entry {
            id: finding.clone(),
        })
        .await?
    else {
        panic!("no entry")
    };
    let values: Vec<&str> = entry.disputes[0]
        .values
        .iter()
        .map(|value| value.shown.as_str())
        .collect();
    assert_eq!(values, ["soft to 60 cm aft", "soft to the stanchion"]);
    b.ask(Ask::Choose(Choose {
        entry: finding.clone(),
        field: "observed".to_owned(),
        statement: entry.disputes[0].values[0].statement.clone(),
        sees: entry.disputes[0]
            .values
            .iter()
            .map(|value| value.statement.clone())
            .collect(),
        reason: "measured again".to_owned(),
    }))
    .await?;

    // An altered byte, another boat's log: refused, and nothing is changed.
    let before = rows(&mut a, "").await?;
    let mut altered = parcel.clone();
    let middle = altered.len() / 2;
    altered[middle] ^= 1;
    a.give("parcel.zip", &altered).await?;
    assert_eq!(a.refused(receive("")).await?.kind, TroubleKind::BadFile);
    a.give("parcel.zip", &parcel[..parcel.len() / 3]).await?;
    assert_eq!(a.refused(receive("")).await?.kind, TroubleKind::BadFile);
    assert_eq!(rows(&mut a, "").await?, before);
    a.ask(Ask::Leave).await?;
    a.ask(begin("Another boat", "Ada")).await?;
    a.give("parcel.zip", &parcel_b).await?;
    let trouble = a.refused(receive("")).await?;
    assert!(
        trouble.happened.contains("Merganser") && trouble.happened.contains("Another boat"),
        "{trouble:?}"
    );

    // B's dossier shows the hand-worked total: 08:00 to 10:15 is 2.25 hours.
    b.ask(Ask::MakeDossier(DossierOptions::default())).await?;
    let dossier = String::from_utf8(b.files().await?.remove(0))?;
    assert!(dossier.contains("2.25") && dossier.contains("soft to 60 cm aft"));
    phone.close().await?;
    laptop.close().await
}

#[tokio::test]
async fn one_tab_writes_and_the_other_follows() -> Result<()> {
    let room = tempfile::tempdir()?;
    let address = served().await?;
    let browser = Engine::Chromium.start(room.path()).await?;
    let (mut first, _) = Keeper::start(&browser, &address).await?;
    first.ask(begin("Merganser", "Ada")).await?;
    let first_tab = browser.client.window().await?;
    let second_tab = browser.client.new_window(true).await?.handle;
    browser.client.switch_to_window(second_tab.clone()).await?;
    let (mut second, hello) = Keeper::start(&browser, &address).await?;
    assert!(matches!(hello, Answer::Hello(hello) if !hello.is_writer && hello.opened.is_some()));
    let note = |words: &str| say("note", &json!({ "words": words }));
    assert_eq!(
        second.refused(note("here?")).await?.kind,
        TroubleKind::OtherTab
    );

    browser.client.switch_to_window(first_tab).await?;
    first.ask(note("from the first tab")).await?;
    browser.client.switch_to_window(second_tab.clone()).await?;
    second
        .until(1, |report| matches!(report, Report::Changed))
        .await?;
    assert_eq!(rows(&mut second, "first tab").await?.len(), 1);

    // The right goes over when the first tab closes.
    let first_tab = browser
        .client
        .windows()
        .await?
        .into_iter()
        .find(|tab| *tab != second_tab);
    browser
        .client
        .switch_to_window(first_tab.context("the first tab is open")?)
        .await?;
    browser.client.close_window().await?;
    browser.client.switch_to_window(second_tab).await?;
    second
        .until(1, |report| {
            matches!(report, Report::Writer { is_writer: true })
        })
        .await?;
    second.ask(note("now from the second")).await?;
    browser.close().await
}

/// Takes the network away, as Chromium's driver can.
#[derive(Debug)]
struct Network {
    is_offline: bool,
}

impl fantoccini::wd::WebDriverCompatibleCommand for Network {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/chromium/network_conditions",
            session.unwrap_or_default()
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        let conditions = json!({ "offline": self.is_offline, "latency": 0, "throughput": 500_000 });
        (
            http::Method::POST,
            Some(json!({ "network_conditions": conditions }).to_string()),
        )
    }
}
