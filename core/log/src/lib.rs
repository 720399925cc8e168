//! The log document: open, append, merge and save; the only crate that knows automerge.
