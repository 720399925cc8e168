//! In which order a plan is cut, and what is left for another day.

use super::job::{Job, Laid, Placed};

/// A rectangle of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Region {
    /// From the sheet's end, along its length.
    pub along: i64,
    /// From the sheet's edge, across its length.
    pub across: i64,
    /// How far it reaches along the sheet's length.
    pub length: i64,
    /// How far it reaches across.
    pub width: i64,
}

/// Which way the saw runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Run {
    /// Across the sheet's length: a cross cut.
    Across,
    /// Along the sheet's length: a rip cut.
    Along,
}

/// One cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// From edge to edge of a piece.
    Through {
        /// The piece that is cut.
        of: Region,
        /// Which way the saw runs.
        run: Run,
        /// Where the kept side ends, from the piece's own end or edge.
        at: i64,
        /// Where the saw's middle runs, from the sheet's end or edge.
        line: i64,
    },
    /// Parts that no cut from edge to edge parts: each is cut out by itself, with cuts that stop short.
    Stopped {
        /// The piece in which they lie.
        of: Region,
        /// How many parts lie in it.
        n_parts: usize,
    },
}

/// How one sheet is cut.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Order {
    /// The cuts, first to last.
    pub cuts: Vec<Cut>,
    /// What is left, largest first.
    pub offcuts: Vec<Region>,
}

impl Order {
    /// How far the saw runs in all, stopped cuts not counted.
    #[must_use]
    pub fn run_length(&self) -> i64 {
        self.cuts
            .iter()
            .map(|cut| match cut {
                Cut::Through { of, run, .. } => match run {
                    Run::Across => of.width,
                    Run::Along => of.length,
                },
                Cut::Stopped { .. } => 0,
            })
            .sum()
    }
}

/// The order of cuts of one sheet: the trim, then what is left whole, then parts from parts.
///
/// # Units
///
/// - `job`, `laid`: whole units of length, `UNITS_PER_MM` to a millimetre
/// - returns: the same
///
/// # Errors
///
/// None: a sheet that the job does not have has no cuts.
///
/// # Source
///
/// Plain geometry.
#[must_use]
pub fn order(job: &Job, laid: &Laid) -> Order {
    let mut order = Order::default();
    let Some(sheet) = job.sheets.get(laid.sheet_idx) else {
        return order;
    };
    let whole = Region {
        along: 0,
        across: 0,
        length: sheet.length,
        width: sheet.width,
    };
    let mut cutter = Cutter {
        kerf: job.kerf,
        order: &mut order,
    };
    let region = cutter.trimmed(whole, job.trim);
    cutter.part(region, &laid.parts);
    order.offcuts.sort_by_key(|one| {
        (
            std::cmp::Reverse(one.length * one.width),
            one.along,
            one.across,
        )
    });
    order
}

struct Cutter<'a> {
    kerf: i64,
    order: &'a mut Order,
}

impl Cutter<'_> {
    fn through(&mut self, of: Region, run: Run, at: i64, line: i64) {
        self.order.cuts.push(Cut::Through { of, run, at, line });
    }

    fn trimmed(&mut self, mut of: Region, trim: i64) -> Region {
        if trim <= 0 {
            return of;
        }
        let half = self.kerf.min(trim) / 2;
        for run in [Run::Along, Run::Across] {
            // The kept side is beyond the trim; the saw runs in it.
            let (start, size) = match run {
                Run::Along => (of.across, of.width),
                Run::Across => (of.along, of.length),
            };
            self.through(of, run, trim, start + trim - half);
            let kept = size - trim;
            match run {
                Run::Along => (of.across, of.width) = (start + trim, kept),
                Run::Across => (of.along, of.length) = (start + trim, kept),
            }
            self.through(of, run, kept - trim, start + size - trim + half);
            match run {
                Run::Along => of.width = kept - trim,
                Run::Across => of.length = kept - trim,
            }
        }
        of
    }

    /// Parts what lies in a region.
    fn part(&mut self, of: Region, parts: &[Placed]) {
        let Some(bounds) = bounds(parts) else {
            self.order.offcuts.push(of);
            return;
        };
        let of = self.without_waste(of, bounds);
        if parts.len() == 1 {
            return;
        }
        // The shorter cuts first where both ways are free.
        let mut ways = [Run::Across, Run::Along];
        if of.length < of.width {
            ways.reverse();
        }
        for run in ways {
            if let Some((before, after, at)) = split(parts, run, self.kerf) {
                let (first, second) = self.cut_at(of, run, at);
                self.part(first, &before);
                self.part(second, &after);
                return;
            }
        }
        self.order.cuts.push(Cut::Stopped {
            of,
            n_parts: parts.len(),
        });
    }

    /// Cuts a region in two; `at` is where the first side ends.
    fn cut_at(&mut self, of: Region, run: Run, at: i64) -> (Region, Region) {
        let beyond = at + self.kerf;
        match run {
            Run::Across => {
                self.through(of, run, at - of.along, at + self.kerf / 2);
                (
                    Region {
                        length: at - of.along,
                        ..of
                    },
                    Region {
                        along: beyond,
                        length: of.along + of.length - beyond,
                        ..of
                    },
                )
            }
            Run::Along => {
                self.through(of, run, at - of.across, at + self.kerf / 2);
                (
                    Region {
                        width: at - of.across,
                        ..of
                    },
                    Region {
                        across: beyond,
                        width: of.across + of.width - beyond,
                        ..of
                    },
                )
            }
        }
    }

    /// Cuts off what no part reaches, the larger rest first, so that it stays whole.
    fn without_waste(&mut self, mut of: Region, bounds: Region) -> Region {
        loop {
            let rests = [
                (
                    of.along + of.length - bounds.along - bounds.length,
                    of.width,
                    Run::Across,
                    true,
                ),
                (
                    of.across + of.width - bounds.across - bounds.width,
                    of.length,
                    Run::Along,
                    true,
                ),
                (bounds.along - of.along, of.width, Run::Across, false),
                (bounds.across - of.across, of.length, Run::Along, false),
            ];
            let Some(&(_, _, run, behind)) = rests
                .iter()
                .filter(|(rest, ..)| *rest > 0)
                .max_by_key(|(rest, reach, ..)| (rest - self.kerf).max(0) * reach)
            else {
                return of;
            };
            if behind {
                let at = match run {
                    Run::Across => bounds.along + bounds.length,
                    Run::Along => bounds.across + bounds.width,
                };
                let (kept, rest) = self.cut_at(of, run, at);
                self.keep(rest);
                of = kept;
            } else {
                let at = match run {
                    Run::Across => bounds.along - self.kerf,
                    Run::Along => bounds.across - self.kerf,
                };
                let (rest, mut kept) = self.cut_at(of, run, at);
                self.keep(rest);
                // A rest narrower than the saw is milled away: what is kept begins where its parts do.
                match run {
                    Run::Across => {
                        kept.length += kept.along - bounds.along;
                        kept.along = bounds.along;
                    }
                    Run::Along => {
                        kept.width += kept.across - bounds.across;
                        kept.across = bounds.across;
                    }
                }
                of = kept;
            }
        }
    }

    fn keep(&mut self, rest: Region) {
        if rest.length > 0 && rest.width > 0 {
            self.order.offcuts.push(rest);
        }
    }
}

fn bounds(parts: &[Placed]) -> Option<Region> {
    let along = parts.iter().map(|one| one.along).min()?;
    let across = parts.iter().map(|one| one.across).min()?;
    let end = parts.iter().map(|one| one.along + one.length).max()?;
    let edge = parts.iter().map(|one| one.across + one.width).max()?;
    Some(Region {
        along,
        across,
        length: end - along,
        width: edge - across,
    })
}

/// The first place where a cut from edge to edge parts them: what lies before it, behind it, and where it begins.
fn split(parts: &[Placed], run: Run, kerf: i64) -> Option<(Vec<Placed>, Vec<Placed>, i64)> {
    let extent = |one: &Placed| match run {
        Run::Across => (one.along, one.along + one.length),
        Run::Along => (one.across, one.across + one.width),
    };
    let mut sorted = parts.to_vec();
    sorted.sort_by_key(|one| (extent(one), one.along, one.across));
    let mut reach = i64::MIN;
    for (idx, one) in sorted.iter().enumerate() {
        if idx > 0 && extent(one).0 >= reach.saturating_add(kerf) {
            let (before, after) = sorted.split_at(idx);
            return Some((before.to_vec(), after.to_vec(), reach));
        }
        reach = reach.max(extent(one).1);
    }
    None
}
