//! The house rules, run as a test: each failure names the file and the rule.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::tool::root;

/// Every file of the checkout that git knows or would take in, with its text where it is text.
fn sources() -> Vec<(String, String)> {
    let listed = Command::new("git")
        .args(["ls-files", "-co", "--exclude-standard"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        listed.status.success(),
        "git ls-files: {}",
        String::from_utf8_lossy(&listed.stderr)
    );
    String::from_utf8(listed.stdout)
        .unwrap()
        .lines()
        .filter(|name| root().join(name).is_file())
        .filter_map(|name| {
            Some((
                name.to_owned(),
                String::from_utf8(std::fs::read(root().join(name)).ok()?).ok()?,
            ))
        })
        .collect()
}

fn refuse(rule: &str, offenders: &[String]) {
    assert!(offenders.is_empty(), "{rule}\n  {}", offenders.join("\n  "));
}

fn rust() -> impl Iterator<Item = (String, String)> {
    sources()
        .into_iter()
        .filter(|(name, _)| name.ends_with(".rs"))
}

#[test]
fn every_rust_file_opens_with_its_purpose_and_is_no_longer_than_800_lines() {
    let no_purpose: Vec<String> = rust()
        .filter(|(_, text)| !text.starts_with("//! "))
        .map(|(name, _)| name)
        .collect();
    refuse(
        "these files do not open with `//! ` and a sentence of purpose",
        &no_purpose,
    );
    let long: Vec<String> = rust()
        .filter(|(_, text)| text.lines().count() > 800)
        .map(|(name, text)| format!("{name}: {}", text.lines().count()))
        .collect();
    refuse("these files are over 800 lines; split them", &long);
}

#[test]
fn no_file_ends_lines_in_blanks_or_names_a_machine() {
    let mut blanks = Vec::new();
    let mut machines = Vec::new();
    for (name, text) in sources().into_iter().filter(|(name, _)| {
        !name.ends_with(".svg") && !name.ends_with(".snap") && !name.contains("OFL")
    }) {
        for (line, at) in text.lines().zip(1..) {
            if line.ends_with([' ', '\t']) {
                blanks.push(format!("{name}:{at}"));
            }
            let home = ["/wo", "rk/"].concat();
            let root_home = ["/ro", "ot/"].concat();
            if line.contains(&home) || line.contains(&root_home) {
                machines.push(format!("{name}:{at}"));
            }
        }
    }
    refuse("these lines end in blanks", &blanks);
    refuse("these lines name a path of one machine", &machines);
}

/// Which packages each package may depend on, within the workspace.
const EDGES: &[(&str, &[&str])] = &[
    ("record", &[]),
    ("log", &["record"]),
    ("photo", &["record"]),
    ("key", &["record"]),
    ("parcel", &["record", "log", "photo", "key"]),
    ("reckon", &["record"]),
    ("dossier", &["record", "photo", "reckon"]),
    ("demo", &["record", "photo"]),
    (
        "cli",
        &[
            "record", "log", "photo", "parcel", "reckon", "dossier", "demo", "key",
        ],
    ),
    ("protocol", &["record"]),
    ("blob", &[]),
    ("page", &["record", "reckon", "protocol"]),
    (
        "press",
        &[
            "record", "photo", "parcel", "reckon", "dossier", "demo", "protocol", "blob", "key",
        ],
    ),
    (
        "keeper",
        &[
            "record", "log", "photo", "key", "parcel", "protocol", "blob",
        ],
    ),
    ("bytes", &["record", "photo", "reckon", "dossier", "demo"]),
    (
        "tests",
        &[
            "bytes", "record", "log", "photo", "parcel", "reckon", "dossier", "demo", "cli",
            "protocol",
        ],
    ),
];

/// Foreign crates that one package owns.
const OWNERS: &[(&str, &[&str])] = &[
    ("automerge", &["log"]),
    ("zip", &["parcel"]),
    ("ed25519-dalek", &["key"]),
    ("clap", &["cli"]),
    ("axum", &["cli"]),
    ("yew", &["page"]),
    ("web-sys", &["page", "keeper"]),
    ("kamadak-exif", &["photo"]),
    ("fast_image_resize", &["photo"]),
    ("libm", &["reckon"]),
    ("krilla", &["dossier"]),
    ("parley", &["dossier"]),
    ("skrifa", &["dossier"]),
];

#[test]
fn arrows_between_packages_point_one_way_and_foreign_crates_have_one_owner() {
    let mut wrong = Vec::new();
    let mut seen = Vec::new();
    for (name, text) in sources()
        .into_iter()
        .filter(|(name, _)| name.ends_with("/Cargo.toml"))
    {
        let folder = Path::new(&name)
            .parent()
            .unwrap()
            .file_name()
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        seen.push(folder.clone());
        let allowed = EDGES.iter().find(|(package, _)| *package == folder);
        let Some((_, allowed)) = allowed else {
            wrong.push(format!("{name}: a package that the house does not know; name its edges in tidy.rs and in DEVELOPERS.md"));
            continue;
        };
        if !text.contains("[lints]\nworkspace = true") {
            wrong.push(format!("{name}: the workspace's lints are not taken"));
        }
        // What tests need may point anywhere but up.
        let shipped = text.split("[dev-dependencies]").next().unwrap();
        for line in shipped.lines() {
            let dependency = line.split(['.', ' ', '=']).next().unwrap_or_default();
            if let Some(inner) = dependency.strip_prefix("garboard-")
                && !allowed.contains(&inner)
            {
                wrong.push(format!("{name}: {folder} must not see {inner}"));
            }
            if let Some((_, owners)) = OWNERS
                .iter()
                .find(|(crate_name, _)| *crate_name == dependency)
                && folder != "tests"
                && !owners.contains(&folder.as_str())
            {
                wrong.push(format!(
                    "{name}: {dependency} belongs to {}",
                    owners.join(" and ")
                ));
            }
        }
    }
    refuse("arrows", &wrong);
    assert_eq!(seen.len(), EDGES.len(), "{seen:?}");
}

#[test]
fn the_browser_is_named_in_browser_folders_only() {
    let wrong: Vec<String> = rust()
        .filter(|(name, _)| {
            name.starts_with("web/")
                && !name.contains("/browser/")
                && !name.ends_with("/browser.rs")
                && !name.ends_with("/lib.rs")
        })
        .filter(|(_, text)| {
            text.lines().any(|line| {
                !line.trim_start().starts_with("//")
                    && (line.contains("web_sys::") || line.contains("js_sys::"))
            })
        })
        .map(|(name, _)| name)
        .collect();
    refuse(
        "these files name the browser outside a browser folder",
        &wrong,
    );
}

#[test]
fn core_reads_no_clock_no_chance_and_no_disk() {
    let forbidden = [
        "std::fs",
        "std::env",
        "SystemTime",
        "Instant::now",
        "Utc::now",
        "Local::now",
        "getrandom",
        "std::thread",
        "println!",
    ];
    let mut wrong = Vec::new();
    for (name, text) in rust().filter(|(name, _)| {
        name.starts_with("core/") && !name.starts_with("core/cli/") && !name.contains("/tests")
    }) {
        for (line, at) in text
            .lines()
            .zip(1..)
            .filter(|(line, _)| !line.trim_start().starts_with("//"))
        {
            wrong.extend(
                forbidden
                    .iter()
                    .filter(|word| line.contains(*word))
                    .map(|word| format!("{name}:{at}: {word}")),
            );
        }
    }
    refuse("the core is pure: these are handed in", &wrong);
}

/// The standard library's transcendental functions differ in the last digit between targets.
#[test]
fn reckon_takes_its_functions_from_libm_and_documents_each_computation() {
    let forbidden = [
        ".exp()",
        ".ln()",
        ".log10()",
        ".powf(",
        ".powi(",
        ".sin()",
        ".cos()",
        ".tan()",
        ".atan()",
        ".atan2(",
        ".acos()",
        ".asin()",
        ".sqrt()",
        ".mul_add(",
        ".cbrt()",
    ];
    let mut wrong = Vec::new();
    let framework = [
        "lib",
        "caution",
        "check",
        "drawing",
        "given",
        "input",
        "number",
        "outcome",
        "output",
        "page",
        "reckoning",
        "schema",
        "source",
        "unreckoned",
        "tests",
    ];
    for (name, text) in rust() {
        let Some(inner) = name.strip_prefix("core/reckon/src/") else {
            continue;
        };
        for (line, at) in text.lines().zip(1..) {
            wrong.extend(
                forbidden
                    .iter()
                    .filter(|word| line.contains(*word))
                    .map(|word| {
                        format!(
                            "{name}:{at}: {word} differs between targets; take it from `number`"
                        )
                    }),
            );
        }
        let module = inner.split(['/', '.']).next().unwrap_or_default();
        if framework.contains(&module) || inner.contains("tests") {
            continue;
        }
        let mut doc = String::new();
        for line in text.lines() {
            if let Some(said) = line.strip_prefix("///") {
                doc.push_str(said);
                continue;
            }
            if let Some(rest) = line.strip_prefix("pub fn ") {
                let function = rest.split(['(', '<']).next().unwrap_or_default();
                wrong.extend(
                    ["# Units", "# Errors", "# Source"]
                        .into_iter()
                        .filter(|section| !doc.contains(section))
                        .map(|section| format!("{name}: {function} says nothing of {section}")),
                );
            }
            if !line.starts_with("#[") {
                doc.clear();
            }
        }
    }
    refuse("computations of the trade", &wrong);
}

#[test]
fn every_test_module_is_listed_and_every_page_of_docs_is_linked() {
    let main = std::fs::read_to_string(root().join("tests/it/main.rs")).unwrap();
    let unlisted: Vec<String> = sources()
        .into_iter()
        .filter_map(|(name, _)| {
            Some(
                name.strip_prefix("tests/it/")?
                    .strip_suffix(".rs")?
                    .to_owned(),
            )
        })
        .filter(|module| {
            module != "main" && !module.contains('/') && !main.contains(&format!("mod {module};"))
        })
        .collect();
    refuse(
        "these test modules are not listed in tests/it/main.rs",
        &unlisted,
    );
    let readers: String = sources()
        .into_iter()
        .filter(|(name, _)| name.ends_with(".md"))
        .map(|(_, text)| text)
        .collect();
    let unlinked: Vec<String> = sources()
        .into_iter()
        .filter_map(|(name, _)| {
            name.strip_prefix("docs/")
                .filter(|name| name.ends_with(".md"))
                .map(str::to_owned)
        })
        .filter(|name| !readers.contains(name.as_str()))
        // A folder's own list names its pages without the folder.
        .filter(|name| {
            name.rsplit_once('/').is_none_or(|(folder, page)| {
                let list = root().join("docs").join(folder).join("README.md");
                !std::fs::read_to_string(list).is_ok_and(|list| list.contains(&format!("({page})")))
            })
        })
        .collect();
    refuse("no page links to these pages of docs", &unlinked);
}

#[test]
fn links_between_the_pages_of_docs_lead_somewhere() {
    let mut broken = Vec::new();
    for (name, text) in sources()
        .into_iter()
        .filter(|(name, _)| name.ends_with(".md"))
    {
        for link in text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split(')').next())
        {
            let path = link.split('#').next().unwrap_or_default();
            if path.is_empty() || path.contains("://") {
                continue;
            }
            let target: PathBuf = root().join(&name).parent().unwrap().join(path);
            if !target.exists() {
                broken.push(format!("{name}: {link}"));
            }
        }
    }
    refuse("broken links", &broken);
}

/// The glossary names every kind, with the word that the code, the screens and the dossier use.
#[test]
fn the_glossary_names_every_kind() {
    let glossary = std::fs::read_to_string(root().join("docs/glossary.md")).unwrap();
    let missing: Vec<String> = garboard_record::Kind::ALL
        .iter()
        .filter(|kind| !glossary.contains(&format!("**{}**", kind.shown())))
        .map(ToString::to_string)
        .collect();
    refuse("docs/glossary.md does not name", &missing);
}

/// One crate in one version, where two would double the front end.
#[test]
fn the_lock_file_holds_one_version_of_the_heavy_crates() {
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for name in lock
        .lines()
        .filter_map(|line| line.strip_prefix("name = \"")?.strip_suffix('"'))
    {
        *versions.entry(name).or_default() += 1;
    }
    for name in [
        "automerge",
        "image",
        "yew",
        "gloo",
        "serde_json",
        "wasm-bindgen",
        "zip",
    ] {
        assert_eq!(versions.get(name), Some(&1), "{name}");
    }
}
