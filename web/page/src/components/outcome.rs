//! What a reckoning came to, with its source and its cautions beside it.

use garboard_reckon::output::{Output, Shape};
use garboard_reckon::{Answer, Outcome, Reckoning};
use yew::{AttrValue, Html, html};

use super::each;

/// All of it: the news first, then figures, drawings and tables, remarks, cautions, and where it comes from.
pub(crate) fn outcome(of: &'static Reckoning, came: &Outcome) -> Html {
    let mut verdicts = Vec::new();
    let mut figures = Vec::new();
    let mut wide = Vec::new();
    for (output, answer) in came.answers.iter() {
        match answer {
            Answer::Verdict { .. } | Answer::Words(_) => verdicts.push((output, answer)),
            Answer::Table(_) | Answer::Drawing(_) => wide.push((output, answer)),
            _ => figures.push((output, answer)),
        }
    }
    html! { <>
        { for verdicts.into_iter().map(|(output, answer)| html! { <p class="lead">{ format!("{}: {}.", output.label, answer.shown().trim_end_matches('.')) }</p> }) }
        <dl class="facts figures">
            { for figures.into_iter().map(|(output, answer)| html! { <div><dt>{ output.label }</dt><dd>{ figure(answer) }</dd></div> }) }
        </dl>
        { for wide.into_iter().map(|(output, answer)| shown_wide(output, answer)) }
        { for came.remarks.iter().map(|remark| html! { <p class="notice">{ remark.clone() }</p> }) }
        { beside(of) }
    </> }
}

fn figure(answer: &Answer) -> Html {
    let shown = answer.shown();
    match shown.split_once(' ') {
        Some((number, unit)) if matches!(answer, Answer::Figure { .. }) => {
            html! { <><span class="row-figure">{ number.to_owned() }</span>{ format!(" {unit}") }</> }
        }
        _ => html! { <span class="row-figure">{ shown }</span> },
    }
}

fn shown_wide(output: &'static Output, answer: &Answer) -> Html {
    match answer {
        Answer::Drawing(drawing) => html! {
            <figure class="reckon-drawing">
                { Html::from_html_unchecked(AttrValue::from(drawing.svg())) }
                <figcaption>{ drawing.says.clone() }</figcaption>
            </figure>
        },
        Answer::Table(rows) => {
            let columns = match output.shape {
                Shape::Table(columns) => columns,
                _ => &[],
            };
            html! {
                <div class="scrolls">
                    <table class="ledger">
                        <caption>{ output.label }</caption>
                        <thead><tr>{ for columns.iter().map(|column| html! { <th scope="col" class={is_number(column).then_some("number")}>{ head(column) }</th> }) }</tr></thead>
                        <tbody>
                            { each(rows, &|row| html! {
                                <tr>{ for columns.iter().map(|column| html! { <td class={is_number(column).then_some("number")}>{ row.get(column.name).map(cell).unwrap_or_default() }</td> }) }</tr>
                            }) }
                        </tbody>
                    </table>
                </div>
            }
        }
        _ => Html::default(),
    }
}

fn is_number(column: &Output) -> bool {
    matches!(column.shape, Shape::Figure { .. } | Shape::Money)
}

fn head(column: &Output) -> String {
    match column.shape {
        Shape::Figure { unit, .. } if !unit.is_empty() => {
            format!(
                "{}, {}",
                column.label,
                garboard_reckon::input::shown_unit(unit)
            )
        }
        _ => column.label.to_owned(),
    }
}

/// A cell: the unit stands in the head.
fn cell(answer: &Answer) -> String {
    match answer {
        Answer::Figure { value, .. } => value.to_string(),
        other => other.shown(),
    }
}

/// What must stand beside every result.
fn beside(of: &'static Reckoning) -> Html {
    html! { <>
        <section class="stack" aria-label="Cautions">
            <h3>{ "Take care" }</h3>
            <ul class="bullets cautions">{ for of.all_cautions().map(|caution| html! { <li>{ caution.words }</li> }) }</ul>
        </section>
        <details>
            <summary>{ "How it is reckoned, and where it comes from" }</summary>
            <pre class="formula">{ of.formula.trim() }</pre>
            <h3>{ "Sources" }</h3>
            <ul class="bullets">{ for of.sources.iter().map(|source| html! { <li>{ format!("{} ({})", source.citation, source.mark.shown()) }</li> }) }</ul>
            <h3>{ "What it does not cover" }</h3>
            <ul class="bullets">{ for of.limits.iter().map(|limit| html! { <li>{ *limit }</li> }) }</ul>
        </details>
    </> }
}
