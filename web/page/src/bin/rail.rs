//! The first module: the start, the log's running page and the capture rail.

fn main() {
    garboard_page::start_rail();
}
