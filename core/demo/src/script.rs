//! The scenario's script: what is said, in whatever order it is written down here, told in the order of time.

use garboard_record::Kind;
use serde_json::Value;

use crate::drawing::Drawing;
use crate::teller::{Error, Teller, Who};

/// One thing to tell.
type Line = Box<dyn FnOnce(&mut Teller) -> Result<(), Error>>;

/// All that will be told, each with its time as `2026-05-09 14:22`.
#[derive(Default)]
pub(crate) struct Script {
    lines: Vec<(String, Line)>,
}

impl Script {
    fn add(
        &mut self,
        at: &str,
        line: impl FnOnce(&mut Teller, &str) -> Result<(), Error> + 'static,
    ) {
        let time = at.to_owned();
        self.lines
            .push((at.to_owned(), Box::new(move |teller| line(teller, &time))));
    }

    /// Says something that happens now.
    pub(crate) fn say(&mut self, who: Who, at: &str, key: &str, kind: Kind, fields: Value) {
        let key = key.to_owned();
        self.add(at, move |t, at| t.say(who, at, None, &key, &kind, fields));
    }

    /// Says something that happened earlier.
    pub(crate) fn say_of(
        &mut self,
        who: Who,
        at: &str,
        happened: &str,
        key: &str,
        kind: Kind,
        fields: Value,
    ) {
        let (key, happened) = (key.to_owned(), happened.to_owned());
        self.add(at, move |t, at| {
            t.say(who, at, Some(&happened), &key, &kind, fields)
        });
    }

    /// Amends a field as far as its hand has seen it.
    pub(crate) fn amend(&mut self, who: Who, at: &str, key: &str, field: &str, value: Value) {
        let (key, field) = (key.to_owned(), field.to_owned());
        self.add(at, move |t, at| t.amend(who, at, &key, &field, value));
    }

    /// Chooses between two values that the hands gave a field.
    pub(crate) fn choose(
        &mut self,
        who: Who,
        at: &str,
        key: &str,
        field: &str,
        of: Who,
        why: &str,
    ) {
        let (key, field, why) = (key.to_owned(), field.to_owned(), why.to_owned());
        self.add(at, move |t, at| t.choose(who, at, &key, &field, of, &why));
    }

    /// Strikes an entry.
    pub(crate) fn strike(&mut self, who: Who, at: &str, key: &str, why: &str) {
        let (key, why) = (key.to_owned(), why.to_owned());
        self.add(at, move |t, at| t.strike(who, at, &key, &why));
    }

    /// Lifts the strikes of an entry.
    pub(crate) fn lift(&mut self, who: Who, at: &str, key: &str, why: &str) {
        let (key, why) = (key.to_owned(), why.to_owned());
        self.add(at, move |t, at| t.lift(who, at, &key, &why));
    }

    /// Says that one entry belongs to another.
    pub(crate) fn member(&mut self, who: Who, at: &str, whole: &str, part: &str, role: &str) {
        let (whole, part, role) = (whole.to_owned(), part.to_owned(), role.to_owned());
        self.add(at, move |t, at| t.member(who, at, &whole, &part, &role));
    }

    /// Takes a picture in.
    pub(crate) fn picture(
        &mut self,
        who: Who,
        at: &str,
        key: &str,
        drawing: Drawing,
        fields: Value,
    ) {
        let key = key.to_owned();
        self.add(at, move |t, at| t.picture(who, at, &key, drawing, fields));
    }

    /// Between these times the hands write without knowing of each other.
    pub(crate) fn apart(&mut self, from: &str, until: &str) {
        self.add(from, |t, _| {
            t.part();
            Ok(())
        });
        self.add(until, |t, _| {
            t.meet();
            Ok(())
        });
    }

    /// Tells it all in the order of time.
    pub(crate) fn tell(mut self, teller: &mut Teller) -> Result<(), Error> {
        // Stable: within a minute the order of the script holds.
        self.lines.sort_by(|(a, _), (b, _)| a.cmp(b));
        self.lines
            .into_iter()
            .try_for_each(|(_, line)| line(teller))
    }
}
