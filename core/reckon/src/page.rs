//! A reckoning's page in the documentation, made from its description and its check values.

use crate::check::Expect;
use crate::input::{Input, Need, Shape};
use crate::outcome::Answer;
use crate::output::{self, Output};
use crate::{ALL, Reckoning};

/// Adds a line.
fn line(page: &mut String, text: &str) {
    page.push_str(text.trim_end());
    page.push('\n');
}

/// Words that may stand in a cell of a table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}

/// The page of one reckoning, in Markdown.
#[must_use]
pub fn of(reckoning: &'static Reckoning) -> String {
    let mut page = String::new();
    let out = &mut page;
    line(out, &format!("# {}", reckoning.title));
    line(out, "");
    line(out, reckoning.purpose);
    line(out, "");
    line(
        out,
        &format!(
            "On the command line: `garboard reckon {}`; topic: {}; revision {}.",
            reckoning.name,
            reckoning.topic.shown(),
            reckoning.revision
        ),
    );
    line(out, "This page is made from the reckoning's description.");
    line(out, "");
    line(out, "## Take care");
    line(out, "");
    for caution in reckoning.all_cautions() {
        let source = if caution.source.is_empty() {
            String::new()
        } else {
            format!(" ({})", caution.source)
        };
        line(out, &format!("- {}{source}", caution.words));
    }
    line(out, "");
    line(out, "## What it asks for");
    line(out, "");
    inputs(out, reckoning.inputs);
    line(out, "");
    line(out, "## What it answers");
    line(out, "");
    results(out, reckoning.results, "");
    line(out, "");
    line(out, "## Formula");
    line(out, "");
    line(out, "```text");
    line(out, reckoning.formula.trim_matches('\n'));
    line(out, "```");
    line(out, "");
    line(out, "## Sources");
    line(out, "");
    for source in reckoning.sources {
        let link = if source.key.is_empty() {
            String::new()
        } else {
            format!(" [Clauses](../sources/{}.md).", source.key)
        };
        line(
            out,
            &format!("- {} *({})*{link}", source.citation, source.mark.shown()),
        );
    }
    line(out, "");
    line(out, "## Not covered");
    line(out, "");
    for limit in reckoning.limits {
        line(out, &format!("- {limit}"));
    }
    line(out, "");
    line(out, "## Check values");
    line(out, "");
    line(out, "| case | result | expected | this software | source |");
    line(out, "| --- | --- | --- | --- | --- |");
    for check in reckoning.checks {
        let ran = serde_json::from_str(check.inputs)
            .map_err(|cause| cause.to_string())
            .and_then(|inputs| reckoning.run(&inputs).map_err(|cause| cause.to_string()));
        for expect in check.expect {
            let (result, expected) = match expect {
                Expect::Near {
                    result,
                    value,
                    within,
                } => (*result, format!("{value} ± {within}")),
                Expect::Word { result, word } => (*result, (*word).to_owned()),
                Expect::Refused { input } => ("", format!("refused: {input}")),
            };
            let found = match &ran {
                Ok(reckoned) => crate::check::found(&reckoned.outcome.answers, result)
                    .map_or_else(|| "–".to_owned(), Answer::shown),
                Err(cause) => cause.clone(),
            };
            line(
                out,
                &format!(
                    "| {} | {} | {} | {} | {} *({})* |",
                    cell(check.case),
                    result.replace('_', " "),
                    cell(&expected),
                    cell(&found),
                    cell(check.source),
                    check.mark.shown()
                ),
            );
        }
    }
    page
}

fn inputs(out: &mut String, list: &[Input]) {
    line(out, "| input | | allowed | without it |");
    line(out, "| --- | --- | --- | --- |");
    for input in list {
        let without = match input.need {
            Need::Required => "needed".to_owned(),
            Need::Optional => "may be left out".to_owned(),
            Need::Default { value, from } => format!("{value} ({from})"),
        };
        line(
            out,
            &format!(
                "| `{}` | {}. {} | {} | {} |",
                input.name,
                input.label,
                cell(input.help),
                cell(&input.allowed()),
                cell(&without)
            ),
        );
    }
    for input in list {
        if let Shape::Rows { columns, .. } = input.shape {
            line(out, "");
            line(out, &format!("Each row of `{}`:", input.name));
            line(out, "");
            inputs(out, columns);
        }
    }
}

fn results(out: &mut String, list: &[Output], indent: &str) {
    for output in list {
        let what = match output.shape {
            output::Shape::Figure { unit: "", .. } => "number".to_owned(),
            output::Shape::Figure { unit, .. } => crate::input::shown_unit(unit).to_owned(),
            output::Shape::Verdict(words) => words
                .iter()
                .map(|(_, shown)| *shown)
                .collect::<Vec<_>>()
                .join("; "),
            output::Shape::Words => "words".to_owned(),
            output::Shape::When => "time".to_owned(),
            output::Shape::Money => "money".to_owned(),
            output::Shape::Table(_) => "table".to_owned(),
            output::Shape::Drawing => "drawing".to_owned(),
        };
        let sometimes = if output.always { "" } else { ", sometimes" };
        line(
            out,
            &format!(
                "{indent}- `{}`: {} ({what}{sometimes})",
                output.name, output.label
            ),
        );
        if let output::Shape::Table(columns) = output.shape {
            results(out, columns, &format!("{indent}  "));
        }
    }
}

/// The page that lists all reckonings.
#[must_use]
pub fn index() -> String {
    let mut page = String::new();
    let out = &mut page;
    line(out, "# Reckonings");
    line(out, "");
    line(
        out,
        "Every computation, made from its description; `garboard reckon --list` prints the same.",
    );
    line(
        out,
        "A value is called *published* where the publication was read, and otherwise says what it is.",
    );
    let mut sorted: Vec<&Reckoning> = ALL.to_vec();
    sorted.sort_by_key(|reckoning| (reckoning.topic, reckoning.name));
    let mut topic = None;
    for reckoning in sorted {
        if topic != Some(reckoning.topic) {
            topic = Some(reckoning.topic);
            line(out, "");
            line(out, &format!("## {}", capital(reckoning.topic.shown())));
            line(out, "");
        }
        line(
            out,
            &format!(
                "- [{}]({}.md): {}",
                reckoning.title, reckoning.name, reckoning.purpose
            ),
        );
    }
    page
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + chars.as_str()
    })
}
