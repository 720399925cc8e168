//! Which screen is shown, and how the address says it.

/// The four tabs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Section {
    /// The running page.
    #[default]
    Log,
    /// Particulars and places.
    Boat,
    /// Repairs, what is open, upkeep.
    Work,
    /// The trade's computations.
    Reckon,
    /// Parcels, the dossier, this device.
    Share,
}

impl Section {
    /// All of them, in the order shown.
    pub(crate) const ALL: [Self; 5] =
        [Self::Log, Self::Boat, Self::Work, Self::Reckon, Self::Share];

    /// Its word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Log => "Log",
            Self::Boat => "Boat",
            Self::Work => "Work",
            Self::Reckon => "Reckon",
            Self::Share => "Share",
        }
    }

    /// Its screen.
    pub(crate) fn route(self) -> Route {
        match self {
            Self::Log => Route::Log,
            Self::Boat => Route::Boat,
            Self::Work => Route::Work,
            Self::Reckon => Route::Reckon,
            Self::Share => Route::Share,
        }
    }
}

/// A screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) enum Route {
    /// The running page.
    #[default]
    Log,
    /// Particulars and places.
    Boat,
    /// Repairs, what is open, upkeep.
    Work,
    /// The trade's computations.
    Reckon,
    /// Parcels, the dossier, this device.
    Share,
    /// One reckoning.
    Reckoning {
        /// Its name.
        name: String,
        /// The repair that it is for, or a kept reckoning whose inputs it begins with.
        about: Option<String>,
    },
    /// One entry.
    Entry(String),
    /// The form of a kind, perhaps for another entry.
    Add {
        /// The kind.
        kind: String,
        /// The entry that it is for.
        about: Option<String>,
    },
    /// A reading.
    Measure,
    /// Words.
    Write,
    /// Where the person works.
    Change,
    /// Every field on which hands differ.
    Differences,
    /// The marks on a photograph.
    Marks(String),
    /// A photograph and the earlier one that it answers, laid into one frame.
    Frame(String),
    /// Words said aloud.
    Say,
    /// The camera in the page, perhaps for the view of an earlier photograph.
    Camera {
        /// The earlier photograph.
        answers: Option<String>,
    },
    /// Pictures that were taken before, many at once.
    Gallery,
}

impl Route {
    /// The tab whose own screen this is.
    pub(crate) fn section(&self) -> Option<Section> {
        match self {
            Self::Log => Some(Section::Log),
            Self::Boat => Some(Section::Boat),
            Self::Work => Some(Section::Work),
            Self::Reckon => Some(Section::Reckon),
            Self::Share => Some(Section::Share),
            _ => None,
        }
    }

    /// Whether it takes the whole screen for a capture.
    pub(crate) fn is_sheet(&self) -> bool {
        matches!(
            self,
            Self::Measure
                | Self::Write
                | Self::Change
                | Self::Add { .. }
                | Self::Marks(_)
                | Self::Reckoning { .. }
                | Self::Frame(_)
                | Self::Say
                | Self::Camera { .. }
                | Self::Gallery
        )
    }

    /// As it stands in the address.
    pub(crate) fn hash(&self) -> String {
        match self {
            Self::Log => "/log".to_owned(),
            Self::Boat => "/boat".to_owned(),
            Self::Work => "/work".to_owned(),
            Self::Reckon => "/reckon".to_owned(),
            Self::Reckoning { name, about: None } => format!("/reckon/{name}"),
            Self::Reckoning {
                name,
                about: Some(about),
            } => format!("/reckon/{name}/{about}"),
            Self::Share => "/share".to_owned(),
            Self::Entry(id) => format!("/entry/{id}"),
            Self::Add { kind, about: None } => format!("/add/{kind}"),
            Self::Add {
                kind,
                about: Some(about),
            } => format!("/add/{kind}/{about}"),
            Self::Measure => "/measure".to_owned(),
            Self::Write => "/write".to_owned(),
            Self::Change => "/place".to_owned(),
            Self::Differences => "/differences".to_owned(),
            Self::Marks(id) => format!("/marks/{id}"),
            Self::Frame(id) => format!("/frame/{id}"),
            Self::Say => "/say".to_owned(),
            Self::Camera { answers: None } => "/camera".to_owned(),
            Self::Camera {
                answers: Some(answers),
            } => format!("/camera/{answers}"),
            Self::Gallery => "/pictures".to_owned(),
        }
    }

    /// The screen that an address names; the log when it names none.
    pub(crate) fn of_hash(hash: &str) -> Self {
        let mut parts = hash
            .trim_start_matches('/')
            .split('/')
            .filter(|part| !part.is_empty());
        match (parts.next(), parts.next(), parts.next()) {
            (Some("boat"), ..) => Self::Boat,
            (Some("work"), ..) => Self::Work,
            (Some("reckon"), Some(name), about) => Self::Reckoning {
                name: name.to_owned(),
                about: about.map(str::to_owned),
            },
            (Some("reckon"), None, _) => Self::Reckon,
            (Some("share"), ..) => Self::Share,
            (Some("entry"), Some(id), _) => Self::Entry(id.to_owned()),
            (Some("add"), Some(kind), about) => Self::Add {
                kind: kind.to_owned(),
                about: about.map(str::to_owned),
            },
            (Some("measure"), ..) => Self::Measure,
            (Some("write"), ..) => Self::Write,
            (Some("place"), ..) => Self::Change,
            (Some("differences"), ..) => Self::Differences,
            (Some("marks"), Some(id), _) => Self::Marks(id.to_owned()),
            (Some("frame"), Some(id), _) => Self::Frame(id.to_owned()),
            (Some("say"), ..) => Self::Say,
            (Some("camera"), answers, _) => Self::Camera {
                answers: answers.map(str::to_owned),
            },
            (Some("pictures"), ..) => Self::Gallery,
            _ => Self::Log,
        }
    }
}
