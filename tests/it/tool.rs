//! Runs the command line as a person does, each device with a home folder of its own.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

use serde_json::Value;

/// The workspace.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .unwrap()
        .to_path_buf()
}

/// Python with the readers and references that `tests/run` installs.
pub(crate) fn python() -> PathBuf {
    let python = root().join("target/python/bin/python");
    assert!(
        python.is_file(),
        "{} is missing; tests/run installs it",
        python.display()
    );
    python
}

/// The program, built once a run.
pub(crate) fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        // Cargo names the folder when it builds a test; it holds for a target folder that somebody else made, too.
        let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap();
        let built = Command::new(env!("CARGO"))
            .args(["build", "--quiet", "-p", "garboard-cli", "--target-dir"])
            .arg(target)
            .current_dir(root())
            .status()
            .unwrap();
        assert!(built.success(), "cargo build -p garboard-cli failed");
        target.join("debug/garboard")
    })
}

/// A device: a home folder, and log folders in it.
pub(crate) struct Device {
    home: tempfile::TempDir,
}

/// What a command answered.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Device {
    pub(crate) fn new() -> Self {
        Self {
            home: tempfile::tempdir().unwrap(),
        }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(program());
        command
            .args(arguments)
            .current_dir(self.home.path())
            .env_clear()
            .env("HOME", self.home.path())
            .env("USER", "somebody")
            .env("TZ", "Europe/Berlin");
        command
    }

    /// Runs a command with some input and tells how it ended.
    pub(crate) fn try_with(&self, arguments: &[&str], input: &str) -> Answer {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A command that refuses its arguments does not wait for its input.
        drop(child.stdin.take().unwrap().write_all(input.as_bytes()));
        Answer::of(&child.wait_with_output().unwrap())
    }

    pub(crate) fn attempt(&self, arguments: &[&str]) -> Answer {
        self.try_with(arguments, "")
    }

    /// Runs a command that must work and gives what it printed.
    pub(crate) fn run(&self, arguments: &[&str]) -> String {
        let answer = self.attempt(arguments);
        assert_eq!(answer.code, 0, "{arguments:?}: {answer:?}");
        answer.out
    }

    /// Adds a statement and gives its id.
    pub(crate) fn add(&self, dir: &str, kind: &str, fields: &str) -> String {
        let answer = self.try_with(&["add", dir, kind, "--json", "-"], fields);
        assert_eq!(answer.code, 0, "{kind} {fields}: {answer:?}");
        answer.out
    }

    /// The whole log, or one entry, as JSON.
    pub(crate) fn show(&self, arguments: &[&str]) -> Value {
        let whole: Vec<&str> = ["show"]
            .iter()
            .chain(arguments)
            .chain(&["--json"])
            .copied()
            .collect();
        serde_json::from_str(&self.run(&whole)).unwrap()
    }
}

impl Answer {
    fn of(output: &Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout.clone())
                .unwrap()
                .trim_end()
                .to_owned(),
            err: String::from_utf8(output.stderr.clone())
                .unwrap()
                .trim_end()
                .to_owned(),
        }
    }
}

/// Every file under a folder with its bytes, temporary ones included.
pub(crate) fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut out = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(at) = open.pop() {
        for entry in std::fs::read_dir(&at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                out.push((
                    path.strip_prefix(folder).unwrap().to_path_buf(),
                    std::fs::read(&path).unwrap(),
                ));
            }
        }
    }
    out.sort();
    out
}

/// A small picture as a camera might make it: a JPEG of one shade.
pub(crate) fn picture(shade: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let image = image::RgbImage::from_fn(640, 480, |x, y| {
        image::Rgb([
            shade,
            u8::try_from(x % 256).unwrap(),
            u8::try_from(y % 256).unwrap(),
        ])
    });
    image::codecs::jpeg::JpegEncoder::new(&mut bytes)
        .encode_image(&image)
        .unwrap();
    bytes
}

/// Runs a script of the references' Python in a device's folder: whether it went well, and all that it said.
pub(crate) fn script(device: &Device, text: &str) -> (bool, String) {
    let output = Command::new(python())
        .args(["-c", text])
        .current_dir(device.path(""))
        .output()
        .unwrap();
    let said = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    (output.status.success(), said)
}
