//! Sorting and gathering in little code, for a module that a phone loads before anything else.
//!
//! The standard library's sorts are made anew for every type of element, three to seven kilobytes each, and so is
//! what gathers a map or a set from an iterator, which sorts first. These sort the positions by one merge sort for
//! all types. They are stable, ask for about n log n comparisons, and are slower by a small factor.

use std::collections::{BTreeMap, BTreeSet};

/// Sorts by a key; equal ones stay in their order.
pub fn sort_by_key<T, K: Ord>(items: &mut [T], key: impl Fn(&T) -> K) {
    let order = {
        let items = &*items;
        order(items.len(), &|one, other| {
            items.get(one).map(&key) <= items.get(other).map(&key)
        })
    };
    arrange(order, &mut |one, other| items.swap(one, other));
}

/// Sorts; equal ones stay in their order.
pub fn sort<T: Ord>(items: &mut [T]) {
    let order = {
        let items = &*items;
        order(items.len(), &|one, other| {
            items.get(one) <= items.get(other)
        })
    };
    arrange(order, &mut |one, other| items.swap(one, other));
}

/// The set of what comes.
pub fn set<T: Ord>(items: impl IntoIterator<Item = T>) -> BTreeSet<T> {
    let mut set = BTreeSet::new();
    for item in items {
        set.insert(item);
    }
    set
}

/// The map of what comes; of several values under one key the last.
pub fn map<K: Ord, V>(items: impl IntoIterator<Item = (K, V)>) -> BTreeMap<K, V> {
    let mut map = BTreeMap::new();
    for (key, value) in items {
        map.insert(key, value);
    }
    map
}

/// The positions of n things in their order: merged from pairs, fours, eights and so on.
fn order(n: usize, in_order: &dyn Fn(usize, usize) -> bool) -> Vec<usize> {
    let mut sorted: Vec<usize> = (0..n).collect();
    // What is sorted already, as most of it is, costs one look at each.
    if (1..n).all(|at| in_order(at - 1, at)) {
        return sorted;
    }
    let mut width = 1;
    while width < n {
        let mut merged = Vec::with_capacity(n);
        for pair in sorted.chunks(width * 2) {
            let (mut left, mut right) = pair.split_at(width.min(pair.len()));
            while let ([one, lefts @ ..], [other, rights @ ..]) = (left, right) {
                if in_order(*one, *other) {
                    merged.push(*one);
                    left = lefts;
                } else {
                    merged.push(*other);
                    right = rights;
                }
            }
            merged.extend_from_slice(left);
            merged.extend_from_slice(right);
        }
        sorted = merged;
        width *= 2;
    }
    sorted
}

/// Brings what stands at `order[i]` to `i`, for every i, by swaps along each ring of the order.
fn arrange(mut order: Vec<usize>, swap: &mut dyn FnMut(usize, usize)) {
    for start in 0..order.len() {
        let mut at = start;
        while let Some(from) = order.get_mut(at).map(|place| std::mem::replace(place, at)) {
            if from == start {
                break;
            }
            swap(at, from);
            at = from;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use proptest::prelude::{any, prop, proptest};
    use proptest::prop_assert_eq;

    proptest! {
        #[test]
        fn law_it_sorts_like_the_library(mut items in prop::collection::vec((0_u8..9, any::<u16>()), 0..200)) {
            let mut by_key = items.clone();
            super::sort_by_key(&mut by_key, |(key, _)| std::cmp::Reverse(*key));
            let mut expected = items.clone();
            expected.sort_by_key(|(key, _)| std::cmp::Reverse(*key));
            prop_assert_eq!(by_key, expected);
            let mut whole = items.clone();
            super::sort(&mut whole);
            items.sort();
            prop_assert_eq!(&whole, &items);
            super::sort(&mut whole);
            prop_assert_eq!(whole, items);
        }

        #[test]
        fn law_it_gathers_like_the_library(items in prop::collection::vec((0_u8..9, any::<u16>()), 0..100)) {
            prop_assert_eq!(super::map(items.clone()), items.iter().copied().collect::<BTreeMap<_, _>>());
            prop_assert_eq!(super::set(items.clone()), items.into_iter().collect::<BTreeSet<_>>());
        }
    }
}
