//! The garboard command.
fn main() {}
