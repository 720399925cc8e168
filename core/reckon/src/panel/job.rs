//! What is to be cut from what, in whole units, so that two cuts meet exactly or not at all.

/// So many units are one millimetre; a 64th of an inch is a whole number of them.
pub(crate) const UNITS_PER_MM: i64 = 8000;

/// Which way a part may lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grain {
    /// Either way.
    Free,
    /// Its length along the sheet's length.
    Along,
    /// Its length across the sheet's length.
    Across,
}

/// A part that is to be cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its length.
    pub length: i64,
    /// Its width.
    pub width: i64,
    /// How many.
    pub count: u32,
    /// Which way it may lie.
    pub grain: Grain,
    /// What one is worth, where only one sheet is cut; its area where nothing is said.
    pub value: i64,
}

impl Part {
    /// How it may lie, as extent along and across the sheet's length.
    pub(crate) fn ways(&self) -> Vec<(i64, i64)> {
        let (straight, turned) = ((self.length, self.width), (self.width, self.length));
        match self.grain {
            Grain::Along => vec![straight],
            Grain::Across => vec![turned],
            Grain::Free if straight == turned => vec![straight],
            Grain::Free => vec![straight, turned],
        }
    }
}

/// A sheet that is there to be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sheet {
    /// Its length, along the face grain.
    pub length: i64,
    /// Its width.
    pub width: i64,
    /// How many there are.
    pub count: u32,
}

/// Everything that a plan is made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// The parts.
    pub parts: Vec<Part>,
    /// The sheets, in the order in which they are to be used.
    pub sheets: Vec<Sheet>,
    /// What the saw takes.
    pub kerf: i64,
    /// What is cut off each edge of each sheet first.
    pub trim: i64,
    /// Whether each cut must go from edge to edge.
    pub edge_to_edge: bool,
}

/// A part where it lies on its sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Placed {
    /// Which part of the job.
    pub part_idx: usize,
    /// From the sheet's end, along its length.
    pub along: i64,
    /// From the sheet's edge, across its length.
    pub across: i64,
    /// How far it reaches along the sheet's length.
    pub length: i64,
    /// How far it reaches across.
    pub width: i64,
}

/// One sheet with what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Laid {
    /// Which kind of sheet of the job.
    pub sheet_idx: usize,
    /// The parts.
    pub parts: Vec<Placed>,
}

/// A plan for every sheet that is used.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Layout {
    /// The sheets that are used, in order.
    pub sheets: Vec<Laid>,
    /// How many of each part found no room, where any.
    pub left_over: Vec<(usize, u32)>,
}

/// Chance that is the same every time.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// A whole number below `n`, which is above 0.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        let n = u64::try_from(n.max(1)).unwrap_or(1);
        usize::try_from((self.next() >> 11) % n).unwrap_or_default()
    }
}
