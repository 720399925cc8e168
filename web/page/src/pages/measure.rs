//! A reading: big figures under the thumb; what was measured, the unit and the instrument are remembered.

use garboard_protocol::{Ask, Choice, Say, Trouble};
use yew::{AttrValue, Callback, Html, component, html, use_state};

use super::add::leave;
use super::shell::PageProps;
use crate::browser::{event, memory};
use crate::components::{
    ChoiceKeysProps, KeypadProps, SavedMarkProps, choice_keys, each, keypad, not_saved, saved_mark,
};
use crate::draft;
use crate::json::{self, Json};

/// How the value is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Figure,
    Word,
    YesNo,
}

/// What is remembered from one reading to the next.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Habit {
    quantity: String,
    unit: String,
    instrument: String,
    /// Whether spots count on by their letter, C4 to D4, and not by their number, C4 to C5.
    by_letter: bool,
}

impl Habit {
    fn recall(log: &str) -> Self {
        let kept = memory::recall(&format!("measure.{log}"));
        let mut parts = kept.split('\n').map(str::to_owned);
        let mut next = || parts.next().unwrap_or_default();
        Self {
            quantity: next(),
            unit: next(),
            instrument: next(),
            by_letter: next() == "letter",
        }
    }

    fn keep(&self, log: &str) {
        memory::keep(
            &format!("measure.{log}"),
            &[
                self.quantity.as_str(),
                &self.unit,
                &self.instrument,
                if self.by_letter { "letter" } else { "" },
            ]
            .join("\n"),
        );
    }
}

/// The keypad.
#[component]
pub(crate) fn Measure(props: &PageProps) -> Html {
    let desk = &props.desk;
    let log = desk
        .state
        .opened
        .as_ref()
        .map(|opened| opened.log.clone())
        .unwrap_or_default();
    let habit = {
        let log = log.clone();
        use_state(move || Habit::recall(&log))
    };
    let text = use_state(String::new);
    let spot = use_state(String::new);
    let way = use_state(|| Way::Figure);
    let wrong = use_state(|| None::<AttrValue>);
    let last = use_state(|| None::<String>);
    let so_far = use_state(Vec::<(String, String)>::new);
    let trouble = use_state(|| None::<Trouble>);
    let Some(choices) = desk.state.choices.clone() else {
        return html! { <div class="sheet"><p class="sheet-body" role="status">{ "Reading…" }</p></div> };
    };

    let set_habit = |change: fn(&mut Habit, String)| {
        let (habit, log) = (habit.clone(), log.clone());
        Callback::from(move |value: String| {
            let mut next = (*habit).clone();
            change(&mut next, value);
            next.keep(&log);
            habit.set(next);
        })
    };
    let on_quantity = {
        let (habit, log, quantities) = (habit.clone(), log.clone(), choices.quantities.clone());
        Callback::from(move |raw: String| {
            let usual = quantities
                .iter()
                .find(|choice| choice.raw == raw)
                .map(|choice| choice.note.clone())
                .unwrap_or_default();
            let next = Habit {
                unit: if usual.is_empty() {
                    habit.unit.clone()
                } else {
                    usual
                },
                quantity: raw,
                ..(*habit).clone()
            };
            next.keep(&log);
            habit.set(next);
        })
    };
    let on_text = {
        let (text, wrong) = (text.clone(), wrong.clone());
        Callback::from(move |next| {
            wrong.set(None);
            text.set(next);
        })
    };
    let on_way = {
        let (way, text, wrong) = (way.clone(), text.clone(), wrong.clone());
        Callback::from(move |raw: String| {
            wrong.set(None);
            text.set(String::new());
            way.set(match raw.as_str() {
                "word" => Way::Word,
                "yes" => Way::YesNo,
                _ => Way::Figure,
            });
        })
    };
    let save = {
        let (desk, habit, text, spot, way, wrong, last) = (
            desk.clone(),
            habit.clone(),
            text.clone(),
            spot.clone(),
            way.clone(),
            wrong.clone(),
            last.clone(),
        );
        let (trouble, so_far) = (trouble.clone(), so_far.clone());
        Callback::from(move |()| match reading(&habit, &text, &spot, *way) {
            Err(words) => wrong.set(Some(words.into())),
            Ok(fields) => {
                wrong.set(None);
                let shown = shown(&habit, &text, *way);
                let ask = Ask::Say(Say {
                    kind: "reading".to_owned(),
                    fields,
                    happened: None,
                    at_work: true,
                });
                last.set(None);
                trouble.set(None);
                let (last, text, spot, trouble) =
                    (last.clone(), text.clone(), spot.clone(), trouble.clone());
                let (so_far, by_letter) = (so_far.clone(), habit.by_letter);
                desk.say_about(
                    ask,
                    Callback::from(move |outcome: Result<Vec<String>, Trouble>| match outcome {
                        Ok(_) => {
                            last.set(Some(shown.clone()));
                            text.set(String::new());
                            if !spot.trim().is_empty() {
                                let mut row = (*so_far).clone();
                                row.push((spot.trim().to_owned(), shown.clone()));
                                so_far.set(row);
                            }
                            spot.set(next_spot(&spot, by_letter));
                        }
                        Err(words) => trouble.set(Some(words)),
                    }),
                );
            }
        })
    };
    let set_spot = {
        let spot = spot.clone();
        event::typed(Callback::from(move |next| spot.set(next)))
    };
    let ways = [
        ("figure", "A figure"),
        ("word", "A word"),
        ("yes", "Yes or no"),
    ]
    .map(choice_of)
    .to_vec();
    let way_raw = match *way {
        Way::Figure => "figure",
        Way::Word => "word",
        Way::YesNo => "yes",
    };
    html! {
        <form class="sheet" onsubmit={event::submitted(save)} novalidate=true>
            <div class="sheet-head">
                <div>
                    <h1>{ "Measure" }</h1>
                    if let Some(last) = (*last).clone() {
                        <div class="rowed tight" role="status"><strong>{ last }</strong>{ saved_mark(&SavedMarkProps { device: (super::part::device_word(desk)).into(), also_on: Vec::<String>::new() }) }</div>
                    }
                </div>
                { leave(desk) }
            </div>
            <div class="sheet-body">
                <div class="pairs">
                    <div class="field">
                        <label for="quantity">{ "What" }</label>
                        <select id="quantity" onchange={event::selected(on_quantity)}>
                            if habit.quantity.is_empty() { <option value="" selected=true>{ "choose" }</option> }
                            { each(&choices.quantities, &|choice| html! {
                                <option value={choice.raw.clone()} selected={choice.raw == habit.quantity}>{ choice.label.clone() }</option>
                            }) }
                        </select>
                    </div>
                    if *way == Way::Figure {
                        <div class="field">
                            <label for="unit">{ "Unit" }</label>
                            <select id="unit" onchange={event::selected(set_habit(|habit, unit| habit.unit = unit))}>
                                { for units(&choices.units, &habit.unit).into_iter().map(|(unit, label)| html! {
                                    <option value={unit.clone()} selected={unit == habit.unit}>{ label }</option>
                                }) }
                            </select>
                        </div>
                    }
                </div>
                { entering(&habit, &text, *way, &on_text) }
                if let Some(wrong) = (*wrong).clone() { <div class="field"><p class="wrong" role="alert">{ wrong }</p></div> }
                if *way == Way::Figure {
                    { keypad(&KeypadProps { text: (*text).clone(), ontype: on_text.clone() }) }
                }
                <div class="field">
                    <label for="spot">{ "Spot" }</label>
                    <input id="spot" type="text" autocomplete="off" placeholder="C4" value={(*spot).clone()} oninput={set_spot} />
                    if spot.chars().any(|sign| sign.is_ascii_digit()) {
                        <div class="choices" role="group" aria-label="How spots count on">
                            { for [false, true].map(|by_letter| {
                                let (habit, log) = (habit.clone(), log.clone());
                                let is_chosen = habit.by_letter == by_letter;
                                let onclick = Callback::from(move |_| {
                                    let next = Habit { by_letter, ..(*habit).clone() };
                                    next.keep(&log);
                                    habit.set(next);
                                });
                                html! { <button type="button" class="choice" aria-pressed={is_chosen.to_string()} {onclick}>{ format!("then {}", next_spot(&spot, by_letter)) }</button> }
                            }) }
                        </div>
                    }
                    if !so_far.is_empty() {
                        <ol class="spots" aria-label="Spots read so far">{ each(&so_far, &|(spot, value)| html! { <li><span>{ spot.clone() }</span><strong>{ value.clone() }</strong></li> }) }</ol>
                    }
                </div>
                if !choices.instruments.is_empty() {
                    <div class="field">
                        <p class="label">{ "Instrument" }</p>
                        { choice_keys(&ChoiceKeysProps { label: "Instrument".into(), choices: choices.instruments.clone(), chosen: habit.instrument.clone().into(), onchoose: set_habit(|habit, raw| habit.instrument = raw) }) }
                    </div>
                }
                <div class="rowed">
                    <button type="button" class="link" onclick={super::shell::going(desk, super::add::adding("instrument", None))}>{ "Another instrument" }</button>
                </div>
                <div class="field">
                    <p class="label">{ "Given as" }</p>
                    { choice_keys(&ChoiceKeysProps { label: "Given as".into(), choices: ways, chosen: way_raw.into(), onchoose: on_way }) }
                </div>
            </div>
            <div class="sheet-foot">
                if let Some(trouble) = trouble.as_ref() { { not_saved(trouble) } }
                <button type="submit" class="key main-key">{ "Save reading" }</button>
            </div>
        </form>
    }
}

fn choice_of((raw, label): (&str, &str)) -> Choice {
    Choice {
        raw: raw.to_owned(),
        label: label.to_owned(),
        note: String::new(),
    }
}

fn entering(habit: &Habit, text: &str, way: Way, on_text: &Callback<String>) -> Html {
    match way {
        Way::Figure => html! {
            <label class="reading-line">
                <span class="unseen">{ "The figure" }</span>
                <input class="reading-figure" type="text" inputmode="none" autocomplete="off" placeholder="0" value={text.to_owned()} oninput={event::typed(on_text.clone())} />
                <span class="reading-unit">{ unit_shown(&habit.unit) }</span>
            </label>
        },
        Way::Word => html! {
            <div class="stack">
                <label class="reading-line"><span class="unseen">{ "The word" }</span>
                    <input class="reading-figure" type="text" autocomplete="off" value={text.to_owned()} oninput={event::typed(on_text.clone())} />
                </label>
                { choice_keys(&ChoiceKeysProps { label: "Usual words".into(), choices: ["crisp", "dull", "hard", "soft", "dry", "wet"].map(|word| choice_of((word, word))).to_vec(), chosen: text.to_owned().into(), onchoose: on_text.clone() }) }
            </div>
        },
        Way::YesNo => html! {
            { choice_keys(&ChoiceKeysProps { label: "Yes or no".into(), choices: [("true", "Yes"), ("false", "No")].map(choice_of).to_vec(), chosen: text.to_owned().into(), onchoose: on_text.clone() }) }
        },
    }
}

fn unit_shown(unit: &str) -> String {
    garboard_record::unit::Unit::of(unit)
        .map_or(unit, |known| known.shown)
        .to_owned()
}

fn units(known: &[Choice], chosen: &str) -> Vec<(String, String)> {
    let mut units: Vec<(String, String)> = known
        .iter()
        .filter_map(|choice| {
            Some((
                Json::read(&choice.raw)?.text()?.to_owned(),
                choice.label.clone(),
            ))
        })
        .collect();
    if !units.iter().any(|(unit, _)| unit == chosen) {
        units.insert(
            0,
            (
                chosen.to_owned(),
                if chosen.is_empty() {
                    "no unit".to_owned()
                } else {
                    unit_shown(chosen)
                },
            ),
        );
    }
    units
}

/// The fields of a reading, as JSON.
fn reading(habit: &Habit, text: &str, spot: &str, way: Way) -> Result<String, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err("Give the value first.".to_owned());
    }
    if habit.quantity.is_empty() {
        return Err("Choose what was measured.".to_owned());
    }
    let mut fields = vec![("quantity".to_owned(), habit.quantity.clone())];
    match way {
        Way::Figure => {
            let bare = text.trim_start_matches(['>', '<', ' ']);
            if habit.unit.is_empty() && !bare.contains(['\'', '"']) {
                return Err("Choose the unit of the figure.".to_owned());
            }
            if text.starts_with(['>', '<']) {
                let range = if text.starts_with('>') {
                    "over"
                } else {
                    "under"
                };
                fields.push(("range".to_owned(), json::string(range)));
            }
            fields.push(("value".to_owned(), draft::quantity(bare, &habit.unit)?));
        }
        Way::Word => fields.push(("word".to_owned(), json::string(text))),
        Way::YesNo => fields.push(("yes".to_owned(), text.to_owned())),
    }
    if !spot.trim().is_empty() {
        fields.push(("spot".to_owned(), json::string(spot.trim())));
    }
    if !habit.instrument.is_empty() {
        fields.push(("instrument".to_owned(), habit.instrument.clone()));
    }
    Ok(json::object(&fields))
}

fn shown(habit: &Habit, text: &str, way: Way) -> String {
    match (way, text) {
        (Way::Figure, text) => format!("{} {}", text.trim(), unit_shown(&habit.unit)),
        (Way::YesNo, "true") => "yes".to_owned(),
        (Way::YesNo, _) => "no".to_owned(),
        (Way::Word, text) => text.trim().to_owned(),
    }
}

/// The spot after this one on a grid: C4, C5 by its number; C4, D4 by its letter. Words stay as they are.
fn next_spot(spot: &str, by_letter: bool) -> String {
    let digits = spot.chars().rev().take_while(char::is_ascii_digit).count();
    let (letters, number) = spot.split_at(spot.len() - digits);
    if by_letter && digits > 0 {
        let mut before: Vec<char> = letters.chars().collect();
        return match before.pop() {
            Some(last @ ('A'..='Y' | 'a'..='y')) => {
                let next = char::from_u32(u32::from(last) + 1).unwrap_or(last);
                before.push(next);
                format!("{}{number}", before.into_iter().collect::<String>())
            }
            _ => spot.to_owned(),
        };
    }
    match number
        .parse::<u32>()
        .ok()
        .and_then(|number| number.checked_add(1))
    {
        Some(next) => format!("{letters}{next}"),
        None => spot.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::{Habit, Way, next_spot, reading};

    fn habit(unit: &str) -> Habit {
        Habit {
            quantity: "\"moisture\"".to_owned(),
            unit: unit.to_owned(),
            ..Habit::default()
        }
    }

    #[test]
    fn readings_keep_what_the_instrument_showed() {
        assert_eq!(
            reading(&habit("%"), "34,5", "C4", Way::Figure).unwrap(),
            r#"{"quantity":"moisture","value":{"unit":"%","value":"34.5"},"spot":"C4"}"#
        );
        assert_eq!(
            reading(&habit("%"), "> 40", "", Way::Figure).unwrap(),
            r#"{"quantity":"moisture","range":"over","value":{"unit":"%","value":"40"}}"#
        );
        assert_eq!(
            reading(&habit(""), "dull", "", Way::Word).unwrap(),
            r#"{"quantity":"moisture","word":"dull"}"#
        );
        assert_eq!(
            reading(&habit(""), "true", "", Way::YesNo).unwrap(),
            r#"{"quantity":"moisture","yes":true}"#
        );
    }

    #[test]
    fn what_is_missing_is_said() {
        assert!(
            reading(&habit("%"), " ", "", Way::Figure)
                .unwrap_err()
                .contains("value")
        );
        assert!(
            reading(&habit(""), "12", "", Way::Figure)
                .unwrap_err()
                .contains("unit")
        );
        assert!(
            reading(&Habit::default(), "12", "", Way::Figure)
                .unwrap_err()
                .contains("measured")
        );
        assert!(reading(&habit("%"), "much", "", Way::Figure).is_err());
    }

    #[test]
    fn numbered_spots_count_on() {
        assert_eq!(
            ["C4", "9", "aft", ""].map(|spot| next_spot(spot, false)),
            ["C5", "10", "aft", ""]
        );
        assert_eq!(
            ["C4", "b12", "Z1", "aft", "7"].map(|spot| next_spot(spot, true)),
            ["D4", "c12", "Z1", "aft", "7"]
        );
    }
}
