//! The command line: files, clock and terminal.

pub mod serve;
pub mod site;
