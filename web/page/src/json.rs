//! The little JSON that forms make and amendments read: texts, whole numbers, lists and flat objects.

/// Writes a text as a JSON string.
pub(crate) fn string(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if u32::from(c) < 0x20 => out.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Writes a list of values that are JSON already.
pub(crate) fn list(values: &[String]) -> String {
    format!("[{}]", values.join(","))
}

/// Writes an object of values that are JSON already.
pub(crate) fn object(fields: &[(String, String)]) -> String {
    let fields: Vec<String> = fields
        .iter()
        .map(|(name, value)| format!("{}:{value}", string(name)))
        .collect();
    format!("{{{}}}", fields.join(","))
}

/// A JSON value, as deep as forms need it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Json {
    /// A string.
    Text(String),
    /// A list.
    List(Vec<Self>),
    /// An object, in the order written.
    Object(Vec<(String, Self)>),
    /// A number, `true`, `false` or `null`, as written.
    Bare(String),
}

impl Json {
    /// Reads a text; `None` when it is no JSON.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let mut reader = Reader {
            rest: text.trim(),
            depth: 0,
        };
        let value = reader.value()?;
        reader.rest.trim().is_empty().then_some(value)
    }

    /// The string or bare word inside.
    pub(crate) fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) | Self::Bare(text) => Some(text),
            Self::List(_) | Self::Object(_) => None,
        }
    }

    /// A field of an object.
    pub(crate) fn field(&self, name: &str) -> Option<&Self> {
        let Self::Object(fields) = self else {
            return None;
        };
        fields
            .iter()
            .find(|(field, _)| field == name)
            .map(|(_, value)| value)
    }

    /// The value as JSON text again.
    pub(crate) fn written(&self) -> String {
        match self {
            Self::Text(text) => string(text),
            Self::Bare(text) => text.clone(),
            Self::List(values) => list(&values.iter().map(Self::written).collect::<Vec<_>>()),
            Self::Object(fields) => object(
                &fields
                    .iter()
                    .map(|(name, value)| (name.clone(), value.written()))
                    .collect::<Vec<_>>(),
            ),
        }
    }
}

struct Reader<'a> {
    rest: &'a str,
    depth: u8,
}

impl Reader<'_> {
    fn value(&mut self) -> Option<Json> {
        self.depth = self.depth.checked_add(1).filter(|depth| *depth < 32)?;
        self.rest = self.rest.trim_start();
        let value = match self.rest.chars().next()? {
            '"' => Json::Text(self.text()?),
            '[' => {
                let mut values = Vec::new();
                self.sequence('[', ']', |reader| {
                    values.push(reader.value()?);
                    Some(())
                })?;
                Json::List(values)
            }
            '{' => {
                let mut fields = Vec::new();
                self.sequence('{', '}', |reader| {
                    reader.rest = reader.rest.trim_start();
                    let name = reader.text()?;
                    reader.take(':')?;
                    fields.push((name, reader.value()?));
                    Some(())
                })?;
                Json::Object(fields)
            }
            _ => {
                let end = self
                    .rest
                    .find([',', ']', '}', ' ', '\n', '\t', '\r'])
                    .unwrap_or(self.rest.len());
                let (word, rest) = self.rest.split_at(end);
                if !is_number(word) && !matches!(word, "true" | "false" | "null") {
                    return None;
                }
                self.rest = rest;
                Json::Bare(word.to_owned())
            }
        };
        self.depth -= 1;
        Some(value)
    }

    fn take(&mut self, wanted: char) -> Option<()> {
        self.rest = self.rest.trim_start().strip_prefix(wanted)?;
        Some(())
    }

    fn sequence(
        &mut self,
        open: char,
        close: char,
        mut item: impl FnMut(&mut Self) -> Option<()>,
    ) -> Option<()> {
        self.take(open)?;
        if self.take(close).is_some() {
            return Some(());
        }
        loop {
            item(self)?;
            if self.take(close).is_some() {
                return Some(());
            }
            self.take(',')?;
        }
    }

    fn text(&mut self) -> Option<String> {
        let mut out = String::new();
        let mut chars = self.rest.strip_prefix('"')?.chars();
        loop {
            match chars.next()? {
                '"' => break,
                '\\' => match chars.next()? {
                    'n' => out.push('\n'),
                    'r' => out.push('\r'),
                    't' => out.push('\t'),
                    'b' => out.push('\u{8}'),
                    'f' => out.push('\u{c}'),
                    'u' => {
                        let mut unit = hex(&mut chars)?;
                        if (0xD800..0xDC00).contains(&unit) {
                            if (chars.next()?, chars.next()?) != ('\\', 'u') {
                                return None;
                            }
                            let low = hex(&mut chars)?
                                .checked_sub(0xDC00)
                                .filter(|low| *low < 0x400)?;
                            unit = 0x1_0000 + ((unit - 0xD800) << 10) + low;
                        }
                        out.push(char::from_u32(unit)?);
                    }
                    c @ ('"' | '\\' | '/') => out.push(c),
                    _ => return None,
                },
                c => out.push(c),
            }
        }
        self.rest = chars.as_str();
        Some(out)
    }
}

/// Whether a word has the form of a JSON number.
fn is_number(word: &str) -> bool {
    let bare = word.strip_prefix('-').unwrap_or(word);
    let (mantissa, exponent) = bare
        .split_once(['e', 'E'])
        .map_or((bare, None), |(mantissa, exponent)| {
            (mantissa, Some(exponent))
        });
    let (whole, part) = mantissa
        .split_once('.')
        .map_or((mantissa, None), |(whole, part)| (whole, Some(part)));
    let are_digits =
        |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    are_digits(whole)
        && (whole == "0" || !whole.starts_with('0'))
        && part.is_none_or(are_digits)
        && exponent.is_none_or(|exponent| {
            are_digits(exponent.strip_prefix(['+', '-']).unwrap_or(exponent))
        })
}

fn hex(chars: &mut std::str::Chars<'_>) -> Option<u32> {
    (0..4).try_fold(0, |unit, _| Some(unit * 16 + chars.next()?.to_digit(16)?))
}

#[cfg(test)]
mod tests;
