//! The site in a home network: who trusts the authority reaches it, nobody else does, and the authority is good for nothing else.
//!
//! Clients are Python's `ssl` and `openssl`; all of it on this machine's own addresses.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::Value;

use crate::tool::{Device, python, root};

/// A server in a home network of one machine, ended with the test.
struct Serving {
    child: Child,
    told: Value,
}

impl Drop for Serving {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

/// Writes a small site whose kinds of file are the real one's.
fn site(folder: &Path) {
    std::fs::create_dir(folder).unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.join(name), bytes).unwrap();
    write("index.html", b"<!doctype html><title>Garboard</title>");
    for name in ["style.css", "boot.js", "page.wasm", "manifest.webmanifest"] {
        let plain = name.repeat(200);
        write(name, plain.as_bytes());
        write(&format!("{name}.br"), b"as if it were brotli");
        write(&format!("{name}.gz"), b"as if it were gzip");
    }
}

impl Serving {
    fn begin(device: &Device, more: &[&str]) -> Self {
        let folder = device.path("site");
        if !folder.exists() {
            site(&folder);
        }
        let arguments = ["serve", "--site", "site", "--port", "0", "--json"];
        let mut child = device
            .command(&[&arguments[..], more].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let told = serde_json::from_str(&line).unwrap();
        Self { child, told }
    }

    fn address(&self, kind: &str) -> String {
        self.told[kind][0].as_str().unwrap().to_owned()
    }

    fn certificate(&self) -> &str {
        self.told["authority"]["certificate"].as_str().unwrap()
    }
}

/// Runs Python and gives what it says, or why it would not.
fn asked(script: &str, arguments: &[&str]) -> Result<String, String> {
    let output = Command::new(python())
        .args(["-c", script])
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    match output.status.success() {
        true => Ok(text(output.stdout)),
        false => Err(text(output.stderr)),
    }
}

fn openssl(arguments: &[&str], folder: &Path) -> (bool, String) {
    let output = Command::new("openssl")
        .args(arguments)
        .current_dir(folder)
        .output();
    let output = output
        .unwrap_or_else(|error| panic!("cannot run openssl: {error}; apt-get install openssl"));
    let both = [output.stdout, output.stderr].concat();
    (output.status.success(), String::from_utf8(both).unwrap())
}

/// Fetches an address; the second argument is the authority's file, or nothing.
const FETCH: &str = r#"
import json, ssl, sys, urllib.request
context = ssl.create_default_context(cafile=sys.argv[2] if sys.argv[2:] else None)
with urllib.request.urlopen(urllib.request.Request(sys.argv[1], headers={"Accept-Encoding": "br, gzip"}), context=context) as answer:
    headers = {k.lower(): v for k, v in answer.headers.items()}
    print(json.dumps({"headers": headers, "body": answer.read().decode("latin-1")}))
"#;

#[test]
fn who_trusts_the_authority_reaches_the_site_and_nobody_else_does() {
    let device = Device::new();
    let serving = Serving::begin(&device, &["--home", "127.0.0.1"]);
    let secure = serving.address("secure");
    assert!(secure.starts_with("https://127.0.0.1:"), "{secure}");
    let answer = asked(FETCH, &[&secure, serving.certificate()]).unwrap();
    assert!(answer.contains("<title>Garboard</title>"), "{answer}");
    let refused = asked(FETCH, &[&secure]).unwrap_err();
    assert!(refused.contains("CERTIFICATE_VERIFY_FAILED"), "{refused}");
    // Another machine's authority does not help.
    let other = Device::new();
    let others = Serving::begin(&other, &["--home", "127.0.0.1"]);
    let refused = asked(FETCH, &[&secure, others.certificate()]).unwrap_err();
    assert!(refused.contains("CERTIFICATE_VERIFY_FAILED"), "{refused}");
}

#[test]
fn types_policy_and_compression_are_the_same_with_and_without_encryption() {
    let device = Device::new();
    let serving = Serving::begin(&device, &["--home", "127.0.0.1"]);
    let kinds = [
        ("", "text/html", None),
        ("style.css", "text/css", Some("br")),
        ("boot.js", "text/javascript", Some("br")),
        ("page.wasm", "application/wasm", Some("br")),
        (
            "manifest.webmanifest",
            "application/manifest+json",
            Some("br"),
        ),
        ("trust/", "text/html; charset=utf-8", None),
        ("trust/page.css", "text/css", None),
        (
            "trust/garboard-authority.crt",
            "application/x-x509-ca-cert",
            None,
        ),
    ];
    for (path, media, encoding) in kinds {
        let fetched = ["plain", "secure"].map(|kind| -> Value {
            let address = format!("{}{path}", serving.address(kind));
            let answer = asked(FETCH, &[&address, serving.certificate()]).unwrap();
            let mut answer: Value = serde_json::from_str(&answer).unwrap();
            answer["headers"].as_object_mut().unwrap().remove("date");
            answer
        });
        assert_eq!(fetched[0], fetched[1], "{path}");
        let headers = &fetched[0]["headers"];
        assert_eq!(headers["content-type"], media, "{path}");
        assert_eq!(
            headers.get("content-encoding").and_then(Value::as_str),
            encoding,
            "{path}"
        );
        let policy = headers["content-security-policy"].as_str().unwrap();
        assert!(policy.starts_with("default-src 'self'; script-src 'self' 'wasm-unsafe-eval'"));
        assert_eq!(headers["cache-control"], "no-cache", "{path}");
    }
}

#[test]
fn openssl_finds_the_certificates_good_and_the_authority_good_for_nothing_else() {
    let device = Device::new();
    let serving = Serving::begin(&device, &["--home", "127.0.0.1", "--name", "shed.local"]);
    assert!(serving.address("secure").starts_with("https://shed.local:"));
    let folder = Path::new(serving.certificate()).parent().unwrap();
    let port = serving.told["secure"][1].as_str().unwrap();
    let port = port.trim_end_matches('/').rsplit(':').next().unwrap();
    let shown = asked(
        "import ssl, sys; print(ssl.get_server_certificate(('127.0.0.1', int(sys.argv[1]))))",
        &[port],
    );
    std::fs::write(device.path("leaf.crt"), shown.unwrap()).unwrap();
    let leaf = device.path("leaf.crt");
    let leaf = leaf.to_str().unwrap();
    let strict = [
        "verify",
        "-x509_strict",
        "-purpose",
        "sslserver",
        "-CAfile",
        "authority.crt",
    ];
    for named in [
        ["-verify_ip", "127.0.0.1"],
        ["-verify_hostname", "shed.local"],
    ] {
        let (good, said) = openssl(&[&strict[..], &named, &[leaf]].concat(), folder);
        assert!(good, "{said}");
    }
    let (good, said) = openssl(
        &[&strict[..], &["-verify_ip", "127.0.0.9", leaf]].concat(),
        folder,
    );
    assert!(!good && said.contains("IP address mismatch"), "{said}");

    let (_, said) = openssl(&["x509", "-in", "authority.crt", "-noout", "-text"], folder);
    for meant in [
        "CA:TRUE, pathlen:0",
        "X509v3 Name Constraints: critical",
        "IP:192.168.0.0/255.255.0.0",
        "DNS:local",
        "TLS Web Server Authentication",
    ] {
        assert!(said.contains(meant), "{meant}\n{said}");
    }

    // With the key itself in hand, nothing outside a home can be vouched for.
    let forged = |san: &str| {
        std::fs::write(
            device.path("extensions"),
            format!("subjectAltName={san}\nextendedKeyUsage=serverAuth\nbasicConstraints=CA:FALSE\nauthorityKeyIdentifier=keyid\nsubjectKeyIdentifier=hash\n"),
        )
        .unwrap();
        let at = |name: &str| device.path(name).to_str().unwrap().to_owned();
        let steps: [&[&str]; 2] = [
            &[
                "req",
                "-new",
                "-newkey",
                "ec",
                "-pkeyopt",
                "ec_paramgen_curve:prime256v1",
                "-nodes",
                "-subj",
                "/CN=forged",
                "-keyout",
                &at("forged.key"),
                "-out",
                &at("forged.csr"),
            ],
            &[
                "x509",
                "-req",
                "-in",
                &at("forged.csr"),
                "-CA",
                "authority.crt",
                "-CAkey",
                "authority.key",
                "-days",
                "3",
                "-set_serial",
                "7",
                "-extfile",
                &at("extensions"),
                "-out",
                &at("forged.crt"),
            ],
        ];
        for step in steps {
            let (good, said) = openssl(step, folder);
            assert!(good, "{said}");
        }
        openssl(
            &[&strict[..], &[at("forged.crt").as_str()]].concat(),
            folder,
        )
    };
    assert!(forged("IP:192.168.7.7").0, "{}", forged("IP:192.168.7.7").1);
    for outside in [
        "DNS:example.org",
        "IP:203.0.113.5",
        "IP:2001:db8::1",
        "DNS:notlocal",
    ] {
        let (good, said) = forged(outside);
        assert!(!good, "{outside}: {said}");
        assert!(said.contains("subtree violation"), "{outside}: {said}");
    }
}

#[cfg(unix)]
#[test]
fn the_key_is_private_and_the_authority_stays_from_one_start_to_the_next() {
    use std::os::unix::fs::PermissionsExt as _;
    let device = Device::new();
    let first = Serving::begin(&device, &["--home", "127.0.0.1"]);
    let folder = Path::new(first.certificate()).parent().unwrap().to_owned();
    assert!(
        folder.ends_with("garboard/home-network"),
        "{}",
        folder.display()
    );
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&folder), 0o700);
    assert_eq!(mode(&folder.join("authority.key")), 0o600);
    assert_eq!(first.told["authority"]["is_new"], true);
    let fingerprint = first.told["authority"]["sha256"].clone();
    drop(first);
    let again = Serving::begin(&device, &["--home", "127.0.0.1"]);
    assert_eq!(again.told["authority"]["is_new"], false);
    assert_eq!(again.told["authority"]["sha256"], fingerprint);
}

#[test]
fn without_a_home_network_one_line_tells_the_address() {
    let device = Device::new();
    let serving = Serving::begin(&device, &[]);
    let address = serving.address("addresses");
    assert!(address.starts_with("http://127.0.0.1:"), "{}", serving.told);
    assert_eq!(serving.told["secure"], serde_json::json!([]));
    assert_eq!(serving.told["authority"], Value::Null);
    assert!(asked(FETCH, &[&address]).unwrap().contains("Garboard"));
    assert!(!device.path(".local/state/garboard/home-network").exists());
}

#[test]
fn addresses_and_names_outside_a_home_are_refused() {
    let device = Device::new();
    site(&device.path("site"));
    for more in [
        &["--home", "203.0.113.5"][..],
        &["--home", "0.0.0.0"],
        &["--home", "127.0.0.1", "--name", "example.org"],
    ] {
        let answer = device.attempt(&[&["serve", "--site", "site"], more].concat());
        assert_eq!(answer.code, 1, "{answer:?}");
        assert!(
            answer.err.contains("no address or name of a home network"),
            "{answer:?}"
        );
        assert!(answer.err.contains("192.168.1.20"), "{answer:?}");
    }
    let answer = device.attempt(&["serve", "--site", "site", "--home", "somewhere"]);
    assert_eq!(answer.code, 1, "{answer:?}");
    assert!(!device.path(".local").exists(), "nothing was made");
}

/// A person sees the address, a QR code of it, and the fingerprint to compare.
#[test]
fn the_terminal_shows_a_code_that_a_phone_reads() {
    let device = Device::new();
    site(&device.path("site"));
    let mut child = device
        .command(&[
            "serve",
            "--site",
            "site",
            "--port",
            "0",
            "--home",
            "127.0.0.1",
        ])
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = Vec::new();
    for line in BufReader::new(child.stderr.take().unwrap()).lines() {
        let line = line.unwrap();
        let is_last = line.starts_with("A browser keeps its logs by address");
        lines.push(line);
        if is_last {
            break;
        }
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let trust = lines
        .iter()
        .find(|line| line.trim().ends_with("/trust/"))
        .unwrap();
    let code: Vec<&String> = lines
        .iter()
        .filter(|line| line.chars().any(|c| "█▀▄".contains(c)))
        .collect();
    // Drawn as a picture, OpenCV reads it: light where a block is, four pixels a module.
    let script = r#"
import sys, numpy, cv2
rows = sys.argv[1].split("|")
halves = [[c in "█▀" for c in row] for row in rows], [[c in "█▄" for c in row] for row in rows]
light = numpy.array([half for pair in zip(*halves) for half in pair], dtype=numpy.uint8) * 255
picture = cv2.resize(light, None, fx=6, fy=6, interpolation=cv2.INTER_NEAREST)
print(cv2.QRCodeDetector().detectAndDecode(picture)[0], end="")
"#;
    let joined = code
        .iter()
        .map(|line| line.as_str())
        .collect::<Vec<_>>()
        .join("|");
    assert_eq!(asked(script, &[&joined]).unwrap(), trust.trim());
}

#[test]
fn the_page_that_explains_is_valid_html() {
    let device = Device::new();
    let serving = Serving::begin(&device, &["--home", "127.0.0.1"]);
    let trust = serving.told["trust"].as_str().unwrap();
    let answer: Value = serde_json::from_str(&asked(FETCH, &[trust]).unwrap()).unwrap();
    let page = answer["body"].as_str().unwrap();
    // A fingerprint on the page would be compared with itself.
    let fingerprint = serving.told["authority"]["sha256"].as_str().unwrap();
    assert!(
        !page.contains(&fingerprint[..8]) && !page.contains(&fingerprint[..8].replace(':', " "))
    );
    assert!(page.contains(serving.told["authority"]["name"].as_str().unwrap()));
    for kind in ["secure", "plain"] {
        assert!(page.contains(&serving.address(kind)), "{kind}");
    }
    // The body was handed over byte by byte.
    let bytes: Vec<u8> = page
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    std::fs::write(device.path("trust.html"), bytes).unwrap();
    let checker = root().join("target/npm/node_modules/vnu-jar/build/dist/vnu.jar");
    assert!(
        checker.is_file(),
        "{} is missing; tests/run installs it: npm install --prefix target/npm vnu-jar",
        checker.display()
    );
    let output = Command::new("java")
        .args(["-Xss8m", "-jar"])
        .arg(checker)
        .args(["--stdout", "--errors-only"])
        .arg(device.path("trust.html"))
        .output()
        .unwrap_or_else(|error| {
            panic!("cannot run java: {error}; apt-get install default-jre-headless")
        });
    assert_eq!(String::from_utf8(output.stdout).unwrap(), "");
}
