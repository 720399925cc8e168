//! The whole module: every screen.

fn main() {
    garboard_page::start_page();
}
