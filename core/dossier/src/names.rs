//! Names that the seller wants kept to initials, and how they are found in words and in files.

use std::collections::{BTreeMap, BTreeSet};

use garboard_record::{Body, Snapshot};

use crate::outline::{Block, Cell, Figure, Outline, Prose, drawing::Piece};

/// The names of hands and persons, each with what is printed for it; the longest first.
#[derive(Clone, Debug, Default)]
pub(crate) struct Names(Vec<(String, String)>);

/// Whether a letter may be part of a name, so that `Ann` is not found in `Annual`.
fn is_letter(letter: Option<char>) -> bool {
    letter.is_some_and(char::is_alphanumeric)
}

/// Where a word stands in a text as a word of its own.
fn find(text: &str, word: &str) -> Option<usize> {
    let is_own = |at: &usize| {
        let (before, after) = (text.get(..*at), text.get(at + word.len()..));
        !is_letter(before.and_then(|text| text.chars().next_back()))
            && !is_letter(after.and_then(|text| text.chars().next()))
    };
    text.match_indices(word).map(|(at, _)| at).find(is_own)
}

fn initials(name: &str) -> String {
    let letters = name
        .split_whitespace()
        .filter_map(|part| part.chars().next());
    let each: Vec<String> = letters
        .map(|letter| format!("{}.", letter.to_uppercase()))
        .collect();
    each.join(" ")
}

impl Names {
    /// All names that hands and persons bear or have borne in this log.
    pub(crate) fn of(snapshot: &Snapshot) -> Self {
        let mut names: BTreeSet<String> = BTreeSet::new();
        let mut note = |name: &str| {
            let name = name.trim();
            if !name.is_empty() {
                names.insert(name.to_owned());
            }
        };
        let is_named = |body: &Body| matches!(body, Body::Hand(_) | Body::Person(_));
        for entry in snapshot.entries() {
            match &entry.body {
                Body::Hand(hand) => hand.name.iter().for_each(|name| note(name)),
                Body::Person(person) => person.name.iter().for_each(|name| note(name)),
                _ => {}
            }
        }
        for (id, statement) in snapshot.statements() {
            let first = snapshot.entry(id).filter(|entry| is_named(&entry.body));
            if first.is_some()
                && let Some(name) = statement
                    .fields()
                    .get("name")
                    .and_then(|name| name.as_str())
            {
                note(name);
            }
            if let Some(Body::Amendment(said)) = snapshot.about_body(id)
                && said.field.as_deref() == Some("name")
                && let Some(entry) = said.entry.and_then(|id| snapshot.entry(id))
                && is_named(&entry.body)
                && let Some(name) = said.value.as_ref().and_then(|value| value.as_str())
            {
                note(name);
            }
        }
        let mut taken: BTreeMap<String, usize> = BTreeMap::new();
        let mut out: BTreeMap<String, String> = BTreeMap::new();
        for name in &names {
            let short = initials(name);
            let n = taken.entry(short.clone()).or_default();
            *n += 1;
            // Two people with the same letters stay two.
            let shown = if *n > 1 {
                format!("{short} ({n})")
            } else {
                short
            };
            out.insert(name.clone(), shown);
        }
        // A part of a longer name is one too, unless the log has it as a common word.
        let parts: BTreeSet<&str> = names
            .iter()
            .filter(|name| name.contains(char::is_whitespace))
            .flat_map(|name| name.split_whitespace())
            .filter(|part| {
                part.chars().count() > 1 && part.chars().next().is_some_and(char::is_uppercase)
            })
            .collect();
        for part in parts {
            let common = part.to_lowercase();
            let is_common = snapshot
                .texts()
                .any(|(_, text)| find(&text, &common).is_some());
            if !is_common {
                out.entry(part.to_owned()).or_insert_with(|| initials(part));
            }
        }
        let mut all: Vec<(String, String)> = out.into_iter().collect();
        all.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
        Self(all)
    }

    /// The words with initials in the place of names.
    pub(crate) fn hidden(&self, text: &str) -> String {
        let mut out = text.to_owned();
        for (name, short) in &self.0 {
            let mut done = String::new();
            let mut rest = out.as_str();
            while let Some(at) = find(rest, name) {
                let (before, after) = (rest.get(..at), rest.get(at + name.len()..));
                done.push_str(before.unwrap_or_default());
                done.push_str(short);
                rest = after.unwrap_or_default();
                // `A.` before a full stop is one full stop.
                if let Some(more) = rest.strip_prefix('.').filter(|_| short.ends_with('.')) {
                    rest = more;
                }
            }
            done.push_str(rest);
            out = done;
        }
        out
    }

    /// Whether a statement's text bears a name.
    pub(crate) fn are_in(&self, text: &str) -> bool {
        self.0.iter().any(|(name, _)| {
            let written = serde_json::Value::from(name.as_str()).to_string();
            find(text, written.trim_matches('"')).is_some()
        })
    }

    /// Whether a file bears a name, in letters of one byte or two as pictures' descriptions have them.
    pub(crate) fn are_in_file(&self, bytes: &[u8]) -> bool {
        let is_in = |wanted: &[u8]| {
            wanted.first().is_some_and(|first| {
                let starts = bytes.iter().enumerate().filter(|(_, byte)| *byte == first);
                starts
                    .filter(|(at, _)| {
                        bytes
                            .get(*at..)
                            .is_some_and(|rest| rest.starts_with(wanted))
                    })
                    .any(|(at, _)| {
                        let before = at.checked_sub(1).and_then(|at| bytes.get(at));
                        let after = bytes.get(at + wanted.len());
                        ![before, after]
                            .into_iter()
                            .flatten()
                            .any(u8::is_ascii_alphanumeric)
                    })
            })
        };
        self.0.iter().any(|(name, _)| {
            let wide: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
            is_in(name.as_bytes()) || is_in(&wide)
        })
    }

    /// Puts initials in the place of names in all that an outline says.
    pub(crate) fn hide(&self, outline: &mut Outline) {
        let title = &mut outline.title;
        for words in [&mut title.what, &mut title.period] {
            self.change(words);
        }
        title
            .statements
            .iter_mut()
            .for_each(|words| self.change(words));
        title
            .figure
            .iter_mut()
            .for_each(|figure| self.figure(figure));
        for section in &mut outline.sections {
            self.change(&mut section.heading);
            self.change(&mut section.running);
            self.blocks(&mut section.blocks);
        }
    }

    fn change(&self, words: &mut String) {
        if self.0.iter().any(|(name, _)| words.contains(name.as_str())) {
            *words = self.hidden(words);
        }
    }

    fn maybe(&self, words: &mut Option<String>) {
        words.iter_mut().for_each(|words| self.change(words));
    }

    fn blocks(&self, blocks: &mut [Block]) {
        for block in blocks {
            match block {
                Block::Story(story) => {
                    self.change(&mut story.heading);
                    self.maybe(&mut story.standing);
                    story.margin.iter_mut().for_each(|words| self.change(words));
                    self.blocks(&mut story.blocks);
                }
                Block::Heading(words) | Block::Caution(words) => self.change(words),
                Block::Prose(prose) => self.prose(prose),
                Block::List(list) => list.iter_mut().for_each(|prose| self.prose(prose)),
                Block::Facts(facts) => {
                    for fact in facts {
                        self.change(&mut fact.name);
                        self.change(&mut fact.value);
                    }
                }
                Block::Pair(pair) => {
                    self.figure(&mut pair.before);
                    self.figure(&mut pair.after);
                }
                Block::Figures(figures) => {
                    for figure in figures {
                        self.figure(figure);
                    }
                }
                Block::Drawing(drawing) => {
                    self.change(&mut drawing.alt);
                    self.change(&mut drawing.caption);
                    for piece in &mut drawing.pieces {
                        if let Piece::Words { words, .. } = piece {
                            self.change(words);
                        }
                    }
                }
                Block::Table(table) => {
                    self.change(&mut table.caption);
                    let cells = table.rows.iter_mut().flat_map(|row| &mut row.cells);
                    cells.for_each(|Cell { text, .. }| self.change(text));
                }
            }
        }
    }

    fn prose(&self, prose: &mut Prose) {
        self.maybe(&mut prose.label);
        self.change(&mut prose.text);
        self.maybe(&mut prose.aside);
    }

    fn figure(&self, figure: &mut Figure) {
        self.change(&mut figure.alt);
        self.change(&mut figure.caption);
        self.maybe(&mut figure.instead);
        figure
            .marks
            .iter_mut()
            .for_each(|mark| self.change(&mut mark.words));
    }
}

#[cfg(test)]
mod tests {
    use garboard_record::Kind;
    use serde_json::json;

    use super::*;
    use crate::outline::tests::Log;

    fn names() -> Names {
        let mut log = Log::new("Dunlin");
        log.say(Kind::Person, json!({ "name": "Ada Deck" }));
        log.say(Kind::Person, json!({ "name": "Arne Dorn" }));
        log.say(Kind::Note, json!({ "words": "The deck is wet." }));
        Names::of(&log.snapshot())
    }

    #[test]
    fn names_give_way_to_initials_and_other_words_stay() {
        let names = names();
        for (text, wanted) in [
            (
                "by Ann, Annual service, Hannah",
                "by A., Annual service, Hannah",
            ),
            ("Ann’s phone; seen by Ann.", "A.’s phone; seen by A."),
            ("Arne Dorn and Ada Deck", "A. D. (2) and A. D."),
            ("Dorn came; Arne went", "D. came; A. went"),
            // A word of the log is no name when it stands alone.
            ("Deck › third bay", "Deck › third bay"),
        ] {
            assert_eq!(names.hidden(text), wanted);
        }
        assert!(names.are_in("{\"words\":\"Ann saw it\"}"));
        assert!(!names.are_in("{\"words\":\"Annual\"}"));
    }

    #[test]
    fn names_are_found_in_files_in_one_byte_or_two() {
        let names = names();
        assert!(names.are_in_file(b"\xFF\xE1Exif\0\0Artist\0Arne Dorn\0"));
        let wide: Vec<u8> = "Ann".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert!(names.are_in_file(&[b"\0\0".to_vec(), wide, b"\0\0".to_vec()].concat()));
        assert!(!names.are_in_file(b"Annotation"));
    }
}
