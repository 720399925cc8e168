//! What was reckoned: kept as inputs and a method, and worked out again for the page.

use garboard_reckon::{Answer, Reckoned, Reckoning, find};
use garboard_record::{Body, Entry};

use super::book::Book;
use super::{Block, Fact, Prose};
use crate::{withheld, words};

/// A reckoning, if it is one and has no place yet: its result with its source, its limits and its cautions.
pub(super) fn told(book: &mut Book<'_>, entry: &Entry, blocks: &mut Vec<Block>) {
    let Body::Reckoning(kept) = &entry.body else {
        return;
    };
    if book.is_placed(entry.id) {
        return;
    }
    let anchor = book.anchor(entry.id);
    let aside = Some(book.aside(entry));
    if withheld::body(book.options, &entry.body) {
        let text = "The seller has left this one out.";
        return blocks.push(Block::Prose(Prose {
            anchor,
            aside,
            ..Prose::labelled("Reckoned, an estimate", text)
        }));
    }
    let method = kept.method.as_deref().unwrap_or_default();
    let inputs = kept.inputs.clone().unwrap_or_default();
    let known = find(method).map(|of| (of, of.run(&inputs)));
    let (text, rest) = match known {
        Some((of, Ok(reckoned))) => (
            headline(of, &reckoned, kept.revision),
            result(of, &reckoned),
        ),
        Some((of, Err(error))) => (
            format!(
                "{}: it cannot be worked out from the inputs that were kept ({error}).",
                of.title
            ),
            Vec::new(),
        ),
        None => (
            format!(
                "By a method called {method}, which this version does not know; its inputs are kept in the log."
            ),
            Vec::new(),
        ),
    };
    blocks.push(Block::Prose(Prose {
        anchor,
        aside,
        ..Prose::labelled("Reckoned, an estimate", text)
    }));
    blocks.extend(
        kept.words
            .as_ref()
            .map(|words| Block::Prose(Prose::plain(words.clone()))),
    );
    blocks.extend(rest);
}

/// What was reckoned, from what, and what it means.
fn headline(of: &'static Reckoning, reckoned: &Reckoned, revision: Option<u64>) -> String {
    let from: Vec<String> = of
        .inputs
        .iter()
        .filter(|input| !reckoned.given.defaulted.contains(&input.name))
        .filter_map(|input| {
            let shown = reckoned.given.shown(input.name)?;
            Some(format!("{}: {shown}", input.label.to_lowercase()))
        })
        .collect();
    let verdicts: Vec<String> = reckoned
        .outcome
        .answers
        .iter()
        .filter(|(_, answer)| matches!(answer, Answer::Verdict { .. } | Answer::Words(_)))
        .map(|(output, answer)| format!(" {}: {}.", output.label, answer.shown()))
        .collect();
    let changed = match revision {
        Some(revision) if revision != of.revision => format!(
            " Kept with revision {revision} of the method, worked out here with revision {}.",
            of.revision
        ),
        _ => String::new(),
    };
    format!(
        "{}. From {}.{}{changed}",
        of.title,
        words::list(&from),
        verdicts.concat()
    )
}

fn result(of: &'static Reckoning, reckoned: &Reckoned) -> Vec<Block> {
    let facts: Vec<Fact> = reckoned
        .outcome
        .answers
        .iter()
        .filter(|(_, answer)| {
            matches!(
                answer,
                Answer::Figure { .. } | Answer::Money(_) | Answer::When(_)
            )
        })
        .map(|(output, answer)| Fact {
            name: output.label.to_owned(),
            value: answer.shown(),
            link: None,
        })
        .collect();
    let mut blocks = Vec::new();
    if !facts.is_empty() {
        blocks.push(Block::Facts(facts));
    }
    let remarks = reckoned.outcome.remarks.iter();
    blocks.extend(remarks.map(|remark| Block::Prose(Prose::plain(remark.clone()))));
    let sources: Vec<String> = of
        .sources
        .iter()
        .map(|source| format!("{} ({})", source.citation, source.mark.shown()))
        .collect();
    blocks.push(Block::Prose(Prose::labelled(
        "Source",
        format!("{}.", sources.join("; ")),
    )));
    let cautions: Vec<&str> = of.all_cautions().map(|caution| caution.words).collect();
    blocks.push(Block::Caution(cautions.join(" ")));
    blocks
}
