//! The before-and-after history that leaves with the boat.
