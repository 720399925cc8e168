//! The phone's front end.
