//! Prints the digests of all that must come out the same; arguments are pictures.
//!
//! With the argument `reckon` it prints how many microseconds each reckoning takes on its slowest check case, and a survey of ten
//! thousand readings. With the arguments `paper` and a folder it sets a log with the folder's pictures on paper instead, and prints how many milliseconds
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

/// The quickest of five runs.
#[expect(clippy::disallowed_methods, reason = "a measurement reads the clock")]
fn micros(mut work: impl FnMut()) -> u128 {
    let runs = (0..5).map(|_| {
        let start = Instant::now();
        work();
        start.elapsed().as_micros()
    });
    runs.min().unwrap_or(0)
}

fn reckon() {
    for of in garboard_reckon::ALL {
        let cases = of.checks.iter();
        let slowest =
            cases.map(|check| micros(|| drop(std::hint::black_box(of.run_text(check.inputs)))));
        println!("{} {}", of.name, slowest.max().unwrap_or(0));
    }
    let survey = garboard_bytes::survey(10_000);
    let took = micros(|| {
        let found = garboard_reckon::find("survey-grid").map(|of| of.run_text(&survey).is_ok());
        assert_eq!(found, Some(true));
    });
    println!("survey-of-10000-readings {took}");
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
    if arguments == ["reckon"] {
        reckon();
        return Ok(());
    }
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
