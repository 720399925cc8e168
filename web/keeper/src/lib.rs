//! The worker that owns the log in a browser.
