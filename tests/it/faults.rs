//! What goes wrong aboard: full disks, killed processes, altered files, copies written on both sides, two boats mixed up.

use std::fs;
use std::process::{Command, Stdio};

use crate::tool::{Device, files, program};

/// A log with a place and some notes.
fn begun() -> (Device, String) {
    let device = Device::new();
    device.run(&["new", "boat", "--boat", "Merganser", "--hand", "Ada"]);
    let place = device.add("boat", "place", r#"{"name":"Bilge"}"#);
    (device, place)
}

fn copy_folder(device: &Device, from: &str, to: &str) {
    for (path, bytes) in files(&device.path(from)) {
        let target = device.path(to).join(path);
        fs::create_dir_all(target.parent().unwrap()).unwrap();
        fs::write(target, bytes).unwrap();
    }
}

#[test]
fn a_full_disk_is_said_and_leaves_the_log_as_it_was() {
    let (device, _) = begun();
    fs::write(
        device.path("big.json"),
        format!(r#"{{"words":"{}"}}"#, "sodden ".repeat(12_000)),
    )
    .unwrap();
    // A small disk of its own, in a mount namespace of its own.
    let script = r#"
        set -e
        mkdir disk && mount -t tmpfs -o size=128k tmpfs disk
        cp -r boat disk/boat
        dd if=/dev/zero of=disk/filler bs=1k count=120 2>/dev/null || true
        find disk/boat -type f | sort | xargs sha256sum > before
        set +e
        GARBOARD add disk/boat note --json big.json; echo "code $?"
        GARBOARD photo disk/boat picture.jpg; echo "code $?"
        GARBOARD parcel disk/boat -o disk/p.zip; echo "code $?"
        find disk/boat disk -maxdepth 2 -name '.*' -type f | sed 's/^/left behind: /'
        find disk/boat -type f | sort | xargs sha256sum > after
        cmp before after && echo unchanged
        rm disk/filler
        echo '{"words":"after all"}' | GARBOARD add disk/boat note --json - >/dev/null; echo "code $?"
    "#
    .replace("GARBOARD", program().to_str().unwrap());
    fs::write(device.path("picture.jpg"), crate::tool::picture(3)).unwrap();
    let output = Command::new("unshare")
        .args(["-rm", "bash", "-c", &script])
        .current_dir(device.path(""))
        .env("HOME", device.path(""))
        .output();
    let output = output
        .unwrap_or_else(|cause| panic!("cannot run unshare: {cause}; apt-get install util-linux"));
    let (out, err) = (
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr),
    );
    let codes: Vec<&str> = out
        .lines()
        .filter(|line| line.starts_with("code"))
        .collect();
    assert_eq!(
        codes,
        ["code 2", "code 2", "code 2", "code 0"],
        "{out}\n{err}"
    );
    assert!(err.contains("the disk is full: nothing was saved"), "{err}");
    assert!(
        out.contains("unchanged") && !out.contains("left behind"),
        "{out}\n{err}"
    );
}

#[test]
fn what_was_called_saved_survives_a_killed_process() {
    let (device, _) = begun();
    for n in 0..10 {
        let script = format!(
            r#"echo '{{"words":"note {n}"}}' | "{}" add boat note --json - && kill -9 $$"#,
            program().display()
        );
        let output = Command::new("bash")
            .args(["-c", &script])
            .current_dir(device.path(""))
            .env("HOME", device.path(""))
            .output()
            .unwrap();
        let id = String::from_utf8(output.stdout).unwrap().trim().to_owned();
        assert_eq!(
            device.show(&["boat", &id])["fields"]["words"],
            format!("note {n}")
        );
    }
    // Killed at any moment, before or after it was called saved: the log opens and is whole.
    for wait in 0..20 {
        let mut child = device
            .command(&["add", "boat", "note", "--json", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        std::io::Write::write_all(child.stdin.as_mut().unwrap(), br#"{"words":"in haste"}"#)
            .unwrap();
        drop(child.stdin.take());
        for _ in 0..wait * 20_000 {
            std::hint::spin_loop();
        }
        drop(child.kill());
        child.wait().unwrap();
        assert_eq!(
            device.show(&["boat"])["trouble"].as_array().unwrap().len(),
            0
        );
    }
    device.run(&["check", "boat"]);
}

#[test]
fn processes_that_append_at_once_lose_nothing() {
    let (device, _) = begun();
    let children: Vec<_> = (0..12)
        .map(|n| {
            fs::write(
                device.path(&format!("{n}.json")),
                format!(r#"{{"words":"note {n}"}}"#),
            )
            .unwrap();
            device
                .command(&["add", "boat", "note", "--json", &format!("{n}.json")])
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let log = device.show(&["boat"]);
    assert_eq!(log["counts"]["note"], 12);
    assert!(
        !log["remarks"].to_string().contains("a copy of the device"),
        "{}",
        log["remarks"]
    );
}

#[test]
fn copied_folders_written_on_both_sides_merge_by_copying_files() {
    let (device, place) = begun();
    copy_folder(&device, "boat", "copy");
    let left = device.add(
        "boat",
        "finding",
        &format!(r#"{{"title":"left","place":"{place}"}}"#),
    );
    let right = device.add(
        "copy",
        "finding",
        &format!(r#"{{"title":"right","place":"{place}"}}"#),
    );
    copy_folder(&device, "copy", "boat");
    let log = device.show(&["boat"]);
    assert_eq!(log["counts"]["finding"], 2);
    assert!(
        !log["remarks"].to_string().contains("a copy of the device"),
        "the copy drew a device of its own: {}",
        log["remarks"]
    );
    device.run(&["merge", "copy", "boat"]);
    assert_eq!(
        device.show(&["copy"])["entries"],
        device.show(&["boat"])["entries"]
    );
    assert_eq!(
        (
            device.show(&["copy", &left])["title"].as_str(),
            device.show(&["boat", &right])["title"].as_str()
        ),
        (Some("left"), Some("right"))
    );
}

#[test]
fn a_restored_backup_of_the_whole_home_draws_a_new_device() {
    let (device, _) = begun();
    let backup = files(&device.path(""));
    device.add("boat", "note", r#"{"words":"after the backup"}"#);
    device.run(&["parcel", "boat", "-o", "sent.zip"]);
    let sent = fs::read(device.path("sent.zip")).unwrap();
    // The disk dies; the backup is restored, and the owner goes on.
    fs::remove_dir_all(device.path("boat")).unwrap();
    fs::remove_dir_all(device.path(".local")).unwrap();
    for (path, bytes) in backup {
        let target = device.path("").join(path);
        fs::create_dir_all(target.parent().unwrap()).unwrap();
        fs::write(target, bytes).unwrap();
    }
    device.add("boat", "note", r#"{"words":"after the restore"}"#);
    fs::write(device.path("sent.zip"), sent).unwrap();
    device.run(&["merge", "boat", "sent.zip"]);
    let both = device.show(&["boat"]);
    assert_eq!(both["counts"]["note"], 2);
    assert!(
        both["remarks"]
            .to_string()
            .contains("a copy of the device has written"),
        "{}",
        both["remarks"]
    );
    device.add("boat", "note", r#"{"words":"by a new device"}"#);
    let devices: Vec<_> = device.show(&["boat"])["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|e| e["kind"] == "device")
        .cloned()
        .collect();
    assert_eq!(devices.len(), 2);
    assert_eq!(devices[1]["fields"]["copy_of"], devices[0]["id"]);
}

#[test]
fn altered_cut_and_missing_chunks_hide_nothing_but_themselves() {
    let (device, _) = begun();
    let ids: Vec<String> = (0..6)
        .map(|n| device.add("boat", "note", &format!(r#"{{"words":"note {n}"}}"#)))
        .collect();
    let chunk_of = |n: usize| {
        let text = format!("note {n}");
        files(&device.path("boat/chunks"))
            .into_iter()
            .find(|(_, bytes)| {
                garboard_log::Log::texts_in(bytes)
                    .is_ok_and(|texts| texts.iter().any(|(_, t)| t.contains(&text)))
            })
            .unwrap()
    };
    let (cut, bytes) = chunk_of(1);
    fs::write(
        device.path("boat/chunks").join(cut),
        &bytes[..bytes.len() / 2],
    )
    .unwrap();
    let (altered, mut bytes) = chunk_of(2);
    let at = bytes.len() / 2;
    bytes[at] ^= 1;
    fs::write(device.path("boat/chunks").join(altered), bytes).unwrap();
    let (gone, _) = chunk_of(3);
    fs::remove_file(device.path("boat/chunks").join(gone)).unwrap();
    fs::write(device.path("boat/chunks/notes.txt"), "not a chunk").unwrap();
    for (n, id) in ids.iter().enumerate() {
        assert_eq!(
            device.attempt(&["show", "boat", id]).code,
            i32::from((1..=3).contains(&n)),
            "note {n}"
        );
    }
    let checked = device.attempt(&["check", "boat"]);
    assert_eq!(checked.code, 1, "{checked:?}");
    assert_eq!(
        checked.out.matches("was set aside").count(),
        2,
        "{}",
        checked.out
    );
    assert!(checked.out.contains("notes.txt"), "{}", checked.out);
    // It can still be written in, and a whole copy mends it.
    device.add("boat", "note", r#"{"words":"still writing"}"#);
}

#[test]
fn altered_photographs_are_named() {
    let (device, _) = begun();
    fs::write(device.path("a.jpg"), crate::tool::picture(1)).unwrap();
    device.run(&["photo", "boat", "a.jpg"]);
    device.run(&["check", "boat"]);
    let (name, mut bytes) = files(&device.path("boat/photos")).remove(0);
    bytes[100] ^= 1;
    fs::write(device.path("boat/photos").join(&name), bytes).unwrap();
    let checked = device.attempt(&["check", "boat"]);
    assert_eq!(checked.code, 1);
    assert!(
        checked.out.contains(name.to_str().unwrap()),
        "{}",
        checked.out
    );
}

#[test]
fn damaged_parcels_are_refused_and_change_nothing() {
    let (device, _) = begun();
    fs::write(device.path("a.jpg"), crate::tool::picture(1)).unwrap();
    device.run(&["photo", "boat", "a.jpg"]);
    device.run(&["parcel", "boat", "-o", "good.zip"]);
    let good = fs::read(device.path("good.zip")).unwrap();
    device.run(&["merge", "other", "good.zip"]);
    device.add("other", "note", r#"{"words":"elsewhere"}"#);
    let before = files(&device.path("other"));
    let mut damaged: Vec<(String, Vec<u8>)> = vec![
        ("empty".into(), Vec::new()),
        ("words".into(), b"bilge water".to_vec()),
    ];
    damaged.extend([1, 2, 3, 4].map(|n| {
        (
            format!("cut to {n} fifths"),
            good[..good.len() * n / 5].to_vec(),
        )
    }));
    for at in (100..good.len() - 60).step_by(good.len() / 40) {
        let mut bytes = good.clone();
        bytes[at] ^= 0x20;
        damaged.push((format!("altered at {at}"), bytes));
    }
    let future = String::from_utf8_lossy(&good).contains(r#""format":1"#);
    assert!(future, "the manifest is legible in the file");
    let mut n_refused = 0;
    for (what, bytes) in damaged {
        fs::write(device.path("bad.zip"), &bytes).unwrap();
        let answer = device.attempt(&["merge", "other", "bad.zip"]);
        // A flipped bit in a name or a date of the ZIP that nothing reads may pass; then nothing came that was not there.
        if answer.code == 0 {
            assert!(
                answer.out.contains("Nothing new") || answer.out.contains("Received"),
                "{what}: {answer:?}"
            );
            fs::remove_dir_all(device.path("other")).unwrap();
            for (path, bytes) in &before {
                let target = device.path("other").join(path);
                fs::create_dir_all(target.parent().unwrap()).unwrap();
                fs::write(target, bytes).unwrap();
            }
            continue;
        }
        n_refused += 1;
        assert_eq!(answer.code, 1, "{what}: {answer:?}");
        assert!(
            answer.err.contains("bad.zip") && answer.err.contains("nothing was changed"),
            "{what}: {answer:?}"
        );
        assert_eq!(
            files(&device.path("other")),
            before,
            "{what} changed something"
        );
        assert_eq!(device.attempt(&["check", "bad.zip"]).code, 1, "{what}");
    }
    assert!(n_refused > 30, "only {n_refused} were refused");
}

#[test]
fn a_parcel_of_another_boat_is_refused_by_name() {
    let (device, _) = begun();
    device.run(&["new", "second", "--boat", "Pintail"]);
    device.run(&["parcel", "second", "-o", "pintail.zip"]);
    let before = files(&device.path("boat"));
    for from in ["pintail.zip", "second"] {
        let answer = device.attempt(&["merge", "boat", from]);
        assert_eq!(answer.code, 1);
        assert!(
            answer.err.contains("Pintail") && answer.err.contains("Merganser"),
            "{answer:?}"
        );
    }
    assert_eq!(files(&device.path("boat")), before);
    // Thrown together by hand, they are told apart all the same.
    for (path, bytes) in files(&device.path("second/chunks")) {
        fs::write(device.path("boat/chunks").join(path), bytes).unwrap();
    }
    let log = device.show(&["boat"]);
    assert_eq!(log["boat"], "Merganser");
    assert!(log["remarks"].to_string().contains("belong to another log"));
}

/// Packs `p.zip` anew as `anew.zip` with Python: its method, and what is done to the manifest `m`.
fn pack_anew(device: &Device, method: &str, to_manifest: &str) {
    let script = format!(
        "import zipfile,json\nz=zipfile.ZipFile('p.zip');o=zipfile.ZipFile('anew.zip','w',zipfile.{method})\nfor n in z.namelist():\n  d=z.read(n)\n  if n=='manifest.json':\n    m=json.loads(d);{to_manifest};d=json.dumps(m)\n  o.writestr(n,d)\no.close()"
    );
    let made = Command::new("python3")
        .args(["-c", &script])
        .current_dir(device.path(""))
        .status()
        .unwrap();
    assert!(made.success());
}

#[test]
fn a_parcel_from_the_future_or_packed_anew_is_named_as_such() {
    let (device, _) = begun();
    device.run(&["parcel", "boat", "-o", "p.zip"]);
    let check = |method: &str, to_manifest: &str, part: &str| {
        pack_anew(&device, method, to_manifest);
        let answer = device.attempt(&["merge", "boat", "anew.zip"]);
        assert_eq!(answer.code, 1);
        assert!(
            answer.err.contains(part) && answer.err.contains("nothing was changed"),
            "{answer:?}"
        );
    };
    check(
        "ZIP_STORED",
        "m['format']=7;m['seals']=[1]",
        "made by later software",
    );
    check("ZIP_DEFLATED", "pass", "packed anew");
}

#[test]
fn many_own_chunks_are_packed_and_nothing_is_lost() {
    let (device, _) = begun();
    for n in 0..330 {
        let draft = format!(r#"{{"words":"note {n}"}}"#);
        device.add("boat", "note", &draft);
    }
    let packs = |name: &str| {
        files(&device.path(name))
            .into_iter()
            .filter(|(_, bytes)| {
                garboard_log::Log::texts_in(bytes).is_ok_and(|texts| texts.len() > 100)
            })
            .count()
    };
    assert_eq!(packs("boat/chunks"), 1);
    assert_eq!(device.show(&["boat"])["counts"]["note"], 330);
    // The pack alone stands for the chunks that it covers; they go when it has had two weeks to reach the others.
    let n_before = files(&device.path("boat/chunks")).len();
    let old = std::time::SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(1_700_000_000);
    for (path, bytes) in files(&device.path("boat/chunks")) {
        if garboard_log::Log::texts_in(&bytes).is_ok_and(|texts| texts.len() > 100) {
            fs::File::options()
                .append(true)
                .open(device.path("boat/chunks").join(path))
                .unwrap()
                .set_modified(old)
                .unwrap();
        }
    }
    for n in 0..64 {
        device.add("boat", "note", &format!(r#"{{"words":"later {n}"}}"#));
    }
    assert!(
        files(&device.path("boat/chunks")).len() < n_before,
        "covered chunks are gone"
    );
    assert_eq!(device.show(&["boat"])["counts"]["note"], 394);
    device.run(&["check", "boat"]);
}

/// A child that ends with the test.
struct Watching(std::process::Child);

impl Drop for Watching {
    fn drop(&mut self) {
        drop(self.0.kill());
        drop(self.0.wait());
    }
}

/// Parcels that any program copies into a folder are taken in once they are whole, and nothing in the folder is touched.
#[test]
fn a_watched_folder_carries_the_log_and_what_is_no_parcel_stops_nothing() {
    let (owner, place) = begun();
    let watched = owner.path("stick");
    fs::create_dir(&watched).unwrap();
    owner.run(&["parcel", "boat", "-o", "first.zip"]);
    owner.add(
        "boat",
        "note",
        &format!(r#"{{"words":"wet again","place":"{place}"}}"#),
    );
    owner.run(&["parcel", "boat", "-o", "second.zip"]);
    fs::write(watched.join("junk.zip"), b"PK\x03\x04 and no more").unwrap();
    fs::write(watched.join("notes.txt"), b"not for us").unwrap();
    // Half of it is there, as while it is being copied.
    let second = fs::read(owner.path("second.zip")).unwrap();
    let (half, rest) = second.split_at(second.len() / 2);
    fs::write(watched.join("second.zip"), half).unwrap();
    let mut child = owner
        .command(&["merge", "copy", "--watch", "stick"])
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let said = std::io::BufReader::new(child.stderr.take().unwrap());
    let _child = Watching(child);
    let mut lines = std::io::BufRead::lines(said).map(Result::unwrap);
    let mut wait_for = |wanted: &str| {
        let found = lines.by_ref().find(|line| line.contains(wanted));
        assert!(found.is_some(), "{wanted} was not said");
    };
    wait_for("watching");
    wait_for("passed over");
    fs::copy(owner.path("first.zip"), watched.join("first.zip")).unwrap();
    wait_for("Received for Merganser");
    let mut whole = fs::OpenOptions::new()
        .append(true)
        .open(watched.join("second.zip"))
        .unwrap();
    std::io::Write::write_all(&mut whole, rest).unwrap();
    wait_for("second.zip: Received for Merganser: 1 statements");
    let copied = owner.show(&["copy"]).to_string();
    assert!(copied.contains("wet again"), "{copied}");
    assert_eq!(fs::read(watched.join("second.zip")).unwrap(), second);
    assert_eq!(fs::read_dir(&watched).unwrap().count(), 4);
    let refused = owner.attempt(&["merge", "copy", "--watch", "nowhere"]);
    assert_eq!(refused.code, 1, "{refused:?}");
    assert!(refused.err.contains("no folder that could be watched"));
}
