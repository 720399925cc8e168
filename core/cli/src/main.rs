//! The garboard command.

use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::Context as _;
use clap::{Parser, Subcommand};
use garboard_cli::{serve, site};

/// A field log for people who open up an old boat.
#[derive(Debug, Parser)]
#[command(name = "garboard", version)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Builds the site unless it is there and fits its sources.
    Site,
    /// Builds the site if need be and serves it on this machine.
    Serve {
        /// The port; without it 4817, or the next that is free.
        #[arg(long, value_name = "N")]
        port: Option<u16>,
        /// A site that is built already.
        #[arg(long, value_name = "FOLDER")]
        site: Option<PathBuf>,
    },
}

fn main() -> ExitCode {
    match run(Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            say(&format!("error: {error:#}"));
            ExitCode::from(2)
        }
    }
}

fn run(arguments: Arguments) -> anyhow::Result<()> {
    match arguments.command.unwrap_or(Command::Serve {
        port: None,
        site: None,
    }) {
        Command::Site => {
            build()?;
            Ok(())
        }
        Command::Serve { port, site } => {
            let site = match site {
                Some(site) => site,
                None => build()?,
            };
            let options = serve::Options { site, port };
            serve::run(&options, &mut say).map_err(|error| {
                let hint = error.hint();
                anyhow::Error::new(error).context(hint)
            })
        }
    }
}

fn build() -> anyhow::Result<PathBuf> {
    let folders = site::Folders::find().context("the site cannot be built")?;
    let built = site::build(&folders, &mut say).map_err(|error| {
        let hint = error.hint();
        anyhow::Error::new(error).context(hint)
    })?;
    Ok(built.site)
}

#[expect(clippy::print_stderr, reason = "progress goes to the terminal")]
fn say(line: &str) {
    eprintln!("{line}");
}
