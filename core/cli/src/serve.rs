//! Serves the built site on this machine, for a first load and for trying it out.
//!
//! Only 127.0.0.1 is listened on, nothing is written, and every answer carries the strict policy
//! under which the front end must work on any host.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};

use axum::Router;
use axum::http::{HeaderName, HeaderValue};
use tower_http::services::ServeDir;
use tower_http::set_header::SetResponseHeaderLayer;

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
#[derive(Debug, Clone)]
pub struct Options {
    /// The built site.
    pub site: PathBuf,
    /// The port, or [`PORT`] and, when that is taken, the next that is free.
    pub port: Option<u16>,
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
    #[error("port {port} on 127.0.0.1 cannot be had")]
    Port {
        /// The port.
        port: u16,
        /// Why.
        #[source]
        source: std::io::Error,
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
            Self::Stopped { .. } => "start it again; nothing is lost, logs lie in the browser",
        }
    }
}

/// Serves until the process is ended; `say` gets the address.
///
/// # Errors
///
/// [`Error`] when there is nothing to serve or nowhere to serve it.
pub fn run(options: &Options, say: &mut dyn FnMut(&str)) -> Result<(), Error> {
    if !options.site.join("index.html").is_file() {
        return Err(Error::NoSite {
            site: options.site.clone(),
        });
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(|source| Error::Stopped { source })?;
    runtime.block_on(async {
        let (listener, port) = listen(options.port).await?;
        if options.port.is_none() && port != PORT {
            say(&format!(
                "Port {PORT} is taken by another program; this is port {port}. A browser keeps its \
                 logs by address and port: what was written at port {PORT} is safe, but not seen here."
            ));
        }
        say(&format!("http://127.0.0.1:{port}/"));
        axum::serve(listener, router(&options.site))
            .await
            .map_err(|source| Error::Stopped { source })
    })
}

/// The site as a service with all its headers.
pub fn router(site: &Path) -> Router {
    let files = ServeDir::new(site)
        .precompressed_br()
        .precompressed_gzip()
        .append_index_html_on_directories(true);
    let mut router = Router::new().fallback_service(files);
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
                    port: first,
                    source,
                });
            }
            Err(_) => at += 1,
        }
    }
}
