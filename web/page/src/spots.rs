//! The spots that an earlier and a later picture both show, as a hand sets them.

/// A spot in a picture: ten-thousandths of its width and height.
pub(crate) type Spot = (u32, u32);

/// In how many parts a spot's place is kept.
pub(crate) const PARTS: u32 = 10_000;

/// The most spots that are set.
pub(crate) const AT_MOST: usize = 4;

/// The fewest that lay one picture over the other.
pub(crate) const AT_LEAST: usize = 2;

/// So near a finger takes hold of a spot.
const NEAR: u32 = 450;

/// Which of the two pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// The one that was taken first, which gives the frame.
    Earlier,
    /// The one that is laid into it.
    Later,
}

impl Side {
    /// In words.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Earlier => "earlier",
            Self::Later => "later",
        }
    }

    fn other(self) -> Self {
        match self {
            Self::Earlier => Self::Later,
            Self::Later => Self::Earlier,
        }
    }
}

/// The spots, and which of them is in hand.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Spots {
    earlier: Vec<Spot>,
    later: Vec<Spot>,
    /// The spot that a finger or the keys move.
    pub(crate) held: Option<(Side, usize)>,
    is_down: bool,
}

impl Spots {
    /// Those that are in the log.
    pub(crate) fn of(kept: &[u64]) -> Self {
        let spot = |x: u64, y: u64| {
            let part = |at: u64| u32::try_from(at).unwrap_or(PARTS).min(PARTS);
            (part(x), part(y))
        };
        let (kept, _) = kept.as_chunks::<4>();
        Self {
            earlier: kept.iter().map(|[x, y, _, _]| spot(*x, *y)).collect(),
            later: kept.iter().map(|[_, _, x, y]| spot(*x, *y)).collect(),
            held: None,
            is_down: false,
        }
    }

    /// As the log keeps them: those that are set in both pictures.
    pub(crate) fn kept(&self) -> Vec<u64> {
        self.earlier
            .iter()
            .zip(&self.later)
            .flat_map(|(one, other)| [one.0, one.1, other.0, other.1])
            .map(u64::from)
            .collect()
    }

    /// The spots of one picture.
    pub(crate) fn on(&self, side: Side) -> &[Spot] {
        match side {
            Side::Earlier => &self.earlier,
            Side::Later => &self.later,
        }
    }

    fn on_mut(&mut self, side: Side) -> &mut Vec<Spot> {
        match side {
            Side::Earlier => &mut self.earlier,
            Side::Later => &mut self.later,
        }
    }

    /// Whether there are enough of them, each in both pictures.
    pub(crate) fn are_enough(&self) -> bool {
        self.earlier.len() == self.later.len() && self.earlier.len() >= AT_LEAST
    }

    /// What comes next, in words.
    pub(crate) fn next(&self) -> String {
        let n = self.earlier.len().min(self.later.len()) + 1;
        match self.earlier.len().cmp(&self.later.len()) {
            std::cmp::Ordering::Greater => format!("Now touch spot {n} in the later picture."),
            std::cmp::Ordering::Less => format!("Now touch spot {n} in the earlier picture."),
            std::cmp::Ordering::Equal if n > AT_MOST => {
                "Four spots are set. Touch one to move it.".to_owned()
            }
            std::cmp::Ordering::Equal if n > AT_LEAST => format!(
                "{} spots are set. Another one, far from them, makes it better: touch it in either picture.",
                n - 1
            ),
            std::cmp::Ordering::Equal => format!(
                "Touch spot {n} in either picture: the corner of a fitting, a screw, the end of a seam."
            ),
        }
    }

    /// A finger goes down: it takes hold of a spot, or sets one.
    pub(crate) fn press(&mut self, side: Side, at: Spot) {
        self.is_down = true;
        let near = self.on(side).iter().enumerate().min_by_key(|(_, spot)| {
            u64::from(spot.0.abs_diff(at.0)).pow(2) + u64::from(spot.1.abs_diff(at.1)).pow(2)
        });
        if let Some((idx, spot)) = near
            && spot.0.abs_diff(at.0) <= NEAR
            && spot.1.abs_diff(at.1) <= NEAR
        {
            self.held = Some((side, idx));
            return;
        }
        let (n_here, n_there) = (self.on(side).len(), self.on(side.other()).len());
        if n_here > n_there {
            // The other picture comes first: until then this one moves.
            self.held = Some((side, n_here - 1));
            self.draw(side, at);
        } else if n_here < AT_MOST {
            self.on_mut(side).push(at);
            self.held = Some((side, n_here));
        } else {
            self.is_down = false;
        }
    }

    /// The finger goes along.
    pub(crate) fn draw(&mut self, side: Side, at: Spot) {
        if !self.is_down {
            return;
        }
        if let Some((held, idx)) = self.held
            && held == side
            && let Some(spot) = self.on_mut(side).get_mut(idx)
        {
            *spot = at;
        }
    }

    /// The finger is lifted.
    pub(crate) fn lift(&mut self) {
        self.is_down = false;
    }

    /// Moves the spot in hand by so many parts.
    pub(crate) fn nudge(&mut self, dx: i32, dy: i32) {
        if let Some((side, idx)) = self.held
            && let Some((x, y)) = self.on_mut(side).get_mut(idx)
        {
            *x = x.saturating_add_signed(dx).min(PARTS);
            *y = y.saturating_add_signed(dy).min(PARTS);
        }
    }

    /// Sets a spot in the middle by keys, or takes hold of the next one.
    pub(crate) fn enter(&mut self, side: Side) {
        let middle = (PARTS / 2, PARTS / 2);
        if self.on(side).len() <= self.on(side.other()).len() && self.on(side).len() < AT_MOST {
            self.on_mut(side).push(middle);
            self.held = Some((side, self.on(side).len() - 1));
        } else {
            self.take_next(side);
        }
    }

    /// Takes hold of the next spot of a picture.
    pub(crate) fn take_next(&mut self, side: Side) {
        let n = self.on(side).len();
        let next = match self.held {
            Some((held, idx)) if held == side => idx + 1,
            _ => 0,
        };
        self.held = (n > 0).then_some((side, if next < n { next } else { 0 }));
    }

    /// Takes the last spot away, from both pictures where it is in both.
    pub(crate) fn take_away(&mut self) {
        let n = self.earlier.len().max(self.later.len()).saturating_sub(1);
        self.earlier.truncate(n);
        self.later.truncate(n);
        self.held = None;
    }

    /// How many there are in the picture that has more.
    pub(crate) fn len(&self) -> usize {
        self.earlier.len().max(self.later.len())
    }
}

#[cfg(test)]
mod tests;
