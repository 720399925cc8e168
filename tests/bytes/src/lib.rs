//! What must come out the same, byte for byte, natively and in wasm: renditions, the demonstration, the dossier.

use garboard_dossier::{Options, html, outline};
use garboard_photo::{digest, examine, renditions};
use garboard_record::Snapshot;

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
    let all = told
        .writers
        .iter()
        .flat_map(|writer| writer.statements.iter().cloned());
    let snapshot = Snapshot::of(all.collect::<Vec<_>>());
    let page = html(&outline(&snapshot, &Options::default()), |wanted| {
        told.rendered
            .iter()
            .find(|made| made.digest == wanted)
            .map(|made| made.bytes.clone())
    });
    lines.push(format!("dossier {}", digest(page.as_bytes())));
    lines
}
