//! The page as a whole: structure, safety, and the same bytes every time.
