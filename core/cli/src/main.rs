//! The garboard command: reads its arguments, answers on standard output, and says what went wrong on standard error.

use std::io::Write as _;
use std::process::ExitCode;

use clap::Parser as _;
use garboard_cli::command::{self, Answer, Arguments};
use garboard_cli::failure::Failure;
use serde_json::json;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(told) => {
            let is_help = matches!(
                told.kind(),
                clap::error::ErrorKind::DisplayHelp | clap::error::ErrorKind::DisplayVersion
            );
            drop(told.print());
            return ExitCode::from(u8::from(!is_help));
        }
    };
    let (outcome, as_json) = match &arguments.command {
        Some(command) => (
            command::run(command, &mut say),
            command::wants_json(command),
        ),
        None => (command::site::main_job(&mut say), false),
    };
    match outcome {
        Ok(answer) => print(&answer),
        Err(failure) => refuse(&failure, as_json),
    }
}

/// Prints an answer; where nobody reads any more, that is no fault.
fn print(answer: &Answer) -> ExitCode {
    let text = if answer.as_json {
        format!("{:#}", answer.json)
    } else {
        answer.text.clone()
    };
    if !text.is_empty() {
        drop(writeln!(std::io::stdout(), "{text}"));
    }
    ExitCode::from(u8::from(answer.found_wrong))
}

fn refuse(failure: &Failure, as_json: bool) -> ExitCode {
    if as_json {
        let json = json!({ "error": failure.message, "hint": failure.hint, "fault": failure.fault.word() });
        drop(writeln!(std::io::stdout(), "{json:#}"));
    } else {
        say(&format!("error: {}", failure.message));
        if !failure.hint.is_empty() {
            say(&format!("  {}", failure.hint));
        }
    }
    ExitCode::from(failure.fault.exit_code())
}

/// Progress and complaints go to standard error, so that scripts read answers alone.
fn say(line: &str) {
    drop(writeln!(std::io::stderr(), "{line}"));
}
