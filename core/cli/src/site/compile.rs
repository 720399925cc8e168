//! Compiles page and keeper for the browser by a cargo of our own.

use std::ffi::OsString;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use super::{Error, Folders};

const TARGET: &str = "wasm32-unknown-unknown";

/// The profile of the workspace that the site is built with.
const PROFILE: &str = "phone";

/// The modules as the compiler leaves them.
#[derive(Debug)]
pub(super) struct Modules {
    /// The screens that a first visit needs.
    pub(super) rail: PathBuf,
    /// All screens.
    pub(super) page: PathBuf,
    /// The log's keeper.
    pub(super) keeper: PathBuf,
    /// What makes pictures and dossiers.
    pub(super) press: PathBuf,
    pub(super) paper: PathBuf,
}

/// The tool that this program was started by, or the one on the path.
#[expect(
    clippy::disallowed_methods,
    reason = "cargo names itself in the environment"
)]
fn tool(variable: &str, name: &str) -> OsString {
    std::env::var(variable).map_or_else(|_| OsString::from(name), OsString::from)
}

/// Adds the compiler's part for browsers when it is missing.
pub(super) fn ensure_target(source: &Path, say: &mut dyn FnMut(&str)) -> Result<(), Error> {
    let printed = Command::new(tool("RUSTC", "rustc"))
        .args(["--print", "target-libdir", "--target", TARGET])
        .current_dir(source)
        .output()
        .map_err(|source| Error::NoTool {
            tool: "rustc",
            source,
        })?;
    let libraries = PathBuf::from(String::from_utf8_lossy(&printed.stdout).trim());
    if printed.status.success() && libraries.is_dir() {
        return Ok(());
    }
    say("Adding the compiler's part for browsers (rustup target add wasm32-unknown-unknown)");
    let added = Command::new("rustup")
        .args(["target", "add", TARGET])
        .current_dir(source)
        .output()
        .map_err(|source| Error::NoTool {
            tool: "rustup",
            source,
        })?;
    if added.status.success() {
        return Ok(());
    }
    Err(Error::NoTarget {
        said: last_lines(&String::from_utf8_lossy(&added.stderr), 3),
    })
}

/// Compiles both modules and returns where they lie.
pub(super) fn modules(folders: &Folders, say: &mut dyn FnMut(&str)) -> Result<Modules, Error> {
    let no_cargo = |source| Error::NoTool {
        tool: "cargo",
        source,
    };
    let mut cargo = Command::new(tool("CARGO", "cargo"))
        .args([
            "build",
            "--profile",
            PROFILE,
            "--target",
            TARGET,
            "--locked",
        ])
        .args([
            "-p",
            "garboard-page",
            "-p",
            "garboard-keeper",
            "-p",
            "garboard-press",
            "--lib",
            "--bins",
        ])
        .args(["--config", &without_paths(&folders.source)])
        .arg("--target-dir")
        .arg(&folders.target)
        .args(["--color", "never"])
        .current_dir(&folders.source)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(no_cargo)?;

    let mut said = String::new();
    let mut n_compiled = 0_u32;
    if let Some(lines) = cargo.stderr.take() {
        for line in BufReader::new(lines).lines() {
            let line = line.map_err(no_cargo)?;
            let word = line.trim_start();
            if let Some(rest) = word.strip_prefix("Compiling ") {
                n_compiled += 1;
                let name = rest.split(' ').next().unwrap_or(rest);
                say(&format!("  compiling {name} ({n_compiled})"));
            } else if ["Downloading ", "Blocking ", "Updating "]
                .iter()
                .any(|start| word.starts_with(start))
            {
                say(&format!("  {}", word.trim_end()));
            }
            said.push_str(&line);
            said.push('\n');
        }
    }
    if !cargo.wait().map_err(no_cargo)?.success() {
        return Err(Error::Compile {
            said: from_first_error(&said),
        });
    }
    let at = folders.target.join(TARGET).join(PROFILE);
    Ok(Modules {
        rail: at.join("rail.wasm"),
        page: at.join("page.wasm"),
        keeper: at.join("garboard_keeper.wasm"),
        press: at.join("press.wasm"),
        paper: at.join("paper.wasm"),
    })
}

/// The setting by which no module carries the names of this machine's folders, so that the same
/// sources give the same site wherever they lie.
fn without_paths(source: &Path) -> String {
    let cargo_home = std::env::home_dir().map(|home| home.join(".cargo"));
    let home = tool("CARGO_HOME", "").into_string().ok();
    let cargo_home = home
        .filter(|home| !home.is_empty())
        .map(PathBuf::from)
        .or(cargo_home);
    let flag = |from: &Path, to: &str| {
        serde_json::Value::from(format!("--remap-path-prefix={}={to}", from.display())).to_string()
    };
    let flags: Vec<String> = cargo_home
        .iter()
        .map(|home| flag(home, "cargo"))
        .chain([flag(source, "garboard")])
        .collect();
    format!("build.rustflags=[{}]", flags.join(","))
}

/// What the compiler said, from its first error on and not longer than a screen.
fn from_first_error(said: &str) -> String {
    let lines: Vec<&str> = said.lines().collect();
    let start = lines
        .iter()
        .position(|line| line.starts_with("error"))
        .unwrap_or(0);
    lines
        .iter()
        .skip(start)
        .take(40)
        .copied()
        .collect::<Vec<_>>()
        .join("\n")
}

fn last_lines(said: &str, n: usize) -> String {
    let lines: Vec<&str> = said
        .lines()
        .filter(|line| !line.trim().is_empty())
        .collect();
    lines
        .iter()
        .skip(lines.len().saturating_sub(n))
        .copied()
        .collect::<Vec<_>>()
        .join("; ")
}
