//! One entry as a row of the log's page.

use garboard_protocol::{Figure, Row, Thumb};
use garboard_record::kind::damage::Reading;
use garboard_record::kind::picture::Photograph;
use garboard_record::standing;
use garboard_record::word::{Range, Size};
use garboard_record::{Body, Decimal, Entry, Quantity};

use crate::sight::{Sight, capital, stroke};

/// Makes an entry's row.
#[must_use]
pub fn row(sight: Sight<'_>, entry: &Entry) -> Row {
    let statement = &entry.statement;
    let text = |when: &Option<garboard_record::When>| {
        when.as_ref().map_or_else(String::new, ToString::to_string)
    };
    let finding = sight
        .finding_of(entry)
        .filter(|finding| *finding != entry.id);
    let repair = sight.repair_of(entry).filter(|repair| *repair != entry.id);
    let (headline, detail) = words(sight, entry);
    Row {
        id: entry.id.to_string(),
        kind: statement.kind.to_string(),
        kind_word: capital(statement.kind.shown()),
        happened: text(&statement.happened),
        written: text(&statement.written),
        is_late: statement.is_late(),
        hand: sight.snapshot.hand_name(statement.hand).to_owned(),
        headline,
        detail,
        figure: figure(sight, entry),
        place: sight.place_of(entry.id),
        finding: finding.map(|id| sight.to(id)),
        repair: repair.map(|id| sight.to(id)),
        strokes: strokes(sight, entry),
        standing: standing_shown(sight, entry),
        thumbs: thumb(sight, entry).into_iter().collect(),
        is_struck: entry.is_struck(),
        is_disputed: entry.disputes().next().is_some(),
        is_amended: !entry.amended.is_empty(),
        is_saved: true,
        also_on: sight.also_on(entry.id),
    }
}

fn strokes(sight: Sight<'_>, entry: &Entry) -> u8 {
    match &entry.body {
        Body::Photograph(photograph) => photograph.stage.as_ref().map_or(0, stroke),
        Body::Finding(_) | Body::Repair(_) => sight.strokes(entry.id),
        _ => 0,
    }
}

fn standing_shown(sight: Sight<'_>, entry: &Entry) -> String {
    match &entry.body {
        Body::Finding(_) => standing::standing(sight.snapshot, sight.index, entry.id).to_string(),
        Body::Repair(_) => standing::progress(sight.snapshot, sight.index, entry.id).to_string(),
        _ => String::new(),
    }
}

/// A photograph's small picture.
#[must_use]
pub fn thumb(sight: Sight<'_>, entry: &Entry) -> Option<Thumb> {
    let Body::Photograph(photograph) = &entry.body else {
        return None;
    };
    let digest = photograph.digest?;
    Some(Thumb {
        entry: entry.id.to_string(),
        digest: digest.to_string(),
        alt: alt(sight, entry, photograph),
        stage: photograph
            .stage
            .as_ref()
            .map_or_else(String::new, |stage| stage.as_str().to_owned()),
        is_here: [Size::Thumbnail, Size::View].iter().any(|size| {
            sight
                .index
                .rendition(sight.snapshot, entry.id, size)
                .and_then(|rendition| rendition.digest)
                .is_some_and(|digest| sight.has(digest))
        }),
        is_drawing: photograph.is_drawing == Some(true),
    })
}

/// What a picture shows, for those who cannot see it; never blank.
#[must_use]
pub fn alt(sight: Sight<'_>, entry: &Entry, photograph: &Photograph) -> String {
    if let Some(shows) = photograph
        .shows
        .as_deref()
        .filter(|text| !text.trim().is_empty())
    {
        return shows.trim().to_owned();
    }
    let what = if photograph.is_drawing == Some(true) {
        "Drawing"
    } else {
        "Photograph"
    };
    let stage = photograph
        .stage
        .as_ref()
        .map_or_else(String::new, |stage| format!(", {}", stage.shown()));
    let place = sight
        .place_of(entry.id)
        .map_or_else(String::new, |place| format!(": {}", place.path.join(" › ")));
    format!("{what}{stage}{place}")
}

/// What there is to read first, and more words.
fn words(sight: Sight<'_>, entry: &Entry) -> (String, String) {
    let text = |text: &Option<String>| text.as_deref().unwrap_or_default().trim().to_owned();
    let title = entry.title();
    match &entry.body {
        Body::Boat(_) => (title, "Begins the log".to_owned()),
        Body::Finding(finding) => (title, text(&finding.observed)),
        Body::Note(note) => (or(text(&note.words), title), String::new()),
        Body::SoundNote(note) => {
            let length = note
                .length
                .as_ref()
                .map_or_else(String::new, ToString::to_string);
            match text(&note.words) {
                words if words.is_empty() => (
                    "Sound note".to_owned(),
                    joined(&[length, "not written out yet".to_owned()]),
                ),
                words => (words, joined(&["said aloud".to_owned(), length])),
            }
        }
        Body::Reading(reading) => {
            let what = capital(&or(text(&reading.quantity), "reading".to_owned()));
            let headline = match text(&reading.spot) {
                spot if spot.is_empty() => what,
                spot => format!("{what}, spot {spot}"),
            };
            (headline, text(&reading.words))
        }
        Body::Photograph(photograph) => {
            let stage = photograph
                .stage
                .as_ref()
                .map_or_else(String::new, |stage| capital(stage.shown()));
            let shows = text(&photograph.shows);
            let headline = match (stage.is_empty(), shows.is_empty()) {
                (false, false) => format!("{stage}: {shows}"),
                (false, true) => stage,
                (true, false) => shows,
                (true, true) if photograph.is_drawing == Some(true) => "Drawing".to_owned(),
                (true, true) => "Photograph".to_owned(),
            };
            (headline, String::new())
        }
        Body::Stint(stint) => {
            let person = stint.person.unwrap_or(entry.statement.hand);
            let who = sight.snapshot.hand_name(person);
            let work = stint
                .work
                .as_ref()
                .map_or_else(String::new, |work| format!(": {}", work.shown()));
            let headline = if standing::stint_hours(stint).is_none() && stint.end.is_none() {
                format!("{who} at work{work}")
            } else {
                format!("{who} worked{work}")
            };
            (headline, text(&stint.words))
        }
        Body::Material(material) => {
            let fate = material.fate.as_ref().map_or("", |fate| fate.shown());
            let more = [
                fate.to_owned(),
                text(&material.grade),
                material
                    .lot
                    .as_ref()
                    .map_or_else(String::new, |lot| format!("lot {lot}")),
                text(&material.words),
            ];
            (title, joined(&more))
        }
        Body::Repair(repair) => {
            let decision = repair
                .decision
                .as_ref()
                .map_or_else(String::new, |decision| capital(decision.shown()));
            (title, joined(&[decision, text(&repair.why)]))
        }
        Body::Step(step) => {
            let done = match (&step.done, &step.begun, &step.planned) {
                (Some(done), ..) => format!("Done {}", crate::shown::when(done.as_str())),
                (_, Some(begun), _) => format!("Begun {}", crate::shown::when(begun.as_str())),
                (.., Some(planned)) => format!("Planned {}", crate::shown::when(planned.as_str())),
                _ => String::new(),
            };
            (title, joined(&[done, text(&step.words)]))
        }
        Body::Examination(examination) => {
            let outcome = examination.outcome.as_ref().map_or_else(
                || "examined".to_owned(),
                |outcome| outcome.shown().to_owned(),
            );
            let how = examination
                .methods
                .iter()
                .map(|method| method.shown().to_owned())
                .collect::<Vec<_>>()
                .join(", ");
            let not_reached = examination
                .not_reached
                .as_ref()
                .map_or_else(String::new, |text| format!("Not reached: {text}"));
            (
                format!("Examination: {outcome}"),
                joined(&[capital(&how), text(&examination.words), not_reached]),
            )
        }
        Body::Test(test) => (capital(&title), text(&test.words)),
        Body::WayIn(way) => {
            let certainty = way
                .certainty
                .as_ref()
                .map_or_else(String::new, |certainty| capital(certainty.shown()));
            (title, joined(&[certainty, text(&way.observed)]))
        }
        Body::WaterPath(path) => {
            let from = path.way_in.map(|id| sight.snapshot.title(id));
            let to = path.finding.map(|id| sight.snapshot.title(id));
            (
                format!(
                    "Water runs from “{}” to “{}”",
                    from.unwrap_or_default(),
                    to.unwrap_or_default()
                ),
                joined(&[
                    path.certainty
                        .as_ref()
                        .map_or_else(String::new, |certainty| capital(certainty.shown())),
                    text(&path.words),
                ]),
            )
        }
        Body::ClosingUp(closing) => ("Closed up".to_owned(), text(&closing.hides)),
        Body::UpkeepDone(done) => (
            format!(
                "Done: {}",
                done.upkeep
                    .map_or_else(|| "upkeep".to_owned(), |id| sight.snapshot.title(id))
            ),
            text(&done.words),
        ),
        Body::Cost(cost) => (title, text(&cost.words)),
        Body::Place(place) => (title, text(&place.words)),
        Body::Fitting(fitting) => (
            title,
            joined(&[text(&fitting.fastenings), text(&fitting.bedding)]),
        ),
        Body::BoatState(state) => (capital(&title), text(&state.words)),
        Body::Upkeep(upkeep) => (title, text(&upkeep.how)),
        Body::Paper(paper) => (title, text(&paper.words)),
        Body::Batch(batch) => (
            batch.step.map_or_else(
                || "Batch mixed".to_owned(),
                |step| format!("Batch mixed: {}", sight.snapshot.title(step)),
            ),
            text(&batch.words),
        ),
        _ => (title, String::new()),
    }
}

fn or(text: String, otherwise: String) -> String {
    if text.is_empty() { otherwise } else { text }
}

fn joined(parts: &[String]) -> String {
    parts
        .iter()
        .map(|part| part.trim().trim_end_matches('.'))
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(". ")
}

/// The value that is the news of an entry.
#[must_use]
pub fn figure(sight: Sight<'_>, entry: &Entry) -> Option<Figure> {
    let plain = |value: String, unit: String, note: String| Some(Figure { value, unit, note });
    match &entry.body {
        Body::Reading(reading) => reading_figure(sight, reading),
        Body::Material(material) => material.quantity.as_ref().and_then(|quantity| {
            let (value, unit, entered) = own_units(sight, quantity);
            let price = material
                .unit_price
                .as_ref()
                .map(|price| format!("at {price}"));
            let note: Vec<String> = entered.into_iter().chain(price).collect();
            plain(value, unit, note.join(", "))
        }),
        Body::Cost(cost) => cost.amount.as_ref().and_then(|money| {
            plain(
                money.amount.to_string(),
                money.currency.clone(),
                String::new(),
            )
        }),
        Body::Stint(stint) => {
            let hours = standing::stint_hours(stint)?;
            plain(hours.to_string(), "h".to_owned(), String::new())
        }
        _ => None,
    }
}

/// An amount for setting large, in the person's units; and how it was entered, where that differs.
fn own_units(sight: Sight<'_>, amount: &Quantity) -> (String, String, Option<String>) {
    match sight.around.units.and_then(|units| amount.in_system(units)) {
        Some(converted) => (
            number(converted.value),
            converted.unit_shown().to_owned(),
            Some(format!("entered {amount}")),
        ),
        None if amount.entered.is_some() => (amount.to_string(), String::new(), None),
        None => (number(amount.value), amount.unit_shown().to_owned(), None),
    }
}

fn reading_figure(sight: Sight<'_>, reading: &Reading) -> Option<Figure> {
    let sign = match reading.range {
        Some(Range::Over) => "> ",
        Some(Range::Under) => "< ",
        _ => "",
    };
    let mut entered = None;
    let (value, unit) = match (&reading.value, &reading.word, reading.yes) {
        (Some(value), ..) => {
            let (figure, unit, as_entered) = own_units(sight, value);
            entered = as_entered;
            (format!("{sign}{figure}"), unit)
        }
        (_, Some(word), _) => (word.clone(), String::new()),
        (.., Some(yes)) => (if yes { "yes" } else { "no" }.to_owned(), String::new()),
        _ => match &reading.range {
            Some(Range::Over) => ("over the range".to_owned(), String::new()),
            Some(Range::Under) => ("under the range".to_owned(), String::new()),
            _ => return None,
        },
    };
    let note = [
        reading
            .instrument
            .map_or_else(String::new, |id| sight.snapshot.title(id)),
        reading.mode.clone().unwrap_or_default(),
        reading.species.clone().unwrap_or_default(),
        entered.unwrap_or_default(),
    ];
    Some(Figure {
        value,
        unit,
        note: note
            .iter()
            .filter(|part| !part.trim().is_empty())
            .cloned()
            .collect::<Vec<_>>()
            .join(", "),
    })
}

fn number(value: Decimal) -> String {
    value.to_string()
}
