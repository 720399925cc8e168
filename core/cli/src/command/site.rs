//! Building and serving the site.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure, whole};
use crate::{machine, serve as server, site as builder};

/// Builds the site unless it is there and fits its sources.
#[derive(Debug, Args)]
pub struct Site {
    /// Answers as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Builds the site if need be and serves it on this machine.
#[derive(Debug, Default, Args)]
pub struct Serve {
    /// The port; without it 4817, or the next that is free.
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// A site that is built already.
    #[arg(long, value_name = "FOLDER")]
    pub site: Option<PathBuf>,
}

/// Builds the site, where it does not fit its sources, and gives its folder.
///
/// # Errors
///
/// The environment's when the tools are missing or the build fails.
pub fn build(progress: &mut dyn FnMut(&str)) -> Done<PathBuf> {
    let refused = |message: String, hint: &str| {
        Failure::environment(format!("the site cannot be built: {message}"), hint)
    };
    let folders = builder::Folders::find().map_err(|error| refused(whole(&error), error.hint()))?;
    let built =
        builder::build(&folders, progress).map_err(|error| refused(whole(&error), error.hint()))?;
    Ok(built.site)
}

/// What happens without a command: the site is built, the demonstration boat is made where there is none, and both are served.
///
/// # Errors
///
/// Those of [`build`], of the demonstration and of the server.
pub fn main_job(progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let site = build(progress)?;
    let folders = builder::Folders::find()
        .map_err(|error| Failure::environment(whole(&error), error.hint()))?;
    let dir = folders.target.join("demonstration-boat");
    if !dir.exists() {
        progress("making the demonstration boat");
        // Made beside and moved when it is whole: a first start that was stopped leaves nothing half done.
        let beside = folders
            .target
            .join(format!("demonstration-boat.{}", machine::random_word()?));
        super::demo::make(&beside)?;
        std::fs::rename(&beside, &dir)
            .map_err(|cause| Failure::file("cannot make", &dir, &cause))?;
    }
    let program = std::env::current_exe()
        .map(|exe| exe.display().to_string())
        .unwrap_or_else(|_unknown| "garboard".to_owned());
    progress(&format!(
        "the demonstration boat is in {}; look at it with: {program} show {}",
        dir.display(),
        dir.display()
    ));
    progress("in the browser: Start, then Open the demonstration boat");
    serve(
        &Serve {
            port: None,
            site: Some(site),
        },
        progress,
    )
}

/// `garboard site`
///
/// # Errors
///
/// Those of [`build`].
pub fn site(c: &Site, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let folder = build(progress)?;
    Ok(Answer::new(
        format!(
            "The site is in {}; any web server can hand it out, over HTTPS.",
            folder.display()
        ),
        json!({ "site": folder }),
        c.json,
    ))
}

/// `garboard serve`
///
/// # Errors
///
/// The environment's when the port is taken or the site cannot be built.
pub fn serve(c: &Serve, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let site = match &c.site {
        Some(site) => site.clone(),
        None => build(progress)?,
    };
    server::run(&server::Options { site, port: c.port }, progress)
        .map_err(|error| Failure::environment(whole(&error), error.hint()))?;
    Ok(Answer::default())
}
