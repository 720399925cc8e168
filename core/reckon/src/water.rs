//! Water path: which ways in fit a sign at a place, what would confirm or rule out each, and in what order it is mended.

mod checks;
mod ways;

use crate::caution::{ALONE, CABLES, CONFINED, FUEL_TANK, METER, STRUCTURE, WASTE_TANK, WET_DECK};
use crate::input::{self, Input};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::common_practice;
use crate::{Given, Outcome, Reckoning, Unreckoned};

use ways::{LIKELY, Often, PLACES, POSSIBLE, RARE, READINGS, SIGNS, WAYS, WETS, Way};

/// So many are named at least: a sign never has one cause for certain.
const FEWEST: usize = 3;

const INPUTS: &[Input] = &[
    input::choice(
        "sign",
        "What shows",
        "The sign that you see, feel, hear or smell.",
        SIGNS,
    ),
    input::choice(
        "place",
        "Where it shows",
        "Where the sign is; the water may come from metres away.",
        PLACES,
    ),
    input::choice("wets", "When it gets wet", "If you have watched it.", WETS)
        .or("unknown", "not watched yet"),
    input::choice(
        "readings",
        "How the readings lie",
        "If you have metered round it.",
        READINGS,
    )
    .or("not-metered", "not metered yet"),
];

const WAYS_OUT: &[Output] = &[
    output::words("way", "Way in"),
    output::verdict(
        "likelihood",
        "As a cause",
        &[
            ("likely", "likely"),
            ("possible", "possible"),
            ("rare", "rare"),
            ("hardly", "hardly"),
        ],
    ),
    output::words("fits", "Why"),
    output::words("travels", "How the water goes"),
    output::words("tell_tale", "Tell-tale"),
    output::words("inspect", "Look at"),
    output::words("confirms", "Would confirm it"),
    output::words("rules_out", "Would rule it out"),
    output::words("order", "Order of the repair"),
    output::words("danger", "Take care").sometimes(),
];

const RESULTS: &[Output] = &[
    output::figure("candidates", "Ways in that fit", "", 0),
    output::words("next", "Look first at"),
    output::table("ways", "Ways in, the likeliest first", WAYS_OUT),
    output::words("rule", "The order of any such repair"),
    output::words("good", "When it counts as good"),
];

/// A way in, and how well it fits.
struct Candidate {
    way: &'static Way,
    /// How likely it is: its sign and its place, less what speaks against it.
    likelihood: Often,
    /// Where likelihoods are alike: the sum of both.
    weight: Often,
    /// Why, in words.
    fits: String,
}

fn often(list: &[(&str, Often)], word: &str) -> Often {
    list.iter()
        .find(|(known, _)| *known == word)
        .map_or(0, |(_, often)| *often)
}

/// How well a way in fits what was seen.
fn candidate(way: &'static Way, sign: &str, place: &str, wets: &str, readings: &str) -> Candidate {
    let (by_sign, by_place) = (often(way.signs, sign), often(way.places, place));
    let mut says = Vec::new();
    says.push(match (by_sign > 0, by_place > 0) {
        (true, true) => "sign and place fit",
        (true, false) => "the sign fits, the place hardly",
        (false, true) => "the place fits, the sign hardly",
        (false, false) => "neither sign nor place fits",
    });
    let mut likelihood = by_sign.min(by_place);
    let mut weight = by_sign + by_place;
    for (word, silent, list, fits, against) in [
        (
            wets,
            "unknown",
            way.wets,
            "so does when it gets wet",
            "when it gets wet speaks against it",
        ),
        (
            readings,
            "not-metered",
            way.readings,
            "so do the readings",
            "the readings speak against it",
        ),
    ] {
        if word == silent {
            continue;
        }
        if list.contains(&word) {
            weight += 1;
            says.push(fits);
        } else {
            likelihood = likelihood.saturating_sub(1);
            says.push(against);
        }
    }
    Candidate {
        way,
        likelihood,
        weight,
        fits: says.join("; "),
    }
}

/// The ways in that fit, the likeliest first; never fewer than [`FEWEST`], so that none looks certain.
fn candidates(sign: &str, place: &str, wets: &str, readings: &str) -> Vec<Candidate> {
    let mut all: Vec<Candidate> = WAYS
        .iter()
        .map(|way| candidate(way, sign, place, wets, readings))
        .collect();
    // A stable sort: what weighs alike stays in the order of the table.
    all.sort_by_key(|candidate| std::cmp::Reverse((candidate.likelihood, candidate.weight)));
    let fitting = all
        .iter()
        .filter(|candidate| candidate.likelihood > 0)
        .count();
    all.truncate(fitting.max(FEWEST));
    all
}

fn reckon(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(RESULTS);
    let list = candidates(
        given.choice("sign")?,
        given.choice("place")?,
        given.choice("wets")?,
        given.choice("readings")?,
    );
    let fitting = list
        .iter()
        .filter(|candidate| candidate.likelihood > 0)
        .count();
    out.say("candidates", crate::number::of_count(fitting))?;
    let first = list.first().map_or("", |candidate| candidate.way.inspect);
    out.answers.words("next", first)?;
    for candidate in &list {
        let way = candidate.way;
        let mut row = out.answers.row("ways");
        row.words("way", way.title)?;
        let word = match candidate.likelihood {
            LIKELY.. => "likely",
            POSSIBLE => "possible",
            RARE => "rare",
            _ => "hardly",
        };
        row.verdict("likelihood", word)?;
        for (name, words) in [
            ("fits", candidate.fits.as_str()),
            ("travels", way.travels),
            ("tell_tale", way.tell_tale),
            ("inspect", way.inspect),
            ("confirms", way.confirms),
            ("rules_out", way.rules_out),
            ("order", way.order),
        ] {
            row.words(name, words)?;
        }
        if !way.danger.is_empty() {
            row.words("danger", way.danger)?;
        }
        out.answers.push("ways", row)?;
    }
    out.answers.words(
        "rule",
        "The way in first; then drain, dry, mend the structure, seal, and test again. A repair below an open leak is wasted.",
    )?;
    out.answers.words(
        "good",
        "The same meter on the same setting reads no more than the dry part you compare with plus the margin you agreed on, at five spots or more, on two visits a week apart; it sounds crisp all over; hosed from below upwards for 5 to 15 minutes a part, nobody inside sees water. Write down the dew point with it.",
    )?;
    out.remark("None of these is certain, and there may be more than one. What you see can be metres from where the water comes in: follow it uphill.");
    if fitting < FEWEST {
        out.remark("Little in the table fits this sign at this place: look for something that is not in it, or describe the sign differently.");
    }
    if given.choice("readings")? != "not-metered" {
        out.remark("A meter alone misleads: cores that were soaked have read dry. Tap as well, and confirm by a sample.");
    }
    Ok(out)
}

/// Water paths.
pub static WATER_PATH: Reckoning = Reckoning {
    name: "water-path",
    title: "Water path",
    purpose: "Which ways in fit a sign at a place, what would confirm or rule out each, and in what order it is mended.",
    topic: Topic::Water,
    revision: 1,
    inputs: INPUTS,
    results: RESULTS,
    formula: "
likelihood = the lesser of how often the way in shows this sign and this place
             less one step for the time at which it gets wet, and one for the readings, where they speak against it
steps: likely, possible, rare, hardly; at least three ways in are named",
    sources: &[common_practice(
        "The table of ways in, signs, places, what confirms and what rules out, and the order of repair",
    )],
    limits: &[
        "Which of them it is: the table gives places to look, never one cause for certain.",
        "Ways in that are not in the table, and several at once.",
        "How much structure is lost: that is for a surveyor.",
    ],
    cautions: &[
        &METER, &WET_DECK, &CABLES, &FUEL_TANK, &WASTE_TANK, &CONFINED, &STRUCTURE, &ALONE,
    ],
    reckon,
    begin: None,
    checks: checks::CHECKS,
};

#[cfg(test)]
mod tests;
