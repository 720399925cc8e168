//! How a log travels: parcel files.
