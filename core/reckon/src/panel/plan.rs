//! Looks for the plan that takes the fewest sheets and leaves the longest offcut, a slice of work at a time.

use super::job::{Chance, Grain, Job, Laid, Layout, Placed};
use super::lay::{Manner, Piece, fill};

/// How many swaps without a gain before the search starts again from the best order.
const PATIENCE: u32 = 400;

/// A search that can be stopped at any time: [`Search::step`] works on, [`Search::best`] is what was found so far.
#[derive(Debug, Clone)]
pub struct Search {
    job: Job,
    pieces: Vec<Piece>,
    /// Every single sheet: its kind and its extent within the trim, kerf included.
    sheets: Vec<(usize, (i64, i64))>,
    manners: Vec<Manner>,
    /// Orders to begin with that were not tried yet.
    openings: Vec<(Vec<u32>, Manner)>,
    current: Option<Trial>,
    best: Option<Trial>,
    chance: Chance,
    idle: u32,
    least: i64,
    n_tried: u64,
}

/// One order with what it came to.
#[derive(Debug, Clone)]
struct Trial {
    order: Vec<u32>,
    manner: Manner,
    cost: Cost,
    laid: Vec<Vec<Placed>>,
    left_over: Vec<u32>,
}

/// What is to be small: first what found no room, then how much of the sheets is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Cost {
    unplaced: i64,
    used: i64,
}

/// Where one would stop: what lies beyond is not used.
#[derive(Debug, Clone, Copy)]
struct Cap {
    n_sheets: usize,
    last_length: i64,
}

impl Search {
    /// Begins.
    #[must_use]
    pub fn new(job: &Job) -> Self {
        let mut pieces = Vec::new();
        for (part_idx, part) in job.parts.iter().enumerate() {
            let (length, width) = (part.length + job.kerf, part.width + job.kerf);
            let ways = match part.grain {
                Grain::Along => [(length, width); 2],
                Grain::Across => [(width, length); 2],
                Grain::Free => [(length, width), (width, length)],
            };
            for _ in 0..part.count {
                pieces.push(Piece {
                    part_idx,
                    ways,
                    area: length.saturating_mul(width),
                });
            }
        }
        let mut sheets = Vec::new();
        for (sheet_idx, sheet) in job.sheets.iter().enumerate() {
            let extent = (
                sheet.length - 2 * job.trim + job.kerf,
                sheet.width - 2 * job.trim + job.kerf,
            );
            // No more sheets than parts are ever used.
            for _ in 0..usize::try_from(sheet.count)
                .unwrap_or(usize::MAX)
                .min(pieces.len())
            {
                sheets.push((sheet_idx, extent));
            }
        }
        let manners = if job.edge_to_edge {
            (0..4).map(Manner::EdgeToEdge).collect()
        } else {
            vec![Manner::Free]
        };
        let mut search = Self {
            job: job.clone(),
            least: 0,
            openings: Vec::new(),
            pieces,
            sheets,
            manners,
            current: None,
            best: None,
            chance: Chance::new(0x005e_ed0f_b0a7),
            idle: 0,
            n_tried: 0,
        };
        search.least = search.least_used();
        search.openings = search.first_orders();
        search
    }

    /// The orders that a person would try: large ones first, long ones first and so on.
    fn first_orders(&self) -> Vec<(Vec<u32>, Manner)> {
        let numbers: Vec<u32> = (0..).take(self.pieces.len()).collect();
        let keys: [fn(&Piece) -> i64; 5] = [
            |one| one.area,
            |one| one.ways[0].0.max(one.ways[0].1),
            |one| one.ways[0].0 + one.ways[0].1,
            |one| one.ways[0].0.min(one.ways[0].1),
            |one| one.ways[0].1,
        ];
        let mut out = Vec::new();
        for key in keys {
            let mut order = numbers.clone();
            order.sort_by_key(|&number| {
                std::cmp::Reverse(
                    usize::try_from(number)
                        .ok()
                        .and_then(|idx| self.pieces.get(idx))
                        .map(key),
                )
            });
            for &manner in &self.manners {
                out.push((order.clone(), manner));
            }
        }
        // Taken from the end.
        out.reverse();
        out
    }

    /// How much of the sheets must be used at least, by area, and by the longest part on the last one.
    fn least_used(&self) -> i64 {
        let mut area: i64 = self.pieces.iter().map(|one| one.area).sum();
        let mut used = 0;
        let step = self
            .pieces
            .iter()
            .flat_map(|one| one.ways)
            .fold(0, |step, (along, across)| {
                common(common(step, along), across)
            })
            .max(1);
        for &(_, (length, width)) in &self.sheets {
            if width <= 0 || length <= 0 {
                continue;
            }
            if area <= length * width {
                let least = (area + width - 1) / width;
                used += (least + step - 1) / step * step;
                break;
            }
            area -= length * width;
            used += length;
        }
        let longest = self
            .pieces
            .iter()
            .map(|one| one.ways[0].0.min(one.ways[1].0))
            .max()
            .unwrap_or_default();
        used.max(longest)
    }

    /// The cap that just refuses a plan that uses so much.
    fn cap_below(&self, used: i64) -> Cap {
        let mut left = used - 1;
        for (n, &(_, (length, _))) in self.sheets.iter().enumerate() {
            if left <= length {
                return Cap {
                    n_sheets: n + 1,
                    last_length: left,
                };
            }
            left -= length;
        }
        Cap {
            n_sheets: self.sheets.len(),
            last_length: i64::MAX,
        }
    }

    /// Lays the pieces in an order.
    fn lay(&self, order: &[u32], manner: Manner, cap: Option<Cap>) -> Trial {
        let mut rest = order.to_vec();
        let mut laid: Vec<Vec<Placed>> = Vec::new();
        let mut used = 0;
        for (n, &(_, (length, width))) in self.sheets.iter().enumerate() {
            if rest.is_empty() || cap.is_some_and(|cap| n >= cap.n_sheets) {
                break;
            }
            let room = match cap {
                Some(cap) if n + 1 == cap.n_sheets => length.min(cap.last_length),
                _ => length,
            };
            let mut here = Vec::new();
            fill(&self.pieces, &mut rest, (room, width), manner, &mut here);
            let reach = here
                .iter()
                .map(|placed| placed.along + placed.length)
                .max()
                .unwrap_or_default();
            used += if rest.is_empty() { reach } else { length };
            laid.push(here);
        }
        let unplaced = rest
            .iter()
            .filter_map(|&number| self.pieces.get(usize::try_from(number).ok()?))
            .map(|one| one.area)
            .sum();
        Trial {
            order: order.to_vec(),
            manner,
            cost: Cost { unplaced, used },
            laid,
            left_over: rest,
        }
    }

    /// Works on for so many trials; says whether there is anything left to gain.
    pub fn step(&mut self, n_trials: u32) -> bool {
        for _ in 0..n_trials {
            if self.is_done() {
                return false;
            }
            self.once();
        }
        !self.is_done()
    }

    /// Whether no plan can be better.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.pieces.is_empty()
            || self
                .best
                .as_ref()
                .is_some_and(|best| best.cost.unplaced == 0 && best.cost.used <= self.least)
            || (self.openings.is_empty() && self.pieces.len() < 2)
    }

    /// How many orders were tried.
    #[must_use]
    pub fn n_tried(&self) -> u64 {
        self.n_tried
    }

    fn once(&mut self) {
        self.n_tried += 1;
        if let Some((order, manner)) = self.openings.pop() {
            let trial = self.lay(&order, manner, None);
            self.keep_if_best(trial);
            return;
        }
        let Some(best) = &self.best else { return };
        // Everything has room: the next plan must use less, and what then finds no room is to become small.
        let cap = (best.cost.unplaced == 0).then(|| self.cap_below(best.cost.used));
        let from = match &self.current {
            Some(current) if self.idle < PATIENCE => current,
            _ => {
                self.idle = 0;
                let (mut order, mut manner) = (best.order.clone(), best.manner);
                // From the second time on a little shaken, so that it goes another way.
                for _ in 0..self.chance.below(4) {
                    swap(&mut order, &mut self.chance);
                }
                if self.manners.len() > 1 {
                    let idx = self.chance.below(self.manners.len());
                    manner = self.manners.get(idx).copied().unwrap_or(manner);
                }
                let trial = self.lay(&order, manner, cap);
                self.current = Some(trial);
                let Some(current) = &self.current else { return };
                current
            }
        };
        let mut order = from.order.clone();
        let manner = from.manner;
        let bar = from.cost.unplaced;
        swap(&mut order, &mut self.chance);
        if self.chance.below(3) == 0 {
            move_one(&mut order, &mut self.chance);
        }
        let trial = self.lay(&order, manner, cap);
        if cap.is_some() && trial.cost.unplaced == 0 {
            self.idle = 0;
            self.current = None;
            self.keep_if_best(trial);
            return;
        }
        if cap.is_none() {
            self.keep_if_best(trial.clone());
        }
        // A little worse is taken now and then.
        let slack = if self.chance.below(20) == 0 {
            bar / 4
        } else {
            0
        };
        if trial.cost.unplaced <= bar + slack {
            self.idle = if trial.cost.unplaced < bar {
                0
            } else {
                self.idle + 1
            };
            self.current = Some(trial);
        } else {
            self.idle += 1;
        }
    }

    fn keep_if_best(&mut self, trial: Trial) {
        if self.best.as_ref().is_none_or(|best| trial.cost < best.cost) {
            self.best = Some(trial);
        }
    }

    /// Whether it is proved that no plan uses less.
    #[must_use]
    pub fn is_proved(&self) -> bool {
        self.best
            .as_ref()
            .is_some_and(|best| best.cost.unplaced == 0 && best.cost.used <= self.least)
    }

    /// How much of the sheets is used, one behind the other along their length; what was not placed is not counted.
    #[must_use]
    pub fn used(&self) -> Option<i64> {
        self.best
            .as_ref()
            .map(|best| best.cost.used - self.job.kerf)
    }

    /// The best plan so far.
    #[must_use]
    pub fn best(&self) -> Option<Layout> {
        let best = self.best.as_ref()?;
        let (kerf, trim) = (self.job.kerf, self.job.trim);
        let sheets = best
            .laid
            .iter()
            .zip(&self.sheets)
            .filter(|(parts, _)| !parts.is_empty())
            .map(|(parts, &(sheet_idx, _))| {
                let mut parts: Vec<Placed> = parts
                    .iter()
                    .map(|placed| Placed {
                        part_idx: placed.part_idx,
                        along: placed.along + trim,
                        across: placed.across + trim,
                        length: placed.length - kerf,
                        width: placed.width - kerf,
                    })
                    .collect();
                parts.sort_by_key(|placed| (placed.along, placed.across));
                Laid { sheet_idx, parts }
            })
            .collect();
        let mut left_over: Vec<(usize, u32)> = Vec::new();
        let mut numbers: Vec<usize> = best
            .left_over
            .iter()
            .filter_map(|&number| self.pieces.get(usize::try_from(number).ok()?))
            .map(|one| one.part_idx)
            .collect();
        numbers.sort_unstable();
        for part_idx in numbers {
            match left_over.last_mut() {
                Some((last, n)) if *last == part_idx => *n += 1,
                _ => left_over.push((part_idx, 1)),
            }
        }
        Some(Layout { sheets, left_over })
    }
}

/// The greatest length that goes into both without a rest.
pub(super) fn common(one: i64, other: i64) -> i64 {
    let (mut one, mut other) = (one.abs(), other.abs());
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one
}

fn swap(order: &mut [u32], chance: &mut Chance) {
    let n = order.len();
    if n > 1 {
        let (one, other) = (chance.below(n), chance.below(n));
        order.swap(one, other);
    }
}

fn move_one(order: &mut Vec<u32>, chance: &mut Chance) {
    if order.len() > 1 {
        let from = chance.below(order.len());
        let number = order.remove(from);
        let to = chance.below(order.len() + 1);
        order.insert(to, number);
    }
}
