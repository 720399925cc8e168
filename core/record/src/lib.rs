//! The vocabulary of the log: statements, quantities, times and the snapshot.
