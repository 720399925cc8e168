//! Labour and money: what lines come to, how a sum is shared out, and estimates of three points.

use garboard_record::{Decimal, Money};

use crate::caution::MONEY;
use crate::check::{Check, near, refused, word};
use crate::input::{self, Input};
use crate::number::{erf, sqrt};
use crate::output::{self, Output};
use crate::reckoning::Topic;
use crate::source::{Mark, definition, memory, published};
use crate::{Given, Outcome, Reckoning, Unreckoned};

const TASK: &[Input] = &[
    input::words("what", "What", "In a few words.").optional(),
    input::amount(
        "least",
        "At best",
        "When all goes well.",
        &["h", "min", "d"],
        "0",
        "100000",
    ),
    input::amount(
        "likely",
        "Most likely",
        "As it usually goes.",
        &["h", "min", "d"],
        "0",
        "100000",
    ),
    input::amount(
        "most",
        "At worst",
        "When all goes wrong.",
        &["h", "min", "d"],
        "0",
        "100000",
    ),
];

const THREE_INPUTS: &[Input] = &[
    input::rows(
        "tasks",
        "Tasks",
        "One after the other; none depends on how another goes.",
        TASK,
        1,
        200,
    ),
    input::amount(
        "promised",
        "Time that was promised",
        "To see how likely it is.",
        &["h", "min", "d"],
        "0",
        "1000000",
    )
    .optional(),
];

const TASK_RESULTS: &[Output] = &[
    output::words("what", "Task"),
    output::figure("expected", "Expected", "h", 4),
    output::figure("spread", "Spread", "h", 4),
];

const THREE_RESULTS: &[Output] = &[
    output::figure("expected", "Expected", "h", 4),
    output::figure("spread", "Spread (standard deviation)", "h", 5),
    output::figure("eight_in_ten", "Enough in eight cases of ten", "h", 3),
    output::figure("nine_in_ten", "Enough in nine cases of ten", "h", 3),
    output::figure("likely", "The promised time is enough in", "%", 3).sometimes(),
    output::table("tasks", "Task by task", TASK_RESULTS),
];

fn three(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(THREE_RESULTS);
    let (mut sum, mut variance) = (0.0, 0.0);
    for (idx, task) in given.rows("tasks").iter().enumerate() {
        let (o, m, p) = (
            task.amount("least", "h")?,
            task.amount("likely", "h")?,
            task.amount("most", "h")?,
        );
        if !(o <= m && m <= p) {
            return Err(Unreckoned::impossible(
                "likely",
                "at best, most likely and at worst do not grow in that order",
                "look whether two are exchanged",
            )
            .in_row("tasks", idx));
        }
        let expected = (o + 4.0 * m + p) / 6.0;
        let spread = (p - o) / 6.0;
        sum += expected;
        variance += spread * spread;
        let what = task.words("what");
        let mut row = out.answers.row("tasks");
        row.words(
            "what",
            if what.is_empty() {
                format!("task {}", idx + 1)
            } else {
                what.to_owned()
            },
        )?;
        row.figure("expected", expected)?;
        row.figure("spread", spread)?;
        out.answers.push("tasks", row)?;
    }
    let sd = sqrt(variance);
    out.say("expected", sum)?;
    out.say("spread", sd)?;
    // Quantiles of the normal distribution at 0.8 and 0.9.
    out.say("eight_in_ten", sum + 0.841_621_233_572_914 * sd)?;
    out.say("nine_in_ten", sum + 1.281_551_565_544_6 * sd)?;
    if let Some(promised) = given.amount_if("promised", "h")? {
        let likely = if sd > 0.0 {
            0.5 * (1.0 + erf((promised - sum) / (sd * std::f64::consts::SQRT_2)))
        } else if promised >= sum {
            1.0
        } else {
            0.0
        };
        out.say("likely", likely * 100.0)?;
    }
    Ok(out)
}

/// Estimates of three points.
pub static THREE_POINT: Reckoning = Reckoning {
    name: "three-point",
    title: "Hours, estimated by three points",
    purpose: "How long tasks take together, and how sure that is, from the best, the likeliest and the worst case of each.",
    topic: Topic::Labour,
    revision: 1,
    inputs: THREE_INPUTS,
    results: THREE_RESULTS,
    formula: "
E = (O + 4M + P)/6        spread of a task = (P − O)/6
spread of the sum = square root of the sum of squares; the sum is taken as normal",
    sources: &[
        published(
            "Hillier and Lieberman, Introduction to Operations Research: the three-estimate approach of PERT; read in public course material, with the network of its Reliable Construction example",
            "critical-path",
        ),
        definition("quantiles of the normal distribution"),
    ],
    limits: &[
        "Tasks that wait for each other, or all go wrong for the same reason: then the spread is larger.",
        "Only a few tasks: the sum is then not normal.",
    ],
    cautions: &[&MONEY],
    reckon: three,
    begin: None,
    checks: &[
        Check {
            case: "four tasks",
            inputs: r#"{"tasks": [{"least": "2 h", "likely": "4 h", "most": "8 h"}, {"least": "6 h", "likely": "8 h", "most": "16 h"}, {"least": "1 h", "likely": "2 h", "most": "3 h"}, {"least": "10 h", "likely": "12 h", "most": "20 h"}], "promised": "30 h"}"#,
            expect: &[
                near("expected", 28.3333, 0.00005),
                near("spread", 2.58199, 0.000005),
                near("eight_in_ten", 30.506, 0.0005),
                near("nine_in_ten", 31.642, 0.0005),
                near("likely", 74.070, 0.0005),
            ],
            mark: Mark::Worked,
            source: "scipy.stats.norm agrees",
        },
        Check {
            case: "the critical path of a published network",
            inputs: r#"{"tasks": [{"least": "1 h", "likely": "2 h", "most": "3 h"}, {"least": "2 h", "likely": "3.5 h", "most": "8 h"}, {"least": "6 h", "likely": "9 h", "most": "18 h"}, {"least": "1 h", "likely": "4.5 h", "most": "5 h"}, {"least": "4 h", "likely": "4 h", "most": "10 h"}, {"least": "3 h", "likely": "9 h", "most": "9 h"}, {"least": "1 h", "likely": "5.5 h", "most": "7 h"}, {"least": "5 h", "likely": "5.5 h", "most": "9 h"}], "promised": "47 h"}"#,
            expect: &[
                near("expected", 44.0, 0.00005),
                near("spread", 3.0, 0.000005),
                near("likely", 84.134, 0.0005),
            ],
            mark: Mark::Memory,
            source: "Hillier and Lieberman, Reliable Construction: mean 44, variance 9, P(T ≤ 47) = 0.84",
        },
        Check {
            case: "the worst before the best",
            inputs: r#"{"tasks": [{"least": "5 h", "likely": "4 h", "most": "8 h"}]}"#,
            expect: &[refused("tasks, row 1, likely")],
            mark: Mark::Definition,
            source: "best, likely and worst grow",
        },
    ],
};

const SHARE: &[Input] = &[
    input::words("what", "For", "A person, a place, a repair.").optional(),
    input::number(
        "weight",
        "Weight",
        "Its part beside the others: hours, days, feet.",
        "0",
        "1000000000",
    ),
];

const SHARES_INPUTS: &[Input] = &[
    input::money("sum", "Sum", "What is shared out."),
    input::rows(
        "shares",
        "Among",
        "By weights; equal weights share equally.",
        SHARE,
        1,
        200,
    ),
];

const SHARE_RESULTS: &[Output] = &[
    output::words("what", "For"),
    output::money("amount", "Amount"),
];

const SHARES_RESULTS: &[Output] = &[
    output::table("shares", "Shares", SHARE_RESULTS),
    output::money("total", "Together"),
    output::verdict(
        "verdict",
        "The shares",
        &[("exact", "add up to the sum to the last digit")],
    ),
];

/// How many decimal places a currency has, by ISO 4217; two where it is not listed.
fn places(currency: &str) -> u32 {
    match currency {
        "JPY" | "KRW" | "ISK" | "CLP" | "VND" | "XAF" | "XOF" | "XPF" => 0,
        "BHD" | "JOD" | "KWD" | "OMR" | "TND" => 3,
        _ => 2,
    }
}

fn shares(given: &Given) -> Result<Outcome, Unreckoned> {
    let mut out = Outcome::new(SHARES_RESULTS);
    let sum = given.money("sum")?;
    let too_large = || Unreckoned::out_of_range("sum", sum.to_string(), "what 15 digits hold");
    let unit = Decimal(rust_decimal::Decimal::new(1, places(&sum.currency)));
    let rows = given.rows("shares");
    let mut weights = Vec::new();
    let mut all = rust_decimal::Decimal::ZERO;
    for row in rows {
        let weight = row.decimal("weight")?.0;
        all += weight;
        weights.push(weight);
    }
    if all.is_zero() {
        return Err(Unreckoned::impossible(
            "shares",
            "all weights are nought",
            "give at least one of them a weight",
        ));
    }
    let n_units = sum.amount.0.checked_div(unit.0).ok_or_else(too_large)?;
    if !n_units.fract().is_zero() {
        return Err(Unreckoned::Unreadable {
            input: "sum".to_owned(),
            found: sum.to_string(),
            mend: format!(
                "{} has {} decimal places",
                sum.currency,
                places(&sum.currency)
            ),
        });
    }
    // The largest remainder: whole units first, then one each to the largest rests, earlier rows first.
    let mut shared = Vec::new();
    let mut given_out = rust_decimal::Decimal::ZERO;
    for (idx, weight) in weights.iter().enumerate() {
        let exact = n_units
            .checked_mul(*weight)
            .and_then(|product| product.checked_div(all))
            .ok_or_else(too_large)?;
        let whole = exact.trunc();
        given_out += whole;
        shared.push((idx, whole, exact - whole));
    }
    let mut by_rest: Vec<usize> = (0..shared.len()).collect();
    by_rest.sort_by(|one, other| {
        let rest = |at: &usize| shared.get(*at).map(|share| share.2);
        rest(other).cmp(&rest(one)).then(one.cmp(other))
    });
    let mut left = n_units - given_out;
    for at in by_rest {
        if left < rust_decimal::Decimal::ONE {
            break;
        }
        if let Some(share) = shared.get_mut(at) {
            share.1 += rust_decimal::Decimal::ONE;
            left -= rust_decimal::Decimal::ONE;
        }
    }
    let mut total = rust_decimal::Decimal::ZERO;
    for ((idx, units, _), row) in shared.iter().zip(rows) {
        let amount = units.checked_mul(unit.0).ok_or_else(too_large)?;
        total += amount;
        let what = row.words("what");
        let mut line = out.answers.row("shares");
        line.words(
            "what",
            if what.is_empty() {
                format!("line {}", idx + 1)
            } else {
                what.to_owned()
            },
        )?;
        line.money("amount", &money(amount, &sum.currency))?;
        out.answers.push("shares", line)?;
    }
    out.answers.money("total", &money(total, &sum.currency))?;
    if total != sum.amount.0 {
        return Err(Unreckoned::Ours {
            what: "the shares do not add up".to_owned(),
        });
    }
    out.answers.verdict("verdict", "exact")?;
    Ok(out)
}

fn money(amount: rust_decimal::Decimal, currency: &str) -> Money {
    Money {
        amount: Decimal(amount).rounded(places(currency)),
        currency: currency.to_owned(),
    }
}

/// Sharing a sum out.
pub static SHARES: Reckoning = Reckoning {
    name: "shares",
    title: "A sum shared out",
    purpose: "Shares a sum out by weights, to the last digit: a haul-out among repairs, a bill among owners.",
    topic: Topic::Labour,
    revision: 1,
    inputs: SHARES_INPUTS,
    results: SHARES_RESULTS,
    formula: "
each share in whole units of the currency, rounded down; what is left goes, a unit each, to the largest remainders, earlier lines first",
    sources: &[definition("the method of the largest remainder"), memory("decimal places of currencies, ISO 4217")],
    limits: &["Who owes what: that is for those who share."],
    cautions: &[&MONEY],
    reckon: shares,
    begin: None,
    checks: &[
        Check { case: "a hundred among three", inputs: r#"{"sum": "100.00 EUR", "shares": [{"weight": "1"}, {"weight": "1"}, {"weight": "1"}]}"#, expect: &[word("verdict", "exact")], mark: Mark::Worked, source: "33.34, 33.33, 33.33" },
    ],
};

#[cfg(test)]
mod tests {
    use super::SHARES;
    use crate::Answer;

    fn amounts(inputs: &str) -> Vec<String> {
        let reckoned = SHARES.run_text(inputs).unwrap();
        let Some(Answer::Table(rows)) = reckoned.outcome.answers.get("shares") else {
            panic!("no table")
        };
        rows.iter()
            .map(|row| match row.get("amount") {
                Some(Answer::Money(money)) => money.amount.to_string(),
                other => panic!("no money: {other:?}"),
            })
            .collect()
    }

    #[test]
    fn shares_add_up_and_the_largest_remainder_comes_first() {
        // Worked by hand, by the method of the largest remainder.
        let one = r#"{"sum": "100.00 EUR", "shares": [{"weight": "1"}, {"weight": "1"}, {"weight": "1"}]}"#;
        assert_eq!(amounts(one), ["33.34", "33.33", "33.33"]);
        let two = r#"{"sum": "99.99 EUR", "shares": [{"weight": "50"}, {"weight": "30"}, {"weight": "20"}]}"#;
        assert_eq!(amounts(two), ["49.99", "30.00", "20.00"]);
        let three = r#"{"sum": "10.01 EUR", "shares": [{"weight": "2"}, {"weight": "3"}, {"weight": "5"}]}"#;
        assert_eq!(amounts(three), ["2.00", "3.00", "5.01"]);
        let four =
            r#"{"sum": "0.05 EUR", "shares": [{"weight": "3"}, {"weight": "3"}, {"weight": "1"}]}"#;
        assert_eq!(amounts(four), ["0.02", "0.02", "0.01"]);
        let yen = r#"{"sum": "100 JPY", "shares": [{"weight": "1"}, {"weight": "2"}]}"#;
        assert_eq!(amounts(yen), ["33", "67"]);
    }
}
