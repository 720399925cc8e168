//! What the camera wrote beside the picture: Exif 3.0 (CIPA DC-008), read with tolerance.

use std::fmt;
use std::io::Cursor;

use ::exif::{Error as ExifError, Exif, In, Rational, Reader, Tag, Value};

use crate::upright::Orientation;

/// A camera, as far as it named itself; at least one of the two is there.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Camera {
    /// Who made it.
    pub make: Option<String>,
    /// Which model it is.
    pub model: Option<String>,
}

/// When the camera's own clock says that the picture was taken.
///
/// The zone stands apart because most cameras write none; then none is invented, and the local time stands alone.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CameraTime {
    /// Date and time of day as ISO 8601 without a zone: `2026-05-09T14:22:00`.
    pub local: String,
    /// The digits after the second's decimal point: `123`.
    pub fraction: Option<String>,
    /// The offset from UTC, if the camera wrote it: `+02:00`.
    pub offset: Option<String>,
}

/// Where the camera says that it was (WGS 84 unless the camera used another datum).
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Position {
    /// Degrees, north positive, up to seven decimals: `54.3217`.
    pub latitude: String,
    /// Degrees, east positive, up to seven decimals: `-10.1358`.
    pub longitude: String,
    /// Metres above the sea, up to two decimals, if written.
    pub altitude: Option<String>,
}

/// Something odd in the EXIF data; the picture itself is none the worse for it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Remark {
    /// None of the EXIF data can be read.
    Unreadable {
        /// What the reader stumbled over.
        why: String,
    },
    /// Some of the EXIF data cannot be read; the rest was.
    PartlyUnreadable {
        /// What the reader stumbled over first.
        why: String,
    },
    /// The orientation is none of the eight; the picture is shown as stored.
    OddOrientation {
        /// What was written.
        written: String,
    },
    /// A time is no time, for instance of a clock that was never set.
    OddTime {
        /// What was written.
        written: String,
    },
    /// A zone is no zone; none is taken.
    OddOffset {
        /// What was written.
        written: String,
    },
    /// A position is no position on the earth; none is taken.
    OddPosition {
        /// What was written.
        written: String,
    },
    /// The time is that of the file's last change; the camera wrote no other.
    OnlyChangeTime,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable { why } => write!(
                f,
                "what the camera wrote beside the picture cannot be read: {why}"
            ),
            Self::PartlyUnreadable { why } => write!(
                f,
                "part of what the camera wrote beside the picture cannot be read: {why}"
            ),
            Self::OddOrientation { written } => write!(
                f,
                "the camera wrote {written} for how it was held, which means nothing; shown as stored"
            ),
            Self::OddTime { written } => write!(
                f,
                "the camera wrote {written:?} for the time, which is none"
            ),
            Self::OddOffset { written } => write!(
                f,
                "the camera wrote {written:?} for its time zone, which is none"
            ),
            Self::OddPosition { written } => write!(
                f,
                "the camera wrote {written} for its position, which is none"
            ),
            Self::OnlyChangeTime => write!(
                f,
                "the camera wrote only when the file was last changed, not when the picture was taken"
            ),
        }
    }
}

/// What the EXIF data says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Written {
    pub(crate) orientation: Option<Orientation>,
    pub(crate) camera: Option<Camera>,
    pub(crate) taken: Option<CameraTime>,
    pub(crate) position: Option<Position>,
    pub(crate) remarks: Vec<Remark>,
}

/// Reads the EXIF data of a picture, if it has any.
pub(crate) fn read(bytes: &[u8]) -> Written {
    let mut written = Written::default();
    let mut first_error = None;
    let read = Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut Cursor::new(bytes));
    let read = read.or_else(|error| {
        error.distill_partial_result(|errors| first_error = errors.first().map(ToString::to_string))
    });
    if let Some(why) = first_error {
        written.remarks.push(Remark::PartlyUnreadable { why });
    }
    match read {
        Ok(exif) => {
            written.orientation = orientation(&exif, &mut written.remarks);
            written.camera = camera(&exif);
            written.taken = taken(&exif, &mut written.remarks);
            written.position = position(&exif, &mut written.remarks);
        }
        Err(ExifError::NotFound(_)) => {}
        Err(error) => written.remarks.push(Remark::Unreadable {
            why: error.to_string(),
        }),
    }
    written
}

/// Reads tag 0x0112.
fn orientation(exif: &Exif, remarks: &mut Vec<Remark>) -> Option<Orientation> {
    let field = exif.get_field(Tag::Orientation, In::PRIMARY)?;
    let orientation = field.value.get_uint(0).and_then(Orientation::from_exif);
    if orientation.is_none() {
        let written = field
            .value
            .get_uint(0)
            .map_or_else(|| "no number".to_owned(), |number| number.to_string());
        remarks.push(Remark::OddOrientation { written });
    }
    orientation
}

/// Reads make and model.
fn camera(exif: &Exif) -> Option<Camera> {
    let make = text(exif, Tag::Make);
    let model = text(exif, Tag::Model);
    (make.is_some() || model.is_some()).then_some(Camera { make, model })
}

/// The most characters of a camera's text that are taken.
const MOST_TEXT: usize = 120;

/// Reads a text without the blanks, zeros and control characters that cameras pad it with.
fn text(exif: &Exif, tag: Tag) -> Option<String> {
    let Value::Ascii(parts) = &exif.get_field(tag, In::PRIMARY)?.value else {
        return None;
    };
    let text = String::from_utf8_lossy(parts.first()?);
    let text: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let text: String = text.trim().chars().take(MOST_TEXT).collect();
    (!text.is_empty()).then_some(text)
}

/// Reads the time of the picture: when it was taken, else when it was digitised, else when the file was changed.
fn taken(exif: &Exif, remarks: &mut Vec<Remark>) -> Option<CameraTime> {
    let sources = [
        (
            Tag::DateTimeOriginal,
            Tag::SubSecTimeOriginal,
            Tag::OffsetTimeOriginal,
        ),
        (
            Tag::DateTimeDigitized,
            Tag::SubSecTimeDigitized,
            Tag::OffsetTimeDigitized,
        ),
        (Tag::DateTime, Tag::SubSecTime, Tag::OffsetTime),
    ];
    for (time_tag, fraction_tag, offset_tag) in sources {
        let Some(written) = text(exif, time_tag) else {
            continue;
        };
        let Some(local) = iso_from_exif(&written) else {
            remarks.push(Remark::OddTime { written });
            continue;
        };
        if time_tag == Tag::DateTime {
            remarks.push(Remark::OnlyChangeTime);
        }
        let fraction = text(exif, fraction_tag)
            .filter(|digits| digits.bytes().all(|byte| byte.is_ascii_digit()));
        let offset = text(exif, offset_tag).and_then(|written| {
            let offset = offset_from_exif(&written);
            if offset.is_none() && written.bytes().any(|byte| byte.is_ascii_digit()) {
                remarks.push(Remark::OddOffset { written });
            }
            offset
        });
        return Some(CameraTime {
            local,
            fraction,
            offset,
        });
    }
    None
}

/// Translates `2026:05:09 14:22:00` to `2026-05-09T14:22:00`, if it is a time of the calendar.
///
/// Cameras that write `-` or `/` between the parts of the date are understood.
fn iso_from_exif(written: &str) -> Option<String> {
    let bytes: [u8; 19] = written.as_bytes().try_into().ok()?;
    let number = |from: usize, len: usize| -> Option<u32> {
        let digits = bytes.get(from..from + len)?;
        digits.iter().try_fold(0, |sum, digit| {
            digit
                .is_ascii_digit()
                .then(|| sum * 10 + u32::from(digit - b'0'))
        })
    };
    let (year, month, day) = (number(0, 4)?, number(5, 2)?, number(8, 2)?);
    let (hour, minute, second) = (number(11, 2)?, number(14, 2)?, number(17, 2)?);
    let is_leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let n_days = match month {
        4 | 6 | 9 | 11 => 30,
        2 if is_leap => 29,
        2 => 28,
        _ => 31,
    };
    let is_time = year > 0
        && (1..=12).contains(&month)
        && (1..=n_days).contains(&day)
        && hour < 24
        && minute < 60
        && second < 60;
    let separators = [4, 7, 10, 13, 16].map(|at| bytes.get(at).copied().unwrap_or(b'0'));
    let is_apart = separators
        .iter()
        .all(|byte| !byte.is_ascii_alphanumeric() || *byte == b'T');
    (is_time && is_apart)
        .then(|| format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}"))
}

/// Takes an offset of the form `+02:00`; `Z` is written `+00:00`.
fn offset_from_exif(written: &str) -> Option<String> {
    if written == "Z" {
        return Some("+00:00".to_owned());
    }
    let [sign @ (b'+' | b'-'), h1, h2, b':', m1, m2] = *written.as_bytes() else {
        return None;
    };
    let is_number = [h1, h2, m1, m2].iter().all(u8::is_ascii_digit);
    let hours = u32::from(h1.wrapping_sub(b'0')) * 10 + u32::from(h2.wrapping_sub(b'0'));
    // The world's clocks run from -12:00 to +14:00.
    let most = if sign == b'+' { 14 } else { 12 };
    (is_number && hours <= most && m1 < b'6').then(|| written.to_owned())
}

/// Reads latitude, longitude and altitude.
fn position(exif: &Exif, remarks: &mut Vec<Remark>) -> Option<Position> {
    let latitude = coordinate(
        exif,
        Tag::GPSLatitude,
        Tag::GPSLatitudeRef,
        [b'N', b'S'],
        90,
    );
    let longitude = coordinate(
        exif,
        Tag::GPSLongitude,
        Tag::GPSLongitudeRef,
        [b'E', b'W'],
        180,
    );
    match (latitude, longitude) {
        (Ok(Some(latitude)), Ok(Some(longitude))) => Some(Position {
            latitude,
            longitude,
            altitude: altitude(exif),
        }),
        (Ok(None), Ok(None)) => None,
        (Err(written), _) | (_, Err(written)) => {
            remarks.push(Remark::OddPosition { written });
            None
        }
        (Ok(Some(half)), Ok(None)) => {
            remarks.push(Remark::OddPosition {
                written: format!("a latitude of {half} and no longitude"),
            });
            None
        }
        (Ok(None), Ok(Some(half))) => {
            remarks.push(Remark::OddPosition {
                written: format!("a longitude of {half} and no latitude"),
            });
            None
        }
    }
}

/// Reads degrees, minutes and seconds with their half of the earth; an `Err` holds what was written instead.
fn coordinate(
    exif: &Exif,
    tag: Tag,
    half_tag: Tag,
    [positive, negative]: [u8; 2],
    most: u128,
) -> Result<Option<String>, String> {
    let Some(field) = exif.get_field(tag, In::PRIMARY) else {
        return Ok(None);
    };
    let written = || field.display_value().to_string();
    let Value::Rational(parts) = &field.value else {
        return Err(format!("the text {}", written()));
    };
    if parts.iter().all(|part| part.denom == 0) {
        // The standard's way to say that it is not known.
        return Ok(None);
    }
    let mut sum = 0_u128;
    for (part, share) in parts.iter().zip([1, 60, 3600]) {
        sum += scaled(part, share).ok_or_else(written)?;
    }
    let half = match exif
        .get_field(half_tag, In::PRIMARY)
        .map(|field| &field.value)
    {
        Some(Value::Ascii(text)) => text
            .first()
            .and_then(|text| text.first())
            .map(u8::to_ascii_uppercase),
        _ => None,
    };
    let is_negative = match half {
        Some(half) if half == positive => false,
        Some(half) if half == negative => true,
        _ => return Err(format!("{} without a half of the earth", written())),
    };
    if sum > most * ONE {
        return Err(written());
    }
    Ok(Some(decimal(sum, 7, is_negative)))
}

/// One whole unit in the fixed-point numbers below.
const ONE: u128 = 1_000_000_000_000;

/// Returns a rational divided by `share` in units of 1 / [`ONE`]; 0/0 counts as nothing.
fn scaled(rational: &Rational, share: u128) -> Option<u128> {
    match (u128::from(rational.num), u128::from(rational.denom)) {
        (0, _) => Some(0),
        (_, 0) => None,
        (num, denom) => Some(num * ONE / (denom * share)),
    }
}

/// Reads the altitude, below the sea negative.
fn altitude(exif: &Exif) -> Option<String> {
    let Value::Rational(parts) = &exif.get_field(Tag::GPSAltitude, In::PRIMARY)?.value else {
        return None;
    };
    let part = parts.first().filter(|part| part.denom != 0)?;
    let below = exif
        .get_field(Tag::GPSAltitudeRef, In::PRIMARY)
        .and_then(|field| field.value.get_uint(0));
    Some(decimal(scaled(part, 1)?, 2, matches!(below, Some(1 | 3))))
}

/// Writes a fixed-point number with at most so many decimals, rounded half up, without trailing zeros.
fn decimal(value: u128, n_decimals: u32, is_negative: bool) -> String {
    let unit = ONE / 10_u128.pow(n_decimals);
    let rounded = (value + unit / 2) / unit;
    let whole = rounded / 10_u128.pow(n_decimals);
    let rest = rounded % 10_u128.pow(n_decimals);
    let sign = if is_negative && rounded > 0 { "-" } else { "" };
    let rest = format!(
        "{rest:0width$}",
        width = usize::try_from(n_decimals).unwrap_or(0)
    );
    match rest.trim_end_matches('0') {
        "" => format!("{sign}{whole}"),
        rest => format!("{sign}{whole}.{rest}"),
    }
}

#[cfg(test)]
mod tests;
