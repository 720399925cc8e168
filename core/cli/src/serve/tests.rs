//! The home network's server renews its certificate while it runs.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc;

use rustls::pki_types::ServerName;
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use super::*;

const DAY_MILLIS: u64 = 24 * 3600 * 1000;

/// A clock that the test sets.
static NOW: AtomicU64 = AtomicU64::new(0);

fn now() -> u64 {
    NOW.load(Ordering::SeqCst)
}

/// The certificate that the server shows, and what it answers.
fn asked(port: u16, authority: &[u8]) -> (Vec<u8>, String) {
    let mut roots = RootCertStore::empty();
    roots.add(CertificateDer::from(authority.to_vec())).unwrap();
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::try_from("127.0.0.1").unwrap();
    let line = ClientConnection::new(Arc::new(config), name).unwrap();
    let mut stream = StreamOwned::new(line, TcpStream::connect(("127.0.0.1", port)).unwrap());
    stream
        .write_all(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
        .unwrap();
    let mut answer = Vec::new();
    // A server that closes without saying so is no fault of the certificate.
    drop(stream.read_to_end(&mut answer));
    let shown = stream.conn.peer_certificates().unwrap()[0].to_vec();
    (shown, String::from_utf8(answer).unwrap())
}

#[test]
fn the_certificate_is_renewed_while_the_site_is_served() {
    let folder = tempfile::tempdir().unwrap();
    let site = folder.path().join("site");
    std::fs::create_dir(&site).unwrap();
    std::fs::write(site.join("index.html"), "<title>Garboard</title>").unwrap();
    // The client believes the machine's own clock: ours begins five days back.
    let today = crate::machine::now_millis();
    NOW.store(today - 5 * DAY_MILLIS, Ordering::SeqCst);
    let authority = Authority::open(&folder.path().join("home-network"), now()).unwrap();
    let trusted = authority.certificate().to_vec();
    let (tell, told) = mpsc::channel();
    std::thread::spawn(move || {
        let home = Home {
            addresses: vec![Ipv4Addr::LOCALHOST],
            name: None,
            authority,
            now,
            look_every: Duration::from_millis(20),
        };
        let options = Options {
            site,
            port: Some(0),
            home: Some(home),
        };
        let mut ready = |served: &Served, _: Option<&Authority>| tell.send(served.clone()).unwrap();
        run(options, &mut ready, &mut |_| {})
    });
    let served = told.recv_timeout(Duration::from_secs(20)).unwrap();
    assert_eq!(served.secure.len(), 1, "{served:?}");
    let port = served.secure[0].trim_end_matches('/').rsplit(':').next();
    let port: u16 = port.unwrap().parse().unwrap();
    let (first, answer) = asked(port, &trusted);
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert_eq!(asked(port, &trusted).0, first);
    NOW.store(today, Ordering::SeqCst);
    let renewed = (0..200).any(|_| {
        std::thread::sleep(Duration::from_millis(50));
        asked(port, &trusted).0 != first
    });
    assert!(renewed);
}
