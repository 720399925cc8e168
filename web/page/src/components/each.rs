//! Draws lists; one copy of the loop serves all of them, which keeps the module small.

use yew::Html;

/// Draws every item, in order.
pub(crate) fn each<T>(items: &[T], draw: &dyn Fn(&T) -> Html) -> Html {
    drawn(items.len(), &|idx| items.get(idx).map(draw))
}

#[inline(never)]
fn drawn(n_items: usize, draw: &dyn Fn(usize) -> Option<Html>) -> Html {
    let mut list = Vec::with_capacity(n_items);
    for idx in 0..n_items {
        list.extend(draw(idx));
    }
    list.into_iter().collect()
}
