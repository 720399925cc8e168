//! The page as a whole: structure, safety, and the same bytes every time.

use garboard_record::{Kind, Snapshot};
use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::outline::tests::{Log, demonstration, views};
use crate::outline::{Options, outline};

/// The tags of a page in order: what a browser builds it from.
fn tags(page: &str) -> Vec<&str> {
    page.split('<')
        .skip(1)
        .filter_map(|rest| rest.split(['>', ' ', '\n']).next())
        .collect()
}

/// A page without pictures and without what our script says, which has signs of its own.
fn page_of(snapshot: &Snapshot) -> String {
    html(&outline(snapshot, &Options::default()), |_| None).replace(SCRIPT, "")
}

fn named(boat: &str, title: &str, words: &str) -> String {
    let mut log = Log::new(boat);
    let place = log.say(Kind::Place, json!({ "name": title }));
    let finding = log.say(
        Kind::Finding,
        json!({ "title": title, "place": place, "observed": words, "supposed": words }),
    );
    log.say(Kind::Note, json!({ "words": words, "finding": finding }));
    log.say(
        Kind::Cost,
        json!({ "what": title, "amount": "1.00 EUR", "place": place }),
    );
    page_of(&log.snapshot())
}

#[test]
fn the_page_stands_alone() {
    let (told, snapshot) = demonstration();
    let outline = outline(snapshot, &Options::default());
    let page = html(&outline, |wanted| told.picture(wanted));
    for foreign in [
        "<script ",
        "<link",
        "<iframe",
        "<object",
        "src=\"http",
        "url(http",
        "@import",
        "javascript:",
    ] {
        assert!(!page.contains(foreign), "{foreign}");
    }
    assert_eq!(page.matches("<img ").count(), told.originals.len());
    assert_eq!(
        page.matches("src=\"data:image/jpeg;base64,").count(),
        told.originals.len()
    );
    assert_eq!(page.matches("<h1>").count(), 1);
    // The only script is ours, and the policy names its digest.
    assert_eq!(page.matches("<script>").count(), 1);
    let (_, script) = page.split_once("<script>").unwrap();
    let (script, _) = script.split_once("</script>").unwrap();
    let mut digest = String::new();
    base64(Digest::of(script.as_bytes()).as_bytes(), &mut digest);
    assert!(page.contains(&format!("script-src 'sha256-{digest}'\"")));
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    assert!(page.contains("This is no survey."));
    assert!(page.contains("Dated by the owner’s device only."));
}

#[test]
fn every_tag_that_opens_closes_in_order() {
    let (_, snapshot) = demonstration();
    let page = page_of(snapshot);
    let mut open = Vec::new();
    for tag in tags(&page) {
        match tag.strip_prefix('/') {
            Some(closed) => assert_eq!(open.pop(), Some(closed)),
            // The last two are written so that they close themselves.
            None if matches!(
                tag,
                "!DOCTYPE" | "meta" | "br" | "img" | "wbr" | "path" | "circle"
            ) => {}
            None => open.push(tag),
        }
    }
    assert_eq!(open, Vec::<&str>::new());
}

#[test]
fn every_link_within_the_page_leads_to_one_id() {
    let (_, snapshot) = demonstration();
    let page = page_of(snapshot);
    let ids: Vec<&str> = page
        .split(" id=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(unique.len(), ids.len());
    let mut n_links = 0;
    for link in page
        .split("href=\"#")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
    {
        assert!(unique.contains(link), "{link}");
        n_links += 1;
    }
    assert!(n_links > 200);
}

#[test]
fn a_picture_that_is_not_here_is_said_to_be_missing() {
    let (told, snapshot) = demonstration();
    let page = page_of(snapshot);
    assert_eq!(
        page.matches("No view of this picture was on the device")
            .count(),
        told.originals.len()
    );
    // The thumbnail is better than nothing.
    let thumbnails = told
        .rendered
        .iter()
        .filter(|made| made.size == garboard_record::word::Size::Thumbnail);
    let thumbnails: Vec<_> = thumbnails.collect();
    let page = html(&outline(snapshot, &Options::default()), |digest| {
        thumbnails
            .iter()
            .find(|made| made.digest == digest)
            .map(|made| made.bytes.clone())
    });
    assert_eq!(page.matches("<img ").count(), told.originals.len());
}

#[test]
fn marks_lie_over_their_picture_and_their_words_stay_words() {
    let mut log = Log::new("Dunlin");
    let photograph = log.say(
        Kind::Photograph,
        json!({ "digest": Digest::of(b"original"), "shows": "Core" }),
    );
    let view = Digest::of(b"view");
    log.say(
        Kind::Rendition,
        json!({ "photograph": photograph, "size": "view", "digest": view, "width": 2000, "height": 1500 }),
    );
    for (shape, points, words) in [
        ("arrow", json!([100, 200, 500, 200]), "wet & <soft>"),
        ("outline", json!([0, 0, 1000, 0, 1000, 1000]), ""),
        ("number", json!([250, 500]), "7"),
    ] {
        log.say(
            Kind::Mark,
            json!({ "photograph": photograph, "shape": shape, "points": points, "words": words }),
        );
    }
    let said = outline(&log.snapshot(), &Options::default());
    let page = html(&said, |digest| (digest == view).then(|| b"view".to_vec()));
    let (_, marks) = page.split_once("<svg class=\"marks\"").unwrap();
    let (marks, _) = marks.split_once("</svg>").unwrap();
    assert!(marks.contains("viewBox=\"0 0 2000 1500\""), "{marks}");
    assert!(marks.contains("d=\"M200 300L1000 300\""), "{marks}");
    assert!(marks.contains("wet &amp; &lt;soft&gt;</text>"), "{marks}");
    assert!(marks.contains("d=\"M0 0L2000 0L2000 1500Z\""), "{marks}");
    assert!(marks.contains("cx=\"500\" cy=\"750\""), "{marks}");
    // Without the picture there is nothing to draw on.
    assert!(!html(&said, |_| None).contains("<svg"));
}

#[test]
fn the_order_in_which_statements_came_changes_nothing() {
    let (told, snapshot) = demonstration();
    let mut all: Vec<_> = told
        .writers
        .iter()
        .flat_map(|writer| writer.statements.iter().cloned())
        .collect();
    all.reverse();
    assert_eq!(page_of(&Snapshot::of(all)), page_of(snapshot));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever a name says, the page is built of the same tags, and the name is there for the eye.
    #[test]
    fn law_names_of_any_letters_stay_words(boat in "\\PC{1,30}", title in ".{1,30}", words in "(?s).{1,60}") {
        prop_assume!(!boat.trim().is_empty() && !title.trim().is_empty() && !words.trim().is_empty());
        let tame = named("Dunlin", "Deck", "Seen.");
        let wild = named(&boat, &title, &words);
        let without_breaks = |page: &str| tags(page).into_iter().filter(|tag| !matches!(*tag, "br" | "wbr")).map(str::to_owned).collect::<Vec<_>>();
        prop_assert_eq!(without_breaks(&wild), without_breaks(&tame));
        // Words in the style sheet cannot end it.
        prop_assert_eq!(wild.matches("</style>").count(), 1);
        prop_assert_eq!(wild, named(&boat, &title, &words));
    }
}

#[test]
fn markup_in_names_is_shown_and_does_nothing() {
    let page = named(
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "</style></article>&amp;",
    );
    assert!(page.matches("<script").count() == 1 && !page.contains("<img"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(page.contains("&quot;&gt;&lt;img src=x onerror=alert(1)&gt;"));
    assert!(page.contains("&lt;/style&gt;&lt;/article&gt;&amp;amp;"));
}

#[test]
fn a_page_with_small_pictures_is_light_and_holds_no_view() {
    let (told, snapshot) = demonstration();
    let page = |small_pictures: bool| {
        let options = Options {
            small_pictures,
            ..Options::default()
        };
        html(&outline(snapshot, &options), |wanted| told.picture(wanted))
    };
    let n_views = |page: &str| {
        let is_in = |view: &&Digest| {
            let mut bytes = String::new();
            base64(&told.picture(**view).unwrap(), &mut bytes);
            page.contains(&bytes)
        };
        views().iter().filter(is_in).count()
    };
    let (whole, small) = (page(false), page(true));
    assert_eq!(
        (n_views(&whole), n_views(&small)),
        (told.originals.len(), 0)
    );
    assert_eq!(small.matches("<img ").count(), told.originals.len());
    assert!(small.len() * 3 < whole.len(), "{} bytes", small.len());
}
