//! Acts on a session and what the screens then show.
