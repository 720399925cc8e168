//! Which change follows which: what Automerge's document knows of its changes, without the document.
//!
//! The texts of a log lie in its snapshot, so that all a log still needs of the document is this order:
//! what another device lacks, where the next change goes, and which changes cannot have their place.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use automerge::{ActorId, Change, ChangeHash};
use garboard_record::small;

/// What is known of one change beside what it says.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    /// Whose writing it belongs to.
    pub(crate) actor: ActorId,
    /// Its place in that writing, from 1.
    pub(crate) seq: u64,
    /// The changes that it follows.
    pub(crate) deps: Vec<ChangeHash>,
    /// The number of its last operation.
    pub(crate) max_op: u64,
    /// Which of the kept chunks it lies in.
    pub(crate) source: u32,
    /// Whether it is in the document, or why not.
    pub(crate) standing: Standing,
}

/// Whether a change is in the document, or why it is kept beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Standing {
    /// It is in the document.
    InOrder,
    /// Its predecessors have not come.
    Waits,
    /// It claims the place of another in the order of one writing.
    Doubled,
    /// It overwrites or deletes.
    Apart,
}

impl Step {
    /// What is known of a change; it waits until it is put in order.
    pub(crate) fn of(change: &Change, source: u32) -> Self {
        Self {
            actor: change.actor_id().clone(),
            seq: change.seq(),
            deps: change.deps().to_vec(),
            max_op: (change.start_op().get() - 1).saturating_add(change.len() as u64),
            source,
            standing: Standing::Waits,
        }
    }
}

/// The changes of a log in their order, and those beside them.
#[derive(Debug, Clone, Default)]
pub(crate) struct History {
    /// Every change that is known.
    steps: BTreeMap<ChangeHash, Step>,
    /// The changes in the document, each after those that it follows.
    order: Vec<ChangeHash>,
    /// The changes in the document that no other follows.
    heads: BTreeSet<ChangeHash>,
    /// The changes beside the document.
    beside: BTreeSet<ChangeHash>,
    /// The changes of each writing, by their places.
    writings: BTreeMap<ActorId, Vec<ChangeHash>>,
    max_op: u64,
}

impl History {
    /// Whether a change is known, in the document or beside it.
    pub(crate) fn knows(&self, hash: &ChangeHash) -> bool {
        self.steps.contains_key(hash)
    }

    /// The changes in the document, each after those that it follows.
    pub(crate) fn in_order(&self) -> impl Iterator<Item = (&ChangeHash, &Step)> {
        self.order
            .iter()
            .filter_map(|hash| self.steps.get_key_value(hash))
    }

    /// How many changes are in the document.
    pub(crate) fn n_in_order(&self) -> usize {
        self.order.len()
    }

    /// The changes beside the document, by their hashes.
    pub(crate) fn beside(&self) -> impl Iterator<Item = (&ChangeHash, &Step)> {
        self.beside
            .iter()
            .filter_map(|hash| self.steps.get_key_value(hash))
    }

    /// The changes in the document that no other follows, by their hashes.
    pub(crate) fn heads(&self) -> impl Iterator<Item = &ChangeHash> {
        self.heads.iter()
    }

    /// What a change by this actor follows, its place in the writing, and the number of its first operation.
    pub(crate) fn next(&self, actor: &ActorId) -> (Vec<ChangeHash>, u64, u64) {
        let writing = self.writings.get(actor).map_or(&[][..], Vec::as_slice);
        let mut deps: Vec<ChangeHash> = self.heads.iter().copied().collect();
        if let Some(last) = writing.last().filter(|last| !deps.contains(last)) {
            deps.push(*last);
        }
        (
            deps,
            writing.len() as u64 + 1,
            self.max_op.saturating_add(1),
        )
    }

    /// Keeps a change beside the document for good.
    pub(crate) fn hold_apart(&mut self, hash: ChangeHash, mut step: Step) {
        step.standing = Standing::Apart;
        self.beside.insert(hash);
        self.steps.insert(hash, step);
    }

    /// Notes that a change lies in another of the kept chunks.
    pub(crate) fn lies_in(&mut self, hash: &ChangeHash, source: u32) {
        if let Some(step) = self.steps.get_mut(hash) {
            step.source = source;
        }
    }

    /// Puts a change at the end of the document, whose predecessors are in it.
    pub(crate) fn push(&mut self, hash: ChangeHash, mut step: Step) {
        step.standing = Standing::InOrder;
        for dep in &step.deps {
            self.heads.remove(dep);
        }
        self.heads.insert(hash);
        self.order.push(hash);
        self.max_op = self.max_op.max(step.max_op);
        self.writings
            .entry(step.actor.clone())
            .or_default()
            .push(hash);
        self.steps.insert(hash, step);
    }

    /// Puts new changes in order, with those that waited: what has no place or no predecessors is kept beside.
    pub(crate) fn add(&mut self, fresh: impl IntoIterator<Item = (ChangeHash, Step)>) {
        let mut fresh: Vec<(ChangeHash, Step)> = fresh.into_iter().collect();
        for hash in &self.beside {
            if let Some(step) = self.steps.get(hash)
                && step.standing == Standing::Waits
            {
                fresh.push((*hash, step.clone()));
            }
        }
        // By hash, so that of two that claim one place the same is in the document whatever came first.
        small::sort_by_key(&mut fresh, |(hash, _)| *hash);
        let mut n_missing = Vec::with_capacity(fresh.len());
        let mut followers: Vec<Vec<usize>> = vec![Vec::new(); fresh.len()];
        let mut ready = BinaryHeap::new();
        for (idx, (_, step)) in fresh.iter().enumerate() {
            let mut missing = 0_usize;
            for dep in &step.deps {
                if self.is_in_order(dep) {
                    continue;
                }
                missing += 1;
                let at = fresh.binary_search_by_key(dep, |(hash, _)| *hash);
                if let Some(followers) = at.ok().and_then(|at| followers.get_mut(at)) {
                    followers.push(idx);
                }
            }
            if missing == 0 {
                ready.push(Reverse(idx));
            }
            n_missing.push(missing);
        }
        let mut fresh: Vec<Option<(ChangeHash, Step)>> = fresh.into_iter().map(Some).collect();
        while let Some(Reverse(idx)) = ready.pop() {
            let Some((hash, step)) = fresh.get_mut(idx).and_then(Option::take) else {
                continue;
            };
            let n_written = self.writings.get(&step.actor).map_or(0, Vec::len) as u64;
            if step.seq != n_written + 1 {
                self.keep_beside(hash, step, Standing::Doubled);
                continue;
            }
            self.beside.remove(&hash);
            self.push(hash, step);
            for follower in followers.get(idx).into_iter().flatten() {
                if let Some(missing) = n_missing.get_mut(*follower) {
                    *missing = missing.saturating_sub(1);
                    if *missing == 0 {
                        ready.push(Reverse(*follower));
                    }
                }
            }
        }
        for (hash, step) in fresh.into_iter().flatten() {
            self.keep_beside(hash, step, Standing::Waits);
        }
    }

    fn keep_beside(&mut self, hash: ChangeHash, mut step: Step, standing: Standing) {
        step.standing = standing;
        self.beside.insert(hash);
        self.steps.insert(hash, step);
    }

    fn is_in_order(&self, hash: &ChangeHash) -> bool {
        self.steps
            .get(hash)
            .is_some_and(|step| step.standing == Standing::InOrder)
    }

    /// The changes in the document that a device with these heads lacks, each after those that it follows.
    ///
    /// Heads that are not known here are passed over.
    pub(crate) fn since(&self, heads: &[ChangeHash]) -> Vec<(ChangeHash, u32)> {
        let mut had = BTreeSet::new();
        let mut to_walk: Vec<ChangeHash> = heads.to_vec();
        while let Some(hash) = to_walk.pop() {
            if let Some(step) = self.steps.get(&hash)
                && step.standing == Standing::InOrder
                && had.insert(hash)
            {
                to_walk.extend_from_slice(&step.deps);
            }
        }
        self.order
            .iter()
            .filter(|hash| !had.contains(hash))
            .filter_map(|hash| Some((*hash, self.steps.get(hash)?.source)))
            .collect()
    }
}
