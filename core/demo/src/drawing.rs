//! The demonstration's pictures, drawn by the program itself: pen, hatching and a few washes.
//!
//! They are drawings and say so on their face. Every machine draws the same bytes.

mod deck;
mod fitting;
mod inside;
mod letter;
mod mask;
mod png;
mod sheet;
mod whole;

use sheet::{INK, PAPER, SIZE, Sheet};

/// What a drawing shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Drawing {
    /// The boat ashore on her blocks.
    Ashore,
    /// The side deck with its stanchion, a crack and a stain.
    SideDeckFound,
    /// The same, its skin lifted: brown wet core.
    SideDeckOpened,
    /// The same, dug out and ground clean.
    SideDeckPrepared,
    /// The same, the new core bedded.
    SideDeckRebuilt,
    /// The same, painted.
    SideDeckFinished,
    /// The corner of a window from inside, with a stain.
    WindowFound,
    /// The same corner, dry and varnished.
    WindowFinished,
    /// A chainplate that weeps rust.
    ChainplateFound,
    /// The same, renewed and bedded.
    ChainplateFinished,
    /// An earlier repair of the foredeck that has failed.
    PatchFound,
    /// The same, sealed for the season.
    PatchSealed,
    /// A hose in the bilge with a clip that has rusted through.
    BilgeFound,
    /// The same with new clips.
    BilgeFinished,
    /// A tank with what lies behind it out of reach.
    BehindTank,
}

impl Drawing {
    /// Every drawing.
    pub const ALL: [Self; 15] = [
        Self::Ashore,
        Self::SideDeckFound,
        Self::SideDeckOpened,
        Self::SideDeckPrepared,
        Self::SideDeckRebuilt,
        Self::SideDeckFinished,
        Self::WindowFound,
        Self::WindowFinished,
        Self::ChainplateFound,
        Self::ChainplateFinished,
        Self::PatchFound,
        Self::PatchSealed,
        Self::BilgeFound,
        Self::BilgeFinished,
        Self::BehindTank,
    ];

    /// What stands under the drawing, and its name as a file.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Ashore => ("ASHORE ON HER BLOCKS", "drawing-ashore.png"),
            Self::SideDeckFound => (
                "SIDE DECK, PORT, THIRD BAY. FOUND",
                "drawing-side-deck-1-found.png",
            ),
            Self::SideDeckOpened => (
                "SIDE DECK, PORT, THIRD BAY. OPENED",
                "drawing-side-deck-2-opened.png",
            ),
            Self::SideDeckPrepared => (
                "SIDE DECK, PORT, THIRD BAY. PREPARED",
                "drawing-side-deck-3-prepared.png",
            ),
            Self::SideDeckRebuilt => (
                "SIDE DECK, PORT, THIRD BAY. REBUILT",
                "drawing-side-deck-4-rebuilt.png",
            ),
            Self::SideDeckFinished => (
                "SIDE DECK, PORT, THIRD BAY. FINISHED",
                "drawing-side-deck-5-finished.png",
            ),
            Self::WindowFound => (
                "WINDOW 2, LOWER CORNER, INSIDE. FOUND",
                "drawing-window-1-found.png",
            ),
            Self::WindowFinished => (
                "WINDOW 2, LOWER CORNER, INSIDE. FINISHED",
                "drawing-window-2-finished.png",
            ),
            Self::ChainplateFound => (
                "CHAINPLATE, STARBOARD. FOUND",
                "drawing-chainplate-1-found.png",
            ),
            Self::ChainplateFinished => (
                "CHAINPLATE, STARBOARD. FINISHED",
                "drawing-chainplate-2-finished.png",
            ),
            Self::PatchFound => (
                "FOREDECK, EARLIER REPAIR. FOUND",
                "drawing-foredeck-patch-1-found.png",
            ),
            Self::PatchSealed => (
                "FOREDECK, EARLIER REPAIR. SEALED",
                "drawing-foredeck-patch-2-sealed.png",
            ),
            Self::BilgeFound => ("BILGE, AMIDSHIPS, HOSE. FOUND", "drawing-bilge-1-found.png"),
            Self::BilgeFinished => (
                "BILGE, AMIDSHIPS, HOSE. FINISHED",
                "drawing-bilge-2-finished.png",
            ),
            Self::BehindTank => ("BEHIND THE TANK. NOT REACHED", "drawing-behind-tank.png"),
        }
    }

    /// Its name as a file, which says that it is a drawing.
    #[must_use]
    pub fn file_name(self) -> &'static str {
        self.words().1
    }

    /// Draws it: a PNG of 1200 × 900 pixels.
    #[must_use]
    pub fn png(self) -> Vec<u8> {
        let mut sheet = Sheet::new();
        match self {
            Self::Ashore => whole::ashore(&mut sheet),
            Self::SideDeckFound => deck::side_deck(&mut sheet, deck::State::Found),
            Self::SideDeckOpened => deck::side_deck(&mut sheet, deck::State::Opened),
            Self::SideDeckPrepared => deck::side_deck(&mut sheet, deck::State::Prepared),
            Self::SideDeckRebuilt => deck::side_deck(&mut sheet, deck::State::Rebuilt),
            Self::SideDeckFinished => deck::side_deck(&mut sheet, deck::State::Finished),
            Self::WindowFound => inside::window_stained(&mut sheet),
            Self::WindowFinished => inside::window_dry(&mut sheet),
            Self::ChainplateFound => fitting::chainplate_weeping(&mut sheet),
            Self::ChainplateFinished => fitting::chainplate_renewed(&mut sheet),
            Self::PatchFound => fitting::patch_lifting(&mut sheet),
            Self::PatchSealed => fitting::patch_sealed(&mut sheet),
            Self::BilgeFound => inside::bilge_rusted(&mut sheet),
            Self::BilgeFinished => inside::bilge_mended(&mut sheet),
            Self::BehindTank => inside::behind_tank(&mut sheet),
        }
        label(&mut sheet, self.words().0);
        sheet.png()
    }
}

/// Trims the edges to a frame and writes beneath what it is: above all a drawing.
fn label(sheet: &mut Sheet, words: &str) {
    let (width, height) = SIZE;
    let foot = height - 74;
    for band in [
        [(0, 0), (width, 0), (width, 26), (0, 26)],
        [(0, foot), (width, foot), (width, height), (0, height)],
        [(0, 0), (26, 0), (26, height), (0, height)],
        [
            (width - 26, 0),
            (width, 0),
            (width, height),
            (width - 26, height),
        ],
    ] {
        sheet.flat(&band, PAPER);
    }
    sheet.outline(&[(26, 26), (width - 26, 26), (width - 26, foot), (26, foot)]);
    sheet.write((32, height - 50), 4, 40, INK, words);
    sheet.write((width - 228, height - 52), 5, 64, INK, "DRAWING");
}

#[cfg(test)]
mod tests;
