//! Real photographs: upright pixel by pixel, EXIF as an independent reader finds it, damaged files refused.
//!
//! The pictures come from packages (`tests/fetch-pictures` fetches them and names their licences); the independent readers
//! are exiftool and ImageMagick. What is missing fails with the command that brings it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use garboard_photo::{Error, MediaType, Remark, examine, renditions};
use serde_json::Value;

/// Returns the pictures of a folder under `target/pictures`, in order of name.
fn pictures(folder: &str) -> Vec<PathBuf> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../target/pictures")
        .join(folder);
    let listed = fs::read_dir(&path);
    let listed = listed.unwrap_or_else(|error| {
        panic!(
            "no pictures in {}: {error}; run tests/fetch-pictures",
            path.display()
        )
    });
    let mut pictures: Vec<_> = listed.map(|entry| entry.unwrap().path()).collect();
    pictures.sort();
    assert!(
        !pictures.is_empty(),
        "{} is empty; remove target/pictures and run tests/fetch-pictures",
        path.display()
    );
    pictures
}

/// Runs a tool and returns what it prints.
fn run(tool: &str, package: &str, arguments: &[&str], files: &[PathBuf]) -> Vec<u8> {
    let output = Command::new(tool).args(arguments).args(files).output();
    let output = output
        .unwrap_or_else(|error| panic!("cannot run {tool}: {error}; apt-get install {package}"));
    assert!(
        !output.stdout.is_empty(),
        "{tool} printed nothing: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    output.stdout
}

/// Returns the mean difference of two lists of channels in levels of 0 to 255.
fn mean_difference(a: &[u8], b: &[u8]) -> f64 {
    assert_eq!(a.len(), b.len());
    let sum: u64 = a
        .iter()
        .zip(b)
        .map(|(a, b)| u64::from(a.abs_diff(*b)))
        .sum();
    f64::from(u32::try_from(sum).unwrap()) / f64::from(u32::try_from(a.len()).unwrap())
}

/// Decodes a rendition to red, green and blue.
fn rgb(jpeg: &[u8]) -> image::RgbImage {
    image::load_from_memory(jpeg).unwrap().into_rgb8()
}

#[test]
fn all_eight_orientations_stand_upright_pixel_by_pixel() {
    let all = pictures("orientation");
    assert_eq!(all.len(), 9, "orientation 0 (none) and 1 to 8");
    let first = rgb(&renditions(&fs::read(&all[0]).unwrap()).unwrap().view.bytes);
    for (number, path) in all.iter().enumerate() {
        let bytes = fs::read(path).unwrap();
        let seen = examine(&bytes).unwrap();
        assert_eq!(
            usize::from(seen.orientation.number()),
            number.max(1),
            "{}",
            path.display()
        );
        let view = rgb(&renditions(&bytes).unwrap().view.bytes);
        assert_eq!(
            (seen.upright.width, seen.upright.height),
            view.dimensions(),
            "{}",
            path.display()
        );
        // Against the picture that needs no turning, and against ImageMagick's idea of upright.
        assert!(
            mean_difference(&view, &first) < 2.0,
            "{}: {}",
            path.display(),
            mean_difference(&view, &first)
        );
        let arguments = ["-auto-orient", "-depth", "8", "rgb:-"];
        let command = [path.display().to_string()];
        let arguments: Vec<&str> = command
            .iter()
            .map(String::as_str)
            .chain(arguments)
            .collect();
        let meant = run("convert", "imagemagick", &arguments, &[]);
        assert!(
            mean_difference(&view, &meant) < 2.0,
            "{}: {}",
            path.display(),
            mean_difference(&view, &meant)
        );
    }
    // The measure is sharp: the same picture turned round differs by far more.
    let turned = image::imageops::rotate180(&first);
    assert!(mean_difference(&turned, &first) > 8.0);
}

/// Gives the head of a photograph a whole body, so that nothing but its EXIF data is in question.
fn with_body(head: &[u8], body: &[u8]) -> Option<Vec<u8>> {
    let name = head.windows(6).position(|window| window == b"Exif\0\0")?;
    let start = name
        .checked_sub(4)
        .filter(|&start| head[start..].starts_with(&[0xFF, 0xE1]))?;
    let len = usize::from(u16::from_be_bytes([head[start + 2], head[start + 3]]));
    let mut segment = head[start..head.len().min(start + 2 + len)].to_vec();
    segment.resize(2 + len, 0);
    Some([&body[..2], &segment, &body[2..]].concat())
}

/// A whole JPEG without EXIF data.
fn body() -> Vec<u8> {
    let mut bytes = Vec::new();
    let picture = image::RgbImage::from_pixel(64, 48, image::Rgb([120, 90, 60]));
    picture
        .write_to(
            &mut std::io::Cursor::new(&mut bytes),
            image::ImageFormat::Jpeg,
        )
        .unwrap();
    bytes
}

/// Writes the heads with bodies to a folder of their own and returns where.
fn whole(folder: &str) -> Vec<PathBuf> {
    let into = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("whole")
        .join(folder);
    fs::create_dir_all(&into).unwrap();
    let body = body();
    let write = |path: PathBuf| {
        let whole = with_body(&fs::read(&path).unwrap(), &body)?;
        let to = into.join(path.file_name().unwrap());
        fs::write(&to, whole).unwrap();
        Some(to)
    };
    pictures(folder).into_iter().filter_map(write).collect()
}

/// Returns what exiftool finds, by path, each tag as text.
fn exiftool(files: &[PathBuf]) -> BTreeMap<PathBuf, BTreeMap<String, String>> {
    let tags = [
        "-j",
        "-n",
        "-q",
        "-IFD0:Make",
        "-IFD0:Model",
        "-IFD0:Orientation",
        "-ExifIFD:DateTimeOriginal",
        "-ExifIFD:CreateDate",
        "-IFD0:ModifyDate",
        "-ExifIFD:OffsetTimeOriginal",
        "-ExifIFD:SubSecTimeOriginal",
        "-Composite:GPSLatitude",
        "-Composite:GPSLongitude",
        "-GPS:GPSAltitude",
        "-GPS:GPSAltitudeRef",
        "-File:ImageWidth",
        "-File:ImageHeight",
        "-Meta:ImageWidth",
        "-Meta:ImageHeight",
        "-ImageWidth",
        "-ImageHeight",
        "-Rotation",
    ];
    let printed = run("exiftool", "libimage-exiftool-perl", &tags, files);
    let found: Vec<serde_json::Map<String, Value>> = serde_json::from_slice(&printed).unwrap();
    let text = |value: &Value| {
        value
            .as_str()
            .map_or_else(|| value.to_string(), str::to_owned)
    };
    let of_one = |one: serde_json::Map<String, Value>| {
        let path = PathBuf::from(text(&one["SourceFile"]));
        (
            path,
            one.iter()
                .map(|(tag, value)| (tag.clone(), text(value)))
                .collect(),
        )
    };
    found.into_iter().map(of_one).collect()
}

/// Returns the first of the three times that is a time of the calendar, as ISO 8601.
fn time_by_exiftool(tags: &BTreeMap<String, String>) -> Option<String> {
    let is_time = |text: &&String| {
        text.len() == 19
            && text.bytes().filter(u8::is_ascii_digit).count() == 14
            && !text.starts_with("0000")
    };
    let text = ["DateTimeOriginal", "CreateDate", "ModifyDate"]
        .iter()
        .find_map(|tag| tags.get(*tag).filter(is_time))?;
    let (date, time) = text.split_at(10);
    Some(format!("{}T{}", date.replace(':', "-"), &time[1..]))
}

fn degrees(text: &str) -> f64 {
    text.parse().unwrap()
}

/// Compares what we read with what exiftool reads.
fn compare(path: &Path, tags: &BTreeMap<String, String>) -> usize {
    let seen = examine(&fs::read(path).unwrap())
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    if path.ends_with("geodegrees_as_string.jpg") {
        // Its degrees are a text, `52,00000,50,00000,34,01180`. exiftool takes the first three numbers of it, which is no
        // place that the camera was at; a position that must be guessed is none.
        assert!(
            matches!(seen.remarks.as_slice(), [Remark::OddPosition { .. }]),
            "{:?}",
            seen.remarks
        );
        assert_eq!(seen.position, None);
        return 0;
    }
    let tag = |name: &str| {
        tags.get(name)
            .map(|text| text.trim().to_owned())
            .filter(|text| !text.is_empty())
    };
    let camera = seen.camera.clone();
    let name = path.display();
    assert_eq!(
        camera.as_ref().and_then(|camera| camera.make.clone()),
        tag("Make"),
        "{name}: make"
    );
    assert_eq!(
        camera.as_ref().and_then(|camera| camera.model.clone()),
        tag("Model"),
        "{name}: model"
    );
    let orientation = tag("Orientation").filter(|number| ("1"..="8").contains(&number.as_str()));
    assert_eq!(
        seen.orientation.number().to_string(),
        orientation.unwrap_or_else(|| "1".to_owned()),
        "{name}: orientation"
    );
    let taken = seen.taken.clone();
    assert_eq!(
        taken.as_ref().map(|taken| taken.local.clone()),
        time_by_exiftool(tags),
        "{name}: time"
    );
    assert_eq!(
        taken.as_ref().and_then(|taken| taken.offset.clone()),
        tag("OffsetTimeOriginal"),
        "{name}: zone"
    );
    if let Some(fraction) = tag("SubSecTimeOriginal") {
        assert_eq!(
            taken.and_then(|taken| taken.fraction),
            Some(fraction),
            "{name}: parts of a second"
        );
    }
    match (&seen.position, tag("GPSLatitude"), tag("GPSLongitude")) {
        (Some(position), Some(latitude), Some(longitude)) => {
            assert!(
                (degrees(&position.latitude) - degrees(&latitude)).abs() < 1e-7,
                "{name}: {position:?} and {latitude}"
            );
            assert!(
                (degrees(&position.longitude) - degrees(&longitude)).abs() < 1e-7,
                "{name}: {position:?} and {longitude}"
            );
        }
        (None, None, None) => {}
        (position, latitude, longitude) => panic!(
            "{name}: position {position:?}, exiftool {latitude:?} {longitude:?}, {:?}",
            seen.remarks
        ),
    }
    usize::from(camera.is_some())
        + usize::from(seen.taken.is_some())
        + usize::from(seen.position.is_some())
}

#[test]
fn exif_is_read_as_exiftool_reads_it() {
    let files: Vec<_> = whole("heads")
        .into_iter()
        .chain(pictures("phone"))
        .chain(pictures("orientation"))
        .collect();
    let found = exiftool(&files);
    assert_eq!(found.len(), files.len());
    let n_things: usize = files.iter().map(|path| compare(path, &found[path])).sum();
    assert!(
        n_things > 100,
        "only {n_things} cameras, times and positions were compared"
    );
}

#[test]
fn a_head_without_its_body_is_cut_short() {
    let n_cut = pictures("heads").into_iter().filter(|path| {
        let bytes = fs::read(path).unwrap();
        match (examine(&bytes), renditions(&bytes)) {
            (Err(Error::Cut { size, .. }), Err(Error::Cut { .. })) => size == bytes.len(),
            (Ok(_), Ok(_)) => false,
            (examined, _) => panic!("{}: {examined:?}", path.display()),
        }
    });
    assert!(n_cut.count() > 40);
}

#[test]
fn damaged_exif_is_remarked_on_or_read_and_never_stops_a_picture() {
    for path in whole("corrupt") {
        let bytes = fs::read(&path).unwrap();
        let seen = examine(&bytes).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        assert_eq!((seen.stored.width, seen.stored.height), (64, 48));
        assert!(renditions(&bytes).is_ok());
        assert!(
            !seen.remarks.is_empty() || seen.camera.is_some() || seen.taken.is_some(),
            "{}: {seen:?}",
            path.display()
        );
    }
}

#[test]
fn a_heic_says_its_size_and_what_is_damaged_is_refused() {
    let all = pictures("heic");
    let sound: Vec<_> = all
        .iter()
        .filter(|path| examine(&fs::read(path).unwrap()).is_ok())
        .cloned()
        .collect();
    let names = |paths: &[PathBuf]| {
        paths
            .iter()
            .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
            .collect::<Vec<_>>()
    };
    for broken in ["corrupted.heic", "empty.heic", "truncated.heic"] {
        assert!(!names(&sound).contains(&broken.to_owned()), "{broken}");
    }
    assert!(sound.len() >= 30, "{:?}", names(&sound));
    let found = exiftool(&sound);
    for path in &sound {
        let bytes = fs::read(path).unwrap();
        let seen = examine(&bytes).unwrap();
        let tags = &found[path];
        let meant = (tags["ImageWidth"].clone(), tags["ImageHeight"].clone());
        assert_eq!(
            (
                seen.stored.width.to_string(),
                seen.stored.height.to_string()
            ),
            meant,
            "{}",
            path.display()
        );
        let turn = tags.get("Rotation").map_or("0", String::as_str);
        // exiftool prints the standard's angle, which runs against the clock.
        let number = match turn {
            // exiftool prints its thumbnail's turn; the picture's own property, fifth of its list, says 3 quarters.
            _ if path.ends_with("transform_mismatch_thumbnail.heic") => 6,
            "90" => 8,
            "180" => 3,
            "270" => 6,
            _ => 1,
        };
        assert_eq!(
            seen.orientation.number(),
            number,
            "{}: turned {turn}",
            path.display()
        );
        assert!(matches!(
            renditions(&bytes),
            Err(Error::NotDecodedHere {
                media: MediaType::Heic | MediaType::Heif
            })
        ));
    }
}

#[test]
fn a_rendition_carries_nothing_but_pixels() {
    let path = &pictures("phone")[0];
    let made = renditions(&fs::read(path).unwrap()).unwrap();
    assert!(
        examine(&fs::read(path).unwrap())
            .unwrap()
            .position
            .is_some(),
        "the original has a position to be left out"
    );
    let to = Path::new(env!("CARGO_TARGET_TMPDIR")).join("view.jpg");
    fs::write(&to, &made.view.bytes).unwrap();
    let printed = run(
        "exiftool",
        "libimage-exiftool-perl",
        &[
            "-j",
            "-G1",
            "-q",
            "-EXIF:all",
            "-XMP:all",
            "-IPTC:all",
            "-ICC_Profile:all",
            "-MakerNotes:all",
            "-GPS:all",
        ],
        &[to],
    );
    let found: Vec<serde_json::Map<String, Value>> = serde_json::from_slice(&printed).unwrap();
    assert_eq!(found[0].keys().collect::<Vec<_>>(), ["SourceFile"]);
    assert!(
        made.view.width.max(made.view.height) == 2048
            && made.thumbnail.width.max(made.thumbnail.height) == 320
    );
}
