//! What a dossier would say, in a few lines, for the seller to look at before it is made.

use garboard_record::Digest;

use crate::outline::{Block, Figure, Outline, Section, figures_of, front::CHOICES};

/// A dossier before it is made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Preview {
    /// Who it says wrote it, and what it says it is not.
    pub says: Vec<String>,
    /// The seller's choices as it prints them: a label and a sentence.
    pub choices: Vec<(String, String)>,
    /// Its parts, in order.
    pub parts: Vec<Part>,
    /// How many pictures it shows.
    pub n_pictures: usize,
    /// How many of them are named by their digests only, since they are not at hand.
    pub n_missing: usize,
}

/// A part of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Part {
    /// Its heading.
    pub heading: String,
    /// What it tells of, each with how it stands.
    pub stories: Vec<String>,
    /// How many pictures it shows.
    pub n_pictures: usize,
    /// How many lines its tables have.
    pub n_lines: usize,
}

/// Looks at an outline. `has` says whether a picture is at hand.
#[must_use]
pub fn preview(outline: &Outline, mut has: impl FnMut(Digest) -> bool) -> Preview {
    let mut out = Preview {
        says: outline.title.statements.clone(),
        ..Preview::default()
    };
    let mut count = |figures: &[&Figure]| {
        let shown = figures.iter().filter(|figure| figure.instead.is_none());
        let n = shown.clone().count();
        let missing = shown.filter(|figure| !figure.shown.iter().any(|digest| has(*digest)));
        (n, missing.count())
    };
    let of_title: Vec<&Figure> = outline.title.figure.iter().collect();
    (out.n_pictures, out.n_missing) = count(&of_title);
    for section in &outline.sections {
        let (n_pictures, n_missing) = count(&figures_of(&section.blocks));
        out.n_pictures += n_pictures;
        out.n_missing += n_missing;
        out.choices.extend(choices(section));
        out.parts.push(Part {
            heading: section.heading.clone(),
            n_pictures,
            ..told(section)
        });
    }
    out
}

/// The choices that a section prints.
fn choices(section: &Section) -> Vec<(String, String)> {
    let lists = section.blocks.iter().filter_map(|block| match block {
        Block::List(list) => Some(list),
        _ => None,
    });
    lists
        .flatten()
        .filter_map(|prose| Some((prose.label.clone()?, prose.text.clone())))
        .filter(|(label, _)| CHOICES.contains(&label.as_str()))
        .map(|(label, text)| (label.trim_end_matches('.').to_owned(), text))
        .collect()
}

fn told(section: &Section) -> Part {
    let mut out = Part::default();
    for block in &section.blocks {
        match block {
            Block::Story(story) => out.stories.push(match &story.standing {
                Some(standing) => format!("{} ({standing})", story.heading),
                None => story.heading.clone(),
            }),
            Block::Table(table) => {
                out.n_lines += table.rows.iter().filter(|row| !row.is_total).count();
            }
            _ => {}
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::tests::demonstration;
    use crate::{Options, outline};

    #[test]
    fn a_preview_has_every_heading_and_counts_what_the_page_shows() {
        let (told, snapshot) = demonstration();
        let options = Options {
            costs: false,
            ..Options::default()
        };
        let said = outline(snapshot, &options);
        let seen = preview(&said, |digest| told.picture(digest).is_some());
        let headings: Vec<&str> = seen
            .parts
            .iter()
            .map(|part| part.heading.as_str())
            .collect();
        let wanted: Vec<&str> = said
            .sections
            .iter()
            .map(|one| one.heading.as_str())
            .collect();
        assert_eq!(headings, wanted);
        let page = crate::html(&said, |digest| told.picture(digest));
        assert_eq!(seen.n_pictures, page.matches("<img ").count());
        assert_eq!(seen.n_missing, 0);
        assert!(
            seen.parts
                .iter()
                .map(|part| part.stories.len())
                .sum::<usize>()
                > 5
        );
        let left_out = seen.choices.iter().find(|(label, _)| label == "Left out");
        assert!(left_out.unwrap().1.contains("costs"), "{:?}", seen.choices);
        let nothing = preview(&said, |_| false);
        assert_eq!(nothing.n_missing, nothing.n_pictures);
    }
}
