//! Photographs and what belongs to them, sound notes, notes and papers.

use super::kinds;
use crate::id::Digest;
use crate::shape::Shape;
use crate::unit::group;
use crate::word::{MarkShape, PaperKind, Size, Stage, Word as _};
use crate::{Decimal, Id, Quantity, When};

kinds! {
    /// An image and its stage. The bytes are kept as they came, named by their SHA-256.
    Photograph, needs("digest") {
        /// The SHA-256 of the original.
        digest: Option<Digest> = Shape::Digest;
        /// What of the work it shows.
        stage: Option<Stage> = Shape::Word(Stage::WORDS);
        /// What it shows, in words.
        shows: Option<String> = Shape::Prose;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The finding.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// Another entry that it belongs to: a fitting, a step, a test, a paper.
        of: Option<Id> = Shape::Entry(&[]);
        /// The earlier photograph that it answers, taken from the same viewpoint.
        answers: Option<Id> = Shape::Entry(&["photograph"]);
        /// Two to four spots that the earlier photograph and this one both show, in ten-thousandths of the upright pictures: `[x, y, x, y, …]`, in the earlier first.
        same_spots: Vec<u64> = Shape::SameSpots;
        /// The size of the original in bytes.
        bytes: Option<u64> = Shape::Count;
        /// The media type: `image/jpeg`.
        media_type: Option<String> = Shape::Text;
        /// Pixels across, as stored.
        width: Option<u64> = Shape::Count;
        /// Pixels down, as stored.
        height: Option<u64> = Shape::Count;
        /// The orientation that the camera noted: 1 to 8 (CIPA DC-008, tag 0112).
        orientation: Option<u64> = Shape::Count;
        /// The time by the camera's own clock; without a zone where the camera noted none.
        camera_time: Option<When> = Shape::When;
        /// The time by the clock of the device that took it in.
        device_time: Option<When> = Shape::When;
        /// The camera's make and model, as it wrote them.
        camera: Option<String> = Shape::Text;
        /// The name of the file as it came.
        file_name: Option<String> = Shape::Text;
        /// Whether it is a drawing and no photograph.
        is_drawing: Option<bool> = Shape::YesNo;
    }

    /// Where on the earth a photograph was taken; a statement of its own, so that it can be left out alone.
    Position, needs("photograph", "latitude", "longitude") {
        /// The photograph.
        photograph: Option<Id> = Shape::Entry(&["photograph"]);
        /// Degrees north (WGS 84).
        latitude: Option<Decimal> = Shape::Number;
        /// Degrees east (WGS 84).
        longitude: Option<Decimal> = Shape::Number;
        /// Height above the sea.
        altitude: Option<Quantity> = Shape::Amount(group::LENGTH);
    }

    /// A smaller upright picture without metadata, made from a photograph's original.
    Rendition, needs("photograph", "size", "digest") {
        /// The photograph.
        photograph: Option<Id> = Shape::Entry(&["photograph"]);
        /// Which of the sizes.
        size: Option<Size> = Shape::Word(Size::WORDS);
        /// The SHA-256 of the rendition.
        digest: Option<Digest> = Shape::Digest;
        /// Its size in bytes.
        bytes: Option<u64> = Shape::Count;
        /// Pixels across.
        width: Option<u64> = Shape::Count;
        /// Pixels down.
        height: Option<u64> = Shape::Count;
        /// What made it, with its revision.
        made_by: Option<String> = Shape::Text;
    }

    /// A mark drawn on a photograph; kept as data beside the untouched original.
    Mark, needs("photograph", "shape") {
        /// The photograph.
        photograph: Option<Id> = Shape::Entry(&["photograph"]);
        /// What it is.
        shape: Option<MarkShape> = Shape::Word(MarkShape::WORDS);
        /// Its points on the upright picture.
        points: Vec<u64> = Shape::Points;
        /// Its number or words.
        words: Option<String> = Shape::Text;
        /// What it points at: on a picture that serves as the boat's plan, the place that lies there.
        shows: Option<Id> = Shape::Entry(&["place", "finding"]);
    }

    /// Words said aloud, kept like a photograph, written out at home.
    SoundNote, needs("digest") {
        /// The SHA-256 of the sound as it came.
        digest: Option<Digest> = Shape::Digest;
        /// The media type.
        media_type: Option<String> = Shape::Text;
        /// The size in bytes.
        bytes: Option<u64> = Shape::Count;
        /// How long it is.
        length: Option<Quantity> = Shape::Amount(group::TIME);
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The finding.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// What was said, written out.
        words: Option<String> = Shape::Prose;
    }

    /// Words that are none of the other kinds.
    Note, needs("words") {
        /// The words.
        words: Option<String> = Shape::Prose;
        /// The place.
        place: Option<Id> = Shape::Entry(&["place"]);
        /// The finding.
        finding: Option<Id> = Shape::Entry(&["finding"]);
        /// The repair.
        repair: Option<Id> = Shape::Entry(&["repair"]);
        /// Another entry that it is about.
        of: Option<Id> = Shape::Entry(&[]);
    }

    /// A document: invoice, earlier survey, certificate, data sheet.
    Paper, needs("title") {
        /// What it is called.
        title: Option<String> = Shape::Text;
        /// What it is.
        paper: Option<PaperKind> = Shape::Word(PaperKind::WORDS);
        /// The SHA-256 of the document, where it is kept as a file.
        digest: Option<Digest> = Shape::Digest;
        /// The media type.
        media_type: Option<String> = Shape::Text;
        /// The size in bytes.
        bytes: Option<u64> = Shape::Count;
        /// Its own date.
        dated: Option<When> = Shape::When;
        /// Who issued it.
        issuer: Option<Id> = Shape::Entry(&["person"]);
        /// Its number.
        number: Option<String> = Shape::Text;
        /// What it is about: a repair, a fitting, a person.
        of: Option<Id> = Shape::Entry(&[]);
        /// What it says that matters here.
        words: Option<String> = Shape::Prose;
    }
}
