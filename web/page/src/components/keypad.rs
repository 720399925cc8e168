//! The big keypad for readings.

use yew::{Callback, Html, html};

use super::each;

/// The keys, row by row; what they write.
const KEYS: [&str; 20] = [
    "7", "8", "9", "", "4", "5", "6", "/", "1", "2", "3", " ", "0", ".", ",", "−", "'", "\"", ">",
    "<",
];

/// What [`keypad`] shows.
pub(crate) struct KeypadProps {
    /// What stands there.
    pub(crate) text: String,
    /// What stands there now.
    pub(crate) ontype: Callback<String>,
}

/// Digits, point and comma, fractions, feet and inches, over and under range.
pub(crate) fn keypad(props: &KeypadProps) -> Html {
    html! {
        <div class="pad" role="group" aria-label="Keypad">
            { each(&KEYS, &|&key| {
                let (shown, heard) = match key {
                    "" => ("erase", "erase the last sign"),
                    " " => ("space", "space"),
                    "/" => ("/", "Fraction"),
                    "." => (".", "Point"),
                    "," => (",", "Comma"),
                    "−" => ("−", "Minus"),
                    "'" => ("ft", "ft: feet"),
                    "\"" => ("in", "in: inches"),
                    ">" => ("over", "over the range"),
                    "<" => ("under", "under the range"),
                    digit => (digit, digit),
                };
                let next = pressed(&props.text, key);
                let onclick = props.ontype.reform(move |_| next.clone());
                let class = if shown.len() > 1 && shown.is_ascii() { "key word" } else { "key" };
                html! { <button type="button" {class} aria-label={heard} {onclick}>{ shown }</button> }
            }) }
        </div>
    }
}

/// What stands there after a key.
fn pressed(text: &str, key: &str) -> String {
    match key {
        "" => {
            let mut text = text.to_owned();
            text.pop();
            text
        }
        // Over and under range stand before the figure, and the same key takes them away.
        ">" | "<" => {
            let bare = text.trim_start_matches(['>', '<', ' ']);
            if text.starts_with(key) {
                bare.to_owned()
            } else {
                format!("{key} {bare}")
            }
        }
        "−" => match text.strip_prefix('−') {
            Some(bare) => bare.to_owned(),
            None => format!("−{text}"),
        },
        key => format!("{text}{key}"),
    }
}

#[cfg(test)]
mod tests {
    use super::pressed;

    #[test]
    fn keys_write_and_take_away() {
        assert_eq!(pressed("3", "4"), "34");
        assert_eq!(pressed("34", ""), "3");
        assert_eq!(pressed("", ""), "");
        assert_eq!(pressed("40", ">"), "> 40");
        assert_eq!(pressed("> 40", ">"), "40");
        assert_eq!(pressed("> 40", "<"), "< 40");
        assert_eq!(pressed("5", "−"), "−5");
        assert_eq!(pressed("−5", "−"), "5");
    }
}
