//! Where a formula or a figure comes from, and how far it can be trusted.

/// How far a source can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Read in the publication that is named.
    Published,
    /// A definition, or plain arithmetic and geometry.
    Definition,
    /// Worked out a second time, apart from this code, by the published formula or with a reference library.
    Worked,
    /// What people of the trade do; there is no source that could be named.
    CommonPractice,
    /// From memory; not seen in a source.
    Memory,
}

impl Mark {
    /// All marks, the surest first.
    pub const ALL: [Self; 5] = [
        Self::Published,
        Self::Definition,
        Self::Worked,
        Self::CommonPractice,
        Self::Memory,
    ];

    /// As it is kept in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Definition => "definition",
            Self::Worked => "worked-independently",
            Self::CommonPractice => "common-practice",
            Self::Memory => "from-memory",
        }
    }

    /// As it is shown.
    #[must_use]
    pub fn shown(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::Definition => "definition",
            Self::Worked => "worked independently",
            Self::CommonPractice => "common practice, no source",
            Self::Memory => "from memory",
        }
    }
}

/// One source of a reckoning.
#[derive(Debug, Clone, Copy)]
pub struct Source {
    /// How far it can be trusted.
    pub mark: Mark,
    /// The publication with its page, table or clause, and what of it is used.
    pub citation: &'static str,
    /// The page under `docs/sources` that lists its clauses, without `.md`; empty where there is none.
    pub key: &'static str,
}

/// A publication that was read, with its page under `docs/sources`.
#[must_use]
pub const fn published(citation: &'static str, key: &'static str) -> Source {
    Source {
        mark: Mark::Published,
        citation,
        key,
    }
}

/// A definition or plain arithmetic.
#[must_use]
pub const fn definition(citation: &'static str) -> Source {
    Source {
        mark: Mark::Definition,
        citation,
        key: "",
    }
}

/// What people of the trade do.
#[must_use]
pub const fn common_practice(citation: &'static str) -> Source {
    Source {
        mark: Mark::CommonPractice,
        citation,
        key: "",
    }
}

/// From memory.
#[must_use]
pub const fn memory(citation: &'static str) -> Source {
    Source {
        mark: Mark::Memory,
        citation,
        key: "",
    }
}
