//! Prints the digests of all that must come out the same; arguments are pictures.
//!
//! With the arguments `paper` and a folder it sets a log with the folder's pictures on paper instead, and prints how many milliseconds
//! that took, the size of the file, and in wasm how much memory it needed.

#![expect(clippy::print_stdout, reason = "this program is its output")]

use std::time::Instant;

#[expect(clippy::disallowed_methods, reason = "a measurement reads the clock")]
fn measure(folder: &str) -> std::io::Result<()> {
    let pictures = garboard_bytes::crowd::pictures(folder.as_ref())?;
    // What all the rest takes is no part of it.
    let before = memory();
    let start = Instant::now();
    let n_bytes =
        garboard_bytes::crowd::on_paper(&pictures, 1_000).map_err(std::io::Error::other)?;
    let millis = start.elapsed().as_millis();
    println!("{millis} {n_bytes} {}", memory() - before);
    Ok(())
}

/// The bytes of a wasm program's memory, which only grows.
fn memory() -> usize {
    #[cfg(target_arch = "wasm32")]
    return core::arch::wasm32::memory_size(0) << 16;
    #[cfg(not(target_arch = "wasm32"))]
    return 0;
}

fn main() -> std::io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [what, folder] = arguments.as_slice()
        && what == "paper"
    {
        return measure(folder);
    }
    for path in &arguments {
        println!("{}", garboard_bytes::picture(path, &std::fs::read(path)?));
    }
    for line in garboard_bytes::reckonings() {
        println!("{line}");
    }
    for line in garboard_bytes::demonstration() {
        println!("{line}");
    }
    Ok(())
}
