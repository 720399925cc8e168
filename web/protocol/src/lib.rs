//! The messages between page and keeper.
