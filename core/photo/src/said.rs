//! What the log says about a picture: the fields of its photograph, its position and its renditions.

use garboard_record::kind::picture::{Photograph, Position, Rendition};
use garboard_record::word::Size;
use garboard_record::{Decimal, Digest, Id, Quantity, When};

use crate::{CameraTime, Examined};

/// What made the renditions, with its revision; a later one may make other bytes.
pub const MADE_BY: &str = "garboard-photo 1";

/// The fields of a photograph that its bytes tell; where it belongs and what it shows is left to the hand.
#[must_use]
pub fn photograph(
    examined: &Examined,
    digest: Digest,
    file_name: Option<&str>,
    device_time: Option<When>,
) -> Photograph {
    let camera = examined.camera.as_ref().map(|camera| {
        [camera.make.as_deref(), camera.model.as_deref()]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ")
    });
    Photograph {
        digest: Some(digest),
        bytes: Some(examined.size),
        media_type: Some(examined.media.name().to_owned()),
        width: Some(examined.stored.width.into()),
        height: Some(examined.stored.height.into()),
        orientation: Some(examined.orientation.number().into()),
        camera_time: examined.taken.as_ref().and_then(camera_time),
        device_time,
        camera,
        file_name: file_name.map(str::to_owned),
        ..Photograph::default()
    }
}

/// The camera's time in the log's form; without a zone where the camera wrote none.
fn camera_time(taken: &CameraTime) -> Option<When> {
    let fraction = taken
        .fraction
        .as_deref()
        .map(|digits| format!(".{digits}"))
        .unwrap_or_default();
    let offset = taken.offset.as_deref().unwrap_or_default();
    format!("{}{fraction}{offset}", taken.local)
        .parse()
        .or_else(|_| taken.local.parse())
        .ok()
}

/// When the picture was taken, by the camera's clock where it named its zone.
#[must_use]
pub fn happened(examined: &Examined) -> Option<When> {
    let taken = examined.taken.as_ref()?;
    taken.offset.as_ref()?;
    camera_time(taken)
}

/// The statement of where a picture was taken, where the camera wrote it.
#[must_use]
pub fn position(examined: &Examined, photograph: Id) -> Option<Position> {
    let found = examined.position.as_ref()?;
    Some(Position {
        photograph: Some(photograph),
        latitude: Some(found.latitude.parse::<Decimal>().ok()?),
        longitude: Some(found.longitude.parse::<Decimal>().ok()?),
        altitude: found
            .altitude
            .as_ref()
            .and_then(|metres| metres.parse::<Decimal>().ok())
            .map(|metres| Quantity::new(metres, "m")),
    })
}

/// The statement of a rendition.
#[must_use]
pub fn rendition(made: &crate::Rendition, photograph: Id, size: Size) -> Rendition {
    Rendition {
        photograph: Some(photograph),
        size: Some(size),
        digest: made.digest.parse().ok(),
        bytes: Some(made.bytes.len() as u64),
        width: Some(made.width.into()),
        height: Some(made.height.into()),
        made_by: Some(MADE_BY.to_owned()),
    }
}
