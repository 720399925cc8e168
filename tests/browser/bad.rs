//! What should not come and does: files that are no pictures or lie, a megabyte of words, names in any script.
//!
//! A refusal names the file, says how to mend it, and changes nothing; what is odd and whole is kept as it came.

use std::path::Path;
use std::process::Command;

use anyhow::{Context as _, Result, ensure};
use garboard_protocol::{Ask, Shoot, TroubleKind};
use serde_json::json;

use super::{begin, rows, say};
use crate::engine::{Engine, served};
use crate::keeper::Keeper;

/// Files made by another library, and some by hand: what each is refused for, or nothing when it is taken in.
const FILES: [(&str, Option<&str>); 12] = [
    ("zero.jpg", Some("0 bytes")),
    ("text.jpg", Some("no JPEG, PNG, WebP, HEIC or AVIF")),
    ("moves.gif", Some("looks like GIF")),
    ("huge.png", Some("16000 × 12504 pixels")),
    ("lie.png", Some("100000 × 100000 pixels")),
    ("cut.jpg", Some("cut short")),
    // A PNG that calls itself a JPEG; ink colours; pictures that move; Exif that leads in a circle, and that is a page.
    ("png.jpg", None),
    ("cmyk.jpg", None),
    ("moves.webp", None),
    ("moves.png", None),
    ("circle.jpg", None),
    ("page.jpg", None),
];

const DRAW: &str = r"
import struct, sys, zlib
from PIL import Image
room = sys.argv[1] + '/'
picture = Image.linear_gradient('L').resize((320, 240)).convert('RGB')
picture.convert('CMYK').save(room + 'cmyk.jpg', quality=85)
turned = [picture.rotate(10 * n) for n in range(4)]
for end in ('gif', 'webp', 'png'):
    turned[0].save(room + 'moves.' + end, save_all=True, append_images=turned[1:], duration=100)
picture.resize((200, 150)).save(room + 'still.png')
def write(name, *parts): open(room + name, 'wb').write(b''.join(parts))
write('png.jpg', open(room + 'still.png', 'rb').read())
write('zero.jpg')
write('text.jpg', b'this is no picture at all\n' * 50)
def chunk(name, said): return struct.pack('>I', len(said)) + name + said + struct.pack('>I', zlib.crc32(name + said))
def png(name, wide, high, rows):
    head = struct.pack('>IIBBBBB', wide, high, 1, 0, 0, 0, 0)
    write(name, b'\x89PNG\r\n\x1a\n', chunk(b'IHDR', head), chunk(b'IDAT', zlib.compress(rows)), chunk(b'IEND', b''))
png('huge.png', 16000, 12504, (b'\0' + b'\x55' * 2000) * 12504)
png('lie.png', 100000, 100000, bytes(100))
picture.resize((300, 200)).save(room + 'plain.jpg')
plain = open(room + 'plain.jpg', 'rb').read()
write('cut.jpg', plain[:len(plain) // 3])
def with_exif(name, said):
    said = b'Exif\0\0' + said
    write(name, plain[:2], b'\xff\xe1', struct.pack('>H', len(said) + 2), said, plain[2:])
entry = lambda tag, kind, n, value: struct.pack('<HHII', tag, kind, n, value)
with_exif('circle.jpg', b'II*\0\x08\0\0\0' + struct.pack('<H', 3) + entry(0x8769, 4, 1, 8) + entry(0x8825, 4, 1, 8)
    + entry(0x0132, 2, 0xFFFFFFFF, 20) + struct.pack('<I', 8))
with_exif('page.jpg', b'MM\0*\0\0\0\x08\xff\xff' + b'<script>alert(1)</script>' * 200)
";

fn draw(folder: &Path) -> Result<()> {
    let python = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/python/bin/python");
    let made = Command::new(&python)
        .args(["-c", DRAW])
        .arg(folder)
        .output()
        .with_context(|| format!("{}; tests/run installs it", python.display()))?;
    ensure!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    Ok(())
}

async fn bad_input_is_refused_by_name_or_kept_as_it_came(engine: Engine) -> Result<()> {
    let (room, folder) = (tempfile::tempdir()?, tempfile::tempdir()?);
    draw(folder.path())?;
    let address = served().await?;
    let browser = engine.start(room.path()).await?;
    let (mut keeper, _) = Keeper::start(&browser, &address).await?;
    // Emoji that are joined, a script from right to left, and a sign that turns the direction round.
    let (boat, hand) = ("🛥️ Möwe שלום \u{202e}live\u{202c} — 海鷗", "عائشة 👩🏽‍🔧");
    keeper.ask(begin(boat, hand)).await?;

    let mut n_taken = 0;
    for (name, refused) in FILES {
        let bytes = std::fs::read(folder.path().join(name))?;
        keeper.give(name, &bytes).await?;
        let answer = keeper.tried(Ask::Shoot(Shoot::default())).await?;
        match (answer, refused) {
            (Ok(_), None) => n_taken += 1,
            (Err(trouble), Some(why)) => ensure!(
                trouble.kind == TroubleKind::BadFile
                    && trouble.happened.contains(name)
                    && trouble.happened.contains(why)
                    && !trouble.remedy.is_empty(),
                "{name}: {trouble:?}"
            ),
            (answer, _) => anyhow::bail!("{name}: {answer:?}"),
        }
    }

    let words = "wet core ".repeat(120_000);
    let trouble = keeper
        .refused(say("note", &json!({ "words": words })))
        .await?;
    ensure!(
        trouble.kind == TroubleKind::Mistake && trouble.happened.contains("100,000 bytes"),
        "{trouble:?}"
    );

    // Nothing but what was taken in is there, and names are as they were said.
    let all = rows(&mut keeper, "").await?;
    let n_pictures: usize = all.iter().map(|row| row.thumbs.len()).sum();
    ensure!(n_pictures == n_taken && n_taken == 6, "{all:?}");
    ensure!(
        all.iter()
            .any(|row| row.kind == "boat" && row.headline == boat && row.hand == hand),
        "{all:?}"
    );
    browser.close().await
}

#[tokio::test]
async fn in_chromium_bad_input_is_refused_by_name_or_kept_as_it_came() -> Result<()> {
    bad_input_is_refused_by_name_or_kept_as_it_came(Engine::Chromium).await
}

#[tokio::test]
async fn in_firefox_bad_input_is_refused_by_name_or_kept_as_it_came() -> Result<()> {
    bad_input_is_refused_by_name_or_kept_as_it_came(Engine::Firefox).await
}

#[tokio::test]
async fn in_webkit_bad_input_is_refused_by_name_or_kept_as_it_came() -> Result<()> {
    bad_input_is_refused_by_name_or_kept_as_it_came(Engine::WebKit).await
}
