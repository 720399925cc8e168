//! Whether an opened core is drying, and when it will be dry.

use crate::caution::{ALONE, CABLES, METER, MONOXIDE, WET_DECK};
use crate::check::{Check, near, word};
use crate::input::{self, Input};
use crate::number::{exp, ln, sqrt};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, common_practice, definition};
use crate::{Given, Outcome, Reckoning, Unreckoned};

static READINGS: [Input; 2] = [
    input::amount(
        "day",
        "Day",
        "Since the first reading.",
        &["d", "h", "wk"],
        "0",
        "3650",
    ),
    input::number(
        "moisture",
        "Moisture",
        "At the same spot, on the same scale.",
        "0",
        "1000",
    ),
];

/// A fit of M(t) = Me + D e^(−t/τ).
struct Curve {
    me: f64,
    d: f64,
    tau: f64,
    squares: f64,
}

const DRYING_INPUTS: &[Input] = &[
    input::rows(
        "readings",
        "Readings",
        "At least four, over at least a week or two.",
        &READINGS,
        4,
        200,
    ),
    input::number(
        "wanted",
        "Moisture that is wanted",
        "The dry reference of the same boat, on the same scale.",
        "0",
        "1000",
    ),
    input::number(
        "end",
        "What this air leads to",
        "From wood in this air; needed with fewer than five readings.",
        "0",
        "1000",
    )
    .optional(),
];

const DRYING_RESULTS: &[Output] = &[
    output::verdict(
        "verdict",
        "The core",
        &[
            ("drying", "is drying"),
            ("never", "is drying, but never so far in this air"),
            (
                "not-drying",
                "is not drying: the later readings are no lower than the earlier ones",
            ),
        ],
    ),
    output::figure("end", "It comes to", "", 2).sometimes(),
    output::figure("time", "Time constant", "d", 2).sometimes(),
    output::figure("scatter", "Readings lie around the curve by", "", 2).sometimes(),
    output::figure("dry_on", "What is wanted is reached on day", "d", 1).sometimes(),
    output::figure("earliest", "perhaps already on day", "d", 1).sometimes(),
    output::figure("latest", "perhaps only on day", "d", 1).sometimes(),
];

/// Whether it dries.
pub static DRYING: Reckoning = Reckoning {
    name: "drying",
    title: "Is it drying?",
    purpose: "From readings at one spot: whether the core dries, to what it comes, and when it reaches what is wanted.",
    topic: Topic::Moisture,
    revision: 1,
    inputs: DRYING_INPUTS,
    results: DRYING_RESULTS,
    formula: "
M(t) = Me + D e^(−t/τ), least squares
t = τ ln(D/(M − Me))
the interval: wherever the sum of squares grows by no more than twice its mean share",
    sources: &[
        definition("exponential approach to an end value, fitted by least squares"),
        common_practice("at least four readings over at least one time constant"),
    ],
    limits: &[
        "Below fibre saturation, in steady air, with the core opened.",
        "Above it the water first leaves at a steady pace.",
        "A scale that is relative only compares with itself.",
    ],
    cautions: &[&METER, &WET_DECK, &CABLES, &MONOXIDE, &ALONE],
    reckon: drying,
    begin: None,
    checks: &[
        Check {
            case: "readings that rise",
            inputs: r#"{"wanted": "18", "readings": [{"day": "0 d", "moisture": "30"}, {"day": "3 d", "moisture": "31"}, {"day": "7 d", "moisture": "33"}, {"day": "14 d", "moisture": "33"}, {"day": "21 d", "moisture": "34"}]}"#,
            expect: &[word("verdict", "not-drying")],
            mark: Mark::CommonPractice,
            source: "rising readings are a leak still open",
        },
        Check {
            case: "air that is too damp",
            inputs: r#"{"wanted": "10", "end": "12", "readings": [{"day": "0 d", "moisture": "38"}, {"day": "7 d", "moisture": "28.304"}, {"day": "14 d", "moisture": "22.224"}, {"day": "28 d", "moisture": "16.021"}]}"#,
            expect: &[word("verdict", "never"), near("end", 12.0, 0.005)],
            mark: Mark::Worked,
            source: "Me 12 is above 10",
        },
        Check {
            case: "the series M0 38, Me 12, τ 15 d (1)",
            inputs: r#"{"wanted":18,"readings":[{"day":"0 d","moisture":38},{"day":"3 d","moisture":33.287},{"day":"7 d","moisture":28.304},{"day":"14 d","moisture":22.224},{"day":"21 d","moisture":18.412},{"day":"28 d","moisture":16.021},{"day":"42 d","moisture":13.581}]}"#,
            expect: &[
                near("end", 12.0, 0.02),
                near("time", 15.0, 0.02),
                near("dry_on", 21.995, 0.1),
            ],
            mark: Mark::Worked,
            source: "the series M0 38, Me 12, τ 15 d",
        },
        Check {
            case: "the same with noise (2)",
            inputs: r#"{"wanted":18,"readings":[{"day":"0 d","moisture":38.4},{"day":"3 d","moisture":32.7},{"day":"7 d","moisture":28.6},{"day":"14 d","moisture":22.7},{"day":"21 d","moisture":18.0},{"day":"28 d","moisture":16.2},{"day":"42 d","moisture":13.3}]}"#,
            expect: &[
                near("end", 11.644, 0.02),
                near("time", 15.442, 0.03),
                near("dry_on", 21.99, 0.1),
            ],
            mark: Mark::Worked,
            source: "the same with noise; scipy.optimize.curve_fit gives 11.644, 26.397, 15.442",
        },
        Check {
            case: "the series M0 38, Me 12, τ 15 d (3)",
            inputs: r#"{"wanted":15,"end":12,"readings":[{"day":"0 d","moisture":38},{"day":"7 d","moisture":28.304},{"day":"14 d","moisture":22.224},{"day":"28 d","moisture":16.021}]}"#,
            expect: &[near("time", 15.0, 0.02), near("dry_on", 32.392, 0.1)],
            mark: Mark::Worked,
            source: "the series M0 38, Me 12, τ 15 d",
        },
    ],
};

/// The best Me and D for a time constant, with Me fixed where it is known.
fn at_tau(points: &[(f64, f64)], tau: f64, end: Option<f64>) -> Option<Curve> {
    let n = crate::number::of_count(points.len());
    let (mut se, mut see, mut sm, mut sem) = (0.0, 0.0, 0.0, 0.0);
    for (t, m) in points {
        let e = exp(-t / tau);
        se += e;
        see += e * e;
        sm += m;
        sem += e * m;
    }
    let (me, d) = match end {
        Some(me) => (me, (sem - me * se) / see),
        None => {
            let det = n * see - se * se;
            if det.abs() < 1e-12 {
                return None;
            }
            let d = (n * sem - se * sm) / det;
            ((sm - d * se) / n, d)
        }
    };
    let squares = points
        .iter()
        .map(|(t, m)| {
            let off = m - me - d * exp(-t / tau);
            off * off
        })
        .sum();
    Some(Curve {
        me,
        d,
        tau,
        squares,
    })
}

/// Time constants that are tried, in days: from a tenth of the first gap to twenty times the whole span.
fn grid(points: &[(f64, f64)], end: Option<f64>) -> Vec<Curve> {
    let span = points.last().map_or(1.0, |last| last.0).max(1e-6);
    let (low, high) = (ln(span / 200.0), ln(span * 20.0));
    (0..=2000)
        .filter_map(|step| {
            let share = f64::from(step) / 2000.0;
            at_tau(points, exp(low + (high - low) * share), end)
        })
        .collect()
}

/// The golden section between two time constants.
fn refined(points: &[(f64, f64)], end: Option<f64>, mut low: f64, mut high: f64) -> Option<Curve> {
    let ratio = 0.5 * (sqrt(5.0) - 1.0);
    for _ in 0..80 {
        let (a, b) = (high - ratio * (high - low), low + ratio * (high - low));
        if at_tau(points, a, end)?.squares < at_tau(points, b, end)?.squares {
            high = b;
        } else {
            low = a;
        }
    }
    at_tau(points, 0.5 * (low + high), end)
}

fn day_of(curve: &Curve, wanted: f64) -> Option<f64> {
    let rest = wanted - curve.me;
    (rest > 0.0 && curve.d > 0.0)
        .then(|| (curve.tau * ln(curve.d / rest)).max(0.0))
        .filter(|day| day.is_finite())
}

fn drying(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut points = Vec::new();
    for row in given.rows("readings") {
        points.push((row.amount("day", "d")?, row.number("moisture")?));
    }
    points.sort_by(|one, other| one.0.total_cmp(&other.0));
    let first = points.first().map_or(0.0, |point| point.0);
    for point in &mut points {
        point.0 -= first;
    }
    if points
        .iter()
        .zip(points.iter().skip(1))
        .any(|(one, other)| other.0 - one.0 < 1e-6)
    {
        return Err(Unreckoned::impossible(
            "readings",
            "two readings are of the same moment",
            "take their mean, or leave one out",
        ));
    }
    let end = given.number_if("end");
    if end.is_none() && points.len() < 5 {
        return Err(Unreckoned::impossible(
            "end",
            "four readings do not tell where it will end",
            "take a fifth, or give what this air leads to",
        ));
    }
    let wanted = given.number("wanted")?;
    let mut out = Outcome::new(DRYING_RESULTS);
    let mean = |part: &[(f64, f64)]| {
        let n = u32::try_from(part.len().max(1)).unwrap_or(u32::MAX);
        part.iter().map(|point| point.1).sum::<f64>() / f64::from(n)
    };
    let half = points.len() / 2;
    let (early, late) = points.split_at(half);
    if mean(late) >= mean(early) {
        out.answers.verdict("verdict", "not-drying")?;
        out.remark("The leak may still be open, or the air is no drier than the core.");
        return Ok(out);
    }
    let curves = grid(&points, end);
    let best = curves
        .iter()
        .enumerate()
        .min_by(|one, other| one.1.squares.total_cmp(&other.1.squares));
    let Some((at, _)) = best else {
        return Err(Unreckoned::impossible(
            "readings",
            "no curve fits these readings",
            "look whether all are of one spot and one scale",
        ));
    };
    let near = |idx: usize| {
        curves
            .get(idx.min(curves.len().saturating_sub(1)))
            .map_or(1.0, |curve| curve.tau)
    };
    let Some(fit) = refined(&points, end, near(at.saturating_sub(1)), near(at + 1)) else {
        return Err(Unreckoned::impossible(
            "readings",
            "no curve fits these readings",
            "look whether all are of one spot and one scale",
        ));
    };
    let n = u32::try_from(points.len()).unwrap_or(u32::MAX);
    let free = f64::from(n) - if end.is_some() { 2.0 } else { 3.0 };
    let scatter = sqrt(fit.squares / free.max(1.0));
    out.say("end", fit.me)?;
    out.say("time", fit.tau)?;
    out.say("scatter", scatter)?;
    let allowed = fit.squares + 2.0 * (fit.squares / free.max(1.0)).max(1e-9);
    let days: Vec<Option<f64>> = curves
        .iter()
        .filter(|curve| curve.squares <= allowed && curve.d > 0.0)
        .map(|curve| day_of(curve, wanted))
        .collect();
    match day_of(&fit, wanted) {
        Some(day) => {
            out.say("dry_on", day + first)?;
            let low = days.iter().flatten().copied().fold(day, f64::min);
            out.say("earliest", low + first)?;
            if days.iter().all(Option::is_some) {
                let high = days.iter().flatten().copied().fold(day, f64::max);
                out.say("latest", high + first)?;
            } else {
                out.remark(
                    "These readings do not rule out that it never gets so dry: go on measuring.",
                );
            }
            out.answers.verdict("verdict", "drying")?;
        }
        None => {
            out.answers.verdict("verdict", "never")?;
            out.remark(format!(
                "In this air it comes down to {:.1} and not to {wanted:.1}: drier air, heat or a wider opening is needed.",
                fit.me
            ));
        }
    }
    let span = points.last().map_or(0.0, |point| point.0);
    if span < fit.tau {
        out.remark("The readings span less than one time constant: the curve is a guess until there are later ones.");
    }
    Ok(out)
}
