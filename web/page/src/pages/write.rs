//! Words: a note as it is, or a finding with what was observed apart from what is supposed.

use std::rc::Rc;

use garboard_protocol::{Ask, Choice, FormField, Input, Say, Trouble, WorkAt};
use yew::{AttrValue, Callback, Html, component, html, use_effect_with, use_node_ref, use_state};

use super::add::{checked, leave, use_options};
use super::shell::{PageProps, going};
use crate::browser::{event, memory};
use crate::components::{ChoiceKeysProps, FieldInputProps, choice_keys, field_input, not_saved};
use crate::draft::{self, Draft};
use crate::json;
use crate::named::Named;
use crate::state::Route;

/// The fields of a finding that are asked for here, in this order.
const FINDING: [&str; 6] = [
    "observed", "supposed", "title", "kinds", "urgency", "extent",
];

/// The words.
#[component]
pub(crate) fn Write(props: &PageProps) -> Html {
    let desk = &props.desk;
    let is_finding = use_state(|| memory::recall("write.as") == "finding");
    let words = use_state(|| memory::recall("write.words"));
    let drafts = use_state(|| {
        let mut drafts = Named::<Draft>::default();
        draft::take_up(&mut drafts, &memory::recall("write.drafts"));
        drafts
    });
    let wrong = use_state(Named::<AttrValue>::default);
    let stays = use_state(|| true);
    let trouble = use_state(|| None::<Trouble>);
    let is_busy = use_state(|| false);
    let words_box = use_node_ref();
    {
        let words_box = words_box.clone();
        use_effect_with((), move |()| event::focus(&words_box));
    }
    let fields: Vec<FormField> = desk
        .state
        .choices
        .as_ref()
        .and_then(|choices| choices.forms.iter().find(|form| form.kind == "finding"))
        .map(|form| {
            FINDING
                .iter()
                .filter_map(|name| form.fields.iter().find(|field| field.name == *name))
                .cloned()
                .collect()
        })
        .unwrap_or_default();
    let options = use_options(desk, &fields);

    let on_words = {
        let words = words.clone();
        event::typed(Callback::from(move |text: String| {
            memory::keep("write.words", &text);
            words.set(text);
        }))
    };
    let on_as = {
        let is_finding = is_finding.clone();
        Callback::from(move |raw: String| {
            let next = if raw.is_empty() {
                *is_finding
            } else {
                raw == "finding"
            };
            memory::keep("write.as", if next { "finding" } else { "" });
            is_finding.set(next);
        })
    };
    let save = {
        let (desk, words, drafts, wrong, fields) = (
            desk.clone(),
            words.clone(),
            drafts.clone(),
            wrong.clone(),
            fields.clone(),
        );
        let (is_finding, stays) = (*is_finding, *stays);
        let (trouble, is_busy) = (trouble.clone(), is_busy.clone());
        Callback::from(move |()| {
            let said = if is_finding {
                finding(&fields, &words, &drafts)
            } else {
                note(&words)
            };
            match said {
                Err(faults) => {
                    wrong.set(faults);
                    event::show_first_wrong();
                }
                Ok((kind, said)) => {
                    let ask = Ask::Say(Say {
                        kind: kind.to_owned(),
                        fields: said,
                        happened: None,
                        at_work: true,
                    });
                    let place = desk
                        .state
                        .working_at()
                        .and_then(|at| at.place.as_ref())
                        .map(|place| place.id.clone());
                    let told = desk.clone();
                    is_busy.set(true);
                    trouble.set(None);
                    let (trouble, is_busy) = (trouble.clone(), is_busy.clone());
                    let then = Callback::from(move |outcome: Result<Vec<String>, Trouble>| {
                        is_busy.set(false);
                        let entries = match outcome {
                            Ok(entries) => entries,
                            Err(words) => return trouble.set(Some(words)),
                        };
                        memory::keep("write.words", "");
                        memory::keep("write.drafts", "");
                        if let (true, Some(entry)) = (is_finding && stays, entries.first()) {
                            told.work_at(WorkAt {
                                place: place.clone(),
                                finding: Some(entry.clone()),
                                repair: None,
                            });
                        }
                        told.back();
                    });
                    desk.say_about(ask, then);
                }
            }
        })
    };
    let sorts = [
        ("note", "A note"),
        ("finding", "A finding: something is wrong"),
    ]
    .map(|(raw, label)| Choice {
        raw: raw.to_owned(),
        label: label.to_owned(),
        note: String::new(),
    });
    let (label, holder) = if *is_finding {
        ("Observed", "What you saw, felt, heard, smelt or measured")
    } else {
        ("In your own words", "What you did, saw or must not forget")
    };
    html! {
        <form class="sheet" onsubmit={event::submitted(save)} novalidate=true>
            <div class="sheet-head"><h1>{ "Write" }</h1>{ leave(desk) }</div>
            <div class="sheet-body">
                { choice_keys(&ChoiceKeysProps { label: "What it is".into(), choices: sorts.to_vec(), chosen: (if *is_finding { "finding" } else { "note" }).into(), onchoose: on_as }) }
                <div><button type="button" class="key" onclick={going(desk, Route::Say)}>{ "Say it instead" }</button></div>
                <div class="field">
                    <label for="words">{ label }</label>
                    <textarea id="words" ref={words_box} placeholder={holder} value={(*words).clone()} oninput={on_words} aria-invalid={wrong.get("observed").map(|_| "true")} />
                    if let Some(wrong) = wrong.get("observed").cloned() { <p class="wrong" role="alert">{ wrong }</p> }
                </div>
                if *is_finding {
                    { for fields.iter().filter(|field| field.name != "observed").map(|field| {
                        let name = field.name.clone();
                        let onchange = {
                            let (drafts, name) = (drafts.clone(), name.clone());
                            Callback::from(move |draft: Draft| {
                                let mut next = (*drafts).clone();
                                next.set(&name, draft);
                                memory::keep("write.drafts", &draft::kept(&next));
                                drafts.set(next);
                            })
                        };
                        let draft = drafts.get(&name).cloned().unwrap_or_else(|| blank(field));
                        html! { { field_input(&FieldInputProps { field: as_asked(field), draft, options: Rc::clone(&options), wrong: wrong.get(&name).cloned(), prefix: Default::default(), onchange }) } }
                    }) }
                    <label class="tickbox">
                        <input type="checkbox" checked={*stays} onclick={
                            let stays = stays.clone();
                            Callback::from(move |_| stays.set(!*stays))
                        } />
                        <span>{ "Work on this finding from now on" }</span>
                    </label>
                }
            </div>
            <div class="sheet-foot">
                if let Some(trouble) = trouble.as_ref() { { not_saved(trouble) } }
                if !wrong.is_empty() { <p class="notice" role="alert">{ "Nothing is saved yet: something above must be mended first." }</p> }
                <button type="submit" class="key main-key" disabled={*is_busy}>{ if *is_finding { "Save finding" } else { "Save note" } }</button>
            </div>
        </form>
    }
}

/// The title may be left out here: the first words of what was observed then stand for it.
fn as_asked(field: &FormField) -> FormField {
    let mut field = field.clone();
    if field.name == "title" {
        field.is_needed = false;
        field.hint = "A few words that name it. Left blank, the first words of what was observed stand here.".to_owned();
    }
    field
}

fn blank(field: &FormField) -> Draft {
    match &field.input {
        Input::Quantity { units } => Draft {
            unit: units.first().cloned().unwrap_or_default(),
            ..Draft::default()
        },
        _ => Draft::default(),
    }
}

type Said = Result<(&'static str, String), Named<AttrValue>>;

fn fault(field: &str, words: impl Into<AttrValue>) -> Named<AttrValue> {
    Named::one(field, words.into())
}

fn note(words: &str) -> Said {
    let words = words.trim();
    if words.is_empty() {
        return Err(fault("observed", "There are no words yet."));
    }
    Ok((
        "note",
        json::object(&[("words".to_owned(), json::string(words))]),
    ))
}

fn finding(fields: &[FormField], words: &str, drafts: &Named<Draft>) -> Said {
    let words = words.trim();
    let typed = drafts
        .get("title")
        .map(|draft| draft.text.trim())
        .unwrap_or_default();
    if words.is_empty() && typed.is_empty() {
        return Err(fault("observed", "Say in a few words what was observed."));
    }
    let title = if typed.is_empty() {
        first_words(words)
    } else {
        typed.to_owned()
    };
    let mut said = vec![("title".to_owned(), json::string(&title))];
    if !words.is_empty() {
        said.push(("observed".to_owned(), json::string(words)));
    }
    for field in fields
        .iter()
        .filter(|field| !["title", "observed"].contains(&field.name.as_str()))
    {
        let Some(draft) = drafts.get(&field.name) else {
            continue;
        };
        match checked(field, draft) {
            Ok(Some(value)) => said.push((field.name.clone(), value)),
            Ok(None) => {}
            Err(words) => return Err(fault(&field.name, words)),
        }
    }
    Ok(("finding", json::object(&said)))
}

/// The first sentence, or as many whole words as fit into sixty characters.
fn first_words(words: &str) -> String {
    let sentence = words
        .split(['.', '\n', ';', ':'])
        .next()
        .unwrap_or(words)
        .trim();
    if sentence.chars().count() <= 60 && !sentence.is_empty() {
        return sentence.to_owned();
    }
    let mut title = String::new();
    for word in words.split_whitespace() {
        if title.chars().count() + word.chars().count() > 57 {
            break;
        }
        if !title.is_empty() {
            title.push(' ');
        }
        title.push_str(word);
    }
    if title.is_empty() {
        words.chars().take(58).collect()
    } else {
        format!("{title} …")
    }
}

#[cfg(test)]
mod tests {
    use super::{Named, finding, first_words, note};

    #[test]
    fn a_finding_needs_no_title_typed() {
        let (_, fields) = finding(
            &[],
            "Soft underfoot. Water runs out of the screw holes.",
            &Named::default(),
        )
        .unwrap();
        assert_eq!(
            fields,
            r#"{"title":"Soft underfoot","observed":"Soft underfoot. Water runs out of the screw holes."}"#
        );
    }

    #[test]
    fn long_first_sentences_are_cut_between_words() {
        let title = first_words(
            "The core under the whole of the port side deck is brown and wet and can be dug out with a spoon",
        );
        assert!(
            title.ends_with(" …") && title.chars().count() <= 60,
            "{title}"
        );
        assert!(first_words(&"x".repeat(200)).chars().count() <= 60);
    }

    #[test]
    fn blank_words_are_not_saved() {
        assert!(note("  \n").is_err());
        assert!(finding(&[], " ", &Named::default()).is_err());
    }
}
