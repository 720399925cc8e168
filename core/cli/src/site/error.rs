//! Why the site could not be built.

use std::path::PathBuf;

/// Why the site could not be built; the old site, if there is one, is untouched.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The sources that this program was built from are gone.
    #[error("the sources of the site are not in {}", folder.display())]
    NoSource {
        /// Where they were when the program was built.
        folder: PathBuf,
    },
    /// A tool of the compiler is missing.
    #[error("{tool} cannot be started")]
    NoTool {
        /// The tool's name.
        tool: &'static str,
        /// Why.
        #[source]
        source: std::io::Error,
    },
    /// The wasm target could not be added.
    #[error("the compiler's part for browsers (wasm32-unknown-unknown) could not be added: {said}")]
    NoTarget {
        /// What rustup said last.
        said: String,
    },
    /// The compiler found an error.
    #[error("the front end does not compile:\n{said}")]
    Compile {
        /// What the compiler said.
        said: String,
    },
    /// The binding of a module to the browser failed.
    #[error("the module `{module}` cannot be bound to the browser: {said}")]
    Bind {
        /// `page` or `keeper`.
        module: &'static str,
        /// What the binder said.
        said: String,
    },
    /// A token that the builder must replace is not in the shell.
    #[error("www/{file} has no {token} for the builder to replace")]
    Shell {
        /// The file.
        file: &'static str,
        /// The token.
        token: &'static str,
    },
    /// The disk failed, or is full.
    #[error("{doing} failed: {}", path.display())]
    Disk {
        /// What was being done.
        doing: &'static str,
        /// On what.
        path: PathBuf,
        /// Why.
        #[source]
        source: std::io::Error,
    },
}

impl Error {
    /// What the person can do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoSource { .. } => {
                "run the program from its source folder with `cargo run --release`, or serve a site that is built already with `garboard serve --site FOLDER`"
            }
            Self::NoTool { .. } => {
                "install Rust with rustup (https://rustup.rs), so that `cargo` and `rustc` are found, and run the command again"
            }
            Self::NoTarget { .. } => {
                "check the network, or run `rustup target add wasm32-unknown-unknown` by hand, and run the command again"
            }
            Self::Compile { .. } | Self::Bind { .. } | Self::Shell { .. } => {
                "this is a fault of the sources as they lie here: undo what was changed last, or take a fresh copy"
            }
            Self::Disk { .. } => "check that the disk has room and that the folder may be written",
        }
    }
}
