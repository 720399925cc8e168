//! Building and serving the site.

use std::io::{IsTerminal as _, Write as _};
use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::Answer;
use crate::failure::{Done, Failure, whole};
use crate::{home, machine, serve as server, site as builder};

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
    /// Serves in the home network too, over HTTPS at the next port: at ADDRESS, or at all that this machine has there.
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1)]
    pub home: Option<Option<std::net::Ipv4Addr>>,
    /// A name that leads to this machine in the home network, like shed.local: unlike an address it stays.
    #[arg(long, value_name = "NAME", requires = "home")]
    pub name: Option<String>,
    /// Says the addresses as one line of JSON, once they can be opened.
    #[arg(long)]
    pub json: bool,
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
            site: Some(site),
            ..Serve::default()
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
/// The environment's when the port is taken or the site cannot be built; a mistake when an address or a name leads out of the
/// home.
pub fn serve(c: &Serve, progress: &mut dyn FnMut(&str)) -> Done<Answer> {
    let home = match &c.home {
        None => None,
        Some(address) => Some(at_home(*address, c.name.as_deref())?),
    };
    let site = match &c.site {
        Some(site) => site.clone(),
        None => build(progress)?,
    };
    let options = server::Options {
        site,
        port: c.port,
        home,
    };
    let as_json = c.json;
    let mut ready = |served: &server::Served, authority: Option<&home::Authority>| {
        if as_json {
            // Whoever reads it waits for this line alone.
            let mut out = std::io::stdout().lock();
            drop(writeln!(out, "{}", told(served, authority)).and_then(|()| out.flush()));
        } else {
            explain(served, authority);
        }
    };
    server::run(options, &mut ready, progress)
        .map_err(|error| Failure::environment(whole(&error), error.hint()))?;
    Ok(Answer::default())
}

/// Where in the home network, and the authority that vouches there.
fn at_home(address: Option<std::net::Ipv4Addr>, name: Option<&str>) -> Done<server::Home> {
    if let Some(name) = name {
        home::local(name)?;
    }
    let addresses = match address {
        Some(address) => {
            home::local(&address.to_string())?;
            vec![address]
        }
        None => home::addresses()?,
    };
    let folder = machine::state_folder()?.join("home-network");
    Ok(server::Home {
        addresses,
        name: name.map(str::to_owned),
        authority: home::Authority::open(&folder, machine::now_millis())?,
        now: machine::now_millis,
        look_every: std::time::Duration::from_secs(600),
    })
}

/// The addresses for scripts.
fn told(served: &server::Served, authority: Option<&home::Authority>) -> serde_json::Value {
    let all: Vec<&String> = served.secure.iter().chain(&served.plain).collect();
    let authority = authority.map(|authority| {
        json!({
            "name": authority.name(),
            "certificate": authority.folder().join("authority.crt"),
            "sha256": authority.fingerprint(),
            "last_day": authority.last_day(),
            "is_new": authority.is_new(),
        })
    });
    json!({
        "addresses": all,
        "plain": served.plain,
        "secure": served.secure,
        "trust": served.trust,
        "authority": authority,
    })
}

/// The addresses for people: on the screen of the machine, beside the phone.
fn explain(served: &server::Served, authority: Option<&home::Authority>) {
    let mut out = std::io::stderr().lock();
    let mut say = |line: &str| drop(writeln!(out, "{line}"));
    let (Some(authority), Some(trust)) = (authority, &served.trust) else {
        served.plain.iter().for_each(|address| say(address));
        return;
    };
    let has_colours = std::io::stderr().is_terminal();
    say("On a phone in this network, scan this, or open the address below it:");
    if let Some(code) = home::code(trust, has_colours) {
        say("");
        say(code.trim_end_matches('\n'));
    }
    say(&format!("  {trust}"));
    say(
        "That page tells the phone, once, how to trust this machine. Then, with everything offline:",
    );
    for_a_phone(&served.secure).for_each(|address| say(&format!("  {address}")));
    say("Without trust, as long as this machine can be reached:");
    for_a_phone(&served.plain).for_each(|address| say(&format!("  {address}")));
    if let Some(address) = served.plain.last() {
        say(&format!("On this machine itself: {address}"));
    }
    let is_new = match authority.is_new() {
        true => "made just now",
        false => "made before",
    };
    say(&format!(
        "The certificate is “{}”, {is_new}, good until {}. The phone must show this fingerprint (SHA-256):",
        authority.name(),
        authority.last_day()
    ));
    say(&format!("  {}", authority.fingerprint()));
    say(&format!(
        "Its key lies in {} and is for this user alone: whoever has it can pretend to be a page at home to phones that trust it.",
        authority.folder().display()
    ));
    say(
        "A browser keeps its logs by address: let the network give this machine the same one each time.",
    );
}

/// The addresses that lead here from another machine: all but the last, which is this machine's own.
fn for_a_phone(all: &[String]) -> impl Iterator<Item = &String> {
    let n_others = all.len().saturating_sub(1).max(1);
    all.iter().take(n_others)
}
