//! Signed bags: read by another program, altered behind their manifests, and made by a device whose key the log names.

use anyhow::{Result, ensure};

use crate::tool::{Device, script};

const BAG: [&str; 8] = [
    "dossier",
    "boat",
    "--form",
    "bag",
    "-o",
    "bag.zip",
    "--made",
    "2026-11-28",
];

/// A log with two notes, and its bag: what making it said.
fn signed(device: &Device) -> String {
    device.run(&[
        "new",
        "boat",
        "--boat",
        "Merganser",
        "--hand",
        "Ada",
        "--device",
        "phone",
    ]);
    for words in ["tapped dull", "dry at the next frame"] {
        device.add("boat", "note", &format!(r#"{{"words":"{words}"}}"#));
    }
    device.run(&BAG)
}

/// What a script prints that must go well.
fn printed(device: &Device, text: &str) -> Result<String> {
    let (went_well, said) = script(device, text);
    ensure!(went_well, "{said}");
    Ok(said)
}

/// Reads the sheet and what it is about by libraries that share no code with ours: zipfile, hashlib, and cryptography
/// for Ed25519. The sheet's canonical JSON (RFC 8785) has no number that Python would write otherwise.
const READ: &str = "
import hashlib, json, zipfile
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
bag = zipfile.ZipFile('bag.zip')
files = {name.split('/', 1)[1]: bag.read(name) for name in bag.namelist()}
folder = bag.namelist()[0].split('/', 1)[0]
[signed] = json.loads(files['signatures.json'])['signatures']
value = signed.pop('value')
def holds(said):
    message = json.dumps(said, sort_keys=True, separators=(',', ':'), ensure_ascii=False).encode()
    try: Ed25519PublicKey.from_public_bytes(bytes.fromhex(said['key'])).verify(bytes.fromhex(value), message)
    except InvalidSignature: return False
    return True
";

#[test]
fn another_program_finds_the_signature_good_and_about_what_lies_there() -> Result<()> {
    let device = Device::new();
    let made = signed(&device);
    ensure!(made.contains("Signed with the key"), "{made}");
    let said = printed(
        &device,
        &format!(
            "{READ}
assert holds(signed)
assert not holds({{**signed, 'day': '2026-11-29'}})
assert signed['manifest'] == hashlib.sha256(files['manifest-sha256.txt']).hexdigest()
digests = {{json.loads(line)['sha256'] for line in files['data/log/statements.jsonl'].decode().splitlines()}}
assert signed['statements'] == hashlib.sha256(''.join(sorted(one + '\\n' for one in digests)).encode()).hexdigest()
assert signed['n_statements'] == len(digests)
digits = hashlib.sha256(bytes.fromhex(signed['key'])).hexdigest()
print(' '.join(digits[n:n + 4] for n in range(0, 20, 4)))"
        ),
    )?;
    // What people compare is the same wherever it is shown.
    let spoken = said.trim();
    ensure!(made.contains(spoken), "{spoken}: {made}");
    let checked = device.run(&["check", "bag.zip"]);
    ensure!(checked.starts_with("Intact"), "{checked}");
    ensure!(checked.contains(spoken), "{spoken}: {checked}");
    ensure!(
        checked.contains("the log names it as that of the device “phone”"),
        "{checked}"
    );
    let shown = printed(
        &device,
        &format!(
            "{READ}print(files['data/history.html'].decode(), files['data/read-me.txt'].decode())"
        ),
    )?;
    ensure!(
        shown.matches(spoken).count() == 2,
        "{spoken} is not printed in page and read-me"
    );
    // The same log, day and choices are the same bytes: the signature too.
    let bytes = std::fs::read(device.path("bag.zip"))?;
    let mut again = BAG.to_vec();
    again.push("--replace");
    device.run(&again);
    ensure!(
        std::fs::read(device.path("bag.zip"))? == bytes,
        "made again, the bag is another"
    );
    Ok(())
}

/// Alters the bag's files by `change` and writes every manifest anew, so that any BagIt tool finds it whole.
fn forged(device: &Device, change: &str) -> Result<()> {
    printed(
        device,
        &format!(
            "{READ}
{change}
payload = {{name: text for name, text in files.items() if name.startswith('data/')}}
tags = [name for name in files if not name.startswith(('data/', 'tagmanifest-'))]
about = files['bag-info.txt'].decode().splitlines()
about = [line for line in about if not line.startswith('Payload-Oxum')]
about.append(f'Payload-Oxum: {{sum(map(len, payload.values()))}}.{{len(payload)}}')
files['bag-info.txt'] = ('\\n'.join(about) + '\\n').encode()
for how in ('sha256', 'sha512'):
    lines = lambda names: ''.join(f'{{hashlib.new(how, files[name]).hexdigest()}}  {{name}}\\n' for name in sorted(names))
    files[f'manifest-{{how}}.txt'] = lines(payload).encode()
for how in ('sha256', 'sha512'):
    files[f'tagmanifest-{{how}}.txt'] = lines([name for name in tags if name in files]).encode()
with zipfile.ZipFile('forged.zip', 'w', zipfile.ZIP_STORED) as out:
    for name, text in files.items(): out.writestr(f'{{folder}}/{{name}}', text)
import bagit, os, shutil
shutil.rmtree('out', ignore_errors=True)
zipfile.ZipFile('forged.zip').extractall('out')
bagit.Bag('out/' + folder).validate()"
        ),
    )
    .map(drop)
}

#[test]
fn what_was_altered_behind_new_manifests_is_found_by_the_signature() -> Result<()> {
    let device = Device::new();
    signed(&device);
    let page = "files['data/history.html'] = files['data/history.html'].replace(b'dull', b'dry!')";
    // A statement that is altered with its own digest, so that only the signature can tell.
    let statement = "
lines = files['data/log/statements.jsonl'].decode().splitlines()
at = next(n for n, line in enumerate(lines) if 'tapped dull' in line)
text = lines[at].split('\"statement\":', 1)[1][:-1].replace('dull', 'dry!')
old = json.loads(lines[at])
lines[at] = '{\"id\":\"%s\",\"sha256\":\"%s\",\"statement\":%s}' % (old['id'], hashlib.sha256(text.encode()).hexdigest(), text)
files['data/log/statements.jsonl'] = ('\\n'.join(lines) + '\\n').encode()";
    let unsigned = "del files['signatures.json']";
    let own = "
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
forger = Ed25519PrivateKey.from_private_bytes(bytes(32))
signed['key'] = forger.public_key().public_bytes_raw().hex()
message = json.dumps(signed, sort_keys=True, separators=(',', ':'), ensure_ascii=False).encode()
signed['value'] = forger.sign(message).hex()
files['signatures.json'] = json.dumps({'garboard': 'signatures', 'form': 1, 'signatures': [signed]}).encode()";
    for (change, code, says) in [
        ("", 0, "signed with the key"),
        (page, 1, "signed other files than these"),
        (statement, 1, "signed other statements than these"),
        (unsigned, 0, "nothing in it is signed"),
        (own, 0, "name no device with it"),
    ] {
        forged(&device, change)?;
        let answer = device.attempt(&["check", "forged.zip"]);
        ensure!(answer.code == code, "{change}: {answer:?}");
        ensure!(answer.out.contains(says), "{change}: {answer:?}");
    }
    Ok(())
}

#[test]
fn a_device_names_its_key_once_and_a_copied_folder_signs_with_another() -> Result<()> {
    let device = Device::new();
    let first = signed(&device);
    let n_statements = |dir: &str| device.show(&[dir])["n_statements"].as_u64();
    let before = n_statements("boat");
    let mut again = BAG.to_vec();
    again.push("--replace");
    let key = |said: &str| {
        said.lines()
            .find(|line| line.starts_with("Signed with the key"))
            .map(str::to_owned)
    };
    ensure!(key(&device.run(&again)) == key(&first) && key(&first).is_some());
    ensure!(n_statements("boat") == before, "the key was named twice");
    // Another machine that got the log in a parcel has written nothing: its bag is not signed, and says so.
    device.run(&["parcel", "boat", "-o", "log.zip"]);
    let other = Device::new();
    std::fs::copy(device.path("log.zip"), other.path("log.zip"))?;
    other.run(&["merge", "boat", "log.zip"]);
    let said = other.run(&BAG);
    ensure!(said.contains("Not signed"), "{said}");
    other.add("boat", "note", r#"{"words":"seen at home"}"#);
    let said = other.run(&again);
    ensure!(key(&said).is_some() && key(&said) != key(&first), "{said}");
    Ok(())
}

/// Another program finds the seal at the end of a page, and good; RFC 8032 by `cryptography`, the digests by hashlib.
#[test]
fn a_page_bears_a_seal_that_another_program_finds_good() -> Result<()> {
    let device = Device::new();
    signed(&device);
    let page = ["dossier", "boat", "-o", "page.html", "--made", "2026-11-28"];
    let made = device.run(&[&page[..], &["--seal"]].concat());
    ensure!(made.contains("Sealed with the key"), "{made}");
    printed(
        &device,
        "
import hashlib, json
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
page = open('page.html', 'rb').read()
before, seal = page.rsplit(b'<!-- garboard seal ', 1)
[signed] = json.loads(seal.removesuffix(b' -->\\n'))['signatures']
value = signed.pop('value')
line = hashlib.sha256(before).hexdigest() + '  page\\n'
assert signed['manifest'] == hashlib.sha256(line.encode()).hexdigest()
message = json.dumps(signed, sort_keys=True, separators=(',', ':'), ensure_ascii=False).encode()
Ed25519PublicKey.from_public_bytes(bytes.fromhex(signed['key'])).verify(bytes.fromhex(value), message)
digits = hashlib.sha256(bytes.fromhex(signed['key'])).hexdigest()
assert ' '.join(digits[n:n + 4] for n in range(0, 20, 4)).encode() in before",
    )?;
    let checked = device.run(&["check", "page.html"]);
    ensure!(checked.starts_with("Intact"), "{checked}");
    let bytes = std::fs::read(device.path("page.html"))?;
    let text = String::from_utf8(bytes)?.replace("tapped dull", "tapped fine");
    std::fs::write(device.path("forged.html"), text)?;
    let found = device.attempt(&["check", "forged.html"]);
    ensure!(found.code == 1, "{found:?}");
    ensure!(found.out.contains("sealed another page"), "{found:?}");
    // Only a page in one file bears a seal, and only where the log was written.
    let refused = device.attempt(&["dossier", "boat", "-o", "x.pdf", "--form", "pdf", "--seal"]);
    ensure!(
        refused.code == 1 && refused.err.contains("only a page"),
        "{refused:?}"
    );
    let other = Device::new();
    other.run(&["demo", "boat"]);
    let refused = other.attempt(&[&page[..], &["--seal"]].concat());
    ensure!(
        refused.code == 1 && refused.err.contains("cannot be sealed"),
        "{refused:?}"
    );
    ensure!(!other.path("page.html").exists(), "a page was written");
    Ok(())
}

#[test]
fn a_paper_or_a_page_is_looked_for_in_the_bag_that_it_came_in() -> Result<()> {
    let device = Device::new();
    signed(&device);
    device.run(&["dossier", "boat", "-o", "page.html"]);
    let alone = device.attempt(&["check", "page.html"]);
    ensure!(
        alone.code == 1 && alone.err.contains("bears no seal"),
        "{alone:?}"
    );
    printed(
        &device,
        "
import zipfile
bag = zipfile.ZipFile('bag.zip')
for name in bag.namelist():
    if name.endswith(('/history.pdf', '/history.html')):
        open(name.rsplit('/', 1)[1], 'wb').write(bag.read(name))",
    )?;
    for name in ["history.pdf", "history.html"] {
        let said = device.run(&["check", name, "--bag", "bag.zip"]);
        ensure!(said.starts_with("Intact"), "{said}");
        ensure!(
            said.contains(&format!("is data/{name} of the bag")),
            "{said}"
        );
        let mut bytes = std::fs::read(device.path(name))?;
        let last = bytes.len() - 20;
        bytes[last] ^= 1;
        std::fs::write(device.path(name), bytes)?;
        let found = device.attempt(&["check", name, "--bag", "bag.zip"]);
        ensure!(found.code == 1, "{found:?}");
        ensure!(found.out.contains("none of the bag's files"), "{found:?}");
    }
    let refused = device.attempt(&["check", "bag.zip", "--bag", "bag.zip"]);
    ensure!(
        refused.code == 1 && refused.err.contains("no page and no paper"),
        "{refused:?}"
    );
    Ok(())
}
