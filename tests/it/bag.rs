//! Bags, held against the BagIt tool of the Library of Congress, frictionless and jsonschema; and what was left out, sought in every byte.

use std::fs;
use std::process::Command;

use crate::tool::{Device, files, root, script};

const UNPACK: &str = "import zipfile; zipfile.ZipFile('bag.zip').extractall('out'); import os; folder = 'out/' + os.listdir('out')[0]\n";

#[test]
fn the_bagit_tool_finds_ours_whole_and_sees_what_is_altered() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let made = [
        "dossier",
        "boat",
        "--form",
        "bag",
        "-o",
        "bag.zip",
        "--made",
        "2026-11-25",
    ];
    device.run(&made);
    let bytes = fs::read(device.path("bag.zip")).unwrap();
    assert!(device.run(&["check", "bag.zip"]).starts_with("Intact"));
    let validate = "import bagit; bag = bagit.Bag(folder); bag.validate(); print(bag.algorithms, bag.info['Left-Out'])";
    let (is_valid, said) = script(&device, &format!("{UNPACK}{validate}"));
    assert!(is_valid, "{said}");
    assert!(
        said.contains("'sha256'") && said.contains("'sha512'"),
        "{said}"
    );
    let sums = Command::new("sha512sum")
        .args(["-c", "--strict", "--quiet", "manifest-sha512.txt"])
        .current_dir(device.path("out").join("dunlin-history-2026-11-25"))
        .output()
        .unwrap();
    assert!(sums.status.success(), "{sums:?}");
    // The same tool sees one letter that is another.
    let alter = "open(folder + '/data/ledgers/costs.csv', 'r+').write('x')\n";
    let (is_valid, said) = script(
        &device,
        &format!("import os; folder = 'out/' + os.listdir('out')[0]\n{alter}{validate}"),
    );
    assert!(!is_valid && said.contains("costs.csv"), "{said}");
    // The same log and options give the same bytes, and what is there is not written over unasked.
    let again = device.attempt(&made);
    assert_eq!(again.code, 1, "{again:?}");
    assert!(again.err.contains("exists already"), "{again:?}");
    let mut replaced = made.to_vec();
    replaced.push("--replace");
    device.run(&replaced);
    assert_eq!(fs::read(device.path("bag.zip")).unwrap(), bytes);
}

/// Bags that the other tool makes, whole and damaged, are read as it reads them.
#[test]
fn bags_of_the_bagit_tool_are_read_as_it_reads_them() {
    let device = Device::new();
    let make = "
import bagit, os, zipfile, shutil
def bagged(name, damage=None, **how):
    os.makedirs(name + '/a/b')
    open(name + '/a/b/words.txt', 'w').write('words')
    open(name + '/100%.txt', 'w').write('')
    open(name + '/umlaut-\\u00fc.txt', 'w').write('\\u00fc')
    bagit.make_bag(name, {'Contact-Name': 'A hand', 'External-Description': 'long ' * 60}, **how)
    if damage: damage(name)
    is_valid = bagit.Bag(name).is_valid()
    for end, how in (('.zip', zipfile.ZIP_STORED), ('-anew.zip', zipfile.ZIP_DEFLATED)):
        with zipfile.ZipFile(name + end, 'w', how) as out:
            for folder, _, names in os.walk(name):
                for one in names: out.write(os.path.join(folder, one))
    print(name, is_valid)
bagged('whole')
bagged('one-sum', checksums=['sha512'])
bagged('altered', lambda name: open(name + '/data/a/b/words.txt', 'a').write('!'))
bagged('lacking', lambda name: os.remove(name + '/data/100%.txt'))
bagged('added', lambda name: open(name + '/data/more.txt', 'w').write('more'))
bagged('tag', lambda name: open(name + '/bag-info.txt', 'a').write('X: y\\n'))
";
    let (is_done, said) = script(&device, make);
    assert!(is_done, "{said}");
    let mut n_valid = 0;
    let verdicts = said.lines().filter_map(|line| line.split_once(' '));
    let verdicts: Vec<_> = verdicts
        .filter(|(_, verdict)| ["True", "False"].contains(verdict))
        .collect();
    assert_eq!(verdicts.len(), 6, "{said}");
    for (name, verdict) in verdicts {
        let answer = device.attempt(&["check", &format!("{name}.zip")]);
        assert_eq!(answer.code == 0, verdict == "True", "{name}: {answer:?}");
        n_valid += usize::from(answer.code == 0);
    }
    assert_eq!(n_valid, 2);
    // People unpack bags and pack them anew: what lies in them is checked all the same.
    for (name, code) in [("whole", 0), ("altered", 1)] {
        let anew = device.attempt(&["check", &format!("{name}-anew.zip")]);
        assert_eq!(anew.code, code, "{anew:?}");
        assert!(anew.out.contains("packed it anew"), "{anew:?}");
    }
    // A file that would fill a disk when it is unpacked, and one in a way that is not read here.
    let make = "
import zipfile
for name, how in (('bomb', zipfile.ZIP_DEFLATED), ('rare', zipfile.ZIP_LZMA)):
    with zipfile.ZipFile('whole.zip') as old, zipfile.ZipFile(name + '.zip', 'w', how) as out:
        for one in old.namelist(): out.writestr(one, old.read(one))
        out.writestr('whole/data/zeros', bytes(80_000_000))
";
    let (is_done, said) = script(&device, make);
    assert!(is_done, "{said}");
    for (name, says) in [("bomb", "zeros"), ("rare", "packed anew")] {
        let refused = device.attempt(&["check", &format!("{name}.zip")]);
        assert_eq!(refused.code, 1, "{refused:?}");
        assert!(refused.err.contains(says), "{refused:?}");
    }
}

#[test]
fn frictionless_and_jsonschema_read_what_lies_in_a_bag() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    device.run(&["dossier", "boat", "--form", "bag", "-o", "bag.zip"]);
    let read = "
import json, jsonschema, hashlib
from frictionless import validate
data = folder + '/data/'
report = validate(data + 'ledgers/datapackage.json')
assert report.valid, report.flatten(['rowNumber', 'fieldName', 'note'])
listed = validate(data + 'photographs.csv')
assert listed.valid, listed.flatten(['rowNumber', 'note'])
ledgers = json.load(open(data + 'ledgers/ledgers.json'))
jsonschema.Draft202012Validator(json.load(open(data + 'ledgers/ledgers.schema.json'))).validate(ledgers)
line = jsonschema.Draft202012Validator(json.load(open(data + 'log/statements.schema.json')))
n = 0
for text in open(data + 'log/statements.jsonl', encoding='utf-8'):
    one = json.loads(text)
    line.validate(one)
    said = text.rstrip('\\n').split('\"statement\":', 1)[1][:-1]
    assert hashlib.sha256(said.encode()).hexdigest() == one['sha256']
    n += 1
print(n, 'statements', len(report.tasks), 'ledgers')
# The same validators see a ledger with a word for a number, and a line without a digest.
path = data + 'ledgers/hours.csv'
rows = open(path, newline='').read().split('\\r\\n')
rows[1] = rows[1].replace(',', ',many words,', 1)
open(path, 'w', newline='').write('\\r\\n'.join(rows))
assert not validate(data + 'ledgers/datapackage.json').valid
assert not line.is_valid({'id': one['id'], 'statement': {}})
";
    let (is_right, said) = script(&device, &format!("{UNPACK}{read}"));
    assert!(is_right, "{said}");
    assert!(said.contains("4 ledgers"), "{said}");
}

/// A log with words that stand nowhere else, each in what can be left out.
fn secrets(device: &Device) {
    device.run(&["new", "boat", "--boat", "Merganser"]);
    let add = |kind: &str, fields: &str| device.add("boat", kind, fields);
    let repair = add(
        "repair",
        r#"{"title":"New core","cost_estimate":{"amount":"4321.09","currency":"EUR"}}"#,
    );
    add(
        "cost",
        &format!(
            r#"{{"what":"Zinnoberkosten","amount":{{"amount":"7654.32","currency":"EUR"}},"repair":"{repair}"}}"#
        ),
    );
    add("stint", r#"{"hours":"37.25","words":"Ockerstunden"}"#);
    let note = add("note", r#"{"words":"Indigonotiz"}"#);
    device.run(&["strike", "boat", &note, "--why", "Umbragrund"]);
    fs::copy(
        root().join("target/pictures/phone/IMG_0001.JPG"),
        device.path("gps.jpg"),
    )
    .unwrap();
    device.run(&["photo", "boat", "gps.jpg", "--stage", "found"]);
}

/// All that a bag holds, and the words of the paper inside it.
fn every_byte(device: &Device, name: &str, options: &[&str]) -> Vec<u8> {
    let mut arguments = vec!["dossier", "boat", "--form", "bag", "-o", name];
    arguments.extend(options);
    device.run(&arguments);
    // A bag is stored and not compressed; the words of the paper inside it are compressed, so they are read by poppler.
    let mut sought = fs::read(device.path(name)).unwrap();
    let text = format!(
        "import zipfile, subprocess; z = zipfile.ZipFile('{name}'); n = [n for n in z.namelist() if n.endswith('.pdf')][0]; open('h.pdf', 'wb').write(z.read(n)); print(subprocess.run(['pdftotext', '-layout', 'h.pdf', '-'], check=True, capture_output=True, text=True).stdout); print(subprocess.run(['pdfinfo', '-meta', 'h.pdf'], check=True, capture_output=True, text=True).stdout)"
    );
    let (is_read, words) = script(device, &text);
    assert!(is_read, "{words}");
    sought.extend(words.into_bytes());
    sought
}

fn holds(bytes: &[u8], sought: &[u8]) -> bool {
    bytes.windows(sought.len()).any(|at| at == sought)
}

#[test]
fn names_and_places_that_were_left_out_are_in_no_byte_of_a_bag() {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser"]);
    let add = |kind: &str, fields: &str| device.add("boat", kind, fields);
    add("person", r#"{"name":"Siegelinde Karmoisin"}"#);
    add("note", r#"{"words":"Siegelinde saw the Ockerfleck"}"#);
    let below = add("place", r#"{"name":"Karminkammer"}"#);
    let bay = add(
        "place",
        &format!(r#"{{"name":"Purpurfach","parent":"{below}"}}"#),
    );
    let deck = add("place", r#"{"name":"Blaudeck"}"#);
    let finding = add(
        "finding",
        &format!(r#"{{"title":"Zinnoberbefund","place":"{bay}"}}"#),
    );
    let repair = add(
        "repair",
        &format!(r#"{{"title":"Lachsarbeit","place":"{bay}"}}"#),
    );
    add(
        "member",
        &format!(r#"{{"whole":"{repair}","part":"{finding}","role":"finding"}}"#),
    );
    add(
        "stint",
        &format!(r#"{{"hours":"37.25","repair":"{repair}"}}"#),
    );
    let amended = device.try_with(
        &["amend", "boat", &finding, "--json", "-"],
        r#"{"observed":"Rubinnachtrag"}"#,
    );
    assert_eq!(amended.code, 0, "{amended:?}");
    add(
        "finding",
        &format!(r#"{{"title":"Indigobefund","place":"{deck}"}}"#),
    );
    add("stint", &format!(r#"{{"hours":"41.50","place":"{deck}"}}"#));
    // One picture bears a name in its description and stays; one lies at the place that is left out.
    let drawn = fs::read(root().join("target/pictures/phone/IMG_0001.JPG")).unwrap();
    let mut named = drawn[..2].to_vec();
    named.extend(b"\xFF\xFE\x00\x16Siegelinde Karmoisin");
    named.extend(&drawn[2..]);
    fs::write(device.path("named.jpg"), &named).unwrap();
    device.run(&["photo", "boat", "named.jpg", "--place", &deck]);
    fs::write(device.path("there.jpg"), &drawn).unwrap();
    device.run(&["photo", "boat", "there.jpg", "--place", &bay]);

    let names = ["Siegelinde", "Karmoisin"];
    let there = [
        "Karminkammer",
        "Purpurfach",
        "Zinnoberbefund",
        "Lachsarbeit",
        "37.25",
        "Rubinnachtrag",
    ];
    let stays = ["Blaudeck", "Indigobefund", "41.50"];
    let whole = every_byte(&device, "whole.zip", &["--positions"]);
    for word in names.iter().chain(&there).chain(&stays) {
        assert!(
            holds(&whole, word.as_bytes()),
            "{word} is nowhere even in the whole"
        );
    }
    assert!(holds(&whole, &named) && holds(&whole, &drawn));
    let least = every_byte(
        &device,
        "least.zip",
        &[
            "--positions",
            "--initials",
            "--without-place",
            "karminkammer",
        ],
    );
    for word in names.iter().chain(&there) {
        assert!(
            !holds(&least, word.as_bytes()),
            "{word} was left out and is there"
        );
    }
    for word in stays {
        assert!(
            holds(&least, word.as_bytes()),
            "{word} was not left out and is gone"
        );
    }
    assert!(!holds(&least, &drawn[2..]));
    assert!(
        holds(&least, b"saw the Ockerfleck"),
        "the note is told, with initials"
    );
    let said = device.run(&["check", "least.zip"]);
    assert!(said.contains("by their digests only"), "{said}");

    let refused = device.attempt(&[
        "dossier",
        "boat",
        "-o",
        "x.html",
        "--without-place",
        "Karmin",
    ]);
    assert!(
        refused.err.contains("there is no place")
            && refused.err.contains("Karminkammer › Purpurfach"),
        "{refused:?}"
    );
}

#[test]
fn what_was_left_out_is_in_no_byte_of_a_bag() {
    let device = Device::new();
    secrets(&device);
    let original = fs::read(device.path("gps.jpg")).unwrap();
    let latitude = {
        let log = device.show(&["boat"]);
        let entries = log["entries"].as_array().unwrap();
        let position = entries
            .iter()
            .find(|entry| entry["kind"] == "position")
            .unwrap();
        position["fields"]["latitude"].as_str().unwrap().to_owned()
    };
    let all = [
        "4321.09",
        "7654.32",
        "Zinnoberkosten",
        "37.25",
        "Ockerstunden",
        "Indigonotiz",
        "Umbragrund",
        latitude.as_str(),
    ];
    let whole = every_byte(&device, "whole.zip", &["--positions"]);
    for word in all {
        assert!(
            holds(&whole, word.as_bytes()),
            "{word} is nowhere even in the whole"
        );
    }
    assert!(holds(&whole, &original), "the original is not in the whole");
    let least = every_byte(
        &device,
        "least.zip",
        &["--no-costs", "--no-hours", "--no-struck"],
    );
    for word in all {
        assert!(
            !holds(&least, word.as_bytes()),
            "{word} was left out and is there"
        );
    }
    // Neither the original with its position nor its embedded thumbnail, nor any Exif block at all.
    assert!(!holds(&least, &original) && !holds(&least, b"Exif\0\0"));
    assert!(!holds(&least, &original[2_000..2_400]));
    let said = device.run(&["check", "least.zip"]);
    assert!(said.contains("by their digests only"), "{said}");
}

#[test]
fn a_bag_says_which_originals_are_missing() {
    let device = Device::new();
    device.run(&["demo", "boat"]);
    let held = files(&device.path("boat/photos"));
    let is_png = |(_, bytes): &&(_, Vec<u8>)| bytes.starts_with(b"\x89PNG");
    let (png, _) = held.iter().find(is_png).unwrap();
    fs::remove_file(device.path("boat/photos").join(png)).unwrap();
    // An empty file may be written over: nothing is lost.
    fs::write(device.path("bag.zip"), "").unwrap();
    let said = device.run(&["dossier", "boat", "--form", "bag", "-o", "bag.zip"]);
    assert!(
        said.contains("1 originals are not on this device"),
        "{said}"
    );
    let (is_read, said) = script(
        &device,
        &format!("{UNPACK}print(open(folder + '/data/photographs.csv').read())"),
    );
    assert!(is_read, "{said}");
    let digest = png.to_str().unwrap();
    let line = said.lines().find(|line| line.contains(digest)).unwrap();
    assert!(
        line.contains("not on the device that made this bag"),
        "{line}"
    );
}
