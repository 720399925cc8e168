//! Volumes: a history that is too long to be set on paper in one go on a phone, in several files.
//!
//! The rule, as it is said to people: a volume holds at most a thousand pictures or four thousand lines, or some of each. Parts
//! stay whole, unless one alone is longer; such a part goes on in the next volume. Tables are never cut.

use crate::outline::{Block, Outline, Section, Story, figures_of};

/// What a volume holds at most, in lines.
pub const MOST_LINES: usize = 4_000;
/// A picture takes as much as so many lines.
const LINES_OF_A_PICTURE: usize = 4;

/// The name of a volume's file: `history.pdf` alone, `history-2.pdf` among several.
///
/// ```
/// use garboard_dossier::volumes::name;
///
/// assert_eq!(name("history.pdf", 1, 1), "history.pdf");
/// assert_eq!(name("history.pdf", 2, 3), "history-2.pdf");
/// ```
#[must_use]
pub fn name(file: &str, number: usize, of: usize) -> String {
    match file.rsplit_once('.') {
        _ if of < 2 => file.to_owned(),
        Some((stem, ending)) => format!("{stem}-{number}.{ending}"),
        None => format!("{file}-{number}"),
    }
}

/// An outline in volumes; the whole of it where it goes into one.
#[must_use]
pub fn volumes(outline: &Outline) -> Vec<Outline> {
    of_at_most(outline, MOST_LINES)
}

fn of_at_most(outline: &Outline, most: usize) -> Vec<Outline> {
    let mut filled: Vec<(Vec<Section>, usize)> = vec![(Vec::new(), 0)];
    for piece in outline.sections.iter().flat_map(|one| pieces(one, most)) {
        let n_lines = lines_of(&piece.blocks);
        let is_full = filled
            .last()
            .is_none_or(|(of, n)| !of.is_empty() && n + n_lines > most);
        if is_full {
            filled.push((Vec::new(), 0));
        }
        if let Some((of, n)) = filled.last_mut() {
            of.push(piece);
            *n += n_lines;
        }
    }
    if filled.len() < 2 {
        return vec![outline.clone()];
    }
    let of = filled.len();
    let spans: Vec<String> = (1_usize..)
        .zip(&filled)
        .map(|(number, (sections, _))| span(number, sections))
        .collect();
    (1_usize..)
        .zip(filled)
        .map(|(number, (sections, _))| {
            let mut title = outline.title.clone();
            title.statements.insert(
                0,
                format!(
                    "This is volume {number} of {of}. {} What another volume tells is named there by the same number.",
                    spans.join(" ")
                ),
            );
            Outline {
                title,
                sections,
                is_short: outline.is_short,
                without_rate: outline.without_rate.clone(),
            }
        })
        .collect()
}

/// What a volume tells.
fn span(number: usize, sections: &[Section]) -> String {
    match sections {
        [] => String::new(),
        [only] => format!("Volume {number}: {}.", only.heading),
        [first, .., last] => format!("Volume {number}: {} to {}.", first.heading, last.heading),
    }
}

/// How much blocks take, in lines.
fn lines_of(blocks: &[Block]) -> usize {
    blocks.iter().map(lines_of_one).sum()
}

fn lines_of_one(block: &Block) -> usize {
    match block {
        Block::Story(story) => story.margin.len() + lines_of(&story.blocks),
        Block::Pair(_) | Block::Figures(_) => {
            figures_of(std::slice::from_ref(block)).len() * LINES_OF_A_PICTURE
        }
        Block::Drawing(_) => LINES_OF_A_PICTURE,
        Block::Table(table) => table.rows.len(),
        Block::Facts(facts) => facts.len(),
        Block::List(list) => list.len(),
        Block::Heading(_) | Block::Prose(_) | Block::Caution(_) => 1,
    }
}

/// A part, or what it falls into where it alone is longer than a volume.
fn pieces(section: &Section, most: usize) -> Vec<Section> {
    if lines_of(&section.blocks) <= most {
        return vec![section.clone()];
    }
    let mut out: Vec<Section> = Vec::new();
    for blocks in gathered(&section.blocks, most) {
        let number = out.len() + 1;
        let mut piece = Section {
            blocks,
            ..section.clone()
        };
        if number > 1 {
            piece.key = format!("{}-{number}", section.key);
            piece.page.clone_from(&piece.key);
            piece.heading = format!("{}, continued", section.heading);
        }
        out.push(piece);
    }
    out
}

/// Blocks in runs of at most so many lines; a story or a row of pictures that is longer alone is cut, everything else stays whole.
fn gathered(blocks: &[Block], most: usize) -> Vec<Vec<Block>> {
    let mut out: Vec<(Vec<Block>, usize)> = Vec::new();
    for block in blocks.iter().flat_map(|block| cut(block, most)) {
        let n_lines = lines_of_one(&block);
        match out.last_mut() {
            Some((run, n)) if *n + n_lines <= most => {
                run.push(block);
                *n += n_lines;
            }
            _ => out.push((vec![block], n_lines)),
        }
    }
    out.into_iter().map(|(run, _)| run).collect()
}

fn cut(block: &Block, most: usize) -> Vec<Block> {
    if lines_of_one(block) <= most {
        return vec![block.clone()];
    }
    match block {
        Block::Figures(figures) => figures
            .chunks((most / LINES_OF_A_PICTURE).max(1))
            .map(|figures| Block::Figures(figures.to_vec()))
            .collect(),
        Block::Story(story) => {
            let room = most.saturating_sub(story.margin.len()).max(1);
            (0..)
                .zip(gathered(&story.blocks, room))
                .map(|(number, blocks)| {
                    let heading = match number {
                        0 => story.heading.clone(),
                        _ => format!("{}, continued", story.heading),
                    };
                    Block::Story(Story {
                        heading,
                        blocks,
                        ..story.clone()
                    })
                })
                .collect()
        }
        _ => vec![block.clone()],
    }
}

#[cfg(test)]
mod tests {
    use garboard_record::Kind;
    use serde_json::json;

    use super::*;
    use crate::outline::tests::{Log, demonstration};
    use crate::{Options, outline};

    /// Every block in order, with stories and rows of pictures taken apart.
    fn said(outlines: &[Outline]) -> Vec<String> {
        fn within(blocks: &[Block], out: &mut Vec<String>) {
            for block in blocks {
                match block {
                    Block::Story(story) => within(&story.blocks, out),
                    Block::Figures(figures) => {
                        out.extend(figures.iter().map(|figure| format!("{figure:?}")));
                    }
                    block => out.push(format!("{block:?}")),
                }
            }
        }
        let mut out = Vec::new();
        for section in outlines.iter().flat_map(|one| &one.sections) {
            within(&section.blocks, &mut out);
        }
        out
    }

    fn longest_table(outline: &Outline) -> usize {
        fn within(blocks: &[Block]) -> usize {
            let of = |block: &Block| match block {
                Block::Story(story) => within(&story.blocks) + story.margin.len(),
                Block::Figures(_) => LINES_OF_A_PICTURE,
                block => lines_of_one(block),
            };
            blocks.iter().map(of).max().unwrap_or(0)
        }
        let of = |section: &Section| within(&section.blocks);
        outline.sections.iter().map(of).max().unwrap_or(0)
    }

    #[test]
    fn volumes_tell_what_the_whole_tells_in_its_order_and_none_is_too_long() {
        let (_, snapshot) = demonstration();
        let whole = outline(snapshot, &Options::default());
        for most in [40, 100, 400] {
            let volumes = of_at_most(&whole, most);
            assert!(volumes.len() > 1);
            assert_eq!(said(&volumes), said(std::slice::from_ref(&whole)), "{most}");
            let whole_block = longest_table(&whole).max(most);
            let mut keys = std::collections::BTreeSet::new();
            for volume in &volumes {
                let of = |section: &Section| lines_of(&section.blocks);
                let n: usize = volume.sections.iter().map(of).sum();
                assert!(n <= most || n <= whole_block, "{n} of {most}");
                let first = volume.title.statements.first().unwrap();
                assert!(first.starts_with("This is volume "), "{first}");
                for section in &volume.sections {
                    assert!(keys.insert(section.key.clone()), "{} twice", section.key);
                }
            }
        }
        assert_eq!(volumes(&whole), [whole]);
    }

    #[test]
    fn a_place_with_more_pictures_than_a_volume_holds_goes_on_in_the_next() {
        let mut log = Log::new("Dunlin");
        let place = log.say(Kind::Place, json!({ "name": "Deck" }));
        let finding = log.say(
            Kind::Finding,
            json!({ "title": "Wet core", "place": place, "observed": "Dull." }),
        );
        for n in 0..30 {
            let digest = garboard_record::Digest::of(format!("{n}").as_bytes());
            log.say(
                Kind::Photograph,
                json!({ "digest": digest, "finding": finding }),
            );
        }
        let whole = outline(&log.snapshot(), &Options::default());
        let volumes = of_at_most(&whole, 40);
        assert_eq!(said(&volumes), said(std::slice::from_ref(&whole)));
        let headings: Vec<&str> = volumes
            .iter()
            .flat_map(|volume| &volume.sections)
            .map(|section| section.heading.as_str())
            .collect();
        let n_parts = headings
            .iter()
            .filter(|one| one.starts_with("Deck"))
            .count();
        assert!(n_parts >= 3, "{headings:?}");
        assert!(headings.contains(&"Deck, continued"));
    }
}
