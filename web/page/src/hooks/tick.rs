//! The passing minute, for clocks that run on screen.

use gloo::timers::callback::Interval;
use yew::{hook, use_effect_with, use_state};

use crate::browser::locale::now_millis;

/// Now, in milliseconds since 1970; renewed every ten seconds while `is_running`.
#[hook]
pub(crate) fn use_minutes(is_running: bool) -> i64 {
    let now = use_state(now_millis);
    {
        let now = now.clone();
        use_effect_with(is_running, move |is_running| {
            now.set(now_millis());
            let interval = is_running.then(|| Interval::new(10_000, move || now.set(now_millis())));
            move || drop(interval)
        });
    }
    *now
}
