//! What must come out the same, byte for byte, natively and in wasm: renditions, frames, the demonstration, the dossier in its
//! forms, reckonings.

pub mod crowd;

use garboard_dossier::{Options, Paper, html, ledgers, outline, pdf, short_pdf};
use garboard_photo::frame::{Picture, Transform, common, propose};
use garboard_photo::{digest, examine, renditions};

/// What is made of a picture, in a line: what was read from it, and the digests of its renditions.
#[must_use]
pub fn picture(name: &str, bytes: &[u8]) -> String {
    let read = match examine(bytes) {
        Ok(examined) => format!("{examined:?}"),
        Err(error) => error.to_string(),
    };
    let made = match renditions(bytes) {
        Ok(made) => format!("{} {}", made.view.digest, made.thumbnail.digest),
        Err(error) => error.to_string(),
    };
    format!("{name} {made} {}", digest(read.as_bytes()))
}

/// A picture laid into its own frame askew, and how that is found again, to the last digit of every number; a line.
#[must_use]
pub fn frame(name: &str, bytes: &[u8]) -> String {
    let askew =
        Transform::from_rows([[1.04, -0.06, 21.0], [0.05, 1.03, -17.0], [1e-5, -2e-5, 1.0]]);
    let (Ok(first), Some(askew)) = (Picture::decoded(bytes), askew) else {
        return format!("{name} no frame");
    };
    let size = first.size();
    let laid = common(size, size, &askew).and_then(|crop| first.laid(&askew, crop));
    let Some(second) = laid else {
        return format!("{name} nothing in common");
    };
    let found = match propose(&first.grey(), &second.grey(), 7) {
        Ok(found) => found.transform.rows().map(|row| row.map(f64::to_bits)),
        Err(error) => return format!("{name} {} {error}", digest(second.pixels())),
    };
    format!("{name} {} {found:x?}", digest(second.pixels()))
}

/// Every reckoning's check cases as they come out, a line each.
#[must_use]
pub fn reckonings() -> Vec<String> {
    let mut lines = Vec::new();
    for of in garboard_reckon::ALL {
        for check in of.checks {
            let came = match of.run_text(check.inputs) {
                Ok(reckoned) => of.json(&reckoned).to_string(),
                Err(error) => error.to_string(),
            };
            lines.push(format!("{} {} {came}", of.name, check.case));
        }
    }
    lines
}

/// A survey of so many readings, as a reckoning takes it.
#[must_use]
pub fn survey(n_readings: u32) -> String {
    let readings: Vec<String> = (0..n_readings)
        .map(|n| {
            let (along, across) = (n % 200, n / 200);
            let value = 10 + (along * 7 + across * 13) % 40;
            format!(
                "{{\"along\":\"{}.{:02} m\",\"across\":\"{}.{:02} m\",\"value\":\"{value}\"}}",
                along * 5 / 100,
                along * 5 % 100,
                across * 5 / 100,
                across * 5 % 100
            )
        })
        .collect();
    format!(
        "{{\"readings\":[{}],\"threshold\":\"30\"}}",
        readings.join(",")
    )
}

/// The demonstration and its dossier, a line each thing.
#[must_use]
pub fn demonstration() -> Vec<String> {
    let told = match garboard_demo::told() {
        Ok(told) => told,
        Err(error) => return vec![error.to_string()],
    };
    let mut lines = Vec::new();
    for writer in &told.writers {
        let all: String = writer
            .statements
            .iter()
            .map(|(id, text)| format!("{id} {text}\n"))
            .collect();
        lines.push(format!("{} {}", writer.hand, digest(all.as_bytes())));
    }
    // Frames take a while without optimisation; a few say it all.
    for original in told.originals.iter().step_by(9) {
        lines.push(frame(original.file_name, &original.bytes));
    }
    for original in &told.originals {
        lines.push(format!(
            "{} {}",
            original.file_name,
            digest(&original.bytes)
        ));
    }
    for made in &told.rendered {
        lines.push(format!("{} {}", made.size.as_str(), digest(&made.bytes)));
    }
    let (snapshot, options) = (told.snapshot(), Options::default());
    let said = outline(&snapshot, &options);
    let picture = |wanted| told.picture(wanted);
    lines.push(format!(
        "dossier {}",
        digest(html(&said, picture).as_bytes())
    ));
    let day = "2026-11-28";
    for (form, file) in [
        ("on paper", pdf(&said, Paper::A4, day, picture)),
        ("in short", short_pdf(&said, Paper::Letter, day, picture)),
    ] {
        let mut bytes = Vec::new();
        let made = file.map_err(|error| error.to_string()).and_then(|file| {
            file.write(picture, &mut bytes)
                .map_err(|error| error.to_string())
        });
        lines.push(match made {
            Ok(()) => format!("{form} {} {}", bytes.len(), digest(&bytes)),
            Err(error) => error,
        });
    }
    for file in ledgers(&snapshot, &options) {
        lines.push(format!("{} {}", file.name, digest(&file.bytes)));
    }
    lines
}
