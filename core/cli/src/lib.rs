//! The command line: files, clock and terminal.
//!
//! It does everything that the screens do, on a log folder.
//! There is no logic here beyond reading and writing: what things mean is worked out in `record` and `log`.

pub mod command;
pub mod failure;
pub mod home;
pub mod identity;
pub mod machine;
pub mod private;
pub mod serve;
pub mod session;
pub mod site;
pub mod store;
