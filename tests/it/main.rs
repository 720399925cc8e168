//! Tests that cross crates.

#[cfg(test)]
mod photo;
