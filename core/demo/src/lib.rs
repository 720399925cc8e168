//! The demonstration boat: an invented scenario with drawn pictures.

pub mod drawing;
