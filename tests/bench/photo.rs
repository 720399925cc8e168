//! One photograph of 12 megapixels, from its bytes to the stored original, view and thumbnail, against its baseline.
//!
//! The baseline is what nobody can do without: decode, shrink to 2048 pixels, encode, by the same libraries in the same run.
//! At most 1.2 times as long. Run it with `cargo bench -p garboard-tests --bench photo`.

use std::fs::File;
use std::hint::black_box;
use std::io::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use fast_image_resize::images::Image;
use fast_image_resize::{FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer};
use jpeg_encoder::{ColorType, Encoder};

/// How much longer than the baseline it may take.
const MOST: f64 = 1.2;

/// How often each of the two is measured.
const ROUNDS: usize = 15;

const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

/// A picture with slopes, edges and grain, about as hard to compress as a phone's.
fn picture() -> anyhow::Result<Vec<u8>> {
    let mut pixels = Vec::with_capacity(WIDTH as usize * HEIGHT as usize * 3);
    let mut seed = 12_345_u32;
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let grain = seed >> 28;
            let edge = if (x / 97 + y / 61) % 2 == 0 { 30 } else { 0 };
            for channel in [
                x * 160 / WIDTH,
                y * 160 / HEIGHT,
                (x + y) * 160 / (WIDTH + HEIGHT),
            ] {
                pixels.push(u8::try_from(20 + channel + edge + grain)?);
            }
        }
    }
    let mut bytes = Vec::new();
    Encoder::new(&mut bytes, 93).encode(
        &pixels,
        u16::try_from(WIDTH)?,
        u16::try_from(HEIGHT)?,
        ColorType::Rgb,
    )?;
    Ok(bytes)
}

/// Decode, shrink, encode.
fn baseline(bytes: &[u8]) -> anyhow::Result<usize> {
    let pixels = image::load_from_memory(bytes)?.into_rgb8().into_raw();
    let source = Image::from_vec_u8(WIDTH, HEIGHT, pixels, PixelType::U8x3)?;
    let mut view = Image::new(2048, 1536, PixelType::U8x3);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::CatmullRom));
    Resizer::new().resize(&source, &mut view, &options)?;
    let mut out = Vec::new();
    Encoder::new(&mut out, 82).encode(view.buffer(), 2048, 1536, ColorType::Rgb)?;
    Ok(out.len())
}

/// Writes a file and flushes it to the disk.
fn store(folder: &Path, name: &str, bytes: &[u8]) -> anyhow::Result<()> {
    let mut file = File::create(folder.join(name))?;
    file.write_all(bytes)?;
    Ok(file.sync_all()?)
}

/// Name, examine, render and store; the original goes to the disk while the renditions are made, for the disk only waits.
fn whole(bytes: &[u8], folder: &Path) -> anyhow::Result<usize> {
    let digest = garboard_photo::digest(bytes);
    let examined = garboard_photo::examine(bytes)?;
    let made = std::thread::scope(|scope| {
        let keeping = scope.spawn(|| store(folder, &digest, bytes));
        let made = garboard_photo::renditions(bytes)?;
        let kept = keeping
            .join()
            .map_err(|_panic| anyhow::anyhow!("the original was not stored"))?;
        kept.map(|()| made)
    })?;
    store(folder, &made.view.digest, &made.view.bytes)?;
    store(folder, &made.thumbnail.digest, &made.thumbnail.bytes)?;
    Ok(usize::try_from(examined.size)? + made.view.bytes.len())
}

#[expect(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn timed<T>(work: impl FnOnce() -> anyhow::Result<T>) -> anyhow::Result<Duration> {
    let start = Instant::now();
    black_box(work()?);
    Ok(start.elapsed())
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() -> anyhow::Result<()> {
    let bytes = picture()?;
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?;
    let (mut alone, mut all) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        // One after the other, so that what else the machine does falls on both.
        alone.push(timed(|| baseline(&bytes))?);
        all.push(timed(|| whole(&bytes, folder.path()))?);
    }
    alone.sort_unstable();
    all.sort_unstable();
    let (Some(alone), Some(all)) = (alone.get(ROUNDS / 2), all.get(ROUNDS / 2)) else {
        anyhow::bail!("nothing was measured");
    };
    let ratio = all.as_secs_f64() / alone.as_secs_f64();
    println!(
        "photograph of {} bytes, {WIDTH} × {HEIGHT}: stored with view and thumbnail in {all:?}, decode, resize and encode alone {alone:?}: {ratio:.3} (at most {MOST})",
        bytes.len()
    );
    anyhow::ensure!(
        ratio <= MOST,
        "it takes {ratio:.3} times as long as decode, resize and encode alone; at most {MOST} is allowed"
    );
    Ok(())
}
