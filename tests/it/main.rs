//! Tests that cross crates.

mod photo;
