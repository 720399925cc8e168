//! From what was given to a job.

use super::job::{Grain, Job, Part, Sheet, UNITS_PER_MM};
use super::whole;
use crate::{Given, Unreckoned, number};

/// No more parts than this in one plan.
const MOST_PIECES: usize = 400;

/// What was given, as a job.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Read {
    /// The job.
    pub(super) job: Job,
    /// What the parts are called.
    pub(super) names: Vec<String>,
    /// How many parts are wanted in all.
    pub(super) n_pieces: usize,
    /// The shorter side of an offcut worth keeping.
    pub(super) keep: i64,
    /// Whether the most is to be made of the first sheet.
    pub(super) most_from_one: bool,
    /// So many of the job's values are one of the hand's.
    pub(super) value_scale: f64,
}

impl Read {
    /// What a part is called.
    pub(super) fn name(&self, part: usize) -> &str {
        self.names.get(part).map_or("", String::as_str)
    }
}

/// A length in whole units.
fn units(given: &Given, name: &str) -> Result<i64, Unreckoned> {
    let length = given.amount(name, "mm")?;
    // A count holds half a kilometre of these units.
    let per_mm = f64::from(i32::try_from(UNITS_PER_MM).unwrap_or(i32::MAX));
    Ok(whole(libm::round(length * per_mm)))
}

fn count(given: &Given) -> Result<u32, Unreckoned> {
    Ok(u32::try_from(given.whole("count")?).unwrap_or(1))
}

/// The job that was given; a part that no sheet has room for is refused with its row.
pub(super) fn read(given: &Given) -> Result<Read, Unreckoned> {
    let (kerf, trim) = (units(given, "kerf")?, units(given, "trim")?);
    let most_from_one = given.choice("aim")? == "most-from-one";
    let sheets = given
        .rows("sheets")
        .iter()
        .enumerate()
        .map(|(at, row)| {
            let sheet = Sheet {
                length: units(row, "length")?,
                width: units(row, "width")?,
                count: count(row)?,
            };
            if sheet.length.min(sheet.width) <= 2 * trim {
                return Err(Unreckoned::impossible(
                    "width",
                    "nothing is left of the sheet after its edges are cut off",
                    "take a larger sheet or cut off less",
                )
                .in_row("sheets", at));
            }
            Ok(sheet)
        })
        .collect::<Result<Vec<_>, _>>()?;
    let rows = given.rows("parts");
    let valued = rows.iter().any(|row| row.has("value"));
    let mut parts = Vec::new();
    let mut names = Vec::new();
    let mut n_pieces = 0_usize;
    for (at, row) in rows.iter().enumerate() {
        let part = part(row, valued, at).map_err(|cause| cause.in_row("parts", at))?;
        let usable = if most_from_one {
            sheets.get(..1).unwrap_or_default()
        } else {
            &sheets
        };
        let fits = usable.iter().any(|sheet| {
            part.ways().into_iter().any(|(along, across)| {
                along <= sheet.length - 2 * trim && across <= sheet.width - 2 * trim
            })
        });
        if !fits && !most_from_one {
            return Err(Unreckoned::impossible(
                "length",
                "no sheet has room for this part, as its grain must lie",
                "give a larger sheet, let the part be turned, or make it of two with a scarf",
            )
            .in_row("parts", at));
        }
        n_pieces = n_pieces.saturating_add(usize::try_from(part.count).unwrap_or(usize::MAX));
        let name = row.words("name");
        names.push(if name.is_empty() {
            format!("part {}", at + 1)
        } else {
            name.to_owned()
        });
        parts.push(part);
    }
    if n_pieces > MOST_PIECES && !most_from_one {
        return Err(Unreckoned::out_of_range(
            "parts",
            format!("{n_pieces} parts in all"),
            format!("at most {MOST_PIECES} in one plan: plan them in several"),
        ));
    }
    Ok(Read {
        value_scale: if valued {
            1000.0
        } else {
            let per_mm = f64::from(i32::try_from(UNITS_PER_MM).unwrap_or(i32::MAX));
            per_mm * per_mm
        },
        job: Job {
            parts,
            sheets,
            kerf,
            trim,
            edge_to_edge: given.yes("edge_to_edge") || most_from_one,
        },
        names,
        n_pieces,
        keep: units(given, "keep")?,
        most_from_one,
    })
}

fn part(row: &Given, valued: bool, at: usize) -> Result<Part, Unreckoned> {
    let (length, width) = (units(row, "length")?, units(row, "width")?);
    let value = match (row.number_if("value"), valued) {
        (Some(value), _) => whole(number::whole_down(value * 1000.0)),
        (None, false) => length.saturating_mul(width),
        (None, true) => {
            return Err(Unreckoned::Missing {
                input: "value".to_owned(),
                help: format!(
                    "other parts have a worth, so part {} needs one, too",
                    at + 1
                ),
            });
        }
    };
    Ok(Part {
        length,
        width,
        count: count(row)?,
        grain: match row.choice("grain")? {
            "along" => Grain::Along,
            "across" => Grain::Across,
            _ => Grain::Free,
        },
        value,
    })
}
