//! Prints the digests of all that must come out the same; arguments are pictures.

#[expect(clippy::print_stdout, reason = "this program is its output")]
fn main() -> std::io::Result<()> {
    for path in std::env::args().skip(1) {
        println!("{}", garboard_bytes::picture(&path, &std::fs::read(&path)?));
    }
    for line in garboard_bytes::reckonings() {
        println!("{line}");
    }
    for line in garboard_bytes::demonstration() {
        println!("{line}");
    }
    Ok(())
}
