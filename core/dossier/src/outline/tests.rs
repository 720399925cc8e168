//! What the outline says of small logs made here, and of the demonstration boat.

use garboard_record::word::Size;
use garboard_record::{Body, Decimal, Draft, Entry, Kind, Stamper};
use serde_json::{Value, json};

use super::*;

mod choices;

/// A log in the making: one hand, one device, an hour between statements.
pub(crate) struct Log {
    stamper: Stamper,
    pub(crate) said: Vec<(Id, String)>,
    now: u64,
}

impl Log {
    /// A boat of this name, written by Ann on 1 May 2026, 08:00 UTC.
    pub(crate) fn new(name: &str) -> Self {
        let now = 1_777_622_400_000;
        let draft = Draft::of(
            Kind::Boat,
            object(json!({ "name": name, "currency": "EUR" })),
        )
        .unwrap();
        let chance = [[1; 10], [2; 10], [3; 10]];
        let (stamper, said) =
            garboard_record::draft::begin_log(&draft, "Ann", "phone", now, chance, 120).unwrap();
        Self { stamper, said, now }
    }

    pub(crate) fn say(&mut self, kind: Kind, fields: Value) -> Id {
        self.say_of(kind, fields, None)
    }

    pub(crate) fn say_of(&mut self, kind: Kind, fields: Value, happened: Option<&str>) -> Id {
        let draft = Draft::of(kind, object(fields)).unwrap();
        self.put(&draft.at(happened.map(|text| text.parse().unwrap())))
    }

    pub(crate) fn put(&mut self, draft: &Draft) -> Id {
        self.now += 3_600_000;
        let n = u8::try_from(self.said.len() % 256).unwrap();
        let (id, text) = self.stamper.stamp(draft, self.now, [n; 10]);
        self.said.push((id, text));
        id
    }

    fn entry(&self, id: Id) -> Entry {
        self.snapshot().entry(id).unwrap().clone()
    }

    /// Two hands that have not seen each other give a field two values.
    fn dispute(&mut self, id: Id, field: &str, values: [Value; 2]) {
        let before = self.entry(id);
        for value in values {
            self.put(&Draft::amendment(&before, field, value, None).unwrap());
        }
    }

    pub(crate) fn snapshot(&self) -> Snapshot {
        Snapshot::of(self.said.clone())
    }

    pub(crate) fn outline(&self) -> Outline {
        outline(&self.snapshot(), &Options::default())
    }
}

fn object(value: Value) -> serde_json::Map<String, Value> {
    match value {
        Value::Object(fields) => fields,
        other => panic!("no fields: {other}"),
    }
}

/// The demonstration boat.
pub(crate) fn demonstration() -> &'static (garboard_demo::Told, Snapshot) {
    static DEMONSTRATION: std::sync::OnceLock<(garboard_demo::Told, Snapshot)> =
        std::sync::OnceLock::new();
    DEMONSTRATION.get_or_init(|| {
        let told = garboard_demo::told().unwrap();
        let snapshot = told.snapshot();
        (told, snapshot)
    })
}

/// The digests of its views.
pub(crate) fn views() -> BTreeSet<Digest> {
    let (_, snapshot) = demonstration();
    let view = |entry: &Entry| match &entry.body {
        Body::Rendition(made) if made.size == Some(Size::View) => made.digest,
        _ => None,
    };
    snapshot.entries().filter_map(view).collect()
}

/// All blocks of an outline, those within stories included.
fn blocks(outline: &Outline) -> Vec<&Block> {
    fn walk<'a>(blocks: &'a [Block], out: &mut Vec<&'a Block>) {
        for block in blocks {
            out.push(block);
            if let Block::Story(story) = block {
                walk(&story.blocks, out);
            }
        }
    }
    let mut out = Vec::new();
    outline
        .sections
        .iter()
        .for_each(|section| walk(&section.blocks, &mut out));
    out
}

fn tables(outline: &Outline) -> Vec<&Table> {
    let table = |block: &&'_ Block| matches!(block, Block::Table(_));
    blocks(outline)
        .into_iter()
        .filter(table)
        .map(|block| match block {
            Block::Table(table) => table,
            _ => unreachable!("only tables were kept"),
        })
        .collect()
}

fn table<'a>(outline: &'a Outline, caption: &str) -> &'a Table {
    tables(outline)
        .into_iter()
        .find(|table| table.caption == caption)
        .unwrap_or_else(|| panic!("no table {caption:?}"))
}

/// The last cell of the rows that are totals, or that are not.
fn last_cells(table: &Table, is_total: bool) -> Vec<&str> {
    table
        .rows
        .iter()
        .filter(|row| row.is_total == is_total)
        .map(|row| row.cells.last().unwrap().text.as_str())
        .collect()
}

fn text_of(blocks: &[Block]) -> String {
    let mut lines = Vec::new();
    lines_of(blocks, &mut lines);
    lines
        .iter()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect::<String>()
        .replace('\u{a0}', " ")
}

fn lines_of(blocks: &[Block], out: &mut Vec<String>) {
    for block in blocks {
        match block {
            Block::Story(story) => {
                out.push(format!(
                    "## {} [{}]",
                    story.heading,
                    story.standing.as_deref().unwrap_or("-")
                ));
                out.push(format!("| {}", story.margin.join(" / ")));
                lines_of(&story.blocks, out);
            }
            Block::Heading(heading) => out.push(format!("### {heading}")),
            Block::Prose(prose) => out.push(prose_text(prose)),
            Block::Facts(facts) => out.extend(
                facts
                    .iter()
                    .map(|fact| format!("{}: {}", fact.name, fact.value)),
            ),
            Block::Pair(pair) => {
                out.push(format!(
                    "[{}] [{}]",
                    pair.before.caption, pair.after.caption
                ));
            }
            Block::Figures(figures) => {
                out.extend(figures.iter().map(|figure| format!("[{}]", figure.caption)));
            }
            Block::List(items) => {
                out.extend(items.iter().map(|item| format!("* {}", prose_text(item))));
            }
            Block::Caution(caution) => out.push(format!("! {caution}")),
            Block::Drawing(drawing) => out.push(format!("[{} {}]", drawing.alt, drawing.caption)),
            Block::Table(table) => {
                let titles: Vec<&str> = table
                    .columns
                    .iter()
                    .map(|column| column.title.as_str())
                    .collect();
                out.push(format!("<{}> {}", table.caption, titles.join(" | ")));
                for row in &table.rows {
                    let cells: Vec<&str> =
                        row.cells.iter().map(|cell| cell.text.as_str()).collect();
                    out.push(format!(
                        "{} {}",
                        if row.is_total { "  =" } else { "   " },
                        cells.join(" | ")
                    ));
                }
            }
        }
    }
}

fn prose_text(prose: &Prose) -> String {
    let label = prose
        .label
        .as_ref()
        .map(|label| format!("{label}: "))
        .unwrap_or_default();
    let aside = prose
        .aside
        .as_ref()
        .map(|aside| format!(" ({aside})"))
        .unwrap_or_default();
    format!(
        "{label}{}{}{aside}",
        if prose.is_supposed { "~" } else { "" },
        prose.text
    )
}

fn section_text(outline: &Outline, key: &str) -> String {
    text_of(
        &outline
            .sections
            .iter()
            .find(|section| section.key == key)
            .unwrap()
            .blocks,
    )
}

/// Sums worked by hand: 80 min = 1.33 h and 0.5 h make 1.83; 2.5 kg at 23.80 = 59.50; 198.35 and 21 % tax = 240.0035, printed
/// 240.00; together 299.50, and with the crane's 195.00 494.50. Rounding each line once is the trade's and the tax office's usual
/// way (common practice, no source).
#[test]
fn totals_are_those_worked_by_hand_and_the_difference_of_a_dispute_is_printed() {
    let mut log = Log::new("Dunlin");
    let place = log.say(Kind::Place, json!({ "name": "Deck" }));
    let repair = log.say(
        Kind::Repair,
        json!({ "title": "New core", "place": place, "decision": "repair" }),
    );
    log.say(Kind::Stint, json!({ "repair": repair, "start": "2026-05-01T10:00:00+02:00", "end": "2026-05-01T11:20:00+02:00", "work": "opening" }));
    log.say(
        Kind::Stint,
        json!({ "repair": repair, "hours": "0.5", "work": "coring" }),
    );
    let bought = log.say(Kind::Material, json!({ "what": "Resin", "fate": "bought", "quantity": "5.0 kg", "unit_price": "23.80 EUR", "lot": "R-1" }));
    log.say(Kind::Material, json!({ "what": "Resin", "fate": "used", "quantity": "2.5 kg", "from": bought, "repair": repair }));
    log.say(
        Kind::Cost,
        json!({ "what": "Plate", "amount": "198.35 EUR", "tax": "21", "repair": repair }),
    );
    let crane = log.say(
        Kind::Cost,
        json!({ "what": "Crane", "amount": "180.00 EUR" }),
    );
    log.dispute(crane, "amount", [json!("195.00 EUR"), json!("185.00 EUR")]);
    let outline = log.outline();
    assert_eq!(last_cells(table(&outline, "By person"), true), ["1.83"]);
    assert_eq!(
        last_cells(table(&outline, "Every stretch of labour"), false),
        ["1.33", "0.50"]
    );
    assert_eq!(
        last_cells(table(&outline, "Materials"), true),
        ["59.50 EUR"]
    );
    assert_eq!(
        last_cells(table(&outline, "Other costs"), true),
        ["240.00 EUR"]
    );
    assert_eq!(
        last_cells(table(&outline, "Every cost"), true),
        ["494.50 EUR"]
    );
    let stock = &table(&outline, "What became of each purchase").rows[0];
    let cells: Vec<&str> = stock.cells.iter().map(|cell| cell.text.as_str()).collect();
    assert_eq!(
        cells,
        ["Resin", "R-1", "5.0 kg", "2.5", "0", "2.5", "119.00 EUR"]
    );
    let costs = section_text(&outline, "costs");
    assert!(
        costs.contains(
            "Crane: counted at 195.00 EUR; also written: 185.00 EUR, a difference of -10.00 EUR."
        ),
        "{costs}"
    );
}

#[test]
fn a_small_history_reads_from_found_to_tested() {
    let mut log = Log::new("Dunlin");
    let deck = log.say(Kind::Place, json!({ "name": "Deck" }));
    let bay = log.say(
        Kind::Place,
        json!({ "name": "third bay", "parent": deck, "side": "port" }),
    );
    let finding = log.say(Kind::Finding, json!({ "title": "Wet core", "place": bay, "observed": "Sounds dull.", "supposed": "A screw.", "kinds": ["wet-core"], "extent": "0.5 m2", "urgency": "before-launch" }));
    log.say(Kind::Reading, json!({ "quantity": "moisture", "value": { "value": "95", "unit": "scale" }, "finding": finding, "spot": "A1", "dry_reference": "12" }));
    let way = log.say(
        Kind::WayIn,
        json!({ "title": "Stanchion", "place": bay, "certainty": "seen" }),
    );
    log.say(Kind::WaterPath, json!({ "way_in": way, "finding": finding, "certainty": "seen", "words": "Along the screw." }));
    let repair = log.say(Kind::Repair, json!({ "title": "New core", "place": bay, "decision": "repair", "why": "It is gone.", "finished": "2026-05-02" }));
    log.say(
        Kind::Member,
        json!({ "whole": repair, "part": finding, "role": "finding" }),
    );
    log.say(
        Kind::Test,
        json!({ "trial": "hose-test", "verdict": "good", "repair": repair, "words": "Dry." }),
    );
    log.say_of(Kind::Examination, json!({ "place": deck, "methods": ["looked"], "outcome": "not-reached", "not_reached": "Behind the tank." }), Some("2026-03-01"));
    let outline = log.outline();
    insta::assert_snapshot!(section_text(&outline, "place-2"), @r"
    ## Finding 1. Wet core [tested good]
    | found 1 May 2026, 13:00 / written 1 May 2026 / by Ann / urgency: before launch / extent: 0.5 m²
    Sounds dull.
    Supposed: ~A screw.
    Kinds: wet core
    How the water came: From: Stanchion (seen). Along the screw. (1 May 2026, 16:00, written 1 May 2026, by Ann)
    <Readings> Date | Spot | What | Value | Dry reference | Instrument, setting | Conditions
        1 May 2026 | A1 | moisture | 95 on the scale | 12 |  |
    ! A relative scale is no percentage and holds for this instrument on this boat only. Per cent by pins holds for bare wood of the species named; salt, glue, resin and copper read high.
    ## Repair 1. New core [done]
    | decided 1 May 2026, 17:00 / written 1 May 2026 / by Ann / decided by Ann / finished 2 May 2026
    Decided: Repair. It is gone.
    <Tested> Date | Test | Verdict | By | How, and what was seen
        1 May 2026 | hose test | good | Ann | Dry.
    ## Way in: Stanchion [not stopped]
    | seen 1 May 2026, 15:00 / written 1 May 2026 / by Ann / certainty: seen
    Led to: Finding 1. Wet core (seen)
     (Place: 1 May 2026, 12:00, written 1 May 2026, by Ann)
    ");
    insta::assert_snapshot!(section_text(&outline, "open"), @r"
    ### Still open
    * Way in, not stopped.: Stanchion.
    ### Seen and left as it is
    Nothing was left on purpose, as far as the log says.
    ### Not examined, or not reached
    * Deck.: Behind the tank.
    Whatever this history does not name was not examined, or its examination was not written down.
    ");
}

#[test]
fn late_and_struck_entries_are_marked_counted_and_kept() {
    let mut log = Log::new("Dunlin");
    let finding = log.say_of(
        Kind::Finding,
        json!({ "title": "Crack", "observed": "Seen." }),
        Some("2026-04-01"),
    );
    let note = log.say(Kind::Note, json!({ "words": "A slip of the thumb" }));
    let struck = Draft::strike(&log.entry(note), "wrong boat").unwrap();
    log.put(&struck);
    let outline = log.outline();
    let record = section_text(&outline, "disagreements");
    assert!(
        record.contains("Finding: Crack. Happened 1 April 2026, late, 30 days after."),
        "{record}"
    );
    assert!(record.contains("1 entry is struck"), "{record}");
    assert!(record.contains("A slip of the thumb"), "{record}");
    assert!(record.contains("wrong boat"), "{record}");
    assert!(section_text(&outline, "summary").contains("Struck: 1 entry"));
    let story = blocks(&outline).into_iter().find_map(|block| match block {
        Block::Story(story) if story.entry == finding => Some(story),
        _ => None,
    });
    assert!(story.unwrap().margin[1].contains("late, 30 days after"));
    let without = super::outline(
        &log.snapshot(),
        &Options {
            struck: false,
            ..Options::default()
        },
    );
    assert!(!format!("{without:?}").contains("slip of the thumb"));
    assert!(
        section_text(&without, "disagreements").contains("left the text of struck entries out")
    );
}

#[test]
fn what_is_left_out_is_nowhere_in_the_outline_and_named_as_left_out() {
    let (_, snapshot) = demonstration();
    let whole = format!("{:?}", outline(snapshot, &Options::default()));
    let bare = outline(
        snapshot,
        &Options {
            hours: false,
            costs: false,
            struck: false,
            ..Options::default()
        },
    );
    let bare_text = format!("{bare:?}");
    for figure in [
        "195.00",
        "185.00",
        "92.82",
        "240.00",
        "198.35",
        "567.00",
        "119.00",
        "41.32",
        "32.66",
        "300.00 EUR",
        "Written twice",
        "31.50",
        "I never wrote it down",
    ] {
        assert!(
            whole.contains(figure) || figure == "198.35",
            "{figure} is not in the whole"
        );
        assert!(!bare_text.contains(figure), "{figure} is still there");
    }
    let reading = section_text(&bare, "reading");
    assert!(
        reading.contains(
            "Left out of this history by the seller: hours, costs and the text of struck entries."
        ),
        "{reading}"
    );
    assert_eq!(
        section_text(&bare, "hours"),
        "The seller has left hours out of this history.\n"
    );
}

#[test]
fn an_empty_log_still_says_what_it_is() {
    let outline = outline(&Snapshot::default(), &Options::default());
    assert!(
        outline
            .title
            .statements
            .iter()
            .any(|statement| statement.starts_with("This is no survey."))
    );
    assert!(section_text(&outline, "summary").contains("No finding was written in this log."));
}

/// Every link leads to exactly one place in the page.
#[test]
fn every_entry_has_one_place_and_every_link_leads_to_one() {
    let (_, snapshot) = demonstration();
    let outline = outline(snapshot, &Options::default());
    let mut places: Vec<Id> = outline
        .title
        .figure
        .iter()
        .filter(|figure| figure.is_anchor)
        .map(|figure| figure.entry)
        .collect();
    let mut links = BTreeSet::new();
    for block in blocks(&outline) {
        let mut prose = |prose: &Prose| {
            places.extend(prose.anchor);
            links.extend(prose.link);
        };
        match block {
            Block::Story(story) => places.push(story.entry),
            Block::Prose(one) => prose(one),
            Block::List(items) => items.iter().for_each(prose),
            Block::Facts(facts) => links.extend(facts.iter().filter_map(|fact| fact.link)),
            Block::Pair(pair) => places.extend(
                [&pair.before, &pair.after]
                    .iter()
                    .filter(|figure| figure.is_anchor)
                    .map(|figure| figure.entry),
            ),
            Block::Figures(figures) => places.extend(
                figures
                    .iter()
                    .filter(|figure| figure.is_anchor)
                    .map(|figure| figure.entry),
            ),
            Block::Table(table) => {
                places.extend(table.rows.iter().filter_map(|row| row.anchor));
                links.extend(
                    table
                        .rows
                        .iter()
                        .flat_map(|row| &row.cells)
                        .filter_map(|cell| cell.link),
                );
            }
            Block::Heading(_) | Block::Caution(_) | Block::Drawing(_) => {}
        }
    }
    let unique: BTreeSet<Id> = places.iter().copied().collect();
    assert_eq!(unique.len(), places.len());
    assert_eq!(unique, snapshot.entries().map(|entry| entry.id).collect());
    assert!(links.is_subset(&unique));
}

/// The figure at the beginning of a cell.
fn amount(cell: &str) -> Option<Decimal> {
    cell.split(' ').next()?.parse().ok()
}

#[test]
fn every_printed_total_is_the_sum_of_the_lines_above_it() {
    let (_, snapshot) = demonstration();
    let outline = outline(snapshot, &Options::default());
    let mut n_totals = 0;
    for table in tables(&outline) {
        let totals = last_cells(table, true);
        let [total] = totals.as_slice() else { continue };
        let sum: Decimal = Decimal(
            last_cells(table, false)
                .into_iter()
                .filter_map(amount)
                .map(|line| line.0)
                .sum(),
        );
        assert_eq!(amount(total).unwrap(), sum, "{}", table.caption);
        n_totals += 1;
    }
    assert!(n_totals >= 20, "{n_totals} totals");
}

#[test]
fn pairs_stand_side_by_side_and_every_picture_is_listed_with_its_digest() {
    let (told, snapshot) = demonstration();
    let outline = outline(snapshot, &Options::default());
    let pairs = blocks(&outline).into_iter().filter(|block| matches!(block, Block::Pair(pair) if pair.before.stage == Some(1) && pair.after.stage == Some(5)));
    assert_eq!(pairs.count(), 5);
    let listed = section_text(&outline, "pictures");
    for original in &told.originals {
        assert!(listed.contains(&original.digest.to_string()));
    }
}

#[test]
fn one_picture_taken_in_twice_is_printed_once_and_a_withdrawn_one_not_at_all() {
    let mut log = Log::new("Dunlin");
    let digest = Digest::of(b"a picture");
    let first = log.say(
        Kind::Photograph,
        json!({ "digest": digest, "shows": "The deck" }),
    );
    log.say(
        Kind::Photograph,
        json!({ "digest": digest, "shows": "The deck again" }),
    );
    let private = log.say(
        Kind::Photograph,
        json!({ "digest": Digest::of(b"private"), "shows": "A mistake" }),
    );
    log.say(
        Kind::Withdrawal,
        json!({ "digest": Digest::of(b"private"), "entry": private, "why": "private" }),
    );
    for photograph in [first, private] {
        log.say(
            Kind::Rendition,
            json!({ "photograph": photograph, "size": "view", "digest": Digest::of(b"view") }),
        );
    }
    let outline = log.outline();
    let figures: Vec<&Figure> = blocks(&outline)
        .into_iter()
        .filter_map(|block| match block {
            Block::Figures(figures) => Some(figures),
            _ => None,
        })
        .flatten()
        .collect();
    assert_eq!(figures.len(), 3);
    assert_eq!(figures[0].instead, None);
    assert_eq!(
        figures[1].instead.as_deref(),
        Some("The same picture as number 1.")
    );
    assert!(figures[2].instead.as_deref().unwrap().contains("withdrawn"));
}

#[test]
fn what_belongs_to_a_finding_is_told_there_though_it_lies_elsewhere() {
    let mut log = Log::new("Dunlin");
    let deck = log.say(Kind::Place, json!({ "name": "Deck" }));
    let cabin = log.say(Kind::Place, json!({ "name": "Cabin" }));
    let finding = log.say(
        Kind::Finding,
        json!({ "title": "Stain", "place": cabin, "observed": "Brown." }),
    );
    log.say(Kind::Test, json!({ "trial": "hose-test", "verdict": "failed", "place": deck, "finding": finding, "words": "Dripped after six minutes." }));
    let photograph = log.say(Kind::Photograph, json!({ "digest": Digest::of(b"a picture"), "place": deck, "finding": finding, "stage": "found" }));
    log.say(Kind::Mark, json!({ "photograph": photograph, "shape": "arrow", "points": [1, 2, 3, 4], "words": "here" }));
    let outline = log.outline();
    assert!(!section_text(&outline, "place-1").contains("six minutes"));
    let cabin = section_text(&outline, "place-2");
    assert!(cabin.contains("Dripped after six minutes."), "{cabin}");
    assert!(cabin.contains("Marked on it: arrow “here”."), "{cabin}");
}

#[test]
fn the_day_of_making_is_printed_as_people_write_it() {
    let options = Options {
        made: Some("2026-09-06".to_owned()),
        ..Options::default()
    };
    let title = outline(&Snapshot::default(), &options).title;
    assert!(
        title
            .statements
            .iter()
            .any(|statement| statement.replace('\u{a0}', " ")
                == "Made from the log on 6 September 2026.")
    );
}

#[test]
fn a_correction_shows_what_stood_there_before() {
    let mut log = Log::new("Dunlin");
    let finding = log.say(
        Kind::Finding,
        json!({ "title": "Wet core", "extent": "0.5 m2" }),
    );
    for value in ["0.6 m2", "0.7 m2"] {
        let amendment =
            Draft::amendment(&log.entry(finding), "extent", json!(value), None).unwrap();
        log.put(&amendment);
    }
    let record = section_text(&log.outline(), "disagreements");
    assert!(
        record.contains("| Wet core | extent | 0.5 m² | 0.6 m² | –"),
        "{record}"
    );
    assert!(
        record.contains("| Wet core | extent | 0.6 m² | 0.7 m² | –"),
        "{record}"
    );
}

#[test]
fn a_reckoning_stands_at_its_place_also_where_nothing_else_is_told() {
    let mut log = Log::new("Merganser");
    let place = log.say(Kind::Place, json!({ "name": "Foredeck" }));
    let inputs = json!({ "area": "2 m2", "dry": "250 um", "solids": "60 %" }).to_string();
    log.say(
        Kind::Reckoning,
        json!({ "place": place, "method": "coating", "revision": 1, "inputs": inputs }),
    );
    let said = outline(&log.snapshot(), &Options::default());
    let chapter = said
        .sections
        .iter()
        .find(|section| section.heading.contains("Foredeck"))
        .unwrap();
    assert!(
        format!("{:?}", chapter.blocks).contains("Reckoned, an estimate"),
        "{chapter:?}"
    );
}
