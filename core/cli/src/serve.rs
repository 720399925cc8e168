//! Serves the built site on this machine, for a first load and for trying it out; when asked to, on the home network too.
//!
//! Only 127.0.0.1 is listened on, unless a home network's addresses are named; no log is read or
//! written, and every answer carries the strict policy under which the front end must work on any host.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::http::{HeaderName, HeaderValue, header};
use axum::routing::get;
use axum_server::tls_rustls::RustlsConfig;
use rustls::ServerConfig;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};
use tower_http::services::ServeDir;
use tower_http::set_header::SetResponseHeaderLayer;

use crate::home::{Authority, Leaf, page};

/// The port that is taken when none is asked for. A browser keeps its logs by address and port, so
/// it must stay the same from one start to the next.
pub const PORT: u16 = 4817;

const N_TRIES: u16 = 20;

const HEADERS: &[(&str, &str)] = &[
    (
        "content-security-policy",
        "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
         img-src 'self' blob: data:; media-src 'self' blob:; connect-src 'self'; worker-src 'self'; \
         base-uri 'none'; frame-ancestors 'none'; form-action 'none'; object-src 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(self), microphone=(self), screen-wake-lock=(self), geolocation=(), payment=(), usb=()",
    ),
    // Names do not change with the content: every file is asked after, and answered with "not
    // modified". Without a network the service worker answers.
    ("cache-control", "no-cache"),
];

/// Where to serve.
pub struct Options {
    /// The built site.
    pub site: PathBuf,
    /// The port, or [`PORT`] and, when that is taken, the next that is free.
    pub port: Option<u16>,
    /// The home network, when it is served there as well: over HTTPS at the next port.
    pub home: Option<Home>,
}

/// Where in a home network, and who vouches for it.
pub struct Home {
    /// The addresses to listen on, beside 127.0.0.1.
    pub addresses: Vec<Ipv4Addr>,
    /// A name that leads to them, if there is one.
    pub name: Option<String>,
    /// Who vouches.
    pub authority: Authority,
    /// The clock, in milliseconds since 1970.
    pub now: fn() -> u64,
    /// How often the clock is looked at: a machine that slept has missed its moment to renew.
    pub look_every: Duration,
}

/// The addresses at which the site is served, the best one first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Served {
    /// Without encryption.
    pub plain: Vec<String>,
    /// Over HTTPS; empty without a home network.
    pub secure: Vec<String>,
    /// The page that tells a phone how to trust this machine.
    pub trust: Option<String>,
}

/// Why nothing is served.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is no site in the folder.
    #[error("there is no built site in {}", site.display())]
    NoSite {
        /// The folder.
        site: PathBuf,
    },
    /// The port that was asked for cannot be had.
    #[error("port {port} on {address} cannot be had")]
    Port {
        /// The address.
        address: Ipv4Addr,
        /// The port.
        port: u16,
        /// Why.
        #[source]
        source: std::io::Error,
    },
    /// There is no port for HTTPS after the last one.
    #[error("port 65535 leaves none for HTTPS, which takes the next one")]
    LastPort,
    /// What vouches for the addresses cannot be made.
    #[error("no certificate can be made for these addresses: {what}")]
    Certificate {
        /// Why.
        what: String,
    },
    /// The server stopped.
    #[error("the server stopped")]
    Stopped {
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
            Self::NoSite { .. } => "build it with `garboard site`",
            Self::Port { .. } => {
                "another program has it; end that one, or name another port with --port N (a browser keeps its logs by address and port)"
            }
            Self::LastPort => "name a lower port with --port N",
            Self::Certificate { .. } => "look whether the name and the addresses are right",
            Self::Stopped { .. } => "start it again; nothing is lost, logs lie in the browser",
        }
    }
}

/// Serves until the process is ended; `ready` gets the addresses, `say` what else is to be known.
///
/// # Errors
///
/// [`Error`] when there is nothing to serve or nowhere to serve it.
pub fn run(
    options: Options,
    ready: &mut dyn FnMut(&Served, Option<&Authority>),
    say: &mut dyn FnMut(&str),
) -> Result<(), Error> {
    if !options.site.join("index.html").is_file() {
        return Err(Error::NoSite { site: options.site });
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|source| Error::Stopped { source })?;
    match options.home {
        None => runtime.block_on(here(&options.site, options.port, ready, say)),
        Some(home) => runtime.block_on(at_home(&options.site, options.port, home, ready, say)),
    }
}

/// Serves on this machine alone.
async fn here(
    site: &Path,
    wanted: Option<u16>,
    ready: &mut dyn FnMut(&Served, Option<&Authority>),
    say: &mut dyn FnMut(&str),
) -> Result<(), Error> {
    let (listener, port) = listen(wanted).await?;
    if wanted.is_none() && port != PORT {
        say(&format!(
            "Port {PORT} is taken by another program; this is port {port}. A browser keeps its \
             logs by address and port: what was written at port {PORT} is safe, but not seen here."
        ));
    }
    let served = Served {
        plain: vec![format!("http://127.0.0.1:{port}/")],
        secure: Vec::new(),
        trust: None,
    };
    ready(&served, None);
    axum::serve(listener, router(site))
        .await
        .map_err(|source| Error::Stopped { source })
}

/// Serves on this machine and in the home network, plainly and over HTTPS.
async fn at_home(
    site: &Path,
    wanted: Option<u16>,
    home: Home,
    ready: &mut dyn FnMut(&Served, Option<&Authority>),
    say: &mut dyn FnMut(&str),
) -> Result<(), Error> {
    let mut addresses = home.addresses.clone();
    addresses.push(Ipv4Addr::LOCALHOST);
    addresses.dedup();
    let (mut plain, mut secure) = (Vec::new(), Vec::new());
    // All ports are had before anything is said.
    for address in &addresses {
        let first = bound(*address, wanted.unwrap_or(PORT)).await?;
        let port = port_of(&first)?;
        let next = match wanted {
            // Any port that is free: the next one need not be.
            Some(0) => 0,
            _ => port.checked_add(1).ok_or(Error::LastPort)?,
        };
        let second = bound(*address, next).await?;
        let next = port_of(&second)?;
        plain.push((*address, port, first));
        secure.push((*address, next, second));
    }
    let mut names: Vec<String> = home.name.iter().cloned().collect();
    names.extend(addresses.iter().map(ToString::to_string));
    let hosts = |scheme: &str, at: &[(Ipv4Addr, u16, tokio::net::TcpListener)]| -> Vec<String> {
        let named = home.name.iter().zip(at.first());
        named
            .map(|(name, (_, port, _))| format!("{scheme}://{name}:{port}/"))
            .chain(
                at.iter()
                    .map(|(address, port, _)| format!("{scheme}://{address}:{port}/")),
            )
            .collect()
    };
    let served = Served {
        plain: hosts("http", &plain),
        secure: hosts("https", &secure),
        trust: hosts("http", &plain)
            .first()
            .map(|at| format!("{at}trust/")),
    };
    let vouched = |now: u64| -> Result<(Arc<ServerConfig>, u64), Error> {
        let leaf = home.authority.leaf(&names, now);
        let leaf = leaf.map_err(|failure| Error::Certificate {
            what: failure.message,
        })?;
        let renew_at = leaf.renew_at;
        Ok((tls(leaf)?, renew_at))
    };
    let (config, mut renew_at) = vouched((home.now)())?;
    let config = RustlsConfig::from_config(config);
    let router = router_at_home(site, &home.authority, &served);
    let mut running = tokio::task::JoinSet::new();
    for (_, _, listener) in plain {
        let router = router.clone();
        running.spawn(async move { axum::serve(listener, router).await });
    }
    for (_, _, listener) in secure {
        let listener = listener
            .into_std()
            .map_err(|source| Error::Stopped { source })?;
        let server = axum_server::from_tcp_rustls(listener, config.clone())
            .map_err(|source| Error::Stopped { source })?;
        running.spawn(server.serve(router.clone().into_make_service()));
    }
    ready(&served, Some(&home.authority));
    let mut tick = tokio::time::interval(home.look_every);
    loop {
        tokio::select! {
            ended = running.join_next() => {
                return match ended {
                    Some(Ok(Err(source))) => Err(Error::Stopped { source }),
                    Some(Err(cause)) => Err(Error::Stopped { source: std::io::Error::other(cause) }),
                    Some(Ok(Ok(()))) | None => Ok(()),
                };
            }
            _ = tick.tick() => {
                let now = (home.now)();
                if now >= renew_at {
                    match vouched(now) {
                        Ok((next, later)) => {
                            config.reload_from_config(next);
                            renew_at = later;
                        }
                        Err(error) => say(&error.to_string()),
                    }
                }
            }
        }
    }
}

/// What is said over an encrypted line: TLS 1.2 or 1.3, HTTP/1.1.
fn tls(leaf: Leaf) -> Result<Arc<ServerConfig>, Error> {
    let refused = |cause: rustls::Error| Error::Certificate {
        what: cause.to_string(),
    };
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let mut config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(refused)?
        .with_no_client_auth()
        .with_single_cert(
            vec![CertificateDer::from(leaf.certificate)],
            PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(leaf.key)),
        )
        .map_err(refused)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Arc::new(config))
}

async fn bound(address: Ipv4Addr, port: u16) -> Result<tokio::net::TcpListener, Error> {
    tokio::net::TcpListener::bind(SocketAddr::from((address, port)))
        .await
        .map_err(|source| Error::Port {
            address,
            port,
            source,
        })
}

fn port_of(listener: &tokio::net::TcpListener) -> Result<u16, Error> {
    let address = listener.local_addr();
    Ok(address.map_err(|source| Error::Stopped { source })?.port())
}

/// The site, and the page that tells a phone how to trust this machine.
fn router_at_home(site: &Path, authority: &Authority, served: &Served) -> Router {
    let first = |list: &[String]| list.first().cloned().unwrap_or_default();
    let page = page::page(authority, &first(&served.secure), &first(&served.plain));
    let certificate = authority.certificate().to_vec();
    let of = |media: &'static str| [(header::CONTENT_TYPE, media)];
    let page = move || std::future::ready((of("text/html; charset=utf-8"), page.clone()));
    let style = move || std::future::ready((of("text/css"), page::STYLE));
    let file = move || std::future::ready((of("application/x-x509-ca-cert"), certificate.clone()));
    let trust = Router::new()
        .route("/trust/", get(page))
        .route("/trust/page.css", get(style))
        .route("/trust/garboard-authority.crt", get(file));
    with_headers(trust.fallback_service(files(site)))
}

/// The site as a service with all its headers.
pub fn router(site: &Path) -> Router {
    with_headers(Router::new().fallback_service(files(site)))
}

fn files(site: &Path) -> ServeDir {
    ServeDir::new(site)
        .precompressed_br()
        .precompressed_gzip()
        .append_index_html_on_directories(true)
}

fn with_headers(mut router: Router) -> Router {
    for (name, value) in HEADERS {
        router = router.layer(SetResponseHeaderLayer::overriding(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        ));
    }
    router
}

async fn listen(port: Option<u16>) -> Result<(tokio::net::TcpListener, u16), Error> {
    let first = port.unwrap_or(PORT);
    let last = if port.is_some() {
        first
    } else {
        first.saturating_add(N_TRIES)
    };
    let mut at = first;
    loop {
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, at));
        match tokio::net::TcpListener::bind(address).await {
            Ok(listener) => {
                let port = listener.local_addr().map_or(at, |address| address.port());
                return Ok((listener, port));
            }
            Err(source) if at >= last => {
                return Err(Error::Port {
                    address: Ipv4Addr::LOCALHOST,
                    port: first,
                    source,
                });
            }
            Err(_) => at += 1,
        }
    }
}

#[cfg(test)]
mod tests;
