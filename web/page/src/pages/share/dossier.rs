//! The dossier: what goes in, and the way out.

use garboard_protocol::{
    Answer, Ask, DossierForm, DossierMade, DossierOptions, DossierSeen, PlaceLine, SeenPart, Sheet,
};
use yew::{Callback, Html, component, html, use_state};

use super::{Long, Outward, Ready, far, use_long};
use crate::browser::{event, file::Files};
use crate::components::{TroubleBoxProps, each, trouble_box};
use crate::hooks::{AskedFor, use_asked};
use crate::pages::part::size_words;
use crate::pages::shell::PageProps;

/// The forms: the value, the form, the words.
const FORMS: [(&str, DossierForm, &str); 8] = [
    (
        "page",
        DossierForm::Page,
        "One page that any browser opens (HTML)",
    ),
    (
        "a4",
        DossierForm::Paper(Sheet::A4),
        "Set on paper, A4 (PDF)",
    ),
    (
        "letter",
        DossierForm::Paper(Sheet::Letter),
        "Set on paper, US Letter (PDF)",
    ),
    (
        "short-a4",
        DossierForm::Short(Sheet::A4),
        "In short, at most twelve pages of A4 (PDF)",
    ),
    (
        "short-letter",
        DossierForm::Short(Sheet::Letter),
        "In short, at most twelve pages of US Letter (PDF)",
    ),
    (
        "bag-a4",
        DossierForm::Bag(Sheet::A4),
        "All of it in a bag, with A4 (ZIP)",
    ),
    (
        "bag-letter",
        DossierForm::Bag(Sheet::Letter),
        "All of it in a bag, with US Letter (ZIP)",
    ),
    (
        "ledgers",
        DossierForm::Ledgers,
        "The ledgers alone, as tables (ZIP)",
    ),
];

/// The units: the value, the words.
const UNITS: [(&str, &str); 3] = [
    ("", "As written"),
    ("metric", "Metric, and as written"),
    ("us", "US customary, and as written"),
];

/// Makes the dossier.
#[component]
pub(super) fn Dossier(props: &PageProps) -> Html {
    let desk = &props.desk;
    let options = use_state(DossierOptions::default);
    let places = use_asked(desk, Ask::Places);
    let work = use_long::<(DossierMade, Ready)>();
    let seen = use_long::<Box<DossierSeen>>();
    let make = {
        let (desk, options, work) = (desk.clone(), options.clone(), work.clone());
        Callback::from(move |_| {
            let done = work.clone();
            let number = desk.ask(
                Ask::MakeDossier((*options).clone()),
                &Files::default(),
                move |outcome| match outcome {
                    Ok((Answer::Dossier(made), files)) => {
                        let ready = Ready {
                            files,
                            names: made.names.clone(),
                            title: "A boat's documented history".to_owned(),
                        };
                        done.set(Long::Done((made, ready)));
                    }
                    Ok(_) => done.set(Long::Idle),
                    Err(trouble) => done.set(Long::Failed(trouble)),
                },
            );
            work.set(Long::Busy(number));
        })
    };
    // What is ready was made with other choices.
    let choose = {
        let (options, work, seen) = (options.clone(), work.clone(), seen.clone());
        move |change: &dyn Fn(&mut DossierOptions)| {
            let mut next = (*options).clone();
            change(&mut next);
            options.set(next);
            work.set(Long::Idle);
            seen.set(Long::Idle);
        }
    };
    let tick = |words: &'static str, is_on: bool, change: fn(&mut DossierOptions)| {
        let choose = choose.clone();
        let onclick = Callback::from(move |_| choose(&change));
        html! { <label class="tickbox"><input type="checkbox" checked={is_on} {onclick} /><span>{ words }</span></label> }
    };
    let select = |change: fn(&mut DossierOptions, String)| {
        let choose = choose.clone();
        event::selected(Callback::from(move |value: String| {
            choose(&|options| change(options, value.clone()));
        }))
    };
    let form = select(|options, value| {
        if let Some((_, form, _)) = FORMS.iter().find(|(name, ..)| *name == value) {
            options.form = *form;
        }
    });
    let units = select(|options, value| options.units = value);
    let typed = |change: fn(&mut DossierOptions, String)| {
        let choose = choose.clone();
        event::typed(Callback::from(move |value: String| {
            choose(&|options| change(options, value.clone()));
        }))
    };
    let currency = typed(|options, value| options.currency = value.to_uppercase());
    let rates = typed(|options, value| options.rates = value);
    let see = {
        let (desk, options, seen) = (desk.clone(), options.clone(), seen.clone());
        Callback::from(move |_| {
            let done = seen.clone();
            let number = desk.ask(
                Ask::SeeDossier((*options).clone()),
                &Files::default(),
                move |outcome| {
                    done.set(match outcome {
                        Ok((Answer::Seen(seen), _)) => Long::Done(seen),
                        Ok(_) => Long::Idle,
                        Err(trouble) => Long::Failed(trouble),
                    });
                },
            );
            seen.set(Long::Busy(number));
        })
    };
    let pictures = select(|options, value| options.small_pictures = value == "small");
    let leave = {
        let choose = choose.clone();
        Callback::from(move |place: String| {
            choose(&|options| {
                let n_before = options.without_places.len();
                options.without_places.retain(|one| *one != place);
                if options.without_places.len() == n_before {
                    options.without_places.push(place.clone());
                }
            });
        })
    };
    let lines: &[PlaceLine] = match &places {
        AskedFor::Here(answer) => match &**answer {
            Answer::Places(lines) => lines,
            _ => &[],
        },
        _ => &[],
    };
    html! {
        <section class="part stack">
            <h2>{ "Make the dossier" }</h2>
            <p>{ "The before-and-after history that leaves with the boat, in one file: as a page to read on a screen, or set on paper, to print and to keep. A bag holds both, with the pictures, the ledgers and every statement, so that a buyer can check that nothing was altered. It says that you wrote it, and that it is no survey." }</p>
            <div class="field">
                <label for="dossier-form">{ "Its form" }</label>
                <select id="dossier-form" onchange={form}>
                    { each(&FORMS, &|(name, form, words)| html! {
                        <option value={*name} selected={options.form == *form}>{ *words }</option>
                    }) }
                </select>
            </div>
            <div>
                { tick("With costs", options.with_costs, |options| options.with_costs = !options.with_costs) }
                { tick("With hours", options.with_hours, |options| options.with_hours = !options.with_hours) }
                { tick("With struck entries, struck through", options.with_struck, |options| options.with_struck = !options.with_struck) }
                { tick("With the positions where photographs were taken", options.with_positions, |options| options.with_positions = !options.with_positions) }
                { tick("With names; initials otherwise", options.with_names, |options| options.with_names = !options.with_names) }
            </div>
            if options.form == DossierForm::Page {
                { tick("Sealed with this device’s key, so that a reader can check that no byte was altered", options.is_sealed, |options| options.is_sealed = !options.is_sealed) }
            }
            if options.form != DossierForm::Ledgers {
                <div class="field">
                    <label for="dossier-units">{ "Units of amounts" }</label>
                    <select id="dossier-units" onchange={units}>
                        { each(&UNITS, &|(name, words)| html! {
                            <option value={*name} selected={options.units == *name}>{ *words }</option>
                        }) }
                    </select>
                </div>
                if options.with_costs {
                    <fieldset class="field">
                        <legend>{ "Currency of sums" }</legend>
                        <p class="small soft" id="dossier-money">{ "Sums of money can be said in one currency as well, at rates that you give. What was paid stays as it was written. Leave both blank otherwise." }</p>
                        <label for="dossier-currency">{ "Sums also in" }</label>
                        <input id="dossier-currency" type="text" size="4" maxlength="3" autocomplete="off" autocapitalize="characters" placeholder="EUR" aria-describedby="dossier-money" value={options.currency.clone()} oninput={currency} />
                        <label for="dossier-rates">{ "What one of another currency is worth in it" }</label>
                        <input id="dossier-rates" type="text" autocomplete="off" placeholder="USD 0.92, GBP 1.15" aria-describedby="dossier-money" value={options.rates.clone()} oninput={rates} />
                    </fieldset>
                }
                <div class="field">
                    <label for="dossier-pictures">{ "Size of pictures" }</label>
                    <select id="dossier-pictures" onchange={pictures}>
                        <option value="views" selected={!options.small_pictures}>{ "As they are looked at here" }</option>
                        <option value="small" selected={options.small_pictures}>{ "Small: a light file to send by mail" }</option>
                    </select>
                </div>
            }
            if !lines.is_empty() { { which(lines, &options.without_places, &leave) } }
            <p class="small soft">{ "What is left out is named there as left out." }</p>
            if options.form != DossierForm::Ledgers {
                { preview(&seen, &see) }
            }
            { far(desk, work.number(), "Making the dossier") }
            if let Some(trouble) = work.trouble() { { trouble_box(&TroubleBoxProps { trouble: trouble.clone() }) } }
            { match &*work {
                Long::Busy(_) => Html::default(),
                Long::Done((made, ready)) => html! {
                    <div class="notice" role="status">
                        <p><strong>{ format!("The dossier is ready: {}, {}.", made.names.join(", "), size_words(made.n_bytes)) }</strong></p>
                        { each(&made.remarks, &|remark| html! { <p class="small">{ remark.clone() }</p> }) }
                        <Outward desk={desk.clone()} ready={ready.clone()} can_open={made.media_type != "application/zip" && made.names.len() == 1} />
                    </div>
                },
                _ => html! { <div><button type="button" class="key main-key" onclick={make}>{ "Make the dossier" }</button></div> },
            } }
        </section>
    }
}

/// What it would say, on a press of a button.
fn preview(seen: &Long<Box<DossierSeen>>, see: &Callback<yew::MouseEvent>) -> Html {
    let button = html! {
        <div><button type="button" class="key" onclick={see.clone()}>{ "Show what it will say" }</button></div>
    };
    match seen {
        Long::Idle => button,
        Long::Busy(_) => {
            html! { <p class="soft" role="status">{ "Working out what it will say" }</p> }
        }
        Long::Failed(trouble) => html! {
            <>
                { trouble_box(&TroubleBoxProps { trouble: trouble.clone() }) }
                { button }
            </>
        },
        Long::Done(seen) => html! {
            <div class="notice" role="status">
                <h3>{ "What it will say" }</h3>
                { each(&seen.says, &|says| html! { <p class="small">{ says.clone() }</p> }) }
                { each(&seen.choices, &|(label, text)| html! { <p class="small"><strong>{ format!("{label}. ") }</strong>{ text.clone() }</p> }) }
                <ol class="stack small">{ each(&seen.parts, &part) }</ol>
                <p><strong>{ pictures(seen) }</strong></p>
            </div>
        },
    }
}

fn part(part: &SeenPart) -> Html {
    let counts: Vec<String> = [
        (part.n_pictures, "pictures"),
        (part.n_lines, "lines in tables"),
    ]
    .iter()
    .filter(|(n, _)| *n > 0)
    .map(|(n, what)| format!("{what}: {n}"))
    .collect();
    html! {
        <li>
            <strong>{ part.heading.clone() }</strong>
            if !counts.is_empty() { <span class="soft">{ format!(" ({})", counts.join(", ")) }</span> }
            if !part.stories.is_empty() {
                <ul class="bullets">{ each(&part.stories, &|story| html! { <li>{ story.clone() }</li> }) }</ul>
            }
        </li>
    }
}

fn pictures(seen: &DossierSeen) -> String {
    let all = format!("Pictures in all: {}.", seen.n_pictures);
    match seen.n_missing {
        0 => all,
        n => format!("{all} Not on this device, and named by their digests only: {n}."),
    }
}

/// Which places go in: a place that is left out takes along what lies within it.
fn which(lines: &[PlaceLine], without: &[String], leave: &Callback<String>) -> Html {
    let mut out_from: Option<u32> = None;
    let rows: Vec<Html> = lines
        .iter()
        .filter(|line| !line.is_struck)
        .map(|line| {
            out_from = out_from.filter(|depth| line.depth > *depth);
            let is_within_out = out_from.is_some();
            let is_out = without.contains(&line.id);
            if is_out && !is_within_out {
                out_from = Some(line.depth);
            }
            let onclick = leave.reform({
                let id = line.id.clone();
                move |_: yew::MouseEvent| id.clone()
            });
            html! {
                <label class={yew::classes!("tickbox", format!("in-{}", line.depth.min(6)))}>
                    <input type="checkbox" checked={!is_out && !is_within_out} disabled={is_within_out} {onclick} />
                    <span>{ line.name.clone() }</span>
                </label>
            }
        })
        .collect();
    let says = match without.len() {
        0 => "Places: all of them".to_owned(),
        n => format!("Places: without {n}"),
    };
    html! {
        <details>
            <summary>{ says }</summary>
            <p class="small soft">{ "A place without its tick is left out with all that lies within it: findings, repairs, pictures, hours and costs. The dossier counts them and names none." }</p>
            { each(&rows, &|row| row.clone()) }
        </details>
    }
}
