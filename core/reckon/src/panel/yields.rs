//! The most value that one sheet gives in cuts from edge to edge: exact, a slice of work at a time.
//!
//! First the most that any rectangle could give, by cutting every rectangle in two and remembering (Gilmore and Gomory 1966), held
//! down by how many of each part are wanted. If what that gives keeps to the wanted numbers, it is the answer. Else rectangles
//! are built up from parts, the most promising first (Wang 1983; Viswanathan and Bagchi 1993), until nothing promises more.

use std::collections::{BTreeMap, BinaryHeap};

use super::job::{Job, Laid, Layout, Placed};

/// One way in which a part may lie.
#[derive(Debug, Clone, Copy)]
struct Kind {
    part_idx: usize,
    along: i64,
    across: i64,
    value: i64,
    count: u32,
}

/// Cells over two lists of lengths.
#[derive(Debug, Clone)]
struct Cells<T> {
    n_across: usize,
    cells: Vec<T>,
}

impl<T: Copy + Default> Cells<T> {
    fn new(n_along: usize, n_across: usize) -> Self {
        Self {
            n_across,
            cells: vec![T::default(); n_along.saturating_mul(n_across)],
        }
    }

    fn get(&self, along: usize, across: usize) -> T {
        self.cells
            .get(along * self.n_across + across)
            .copied()
            .unwrap_or_default()
    }

    fn set(&mut self, along: usize, across: usize, value: T) {
        if let Some(cell) = self.cells.get_mut(along * self.n_across + across) {
            *cell = value;
        }
    }
}

/// A rectangle built up from parts.
#[derive(Debug, Clone)]
struct Build {
    along: i64,
    across: i64,
    value: i64,
    counts: Vec<u16>,
    from: From,
}

/// What a rectangle was built from.
#[derive(Debug, Clone, Copy)]
enum From {
    Part(usize),
    /// Two builds, one behind the other along the sheet.
    Behind(usize, usize),
    /// Two builds, side by side.
    Beside(usize, usize),
}

/// How far the work is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// Rectangles are bounded, this row next.
    Bounding(usize),
    /// What lies beyond a rectangle is bounded, this row next, from the far end.
    Beyond(usize),
    /// Rectangles are built up.
    Building,
    /// Done; the best is the most that there is.
    Done,
}

/// A search that can be stopped at any time.
#[derive(Debug, Clone)]
pub struct Yield {
    job: Job,
    kinds: Vec<Kind>,
    extent: (i64, i64),
    xs: Vec<i64>,
    ys: Vec<i64>,
    /// The most that a rectangle could give.
    most: Cells<i64>,
    /// The most that the rest of the sheet could give around a rectangle in its corner.
    rest: Cells<i64>,
    phase: Phase,
    builds: Vec<Build>,
    open: BinaryHeap<(i64, i64, std::cmp::Reverse<usize>)>,
    closed: Vec<usize>,
    seen: BTreeMap<(i64, i64, Vec<u16>), ()>,
    best_value: i64,
    best: Vec<Placed>,
    /// Kinds by value over area, best first.
    by_worth: Vec<usize>,
    proved: bool,
}

/// No more rectangles are kept than this: what is best so far is then given without a proof.
const MOST_BUILDS: usize = 1_500_000;

impl Yield {
    /// Begins with the first sheet of the job; the others are not looked at.
    #[must_use]
    pub fn new(job: &Job) -> Self {
        let extent = job.sheets.first().map_or((0, 0), |sheet| {
            (
                sheet.length - 2 * job.trim + job.kerf,
                sheet.width - 2 * job.trim + job.kerf,
            )
        });
        let mut kinds = Vec::new();
        for (part_idx, part) in job.parts.iter().enumerate() {
            for (along, across) in part.ways() {
                let (along, across) = (along + job.kerf, across + job.kerf);
                if along > 0 && across > 0 && along <= extent.0 && across <= extent.1 {
                    // More than the sheet has room for are as good as any number; parts that lie both ways are bounded by their area.
                    let room = if part.ways().len() > 1 {
                        extent.0.saturating_mul(extent.1) / (along * across)
                    } else {
                        (extent.0 / along) * (extent.1 / across)
                    };
                    kinds.push(Kind {
                        part_idx,
                        along,
                        across,
                        value: part.value,
                        count: part
                            .count
                            .min(u32::try_from(room).unwrap_or(u32::MAX))
                            .min(60_000),
                    });
                }
            }
        }
        // A part that may lie both ways is wanted as often as it is, whichever way has room for more.
        let n_parts = job.parts.len();
        let mut counts = vec![0_u32; n_parts];
        for kind in &kinds {
            if let Some(count) = counts.get_mut(kind.part_idx) {
                *count = (*count).max(kind.count);
            }
        }
        for kind in &mut kinds {
            kind.count = counts.get(kind.part_idx).copied().unwrap_or_default();
        }
        let xs = sums(&kinds, extent.0, |kind| kind.along);
        let ys = sums(&kinds, extent.1, |kind| kind.across);
        let mut by_worth: Vec<usize> = (0..kinds.len()).collect();
        by_worth.sort_by(|&one, &other| {
            let worth = |idx: usize| {
                kinds
                    .get(idx)
                    .map_or((0, 1), |kind| (kind.value, kind.along * kind.across))
            };
            let ((value, area), (other_value, other_area)) = (worth(one), worth(other));
            (i128::from(other_value) * i128::from(area))
                .cmp(&(i128::from(value) * i128::from(other_area)))
                .then(one.cmp(&other))
        });
        Self {
            job: job.clone(),
            most: Cells::new(xs.len(), ys.len()),
            rest: Cells::new(xs.len(), ys.len()),
            kinds,
            extent,
            xs,
            ys,
            phase: Phase::Bounding(0),
            builds: Vec::new(),
            open: BinaryHeap::new(),
            closed: Vec::new(),
            seen: BTreeMap::new(),
            best_value: 0,
            best: Vec::new(),
            by_worth,
            proved: false,
        }
    }

    /// The most that an area could give if only areas and wanted numbers counted.
    fn by_area(&self, area: i64, along: i64, across: i64, used: &[u16]) -> i64 {
        let mut left = area;
        let mut value = 0_i64;
        let mut taken: Vec<(usize, i64)> = Vec::new();
        for &idx in &self.by_worth {
            let Some(kind) = self.kinds.get(idx) else {
                continue;
            };
            if kind.along > along || kind.across > across {
                continue;
            }
            let before = used.get(kind.part_idx).copied().map_or(0, i64::from)
                + taken
                    .iter()
                    .filter(|(part, _)| *part == kind.part_idx)
                    .map(|(_, n)| *n)
                    .sum::<i64>();
            let n = i64::from(kind.count) - before;
            if n <= 0 {
                continue;
            }
            let size = kind.along * kind.across;
            if n * size <= left {
                left -= n * size;
                value += n * kind.value;
                taken.push((kind.part_idx, n));
            } else {
                return value
                    + i64::try_from(i128::from(left) * i128::from(kind.value) / i128::from(size))
                        .unwrap_or(i64::MAX);
            }
        }
        value
    }

    /// Works on for about so many small steps; says whether there is anything left to do.
    pub fn step(&mut self, budget: u64) -> bool {
        let mut spent = 0;
        while spent < budget && self.phase != Phase::Done {
            spent += match self.phase {
                Phase::Bounding(row) => self.bound_row(row),
                Phase::Beyond(row) => self.rest_row(row),
                Phase::Building => self.build(),
                Phase::Done => 1,
            };
        }
        self.phase != Phase::Done
    }

    fn bound_row(&mut self, i: usize) -> u64 {
        let Some(&x) = self.xs.get(i) else {
            self.end_bounding();
            return 1;
        };
        let mut spent = 1;
        let none: Vec<u16> = Vec::new();
        // Where the rest of the row's length is found, for every first cut.
        let halves: Vec<(usize, usize)> = self
            .xs
            .iter()
            .enumerate()
            .skip(1)
            .take_while(|(_, cut)| **cut * 2 <= x)
            .filter_map(|(k, cut)| Some((k, below(&self.xs, x - cut)?)))
            .collect();
        for j in 0..self.ys.len() {
            let y = self.ys.get(j).copied().unwrap_or_default();
            let mut value = self
                .kinds
                .iter()
                .filter(|kind| kind.along <= x && kind.across <= y)
                .map(|kind| kind.value)
                .max()
                .unwrap_or_default();
            for &(k, other) in &halves {
                value = value.max(self.most.get(k, j) + self.most.get(other, j));
            }
            spent += 2 + halves.len() as u64;
            let mut other = j;
            for (k, &cut) in self.ys.iter().enumerate().skip(1) {
                if cut * 2 > y {
                    break;
                }
                while other > 0 && self.ys.get(other).copied().unwrap_or_default() > y - cut {
                    other -= 1;
                }
                value = value.max(self.most.get(i, k) + self.most.get(i, other));
                spent += 1;
            }
            let cap = self.by_area(x.saturating_mul(y), x, y, &none);
            self.most.set(i, j, value.min(cap));
        }
        self.phase = Phase::Bounding(i + 1);
        spent
    }

    /// What the bound is made of keeps to the wanted numbers, or builds must be made.
    fn end_bounding(&mut self) {
        let (n, m) = (self.xs.len(), self.ys.len());
        if n < 2 || m < 2 {
            self.phase = Phase::Done;
            self.proved = true;
            return;
        }
        let mut placed = Vec::new();
        let whole = self.most.get(n - 1, m - 1);
        if self.unfold(n - 1, m - 1, 0, 0, &mut placed) {
            let value = self.value_of(&placed);
            if self.keeps_numbers(&placed) {
                self.best_value = value;
                self.best = placed;
                if value >= whole {
                    self.proved = true;
                    self.phase = Phase::Done;
                    return;
                }
            }
        }
        self.phase = Phase::Beyond(n);
    }

    fn value_of(&self, placed: &[Placed]) -> i64 {
        placed
            .iter()
            .filter_map(|one| self.job.parts.get(one.part_idx))
            .map(|part| part.value)
            .sum()
    }

    fn keeps_numbers(&self, placed: &[Placed]) -> bool {
        let mut n = vec![0_u32; self.job.parts.len()];
        for one in placed {
            if let Some(n) = n.get_mut(one.part_idx) {
                *n += 1;
            }
        }
        n.iter()
            .zip(&self.job.parts)
            .all(|(n, part)| *n <= part.count)
    }

    /// Cuts a rectangle as its bound says; no, where the bound was held down and comes from no cut.
    fn unfold(&self, i: usize, j: usize, along: i64, across: i64, out: &mut Vec<Placed>) -> bool {
        let value = self.most.get(i, j);
        if value <= 0 {
            return true;
        }
        let (x, y) = (
            self.xs.get(i).copied().unwrap_or_default(),
            self.ys.get(j).copied().unwrap_or_default(),
        );
        if let Some(kind) = self
            .kinds
            .iter()
            .find(|kind| kind.along <= x && kind.across <= y && kind.value == value)
        {
            out.push(Placed {
                part_idx: kind.part_idx,
                along,
                across,
                length: kind.along,
                width: kind.across,
            });
            return true;
        }
        for (k, &cut) in self.xs.iter().enumerate().skip(1) {
            if cut * 2 > x {
                break;
            }
            if let Some(other) = below(&self.xs, x - cut)
                && self.most.get(k, j) + self.most.get(other, j) == value
            {
                return self.unfold(k, j, along, across, out)
                    && self.unfold(other, j, along + cut, across, out);
            }
        }
        for (k, &cut) in self.ys.iter().enumerate().skip(1) {
            if cut * 2 > y {
                break;
            }
            if let Some(other) = below(&self.ys, y - cut)
                && self.most.get(i, k) + self.most.get(i, other) == value
            {
                return self.unfold(i, k, along, across, out)
                    && self.unfold(i, other, along, across + cut, out);
            }
        }
        false
    }

    fn rest_row(&mut self, next: usize) -> u64 {
        let Some(i) = next.checked_sub(1) else {
            self.phase = Phase::Building;
            self.begin_building();
            return 1;
        };
        let mut spent = 1;
        let x = self.xs.get(i).copied().unwrap_or_default();
        let beyond: Vec<(usize, usize)> = self
            .xs
            .iter()
            .enumerate()
            .skip(i + 1)
            .filter_map(|(k, end)| Some((k, below(&self.xs, end - x)?)))
            .collect();
        // Behind the last sum there may be room for nothing.
        let last = below(&self.xs, self.extent.0 - x).unwrap_or_default();
        for j in (0..self.ys.len()).rev() {
            let y = self.ys.get(j).copied().unwrap_or_default();
            let mut value = self.most.get(last, j);
            for &(k, size) in &beyond {
                value = value.max(self.most.get(size, j) + self.rest.get(k, j));
            }
            spent += 2 + beyond.len() as u64;
            for (k, end) in self.ys.iter().enumerate().skip(j + 1) {
                if let Some(size) = below(&self.ys, end - y) {
                    value = value.max(self.most.get(i, size) + self.rest.get(i, k));
                }
                spent += 4;
            }
            let last_across = below(&self.ys, self.extent.1 - y).unwrap_or_default();
            value = value.max(self.most.get(i, last_across));
            self.rest.set(i, j, value);
        }
        self.phase = Phase::Beyond(i);
        spent
    }

    fn begin_building(&mut self) {
        for idx in 0..self.kinds.len() {
            let Some(&kind) = self.kinds.get(idx) else {
                continue;
            };
            let mut counts = vec![0_u16; self.job.parts.len()];
            if let Some(count) = counts.get_mut(kind.part_idx) {
                *count = 1;
            }
            if kind.count > 0 {
                self.offer(Build {
                    along: kind.along,
                    across: kind.across,
                    value: kind.value,
                    counts,
                    from: From::Part(idx),
                });
            }
        }
    }

    /// The most that a plan could give in which this rectangle lies in the corner.
    fn promise(&self, build: &Build) -> i64 {
        let (Some(i), Some(j)) = (above(&self.xs, build.along), above(&self.ys, build.across))
        else {
            return 0;
        };
        let area = self.extent.0 * self.extent.1 - build.along * build.across;
        let rest = self.rest.get(i, j);
        build.value + rest.min(self.by_area(area, self.extent.0, self.extent.1, &build.counts))
    }

    fn offer(&mut self, build: Build) {
        let promise = self.promise(&build);
        if promise <= self.best_value && build.value <= self.best_value {
            return;
        }
        let key = (build.along, build.across, build.counts.clone());
        if self.seen.contains_key(&key) {
            return;
        }
        self.seen.insert(key, ());
        let idx = self.builds.len();
        let value = build.value;
        self.builds.push(build);
        if value > self.best_value {
            self.best_value = value;
            let mut placed = Vec::new();
            self.place(idx, 0, 0, &mut placed);
            self.best = placed;
        }
        if promise > self.best_value {
            self.open.push((promise, value, std::cmp::Reverse(idx)));
        }
    }

    fn place(&self, idx: usize, along: i64, across: i64, out: &mut Vec<Placed>) {
        let Some(build) = self.builds.get(idx) else {
            return;
        };
        match build.from {
            From::Part(kind) => {
                if let Some(kind) = self.kinds.get(kind) {
                    out.push(Placed {
                        part_idx: kind.part_idx,
                        along,
                        across,
                        length: kind.along,
                        width: kind.across,
                    });
                }
            }
            From::Behind(first, second) => {
                self.place(first, along, across, out);
                let first_along = self.builds.get(first).map_or(0, |build| build.along);
                self.place(second, along + first_along, across, out);
            }
            From::Beside(first, second) => {
                self.place(first, along, across, out);
                let first_across = self.builds.get(first).map_or(0, |build| build.across);
                self.place(second, along, across + first_across, out);
            }
        }
    }

    /// Takes the most promising rectangle and joins it with all before it.
    fn build(&mut self) -> u64 {
        let Some((promise, _, std::cmp::Reverse(idx))) = self.open.pop() else {
            self.proved = true;
            self.phase = Phase::Done;
            return 1;
        };
        if promise <= self.best_value {
            self.proved = true;
            self.phase = Phase::Done;
            return 1;
        }
        if self.builds.len() > MOST_BUILDS {
            self.phase = Phase::Done;
            return 1;
        }
        self.closed.push(idx);
        let Some(taken) = self.builds.get(idx).cloned() else {
            return 1;
        };
        let mut found: Vec<Build> = Vec::new();
        for &other_idx in &self.closed {
            let Some(other) = self.builds.get(other_idx) else {
                continue;
            };
            let behind = taken.along + other.along <= self.extent.0;
            let beside = taken.across + other.across <= self.extent.1;
            if !behind && !beside {
                continue;
            }
            let fits = taken
                .counts
                .iter()
                .zip(&other.counts)
                .zip(&self.job.parts)
                .all(|((one, other), part)| u32::from(*one) + u32::from(*other) <= part.count);
            if !fits {
                continue;
            }
            let counts: Vec<u16> = taken
                .counts
                .iter()
                .zip(&other.counts)
                .map(|(one, other)| one + other)
                .collect();
            let value = taken.value + other.value;
            if behind {
                found.push(Build {
                    along: taken.along + other.along,
                    across: taken.across.max(other.across),
                    value,
                    counts: counts.clone(),
                    from: From::Behind(idx, other_idx),
                });
            }
            if beside {
                found.push(Build {
                    along: taken.along.max(other.along),
                    across: taken.across + other.across,
                    value,
                    counts,
                    from: From::Beside(idx, other_idx),
                });
            }
        }
        let spent = 1 + self.closed.len() as u64 + 20 * found.len() as u64;
        for build in found {
            self.offer(build);
        }
        spent
    }

    /// The most value found so far.
    #[must_use]
    pub fn value(&self) -> i64 {
        self.best_value
    }

    /// Whether it is proved that there is no more.
    #[must_use]
    pub fn is_proved(&self) -> bool {
        self.proved
    }

    /// The best plan so far.
    #[must_use]
    pub fn best(&self) -> Layout {
        let mut parts: Vec<Placed> = self
            .best
            .iter()
            .map(|one| Placed {
                part_idx: one.part_idx,
                along: one.along + self.job.trim,
                across: one.across + self.job.trim,
                length: one.length - self.job.kerf,
                width: one.width - self.job.kerf,
            })
            .collect();
        parts.sort_by_key(|one| (one.along, one.across));
        Layout {
            sheets: if parts.is_empty() {
                Vec::new()
            } else {
                vec![Laid {
                    sheet_idx: 0,
                    parts,
                }]
            },
            left_over: Vec::new(),
        }
    }
}

/// Every length that parts behind each other can have, 0 and those up to `extent`, ascending.
fn sums(kinds: &[Kind], extent: i64, size: impl Fn(&Kind) -> i64) -> Vec<i64> {
    let mut all = std::collections::BTreeSet::from([0_i64]);
    for kind in kinds {
        let step = size(kind);
        // Each start once; from it as many as are wanted.
        let starts: Vec<i64> = all.iter().copied().collect();
        for start in starts {
            let mut at = start;
            for _ in 0..kind.count {
                at += step;
                if at > extent {
                    break;
                }
                all.insert(at);
            }
        }
    }
    all.into_iter().collect()
}

/// The last of an ascending list that is not above `size`.
fn below(list: &[i64], size: i64) -> Option<usize> {
    list.partition_point(|one| *one <= size).checked_sub(1)
}

/// The first of an ascending list that is not below `size`.
fn above(list: &[i64], size: i64) -> Option<usize> {
    let idx = list.partition_point(|one| *one < size);
    (idx < list.len()).then_some(idx)
}
